//! All the tests of Pipwright, one binary.
mod api;
mod faults;
