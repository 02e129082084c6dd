//! The bot: what it understands, what it answers, how places draw it.
mod fake;
mod kept;
mod own_pack;
mod pictures;
mod program;
mod readme;
mod room;
mod terminal;
mod conversations;
pub(crate) use program::bot;
pub(crate) use conversations::accepts;
mod understood;
mod unseen;
mod ways;
