//! Unit books as spreadsheets: out and back without loss, as people write them, and every mistake at its cell. Long because
//! it makes the files of every kind that it reads.
use pipwright_shared::packs;
use pipwright_shared::rules::fault::{Fault, Source};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::unit::Unit;
use pipwright_shared::rules::names::Names;
use pipwright_shared::rules::read::read;
use pipwright_shared::rules::sheets::{Content, Grid, Vocabulary, csv_text, grids, import, open, xlsx, xlsx_template};
use pipwright_shared::rules::{PackCatalog, files};
use pipwright_tests::ask::ask;
use rust_xlsxwriter::{ExcelDateTime, Format, Formula, Workbook, Worksheet};
use serde_json::json;
use std::fs;
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;

/// The rules of a pack, and all that it is.
fn packs() -> Vec<(Vec<Source>, Vec<Source>)> {
    let all = packs::demo().into_iter().chain([packs::starter("our-club")]);
    all.map(|files| (files.iter().filter(|file| file.name.ends_with("rules.toml")).cloned().collect(), files)).collect()
}

/// All of a unit but how its options are found, which has no order.
fn shown(unit: &Unit) -> String {
    format!("{:?}", Unit { find: Names::default(), ..unit.clone() })
}

fn same(before: &Pack, after: &Pack, what: &str) {
    for (one, other) in before.weapons.iter().zip(&after.weapons) {
        assert_eq!(format!("{one:?}"), format!("{other:?}"), "{what}");
    }
    for (one, other) in before.units.iter().zip(&after.units) {
        assert_eq!(shown(one), shown(other), "{what}");
    }
    assert_eq!((before.weapons.len(), before.units.len()), (after.weapons.len(), after.units.len()), "{what}");
}

/// The pack with the book that these sheets make.
fn back(rules: &[Source], files: &[Source], sheets: &[Grid], what: &str) -> (Pack, Source) {
    let id = files::pack_of(&rules[0]).expect("an id");
    let imported = import(&id, sheets, &Vocabulary::of(rules)).unwrap_or_else(|faults| panic!("{what}: {faults:?}"));
    assert!(imported.warnings.is_empty(), "{what}: {:?}", imported.warnings);
    let all: Vec<Source> = rules.iter().cloned().chain([imported.book.clone()]).collect();
    let after = read(&all).unwrap_or_else(|faults| panic!("{what}: {faults:?}\n{}", imported.book.text));
    same(&read(files).expect("good"), &after, what);
    (after, imported.book)
}

#[test]
fn every_pack_goes_out_and_comes_back_the_same() {
    for (rules, files) in packs() {
        let name = &rules[0].name;
        let sheets = grids(&files);
        let bytes = xlsx(&sheets, &files).expect("written");
        let opened = open("book.xlsx", &bytes).expect("read");
        let (pack, book) = back(&rules, &files, &opened, name);
        // What its files call a thing is in a column of its own, and hardly anything is left for the last one.
        let more = |grid: &Grid| {
            grid.cells.values().filter(|cell| matches!(cell, Content::Text(t) if t.contains(" = "))).count()
        };
        assert!(opened.iter().map(more).sum::<usize>() <= 12, "{name}");
        let csv: Vec<Grid> = sheets
            .iter()
            .map(|grid| (grid.name.as_deref().expect("named").to_lowercase(), csv_text(grid).expect("text")))
            .flat_map(|(name, text)| open(&format!("{name}.csv"), text.as_bytes()).expect("read"))
            .collect();
        back(&rules, &files, &csv, &format!("{name}, as CSV"));
        let ods = open("book.ods", &ods(&sheets)).expect("read");
        back(&rules, &files, &ods, &format!("{name}, as ODS"));
        // Every unit answers as before, as attacker and as target.
        let first = &pack.units[0].named.id;
        for unit in &pack.units {
            for (attacker, target) in [(&unit.named.id, first), (first, &unit.named.id)] {
                let asked = |pack: &str, book: &str| {
                    let question =
                        json!({"pack": pack, "book": book, "attacker": {"unit": attacker}, "target": {"unit": target}});
                    pipwright_tests::ask::try_ask("matchup", question).map(|mut answer| {
                        answer.as_object_mut().expect("an object").remove("hash");
                        answer
                    })
                };
                let units = files.iter().find(|file| file.name.ends_with("units.toml")).expect("a book");
                assert_eq!(
                    asked(&rules[0].text, &units.text),
                    asked(&rules[0].text, &book.text),
                    "{attacker} v {target}"
                );
            }
        }
    }
}

