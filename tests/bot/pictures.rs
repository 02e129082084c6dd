//! The pictures of the README are made by a script: what it makes is a picture of the right size with something on it.
//! `PIPWRIGHT_ACCEPT=1` puts them where the README shows them.
use super::conversations::accepts;
use pipwright_api::Config;
use pipwright_bot::client::Api;
use pipwright_bot::places::room::{Room, Settings, serve};
use pipwright_tests::browser::{folder, missing, modules};
use pipwright_tests::service::{Service, config};
use std::path::Path;
use std::time::Duration;
use tokio::net::TcpListener;

/// Width and height of a PNG: PNG specification (W3C), 11.2.2, the first chunk.
fn size(png: &[u8]) -> (u32, u32) {
    let number = |at: usize| u32::from_be_bytes(png[at..at + 4].try_into().expect("four bytes"));
    assert!(png.starts_with(b"\x89PNG\r\n\x1a\n") && &png[12..16] == b"IHDR");
    (number(16), number(20))
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_pictures_of_the_readme_can_be_made() {
    if let Some(missing) = missing() {
        println!("NOT TESTED: the pictures of the README: {missing}");
        return;
    }
    // A review takes an unoptimised build on a busy machine longer than anybody should wait.
    let service = Service::start(Config { deadline_ms: 20_000, ..config() }).await;
    let api = Api::new(&service.address, Duration::from_secs(30)).expect("an address");
    let listener = TcpListener::bind(("127.0.0.1", 0)).await.expect("a free port");
    let room = format!("http://{}", listener.local_addr().expect("an address"));
    tokio::spawn(serve(listener, Room::new(api, Settings::default()), std::future::pending()));
    let shown = Path::new(env!("CARGO_MANIFEST_DIR")).join("../bot/pictures");
    let made = tempfile::tempdir().expect("a folder");
    let target = if accepts() { shown.clone() } else { made.path().to_owned() };
    let script = tokio::process::Command::new("node")
        .arg(folder().join("pictures.mjs"))
        .args([&service.address, &room])
        .args([modules(), target.clone()])
        .kill_on_drop(true)
        .output();
    let output = script.await.expect("node runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    for (name, wide, high) in [("answer.png", 390, 844), ("review.png", 768, 1100)] {
        let (new, old) =
            (std::fs::read(target.join(name)).expect("made"), std::fs::read(shown.join(name)).expect("shown"));
        assert_eq!((size(&new), size(&old)), ((wide, high), (wide, high)), "{name}");
        // A blank page of that size is packed into a few kilobytes.
        assert!(new.len() > 20_000 && old.len() > 20_000, "{name}: {} and {} bytes", new.len(), old.len());
    }
}
