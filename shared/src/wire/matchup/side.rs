//! The two units of a matchup.
use super::super::lookup;
use super::super::mistake::{Mistake, Mistakes, pointer};
use super::{SideForm, Stated, side_pointer};
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use crate::rules::names::{Names, NotFound, plain};
use crate::rules::standing::{carried, first_capacity};
use serde::Serialize;
use std::fmt::Display;

/// What a side does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// Of a matchup.
    Attacks,
    /// Of a matchup.
    IsAttacked,
    /// In a duel.
    Both,
}

pub(super) fn resolve(
    form: &SideForm,
    pack: &Pack,
    side: &str,
    part: Part,
    stated: &mut Vec<Stated>,
    mistakes: &mut Mistakes,
) -> Option<UnitInstance> {
    let at = |field: &str| side_pointer(side, field);
    let unit = mistakes.keep(lookup::unit(pack, &form.unit, format_args!("/{side}/unit")))?;
    let book = &pack.units[unit];
    let armoured = pack.kinds[book.kind].body.is_armoured();
    let options = lookup::options(book, form.options.as_deref(), format_args!("/{side}/options"), mistakes);
    let near = lookup::near(pack, form.near.as_deref(), format_args!("/{side}/near"), mistakes);
    let models = form.models.unwrap_or(book.models.0);
    if !(1..=1_000).contains(&models) {
        mistakes.push(Mistake::value(at("models"), "1 to 1000 models, please"));
        return None;
    }
    let mut instance = UnitInstance { unit, models, options, near, ..UnitInstance::default() };
    if part != Part::Attacks {
        instance.statuses = statuses(form, pack, format_args!("/{side}/statuses"), mistakes);
        stated_losses(form, pack, armoured, &mut instance, &at, mistakes);
    } else {
        for (field, there) in [("hurt", form.hurt.is_some()), ("left", form.left.is_some())] {
            if there {
                let detail = "what is left or lost goes with the unit that is attacked, and this one attacks: say who attacks whom, or how many \
                     models the attacker has";
                mistakes.push(Mistake::value(at(field), detail));
            }
        }
    }
    if part != Part::IsAttacked {
        instance.weapons = weapons(form, pack, &instance, format_args!("/{side}/weapons"), mistakes);
    }
    let of_several = form.left.is_some() && !armoured && book.models.1 > 1;
    if form.models.is_none() && !of_several {
        let text = format!("{side}: {}", book.counting(pack).digits(instance.models));
        stated.push(Stated::new(&at("models"), instance.models, &text));
    }
    Some(instance)
}

/// A unit for whoever asks about it outside a matchup, its mistakes below `at`.
pub(in super::super) fn unit_instance(form: &SideForm, pack: &Pack, at: &str) -> Result<UnitInstance, Vec<Mistake>> {
    let mut found = Mistakes::default();
    let instance = resolve(form, pack, "attacker", Part::Attacks, &mut Vec::new(), &mut found);
    for mistake in &mut found.0 {
        if let Some(rest) = mistake.pointer.strip_prefix("/attacker") {
            mistake.pointer = format!("{at}{rest}");
        }
    }
    found.or(instance)
}

/// `hurt`, or `left`: of several soldiers their number, else the points of the first.
fn stated_losses(
    form: &SideForm,
    pack: &Pack,
    armoured: bool,
    instance: &mut UnitInstance,
    at: &dyn Fn(&str) -> String,
    mistakes: &mut Mistakes,
) {
    let book = &pack.units[instance.unit];
    let points = first_capacity(pack, instance);
    let what = if armoured { "structure" } else { "health" };
    // Of several soldiers so many may be left, and the first of them be hurt.
    let several = !armoured && (book.models.1 > 1 || instance.models > 1);
    match (form.hurt, form.left) {
        (Some(hurt), Some(left)) if several && hurt < points && (1..=1_000).contains(&left) => {
            stands(form, book.models.0, left, instance);
            instance.hurt = hurt;
        }
        (Some(_), Some(_)) if !several => {
            mistakes.push(Mistake::value(at("left"), "say either what is left or what is hurt"));
        }
        (Some(hurt), _) if hurt >= points => {
            let detail = format!("{} has {points} points of {what}: at least one must be left", book.named.label);
            mistakes.push(Mistake::value(at("hurt"), detail));
        }
        (Some(hurt), None) => instance.hurt = hurt,
        (_, Some(left)) if several => {
            if (1..=1_000).contains(&left) {
                stands(form, book.models.0, left, instance);
            } else {
                mistakes.push(Mistake::value(at("left"), "1 to 1000 models may be left"));
            }
        }
        (None, Some(left)) if left == 0 || left > points => {
            let detail = format!("{} has {points} points of {what}: 1 to {points} may be left", book.named.label);
            mistakes.push(Mistake::value(at("left"), detail));
        }
        (_, Some(left)) => instance.hurt = points - left,
        (None, None) => {}
    }
}

