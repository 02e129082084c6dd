//! The service over real connections.
mod book_tool;
mod caching;
pub(crate) use caching::wait_for_keys;
mod contract;
mod forms;
mod kept;
mod keys;
mod limits;
mod logs;
mod middleware;
mod mistakes;
pub(crate) mod packs;
mod pages;
mod program;
mod short_forms;
mod tools;
mod traces;
mod workshop;
