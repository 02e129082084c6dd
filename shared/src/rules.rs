//! Packs, unit books and lists: read, checked and compiled to a chain with reasons. Knows no probability.
pub mod fault;
pub mod model;
pub mod names;
pub mod read;
pub mod reason;

/// The packs that names are looked up in.
#[derive(Clone, Debug, Default)]
pub struct Books;
