//! How long a large unit book takes to be read from a spreadsheet: processor time, in this build.
//!
//! `cargo bench -p pipwright-shared --bench book` makes a book of 2,000 units of the first demo pack's, writes it as XLSX,
//! and reads it back ten times, from bytes to a pack that can be asked. At last it keeps what it has read, and says how much
//! memory a pack takes for each byte of its files.
#![expect(clippy::print_stdout, reason = "a benchmark prints its figures")]
use pipwright_shared::packs;
use pipwright_shared::rules::fault::Source;
use pipwright_shared::rules::read::read;
use pipwright_shared::rules::sheets::{Vocabulary, grids, import, open, xlsx};
use std::process::Command;
use std::time::Instant;

/// Units of the book.
const UNITS: usize = 2_000;
/// How often it is read.
const TIMES: u32 = 10;
/// What the project wants it to take at most, in seconds.
const REACH: f64 = 2.0;

fn main() {
    let demo = packs::demo().into_iter().next().expect("a demo pack");
    let table: toml::Table = demo[1].text.parse().expect("TOML");
    let units = table["unit"].as_array().expect("units").clone();
    let mut many = toml::Table::new();
    many.insert("weapon".to_owned(), table["weapon"].clone());
    let copies = (0..UNITS).map(|n| {
        let mut unit = units[n % units.len()].clone();
        if n >= units.len() {
            let fields = unit.as_table_mut().expect("a table");
            for key in ["id", "label"] {
                let name = fields[key].as_str().expect("text");
                let name = if key == "id" { format!("{name}-{n}") } else { format!("{name} {n}") };
                fields.insert(key.to_owned(), name.into());
            }
            ["also", "singular", "plural"].iter().for_each(|key| drop(fields.remove(*key)));
        }
        unit
    });
    many.insert("unit".to_owned(), toml::Value::Array(copies.collect()));
    let files = [demo[0].clone(), Source::new("units.toml", many.to_string())];
    let bytes = xlsx(&grids(&files), &files).expect("written");
    let words = Vocabulary::of(&demo[..1]);
    let (wall, spent) = (Instant::now(), spent());
    let mut kept = Vec::new();
    for _ in 0..TIMES {
        let sheets = open("book.xlsx", &bytes).expect("read");
        let book = import("canal-guild", &sheets, &words).unwrap_or_else(|faults| panic!("{faults:?}")).book;
        let pack = read(&[demo[0].clone(), book]).unwrap_or_else(|faults| panic!("{faults:?}"));
        kept.push(pack);
    }
    let found = kept.last().map_or(0, |pack| pack.units.len());
    let (wall, spent) = (wall.elapsed().as_secs_f64() / f64::from(TIMES), (self::spent() - spent) / f64::from(TIMES));
    println!(
        "a book of {found} units, {} KiB of XLSX: {spent:.3} s of processor time, {wall:.3} s on the clock; wanted: under {REACH} s",
        bytes.len() / 1024
    );
    assert_eq!(found, UNITS);
    // What reading leaves free is used again, so what is held is told from packs that are all kept.
    let (before, texts) = (resident(), kept[0].files.to_vec());
    let held: Vec<_> = (0..TIMES).map(|_| read(&texts).unwrap_or_else(|faults| panic!("{faults:?}"))).collect();
    let bytes: usize = texts.iter().map(|file| file.text.len()).sum();
    let each = (resident() - before) / held.len() as f64 / bytes as f64;
    println!("a pack takes about {each:.1} bytes of memory for each of the {bytes} bytes of its files");
}

/// Bytes of memory that this process holds.
fn resident() -> f64 {
    let statm = std::fs::read_to_string("/proc/self/statm").unwrap_or_default();
    let pages = statm.split_whitespace().nth(1).and_then(|pages| pages.parse::<f64>().ok());
    pages.unwrap_or(0.0) * 4096.0
}

/// Seconds of processor time that this process has spent, as the system counts them.
fn spent() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let fields: Vec<&str> = stat.rsplit(')').next().unwrap_or_default().split_whitespace().collect();
    let ticks: f64 = [11, 12].iter().filter_map(|at| fields.get(*at)?.parse::<f64>().ok()).sum();
    let each = Command::new("getconf").arg("CLK_TCK").output().ok();
    let each = each.and_then(|output| String::from_utf8(output.stdout).ok()?.trim().parse::<f64>().ok());
    ticks / each.unwrap_or(100.0)
}
