//! From sheets to the text of a unit book, in which each piece knows its cell. Long because reading the rows of a sheet and
//! writing them as a book share what a row is.
use super::super::fault::{Fault, Place, Source, Weight};
use super::super::names::{close_word, plain};
use super::super::read::{FORMAT, MOST_BYTES as MOST_BOOK};
use super::cell::Context;
use super::columns::{self, Column, INSIDE, Kind, MORE, OPTION, Sheet, UNIT};
use super::grid::{Content, Grid};
use super::name::{Names, Vocabulary, id_for};
use std::collections::{HashMap, HashSet};
use std::ops::Range;
use toml::Value;

/// A word of a stat that is a word, what a row says of it, and where.
type Said<'a> = (usize, &'a Value, &'a Place);

/// A unit book made of sheets.
#[derive(Debug)]
pub struct Imported {
    /// The book.
    pub book: Source,
    /// What was read otherwise than somebody may have meant.
    pub warnings: Vec<Fault>,
}

/// More mistakes of one book nobody mends at once.
const MOST_FAULTS: usize = 200;

/// One row of a sheet, read: its cells by their keys.
struct Row<'a> {
    grid: &'a Grid,
    row: u32,
    /// Key, word of an axis, value and cell, in the order of the columns.
    values: Vec<(&'a Column, Value, Place)>,
}

