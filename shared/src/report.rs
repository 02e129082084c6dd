//! What is shown of an answer: drawings, one code for every chat and page. Knows no mathematics.
pub mod chart;
pub mod palette;
