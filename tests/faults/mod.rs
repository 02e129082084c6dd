//! What the service survives, with the real thing.
mod clients;
mod redis;
