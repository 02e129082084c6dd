//! Rolls of all kinds, and what hangs on their faces.
use super::{Size, die, few, maybe, object, one_of, percent};
use fastrand::Rng;
use serde_json::{Value, json};

/// Where a roll stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Of {
    Check,
    Attacker,
    Defender,
}

const REROLLS: [&str; 5] = ["worst", "failures", "natural_failures", "successes", "not_critical"];

/// `die` or `dice` with `keep`, needs or versus, modifier, re-roll, natural faces.
pub(crate) fn roll(rng: &mut Rng, size: Size, of: Of) -> Value {
    let sides = die(rng, size);
    let several = percent(rng, if of == Of::Check { 50 } else { 20 });
    let mut roll = if several { pool(rng, size) } else { json!({"die": sides}) };
    let best = ends(&roll).1;
    if percent(rng, 20) {
        let other = if percent(rng, 50) { json!({"dice": format!("d{}", die(rng, size))}) } else { pool(rng, size) };
        object(&mut roll).insert("versus".into(), other);
        maybe(rng, 40, &mut roll["versus"], "modifier", |rng| json!(rng.i32(-2..=2)));
        let ties = if of == Of::Check { ["win", "lose", "again"] } else { ["attacker", "defender", "again"] };
        maybe(rng, 80, &mut roll, "ties", |rng| json!(one_of(rng, &ties)));
    } else {
        let text = match rng.u32(0..20) {
            0 => "auto".to_string(),
            1 => "never".to_string(),
            2..6 => format!("{}-", rng.i64(1..=best)),
            _ => format!("{}+", rng.i64(2..=best + 1)),
        };
        object(&mut roll).insert("needs".into(), json!(text));
    }
    maybe(rng, 35, &mut roll, "modifier", |rng| json!(rng.i32(-2..=2)));
    maybe(rng, 40, &mut roll, "reroll", |rng| json!(one_of(rng, &REROLLS)));
    maybe(rng, 30, &mut roll, "low_fails", |_| json!(true));
    maybe(rng, 30, &mut roll, "high_succeeds", |_| json!(true));
    roll
}

/// A roll that attacks wait for, and what its worst faces do.
pub(crate) fn gate(rng: &mut Rng, size: Size) -> Value {
    let mut gate = roll(rng, size, Of::Attacker);
    let (low, best) = ends(&gate);
    if let Some(die) = object(&mut gate).remove("die") {
        object(&mut gate).insert("dice".into(), json!(format!("d{die}")));
    }
    let mirrored = gate["needs"].as_str().is_some_and(|needs| needs.ends_with('-'));
    maybe(rng, 40, &mut gate, "backfire", |rng| {
        let mut backfire = json!({"on": if mirrored { rng.i64(low + 1..=best) } else { rng.i64(low..best) }});
        maybe(rng, 60, &mut backfire, "needs", |rng| json!(format!("{}+", rng.i64(2..=best))));
        // Only in a duel does it do anything.
        maybe(rng, 50, &mut backfire, "harm", |rng| few(rng, size, 1));
        backfire
    });
    gate
}

/// A table somewhere among the steps; `turned` says how to change a step that stands behind it.
pub(crate) fn table_among(rng: &mut Rng, size: Size, steps: &mut Vec<Value>, most: usize) {
    let at = rng.usize(0..=most);
    let later: Vec<Later> = steps[at..].iter().map(Later::of).collect();
    let mut table = pool(rng, size);
    object(&mut table).extend([("name".to_string(), json!("table")), ("kind".to_string(), json!("table"))]);
    maybe(rng, 40, &mut table, "modifier", |rng| json!(rng.i32(-2..=2)));
    maybe(rng, 40, &mut table, "reroll", |rng| json!(one_of(rng, &["none", "worst"])));
    let mut at_least = rng.i32(-1..=2);
    let rows = (0..rng.u32(1..=3)).map(|_| {
        at_least += rng.i32(1..=2);
        let mut row = if percent(rng, 25) { json!({"ends": true}) } else { gain(rng, size, &later) };
        object(&mut row).insert("at_least".into(), json!(at_least));
        row
    });
    let rows: Vec<Value> = rows.collect();
    object(&mut table).insert("rows".into(), json!(rows));
    // What comes before it may move its roll.
    let mut ours = steps[..at].iter_mut().filter(|step| step["by"] != "defender");
    if let Some(critical) = ours.find_map(|step| step.get_mut("critical"))
        && critical.get("then").is_none()
        && percent(rng, 50)
    {
        let moved = one_of(rng, &[json!({"modifier": {"plus": 1}}), json!({"modifier": 0})]);
        object(critical).insert("then".into(), json!({"table": moved}));
    }
    steps.insert(at, table);
}

