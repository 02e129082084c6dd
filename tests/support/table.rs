//! The table: two units of a pack fought out by the pack's own rules, figure by figure and die by die.
//!
//! A second reading of everything between a pack's files and an answer. It knows the rules model and what the pack says,
//! never the compiler and never a chain: it hands out weapons, looks up charts, finds the rules that act, lets the owner
//! choose a save, lays templates on bases and throws where they drift, takes figures away and rolls what follows.
//! Only a single roll of dice is read with `play::roll`, the second reading of a roll.
mod company;
pub mod fight;
mod harm;
mod marker;
mod prepare;
mod scene;
mod weapon;

pub use company::Company;
pub use fight::{Encounter, Ending};
pub use marker::Marker;

use crate::play::{Key, Luck};

/// Dice thrown at random; the same with the same seed.
pub struct Hand(pub fastrand::Rng);

impl Luck for Hand {
    fn even(&mut self, n: u32) -> u32 {
        self.0.u32(0..n)
    }

    fn weighted(&mut self, _weights: &[u64]) -> usize {
        unreachable!("a pack's dice are even")
    }

    fn note(&mut self, _key: Key, _value: i64) {}

    fn anew(&mut self) -> bool {
        true
    }
}
