//! The program itself, with nothing but its environment: on the gateway, or behind the signed endpoint.
use super::made::{command, somebody};
use super::platform::Platform;
use ed25519_dalek::{Signer, SigningKey};
use serde_json::json;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

struct Program(Child);

impl Drop for Program {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn free_port() -> u16 {
    let listener = std::net::TcpListener::bind(("127.0.0.1", 0)).expect("a free port");
    listener.local_addr().expect("bound").port()
}

async fn start(platform: &Platform, port: u16, key: Option<&str>) -> Program {
    let program = tokio::task::spawn_blocking(crate::bot::bot).await.expect("built");
    let mut start = Command::new(program);
    start.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    start.env("PIPWRIGHT_DISCORD_TOKEN", "token").env("PIPWRIGHT_DISCORD_PROXY", &platform.base);
    start.env("PIPWRIGHT_DISCORD_LISTEN", format!("127.0.0.1:{port}"));
    if let Some(key) = key {
        start.env("PIPWRIGHT_DISCORD_PUBLIC_KEY", key);
    }
    Program(start.spawn().expect("it starts"))
}

async fn status(port: u16, path: &str, method: reqwest::Method) -> Option<u16> {
    let request = reqwest::Client::new().request(method, format!("http://127.0.0.1:{port}{path}"));
    request.send().await.ok().map(|response| response.status().as_u16())
}

async fn until_status(port: u16, path: &str, wanted: u16) {
    let end = Instant::now() + Duration::from_secs(20);
    while status(port, path, reqwest::Method::GET).await != Some(wanted) {
        assert!(Instant::now() < end, "{path} is not {wanted}");
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn on_the_gateway() {
    let (platform, port) = (Platform::start().await, free_port());
    let mut program = start(&platform, port, None).await;
    let answer = platform.does(&command(somebody(), "check", &[("needs", json!("7+")), ("dice", json!("2d6"))])).await;
    assert!(answer.body["data"]["content"].as_str().is_some_and(|text| text.contains("58.3%")), "{:#}", answer.body);
    until_status(port, "/readyz", 200).await;
    until_status(port, "/livez", 200).await;
    let stopped = Command::new("kill").arg(program.0.id().to_string()).status().expect("kill");
    assert!(stopped.success());
    let end = Instant::now() + Duration::from_secs(15);
    let status = loop {
        match program.0.try_wait().expect("a child") {
            Some(status) => break status,
            None => assert!(Instant::now() < end, "it does not stop when told to"),
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    };
    assert!(status.success(), "{status}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn behind_the_signed_endpoint() {
    let (platform, port) = (Platform::start().await, free_port());
    let key: String =
        SigningKey::from_bytes(&[9; 32]).verifying_key().as_bytes().iter().map(|byte| format!("{byte:02x}")).collect();
    let _program = start(&platform, port, Some(&key)).await;
    until_status(port, "/livez", 200).await;
    assert_eq!(status(port, "/interactions", reqwest::Method::POST).await, Some(401));
    platform.until("a registration", |shared| shared.sent.iter().any(|sent| sent.method == "PUT").then_some(())).await;
    assert!(platform.shared().lines.is_empty(), "no socket is opened");
}

/// What was begun when the bot was told to stop is still answered: the picture follows, and then it ends.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_signed_endpoint_drains() {
    let (platform, port) = (Platform::start().await, free_port());
    let key = SigningKey::from_bytes(&[9; 32]);
    let public: String = key.verifying_key().as_bytes().iter().map(|byte| format!("{byte:02x}")).collect();
    let mut program = start(&platform, port, Some(&public)).await;
    until_status(port, "/livez", 200).await;
    // One connection stays open and asks nothing: it must not keep the program.
    let idle = tokio::net::TcpStream::connect(("127.0.0.1", port)).await.expect("a connection");
    let asked = command(somebody(), "check", &[("needs", json!("7+")), ("dice", json!("2d6"))]);
    let body = asked.to_string();
    platform.shared().answered.insert(asked["token"].as_str().expect("a token").to_owned());
    let stamp = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).expect("after 1970").as_secs();
    let signature = key.sign(format!("{stamp}{body}").as_bytes()).to_bytes();
    let signature: String = signature.iter().map(|byte| format!("{byte:02x}")).collect();
    let request = reqwest::Client::new().post(format!("http://127.0.0.1:{port}/interactions")).body(body);
    let request = request.header("x-signature-ed25519", signature).header("x-signature-timestamp", stamp.to_string());
    let first: serde_json::Value = request.send().await.expect("a response").json().await.expect("JSON");
    assert_eq!(first, json!({"type": 5}), "a picture follows");
    assert!(Command::new("kill").arg(program.0.id().to_string()).status().expect("kill").success());
    let edit = platform.edit(&asked).await;
    assert!(edit.body["content"].as_str().is_some_and(|text| text.contains("58.3%")), "{:#}", edit.body);
    let end = Instant::now() + Duration::from_secs(20);
    let status = loop {
        match program.0.try_wait().expect("a child") {
            Some(status) => break status,
            None => assert!(Instant::now() < end, "it does not stop when told to"),
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    };
    assert!(status.success(), "{status}");
    drop(idle);
}