/// So many of a unit stand. Where its models are not said it had its fewest, or as many as stand.
fn stands(form: &SideForm, least: u32, left: u32, instance: &mut UnitInstance) {
    let whole = form.models.unwrap_or(least).max(left);
    (instance.models, instance.whole) = (left, if whole > left { whole } else { 0 });
}

/// Marks are those that the pack's charts give.
fn statuses(form: &SideForm, pack: &Pack, at: impl Display, mistakes: &mut Mistakes) -> Vec<String> {
    let wanted = lookup::few(form.statuses.as_deref(), &at, mistakes);
    if wanted.is_empty() {
        return Vec::new();
    }
    let known: Vec<&String> =
        pack.breaches.iter().flat_map(|breach| &breach.rows).filter_map(|row| row.status.as_ref()).collect();
    let mut names = Names::default();
    known.iter().enumerate().for_each(|(index, name)| names.add(index, name, [name.as_str()]));
    let mut found: Vec<String> = Vec::new();
    for (index, name) in wanted.iter().enumerate() {
        let what = format!("{} has no mark called {name:?}", pack.named.label);
        let status = names.find(name).map_err(|error| lookup::unknown(&pointer(&at, index), &what, error));
        let Some(status) = mistakes.keep(status).map(|at| known[at].clone()) else { continue };
        if !found.contains(&status) {
            found.push(status);
        }
    }
    found
}

/// The weapons named, of those that the unit carries.
fn weapons(
    form: &SideForm,
    pack: &Pack,
    instance: &UnitInstance,
    at: impl Display,
    mistakes: &mut Mistakes,
) -> Vec<usize> {
    let Some(_) = form.weapons else { return Vec::new() };
    let wanted = lookup::few(form.weapons.as_deref(), &at, mistakes);
    let carried = carried(pack, instance);
    let mut names = Names::default();
    for (weapon, _) in &carried {
        let named = &pack.weapons[*weapon].named;
        let all = [named.label.as_str(), named.id.as_str()].into_iter().chain(named.also.iter().map(String::as_str));
        names.add(*weapon, &named.label, all);
    }
    let mut found = Vec::new();
    for (index, name) in wanted.iter().enumerate() {
        let label = &pack.units[instance.unit].named.label;
        let weapon = names.find(name).map_err(|error| {
            let all = || carried.iter().map(|(weapon, _)| pack.weapons[*weapon].named.label.clone()).collect();
            let closest = if error.closest.is_empty() { all() } else { error.closest };
            let error = NotFound { ambiguous: error.ambiguous, closest };
            lookup::unknown(&pointer(&at, index), &format!("{label} has no weapon {name:?}"), error)
        });
        found.extend(mistakes.keep(weapon).filter(|weapon| !found.contains(weapon)));
    }
    if wanted.iter().all(|name| plain(name).is_empty()) {
        mistakes.push(Mistake::value(at.to_string(), "name at least one weapon, or leave weapons out"));
    }
    found
}

/// The form that resolves to this side.
pub(super) fn form(pack: &Pack, side: &UnitInstance) -> SideForm {
    let unit = &pack.units[side.unit];
    let some = |list: Vec<String>| (!list.is_empty()).then_some(list);
    let option = |(at, times): &(usize, u32)| match (&unit.options[*at].named.id, times) {
        (id, 1) => id.clone(),
        (id, times) => format!("{times} {id}"),
    };
    SideForm {
        unit: unit.named.id.clone(),
        models: match side.whole {
            0 => (side.models != unit.models.0).then_some(side.models),
            whole => Some(whole),
        },
        weapons: some(side.weapons.iter().map(|at| pack.weapons[*at].named.id.clone()).collect()),
        options: some(side.options.iter().map(option).collect()),
        near: some(side.near.iter().map(|near| near.id(pack)).collect()),
        hurt: (side.hurt > 0).then_some(side.hurt),
        left: (side.whole > 0).then_some(side.models),
        statuses: some(side.statuses.clone()),
    }
}

/// A side for the cache's key.
pub(in super::super) fn side_value<'a>(pack: &'a Pack, side: &'a UnitInstance) -> impl Serialize + 'a {
    let UnitInstance { unit, models, whole, options, weapons, near, hurt, statuses } = side;
    let near: Vec<String> = near.iter().map(|near| near.id(pack)).collect();
    (&pack.units[*unit].named.id, models, whole, options, weapons, near, hurt, statuses)
}
