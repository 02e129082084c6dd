//! The table: two units of a pack fought out by the pack's own rules, in every way that the dice can fall.
//!
//! A second reading of everything between a pack's files and an answer. It knows the rules model and what the pack says,
//! never the compiler and never a chain: it hands out weapons, looks up charts, finds the rules that act, lets the owner
//! choose a save, lays templates on bases and drifts them, takes figures away and rolls what follows. Where a unit may
//! stand in one of several ways, each is followed with its chance, so that its answers are exact but for rounding.
//! Only a single roll of dice is read with `play::roll`, the second reading of a roll.
pub mod after;
pub mod asked;
pub mod body;
pub mod chances;
mod company;
mod exchange;
pub mod fight;
pub mod lay;
pub mod list;
mod mend;
mod prepare;
pub mod price;
mod strike;
mod weapon;

pub use company::{Company, Muster, Neighbour};
pub use exchange::Setting;
