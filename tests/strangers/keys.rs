//! One question has one key, and no other question has it: two requests whose keys are the same have the same answer.
use super::{
    alphabet::of_numbers,
    asked::{SORTS, of},
};
use fastrand::Rng;
use serde_json::{Map, Value, json};

/// How many pairs are held against each other; `PIPWRIGHT_STRANGERS` asks more.
fn how_many() -> u64 {
    std::env::var("PIPWRIGHT_STRANGERS").ok().and_then(|n| n.parse().ok()).unwrap_or(20_000)
}

/// Work that a pair may take: the keys are what is looked at, and small answers tell them apart as well.
const BUDGET: u64 = 2_000_000;

/// A request, and the same changed a little: so that a canonical form that leaves something out leaves out what differs.
fn pair(rng: &mut Rng) -> (&'static str, Value, Value) {
    let (path, first) = match rng.u32(0..4) {
        0 => lean(rng),
        _ => of_numbers(rng),
    };
    let mut second = first.clone();
    for _ in 0..rng.u32(1..3) {
        change(rng, &mut second);
    }
    (path, first, second)
}

/// Questions of the sorts that random requests seldom ask.
fn lean(rng: &mut Rng) -> (&'static str, Value) {
    let names = ["auger-head", "under-way", "lantern-screen", "out-of-arms-reach"];
    let asks = ["can guns be used in contact", "does lantern screen act from the rear", "what does auger head do"];
    let units = ["barges", "heron", "militia", "otter", "heath riders"];
    let pack = ["canal-guild", "floe-run", "sedge-moot"];
    let often = ["rule", "arc", "names", "list", "matchup", "duel"];
    // Their prices come of some work already: seldom, but asked too.
    let seldom = ["appraisal", "worth", "assign", "build", "log"];
    let sort = if rng.u32(0..20) == 0 { seldom[rng.usize(0..5)] } else { often[rng.usize(0..6)] };
    let mut any = |of: &[&str]| json!(of[rng.usize(0..of.len())]);
    match sort {
        "rule" => ("rule", json!({"rule": any(&names), "ask": any(&asks), "pack": "canal-guild"})),
        "arc" => (
            "arc",
            json!({"bearing": 40, "pack": any(&pack), "quarters": true, "hull": {"length_mm": 100, "width_mm": 50}}),
        ),
        "appraisal" => ("appraisal", json!({"unit": any(&units), "turns": 2, "against": [{"unit": any(&units)}]})),
        "worth" => ("worth", json!({"units": [{"unit": any(&units)}], "board": [{"unit": any(&units)}], "turns": 2})),
        "assign" => (
            "assign",
            json!({"attackers": [{"unit": any(&units)}, {"unit": any(&units), "models": 2}], "targets": [{"unit": any(&units)}, {"unit": any(&units)}],
                   "must": [{"target": 1, "chance": 0.5}], "pairs": [{"attacker": 0, "target": 1, "cannot": true}], "objective": "destroyed"}),
        ),
        "build" => (
            "build",
            json!({"limit": 300, "plans": 1, "keep": [{"unit": any(&units)}], "exclude": [any(&units)], "against": ["2 barges"], "objective": "total"}),
        ),
        "log" => (
            "luck",
            json!({"log": [{"check": {"dice": "1d6", "needs": "4+", "tries": 6}, "result": {"passes": 2}, "side": "them"}, {"matchup": {"attacker": {"unit": any(&units)}, "target": {"unit": any(&units)}}, "result": {"models": 1}}]}),
        ),
        "names" => ("packs/names", json!({"pack": any(&pack)})),
        "list" => (
            "list-points",
            json!({"limit": 500, "lines": ["2 barges", {"unit": any(&units), "options": ["signal mast"]}]}),
        ),
        "matchup" => (
            "matchup",
            json!({"attacker": {"unit": any(&units), "models": 3}, "target": {"unit": any(&units)}, "situation": {"arc": "front", "moved": false}, "with": [any(&names)]}),
        ),
        _ => ("duel", json!({"a": {"unit": any(&units)}, "b": {"unit": any(&units)}, "turns": 2, "first": "a"})),
    }
}

/// Leaves one field out, puts another value in, doubles or turns round a list, or moves a field.
fn change(rng: &mut Rng, request: &mut Value) {
    let mut pointers = Vec::new();
    collect(request, String::new(), &mut pointers);
    let pointer = pointers[rng.usize(0..pointers.len())].clone();
    let Some(spot) = request.pointer_mut(&pointer) else { return };
    match spot {
        Value::Object(fields) => match rng.u32(0..3) {
            0 => {
                let names: Vec<String> = fields.keys().cloned().collect();
                if !names.is_empty() {
                    fields.remove(&names[rng.usize(0..names.len())]);
                }
            }
            1 => optional(rng, fields),
            _ => {
                // Two fields change places.
                let names: Vec<String> = fields.keys().cloned().collect();
                if names.len() > 1 {
                    let (a, b) = (names[0].clone(), names[rng.usize(1..names.len())].clone());
                    let (first, second) = (fields[&a].clone(), fields[&b].clone());
                    fields.insert(a, second);
                    fields.insert(b, first);
                }
            }
        },
        Value::Array(items) => match rng.u32(0..3) {
            0 => items.reverse(),
            1 => drop(items.pop()),
            _ => items.extend(items.last().cloned()),
        },
        Value::Number(number) => *spot = json!(number.as_f64().unwrap_or(0.0) as i64 + rng.i64(-1..=1)),
        Value::Bool(truth) => *truth = !*truth,
        Value::String(text) => {
            let others = [
                "3+", "4+", "7-", "auto", "never", "d6", "2d6", "d6+1", "6", "worst", "failures", "a", "b", "together",
                "lose", "win", "near", "far", "front", "rear", "1/3", "0.5",
            ];
            *text = if rng.bool() { text.to_uppercase() } else { others[rng.usize(0..others.len())].to_owned() };
        }
        Value::Null => {}
    }
}

