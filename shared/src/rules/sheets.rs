//! Unit books as spreadsheets: read from XLSX, ODS and CSV, and written to XLSX and CSV.
//!
//! A sheet becomes the text of a unit book, in which every piece knows its cell; from there on it is read like any other
//! book, and each mistake is told at its cell. What a sheet has no column for stands in its column `more`, as it would in
//! the text, so that a book goes out and comes back without loss.
mod cell;
mod columns;
mod export;
mod grid;
mod import;
mod name;
mod ods;
mod open;
mod write;
mod xlsx;

pub use export::grids;
pub use grid::{Content, Grid};
pub use import::{Imported, import};
pub use name::Vocabulary;
pub use open::{FileKind, csv, kind_of, open};
pub use write::{csv_text, xlsx, xlsx_template};

/// The most rows of a sheet.
pub const MOST_ROWS: u32 = 20_000;
/// The most columns of a sheet.
pub const MOST_COLUMNS: u32 = 300;
/// The most cells of a book.
pub const MOST_CELLS: usize = 200_000;
/// The most bytes of a file as it is sent.
pub const MOST_BYTES: usize = 4 << 20;
/// The most bytes that a file may hold when it is unpacked.
pub const MOST_UNPACKED: u64 = 32 << 20;
/// The most characters of a cell.
pub const MOST_TEXT: usize = 4_000;
