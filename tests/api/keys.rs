//! `pipwright-api key new`: what it prints makes the key known, and the key is nowhere else.
use pipwright_tests::program::{Program, command};
use reqwest::blocking::Client;
use std::fs;

#[test]
fn a_new_key_is_known_by_what_is_printed_with_it() {
    let made = || {
        let output =
            command().args(["key", "new", "table", "--per-second", "5", "--burst", "7"]).output().expect("it runs");
        assert!(output.status.success());
        String::from_utf8(output.stdout).expect("text")
    };
    let (printed, other) = (made(), made());
    assert_ne!(printed, other);
    let key =
        printed.lines().find_map(|line| line.strip_prefix("# pw_")).map(|rest| format!("pw_{rest}")).expect("a key");
    assert_eq!(key.len(), 3 + 64);
    let settings = printed.lines().filter(|line| !line.starts_with('#')).collect::<Vec<_>>().join("\n");
    assert!(!settings.contains(&key[3..]), "the settings have the hash alone");
    let file = tempfile::NamedTempFile::new().expect("a file");
    fs::write(file.path(), settings).expect("written");
    let program = Program::start(&[("PIPWRIGHT_CONFIG", file.path().to_str().expect("text"))]);
    let ask = |key: &str| {
        let url = format!("{}/v1/check?dice=2d6&needs=7%2B", program.address);
        Client::new().get(url).bearer_auth(key).send().expect("a response")
    };
    let known = ask(&key);
    assert_eq!(
        (known.status().as_u16(), known.headers()["ratelimit-policy"].to_str().ok()),
        (200, Some("\"rate\";q=7;w=2"))
    );
    assert_eq!(ask(&key[..66]).status(), 401);
}
