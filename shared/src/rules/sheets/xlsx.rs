//! Sheets of an Office Open XML file, cell by cell: a sheet that says it is a million rows long takes no more memory than
//! what stands in it.
use super::super::fault::Fault;
use super::grid::{Content, Grid};
use super::open::of_file;
use calamine::{Data, Reader, Xlsx, XlsxError};
use std::io::Cursor;

/// The sheets of a file whose size is known.
pub(super) fn grids(name: &str, bytes: &[u8]) -> Result<Vec<Grid>, Fault> {
    let broken = |error: XlsxError| of_file(name, format!("this is no spreadsheet that can be read: {error}"));
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(broken)?;
    let mut cells = 0;
    let mut grids = Vec::new();
    for sheet in book.sheet_names() {
        let mut grid = Grid::new(name, Some(&sheet));
        let merged = book.merge_cells_by_sheet_name(&sheet).map_err(broken)?;
        grid.merged = merged.iter().map(|area| (area.start, area.end)).collect();
        let Ok(mut reader) = book.worksheet_cells_reader(&sheet) else {
            // A sheet that is one chart has no cells.
            continue;
        };
        while let Some(cell) = reader.next_cell_with_formula_metadata().map_err(broken)? {
            if cell.formula.is_some() {
                grid.formulas.push(cell.pos);
            }
            if let Some(content) = content(&Data::from(cell.value)) {
                grid.put(cell.pos, content, &mut cells)?;
            }
        }
        grids.push(grid);
    }
    Ok(grids)
}

/// What stands in a cell, in our words.
pub(super) fn content(value: &Data) -> Option<Content> {
    Some(match value {
        Data::Empty => return None,
        Data::Int(number) => Content::Number(*number as f64),
        Data::Float(number) => Content::Number(*number),
        Data::String(text) => Content::Text(text.clone()),
        Data::Bool(truth) => Content::Bool(*truth),
        Data::DateTime(date) => Content::Date(date.to_string()),
        Data::DateTimeIso(text) | Data::DurationIso(text) => Content::Date(text.clone()),
        Data::Error(error) => Content::Error(error.to_string()),
    })
}
