//! Use cases above odds, rules and points: plain domain types in and out, nothing of JSON.
pub mod appraisal;
pub mod assign;
pub mod build;
pub mod evaluator;
pub mod known;
pub mod league;
pub mod lists;
