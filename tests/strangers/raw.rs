//! Conversations that no client would have: heads cut anywhere, bodies that crawl, readers that stop, garbage.
//!
//! `PIPWRIGHT_RAW=5000` has five thousand of them in place of the quick number.
use fastrand::Rng;
use futures::{StreamExt, stream};
use pipwright_tests::{
    process::{open_files, resident_kib},
    program::Program,
};
use std::time::{Duration, Instant};
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::TcpStream,
    time::{sleep, timeout},
};

const QUICK: u64 = 300;
const AT_ONCE: usize = 32;
/// No conversation goes on for longer.
const END: Duration = Duration::from_secs(6);
/// What may have been added when all have gone: the allocator keeps some of what it had, and the cache fills.
const MORE_KIB: u64 = 48 << 10;
const MORE_FILES: usize = 4;

const LINK: &str = "GET /v1/check?dice=2d6&needs=7%2B HTTP/1.1\r\nhost: x\r\n\r\n";
const LARGE: &str = "GET /docs/try/swagger-ui-bundle.js HTTP/1.1\r\nhost: x\r\n\r\n";

fn posted(body: &str) -> String {
    let length = body.len();
    format!(
        "POST /v1/check HTTP/1.1\r\nhost: x\r\ncontent-type: application/json\r\ncontent-length: {length}\r\n\r\n{body}"
    )
}

