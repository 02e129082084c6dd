//! Names of packs, units, options and rules in requests, looked up with their mistakes.
use super::mistake::{Mistake, MistakeKind, Mistakes, pointer};
use crate::points::text::{amount, option as named_option};
use crate::rules::PackCatalog;
use crate::rules::fault::{Fault, Source};
use crate::rules::matchup::Neighbour;
use crate::rules::model::Pack;
use crate::rules::model::unit::Unit;
use crate::rules::names::NotFound;
use crate::rules::pack_catalog::{MOST_MISSING, PackError};
use std::fmt::Display;
use std::sync::Arc;

/// The most mistakes of a pack's files that are told beside a question; `packs/check` tells all of them.
const MOST_FAULTS: usize = 20;

/// The most names of one list.
const MOST_NAMES: usize = 40;

/// The pack of a request: a name, or the text of a pack file; `book` is the text of a unit book for it.
pub(super) fn pack(
    catalog: &PackCatalog,
    pack: Option<&str>,
    book: Option<&str>,
    mistakes: &mut Mistakes,
) -> Option<Arc<Pack>> {
    let base = match pack {
        // A name has no line break; a file is of no use without one.
        Some(text) if text.contains('\n') => {
            let files = [Source::new("pack", text)].into_iter().chain(book.map(|book| Source::new("book", book)));
            return resolve_files(catalog.read_beside(None, files.collect()), mistakes);
        }
        name => {
            let found = catalog.pack(name).map_err(|error| no_pack("/pack", name.unwrap_or_default(), error));
            mistakes.keep(found)?
        }
    };
    match book {
        None => Some(base),
        Some(book) => resolve_files(catalog.read_beside(Some(&base), vec![Source::new("book", book)]), mistakes),
    }
}

fn resolve_files(read: Result<Arc<Pack>, Vec<Fault>>, mistakes: &mut Mistakes) -> Option<Arc<Pack>> {
    match read {
        Ok(pack) => Some(pack),
        Err(faults) => {
            for fault in faults.iter().take(MOST_FAULTS) {
                let file = if fault.file == "book" { "/book" } else { "/pack" };
                let hint = fault.suggestion.as_ref().map_or_else(String::new, |hint| format!(" ({hint})"));
                let detail = format!("line {}, column {}: {}{hint}", fault.line, fault.column, fault.message);
                mistakes.push(Mistake::value(file, detail));
            }
            None
        }
    }
}

/// A pack that was not found, by its name or by its content.
pub(super) fn no_pack(at: &str, name: &str, error: PackError) -> Mistake {
    let gone = |detail: String| Mistake { kind: MistakeKind::PackGone, ..Mistake::value(at, detail) };
    match error {
        PackError::Unknown(error) => unknown(at, &format!("no pack is called {name:?}"), error),
        PackError::Address(error) => Mistake::value(at, format!("{name:?} is no pack's address: {error}")),
        PackError::Ambiguous => {
            Mistake::value(at, format!("several packs are meant by {name:?}: give more digits of the hash"))
        }
        PackError::Other { label } => {
            Mistake::name(at, format!("{name:?} does not go together: the hash is that of {label}"), Vec::new())
        }
        PackError::Gone { now: None } => gone(format!("{name:?} is not kept here: send the pack again to /v1/packs")),
        PackError::Gone { now: Some(now) } => {
            let beginning: String = now.chars().take(12).collect();
            gone(format!(
                "{name:?} is not kept here any more, and the pack of this name has another content now (its hash begins with {beginning}): \
                 send the old pack again to /v1/packs, or ask for what it is now"
            ))
        }
        PackError::TooMany => {
            Mistake::value(at, format!("at most {MOST_MISSING} packs of one request may be named by their content"))
        }
    }
}

/// A name that was not found, with the closest ones.
pub(super) fn unknown(at: &str, what: &str, error: NotFound) -> Mistake {
    let detail = match (error.ambiguous, error.closest.is_empty()) {
        (true, _) => format!("{what} alone: several are meant by it"),
        (false, true) => what.to_owned(),
        (false, false) => format!("{what}; did you mean {}?", error.closest.join(" or ")),
    };
    Mistake::name(at, detail, error.closest)
}