#[test]
fn a_template_has_all_columns_and_nothing_in_them() {
    for (rules, files) in packs() {
        let bytes = xlsx_template(&files).expect("written");
        let opened = open("book.xlsx", &bytes).expect("read");
        let titles: Vec<&str> = opened.iter().filter_map(|grid| grid.name.as_deref()).collect();
        assert_eq!(titles, ["Units", "Weapons", "Options", "Models", "Lists"]);
        let id = files::pack_of(&rules[0]).expect("an id");
        let imported = import(&id, &opened, &Vocabulary::of(&files)).expect("nothing wrong with it");
        assert!(!imported.book.text.contains("[["), "{}", imported.book.text);
        // The words of the pack are there to choose from.
        let pack = read(&files).expect("good");
        let lists: Vec<String> = opened[4].cells.values().map(|cell| format!("{cell:?}")).collect();
        for label in
            pack.kinds.iter().map(|kind| &kind.named.label).chain(pack.roles.iter().map(|role| &role.named.label))
        {
            assert!(lists.iter().any(|word| word.contains(label.as_str())), "{label}");
        }
        let text = String::from_utf8_lossy(&unzipped(&bytes, "xl/worksheets/sheet1.xml")).into_owned();
        assert!(text.contains("<dataValidation ") && text.contains("Lists!"), "drop-downs");
    }
}

/// The starter's rules with a book of two sheets, as somebody might type it.
fn typed(units: &[&[&str]], weapons: &[&[&str]]) -> Vec<Grid> {
    let sheet = |name: &str, rows: &[&[&str]]| {
        let mut grid = Grid::new("book.xlsx", Some(name));
        for (row, cells) in rows.iter().enumerate() {
            for (column, cell) in cells.iter().enumerate().filter(|(_, cell)| !cell.is_empty()) {
                let content = cell.parse().map_or_else(|_| Content::Text((*cell).to_owned()), Content::Number);
                grid.cells.insert((row as u32, column as u32), content);
            }
        }
        grid
    };
    vec![sheet("units", units), sheet("Weapon", weapons)]
}

fn starter() -> (Vec<Source>, Vocabulary) {
    let rules = packs()[3].0.clone();
    let words = Vocabulary::of(&rules);
    (rules, words)
}

#[test]
fn it_is_read_as_people_write_it() {
    let (_, words) = starter();
    let stats = read(&packs()[3].1).expect("good").stats;
    let heads: Vec<String> = stats.unit.iter().map(|stat| stat.label.clone()).collect();
    assert!(heads.len() >= 3, "{heads:?}");
    let units: &[&[&str]] = &[
        &[
            "ROLE",
            "Name",
            "weapons",
            "EYE",
            "Girth",
            "calm",
            "Points",
            "models",
            "kind",
            "each more",
            "Unique",
            "also called",
        ],
        &[
            "Helpers",
            "Pip Throwers",
            "2 pear slings; Cask x1 in the unit",
            "4 +",
            "4",
            "6",
            "55 points",
            "3-6",
            "Folk",
            "16 pts",
            "",
            "pips; throwers",
        ],
        &["", "", "", "", "", "", "", "", "", "", "", ""],
        &["helpers", "Old Core", "Cask", "3+", "5", "7", "40", "1", "folk", "-", "yes", ""],
    ];
    let weapons: Vec<Vec<&str>> = vec![vec!["reach", "name"], vec!["18\"", "Pear sling"], vec!["6 in", "Cask"]];
    let weapons: Vec<&[&str]> = weapons.iter().map(Vec::as_slice).collect();
    let imported = import("our-club", &typed(units, &weapons), &words).unwrap_or_else(|faults| panic!("{faults:?}"));
    let text = &imported.book.text;
    for line in [
        "id = \"pip-throwers\"",
        "label = \"Pip Throwers\"",
        "role = \"helpers\"",
        "kind = \"folk\"",
        "points = 55",
        "each_more = 16",
        "models = { least = 3, most = 6 }",
        "stats.eye = \"4+\"",
        "stats.girth = 4",
        "also = [\"pips\", \"throwers\"]",
        "unique = true",
        "reach = 18",
        "reach = 6",
        "models = 1",
    ] {
        assert!(text.contains(line), "{line}:\n{text}");
    }
    assert!(text.contains("per_model = 2") && text.contains("per_unit = 1"), "{text}");
}

