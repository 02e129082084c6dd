//! `pipwright-api book …`: unit books as spreadsheets.
use pipwright_shared::rules::{
    PackCatalog,
    fault::{Fault, Source},
    files,
    sheets::{self, Grid},
};
use std::{
    fs,
    io::{self, Write},
    path::{Path, PathBuf},
};

/// What the command line says.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    #[command(subcommand)]
    job: Job,
}

#[derive(Debug, clap::Subcommand)]
enum Job {
    /// Write a spreadsheet to fill in, with a column for everything and drop-downs of the pack's own words.
    Template {
        /// A pack by its name, or the folder of one.
        pack: String,
        /// The file to write: .xlsx.
        #[arg(value_name = "OUT.xlsx")]
        out: PathBuf,
    },
    /// Write the units, weapons and options of a pack.
    Export {
        /// A pack by its name, or the folder of one.
        pack: String,
        /// The file to write: .xlsx, or a folder for one .csv file a sheet.
        #[arg(value_name = "OUT")]
        out: PathBuf,
    },
    /// Make a unit book of spreadsheets: units.toml of a pack's folder.
    Import {
        /// The spreadsheets: .xlsx, .ods or .csv.
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
        /// The pack that it is for, by its name or its folder; without it, the one whose rules lie beside the first file.
        #[arg(long)]
        pack: Option<String>,
        /// The file to write; without it, the book is printed.
        #[arg(long, value_name = "OUT.toml")]
        out: Option<PathBuf>,
    },
}

/// Does it; the exit status: 0 where all went well, 1 where something is wrong in the files.
///
/// # Errors
/// Those of reading and writing files.
pub fn run(arguments: &Arguments, out: &mut dyn Write) -> io::Result<u8> {
    match &arguments.job {
        Job::Template { pack, out: file } => {
            let Some(files) = files_of(pack, out)? else { return Ok(1) };
            write_file(file, &sheets::xlsx_template(&files).map_err(io::Error::other)?, out)
        }
        Job::Export { pack, out: file } => {
            let Some(files) = files_of(pack, out)? else { return Ok(1) };
            let grids = sheets::grids(&files);
            if file.extension().is_some_and(|end| end.eq_ignore_ascii_case("xlsx")) {
                return write_file(file, &sheets::xlsx(&grids, &files).map_err(io::Error::other)?, out);
            }
            if file.extension().is_some() {
                writeln!(
                    out,
                    "A book is written as .xlsx, or into a folder as .csv files; {} is neither.",
                    file.display()
                )?;
                return Ok(1);
            }
            fs::create_dir_all(file)?;
            let filled = |grid: &&Grid| grid.cells.keys().any(|(row, _)| *row > 0);
            for grid in grids.iter().filter(filled) {
                let name = format!("{}.csv", grid.name.as_deref().unwrap_or("book").to_lowercase());
                write_file(&file.join(name), sheets::csv_text(grid)?.as_bytes(), out)?;
            }
            Ok(0)
        }
        Job::Import { files, pack, out: file } => import(files, pack.as_deref(), file.as_deref(), out),
    }
}

fn import(paths: &[PathBuf], pack: Option<&str>, file: Option<&Path>, out: &mut dyn Write) -> io::Result<u8> {
    let beside = paths.first().and_then(|path| path.parent()).filter(|folder| *folder != Path::new(""));
    let beside = beside.unwrap_or(Path::new(".")).display().to_string();
    let Some(rules) = files_of(pack.unwrap_or(&beside), out)? else { return Ok(1) };
    let (mut found, mut faults) = (Vec::new(), Vec::new());
    for path in paths {
        match files::sheets_of(path, path) {
            Ok(sheet) => found.push(sheet),
            Err(fault) => faults.push(fault),
        }
    }
    if !faults.is_empty() {
        return tell(&faults, out);
    }
    match files::book_of(&PackCatalog::demo(), &rules, &rules, &found, None) {
        Err(faults) => tell(&faults, out),
        Ok(imported) => match file {
            Some(file) => {
                tell(&imported.warnings, out)?;
                write_file(file, imported.book.text.as_bytes(), out)
            }
            None => out.write_all(imported.book.text.as_bytes()).map(|()| 0),
        },
    }
}

/// The files of a pack that is built in, or lies in a folder; nothing where something is wrong with them, which is told.
fn files_of(pack: &str, out: &mut dyn Write) -> io::Result<Option<Vec<Source>>> {
    let (folder, catalog) = (Path::new(pack), PackCatalog::demo());
    if !folder.is_dir() {
        return Ok(match catalog.pack(Some(pack)) {
            Ok(pack) => Some(pack.files.to_vec()),
            Err(_) => {
                let names: Vec<&str> = catalog.packs().iter().map(|pack| pack.named.id.as_str()).collect();
                writeln!(out, "{pack} is no folder and no pack that is built in; those are {}.", names.join(", "))?;
                None
            }
        });
    }
    let mut faults = Vec::new();
    let mut sources = files::of_folder(folder, &catalog, &mut faults);
    // Spreadsheets that lie there have been made a book already, which is no part of the rules.
    sources.retain(|source| sheets::kind_of(&source.name).is_none());
    faults.retain(|fault| sheets::kind_of(&fault.file).is_none());
    if !faults.is_empty() {
        tell(&faults, out)?;
        return Ok(None);
    }
    if sources.is_empty() {
        writeln!(out, "There is no .toml file in {pack}: the rules of a pack say which columns its book has.")?;
        return Ok(None);
    }
    Ok(Some(sources))
}

fn tell(faults: &[Fault], out: &mut dyn Write) -> io::Result<u8> {
    for fault in faults {
        writeln!(out, "{fault}")?;
    }
    Ok(1)
}

fn write_file(path: &Path, bytes: &[u8], out: &mut dyn Write) -> io::Result<u8> {
    fs::write(path, bytes)?;
    writeln!(out, "written: {}", path.display())?;
    Ok(0)
}
