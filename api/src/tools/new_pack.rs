//! `pipwright-api new-pack DIR`: a small pack with comments, to begin one's own with.
use pipwright_shared::packs;
use std::{
    fs,
    io::{self, Write},
    path::{Path, PathBuf},
};

/// What the command line says.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// The folder; it is made where it is not there, and must be empty. The pack is called like it.
    #[arg(value_name = "DIR")]
    folder: PathBuf,
}

/// Writes the pack and tells how to go on.
///
/// # Errors
/// Where the folder is not empty or can't be written.
pub fn run(arguments: &Arguments, out: &mut dyn Write) -> io::Result<()> {
    let folder = &arguments.folder;
    fs::create_dir_all(folder)?;
    if fs::read_dir(folder)?.next().is_some() {
        let what = format!("{} is not empty: a new pack needs a folder of its own", folder.display());
        return Err(io::Error::new(io::ErrorKind::AlreadyExists, what));
    }
    let id = id(folder);
    for file in packs::starter(&id) {
        fs::write(folder.join(&file.name), &file.text)?;
        writeln!(out, "written: {}", folder.join(&file.name).display())?;
    }
    let shown = folder.display();
    writeln!(out, "The pack is called {id}. Check it:  pipwright-api check {shown}")?;
    writeln!(out, "Play by it:  PIPWRIGHT_PACKS={shown} PIPWRIGHT_PACK={id} pipwright-bot")
}

/// The folder's name as the id of a pack.
fn id(folder: &Path) -> String {
    let whole = folder.canonicalize().unwrap_or_else(|_| folder.to_owned());
    let name = whole.file_name().map(|name| name.to_string_lossy().to_lowercase()).unwrap_or_default();
    let words = name.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let id: String = words.collect::<Vec<_>>().join("-").chars().take(40).collect();
    match id.trim_matches('-') {
        "" => "my-club".to_owned(),
        id => id.to_owned(),
    }
}
