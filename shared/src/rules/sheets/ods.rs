//! Sheets of an OpenDocument file. Its rows and cells may be repeated by the million in a few letters, so its extent is
//! looked at before it is read.
use super::super::fault::Fault;
use super::grid::Grid;
use super::open::of_file;
use super::xlsx::content;
use super::{MOST_CELLS, MOST_COLUMNS, MOST_ROWS};
use calamine::{Ods, Reader};
use quick_xml::events::{BytesStart, Event};
use std::io::{Cursor, Read};
use zip::ZipArchive;

/// The sheets of a file whose size is known.
pub(super) fn grids(name: &str, bytes: &[u8]) -> Result<Vec<Grid>, Fault> {
    let broken = |error: String| of_file(name, format!("this is no spreadsheet that can be read: {error}"));
    let mut text = String::new();
    let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(|error| broken(error.to_string()))?;
    let mut part = zip.by_name("content.xml").map_err(|error| broken(error.to_string()))?;
    part.read_to_string(&mut text).map_err(|error| broken(error.to_string()))?;
    let mut grids = extent(name, &text)?;
    let mut book: Ods<_> = Ods::new(Cursor::new(bytes)).map_err(|error| broken(error.to_string()))?;
    let mut cells = 0;
    for grid in &mut grids {
        let sheet = grid.name.clone().unwrap_or_default();
        let range = book.worksheet_range(&sheet).map_err(|error| broken(error.to_string()))?;
        let (row, column) = range.start().unwrap_or_default();
        for (down, across, value) in range.used_cells() {
            if let Some(content) = content(value) {
                grid.put((row + down as u32, column + across as u32), content, &mut cells)?;
            }
        }
    }
    Ok(grids)
}

/// The sheets without what stands in them: how far they go, what is merged and where formulas are.
fn extent(name: &str, text: &str) -> Result<Vec<Grid>, Fault> {
    let broken = |error: quick_xml::Error| of_file(name, format!("this is no spreadsheet that can be read: {error}"));
    let mut reader = quick_xml::Reader::from_str(text);
    let mut grids: Vec<Grid> = Vec::new();
    // Where the next cell stands, by how many rows and columns its row and the cell are repeated, and the cells of the book.
    let (mut row, mut column, mut rows, mut area) = (0_u64, 0_u64, 1_u64, 0_u64);
    // The cell that is open, and whether anything stands in it.
    let mut open: Option<(u64, u64)> = None;
    loop {
        let event = reader.read_event().map_err(broken)?;
        let closed = matches!(event, Event::Empty(_));
        match &event {
            Event::Start(start) | Event::Empty(start) => match start.name().0 {
                "table:table" => {
                    grids.push(Grid::new(name, Some(&attribute(start, "table:name").unwrap_or_default())));
                    (row, column) = (0, 0);
                }
                "table:table-row" => {
                    column = 0;
                    rows = number(start, "table:number-rows-repeated");
                    if closed {
                        row += rows;
                    }
                }
                "table:table-cell" | "table:covered-table-cell" => {
                    let Some(grid) = grids.last_mut() else { continue };
                    let columns = number(start, "table:number-columns-repeated");
                    let at = (clamped(row), clamped(column));
                    let across = number(start, "table:number-columns-spanned");
                    let down = number(start, "table:number-rows-spanned");
                    if (down, across) != (1, 1) {
                        grid.merged.push((at, (clamped(row + down - 1), clamped(column + across - 1))));
                    }
                    let is_formula = attribute(start, "table:formula").is_some();
                    if is_formula && grid.formulas.len() < MOST_CELLS {
                        grid.formulas.push(at);
                    }
                    if is_formula || attribute(start, "office:value-type").is_some() {
                        filled(grid, (row + rows, column + columns), &mut area)?;
                    }
                    if closed {
                        column += columns;
                    } else {
                        open = Some((rows, columns));
                    }
                }
                _ => {}
            },
            Event::Text(_) | Event::CData(_) | Event::GeneralRef(_) => {
                // Text makes a cell that is not empty, whatever else is said of it.
                if let (Some((rows, columns)), Some(grid)) = (open, grids.last_mut()) {
                    filled(grid, (row + rows, column + columns), &mut area)?;
                }
            }
            Event::End(end) => match end.name().0 {
                "table:table-row" => row += rows,
                "table:table-cell" | "table:covered-table-cell" => {
                    column += open.take().map_or(1, |(_, columns)| columns);
                }
                _ => {}
            },
            Event::Eof => return Ok(grids),
            _ => {}
        }
    }
}

/// Holds the end of what is filled against the bounds; the area up to it is what the reader makes room for.
fn filled(grid: &Grid, end: (u64, u64), area: &mut u64) -> Result<(), Fault> {
    if end.0 > u64::from(MOST_ROWS) {
        let message = format!("this sheet goes on to row {} and may have {MOST_ROWS}", end.0);
        return Err(grid.fault((clamped(end.0 - 1), 0), message, None));
    }
    if end.1 > u64::from(MOST_COLUMNS) {
        let message = format!("this sheet goes on to column {} and may have {MOST_COLUMNS}", end.1);
        return Err(grid.fault((0, clamped(end.1 - 1)), message, None));
    }
    *area = (*area).max(end.0 * end.1);
    if *area > 2 * MOST_CELLS as u64 {
        let message = format!("this sheet is too large: {} rows of {} columns", end.0, end.1);
        return Err(grid.fault((clamped(end.0 - 1), clamped(end.1 - 1)), message, None));
    }
    Ok(())
}

fn clamped(number: u64) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX - 1)
}

fn attribute(start: &BytesStart<'_>, name: &str) -> Option<String> {
    let found = start.try_get_attribute(name).ok()??;
    Some(found.normalized_value(quick_xml::XmlVersion::default()).ok()?.into_owned())
}

/// How often something is repeated or how far it reaches: once, where it does not say.
fn number(start: &BytesStart<'_>, name: &str) -> u64 {
    attribute(start, name).and_then(|text| text.parse().ok()).unwrap_or(1).clamp(1, 1 << 32)
}
