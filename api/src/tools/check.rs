//! `pipwright-api check FILE…`: what is wrong in the files of packs, for people, for programs and for CI.
use pipwright_shared::{
    odds::cancellation::CancellationToken,
    rules::{
        PackCatalog, check,
        fault::{Fault, Source},
        files,
    },
    wire::pack_check::{FaultForm, PackCheckAnswer},
};
use std::{
    io::{self, Write},
    path::{Path, PathBuf},
};

/// What the command line says.
#[derive(Debug, clap::Args)]
pub struct Arguments {
    /// Pack files, or folders of them.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// One JSON object a pack, as `POST /v1/packs/check` answers, each on a line.
    #[arg(long)]
    json: bool,
    /// Let warnings fail, too.
    #[arg(long)]
    strict: bool,
}

/// Checks the files and writes what it finds; the exit status: 0 where all is well, else 1.
///
/// # Errors
/// Those of writing.
pub fn run(arguments: &Arguments, out: &mut dyn Write) -> io::Result<u8> {
    let mut unread = Vec::new();
    let sources = arguments.files.iter().flat_map(|path| sources(path, &mut unread)).collect();
    let groups = files::in_order(files::by_pack(sources, &mut unread), &mut unread);
    // A pack may be built on one that stands before it here.
    let mut catalog = PackCatalog::demo();
    let mut answers: Vec<PackCheckAnswer> = Vec::new();
    for (id, files) in groups {
        let checked = check::check(&catalog, files, &CancellationToken::default());
        if let Some(pack) = &checked.pack {
            let others = catalog.packs().iter().filter(|other| other.named.id != id).cloned();
            catalog = PackCatalog::of(others.chain([pack.clone()]).collect());
        }
        answers.push(checked.into());
    }
    if !unread.is_empty() {
        let faults = unread.into_iter().map(FaultForm::from).collect();
        answers.insert(0, PackCheckAnswer { good: false, pack: None, faults });
    }
    for answer in &answers {
        if arguments.json {
            writeln!(out, "{}", serde_json::to_string(answer)?)?;
        } else {
            tell(answer, out)?;
        }
    }
    if answers.is_empty() && !arguments.json {
        writeln!(out, "There is no .toml file here.")?;
    }
    let fine = |answer: &PackCheckAnswer| answer.good && (!arguments.strict || answer.faults.is_empty());
    Ok(u8::from(answers.is_empty() || !answers.iter().all(fine)))
}

fn sources(path: &Path, unread: &mut Vec<Fault>) -> Vec<Source> {
    if path.is_dir() {
        let mut faults = Vec::new();
        let mut sources = files::of_folder(path, &PackCatalog::demo(), &mut faults);
        // A file is named as the person would open it from here.
        let named = |name: &str| path.join(name).display().to_string();
        sources.iter_mut().for_each(|source| source.name = named(&source.name));
        faults.iter_mut().for_each(|fault| fault.file = named(&fault.file));
        unread.append(&mut faults);
        return sources;
    }
    files::of_path(path, path).map_err(|fault| unread.push(fault)).ok().into_iter().collect()
}

/// For people: file by file, each fault with its line and column, the words there, and what would mend it.
fn tell(answer: &PackCheckAnswer, out: &mut dyn Write) -> io::Result<()> {
    let mut file = "";
    for fault in &answer.faults {
        if fault.file != file {
            file = &fault.file;
            writeln!(out, "{file}")?;
        }
        let sort = if fault.warning { "warning" } else { "mistake" };
        let words = if fault.words.is_empty() { String::new() } else { format!(" at {}", fault.words) };
        let place = fault.cell.clone().unwrap_or_else(|| format!("{}:{}", fault.line, fault.column));
        writeln!(out, "  {place:>9}  {sort}{words}")?;
        writeln!(out, "             {}", fault.message)?;
        if let Some(hint) = &fault.suggestion {
            writeln!(out, "             → {hint}")?;
        }
    }
    let warnings = answer.faults.iter().filter(|fault| fault.warning).count();
    let counts = [(answer.faults.len() - warnings, "mistake"), (warnings, "warning")];
    let counts: Vec<String> = counts.iter().filter(|(n, _)| *n > 0).map(|(n, what)| counted(*n, what)).collect();
    let found = if counts.is_empty() { "nothing to mend".to_owned() } else { counts.join(" and ") };
    match &answer.pack {
        Some(pack) => writeln!(out, "{}: {}, {found}.", pack.name, counted(pack.unit_count, "unit")),
        None => writeln!(out, "Not to be used: {found}."),
    }
}

fn counted(number: usize, what: &str) -> String {
    if number == 1 { format!("1 {what}") } else { format!("{number} {what}s") }
}
