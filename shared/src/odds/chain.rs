//! The chain: the plain numbers that a matchup comes down to, and what comes of them.
//!
//! The parts are open records; a [`Chain`] can only be had through [`Chain::new`], which holds the
//! parts against each other. Past it, nothing in here can be wrong.
use super::{
    blast::Blast,
    dice::{Amount, Dice},
    distribution::Distribution,
    number::Number,
    roll::{Needs, Roll},
};

mod afterwards;
mod armour;
mod check;
mod check_counters;
mod count;
pub(crate) mod counted;
pub(crate) mod counters;
pub(crate) mod either;
mod ends;
mod evaluate;
mod fault;
pub(crate) mod gate;
mod goal;
pub(crate) mod graph;
pub(crate) mod lattice;
mod moves;
mod penetrate;
pub(crate) mod prepared;
pub(crate) mod run;
mod soldiers;
pub(crate) mod state_space;
mod table;
mod tallied;
mod target;
pub use afterwards::{Aftermath, When};
pub(crate) use check::{check_roll, unattacked};
pub use counters::{ByCounter, Counter, Counters, Counts, GateChange, Threshold};
pub use ends::Stand;
pub use evaluate::{Answer, Lost, StepAnswer, equal_chance, step_chance};
pub use fault::{ChainError, ChainFault, Place};
pub use gate::Gate;
pub use goal::Goal;
pub use table::{Table, TableRow};
pub use target::{Armoured, Group, Ignore, Soldiers, Target};

/// Volleys, in order, on one target, and what is rolled afterwards.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    volleys: Vec<Volley>,
    target: Target,
    aftermath: Vec<Aftermath>,
}

/// One weapon's attacks.
#[derive(Clone, Debug, PartialEq)]
pub struct Volley {
    /// How many attack; each rolls its own number of attacks.
    pub attackers: u32,
    /// Attacks of each attacker.
    pub attacks: Attacks,
    /// What lets the attacks be made.
    pub gate: Option<Gate>,
    /// The rolls of each attack, in order.
    pub steps: Vec<Step>,
    /// Damage of each success that comes through all steps.
    pub damage: Amount,
    /// What a landing adds to the target's counters: a success past all steps while something is left.
    pub counts: Counts,
    /// Numbers that change with counters.
    pub by_counter: Vec<ByCounter>,
    /// Whether what is left of its packets goes on to the next model, in place of what the target says.
    pub spill: Option<bool>,
    /// The last roll against its damage, in place of the target's own; one that needs `never` is none.
    pub ignore: Option<Ignore>,
}

/// How many attacks an attacker has.
#[derive(Clone, Debug, PartialEq)]
pub enum Attacks {
    /// Rolled or drawn.
    Amount(Amount),
    /// As many as a template catches.
    Blast(Box<Blast>),
}

impl Attacks {
    /// The number, where it is certain.
    pub fn as_constant(&self) -> Option<u32> {
        match self {
            Self::Amount(amount) => amount.as_constant(),
            Self::Blast(_) => None,
        }
    }

    /// The most that there can be.
    pub fn highest(&self) -> i64 {
        match self {
            Self::Amount(amount) => amount.highest(),
            Self::Blast(blast) => blast.most(),
        }
    }

    /// The distribution. That of a template comes of geometry: an exact number takes its decimals.
    pub fn distribution<N: Number>(&self) -> Distribution<N> {
        match self {
            Self::Amount(amount) => amount.distribution(),
            Self::Blast(blast) => blast.evaluate().covered.convert(|chance| N::from_double(*chance)),
        }
    }
}

impl From<Amount> for Attacks {
    fn from(amount: Amount) -> Self {
        Self::Amount(amount)
    }
}

/// One roll of a chain.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// What players call it; unique in its volley.
    pub name: String,
    /// Who rolls: a defender's success ends the attack.
    pub by: By,
    /// What is rolled.
    pub kind: Kind,
    /// What each success that goes past it adds to the target's counters.
    pub counts: Counts,
}

/// Who rolls a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum By {
    /// A failure ends this attack.
    #[default]
    Attacker,
    /// A success ends this attack.
    Defender,
}

/// The kinds of step.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// An ordinary roll.
    Roll(RollStep),
    /// Penetration against armour.
    Penetrate(Penetrate),
    /// A roll without success or failure: its total says what the success gets on its way.
    Table(Table),
}

/// An ordinary roll and what its best and worst faces do.
#[derive(Clone, Debug, PartialEq)]
pub struct RollStep {
    /// The roll, with the faces of `critical`, `margin` and `backfire` filled in.
    pub roll: Roll,
    /// What a critical gives.
    pub critical: Gain,
    /// What each row of `roll.margins` gives.
    pub margins: Vec<Gain>,
    /// What a backfire costs.
    pub backfire: Backfire,
}

/// What a success gets beyond coming through.
#[derive(Clone, Debug, PartialEq)]
pub struct Gain {
    /// Further, ordinary successes of the same step.
    pub extra: Amount,
    /// Replaced numbers of later steps, for this success only.
    pub then: Vec<Change>,
    /// Added to the damage of this success.
    pub damage: Amount,
}

impl Gain {
    /// Nothing.
    pub fn none() -> Self {
        Self { extra: Amount::fixed(0), then: Vec::new(), damage: Amount::fixed(0) }
    }
}

/// Changed numbers of one later step: each is the last that stood in place of it, or else its own, and all that was
/// added, in whatever order.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Change {
    /// The step's name.
    pub step: String,
    /// In place of what it needs.
    pub needs: Option<Needs>,
    /// In place of its modifier.
    pub modifier: Option<i32>,
    /// In place of what a penetration adds.
    pub add: Option<i32>,
    /// In place of what a penetration is against.
    pub against: Option<u32>,
    /// What is added.
    pub plus: Plus,
}

