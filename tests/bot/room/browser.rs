//! The room in a real browser: a script of `tests/browser` sits down in it, this side opens and closes the room.
use super::{Settings, Table};
use pipwright_tests::browser::{folder, missing, modules};
use std::process::Stdio;
use tokio::io::{AsyncBufReadExt, AsyncWriteExt, BufReader};
use tokio::process::Command;

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn people_at_the_table() {
    if let Some(missing) = missing() {
        println!("NOT TESTED: the room in a browser: {missing}");
        return;
    }
    let mut table = Table::open(Settings::default()).await;
    let phrase = Some("nine wet herons".to_owned());
    let closed = Table::open(Settings { phrase, ..Settings::default() }).await;
    let pictures = modules().join("../pictures");
    let mut script = Command::new("node")
        .arg(folder().join("room.mjs"))
        .arg(format!("http://{}", table.address))
        .arg(modules())
        .arg(&pictures)
        .arg(format!("http://{}", closed.address))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .kill_on_drop(true)
        .spawn()
        .expect("node runs");
    let mut orders = script.stdin.take().expect("piped");
    let mut lines = BufReader::new(script.stdout.take().expect("piped")).lines();
    let mut done = Vec::new();
    while let Some(line) = lines.next_line().await.expect("a line") {
        match line.as_str() {
            "please close" => table.close().await,
            "please open" => table.start().await,
            _ => {
                println!("{line}");
                done.push(line);
                continue;
            }
        }
        orders.write_all(b"done\n").await.expect("a script that listens");
    }
    assert!(script.wait().await.expect("an end").success(), "the browser's script failed: {done:#?}");
    assert_eq!(done.last().map(String::as_str), Some("all seen"), "{done:#?}");
}
