//! The verdict: three sentences, each from one number held against another, so that anyone can look both up.
use super::answer::{AppraisalAnswer, VerdictRow};
use super::sentences::{ROUNDED, several, the};
use crate::report::saying::{count, listed, mean, means_apart, per_point, sentence};

/// The share of a target that is nearly all of it.
const NEARLY_ALL: f64 = 0.9;

/// The sentences of the verdict: what it destroys, how long it survives, how it stands beside others for the same points.
pub fn verdict(of: &AppraisalAnswer) -> Vec<VerdictRow> {
    [prey(of), enemy(of), beside_others(of).or_else(|| price(of))].into_iter().flatten().collect()
}

/// A sentence from a number, and whether it speaks for the unit.
pub(super) fn row(text: String, number: f64, of: impl Into<String>, against: f64, speaks_for: bool) -> VerdictRow {
    VerdictRow { text: sentence(&text), number, of: of.into(), against, speaks_for }
}

pub(super) fn turns(turns: u32) -> String {
    count(u64::from(turns), "turn", "turns")
}

/// The target against which it earns most, against what it costs.
fn prey(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let best = of.damage.iter().enumerate().filter_map(|(at, game)| game.per_point.map(|earned| (at, earned)));
    let (at, earned) = best.max_by(|a, b| a.1.total_cmp(&b.1))?;
    let (game, turns) = (&of.damage[at], turns(of.turns));
    let target = the(&game.target_counted);
    let said = per_point(earned);
    let points = if said.ends_with(" 1") || said == "1" { "point" } else { "points" };
    let others = of.helped.first().is_some_and(|best| best.gained > ROUNDED);
    // The target never answers, and the sentence says so.
    let text = if earned >= 1.0 {
        format!(
            "Left alone for {turns}, it destroys {said} {points} for each point spent against {target}: it earns its \
             points back."
        )
    } else if game.target_points < of.cost.points && game.points >= NEARLY_ALL * game.target_points as f64 {
        // No more is destroyed than there is.
        let own = count(of.cost.points, "point", "points");
        let [all, destroyed] = [mean(game.target_points as f64), mean(game.points)];
        format!(
            "Left alone for {turns}, it destroys {destroyed} of the {all} points of {target}, its best target; it costs \
             {own} itself."
        )
    } else {
        let does = if said.ends_with(" 1") { "all but earns" } else { "does not earn" };
        format!(
            "Left alone for {turns}, it {does} its points back: at best it destroys {said} {points} for each point \
             spent (against {target})."
        )
    };
    let text = if others { format!("{text} What it does for units near it is not counted in that.") } else { text };
    Some(row(text, earned, format!("/damage/{at}/per_point"), 1.0, earned >= 1.0))
}

/// The attacker under which it survives shortest, against half of the game.
fn enemy(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let whole = of.approach.iter().enumerate().filter(|(_, life)| life.without.is_none());
    let (at, life) = whole.min_by(|a, b| a.1.stood.total_cmp(&b.1.stood))?;
    let half = f64::from(of.turns) / 2.0;
    let several = several(&life.attacker_counted);
    let (who, turns) = (the(&life.attacker_counted), turns(of.turns));
    let survives = format!("it survives {} of {turns}", means_apart(&[life.stood, half])[0]);
    let how = if of.lane.is_empty() { "every turn" } else { "all the way in" };
    let lasts = life.stood >= half;
    let text = match (several, lasts) {
        (false, false) => format!("Its worst enemy is {who}: attacked by it {how}, {survives}."),
        (true, false) => format!("Its worst enemies are {who}: attacked by them {how}, {survives}."),
        (false, true) => format!("Even attacked {how} by its worst enemy, {who}, {survives}."),
        (true, true) => format!("Even attacked {how} by its worst enemies, {who}, {survives}."),
    };
    Some(row(text, life.stood, format!("/approach/{at}/stood"), half, lasts))
}

/// What it is worth for its points, against the better of its comparators.
fn beside_others(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let own = of.worth.per_point?;
    let mut others: Vec<(&str, f64)> = Vec::new();
    for other in &of.comparators {
        others.extend(other.worth.per_point.map(|worth| (other.unit.as_str(), worth)));
    }
    others.sort_by(|a, b| b.1.total_cmp(&a.1));
    let (best, against) = *others.first()?;
    let mut numbers = vec![own];
    numbers.extend(others.iter().map(|(_, worth)| *worth));
    let said = means_apart(&numbers);
    let held: Vec<String> =
        others.iter().zip(&said[1..]).map(|((name, _), said)| format!("the {name} {said}")).collect();
    let does = match own.total_cmp(&against) {
        std::cmp::Ordering::Greater => "it does better than",
        std::cmp::Ordering::Equal => "it does as well as",
        std::cmp::Ordering::Less => "it does worse than",
    };
    let text =
        format!("Point for point {does} the {best}: it gives {} for each point spent, {}.", said[0], listed(&held));
    Some(row(text, own, "/worth/per_point", against, own >= against))
}

/// What it costs, against the median unit of its book.
pub(super) fn price(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (points, median) = (of.cost.points, of.cost.median);
    let than = match (points as f64).total_cmp(&median) {
        std::cmp::Ordering::Greater => "more than",
        std::cmp::Ordering::Equal => "as much as",
        std::cmp::Ordering::Less => "less than",
    };
    let text = format!(
        "At {} it costs {than} the median unit of its book ({}).",
        count(points, "point", "points"),
        mean(median)
    );
    Some(row(text, points as f64, "/cost/points", median, points as f64 <= median))
}
