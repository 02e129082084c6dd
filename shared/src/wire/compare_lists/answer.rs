//! Two lists against each other, as their answer.
use super::{CompareListsAnswer, List, ListRow, ListShowing, NoAnswer, PreparedCompareLists};
use crate::analysis::lists::{Row, Showing};
use crate::points::Line;
use crate::points::text::written;
use crate::report::saying::{count, mean};
use crate::rules::model::Pack;

/// How lists are measured.
const METHOD: &str = "A unit takes from another the points that a turn removes, at the range at which that is most and \
where there is always more to hit, in as many turns as it stands under the same one's attacks, at most those of a game. \
From a list it takes the mean of that, weighted by points: each unit attacks each of the others as often as that costs. \
Units do not help each other here, and nobody moves; so this shows how well two lists match up; it is not a forecast of a game.";

/// Chances and means below this are none.
const NONE: f64 = 1e-9;

pub(super) fn answer(of: &PreparedCompareLists, found: &[Showing; 2], turns: u32) -> CompareListsAnswer {
    let pack = &*of.pack;
    let [first, second] = &of.lists;
    let a = showing(pack, first, second, &found[0], turns);
    let b = showing(pack, second, first, &found[1], turns);
    CompareListsAnswer {
        sentence: said(&a, &b),
        a,
        b,
        method: METHOD.to_owned(),
        turns,
        pack: pack.named.id.clone(),
        hash: pack.hash.clone(),
    }
}

fn named(pack: &Pack, row: &Row, count: u32) -> String {
    let unit = &row.unit;
    let line = Line { number: 1, unit: unit.unit, count, models: unit.models, options: unit.options.clone() };
    written(pack, &line)
}

fn points(list: &List) -> u64 {
    list.rows.iter().fold(0, |sum, row| sum.saturating_add(row.points.saturating_mul(row.count.into())))
}

fn showing(pack: &Pack, own: &List, theirs: &List, found: &Showing, turns: u32) -> ListShowing {
    let rows = own.rows.iter().zip(&found.rows).map(|(row, shown)| ListRow {
        name: named(pack, row, row.count),
        points: row.points.saturating_mul(row.count.into()),
        takes: shown.takes,
        survives: shown.survival,
        from: shown.from.clone(),
    });
    // What is destroyed at the very end of the game has an answer, whatever its sum of doubles rounds to.
    let no_answer =
        theirs.rows.iter().zip(&found.answers).filter(|(_, removed)| **removed * f64::from(turns) < 1.0 - 1e-9);
    let against = points(theirs);
    ListShowing {
        label: own.label.clone(),
        points: points(own),
        takes: found.takes,
        share: if against > 0 { found.takes / against as f64 } else { 0.0 },
        rows: rows.collect(),
        no_answer: no_answer.map(|(row, removed)| NoAnswer { name: named(pack, row, 1), removed: *removed }).collect(),
    }
}

/// `one Heron Carriage, or one Lamp Skiff`.
fn listed_or(names: &[String]) -> String {
    names.iter().map(|name| format!("one {name}")).collect::<Vec<_>>().join(" or ")
}

/// Who comes off better, and what either has no answer to.
fn said(a: &ListShowing, b: &ListShowing) -> String {
    let (better, worse) = if a.share >= b.share { (a, b) } else { (b, a) };
    // What is destroyed may be more than the other list costs: a fresh one takes the place of what is gone.
    let of = |list: &ListShowing, other: &ListShowing| {
        let points = count(other.points, "point", "points");
        format!("{} would destroy {} points of {} (which costs {points})", list.label, mean(list.takes), other.label)
    };
    let mut text = if better.share - worse.share < NONE {
        format!(
            "If neither ever ran out of targets, in a game {}, and as much would be destroyed in return.",
            of(better, worse)
        )
    } else {
        let shares = format!("{} and {} times", mean(better.share), mean(worse.share));
        let (first, back) = (of(better, worse), of(worse, better));
        format!(
            "If neither ever ran out of targets, in a game {first}, and {back}: {shares} what the other list costs."
        )
    };
    for (own, nothing) in
        [a, b].into_iter().map(|list| (&list.label, &list.no_answer)).filter(|(_, all)| !all.is_empty())
    {
        let names: Vec<String> = nothing.iter().map(|one| one.name.clone()).collect();
        text.push_str(&format!(" On average the whole of {own} wouldn't destroy {} in a game.", listed_or(&names)));
    }
    text
}
