//! What the logs say, and what they never say at any level.
use pipwright_tests::{
    program::Program,
    redis::{Redis, free_port},
};
use serde_json::Value;
use std::{
    fs::{self, File},
    process::{Command, Stdio},
    time::Duration,
};
use tempfile::NamedTempFile;

/// SHA-256 of `sesame`, computed with `sha256sum`.
const OF_SESAME: &str = "d0c04f4b1951e4aeaaec8223ed2039e542f3aae805a6fa7f6d794e5afff5d272";
const HEAVY: &str = r#"{"attackers":1000,"attacks":2,"steps":[{"name":"hit","needs":"3+"}],"damage":"1d3","target":{"models":200,"health":3}}"#;

fn text(file: &NamedTempFile) -> &str {
    file.path().to_str().expect("text")
}

fn log_to(file: &NamedTempFile) -> Stdio {
    File::create(file.path()).expect("a file").into()
}

#[tokio::test(flavor = "multi_thread")]
async fn no_secret_key_or_address_at_any_level() {
    let Some(redis) = Redis::start(&["--requirepass", "swordfish"]) else { return };
    let (settings, log) = (NamedTempFile::new().expect("a file"), NamedTempFile::new().expect("a file"));
    let keys = format!("[[keys]]\nname = \"table\"\nsha256 = \"{OF_SESAME}\"\nper_second = 0\nburst = 1\n");
    fs::write(settings.path(), keys).expect("written");
    let url = |port: u16, password: &str| format!("redis://:{password}@127.0.0.1:{port}");
    for (redis, format) in [
        (url(redis.port(), "swordfish"), "json"),
        (url(redis.port(), "mackerel"), "text"),
        (url(free_port(), "swordfish"), "text"),
    ] {
        let program = Program::start_with(
            &[
                ("PIPWRIGHT_CONFIG", text(&settings)),
                ("PIPWRIGHT_REDIS", &redis),
                ("PIPWRIGHT_REDIS_PRICE", "0"),
                ("PIPWRIGHT_LOG", "trace"),
                ("PIPWRIGHT_LOG_FORMAT", format),
                ("PIPWRIGHT_SLOW_MS", "0"),
                ("PIPWRIGHT_TRUSTED_PROXIES", "[\"127.0.0.0/8\"]"),
            ],
            log_to(&log),
        );
        let http = reqwest::Client::new();
        let ask = || {
            let request = http.post(format!("{}/v1/odds", program.address)).header("content-type", "application/json");
            request.header("x-forwarded-for", "198.51.100.77").body(HEAVY)
        };
        let bad = http.get(format!("{}/v1/check?dice=marlin", program.address));
        let requests = [
            ask().bearer_auth("sesame"),
            ask().header("x-api-key", "sesame"),
            ask().bearer_auth("halibut"),
            ask(),
            bad,
        ];
        for request in requests {
            assert!(request.send().await.is_ok());
        }
        tokio::time::sleep(Duration::from_millis(300)).await;
        drop(program);
        let written = fs::read_to_string(log.path()).expect("the log");
        assert!(written.contains("slow question") && written.contains("DEBUG"), "it says a lot: {written}");
        let never = [
            "swordfish",
            "mackerel",
            "sesame",
            "halibut",
            OF_SESAME,
            "198.51.100.77",
            "127.0.0.1",
            "marlin",
            "attackers",
        ];
        for word in never {
            let line = written.lines().find(|line| line.contains(word));
            assert!(line.is_none(), "{word} stands in the log: {line:?}");
        }
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn one_question_is_followed_through_bot_service_and_cache() {
    let Some(redis) = Redis::start(&[]) else { return };
    let log = NamedTempFile::new().expect("a file");
    let settings = [
        ("PIPWRIGHT_REDIS", &*redis.url()),
        ("PIPWRIGHT_REDIS_PRICE", "0"),
        ("PIPWRIGHT_LOG", "pipwright_api=debug"),
        ("PIPWRIGHT_LOG_FORMAT", "json"),
    ];
    let program = Program::start_with(&settings, log_to(&log));
    let bot = crate::bot::bot();
    let asked = Command::new(bot)
        .args(["ask", "/check 2d6 7+"])
        .env("PIPWRIGHT_API", &program.address)
        .env("RUST_LOG", "pipwright_bot=debug")
        .output();
    let said = String::from_utf8(asked.expect("the bot runs").stderr).expect("text");
    let traces = said
        .lines()
        .filter(|line| line.contains("asked the service"))
        .filter_map(|line| line.split("trace_id=").nth(1)?.get(..32));
    let traces: Vec<&str> = traces.collect();
    assert!(!traces.is_empty(), "the bot says under which id it asked: {said}");
    tokio::time::sleep(Duration::from_millis(200)).await;
    let written = fs::read_to_string(log.path()).expect("the log");
    let lines: Vec<Value> = written.lines().filter_map(|line| serde_json::from_str(line).ok()).collect();
    let of_trace = |line: &&Value| traces.iter().any(|trace| line["span"]["trace_id"] == *trace);
    let said: Vec<&str> = lines.iter().filter(of_trace).filter_map(|line| line["message"].as_str()).collect();
    for word in ["not found in a cache", "computed", "responded"] {
        assert!(said.contains(&word), "{word} under the same id: {said:?} of {written}");
    }
}
