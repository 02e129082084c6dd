//! All packs that there are: the demo packs, and those of a folder.
use super::fault::{Fault, Source, Weight};
use super::model::Pack;
use super::names::{Names, NotFound};
use super::read;
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock};

/// The packs that names are looked up in. Cheap to clone.
#[derive(Clone, Debug, Default)]
pub struct Books(Arc<Shelf>);

#[derive(Debug, Default)]
struct Shelf {
    packs: Vec<Arc<Pack>>,
    names: Names,
}

static DEMO: LazyLock<Books> = LazyLock::new(|| {
    // The demo packs are checked by the tests; one that could not be read would be missing here.
    Books::of(crate::packs::demo().iter().filter_map(|files| read::read(files).ok()).map(Arc::new).collect())
});

impl Books {
    fn of(packs: Vec<Arc<Pack>>) -> Self {
        let mut names = Names::default();
        for (at, pack) in packs.iter().enumerate() {
            let all = [pack.named.id.as_str(), pack.named.label.as_str()];
            names.add(at, &pack.named.id, all.into_iter().chain(pack.named.also.iter().map(String::as_str)));
        }
        Self(Arc::new(Shelf { packs, names }))
    }

    /// The demo packs.
    pub fn demo() -> Self {
        DEMO.clone()
    }

    /// All packs, the default one first.
    pub fn packs(&self) -> &[Arc<Pack>] {
        &self.0.packs
    }

    /// The pack that a name means; the first where nothing is said.
    ///
    /// # Errors
    /// [`NotFound`] with the closest names.
    pub fn pack(&self, name: Option<&str>) -> Result<Arc<Pack>, NotFound> {
        let at = name.map_or(Ok(0), |name| self.0.names.find(name))?;
        self.0.packs.get(at).cloned().ok_or(NotFound { ambiguous: false, closest: Vec::new() })
    }

    /// The demo packs and those of a folder: every `.toml` file in it and in its folders.
    ///
    /// Files belong together by the pack that they name. Files without a `kind` of their own are unit books for a
    /// pack that is there already; others make a pack, in place of one of the same name. A pack that can't be read
    /// stays as it was in `before`; the faults say why.
    pub fn load(folder: &Path, before: &Self) -> (Self, Vec<Fault>) {
        let mut faults = Vec::new();
        let mut groups: Vec<(String, Vec<Source>)> = Vec::new();
        for source in read_folder(folder, &mut faults) {
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
        let mut packs: Vec<Arc<Pack>> = Self::demo().packs().to_vec();
        let slot = |packs: &[Arc<Pack>], id: &str| packs.iter().position(|pack| pack.named.id == id);
        for (id, files) in groups {
            let known = slot(&packs, &id);
            let pack = match read_for(known.map(|at| &*packs[at]), files) {
                Ok(pack) => Some(Arc::new(pack)),
                Err(found) => {
                    faults.extend(found);
                    slot(before.packs(), &id).map(|at| before.packs()[at].clone())
                }
            };
            match (known, pack) {
                (Some(at), Some(pack)) => packs[at] = pack,
                (None, Some(pack)) => packs.push(pack),
                (_, None) => {}
            }
        }
        (Self::of(packs), faults)
    }

    /// Reads files of one pack, as [`Books::load`] would read them, and keeps nothing.
    ///
    /// # Errors
    /// Every mistake of the files.
    pub fn check(&self, files: Vec<Source>) -> Result<Pack, Vec<Fault>> {
        let id = files.iter().find_map(pack_of);
        let known = id.and_then(|id| self.packs().iter().find(|pack| pack.named.id == id));
        read_for(known.map(|pack| &**pack), files)
    }
}

/// Files without a `kind` are unit books for the pack that is there already; others make a pack.
fn read_for(known: Option<&Pack>, files: Vec<Source>) -> Result<Pack, Vec<Fault>> {
    match known {
        Some(pack) if !files.iter().any(has_rules) => read_with(pack, files),
        _ => read::read(&files),
    }
}

/// A pack with further unit books.
///
/// # Errors
/// Every mistake of the books.
pub fn read_with(pack: &Pack, books: Vec<Source>) -> Result<Pack, Vec<Fault>> {
    let files: Vec<Source> = pack.files.iter().cloned().chain(books).collect();
    read::read(&files)
}

/// The pack that a file says it belongs to.
fn pack_of(source: &Source) -> Option<String> {
    let (table, _) = toml::de::DeTable::parse_recoverable(&source.text);
    Some(table.get_ref().get("pack")?.get_ref().as_str()?.to_owned())
}

fn has_rules(source: &Source) -> bool {
    toml::de::DeTable::parse_recoverable(&source.text).0.get_ref().contains_key("kind")
}

/// All pack files of a folder in the order of their names.
fn read_folder(folder: &Path, faults: &mut Vec<Fault>) -> Vec<Source> {
    let fault = |name: &Path, message: String| {
        Source::new(name.display().to_string(), "").fault(0..0, Weight::Mistake, message)
    };
    let Ok(root) = folder.canonicalize() else {
        faults.push(fault(folder, "the folder of packs is not there or can't be read".to_owned()));
        return Vec::new();
    };
    let mut sources = Vec::new();
    for path in files(&root, 2) {
        let name = path.strip_prefix(&root).unwrap_or(&path).to_owned();
        // A link may lead anywhere; only what is inside the folder is read.
        if !path.canonicalize().is_ok_and(|real| real.starts_with(&root)) {
            faults.push(fault(&name, "the file is outside the folder of packs, or a broken link: not read".to_owned()));
            continue;
        }
        let size = path.metadata().map_or(0, |meta| meta.len());
        if size > read::MOST_BYTES as u64 {
            let most = read::MOST_BYTES >> 20;
            faults.push(fault(&name, format!("a file of a pack may have up to {most} MiB, this one has {size} bytes")));
            continue;
        }
        match std::fs::read(&path).map(String::from_utf8) {
            Ok(Ok(text)) => sources.push(Source::new(name.display().to_string(), text)),
            Ok(Err(error)) => {
                let at = error.utf8_error().valid_up_to();
                let good = String::from_utf8_lossy(&error.as_bytes()[..at]).into_owned();
                let end = good.len();
                let source = Source::new(name.display().to_string(), good);
                faults.push(source.fault(end..end, Weight::Mistake, "the file is not UTF-8 text from here on"));
            }
            Err(error) => faults.push(fault(&name, format!("the file can't be read: {error}"))),
        }
    }
    sources
}

fn files(folder: &Path, depth: u32) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut paths: Vec<PathBuf> = entries.filter_map(Result::ok).map(|entry| entry.path()).collect();
    paths.sort();
    let inside = |path: PathBuf| match path.is_dir() {
        true if depth > 1 && !path.is_symlink() => files(&path, depth - 1),
        false if path.extension().is_some_and(|end| end == "toml") => vec![path],
        _ => Vec::new(),
    };
    paths.into_iter().flat_map(inside).collect()
}
