//! The service over real connections.
mod caching;
pub(crate) use caching::wait_for_keys;
mod conduct;
mod limits;
mod mistakes;
mod packs;
mod program;
mod short_forms;
mod tools;
