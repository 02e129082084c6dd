//! What the program does besides serving.
pub mod check;
pub mod new_pack;
