//! All the tests of Pipwright, one binary.
mod api;
mod bot;
mod calc;
mod discord;
mod faults;
mod house;
mod laws;
mod outside;
mod player;
mod rules;
mod strangers;
mod understand;
mod words;