/// Makes the text of a unit book for a pack of these words.
///
/// # Errors
/// Every mistake of the sheets, each at its cell. What the book as a whole does wrong is found when it is read.
pub fn import(pack: &str, grids: &[Grid], words: &Vocabulary) -> Result<Imported, Vec<Fault>> {
    let mut faults: Vec<Fault> = Vec::new();
    let mut warnings = Vec::new();
    let mut sheets: HashMap<Sheet, Vec<&Grid>> = HashMap::new();
    for grid in grids.iter().filter(|grid| !grid.cells.is_empty()) {
        match Sheet::called(grid.title()) {
            Some(sheet) => sheets.entry(sheet).or_default().push(grid),
            None if plain(grid.title()) == plain(super::write::LISTS) => {}
            None => {
                let first = grid.cells.keys().next().copied().unwrap_or_default();
                let message = format!("the sheet {:?} is not read", grid.title());
                let hint = "sheets of a book are called Units, Weapons, Options and Models".to_owned();
                warnings.push(Fault { weight: Weight::Warning, ..grid.fault(first, message, Some(hint)) });
            }
        }
    }
    if sheets.is_empty() {
        let fault = match (warnings.pop(), grids.first()) {
            (Some(warning), _) => Fault { weight: Weight::Mistake, ..warning },
            (None, Some(grid)) => grid.fault((0, 0), "there is nothing in this file", None),
            (None, None) => return Err(Vec::new()),
        };
        return Err(vec![fault]);
    }
    let columns: HashMap<Sheet, Vec<Column>> =
        Sheet::ALL.into_iter().map(|sheet| (sheet, columns::all(sheet, words))).collect();
    // What the rows are called comes first, so that they may name each other.
    let no_names = Names::default();
    let mut reader = Reader {
        words,
        columns: &columns,
        faults: &mut faults,
        weapons: words.weapons.clone(),
        units: words.units.clone(),
    };
    let heads: Vec<(Sheet, &Grid, Head<'_>)> = Sheet::ALL
        .into_iter()
        .flat_map(|sheet| sheets.get(&sheet).into_iter().flatten().map(move |grid| (sheet, *grid)))
        .filter_map(|(sheet, grid)| Some((sheet, grid, reader.head(sheet, grid)?)))
        .collect();
    for (sheet, grid, head) in &heads {
        let names = reader.names(grid, head);
        match sheet {
            Sheet::Units => names.into_iter().for_each(|(_, named)| reader.units.push(named)),
            Sheet::Weapons => names.into_iter().for_each(|(_, named)| reader.weapons.push(named)),
            _ => {}
        }
    }
    // Options by the units that they are of.
    let mut options: HashMap<String, Names> = HashMap::new();
    for (_, grid, head) in heads.iter().filter(|(sheet, ..)| *sheet == Sheet::Options) {
        for (row, named) in reader.names(grid, head) {
            let unit = head.text(grid, row, UNIT).and_then(|name| reader.units.find(&name).map(str::to_owned));
            options.entry(unit.unwrap_or_default()).or_default().push(named);
        }
    }
    let mut rows: HashMap<Sheet, Vec<Row<'_>>> = HashMap::new();
    for (sheet, grid, head) in &heads {
        let read = reader.rows(*sheet, grid, head, &options, &no_names);
        rows.entry(*sheet).or_default().extend(read);
        warnings.extend(formulas(grid));
    }
    let mut writer = Writer::new(pack, grids);
    let units = reader.units;
    for weapon in rows.remove(&Sheet::Weapons).unwrap_or_default() {
        writer.table("[[weapon]]", &weapon, words);
    }
    let (all_units, all_options, all_models) = (
        rows.remove(&Sheet::Units).unwrap_or_default(),
        rows.remove(&Sheet::Options).unwrap_or_default(),
        rows.remove(&Sheet::Models).unwrap_or_default(),
    );
    let tree = Tree::of(&all_options, &all_models, &units, &mut faults);
    for unit in &all_units {
        let id = unit.id();
        writer.table("[[unit]]", unit, words);
        for models in tree.models.get(&(id.clone(), String::new())).into_iter().flatten() {
            writer.table("[[unit.group]]", models, words);
        }
        writer.options("unit", &id, "", &tree, words, 0);
    }
    let own: HashSet<String> = all_units.iter().map(Row::id).collect();
    for row in all_options.iter().chain(&all_models) {
        if let Some((_, Value::String(unit), place)) = row.values.iter().find(|(column, ..)| column.key == UNIT)
            && !own.contains(unit)
            && faults.len() < MOST_FAULTS
        {
            let close =
                close_word(unit, own.iter().map(String::as_str)).map(|close| format!("did you mean {close:?}?"));
            let fault = place.fault(Weight::Mistake, format!("the sheet Units has no unit called {unit:?}"));
            faults.push(Fault { suggestion: close, words: unit.clone(), ..fault });
        }
    }
    if writer.text.len() > MOST_BOOK {
        let message = format!("this is more than the {} MiB that a unit book may have", MOST_BOOK >> 20);
        faults.push(grids[0].fault((0, 0), message, None));
    }
    if faults.is_empty() {
        return Ok(Imported { book: writer.finish(grids).remarked(warnings.clone()), warnings });
    }
    faults.sort();
    faults.dedup();
    Err(faults)
}

/// A row that a formula has filled is read as it was last worked out, and that is said.
fn formulas(grid: &Grid) -> impl Iterator<Item = Fault> {
    grid.formulas.iter().filter(|at| grid.cells.contains_key(at)).take(50).map(|at| {
        let value = grid.cells.get(at).map(Content::said).unwrap_or_default();
        let message = format!("a formula stands here; what it last came to was read: {value:?}");
        let hint = "type the value itself, so that nobody wonders".to_owned();
        Fault { weight: Weight::Warning, ..grid.fault(*at, message, Some(hint)) }
    })
}

/// The heads of a sheet: its row, and the column that stands under each.
struct Head<'a> {
    row: u32,
    columns: Vec<(u32, &'a Column)>,
}

impl Head<'_> {
    /// The text of a row under a key.
    fn text(&self, grid: &Grid, row: u32, key: &str) -> Option<String> {
        let (at, _) =
            self.columns.iter().find(|(_, column)| column.key == key && !matches!(column.kind, Kind::Stat(..)))?;
        let text = grid.cells.get(&(row, *at))?.said().trim().to_owned();
        (!text.is_empty()).then_some(text)
    }
}

struct Reader<'a, 'f> {
    words: &'a Vocabulary,
    columns: &'a HashMap<Sheet, Vec<Column>>,
    faults: &'f mut Vec<Fault>,
    weapons: Names,
    units: Names,
}

