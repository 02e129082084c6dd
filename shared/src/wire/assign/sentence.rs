//! Why each attacker goes where it goes, in a sentence.
use crate::analysis::assign::{Assignment, Battle, Idle, Objective};
use crate::report::saying::{count, listed, mean, percent, sentence};
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;

/// Everything that is spoken of, with its name.
pub(super) struct Words<'a> {
    battle: &'a Battle,
    found: &'a Assignment,
    attackers: Vec<String>,
    targets: Vec<String>,
}

/// Each unit as people count it; several that are called the same have numbers.
fn names(pack: &Pack, units: &[UnitInstance]) -> Vec<String> {
    let plain: Vec<String> =
        units.iter().map(|unit| pack.units[unit.unit].counting(pack).named(unit.whole.max(unit.models))).collect();
    let number = |at: usize| plain[..=at].iter().filter(|other| **other == plain[at]).count();
    let several = |at: usize| plain.iter().filter(|other| **other == plain[at]).count() > 1;
    let name = |(at, name): (usize, &String)| {
        if several(at) { format!("{name} ({})", number(at)) } else { name.clone() }
    };
    plain.iter().enumerate().map(name).collect()
}

impl<'a> Words<'a> {
    pub(super) fn new(battle: &'a Battle, found: &'a Assignment) -> Self {
        let (attackers, targets) = (names(&battle.pack, &battle.attackers), names(&battle.pack, &battle.targets));
        Self { battle, found, attackers, targets }
    }

    pub(super) fn attacker(&self, at: usize) -> String {
        self.attackers[at].clone()
    }

    pub(super) fn target(&self, at: usize) -> String {
        self.targets[at].clone()
    }

    /// A value of the objective.
    fn value(&self, value: f64) -> String {
        match self.battle.objective {
            Objective::Points => format!("{} points", mean(value)),
            Objective::Destroyed => format!("{} destroyed targets", mean(value)),
        }
    }

    fn alone(&self, attacker: usize, target: usize) -> f64 {
        let (points, destroyed) = self.found.alone[attacker][target];
        match self.battle.objective {
            Objective::Points => points,
            Objective::Destroyed => destroyed,
        }
    }

    /// Where an attacker goes, and why.
    pub(super) fn of_attacker(&self, attacker: usize) -> String {
        let name = sentence(&self.attackers[attacker]);
        let Some(target) = self.found.plan[attacker] else {
            let why = self.found.idle.iter().find(|(idle, _)| *idle == attacker);
            let why = why.map_or_else(String::new, |(_, why)| format!(": {}", self.idle(why)));
            return format!("{name} is sent nowhere{why}.");
        };
        let (onto, adds) = (&self.targets[target], self.value(self.found.adds[attacker]));
        match self.found.on_its_own.0[attacker] {
            Some(own) if own == target => {
                format!("{name} on {onto}: the best target anyway; this adds {adds} on average.")
            }
            Some(own) => {
                let better = self.value(self.alone(attacker, own));
                format!(
                    "{name} on {onto}, not on {}: that would give {better} alone, but together they destroy more this \
                     way; this adds {adds}.",
                    self.targets[own]
                )
            }
            None => format!(
                "{name} on {onto}: alone it does nothing anywhere, but after the others it adds {adds} on average."
            ),
        }
    }

    /// The whole plan.
    pub(super) fn of_plan(&self) -> String {
        let found = self.found;
        if found.plan.iter().all(Option::is_none) {
            return "Nobody here can do anything to these targets.".to_owned();
        }
        let attacked = found.fates.iter().zip(&self.targets).filter(|(fate, _)| !fate.attackers.is_empty());
        let each: Vec<String> = attacked
            .map(|(fate, target)| {
                let who: Vec<String> = fate.attackers.iter().map(|at| self.attackers[*at].clone()).collect();
                format!("{} on {target}", listed(&who))
            })
            .collect();
        let destroyed = match self.battle.objective {
            Objective::Points => format!("{} points", mean(found.expected)),
            Objective::Destroyed => format!("{} of the targets", mean(found.expected)),
        };
        let mut text = format!("{}: that destroys {destroyed} on average.", sentence(&each.join("; ")));
        let gain = found.expected - found.on_its_own.1;
        if gain > 1e-9 {
            let more = format!(" That is {} more than if each took its own best target.", self.value(gain));
            text.push_str(&more);
        }
        if let (Some(chance), Some(must)) = (found.must_chance, &self.battle.must) {
            let all: Vec<String> = must.targets.iter().map(|at| self.targets[*at].clone()).collect();
            let verb = if all.len() > 1 { "are all destroyed" } else { "is destroyed" };
            let chance = percent(chance);
            let more = if found.not_reached {
                let wanted = percent(must.chance);
                format!(" No plan reaches {wanted}: {} {verb} with a chance of {chance} at best.", listed(&all))
            } else {
                format!(" {} {verb} with a chance of {chance}.", sentence(&listed(&all)))
            };
            text.push_str(&more);
        }
        if found.must_left_out {
            text.push_str(" Nothing here can destroy all that must be, so that is left out.");
        }
        let idle = found.idle.len() as u64;
        if idle > 0 {
            let verb = if idle == 1 { "is" } else { "are" };
            let more = format!(" {} {verb} sent nowhere.", sentence(&count(idle, "attacker", "attackers")));
            text.push_str(&more);
        }
        text
    }

    /// Why an attacker is sent nowhere, to go on after a colon.
    pub(super) fn idle(&self, why: &Idle) -> String {
        match why {
            Idle::Cannot => "it was said that it can attack none of these targets".to_owned(),
            Idle::Unarmed => "it has no weapon".to_owned(),
            Idle::Unused(weapon, why) => {
                let weapon = &self.battle.pack.weapons[*weapon].named.label;
                format!("none of its weapons can be used here ({weapon}: {why})")
            }
            Idle::Harmless => "it can hurt none of the targets that it can attack".to_owned(),
            Idle::Needless => "beside the others it adds nothing".to_owned(),
        }
    }
}
