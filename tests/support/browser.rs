//! A real browser, driven by the scripts of `tests/browser`, where there is one.
use std::path::{Path, PathBuf};

/// Where the scripts are.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("browser")
}

/// Where tests/run puts the browser's driver, below the folder of what is built.
pub fn modules() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/browser/node_modules")
}

/// What is missing to run a browser.
pub fn missing() -> Option<&'static str> {
    let found = |program: &str| {
        let paths = std::env::var_os("PATH").unwrap_or_default();
        std::env::split_paths(&paths).any(|path| path.join(program).is_file())
    };
    if !found("node") {
        Some("node is not there")
    } else if !found("chromium") {
        Some("chromium is not there")
    } else if !modules().join("playwright-core").is_dir() || !modules().join("axe-core").is_dir() {
        Some("playwright-core and axe-core are not there: tests/run fetches them")
    } else {
        None
    }
}
