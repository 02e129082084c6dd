//! Which kind of file it is, and its sheets. Nothing is unpacked before its size is known.
use super::super::fault::{Fault, Place, Weight};
use super::grid::{Content, Grid};
use super::{MOST_BYTES, MOST_UNPACKED, ods, xlsx};
use std::io::{self, Cursor, Read};
use zip::ZipArchive;

/// A kind of spreadsheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// Office Open XML.
    Xlsx,
    /// OpenDocument.
    Ods,
    /// Text with separators.
    Csv,
    /// A spreadsheet of a kind that is not read.
    Other,
}

/// The kind of file that a name says.
pub fn kind_of(name: &str) -> Option<FileKind> {
    match name.rsplit_once('.')?.1.to_ascii_lowercase().as_str() {
        "xlsx" => Some(FileKind::Xlsx),
        "ods" => Some(FileKind::Ods),
        "csv" => Some(FileKind::Csv),
        "xlsm" | "xls" | "xlsb" | "xltm" | "xlsx_" | "fods" | "numbers" => Some(FileKind::Other),
        _ => None,
    }
}

/// The most parts of a packed file.
const MOST_PARTS: usize = 2_000;

/// A fault of the whole file.
pub(super) fn of_file(name: &str, message: impl Into<String>) -> Fault {
    let place = Place { file: name.into(), sheet: None, row: 0, column: 0 };
    Fault { cell: None, ..place.fault(Weight::Mistake, message) }
}

/// The sheets of a file.
///
/// # Errors
/// Why it is not read, with its place.
pub fn open(name: &str, bytes: &[u8]) -> Result<Vec<Grid>, Vec<Fault>> {
    if bytes.len() > MOST_BYTES {
        let message =
            format!("a spreadsheet may have up to {} MiB, this one has {} bytes", MOST_BYTES >> 20, bytes.len());
        return Err(vec![of_file(name, message)]);
    }
    let opened = match kind_of(name) {
        Some(FileKind::Csv) => match std::str::from_utf8(bytes) {
            Ok(text) => csv(name, text).map(|grid| vec![grid]),
            Err(error) => {
                let row = bytes[..error.valid_up_to()].iter().filter(|byte| **byte == b'\n').count() as u32;
                let place = Place { file: name.into(), sheet: None, row, column: 0 };
                let fault = place.fault(Weight::Mistake, "the file is not UTF-8 text from this row on");
                Err(Fault { suggestion: Some("save it as CSV in UTF-8".to_owned()), ..fault })
            }
        },
        Some(FileKind::Xlsx) => unpacked(name, bytes).and_then(|()| xlsx::grids(name, bytes)),
        Some(FileKind::Ods) => unpacked(name, bytes).and_then(|()| ods::grids(name, bytes)),
        Some(FileKind::Other) | None => {
            let fault = of_file(name, "spreadsheets are read as .xlsx, .ods or .csv, and this is none of them");
            Err(Fault { suggestion: Some("save it as .xlsx, without macros".to_owned()), ..fault })
        }
    };
    opened.map_err(|fault| vec![fault])
}

/// Holds what a packed file unpacks to against what it may, by its own word first and then by doing it: some lie.
fn unpacked(name: &str, bytes: &[u8]) -> Result<(), Fault> {
    if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
        let message = "this is an old spreadsheet under a new name, or one with a password: neither is read";
        return Err(Fault {
            suggestion: Some("save it as .xlsx without a password".to_owned()),
            ..of_file(name, message)
        });
    }
    let broken = |error: String| of_file(name, format!("this is no spreadsheet that can be read: {error}"));
    let mut zip = ZipArchive::new(Cursor::new(bytes)).map_err(|error| broken(error.to_string()))?;
    let large = || {
        of_file(
            name,
            format!("unpacked, this file would be larger than the {} MiB that it may be", MOST_UNPACKED >> 20),
        )
    };
    if zip.len() > MOST_PARTS {
        return Err(of_file(name, format!("this file has {} parts and may have {MOST_PARTS}", zip.len())));
    }
    let mut left = MOST_UNPACKED;
    for index in 0..zip.len() {
        let part = zip.by_index(index).map_err(|error| broken(error.to_string()))?;
        let called = part.name().map_err(|error| broken(error.to_string()))?.to_ascii_lowercase();
        if called.ends_with("vbaproject.bin") || called.starts_with("basic/") || called.starts_with("scripts/") {
            let fault = of_file(name, "this file has macros in it, and files with macros are not read");
            return Err(Fault { suggestion: Some("save it as .xlsx, which has none".to_owned()), ..fault });
        }
        if part.size() > left {
            return Err(large());
        }
        let size = io::copy(&mut part.take(left + 1), &mut io::sink()).map_err(|error| broken(error.to_string()))?;
        left = left.checked_sub(size).ok_or_else(large)?;
    }
    Ok(())
}

/// The sheet of a text with separators: commas, semicolons or tabs, whichever its first line has most of.
///
/// # Errors
/// The fault, at its row.
pub fn csv(name: &str, text: &str) -> Result<Grid, Fault> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let head = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let separator = [b',', b';', b'\t'].into_iter().max_by_key(|mark| {
        // Of equals the last wins, so the usual one gets half a mark more.
        head.bytes().filter(|byte| byte == mark).count() * 2 + usize::from(*mark == b',')
    });
    let mut reader = ::csv::ReaderBuilder::new();
    reader.has_headers(false).flexible(true).delimiter(separator.unwrap_or(b','));
    let (mut grid, mut cells) = (Grid::new(name, None), 0);
    let mut row = 0;
    for record in reader.from_reader(text.as_bytes()).records() {
        let record = record.map_err(|error| grid.fault((row, 0), format!("this row can't be read: {error}"), None))?;
        // Lines that are left empty are rows of the sheet, too.
        row = record.position().map_or(row, |position| u32::try_from(position.line() - 1).unwrap_or(u32::MAX));
        for (column, cell) in record.iter().enumerate() {
            let at = (row, u32::try_from(column).unwrap_or(u32::MAX));
            grid.put(at, Content::Text(cell.to_owned()), &mut cells)?;
            if cell.starts_with('=') {
                grid.formulas.push(at);
            }
        }
        row += 1;
    }
    Ok(grid)
}
