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
    let best = best(&roll);
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

/// Several dice, some of them kept.
fn pool(rng: &mut Rng, size: Size) -> Value {
    let sides = if size == Size::Small { rng.i64(2..=4) } else { die(rng, size) };
    let count = rng.u32(2..=size.pick(2, 4));
    let mut pool = json!({"dice": format!("{count}d{sides}{}", one_of(rng, &["", "", "+1", "-2"]))});
    maybe(rng, 50, &mut pool, "keep", |rng| json!({one_of(rng, &["highest", "lowest"]): rng.u32(1..=count)}));
    pool
}

/// The best natural total.
pub(crate) fn best(roll: &Value) -> i64 {
    let Some(text) = roll["dice"].as_str() else { return roll["die"].as_i64().expect("a die") };
    let (count, rest) = text.split_once('d').expect("dice");
    let sides: i64 = rest.split(['+', '-']).next().and_then(|s| s.parse().ok()).expect("sides");
    let kept = roll["keep"].as_object().and_then(|keep| keep.values().next()).and_then(Value::as_i64);
    kept.unwrap_or(count.parse().unwrap_or(1)) * sides
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
    let mirrored = step["needs"].as_str().is_some_and(|needs| needs.ends_with('-'));
    let best = best(&step);
    if of == Of::Defender {
        object(&mut step).insert("by".into(), json!("defender"));
        if best > 2 {
            maybe(rng, 15, &mut step, "critical", |rng| json!({"on": rng.i64(2..best)}));
        }
        return step;
    }
    if best > 2 {
        maybe(rng, 50, &mut step, "critical", |rng| {
            let mut gain = gain(rng, size, later);
            let on = if mirrored { rng.i64(2..best) } else { rng.i64(2..=best) };
            object(&mut gain).insert("on".into(), json!(on));
            maybe(rng, 40, &mut gain, "always", |_| json!(false));
            gain
        });
    }
    if !mirrored && step["needs"] != "auto" && step["needs"] != "never" {
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
        maybe(rng, if mirrored { 100 } else { 50 }, &mut backfire, "on", |rng| {
            json!(if mirrored { best } else { rng.i64(1..best) })
        });
        if single {
            maybe(rng, 60, &mut backfire, "needs", |rng| json!(format!("{}+", rng.i64(2..=best))));
        }
        backfire
    });
    step
}

/// A later step that a critical may change.
#[derive(Clone, Debug)]
pub(crate) enum Later {
    Roll(String),
    Penetrate(String),
}

impl Later {
    pub(crate) fn change(&self, rng: &mut Rng) -> (String, Value) {
        let (name, change) = match self {
            Self::Roll(name) => {
                let needs = json!({"needs": one_of(rng, &["2+", "3+", "4+", "auto", "never"])});
                let modifier = json!({"modifier": rng.i32(-2..=2)});
                (name, one_of(rng, &[needs, modifier]))
            }
            Self::Penetrate(name) => {
                let add = json!({"add": rng.i32(0..=3)});
                let against = json!({"against": rng.u32(2..=6)});
                (name, one_of(rng, &[add, against]))
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
