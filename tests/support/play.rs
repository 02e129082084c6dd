//! The calculations played die by die, as a person at the table would: the second reading of every rule.
//!
//! Nothing in here knows a formula or the engine. A [`Game`] is played one small move at a time from its
//! JSON request; whoever holds the dice ([`Luck`]) decides whether one game is played at random or all of them.
pub mod chain;
pub mod check;
pub mod dice;
pub mod duel;
pub mod number;
pub mod repair;
pub mod roll;

/// What is counted in a game: a name and, where there are several alike, which.
pub type Key = (&'static str, usize);

/// The dice, and the notebook of what was seen.
pub trait Luck {
    /// One of `0..n`, each as likely.
    fn even(&mut self, n: u32) -> u32;
    /// An index, as likely as its weight says.
    fn weighted(&mut self, weights: &[u64]) -> usize;
    /// Writes down that a quantity had a value.
    fn note(&mut self, key: Key, value: i64);
    /// A roll came to nothing and is made anew: true to go on rolling, false to give up this course of
    /// events and share its chance out among the others.
    fn anew(&mut self) -> bool;
}

/// Where a game stands after a move.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Progress {
    /// In the middle of something.
    Going,
    /// Between two things that are done one after another: equal positions here are really equal.
    Between,
    /// Over.
    Over,
    /// Given up, see [`Luck::anew`].
    Void,
}

/// Something played move by move.
pub trait Game {
    /// Everything that the rest of the game depends on.
    type State: Clone + Ord;
    /// The position at the start.
    fn start(&self) -> Self::State;
    /// One move.
    fn advance(&self, state: &mut Self::State, luck: &mut dyn Luck) -> Progress;
}
