//! Requests at the bounds of the contract: each number at its least, its most and between, lists and names at their longest,
//! packs that come with a request.
use super::several;
use fastrand::Rng;
use pipwright_tests::random::{self, Size};
use serde_json::{Map, Value, json};
use std::{collections::HashMap, sync::LazyLock};

/// The bounds that the contract gives a name, wherever it stands.
#[derive(Clone, Copy, Debug, Default)]
struct Bounds {
    least: Option<i64>,
    most: Option<i64>,
    items: Option<u64>,
}

static BOUNDS: LazyLock<HashMap<String, Bounds>> = LazyLock::new(|| {
    let contract: Value = serde_json::from_str(include_str!("../contract/openapi.json")).expect("the contract is JSON");
    let mut bounds = HashMap::new();
    gather(&contract, &mut bounds);
    assert!(bounds.len() > 40, "the contract has lost its bounds");
    bounds
});

fn gather(value: &Value, into: &mut HashMap<String, Bounds>) {
    if let Some(properties) = value.get("properties").and_then(Value::as_object) {
        for (name, schema) in properties {
            let number = |key: &str| schema.get(key).and_then(Value::as_f64).map(|n| n as i64);
            let found = Bounds {
                least: number("minimum"),
                most: number("maximum"),
                items: number("maxItems").map(|n| n as u64),
            };
            if found.least.is_some() || found.most.is_some() || found.items.is_some() {
                let known = into.entry(name.clone()).or_default();
                known.least = known.least.min(found.least).or(found.least);
                known.most = known.most.max(found.most);
                known.items = known.items.max(found.items);
            }
        }
    }
    match value {
        Value::Object(fields) => fields.values().for_each(|field| gather(field, into)),
        Value::Array(items) => items.iter().for_each(|item| gather(item, into)),
        _ => {}
    }
}

pub(super) fn one_of<T: Clone>(rng: &mut Rng, of: &[T]) -> T {
    of[rng.usize(0..of.len())].clone()
}

/// A path and a request for it, most of its sizes at some bound.
pub fn request(rng: &mut Rng) -> (&'static str, Value) {
    let (path, mut request) = plain(rng);
    for _ in 0..rng.u32(0..7) {
        bend(rng, &mut request);
    }
    (path, request)
}

/// A right request, as large as at a table.
pub fn plain(rng: &mut Rng) -> (&'static str, Value) {
    if rng.u32(0..4) == 0 { of_units(rng) } else { of_numbers(rng) }
}

/// A right request from plain numbers.
pub fn of_numbers(rng: &mut Rng) -> (&'static str, Value) {
    let size = if rng.u32(0..4) == 0 { Size::Small } else { Size::Large };
    match rng.u32(0..23) {
        0..3 => ("check", random::check(rng, size)),
        3..5 => ("check", opposed(rng)),
        5..7 => ("repair", random::repair(rng, size)),
        7..10 => ("duel", random::duel(rng, size)),
        10..12 => ("blast", random::blast(rng, size)),
        12 => ("draw", random::draw(rng, size)),
        13 => ("fair", random::fair(rng, size)),
        14..18 => ("odds", random::odds(rng, size)),
        18 => ("needed", random::needed(rng, size)),
        19 => ("luck", random::luck(rng, size)),
        20 => ("compare", random::compare(rng, size)),
        21 => ("batch", random::batch(rng, size)),
        _ => ("list-points", random::list_points(rng, size)),
    }
}

fn opposed(rng: &mut Rng) -> Value {
    json!({
        "dice": dice(rng), "versus": {"dice": dice(rng)}, "ties": one_of(rng, &["win", "lose", "again"]),
        "reroll": one_of(rng, &["none", "worst", "failures", "successes", "natural_failures"]),
    })
}

