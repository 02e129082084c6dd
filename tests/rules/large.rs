//! A unit book of 2,000 units: how long it takes to read and how much memory it adds.
use pipwright_shared::packs;
use pipwright_shared::rules::PackCatalog;
use pipwright_tests::{program::Program, spent::on_processor};
use std::fmt::Write;
use std::fs;
use std::path::Path;

const UNITS: usize = 2_000;
const MOST_MIB: f64 = 64.0;

/// Units with options and weapons of their own, each a little unlike the others.
fn book() -> String {
    let mut text = "format = 1\npack = \"our-club\"\n".to_owned();
    for at in 0..UNITS {
        let (girth, points, throws) = (3 + at % 2, 30 + at % 70, 1 + at % 4);
        let role = if at % 2 == 0 { "growers" } else { "helpers" };
        write!(
            text,
            r#"
[[weapon]]
id = "tool-{at}"
label = "tool number {at}"
stats = {{ lobs = {throws}, heft = {girth} }}
reach = 12
rules = ["windfall"]

[[unit]]
id = "crew-{at}"
label = "Crew number {at}"
also = ["the people of terrace {at}"]
text = "They keep terrace number {at} and what grows on it."
kind = "folk"
role = "{role}"
models = {{ least = 3, most = 12 }}
points = {points}
each_more = 7
stats = {{ eye = "4+", girth = {girth}, smock = 1, calm = 8 }}
rules = ["hedge-born"]
weapons = ["tool-{at}", "apple-sling"]
[[unit.option]]
id = "baskets-{at}"
label = "Baskets of terrace {at}"
points = 6
per = "weapon"
most = {{ per_models = 4 }}
weapons = ["pear-basket"]
replaces = "apple-sling"
"#
        )
        .expect("written");
    }
    text
}

fn write_pack(folder: &Path) {
    for file in packs::starter("our-club") {
        fs::write(folder.join(&file.name), &file.text).expect("written");
    }
}

/// Resident memory of the service with these settings, in MiB, as the kernel counts it once the packs are read.
fn resident(settings: &[(&str, &str)]) -> f64 {
    let program = Program::start(settings);
    // It listens before it has read its packs, and answers when it has.
    let ready = reqwest::blocking::get(format!("{}/readyz", program.address)).expect("a response");
    assert_eq!(ready.text().expect("text"), "ready\n");
    let status = fs::read_to_string(format!("/proc/{}/status", program.id())).expect("a status");
    let line = status.lines().find(|line| line.starts_with("VmRSS:")).expect("a line");
    let kib: f64 = line.split_whitespace().nth(1).and_then(|kib| kib.parse().ok()).expect("a number");
    kib / 1024.0
}

#[test]
fn two_thousand_units_load_quickly_and_add_little() {
    let folder = tempfile::tempdir().expect("a folder");
    write_pack(folder.path());
    let settings = [("PIPWRIGHT_PACKS", folder.path().to_str().expect("text"))];
    let small = resident(&settings);
    let text = book();
    fs::write(folder.path().join("many.toml"), &text).expect("written");
    let before = on_processor("thread-self");
    let (books, faults) = PackCatalog::load(folder.path(), &PackCatalog::demo());
    let took = on_processor("thread-self") - before;
    assert!(faults.is_empty(), "{faults:?}");
    let pack = books.pack(Some("our-club")).expect("the pack");
    assert_eq!(pack.units.len(), UNITS + 2);
    assert!(pack.find.units.find("crew 1999").is_ok());
    let large = resident(&settings);
    let added = large - small;
    // The target is a second; what is built without optimising takes some more. The processor's time is judged.
    println!("{UNITS} units, {} KiB of text: {} ms to load, {added:.1} MiB more", text.len() >> 10, took.as_millis());
    assert!(took.as_secs() < 20, "{took:?}");
    assert!(added < MOST_MIB, "{added:.1} MiB more");
    assert!(added > 0.5, "{added:.1} MiB: the books were not read");
}
