//! All packs that there are: the demo packs, and those of a folder.
use super::address::{Address, AddressError};
use super::fault::{Fault, Source, Weight};
use super::files;
use super::model::Pack;
use super::names::{Names, NotFound};
use super::read;
use crate::odds::cancellation::CancellationToken;
use std::path::Path;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

/// The packs that names are looked up in. Cheap to clone.
#[derive(Clone, Debug, Default)]
pub struct PackCatalog {
    set: Arc<PackSet>,
    token: Option<CancellationToken>,
    /// What was read for a question that has several parts.
    known: Option<Known>,
    /// Packs that are named by their content.
    by_content: Option<ByContent>,
}

/// Packs that are kept by their content, so far as they are at hand: nobody waits for an answer.
pub trait ContentStore: std::fmt::Debug + Send + Sync {
    /// All packs whose hash begins so.
    fn find(&self, beginning: &str) -> Vec<Arc<Pack>>;
}

/// Packs that a question may name by their content, and notes of those that it named.
#[derive(Clone, Debug)]
pub struct ByContent {
    /// Where they are kept.
    pub store: Arc<dyn ContentStore>,
    /// What was asked for.
    pub noted: Arc<Mutex<Noted>>,
}

/// The packs that a question named by their content.
#[derive(Debug, Default)]
pub struct Noted {
    /// The hashes of those that were found.
    pub used: Vec<String>,
    /// The hashes, or beginnings of hashes, of those that are not at hand.
    pub missing: Vec<String>,
}

/// The most packs of one question that are looked for elsewhere.
pub const MOST_MISSING: usize = 8;

/// The most bytes of packs that stand on each other.
const MOST_STACK: usize = 8 << 20;
/// The most bytes of a pack that is read for one question, with what it is laid over.
const MOST_BESIDE: usize = 1 << 20;

/// Why a request has no pack.
#[derive(Clone, Debug)]
pub enum PackError {
    /// No pack bears the name.
    Unknown(NotFound),
    /// It looks like the address of a content and is none.
    Address(AddressError),
    /// Several packs begin with these digits.
    Ambiguous,
    /// The content is that of a pack of another name.
    Other {
        /// What that pack is called.
        label: String,
    },
    /// No such content is kept; the pack of this name has another one now.
    Gone {
        /// The hash of what the pack is now, where there is one of the name.
        now: Option<String>,
    },
    /// More packs are named by their content than one question may name.
    TooMany,
}

/// Files with what came of reading them.
type Known = Arc<Mutex<Vec<(Vec<Source>, Result<Arc<Pack>, Vec<Fault>>)>>>;

#[derive(Debug, Default)]
struct PackSet {
    packs: Vec<Arc<Pack>>,
    names: Names,
}

static DEMO: LazyLock<PackCatalog> = LazyLock::new(|| {
    // The demo packs are checked by the tests; one that could not be read would be missing here.
    PackCatalog::of(crate::packs::demo().iter().filter_map(|files| read::read(files).ok()).map(Arc::new).collect())
});