/// A question about units of a book, of a pack that is there or that comes with it.
fn of_units(rng: &mut Rng) -> (&'static str, Value) {
    let inline = rng.u32(0..3) > 0;
    let text = if inline { bent_pack(rng) } else { String::new() };
    let units = if inline { ["ladder-hands", "ladder-hands"] } else { ["barges", "heron"] };
    let side = |rng: &mut Rng| {
        let mut side = json!({"unit": one_of(rng, &units)});
        if rng.bool() {
            side["models"] = json!(one_of(rng, &[1, 5, 40, 1_000]));
        }
        side
    };
    let mut matchup = json!({"attacker": side(rng), "target": side(rng)});
    let (path, mut request) = match rng.u32(0..17) {
        16 => ("compare-lists", several::two_lists(rng, &units)),
        12..14 => ("assign", several::assign(rng, &units)),
        14 => ("build", several::build(rng, &units)),
        15 => {
            set(&mut matchup, inline, &text);
            ("luck", several::luck(rng, &matchup))
        }
        0..3 => ("matchup", matchup.clone()),
        3 => (
            "duel",
            json!({"a": side(rng), "b": side(rng), "turns": rng.u32(1..=20), "first": one_of(rng, &["a", "roll", "together"])}),
        ),
        4 => {
            set(&mut matchup, inline, &text);
            ("needed", json!({"matchup": matchup, "want": {"destroyed": 0.5}, "most": one_of(rng, &[10, 200, 10_000])}))
        }
        5 => {
            set(&mut matchup, inline, &text);
            (
                "compare",
                json!({"variants": (0..rng.u32(1..=12)).map(|_| json!({"matchup": matchup})).collect::<Vec<_>>()}),
            )
        }
        6 => (
            "rule",
            json!({"ask": one_of(rng, &["what does windfall do", "can they throw uphill", "does cover help in the open"])}),
        ),
        7 => ("list-points", json!({"text": list(rng)})),
        8 => ("appraisal", json!({"unit": one_of(rng, &units)})),
        9 => ("worth", json!({"turns": rng.u32(1..=20)})),
        10 => (
            "packs/check",
            json!({"files": [{"name": "a", "text": if inline { text.clone() } else { bent_pack(rng) }}]}),
        ),
        _ => ("packs/names", json!({})),
    };
    if !["needed", "compare", "packs/check", "luck"].contains(&path) {
        set(&mut request, inline, &text);
    }
    (path, request)
}

fn set(request: &mut Value, inline: bool, text: &str) {
    request["pack"] = json!(if inline { text } else { "canal-guild" });
}

/// A pasted list, some of its lines readable.
pub(super) fn list(rng: &mut Rng) -> String {
    let lines = [
        "5 Ladder Hands",
        "3x Ladder Hands + pear basket",
        "nothing of the sort",
        "10 x 10 x 10",
        "300 points",
        "aaaaaaaaaaaaaaaaaaaaaaaaaaaa",
    ];
    (0..one_of(rng, &[1, 20, 500, 2_000])).map(|_| one_of(rng, &lines)).collect::<Vec<_>>().join("\n")
}

/// The pack that `new-pack` writes, in one file.
pub static STARTER: LazyLock<String> = LazyLock::new(|| {
    let units = include_str!("../../shared/src/packs/starter/units.toml");
    let (_, units) = units.split_once("[[").expect("a table");
    format!("{}\n[[{units}", include_str!("../../shared/src/packs/starter/rules.toml"))
});

