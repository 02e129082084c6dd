//! The files of a pack: what somebody who wants to change it begins with.
use crate::rules::model::Pack;
use crate::rules::sheets::kind_of;
use serde::Serialize;
use utoipa::ToSchema;

/// A pack as it was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct PackFilesAnswer {
    /// The pack's id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Its content hash.
    pub hash: String,
    /// Its files, and those of the packs that it is built on. Sent to `POST /v1/packs` they have the same hash.
    pub files: Vec<PackText>,
}

/// A file of a pack.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct PackText {
    /// What it is called.
    #[schema(example = "units.toml")]
    pub name: String,
    /// All of it, comments too. What was read from a spreadsheet is the text of the unit book that it made.
    pub text: String,
}

/// The files of a pack.
pub fn files(pack: &Pack) -> PackFilesAnswer {
    // The book that a spreadsheet made is a text: under the spreadsheet's own name it would be read as one.
    let named = |name: &str| match kind_of(name) {
        Some(_) => format!("{name}.toml"),
        None => name.to_owned(),
    };
    let texts = pack.files.iter().map(|file| PackText { name: named(&file.name), text: file.text.clone() });
    PackFilesAnswer {
        id: pack.named.id.clone(),
        name: pack.named.label.clone(),
        hash: pack.hash.clone(),
        files: texts.collect(),
    }
}
