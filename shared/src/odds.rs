//! Pure mathematics: exact chances of rolls, chains of rolls, repairs. Knows no rules, no JSON and no clock.
//!
//! Everything is generic over its [`number::Number`]: `f64` for answers, [`number::Exact`] for fractions.
pub mod blast;
pub mod cancellation;
pub mod chain;
pub mod check;
pub mod dice;
pub mod distribution;
pub mod draw;
pub mod duel;
pub mod fair;
pub mod fair_price;
pub mod given;
pub mod luck;
pub mod needed;
pub mod number;
pub mod price;
pub mod repair;
pub mod roll;
