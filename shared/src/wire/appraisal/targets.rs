//! Whom a unit had better not be sent against, and from which side it had better attack.
use super::answer::{AppraisalAnswer, AttackRow, VerdictRow};
use super::sentences::ROUNDED;
use super::verdict::row;
use super::voice::{Voice, at, other};
use crate::report::saying::{either, listed, means_apart, of_points, points_apart};

/// What earns less than this for each point is next to nothing.
const NEXT_TO_NOTHING: f64 = 0.02;

/// The attacks of the unit, as large as it is, on one target.
fn attacks_on<'a>(of: &'a AppraisalAnswer, name: &str, models: u32) -> Vec<&'a AttackRow> {
    let own = of.attacks.iter().filter(|row| row.models == of.models);
    own.filter(|row| row.target == name && row.target_models == models).collect()
}

/// The target that it destroys worst for its points, against the mean of its targets; all of those that it can do no harm
/// to from the usual side, and where it can harm them after all.
pub(super) fn worst_target(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let all: Vec<(usize, f64)> =
        of.damage.iter().enumerate().filter_map(|(at, game)| Some((at, game.per_point?))).collect();
    let average = all.iter().map(|(_, earned)| earned).sum::<f64>() / all.len().max(1) as f64;
    let (worst, earned) = all.iter().copied().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let voice = Voice::of(of);
    let name = |at: usize| other(of, &of.damage[at].target, &of.damage[at].target_counted);
    let attacks = |at: usize| attacks_on(of, &of.damage[at].target, of.damage[at].target_models);
    // The usual side stands first.
    let harmless = |at: usize| {
        let attacks = attacks(at);
        let usual = attacks.first().map(|first| first.arc.clone());
        attacks.iter().all(|row| Some(&row.arc) != usual.as_ref() || row.points <= ROUNDED)
    };
    let unharmed: Vec<usize> =
        all.iter().filter(|(at, earned)| *earned <= ROUNDED && harmless(*at)).map(|(at, _)| *at).collect();
    let text = if unharmed.contains(&worst) {
        let exceptions: Vec<String> = unharmed
            .iter()
            .flat_map(|at| exceptions(of, &attacks(*at)).into_iter().map(|place| format!("{} {place}", name(*at))))
            .collect();
        let but = if exceptions.is_empty() { String::new() } else { format!(", except to {}", listed(&exceptions)) };
        let names: Vec<String> = unharmed.iter().map(|at| name(*at)).collect();
        format!("Don't send {} against {}: {} no harm there{but}.", voice.them, either(&names), voice.does("do"))
    } else if earned < NEXT_TO_NOTHING {
        format!("Don't send {} against {}: {} next to nothing there.", voice.them, name(worst), voice.does("do"))
    } else {
        let said = means_apart(&[earned, average]);
        format!(
            "Don't send {} against {}: only {} points destroyed for each point {}.",
            voice.them,
            name(worst),
            said[0],
            voice.does("cost")
        )
    };
    let counts = all.len() > 1 && earned < average - ROUNDED;
    counts.then(|| row(text, earned, format!("/damage/{worst}/per_point"), average, false))
}

/// The sides and the ranges at which a target is harmed: `from the rear in contact`.
fn exceptions(of: &AppraisalAnswer, attacks: &[&AttackRow]) -> Vec<String> {
    let mut places: Vec<(&str, Vec<String>)> = Vec::new();
    for row in attacks.iter().filter(|row| row.points > ROUNDED) {
        let Some(arc) = row.arc.as_deref() else { continue };
        match places.iter_mut().find(|(known, _)| *known == arc) {
            Some((_, ranges)) => ranges.push(at(of, &row.range)),
            None => places.push((arc, vec![at(of, &row.range)])),
        }
    }
    places.into_iter().map(|(arc, ranges)| format!("from the {arc} {}", either(&ranges))).collect()
}

/// The side of armour that is best to attack, against the usual one.
pub(super) fn round_the_side(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let first = of.sides.first()?;
    let side = (1..of.sides.len()).max_by(|a, b| of.sides[*a].points.total_cmp(&of.sides[*b].points))?;
    let best = &of.sides[side];
    let said = points_apart(&[best.points, first.points]);
    let place = same_range(of, [&best.at, &first.at]).map_or("at the best range".to_owned(), |range| at(of, range));
    let text = if best.points > first.points + ROUNDED {
        format!(
            "Attack armour from the {}: {place} that destroys {} a turn on average, from the {} {}.",
            best.at,
            of_points(&said[0]),
            first.at,
            said[1]
        )
    } else {
        let voice = Voice::of(of);
        format!(
            "{} need not go round armour: {place} {} {} a turn on average from the {}, {} from the {}.",
            voice.they,
            voice.does("destroy"),
            of_points(&said[0]),
            best.at,
            said[1],
            first.at
        )
    };
    Some(row(text, best.points, format!("/sides/{side}/points"), first.points, best.points > first.points))
}

/// The range that is best against every target from each of these sides; nothing where it differs.
fn same_range<'a>(of: &'a AppraisalAnswer, sides: [&str; 2]) -> Option<&'a str> {
    let mut best: Vec<(&AttackRow, f64)> = Vec::new();
    let own = of.attacks.iter().filter(|row| row.models == of.models && row.points > 0.0);
    for row in own.filter(|row| row.arc.as_deref().is_some_and(|arc| sides.contains(&arc))) {
        let place = |one: &AttackRow| (one.target.clone(), one.target_models, one.arc.clone());
        match best.iter_mut().find(|(known, _)| place(known) == place(row)) {
            Some(known) if row.points > known.1 => *known = (row, row.points),
            Some(_) => {}
            None => best.push((row, row.points)),
        }
    }
    let first = best.first()?.0.range.as_str();
    best.iter().all(|(row, _)| row.range == first).then_some(first)
}
