//! From a request to a settled question with its price and its key.
use super::{
    SHORT,
    read::{self, Raw},
    reading,
};
use crate::{cache::Key, limits::Caller, problem::Problem, shelf::Shelf, state::App};
use pipwright_shared::{
    odds::cancellation::CancellationToken,
    rules::Books,
    wire::{question::Question, size},
};
use std::{sync::Arc, time::Instant};

/// A question that can be answered.
pub(super) struct Prepared<Q: Question> {
    pub(super) ready: Arc<Q::Ready>,
    pub(super) key: Key,
    pub(super) price: u64,
}

/// Reads and settles the request: here, where it is short and no table or league, else on another thread.
///
/// # Errors
/// What is wrong with the request, that it is too much work or too much for its caller's rate, or a failure.
pub(super) async fn prepare<Q: Question>(
    app: &App,
    caller: Option<&Caller>,
    shelf: Arc<Shelf>,
    raw: Raw,
) -> Result<Prepared<Q>, Problem> {
    let short = raw.len() <= SHORT && Q::PATIENCE == 1;
    let (own, caller) = (app.clone(), caller.cloned());
    let settled =
        move |token: &CancellationToken| Ok(settled(&own, caller.as_ref(), &shelf.books.until(token.clone()), &raw));
    reading(app, short, settled).await?
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
    Ok(Prepared { ready: Arc::new(ready), key, price })
}
