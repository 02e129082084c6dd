//! All the tests of Pipwright, one binary.
mod bot;
mod house;
mod laws;
mod outside;
mod rules;
mod api;
mod faults;
