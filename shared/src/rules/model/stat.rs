//! A pack's own numbers: which there are, and what they hold.
use crate::odds::{dice::Dice, roll::Needs};
use std::fmt;

/// One value of a stat or of a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Value {
    /// A whole number.
    Number(i32),
    /// What a roll needs.
    Needs(Needs),
    /// Dice.
    Dice(Dice),
    /// One of the stat's own words, by index.
    Word(usize),
}

/// What sort of value it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Holds {
    /// A whole number.
    Number,
    /// What a roll needs.
    Needs,
    /// Dice, or a plain number of them.
    Dice,
    /// One of these words.
    Word(Vec<String>),
}

/// What a stat may differ by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Axis {
    /// The arc that is hit.
    Arc,
    /// The range band.
    Range,
    /// The cover.
    Cover,
}

/// A stat that the pack declares.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stat {
    /// Its id.
    pub id: String,
    /// The words that players read.
    pub label: String,
    /// What it means.
    pub text: String,
    /// What it holds.
    pub holds: Holds,
    /// What it may differ by.
    pub per: Option<Axis>,
    /// What it is where a unit or weapon does not say; without one it must be said.
    pub default: Option<Value>,
    /// The kinds of unit that have it (by index); all of them where it is empty.
    pub kinds: Vec<usize>,
}

impl Stat {
    /// What stands where nothing was said: the default, or else nothing at all.
    pub fn fallback(&self) -> Value {
        self.default.unwrap_or(match self.holds {
            Holds::Number => Value::Number(0),
            Holds::Needs => Value::Needs(Needs::Never),
            Holds::Dice => Value::Dice(nothing()),
            Holds::Word(_) => Value::Word(0),
        })
    }

    /// The value as players write it.
    pub fn write(&self, value: Value) -> String {
        match (&self.holds, value) {
            (Holds::Word(words), Value::Word(index)) => words.get(index).cloned().unwrap_or_default(),
            _ => value.to_string(),
        }
    }
}

/// No dice: a plain 0.
pub fn nothing() -> Dice {
    match Dice::constant(0) {
        Ok(dice) => dice,
        Err(_) => unreachable!("0 is a constant within range"),
    }
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => write!(f, "{number}"),
            Self::Needs(needs) => write!(f, "{needs}"),
            Self::Dice(dice) => write!(f, "{dice}"),
            Self::Word(index) => write!(f, "word {index}"),
        }
    }
}

/// A stat's value on a unit, a weapon or a word of the situation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StatValue {
    /// The same always.
    One(Value),
    /// One for each word of the axis.
    Each(Vec<Value>),
}

/// The stats of a thing, by the index of the stat.
pub type Profile = Vec<Option<StatValue>>;

/// Whose stat a number is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Scope {
    /// The attacking unit's (or, in checks and repairs, the unit's own).
    Unit,
    /// The target unit's.
    Target,
    /// The weapon's.
    Weapon,
    /// The range band's.
    Range,
    /// The cover's.
    Cover,
    /// The arc's.
    Arc,
}

/// All stats that a pack declares.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stats {
    /// Of units.
    pub unit: Vec<Stat>,
    /// Of weapons.
    pub weapon: Vec<Stat>,
    /// Of range bands.
    pub range: Vec<Stat>,
    /// Of covers.
    pub cover: Vec<Stat>,
    /// Of arcs.
    pub arc: Vec<Stat>,
}

impl Stats {
    /// Those of one scope.
    pub fn of(&self, scope: Scope) -> &[Stat] {
        match scope {
            Scope::Unit | Scope::Target => &self.unit,
            Scope::Weapon => &self.weapon,
            Scope::Range => &self.range,
            Scope::Cover => &self.cover,
            Scope::Arc => &self.arc,
        }
    }
}
