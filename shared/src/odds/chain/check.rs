//! What the parts of a chain must keep to among each other.
use super::super::dice::Amount;
use super::super::roll::{Aim, Keep, Needs, Pool, Roll};
use super::check_counters;
use super::fault::{ChainError, ChainFault, Place};
use super::{Aftermath, By, Change, Gain, Kind, Penetrate, RollStep, Step, Table, Target, Volley, When};
use std::fmt;

pub(super) struct Found {
    volley: Option<usize>,
    errors: Vec<ChainError>,
}

impl Found {
    pub(super) fn add(&mut self, path: impl fmt::Display, fault: ChainFault) {
        self.errors.push(ChainError { place: Place { volley: self.volley, path: path.to_string() }, fault });
    }

    pub(super) fn unless(&mut self, good: bool, path: impl fmt::Display, fault: ChainFault) {
        if !good {
            self.add(path, fault);
        }
    }
}

pub(super) fn errors(volleys: &[Volley], target: &Target, aftermath: &[Aftermath]) -> Vec<ChainError> {
    let mut found = Found { volley: None, errors: Vec::new() };
    found.unless((1..=12).contains(&volleys.len()), "volleys", ChainFault::Volleys);
    for (index, volley) in volleys.iter().enumerate() {
        found.volley = Some(index);
        check_volley(&mut found, volley, matches!(target, Target::Armoured(_)));
        check_counters::check_volley(&mut found, volley, target.counters());
    }
    found.volley = None;
    check_target(&mut found, target, volleys);
    check_counters::check_target(&mut found, target);
    check_aftermath(&mut found, aftermath, target, volleys);
    found.errors
}

/// What is wrong with a target that nothing attacks, and with what is rolled after it.
pub(crate) fn unattacked(target: &Target, aftermath: &[Aftermath]) -> Vec<ChainError> {
    let mut found = Found { volley: None, errors: Vec::new() };
    check_target(&mut found, target, &[]);
    check_counters::check_target(&mut found, target);
    check_aftermath(&mut found, aftermath, target, &[]);
    found.errors
}

fn check_volley(found: &mut Found, volley: &Volley, armoured: bool) {
    found.unless(volley.attackers <= 10_000, "attackers", ChainFault::Attackers);
    found.unless(volley.attacks.highest() <= 10_000, "attacks", ChainFault::Amount);
    found.unless(volley.damage.highest() <= 10_000, "damage", ChainFault::Amount);
    found.unless(volley.steps.len() <= 12, "steps", ChainFault::Steps);
    found.unless(volley.spill.is_none() || !armoured, "spill", ChainFault::OnArmour);
    found.unless(volley.ignore.is_none() || !armoured, "ignore", ChainFault::OnArmour);
    for (field, fault) in volley.ignore.iter().flat_map(|ignore| check_roll(&ignore.roll)) {
        found.add(format_args!("ignore/{field}"), fault);
    }
    if let Some(gate) = &volley.gate {
        check_roll(&gate.roll).into_iter().for_each(|(field, fault)| found.add(format_args!("gate/{field}"), fault));
        found.unless(gate.harm.highest() <= 10_000, "gate/backfire/harm", ChainFault::Amount);
    }
    let mut penetrated = false;
    for (index, step) in volley.steps.iter().enumerate() {
        let path = format_args!("steps/{index}");
        check_name(found, format_args!("{path}/name"), &step.name);
        if volley.steps[..index].iter().any(|earlier| earlier.name == step.name) {
            found.add(format_args!("{path}/name"), ChainFault::SameName);
        }
        if penetrated && step.by == By::Attacker {
            found.add(path, ChainFault::AfterPenetrate);
        }
        let later = &volley.steps[index + 1..];
        match &step.kind {
            Kind::Roll(roll) => check_roll_step(found, path, step.by, roll, later),
            Kind::Table(table) => check_table(found, path, table, later),
            Kind::Penetrate(penetrate) => {
                found.unless(armoured && !penetrated, path, ChainFault::StrayPenetrate);
                found.unless(step.by == By::Attacker, format_args!("{path}/by"), ChainFault::DefenderPenetrates);
                check_penetrate(found, path, penetrate);
                penetrated = true;
            }
        }
    }
    found.unless(penetrated || !armoured, "steps", ChainFault::NoPenetrate);
}