/// All faults of a file beside the starter's rules, as they are told.
fn told(name: &str, bytes: &[u8]) -> Vec<String> {
    let (rules, _) = starter();
    let found = [(name.to_owned(), bytes.to_vec())];
    match files::book_of(&PackCatalog::demo(), &rules, &rules, &found, None) {
        Err(faults) => faults.iter().map(Fault::to_string).collect(),
        Ok(imported) => {
            let all: Vec<Source> = rules.into_iter().chain([imported.book]).collect();
            let warnings = imported.warnings.iter().map(Fault::to_string);
            warnings.chain(read(&all).err().into_iter().flatten().map(|fault| fault.to_string())).collect()
        }
    }
}

/// A file with these heads and one unit, changed somehow.
fn changed(change: impl FnOnce(&mut Worksheet)) -> Vec<u8> {
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Units").expect("named");
    let heads = ["Name", "Kind", "Role", "Models", "Points", "Eye", "Girth", "Calm"];
    for (column, head) in heads.iter().enumerate() {
        sheet.write(0, column as u16, *head).expect("written");
    }
    for (column, cell) in ["Pip Throwers", "folk", "helpers", "3 to 6"].iter().enumerate() {
        sheet.write(1, column as u16, *cell).expect("written");
    }
    for (column, number) in [(4, 55.0), (6, 4.0), (7, 6.0)] {
        sheet.write(1, column, number).expect("written");
    }
    sheet.write(1, 5, "4+").expect("written");
    change(sheet);
    book.save_to_buffer().expect("written")
}

#[test]
fn each_mistake_is_told_at_its_cell() {
    assert_eq!(told("book.xlsx", &changed(|_| {})), Vec::<String>::new());
    type Change = fn(&mut Worksheet);
    let cases: &[(&str, &str, Change)] = &[
        ("Units!B2", "no kind is called \"folks of old\"", |sheet| drop(sheet.write(1, 1, "folks of old"))),
        ("Units!E2", "\"many\" is no number", |sheet| drop(sheet.write(1, 4, "many"))),
        ("Units!E2", "12.5 is no whole number (write 13)", |sheet| drop(sheet.write(1, 4, 12.5))),
        ("Units!F2", "4 alone does not say which way (write 4+ or 4-)", |sheet| drop(sheet.write(1, 5, 4.0))),
        ("Units!A2", "is missing", |sheet| drop(sheet.write(1, 5, " "))),
        ("Units!H1", "no column of the sheet Units is called \"Calmness of mind\"", |sheet| {
            drop(sheet.write(0, 7, "Calmness of mind"))
        }),
        ("Units!I1", "\"Points\" stands above two columns", |sheet| drop(sheet.write(0, 8, "Points"))),
        ("Units!B3", "this row has no name (write one, or empty the row)", |sheet| drop(sheet.write(2, 1, "folk"))),
        ("Units!A3", "\"pip-throwers\" is here twice", |sheet| {
            for (column, cell) in ["Pip Throwers", "folk", "helpers", "3"].iter().enumerate() {
                sheet.write(2, column as u16, *cell).expect("written");
            }
            sheet.write(2, 4, 5.0).expect("written");
            sheet.write(2, 5, "4+").expect("written");
            sheet.write(2, 6, 4.0).expect("written");
            sheet.write(2, 7, 6.0).expect("written");
        }),
        ("Units!E2", "a date stands here", |sheet| {
            let date = ExcelDateTime::from_ymd(2026, 3, 5).expect("a day");
            drop(sheet.write_with_format(1, 4, &date, &Format::new().set_num_format("yyyy-mm-dd")));
        }),
        ("Units!E2", "a formula stands here; what it last came to was read: \"55\"", |sheet| {
            drop(sheet.write(1, 4, Formula::new("=50+5").set_result("55")));
        }),
        ("Units!E2", "a formula failed here: #REF!", |sheet| {
            drop(sheet.write(1, 4, Formula::new("=A99").set_result("#REF!")))
        }),
        ("Units!B3", "the cells B3:B5 are merged into one", |sheet| {
            drop(sheet.merge_range(2, 1, 4, 1, "folk", &Format::new()))
        }),
        ("Units!A100000", "this sheet goes on to row 100000 and may have 20000", |sheet| {
            drop(sheet.write(99_999, 0, "far"))
        }),
        ("Units!XFD1", "this sheet goes on to column 16384 and may have 300", |sheet| {
            drop(sheet.write(0, 16_383, "far"))
        }),
        ("Units!D2", "\"some\" is no number", |sheet| drop(sheet.write(1, 3, "some"))),
    ];
    for (cell, said, change) in cases {
        let all = told("book.xlsx", &changed(change));
        let found = all.iter().find(|fault| fault.starts_with(&format!("book.xlsx: {cell}: ")));
        assert!(found.is_some_and(|fault| fault.contains(said)), "{cell} {said}: {all:?}");
    }
    // Two units of measure in one column, in another sheet.
    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.set_name("Weapons").expect("named");
    for (row, cells) in [["Name", "Reach"], ["Pear sling", "12\""], ["Cask", "30 cm"]].iter().enumerate() {
        for (column, cell) in cells.iter().enumerate() {
            sheet.write(row as u32, column as u16, *cell).expect("written");
        }
    }
    let all = told("book.xlsx", &book.save_to_buffer().expect("written"));
    let said = "book.xlsx: Weapons!B3: centimetres stand here and inches in B2 (write the whole column in one unit of measure)";
    assert!(all.iter().any(|fault| fault == said), "{all:?}");
}

