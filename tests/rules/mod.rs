//! Packs, their files and what they compile to.
mod bad_input;
mod broken;
mod demo;
mod inline;
mod large;
mod matchup;
mod points;
mod schema;
