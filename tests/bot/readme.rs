//! The README and the page of examples: the table of commands is made from their definitions, each example is what the program
//! prints, and the README stays short.
use super::{conversations::accepts, program::bot};
use pipwright_bot::commands::ALL;
use std::path::{Path, PathBuf};
use std::process::Command;

const ASKS: &str = "$ cargo run --release -- ask \"";
const BEGIN: &str = "<!-- commands: made from their definitions -->\n";
const END: &str = "<!-- end of commands -->";

/// The README, with the table, and the page of examples.
const PAGES: [(&str, usize); 2] = [("README.md", 1), ("bot/EXAMPLES.md", 10)];
/// A longer README is read by nobody.
const LONGEST: usize = 200;

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").join(name)
}

/// What the program prints: the answer, or on stderr why there is none.
fn printed(message: &str) -> String {
    let mut command = Command::new(bot());
    command.env_clear().env("COLUMNS", "72").args(["ask", message]);
    let output = command.output().expect("the bot runs");
    let text = if output.status.success() { output.stdout } else { output.stderr };
    String::from_utf8(text).expect("text").trim_end().to_owned()
}

fn table() -> String {
    let row = |name: &str, about: &str| format!("| `/{name}` | {about} |\n");
    let rows: String = ALL.iter().map(|command| row(command.name, command.about)).collect();
    format!("\n| command | question it settles |\n| --- | --- |\n{rows}\n")
}

/// The page as it should be: the table between its marks, where it has them, and below each example what it prints.
fn renewed(page: &str, least: usize) -> String {
    let page = page.split_once(BEGIN).map_or_else(
        || page.to_owned(),
        |(before, rest)| {
            let (_, after) = rest.split_once(END).expect("the mark behind the table");
            format!("{before}{BEGIN}{}{END}{after}", table())
        },
    );
    let (mut out, mut skipping, mut examples) = (String::new(), false, 0);
    for line in page.lines() {
        if line.starts_with("```") {
            skipping = false;
        }
        if !skipping {
            out.push_str(&format!("{line}\n"));
        }
        if let Some(message) = line.strip_prefix(ASKS).and_then(|rest| rest.strip_suffix('"')) {
            out.push_str(&format!("{}\n", printed(message)));
            (skipping, examples) = (true, examples + 1);
        }
    }
    assert!(examples >= least, "too little is shown: {examples} examples");
    out
}

#[test]
fn the_pages_say_what_the_program_does() {
    for (name, least) in PAGES {
        let page = std::fs::read_to_string(path(name)).expect("a page");
        assert_eq!(page.contains(BEGIN), name == "README.md", "the table stands in the README");
        let renewed = renewed(&page, least);
        if accepts() {
            std::fs::write(path(name), renewed).expect("a writable page");
            continue;
        }
        let differs = page.lines().zip(renewed.lines()).find(|(old, new)| old != new);
        assert!(page == renewed, "{name} is not what the program says: {differs:?}");
    }
}

/// It is short, and what it shows and leads to is there.
#[test]
fn the_readme_is_short_and_leads_somewhere() {
    let page = std::fs::read_to_string(path("README.md")).expect("a README");
    assert!(page.lines().count() <= LONGEST, "{} lines", page.lines().count());
    let links = page.split("](").skip(1).map(|rest| rest.split_once(')').expect("an end").0);
    let links: Vec<&str> = links.filter(|link| !link.starts_with("http")).collect();
    assert!(links.iter().filter(|link| link.ends_with(".png")).count() == 2, "{links:?}");
    for link in links {
        assert!(path(link).is_file(), "{link} is not there");
    }
}
