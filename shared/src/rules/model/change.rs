//! Rules: named changes of rolls, with conditions.
use super::{
    Named,
    condition::Condition,
    roll::{BackfirePlan, CriticalPlan, RepairPlan},
    sum::{NeedsFrom, Sum},
};
use crate::odds::{
    dice::Dice,
    roll::{Keep, Reroll},
};

/// A rule or keyword of the pack.
#[derive(Clone, Debug, PartialEq)]
pub struct Rule {
    /// What it is called, and its text.
    pub named: Named,
    /// When it acts.
    pub when: Condition,
    /// Rules (by index) that do not act while this one does.
    pub replaces: Vec<usize>,
    /// What it changes.
    pub changes: Vec<Change>,
    /// How it mends its unit.
    pub repair: Option<RepairPlan>,
    /// Who gains by `repair`.
    pub side: RuleScope,
}

/// One change of one or more rolls.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Where the rule must sit for this change.
    pub side: RuleScope,
    /// When it acts, beyond the rule's own condition.
    pub when: Condition,
    /// Which rolls.
    pub rolls: Vec<RollId>,
    /// What happens to them.
    pub effects: Effects,
}

/// Where a rule sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RuleScope {
    /// On the attacking unit (or the unit that checks or mends).
    Attacker,
    /// On the weapon in use, or on the unit for all its weapons.
    Weapon,
    /// On the target unit (or the unit that checks or mends).
    Target,
    /// On a unit near the attacker (or near the unit that checks or mends).
    NearAttacker,
    /// On a unit near the target (or near the unit that checks or mends).
    NearTarget,
    /// On nobody: it always holds.
    Table,
}

/// A roll that rules can speak of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RollId {
    /// A step, by its index.
    Step(usize),
    /// One choice of a step: both by index.
    Choice(usize, usize),
    /// The attack itself: its number and its damage.
    Attack,
    /// The target's last roll against damage.
    Ignore,
    /// The repair roll.
    Repair,
    /// A check, by its index.
    Check(usize),
    /// A roll afterwards, by its index.
    Aftermath(usize),
}

/// What happens to a roll. What is set comes first, what is added after it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Effects {
    /// The roll is not made: it fails.
    pub deny: bool,
    /// In place of what it needs.
    pub needs: Option<NeedsFrom>,
    /// In place of its dice.
    pub dice: Option<Dice>,
    /// In place of what is kept.
    pub keep: Option<Keep>,
    /// What is rolled again.
    pub reroll: Option<Reroll>,
    /// What of a penetration is rolled again.
    pub reroll_grazes: bool,
    /// The worst natural face always fails.
    pub low_fails: Option<bool>,
    /// The best natural face always succeeds.
    pub high_succeeds: Option<bool>,
    /// Harder by this.
    pub harder: Option<Sum>,
    /// More on the modifier.
    pub modifier: Option<Sum>,
    /// More added to a penetration.
    pub add: Option<Sum>,
    /// More armour.
    pub against: Option<Sum>,
    /// A critical, laid over the one there is.
    pub critical: Option<CriticalPlan>,
    /// A backfire.
    pub backfire: Option<BackfirePlan>,
    /// In place of what a breach does, by the chart's index.
    pub chart: Option<usize>,
    /// More on the roll of that chart.
    pub chart_modifier: Option<Sum>,
    /// More structure lost to a graze.
    pub graze: Option<Sum>,
    /// More structure lost to a breach.
    pub breach: Option<Sum>,
    /// More attacks of each attacker.
    pub attacks: Option<Sum>,
    /// So many times the attacks.
    pub times: Option<i32>,
    /// In place of the damage.
    pub set_damage: Option<Sum>,
    /// More damage.
    pub damage: Option<Sum>,
    /// Damage goes on to the next model.
    pub spill: Option<bool>,
    /// More restored by a repair.
    pub restores: Option<Sum>,
}

impl RollId {
    /// Whether the roll is part of an attack.
    pub fn is_of_attack(self) -> bool {
        !matches!(self, Self::Repair | Self::Check(_))
    }
}
