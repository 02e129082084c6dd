//! All the tests of Pipwright, one binary.
mod bot;
