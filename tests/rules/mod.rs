//! Packs, their files and what they compile to.
mod canal_guild;
mod demo;
mod floe_run;
mod lists;
mod matchup;
mod points;
mod sedge_moot;
mod unlike;
mod worked;
