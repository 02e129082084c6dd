//! What the tests share: starting real servers, asking, simulating.
pub mod program;
pub mod redis;
pub mod service;
pub mod sum;
