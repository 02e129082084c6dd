//! The bot: what it understands, what it answers, how places draw it.
mod fake;
mod program;
mod readme;
mod room;
mod terminal;
mod transcripts;
mod understood;
mod ways;