pub(super) fn check_name(found: &mut Found, path: fmt::Arguments<'_>, name: &str) {
    found.unless((1..=64).contains(&name.chars().count()), path, ChainFault::Name);
}

pub(crate) fn check_roll(roll: &Roll) -> Vec<(&'static str, ChainFault)> {
    let mut faults = Vec::new();
    let limit = |modifier: i32| modifier.abs() <= 1_000;
    if !limit(roll.modifier) {
        faults.push(("modifier", ChainFault::Modifier));
    }
    let keeps = |pool: &Pool| match pool {
        Pool::Dice { keep: Keep::All, .. } | Pool::Given(_) => true,
        Pool::Dice { dice, keep: Keep::Highest(n) | Keep::Lowest(n) } => (1..=dice.count()).contains(n),
    };
    if !keeps(&roll.pool) {
        faults.push(("keep", ChainFault::Keep));
    }
    if let Aim::Versus(versus) = &roll.aim {
        if !limit(versus.modifier) {
            faults.push(("versus/modifier", ChainFault::Modifier));
        }
        if !keeps(&versus.pool) {
            faults.push(("versus/keep", ChainFault::Keep));
        } else if faults.is_empty() && !roll.is_decidable() {
            faults.push(("ties", ChainFault::Undecidable));
        }
    }
    let high = roll.pool.ends().1;
    let mirrored = roll.low_is_good();
    let face = |on: u32, good: bool| {
        // A critical leaves out the face 1 (mirrored: the highest), a backfire the other end.
        let ends = if mirrored == good { (1, high - 1) } else { (2, high) };
        (!(ends.0..=ends.1).contains(&i64::from(on))).then_some(ChainFault::Face(ends.0, ends.1))
    };
    if let Some(fault) = roll.critical.and_then(|critical| face(critical.on, true)) {
        faults.push(("critical/on", fault));
    }
    if let Some(fault) = roll.backfire.and_then(|on| face(on, false)) {
        faults.push(("backfire/on", fault));
    }
    if mirrored && !roll.margins.is_empty() {
        faults.push(("margin", ChainFault::MarginOnLow));
    }
    if roll.margins.windows(2).any(|pair| pair[0] >= pair[1]) {
        faults.push(("margin", ChainFault::RowOrder));
    }
    if roll.margins.len() > 100 {
        faults.push(("margin", ChainFault::Rows));
    }
    faults
}

fn check_roll_step(found: &mut Found, path: fmt::Arguments<'_>, by: By, step: &RollStep, later: &[Step]) {
    for (field, fault) in check_roll(&step.roll) {
        found.add(format_args!("{path}/{field}"), fault);
    }
    found.unless(step.backfire.harm.highest() <= 10_000, format_args!("{path}/backfire/harm"), ChainFault::Amount);
    check_gain(found, format_args!("{path}/critical"), by, &step.critical, later);
    for (index, gain) in step.margins.iter().enumerate() {
        check_gain(found, format_args!("{path}/margin/{index}"), by, gain, later);
    }
    if by == By::Defender && !step.margins.is_empty() {
        found.add(format_args!("{path}/margin"), ChainFault::DefenderGains);
    }
    if by == By::Defender && step.roll.backfire.is_some() {
        found.add(format_args!("{path}/backfire"), ChainFault::DefenderGains);
    }
}

fn check_table(found: &mut Found, path: fmt::Arguments<'_>, table: &Table, later: &[Step]) {
    for (field, fault) in check_roll(&table.roll) {
        found.add(format_args!("{path}/{field}"), fault);
    }
    found.unless((1..=100).contains(&table.rows.len()), format_args!("{path}/rows"), ChainFault::Rows);
    for (index, row) in table.rows.iter().enumerate() {
        let at = format_args!("{path}/rows/{index}");
        let ascends = index == 0 || table.rows[index - 1].at_least < row.at_least;
        found.unless(ascends, format_args!("{at}/at_least"), ChainFault::RowOrder);
        found.unless(!row.ends || row.gain == Gain::none(), format_args!("{at}/ends"), ChainFault::EndsAndGains);
        check_gain(found, at, By::Attacker, &row.gain, later);
    }
}