#[test]
fn options_name_their_unit_and_each_other() {
    let sheet = |name: &str, rows: &[&[&str]]| {
        let lines: Vec<String> = rows.iter().map(|row| row.join(",")).collect();
        open(&format!("{name}.csv"), lines.join("\n").as_bytes()).expect("read").remove(0)
    };
    let units = sheet(
        "units",
        &[
            &["Name", "Kind", "Role", "Points", "Eye", "Girth", "Calm"],
            &["Pip Throwers", "folk", "helpers", "55", "4+", "4", "6"],
        ],
    );
    let options = |rows: &[&[&str]]| sheet("options", rows);
    let head: &[&str] = &["Unit", "Name", "Part of", "Points", "Requires"];
    let (_, words) = starter();
    let good = options(&[
        head,
        &["pip throwers", "Long ladder", "", "5", ""],
        &["Pip Throwers", "Top rung", "long ladder", "2", "Long ladder"],
    ]);
    let text = import("our-club", &[units.clone(), good], &words).expect("good").book.text;
    let inside =
        text.split_once("[[unit.option]]").expect("an option").1.split_once("[[unit.option.option]]").expect("in it").1;
    assert!(inside.contains("id = \"top-rung\"") && inside.contains("requires = [\"long-ladder\"]"), "{text}");
    for (rows, cell, said) in [
        (&["pip thrower s of old", "Long ladder", "", "5", ""], "A2", "the sheet Units has no unit called"),
        (
            &["Pip Throwers", "Long ladder", "short ladder", "5", ""],
            "C2",
            "Pip Throwers has no option called \"short ladder\"",
        ),
        (&["Pip Throwers", "Long ladder", "long ladder", "5", ""], "C2", "an option can't be part of itself"),
    ] as [(&[&str], &str, &str); 3]
    {
        let faults = import("our-club", &[units.clone(), options(&[head, rows])], &words).expect_err("refused");
        let told: Vec<String> = faults.iter().map(Fault::to_string).collect();
        assert!(
            told.iter().any(|fault| fault.starts_with(&format!("options.csv: {cell}: ")) && fault.contains(said)),
            "{told:?}"
        );
    }
}

/// An OpenDocument file with these sheets.
fn ods(grids: &[Grid]) -> Vec<u8> {
    let escape = |text: &str| text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;");
    let mut xml = String::new();
    for grid in grids {
        xml += &format!("<table:table table:name=\"{}\">", grid.name.as_deref().unwrap_or("Sheet1"));
        let last = grid.cells.keys().fold((0, 0), |(row, column), at| (at.0.max(row), at.1.max(column)));
        for row in 0..=last.0 {
            xml += "<table:table-row>";
            let mut empty = 0;
            for column in 0..=last.1 {
                let Some(content) = grid.cells.get(&(row, column)) else {
                    empty += 1;
                    continue;
                };
                if empty > 0 {
                    xml += &format!("<table:table-cell table:number-columns-repeated=\"{empty}\"/>");
                    empty = 0;
                }
                xml += &match content {
                    Content::Number(number) => format!(
                        "<table:table-cell office:value-type=\"float\" office:value=\"{number}\"><text:p>{number}</text:p></table:table-cell>"
                    ),
                    Content::Text(text) => format!(
                        "<table:table-cell office:value-type=\"string\"><text:p>{}</text:p></table:table-cell>",
                        escape(text)
                    ),
                    other => panic!("{other:?}"),
                };
            }
            xml += "</table:table-row>";
        }
        xml += "</table:table>";
    }
    packed_ods(&xml)
}

