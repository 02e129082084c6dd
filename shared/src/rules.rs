//! Packs, unit books and lists: read, checked and compiled to a chain with reasons. Knows no probability.
pub mod address;
pub mod arcs;
pub mod check;
pub mod compile;
pub mod conditions;
pub mod describe;
pub mod duel_matchup;
pub mod example;
pub mod fault;
pub mod files;
pub mod losses;
pub mod matchup;
pub mod model;
pub mod names;
pub mod pack_catalog;
pub mod question;
pub mod read;
pub mod reason;
pub mod search;
pub mod sheets;
pub mod standing;
pub mod term;

pub use pack_catalog::PackCatalog;
