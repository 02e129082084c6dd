//! The verdict: a few sentences, each from one number held against another, so that anyone can look both up.
use super::answer::{AppraisalAnswer, SurvivalRow, VerdictRow};
use crate::report::saying::{count, games, listed, mean, means_apart, one, per_point, sentence, share};
use std::cmp::Ordering;

/// The sentences of an appraisal.
pub fn verdict(of: &AppraisalAnswer) -> Vec<VerdictRow> {
    [price(of), prey(of), enemy(of), arc(of), keep(of), drawback(of), check(of), drive(of)]
        .into_iter()
        .flatten()
        .collect()
}

fn row(text: String, number: f64, of: impl Into<String>, against: f64) -> VerdictRow {
    VerdictRow { text: sentence(&text), number, of: of.into(), against }
}

fn turns(turns: u32) -> String {
    count(u64::from(turns), "turn", "turns")
}

/// Whoever has a number goes without an article: `5 Heath Riders`, `the Dredge Walker`.
fn the(counted: &str) -> String {
    if counted.starts_with(|c: char| c.is_ascii_digit()) { counted.to_owned() } else { format!("the {counted}") }
}

/// What it costs, against the median unit of its book.
fn price(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (points, median) = (of.cost.points, of.cost.median);
    let than = match (points as f64).total_cmp(&median) {
        Ordering::Greater => "more than",
        Ordering::Equal => "as much as",
        Ordering::Less => "less than",
    };
    let text = format!(
        "At {} it costs {than} the median unit of its book ({}).",
        count(points, "point", "points"),
        mean(median)
    );
    Some(row(text, points as f64, "/cost/points", median))
}

/// The target against which it earns most, against what it costs.
fn prey(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let best = of.damage.iter().enumerate().filter_map(|(at, game)| game.per_point.map(|earned| (at, earned)));
    let (at, earned) = best.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let (game, turns) = (&of.damage[at], turns(of.turns));
    let target = the(&game.target_counted);
    let said = per_point(earned);
    let points = if said.ends_with(" 1") || said == "1" { "point" } else { "points" };
    // The target never answers, and the sentence says so.
    let text = if earned >= 1.0 {
        format!(
            "Left alone for {turns}, it destroys {said} {points} for each point spent against {target}: it earns its \
             points back."
        )
    } else {
        let does = if said.ends_with(" 1") { "all but earns" } else { "does not earn" };
        format!(
            "Left alone for {turns}, it {does} its points back: at best it destroys {said} {points} for each point \
             spent (against {target})."
        )
    };
    Some(row(text, earned, format!("/damage/{at}/per_point"), 1.0))
}

/// The attacker under which it lives shortest, against half of the game.
fn enemy(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let usual = of.survival.iter().enumerate().filter(|(_, life)| life.without.is_none() && is_usual(of, life));
    let (at, life) = usual.min_by(|a, b| a.1.stood.total_cmp(&b.1.stood))?;
    let half = f64::from(of.turns) / 2.0;
    let several = life.attacker_counted.starts_with(|c: char| c.is_ascii_digit());
    let (who, turns) = (the(&life.attacker_counted), turns(of.turns));
    let survives = format!("it survives {} of {turns}", means_apart(&[life.stood, half])[0]);
    let text = match (several, life.stood >= half) {
        (false, false) => format!("Its worst enemy is {who}: attacked by it every turn, {survives}."),
        (true, false) => format!("Its worst enemies are {who}: attacked by them every turn, {survives}."),
        (false, true) => format!("Even attacked every turn by its worst enemy, {who}, {survives}."),
        (true, true) => format!("Even attacked every turn by its worst enemies, {who}, {survives}."),
    };
    Some(row(text, life.stood, format!("/survival/{at}/stood"), half))
}

