//! One roll: dice, what they need, and what happens to their natural faces before they count.
use super::{
    dice::{Dice, sum_of_dice},
    distribution::Distribution,
    given::Given,
    number::Number,
};
use std::{fmt, str::FromStr};

mod keep;
mod outcome;
pub use outcome::{Outcome, Scored};

/// What a total has to reach.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Needs {
    /// `t+`
    AtLeast(u32),
    /// `t-`
    AtMost(u32),
    /// Succeeds without a roll.
    Auto,
    /// Fails without a roll.
    Never,
}

/// Why a text says no need.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("write what the roll needs as 3+ (at least), 7- (at most), auto or never, with a number from 1 to 10000")]
pub struct NeedsError;

impl FromStr for Needs {
    type Err = NeedsError;

    fn from_str(text: &str) -> Result<Self, NeedsError> {
        match text {
            "auto" => return Ok(Self::Auto),
            "never" => return Ok(Self::Never),
            _ => {}
        }
        let (digits, at_least) = match (text.strip_suffix('+'), text.strip_suffix('-')) {
            (Some(digits), _) => (digits, true),
            (_, Some(digits)) => (digits, false),
            _ => return Err(NeedsError),
        };
        if digits.is_empty() || !digits.bytes().all(|b| b.is_ascii_digit()) {
            return Err(NeedsError);
        }
        let total = digits.parse().ok().filter(|t| (1..=10_000).contains(t)).ok_or(NeedsError)?;
        Ok(if at_least { Self::AtLeast(total) } else { Self::AtMost(total) })
    }
}

impl fmt::Display for Needs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AtLeast(total) => write!(f, "{total}+"),
            Self::AtMost(total) => write!(f, "{total}-"),
            Self::Auto => f.write_str("auto"),
            Self::Never => f.write_str("never"),
        }
    }
}

/// Which of several dice are summed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Keep {
    /// All of them.
    #[default]
    All,
    /// The highest so many.
    Highest(u32),
    /// The lowest so many.
    Lowest(u32),
}

/// The dice of a roll. A given distribution stands for one odd die: its values are the natural faces.
#[derive(Clone, Debug, PartialEq)]
pub enum Pool {
    /// Ordinary dice.
    Dice {
        /// Which, with the constant that counts in the total but not in the natural face.
        dice: Dice,
        /// Those that are summed; not more than there are.
        keep: Keep,
    },
    /// A die of one's own.
    Given(Given),
}

/// Who wins when both totals are equal.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Ties {
    /// The one who rolls.
    Win,
    /// The other side.
    #[default]
    Lose,
    /// Both roll anew until it is decided.
    Again,
}

/// The other side of an opposed roll.
#[derive(Clone, Debug, PartialEq)]
pub struct Versus {
    /// Its dice.
    pub pool: Pool,
    /// Added to its total.
    pub modifier: i32,
    /// Who wins a tie.
    pub ties: Ties,
}

/// What decides a roll.
#[derive(Clone, Debug, PartialEq)]
pub enum Aim {
    /// A fixed number.
    Needs(Needs),
    /// The total of the other side.
    Versus(Versus),
}

/// Which natural faces are rolled again, once.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Reroll {
    /// None.
    #[default]
    None,
    /// The worst natural face; of several dice, each that shows it.
    Worst,
    /// Failures.
    Failures,
    /// What fails before the modifier.
    NaturalFailures,
    /// Successes.
    Successes,
    /// All that is no critical.
    NotCritical,
}

/// The natural faces that do something extra.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct CriticalFace {
    /// This face or better.
    pub on: u32,
    /// Succeeds whatever the total.
    pub always: bool,
}

/// One roll of an attack or of a check.
#[derive(Clone, Debug, PartialEq)]
pub struct Roll {
    /// The dice.
    pub pool: Pool,
    /// What decides.
    pub aim: Aim,
    /// Added to the number that it needs, which has no floor then.
    pub harder: i32,
    /// Added to the total.
    pub modifier: i32,
    /// What is rolled again.
    pub reroll: Reroll,
    /// The worst natural face always fails.
    pub low_fails: bool,
    /// The best natural face always succeeds.
    pub high_succeeds: bool,
    /// The faces that do something extra.
    pub critical: Option<CriticalFace>,
    /// The faces that harm the roller: this one or worse.
    pub backfire: Option<u32>,
    /// The winning differences that give something more, ascending.
    pub margins: Vec<u32>,
}