/// Several dice, some of them kept.
fn pool(rng: &mut Rng, size: Size) -> Value {
    let sides = if size == Size::Small { rng.i64(2..=4) } else { die(rng, size) };
    let count = rng.u32(2..=size.pick(2, 4));
    let mut pool = json!({"dice": format!("{count}d{sides}{}", one_of(rng, &["", "", "+1", "-2"]))});
    maybe(rng, 50, &mut pool, "keep", |rng| json!({one_of(rng, &["highest", "lowest"]): rng.u32(1..=count)}));
    pool
}

/// The lowest and the highest natural total.
fn ends(roll: &Value) -> (i64, i64) {
    let Some(text) = roll["dice"].as_str() else { return (1, roll["die"].as_i64().expect("a die")) };
    let (count, rest) = text.split_once('d').expect("dice");
    let sides: i64 = rest.split(['+', '-']).next().and_then(|s| s.parse().ok()).expect("sides");
    let kept = roll["keep"].as_object().and_then(|keep| keep.values().next()).and_then(Value::as_i64);
    let kept = kept.unwrap_or(count.parse().unwrap_or(1));
    (kept, kept * sides)
}

/// A side roll: one die, a need, perhaps a modifier.
pub(crate) fn side(rng: &mut Rng, size: Size) -> Value {
    let sides = die(rng, size);
    let mirrored = percent(rng, 20);
    let need = rng.i64(1..=sides + 1);
    let mut roll = json!({"die": sides, "needs": format!("{need}{}", if mirrored { '-' } else { '+' })});
    maybe(rng, 25, &mut roll, "modifier", |rng| json!(rng.i32(-1..=1)));
    roll
}

/// A roll step by either side, with what hangs on its faces. `later` names steps whose numbers may be replaced.
pub(crate) fn step(rng: &mut Rng, size: Size, name: &str, of: Of, later: &[Later]) -> Value {
    let mut step = roll(rng, size, of);
    object(&mut step).insert("name".into(), json!(name));
    if step["needs"] == "auto" || step["needs"] == "never" {
        // Not rolled, so nothing hangs on its faces.
        if of == Of::Defender {
            object(&mut step).insert("by".into(), json!("defender"));
        }
        return step;
    }
    let mirrored = step["needs"].as_str().is_some_and(|needs| needs.ends_with('-'));
    let (low, best) = ends(&step);
    if of == Of::Defender {
        object(&mut step).insert("by".into(), json!("defender"));
        maybe(rng, 15, &mut step, "critical", |rng| json!({"on": critical(rng, low, best, mirrored)}));
        return step;
    }
    maybe(rng, 50, &mut step, "critical", |rng| {
        let mut gain = gain(rng, size, later);
        object(&mut gain).insert("on".into(), json!(critical(rng, low, best, mirrored)));
        maybe(rng, 40, &mut gain, "always", |_| json!(false));
        gain
    });
    if !mirrored {
        maybe(rng, 25, &mut step, "margin", |rng| {
            let rows = (1..=rng.i64(1..=2)).map(|n| {
                let mut row = gain(rng, size, later);
                object(&mut row).insert("at_least".into(), json!(n));
                row
            });
            rows.collect()
        });
    }
    let single = step.get("die").is_some();
    maybe(rng, 25, &mut step, "backfire", |rng| {
        let mut backfire = json!({});
        // What is left out where low is good, or of several dice, is said nowhere.
        maybe(rng, if mirrored || !single { 100 } else { 50 }, &mut backfire, "on", |rng| {
            json!(if mirrored { rng.i64(low + 1..=best) } else { rng.i64(low..best) })
        });
        if single {
            maybe(rng, 60, &mut backfire, "needs", |rng| json!(format!("{}+", rng.i64(2..=best))));
        }
        // Only in a duel does it do anything.
        maybe(rng, 50, &mut backfire, "harm", |rng| few(rng, size, 1));
        backfire
    });
    step
}

