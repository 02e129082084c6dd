//! The whole of a pack.
use super::super::fault::{Fault, Source, Weight};
use super::super::model::change::RollId;
use super::super::model::stat::Stats;
use super::super::model::unit::{Formation, UnitOption};
use super::super::model::{Finder, Named, Origins, Pack};
use super::super::names::{LONGEST, is_longer};
use super::attack::Attacks;
use super::change::Changes;
use super::chart::{blank, read_chart, read_gives};
use super::condition::Words;
use super::ids::{Index, Section, explained, further_names};
use super::layers;
use super::limits::{Places, read_board, read_limits, read_role};
use super::node::{Faults, Fields, Node};
use super::roll::Rolls;
use super::situation::{read_numbers, read_words};
use super::stat::read_stats;
use super::sum::Terms;
use super::unit::{Books, add_names, read_formation};
use super::weapon::read_weapon;
use crate::odds::cancellation::CancellationToken;
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use toml::Spanned;
use toml::de::DeTable;

/// The version of the format that is read.
pub const FORMAT: u32 = 1;
/// The largest file.
pub const MOST_BYTES: usize = 4 << 20;

/// Words of the hobby for which a club may have its own.
const ORDINARY: [&str; 14] = [
    "points",
    "model",
    "models",
    "unit",
    "units",
    "health",
    "structure",
    "graze",
    "breach",
    "wrecked",
    "destroyed",
    "arc",
    "range",
    "cover",
];

/// All sections of all files.
#[derive(Default)]
struct Sections<'a> {
    arcs: Section<'a>,
    ranges: Section<'a>,
    covers: Section<'a>,
    flags: Section<'a>,
    kinds: Section<'a>,
    charts: Section<'a>,
    breaches: Section<'a>,
    steps: Section<'a>,
    procedures: Section<'a>,
    rules: Section<'a>,
    checks: Section<'a>,
    aftermath: Section<'a>,
    roles: Section<'a>,
    weapons: Section<'a>,
    units: Section<'a>,
}

impl<'a> Sections<'a> {
    fn add(&mut self, file: &Fields<'a>) {
        self.arcs.add(file, "arc");
        self.ranges.add(file, "range");
        self.covers.add(file, "cover");
        self.flags.add(file, "flag");
        self.kinds.add(file, "kind");
        self.charts.add(file, "chart");
        self.breaches.add(file, "breach");
        self.steps.add(file, "step");
        self.procedures.add(file, "procedure");
        self.rules.add(file, "rule");
        self.checks.add(file, "check");
        self.aftermath.add(file, "aftermath");
        self.roles.add(file, "role");
        self.weapons.add(file, "weapon");
        self.units.add(file, "unit");
    }

    /// Every roll that a rule can speak of, by its id.
    fn rolls(&self) -> HashMap<String, RollId> {
        let fixed = [("attack", RollId::Attack), ("ignore", RollId::Ignore), ("repair", RollId::Repair)];
        let mut rolls: HashMap<String, RollId> = fixed.map(|(id, roll)| (id.to_owned(), roll)).into();
        let mut add = |fields: &Fields<'_>, id: &str, roll: RollId| {
            if rolls.insert(id.to_owned(), roll).is_some() {
                fields.wrong(format!("{id:?} is taken: steps, choices, checks and rolls afterwards share their ids, and attack, ignore and repair are the game's own"));
            }
        };
        for (at, fields) in self.steps.tables.iter().enumerate() {
            add(fields, &self.steps.ids.order[at], RollId::Step(at));
            let choices = fields.get("choose").map_or_else(Vec::new, |node| node.many());
            for (index, choice) in choices.into_iter().enumerate() {
                if let Some(id) = choice.value().get("id").and_then(|id| id.get_ref().as_str()) {
                    add(fields, id, RollId::Choice(at, index));
                }
            }
        }
        for (at, fields) in self.checks.tables.iter().enumerate() {
            add(fields, &self.checks.ids.order[at], RollId::Check(at));
        }
        for (at, fields) in self.aftermath.tables.iter().enumerate() {
            add(fields, &self.aftermath.ids.order[at], RollId::Aftermath(at));
        }
        rolls
    }
}

/// Reads the files of one pack.
///
/// # Errors
/// Every mistake of the files, in the order of their places.
pub fn read(files: &[Source]) -> Result<Pack, Vec<Fault>> {
    read_until(files, None)
}

