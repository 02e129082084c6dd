//! The bot's program.
use pipwright_tests::program::built;
use std::path::PathBuf;

/// The program's place.
pub fn bot() -> PathBuf {
    built("pipwright-bot")
}
