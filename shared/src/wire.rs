//! The border: JSON in, JSON out. Requests become domain types here, with every mistake named by its
//! pointer; answers are made from domain results. No mathematics, and no HTTP.
pub mod amount;
pub mod batch;
pub mod blast;
pub mod chain;
pub mod check;
pub mod compare;
pub mod draw;
pub mod duel;
pub mod list_points;
mod lookup;
pub mod luck;
pub mod matchup;
pub mod mistake;
pub mod needed;
pub mod notes;
pub mod odds;
pub mod pack_check;
pub mod packs;
pub mod penetrate;
pub mod question;
pub mod read;
pub mod repair;
pub mod roll;
pub mod step;
mod subject;
pub mod summary;
pub mod target;
