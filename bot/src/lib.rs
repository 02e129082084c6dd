//! The chat bot: words in, API calls out, cards back.
//!
//! | room | what it knows | what never happens there |
//! | --- | --- | --- |
//! | [`understand`] | what a message asks, or what is missing of it | asking anybody |
//! | [`typing`] | numbers, dice and named options to arguments | asking anybody |
//! | [`commands`] | each command: its words, its request, its card | anything of a place |
//! | [`draft`] | the fields of a question that is put together, by name | requests of its own |
//! | [`client`] | the HTTP service | words of a chat |
//! | [`card`] | the neutral answer | drawing |
//! | [`places`] | a terminal, a room, a chat platform | mathematics, rules |
//!
//! [`hear`] leads a message through them.
pub mod client;
pub mod commands;
pub mod draft;
pub mod embedded;
pub mod hear;
pub mod inline;
pub mod link;
pub mod places;
pub mod typing;
pub mod understand;

/// The neutral answer.
pub use pipwright_shared::cards as card;
use pipwright_shared::report::saying;
