//! Whether a unit is worth its points, in one sentence; and what it does and how long it lives in another.
use super::{hardest, other};
use crate::report::saying::{
    count, is_several, listed, mean_of, means_apart, of_points, one, percent, plural, points, sentence, the_unit,
    unproven, verb,
};
use crate::wire::appraisal::{AppraisalAnswer, DamageRow};
use std::cmp::Ordering;

/// A change of the worth that is less than this share of it is a small one.
const A_LITTLE: f64 = 0.1;
/// What earns so much of its points back nearly does.
const NEARLY: f64 = 0.95;

/// Whether it earns its points back, and whether it does better than others for the same points, and than without what it
/// has taken.
pub(super) fn headline(answer: &AppraisalAnswer, bare: Option<&AppraisalAnswer>) -> String {
    let several = is_several(&answer.counted);
    let (earns, earned) = earned(answer, several);
    let others = beside(answer, several);
    // What speaks for the unit is joined to what speaks against it by `but`.
    let mut said = earns;
    if let Some((others, better)) = others {
        said.push_str(&format!(", {} point for point {others}", if better == earned { "and" } else { "but" }));
    }
    let without = bare.and_then(|bare| without_options(answer, bare, several));
    format!("{}.{}", sentence(&said), without.map_or_else(String::new, |said| format!(" {said}")))
}

fn their(several: bool) -> &'static str {
    if several { "their" } else { "its" }
}

fn they(several: bool) -> &'static str {
    if several { "they" } else { "it" }
}

/// `the Gun Sledge with a Rocket rack`.
fn who(answer: &AppraisalAnswer) -> String {
    let taken: Vec<String> = answer
        .taken
        .iter()
        .map(|label| {
            let counts = label.starts_with(|c: char| c.is_ascii_digit()) || plural(label) == *label;
            if counts { label.clone() } else { one(label) }
        })
        .collect();
    let with = if taken.is_empty() { String::new() } else { format!(" with {}", listed(&taken)) };
    format!("{}{with}", the_unit(&answer.counted))
}

/// Whether it earns its points back, and against whom.
fn earned(answer: &AppraisalAnswer, several: bool) -> (String, bool) {
    let who = who(answer);
    let cost = answer.cost.points;
    if cost == 0 {
        return (format!("{who} {} free", if several { "are" } else { "is" }), true);
    }
    let games = answer.damage.as_slice();
    if games.is_empty() {
        return (format!("{who} {} no weapon for any of these targets", verb("have", several)), false);
    }
    let (their, cost_said) = (their(several), count(cost, "point", "points"));
    let whom = |game: &DamageRow| other(answer, &game.target, &game.target_counted);
    let earned = |game: &DamageRow| game.per_point.unwrap_or(0.0);
    let paid: Vec<&DamageRow> = games.iter().filter(|game| earned(game) >= 1.0).collect();
    let best = games.iter().map(earned).fold(0.0, f64::max);
    let earn = verb("earn", several);
    let back = format!("{their} {cost_said} back");
    let said = match (paid.len(), games) {
        (1, [_]) => format!("{earn} {back} against {}", whom(paid[0])),
        (0, targets) => {
            let not = if several { "don't" } else { "doesn't" };
            let quite = if best >= NEARLY { "quite " } else { "" };
            let against = match targets {
                [only] => whom(only),
                _ => format!("any one of {their} targets"),
            };
            format!("{not} {quite}earn {back} against {against}")
        }
        (all, targets) if all == targets.len() => format!("{earn} {back} against each of {their} targets"),
        (1 | 2, _) => {
            let whom: Vec<String> = paid.iter().map(|game| whom(game)).collect();
            format!("only {earn} {back} against {}", listed(&whom))
        }
        (some, targets) => format!("{earn} {back} against {some} of {their} {} targets", targets.len()),
    };
    (format!("{who} {said}"), !paid.is_empty())
}