/// The names of a list, which has no more of them than can be looked up in no time.
pub(super) fn few<'a>(names: Option<&'a [String]>, at: impl Display, mistakes: &mut Mistakes) -> &'a [String] {
    let names = names.unwrap_or_default();
    if names.len() > MOST_NAMES {
        mistakes.push(Mistake::value(at.to_string(), format!("at most {MOST_NAMES} names")));
        return &[];
    }
    names
}

/// The index of the unit that a name means.
pub(super) fn unit(pack: &Pack, name: &str, at: impl Display) -> Result<usize, Mistake> {
    let what = || format!("{} has no unit called {name:?}", pack.named.label);
    pack.find.units.find(name).map_err(|error| unknown(&at.to_string(), &what(), error))
}

/// The indices of the rules that names mean.
pub(super) fn rules(pack: &Pack, names: Option<&[String]>, at: impl Display, mistakes: &mut Mistakes) -> Vec<usize> {
    let mut found = Vec::new();
    for (index, name) in few(names, &at, mistakes).iter().enumerate() {
        let rule = pack.find.rules.find(name).map_err(|error| {
            let what = format!("{} has no rule called {name:?}", pack.named.label);
            unknown(&pointer(&at, index), &what, error)
        });
        found.extend(mistakes.keep(rule).filter(|rule| !found.contains(rule)));
    }
    found
}

/// Options as people write them: `signal mast`, `2 long rifles`, `scatter gun x2`.
pub(super) fn options(
    unit: &Unit,
    names: Option<&[String]>,
    at: impl Display,
    mistakes: &mut Mistakes,
) -> Vec<(usize, u32)> {
    let mut found: Vec<(usize, u32)> = Vec::new();
    for (index, text) in few(names, &at, mistakes).iter().enumerate() {
        let at = || pointer(&at, index);
        let option = named_option(&unit.find, text).map_err(|error| match error {
            Some(mut error) => {
                let what = format!("{} has no option {:?}", unit.named.label, amount::bare(text));
                if error.closest.is_empty() {
                    error.closest = unit.options.iter().take(8).map(|option| option.named.label.clone()).collect();
                }
                unknown(&at(), &what, error)
            }
            None => Mistake::value(at(), format!("{text:?} says two numbers: say once how often")),
        });
        let Some((option, times)) = mistakes.keep(option) else { continue };
        if !(1..=1_000).contains(&times) {
            mistakes.push(Mistake::value(at(), "an option is taken 1 to 1000 times"));
            continue;
        }
        match found.iter_mut().find(|(known, _)| *known == option) {
            Some((_, sum)) => *sum += times,
            None => found.push((option, times)),
        }
    }
    found
}

/// The units near another, each with its options: `convoy master + night bell`.
pub(super) fn near(pack: &Pack, names: Option<&[String]>, at: impl Display, mistakes: &mut Mistakes) -> Vec<Neighbour> {
    let mut found: Vec<Neighbour> = Vec::new();
    for (index, text) in few(names, &at, mistakes).iter().enumerate() {
        let at = pointer(&at, index);
        let mut parts = text.split('+').map(|part| part.trim().to_owned());
        let name = parts.next().unwrap_or_default();
        let Some(neighbour) = mistakes.keep(unit(pack, &name, &at)) else { continue };
        let mut wrong = Mistakes::default();
        let taken = options(&pack.units[neighbour], Some(&parts.collect::<Vec<_>>()), &at, &mut wrong);
        // The whole of it is one word of the request.
        wrong.0.into_iter().for_each(|mistake| mistakes.push(Mistake { pointer: at.clone(), ..mistake }));
        let one = Neighbour { unit: neighbour, options: taken.into_iter().map(|(option, _)| option).collect() };
        if !found.contains(&one) {
            found.push(one);
        }
    }
    found
}
