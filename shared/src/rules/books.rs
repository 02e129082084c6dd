//! All packs that there are: the demo packs, and those of a folder.
use super::fault::{Fault, Source};
use super::files;
use super::model::Pack;
use super::names::{Names, NotFound};
use super::read;
use crate::odds::cancellation::CancellationToken;
use std::path::Path;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

/// The packs that names are looked up in. Cheap to clone.
#[derive(Clone, Debug, Default)]
pub struct Books {
    shelf: Arc<Shelf>,
    token: Option<CancellationToken>,
    /// What was read for a question that has several parts.
    known: Option<Known>,
}

/// Files with what came of reading them.
type Known = Arc<Mutex<Vec<(Vec<Source>, Result<Arc<Pack>, Vec<Fault>>)>>>;

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
    /// These packs, the default one first.
    pub fn of(packs: Vec<Arc<Pack>>) -> Self {
        let mut names = Names::default();
        for (at, pack) in packs.iter().enumerate() {
            let all = [pack.named.id.as_str(), pack.named.label.as_str()];
            names.add(at, &pack.named.id, all.into_iter().chain(pack.named.also.iter().map(String::as_str)));
        }
        Self { shelf: Arc::new(Shelf { packs, names }), token: None, known: None }
    }

    /// The same, for a question that somebody waits for: what it brings is read only until the token is cancelled.
    #[must_use]
    pub fn until(&self, token: CancellationToken) -> Self {
        Self { token: Some(token), ..self.clone() }
    }

    /// The same, for a question of many parts that may all bring the same pack: it is read once.
    #[must_use]
    pub fn for_many_parts(&self) -> Self {
        Self { known: Some(Known::default()), ..self.clone() }
    }

    /// Reads the files of a pack that comes with a question.
    ///
    /// # Errors
    /// Every mistake of the files.
    pub fn read(&self, files: Vec<Source>) -> Result<Arc<Pack>, Vec<Fault>> {
        let Some(known) = &self.known else { return read::read_until(&files, self.token.clone()).map(Arc::new) };
        // Whoever panicked with it in hand left a whole list behind.
        let mut known = known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, read)) = known.iter().find(|(others, _)| *others == files) {
            return read.clone();
        }
        let read = read::read_until(&files, self.token.clone()).map(Arc::new);
        known.push((files, read.clone()));
        read
    }

    /// Reads unit books that come with a question, beside those of a pack.
    ///
    /// # Errors
    /// Every mistake of the books.
    pub fn read_with(&self, pack: &Pack, books: Vec<Source>) -> Result<Arc<Pack>, Vec<Fault>> {
        self.read(pack.files.iter().cloned().chain(books).collect())
    }

    /// The demo packs.
    pub fn demo() -> Self {
        DEMO.clone()
    }

    /// All packs, the default one first.
    pub fn packs(&self) -> &[Arc<Pack>] {
        &self.shelf.packs
    }

    /// The pack of this name; the first where nothing is said. A pack decides what every number means, so its name is
    /// never corrected to that of another.
    ///
    /// # Errors
    /// [`NotFound`] with the closest names.
    pub fn pack(&self, name: Option<&str>) -> Result<Arc<Pack>, NotFound> {
        let at = name.map_or(Ok(0), |name| self.shelf.names.find_exact(name))?;
        self.shelf.packs.get(at).cloned().ok_or(NotFound { ambiguous: false, closest: Vec::new() })
    }

    /// The demo packs and those of a folder: every `.toml` file in it and in its folders.
    ///
    /// Files belong together by the pack that they name. Files without a `kind` of their own are unit books for a
    /// pack that is there already; others make a pack, in place of one of the same name. A pack that can't be read
    /// stays as it was in `before`; the faults say why.
    pub fn load(folder: &Path, before: &Self) -> (Self, Vec<Fault>) {
        let mut faults = Vec::new();
        let groups = files::by_pack(files::of_folder(folder, &mut faults), &mut faults);
        let mut packs: Vec<Arc<Pack>> = Self::demo().packs().to_vec();
        let unread: Vec<String> = faults.iter().map(|fault| fault.file.clone()).collect();
        let slot = |packs: &[Arc<Pack>], id: &str| packs.iter().position(|pack| pack.named.id == id);
        for (id, files) in groups {
            let known = slot(&packs, &id);
            let old = slot(before.packs(), &id).map(|at| &before.packs()[at]);
            // Without a file that can't be read, the others would make half a pack.
            let lacks = files::lacks(&files, old.map_or(&[], |old| &old.files), &unread);
            let pack = match read_for(before, known.map(|at| &*packs[at]), files) {
                Ok(pack) if !lacks => Some(pack),
                Ok(_) => old.cloned(),
                Err(found) => {
                    faults.extend(found);
                    old.cloned()
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
    pub fn check(&self, files: Vec<Source>) -> Result<Arc<Pack>, Vec<Fault>> {
        let id = files.iter().find_map(files::pack_of);
        let known = id.and_then(|id| self.packs().iter().find(|pack| pack.named.id == id));
        read_for(self, known.map(|pack| &**pack), files)
    }
}

/// Files without a `kind` are unit books for the pack that is there already; others make a pack.
fn read_for(books: &Books, known: Option<&Pack>, files: Vec<Source>) -> Result<Arc<Pack>, Vec<Fault>> {
    match known {
        Some(pack) if !files.iter().any(files::has_rules) => books.read_with(pack, files),
        Some(_) => books.read(files),
        None => match books.read(files.clone()) {
            Ok(pack) if !pack.kinds.is_empty() => Ok(pack),
            _ if files.iter().all(files::is_book) => Err(files.iter().map(files::no_rules).collect()),
            read => read,
        },
    }
}
