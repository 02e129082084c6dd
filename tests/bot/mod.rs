//! The bot: what it understands, what it answers, how places draw it.
mod conversations;
mod fake;
mod kept;
mod own_pack;
mod pictures;
mod program;
mod readme;
mod room;
mod terminal;
pub(crate) use conversations::accepts;
pub(crate) use program::bot;
mod understood;
mod unseen;
mod ways;
