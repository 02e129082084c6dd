//! The bot: what it understands, what it answers, how places draw it.
mod fake;
mod understood;
