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

/// The small pack that people begin their own with, under their own id.
pub fn starter(id: &str) -> Files {
    let name: Vec<String> = id.split('-').map(capital).collect();
    let own = |text: &str| {
        text.replace("pack = \"our-club\"", &format!("pack = \"{id}\""))
            .replace("name = \"Our Club\"", &format!("name = \"{}\"", name.join(" ")))
    };
    let files = [
        ("rules.toml", include_str!("packs/starter/rules.toml")),
        ("units.toml", include_str!("packs/starter/units.toml")),
    ];
    files.map(|(name, text)| Source::new(name, own(text))).into()
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The JSON Schema of pack files, rules and unit books alike: for editors.
pub const SCHEMA: &str = include_str!("packs/schema.json");
