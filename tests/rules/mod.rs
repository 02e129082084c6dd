//! Packs, their files and what they compile to.
mod demo;
mod duel;
mod matchup;
mod points;
mod table;
