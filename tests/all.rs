//! All the tests of Pipwright, one binary.
mod house;
mod laws;
mod outside;
