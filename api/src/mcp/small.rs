//! An answer made short: its longest lists are left out until it is, and what was left out is named.
use serde_json::{Map, Value};
use std::collections::BTreeMap;

/// An answer that is not longer than this is sent as it is.
const MOST: usize = 6 << 10;
/// A text that is longer than this is as heavy as a list.
const TEXT: usize = 400;

/// The answer, short, and the pointers of what is not in it; `*` stands for every place of a list.
pub(super) fn shortened(mut answer: Map<String, Value>) -> (Map<String, Value>, Vec<String>) {
    let mut left_out = Vec::new();
    loop {
        let over = length(&answer).saturating_sub(MOST);
        if over == 0 {
            return (answer, left_out);
        }
        let mut sizes = BTreeMap::new();
        for (name, value) in &answer {
            weigh(&format!("/{}", escaped(name)), value, &mut sizes);
        }
        // Of what is inside lists or answers the heaviest goes first; what stands at the top is cut instead.
        let Some((at, _)) = sizes.into_iter().max_by_key(|(_, bytes)| *bytes) else { return (answer, left_out) };
        let way: Vec<String> = at.split('/').skip(1).map(|part| part.replace("~1", "/").replace("~0", "~")).collect();
        match answer.get_mut(&way[0]) {
            Some(Value::Array(items)) if way.len() == 1 && items.len() > 2 => {
                let all = items.len();
                cut(items, over);
                left_out.push(format!("{at} after the first {} of {all}", items.len()));
            }
            _ => {
                remove(&mut answer, &way);
                left_out.push(at);
            }
        }
    }
}

fn length(value: &impl serde::Serialize) -> usize {
    serde_json::to_vec(value).map_or(0, |text| text.len())
}

fn escaped(name: &str) -> String {
    name.replace('~', "~0").replace('/', "~1")
}

/// The bytes of every list whose items have no list in a field, and of every long text, by where they stand.
fn weigh(at: &str, value: &Value, sizes: &mut BTreeMap<String, usize>) {
    match value {
        Value::Array(items) if !items.iter().any(|item| item.as_object().is_some_and(has_list)) => {
            *sizes.entry(at.to_owned()).or_default() += length(value);
        }
        Value::Array(items) => items.iter().for_each(|item| weigh(&format!("{at}/*"), item, sizes)),
        Value::Object(members) => {
            members.iter().for_each(|(name, value)| weigh(&format!("{at}/{}", escaped(name)), value, sizes));
        }
        Value::String(text) if text.len() > TEXT => *sizes.entry(at.to_owned()).or_default() += text.len(),
        _ => {}
    }
}

fn has_list(members: &Map<String, Value>) -> bool {
    let list = |value: &Value| value.is_array() || value.as_object().is_some_and(has_list);
    members.values().any(list)
}

/// As many of its items from the end as are too much, and two at least stay.
fn cut(items: &mut Vec<Value>, over: usize) {
    let mut gone = 0;
    while items.len() > 2 && gone < over {
        gone += items.pop().map_or(0, |item| length(&item) + 1);
    }
}

fn remove(members: &mut Map<String, Value>, way: &[String]) {
    match way {
        [] => {}
        [name] => drop(members.remove(name)),
        [name, rest @ ..] => members.get_mut(name).into_iter().for_each(|value| remove_below(value, rest)),
    }
}

fn remove_below(value: &mut Value, way: &[String]) {
    match value {
        Value::Object(members) => remove(members, way),
        Value::Array(items) => items.iter_mut().for_each(|item| remove_below(item, &way[1..])),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn short(answer: Value) -> (Value, Vec<String>) {
        let Value::Object(answer) = answer else { panic!("an answer is an object") };
        let (answer, left_out) = shortened(answer);
        (answer.into(), left_out)
    }

    #[test]
    fn what_is_short_stays_as_it_is() {
        let answer = json!({"chance": 0.5, "rows": [1, 2, 3]});
        assert_eq!(short(answer.clone()), (answer, Vec::new()));
    }

    #[test]
    fn the_longest_lists_go_first_and_headlines_stay() {
        let rows = || (0..300).map(|value| json!({"value": value, "chance": 0.001})).collect::<Vec<_>>();
        let answer = json!({"turns": [{"lost": {"expected": 1.5, "rows": rows()}}, {"lost": {"expected": 2.5, "rows": rows()}}], "few": [1]});
        let (answer, left_out) = short(answer);
        assert_eq!(answer, json!({"turns": [{"lost": {"expected": 1.5}}, {"lost": {"expected": 2.5}}], "few": [1]}));
        assert_eq!(left_out, ["/turns/*/lost/rows"]);
    }

    #[test]
    fn a_list_at_the_top_keeps_its_beginning() {
        let names: Vec<String> = (0..1_000).map(|at| format!("unit {at:04}")).collect();
        let (answer, left_out) = short(json!({"units": names}));
        let kept = answer["units"].as_array().expect("a list").len();
        assert!((400..1_000).contains(&kept) && length(&answer) <= MOST, "{kept}");
        assert_eq!(answer["units"][kept - 1], format!("unit {:04}", kept - 1));
        assert_eq!(left_out, [format!("/units after the first {kept} of 1000")]);
    }

    #[test]
    fn lists_in_lists_and_long_texts_go_whole() {
        let (answer, left_out) =
            short(json!({"cells": [vec![1; 3_000], vec![2; 3_000]], "a/b": "x".repeat(7_000), "c": 1}));
        assert_eq!(answer, json!({"c": 1}));
        assert_eq!(left_out, ["/cells", "/a~1b"]);
    }
}
