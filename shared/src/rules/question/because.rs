//! Why, in sentences.
use super::super::conditions::Ternary;
use super::super::describe;
use super::super::model::Pack;
use super::super::model::change::{RollId, Rule};
use super::verdict::{Part, Verdict, Who, threshold};

/// Why a rule acts or does not, or what that depends on: `it applies only when …`.
pub(super) fn because(pack: &Pack, rule: usize, verdict: &Verdict) -> String {
    let plan = &pack.rules[rule];
    let of = |wanted: Ternary| -> Vec<String> {
        verdict.parts.iter().filter(|(_, truth)| *truth == wanted).map(|(part, _)| words(pack, plan, part)).collect()
    };
    match verdict.truth {
        Ternary::Yes => {
            let held = of(Ternary::Yes);
            if held.is_empty() {
                unconditional(pack, rule, verdict)
            } else {
                format!("it applies when {}", held.join(" and "))
            }
        }
        Ternary::No => {
            // What is not so whatever else is: said plainly, and alone.
            let first = verdict.parts.iter().find(|(_, truth)| *truth == Ternary::No).map(|(part, _)| part);
            match first {
                Some(Part::Need(needs)) => format!("with it the roll needs {needs}+"),
                Some(Part::Carried(who)) => format!("it isn't a rule of {}", name(pack, *who)),
                Some(Part::Used(weapon)) => format!("the {} can't be used there", pack.weapons[*weapon].named.label),
                Some(Part::Made(roll)) => {
                    format!("it changes {}, which is not rolled there", the_roll(pack, *roll))
                }
                Some(Part::Touches) => format!("it changes {}", touches(pack, plan)),
                _ => format!("it applies only when {}", of(Ternary::No).join(" and ")),
            }
        }
        Ternary::Open => format!("it applies when {}", of(Ternary::Open).join(" and ")),
    }
}

/// What it does where nothing is asked for.
fn unconditional(pack: &Pack, rule: usize, verdict: &Verdict) -> String {
    let plan = &pack.rules[rule];
    let change = verdict.change.map(|at| &plan.changes[at]);
    let face = threshold(pack, plan, change);
    match (face, change) {
        (Some((on, false)), Some(_)) => format!("it applies on a roll of {on} or more"),
        (Some((on, true)), Some(_)) => match on {
            1 => "it applies on a roll of 1".to_owned(),
            on => format!("it applies on a roll of {on} or less"),
        },
        (Some((on, _)), None) => format!("it mends on a {on} or more"),
        (None, Some(change)) => {
            let mut rolls: Vec<String> = change.rolls.iter().map(|roll| the_roll(pack, *roll)).collect();
            rolls.dedup();
            format!("it applies whenever {} is made", rolls.join(" or "))
        }
        (None, None) => "it has no condition of its own".to_owned(),
    }
}

fn touches(pack: &Pack, plan: &Rule) -> String {
    let mut names: Vec<String> = Vec::new();
    for roll in plan.changes.iter().flat_map(|change| &change.rolls) {
        let name = describe::roll_name(pack, *roll);
        if !names.contains(&name) {
            names.push(name);
        }
    }
    if names.is_empty() { "nothing by itself".to_owned() } else { format!("only {}", names.join(" and ")) }
}

fn words(pack: &Pack, plan: &Rule, part: &Part) -> String {
    match part {
        Part::When(condition) => describe::condition(pack, condition),
        Part::Face { on, low: false } if plan.repair.is_some() => format!("the die shows {on} or more"),
        Part::Face { on, low: false } => format!("the roll shows {on} or more"),
        Part::Face { on: 1, low: true } => "the roll shows 1".to_owned(),
        Part::Face { on, low: true } => format!("the roll shows {on} or less"),
        Part::Carried(who) => format!("{} has it", name(pack, *who)),
        Part::Made(roll) => format!("{} is made", the_roll(pack, *roll)),
        Part::Used(weapon) => format!("the {} can be used there", pack.weapons[*weapon].named.label),
        Part::Need(needs) => format!("the roll needs {needs}+"),
        Part::Succeeds => "the roll succeeds".to_owned(),
        Part::Touches => "it touches what was asked about".to_owned(),
    }
}

fn name(pack: &Pack, who: Who) -> String {
    match who {
        Who::Unit(at) => format!("the {}", pack.units[at].named.label),
        Who::Weapon(at) => format!("the {}", pack.weapons[at].named.label),
    }
}

/// A roll by its name in a sentence.
pub(super) fn the_roll(pack: &Pack, roll: RollId) -> String {
    match roll {
        // These have an article, or are tests by their name.
        RollId::Attack | RollId::Ignore | RollId::Repair => describe::roll_name(pack, roll),
        RollId::Check(_) => format!("the {}", describe::roll_name(pack, roll)),
        _ => format!("the {} roll", describe::roll_name(pack, roll)),
    }
}
