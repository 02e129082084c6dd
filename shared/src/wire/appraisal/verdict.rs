//! The verdict: three sentences, each from one number held against another, so that anyone can look both up.
use super::answer::{AppraisalAnswer, VerdictRow};
use super::sentences::ROUNDED;
use super::voice::{Voice, as_asked, other, survives, turns};
use crate::report::saying::{count, is_several, listed, means_apart, per_point, points, sentence};
use std::cmp::Ordering;

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

/// The target against which it earns most, against what it costs; and what it earns on average over several.
fn prey(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let all: Vec<(usize, f64)> =
        of.damage.iter().enumerate().filter_map(|(at, game)| Some((at, game.per_point?))).collect();
    let average = all.iter().map(|(_, earned)| earned).sum::<f64>() / all.len().max(1) as f64;
    let (at, earned) = all.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let several = all.len() > 1;
    let (game, voice) = (&of.damage[at], Voice::of(of));
    let target = other(of, &game.target, &game.target_counted);
    let alone = format!("Left alone for {}", turns(of.turns));
    let costs = format!("for each point {}", voice.does("cost"));
    let noun = |said: &str| if said.ends_with(" 1") || said == "1" { "point" } else { "points" };
    let (mut said, mut mean) = (per_point(earned), per_point(average));
    if said == mean && earned > average {
        let apart = means_apart(&[earned, average]);
        (said, mean) = (apart[0].clone(), apart[1].clone());
    }
    let noun_of_best = noun(&said);
    let text = if earned >= 1.0 {
        let tail = match (several, average >= 1.0) {
            (false, _) => String::new(),
            (true, true) => format!(", and on average over {} targets ({mean})", voice.their),
            (true, false) => format!(", but not on average over {} targets ({mean})", voice.their),
        };
        let earns = voice.does("earn");
        format!(
            "{alone}, {earns} {} points back against {target} ({said} {noun_of_best} destroyed {costs}){tail}.",
            voice.their
        )
    } else if game.target_points < of.cost.points && game.points >= NEARLY_ALL * game.target_points as f64 {
        // No more is destroyed than there is; all of it only where nothing can be left.
        let (most, all) = (points(game.points), points(game.target_points as f64));
        let part = match (most == all, game.left <= 0.0) {
            (_, true) => "all".to_owned(),
            (true, false) => "nearly all".to_owned(),
            (false, false) => most,
        };
        let over = format!(
            " On average over {} targets {} {mean} {} {costs}.",
            voice.their,
            voice.does("destroy"),
            noun(&mean)
        );
        format!(
            "{alone}, {} {part} of the {} of {target}, {} best target; {} {}.{}",
            voice.does("destroy"),
            count(game.target_points, "point", "points"),
            voice.their,
            voice.does("cost"),
            count(of.cost.points, "point", "points"),
            if several { over } else { String::new() }
        )
    } else {
        let does = match said.ends_with(" 1") {
            true => format!("{} all but {}", voice.they, voice.verb("earn")),
            false => format!("{} earn", voice.does_not()),
        };
        let over = if several { format!(", on average over {} targets {mean}", voice.their) } else { String::new() };
        format!(
            "{alone}, {does} {} points back: at best {} {said} {noun_of_best} {costs} (against {target}){over}.",
            voice.their,
            voice.does("destroy")
        )
    };
    let helps = of.helped.iter().any(|row| row.gained > ROUNDED && as_asked(of, row));
    let nearby = format!(" What {} for units near {} is not counted in that.", voice.does("do"), voice.them);
    let text = if helps { format!("{text}{nearby}") } else { text };
    Some(row(text, earned, format!("/damage/{at}/per_point"), 1.0, earned >= 1.0))
}

