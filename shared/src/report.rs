//! What is shown of an answer: drawings and sheets, one code for every chat and page. Knows no mathematics.
pub mod chart;
pub mod counting;
pub mod csv;
pub mod curves;
pub mod drawing;
pub mod heat;
pub mod hull;
pub mod markdown;
pub mod page;
pub mod pairs;
pub mod palette;
pub mod picture;
pub mod saying;
pub mod sheet;
