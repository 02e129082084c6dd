//! When to use a unit and when not: sentences, each from one number held against another.
use super::answer::{AppraisalAnswer, SurvivalRow, VerdictRow};
use super::sentences::{ROUNDED, the};
use super::verdict::{price, row, turns};
use crate::report::saying::{count, games, listed, mean, means_apart, one, percent, share};

/// The sentences of when to use it and when not.
pub fn advice(of: &AppraisalAnswer) -> Vec<VerdictRow> {
    let mut rows: Vec<VerdictRow> =
        [range(of), best_target(of), worst_target(of), round_the_side(of), arc(of), keep(of), drawback(of)]
            .into_iter()
            .flatten()
            .collect();
    rows.extend(cover(of));
    rows.extend([helper(of), helps(of), check(of), price(of), drive(of)].into_iter().flatten());
    rows
}

/// The range at which one turn destroys most, against the one at which it destroys least.
fn range(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let at = |pick: fn(f64, f64) -> bool| {
        (0..of.ranges.len())
            .reduce(|best, at| if pick(of.ranges[at].points, of.ranges[best].points) { at } else { best })
    };
    let (best, worst) = (at(|a, b| a > b)?, at(|a, b| a < b)?);
    let (most, least) = (&of.ranges[best], &of.ranges[worst]);
    let said = means_apart(&[most.points, least.points]);
    let text = if most.points - least.points > ROUNDED {
        format!(
            "Fight {}: there it destroys {} points a turn on average over its targets; {} only {}.",
            at_range(&most.at),
            said[0],
            at_range(&least.at),
            said[1]
        )
    } else if of.ranges.len() == 1 {
        format!("It only fights {}: {} points a turn on average over its targets.", at_range(&most.at), said[0])
    } else {
        format!("The range makes no difference: it destroys {} points a turn at any that it reaches.", said[0])
    };
    (most.points > 0.0).then(|| row(text, most.points, format!("/ranges/{best}/points"), least.points, true))
}

/// `at near range`, `in contact`; a name with its own preposition or article keeps it.
pub(super) fn at_range(name: &str) -> String {
    match name {
        "contact" => "in contact".to_owned(),
        _ => format!("at {name}"),
    }
}

fn mean_earned(of: &AppraisalAnswer) -> Option<(f64, Vec<(usize, f64)>)> {
    let all: Vec<(usize, f64)> =
        of.damage.iter().enumerate().filter_map(|(at, game)| Some((at, game.per_point?))).collect();
    let sum: f64 = all.iter().map(|(_, earned)| earned).sum();
    (all.len() > 1).then(|| (sum / all.len() as f64, all))
}

/// The target that it destroys best for its points, against the mean of its targets.
fn best_target(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (average, all) = mean_earned(of)?;
    let (at, earned) = all.into_iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let said = means_apart(&[earned, average]);
    let whom = the(&of.damage[at].target_counted);
    let text = format!(
        "Send it against {whom}: {} points destroyed for each point spent; its average over all targets is {}.",
        said[0], said[1]
    );
    (earned > average + ROUNDED).then(|| row(text, earned, format!("/damage/{at}/per_point"), average, true))
}

/// The target that it destroys worst for its points.
fn worst_target(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (average, all) = mean_earned(of)?;
    let (at, earned) = all.into_iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
    let said = means_apart(&[earned, average]);
    let whom = the(&of.damage[at].target_counted);
    let text = if earned > ROUNDED {
        format!("Don't send it against {whom}: only {} points destroyed for each point spent.", said[0])
    } else {
        format!("Don't send it against {whom}: it does no harm there.")
    };
    (earned < average - ROUNDED).then(|| row(text, earned, format!("/damage/{at}/per_point"), average, false))
}

/// The side of armour that is best to attack, against the usual one.
fn round_the_side(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let first = of.sides.first()?;
    let at = (1..of.sides.len()).max_by(|a, b| of.sides[*a].points.total_cmp(&of.sides[*b].points))?;
    let best = &of.sides[at];
    let said = means_apart(&[best.points, first.points]);
    let text = if best.points > first.points + ROUNDED {
        format!(
            "Attack armour from the {}: {} points in a turn instead of {} from the {}.",
            best.at, said[0], said[1], first.at
        )
    } else {
        format!(
            "It need not go round armour: from the {} it destroys {} points in a turn, from the {} {}.",
            best.at, said[0], first.at, said[1]
        )
    };
    Some(row(text, best.points, format!("/sides/{at}/points"), first.points, best.points > first.points))
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
    Some(row(text, stood, format!("/survival/{at}/stood"), from_usual, stood >= from_usual))
}

/// What its best protection adds where it does most, against a tenth of a turn.
fn keep(of: &AppraisalAnswer) -> Option<VerdictRow> {
    const LITTLE: f64 = 0.1;
    let keep = of.protections.first()?;
    let under = keep.under.get(keep.best)?;
    let at = format!("{} from the {} against {}", at_range(&under.range), under.arc, the(&under.attacker_counted));
    let text = if keep.gained >= LITTLE {
        format!("What helps it live longest is {}: {} more turns {at}.", keep.rule, mean(keep.gained))
    } else if keep.gained > ROUNDED {
        format!("{} barely helps: {} more turns at best, {at}.", keep.rule, mean(keep.gained))
    } else if keep.gained >= -ROUNDED {
        format!("{} makes no difference to how long it lives.", keep.rule)
    } else {
        // A drawback has a sentence of its own.
        return None;
    };
    Some(row(text, keep.gained, "/protections/0/gained", LITTLE, keep.gained >= LITTLE))
}

