//! The program of the service: configuration, then serving. No logic.
fn main() {}
