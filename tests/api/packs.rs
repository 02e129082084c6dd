//! Packs of a folder: read at the start, read again, and kept where the new ones are bad.
use pipwright_api::{Config, pack_store};
use pipwright_tests::{
    program::Program,
    service::{Service, config},
};
use serde_json::{Value, json};
use std::{fs, path::Path, time::Duration};

/// A unit book for the first demo pack; its one unit costs so much.
fn book(points: &str) -> String {
    format!(
        "format = 1\npack = \"canal-guild\"\n\n[[unit]]\nid = \"test-barge\"\nname = \"Test Barge\"\nlike = \"x\"\npoints = {points}\n"
    )
}

/// The demo pack's own unit book, with the first unit's points changed, is a book that can be read.
pub(crate) fn pack_of(id: &str) -> [(&'static str, String); 2] {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/src/packs/canal-guild");
    ["rules.toml", "units.toml"].map(|name| {
        let text = fs::read_to_string(folder.join(name)).expect("a demo file");
        let text = text.replace("pack = \"canal-guild\"", &format!("pack = \"{id}\""));
        (
            name,
            text.replace("name = \"Canal Guild\"", "name = \"Our Club\"").replace("also = [\"canal\", \"guild\"]", ""),
        )
    })
}

pub(crate) fn write(folder: &Path, files: &[(&str, String)]) {
    fs::create_dir_all(folder).expect("a folder");
    for (name, text) in files {
        fs::write(folder.join(name), text).expect("written");
    }
}

async fn ids(service: &Service) -> Vec<String> {
    let packs: Value = service.get("/v1/packs").await.json().await.expect("JSON");
    packs["packs"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|pack| pack["id"].as_str().expect("text").to_owned())
        .collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_club_adds_its_pack_and_a_bad_file_changes_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    write(&folder.path().join("ours"), &pack_of("our-club"));
    let service = Service::start(Config { packs: Some(folder.path().to_owned()), ..config() }).await;
    assert!(ids(&service).await.contains(&"our-club".to_owned()));
    let units = |service: &Service| service.url("/v1/packs/our-club/units");
    let before = service.client.get(units(&service)).send().await.expect("a response").text().await.expect("text");

    write(
        &folder.path().join("ours"),
        &[("units.toml", "format = 1\npack = \"our-club\"\nthis is no TOML".to_owned())],
    );
    pack_store::reread(&service.app).await;
    let after = service.client.get(units(&service)).send().await.expect("a response").text().await.expect("text");
    assert_eq!(before, after, "the old pack stays");
    assert_eq!(service.metric("pipwright_books_generation").await, 2.0);
}

#[tokio::test(flavor = "multi_thread")]
async fn an_edited_pack_never_serves_an_old_answer() {
    let folder = tempfile::tempdir().expect("a folder");
    let files = pack_of("our-club");
    write(folder.path(), &files);
    let service = Service::start(Config { packs: Some(folder.path().to_owned()), ..config() }).await;
    let units: Value = service.get("/v1/packs/our-club/units").await.json().await.expect("JSON");
    let unit = units["units"][0]["id"].as_str().expect("an id").to_owned();
    let points = units["units"][0]["points"].as_u64().expect("points");
    let question = json!({"pack": "our-club", "limit": 2_000, "lines": [{"unit": unit}]});
    let (status, first) = service.ask("/v1/list-points", &question).await;
    assert_eq!(status, 200, "{first}");

    let edited = files[1].1.replacen(&format!("points = {points}"), &format!("points = {}", points + 1), 1);
    assert_ne!(edited, files[1].1);
    write(folder.path(), &[("units.toml", edited)]);
    for _ in 0..100 {
        tokio::time::sleep(Duration::from_millis(100)).await;
        if service.ask("/v1/list-points", &question).await.1 != first {
            return;
        }
    }
    panic!("the change of the file was not seen");
}

#[tokio::test(flavor = "multi_thread")]
async fn hangup_reads_the_packs_again() {
    let folder = tempfile::tempdir().expect("a folder");
    let program = Program::start(&[("PIPWRIGHT_PACKS", folder.path().to_str().expect("text"))]);
    let packs =
        || async { reqwest::get(format!("{}/v1/packs", program.address)).await.expect("a response").text().await };
    assert!(!packs().await.expect("text").contains("our-club"));
    write(folder.path(), &pack_of("our-club"));
    program.signal("-HUP");
    for _ in 0..20 {
        tokio::time::sleep(Duration::from_millis(25)).await;
        if packs().await.expect("text").contains("our-club") {
            return;
        }
    }
    panic!("half a second after the signal the pack was not there");
}

#[tokio::test]
async fn a_file_is_checked_with_lines_and_columns() {
    let service = Service::plain().await;
    let check = async |text: String| {
        let (status, answer) =
            service.ask("/v1/packs/check", &json!({"files": [{"name": "ours.toml", "text": text}]})).await;
        assert_eq!(status, 200, "{answer}");
        answer
    };
    let answer = check(book("\"many\"")).await;
    assert_eq!(answer["good"], false);
    let faults = answer["faults"].as_array().expect("a list");
    assert!(faults.iter().any(|fault| fault["line"] == 8 && fault["column"] == 10), "{answer}");
    assert!(faults.iter().all(|fault| fault["file"] == "ours.toml"), "{answer}");
    let [rules, units] = pack_of("our-club");
    let files = json!({"files": [{"name": rules.0, "text": rules.1}, {"name": units.0, "text": units.1}]});
    let (_, answer) = service.ask("/v1/packs/check", &files).await;
    assert_eq!((&answer["good"], &answer["pack"]["id"]), (&json!(true), &json!("our-club")), "{answer}");
    let (status, problem) = service.ask("/v1/packs/check", &json!({"files": []})).await;
    assert_eq!((status, problem["pointer"].as_str()), (422, Some("/files")));
}