/// A field that many requests have, mostly with the value that it has anyway.
fn optional(rng: &mut Rng, fields: &mut Map<String, Value>) {
    let all = [
        ("exact", json!(false)),
        ("exact", json!(true)),
        ("passed", json!(true)),
        ("modifier", json!(0)),
        ("modifier", json!(1)),
        ("tries", json!(1)),
        ("rerolls", json!(0)),
        ("rerolls", json!(7)),
        ("attackers", json!(1)),
        ("low_fails", json!(true)),
        ("high_succeeds", json!(true)),
        ("reroll", json!("none")),
        ("ties", json!("win")),
        ("label", json!("another")),
        ("turns", json!(6)),
        ("first", json!("a")),
        ("hurt", json!(0)),
        ("hurt", json!(1)),
        ("spill", json!(true)),
        ("rule", json!("auger-head")),
        ("limit", json!(300)),
        ("most", json!(30)),
        ("points", json!(10)),
        ("pack", json!("canal-guild")),
        ("moved", json!(false)),
        ("moved", json!(true)),
        ("order", json!("repair_first")),
        ("rolls", json!("each_missing")),
        ("models", json!(1)),
        ("units", json!(1)),
        ("statuses", json!([])),
        ("without", json!(["lantern-screen"])),
        ("quarters", json!(false)),
    ];
    let (name, value) = &all[rng.usize(0..all.len())];
    fields.insert((*name).to_owned(), value.clone());
}

fn collect(value: &Value, pointer: String, into: &mut Vec<String>) {
    let below = |step: &str| format!("{pointer}/{}", step.replace('~', "~0").replace('/', "~1"));
    match value {
        Value::Object(fields) => fields.iter().for_each(|(name, field)| collect(field, below(name), into)),
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(at, item)| collect(item, below(&at.to_string()), into))
        }
        _ => {}
    }
    into.push(pointer);
}

/// What one thread has seen: pairs of right requests, and those of them with one key, whose answers were compared.
fn search(part: u64, parts: u64) -> (u64, u64, Vec<String>) {
    let (mut pairs, mut same, mut wrong) = (0, 0, Vec::new());
    let mut seed = part;
    while pairs < how_many() / parts && seed < how_many() * 50 {
        let mut rng = Rng::with_seed(seed);
        seed += parts;
        let (path, first, second) = pair(&mut rng);
        if first == second {
            continue;
        }
        let sort = of(path);
        let (Some(a), Some(b)) = ((sort.key)(first.clone()), (sort.key)(second.clone())) else { continue };
        pairs += 1;
        if a != b {
            continue;
        }
        let (Some(a), Some(b)) = ((sort.answer)(first.clone(), BUDGET), (sort.answer)(second.clone(), BUDGET)) else {
            continue;
        };
        same += 1;
        if a != b {
            wrong.push(format!("{path}\n  {first}\n  {second}\n  share a key"));
        }
    }
    (pairs, same, wrong)
}

#[test]
fn two_different_answers_never_share_a_key() {
    let parts = std::thread::available_parallelism().map_or(1, usize::from) as u64;
    let (pairs, same, wrong) = std::thread::scope(|scope| {
        let all: Vec<_> = (0..parts).map(|part| scope.spawn(move || search(part, parts))).collect();
        all.into_iter().map(|one| one.join().expect("no panic")).fold((0, 0, Vec::new()), |mut sum, one| {
            sum.2.extend(one.2);
            (sum.0 + one.0, sum.1 + one.1, sum.2)
        })
    });
    println!("{pairs} pairs, {same} of them with one key");
    assert!(wrong.is_empty(), "{} of {same}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(pairs + 10 > how_many() && same * 50 > pairs, "{pairs} pairs, {same} with one key");
}

/// Whatever is asked, the path is in the key: see `api/src/cache/key.rs`. So no two sorts of question may have one path.
#[test]
fn each_sort_of_question_has_a_path_of_its_own() {
    let mut paths: Vec<&str> = SORTS.iter().map(|sort| sort.path).collect();
    paths.sort_unstable();
    assert!(paths.windows(2).all(|two| two[0] != two[1]), "{paths:?}");
}
