//! A full room: 200 people who ask, on the real service. `PIPWRIGHT_TESTS_FULL` makes it a whole minute.
use super::{Room, Settings, guest::Guest, serve};
use futures::{SinkExt, StreamExt};
use pipwright_bot::client::Api;
use pipwright_tests::spent::of_process;
use serde_json::json;
use std::net::SocketAddr;
use std::time::{Duration, Instant};
use tokio::net::TcpListener;
use tokio::time::{sleep_until, timeout};
use tokio_tungstenite::{connect_async, tungstenite::Message};

const FEW: u64 = 50;
const MANY: u64 = 200;
/// Each asks once in this time: together 20 questions a second, and 8,000 lines to deliver.
const EVERY: Duration = Duration::from_secs(10);
/// A question has a cost of its own and one for each that its answer goes to, so with four times the people it may take
/// four times the work, and half of that again for what a measurement errs. Work that grows faster takes 16 times.
const MOST_GROWTH: f64 = 6.0;
/// No program beside this one takes so long that a guest who has not seen all lines by then is only late.
const ANSWER_TIMEOUT: Duration = Duration::from_secs(180);

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
#[ignore = "keeps both processors at work, so it runs alone: tests/run does that"]
async fn two_hundred_ask_and_nothing_is_lost() {
    let full = std::env::var_os("PIPWRIGHT_TESTS_FULL").is_some();
    let few = ask(FEW, 4).await;
    let many = ask(MANY, if full { 6 } else { 1 }).await;
    // How long somebody waited is shown, not judged, since other programs make it longer; what it took is their own.
    let growth = many.as_secs_f64() / few.as_secs_f64();
    println!("a question takes {few:?} of a processor among {FEW} people, {many:?} among {MANY}: {growth:.1} times");
    assert!(growth < MOST_GROWTH, "{growth}");
}

/// What one question takes of a processor, for the service, the room and all guests, where so many people ask.
async fn ask(people: u64, rounds: u64) -> Duration {
    let address = open().await;
    // The names of the pack are fetched before, as they are in a room that has been open for a moment.
    let mut first = Guest::join(address, "First").await;
    first.say("/check 2d6 7+").await;
    first.line(2).await;
    first.leave().await;
    let own = std::process::id();
    let start = tokio::time::Instant::now() + Duration::from_secs(2);
    let before = of_process(own);
    let guests: Vec<_> = (0..people).map(|n| tokio::spawn(guest(address, n, people, rounds, start))).collect();
    let mut waits = Vec::new();
    for guest in guests {
        waits.extend(guest.await.expect("no guest fails"));
    }
    let took = of_process(own) - before;
    waits.sort_unstable();
    assert_eq!(waits.len() as u64, people * rounds, "every question got its answer");
    let at = |share: f64| waits[((waits.len() - 1) as f64 * share) as usize];
    let asked = EVERY * u32::try_from(rounds).expect("a small number");
    println!(
        "{people} people, {} questions in {asked:?}: half answered within {:?}, 99 of 100 within {:?}, all within {:?}; \
         {:.2} of one processor",
        waits.len(),
        at(0.5),
        at(0.99),
        at(1.0),
        took.as_secs_f64() / asked.as_secs_f64()
    );
    took / u32::try_from(people * rounds).expect("a small number")
}

/// The service and the room, each on a port of its own.
async fn open() -> SocketAddr {
    let listener = TcpListener::bind(("127.0.0.1", 0)).await.expect("a free port");
    let base = format!("http://{}", listener.local_addr().expect("an address"));
    let config = pipwright_api::Config { per_second: 0, ..pipwright_api::Config::default() };
    tokio::spawn(pipwright_api::serve(listener, config, std::future::pending()));
    let api = Api::new(&base, Duration::from_secs(20)).expect("an address");
    let listener = TcpListener::bind(("127.0.0.1", 0)).await.expect("a free port");
    let address = listener.local_addr().expect("an address");
    tokio::spawn(serve(listener, Room::new(api, Settings::default()), std::future::pending()));
    address
}

/// One guest: how long each answer took. Frames are searched, not parsed: 200 parsers would be what is measured.
async fn guest(address: SocketAddr, n: u64, people: u64, rounds: u64, start: tokio::time::Instant) -> Vec<Duration> {
    let (mut socket, _) = connect_async(format!("ws://{address}/seat")).await.expect("a socket");
    let join = json!({"kind": "join", "name": format!("guest {n}"), "seat": format!("{n:032}")});
    socket.send(Message::text(join.to_string())).await.expect("a line that holds");
    let mine = format!("\"asked_by\":\"guest {n}\"");
    let (mut waits, mut seen, mut asked) = (Vec::new(), 0, None::<Instant>);
    let offset = EVERY.mul_f64(n as f64 / people as f64);
    let all = 2 + 2 * people * rounds;
    let end = start + EVERY * u32::try_from(rounds).expect("a small number") + ANSWER_TIMEOUT;
    let mut round = 0;
    while seen < all {
        let due = start + offset + EVERY * u32::try_from(round).expect("a small number");
        tokio::select! {
            () = sleep_until(due), if round < rounds && asked.is_none() => {
                // Each question is another one, so that the service has to work it out.
                let text = format!("/check {}d6 {}+", 2 + (n + round) % 19, 8 + n % 40);
                let say = json!({"kind": "say", "key": round + 1, "text": text});
                asked = Some(Instant::now());
                socket.send(Message::text(say.to_string())).await.expect("a line that holds");
                round += 1;
            }
            frame = socket.next() => {
                let Message::Text(text) = frame.expect("a frame").expect("a line that holds") else { continue };
                for (at, _) in text.match_indices("{\"number\":") {
                    let digits = &text[at + 10..];
                    let number: u64 = digits[..digits.find(',').expect("more fields")].parse().expect("a number");
                    assert_eq!(number, seen + 1, "guest {n} got every line, in order");
                    seen = number;
                }
                assert!(!text.contains("\"refused\"") && !text.contains("\"aside\""), "guest {n}: {text}");
                if text.contains(&mine) {
                    waits.extend(asked.take().map(|asked| asked.elapsed()));
                }
            }
            () = sleep_until(end) => panic!("guest {n} has seen {seen} of {all} lines"),
        }
    }
    let _ = timeout(Duration::from_secs(1), socket.close(None)).await;
    waits
}
