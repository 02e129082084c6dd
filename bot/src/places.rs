//! The places where people type: each draws cards in its own way and knows its own limits.
pub mod discord;
pub mod pace;
pub mod plain;
pub mod room;
pub mod terminal;
