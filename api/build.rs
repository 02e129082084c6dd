//! Names the engine by its sources, so that no cache serves what another version computed.
use std::{
    collections::BTreeSet,
    env, fs,
    hash::{DefaultHasher, Hash, Hasher},
    io,
    path::{Path, PathBuf},
};

fn main() -> io::Result<()> {
    let manifest = env::var("CARGO_MANIFEST_DIR").map_err(io::Error::other)?;
    let sources = Path::new(&manifest).join("../shared/src");
    // `DefaultHasher::new` has fixed keys: equal sources give equal names on every machine with the same compiler.
    let mut hasher = DefaultHasher::new();
    for file in files(&sources)? {
        file.strip_prefix(&sources).map_err(io::Error::other)?.hash(&mut hasher);
        fs::read(&file)?.hash(&mut hasher);
    }
    let name = hasher.finish();
    emit(&format!("cargo::rustc-env=PIPWRIGHT_ENGINE={name:016x}"));
    emit(&format!("cargo::rerun-if-changed={}", sources.display()));
    Ok(())
}

fn files(folder: &Path) -> io::Result<BTreeSet<PathBuf>> {
    let mut all = BTreeSet::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() {
            all.extend(files(&path)?);
        } else {
            all.insert(path);
        }
    }
    Ok(all)
}

fn emit(line: &str) {
    println!("{line}");
}
