//! Pack files on disk: which there are, what they hold, and which belong together.
use super::PackCatalog;
use super::fault::{Fault, Source, Weight};
use super::model::Pack;
use super::read;
use super::sheets::{self, Imported, Vocabulary};
use std::path::{Path, PathBuf};

/// The files of each pack, with the pack's id, in the order in which the packs are met.
pub type Groups = Vec<(String, Vec<Source>)>;

/// Puts files together that name the same pack; one that names none is a fault.
pub fn by_pack(sources: Vec<Source>, faults: &mut Vec<Fault>) -> Groups {
    let mut groups = Groups::new();
    for source in sources {
        let Some(id) = pack_of(&source) else {
            let mut fault = source.fault(0..0, Weight::Mistake, "the file must say its pack: pack = \"…\"");
            if let Err(found) = read::read(std::slice::from_ref(&source)) {
                fault = found.into_iter().next().unwrap_or(fault);
            }
            faults.push(fault);
            continue;
        };
        match groups.iter_mut().find(|(known, _)| *known == id) {
            Some((_, files)) => files.push(source),
            None => groups.push((id, vec![source])),
        }
    }
    groups
}

/// The pack that a file says it belongs to.
pub fn pack_of(source: &Source) -> Option<String> {
    // What a file says of itself stands before its first table; reading that alone is quick.
    let lines = source.text.split_inclusive('\n');
    let head: usize = lines.take_while(|line| !line.trim_start().starts_with('[')).map(str::len).sum();
    pack_in(&source.text[..head]).or_else(|| pack_in(&source.text))
}

fn pack_in(text: &str) -> Option<String> {
    text_of(text, "pack")
}

/// The pack that a file says its pack is built on.
pub fn extends(source: &Source) -> Option<String> {
    source.text.contains("extends").then(|| text_of(&source.text, "extends")).flatten()
}

/// The same, with its place.
pub(super) fn extends_at(source: &Source) -> Option<(String, std::ops::Range<usize>)> {
    let (table, _) = toml::de::DeTable::parse_recoverable(&source.text);
    let value = table.get_ref().get("extends")?;
    Some((value.get_ref().as_str()?.to_owned(), value.span()))
}

/// The same packs, each behind the one that it is built on. Those that are built on each other are told and left out.
pub fn in_order(groups: Groups, faults: &mut Vec<Fault>) -> Groups {
    let (mut ordered, mut left): (Groups, Groups) = (Vec::new(), groups);
    loop {
        let waits = |files: &[Source], left: &Groups| {
            let base = files.iter().find_map(extends);
            base.is_some_and(|base| left.iter().any(|(id, _)| *id == base))
        };
        let (later, now): (Groups, Groups) = left.clone().into_iter().partition(|(_, files)| waits(files, &left));
        if now.is_empty() {
            break;
        }
        ordered.extend(now);
        left = later;
    }
    for (id, files) in left {
        for source in &files {
            let Some((base, span)) = extends_at(source) else { continue };
            let message = format!("{id:?} is built on {base:?}, and that in turn on {id:?}: this comes to no end");
            let message = if base == id { "a pack can't be built on itself".to_owned() } else { message };
            faults.push(source.fault(span, Weight::Mistake, message));
        }
    }
    ordered
}

fn text_of(text: &str, key: &str) -> Option<String> {
    let (table, _) = toml::de::DeTable::parse_recoverable(text);
    Some(table.get_ref().get(key)?.get_ref().as_str()?.to_owned())
}

/// Whether a file has kinds of unit, or builds on a pack that has: without them it is a unit book.
pub fn has_rules(source: &Source) -> bool {
    let (table, _) = toml::de::DeTable::parse_recoverable(&source.text);
    ["kind", "extends"].iter().any(|key| table.get_ref().contains_key(*key))
}

/// Whether a file that could not be read belongs to a pack: it did before, or it lies in a folder with the others.
pub(super) fn lacks(files: &[Source], before: &[Source], unread: &[String]) -> bool {
    let folder = |name: &str| Path::new(name).parent().filter(|folder| *folder != Path::new("")).map(Path::to_owned);
    unread.iter().any(|name| {
        let beside = folder(name).is_some_and(|own| files.iter().any(|file| folder(&file.name).as_ref() == Some(&own)));
        beside || before.iter().any(|file| file.name == *name)
    })
}

