//! What the program does besides serving: it checks pack files and begins new packs. And the guide that leads through it.
use pipwright_tests::program::{Program, command};
use pipwright_tests::service::Service;
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Stdio;
use std::{thread, time::Duration};

/// Runs the program; its exit status and what it wrote.
fn run(arguments: &[&str]) -> (i32, String, String) {
    let output = command().args(arguments).output().expect("it runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("text");
    (output.status.code().expect("a status"), text(output.stdout), text(output.stderr))
}

fn text(path: &Path) -> &str {
    path.to_str().expect("a path in UTF-8")
}

#[test]
fn a_new_pack_has_nothing_to_mend_and_takes_an_empty_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let pack = folder.path().join("Terrace Club");
    let (status, out, _) = run(&["new-pack", text(&pack)]);
    assert_eq!(status, 0);
    assert!(out.contains("The pack is called terrace-club."), "{out}");
    let (status, out, _) = run(&["check", "--strict", text(&pack)]);
    assert_eq!((status, out.as_str()), (0, "Terrace Club: 2 units, nothing to mend.\n"));
    let (status, _, err) = run(&["new-pack", text(&pack)]);
    assert!(status == 1 && err.contains("is not empty"), "{err}");
}

#[test]
fn a_check_tells_people_programs_and_ci() {
    let folder = tempfile::tempdir().expect("a folder");
    let pack = folder.path().join("ours");
    assert_eq!(run(&["new-pack", text(&pack)]).0, 0);
    let units = pack.join("units.toml");
    let sound = fs::read_to_string(&units).expect("text");
    let spoil = |was: &str, is: &str| {
        assert!(sound.contains(was));
        fs::write(&units, sound.replacen(was, is, 1)).expect("written");
    };
    spoil("girth = 3", "grith = 3");
    let (status, out, _) = run(&["check", text(&pack)]);
    assert_eq!(status, 1, "{out}");
    let told = "      27:23  mistake at grith\n             no stat is called \"grith\" here\n             → did you mean \"girth\"?\n";
    assert!(out.starts_with(&format!("{}\n", units.display())) && out.contains(told), "{out}");
    assert!(out.ends_with("Not to be used: 2 mistakes.\n"), "{out}");
    let (status, out, _) = run(&["check", "--json", text(&pack.join("rules.toml")), text(&units)]);
    let answer: Value = serde_json::from_str(&out).expect("a JSON object on one line");
    assert_eq!((status, answer["good"].as_bool()), (1, Some(false)));
    let fault = &answer["faults"][1];
    assert_eq!((fault["line"].as_u64(), fault["column"].as_u64()), (Some(27), Some(23)), "{answer}");
    assert_eq!(fault["words"], "grith");

    spoil("each_more = 14", "each_more = 14\nmost = 5");
    assert_eq!(run(&["check", text(&pack)]).0, 0, "a warning does no harm");
    let (status, out, _) = run(&["check", "--strict", text(&pack)]);
    assert!(status == 1 && out.contains("warning at most") && out.ends_with("2 units, 1 warning.\n"), "{out}");

    let (status, out, _) = run(&["check", text(&pack.join("no-such-file.toml"))]);
    assert!(status == 1 && out.contains("the file can't be read"), "{out}");
    assert_eq!(run(&["check"]).0, 2, "nothing to check is a slip of the command line");
}

#[tokio::test]
async fn the_schema_is_served_and_in_the_contract() {
    let service = Service::plain().await;
    let response = service.get("/packs.schema.json").await;
    assert_eq!(response.headers()["content-type"], "application/schema+json");
    let schema: Value = response.json().await.expect("JSON");
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    let contract: Value = service.get("/openapi.json").await.json().await.expect("JSON");
    assert!(contract["paths"]["/packs.schema.json"]["get"].is_object());
}