/// The pack that `new-pack` writes, in one file, with its sizes at some bound.
pub fn bent_pack(rng: &mut Rng) -> String {
    let mut text = STARTER.clone();
    for _ in 0..rng.u32(0..6) {
        text = match rng.u32(0..10) {
            0 => text.replace(
                "lobs = \"1d3\"",
                &format!("lobs = {}", one_of(rng, &["\"100d100\"", "\"100d6\"", "10000", "\"1d100\""])),
            ),
            1 => text.replace("extra = 1", &format!("extra = {}", one_of(rng, &["10", "\"1d10\"", "\"2d5\""]))),
            2 => text.replace("dice = \"2d6\"", "dice = \"100d100\""),
            3 => text.replace("most = 12", "most = 1000"),
            4 => text.replace("heft = 3", "heft = 1000"),
            5 => text.replace("girth = 3", "girth = 1"),
            // More steps of the kind that bring more hits.
            6 => {
                let steps: String = (0..5)
                    .map(|n| {
                        format!(
                            "\n[[step]]\nid = \"lob-{n}\"\nneeds = \"unit.eye\"\ncritical = {{ on = 2, extra = 10 }}\n"
                        )
                    })
                    .collect();
                let names: String = (0..5).map(|n| format!("\"lob-{n}\", ")).collect();
                text.replace("steps = [\"lob\",", &format!("steps = [{names}\"lob\",")) + &steps
            }
            // More units, by the hundred, and more names for them.
            7 => {
                let units: String = (0..one_of(rng, &[10, 100, 400])).map(|n| format!(
                    "\n[[unit]]\nid = \"hands-{n}\"\nkind = \"folk\"\nrole = \"growers\"\nmodels = {{ least = 1, most = 60 }}\npoints = {n}\nstats = {{ eye = \"4+\", girth = 3, calm = 7 }}\nweapons = [\"pear-basket\"]\nalso = [\"{}\"]\n",
                    "x".repeat(one_of(rng, &[3, 64, 200]))
                )).collect();
                text + &units
            }
            8 => {
                let rules: String = (0..one_of(rng, &[5, 50, 200])).map(|n| format!(
                    "\n[[rule]]\nid = \"turn-{n}\"\nlabel = \"Turn {n}\"\ntext = \"{}\"\nside = \"table\"\nwhen = {{ uphill = true }}\n[[rule.change]]\nstep = \"lob\"\nharder = 1\n",
                    "y".repeat(one_of(rng, &[3, 500, 2_000]))
                )).collect();
                text + &rules
            }
            _ => text.replace("unit.eye", &one_of(rng, &["unit.nothing".to_owned(), "z".repeat(20_000)])),
        };
        if text.len() > 200_000 {
            break;
        }
    }
    text
}

fn dice(rng: &mut Rng) -> Value {
    let plain = [
        "100d100",
        "100d6",
        "100d2",
        "1d100",
        "50d20",
        "10d10",
        "d2",
        "0",
        "10000",
        "100d100-1000",
        "2d100+1000",
        "20d20",
    ];
    match rng.u32(0..5) {
        0 => distribution(rng),
        _ => json!(one_of(rng, &plain)),
    }
}

/// A distribution as input: short or at its longest, its chances plain or as long as they may be written.
fn distribution(rng: &mut Rng) -> Value {
    let rows = one_of(rng, &[2, 50, 400, 3_000]);
    let apart = one_of(rng, &[1, 3]);
    let long = rng.bool();
    let weight = |row: usize| {
        if !long {
            return json!({"value": row * apart, "fraction": format!("1/{rows}")});
        }
        // Denominators that have nothing in common, so that sums of them are as long as can be.
        let below = format!("{}{}", "9".repeat(40), 2 * row + 1);
        json!({"value": row * apart, "fraction": format!("{}/{below}", "9".repeat(40))})
    };
    json!({"distribution": (0..rows).map(weight).collect::<Vec<_>>()})
}

/// Sets one field to a bound of it, or makes a list or a name as long as it may be.
fn bend(rng: &mut Rng, request: &mut Value) {
    let mut pointers = Vec::new();
    collect(request, String::new(), &mut pointers);
    let pointer = one_of(rng, &pointers);
    let name = pointer.rsplit('/').next().unwrap_or_default().to_owned();
    let Some(spot) = request.pointer_mut(&pointer) else { return };
    let is_dice = ["dice", "attacks", "damage", "incoming", "restores", "extra", "harm"].contains(&name.as_str());
    match spot {
        Value::Object(fields) => add(rng, fields),
        Value::Array(items) => lengthen(rng, &name, items),
        Value::Number(_) | Value::String(_) | Value::Bool(_) if is_dice => *spot = dice(rng),
        Value::Number(number) => {
            let now = number.as_i64().unwrap_or(1);
            *spot = json!(bound(rng, &name, now));
        }
        Value::String(text) if ["name", "label", "effect", "unit", "ask", "rule"].contains(&name.as_str()) => {
            *text = one_of(
                rng,
                &["n".repeat(64), "n".repeat(65), "na ".repeat(20_000), "\u{1}".repeat(64), "é".repeat(64)],
            );
        }
        Value::String(text) if text.ends_with(['+', '-']) || text == "auto" || text == "never" => {
            *text = one_of(rng, &["1+", "2+", "6+", "10000+", "1-", "3-", "10000-", "auto", "never"]).to_owned();
        }
        _ => {}
    }
}

