//! When to use a unit and when not: sentences, each from one number held against another.
use super::answer::{AppraisalAnswer, SurvivalRow, VerdictRow};
use super::nearby::{helper, helps};
use super::sentences::ROUNDED;
use super::targets::{round_the_side, worst_target};
use super::verdict::{price, row};
use super::voice::{Voice, at, other, survives, turns};
use crate::report::saying::{count, games, listed, mean, means_apart, of_points, one, percent, points_apart, share};

/// A cover that adds less than this share is not worth going to.
const LITTLE_COVER: f64 = 0.02;

/// The sentences of when to use it and when not.
pub fn advice(of: &AppraisalAnswer) -> Vec<VerdictRow> {
    let rows = [
        range(of),
        worst_target(of),
        round_the_side(of),
        arc(of),
        keep(of),
        drawback(of),
        cover(of),
        helper(of),
        helps(of),
        check(of),
        price(of),
        drive(of),
    ];
    rows.into_iter().flatten().collect()
}

/// The range at which one turn destroys most, against the one at which it destroys least.
fn range(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let pick = |pick: fn(f64, f64) -> bool| {
        (0..of.ranges.len())
            .reduce(|best, at| if pick(of.ranges[at].points, of.ranges[best].points) { at } else { best })
    };
    let (best, worst) = (pick(|a, b| a > b)?, pick(|a, b| a < b)?);
    let (most, least) = (&of.ranges[best], &of.ranges[worst]);
    let said = points_apart(&[most.points, least.points]);
    let voice = Voice::of(of);
    let (destroys, their) = (voice.does("destroy"), voice.their);
    let text = if most.points - least.points > ROUNDED {
        format!(
            "Fight {}: there {destroys} {} a turn on average over {their} targets; {} only {}.",
            at(of, &most.at),
            of_points(&said[0]),
            at(of, &least.at),
            said[1]
        )
    } else if of.ranges.len() == 1 {
        format!(
            "{} only {} {}: {} a turn on average over {their} targets.",
            voice.they,
            voice.verb("fight"),
            at(of, &most.at),
            of_points(&said[0])
        )
    } else {
        let reaches = voice.does("reach");
        format!("The range makes no difference: {destroys} {} a turn at any that {reaches}.", of_points(&said[0]))
    };
    (most.points > 0.0).then(|| row(text, most.points, format!("/ranges/{best}/points"), least.points, true))
}

/// The arc from which it loses most of its life, against the usual one under the same attacker, who stays where it is best.
fn arc(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let mut worst: Option<(usize, &SurvivalRow)> = None;
    for (at, life) in of.survival.iter().enumerate().filter(|(_, life)| life.without.is_none()) {
        let first = usual(of, life)?;
        if first.arc == life.arc {
            continue;
        }
        let lost = |at: usize, usual: &SurvivalRow| usual.stood - of.survival[at].stood;
        if worst.is_none_or(|(known, usual)| lost(at, first) > lost(known, usual)) {
            worst = Some((at, first));
        }
    }
    let (place, first) = worst?;
    let life = &of.survival[place];
    // Who lives through it from everywhere dies no sooner from anywhere.
    if life.stood >= f64::from(of.turns) {
        return None;
    }
    let than = if life.stood < first.stood { "sooner" } else { "no sooner" };
    let said = means_apart(&[life.stood, first.stood]);
    let voice = Voice::of(of);
    let elsewhere = if life.range == first.range { String::new() } else { format!(" {}", at(of, &first.range)) };
    let text = format!(
        "Attacked from the {} {} {than}: with {} {} all game, {}; from the {}{elsewhere} {}.",
        life.arc.as_deref().unwrap_or_default(),
        voice.does("die"),
        other(of, &life.attacker, &life.attacker_counted),
        at(of, &life.range),
        survives(of, &said[0], (life.stood, &life.standing)),
        first.arc.as_deref().unwrap_or("usual side"),
        survives(of, &said[1], (first.stood, &first.standing)),
    );
    Some(row(text, life.stood, format!("/survival/{place}/stood"), first.stood, life.stood >= first.stood))
}