fn packed_ods(tables: &str) -> Vec<u8> {
    let spaces = ["office", "table", "text"]
        .map(|name| format!("xmlns:{name}=\"urn:oasis:names:tc:opendocument:xmlns:{name}:1.0\""));
    let content = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?><office:document-content {}><office:body><office:spreadsheet>{tables}</office:spreadsheet></office:body></office:document-content>",
        spaces.join(" ")
    );
    let manifest = "<?xml version=\"1.0\"?><manifest:manifest xmlns:manifest=\"urn:oasis:names:tc:opendocument:xmlns:manifest:1.0\"/>";
    let kind = b"application/vnd.oasis.opendocument.spreadsheet";
    zipped(&[("mimetype", kind), ("META-INF/manifest.xml", manifest.as_bytes()), ("content.xml", content.as_bytes())])
}

fn zipped(parts: &[(&str, &[u8])]) -> Vec<u8> {
    let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        zip.start_file(*name, SimpleFileOptions::default()).expect("begun");
        zip.write_all(bytes).expect("written");
    }
    zip.finish().expect("finished").into_inner()
}

fn unzipped(bytes: &[u8], name: &str) -> Vec<u8> {
    let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).expect("a zip");
    let mut part = zip.by_name(name).expect("there");
    let mut out = Vec::new();
    std::io::copy(&mut part, &mut out).expect("read");
    out
}

#[test]
fn files_that_are_no_spreadsheets_or_too_large_are_refused_with_a_sentence() {
    let zeros = vec![b' '; 40 << 20];
    let row = |cells: &str| {
        packed_ods(&format!(
            "<table:table table:name=\"Units\"><table:table-row>{cells}</table:table-row></table:table>"
        ))
    };
    let word = "<table:table-cell office:value-type=\"string\"><text:p>a</text:p></table:table-cell>";
    let cases: Vec<(&str, Vec<u8>, &str)> = vec![
        ("book.xlsx", b"no zip at all".to_vec(), "this is no spreadsheet that can be read"),
        ("book.xlsx", Vec::new(), "this is no spreadsheet that can be read"),
        ("book.ods", zipped(&[("mimetype", b"x")]), "this is no spreadsheet that can be read"),
        ("book.xlsm", b"anything".to_vec(), "spreadsheets are read as .xlsx, .ods or .csv"),
        ("book.xls", b"anything".to_vec(), "spreadsheets are read as .xlsx, .ods or .csv"),
        (
            "book.xlsx",
            vec![0xD0, 0xCF, 0x11, 0xE0, 0xA1],
            "an old spreadsheet under a new name, or one with a password",
        ),
        (
            "book.xlsx",
            zipped(&[("xl/workbook.xml", b"<a/>"), ("xl/vbaProject.bin", b"x")]),
            "this file has macros in it",
        ),
        (
            "book.ods",
            zipped(&[("content.xml", b"<a/>"), ("Basic/Standard/one.xml", b"x")]),
            "this file has macros in it",
        ),
        ("book.xlsx", zipped(&[("xl/workbook.xml", &zeros)]), "larger than the 32 MiB that it may be"),
        ("book.xlsx", vec![b'x'; (4 << 20) + 1], "a spreadsheet may have up to 4 MiB"),
        ("book.csv", b"Name,Points\nPip,\xff\n".to_vec(), "the file is not UTF-8 text from this row on"),
        ("units.csv", b"".to_vec(), "there is nothing in this file"),
        ("other.csv", b"Name\nPip\n".to_vec(), "the sheet \"other\" is not read"),
        ("units.csv", b"Name,Points\nPip,=4+4\n".to_vec(), "\"=4+4\" is no number"),
        (
            "book.ods",
            row(&word.replace("table-cell ", "table-cell table:number-columns-repeated=\"16384\" ")),
            "goes on to column 16384 and may have 300",
        ),
        (
            "book.ods",
            packed_ods(&format!(
                "<table:table table:name=\"Units\"><table:table-row table:number-rows-repeated=\"1000000\">{word}</table:table-row></table:table>"
            )),
            "goes on to row 1000000 and may have 20000",
        ),
        (
            "book.ods",
            row(&format!(
                "{word}<table:table-cell table:number-columns-spanned=\"2\" office:value-type=\"string\"><text:p>b</text:p></table:table-cell>"
            )),
            "the cells B1:C1 are merged into one",
        ),
    ];
    for (name, bytes, said) in cases {
        let all = told(name, &bytes);
        assert!(all.iter().any(|fault| fault.starts_with(name) && fault.contains(said)), "{name} {said}: {all:?}");
    }
}

