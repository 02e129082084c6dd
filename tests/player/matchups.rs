//! One attack of one unit on another: all that it takes, does and leaves behind.
use super::differences::Differences;
use super::{compare, made};
use pipwright_shared::rules::model::Pack;
use pipwright_tests::ask::affordable;
use pipwright_tests::table::body::Body;
use pipwright_tests::table::chances::{chance, mean, merged};
use pipwright_tests::table::fight::Engagement;
use pipwright_tests::table::lay::Lay;
use pipwright_tests::table::{asked, price};
use serde_json::{Value, json};

fn made(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let attacker = made::side(pack, 8, false, rng);
    let target = made::side(pack, 10, true, rng);
    let mut situation = made::stand(pack, rng);
    situation["range"] = made::range(pack, rng);
    json!({"pack": pack.named.id, "attacker": attacker, "target": target, "situation": situation})
}

fn differences(pack: &Pack, request: &Value) -> Option<Vec<String>> {
    let (encounter, answer) = (asked::matchup(pack, request)?, affordable("matchup", request)?);
    let lay = Lay::default();
    let field = Engagement::new(&encounter, &lay);
    let blow = field.blow();
    let (company, mut found) = (&field.sides[1], Differences::default());
    let (frame, began) = (&company.frame, company.began());
    let count = |of: &dyn Fn(&Body) -> i64| merged(blow.ends.iter().map(|(end, chance)| (of(end), *chance)));
    let fallen = |end: &Body| i64::try_from(began.standing - end.standing).expect("few");
    let lost = |end: &Body| frame.points(began) - frame.points(*end);
    let (figures, points) = if frame.armoured { ("wrecked", "structure") } else { ("models", "health_lost") };
    found.rows(figures, &answer[figures], &count(&fallen));
    found.rows(points, &answer[points], &count(&lost));
    found.rows("attacks", &answer["attacks"], &blow.attacks);
    if answer["backfires"].is_object() || blow.backfires.len() > 1 {
        found.rows("backfires", &answer["backfires"], &blow.backfires);
    }
    found.number("destroyed", &answer["destroyed"]["chance"], chance(&blow.ends, |end| end.standing == 0));
    for (name, said) in answer["statuses"].as_object().into_iter().flatten() {
        let bit = 1 << frame.mark(name);
        found.number(name, &said["chance"], chance(&blow.ends, |end| end.seen & bit != 0));
    }
    for (name, right) in &blow.effects {
        let said = &answer["aftermath"][name]["chance"];
        // What cannot come about need not be said.
        if !(said.is_null() && *right == 0.0) {
            found.number(name, said, *right);
        }
    }
    let share = if frame.armoured {
        let whole = Body { standing: company.figures.len(), ..Body::default() };
        mean(&blow.ends, lost) / frame.points(whole) as f64
    } else {
        mean(&blow.ends, fallen) / company.figures.len() as f64
    };
    found.number("points removed", &answer["points"]["removed"], price::of(pack, &company.said) as f64 * share);
    found.number("cost", &answer["points"]["cost"], price::of(pack, &field.sides[0].said) as f64);
    Some(found.0)
}

#[test]
fn matchups_are_as_they_are_fought() {
    compare("matchup", 120, made, differences);
}
