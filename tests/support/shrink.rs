//! A failing request made as short as it can be while it still fails.
use crate::ask::try_ask;
use serde_json::Value;

/// The shortest request reached by leaving out and simplifying one thing after another, none of it refused.
pub fn shrink(path: &str, mut request: Value, fails: impl Fn(&Value) -> bool) -> Value {
    let fails = |request: &Value| try_ask(path, request.clone()).is_ok() && fails(request);
    loop {
        let size = request.to_string().len();
        let mut pointers = Vec::new();
        collect(&request, String::new(), &mut pointers);
        for pointer in pointers {
            for simpler in simpler(&request, &pointer) {
                if fails(&simpler) {
                    request = simpler;
                }
            }
        }
        if request.to_string().len() >= size {
            return request;
        }
    }
}

fn collect(value: &Value, pointer: String, into: &mut Vec<String>) {
    match value {
        Value::Object(fields) => fields.iter().for_each(|(name, v)| collect(v, format!("{pointer}/{name}"), into)),
        Value::Array(list) => {
            list.iter().enumerate().rev().for_each(|(n, v)| collect(v, format!("{pointer}/{n}"), into))
        }
        _ => {}
    }
    // Without fractions there would be nothing exact to compare.
    if !pointer.is_empty() && pointer != "/exact" {
        into.push(pointer);
    }
}

fn simpler(request: &Value, pointer: &str) -> Vec<Value> {
    let Some(here) = request.pointer(pointer) else { return Vec::new() };
    let (parent, name) = pointer.rsplit_once('/').expect("a pointer");
    let mut without = request.clone();
    match without.pointer_mut(parent) {
        Some(Value::Object(fields)) => drop(fields.remove(name)),
        Some(Value::Array(list)) => drop(list.remove(name.parse().expect("a place"))),
        _ => {}
    }
    let plainer: &[Value] = match here {
        Value::Number(n) if n.as_i64().is_some_and(|n| n > 1) => &[1.into(), 2.into()],
        Value::String(_) | Value::Object(_) => &[1.into(), "d2".into()],
        _ => &[],
    };
    let shorter = plainer.iter().filter(|value| value.to_string().len() < here.to_string().len() || here.is_number());
    let replaced = shorter.filter(|value| *value != here).map(|value| {
        let mut changed = request.clone();
        *changed.pointer_mut(pointer).expect("a place") = value.clone();
        changed
    });
    std::iter::once(without).chain(replaced).collect()
}
