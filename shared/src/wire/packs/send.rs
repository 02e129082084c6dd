//! `packs`: a pack that is sent once and named by its content from then on.
use super::super::lookup;
use super::super::mistake::{Mistake, MistakeKind, Mistakes};
use super::super::pack_check::{PackFile, sources, work};
use super::PackHead;
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use crate::rules::address::of_content;
use crate::rules::fault::{Fault, Source};
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

/// How many times the work of a usual question reading a pack may be, and how many times as long it may take.
pub const BUDGET_FACTOR: u64 = 10;

/// A pack: its files, or what any other request can bring in `pack` and `book`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SendRequest {
    /// The files of a pack, or unit books for a pack that is there: texts, and spreadsheets beside them. With a `pack`
    /// named, unit books for that one.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 20)]
    pub files: Option<Vec<PackFile>>,
    /// In place of the files: the text of a pack in one file; with a `book`, also a pack's name or address.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
}

/// What a pack is called from now on.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct PackSent {
    /// The pack by its content: `sha256:` and the hash. It may stand wherever a pack is named. The same files always get the
    /// same address; what they are called makes no difference.
    pub address: String,
    /// The same in short: the pack's id, `@` and the beginning of the hash.
    pub pinned: String,
    /// The pack in short.
    pub pack: PackHead,
    /// For how many seconds after its last use it is kept.
    pub kept_s: u64,
    /// Whether all copies of the service have it. Where not, only the copy that answered keeps it, and only as long as it
    /// has room and is not started anew.
    pub shared: bool,
}

/// Why a pack is not taken.
#[derive(Clone, Debug)]
pub enum PackRefused {
    /// Something is wrong with the request.
    Mistakes(Vec<Mistake>),
    /// Something is wrong in the files.
    Faults(Vec<Fault>),
}

impl SendRequest {
    /// The work of reading and checking it, told from its size.
    pub fn price(&self) -> Work {
        let texts = self.pack.iter().chain(&self.book).map(|text| Work::from(text.len()) * 400);
        texts.sum::<Work>() + work(self.files.as_deref().unwrap_or_default())
    }

    /// Reads and checks it.
    ///
    /// # Errors
    /// [`PackRefused`] with everything that is wrong.
    pub fn read(self, catalog: &PackCatalog, budget: u64) -> Result<Arc<Pack>, PackRefused> {
        if !self.price().is_within(budget.saturating_mul(BUDGET_FACTOR)) {
            let detail = "This pack is more text than one request may bring. Send fewer units at once.";
            let mistake = Mistake { kind: MistakeKind::TooMuchWork, ..Mistake::value("", detail) };
            return Err(PackRefused::Mistakes(vec![mistake]));
        }
        let mut mistakes = Mistakes::default();
        let read = match (self.files, self.pack, self.book) {
            (Some(files), pack, None) if pack.as_ref().is_none_or(|pack| !pack.contains('\n')) => {
                let base = pack.and_then(|pack| lookup::pack(catalog, Some(&pack), None, &mut mistakes));
                let found = sources(&files, catalog, base.as_deref(), &mut mistakes);
                mistakes.or(Some(found)).map(|found| {
                    let files = found?;
                    match base {
                        Some(base) => catalog.read_with(&base, files),
                        None => catalog.check(files),
                    }
                })
            }
            (None, Some(pack), None) if pack.contains('\n') => Ok(catalog.check(vec![Source::new("pack", pack)])),
            (None, Some(pack), Some(book)) if pack.contains('\n') => {
                Ok(catalog.check(vec![Source::new("pack", pack), Source::new("book", book)]))
            }
            (None, pack, Some(book)) => {
                let base = lookup::pack(catalog, pack.as_deref(), None, &mut mistakes);
                mistakes.or(base).map(|base| catalog.read_with(&base, vec![Source::new("book", book)]))
            }
            (None, Some(_), None) => {
                Err(vec![Mistake::value("/pack", "this is a name: send the text of the pack, or its files")])
            }
            (None, None, None) => Err(vec![Mistake::missing("", "say the pack: files, or pack, or book")]),
            (Some(_), ..) => Err(vec![Mistake::value(
                "/files",
                "give files for a pack that is named, or the text of a pack, not both",
            )]),
        };
        read.map_err(PackRefused::Mistakes)?.map_err(PackRefused::Faults)
    }
}

impl PackSent {
    /// What is answered for a pack that is kept.
    pub fn of(pack: &Pack, kept_s: u64, shared: bool) -> Self {
        let beginning: String = pack.hash.chars().take(12).collect();
        Self {
            address: of_content(&pack.hash),
            pinned: format!("{}@{beginning}", pack.named.id),
            pack: PackHead::of(pack),
            kept_s,
            shared,
        }
    }
}