/// Whether a file holds units or weapons and nothing that rules are made of.
pub(super) fn is_book(source: &Source) -> bool {
    let (table, errors) = toml::de::DeTable::parse_recoverable(&source.text);
    let has = |keys: &[&str]| keys.iter().any(|key| table.get_ref().contains_key(*key));
    errors.is_empty()
        && has(&["unit", "weapon"])
        && !has(&["kind", "step", "procedure", "rule", "role", "stats", "extends"])
}

/// What is wrong with a unit book of a pack that nobody knows.
pub(super) fn no_rules(source: &Source) -> Fault {
    let (table, _) = toml::de::DeTable::parse_recoverable(&source.text);
    let place = table.get_ref().get("pack").map_or(0..0, toml::Spanned::span);
    let fault = source.fault(place, Weight::Mistake, "this is a unit book, and no rules of its pack are there");
    Fault { suggestion: Some("give the file of the rules too, or the folder of both".to_owned()), ..fault }
}

/// All pack files of a folder and of the folders in it, in the order of their names. Spreadsheets become the unit book of
/// the rules beside them.
pub fn of_folder(folder: &Path, catalog: &PackCatalog, faults: &mut Vec<Fault>) -> Vec<Source> {
    let Ok(root) = folder.canonicalize() else {
        faults.push(fault(folder, "the folder of packs is not there or can't be read"));
        return Vec::new();
    };
    let mut sources = Vec::new();
    let mut sheets: Vec<(PathBuf, Vec<Sheets>)> = Vec::new();
    for path in paths(&root, 2) {
        let name = path.strip_prefix(&root).unwrap_or(&path).to_owned();
        // A link may lead anywhere; only what is inside the folder is read.
        if !path.canonicalize().is_ok_and(|real| real.starts_with(&root)) {
            faults.push(fault(&name, "the file is outside the folder of packs, or a broken link: not read"));
            continue;
        }
        if sheets::kind_of(&name.to_string_lossy()).is_some() {
            let beside = name.parent().map(Path::to_owned).unwrap_or_default();
            match sheets_of(&path, &name) {
                Ok(found) => match sheets.iter_mut().find(|(folder, _)| *folder == beside) {
                    Some((_, all)) => all.push(found),
                    None => sheets.push((beside, vec![found])),
                },
                Err(found) => faults.push(found),
            }
            continue;
        }
        match of_path(&path, &name) {
            Ok(source) => sources.push(source),
            Err(found) => faults.push(found),
        }
    }
    for (beside, found) in sheets {
        let is_beside = |source: &&Source| Path::new(&source.name).parent() == Some(&*beside);
        let texts: Vec<Source> = sources.iter().filter(is_beside).cloned().collect();
        match book_of(catalog, &sources, &texts, &found, None) {
            Ok(imported) => sources.push(imported.book),
            Err(wrong) => faults.extend(wrong),
        }
    }
    sources
}

/// A spreadsheet as it came: its name and its bytes.
pub type Sheets = (String, Vec<u8>);