impl<'a> Reader<'a, '_> {
    fn fault(&mut self, fault: Fault) {
        if self.faults.len() < MOST_FAULTS {
            self.faults.push(fault);
        }
    }

    /// The heads of a sheet; nothing where it has none that can be used.
    fn head(&mut self, sheet: Sheet, grid: &Grid) -> Option<Head<'a>> {
        for (first, last) in &grid.merged {
            let ends = [first, last].map(|at| Place { sheet: None, ..grid.place(*at) }.name()).join(":");
            let message = format!("the cells {ends} are merged into one: only the first of them has a value");
            self.fault(grid.fault(*first, message, Some("unmerge them and fill each one".to_owned())));
        }
        for at in grid.formulas.iter().filter(|at| !grid.cells.contains_key(at)) {
            let message = "a formula stands here that was never worked out";
            let hint = "open the file, let it be worked out and save it, or type the value itself".to_owned();
            self.fault(grid.fault(*at, message, Some(hint)));
        }
        let (row, _) = *grid.cells.keys().next()?;
        let all = &self.columns[&sheet];
        let mut head = Head { row, columns: Vec::new() };
        for (at, content) in grid.cells.range((row, 0)..(row + 1, 0)) {
            let said = content.said();
            let Some(column) = all.iter().find(|column| column.is_called(&said)) else {
                let close = close_word(&said, all.iter().map(|column| column.head.as_str()));
                let known = || all.iter().take(60).map(|column| column.head.as_str()).collect::<Vec<_>>().join(", ");
                let hint = close
                    .map_or_else(|| format!("known here: {}", known()), |close| format!("did you mean {close:?}?"));
                let message = format!("no column of the sheet {} is called {said:?}", sheet.title());
                self.fault(grid.fault(*at, message, Some(hint)));
                continue;
            };
            if head.columns.iter().any(|(_, known)| std::ptr::eq(*known, column)) {
                self.fault(grid.fault(*at, format!("{said:?} stands above two columns"), None));
                continue;
            }
            head.columns.push((at.1, column));
        }
        let has = |key: &str| head.columns.iter().any(|(_, column)| column.key == key);
        if !has("label") && !has("id") {
            let hint = Some("write Name above the column with the names".to_owned());
            self.fault(grid.fault((row, 0), format!("the sheet {} has no column of names", sheet.title()), hint));
            return None;
        }
        if matches!(sheet, Sheet::Options | Sheet::Models) && !has(UNIT) {
            let hint = Some("write Unit above the column that says whose they are".to_owned());
            self.fault(grid.fault((row, 0), format!("the sheet {} does not say of which unit", sheet.title()), hint));
            return None;
        }
        Some(head)
    }

    /// The rows with ids and labels.
    fn names(&self, grid: &Grid, head: &Head<'_>) -> Vec<(u32, (String, String))> {
        rows_of(grid, head)
            .into_iter()
            .filter_map(|row| {
                let (id, label) = (head.text(grid, row, "id"), head.text(grid, row, "label"));
                let label = label.or_else(|| id.as_ref().map(|id| id.replace('-', " ")))?;
                Some((row, (id.unwrap_or_else(|| id_for(&label)), label)))
            })
            .collect()
    }

    fn rows(
        &mut self,
        sheet: Sheet,
        grid: &'a Grid,
        head: &Head<'a>,
        options: &HashMap<String, Names>,
        no_names: &Names,
    ) -> Vec<Row<'a>> {
        let (words, weapons, units) = (self.words, self.weapons.clone(), self.units.clone());
        let mut measures: HashMap<u32, (&'static str, (u32, u32))> = HashMap::new();
        let mut rows = Vec::new();
        for row in rows_of(grid, head) {
            let unit = head.text(grid, row, UNIT).and_then(|name| units.find(&name).map(str::to_owned));
            let context = Context {
                kinds: &words.kinds,
                roles: &words.roles,
                rules: &words.rules,
                weapons: &weapons,
                units: &units,
                options: unit.and_then(|unit| options.get(&unit)).unwrap_or(no_names),
                stats: columns::stats(sheet, words),
                per_unit: sheet == Sheet::Options
                    && head.text(grid, row, "per").is_none_or(|per| plain(&per) != "model"),
            };
            let mut read = Row { grid, row, values: Vec::new() };
            for (at, column) in &head.columns {
                let at = (row, *at);
                let Some(content) = grid.cells.get(&at) else { continue };
                match context.read(column.kind, content) {
                    Ok(None) => {}
                    Ok(Some((value, measure))) => {
                        if let Some(measure) = measure {
                            let (first, place) = *measures.entry(at.1).or_insert((measure, at));
                            if first != measure {
                                let other = Place { sheet: None, ..grid.place(place) }.name();
                                let message = format!("{measure} stand here and {first} in {other}");
                                let hint = Some("write the whole column in one unit of measure".to_owned());
                                self.fault(grid.fault(at, message, hint));
                            }
                        }
                        read.values.push((*column, value, grid.place(at)));
                    }
                    Err((message, suggestion)) => self.fault(grid.fault(at, message, suggestion)),
                }
            }
            // Whoever has a name and no id gets one of the name.
            let has = |key: &str| {
                read.values.iter().find(|(column, ..)| column.key == key && !matches!(column.kind, Kind::Stat(..)))
            };
            match (has("id"), has("label")) {
                (None, Some((_, label, place))) => {
                    let (id, place) = (id_for(label.as_str().unwrap_or_default()), place.clone());
                    if let Some(column) =
                        self.columns[&sheet].iter().find(|column| column.key == "id" && column.kind == Kind::Text)
                    {
                        read.values.insert(0, (column, Value::from(id), place));
                    }
                }
                (None, None) => {
                    let first = grid.cells.range((row, 0)..(row + 1, 0)).next().map_or((row, 0), |(at, _)| *at);
                    self.fault(grid.fault(
                        first,
                        "this row has no name",
                        Some("write one, or empty the row".to_owned()),
                    ));
                    continue;
                }
                _ => {}
            }
            rows.push(read);
        }
        rows
    }
}

