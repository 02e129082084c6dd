//! Pack files on disk: which there are, what they hold, and which belong together.
use super::fault::{Fault, Source, Weight};
use super::read;
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
    let (table, _) = toml::de::DeTable::parse_recoverable(text);
    Some(table.get_ref().get("pack")?.get_ref().as_str()?.to_owned())
}

/// Whether a file has kinds of unit: without them it is a unit book.
pub fn has_rules(source: &Source) -> bool {
    toml::de::DeTable::parse_recoverable(&source.text).0.get_ref().contains_key("kind")
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
    errors.is_empty() && has(&["unit", "weapon"]) && !has(&["kind", "step", "procedure", "rule", "role", "stats"])
}

/// What is wrong with a unit book of a pack that nobody knows.
pub(super) fn no_rules(source: &Source) -> Fault {
    let (table, _) = toml::de::DeTable::parse_recoverable(&source.text);
    let place = table.get_ref().get("pack").map_or(0..0, toml::Spanned::span);
    let fault = source.fault(place, Weight::Mistake, "this is a unit book, and no rules of its pack are there");
    Fault { suggestion: Some("give the file of the rules too, or the folder of both".to_owned()), ..fault }
}

/// All pack files of a folder and of the folders in it, in the order of their names.
pub fn of_folder(folder: &Path, faults: &mut Vec<Fault>) -> Vec<Source> {
    let Ok(root) = folder.canonicalize() else {
        faults.push(fault(folder, "the folder of packs is not there or can't be read"));
        return Vec::new();
    };
    let mut sources = Vec::new();
    for path in paths(&root, 2) {
        let name = path.strip_prefix(&root).unwrap_or(&path).to_owned();
        // A link may lead anywhere; only what is inside the folder is read.
        if !path.canonicalize().is_ok_and(|real| real.starts_with(&root)) {
            faults.push(fault(&name, "the file is outside the folder of packs, or a broken link: not read"));
            continue;
        }
        match of_path(&path, &name) {
            Ok(source) => sources.push(source),
            Err(found) => faults.push(found),
        }
    }
    sources
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

fn paths(folder: &Path, depth: u32) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut all: Vec<PathBuf> = entries.filter_map(Result::ok).map(|entry| entry.path()).collect();
    all.sort();
    let inside = |path: PathBuf| match path.is_dir() {
        true if depth > 1 && !path.is_symlink() => paths(&path, depth - 1),
        false if path.extension().is_some_and(|end| end == "toml") => vec![path],
        _ => Vec::new(),
    };
    all.into_iter().flat_map(inside).collect()
}
