//! What the program does besides serving.
pub mod check;
