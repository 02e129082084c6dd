//! The demo packs, embedded. Everything about them is in their files.
use crate::rules::fault::Source;

/// The files of one pack.
pub type Files = Vec<Source>;

/// The files of one embedded pack, by its folder.
macro_rules! pack {
    ($id:literal) => {
        vec![
            Source::new(concat!($id, "/rules.toml"), include_str!(concat!("packs/", $id, "/rules.toml"))),
            Source::new(concat!($id, "/units.toml"), include_str!(concat!("packs/", $id, "/units.toml"))),
        ]
    };
}

/// The files of the demo packs, the default pack first.
pub fn demo() -> Vec<Files> {
    vec![pack!("canal-guild"), pack!("sedge-moot"), pack!("floe-run")]
}
