//! From the files of a pack to sheets: every key has its column or stands in `more`, so that nothing is lost.
use super::super::fault::Source;
use super::cell::Context;
use super::columns::{self, Column, INSIDE, Kind, MORE, OPTION, Sheet, UNIT};
use super::grid::{Content, Grid};
use super::name::{Names, Vocabulary};
use toml::{Table, Value};

/// One sheet while it is filled.
struct Filling {
    sheet: Sheet,
    columns: Vec<Column>,
    rows: Vec<Vec<Option<Content>>>,
}

/// The sheets of the units and weapons of these files, all that a pack has. Columns that nothing stands in are left out,
/// but for those that every book needs.
pub fn grids(files: &[Source]) -> Vec<Grid> {
    let words = Vocabulary::of(files);
    let tables: Vec<Table> = files.iter().filter_map(|file| file.text.parse().ok()).collect();
    let things = |key: &str| -> Vec<Table> {
        let all = tables.iter().filter_map(|table| table.get(key)?.as_array()).flatten();
        all.filter_map(|thing| thing.as_table().cloned()).collect()
    };
    let mut filling = Sheet::ALL.map(|sheet| Filling { sheet, columns: columns::all(sheet, &words), rows: Vec::new() });
    let [units, weapons, options, models] = &mut filling;
    for weapon in things("weapon") {
        weapons.add(&words, &[], weapon, &Names::default());
    }
    for unit in things("unit") {
        let id = unit.get("id").and_then(Value::as_str).unwrap_or_default().to_owned();
        let mut unit = unit;
        let inside = unit.remove("option");
        let groups = unit.remove("group");
        let mut own = Names::default();
        names(inside.as_ref(), &mut own);
        units.add(&words, &[], unit, &own);
        add_groups(models, &words, &[(UNIT, &id)], groups, &own);
        add_options(options, models, &words, (&id, ""), inside, &own);
    }
    filling.into_iter().map(Filling::grid).collect()
}

fn tables(value: Option<Value>) -> Vec<Table> {
    let Some(Value::Array(all)) = value else { return Vec::new() };
    all.into_iter().filter_map(|value| if let Value::Table(table) = value { Some(table) } else { None }).collect()
}

/// What the options of a unit are called, those within others too.
fn names(options: Option<&Value>, into: &mut Names) {
    for option in options.and_then(Value::as_array).into_iter().flatten() {
        let text = |key: &str| option.get(key).and_then(Value::as_str).map(str::to_owned);
        let id = text("id").unwrap_or_default();
        let label = text("label").unwrap_or_else(|| id.replace('-', " "));
        into.push((id, label));
        names(option.get("option"), into);
    }
}

fn add_groups(models: &mut Filling, words: &Vocabulary, whose: &[(&str, &str)], groups: Option<Value>, own: &Names) {
    for group in tables(groups) {
        models.add(words, whose, group, own);
    }
}

fn add_options(
    options: &mut Filling,
    models: &mut Filling,
    words: &Vocabulary,
    (unit, inside): (&str, &str),
    all: Option<Value>,
    own: &Names,
) {
    for mut option in tables(all) {
        let id = option.get("id").and_then(Value::as_str).unwrap_or_default().to_owned();
        let (within, groups) = (option.remove("option"), option.remove("group"));
        let whose = [(UNIT, unit), (INSIDE, inside)];
        options.add(words, if inside.is_empty() { &whose[..1] } else { &whose }, option, own);
        add_groups(models, words, &[(UNIT, unit), (OPTION, &id)], groups, own);
        add_options(options, models, words, (unit, &id), within, own);
    }
}