/// The arc from which it loses most of its life, against the usual one under the same attacker.
fn arc(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let mut worst: Option<(usize, f64, f64)> = None;
    for (at, life) in of.survival.iter().enumerate().filter(|(_, life)| life.without.is_none()) {
        let first = usual(of, life)?;
        if first.arc == life.arc {
            continue;
        }
        let lost = first.stood - life.stood;
        if worst.is_none_or(|(_, stood, usual)| lost > usual - stood) {
            worst = Some((at, life.stood, first.stood));
        }
    }
    let (at, stood, from_usual) = worst?;
    let life = &of.survival[at];
    let than = if stood < from_usual { "sooner" } else { "no sooner" };
    let said = means_apart(&[stood, from_usual]);
    let from = usual(of, life).and_then(|first| first.arc.clone()).unwrap_or_else(|| "elsewhere".to_owned());
    let text = format!(
        "Attacked from the {} it dies {than}: against {} it survives {} of {}, from the {from} {}.",
        life.arc.as_deref().unwrap_or_default(),
        the(&life.attacker_counted),
        said[0],
        turns(of.turns),
        said[1]
    );
    Some(row(text, stood, format!("/survival/{at}/stood"), from_usual))
}

/// Turns that are no more than rounding.
const ROUNDED: f64 = 1e-9;

/// What its best protection adds, against a tenth of a turn.
fn keep(of: &AppraisalAnswer) -> Option<VerdictRow> {
    const LITTLE: f64 = 0.1;
    let keep = of.protections.first()?;
    let text = if keep.gained >= LITTLE {
        format!("What helps it live longest is {}: {} more turns where it applies.", keep.rule, mean(keep.gained))
    } else if keep.gained > ROUNDED {
        format!("{} barely helps: {} more turns where it applies.", keep.rule, mean(keep.gained))
    } else if keep.gained >= -ROUNDED {
        format!("{} makes no difference to how long it lives.", keep.rule)
    } else {
        // A drawback has a sentence of its own.
        return None;
    };
    Some(row(text, keep.gained, "/protections/0/gained", LITTLE))
}

/// What shortens its life most, against nothing at all.
fn drawback(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (at, worst) = of.protections.iter().enumerate().min_by(|a, b| a.1.gained.total_cmp(&b.1.gained))?;
    let text = format!("A drawback is {}: {} fewer turns where it applies.", worst.rule, mean(-worst.gained));
    (worst.gained < -ROUNDED).then(|| row(text, worst.gained, format!("/protections/{at}/gained"), 0.0))
}

/// Its first test that asks for no number, against an even chance over the game.
fn check(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (at, check) = of.checks.iter().enumerate().find(|(_, check)| check.asked.is_none())?;
    let name = one(&check.check.to_lowercase());
    let turns = turns(of.turns);
    let text = match check.fails_once {
        fails if fails <= 0.0 => format!("With {name} every turn, it can't fail one."),
        fails if fails > 0.5 => {
            format!("With {name} every turn for {turns}, it fails at least one {}.", games(fails))
        }
        fails => format!(
            "With {name} every turn for {turns}, it passes them all in most games; it fails at least one {}.",
            games(fails)
        ),
    };
    Some(row(text, check.fails_once, format!("/checks/{at}/fails_once"), 0.5))
}

/// What moves its worth most, against nothing at all.
fn drive(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let top = of.sensitivities.first()?;
    let others: Vec<String> = of.sensitivities.iter().skip(1).take(2).map(moved).collect();
    let by = share(top.moved.abs());
    let does = if top.moved > 0.0 { format!("adds {by} to its worth") } else { format!("costs {by} of its worth") };
    let then = if others.is_empty() { String::new() } else { format!("; next come {}", listed(&others)) };
    let text = format!("Biggest swing: {} {does}{then}.", top.change);
    Some(row(text, top.moved, "/sensitivities/0/moved", 0.0))
}

fn moved(drive: &super::answer::SensitivityRow) -> String {
    let sign = if drive.moved > 0.0 { '+' } else { '\u{2212}' };
    format!("{} ({sign}{})", drive.change, share(drive.moved.abs()))
}

/// The life at the usual arc under the same attacker: the first of its rows.
fn usual<'a>(of: &'a AppraisalAnswer, life: &SurvivalRow) -> Option<&'a SurvivalRow> {
    of.survival.iter().find(|other| {
        other.attacker == life.attacker && other.attacker_models == life.attacker_models && other.without.is_none()
    })
}

fn is_usual(of: &AppraisalAnswer, life: &SurvivalRow) -> bool {
    usual(of, life).is_some_and(|first| first.arc == life.arc)
}
