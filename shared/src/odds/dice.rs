//! Dice expressions (`2d6+1`) and the amounts that they or a given distribution stand for.
use super::{distribution::Distribution, given::Given, number::Number};
use dashu_int::UBig;
use std::{fmt, str::FromStr};

/// A number of equal dice and a constant: `NdS+K`, or a constant alone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Dice {
    count: u32,
    sides: u32,
    plus: i32,
}

/// Why a text is no dice expression.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum DiceError {
    /// The text has another shape.
    #[error("not dice: write a number, or dice such as d6, 2d6 or 2d6+1, without spaces")]
    Shape,
    /// No dice, or more than [`Dice::MOST`].
    #[error("1 to 100 dice, please")]
    Count,
    /// A die with too few or too many sides.
    #[error("a die has 2 to 100 sides")]
    Sides,
    /// Too large a constant behind the dice.
    #[error("at most 1000 may be added or taken off")]
    Plus,
    /// Too large a constant alone.
    #[error("a plain number is at most 10000")]
    Constant,
}

impl Dice {
    /// The largest number of dice in an expression.
    pub const MOST: u32 = 100;

    /// `count` dice of `sides`, and `plus` on the total.
    ///
    /// # Errors
    /// [`DiceError::Count`], [`DiceError::Sides`], [`DiceError::Plus`]: a number out of its range.
    pub fn new(count: u32, sides: u32, plus: i32) -> Result<Self, DiceError> {
        if !(1..=Self::MOST).contains(&count) {
            return Err(DiceError::Count);
        }
        if !(2..=100).contains(&sides) {
            return Err(DiceError::Sides);
        }
        if plus.unsigned_abs() > 1_000 {
            return Err(DiceError::Plus);
        }
        Ok(Self { count, sides, plus })
    }

    /// A plain number.
    ///
    /// # Errors
    /// [`DiceError::Constant`] above 10,000.
    pub fn constant(value: u32) -> Result<Self, DiceError> {
        if value > 10_000 { Err(DiceError::Constant) } else { Ok(Self { count: 0, sides: 1, plus: value as i32 }) }
    }

    /// Nothing rolled, nothing added.
    pub const NONE: Self = Self { count: 0, sides: 1, plus: 0 };

    /// One die.
    ///
    /// # Errors
    /// [`DiceError::Sides`] outside 2 to 100.
    pub fn one(sides: u32) -> Result<Self, DiceError> {
        Self::new(1, sides, 0)
    }

    /// How many dice; 0 for a plain number.
    pub fn count(&self) -> u32 {
        self.count
    }

    /// The sides of each die; 1 for a plain number.
    pub fn sides(&self) -> u32 {
        self.sides
    }

    /// The constant added to the dice.
    pub fn plus(&self) -> i32 {
        self.plus
    }

    /// The value, where nothing is rolled.
    pub fn as_constant(&self) -> Option<u32> {
        (self.count == 0).then_some(self.plus.unsigned_abs())
    }

    /// The largest total.
    pub fn highest(&self) -> i64 {
        (i64::from(self.count * if self.count == 0 { 0 } else { self.sides }) + i64::from(self.plus)).max(0)
    }

    /// The distribution of the total, never below 0.
    ///
    /// # Cost
    /// About `count^2 * sides` whole sums.
    pub fn distribution<N: Number>(&self) -> Distribution<N> {
        if self.count == 0 {
            return Distribution::certain(i64::from(self.plus));
        }
        let sum = sum_of_dice(self.count, self.sides).shifted(i64::from(self.plus));
        if sum.lowest() < 0 { sum.map(|total| total.max(0)) } else { sum }
    }
}

