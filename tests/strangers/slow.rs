//! Clients that send without end, or take nothing: what is held for them is bounded, and given back.
use pipwright_api::Config;
use pipwright_tests::{
    process::resident_kib,
    program::Program,
    service::{Service, config, read_metric},
};
use std::time::Duration;
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::{TcpSocket, TcpStream},
    time::{sleep, timeout},
};

/// Beside what is held for clients: connections, their buffers, what the allocator keeps.
const BESIDE_KIB: u64 = 24 << 10;
/// `held_bytes_per_address`, where it is not set.
const OF_ONE_KIB: u64 = 16 << 10;
const TIMEOUT: Duration = Duration::from_secs(60);

async fn lives(program: &Program) -> bool {
    reqwest::get(format!("{}/livez", program.address)).await.is_ok_and(|response| response.status() == 200)
}

/// So many connections send this much of a request and then nothing; the most memory meanwhile, and before.
async fn memory_under(count: usize, begin: &str, length: usize) -> (u64, u64) {
    let program = Program::start(&[]);
    assert!(lives(&program).await);
    let before = resident_kib(program.id());
    let address = program.address.trim_start_matches("http://").to_owned();
    let bytes = begin.to_owned() + &"1".repeat(length);
    let (mut open, mut most) = (Vec::new(), before);
    for number in 0..count {
        let mut stream = TcpStream::connect(&address).await.expect("a connection");
        // It may be closed before it has said everything.
        let _ = timeout(Duration::from_secs(1), stream.write_all(bytes.as_bytes())).await;
        open.push(stream);
        if number % 50 == 0 {
            most = most.max(resident_kib(program.id()));
        }
    }
    sleep(Duration::from_millis(200)).await;
    most = most.max(resident_kib(program.id()));
    drop(open);
    assert!(lives(&program).await);
    (before, most)
}

#[tokio::test(flavor = "multi_thread")]
async fn unfinished_requests_hold_no_more_than_they_may() {
    let head = "GET /livez HTTP/1.1\r\nhost: x\r\nx: ";
    let body = "POST /v1/check HTTP/1.1\r\nhost: x\r\ncontent-length: 250000\r\n\r\n";
    for (what, begin, length) in
        [("heads of 400 KB", head, 400_000), ("heads of 70 KB", head, 70_000), ("bodies of 250 KB", body, 249_000)]
    {
        let (before, most) = memory_under(400, begin, length).await;
        println!("400 unfinished {what}: {} MiB before, {} MiB at most", before >> 10, most >> 10);
        assert!(most <= before + OF_ONE_KIB + BESIDE_KIB, "{what}: {most} KiB, {before} before");
    }
}

/// A connection that takes hardly anything into its own buffers.
async fn small(address: &str) -> TcpStream {
    let socket = TcpSocket::new_v4().expect("a socket");
    socket.set_recv_buffer_size(4_096).expect("a size");
    socket.connect(address.parse().expect("an address")).await.expect("a connection")
}

/// An answer of about 500 KB: every turn has its own distribution.
const LARGE: &str = "/v1/repair?capacity=60&missing=40&needs=2%2B&turns=60&incoming=1d3&restores=3";

#[tokio::test(flavor = "multi_thread")]
async fn who_takes_nothing_is_let_go_and_holds_no_more_than_it_may() {
    let plain = Service::plain().await;
    let client = reqwest::Client::builder().no_gzip().build().expect("a client");
    let length = client.get(plain.url(LARGE)).send().await.expect("a response").bytes().await.expect("bytes").len();
    assert!(length > 200_000, "{length} bytes are not much");
    let settings = Config {
        answer_bytes: length,
        body_bytes: 1_000,
        held_bytes_per_address: length * 5 / 2,
        write_wait_ms: 1_500,
        idle_s: 2,
        ..config()
    };
    let service = Service::start(settings).await;
    // From now on it comes from memory.
    let first = client.get(service.url(LARGE)).send().await.expect("a response");
    assert_eq!((first.status().as_u16(), first.bytes().await.expect("bytes").len()), (200, length));
    let address = service.address.trim_start_matches("http://").to_owned();
    let request = format!("GET {LARGE} HTTP/1.1\r\nhost: x\r\n\r\n").repeat(30);
    let mut readers = Vec::new();
    for _ in 0..8 {
        let mut stream = small(&address).await;
        stream.write_all(request.as_bytes()).await.expect("sent");
        readers.push(stream);
    }
    let mut most: f64 = 0.0;
    let turned_away = timeout(TIMEOUT, async {
        loop {
            let metrics = service.get("/metrics").await.text().await.expect("text");
            most = most.max(read_metric(&metrics, "pipwright_held_bytes"));
            if read_metric(&metrics, "pipwright_shed_total{reason=\"held bytes\"") > 0.0 {
                return;
            }
            sleep(Duration::from_millis(10)).await;
        }
    });
    assert!(turned_away.await.is_ok(), "nobody is told that too much waits already, {most} bytes");
    println!("8 readers that do not read: {most} bytes held at most, of answers of {length}");
    assert!(most <= (length * 5 / 2) as f64, "{most}");
    let given_back = async {
        while service.metric("pipwright_held_bytes").await > 0.0 {
            sleep(Duration::from_millis(50)).await;
        }
    };
    timeout(TIMEOUT, given_back).await.expect("all is given back without anybody reading");
    assert_eq!(client.get(service.url(LARGE)).send().await.expect("a response").status(), 200);
    for mut reader in readers {
        let mut said = Vec::new();
        let _ = timeout(TIMEOUT, reader.read_to_end(&mut said)).await.expect("the connection was ended");
        assert!(said.len() < 30 * length, "not all of it was sent");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn one_address_has_so_many_connections() {
    let service = Service::start(Config { connections_per_address: 3, ..config() }).await;
    let address = service.address.trim_start_matches("http://").to_owned();
    let ask = async |stream: &mut TcpStream| {
        let _ = stream.write_all(b"GET /livez HTTP/1.1\r\nhost: x\r\n\r\n").await;
        let mut said = [0; 12];
        stream.read_exact(&mut said).await.is_ok_and(|_| &said == b"HTTP/1.1 200")
    };
    let mut open = Vec::new();
    for _ in 0..3 {
        let mut stream = TcpStream::connect(&address).await.expect("a connection");
        assert!(ask(&mut stream).await);
        open.push(stream);
    }
    let mut fourth = TcpStream::connect(&address).await.expect("a connection");
    assert!(!ask(&mut fourth).await, "one too many");
    drop(open.pop());
    let again = async {
        while !ask(&mut TcpStream::connect(&address).await.expect("a connection")).await {
            sleep(Duration::from_millis(20)).await;
        }
    };
    timeout(TIMEOUT, again).await.expect("another may come when one has gone");
    let trusted = vec!["127.0.0.0/8".parse().expect("a net")];
    let service = Service::start(Config { connections_per_address: 3, trusted_proxies: trusted, ..config() }).await;
    let address = service.address.trim_start_matches("http://").to_owned();
    let mut open = Vec::new();
    for _ in 0..10 {
        let mut stream = TcpStream::connect(&address).await.expect("a connection");
        assert!(ask(&mut stream).await, "a proxy speaks for many");
        open.push(stream);
    }
}
