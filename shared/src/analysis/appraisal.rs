//! What a unit is worth: its cost, what it does to a board of targets, how long it survives under a board of attackers, its
//! tests and its repair, and what moves all that.
use super::evaluator::{Evaluator, Pair};
use crate::odds::cancellation::Cancelled;
use crate::odds::check::Check;
use crate::odds::duel::Duel;
use crate::odds::repair::Repair;
use crate::rules::matchup::{Matchup, UnitInstance};
use crate::rules::model::Pack;
use crate::rules::model::limits::Place;

mod approach;
mod change;
mod comparators;
mod cost;
mod damage;
mod measured;
mod neighbours;
mod options;
mod protections;
mod sensitivities;
mod tests;
mod work;
pub use change::{Change, changes};
pub use comparators::Comparator;
pub use cost::{Cost, cost};
pub use measured::Measured;
pub use measured::measured as measure;
pub use neighbours::{MOST_HELPED, Together};
pub use options::{MOST_OPTIONS, OptionWorth};
pub use work::{appraising as work_to_appraise, measuring as work_to_measure};

/// How an appraisal is worked out, and what it does not see.
pub const METHOD: &str = "Whatever attacks here is never attacked back and never harmed, not even by its own weapons. A game is a \
duel in which only one side attacks, each turn with everything that it can use, at the range where one turn from that side \
removes most points of health or structure. Templates are laid on those who still stand, marks stay, repairs are made, and a \
roll afterwards that ends a unit ends it. An attacker that comes on stands turn by turn where the pack's board says, or where it does not \
say, at that range at the usual side. Rules that depend on how many stand, on points missing or on marks are read as \
they are at the start.";

/// A unit and the board that it is held against.
#[derive(Clone, Debug)]
pub struct Subject {
    /// The unit.
    pub unit: UnitInstance,
    /// Whom it attacks.
    pub targets: Vec<UnitInstance>,
    /// Who attacks it.
    pub attackers: Vec<UnitInstance>,
}

/// What a unit comes to. Targets and attackers are those of the subject, by index.
#[derive(Clone, Debug)]
pub struct Appraisal {
    /// What it costs.
    pub cost: Cost,
    /// One turn of it on each target, from each arc that makes a difference, at each range, at its fewest and its most.
    pub attacks: Vec<Attack>,
    /// A whole game of it against each target.
    pub damage: Vec<Damage>,
    /// A whole game of each attacker against it, from each arc that makes a difference.
    pub survival: Vec<Survival>,
    /// A game under each attacker while it comes on as the pack says.
    pub approach: Vec<Approach>,
    /// What each of its protections and its repair is worth, the best first.
    pub protections: Vec<Protection>,
    /// What each option that it may still take is worth.
    pub options: Vec<OptionWorth>,
    /// Units whose presence changes it, those that give most for their points first.
    pub helpers: Vec<Together>,
    /// Units that its presence changes.
    pub helped: Vec<Together>,
    /// Others for the same points.
    pub comparators: Vec<Comparator>,
    /// Its repair, if it has one.
    pub repair: Option<Mending>,
    /// The tests that it takes.
    pub checks: Vec<Test>,
    /// What it comes to.
    pub worth: Worth,
    /// Changes of the unit and of the table, those that move its worth most first.
    pub sensitivities: Vec<Sensitivity>,
}

/// One turn on one target.
#[derive(Clone, Debug)]
pub struct Attack {
    /// The target.
    pub target: usize,
    /// The arc that is hit, where it makes a difference.
    pub arc: Option<usize>,
    /// The attack.
    pub matchup: Matchup,
    /// Whether `expected` counts points of structure, not models.
    pub armoured: bool,
    /// Models, or points of structure, removed on average.
    pub expected: f64,
    /// The chance that nothing is left.
    pub destroyed: f64,
    /// Points removed on average.
    pub points: f64,
    /// That for each point that the unit costs; nothing where it is free.
    pub per_point: Option<f64>,
}

/// A game against one target.
#[derive(Clone, Debug)]
pub struct Damage {
    /// The target.
    pub target: usize,
    /// The range band: the one at which one turn removes most.
    pub range: usize,
    /// The game; the target is side a.
    pub game: Duel,
    /// Models or units left at the end on average.
    pub left: f64,
    /// The chance that nothing is left.
    pub destroyed: f64,
    /// Points off the table at the end on average: the target's cost by the share of its models or units that are gone.
    pub points: f64,
    /// That for each point that the unit costs; nothing where it is free.
    pub per_point: Option<f64>,
}

/// A game under one attacker.
#[derive(Clone, Debug)]
pub struct Survival {
    /// The attacker.
    pub attacker: usize,
    /// The arc that it attacks, where it makes a difference.
    pub arc: Option<usize>,
    /// The range band: the one at which one turn from there removes most.
    pub range: usize,
    /// A rule of the unit that does not act, or its repair that is not rolled.
    pub without: Option<usize>,
    /// The game; the unit is side a.
    pub game: Duel,
    /// The chance of still standing at the end of each turn.
    pub standing: Vec<f64>,
    /// At the end of how many turns it still stands, on average: the sum of `standing`.
    pub turns: f64,
}

