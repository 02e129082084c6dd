//! The program of the bot: chooses its places from the configuration.
fn main() {}