/// The rows below the heads in which anything stands.
fn rows_of(grid: &Grid, head: &Head<'_>) -> Vec<u32> {
    let mut rows: Vec<u32> = grid.cells.range((head.row + 1, 0)..).map(|((row, _), _)| *row).collect();
    rows.dedup();
    rows
}

impl Row<'_> {
    fn text(&self, key: &str) -> Option<&str> {
        let found = self.values.iter().find(|(column, ..)| column.key == key && !matches!(column.kind, Kind::Stat(..)));
        found.and_then(|(_, value, _)| value.as_str())
    }

    fn id(&self) -> String {
        self.text("id").unwrap_or_default().to_owned()
    }

    fn place(&self) -> Place {
        let named = self.values.iter().find(|(column, ..)| column.key == "id");
        named.map_or_else(|| self.grid.place((self.row, 0)), |(_, _, place)| place.clone())
    }
}

/// Options by their unit and the option that they are part of; models by their unit and option.
struct Tree<'a> {
    options: HashMap<(String, String), Vec<&'a Row<'a>>>,
    models: HashMap<(String, String), Vec<&'a Row<'a>>>,
}

impl<'a> Tree<'a> {
    fn of(options: &'a [Row<'a>], models: &'a [Row<'a>], units: &Names, faults: &mut Vec<Fault>) -> Self {
        let mut tree = Self { options: HashMap::new(), models: HashMap::new() };
        let ids: HashSet<(String, String)> =
            options.iter().map(|row| (row.text(UNIT).unwrap_or_default().to_owned(), row.id())).collect();
        let missing = |row: &Row<'_>, key: &str, faults: &mut Vec<Fault>| {
            let (unit, part) =
                (row.text(UNIT).unwrap_or_default().to_owned(), row.text(key).unwrap_or_default().to_owned());
            let unknown = !part.is_empty() && !ids.contains(&(unit.clone(), part.clone()));
            let own = key == INSIDE && part == row.id();
            if let Some((_, _, place)) =
                row.values.iter().find(|(column, ..)| column.key == key).filter(|_| unknown || own)
            {
                let label = units.label(&unit);
                let message = if own {
                    "an option can't be part of itself".to_owned()
                } else {
                    format!("{label} has no option called {part:?}")
                };
                faults.push(Fault { words: part.clone(), ..place.fault(Weight::Mistake, message) });
            }
            (unit, part)
        };
        for row in options {
            tree.options.entry(missing(row, INSIDE, faults)).or_default().push(row);
        }
        for row in models {
            tree.models.entry(missing(row, OPTION, faults)).or_default().push(row);
        }
        tree
    }
}

