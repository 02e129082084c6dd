//! The packs as they were last read, and reading them again when they change.
use crate::state::App;
use pipwright_shared::rules::{PackCatalog, fault::Fault, model::Pack};
use std::{
    fs,
    path::{Path, PathBuf},
    sync::Arc,
    time::{Duration, SystemTime},
};
use tokio::{task::spawn_blocking, time::interval};

/// How often the folder is looked at.
const LOOK: Duration = Duration::from_secs(1);

/// The catalog and how many times it was read: a spelling means something only with the catalog it was read with.
pub struct PackStore {
    /// The packs.
    pub catalog: PackCatalog,
    /// Counts up with every reading.
    pub generation: u64,
    /// What was wrong in the folder when it was last read.
    pub faults: Vec<Fault>,
    /// How the folder was, just before it was read.
    marks: Vec<Mark>,
}

impl PackStore {
    /// The packs that the program brings, and those of the folder.
    pub fn new(folder: Option<&Path>) -> Self {
        let catalog = PackCatalog::demo();
        match folder {
            Some(folder) => Self::read(folder, &catalog, 1),
            None => Self { catalog, generation: 1, faults: Vec::new(), marks: Vec::new() },
        }
    }

    /// A bad file is reported, and what it should replace stays.
    fn read(folder: &Path, before: &PackCatalog, generation: u64) -> Self {
        let marks = marks(folder, 2);
        let (catalog, faults) = PackCatalog::load(folder, before);
        faults.iter().for_each(|fault: &Fault| tracing::warn!("pack file: {fault}"));
        tracing::info!(packs = catalog.packs().len(), faults = faults.len(), "packs read");
        Self { catalog, generation, faults, marks }
    }
}

/// Reads the packs again. Requests that are in work finish with the old ones.
pub async fn reread(app: &App) {
    let Some(folder) = app.config.packs.clone() else { return };
    let _alone = app.reading.lock().await;
    let before = app.pack_store.load_full();
    // The task fails only where reading panics; then, too, the old packs stay.
    if let Ok(pack_store) =
        spawn_blocking(move || PackStore::read(&folder, &before.catalog, before.generation + 1)).await
    {
        app.metrics.catalog(pack_store.generation);
        // Whoever has pinned what a pack was goes on playing by it.
        let is_new = |pack: &&Arc<Pack>| !pack_store.catalog.packs().iter().any(|other| other.hash == pack.hash);
        for old in app.pack_store.load().catalog.packs().iter().filter(is_new) {
            app.kept.keep_on(app, old);
        }
        app.pack_store.store(Arc::new(pack_store));
    }
}

/// Reads the packs again whenever the folder has changed and then been still for a moment.
pub async fn watch(app: App) {
    app.metrics.catalog(app.pack_store.load().generation);
    let Some(folder) = app.config.packs.clone() else { return };
    let look = || {
        let folder = folder.clone();
        async { spawn_blocking(move || marks(&folder, 2)).await.unwrap_or_default() }
    };
    let mut ticks = interval(LOOK);
    let mut last = Vec::new();
    loop {
        ticks.tick().await;
        let now = look().await;
        if now != app.pack_store.load().marks && now == last {
            reread(&app).await;
        }
        last = now;
    }
}

type Mark = (PathBuf, Option<SystemTime>, u64);

/// What tells one state of the folder from another.
fn marks(folder: &Path, depth: u32) -> Vec<Mark> {
    let mut marks = Vec::new();
    for path in fs::read_dir(folder).into_iter().flatten().flatten().map(|entry| entry.path()) {
        match fs::metadata(&path) {
            Ok(meta) if meta.is_dir() && depth > 1 => marks.extend(self::marks(&path, depth - 1)),
            Ok(meta) => marks.push((path, meta.modified().ok(), meta.len())),
            Err(_) => {}
        }
    }
    marks.sort();
    marks
}