impl Roll {
    /// A plain roll of some dice.
    pub fn plain(dice: Dice, needs: Needs) -> Self {
        Self {
            pool: Pool::Dice { dice, keep: Keep::All },
            aim: Aim::Needs(needs),
            harder: 0,
            modifier: 0,
            reroll: Reroll::None,
            low_fails: false,
            high_succeeds: false,
            critical: None,
            backfire: None,
            margins: Vec::new(),
        }
    }

    /// Whether low totals are good: then all that speaks of natural faces mirrors.
    pub fn low_is_good(&self) -> bool {
        matches!(self.aim, Aim::Needs(Needs::AtMost(_)))
    }

    /// The face on which a roll backfires unless another is given: 1, or the highest where low is good.
    pub fn default_backfire(&self) -> u32 {
        if self.low_is_good() { self.pool.ends().1.unsigned_abs() as u32 } else { 1 }
    }

    /// Whether dice are rolled at all.
    pub fn is_rolled(&self) -> bool {
        !matches!(self.aim, Aim::Needs(Needs::Auto | Needs::Never))
    }
}

impl Pool {
    /// The lowest and the highest natural total.
    pub fn ends(&self) -> (i64, i64) {
        match self {
            Self::Dice { dice, keep } => {
                let kept = keep.of(dice.count());
                (i64::from(kept), i64::from(kept * dice.sides()))
            }
            Self::Given(given) => (given.lowest(), given.highest()),
        }
    }

    /// The distribution of the natural total (of the kept dice, without the constant); with
    /// `again`, each die that shows that face has been rolled again once.
    pub fn natural<N: Number>(&self, again: Option<u32>) -> Distribution<N> {
        match self {
            Self::Dice { dice, .. } if dice.count() == 0 => Distribution::certain(0),
            Self::Dice { dice, keep } => {
                if again.is_none() && keep.of(dice.count()) == dice.count() {
                    return sum_of_dice(dice.count(), dice.sides());
                }
                let mut face = Distribution::uniform(dice.sides());
                if let Some(worst) = again {
                    let sides = u64::from(dice.sides());
                    let chance = |f: i64| N::ratio(if f == i64::from(worst) { 1 } else { sides + 1 }, sides * sides);
                    face = Distribution::new(1, (1..=i64::from(dice.sides())).map(chance).collect::<Vec<_>>())
                        .unwrap_or(face);
                }
                keep::total(&face, dice.count(), *keep)
            }
            Self::Given(given) => {
                let first: Distribution<N> = given.distribution();
                let Some(worst) = again.map(i64::from) else { return first };
                let chance = first.chance(worst);
                let pairs = first.iter().map(|(value, c)| {
                    let mut both = if value == worst { N::zero() } else { c.clone() };
                    both.add_product(&chance, c);
                    (value, both)
                });
                Distribution::from_weights(pairs).unwrap_or_else(|| Distribution::certain(worst))
            }
        }
    }

    /// The constant that counts in the total, and whether there is one die only.
    fn plus(&self) -> i64 {
        match self {
            Self::Dice { dice, .. } => i64::from(dice.plus()),
            Self::Given(_) => 0,
        }
    }

    /// The total that a natural total gives: dice and constant together are never below 0.
    pub fn total(&self, natural: i64) -> i64 {
        (natural + self.plus()).max(0)
    }

    /// The distribution of the total.
    pub fn distribution<N: Number>(&self) -> Distribution<N> {
        self.natural(None).map(|natural| self.total(natural))
    }
}

impl Keep {
    /// How many of `count` dice are summed.
    pub fn of(self, count: u32) -> u32 {
        match self {
            Self::All => count,
            Self::Highest(n) | Self::Lowest(n) => n.min(count),
        }
    }
}