/// What is added to the numbers of a step.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Plus {
    /// To the number that it needs; without a floor, and nothing to `auto` and `never`.
    pub needs: i32,
    /// To its modifier.
    pub modifier: i32,
    /// To what a penetration adds.
    pub add: i32,
    /// To what a penetration is against.
    pub against: i32,
}

impl Change {
    /// Of nothing.
    pub fn of(step: &str) -> Self {
        Self { step: step.to_owned(), ..Self::default() }
    }

    /// Whether nothing changes.
    pub fn is_empty(&self) -> bool {
        *self == Self::of(&self.step)
    }

    /// Laid over an earlier one: what it puts in place wins, what is added adds up.
    #[must_use]
    pub fn over(&self, earlier: &Self) -> Self {
        Self {
            step: self.step.clone(),
            needs: self.needs.or(earlier.needs),
            modifier: self.modifier.or(earlier.modifier),
            add: self.add.or(earlier.add),
            against: self.against.or(earlier.against),
            plus: Plus {
                needs: self.plus.needs.saturating_add(earlier.plus.needs),
                modifier: self.plus.modifier.saturating_add(earlier.plus.modifier),
                add: self.plus.add.saturating_add(earlier.plus.add),
                against: self.plus.against.saturating_add(earlier.plus.against),
            },
        }
    }
}

/// The saving roll of a backfire, and its harm.
#[derive(Clone, Debug, PartialEq)]
pub struct Backfire {
    /// What saves the attacker: a roll of one die of these sides.
    pub needs: Needs,
    /// The die of the saving roll.
    pub die: Dice,
    /// Damage to the attacker's own side.
    pub harm: Amount,
}

/// A penetration roll: dice, a constant, and a bonus once when any natural die is high enough.
#[derive(Clone, Debug, PartialEq)]
pub struct Penetrate {
    /// The dice.
    pub dice: Dice,
    /// Added to them.
    pub add: i32,
    /// The armour.
    pub against: u32,
    /// What is rolled again, once, all dice with the bonus.
    pub reroll: PenetrateReroll,
    /// The bonus: when any natural die shows this or more, these dice are added.
    pub critical: Option<(u32, Amount)>,
    /// A total equal to the armour is a breach, not a graze.
    pub equal_breaches: bool,
    /// Structure lost to a graze.
    pub graze: Amount,
    /// Structure lost to a breach.
    pub breach: Amount,
    /// What a graze adds to the target's counters.
    pub graze_counts: Counts,
    /// What a breach adds to the target's counters.
    pub breach_counts: Counts,
    /// What else a breach does.
    pub chart: Option<Chart>,
}

/// What of a penetration roll is rolled again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum PenetrateReroll {
    /// Nothing.
    #[default]
    None,
    /// Totals below the armour.
    Failures,
    /// Totals not above it.
    FailuresAndGrazes,
}

/// A roll on a table of effects.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// The dice.
    pub dice: Dice,
    /// Added to them.
    pub modifier: i32,
    /// Ascending; the last one reached counts.
    pub rows: Vec<ChartRow>,
}

/// One row of a chart.
#[derive(Clone, Debug, PartialEq)]
pub struct ChartRow {
    /// The result from which it counts.
    pub at_least: i64,
    /// More structure lost.
    pub structure: Amount,
    /// A lasting mark.
    pub status: Option<String>,
    /// The unit is wrecked.
    pub wrecked: bool,
    /// What it adds to the target's counters.
    pub counts: Counts,
    /// In place of all this, where the unit has the status already.
    pub repeated: Option<Repeated>,
}

/// What a repeated status does.
#[derive(Clone, Debug, PartialEq)]
pub struct Repeated {
    /// Structure lost.
    pub structure: Amount,
    /// The unit is wrecked.
    pub wrecked: bool,
}

impl Chain {
    /// Holds the parts against each other.
    ///
    /// # Errors
    /// Every mistake found, each with its place.
    pub fn new(volleys: Vec<Volley>, target: Target, aftermath: Vec<Aftermath>) -> Result<Self, Vec<ChainError>> {
        let errors = check::errors(&volleys, &target, &aftermath);
        if errors.is_empty() { Ok(Self { volleys, target, aftermath }) } else { Err(errors) }
    }

    /// The volleys, in order.
    pub fn volleys(&self) -> &[Volley] {
        &self.volleys
    }

    /// The target.
    pub fn target(&self) -> &Target {
        &self.target
    }

    /// What is rolled afterwards.
    pub fn aftermath(&self) -> &[Aftermath] {
        &self.aftermath
    }

    /// The same with another number of attackers in every volley.
    #[must_use]
    pub fn with_attackers(&self, attackers: u32) -> Self {
        let mut changed = self.clone();
        changed.volleys.iter_mut().for_each(|volley| volley.attackers = attackers);
        changed
    }
}

/// The names of all statuses that the charts and the target speak of, in the order met.
pub fn statuses<'a>(volleys: &'a [Volley], armoured: &'a Armoured) -> Vec<&'a str> {
    let of_charts = volleys.iter().flat_map(|volley| &volley.steps).filter_map(|step| match &step.kind {
        Kind::Penetrate(Penetrate { chart: Some(chart), .. }) => Some(chart),
        _ => None,
    });
    let mut names: Vec<&str> = Vec::new();
    let rows = of_charts.flat_map(|chart| &chart.rows).filter_map(|row| row.status.as_deref());
    for name in armoured.statuses.iter().map(String::as_str).chain(rows) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}
