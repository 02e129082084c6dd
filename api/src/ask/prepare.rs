//! From a request to a resolved question with its price and its key.
use super::{
    SHORT,
    read::{self, Raw},
    reading,
};
use crate::{cache::Key, limits::Caller, pack_store::PackStore, problem::Problem, state::App};
use pipwright_shared::{
    odds::cancellation::CancellationToken,
    rules::{PackCatalog, pack_catalog::Noted},
    wire::{question::Question, size},
};
use std::{
    sync::{Arc, Mutex, PoisonError},
    time::Instant,
};

/// A question that can be answered.
pub(super) struct Prepared<Q: Question> {
    pub(super) query: Arc<Q::Prepared>,
    pub(super) key: Key,
    pub(super) price: u64,
    /// The hashes of the packs that it names by their content.
    pub(super) packs: Arc<[String]>,
}

/// Reads and resolves the request: here, where it is short and no table or league, else on another thread. Where it names
/// packs by their content that are not at hand, they are fetched, and it is resolved once more.
///
/// # Errors
/// What is wrong with the request, that it is too much work or too much for its caller's rate, or a failure.
pub(super) async fn prepare<Q: Question>(
    app: &App,
    caller: Option<&Caller>,
    pack_store: Arc<PackStore>,
    raw: Raw,
) -> Result<Prepared<Q>, Problem> {
    // A few letters of a book may be laid over a large pack.
    let short = raw.len() <= SHORT && Q::BUDGET_FACTOR == 1 && !raw.may_bring_text();
    let raw = Arc::new(raw);
    let resolve = |again: bool, noted: Arc<Mutex<Noted>>| {
        let (own, pack_store, raw) = (app.clone(), Arc::clone(&pack_store), Arc::clone(&raw));
        // What was charged the first time is not charged again.
        let caller = caller.filter(|_| !again).cloned();
        let resolved = move |token: &CancellationToken| {
            let catalog = own.kept.beside(&pack_store.catalog, noted).until(token.clone());
            Ok(resolved(&own, caller.as_ref(), &catalog, &raw))
        };
        reading(app, short, resolved)
    };
    let noted = Arc::default();
    let resolved = resolve(false, Arc::clone(&noted)).await?;
    let resolved = match missing(&noted) {
        missing if missing.is_empty() => resolved,
        missing if app.kept.fetch(app, &missing).await? => {
            *noted.lock().unwrap_or_else(PoisonError::into_inner) = Noted::default();
            resolve(true, Arc::clone(&noted)).await?
        }
        _ => resolved,
    };
    let packs = std::mem::take(&mut noted.lock().unwrap_or_else(PoisonError::into_inner).used).into();
    app.kept.touch(app, &packs);
    resolved.map(|prepared| Prepared { packs, ..prepared })
}

pub(super) fn missing(noted: &Mutex<Noted>) -> Vec<String> {
    noted.lock().unwrap_or_else(PoisonError::into_inner).missing.clone()
}

fn resolved<Q: Question>(
    app: &App,
    caller: Option<&Caller>,
    catalog: &PackCatalog,
    raw: &Raw,
) -> Result<Prepared<Q>, Problem> {
    let question: Q = read::read(raw)?;
    // The request itself is counted already.
    let more = question.parts().saturating_sub(1);
    if let Some(caller) = caller.filter(|_| more > 0) {
        app.limits.charge(caller, u32::try_from(more).unwrap_or(u32::MAX), Instant::now())?;
    }
    let query = question.resolve(catalog)?;
    let budget = app.config.budget.saturating_mul(Q::BUDGET_FACTOR);
    let price = size::within(&query, budget, || raw.value::<Q>().ok())?.units();
    let key = Key::of::<Q>(&query);
    Ok(Prepared { query: Arc::new(query), key, price, packs: Arc::default() })
}
