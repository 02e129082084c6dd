//! From a request to a settled question with its price and its key.
use super::{
    SHORT,
    read::{self, Raw},
    reading,
};
use crate::{cache::Key, limits::Caller, problem::Problem, shelf::Shelf, state::App};
use pipwright_shared::{
    odds::cancellation::CancellationToken,
    rules::{Books, books::Noted},
    wire::{question::Question, size},
};
use std::{
    sync::{Arc, Mutex, PoisonError},
    time::Instant,
};

/// A question that can be answered.
pub(super) struct Prepared<Q: Question> {
    pub(super) ready: Arc<Q::Ready>,
    pub(super) key: Key,
    pub(super) price: u64,
    /// The hashes of the packs that it names by their content.
    pub(super) packs: Arc<[String]>,
}

/// Reads and settles the request: here, where it is short and no table or league, else on another thread. Where it names
/// packs by their content that are not at hand, they are fetched, and it is settled once more.
///
/// # Errors
/// What is wrong with the request, that it is too much work or too much for its caller's rate, or a failure.
pub(super) async fn prepare<Q: Question>(
    app: &App,
    caller: Option<&Caller>,
    shelf: Arc<Shelf>,
    raw: Raw,
) -> Result<Prepared<Q>, Problem> {
    // A few letters of a book may be laid over a large pack.
    let short = raw.len() <= SHORT && Q::PATIENCE == 1 && !raw.may_bring_text();
    let raw = Arc::new(raw);
    let settle = |again: bool, noted: Arc<Mutex<Noted>>| {
        let (own, shelf, raw) = (app.clone(), Arc::clone(&shelf), Arc::clone(&raw));
        // What was charged the first time is not charged again.
        let caller = caller.filter(|_| !again).cloned();
        let settled = move |token: &CancellationToken| {
            let books = own.kept.beside(&shelf.books, noted).until(token.clone());
            Ok(settled(&own, caller.as_ref(), &books, &raw))
        };
        reading(app, short, settled)
    };
    let noted = Arc::default();
    let settled = settle(false, Arc::clone(&noted)).await?;
    let settled = match missing(&noted) {
        missing if missing.is_empty() => settled,
        missing if app.kept.fetch(app, &missing).await? => {
            *noted.lock().unwrap_or_else(PoisonError::into_inner) = Noted::default();
            settle(true, Arc::clone(&noted)).await?
        }
        _ => settled,
    };
    let packs = std::mem::take(&mut noted.lock().unwrap_or_else(PoisonError::into_inner).used).into();
    app.kept.touch(app, &packs);
    settled.map(|prepared| Prepared { packs, ..prepared })
}

pub(super) fn missing(noted: &Mutex<Noted>) -> Vec<String> {
    noted.lock().unwrap_or_else(PoisonError::into_inner).missing.clone()
}

fn settled<Q: Question>(app: &App, caller: Option<&Caller>, books: &Books, raw: &Raw) -> Result<Prepared<Q>, Problem> {
    let question: Q = read::read(raw)?;
    // The request itself is counted already.
    let more = question.parts().saturating_sub(1);
    if let Some(caller) = caller.filter(|_| more > 0) {
        app.limits.charge(caller, u32::try_from(more).unwrap_or(u32::MAX), Instant::now())?;
    }
    let ready = question.settle(books)?;
    let budget = app.config.budget.saturating_mul(Q::PATIENCE);
    let price = size::within(&ready, budget, || raw.value::<Q>().ok())?.units();
    let key = Key::of::<Q>(&ready);
    Ok(Prepared { ready: Arc::new(ready), key, price, packs: Arc::default() })
}