/// What shortens its life most, against nothing at all.
fn drawback(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (at, worst) = of.protections.iter().enumerate().min_by(|a, b| a.1.gained.total_cmp(&b.1.gained))?;
    let text = format!("A drawback is {}: {} fewer turns where it counts most.", worst.rule, mean(-worst.gained));
    (worst.gained < -ROUNDED).then(|| row(text, worst.gained, format!("/protections/{at}/gained"), 0.0, false))
}

/// The cover that is worth most to it, against nothing at all.
fn cover(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let stands = |change: &str| change.starts_with("standing ");
    let all = of.sensitivities.iter().enumerate().filter(|(_, row)| stands(&row.change));
    let (at, best) = all.max_by(|a, b| a.1.moved.total_cmp(&b.1.moved))?;
    // The change has its preposition already.
    let where_it_is = best.change.trim_start_matches("standing ");
    let text = if best.moved > 0.0 {
        format!("Put it {where_it_is}: that adds {} to its worth.", share(best.moved))
    } else {
        format!("No cover helps it: even {where_it_is} it loses {} of its worth.", share(-best.moved))
    };
    Some(row(text, best.moved, format!("/sensitivities/{at}/moved"), 0.0, best.moved > 0.0))
}

/// The unit that does most for it for its points, against nothing at all.
fn helper(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let best = of.helpers.first()?;
    let text = if best.gained > ROUNDED {
        let who = if best.near == of.name { "another" } else { "the" };
        format!("Keep {who} {} near: it gives {} more points in a game.", best.near, mean(best.gained))
    } else {
        format!("It needs nobody near: even its best helper, the {}, adds no points.", best.near)
    };
    Some(row(text, best.gained, "/helpers/0/gained", 0.0, best.gained > ROUNDED))
}

/// The unit for which it does most for its points.
fn helps(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let best = of.helped.first()?;
    let with = if best.near == of.name { String::new() } else { format!(" (as {})", best.near) };
    let text = if best.gained > ROUNDED {
        format!("Keep it near {}{with}: they give {} more points in a game.", the(&best.unit), mean(best.gained))
    } else {
        format!("Its presence{with} adds no points to anybody's game.")
    };
    Some(row(text, best.gained, "/helped/0/gained", 0.0, best.gained > ROUNDED))
}

/// Its first test that asks for no number, against an even chance over the game.
fn check(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (at, check) = of.checks.iter().enumerate().find(|(_, check)| check.asked.is_none())?;
    let name = one(&check.check.to_lowercase());
    let (turns, passes) = (turns(of.turns), percent(check.passes));
    let text = match check.fails_once {
        fails if fails <= 0.0 => format!("With {name} every turn, it can't fail one."),
        fails if fails > 0.5 => format!(
            "With {name} every turn for {turns} ({passes} to pass each), it fails at least one {}.",
            games(fails)
        ),
        fails => format!(
            "With {name} every turn for {turns} ({passes} to pass each), it passes them all in most games; it fails at \
             least one {}.",
            games(fails)
        ),
    };
    Some(row(text, check.fails_once, format!("/checks/{at}/fails_once"), 0.5, check.fails_once <= 0.5))
}

/// What moves its worth most, against nothing at all.
fn drive(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let top = of.sensitivities.first()?;
    let others: Vec<String> = of.sensitivities.iter().skip(1).take(2).map(moved).collect();
    let by = share(top.moved.abs());
    let does = if top.moved > 0.0 { format!("adds {by} to its worth") } else { format!("costs {by} of its worth") };
    let then = if others.is_empty() { String::new() } else { format!("; next come {}", listed(&others)) };
    let text = format!("Biggest swing: {} {does}{then}.", top.change);
    Some(row(text, top.moved, "/sensitivities/0/moved", 0.0, top.moved > 0.0))
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

/// `Command, 70 points; a list has up to 2 choices of Command, and one of these at most`.
pub(super) fn slots(of: &AppraisalAnswer) -> String {
    let cost = &of.cost;
    let shared = match cost.per_slot {
        0 | 1 => String::new(),
        several => format!(" ({several} of these are one)"),
    };
    let slots = cost.slots.map(|slots| {
        format!("a list has up to {} of {}{shared}", count(u64::from(slots), "choice", "choices"), cost.role)
    });
    // No more than the choices of its role hold is nothing more to say.
    let room = cost.slots.map(|slots| slots.saturating_mul(cost.per_slot.max(1)));
    let most = cost.most.filter(|most| room.is_none_or(|room| *most < room)).map(|most| match (&slots, most) {
        (Some(_), 1) => " and one of these at most".to_owned(),
        (Some(_), most) => format!(" and {most} of these at most"),
        (None, most) => format!("a list has at most {most} of these"),
    });
    let limits = [slots, most].into_iter().flatten().collect::<Vec<_>>().join(",");
    let points = format!("{}, {}", cost.role, count(cost.points, "point", "points"));
    if limits.is_empty() { points } else { format!("{points}; {limits}") }
}
