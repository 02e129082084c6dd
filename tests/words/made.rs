//! Questions of every command about units, dice and tables, made up at random.
use pipwright_shared::rules::model::Pack;
use serde_json::{Value, json};

/// A question that a card answers.
#[derive(Clone, Debug)]
pub enum Asked {
    /// As a link has it.
    Link(&'static str, Value),
    /// As somebody types it.
    Typed(String),
}

/// One question of some command; which one goes round with `number`.
pub fn asked(pack: &Pack, number: usize, rng: &mut fastrand::Rng) -> Asked {
    match number % 17 {
        0..=2 => Asked::Link("/v1/matchup", matchup(pack, rng)),
        3 => Asked::Link("/v1/check", check(rng)),
        4 => Asked::Link("/v1/odds", odds(rng)),
        5 => Asked::Link("/v1/repair", repair(rng)),
        6 => Asked::Link("/v1/needed", needed(pack, rng)),
        7 => Asked::Link("/v1/luck", luck(pack, rng)),
        8 => Asked::Link("/v1/duel", duel(pack, rng)),
        9 => Asked::Link("/v1/compare", compare(pack, rng)),
        10 => Asked::Link("/v1/blast", blast(rng)),
        11 => Asked::Link("/v1/draw", draw(rng)),
        12 => Asked::Typed(list(pack, rng)),
        13 => Asked::Typed(rule(pack, rng)),
        14 => Asked::Typed(named(pack, rng)),
        15 => Asked::Link("/v1/fair", fair(rng)),
        _ => Asked::Link("/v1/appraisal", appraisal(pack, rng)),
    }
}

fn one<'a, T>(of: &'a [T], rng: &mut fastrand::Rng) -> &'a T {
    &of[rng.usize(..of.len())]
}

fn side(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let unit = one(&pack.units, rng);
    let (least, most) = unit.models;
    let mut side = json!({"unit": unit.named.id});
    if rng.bool() {
        side["models"] = match rng.u8(..4) {
            // Several units of it, and now and then one that is not full.
            0 => json!(most * rng.u32(1..=4)),
            1 => json!(rng.u32(1..=3 * most)),
            _ => json!(rng.u32(least..=most)),
        };
    }
    let free = unit.options.first().filter(|option| option.inside.is_none() && option.requires.is_empty());
    if let Some(option) = free.filter(|_| rng.u8(..4) == 0)
        && side.get("models").is_none()
    {
        side["options"] = json!([option.named.id]);
    }
    side
}

fn target(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let mut target = side(pack, rng);
    let unit = pack.units.iter().find(|unit| target["unit"] == unit.named.id.as_str()).expect("a unit");
    if unit.models.1 == 1 && target.get("models").is_none() && rng.u8(..4) == 0 {
        target["hurt"] = json!(1);
    }
    target
}

fn situation(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let words = &pack.situations;
    let mut said = json!({});
    if rng.bool() {
        said["arc"] = json!(one(&words.arcs, rng).named.id);
    }
    if rng.bool() {
        said["range"] = json!(one(&words.ranges, rng).word.named.id);
    }
    if rng.u8(..3) == 0 {
        said["cover"] = json!(one(&words.covers, rng).named.id);
    }
    if rng.u8(..3) == 0 {
        said["moved"] = json!(true);
    }
    said
}

fn matchup(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let mut question = json!({"pack": pack.named.id, "attacker": side(pack, rng), "target": target(pack, rng)});
    question["situation"] = situation(pack, rng);
    if rng.u8(..6) == 0 {
        question["without"] = json!([one(&pack.rules, rng).named.id]);
    }
    question
}

fn needs(rng: &mut fastrand::Rng) -> String {
    format!("{}+", rng.u32(2..=6))
}

fn check(rng: &mut fastrand::Rng) -> Value {
    let mut question = if rng.bool() {
        json!({"dice": "d6", "needs": needs(rng)})
    } else {
        json!({"dice": "2d6", "needs": format!("{}+", rng.u32(1..=12))})
    };
    if rng.bool() {
        question["tries"] = json!(*one(&[2, 3, 5, 10, 40, 200], rng));
    }
    if rng.u8(..3) == 0 {
        question["reroll"] = json!(*one(&["worst", "failures"], rng));
    }
    question
}

