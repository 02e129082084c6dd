//! A sheet as Markdown: headings, sentences and tables. Pictures are said in words.
use super::sheet::{Sheet, Table};
use std::fmt::Write as _;

/// The sheet.
///
/// # Example
/// ```
/// use pipwright_shared::report::markdown::markdown;
/// use pipwright_shared::report::sheet::Sheet;
///
/// let sheet = Sheet { title: "Heron".into(), lead: vec!["It stands long.".into()], ..Sheet::default() };
/// assert_eq!(markdown(&sheet), "# Heron\n\n- It stands long.\n");
/// ```
pub fn markdown(sheet: &Sheet) -> String {
    let mut out = format!("# {}\n", escaped(&sheet.title));
    paragraph(&mut out, &sheet.about);
    if !sheet.lead.is_empty() {
        out.push('\n');
    }
    for sentence in &sheet.lead {
        // Writing into a string does not fail.
        let _ = writeln!(out, "- {}", escaped(sentence));
    }
    if !sheet.figures.is_empty() {
        out.push('\n');
    }
    for figure in &sheet.figures {
        let _ = writeln!(out, "- **{}** {}", escaped(&figure.said), escaped(&figure.label));
    }
    for part in &sheet.parts {
        let _ = write!(out, "\n## {}\n", escaped(&part.heading));
        part.text.iter().for_each(|text| paragraph(&mut out, text));
        for list in &part.lists {
            if list.heading.is_empty() {
                out.push('\n');
            } else {
                let _ = write!(out, "\n### {}\n\n", escaped(&list.heading));
            }
            for item in &list.items {
                let _ = writeln!(out, "- {}", escaped(item));
            }
        }
        part.pictures.iter().for_each(|picture| paragraph(&mut out, picture.alt()));
        part.tables.iter().for_each(|table| write_table(&mut out, table));
    }
    sheet.foot.iter().for_each(|text| paragraph(&mut out, text));
    out
}

fn paragraph(out: &mut String, text: &str) {
    if !text.is_empty() {
        let _ = write!(out, "\n{}\n", escaped(text));
    }
}

fn write_table(out: &mut String, table: &Table) {
    let _ = write!(out, "\n**{}**\n\n", escaped(&table.caption));
    let line = |cells: Vec<String>| format!("| {} |\n", cells.join(" | "));
    out.push_str(&line(table.head.iter().map(|head| escaped(head)).collect()));
    let numeric =
        |column: usize| table.rows.iter().any(|row| row.get(column).is_some_and(|cell| cell.number.is_some()));
    let rule = (0..table.head.len()).map(|column| if numeric(column) { "---:" } else { "---" }.to_owned());
    out.push_str(&line(rule.collect()));
    for row in &table.rows {
        out.push_str(&line(row.iter().map(|cell| escaped(&cell.said)).collect()));
    }
}

/// Words as words: what Markdown would read as markup, a link or HTML is escaped.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | '`' | '*' | '_' | '{' | '}' | '[' | ']' | '<' | '>' | '#' | '|' | '~' => {
                out.push('\\');
                out.push(c);
            }
            '\r' | '\n' => out.push(' '),
            c => out.push(c),
        }
    }
    out
}
