//! What a comparison says of its rows: who does most, who is cheapest, and how many of each that is.
use super::super::needed::sure;
use crate::client::index::PackIndex;
use crate::draft::Draft;
use crate::saying::{apart, count, listed, means_apart, sentence, small, unproven, verb};
use pipwright_shared::wire::compare::CompareRow;
use pipwright_shared::wire::packs::UnitHead;
use serde_json::Value as Json;

/// A row with the words for who attacks.
#[derive(Debug)]
pub(super) struct Told<'a> {
    pub(super) row: &'a CompareRow,
    /// As a table has it: `4 Fowlers`, `Culverin Crew`.
    pub(super) label: String,
    /// In a sentence: `4 Fowlers`, `the Culverin Crew`.
    who: String,
    /// Whether that is several.
    many: bool,
}

impl<'a> Told<'a> {
    /// The rows of an answer, which come variant by variant, and in each target by target.
    pub(super) fn all(names: &PackIndex, question: &Json, rows: &'a [CompareRow]) -> Vec<Self> {
        let targets = question.targets().len().max(1);
        let arcs = arcs(names, question);
        let told = |(at, row): (usize, &'a CompareRow)| {
            let side = question.at(&format!("/variants/{}/matchup/attacker", at / targets));
            let unit = side.unit_id().and_then(|id| names.unit(id)).or_else(|| names.unit_called(&row.variant));
            let Some(unit) = unit else {
                return Self { row, label: row.variant.clone(), who: row.variant.clone(), many: false };
            };
            if row.number().is_some() {
                let (label, number) = (many(names, row), row.number().unwrap_or(TRIED));
                let several = names.counting(unit).is_several(number);
                return Self { row, who: label.clone(), label, many: several };
            }
            let models = u32::try_from(side.models().unwrap_or(unit.least.into())).unwrap_or(u32::MAX);
            let counting = names.counting(unit);
            let named = counting.named(models);
            let article = if named == counting.singular { "the " } else { "" };
            let label = format!("{named}{}", carried(unit, side));
            if let Some(arc) = arcs.get(at / targets) {
                let who = format!("{article}{label} from the {arc}");
                return Self { row, label: format!("from the {arc}"), who, many: counting.is_several(models) };
            }
            Self { row, who: format!("{article}{label}"), label, many: counting.is_several(models) }
        };
        rows.iter().enumerate().map(told).collect()
    }

    /// As a chart has it, where a number that was looked for would leave no room for bars.
    pub(super) fn short(&self) -> &str {
        if self.row.number().is_some() { &self.row.variant } else { &self.label }
    }

    /// Whether some number of them does what is wanted.
    pub(super) fn is_enough(&self) -> bool {
        self.row.number().is_some()
    }
}

/// Where one unit attacks from several arcs: the arc of each variant.
pub(super) fn arcs(names: &PackIndex, question: &Json) -> Vec<String> {
    let all = question.variants();
    let of = |variant: &Json| {
        let arc = variant.matchup().situation().arc().as_str()?.to_owned();
        let known = names.arcs.iter().find(|known| known.id == arc);
        Some(known.map_or(arc, |known| known.name.to_lowercase()))
    };
    let alike =
        all.len() > 1 && all.windows(2).all(|pair| pair[0].matchup().attacker() == pair[1].matchup().attacker());
    let arcs: Option<Vec<String>> = all.iter().map(of).collect();
    let unlike = |arcs: &Vec<String>| !arcs.windows(2).all(|pair| pair[0] == pair[1]);
    arcs.filter(|arcs| alike && unlike(arcs)).unwrap_or_default()
}

/// What a unit carries besides: ` + Signal mast`.
fn carried(unit: &UnitHead, side: &Json) -> String {
    let each = side.part("options").texts();
    let name =
        |id: &str| unit.options.iter().find(|known| known.id == id).map_or(id.to_owned(), |one| one.name.clone());
    each.map(|id| format!(" + {}", name(id))).collect()
}

/// What a row takes away: models, or points of structure.
pub(super) fn removed(row: &CompareRow) -> (f64, &'static str) {
    match (row.models, row.structure) {
        (Some(models), _) => (models, "models"),
        (None, structure) => (structure.unwrap_or(0.0), "structure"),
    }
}

