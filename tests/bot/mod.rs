//! The bot: what it understands, what it answers, how places draw it.
mod fake;
mod program;
mod room;
mod terminal;
mod understood;
mod ways;