fn check_gain(found: &mut Found, path: fmt::Arguments<'_>, by: By, gain: &Gain, later: &[Step]) {
    found.unless(gain.extra.highest() <= 10, format_args!("{path}/extra"), ChainFault::Extra);
    found.unless(gain.damage.highest() <= 10_000, format_args!("{path}/damage"), ChainFault::Amount);
    if by == By::Defender {
        let none = Gain::none();
        found.unless(gain.extra == none.extra, format_args!("{path}/extra"), ChainFault::DefenderGains);
        found.unless(gain.then.is_empty(), format_args!("{path}/then"), ChainFault::DefenderGains);
        found.unless(gain.damage == none.damage, format_args!("{path}/damage"), ChainFault::DefenderGains);
    }
    for change in &gain.then {
        let at = format_args!("{path}/then/{}", change.step);
        match later.iter().find(|step| step.name == change.step) {
            Some(step) => check_change(found, at, change, step),
            None => found.add(at, ChainFault::NoLaterStep(change.step.clone())),
        }
    }
}

pub(super) fn check_change(found: &mut Found, path: fmt::Arguments<'_>, change: &Change, step: &Step) {
    let plus = change.plus;
    let of_needs = change.needs.is_some() || plus.needs != 0;
    let of_roll = of_needs || change.modifier.is_some() || plus.modifier != 0;
    let of_penetrate = change.add.is_some() || change.against.is_some() || plus.add != 0 || plus.against != 0;
    found.unless(of_roll || of_penetrate, path, ChainFault::EmptyChange);
    let limit =
        |number: Option<i32>, plus: i32| number.unwrap_or(0).unsigned_abs() <= 1_000 && plus.unsigned_abs() <= 1_000;
    found.unless(limit(change.modifier, plus.modifier), format_args!("{path}/modifier"), ChainFault::Modifier);
    found.unless(limit(change.add, plus.add), format_args!("{path}/add"), ChainFault::Modifier);
    found.unless(limit(None, plus.needs), format_args!("{path}/needs"), ChainFault::Modifier);
    let armour = change.against.unwrap_or(0) <= 10_000 && plus.against.unsigned_abs() <= 10_000;
    found.unless(armour, format_args!("{path}/against"), ChainFault::Amount);
    let wrong = match &step.kind {
        Kind::Roll(_) => of_penetrate,
        Kind::Penetrate(_) => of_roll,
        Kind::Table(_) => of_penetrate || of_needs,
    };
    found.unless(!wrong, path, ChainFault::WrongChange(step.name.clone()));
    if let Kind::Roll(roll) = &step.kind
        && matches!(roll.roll.aim, Aim::Versus(_))
    {
        found.unless(!of_needs, format_args!("{path}/needs"), ChainFault::OpposedChange(step.name.clone()));
    }
    if let (Kind::Roll(roll), Some(Needs::AtMost(_)), false) = (&step.kind, change.needs, wrong) {
        found.unless(roll.roll.margins.is_empty(), format_args!("{path}/needs"), ChainFault::MarginOnLow);
    }
}

fn check_penetrate(found: &mut Found, path: fmt::Arguments<'_>, step: &Penetrate) {
    found.unless(step.add.abs() <= 1_000, format_args!("{path}/add"), ChainFault::Modifier);
    found.unless(step.against <= 10_000, format_args!("{path}/against"), ChainFault::Amount);
    let dice = i64::from(step.dice.sides());
    if let Some((on, add)) = &step.critical {
        let good = step.dice.count() > 0 && (2..=dice).contains(&i64::from(*on));
        found.unless(good, format_args!("{path}/critical/on"), ChainFault::Face(2, dice));
        found.unless(add.highest() <= 10_000, format_args!("{path}/critical/add"), ChainFault::Amount);
    }
    let structure = |found: &mut Found, at: fmt::Arguments<'_>, amount: &Amount| {
        found.unless(amount.highest() <= 10_000, format_args!("{at}/structure"), ChainFault::Amount);
    };
    structure(found, format_args!("{path}/graze"), &step.graze);
    structure(found, format_args!("{path}/breach"), &step.breach);
    let Some(chart) = &step.chart else { return };
    let path = format_args!("{path}/breach/chart");
    found.unless(chart.modifier.abs() <= 1_000, format_args!("{path}/modifier"), ChainFault::Modifier);
    found.unless((1..=100).contains(&chart.rows.len()), format_args!("{path}/rows"), ChainFault::Rows);
    for (index, row) in chart.rows.iter().enumerate() {
        let at = format_args!("{path}/rows/{index}");
        let ascends = index == 0 || chart.rows[index - 1].at_least < row.at_least;
        found.unless(ascends, format_args!("{at}/at_least"), ChainFault::RowOrder);
        structure(found, at, &row.structure);
        if let Some(status) = &row.status {
            check_name(found, format_args!("{at}/status"), status);
        }
        let nameless = row.repeated.is_some() && row.status.is_none();
        found.unless(!nameless, format_args!("{at}/repeated"), ChainFault::RepeatedWithoutStatus);
        if let Some(repeated) = &row.repeated {
            structure(found, format_args!("{at}/repeated"), &repeated.structure);
        }
    }
}

