//! The README: its table of commands is made from their definitions, and each of its examples is what the program prints.
use super::{program::bot, transcripts::accepts};
use pipwright_bot::commands::ALL;
use std::path::{Path, PathBuf};
use std::process::Command;

const ASKS: &str = "$ cargo run --release -- ask \"";
const BEGIN: &str = "<!-- commands: made from their definitions -->\n";
const END: &str = "<!-- end of commands -->";

fn path() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md")
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

/// The page as it should be: the table between its marks, and below each example what it prints.
fn renewed(page: &str) -> String {
    let (before, rest) = page.split_once(BEGIN).expect("the mark before the table");
    let (_, after) = rest.split_once(END).expect("the mark behind the table");
    let page = format!("{before}{BEGIN}{}{END}{after}", table());
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
    assert!(examples >= 5, "the README shows too little: {examples} examples");
    out
}

#[test]
fn the_readme_says_what_the_program_does() {
    let page = std::fs::read_to_string(path()).expect("a README");
    let renewed = renewed(&page);
    if accepts() {
        std::fs::write(path(), renewed).expect("a writable README");
        return;
    }
    let differs = page.lines().zip(renewed.lines()).find(|(old, new)| old != new);
    assert!(page == renewed, "the README is not what the program says: {differs:?}");
}
