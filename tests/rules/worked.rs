//! Matchups worked by hand: what is asked, and the fractions that must come out.
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

/// One of them. Rows are written `value: fraction`, steps `name fraction`; the fraction of a step is the chance that
/// one ordinary roll of it is in the attacker's favour.
pub struct Worked {
    /// What is asked, without the pack.
    pub request: Value,
    /// Each step.
    pub steps: &'static [&'static str],
    /// The distribution that is worked out, by its name in the answer.
    pub quantity: &'static str,
    /// Its rows.
    pub rows: &'static [&'static str],
    /// Further fractions of the answer, by pointer.
    pub also: &'static [(&'static str, &'static str)],
}

impl Worked {
    /// The answer in exact numbers.
    pub fn answer(&self, pack: &str) -> Value {
        let mut request = self.request.clone();
        request["pack"] = json!(pack);
        request["exact"] = json!(true);
        ask("matchup", request)
    }
}

/// The rows of a distribution that can happen.
pub fn rows(answer: &Value, quantity: &str) -> Vec<String> {
    let rows = answer[quantity]["distribution"].as_array().unwrap_or_else(|| panic!("no {quantity} in {answer}"));
    let fraction = |row: &Value| row["fraction"].as_str().expect("an exact row").to_owned();
    let rows = rows.iter().map(|row| (row["value"].to_string(), fraction(row)));
    rows.filter(|(_, fraction)| fraction != "0").map(|(value, fraction)| format!("{value}: {fraction}")).collect()
}

/// The steps of the only volley.
fn steps(answer: &Value) -> Vec<String> {
    let steps = answer["steps"].as_array().expect("steps").iter();
    steps.map(|s| format!("{} {}", s["name"].as_str().unwrap(), s["fraction"].as_str().unwrap())).collect()
}

/// All of them come out as worked; every difference is told at once.
#[track_caller]
pub fn all(pack: &str, worked: &[Worked]) {
    assert_eq!(worked.len(), 10, "ten to a pack");
    let mut wrong = Vec::new();
    for one in worked {
        let answer = one.answer(pack);
        let mut compare = |what: &str, found: String, expected: String| {
            if found != expected {
                wrong.push(format!("{}\n  {what}: {found}\n  by hand: {expected}", one.request));
            }
        };
        compare("steps", format!("{:?}", steps(&answer)), format!("{:?}", one.steps));
        compare(one.quantity, format!("{:?}", rows(&answer, one.quantity)), format!("{:?}", one.rows));
        for (pointer, fraction) in one.also {
            let found = answer.pointer(pointer).map(|part| part["fraction"].to_string());
            compare(pointer, found.unwrap_or_default(), format!("{fraction:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
