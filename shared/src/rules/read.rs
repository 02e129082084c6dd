//! From files to a pack: every mistake with its place, all of them at once.
//!
//! Reading goes twice over the files: first all ids are gathered, then every part is read and what it names is
//! looked up. So parts may name each other in any order and from any file of the pack.
mod attack;
mod change;
mod chart;
mod clash;
mod condition;
mod cycle;
mod ids;
mod layers;
mod limits;
mod node;
mod pack;
mod roll;
mod situation;
mod stat;
mod sum;
mod unit;
mod weapon;

pub use layers::MOST_LAYERS;
pub use pack::{FORMAT, MOST_BYTES, hash, read, read_until};
