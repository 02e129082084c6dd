//! When a rule acts.
use super::sum::Sum;

/// What must hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Condition {
    /// Each of these; nothing at all where it is empty.
    All(Vec<Condition>),
    /// One of these.
    Any(Vec<Condition>),
    /// The opposite.
    Not(Box<Condition>),
    /// The arc is one of these.
    Arc(Vec<usize>),
    /// The range band is one of these.
    Range(Vec<usize>),
    /// The cover is one of these.
    Cover(Vec<usize>),
    /// Whether the attacker moved.
    Moved(bool),
    /// Whether the weapon lays a template.
    Template(bool),
    /// Whether a flag of the pack's own is set.
    Flag(usize, bool),
    /// Somebody goes by one of these words.
    Is(Whom, Vec<Trait>),
    /// A sum compares so with a number.
    Compare(Sum, Than, i32),
    /// The target has one of these marks.
    Status(Vec<String>),
}

/// Whom a word is looked for on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Whom {
    /// The attacking unit (in checks and repairs the unit itself).
    Attacker,
    /// The weapon in use.
    Weapon,
    /// The target unit (in checks and repairs the unit itself).
    Target,
    /// Any unit near the attacker, of its side.
    NearAttacker,
    /// Any unit near the target, of its side.
    NearTarget,
}

/// A word that a unit or a weapon goes by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Trait {
    /// It carries this rule.
    Rule(usize),
    /// It counts as this role.
    Role(usize),
    /// It is of this kind.
    Kind(usize),
    /// It is this unit.
    Unit(usize),
    /// It is this weapon.
    Weapon(usize),
}

/// How two numbers compare.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Than {
    /// This or more.
    AtLeast,
    /// This or less.
    AtMost,
    /// Just this.
    Equal,
}

impl Condition {
    /// Whether a part of it asks which side of the target is hit.
    pub fn asks_for_arc(&self) -> bool {
        match self {
            Self::Arc(_) => true,
            Self::All(parts) | Self::Any(parts) => parts.iter().any(Self::asks_for_arc),
            Self::Not(inner) => inner.asks_for_arc(),
            _ => false,
        }
    }

    /// What always holds.
    pub fn always() -> Self {
        Self::All(Vec::new())
    }

    /// Whether nothing is asked at all.
    pub fn is_always(&self) -> bool {
        matches!(self, Self::All(all) if all.is_empty())
    }
}
