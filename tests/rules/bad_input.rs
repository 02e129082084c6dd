//! Files that are bad on purpose: each is refused with its reason, and the other packs are there all the same.
use pipwright_shared::packs;
use pipwright_shared::rules::{PackCatalog, fault::Fault};
use std::fs;
use std::path::Path;

/// The sound pack under an id, in a folder of its own.
fn sound(folder: &Path, id: &str) {
    let folder = folder.join(id);
    fs::create_dir_all(&folder).expect("a folder");
    for file in packs::starter(id) {
        fs::write(folder.join(&file.name), &file.text).expect("written");
    }
}

/// Loads a folder with a sound pack and one that `spoil` makes bad: the bad one is told of and the others are there.
fn refused(spoil: impl Fn(&Path)) -> Vec<Fault> {
    let folder = tempfile::tempdir().expect("a folder");
    sound(folder.path(), "good-club");
    sound(folder.path(), "bad-club");
    let (before, faults) = PackCatalog::load(folder.path(), &PackCatalog::demo());
    assert!(faults.is_empty(), "{faults:?}");
    let old = before.pack(Some("bad-club")).expect("there").hash.clone();
    spoil(&folder.path().join("bad-club"));
    let (books, faults) = PackCatalog::load(folder.path(), &before);
    let ids: Vec<&str> = books.packs().iter().map(|pack| pack.named.id.as_str()).collect();
    assert!(ids.contains(&"good-club"), "{ids:?}");
    assert_eq!(books.packs().len(), PackCatalog::demo().packs().len() + 2, "{ids:?}");
    assert_eq!(books.pack(Some("bad-club")).expect("the old one").hash, old, "the old pack stays");
    assert!(!faults.is_empty(), "nothing is said of it");
    // And without an old one the bad pack alone is not there.
    let (fresh, _) = PackCatalog::load(folder.path(), &PackCatalog::demo());
    assert!(fresh.pack(Some("good-club")).is_ok() && fresh.packs().len() <= books.packs().len());
    faults
}

fn rewrite(folder: &Path, name: &str, change: impl Fn(String) -> Vec<u8>) {
    let path = folder.join(name);
    let text = fs::read_to_string(&path).expect("text");
    fs::write(path, change(text)).expect("written");
}

fn replaced(name: &'static str, was: &'static str, is: &'static str) -> Vec<Fault> {
    refused(|folder| {
        rewrite(folder, name, |text| {
            assert!(text.contains(was), "{was}");
            text.replacen(was, is, 1).into_bytes()
        });
    })
}

#[track_caller]
fn says(faults: &[Fault], file: &str, line: u32, words: &str) {
    let told = faults.iter().any(|fault| fault.file == file && fault.line == line && fault.message.contains(words));
    assert!(told, "{faults:?}");
}

#[test]
fn ten_mebibytes() {
    let faults = refused(|folder| {
        rewrite(folder, "units.toml", |text| (text + "# " + &"x".repeat(10 << 20)).into_bytes());
    });
    says(&faults, "bad-club/units.toml", 1, "a file of a pack may have up to 4 MiB, this one has 104");
}

#[test]
fn nested_a_hundred_thousand_times() {
    let deep = |open: &str, close: &str| format!("\nbomb = {}1{}\n", open.repeat(100_000), close.repeat(100_000));
    for bomb in [deep("[", "]"), deep("{ a = ", " }"), format!("\n[{}b]\n", "a.".repeat(100_000))] {
        let faults = refused(|folder| rewrite(folder, "rules.toml", |text| (text + &bomb).into_bytes()));
        assert!(faults.iter().all(|fault| fault.file == "bad-club/rules.toml" && fault.line >= 130), "{faults:?}");
    }
}

#[test]
fn a_ring_of_requirements() {
    let faults =
        replaced("units.toml", "id = \"ladder-hands\"", "id = \"ladder-hands\"\nneeds_unit = \"ladder-hands\"");
    says(&faults, "bad-club/units.toml", 21, "units require each other in a ring: ladder-hands → ladder-hands");
}

#[test]
fn one_id_twice() {
    let faults = replaced("units.toml", "id = \"terrace-wardens\"", "id = \"ladder-hands\"");
    says(&faults, "bad-club/units.toml", 39, "\"ladder-hands\" is here twice");
}

#[test]
fn negative_points() {
    let faults = replaced("units.toml", "points = 40", "points = -40");
    says(&faults, "bad-club/units.toml", 25, "this should be a whole number from 0 to 100000");
}

#[test]
fn no_utf_8() {
    let faults = refused(|folder| {
        rewrite(folder, "units.toml", |text| {
            let mut bytes = text.into_bytes();
            let at = bytes.windows(6).position(|word| word == b"Ladder").expect("a label");
            bytes[at] = 0xff;
            bytes
        });
    });
    says(&faults, "bad-club/units.toml", 21, "the file is not UTF-8 text from here on");
}

#[test]
fn a_path_that_leads_outside() {
    let outside = tempfile::tempdir().expect("a folder");
    sound(outside.path(), "bad-club");
    let faults = refused(|folder| {
        fs::remove_file(folder.join("units.toml")).expect("removed");
        let secret = outside.path().join("bad-club/units.toml");
        std::os::unix::fs::symlink(secret, folder.join("units.toml")).expect("a link");
    });
    says(&faults, "bad-club/units.toml", 1, "the file is outside the folder of packs, or a broken link: not read");
}

#[test]
fn a_file_of_no_pack() {
    let faults = replaced("units.toml", "pack = \"bad-club\"\n", "");
    says(&faults, "bad-club/units.toml", 1, "\"pack\" is missing here");
}