struct Writer {
    text: String,
    cells: Vec<(Range<usize>, Place)>,
}

impl Writer {
    fn new(pack: &str, grids: &[Grid]) -> Self {
        let text = format!("format = {FORMAT}\npack = {}\n", Value::from(pack));
        let first = grids[0].place((0, 0));
        Self { cells: vec![(0..text.len(), first)], text }
    }

    fn finish(self, grids: &[Grid]) -> Source {
        Source::of_cells(&*grids[0].file, self.text, self.cells)
    }

    fn put(&mut self, place: &Place, text: &str) {
        let start = self.text.len();
        self.text.push_str(text);
        self.cells.push((start..self.text.len(), place.clone()));
    }

    /// A table with all that its row says.
    fn table(&mut self, head: &str, row: &Row<'_>, words: &Vocabulary) {
        self.text.push('\n');
        self.put(&row.place(), &format!("{head}\n"));
        let (of_weapon, of_unit) = (head == "[[weapon]]", head == "[[unit]]");
        let stats = if of_weapon { &words.weapon } else { &words.unit };
        // Options and groups set some stats anew.
        let scope = if of_weapon || of_unit { "stats" } else { "sets" };
        let mut each: Vec<(usize, Vec<Said<'_>>)> = Vec::new();
        for (column, value, place) in &row.values {
            match (column.kind, value) {
                (Kind::Stat(at, Some(word)), value) => match each.iter_mut().find(|(known, _)| *known == at) {
                    Some((_, all)) => all.push((word, value, place)),
                    None => each.push((at, vec![(word, value, place)])),
                },
                (Kind::Stat(at, None), value) => {
                    self.put(place, &format!("{scope}.{} = {value}\n", key(&stats[at].id)));
                }
                (Kind::More, Value::Table(table)) => {
                    for (name, value) in table {
                        self.put(place, &format!("{} = {value}\n", key(name)));
                    }
                }
                (_, value) if ![UNIT, INSIDE, OPTION, MORE].contains(&column.key.as_str()) => {
                    self.put(place, &format!("{} = {value}\n", column.key));
                }
                _ => {}
            }
        }
        for (at, values) in each {
            let stat = &stats[at];
            let axis =
                stat.per.map(|axis| words.axis(axis)).into_iter().flat_map(|axis| &axis.list).collect::<Vec<_>>();
            if let Some((_, _, place)) = values.first() {
                self.put(place, &format!("{scope}.{} = {{ ", key(&stat.id)));
            }
            for (index, (word, value, place)) in values.iter().enumerate() {
                let comma = if index > 0 { ", " } else { "" };
                let word = axis.get(*word).map_or("", |(id, _)| id.as_str());
                self.put(place, &format!("{comma}{} = {value}", key(word)));
            }
            self.text.push_str(" }\n");
        }
    }

    /// The options of a unit that are part of this one, each with those that are part of it.
    fn options(&mut self, path: &str, unit: &str, inside: &str, tree: &Tree<'_>, words: &Vocabulary, depth: usize) {
        // Options that are part of each other come to no end: whoever reads the book finds none of them.
        if depth > 8 {
            return;
        }
        let path = format!("{path}.option");
        for option in tree.options.get(&(unit.to_owned(), inside.to_owned())).into_iter().flatten() {
            self.table(&format!("[[{path}]]"), option, words);
            let id = option.id();
            for models in tree.models.get(&(unit.to_owned(), id.clone())).into_iter().flatten() {
                self.table(&format!("[[{path}.group]]"), models, words);
            }
            self.options(&path, unit, &id, tree, words, depth + 1);
        }
    }
}

/// A key as TOML takes it.
pub(super) fn key(id: &str) -> String {
    let bare = !id.is_empty() && id.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-' || byte == b'_');
    if bare { id.to_owned() } else { Value::from(id).to_string() }
}
