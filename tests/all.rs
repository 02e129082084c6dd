//! All the tests of Pipwright, one binary.
mod rules;