/// The pack's word for what is taken away: `bodies`, `body`, `spars`, `structure`.
pub(super) fn word(names: &PackIndex, what: &str, one: bool) -> String {
    let label = |key: &str| names.labels.get(key).map(String::as_str);
    match (what, one) {
        ("models", true) => label("model").unwrap_or("model").to_owned(),
        (_, true) => label(what).map_or(what, |several| several.strip_suffix('s').unwrap_or(several)).to_owned(),
        _ => label(what).unwrap_or(what).to_owned(),
    }
}

/// One of what is taken away: `body`, `spar`, `point of structure`.
pub(super) fn one_of(names: &PackIndex, what: &str) -> String {
    let plain = what == "structure" && !names.labels.contains_key("structure");
    if plain { "point of structure".to_owned() } else { word(names, what, true) }
}

/// Points that stand in one column: in whole points, where those tell unlike ones apart.
pub(super) fn points_apart(all: &[Option<f64>]) -> Vec<Option<String>> {
    let said: Vec<f64> = all.iter().copied().flatten().collect();
    let written = |places: usize| said.iter().map(|points| format!("{points:.places$}")).collect::<Vec<_>>();
    let is_apart = |texts: &[String]| {
        let alike = |one: usize, other: usize| texts[one] == texts[other] && (said[one] - said[other]).abs() > 1e-9;
        said.iter().all(|points| *points >= 10.0) && !(0..said.len()).any(|one| (0..one).any(|other| alike(one, other)))
    };
    let texts = [0, 1].into_iter().map(written).find(|texts| is_apart(texts)).unwrap_or_else(|| means_apart(&said));
    let mut texts = texts.into_iter();
    all.iter().map(|points| points.and_then(|_| texts.next())).collect()
}

/// As many as are tried where nobody says, as the service has it.
const TRIED: u32 = 60;

/// `6 Ram Barges`, where it was looked for how many.
fn many(names: &PackIndex, row: &CompareRow) -> String {
    let number = row.number().filter(|number| *number > 0);
    match (number, names.unit_called(&row.variant)) {
        // More than one unit may have are several units.
        (Some(number), Some(unit))
            if unit.most > 1 && number > unit.most && !unit.armoured && !unit.is_counted_whole() =>
        {
            let units = number.div_ceil(unit.most);
            format!("{} ({} units)", names.counting(unit).in_full(number), small(units.into()))
        }
        (Some(number), Some(unit)) => names.counting(unit).in_full(number),
        (Some(number), None) if number > 1 => format!("{number} {}", row.variant),
        _ => row.variant.clone(),
    }
}

/// The fewest of a unit, where fewer than that would do.
fn smallest(names: &PackIndex, row: &CompareRow) -> Option<u32> {
    let unit = names.unit_called(&row.variant).filter(|unit| !unit.is_counted_whole())?;
    (row.number()? < unit.least).then_some(unit.least)
}

/// Says it where a list may not hold so many, or a unit has more.
pub(super) fn beyond(names: &PackIndex, row: &CompareRow) -> String {
    if let Some(least) = smallest(names, row) {
        return format!(" (the smallest unit has {least})");
    }
    let unit = names.unit_called(&row.variant);
    let most = unit.and_then(|unit| Some((unit, unit.list_most.filter(|most| row.number() > Some(*most))?)));
    most.map_or_else(String::new, |(unit, most)| format!(" (at most {} in a list)", held(names, unit, most)))
}

/// So many models of a unit as a list counts them.
fn held(names: &PackIndex, unit: &UnitHead, most: u32) -> u32 {
    if unit.is_counted_whole() { names.counting(unit).units(most) } else { most }
}