/// A game under an attacker that comes on.
#[derive(Clone, Debug)]
pub struct Approach {
    /// The attacker.
    pub attacker: usize,
    /// Where it stands in each turn.
    pub places: Vec<Place>,
    /// A rule of the unit that does not act, or its repair that is not rolled.
    pub without: Option<usize>,
    /// The game; the unit is side a.
    pub game: Duel,
    /// The chance of still standing at the end of each turn.
    pub standing: Vec<f64>,
    /// At the end of how many turns it still stands, on average.
    pub turns: f64,
}

/// What a protection is worth.
#[derive(Clone, Debug)]
pub struct Protection {
    /// The rule, or the rule that grants the repair.
    pub rule: usize,
    /// Under which of those below it adds or takes most.
    pub best: usize,
    /// Under each attacker on whose attacks it acts.
    pub under: Vec<Protected>,
}

/// A protection under one attacker, where it does most.
#[derive(Clone, Debug)]
pub struct Protected {
    /// The attacker.
    pub attacker: usize,
    /// Where it stands.
    pub place: Place,
    /// The game with it, and the turns survived.
    pub with: (Duel, f64),
    /// The game without it, and the turns survived.
    pub without: (Duel, f64),
}

/// A unit's repair, with half of its points missing and no further harm.
#[derive(Clone, Debug)]
pub struct Mending {
    /// The rule that grants it.
    pub rule: usize,
    /// The repair.
    pub repair: Repair,
    /// The chance of one roll.
    pub chance: f64,
    /// That at least one point is back at the end of a game.
    pub any_restored: f64,
    /// Points back by then on average.
    pub restored: f64,
}

/// A test of a unit, taken in each turn of a game.
#[derive(Clone, Debug)]
pub struct Test {
    /// Which, by index.
    pub check: usize,
    /// The number that it was asked with.
    pub asked: Option<i32>,
    /// The tries.
    pub tries: Check,
    /// The chance that one passes.
    pub passes: f64,
    /// The chance that at least one fails.
    pub fails_once: f64,
}

/// What a unit comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Worth {
    /// The mean of the points of its games.
    pub takes: f64,
    /// The mean share of a game's turns that it survives while the attackers come on.
    pub stands: f64,
    /// `takes` times `stands`, for each point that it costs; nothing where it is free.
    pub per_point: Option<f64>,
}

/// A change and what comes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitivity {
    /// What is changed.
    pub change: Change,
    /// What the unit costs with it.
    pub points: u64,
    /// What it comes to.
    pub worth: Worth,
    /// By how much of itself the worth changes: 0.1 is a tenth more.
    pub moved: f64,
}

impl Worth {
    /// From points taken from some of the targets, and shares of a game survived under some of the attackers. A target
    /// that is not attacked counts as nothing taken, an attacker that cannot attack as a whole game survived.
    fn of(points: u64, damage: &[f64], shares: &[f64], subject: &Subject) -> Self {
        let takes = damage.iter().sum::<f64>() / subject.targets.len().max(1) as f64;
        let attackers = subject.attackers.len();
        let unhurt = attackers.saturating_sub(shares.len()) as f64;
        let stands = if attackers == 0 { 1.0 } else { (shares.iter().sum::<f64>() + unhurt) / attackers as f64 };
        Self { takes, stands, per_point: (points > 0).then(|| takes * stands / points as f64) }
    }

    /// The one number that is compared.
    fn value(&self) -> f64 {
        self.per_point.unwrap_or(self.takes * self.stands)
    }
}

/// The unit at its largest, where it is not so already.
pub fn largest(pack: &Pack, unit: &UnitInstance) -> Option<UnitInstance> {
    let most = pack.units[unit.unit].models.1;
    (most > unit.models).then(|| UnitInstance { models: most.min(60), ..unit.clone() })
}

/// The appraisal of a unit.
///
/// # Errors
/// [`Cancelled`] where the token was called meanwhile.
pub fn appraise(evaluator: &Evaluator<'_>, subject: &Subject) -> Result<Appraisal, Cancelled> {
    let cost = cost(evaluator.pack, &subject.unit);
    let attacks = damage::attacks(evaluator, subject)?;
    let damage = damage::damage(evaluator, subject)?;
    let survival = protections::survival(evaluator, subject)?;
    let approach = approach::approach(evaluator, subject, &protections::rules(evaluator, &subject.unit))?;
    let protections = protections::protections(evaluator, subject)?;
    let worth = measured::measured(evaluator, subject)?.worth;
    let sensitivities = sensitivities::sensitivities(evaluator, subject, &worth)?;
    Ok(Appraisal {
        cost,
        attacks,
        damage,
        survival,
        approach,
        protections,
        options: options::weighed(evaluator, subject)?,
        helpers: neighbours::who_helps(evaluator, subject)?,
        helped: neighbours::whom_it_helps(evaluator, subject)?,
        comparators: comparators::compared(evaluator, subject)?,
        repair: tests::repair(evaluator, &subject.unit)?,
        checks: tests::checks(evaluator, &subject.unit),
        worth,
        sensitivities,
    })
}

/// A pair with all its rules.
fn pair<'a>(attacker: &'a UnitInstance, target: &'a UnitInstance) -> Pair<'a> {
    Pair { attacker, target, without: &[] }
}
