//! Clients that behave badly.
use pipwright_api::Config;
use pipwright_tests::service::{Service, config};
use std::time::Duration;
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::TcpStream,
    time::{sleep, timeout},
};

#[tokio::test(flavor = "multi_thread")]
async fn a_body_that_trickles_is_ended_by_the_deadline() {
    let service = Service::start(Config { body_wait_ms: 300, ..config() }).await;
    let address = service.address.trim_start_matches("http://").to_owned();
    let mut stream = TcpStream::connect(&address).await.expect("a connection");
    let head = "POST /v1/sum HTTP/1.1\r\nhost: h\r\ncontent-type: application/json\r\ncontent-length: 1000\r\n\r\n";
    stream.write_all(head.as_bytes()).await.expect("sent");
    let (mut reading, mut writing) = stream.into_split();
    let trickle = tokio::spawn(async move {
        while writing.write_all(b" ").await.is_ok() {
            sleep(Duration::from_millis(50)).await;
        }
    });
    let mut answer = String::new();
    let read = timeout(Duration::from_secs(3), reading.read_to_string(&mut answer)).await;
    trickle.abort();
    assert!(answer.starts_with("HTTP/1.1 408"), "{read:?} {answer}");
    assert!(answer.contains("/docs/problems/slow-body"), "{answer}");
}
