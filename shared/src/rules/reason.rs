//! Why a number of a compiled chain is what it is.

/// One change of one number by one rule of the pack.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// The rule's id.
    pub rule: String,
    /// Its text, or the part of it that says so.
    pub text: String,
    /// What it did, from the value before to the value after: `needs 3+ → 4+`.
    pub effect: String,
}

/// The part of the chain that a reason speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Spot {
    /// The number of attackers or attacks, or the damage, of a volley (by its index).
    Volley(usize),
    /// A step of a volley: both by index.
    Step(usize, usize),
    /// The target.
    Target,
    /// The ignore roll of a group of the target, by its index.
    Ignore(usize),
}

/// All reasons of a chain, in the order in which they acted.
pub type Reasons = Vec<(Spot, Reason)>;
