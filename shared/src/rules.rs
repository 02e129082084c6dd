//! Packs, unit books and lists: read, checked and compiled to a chain with reasons. Knows no probability.
pub mod books;
pub mod fault;
pub mod model;
pub mod names;
pub mod read;
pub mod reason;

pub use books::Books;