/// A face that is critical, never the worst one.
fn critical(rng: &mut Rng, low: i64, best: i64, mirrored: bool) -> i64 {
    if mirrored { rng.i64(low..best) } else { rng.i64(low + 1..=best) }
}

/// A later step that a critical may change.
#[derive(Clone, Debug)]
pub(crate) enum Later {
    /// Either way round is not mixed up: a step that wants low stays one.
    Roll(String),
    Penetrate(String),
}

impl Later {
    /// Of a step that is there.
    pub(crate) fn of(step: &Value) -> Self {
        let name = step["name"].as_str().expect("a name").to_string();
        if step["kind"] == "penetrate" { Self::Penetrate(name) } else { Self::Roll(name) }
    }

    pub(crate) fn change(&self, rng: &mut Rng) -> (String, Value) {
        let (name, change) = match self {
            Self::Roll(name) => {
                let needs = json!({"needs": one_of(rng, &["2+", "3+", "4+", "auto", "never"])});
                let modifier = json!({"modifier": rng.i32(-2..=2)});
                let more = json!({"needs": {"plus": rng.i32(-3..=3)}});
                let added = json!({"modifier": {"plus": rng.i32(-2..=2)}});
                let both = json!({"needs": {"plus": rng.i32(-3..=3)}, "modifier": {"plus": rng.i32(-2..=2)}});
                (name, one_of(rng, &[needs, modifier, more, added, both]))
            }
            Self::Penetrate(name) => {
                let add = json!({"add": rng.i32(0..=3)});
                let against = json!({"against": rng.u32(2..=6)});
                let more = json!({"add": {"plus": rng.i32(-3..=3)}});
                let harder = json!({"against": {"plus": rng.i32(-3..=3)}, "add": {"plus": 1}});
                (name, one_of(rng, &[add, against, more, harder]))
            }
        };
        (name.clone(), change)
    }
}

fn gain(rng: &mut Rng, size: Size, later: &[Later]) -> Value {
    let mut gain = json!({});
    maybe(rng, 40, &mut gain, "extra", |rng| one_of(rng, &[json!(1), json!("d2-1")]));
    maybe(rng, 30, &mut gain, "damage", |rng| few(rng, size, 1));
    if !later.is_empty() {
        maybe(rng, 60, &mut gain, "then", |rng| {
            let (name, change) = one_of(rng, later).change(rng);
            json!({name: change})
        });
    }
    gain
}

/// What a backfire or a critical is on a step that is turned round by a replaced need is said nowhere: none is. Of a roll
/// that both sides make only the modifier changes.
pub(crate) fn same_way(request: &mut Value) {
    let named = |fits: &dyn Fn(&Value) -> bool| -> Vec<String> {
        let alone = [request.clone()];
        let volleys = request["volleys"].as_array().map_or(&alone[..], Vec::as_slice);
        let steps = volleys.iter().flat_map(|volley| volley["steps"].as_array().into_iter().flatten());
        steps.filter(|step| fits(step)).map(|step| step["name"].as_str().expect("a name").to_string()).collect()
    };
    let low = named(&|step| step["needs"].as_str().is_some_and(|needs| needs.ends_with('-')));
    let opposed = named(&|step| step.get("versus").is_some());
    keep_way(request, &low, &opposed);
}

/// A replaced need of a low step, and any changed need of an opposed one, becomes a modifier.
fn keep_way(value: &mut Value, low: &[String], opposed: &[String]) {
    match value {
        Value::Object(fields) => {
            if let Some(Value::Object(then)) = fields.get_mut("then") {
                for (name, change) in then.iter_mut() {
                    let turned = low.contains(name) && change["needs"].is_string();
                    if turned || (opposed.contains(name) && change.get("needs").is_some()) {
                        *change = json!({"modifier": 1});
                    }
                }
            }
            fields.values_mut().for_each(|value| keep_way(value, low, opposed));
        }
        Value::Array(list) => list.iter_mut().for_each(|value| keep_way(value, low, opposed)),
        _ => {}
    }
}
