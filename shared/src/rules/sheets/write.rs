//! Sheets as files: XLSX with drop-downs of the pack's own words, and CSV.
use super::super::fault::Source;
use super::columns::{self, Sheet};
use super::grid::{Content, Grid};
use super::name::Vocabulary;
use rust_xlsxwriter::{DataValidation, DataValidationErrorStyle, Format, Formula, Workbook, XlsxError};

/// The sheet that drop-downs take their words from.
pub(super) const LISTS: &str = "Lists";
/// How many rows have drop-downs.
const ROWS: u32 = 2_000;

/// The bytes of an XLSX file with these sheets, with drop-downs of the words of these files.
///
/// # Errors
/// What the writer refuses.
pub fn xlsx(grids: &[Grid], files: &[Source]) -> Result<Vec<u8>, XlsxError> {
    let words = Vocabulary::of(files);
    let mut book = Workbook::new();
    let head = Format::new().set_bold();
    let mut lists: Vec<Vec<String>> = Vec::new();
    for grid in grids {
        let sheet = book.add_worksheet();
        sheet.set_name(grid.title())?;
        sheet.set_freeze_panes(1, 0)?;
        for ((row, column), content) in &grid.cells {
            let column = u16::try_from(*column).unwrap_or(u16::MAX);
            match content {
                Content::Text(text) if *row == 0 => drop(sheet.write_string_with_format(*row, column, text, &head)?),
                Content::Number(number) => drop(sheet.write_number(*row, column, *number)?),
                content => drop(sheet.write_string(*row, column, content.said())?),
            }
        }
        let Some(kind) = Sheet::called(grid.title()) else { continue };
        let all = columns::all(kind, &words);
        for ((_, at), content) in grid.cells.range((0, 0)..(1, 0)) {
            let at = u16::try_from(*at).unwrap_or(u16::MAX);
            let wide = all.iter().find(|column| column.is_called(&content.said()));
            let long = wide.is_some_and(|column| ["text", "rules", "weapons", "label"].contains(&column.key.as_str()));
            sheet.set_column_width(at, if long { 28.0 } else { 12.0 })?;
            let Some(column) = wide else { continue };
            let choices = columns::choices(column, kind, &words);
            if choices.is_empty() {
                continue;
            }
            let list = lists.iter().position(|known| *known == choices).unwrap_or_else(|| {
                lists.push(choices.clone());
                lists.len() - 1
            });
            let letter =
                super::super::fault::Place { file: "".into(), sheet: None, row: 0, column: list as u32 }.name();
            let letter = letter.trim_end_matches('1');
            let formula = format!("={LISTS}!${letter}$1:${letter}${}", choices.len());
            // Several rules stand in one cell with semicolons between them: the list helps there and refuses nothing.
            let several = matches!(column.kind, columns::Kind::Many(_));
            let rule = DataValidation::new().allow_list_formula(Formula::new(formula)).set_error_style(if several {
                DataValidationErrorStyle::Information
            } else {
                DataValidationErrorStyle::Stop
            });
            let rule = if several { rule.show_error_message(false) } else { rule };
            sheet.add_data_validation(1, at, ROWS, at, &rule)?;
        }
    }
    if !lists.is_empty() {
        let sheet = book.add_worksheet();
        sheet.set_name(LISTS)?;
        sheet.set_hidden(true);
        for (column, list) in lists.iter().enumerate() {
            for (row, word) in list.iter().enumerate() {
                sheet.write_string(row as u32, column as u16, word)?;
            }
        }
    }
    book.save_to_buffer()
}

/// An XLSX file to be filled in: the heads of all columns of all sheets, with drop-downs of the words of these files.
///
/// # Errors
/// What the writer refuses.
pub fn xlsx_template(files: &[Source]) -> Result<Vec<u8>, XlsxError> {
    let words = Vocabulary::of(files);
    let grids = Sheet::ALL.map(|sheet| {
        let mut grid = Grid::new("book", Some(sheet.title()));
        for (at, column) in columns::all(sheet, &words).into_iter().enumerate() {
            grid.cells.insert((0, at as u32), Content::Text(column.head));
        }
        grid
    });
    xlsx(&grids, files)
}

/// A sheet as CSV.
///
/// # Errors
/// None but what a writer into memory could have.
pub fn csv_text(grid: &Grid) -> std::io::Result<String> {
    let mut writer = ::csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    let last = grid.cells.keys().fold((0, 0), |(row, column), at| (at.0.max(row), at.1.max(column)));
    for row in 0..=last.0 {
        let cells = (0..=last.1).map(|column| grid.cells.get(&(row, column)).map(Content::said).unwrap_or_default());
        writer.write_record(cells)?;
    }
    let bytes = writer.into_inner().map_err(|error| error.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
