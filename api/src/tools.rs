//! What the program does besides serving.
pub mod book;
pub mod check;
pub mod key;
pub mod new_pack;
