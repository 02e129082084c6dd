//! What must hold for any request, and the second reading of the calculations that the answers are held against.
//!
//! Requests made up at random are the same on every run unless a test says otherwise; a failing one is printed whole.
mod counters;
mod duel_counters;
mod duels;
mod every_way;
mod input;
mod order;
mod price;
mod reading;
mod shape;
mod thrown;
mod wild;
