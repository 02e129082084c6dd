//! Packs, their files and what they compile to.
mod compile;
mod demo;
mod matchup;
mod points;
