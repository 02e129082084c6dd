//! Packs, their files and what they compile to.
mod arcs;
mod demo;
mod matchup;
mod points;
mod questions;