#[test]
fn a_spreadsheet_lies_beside_the_rules_in_a_packs_folder() {
    let (rules, files) = packs()[3].clone();
    let folder = tempfile::tempdir().expect("a folder");
    let ours = folder.path().join("ours");
    fs::create_dir(&ours).expect("made");
    fs::write(ours.join("rules.toml"), &rules[0].text).expect("written");
    fs::write(ours.join("book.xlsx"), xlsx(&grids(&files), &files).expect("written")).expect("written");
    let (books, faults) = PackCatalog::load(folder.path(), &PackCatalog::demo());
    assert!(faults.is_empty(), "{faults:?}");
    same(&read(&files).expect("good"), &books.pack(Some("our-club")).expect("there"), "from the folder");
    // One bad cell, and the pack stays as it was.
    fs::write(ours.join("book.xlsx"), changed(|sheet| drop(sheet.write(1, 4, "many")))).expect("written");
    let (after, faults) = PackCatalog::load(folder.path(), &books);
    assert!(faults.iter().any(|fault| fault.to_string().starts_with("ours/book.xlsx: Units!E2: ")), "{faults:?}");
    assert_eq!(after.pack(Some("our-club")).expect("there").hash, books.pack(Some("our-club")).expect("there").hash);
    // Alone it is no pack.
    fs::remove_file(ours.join("rules.toml")).expect("removed");
    let (_, faults) = PackCatalog::load(folder.path(), &PackCatalog::demo());
    assert!(faults.iter().any(|fault| fault.message.contains("a unit book of the rules beside it")), "{faults:?}");
}

#[test]
fn a_spreadsheet_is_checked_in_a_request() {
    use base64::prelude::{BASE64_STANDARD, Engine as _};
    let (rules, files) = packs()[3].clone();
    let rules = json!({"name": "rules.toml", "text": rules[0].text});
    let file = |bytes: &[u8]| json!({"name": "book.xlsx", "base64": BASE64_STANDARD.encode(bytes)});
    let good = ask("packs/check", json!({"files": [rules, file(&xlsx(&grids(&files), &files).expect("written"))]}));
    assert_eq!(good["good"], true, "{good}");
    let units = read(&files).expect("good").units.len();
    assert_eq!(good["pack"]["unit_count"], units);
    let bad = ask("packs/check", json!({"files": [rules, file(&changed(|sheet| drop(sheet.write(1, 4, "many"))))]}));
    let fault = &bad["faults"][0];
    assert_eq!(
        (&bad["good"], &fault["cell"], &fault["line"], &fault["column"]),
        (&json!(false), &json!("Units!E2"), &json!(2), &json!(5)),
        "{bad}"
    );
    let csv = json!({"name": "units.csv", "text": "Name,Kind,Role,Points,Eye,Girth,Calm\nPip Throwers,folk,helpers,55,4+,4,6\n"});
    assert_eq!(ask("packs/check", json!({"files": [rules, csv]}))["pack"]["unit_count"], 1);
    for (file, pointer) in [
        (json!({"name": "book.xlsx", "text": "a"}), "/files/0/text"),
        (json!({"name": "book.toml", "base64": "YQ=="}), "/files/0/name"),
        (json!({"name": "book.xlsx", "text": "a", "base64": "YQ=="}), "/files/0/base64"),
    ] {
        let mistakes = pipwright_tests::ask::refused("packs/check", json!({"files": [file]}));
        assert_eq!(mistakes[0].pointer, pointer, "{mistakes:?}");
    }
}
