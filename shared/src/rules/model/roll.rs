//! Rolls as a pack describes them, before stats and rules fill them in.
use super::{
    Named,
    condition::Condition,
    sum::{NeedsFrom, Sum},
};
use crate::odds::{
    dice::Dice,
    roll::{Keep, Needs, Reroll, Ties},
};

/// A roll.
#[derive(Clone, Debug, PartialEq)]
pub struct RollPlan {
    /// The dice.
    pub dice: Dice,
    /// Those that count.
    pub keep: Keep,
    /// What decides.
    pub aim: AimPlan,
    /// Added to the total.
    pub modifier: Sum,
    /// What is rolled again.
    pub reroll: Reroll,
    /// The worst natural face always fails.
    pub low_fails: bool,
    /// The best natural face always succeeds.
    pub high_succeeds: bool,
    /// The easiest that rules may make it.
    pub best: Option<Needs>,
    /// The hardest that rules may make it.
    pub worst: Option<Needs>,
    /// What a high natural face gives.
    pub critical: Option<CriticalPlan>,
    /// What a winning difference gives.
    pub margins: Vec<(u32, GainPlan)>,
    /// What a low natural face costs.
    pub backfire: Option<BackfirePlan>,
}

/// What decides a roll.
#[derive(Clone, Debug, PartialEq)]
pub enum AimPlan {
    /// One need.
    Needs(NeedsFrom),
    /// The best of several.
    Choose(Vec<Choice>),
    /// The other side's total.
    Versus(VersusPlan),
}

/// One of several rolls that a player may choose from.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// What it is called.
    pub named: Named,
    /// What it needs.
    pub needs: NeedsFrom,
    /// Its own modifier.
    pub modifier: Sum,
}

/// The other side of an opposed roll.
#[derive(Clone, Debug, PartialEq)]
pub struct VersusPlan {
    /// Its dice.
    pub dice: Dice,
    /// Those that count.
    pub keep: Keep,
    /// Added to its total.
    pub modifier: Sum,
    /// Who wins a tie.
    pub ties: Ties,
}

/// What a high natural face gives.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CriticalPlan {
    /// This face or better.
    pub on: Option<u32>,
    /// Succeeds whatever the total.
    pub always: Option<bool>,
    /// Dice added to a penetration.
    pub add: Option<Sum>,
    /// The rest.
    pub gain: GainPlan,
}

/// What a success may get beyond coming through.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GainPlan {
    /// Further successes.
    pub extra: Option<Sum>,
    /// More damage.
    pub damage: Option<Sum>,
    /// Changes of later steps, by their index.
    pub then: Vec<(usize, ThenPlan)>,
}

/// Changes of one later step, for this success only, laid over what it is otherwise.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ThenPlan {
    /// In place of what it needs.
    pub needs: Option<NeedsFrom>,
    /// Harder by this.
    pub harder: Option<Sum>,
    /// More on the modifier.
    pub modifier: Option<Sum>,
    /// More added to a penetration.
    pub add: Option<Sum>,
    /// More armour.
    pub against: Option<Sum>,
}

/// What a low natural face costs.
#[derive(Clone, Debug, PartialEq)]
pub struct BackfirePlan {
    /// This face or worse.
    pub on: u32,
    /// What saves the attacker.
    pub needs: NeedsFrom,
    /// Damage to the attacker's own side.
    pub harm: Sum,
}

/// A test that units take.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckPlan {
    /// What it is called.
    pub named: Named,
    /// Which units take it.
    pub when: Condition,
    /// The roll.
    pub roll: RollPlan,
    /// What is asked of the person, and what stands where it is not said.
    pub asks: Option<(String, i32)>,
}

/// A roll made when an attack is over.
#[derive(Clone, Debug, PartialEq)]
pub struct AftermathPlan {
    /// What it is called.
    pub named: Named,
    /// Which matchups have it.
    pub when: Condition,
    /// What is counted.
    pub counts: Counts,
    /// The smallest count that brings it on.
    pub at_least: Sum,
    /// The roll.
    pub roll: RollPlan,
    /// More on the modifier for each one counted.
    pub per_point: i32,
    /// What its success brings.
    pub effect: String,
    /// The effect takes the unit out of the fight.
    pub ends: bool,
    /// It happens even where nothing of the unit is left.
    pub even_destroyed: bool,
}

/// What an aftermath counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counts {
    /// Models removed.
    Models,
    /// Health lost.
    HealthLost,
    /// Units wrecked.
    Wrecked,
    /// Successes past a step.
    Passed(usize),
}

/// How a unit mends itself.
#[derive(Clone, Debug, PartialEq)]
pub struct RepairPlan {
    /// The roll: one die, a need, a modifier and a re-roll.
    pub roll: RollPlan,
    /// How many rolls a turn.
    pub rolls: Rolls,
    /// What a success restores.
    pub restores: Sum,
}

/// How many repair rolls a turn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rolls {
    /// So many.
    Number(Sum),
    /// One for each missing point.
    EachMissing,
}
