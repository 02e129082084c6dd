//! The verdict: a few sentences, each from one number held against another, so that anyone can look both up.
use super::answer::{AppraisalAnswer, VerdictRow};
use crate::report::saying::{listed, mean, often, one, sentence, share};

/// The sentences of an appraisal.
pub fn verdict(of: &AppraisalAnswer) -> Vec<VerdictRow> {
    [price(of), prey(of), enemy(of), arc(of), keep(of), check(of), drive(of)].into_iter().flatten().collect()
}

fn row(text: String, number: f64, of: impl Into<String>, against: f64) -> VerdictRow {
    VerdictRow { text: sentence(&text), number, of: of.into(), against }
}

fn turns(turns: u32) -> String {
    if turns == 1 { "one turn".to_owned() } else { format!("{turns} turns") }
}

/// What it costs, against the middle unit of its book.
fn price(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (points, middle) = (of.cost.points, of.cost.middle);
    let than = if points > middle { "more than" } else { "no more than" };
    let text = format!("At {points} points it costs {than} the middle unit of its book ({middle}).");
    Some(row(text, points as f64, "/cost/points", middle as f64))
}

/// The target against which it earns most, against what it costs.
fn prey(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let best = of.damage.iter().enumerate().filter_map(|(at, game)| game.per_point.map(|earned| (at, earned)));
    let (at, earned) = best.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let (game, turns) = (&of.damage[at], turns(of.turns));
    let target = counted(&game.target, game.target_models);
    // What rounds to one is not yet one.
    let earned_text = if earned < 1.0 && mean(earned) == "1" { "not quite 1".to_owned() } else { mean(earned) };
    let text = if earned >= 1.0 {
        format!("In {turns} it earns its points back: {earned_text} removed for each spent, from {target}.")
    } else {
        format!(
            "In {turns} it earns its points back from nobody: {earned_text} removed for each spent at best, from {target}."
        )
    };
    Some(row(text, earned, format!("/damage/{at}/per_point"), 1.0))
}

/// The attacker under which it lives shortest, against half of the game.
fn enemy(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let usual = of.survival.iter().enumerate().filter(|(_, life)| life.without.is_none() && is_usual(of, life));
    let (at, life) = usual.min_by(|a, b| a.1.stood.total_cmp(&b.1.stood))?;
    let half = f64::from(of.turns) / 2.0;
    let attacker = counted(&life.attacker, life.attacker_models);
    let part = if life.stood >= half { "at least" } else { "less than" };
    let text = format!(
        "Hardest on it: {attacker}. It stands at the end of {} of {} on average, {part} half of the game.",
        mean(life.stood),
        turns(of.turns)
    );
    Some(row(text, life.stood, format!("/survival/{at}/stood"), half))
}

/// The arc from which it loses most of its life, against the usual one under the same attacker.
fn arc(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let mut worst: Option<(usize, f64, f64)> = None;
    for (at, life) in of.survival.iter().enumerate().filter(|(_, life)| life.without.is_none()) {
        let first = of.survival.iter().find(|other| {
            other.attacker == life.attacker && other.attacker_models == life.attacker_models && other.without.is_none()
        })?;
        if first.arc == life.arc {
            continue;
        }
        let lost = first.stood - life.stood;
        if worst.is_none_or(|(_, stood, usual)| lost > usual - stood) {
            worst = Some((at, life.stood, first.stood));
        }
    }
    let (at, stood, usual) = worst?;
    let life = &of.survival[at];
    let than = if stood < usual { "sooner" } else { "no sooner" };
    let text = format!(
        "From the {} it falls {than} than from elsewhere: under {} it stands {} turns, not {}.",
        life.arc.as_deref().unwrap_or_default(),
        counted(&life.attacker, life.attacker_models),
        mean(stood),
        mean(usual)
    );
    Some(row(text, stood, format!("/survival/{at}/stood"), usual))
}

/// What its best protection adds, against a tenth of a turn.
fn keep(of: &AppraisalAnswer) -> Option<VerdictRow> {
    const LITTLE: f64 = 0.1;
    let keep = of.protections.first()?;
    let text = if keep.gained >= LITTLE {
        format!("Of what keeps it alive {} does most: {} turns more where it acts.", keep.rule, mean(keep.gained))
    } else {
        format!(
            "Nothing that it carries keeps it alive for long: {} does most and adds {} turns where it acts.",
            keep.rule,
            mean(keep.gained)
        )
    };
    Some(row(text, keep.gained, "/protections/0/gained", LITTLE))
}

/// Its first test that asks for no number, against an even chance over the game.
fn check(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (at, check) = of.checks.iter().enumerate().find(|(_, check)| check.asked.is_none())?;
    let likely = if check.fails_once > 0.5 { "more often than not" } else { "not more often than not" };
    let text = format!(
        "{} in each of {} is failed at least once {}: {likely}.",
        sentence(&one(&check.check.to_lowercase())),
        turns(of.turns),
        often(check.fails_once)
    );
    Some(row(text, check.fails_once, format!("/checks/{at}/fails_once"), 0.5))
}

/// What moves its worth most, against nothing at all.
fn drive(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let top = of.sensitivities.first()?;
    let others: Vec<String> = of.sensitivities.iter().skip(1).take(2).map(moved).collect();
    let way = if top.moved > 0.0 { "up" } else { "down" };
    let then = if others.is_empty() { String::new() } else { format!("; then {}", listed(&others)) };
    let by = share(top.moved.abs());
    let text = format!("What moves its worth most is {}: {way} by {by} of itself{then}.", top.change);
    Some(row(text, top.moved, "/sensitivities/0/moved", 0.0))
}

fn moved(drive: &super::answer::SensitivityRow) -> String {
    let sign = if drive.moved > 0.0 { '+' } else { '\u{2212}' };
    format!("{} ({sign}{})", drive.change, share(drive.moved.abs()))
}

/// Whether a life is that of the usual arc: the first of its attacker.
fn is_usual(of: &AppraisalAnswer, life: &super::answer::SurvivalRow) -> bool {
    let first = of.survival.iter().find(|other| {
        other.attacker == life.attacker && other.attacker_models == life.attacker_models && other.without.is_none()
    });
    first.is_some_and(|first| first.arc == life.arc)
}

fn counted(name: &str, models: u32) -> String {
    if models == 1 { name.to_owned() } else { format!("{models} {}", crate::report::saying::plural(name)) }
}
