//! Why each attacker goes where it goes, in a sentence.
use crate::analysis::assign::{Assignment, Battle, Idle, Objective};
use crate::report::counting::Counted;
use crate::report::saying::{listed, mean, percent, sentence, verb};
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

    /// A value of the objective, and what is said of it: `12.3 points fewer`.
    fn value(&self, value: f64, word: &str) -> String {
        let number = mean(value);
        let one = match self.battle.objective {
            Objective::Points => "point",
            Objective::Destroyed => "destroyed target",
        };
        format!("{number} {one}{}{word}", if number == "1" { "" } else { "s" })
    }

    /// Whether an attacker is several of what is counted.
    fn is_several(&self, attacker: usize) -> bool {
        let unit = &self.battle.attackers[attacker];
        self.battle.pack.units[unit.unit].counting(&self.battle.pack).is_several(unit.whole.max(unit.models))
    }

    /// Those who attack one target. All that are alike are counted together: `3 Ram Barges`, `2 units of 10 Dyke Hands`.
    fn together(&self, attackers: &[usize]) -> Vec<String> {
        let units = &self.battle.attackers;
        let mut all = Vec::new();
        for (place, at) in attackers.iter().enumerate() {
            let alike = |other: &&usize| units[**other] == units[*at];
            let here = attackers.iter().filter(alike).count();
            let everywhere = (0..units.len()).filter(|other| units[*other] == units[*at]).count();
            if here == 1 || here < everywhere {
                all.push(self.attackers[*at].clone());
            } else if !attackers[..place].iter().any(|other| alike(&other)) {
                all.push(self.times(*at, here));
            }
        }
        all
    }

    /// So many units like one.
    fn times(&self, attacker: usize, times: usize) -> String {
        let unit = &self.battle.attackers[attacker];
        let book = &self.battle.pack.units[unit.unit];
        let (counting, models) = (book.counting(&self.battle.pack), unit.whole.max(unit.models));
        match book.counted {
            _ if counting.named(models) == counting.singular => format!("{times} {}", counting.plural),
            Counted::Units => format!("{times} {} of {models} {}", counting.plural, counting.words.1),
            Counted::Models => format!("{times} units of {}", counting.digits(models)),
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
        let many = self.is_several(attacker);
        let (they, them, their) = if many { ("they", "them", "their") } else { ("it", "it", "its") };
        let Some(target) = self.found.plan[attacker] else {
            let why = self.found.idle.iter().find(|(idle, _)| *idle == attacker);
            let why = why.map_or_else(String::new, |(_, why)| format!(": {}", self.idle(why, many)));
            return format!("{name} {} sent nowhere{why}.", verb("are", many));
        };
        let onto = &self.targets[target];
        let without = format!("without {them}, {} on average", self.value(self.found.adds[attacker], " fewer"));
        match self.found.on_its_own.0[attacker] {
            Some(own) if own == target => format!("{name} on {onto}: {their} best target anyway; {without}."),
            Some(own) => {
                let (there, here) = (self.alone(attacker, own), self.alone(attacker, target));
                // Where both are the same, the first target was the best one.
                let does = if there > here * (1.0 + 1e-9) { "better" } else { "as well" };
                let others = &self.found.fates[own].attackers;
                let instead = match others.as_slice() {
                    [] => "together they all destroy more this way".to_owned(),
                    [one] => format!(
                        "{} {} to that",
                        self.together(others).concat(),
                        if self.is_several(*one) { "see" } else { "sees" }
                    ),
                    _ => format!("{} see to that", listed(&self.together(others))),
                };
                format!(
                    "{name} on {onto}: alone {they} would do {does} against {}, with {}, but {instead}; {without}.",
                    self.targets[own],
                    self.value(there, "")
                )
            }
            None => format!(
                "{name} on {onto}: alone {they} would do nothing to any target, but after the others {they} {}; {without}.",
                verb("help", many)
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
        let each: Vec<String> =
            attacked.map(|(fate, target)| format!("{} on {target}", listed(&self.together(&fate.attackers)))).collect();
        let destroyed = match self.battle.objective {
            Objective::Points => format!("{} points", mean(found.expected)),
            Objective::Destroyed => format!("{} of the targets", mean(found.expected)),
        };
        let mut text = format!("{}: that destroys {destroyed} on average.", sentence(&each.join("; ")));
        let gain = found.expected - found.on_its_own.1;
        if gain > 1e-9 {
            let more = format!(" That is {} than if each took its own best target.", self.value(gain, " more"));
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
        text
    }

    /// Why an attacker is sent nowhere, to go on after a colon.
    pub(super) fn idle(&self, why: &Idle, many: bool) -> String {
        let (they, their) = if many { ("they", "their") } else { ("it", "its") };
        match why {
            Idle::Cannot => format!("it was said that {they} can attack none of these targets"),
            Idle::Unarmed => format!("{they} {} no weapon", verb("have", many)),
            Idle::Unused(weapon, why) => {
                let weapon = &self.battle.pack.weapons[*weapon].named.label;
                // Behind the ranges where the weapon can be used stands the rule's whole text: `contact only: …`.
                let ranges = why.split(": ").next().unwrap_or(why);
                let is_ranges =
                    ranges.ends_with(" only") || ["anywhere", "not "].iter().any(|at| ranges.starts_with(at));
                let why = if is_ranges { ranges } else { why.trim_end_matches('.') };
                format!("none of {their} weapons can be used here ({weapon}: {why})")
            }
            Idle::Harmless => format!("{they} can hurt none of the targets that {they} can attack"),
            Idle::Needless => format!("beside the others {they} {} nothing", verb("add", many)),
        }
    }

    /// The same for one attacker.
    pub(super) fn idle_of(&self, attacker: usize, why: &Idle) -> String {
        self.idle(why, self.is_several(attacker))
    }
}
