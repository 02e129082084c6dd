//! The demo packs, embedded. Everything about them is in their files.
use crate::rules::fault::Source;

/// The files of one pack.
pub type Files = Vec<Source>;

/// The files of the demo packs, the default pack first.
pub fn demo() -> Vec<Files> {
    let pack = |files: &[(&str, &str)]| files.iter().map(|(name, text)| Source::new(*name, *text)).collect();
    vec![pack(&[
        ("canal-guild/rules.toml", include_str!("packs/canal-guild/rules.toml")),
        ("canal-guild/units.toml", include_str!("packs/canal-guild/units.toml")),
    ])]
}