fn odds(rng: &mut fastrand::Rng) -> Value {
    let attacks = match rng.u8(..3) {
        0 => json!(1),
        1 => json!(rng.u32(2..=60)),
        _ => json!("d6"),
    };
    if rng.u8(..3) == 0 {
        return json!({"attacks": attacks, "steps": [{"name": "hit", "needs": needs(rng)},
            {"name": "penetrate", "kind": "penetrate", "dice": *one(&["1d6", "2d6"], rng), "add": 4, "against": rng.u32(5..=14),
             "breach": {"structure": 1}}], "target": {"structure": rng.u32(1..=6)}});
    }
    let mut steps = vec![json!({"name": "hit", "needs": needs(rng)})];
    if rng.bool() {
        steps.push(json!({"name": "wound", "needs": needs(rng)}));
        steps.push(json!({"name": "save", "by": "defender", "needs": needs(rng)}));
    }
    let models = if rng.bool() { attacks.as_u64().unwrap_or(6).min(60) } else { rng.u64(1..=10) };
    json!({"attacks": attacks, "steps": steps, "target": {"models": models, "health": *one(&[1, 1, 2], rng)}})
}

fn repair(rng: &mut fastrand::Rng) -> Value {
    let capacity = rng.u32(2..=6);
    let mut question = json!({"capacity": capacity, "missing": rng.u32(1..capacity), "needs": needs(rng)});
    if rng.bool() {
        question["turns"] = json!(rng.u32(1..=12));
    }
    match rng.u8(..3) {
        0 => question["compare"] = json!([{"needs": needs(rng)}]),
        1 => question["incoming"] = json!("d3-1"),
        _ => {}
    }
    question
}

fn needed(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let chance = *one(&[0.5, 0.75, 0.9, 0.95, 0.99], rng);
    if rng.u8(..3) == 0 {
        let check = json!({"dice": "d6", "needs": needs(rng)});
        return json!({"check": check, "want": {"passes": rng.u32(1..=3), "chance": chance}});
    }
    let mut matchup = matchup(pack, rng);
    matchup.as_object_mut().expect("fields").remove("without");
    matchup["attacker"].as_object_mut().expect("fields").remove("models");
    json!({"matchup": matchup, "want": {"destroyed": chance}, "most": 50})
}

fn luck(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    match rng.u8(..3) {
        0 => {
            let mut check = check(rng);
            let tries = check["tries"].as_u64().unwrap_or(1);
            check["tries"] = json!(tries);
            json!({"check": check, "result": {"passes": rng.u64(..=tries)}})
        }
        1 => {
            let mut repair = repair(rng);
            repair.as_object_mut().expect("fields").remove("compare");
            json!({"repair": repair, "result": {"restored": rng.u32(..3)}})
        }
        _ => {
            let matchup = matchup(pack, rng);
            let unit =
                pack.units.iter().find(|unit| matchup["target"]["unit"] == unit.named.id.as_str()).expect("a unit");
            let armoured = pack.kinds[unit.kind].body.is_armoured();
            let lost = if armoured { json!({"structure": rng.u32(..4)}) } else { json!({"models": rng.u32(..6)}) };
            json!({"matchup": matchup, "result": lost})
        }
    }
}

fn duel(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    // Large ones take long.
    let small = |rng: &mut fastrand::Rng| {
        let unit = one(&pack.units, rng);
        json!({"unit": unit.named.id, "models": unit.models.0})
    };
    let (a, b) = (small(rng), small(rng));
    let range = &one(&pack.situations.ranges, rng).word.named.id;
    json!({"pack": pack.named.id, "a": a, "b": b, "situation": {"range": range}, "turns": rng.u32(1..=6)})
}

