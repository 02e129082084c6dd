//! `Can the captain take a wharf rifle?`: what a unit may take, by the options of its book.
use super::super::conditions::Ternary;
use super::super::model::Pack;
use super::super::model::unit::{Per, Unit, UnitOption};
use super::super::term::Term;
use super::lexicon::is_in;
use super::said::{Reading, Spoken};
use super::spots::{Sort, Spot, options};

/// Words for what is done with an option.
const TAKES: &[&str] = &[
    "take", "taking", "buy", "buying", "bring", "carry", "carrying", "have", "having", "equip", "equipped", "mount",
    "fit", "fitted", "purchase", "give", "given", "add", "pick", "swap",
];
/// Words that ask whether it may be done.
const MAY: &[&str] = &["can", "could", "may", "might", "allowed", "able", "legal", "permitted", "cant"];

/// What a unit has of what was named.
enum Owned {
    /// An option, by index.
    Option(usize),
    /// It has it anyway.
    Already(String),
    /// It may not take it.
    Not(String),
}

/// The answer; nothing where the question is not about what a unit may take.
pub(super) fn may_take(pack: &Pack, reading: &Reading) -> Option<(Term, Ternary, String)> {
    let said = &reading.said;
    let of_table = said.spoken != Spoken::default()
        || said.moved.is_some()
        || said.flags.iter().any(Option::is_some)
        || !said.faces.is_empty()
        || !said.needs.is_empty();
    let [mention] = said.mentions.as_slice() else { return None };
    let [at] = mention.units.as_slice() else { return None };
    if of_table || mention.near || mention.opposed {
        return None;
    }
    let takes = (0..reading.words.len()).find(|at| !reading.taken[*at] && is_in(TAKES, reading.word(*at)))?;
    (0..takes).any(|at| is_in(MAY, reading.word(at))).then_some(())?;
    let unit = &pack.units[*at];
    let asked = named(pack, reading, *at);
    if asked.is_empty() {
        return None;
    }
    let label = &unit.named.label;
    let mut told: Vec<String> = Vec::new();
    let mut taken: Vec<usize> = Vec::new();
    for one in asked {
        match one {
            Owned::Option(option) => {
                told.push(price(pack, unit, &unit.options[option]));
                taken.push(option);
            }
            Owned::Already(name) => told.push(format!("the {label} has {name} anyway")),
            Owned::Not(name) => {
                return Some((of_unit(pack, unit), Ternary::No, format!("{name} is no option of the {label}")));
            }
        }
    }
    for (index, first) in taken.iter().enumerate() {
        let clash = taken[index + 1..].iter().find(|second| {
            unit.options[*first].excludes.contains(second) || unit.options[**second].excludes.contains(first)
        });
        if let Some(second) = clash {
            let names = [first, second].map(|at| &unit.options[*at].named.label);
            let why = format!("{} or {}, not both", names[0], names[1]);
            return Some((of_unit(pack, unit), Ternary::No, why));
        }
    }
    Some((of_unit(pack, unit), Ternary::Yes, told.join("; ")))
}

/// What was named beside the unit, each name once.
fn named(pack: &Pack, reading: &Reading, at: usize) -> Vec<Owned> {
    let (unit, all) = (&pack.units[at], options(pack));
    let thing = |spot: &&Spot| matches!(spot.sort, Sort::Option | Sort::Weapon | Sort::Rule);
    let mut places: Vec<(usize, usize)> = reading.spots.iter().filter(thing).map(|spot| (spot.from, spot.to)).collect();
    places.dedup();
    let of_place = |place: (usize, usize)| {
        let here = || reading.spots.iter().filter(thing).filter(move |spot| (spot.from, spot.to) == place);
        let own = here().find_map(|spot| match spot.sort {
            Sort::Option => all.get(spot.at).filter(|(of, _)| *of == at).map(|(_, option)| *option),
            _ => None,
        });
        let brought = || {
            here().find_map(|spot| {
                unit.options.iter().position(|option| match spot.sort {
                    Sort::Weapon => option.weapons.iter().any(|carried| carried.weapon == spot.at),
                    Sort::Rule => option.rules.contains(&spot.at),
                    _ => false,
                })
            })
        };
        let has = || {
            here().find_map(|spot| match spot.sort {
                Sort::Weapon if unit.weapons.iter().any(|carried| carried.weapon == spot.at) => {
                    Some(&pack.weapons[spot.at].named)
                }
                Sort::Rule if unit.rules.contains(&spot.at) => Some(&pack.rules[spot.at].named),
                _ => None,
            })
        };
        let name = || {
            here().map(|spot| match spot.sort {
                Sort::Weapon => &pack.weapons[spot.at].named.label,
                Sort::Rule => &pack.rules[spot.at].named.label,
                _ => {
                    let (unit, option) = all[spot.at];
                    &pack.units[unit].options[option].named.label
                }
            })
        };
        if let Some(option) = own {
            return Some(Owned::Option(option));
        }
        if let Some(named) = has() {
            return Some(Owned::Already(named.label.clone()));
        }
        if let Some(option) = brought() {
            return Some(Owned::Option(option));
        }
        name().next().map(|label| Owned::Not(label.clone()))
    };
    places.into_iter().filter_map(of_place).collect()
}

/// What an option costs, what it stands in place of, and what it goes with.
fn price(pack: &Pack, unit: &Unit, option: &UnitOption) -> String {
    let each = match option.per {
        Per::Unit => "",
        Per::Model => " for each model",
        Per::Weapon => " each",
    };
    let mut told = format!("{}, {} points{each}", option.named.label, option.points);
    let names: Vec<&str> = option.replaces.iter().map(|at| pack.weapons[*at].named.label.as_str()).collect();
    if !names.is_empty() {
        told.push_str(&format!(", in place of {}", names.join(" and ")));
    }
    let with =
        |list: &[usize]| -> Vec<String> { list.iter().map(|at| unit.options[*at].named.label.clone()).collect() };
    let (needs, bars) = (with(&option.requires), with(&option.excludes));
    if !needs.is_empty() {
        told.push_str(&format!(", only together with {}", needs.join(" and ")));
    }
    if !bars.is_empty() {
        told.push_str(&format!(", not together with {}", bars.join(" or ")));
    }
    told
}

/// The unit's options, each with what it costs.
fn of_unit(pack: &Pack, unit: &Unit) -> Term {
    Term {
        sort: "options",
        id: unit.named.id.clone(),
        name: format!("options of {}", unit.named.label),
        text: String::new(),
        lines: unit.options.iter().map(|option| price(pack, unit, option)).collect(),
        ..Term::default()
    }
}
