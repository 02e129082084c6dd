//! Whom a unit should stand near, for its own sake and for theirs.
use super::answer::{AppraisalAnswer, VerdictRow};
use super::review::TogetherRow;
use super::sentences::ROUNDED;
use super::verdict::row;
use super::voice::{Voice, a, added};
use crate::report::saying::{apart, is_several, of_points, one, points, the_unit, verb};

/// Points in a game of which nobody would know.
const HARDLY_A_POINT: f64 = 0.05;

fn said(gained: f64) -> String {
    of_points(&points(gained))
}

/// The unit that does most for it for its points, against nothing at all.
pub(super) fn helper(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let best = of.helpers.first()?;
    let who = if best.near == of.name { format!("another {}", best.near) } else { format!("the {}", best.near) };
    let voice = Voice::of(of);
    let counts = best.gained >= HARDLY_A_POINT;
    let text = if counts {
        let then = verb("destroy", is_several(&of.counted));
        format!("Keep {who} near: {} then {then} {} more in a game.", the_unit(&of.counted), said(best.gained))
    } else if best.gained > ROUNDED {
        format!(
            "{} nobody near: even near {}, {} best helper, {} under 0.1 points more in a game.",
            voice.does("need"),
            who,
            voice.their,
            voice.does("destroy")
        )
    } else {
        format!("{} nobody near: even {} best helper, {who}, adds no points.", voice.does("need"), voice.their)
    };
    Some(row(text, best.gained, "/helpers/0/gained", 0.0, counts))
}

/// The unit for which it does most for its points; where that is no points, the test or the repair that it makes easier.
pub(super) fn helps(of: &AppraisalAnswer) -> Option<VerdictRow> {
    let best = of.helped.first()?;
    let voice = Voice::of(of);
    let with = |row| added(of, row).map_or_else(String::new, |option| format!("with {}, ", a(option)));
    let counts = best.gained >= HARDLY_A_POINT;
    let text = if counts {
        let a_fellow = if best.unit.starts_with("1 ") { the_unit(&best.unit) } else { one(&best.unit) };
        let (whom, those) = if is_several(&best.unit) {
            (best.unit.clone(), "they then destroy")
        } else {
            (a_fellow, "that one then destroys")
        };
        let said = said(best.gained);
        format!("{}keep {} near {whom}: {those} {said} more in a game.", with(best), voice.them)
    } else if let Some((row, easier)) = of.helped.iter().find_map(|row| Some((row, easier(row)?))) {
        format!(
            "{}units near {} gain something that destroys nothing by itself and is not counted here: {easier}.",
            with(row),
            voice.them
        )
    } else {
        format!("What {} for units near {} adds nothing to the points that they destroy.", voice.does("do"), voice.them)
    };
    Some(row(text, best.gained, "/helped/0/gained", 0.0, counts))
}

/// What another unit passes or mends more easily near it.
fn easier(row: &TogetherRow) -> Option<String> {
    let several = is_several(&row.unit);
    let who = the_unit(&row.unit);
    if let Some(check) = row.checks.iter().find(|check| check.with > check.without) {
        let asked = check.asked.map_or_else(String::new, |asked| format!(" ({asked})"));
        let said = apart(&[check.with, check.without]);
        return Some(format!(
            "{who} {} {}{asked} {} of the time instead of {}",
            verb("pass", several),
            one(&check.check.to_lowercase()),
            said[0],
            said[1]
        ));
    }
    let mend = row.repair.as_ref().filter(|mend| mend.chance_with > mend.chance_without)?;
    let said = apart(&[mend.chance_with, mend.chance_without]);
    Some(format!("a repair roll of {who} succeeds {} of the time instead of {}", said[0], said[1]))
}