/// How it does beside others for the same points, and whether it does better than all of them or as well.
fn beside(answer: &AppraisalAnswer, several: bool) -> Option<(String, bool)> {
    let own = answer.worth.per_point?;
    let sides = [(Ordering::Less, "worse than"), (Ordering::Equal, "as well as"), (Ordering::Greater, "better than")];
    let mut worse = false;
    let said: Vec<String> = sides
        .into_iter()
        .filter_map(|(side, than)| {
            let those: Vec<String> = (answer.comparators.iter())
                .filter(|row| row.worth.per_point.is_some_and(|worth| own.total_cmp(&worth) == side))
                .map(|row| format!("the {}", row.unit))
                .collect();
            worse |= side == Ordering::Less && !those.is_empty();
            (!those.is_empty()).then(|| format!("{than} {}", listed(&those)))
        })
        .collect();
    let does = verb("do", several);
    (!said.is_empty()).then(|| (format!("{} {does} {}", they(several), said.join(" but ")), !worse))
}

/// How it would do for its points without its options.
fn without_options(answer: &AppraisalAnswer, bare: &AppraisalAnswer, several: bool) -> Option<String> {
    let (with, without) = (answer.worth.per_point?, bare.worth.per_point?);
    let taken: Vec<String> = answer.taken.iter().map(|label| format!("the {label}")).collect();
    let said = means_apart(&[without, with]);
    let little = if with > 0.0 && (without / with - 1.0).abs() < A_LITTLE { "a little " } else { "" };
    let does = match without.total_cmp(&with) {
        Ordering::Greater => format!("{little}better for {} points", their(several)),
        Ordering::Equal => format!("as well for {} points", their(several)),
        Ordering::Less => format!("{little}worse for {} points", their(several)),
    };
    let text = format!(
        "Without {} {} would do {does} (worth {}, as {} {} {}).",
        listed(&taken),
        they(several),
        said[0],
        they(several),
        if several { "are" } else { "is" },
        said[1]
    );
    (!taken.is_empty()).then_some(text)
}

/// What it destroys left alone, and how long it lives when attacked.
pub(super) fn figures(answer: &AppraisalAnswer, against_said: bool) -> String {
    let several = is_several(&answer.counted);
    let (they, turns) = (they(several), u64::from(answer.turns));
    let worth = &answer.worth;
    let turns_said = count(turns, "turn", "turns");
    let mut attackers: Vec<String> = Vec::new();
    for life in answer.approach.iter().filter(|life| life.without.is_none()) {
        attackers.push(other(answer, &life.attacker, &life.attacker_counted));
    }
    let enemies = match attackers.as_slice() {
        [only] if against_said => only.clone(),
        _ if against_said => "one of those enemies".to_owned(),
        _ => "one of the usual enemies".to_owned(),
    };
    let (share, whole) = (worth.stands, turns as f64);
    let last = if several { "the last of them" } else { "it" };
    let lasts = match hardest(answer) {
        None => format!("no enemy here has a weapon that can attack {}", if several { "them" } else { "it" }),
        Some(_) if turns == 1 => {
            let lives = percent(unproven(share));
            format!("attacked by {enemies}, {last} lives through it {lives} of the time")
        }
        Some(_) if share * whole < 1.0 => {
            format!("attacked every turn by {enemies}, {last} lasts less than one of {turns_said} on average")
        }
        Some(_) => {
            let said = mean_of(unproven(share) * whole, turns, false);
            format!("attacked every turn by {enemies}, {last} lasts {said} of {turns_said} on average")
        }
    };
    format!(
        "Left alone for a game of {turns_said}, {they} {} {} on average; {lasts}.",
        verb("destroy", several),
        of_points(&points(worth.takes))
    )
}

#[cfg(test)]
mod tests {
    use super::{figures, headline};
    use crate::wire::appraisal::{AppraisalAnswer, ApproachRow, ComparatorRow, CostForm, DamageRow, Worth};

    /// A unit of 100 points that earns so much from each target, and is worth 0.27 beside these.
    fn answer(earned: &[f64], beside: &[(&str, f64)]) -> AppraisalAnswer {
        let target = |(at, earned): (usize, &f64)| {
            let name = format!("Target {at}");
            DamageRow { target: name.clone(), target_counted: name, per_point: Some(*earned), ..DamageRow::default() }
        };
        let worth = |per_point: f64| Worth { per_point: Some(per_point), ..Worth::default() };
        let other = |(name, per_point): &(&str, f64)| ComparatorRow {
            unit: (*name).to_owned(),
            worth: worth(*per_point),
            ..ComparatorRow::default()
        };
        let sledge = || "Sledge".to_owned();
        let life = ApproachRow { attacker: sledge(), attacker_counted: sledge(), stood: 2.5, ..ApproachRow::default() };
        AppraisalAnswer {
            name: sledge(),
            counted: sledge(),
            turns: 6,
            cost: CostForm { points: 100, ..CostForm::default() },
            worth: Worth { takes: 65.25, stands: 0.415, per_point: Some(0.27) },
            damage: earned.iter().enumerate().map(target).collect(),
            approach: vec![life],
            comparators: beside.iter().map(other).collect(),
            ..AppraisalAnswer::default()
        }
    }