fn compare(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let target = json!([{"unit": {"unit": one(&pack.units, rng).named.id}}]);
    if rng.u8(..8) == 0 {
        return json!({"every": {"pack": pack.named.id}, "targets": target, "want": {"destroyed": 0.5}});
    }
    let variant = |rng: &mut fastrand::Rng| json!({"matchup": {"pack": pack.named.id, "attacker": side(pack, rng)}});
    let variants: Vec<Value> = (0..rng.usize(2..=3)).map(|_| variant(rng)).collect();
    let mut question = json!({"variants": variants, "targets": target});
    match rng.u8(..3) {
        0 => question["points"] = json!(rng.u32(60..=600)),
        1 => question["want"] = json!({"destroyed": 0.5}),
        _ => {}
    }
    question
}

fn blast(rng: &mut fastrand::Rng) -> Value {
    let formation = json!({"models": rng.u32(1..=12), "base_mm": 25, "gap_mm": 25, "files": 5});
    let mut question = json!({"template": {"diameter_mm": *one(&[76.2, 127.0, 300.0], rng)}, "formation": formation});
    if rng.u8(..3) > 0 {
        question["scatter"] = json!({"dice": *one(&["d6", "2d6"], rng)});
    }
    question
}

fn draw(rng: &mut fastrand::Rng) -> Value {
    let mut question = json!({"contents": {"red": rng.u32(1..=5), "blue": rng.u32(1..=5), "end": 1}});
    match rng.u8(..3) {
        0 => question["ends_on"] = json!({"end": 1}),
        1 => question["draws"] = json!(rng.u32(1..=3)),
        _ => {}
    }
    question
}

fn fair(rng: &mut fastrand::Rng) -> Value {
    let sides = *one(&[2, 4, 6, 8, 20], rng);
    let most = *one(&[2, 6, 40, 3000], rng);
    let faces: serde_json::Map<String, Value> =
        (1..=sides).map(|face| (face.to_string(), json!(rng.u32(0..=most)))).collect();
    json!({"faces": faces, "sides": sides})
}

fn appraisal(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let other = json!([{"unit": one(&pack.units, rng).named.id}]);
    json!({"pack": pack.named.id, "unit": one(&pack.units, rng).named.id, "against": other, "turns": rng.u32(1..=6)})
}

fn list(pack: &Pack, rng: &mut fastrand::Rng) -> String {
    let line = |rng: &mut fastrand::Rng| {
        let unit = one(&pack.units, rng);
        let (least, most) = unit.models;
        let count = rng.u32(1..=3);
        let models = if most > 1 { format!("{} ", rng.u32(least..=most)) } else { String::new() };
        let option = one(&["", "", "x"], rng);
        let option = unit.options.first().filter(|_| *option == "x").map(|option| format!(" + {}", option.named.label));
        format!("{count}x {models}{}{}", unit.named.label, option.unwrap_or_default())
    };
    let lines: Vec<String> = (0..rng.usize(1..=6)).map(|_| line(rng)).collect();
    format!("/points {}: {}", one(&[200, 500, 900, 1200], rng), lines.join("; "))
}

fn rule(pack: &Pack, rng: &mut fastrand::Rng) -> String {
    let name = &one(&pack.rules, rng).named.label;
    match rng.u8(..4) {
        0 => format!("/rule {name}"),
        1 => format!("/rule does {name} work from the {}", one(&pack.situations.arcs, rng).named.label),
        2 => format!("/rule does {name} work at {}", one(&pack.situations.ranges, rng).word.named.label),
        _ => format!("/rule does {name} help {}", one(&pack.units, rng).named.label),
    }
}

fn named(pack: &Pack, rng: &mut fastrand::Rng) -> String {
    match rng.u8(..4) {
        0 => format!("/unit {}", one(&pack.units, rng).named.label),
        1 => format!("/check {} {}", one(&pack.checks, rng).named.label, one(&pack.units, rng).named.label),
        2 => format!("/check {}", one(&pack.checks, rng).named.label),
        _ => {
            one(&["/help", "/pack", "/help check", "/help duel", "/arc 40 degrees", "/arc 4 o'clock"], rng).to_string()
        }
    }
}