/// The same, for as long as somebody waits for it. What was stopped has no faults of its own: it was not read.
///
/// # Errors
/// Every mistake of the files, in the order of their places.
pub fn read_until(files: &[Source], token: Option<CancellationToken>) -> Result<Pack, Vec<Fault>> {
    let faults = Faults::new(token);
    let mut tables: Vec<(&Source, Spanned<DeTable<'_>>)> = Vec::new();
    for source in files {
        if source.text.len() > MOST_BYTES {
            let message = format!("a file of a pack may have up to {} MiB", MOST_BYTES >> 20);
            faults.push(source.fault(0..0, Weight::Mistake, message));
            continue;
        }
        let (table, errors) = DeTable::parse_recoverable(&source.text);
        for error in errors.iter().take(20) {
            let span = error.span().unwrap_or_else(|| longest_path(&source.text));
            let too_deep = error.message().contains("recurs");
            let message = if too_deep { "tables within tables go too deep here" } else { error.message() };
            faults.push(source.fault(span, Weight::Mistake, message));
        }
        tables.push((source, table));
    }
    for (source, table) in &tables {
        let file = Fields::of_file(&faults, source, table.get_ref());
        file.get("format")
            .filter(|node| node.as_number() != Some(i64::from(FORMAT)))
            .into_iter()
            .for_each(other_format);
    }
    // A file that is no TOML would only bring mistakes that are none.
    let pack = match layers::of(files) {
        _ if !faults.is_empty() || !faults.go_on() => None,
        stack if stack.len() > 1 => read_layers(&faults, files, &stack),
        _ => read_tables(&faults, files, &tables),
    };
    let faults = faults.sorted();
    match pack {
        Some(pack) if faults.is_empty() => Ok(pack),
        _ => Err(faults),
    }
}

/// Reads a pack that is built on others: what their files say together is read as one file.
fn read_layers(faults: &Faults, files: &[Source], stack: &[Vec<&Source>]) -> Option<Pack> {
    let (source, starts) = layers::as_one(stack);
    let tables = stack.iter().zip(&starts).map(|(own, starts)| {
        own.iter().copied().zip(starts).map(|(file, start)| layers::parsed(file, *start)).collect()
    });
    let merged = layers::merge(faults, &source, tables.collect());
    let tables = [(&source, Spanned::new(0..0, merged.table))];
    let pack = read_tables(faults, files, &tables)?;
    Some(Pack { layers: merged.layers, origins: merged.origins, ..pack })
}

/// The line with the most dots: the parser does not say where a path of names goes too deep.
fn longest_path(text: &str) -> std::ops::Range<usize> {
    let lines = text.lines().map(|line| {
        let start = line.as_ptr() as usize - text.as_ptr() as usize;
        (line.matches('.').count(), start..start + line.len())
    });
    lines.fold((0, 0..0), |most, line| if line.0 > most.0 { line } else { most }).1
}

fn read_tables<'a>(
    faults: &'a Faults,
    files: &[Source],
    tables: &'a [(&'a Source, Spanned<DeTable<'a>>)],
) -> Option<Pack> {
    let files_fields: Vec<Fields<'a>> =
        tables.iter().map(|(source, table)| Fields::of_file(faults, source, table.get_ref())).collect();
    let named = read_head(&files_fields);
    let is_one = layers::of(files).len() == 1;
    for file in &files_fields {
        file.get("extends").filter(|_| is_one).into_iter().for_each(layers::without_base);
        if let Some(node) = file.get("remove") {
            node.wrong("only a pack that is built on another can remove anything: extends = \"…\"");
        }
    }
    let mut all = Sections::default();
    files_fields.iter().for_each(|file| all.add(file));
    let sections = [
        ("rule", &all.rules),
        ("role", &all.roles),
        ("kind", &all.kinds),
        ("unit", &all.units),
        ("weapon", &all.weapons),
        ("flag", &all.flags),
    ];
    super::clash::ids(&sections);
    let mut words = read_words(&all.arcs, &all.ranges, &all.covers, &all.flags);
    let mut stats = Stats::default();
    files_fields.iter().for_each(|file| read_stats(file, &all.kinds.ids, &mut stats));
    read_numbers(&all.arcs, &all.ranges, &all.covers, &stats, &mut words);
    let gives = read_gives(&all.charts);
    let no_charts = Index::default();
    let of_charts = Terms { stats: &stats, charts: &no_charts, gives: &[] };
    let charts = (all.charts.tables.iter())
        .map(|fields| read_chart(fields, &of_charts, &words).unwrap_or_else(|| blank(fields)))
        .collect();
    let terms = Terms { stats: &stats, charts: &all.charts.ids, gives: &gives };
    let rolls = Rolls { terms: &terms, steps: &all.steps.ids };
    let conditions = Words {
        terms: &terms,
        arcs: &all.arcs.ids,
        ranges: &all.ranges.ids,
        covers: &all.covers.ids,
        flags: &all.flags.ids,
        rules: &all.rules.ids,
        roles: &all.roles.ids,
        kinds: &all.kinds.ids,
        units: &all.units.ids,
        weapons: &all.weapons.ids,
    };
    let attacks = Attacks { words: &conditions, rolls: &rolls, breaches: &all.breaches.ids };
    let ids = all.rolls();
    let steps: Vec<_> = all.steps.tables.iter().map(|fields| attacks.step(fields)).collect();
    let changes = Changes { attacks: &attacks, rules: &all.rules.ids, rolls: &ids, steps: &steps };
    let rules: Vec<_> = all.rules.tables.iter().map(|fields| changes.rule(fields)).collect();
    super::clash::opposed(&all.steps, &steps, &all.rules, &rules);
    let plain = Formation { base_mm: 25, gap_mm: 25, files: 5, hull_mm: (120, 70) };
    let formation = files_fields.iter().find_map(|file| file.get("formation"));
    let formation = formation.map_or(plain, |node| read_formation(node, plain));
    let kinds: Vec<_> = all.kinds.tables.iter().map(|fields| attacks.kind(fields)).collect();
    let books = Books {
        stats: &stats,
        words: &words,
        kinds: &all.kinds.ids,
        bodies: &kinds,
        roles: &all.roles.ids,
        rules: &all.rules.ids,
        weapons: &all.weapons.ids,
        units: &all.units.ids,
        formation,
    };
    let weapons: Vec<_> =
        all.weapons.tables.iter().map(|f| read_weapon(f, &stats, &words, &all.rules.ids, &terms)).collect();
    let units: Vec<_> = all.units.tables.iter().map(|fields| books.unit(fields)).collect();
    let breaches: Vec<_> = all.breaches.tables.iter().map(|fields| attacks.breach(fields)).collect();
    let procedures = all.procedures.tables.iter().map(|fields| attacks.procedure(fields)).collect();
    let checks: Vec<_> = all.checks.tables.iter().map(|fields| attacks.check(fields)).collect();
    let aftermath: Vec<_> = all.aftermath.tables.iter().map(|fields| attacks.aftermath(fields)).collect();
    let roles = all.roles.tables.iter().map(read_role).collect();
    let board = files_fields.iter().find_map(|file| file.get("board"));
    let places = Places { arcs: &all.arcs.ids, ranges: &all.ranges.ids, words: &words };
    let board = board.map(|node| read_board(node, &all.units.ids, &units, &places)).unwrap_or_default();
    let limits = files_fields.iter().find_map(|file| file.get("limits"));
    let limits = limits.map(read_limits).unwrap_or_default();
    let own_words = files_fields.iter().flat_map(read_own_words).collect();
    if !faults.go_on() {
        return None;
    }
    super::cycle::check(&all.rules, &rules, &all.units, &units);
    files_fields.iter().for_each(Fields::finish);
    let named = named?;
    let mut pack = Pack {
        layers: Vec::new(),
        origins: Origins::default(),
        reference: named.id.clone(),
        named,
        hash: hash(files),
        files: files.into(),
        words: own_words,
        situations: words,
        stats: stats.clone(),
        kinds,
        charts,
        breaches: breaches.into_iter().collect::<Option<_>>()?,
        steps: steps.into_iter().collect::<Option<_>>()?,
        procedures,
        rules,
        checks: checks.into_iter().collect::<Option<_>>()?,
        aftermath: aftermath.into_iter().collect::<Option<_>>()?,
        roles,
        limits,
        formation,
        board,
        weapons,
        units,
        find: Finder::default(),
    };
    name_options_by_weapons(&mut pack);
    pack.find = finder(&pack);
    Some(pack)
}