fn whole(rng: &mut Rng) -> String {
    let needs = rng.u8(2..12);
    match rng.u8(0..4) {
        0 => LINK.to_owned(),
        1 => posted(&format!(r#"{{"dice":"2d6","needs":"{needs}+"}}"#)),
        2 => format!("GET /v1/check?dice=2d6&needs={needs}%2B&tries={} HTTP/1.1\r\nhost: x\r\n\r\n", rng.u8(1..50)),
        _ => posted(r#"{"dice":"#),
    }
}

/// Reads until the other side closes or it is enough; how many answers there were of those that may be.
async fn read(stream: &mut TcpStream, most: Duration) -> Vec<u8> {
    let mut said = Vec::new();
    let _ = timeout(most, stream.read_to_end(&mut said)).await;
    said
}

/// One conversation. What must come of it is judged where that is known; everything else must only do no harm.
async fn converse(address: &str, seed: u64) {
    let mut rng = Rng::with_seed(seed);
    let Ok(mut stream) = TcpStream::connect(address).await else { panic!("seed {seed}: nobody listens") };
    let request = whole(&mut rng);
    let kind = rng.u8(0..11);
    match kind {
        // Cut anywhere, and left or waited for.
        0 => {
            let cut = rng.usize(0..request.len());
            let _ = stream.write_all(&request.as_bytes()[..cut]).await;
            if rng.bool() {
                read(&mut stream, Duration::from_secs(3)).await;
            }
        }
        // A byte at a time.
        1 => {
            for byte in request.as_bytes().iter().take(rng.usize(1..200)) {
                if stream.write_all(&[*byte]).await.is_err() {
                    break;
                }
                sleep(Duration::from_millis(rng.u64(0..6))).await;
            }
        }
        // A body that was announced and comes in part, or crawls.
        2 => {
            let head = "POST /v1/check HTTP/1.1\r\nhost: x\r\ncontent-length: 200000\r\n\r\n";
            let _ = stream.write_all(head.as_bytes()).await;
            for _ in 0..rng.u8(0..20) {
                let part = vec![b' '; rng.usize(1..9_000)];
                if stream.write_all(&part).await.is_err() {
                    break;
                }
                sleep(Duration::from_millis(rng.u64(0..40))).await;
            }
            if rng.bool() {
                let said = read(&mut stream, Duration::from_secs(4)).await;
                assert!(said.starts_with(b"HTTP/1.1 408 "), "seed {seed}: {}", String::from_utf8_lossy(&said));
            }
        }
        // Much asked for and nothing taken.
        3 => {
            let _ = stream.write_all(LARGE.repeat(rng.usize(1..6)).as_bytes()).await;
            sleep(Duration::from_millis(rng.u64(50..3_000))).await;
        }
        // Taken little by little.
        4 => {
            let _ = stream.write_all(LARGE.as_bytes()).await;
            let mut some = vec![0; rng.usize(1..5_000)];
            for _ in 0..rng.u8(1..40) {
                if !matches!(stream.read(&mut some).await, Ok(1..)) {
                    break;
                }
                sleep(Duration::from_millis(rng.u64(0..30))).await;
            }
        }
        // Several requests in one piece: as many answers.
        5 => {
            let many = rng.usize(2..30);
            let last = "GET /livez HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n";
            let _ = stream.write_all((LINK.repeat(many) + last).as_bytes()).await;
            let said = read(&mut stream, END).await;
            let answers = String::from_utf8_lossy(&said).matches("HTTP/1.1 200 ").count();
            assert_eq!(answers, many + 1, "seed {seed}");
        }
        // Garbage.
        6 => {
            let garbage: Vec<u8> = (0..rng.usize(1..20_000)).map(|_| rng.u8(..)).collect();
            let _ = stream.write_all(&garbage).await;
            read(&mut stream, Duration::from_secs(3)).await;
        }
        // A request with some bytes that are others.
        7 => {
            let mut bytes = request.into_bytes();
            for _ in 0..rng.usize(1..6) {
                let at = rng.usize(0..bytes.len());
                match rng.u8(0..3) {
                    0 => bytes[at] = rng.u8(..),
                    1 => bytes.insert(at, rng.u8(..)),
                    _ => drop(bytes.remove(at)),
                }
            }
            let _ = stream.write_all(&bytes).await;
            read(&mut stream, Duration::from_secs(2)).await;
        }
        // Pieces with sizes that are none.
        8 => {
            let head = "POST /v1/check HTTP/1.1\r\nhost: x\r\ntransfer-encoding: chunked\r\n\r\n";
            let size = [
                "5\r\nhello\r\n",
                "ffffffffffffffff\r\n",
                "-1\r\n\r\n",
                "5;x=y\r\nhello\r\n0\r\na: b\r\n\r\n",
                "zz\r\n",
            ];
            let _ = stream.write_all(head.as_bytes()).await;
            for _ in 0..rng.u8(1..4) {
                let _ = stream.write_all(size[rng.usize(0..size.len())].as_bytes()).await;
            }
            read(&mut stream, Duration::from_secs(3)).await;
        }
        // Heads that are too long, have too many lines, or say two things at once.
        9 => {
            let more = match rng.u8(0..4) {
                0 => format!("x: {}\r\n", "1".repeat(rng.usize(1..600_000))),
                1 => "x: 1\r\n".repeat(rng.usize(1..400)),
                2 => "content-length: 3\r\ncontent-length: 4\r\n".to_owned(),
                _ => "content-length: 3\r\ntransfer-encoding: chunked\r\n".to_owned(),
            };
            let _ = stream.write_all(format!("GET /livez HTTP/1.1\r\nhost: x\r\n{more}\r\n").as_bytes()).await;
            read(&mut stream, Duration::from_secs(3)).await;
        }
        // Nothing more to say. It may be taken for a hang-up, since that is how most hang up; then there is no answer.
        _ => {
            let _ = stream.write_all(LINK.as_bytes()).await;
            let _ = stream.shutdown().await;
            let said = read(&mut stream, END).await;
            let answered = said.is_empty() || said.starts_with(b"HTTP/1.1 200 ");
            assert!(answered, "seed {seed}: {}", String::from_utf8_lossy(&said));
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn whatever_arrives_it_lives_and_nothing_leaks() {
    let all = std::env::var("PIPWRIGHT_RAW").map_or(QUICK, |all| all.parse().expect("a number"));
    let settings = [("PIPWRIGHT_IDLE_S", "2"), ("PIPWRIGHT_BODY_WAIT_MS", "1500"), ("PIPWRIGHT_WRITE_WAIT_MS", "1000")];
    let mut program = Program::start(&settings);
    let address = program.address.trim_start_matches("http://").to_owned();
    let (client, begun) = (reqwest::Client::new(), Instant::now());
    let lives = async || {
        let response = client.get(format!("{}/livez", program.address)).send().await;
        assert!(response.is_ok_and(|response| response.status() == 200));
    };
    lives().await;
    let files = open_files(program.id());
    // Connections of before may go on for as long as an idle one is kept.
    let rest = async || {
        for _ in 0..200 {
            if open_files(program.id()) <= files + MORE_FILES {
                break;
            }
            sleep(Duration::from_millis(100)).await;
        }
        (open_files(program.id()), resident_kib(program.id()))
    };
    // What is made ready at the first need is ready before it is counted.
    stream::iter(0..QUICK / 3).map(|seed| converse(&address, seed)).buffer_unordered(AT_ONCE).collect::<()>().await;
    let (_, kib) = rest().await;
    for first in (0..all).step_by(100) {
        let seeds = first..all.min(first + 100);
        stream::iter(seeds)
            .map(|seed| converse(&address, 1_000 + seed))
            .buffer_unordered(AT_ONCE)
            .collect::<()>()
            .await;
        lives().await;
    }
    let (files_after, kib_after) = rest().await;
    println!(
        "{all} conversations in {:.0?}: {files} open files before, {files_after} after; {} MiB before, {} MiB after",
        begun.elapsed(),
        kib >> 10,
        kib_after >> 10
    );
    assert!(files_after <= files + MORE_FILES, "{files_after} open files, {files} before");
    assert!(kib_after <= kib + MORE_KIB, "{kib_after} KiB, {kib} before");
    assert!(program.is_alive());
}