/// The unit book that spreadsheets make together, beside these texts of their pack or for a pack that is there. `all` are
/// other files that the rules may be built on.
///
/// # Errors
/// Every mistake of the sheets, each at its cell.
pub fn book_of(
    catalog: &PackCatalog,
    all: &[Source],
    texts: &[Source],
    found: &[Sheets],
    base: Option<&Pack>,
) -> Result<Imported, Vec<Fault>> {
    let (mut grids, mut faults) = (Vec::new(), Vec::new());
    for (name, bytes) in found {
        match sheets::open(name, bytes) {
            Ok(opened) => grids.extend(opened),
            Err(wrong) => faults.extend(wrong),
        }
    }
    let name = found.first().map(|(name, _)| Path::new(name)).unwrap_or_else(|| Path::new("book"));
    let ids: Vec<String> = texts.iter().filter_map(pack_of).chain(base.map(|pack| pack.named.id.clone())).collect();
    let Some(id) = ids.first() else {
        let wrong = fault(name, "a spreadsheet is a unit book of the rules beside it, and there are none");
        let hint = "put it beside the rules.toml of its pack".to_owned();
        return Err(vec![Fault { suggestion: Some(hint), ..wrong }]);
    };
    if ids.iter().any(|other| other != id) {
        return Err(vec![fault(
            name,
            "the rules of several packs are beside this spreadsheet: give each pack a folder of its own",
        )]);
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let mut words: Vec<Source> = beneath(catalog, all, texts, 8);
    words.extend(base.into_iter().flat_map(|pack| pack.files.iter().cloned()));
    if base.is_none() && !texts.iter().any(has_rules) {
        words.extend(catalog.pack(Some(id)).into_iter().flat_map(|pack| pack.files.to_vec()));
    }
    words.extend(texts.iter().cloned());
    sheets::import(id, &grids, &Vocabulary::of(&words))
}

/// The files of the packs that these files are built on.
fn beneath(catalog: &PackCatalog, all: &[Source], texts: &[Source], depth: u32) -> Vec<Source> {
    let Some(base) = texts.iter().find_map(extends).filter(|_| depth > 0) else { return Vec::new() };
    let own: Vec<Source> = all.iter().filter(|source| pack_of(source).as_deref() == Some(&*base)).cloned().collect();
    if own.is_empty() {
        return catalog.pack(Some(&base)).map(|pack| pack.files.to_vec()).unwrap_or_default();
    }
    beneath(catalog, all, &own, depth - 1).into_iter().chain(own).collect()
}

/// A spreadsheet on disk, called by this name.
///
/// # Errors
/// Why it can't be read: too large, not there.
pub fn sheets_of(path: &Path, name: &Path) -> Result<Sheets, Fault> {
    let size = path.metadata().map_or(0, |meta| meta.len());
    if size > sheets::MOST_BYTES as u64 {
        let most = sheets::MOST_BYTES >> 20;
        return Err(fault(name, format!("a spreadsheet may have up to {most} MiB, this one has {size} bytes")));
    }
    let bytes = std::fs::read(path).map_err(|error| fault(name, format!("the file can't be read: {error}")))?;
    Ok((name.display().to_string(), bytes))
}

/// One file, called by this name.
///
/// # Errors
/// Why it can't be read: too large, not UTF-8, not there.
pub fn of_path(path: &Path, name: &Path) -> Result<Source, Fault> {
    let size = path.metadata().map_or(0, |meta| meta.len());
    if size > read::MOST_BYTES as u64 {
        let most = read::MOST_BYTES >> 20;
        return Err(fault(name, format!("a file of a pack may have up to {most} MiB, this one has {size} bytes")));
    }
    match std::fs::read(path).map(String::from_utf8) {
        Ok(Ok(text)) => Ok(Source::new(name.display().to_string(), text)),
        Ok(Err(error)) => {
            let at = error.utf8_error().valid_up_to();
            let good = String::from_utf8_lossy(&error.as_bytes()[..at]).into_owned();
            let end = good.len();
            let source = Source::new(name.display().to_string(), good);
            Err(source.fault(end..end, Weight::Mistake, "the file is not UTF-8 text from here on"))
        }
        Err(error) => Err(fault(name, format!("the file can't be read: {error}"))),
    }
}

fn fault(name: &Path, message: impl Into<String>) -> Fault {
    Source::new(name.display().to_string(), "").fault(0..0, Weight::Mistake, message)
}

fn is_hidden(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name.to_string_lossy().starts_with(['.', '~']))
}

fn paths(folder: &Path, depth: u32) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut all: Vec<PathBuf> = entries.filter_map(Result::ok).map(|entry| entry.path()).collect();
    all.sort();
    let inside = |path: PathBuf| match path.is_dir() {
        true if depth > 1 && !path.is_symlink() => paths(&path, depth - 1),
        false if path.extension().is_some_and(|end| end == "toml") => vec![path],
        // What an open program keeps beside a spreadsheet is none.
        false if sheets::kind_of(&path.to_string_lossy()).is_some() && !is_hidden(&path) => vec![path],
        _ => Vec::new(),
    };
    all.into_iter().flat_map(inside).collect()
}