/// A number at a bound of its name, or a step beside it, or somewhere between.
fn bound(rng: &mut Rng, name: &str, now: i64) -> i64 {
    let Bounds { least, most, .. } = BOUNDS.get(name).copied().unwrap_or_default();
    let (least, most) = (least.unwrap_or(0), most.unwrap_or(10_000));
    match rng.u32(0..8) {
        0 => least,
        1 => most,
        2 => least.saturating_add(1),
        3 => most.saturating_sub(1),
        4 => most.saturating_add(1),
        5 => now.saturating_mul(10),
        _ => {
            let span = (most.saturating_sub(least)).max(1) as f64;
            least.saturating_add(span.powf(rng.f64()) as i64)
        }
    }
}

/// As many of the last item as there may be, each with a name of its own.
fn lengthen(rng: &mut Rng, name: &str, items: &mut Vec<Value>) {
    let most = BOUNDS.get(name).and_then(|bounds| bounds.items).unwrap_or(100);
    let most = one_of(rng, &[most, most, most + 1, 2 * most]).min(2_000) as usize;
    let Some(last) = items.last().cloned() else { return };
    // A list of what is large already would be a body that is refused for its bytes alone.
    let most = most.min(200_000 / last.to_string().len().max(1));
    while items.len() < most {
        let mut next = last.clone();
        for key in ["name", "effect", "label"] {
            if next.get(key).is_some() {
                next[key] = json!(format!("{key} {}", items.len()));
            }
        }
        if next.get("at_least").is_some() {
            next["at_least"] = json!(items.len() + 1);
        }
        items.push(next);
    }
}

/// A field that makes more of it.
fn add(rng: &mut Rng, fields: &mut Map<String, Value>) {
    let more = [
        ("exact", json!(true)),
        ("passed", json!(true)),
        ("reroll", json!("failures")),
        ("reroll", json!("worst")),
        ("keep", json!({"highest": 50})),
        ("critical", json!({"on": 2, "extra": 10, "always": true})),
        ("critical", json!({"on": 2, "extra": "1d10", "damage": "10d10"})),
        ("backfire", json!({"on": 5, "harm": "10d10"})),
        ("tries", json!(10_000)),
        ("rerolls", json!(10_000)),
        ("turns", json!(1_000)),
        ("attackers", json!(10_000)),
        ("draws", json!(1_000)),
        ("ends_on", json!({"red": 20, "blue": 20})),
        ("ignore", json!({"needs": "5+"})),
        ("spill", json!(true)),
        ("attacks", json!("100d100")),
        ("damage", json!("100d100")),
        ("margin", (1..=100).map(|at| json!({"at_least": at, "extra": 10})).collect()),
        ("scatter", json!({"dice": "100d100"})),
        ("aim", json!("best")),
        ("volleys", json!([])),
        ("with", (0..100).map(|_| json!("zzzzzzzz")).collect()),
        ("red", json!(900)),
        ("label", json!("l".repeat(10_000))),
    ];
    let (name, value) = one_of(rng, &more);
    fields.insert(name.to_owned(), value);
}

/// Where a size stands that can be made larger and smaller.
pub fn sizes(request: &Value) -> Vec<String> {
    let mut pointers = Vec::new();
    collect(request, String::new(), &mut pointers);
    let number = |pointer: &String| request.pointer(pointer).is_some_and(|spot| spot.as_u64().is_some_and(|n| n > 0));
    pointers.retain(number);
    pointers
}

/// The most that the contract lets a size be.
pub fn most(pointer: &str) -> u64 {
    let name = pointer.rsplit('/').next().unwrap_or_default();
    BOUNDS.get(name).and_then(|bounds| bounds.most).map_or(10_000, |most| u64::try_from(most).unwrap_or(1))
}

fn collect(value: &Value, pointer: String, into: &mut Vec<String>) {
    let below = |step: &str| format!("{pointer}/{}", step.replace('~', "~0").replace('/', "~1"));
    match value {
        Value::Object(fields) => fields.iter().for_each(|(name, field)| collect(field, below(name), into)),
        // Of a long list the first few stand for all.
        Value::Array(items) => {
            items.iter().take(8).enumerate().for_each(|(at, item)| collect(item, below(&at.to_string()), into));
        }
        _ => {}
    }
    into.push(pointer);
}