/// The total of equal dice, by counting the ways to every total.
///
/// # Formula
/// The ways to `t` with one die more are the ways to the `sides` totals before it: a window that slides.
pub(crate) fn sum_of_dice<N: Number>(count: u32, sides: u32) -> Distribution<N> {
    if count == 1 {
        return Distribution::uniform(sides);
    }
    let (count, sides) = (count as usize, sides as usize);
    let mut ways = vec![UBig::ONE];
    let Some(all) = u128::from(sides as u64).checked_pow(count as u32) else {
        for _ in 0..count {
            let mut window = UBig::ZERO;
            let next = (0..ways.len() + sides - 1).map(|total| {
                if let Some(entering) = ways.get(total) {
                    window += entering;
                }
                if let Some(leaving) = total.checked_sub(sides).and_then(|t| ways.get(t)) {
                    window -= leaving;
                }
                window.clone()
            });
            ways = next.collect();
        }
        return Distribution::from_ways(count as i64, &ways, &UBig::from(sides).pow(count));
    };
    let mut ways = vec![1u128];
    for _ in 0..count {
        let mut window = 0u128;
        let next = (0..ways.len() + sides - 1).map(|total| {
            window += ways.get(total).copied().unwrap_or(0);
            window -= total.checked_sub(sides).and_then(|t| ways.get(t)).copied().unwrap_or(0);
            window
        });
        ways = next.collect();
    }
    let chance = |w: &u128| N::of_ways(*w, all);
    Distribution::new(count as i64, ways.iter().map(chance).collect::<Vec<_>>())
        .unwrap_or_else(|| Distribution::certain(0))
}

impl fmt::Display for Dice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.count == 0 {
            return write!(f, "{}", self.plus);
        }
        write!(f, "{}d{}", self.count, self.sides)?;
        if self.plus == 0 { Ok(()) } else { write!(f, "{:+}", self.plus) }
    }
}

impl FromStr for Dice {
    type Err = DiceError;

    fn from_str(text: &str) -> Result<Self, DiceError> {
        // Leading zeros and numbers too long for the type are told apart, so that "10000000000d6" says what is wrong.
        let number = |part: &str, too_large: DiceError| {
            if part.is_empty() || !part.bytes().all(|b| b.is_ascii_digit()) {
                return Err(DiceError::Shape);
            }
            part.parse::<u32>().map_err(|_| too_large)
        };
        let Some((count, rest)) = text.split_once(['d', 'D']) else {
            return Self::constant(number(text, DiceError::Constant)?);
        };
        let count = if count.is_empty() { 1 } else { number(count, DiceError::Count)? };
        let (sides, plus) = match rest.find(['+', '-']) {
            Some(at) => {
                let size = number(&rest[at + 1..], DiceError::Plus)?;
                let size = i32::try_from(size).map_err(|_| DiceError::Plus)?;
                (&rest[..at], if rest.as_bytes()[at] == b'-' { -size } else { size })
            }
            None => (rest, 0),
        };
        Self::new(count, number(sides, DiceError::Sides)?, plus)
    }
}

/// How much: dice to be rolled, or a distribution that somebody worked out before.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// Rolled.
    Dice(Dice),
    /// Drawn.
    Given(Given),
}

impl Amount {
    /// Always the same.
    pub fn fixed(value: u16) -> Self {
        Self::Dice(Dice { count: 0, sides: 1, plus: i32::from(value.min(10_000)) })
    }

    /// The value, where nothing is rolled.
    pub fn as_constant(&self) -> Option<u32> {
        match self {
            Self::Dice(dice) => dice.as_constant(),
            Self::Given(given) => (given.lowest() == given.highest()).then(|| given.lowest().unsigned_abs() as u32),
        }
    }

    /// The largest value.
    pub fn highest(&self) -> i64 {
        match self {
            Self::Dice(dice) => dice.highest(),
            Self::Given(given) => given.highest(),
        }
    }

    /// Its distribution.
    pub fn distribution<N: Number>(&self) -> Distribution<N> {
        match self {
            Self::Dice(dice) => dice.distribution(),
            Self::Given(given) => given.distribution(),
        }
    }
}

impl From<Dice> for Amount {
    fn from(dice: Dice) -> Self {
        Self::Dice(dice)
    }
}
