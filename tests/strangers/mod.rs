//! What a stranger can send: requests made to bring the service down, a search for the dearest ones, and keys that two
//! different answers share.
mod alphabet;
mod asked;
mod dearest;
mod keys;
mod page;