/// What is said of a unit of which as many as were tried do not do what is wanted.
pub(super) fn not_enough(names: &PackIndex, row: &CompareRow, gone: &str) -> String {
    let unit = names.unit_called(&row.variant);
    let tried = unit.map_or_else(|| TRIED.to_string(), |unit| names.counting(unit).digits(TRIED));
    match unit.and_then(|unit| Some((unit, unit.list_most.filter(|most| *most < TRIED)?))) {
        Some((unit, most)) => {
            format!("not even with {tried} ({gone}), and a list may hold at most {}", held(names, unit, most))
        }
        None => {
            let cost = row.points.map_or_else(String::new, |points| format!(" for {points} points"));
            format!("not with {tried}{cost} ({gone}); more were not tried")
        }
    }
}

/// Whether a list may hold so many.
pub(super) fn fits(names: &PackIndex, row: &CompareRow) -> bool {
    let most = names.unit_called(&row.variant).and_then(|unit| unit.list_most);
    most.is_none_or(|most| row.number().is_none_or(|number| number <= most))
}

/// Who does what is wanted for the fewest points, of those that a list may hold; `every` unit was looked at, or some.
pub(super) fn cheapest(names: &PackIndex, targets: &[&str], rows: &[&Told<'_>], wanted: f64, every: bool) -> String {
    let sure = sure(wanted);
    let (no_one, no_other) =
        if every { ("not one unit", "no other unit") } else { ("not one of these", "no other of these") };
    let said = targets.iter().map(|target| {
        let on = || rows.iter().filter(|one| one.row.target == *target).map(|one| one.row);
        let able: Vec<&CompareRow> = on().filter(|row| row.number().is_some()).collect();
        let legal: Vec<&CompareRow> = able.iter().copied().filter(|row| fits(names, row)).collect();
        // More than were tried might do it, unless a list may not hold more.
        let open = on().filter(|row| row.number().is_none()).any(|row| {
            let most = names.unit_called(&row.variant).and_then(|unit| unit.list_most);
            most.is_none_or(|most| most > TRIED)
        });
        let open = if open { format!(" (at most {TRIED} were tried)") } else { String::new() };
        let told = |rows: &[&CompareRow]| {
            let chances = apart(&rows.iter().map(|row| unproven(row.destroyed.chance)).collect::<Vec<_>>());
            let each = rows.iter().zip(chances).map(|(row, chance)| {
                let least = smallest(names, row);
                let least = least.map_or_else(String::new, |least| format!(" (the smallest unit has {least})"));
                let cost = count(row.points.unwrap_or(0), "point", "points");
                format!("{}{least} for {cost} ({chance})", many(names, row))
            });
            each.collect::<Vec<_>>().join(", then ")
        };
        let text = match (legal.as_slice(), able.as_slice()) {
            ([], []) => format!("nobody reaches {sure} against the {target} with as many as were tried"),
            ([], [..]) => format!(
                "{no_one} reaches {sure} against the {target} with as many as a list may hold{open}; cheapest without \
                 that limit: {}",
                told(&able[..able.len().min(2)])
            ),
            ([one], [_]) => {
                format!("only {} can reach {sure} against the {target} with as many as were tried", told(&[one]))
            }
            ([one], _) => format!(
                "cheapest for {sure} against the {target}: {}; {no_other} reaches it with as many as a list may hold{open}",
                told(&[one])
            ),
            (several, _) => format!("cheapest for {sure} against the {target}: {}", told(&several[..2])),
        };
        format!("{}.", sentence(&text))
    });
    said.collect::<Vec<_>>().join(" ")
}

/// Who takes most from each target, and who takes most for each point.
pub(super) fn headline(names: &PackIndex, targets: &[&str], all: &[Told<'_>], of_arcs: bool) -> String {
    let alone = targets.len() == all.len();
    if alone && all.iter().any(|one| removed(one.row).0 > 0.0) {
        return of_one(names, all);
    }
    let said = targets.iter().map(|target| {
        let of_target = || all.iter().filter(|one| one.row.target == *target);
        let on: Vec<&Told<'_>> = of_target().filter(|one| one.row.number() != Some(0)).collect();
        let most = on.iter().map(|one| removed(one.row).0).fold(0.0, f64::max);
        if most <= 0.0 {
            return match on.as_slice() {
                [] => "one of each costs more than that".to_owned(),
                [one] => format!("{} can't hurt the {target}", one.who),
                [_, _] => format!("neither of them can hurt the {target}"),
                _ => format!("none of them can hurt the {target}"),
            };
        }
        // From whichever arc, a unit costs the same.
        let each = if of_arcs { String::new() } else { per_point(&on, most) };
        damage(names, target, &on, most) + &each
    });
    format!("{}.", sentence(&said.collect::<Vec<_>>().join("; ")))
}

/// Who does more, or the most: `4 Fowlers do more damage to the Door Bearers (1.44 bodies on average against 1.17)`.
fn damage(names: &PackIndex, target: &str, on: &[&Told<'_>], most: f64) -> String {
    let best: Vec<&Told<'_>> = on.iter().copied().filter(|one| is_most(one, most)).collect();
    let who = listed(&best.iter().map(|one| one.who.clone()).collect::<Vec<_>>());
    let less = on.iter().find(|one| !is_most(one, most)).map(|one| removed(one.row).0);
    let numbers = means_apart(&[most, less.unwrap_or(most)]);
    let amount = format!("{} {} on average", numbers[0], word(names, removed(best[0].row).1, numbers[0] == "1"));
    let does = verb("do", best.len() > 1 || best[0].many);
    match (best.len(), on.len()) {
        (1, 1) => format!("{who} {} {amount} from the {target}", verb("take", best[0].many)),
        (1, 2) => format!("{who} {does} more damage to the {target} ({amount} against {})", numbers[1]),
        (1, _) => format!("{who} {does} the most damage to the {target} ({amount})"),
        (_, 2) => format!("{who} do the same damage to the {target} ({amount})"),
        _ => format!("{who} do equally the most damage to the {target} ({amount})"),
    }
}

fn is_most(one: &Told<'_>, most: f64) -> bool {
    removed(one.row).0 >= most * (1.0 - 1e-9)
}

/// Who does more, or the most, for each point; nothing where only one of them does anything.
fn per_point(on: &[&Told<'_>], most: f64) -> String {
    // Less for each model, or each point of structure, is more for each point.
    let each = on.iter().filter_map(|one| one.row.points_each).fold(f64::INFINITY, f64::min);
    let is_cheap = |one: &Told<'_>| one.row.points_each.is_some_and(|own| own <= each * (1.0 + 1e-9));
    let cheap: Vec<&Told<'_>> = on.iter().copied().filter(|one| is_cheap(one)).collect();
    let next =
        on.iter().filter(|one| !is_cheap(one)).filter_map(|one| one.row.points_each).fold(f64::INFINITY, f64::min);
    // A lead of less than a twentieth is a slight one.
    let slightly = if next < each * 1.05 { "slightly " } else { "" };
    if on.iter().filter(|one| one.row.points_each.is_some()).count() < 2 {
        return String::new();
    }
    if on.iter().all(|one| is_cheap(one) == is_most(one, most)) {
        let text =
            if on.len() == 2 && !slightly.is_empty() { ", and slightly more per point" } else { ", also per point" };
        return text.to_owned();
    }
    match (cheap.as_slice(), on.len()) {
        ([one], 2) => format!("; per point {} {} {slightly}more", one.who, verb("do", one.many)),
        ([one], _) => format!("; per point {} {} the most", one.who, verb("do", one.many)),
        (_, 2) => "; per point they do the same".to_owned(),
        (several, _) => {
            let several: Vec<String> = several.iter().map(|one| one.who.clone()).collect();
            format!("; per point {} do equally the most", listed(&several))
        }
    }
}

/// One unit against one target or several: what it does to each of them, for nobody does more.
fn of_one(names: &PackIndex, all: &[Told<'_>]) -> String {
    let numbers = means_apart(&all.iter().map(|one| removed(one.row).0).collect::<Vec<_>>());
    let each = all.iter().zip(&numbers).map(|(one, number)| {
        format!("{number} {} of the {}", word(names, removed(one.row).1, number == "1"), one.row.target)
    });
    let (who, does) = (sentence(&all[0].who), verb("take", all[0].many));
    format!("{who} {does} {} on average.", listed(&each.collect::<Vec<_>>()))
}