#[test]
fn a_bad_file_keeps_the_old_pack_and_is_told_in_readiness_and_log() {
    let folder = tempfile::tempdir().expect("a folder");
    let pack = folder.path().join("ours");
    assert_eq!(run(&["new-pack", text(&pack)]).0, 0);
    let log = folder.path().join("log.txt");
    let to = Stdio::from(fs::File::create(&log).expect("a file"));
    let program = Program::start_with(&[("PIPWRIGHT_PACKS", text(&pack))], to);
    let get = |path: &str| {
        let response = reqwest::blocking::get(format!("{}{path}", program.address)).expect("a response");
        (response.status().as_u16(), response.text().expect("text"))
    };
    assert_eq!(get("/readyz"), (200, "ready\n".to_owned()));
    let before = get("/v1/packs/ours/units");
    assert_eq!(before.0, 200);
    let units = pack.join("units.toml");
    let sound = fs::read_to_string(&units).expect("text");
    fs::write(&units, sound.replace("points = 45", "points = -45")).expect("written");
    program.signal("-HUP");
    let told = "units.toml:45:10: this should be a whole number from 0 to 100000";
    let until = |wanted: &dyn Fn(&str) -> bool| {
        for _ in 0..100 {
            let (status, body) = get("/readyz");
            assert_eq!(status, 200, "a bad file is no reason to send nobody");
            if wanted(&body) {
                return;
            }
            thread::sleep(Duration::from_millis(100));
        }
        panic!("not told: {}", get("/readyz").1);
    };
    until(&|body| body == format!("ready\npack file: {told}\n"));
    assert_eq!(get("/v1/packs/ours/units"), before, "the old pack stays");
    assert!(fs::read_to_string(&log).expect("a log").contains(told));
    // A file that is mended is read without a signal.
    fs::write(&units, sound).expect("written");
    until(&|body| body == "ready\n");
}

/// What stands in the guide to packs between the heading of the guide and the next one.
fn guide() -> String {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../api/PACKS.md");
    let page = fs::read_to_string(page).expect("a guide");
    let (_, rest) = page.split_once("\n## Write your own rules\n").expect("the guide");
    rest.split_once("\n## ").expect("something behind it").0.to_owned()
}

/// What the guide has between ```` ```toml ```` and the end of the block.
fn blocks(guide: &str) -> Vec<&str> {
    guide.split("```toml\n").skip(1).map(|rest| rest.split_once("```").expect("the end of a block").0).collect()
}

/// The command in the guide that begins so, its words taken apart.
fn line<'a>(guide: &'a str, begin: &str) -> Vec<&'a str> {
    let found = guide.lines().find_map(|line| line.trim().strip_prefix(begin));
    found.unwrap_or_else(|| panic!("the guide has no line {begin}")).split_whitespace().collect()
}

#[test]
fn the_guide_followed_to_the_letter_gives_a_pack_that_answers() {
    let guide = guide();
    let home = tempfile::tempdir().expect("a folder");
    let api = "cargo run --release -p pipwright-api -- ";
    let here = |arguments: &[&str]| {
        let output = command().current_dir(home.path()).args(arguments).output().expect("it runs");
        let told = String::from_utf8(output.stdout).expect("text");
        assert!(output.status.success(), "{arguments:?}: {told}{}", String::from_utf8_lossy(&output.stderr));
        told
    };
    let new = line(&guide, &format!("{api}new-pack "));
    here(&["new-pack", new[0]]);
    let pack = home.path().join(new[0]);
    let [rule, unit] = blocks(&guide)[..] else { panic!("the guide adds a rule and a unit") };
    for (name, block) in [("rules.toml", rule), ("units.toml", unit)] {
        let path = pack.join(name);
        let text = fs::read_to_string(&path).expect("text");
        fs::write(path, format!("{text}\n{block}")).expect("written");
    }
    let check = line(&guide, &format!("{api}check "));
    let told = here(&[["check", "--strict"].as_slice(), check.as_slice()].concat());
    assert!(told.contains("3 units, nothing to mend."), "{told}");
    let begin = format!("PIPWRIGHT_PACKS={} PIPWRIGHT_PACK={} cargo run --release", new[0], new[0]);
    assert!(guide.contains(&begin), "the guide starts the service with the pack");
    let program = Program::start(&[("PIPWRIGHT_PACKS", text(&pack))]);
    let link = line(&guide, "curl ")[0].trim_matches('\'').strip_prefix("http://127.0.0.1:8640").expect("its address");
    let answer = reqwest::blocking::get(format!("{}{link}", program.address)).expect("a response");
    assert_eq!(answer.status(), 200);
    let answer: Value = serde_json::from_str(&answer.text().expect("text")).expect("JSON");
    assert!(answer["models"]["expected"].as_f64().is_some_and(|models| models > 0.0), "{answer}");
    let acted: Vec<&str> =
        answer["rules"]["acted"].as_array().expect("rules").iter().filter_map(|rule| rule["rule"].as_str()).collect();
    assert_eq!(acted.len(), 2, "{acted:?}");
    assert!(acted.iter().all(|rule| guide.contains(&format!("`{rule}`"))), "the guide says which rules act: {acted:?}");
}
