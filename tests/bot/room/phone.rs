//! The room on a phone, with the real service behind it: a script of `tests/browser` taps, this side closes and opens.
use pipwright_api::Config;
use pipwright_bot::client::Api;
use pipwright_bot::places::room::{Room, Settings, serve};
use pipwright_tests::browser::{folder, missing, modules};
use pipwright_tests::service::{Service, config};
use std::net::SocketAddr;
use std::process::Stdio;
use std::time::Duration;
use tokio::io::{AsyncBufReadExt, AsyncWriteExt, BufReader};
use tokio::net::TcpListener;
use tokio::process::Command;
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

type Open = (oneshot::Sender<()>, JoinHandle<()>);

async fn open(api: &Api, address: SocketAddr) -> (SocketAddr, Open) {
    let listener = TcpListener::bind(address).await.expect("a free port");
    let address = listener.local_addr().expect("an address");
    let room = Room::new(api.clone(), Settings::default());
    let (stop, stopped) = oneshot::channel();
    let served = serve(listener, room, async move {
        let _ = stopped.await;
    });
    (address, (stop, tokio::spawn(async move { served.await.expect("the room serves") })))
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_club_night_on_a_phone() {
    if let Some(missing) = missing() {
        println!("NOT TESTED: the room on a phone: {missing}");
        return;
    }
    // A review takes an unoptimised build on a busy machine longer than anybody should wait.
    let service = Service::start(Config { deadline_ms: 20_000, ..config() }).await;
    let api = Api::new(&service.address, Duration::from_secs(30)).expect("an address");
    let (address, mut room) = open(&api, SocketAddr::from(([127, 0, 0, 1], 0))).await;
    let mut script = Command::new("node")
        .arg(folder().join("phone.mjs"))
        .arg(format!("http://{address}"))
        .arg(modules())
        .arg(modules().join("../pictures"))
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
            "please close" => {
                let (stop, served) = room;
                stop.send(()).expect("a room that listens");
                served.await.expect("no panic");
                room = (oneshot::channel().0, tokio::spawn(async {}));
            }
            "please open" => room = open(&api, address).await.1,
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
