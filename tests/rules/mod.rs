//! Packs, their files and what they compile to.
mod demo;
mod matchup;
mod points;
mod questions;
