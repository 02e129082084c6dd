//! The one shape of every calculation: a request is resolved against the catalog, priced, and answered.
use super::mistake::Mistake;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use serde::{Deserialize, Deserializer, Serialize, de::DeserializeOwned};

/// Reads what may be `null`, which is not the same as absent.
pub(super) fn nullable<'de, D: Deserializer<'de>, T: Deserialize<'de>>(from: D) -> Result<Option<Option<T>>, D::Error> {
    Option::deserialize(from).map(Some)
}

/// The bytes of an answer that is a few rows whatever is asked.
const FEW_ROWS: u64 = 256 << 10;

/// A request of the contract.
pub trait Question: DeserializeOwned + Send + 'static {
    /// The path behind `/v1/`.
    const PATH: &'static str;
    /// How many times the work of a usual question it may be, and how many times as long it may take.
    const BUDGET_FACTOR: u64 = 1;
    /// Fields whose own fields are called by numbers, so that a link's numbers lead into no list there.
    const NUMBERED: &'static [&'static str] = &[];
    /// What is left to do once every default is filled in and every name looked up.
    type Prepared: PreparedQuery;

    /// How many questions it is, for its caller's rate.
    fn parts(&self) -> usize {
        1
    }

    /// Checks the request against the books and fills in what it leaves open.
    ///
    /// # Errors
    /// Every mistake, each with the pointer to its field.
    fn resolve(self, catalog: &PackCatalog) -> Result<Self::Prepared, Vec<Mistake>>;
}

/// A checked question.
pub trait PreparedQuery: Send + Sync + 'static {
    /// The answer.
    type Answer: Serialize + Send;

    /// The question with all defaults filled in and without what changes nothing, for the cache's
    /// key. Where it speaks of a pack, the pack's content hash is in it.
    fn canonical(&self) -> impl Serialize;

    /// The same written as RFC 8785 says.
    fn canonical_bytes(&self) -> Vec<u8> {
        // Fails only for maps with keys that are no text, which no question has.
        #[expect(clippy::expect_used, reason = "see above")]
        serde_json_canonicalizer::to_vec(&self.canonical()).expect("a question is JSON")
    }

    /// About how many multiplications the answer takes.
    fn price(&self) -> Work;

    /// The most bytes that the answer has, told from sizes alone. What says nothing of it answers in a few rows,
    /// whatever is asked.
    fn bytes(&self) -> Work {
        Work::new(FEW_ROWS)
    }

    /// Works it out.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    fn answer(&self, token: &CancellationToken) -> Result<Self::Answer, Cancelled>;
}
