//! Packs, their files and what they compile to.
mod arcs;
mod canal_guild;
mod demo;
mod floe_run;
mod lists;
mod matchup;
mod points;
mod questions;
mod sedge_moot;
mod unlike;
mod worked;
