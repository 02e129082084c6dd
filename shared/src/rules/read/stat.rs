//! Stats: which there are, and their values.
use super::super::model::situation::Situations;
use super::super::model::stat::{Axis, Holds, Profile, Stat, StatValue, Stats, Value};
use super::ids::Index;
use super::node::{Fields, Node};

/// The scopes of the `stats` tables.
const SCOPES: [&str; 5] = ["unit", "weapon", "range", "cover", "arc"];

/// Reads the `stats` table of one file into the stats gathered so far.
pub(super) fn read_stats(fields: &Fields<'_>, kinds: &Index, stats: &mut Stats) {
    let Some(table) = fields.get("stats").and_then(|node| node.fields()) else { return };
    for scope in SCOPES {
        let Some(table) = table.get(scope).and_then(|node| node.fields()) else { continue };
        let list = match scope {
            "unit" => &mut stats.unit,
            "weapon" => &mut stats.weapon,
            "range" => &mut stats.range,
            "cover" => &mut stats.cover,
            _ => &mut stats.arc,
        };
        for (id, _, node) in table.entries() {
            let Some(stat) = read_stat(id, node, kinds) else { continue };
            if list.iter().any(|other| other.id == stat.id) {
                node.wrong(format!("{id:?} is here twice"));
            }
            if ["models", "hurt"].contains(&id) {
                node.wrong(format!("{id:?} is a number of the game itself: choose another name"));
            }
            list.push(stat);
        }
    }
    table.finish();
}

fn read_stat(id: &str, node: Node<'_>, kinds: &Index) -> Option<Stat> {
    let fields = node.fields()?;
    let holds = fields.need("holds")?.word_of(&["number", "needs", "dice", "word"])?;
    let words = fields.list("words", 100);
    let holds = match holds {
        0 => Holds::Number,
        1 => Holds::Needs,
        2 => Holds::Dice,
        _ => {
            let words: Vec<String> = words.iter().filter_map(|node| node.text().map(str::to_owned)).collect();
            if words.is_empty() {
                node.wrong("say which words this stat may hold: words = [\"…\", \"…\"]");
            }
            Holds::Word(words)
        }
    };
    let per = fields.get("per").and_then(|node| node.word_of(&["arc", "range", "cover"]));
    let per = per.map(|index| [Axis::Arc, Axis::Range, Axis::Cover][index]);
    let label = fields.text("label").unwrap_or_else(|| id.to_owned());
    let text = fields.text("text").unwrap_or_default();
    let kinds = kinds.find_all(fields.get("kinds"), "kind");
    let mut stat = Stat { id: id.to_owned(), label, text, holds, per, default: None, kinds };
    stat.default = fields.get("default").and_then(|node| read_value(&stat.holds, node));
    fields.finish();
    Some(stat)
}

/// One value of a stat or chart.
pub(super) fn read_value(holds: &Holds, node: Node<'_>) -> Option<Value> {
    match holds {
        Holds::Number => node.number(-1_000..=1_000).map(Value::Number),
        Holds::Dice => read_dice(node).map(Value::Dice),
        Holds::Needs => {
            let text = node.text()?;
            text.parse().map_err(|error| node.wrong(format!("{error}"))).ok().map(Value::Needs)
        }
        Holds::Word(words) => {
            let words: Vec<&str> = words.iter().map(String::as_str).collect();
            node.word_of(&words).map(Value::Word)
        }
    }
}

/// Dice: `"2d6+1"`, or a plain number.
pub(super) fn read_dice(node: Node<'_>) -> Option<crate::odds::dice::Dice> {
    let text = match node.as_number() {
        Some(number) => number.to_string(),
        None => node.text()?.to_owned(),
    };
    text.parse().map_err(|error| node.wrong(format!("{error}"))).ok()
}

/// A stat's value: one, or one for each word of its axis.
pub(super) fn read_stat_value(stat: &Stat, words: &Situations, node: Node<'_>) -> Option<StatValue> {
    if !node.is_table() {
        return read_value(&stat.holds, node).map(StatValue::One);
    }
    let Some(axis) = stat.per else {
        node.wrong_with(
            format!("{} is one value, not a table", stat.label),
            Some("or let the stat differ: per = \"arc\", \"range\" or \"cover\"".to_owned()),
        );
        return None;
    };
    let fields = node.fields()?;
    let ids: Vec<&str> = match axis {
        Axis::Arc => words.arcs.iter().map(|word| word.named.id.as_str()).collect(),
        Axis::Range => words.ranges.iter().map(|band| band.word.named.id.as_str()).collect(),
        Axis::Cover => words.covers.iter().map(|word| word.named.id.as_str()).collect(),
    };
    let mut values: Vec<Option<Value>> = vec![None; ids.len()];
    for (key, span, node) in fields.entries() {
        match ids.iter().position(|id| *id == key) {
            Some(at) => values[at] = read_value(&stat.holds, node),
            None => {
                let close = super::super::names::close_word(key, ids.iter().copied());
                let close = close.map(|close| format!("did you mean {close:?}?"));
                fields.wrong_key(span, format!("{key:?} is none of {}", super::node::listed(&ids)), close);
            }
        }
    }
    let missing: Vec<&str> = ids.iter().zip(&values).filter(|(_, value)| value.is_none()).map(|(id, _)| *id).collect();
    if !missing.is_empty() && values.iter().any(Option::is_some) {
        node.wrong(format!("{} is missing for {}", stat.label, missing.join(", ")));
    }
    values.into_iter().collect::<Option<Vec<Value>>>().map(StatValue::Each)
}

/// Notes a key that is no stat.
pub(super) fn unknown_stat(table: &Fields<'_>, span: std::ops::Range<usize>, key: &str, stats: &[Stat]) {
    let ids: Vec<&str> = stats.iter().map(|stat| stat.id.as_str()).collect();
    let hint = match super::super::names::close_word(key, ids.iter().copied()) {
        Some(close) => format!("did you mean {close:?}?"),
        None => format!("there are: {}", ids.join(", ")),
    };
    table.wrong_key(span, format!("no stat is called {key:?} here"), Some(hint));
}

/// The `stats` of a unit, a weapon or a word of the situation.
///
/// `kind` is the unit's kind, where there is one: a stat may be for some kinds only.
pub(super) fn read_profile(fields: &Fields<'_>, stats: &[Stat], words: &Situations, kind: Option<usize>) -> Profile {
    let mut profile: Profile = vec![None; stats.len()];
    let of_kind = |stat: &Stat| stat.kinds.is_empty() || kind.is_none_or(|kind| stat.kinds.contains(&kind));
    if let Some(table) = fields.get("stats").and_then(|node| node.fields()) {
        for (key, span, node) in table.entries() {
            match stats.iter().position(|stat| stat.id == key) {
                Some(at) => {
                    if !of_kind(&stats[at]) {
                        node.wrong(format!("units of this kind have no {}", stats[at].label));
                    }
                    profile[at] = read_stat_value(&stats[at], words, node);
                    // A mistake in the value is told once: the stat is there all the same.
                    if profile[at].is_none() {
                        profile[at] = Some(StatValue::One(stats[at].fallback()));
                    }
                }
                None => unknown_stat(&table, span, key, stats),
            }
        }
    }
    for (at, stat) in stats.iter().enumerate() {
        if profile[at].is_none() && stat.default.is_none() && of_kind(stat) {
            fields.wrong(format!("the stat {:?} ({}) is missing", stat.id, stat.label));
        }
    }
    profile
}
