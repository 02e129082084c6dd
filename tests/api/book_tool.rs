//! `pipwright-api book`: a spreadsheet to fill in, one of a pack's units, and back.
use pipwright_tests::program::command;
use std::fs;
use std::path::Path;
use std::process::Output;

fn run(home: &Path, arguments: &[&str]) -> (Option<i32>, String) {
    let Output { status, stdout, stderr } = command().current_dir(home).args(arguments).output().expect("it runs");
    (status.code(), [stdout, stderr].map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).concat())
}

fn units(home: &Path, pack: &str) -> String {
    let (status, told) = run(home, &["check", pack]);
    assert_eq!(status, Some(0), "{told}");
    told.lines().last().expect("a line").to_owned()
}

#[test]
fn a_book_goes_out_and_comes_back_into_a_packs_folder() {
    let home = tempfile::tempdir().expect("a folder");
    let home = home.path();
    assert_eq!(run(home, &["new-pack", "hill-folk"]).0, Some(0));
    let before = units(home, "hill-folk");
    for (out, files) in [
        ("hill.xlsx", vec!["hill.xlsx"]),
        ("sheets", vec!["sheets/units.csv", "sheets/weapons.csv", "sheets/options.csv"]),
    ] {
        let (status, told) = run(home, &["book", "export", "hill-folk", out]);
        assert!(status == Some(0) && told.contains("written: "), "{told}");
        let mut arguments = vec!["book", "import"];
        arguments.extend(&files);
        arguments.extend(["--pack", "hill-folk", "--out", "units.toml"]);
        let (status, told) = run(home, &arguments);
        assert_eq!(status, Some(0), "{told}");
        fs::copy(home.join("units.toml"), home.join("hill-folk/units.toml")).expect("copied");
        assert_eq!(units(home, "hill-folk"), before, "{out}");
    }
    // Beside the rules a spreadsheet is the book.
    fs::remove_file(home.join("hill-folk/units.toml")).expect("removed");
    fs::copy(home.join("hill.xlsx"), home.join("hill-folk/book.xlsx")).expect("copied");
    assert_eq!(units(home, "hill-folk"), before);
}

#[test]
fn what_is_wrong_is_said() {
    let home = tempfile::tempdir().expect("a folder");
    let home = home.path();
    let (status, told) = run(home, &["book", "template", "canal-guild", "out.xlsx"]);
    assert!(status == Some(0) && home.join("out.xlsx").is_file(), "{told}");
    fs::write(home.join("units.csv"), "Name,Kind,Role,Points\nTollkeeper,foot,Foot,many\n").expect("written");
    for (arguments, said) in [
        (vec!["book", "export", "no-pack", "out.xlsx"], "no folder and no pack that is built in"),
        (vec!["book", "export", "canal-guild", "out.ods"], "is neither"),
        (vec!["book", "import", "units.csv"], "There is no .toml file"),
        (vec!["book", "import", "nowhere.csv", "--pack", "canal-guild"], "can't be read"),
        (vec!["book", "import", "units.csv", "--pack", "canal-guild"], "units.csv: D2: \"many\" is no number"),
    ] {
        let (status, told) = run(home, &arguments);
        assert!(status == Some(1) && told.contains(said), "{arguments:?}: {told}");
    }
}
