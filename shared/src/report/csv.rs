//! A sheet's tables as CSV (RFC 4180), a line for each number: `part,row,column,value`.
//!
//! One shape for all tables, so that a spreadsheet can filter and pivot them. Cells that hold words are lines too.
use super::sheet::{Cell, Sheet};

/// The tables of a sheet.
///
/// # Example
/// ```
/// use pipwright_shared::report::csv::csv;
/// use pipwright_shared::report::sheet::{Cell, Part, Sheet, Table};
///
/// let rows = vec![vec![Cell::words("near, far"), Cell::number(0.25, "25%")]];
/// let table = Table { caption: "chances".into(), head: vec!["range".into(), "hit".into()], rows };
/// let part = Part { heading: "Fire".into(), tables: vec![table], ..Part::default() };
/// let sheet = Sheet { parts: vec![part], ..Sheet::default() };
/// assert_eq!(csv(&sheet), "part,table,row,column,value\r\nFire,chances,\"near, far\",hit,0.25\r\n");
/// ```
pub fn csv(sheet: &Sheet) -> String {
    let mut out = String::from("part,table,row,column,value\r\n");
    for part in &sheet.parts {
        for table in &part.tables {
            for row in &table.rows {
                // What stands before the first number names the row.
                let names = row.iter().take_while(|cell| cell.number.is_none()).count().clamp(1, row.len().max(1));
                let name: Vec<&str> = row.iter().take(names).map(|cell| cell.said.as_str()).collect();
                let name = name.join(", ");
                for (head, cell) in table.head.iter().zip(row).skip(names) {
                    let fields = [&part.heading, &table.caption, &name, head, &value(cell)].map(|text| field(text));
                    out.push_str(&fields.join(","));
                    out.push_str("\r\n");
                }
            }
        }
    }
    out
}

fn value(cell: &Cell) -> String {
    cell.number.map_or_else(|| cell.said.clone(), |number| number.to_string())
}

/// A field, quoted where it has to be. What a spreadsheet would take for a formula begins with an apostrophe: it may take
/// it for one behind white space and line breaks, too.
fn field(text: &str) -> String {
    let starts_formula = text.starts_with(['\t', '\r', '\n']) || text.trim_start().starts_with(['=', '+', '-', '@']);
    let formula = starts_formula && text.parse::<f64>().is_err();
    let text = if formula { format!("'{text}") } else { text.to_owned() };
    if text.contains([',', '"', '\r', '\n']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
}

#[cfg(test)]
mod tests {
    use super::field;

    /// The characters that begin a formula are those of OWASP's page on CSV injection (from memory).
    #[test]
    fn what_begins_a_formula_begins_with_an_apostrophe() {
        for text in ["=1+1", "+1+1", "-1+1", "@sum(a1)", "\t=1", "\r=1", "\n=1", " =1", "\rword"] {
            assert!(field(text).trim_start_matches('"').starts_with('\''), "{text:?}: {}", field(text));
        }
        for text in ["-1.5", "0.25", "a-b", "near"] {
            assert_eq!(field(text), text);
        }
    }
}