/// `format`, `pack`, `name` and `text` of all files.
fn read_head(files: &[Fields<'_>]) -> Option<Named> {
    let mut named: Option<Named> = None;
    for file in files {
        match file.get("format") {
            Some(_) => {}
            None => file.wrong("the file must say its format: format = 1"),
        }
        let id = file.need("pack").and_then(|node| {
            let id = node.text()?;
            if is_longer(id, LONGEST) {
                node.wrong(format!("a pack's id has up to {LONGEST} characters"));
            }
            if named.as_ref().is_some_and(|named| named.id != id) {
                node.wrong("this file belongs to another pack than the one before");
            }
            Some(id.to_owned())
        });
        let also = file.get("also").map_or_else(Vec::new, further_names);
        let label = file.get("name").and_then(|node| {
            let label = node.text()?;
            if is_longer(label, LONGEST) {
                node.wrong(format!("a name has up to {LONGEST} characters"));
            }
            Some(label.to_owned())
        });
        let text = file.get("text").and_then(explained);
        let named = named.get_or_insert_with(|| Named { id: id.unwrap_or_default(), ..Named::default() });
        named.label = label.unwrap_or_else(|| std::mem::take(&mut named.label));
        named.text = text.unwrap_or_else(|| std::mem::take(&mut named.text));
        named.also.extend(also);
    }
    named.map(|named| if named.label.is_empty() { Named { label: named.id.replace('-', " "), ..named } } else { named })
}

/// A file of another format is told by that alone: what else seems wrong in it may be right there.
fn other_format(node: Node<'_>) {
    let message = match node.as_number() {
        Some(format) => format!("this file has format {format}, and this program reads format {FORMAT}"),
        None => format!("this should be the number of the format that the file is written in: {FORMAT}"),
    };
    let newer = node.as_number().is_some_and(|format| format > i64::from(FORMAT));
    let hint = "a newer program reads it: it reads this format and the older ones, and says what changed";
    node.wrong_with(message, newer.then(|| hint.to_owned()));
}

fn read_own_words(file: &Fields<'_>) -> Vec<(String, String)> {
    let Some(table) = file.get("words").and_then(|node| node.fields()) else { return Vec::new() };
    let read = |word: &'static str| Some((word.to_owned(), table.text(word)?));
    let words = ORDINARY.into_iter().filter_map(read).collect();
    table.finish();
    words
}

/// SHA-256 over the texts of the files in their order, each with its length before it, in hexadecimal: the content that a
/// pack is kept by. What the files are called makes no difference.
pub fn hash(files: &[Source]) -> String {
    let mut hasher = Sha256::new();
    for file in files {
        hasher.update((file.text.len() as u64).to_le_bytes());
        hasher.update(file.text.as_bytes());
    }
    hasher.finalize().iter().map(|byte| format!("{byte:02x}")).collect()
}

/// An option that brings a weapon is also called by that weapon's name, where no other option is and the unit has none yet.
fn name_options_by_weapons(pack: &mut Pack) {
    for unit in &mut pack.units {
        for at in 0..unit.options.len() {
            let [carried] = unit.options[at].weapons.as_slice() else { continue };
            let brings = |option: &UnitOption| option.weapons.iter().any(|other| other.weapon == carried.weapon);
            let one = unit.options.iter().filter(|option| brings(option)).count() == 1;
            let label = &pack.weapons[carried.weapon].named.label;
            if one && !unit.weapons.iter().any(|own| own.weapon == carried.weapon) && unit.find.exact(label).is_none() {
                unit.find.add(at, &unit.options[at].named.label, [label.as_str()]);
            }
        }
    }
}

fn finder(pack: &Pack) -> Finder {
    let mut find = Finder::default();
    for (at, unit) in pack.units.iter().enumerate() {
        add_names(&mut find.units, at, &unit.named);
    }
    // A name that another unit bears itself stays that unit's.
    for (at, unit) in pack.units.iter().enumerate() {
        find.units.add(at, &unit.named.label, [unit.forms.0.as_str(), unit.forms.1.as_str()]);
    }
    pack.weapons.iter().enumerate().for_each(|(at, weapon)| add_names(&mut find.weapons, at, &weapon.named));
    pack.rules.iter().enumerate().for_each(|(at, rule)| add_names(&mut find.rules, at, &rule.named));
    pack.checks.iter().enumerate().for_each(|(at, check)| add_names(&mut find.checks, at, &check.named));
    let words = &pack.situations;
    words.arcs.iter().enumerate().for_each(|(at, word)| add_names(&mut find.arcs, at, &word.named));
    words.ranges.iter().enumerate().for_each(|(at, band)| add_names(&mut find.ranges, at, &band.word.named));
    words.covers.iter().enumerate().for_each(|(at, word)| add_names(&mut find.covers, at, &word.named));
    words.flags.iter().enumerate().for_each(|(at, flag)| add_names(&mut find.flags, at, flag));
    find
}
