//! Packs, their files and what they compile to.
mod arcs;
mod bad_input;
mod broken;
mod canal_guild;
mod demo;
mod floe_run;
mod inline;
mod large;
mod lists;
mod matchup;
mod points;
mod questions;
mod schema;
mod sedge_moot;
mod unlike;
mod worked;