fn check_target(found: &mut Found, target: &Target, volleys: &[Volley]) {
    match target {
        Target::Soldiers(soldiers) => {
            let models: u64 = soldiers.groups.iter().map(|group| u64::from(group.models)).sum();
            let count =
                (1..=20).contains(&soldiers.groups.len()) && (1..=u64::from(Target::MOST_MODELS)).contains(&models);
            found.unless(count && soldiers.groups.iter().all(|g| g.models > 0), "target/models", ChainFault::Models);
            for (index, group) in soldiers.groups.iter().enumerate() {
                let at = format_args!("target/groups/{index}");
                found.unless((1..=1_000).contains(&group.health), format_args!("{at}/health"), ChainFault::Health);
                for (field, fault) in group.ignore.iter().flat_map(|ignore| check_roll(&ignore.roll)) {
                    found.add(format_args!("{at}/ignore/{field}"), fault);
                }
                for change in &group.then {
                    let at = format_args!("{at}/then/{}", change.step);
                    let mut named =
                        volleys.iter().filter_map(|v| v.steps.iter().find(|s| s.name == change.step)).peekable();
                    if named.peek().is_none() && !volleys.is_empty() {
                        found.add(at, ChainFault::NoStep(change.step.clone()));
                    }
                    named.for_each(|step| check_change(found, at, change, step));
                }
            }
            let first = soldiers.groups.first().map_or(0, |group| group.health);
            found.unless(soldiers.hurt < first.max(1), "target/hurt", ChainFault::Hurt);
        }
        Target::Armoured(armoured) => {
            found.unless((1..=1_000).contains(&armoured.structure), "target/structure", ChainFault::Structure);
            found.unless((1..=Target::MOST_UNITS).contains(&armoured.units), "target/units", ChainFault::Units);
            found.unless(armoured.hurt < armoured.structure.max(1), "target/hurt", ChainFault::Hurt);
            armoured
                .statuses
                .iter()
                .enumerate()
                .for_each(|(i, s)| check_name(found, format_args!("target/statuses/{i}"), s));
            found.unless(super::statuses(volleys, armoured).len() <= 20, "target/statuses", ChainFault::Statuses);
        }
    }
}

fn check_aftermath(found: &mut Found, aftermath: &[Aftermath], target: &Target, volleys: &[Volley]) {
    found.unless(aftermath.len() <= 10, "aftermath", ChainFault::Aftermaths);
    for (index, after) in aftermath.iter().enumerate() {
        let at = format_args!("aftermath/{index}");
        check_name(found, format_args!("{at}/effect"), &after.effect);
        if aftermath[..index].iter().any(|earlier| earlier.effect == after.effect) {
            found.add(format_args!("{at}/effect"), ChainFault::Aftermaths);
        }
        found.unless(after.per_point.abs() <= 1_000, format_args!("{at}/per_point"), ChainFault::Modifier);
        for (field, fault) in check_roll(&after.roll) {
            found.add(format_args!("{at}/{field}"), fault);
        }
        match &after.when {
            When::Passed(name) if !volleys.iter().any(|v| v.steps.iter().any(|s| s.name == *name)) => {
                found.add(format_args!("{at}/when/passed/step"), ChainFault::NoStep(name.clone()));
            }
            When::Models | When::HealthLost if matches!(target, Target::Armoured(_)) => {
                found.add(format_args!("{at}/when"), ChainFault::CountOnArmour);
            }
            When::Wrecked if matches!(target, Target::Soldiers(_)) => {
                found.add(format_args!("{at}/when"), ChainFault::WreckedSoldiers);
            }
            _ => {}
        }
    }
}