/// The attacker under which it survives shortest, against half of the game.
fn enemy(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let whole = of.approach.iter().enumerate().filter(|(_, life)| life.without.is_none());
    let (at, life) = whole.min_by(|a, b| a.1.stood.total_cmp(&b.1.stood))?;
    let half = f64::from(of.turns) / 2.0;
    let voice = Voice::of(of);
    let who = other(of, &life.attacker, &life.attacker_counted);
    let lives = survives(of, &means_apart(&[life.stood, half])[0], (life.stood, &life.standing));
    let how = if of.approach_turns.is_empty() { "" } else { " on the way in" };
    let lasts = life.stood >= half;
    let (enemy, is, those) =
        if is_several(&life.attacker_counted) { ("enemies", "are", "those") } else { ("enemy", "is", "that") };
    let text = if lasts {
        format!("Even against {} worst {enemy}{how}, {who}, {lives}.", voice.their)
    } else {
        format!("{} worst {enemy}{how} {is} {who}: against {those} {lives}.", sentence(voice.their))
    };
    Some(row(text, life.stood, format!("/approach/{at}/stood"), half, lasts))
}

/// What it is worth for its points, against its comparators: each on its side, with its worth. What worth is, is said here.
fn beside_others(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let own = of.worth.per_point?;
    let mut others: Vec<(&str, f64)> = Vec::new();
    for other in &of.comparators {
        others.extend(other.worth.per_point.map(|worth| (other.unit.as_str(), worth)));
    }
    others.sort_by(|a, b| b.1.total_cmp(&a.1));
    let against = others.first()?.1;
    let mut numbers = vec![own];
    numbers.extend(others.iter().map(|(_, worth)| *worth));
    let said = means_apart(&numbers);
    let beside = |side: Ordering| {
        let those = others.iter().zip(&said[1..]).filter(|((_, worth), _)| own.total_cmp(worth) == side);
        those.map(|((name, _), said)| format!("the {name} ({said})")).collect::<Vec<_>>()
    };
    let sides = [(Ordering::Less, "worse than"), (Ordering::Equal, "as well as"), (Ordering::Greater, "better than")];
    let held: Vec<String> = sides
        .into_iter()
        .filter_map(|(side, than)| {
            let those = beside(side);
            let both = if those.len() == 2 { "both " } else { "" };
            (!those.is_empty()).then(|| format!("{than} {both}{}", listed(&those)))
        })
        .collect();
    let voice = Voice::of(of);
    let text = format!(
        "Point for point {} {}: {} own worth is {}, the points {} left alone for each point {}, times the share of the \
         game {} when attacked.",
        voice.does("do"),
        held.join(" but "),
        voice.their,
        said[0],
        voice.does("destroy"),
        voice.does("cost"),
        voice.does("survive")
    );
    Some(row(text, own, "/worth/per_point", against, own >= against))
}

/// What it costs, against the median unit of its book; nothing of a unit that is larger than it need be, as the others are
/// taken at their smallest.
pub(super) fn price(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (cost, median, upper) = (of.cost.points, of.cost.median, of.cost.middle as f64);
    // Of an even count there are two in the middle, and the median is between them.
    let lower = 2.0 * median - upper;
    let voice = Voice::of(of);
    let at = format!("At {} {}", count(cost, "point", "points"), voice.does("cost"));
    let smallest = "at their smallest size and without options";
    let text = if cost as f64 > upper {
        format!("{at} more than most units of the book (half of them cost {lower:.0} or less {smallest}).")
    } else if (cost as f64) < lower {
        format!("{at} less than most units of the book (half of them cost {upper:.0} or more {smallest}).")
    } else if lower >= upper {
        format!("{at} about as much as other units of the book (half of them cost {lower:.0} or less {smallest}).")
    } else {
        format!(
            "{at} about as much as other units of the book (half of them cost {lower:.0} or less, half of them {upper:.0} or \
             more, {smallest})."
        )
    };
    (of.models <= of.cost.least_models).then(|| row(text, cost as f64, "/cost/points", median, cost as f64 <= median))
}
