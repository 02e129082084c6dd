//! `packs/names`: all names of a pack that comes with the request.
use super::super::bytes;
use super::super::lookup;
use super::super::mistake::{Mistake, Mistakes};
use super::super::question::{PreparedQuery, Question};
use super::{PackAnswer, pack};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

/// A pack, as any other request names it or brings it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct NamesRequest {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
}

/// A pack that was read.
#[derive(Clone, Debug)]
pub struct PreparedNames(Arc<Pack>);

impl Question for NamesRequest {
    const PATH: &'static str = "packs/names";
    type Prepared = PreparedNames;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedNames, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        mistakes.or(pack.map(PreparedNames))
    }
}

impl PreparedQuery for PreparedNames {
    type Answer = PackAnswer;

    fn canonical(&self) -> impl Serialize {
        serde_json::json!({ "names": self.0.hash })
    }

    fn price(&self) -> Work {
        Work::from(self.0.units.len()) * 100 + 2_000
    }

    fn bytes(&self) -> Work {
        // Each name of the files stands in the answer a few times, under its id and by its label.
        bytes::few(self.0.files.iter().map(|file| Work::from(file.text.len())).sum::<Work>() * 6)
    }

    fn answer(&self, _token: &CancellationToken) -> Result<PackAnswer, Cancelled> {
        Ok(pack(&self.0))
    }
}