impl Filling {
    fn add(&mut self, words: &Vocabulary, whose: &[(&str, &str)], mut table: Table, own: &Names) {
        let per_unit = self.sheet == Sheet::Options && table.get("per").and_then(Value::as_str) != Some("model");
        let context = Context {
            kinds: &words.kinds,
            roles: &words.roles,
            rules: &words.rules,
            weapons: &words.weapons,
            units: &words.units,
            options: own,
            stats: columns::stats(self.sheet, words),
            per_unit,
        };
        let scope = if matches!(self.sheet, Sheet::Units | Sheet::Weapons) { "stats" } else { "sets" };
        let mut stats = match table.remove(scope) {
            Some(Value::Table(stats)) => stats,
            Some(other) => {
                table.insert(scope.to_owned(), other);
                Table::new()
            }
            None => Table::new(),
        };
        let mut row: Vec<Option<Content>> = Vec::new();
        for column in &self.columns {
            let cell = match column.kind {
                Kind::More => None,
                Kind::Stat(_, None) => {
                    let cell = stats.get(&column.key).and_then(|value| context.write(column.kind, value));
                    cell.inspect(|_| drop(stats.remove(&column.key)))
                }
                Kind::Stat(at, Some(word)) => {
                    let axis = columns::stats(self.sheet, words)[at].per.map(|axis| words.axis(axis));
                    let word = axis.and_then(|axis| Some(axis.list.get(word)?.0.clone())).unwrap_or_default();
                    let value =
                        stats.get(&column.key).and_then(Value::as_table).and_then(|each| each.get(&word).cloned());
                    let cell = value.and_then(|value| context.write(column.kind, &value));
                    if cell.is_some() {
                        let each = stats.get_mut(&column.key).and_then(Value::as_table_mut);
                        let left = each.map(|each| {
                            each.remove(&word);
                            each.is_empty()
                        });
                        if left == Some(true) {
                            stats.remove(&column.key);
                        }
                    }
                    cell
                }
                kind => match whose.iter().find(|(key, _)| *key == column.key) {
                    Some((_, id)) => {
                        context.write(kind, &Value::from(*id)).or_else(|| Some(Content::Text((*id).to_owned())))
                    }
                    None => {
                        let cell = table.get(&column.key).and_then(|value| context.write(kind, value));
                        cell.inspect(|_| drop(table.remove(&column.key)))
                    }
                },
            };
            row.push(cell);
        }
        // A stat that no column could hold goes with the rest. Dotted keys keep it beside those that have columns.
        for (id, value) in stats {
            let key = format!("{scope}.{}", super::import::key(&id));
            table.insert(key, value);
        }
        if let (Some(at), false) = (self.columns.iter().position(|column| column.key == MORE), table.is_empty()) {
            let key = |key: &str| {
                if key.starts_with(&format!("{scope}.")) { key.to_owned() } else { super::import::key(key) }
            };
            let pairs = table.iter().map(|(name, value)| format!("{} = {value}", key(name)));
            row[at] = Some(Content::Text(pairs.collect::<Vec<_>>().join(", ")));
        }
        self.rows.push(row);
    }

    fn grid(self) -> Grid {
        let always = |column: &Column| {
            let needed: &[&str] = match self.sheet {
                Sheet::Units => &["label", "id", "kind", "role", "models", "points", "each_more", "rules", "weapons"],
                Sheet::Weapons => &["label", "id", "reach", "rules"],
                Sheet::Options => &[UNIT, "label", "id", "points", "weapons", "replaces", "rules"],
                Sheet::Models => &[UNIT, "label", "id", "models"],
            };
            needed.contains(&column.key.as_str()) && !matches!(column.kind, Kind::Stat(..))
        };
        let shown: Vec<usize> = (0..self.columns.len())
            .filter(|at| always(&self.columns[*at]) || self.rows.iter().any(|row| row[*at].is_some()))
            .collect();
        let mut grid = Grid::new("book", Some(self.sheet.title()));
        for (column, at) in shown.iter().enumerate() {
            grid.cells.insert((0, column as u32), Content::Text(self.columns[*at].head.clone()));
            for (row, cells) in self.rows.iter().enumerate() {
                if let Some(content) = &cells[*at] {
                    grid.cells.insert((row as u32 + 1, column as u32), content.clone());
                }
            }
        }
        grid
    }
}
