//! The proxy as it is shipped, before two copies: a request that ends one of them is not sent to the other.
use pipwright_tests::{program::Program, redis::free_port};
use std::{
    fs,
    process::{Child, Command, Stdio},
    time::Duration,
};
use tokio::time::sleep;

struct Proxy(Child);

impl Drop for Proxy {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// The shipped configuration with other places and nothing else changed.
fn configuration(port: u16, copies: &[Program; 2]) -> String {
    let mut text = fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../deploy/compose/haproxy.cfg"))
        .expect("the configuration");
    let servers: Vec<String> = copies
        .iter()
        .enumerate()
        .map(|(at, copy)| format!("server api{at} {}", copy.address.trim_start_matches("http://")))
        .collect();
    let changes = [
        ("bind :8640".to_owned(), format!("bind 127.0.0.1:{port}")),
        ("server-template api 1-4 api:8640".to_owned(), servers.join("\n    ")),
    ];
    for (shipped, here) in changes {
        assert_eq!(text.matches(&shipped).count(), 1, "{shipped}");
        text = text.replace(&shipped, &here);
    }
    text
}

#[tokio::test(flavor = "multi_thread")]
async fn what_ends_one_copy_does_not_end_the_other() {
    let path = format!("{}:/usr/sbin", std::env::var("PATH").unwrap_or_default());
    let haproxy = || {
        let mut command = Command::new("env");
        command.env("PATH", &path).arg("haproxy");
        command
    };
    if !haproxy().arg("-v").output().is_ok_and(|output| output.status.success()) {
        eprintln!("NOT TESTED: haproxy is not on this machine (tests/run installs it); without it: a copy that dies");
        return;
    }
    let mut copies = [Program::other("pipwright-fragile", &[]), Program::other("pipwright-fragile", &[])];
    let port = free_port();
    let file = tempfile::NamedTempFile::new().expect("a file");
    fs::write(file.path(), configuration(port, &copies)).expect("written");
    let started = haproxy().arg("-f").arg(file.path()).stdout(Stdio::null()).stderr(Stdio::null()).spawn();
    let _proxy = Proxy(started.expect("haproxy starts"));
    // A connection for each: where one was used before, the proxy closes it instead of saying 502, and some clients would
    // then ask again by themselves.
    let client = reqwest::Client::builder().pool_max_idle_per_host(0).build().expect("a client");
    let ask = async |path: &str| {
        let response = client.get(format!("http://127.0.0.1:{port}{path}")).send().await;
        response.map_or(0, |response| response.status().as_u16())
    };
    let mut tries = 0;
    while ask("/v1/check?dice=2d6&needs=7%2B").await != 200 {
        tries += 1;
        assert!(tries < 600, "the proxy finds no copy");
        sleep(Duration::from_millis(50)).await;
    }
    // Both are known to it before one goes.
    sleep(Duration::from_secs(2)).await;
    assert_eq!(ask("/metrics").await, 404, "for the operator only");
    assert_eq!(ask("/v1/end").await, 502, "the copy went away without an answer, and that is said");
    let alive = |copies: &mut [Program; 2]| copies.iter_mut().filter_map(|copy| copy.is_alive().then_some(())).count();
    for _ in 0..100 {
        if alive(&mut copies) < 2 {
            break;
        }
        sleep(Duration::from_millis(50)).await;
    }
    assert_eq!(alive(&mut copies), 1, "one copy died of it, and only one");
    for tries in 1..=20 {
        let status = ask(&format!("/v1/check?dice=2d6&needs=7%2B&tries={tries}")).await;
        assert_eq!(status, 200, "the other answers, also for the one that is gone");
    }
    assert_eq!(alive(&mut copies), 1);
}
