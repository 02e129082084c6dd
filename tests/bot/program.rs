//! The bot's program, built once for all tests that start it.
use pipwright_tests::program::BUILD;
use std::path::PathBuf;
use std::process::Command;
use std::sync::OnceLock;

/// The program's place. It is built where it is missing or old: the tests are a package of their own.
pub fn bot() -> PathBuf {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    BUILT.get_or_init(build).clone()
}

fn build() -> PathBuf {
    let mut cargo = Command::new(env!("CARGO"));
    cargo.args(BUILD).arg("--manifest-path");
    cargo.arg(concat!(env!("CARGO_MANIFEST_DIR"), "/../Cargo.toml"));
    if !cfg!(debug_assertions) {
        cargo.arg("--release");
    }
    assert!(cargo.status().expect("cargo runs").success(), "the bot does not build");
    // The tests' own program lies in `deps` below the folder of the programs.
    let tests = std::env::current_exe().expect("a test has a program");
    tests.parent().and_then(|deps| deps.parent()).expect("two folders up").join("pipwright-bot")
}
