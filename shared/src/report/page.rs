//! A sheet as one page of HTML that needs nothing from outside: readable on a phone, in the dark and on paper.
use super::drawing::escaped;
use super::palette::{Palette, Theme};
use super::sheet::{Part, Sheet, Table};
use std::fmt::Write as _;

/// What a service should say of such a page: it loads nothing and runs nothing.
pub const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'";

const STYLE: &str = include_str!("page.css");

/// The page.
///
/// # Example
/// ```
/// use pipwright_shared::report::page::html;
/// use pipwright_shared::report::sheet::Sheet;
///
/// let page = html(&Sheet { title: "<Heron>".into(), ..Sheet::default() });
/// assert!(page.starts_with("<!doctype html>") && page.contains("&lt;Heron&gt;</h1>"));
/// ```
pub fn html(sheet: &Sheet) -> String {
    let title = escaped(&sheet.title);
    let (light, dark) = (variables(Theme::Light.palette()), variables(Theme::Dark.palette()));
    let mut out = format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light dark\">\n<title>{title}</title>\n<style>\n\
         :root {{{light}}}\n@media screen and (prefers-color-scheme: dark) {{:root {{{dark}}}}}\n{STYLE}</style>\n\
         </head>\n<body>\n<main>\n<header>\n<h1 dir=\"auto\">{title}</h1>\n"
    );
    paragraph(&mut out, "about", &sheet.about);
    out.push_str("</header>\n");
    if !sheet.lead.is_empty() {
        out.push_str("<ul class=\"lead\">\n");
        for sentence in &sheet.lead {
            // Writing into a string does not fail.
            let _ = writeln!(out, "<li dir=\"auto\">{}</li>", escaped(sentence));
        }
        out.push_str("</ul>\n");
    }
    if !sheet.figures.is_empty() {
        out.push_str("<dl class=\"figures\">\n");
        for figure in &sheet.figures {
            let _ = writeln!(out, "<div><dt>{}</dt><dd>{}</dd></div>", escaped(&figure.label), escaped(&figure.said));
        }
        out.push_str("</dl>\n");
    }
    sheet.parts.iter().for_each(|part| write_part(&mut out, part));
    out.push_str("<footer>\n");
    sheet.foot.iter().for_each(|text| paragraph(&mut out, "foot", text));
    out.push_str("</footer>\n</main>\n</body>\n</html>\n");
    out
}

fn variables(palette: &Palette) -> String {
    palette.colours().iter().fold(String::new(), |mut all, (name, colour)| {
        let _ = write!(all, "--{name}: {colour}; ");
        all
    })
}

fn paragraph(out: &mut String, class: &str, text: &str) {
    if !text.is_empty() {
        let _ = writeln!(out, "<p class=\"{class}\" dir=\"auto\">{}</p>", escaped(text));
    }
}

fn write_part(out: &mut String, part: &Part) {
    let _ = writeln!(out, "<section>\n<h2>{}</h2>", escaped(&part.heading));
    part.text.iter().for_each(|text| paragraph(out, "text", text));
    for list in &part.lists {
        if !list.heading.is_empty() {
            let _ = writeln!(out, "<h3>{}</h3>", escaped(&list.heading));
        }
        out.push_str("<ul class=\"list\">\n");
        for item in &list.items {
            let _ = writeln!(out, "<li dir=\"auto\">{}</li>", escaped(item));
        }
        out.push_str("</ul>\n");
    }
    if !part.pictures.is_empty() {
        out.push_str("<div class=\"pictures\">\n");
        for picture in &part.pictures {
            let _ = writeln!(out, "<figure>{}</figure>", picture.svg(Theme::Light));
        }
        out.push_str("</div>\n");
    }
    if !part.tables.is_empty() {
        out.push_str("<div class=\"tables\">\n");
        part.tables.iter().for_each(|table| write_table(out, table));
        out.push_str("</div>\n");
    }
    out.push_str("</section>\n");
}

/// A cell's words; those that no column can hold may be broken anywhere.
fn breakable(text: &str) -> String {
    const LONG: usize = 24;
    const PIECE: usize = 8;
    let word = |word: &str| {
        let letters: Vec<char> = word.chars().collect();
        if letters.len() <= LONG {
            return escaped(word);
        }
        let pieces: Vec<String> =
            letters.chunks(PIECE).map(|piece| escaped(&piece.iter().collect::<String>())).collect();
        pieces.join("<wbr>")
    };
    text.split(' ').map(word).collect::<Vec<_>>().join(" ")
}

fn write_table(out: &mut String, table: &Table) {
    // A wide table is scrolled by itself, with the keyboard too.
    let caption = escaped(&table.caption);
    let _ = writeln!(
        out,
        "<div class=\"table\" tabindex=\"0\" role=\"region\" aria-label=\"{caption}\">\n<table>\n<caption>{caption}</caption>\n<thead><tr>"
    );
    for (at, head) in table.head.iter().enumerate() {
        let numbers = table.rows.iter().any(|row| row.get(at).is_some_and(|cell| cell.number.is_some()));
        let class = if numbers && at > 0 { " class=\"number\"" } else { "" };
        let _ = write!(out, "<th scope=\"col\"{class}>{}</th>", breakable(head));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in &table.rows {
        out.push_str("<tr>");
        for (at, cell) in row.iter().enumerate() {
            let said = breakable(&cell.said);
            let _ = match (at, cell.number) {
                (0, _) => write!(out, "<th scope=\"row\" dir=\"auto\">{said}</th>"),
                (_, Some(_)) => write!(out, "<td class=\"number\">{said}</td>"),
                (_, None) => write!(out, "<td dir=\"auto\">{said}</td>"),
            };
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n</div>\n");
}