impl PackCatalog {
    /// These packs, the default one first.
    pub fn of(packs: Vec<Arc<Pack>>) -> Self {
        let mut names = Names::default();
        for (at, pack) in packs.iter().enumerate() {
            let all = [pack.named.id.as_str(), pack.named.label.as_str()];
            names.add(at, &pack.named.id, all.into_iter().chain(pack.named.also.iter().map(String::as_str)));
        }
        Self { set: Arc::new(PackSet { packs, names }), token: None, known: None, by_content: None }
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
        let files = self.on_base(files)?;
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

    /// Reads files that come with one question alone, over those of a pack or by themselves. What is laid over a large pack
    /// in a few letters would be read anew for each question: that is sent once instead.
    ///
    /// # Errors
    /// Every mistake of the files.
    pub fn read_beside(&self, base: Option<&Pack>, files: Vec<Source>) -> Result<Arc<Pack>, Vec<Fault>> {
        let own = files.first().cloned();
        let files: Vec<Source> = base.into_iter().flat_map(|base| base.files.iter().cloned()).chain(files).collect();
        let brought = files.len();
        let files = self.on_base(files)?;
        let laid_over = base.is_some() || files.len() > brought;
        let bytes: usize = files.iter().map(|file| file.text.len()).sum();
        match own {
            Some(own) if laid_over && bytes > MOST_BESIDE => {
                let message = format!(
                    "with what it is laid over, this has {bytes} bytes, and may have {MOST_BESIDE} in a question"
                );
                let hint = "send it once to /v1/packs, and name it by the address that is answered".to_owned();
                let fault = own.fault(0..0, Weight::Mistake, message);
                Err(vec![Fault { suggestion: Some(hint), ..fault }])
            }
            _ => self.read(files),
        }
    }

    /// The files of the pack that these are built on, and these behind them; only these where they are built on none.
    fn on_base(&self, files: Vec<Source>) -> Result<Vec<Source>, Vec<Fault>> {
        // Files of a pack that was read before have its base among them.
        let ids: Vec<Option<String>> = files.iter().map(files::pack_of).collect();
        let Some(at) = files.iter().position(|file| files::extends(file).is_some()) else { return Ok(files) };
        if ids[..at].iter().any(|id| *id != ids[at]) {
            return Ok(files);
        }
        let (base, span) = files::extends_at(&files[at]).unwrap_or_default();
        let wrong = |message: String, suggestion: Option<String>| {
            let fault = files[at].fault(span.clone(), Weight::Mistake, message);
            Err(vec![Fault { suggestion, ..fault }])
        };
        let own = ids[at].clone().unwrap_or_default();
        if own == base {
            return wrong("a pack can't be built on itself".to_owned(), Some("give it an id of its own".to_owned()));
        }
        let found = match self.pack(Some(&base)) {
            Ok(found) => found,
            Err(PackError::Unknown(error)) => {
                let close =
                    (!error.closest.is_empty()).then(|| format!("did you mean {}?", error.closest.join(" or ")));
                return wrong(format!("no pack called {base:?} is here to be built on"), close);
            }
            Err(PackError::Address(error)) => return wrong(error.to_string(), None),
            Err(_) => return wrong(format!("{base:?} is not kept here: send that pack first"), None),
        };
        if found.named.id == own || found.layers.iter().any(|layer| layer.id == own) {
            return wrong(format!("{own:?} is built on {base:?}, and that on {own:?}: this comes to no end"), None);
        }
        if found.layers.len() >= read::MOST_LAYERS {
            return wrong(format!("at most {} packs may stand on each other", read::MOST_LAYERS), None);
        }
        let bytes: usize = found.files.iter().chain(&files).map(|file| file.text.len()).sum();
        if bytes > MOST_STACK {
            return wrong(format!("packs that stand on each other may have up to {} MiB", MOST_STACK >> 20), None);
        }
        let inside = format!("{}/", found.named.id);
        let named = |file: &Source| {
            // Both may have a file of the same name, and a mistake must say in which it is.
            let name = if file.name.contains('/') { file.name.clone() } else { format!("{inside}{}", file.name) };
            let mut source = file.clone();
            source.name = name;
            source
        };
        Ok(found.files.iter().map(named).chain(files).collect())
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
        &self.set.packs
    }

    /// The same, for a question that may name packs by their content.
    #[must_use]
    pub fn with(&self, by_content: ByContent) -> Self {
        Self { by_content: Some(by_content), ..self.clone() }
    }

    /// The pack of this name or content; the first where nothing is said. A pack decides what every number means, so its
    /// name is never corrected to that of another.
    ///
    /// # Errors
    /// [`PackError`]: what hinders it, with the closest names where nothing is called so.
    pub fn pack(&self, name: Option<&str>) -> Result<Arc<Pack>, PackError> {
        let none = NotFound { ambiguous: false, closest: Vec::new() };
        let Some(name) = name else { return self.set.packs.first().cloned().ok_or(PackError::Unknown(none)) };
        if let Some(pack) = self.set.names.exact(name).and_then(|at| self.set.packs.get(at)) {
            return Ok(Arc::clone(pack));
        }
        match Address::read(name) {
            Some(address) => self.content(&address.map_err(PackError::Address)?),
            None => Err(PackError::Unknown(self.set.names.find_exact(name).err().unwrap_or(none))),
        }
    }

    /// The pack of this content: one that is here under its name, or one that is kept.
    fn content(&self, address: &Address) -> Result<Arc<Pack>, PackError> {
        let here = self.packs().iter().filter(|pack| pack.hash.starts_with(&address.hash)).cloned();
        let mut found: Vec<Arc<Pack>> = here.collect();
        let kept = self.by_content.iter().flat_map(|kept| kept.store.find(&address.hash));
        // The same content may be here and kept: what is here has a name that requests can use.
        for pack in kept {
            if !found.iter().any(|other| other.hash == pack.hash) {
                found.push(pack);
            }
        }
        let other = found.first().map(|pack| pack.named.label.clone());
        found.retain(|pack| address.is_name_of(pack));
        match (found.as_slice(), other) {
            ([pack], _) => {
                self.note(|noted| noted.used.push(pack.hash.clone()));
                Ok(Arc::clone(pack))
            }
            ([], Some(label)) => Err(PackError::Other { label }),
            ([], None) => {
                let mut too_many = false;
                self.note(|noted| match noted.missing.len() < MOST_MISSING {
                    _ if noted.missing.contains(&address.hash) => {}
                    true => noted.missing.push(address.hash.clone()),
                    false => too_many = true,
                });
                if too_many {
                    return Err(PackError::TooMany);
                }
                let now = address.name.as_deref().and_then(|name| self.set.names.exact(name));
                Err(PackError::Gone { now: now.map(|at| self.set.packs[at].hash.clone()) })
            }
            _ => Err(PackError::Ambiguous),
        }
    }

    fn note(&self, note: impl FnOnce(&mut Noted)) {
        if let Some(by_content) = &self.by_content {
            // Whoever panicked with it in hand left whole lists behind.
            note(&mut by_content.noted.lock().unwrap_or_else(PoisonError::into_inner));
        }
    }

    /// The demo packs and those of a folder: every `.toml` file in it and in its folders.
    ///
    /// Files belong together by the pack that they name. Files without a `kind` of their own are unit books for a
    /// pack that is there already; others make a pack, in place of one of the same name. A pack that can't be read
    /// stays as it was in `before`; the faults say why.
    pub fn load(folder: &Path, before: &Self) -> (Self, Vec<Fault>) {
        let mut faults = Vec::new();
        let groups = files::by_pack(files::of_folder(folder, &Self::demo(), &mut faults), &mut faults);
        let groups = files::in_order(groups, &mut faults);
        let mut packs: Vec<Arc<Pack>> = Self::demo().packs().to_vec();
        let unread: Vec<String> = faults.iter().map(|fault| fault.file.clone()).collect();
        let slot = |packs: &[Arc<Pack>], id: &str| packs.iter().position(|pack| pack.named.id == id);
        for (id, files) in groups {
            let known = slot(&packs, &id);
            let old = slot(before.packs(), &id).map(|at| &before.packs()[at]);
            // Without a file that can't be read, the others would make half a pack.
            let lacks = files::lacks(&files, old.map_or(&[], |old| &old.files), &unread);
            // What it is built on is what that is now, read before it.
            let built = files.iter().any(|file| files::extends(file).is_some());
            let catalog =
                if built { &Self { by_content: before.by_content.clone(), ..Self::of(packs.clone()) } } else { before };
            let pack = match read_for(catalog, known.map(|at| &*packs[at]), files) {
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

    /// Reads files of one pack, as [`PackCatalog::load`] would read them, and keeps nothing.
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
fn read_for(catalog: &PackCatalog, known: Option<&Pack>, files: Vec<Source>) -> Result<Arc<Pack>, Vec<Fault>> {
    match known {
        Some(pack) if !files.iter().any(files::has_rules) => catalog.read_with(pack, files),
        Some(_) => catalog.read(files),
        None => match catalog.read(files.clone()) {
            Ok(pack) if !pack.kinds.is_empty() => Ok(pack),
            _ if files.iter().all(files::is_book) => Err(files.iter().map(files::no_rules).collect()),
            read => read,
        },
    }
}
