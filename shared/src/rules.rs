//! Packs, unit books and lists: read, checked and compiled to a chain with reasons. Knows no probability.
pub mod books;
pub mod compile;
pub mod describe;
pub mod faceoff;
pub mod fault;
pub mod losses;
pub mod matchup;
pub mod model;
pub mod names;
pub mod read;
pub mod reason;
pub mod standing;

pub use books::Books;