/// What its best protection adds where it does most, against a tenth of a turn.
fn keep(of: &AppraisalAnswer) -> Option<VerdictRow> {
    const LITTLE: f64 = 0.1;
    let keep = of.protections.first()?;
    let under = keep.under.get(keep.best)?;
    let voice = Voice::of(of);
    let place = format!(
        "attacked by {} {} from the {}",
        other(of, &under.attacker, &under.attacker_counted),
        at(of, &under.range),
        under.arc
    );
    let longer =
        |gained: f64| format!("{} {} longer", mean(gained), if mean(gained) == "1" { "turn" } else { "turns" });
    let text = if keep.gained >= LITTLE {
        format!(
            "What protects {} best is {}: {place}, {} {}.",
            voice.them,
            keep.rule,
            voice.does("last"),
            longer(keep.gained)
        )
    } else if keep.gained > ROUNDED {
        let lasts = voice.does("last");
        format!("{} little from {}: at best {lasts} {}, {place}.", voice.does("gain"), keep.rule, longer(keep.gained))
    } else if keep.gained >= -ROUNDED {
        format!("{} would live as long without {}.", voice.they, keep.rule)
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

fn is_cover(change: &str) -> bool {
    change.starts_with("standing ")
}

/// The cover that is worth most to it, against nothing at all.
fn cover(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let all = of.sensitivities.iter().enumerate().filter(|(_, row)| is_cover(&row.change));
    let (at, best) = all.max_by(|a, b| a.1.moved.total_cmp(&b.1.moved))?;
    // The change has its preposition already.
    let where_it_is = best.change.trim_start_matches("standing ");
    let voice = Voice::of(of);
    let (them, their) = (voice.them, voice.their);
    let text = if best.moved >= LITTLE_COVER {
        format!("Put {them} {where_it_is}: that adds {} to {their} worth.", share(best.moved))
    } else if best.moved > 0.0 {
        format!("Cover hardly helps {them}: at best it adds under {} to {their} worth.", share(LITTLE_COVER))
    } else {
        let loses = voice.does("lose");
        format!("No cover helps {them}: even {where_it_is} {loses} {} of {their} worth.", share(-best.moved))
    };
    Some(row(text, best.moved, format!("/sensitivities/{at}/moved"), 0.0, best.moved >= LITTLE_COVER))
}

/// Its first test that asks for no number, against an even chance over the game.
fn check(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let (at, check) = of.checks.iter().enumerate().find(|(_, check)| check.asked.is_none())?;
    let name = one(&check.check.to_lowercase());
    let voice = Voice::of(of);
    let text = match check.fails_once {
        fails if fails <= 0.0 => format!("With {name} every turn, {} can't fail one.", voice.they),
        fails => format!(
            "With {name} every turn for {} ({} to pass each), {} at least one {}.",
            turns(of.turns),
            percent(check.passes),
            voice.does("fail"),
            games(fails)
        ),
    };
    Some(row(text, check.fails_once, format!("/checks/{at}/fails_once"), 0.5, check.fails_once <= 0.5))
}

/// What moves its worth most, against nothing at all. Cover has a sentence of its own: where it would be among the first,
/// it is left out.
fn drive(of: &AppraisalAnswer) -> Option<VerdictRow> {
    const NAMED: usize = 3;
    let apart = of.sensitivities.iter().take(NAMED).any(|row| is_cover(&row.change));
    let mut all = of.sensitivities.iter().enumerate().filter(|(_, row)| !(apart && is_cover(&row.change)));
    let (at, top) = all.next()?;
    let others: Vec<String> = all.take(NAMED - 1).map(|(_, row)| moved(row)).collect();
    let their = Voice::of(of).their;
    let by = share(top.moved.abs());
    let does =
        if top.moved > 0.0 { format!("adds {by} to {their} worth") } else { format!("costs {by} of {their} worth") };
    let then = match others.len() {
        0 => String::new(),
        1 => format!("; next comes {}", others[0]),
        _ => format!("; next come {}", listed(&others)),
    };
    let from = if apart { " apart from cover" } else { "" };
    let text = format!("Biggest swing{from}: {} {does}{then}.", top.change);
    Some(row(text, top.moved, format!("/sensitivities/{at}/moved"), 0.0, top.moved > 0.0))
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
