//! How an attack is made: kinds of target, procedures, their steps, and what a breach does.
use super::{
    Named,
    condition::Condition,
    roll::{CriticalPlan, RollPlan},
    sum::Sum,
};
use crate::odds::{chain::By, chain::PenetrateReroll, dice::Dice};

/// A kind of unit, by what it loses when it is attacked.
#[derive(Clone, Debug, PartialEq)]
pub struct Kind {
    /// What it is called.
    pub named: Named,
    /// Soldiers or armour.
    pub body: Body,
}

/// What a unit loses.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// Models with health.
    Soldiers {
        /// Health of each.
        health: Sum,
        /// What is left of a packet goes on to the next model.
        spill: bool,
        /// A last roll against damage.
        ignore: Option<Box<RollPlan>>,
        /// That roll is made once for a whole packet.
        per_packet: bool,
    },
    /// Units with structure.
    Armoured {
        /// Structure of each.
        structure: Sum,
        /// Attacks after a wreck are lost.
        overflow_wasted: bool,
    },
}

impl Body {
    /// Whether it is armour.
    pub fn is_armoured(&self) -> bool {
        matches!(self, Self::Armoured { .. })
    }
}

/// The steps of one sort of attack.
#[derive(Clone, Debug, PartialEq)]
pub struct Procedure {
    /// What it is called.
    pub named: Named,
    /// Whether it is made on armour.
    pub armoured: bool,
    /// Which attacks it is for; the first that fits is taken.
    pub when: Condition,
    /// Attacks of each attacker: dice.
    pub attacks: Sum,
    /// Its steps, in order, by index.
    pub steps: Vec<usize>,
    /// Damage of each success.
    pub damage: Sum,
}

/// One roll of an attack.
#[derive(Clone, Debug, PartialEq)]
pub struct StepPlan {
    /// What it is called; the label is the step's name in a chain.
    pub named: Named,
    /// Who rolls.
    pub by: By,
    /// The roll.
    pub form: Form,
}

/// The two sorts of step.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// An ordinary roll.
    Roll(Box<RollPlan>),
    /// Penetration.
    Penetrate(Box<PenetratePlan>),
}

/// A penetration roll.
#[derive(Clone, Debug, PartialEq)]
pub struct PenetratePlan {
    /// The dice.
    pub dice: Dice,
    /// Added to them.
    pub add: Sum,
    /// The armour.
    pub against: Sum,
    /// What is rolled again.
    pub reroll: PenetrateReroll,
    /// The bonus of a high natural die.
    pub critical: Option<CriticalPlan>,
    /// A total equal to the armour is a breach, not a graze.
    pub equal_breaches: bool,
    /// Structure lost to a graze.
    pub graze: Sum,
    /// Structure lost to a breach.
    pub breach: Sum,
    /// What else a breach does.
    pub chart: Option<usize>,
}

/// What a breach does.
#[derive(Clone, Debug, PartialEq)]
pub struct Breach {
    /// What it is called.
    pub named: Named,
    /// The dice.
    pub dice: Dice,
    /// Added to them.
    pub modifier: Sum,
    /// Ascending.
    pub rows: Vec<BreachRow>,
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct BreachRow {
    /// The result from which it counts.
    pub at_least: i32,
    /// More structure lost.
    pub structure: Dice,
    /// A lasting mark.
    pub status: Option<String>,
    /// The unit is wrecked.
    pub wrecked: bool,
    /// What it does instead to a unit that has the mark already: structure lost, wrecked.
    pub repeated: Option<(Dice, bool)>,
}
