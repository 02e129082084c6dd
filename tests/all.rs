//! All the tests of Pipwright, one binary.
mod api;
mod bot;
mod faults;
mod house;
mod laws;
mod outside;
mod rules;
