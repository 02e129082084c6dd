//! What the tests share: a second reading of the calculations that never looks at the engine, played out
//! exhaustively or at random, and the asking of questions.
#![allow(missing_docs, reason = "a test's helpers say what they do where it is not plain")]
pub mod ask;
pub mod browser;
pub mod brute;
pub mod collector;
pub mod compare;
pub mod counting;
pub mod laid;
pub mod play;
pub mod process;
pub mod program;
pub mod random;
pub mod redis;
pub mod service;
pub mod shrink;
pub mod simulate;
pub mod sum;
pub mod table;