    #[test]
    fn it_says_whether_a_unit_is_worth_its_points() {
        let two = [("Skiff", 0.22), ("Raft", 0.15)];
        for (earned, beside, said) in [
            (
                &[0.57, 0.2][..],
                &two[..],
                "The Sledge doesn't earn its 100 points back against any one of its targets, but point for point it does \
                 better than the Skiff and the Raft.",
            ),
            (
                &[0.57],
                &[("Skiff", 0.39), ("Raft", 0.28)],
                "The Sledge doesn't earn its 100 points back against the Target 0, and point for point it does worse than \
                 the Skiff and the Raft.",
            ),
            (
                &[0.99, 0.2],
                &[("Skiff", 0.39), ("Raft", 0.15)],
                "The Sledge doesn't quite earn its 100 points back against any one of its targets, and point for point it \
                 does worse than the Skiff but better than the Raft.",
            ),
            (
                &[1.2, 0.2],
                &[("Skiff", 0.39)],
                "The Sledge only earns its 100 points back against the Target 0, but point for point it does worse \
                 than the Skiff.",
            ),
            (
                &[1.2, 1.1, 1.0, 0.2],
                &[("Skiff", 0.27)],
                "The Sledge earns its 100 points back against 3 of its 4 targets, and point for point it does as well as \
                 the Skiff.",
            ),
            (&[1.2, 1.1], &[], "The Sledge earns its 100 points back against each of its targets."),
        ] {
            assert_eq!(headline(&answer(earned, beside), None), said);
        }
        let mut free = answer(&[0.0], &two);
        free.cost.points = 0;
        free.worth.per_point = None;
        assert_eq!(headline(&free, None), "The Sledge is free.");
        let unarmed = answer(&[], &[]);
        assert_eq!(headline(&unarmed, None), "The Sledge has no weapon for any of these targets.");
    }

    #[test]
    fn options_are_held_against_the_unit_without_them() {
        let mut with = answer(&[0.57, 0.2], &[]);
        with.taken = ["Rack", "2 Long guns", "Flags"].map(str::to_owned).to_vec();
        let mut bare = answer(&[0.57, 0.2], &[]);
        let mut said = |worth: f64| {
            bare.worth.per_point = Some(worth);
            headline(&with, Some(&bare))
        };
        let first = "The Sledge with a Rack, 2 Long guns and Flags doesn't earn its 100 points back against any one of its \
                     targets. Without the Rack, the 2 Long guns and the Flags it would do ";
        assert_eq!(said(0.29), format!("{first}a little better for its points (worth 0.29, as it is 0.27)."));
        assert_eq!(said(0.2), format!("{first}worse for its points (worth 0.2, as it is 0.27)."));
        assert_eq!(said(0.27), format!("{first}as well for its points (worth 0.27, as it is 0.27)."));
    }

    #[test]
    fn what_it_does_and_how_long_it_lives() {
        let mut of = answer(&[0.57], &[]);
        assert_eq!(
            figures(&of, false),
            "Left alone for a game of 6 turns, it destroys 65 points on average; attacked every turn by one of the usual \
             enemies, it lasts 2.49 of 6 turns on average."
        );
        assert!(figures(&of, true).contains("attacked every turn by another Sledge, it lasts 2.49 of 6 turns"));
        of.worth.stands = 0.1;
        assert!(figures(&of, false).ends_with("it lasts less than one of 6 turns on average."));
        of.worth.stands = 1.0;
        assert!(figures(&of, false).ends_with("it lasts over 5.99 of 6 turns on average."));
        of.counted = "5 Rafts".to_owned();
        of.approach.clear();
        assert_eq!(
            figures(&of, false),
            "Left alone for a game of 6 turns, they destroy 65 points on average; no enemy here has a weapon that can \
             attack them."
        );
    }
}
