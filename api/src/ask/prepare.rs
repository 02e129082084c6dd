//! From a request to a settled question with its price and its key.
use super::{
    SHORT,
    read::{self, Raw},
    reading,
};
use crate::{cache::Key, limits::Caller, problem::Problem, shelf::Shelf, state::App};
use pipwright_shared::wire::{
    mistake::{Mistake, MistakeKind},
    question::{Question, Ready},
    size,
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
    reading(app, short, move |_| Ok(settled(&own, caller.as_ref(), &shelf, &raw))).await?
}

fn settled<Q: Question>(app: &App, caller: Option<&Caller>, shelf: &Shelf, raw: &Raw) -> Result<Prepared<Q>, Problem> {
    let question: Q = read::read(raw)?;
    // The request itself is counted already.
    let more = question.parts().saturating_sub(1);
    if let Some(caller) = caller.filter(|_| more > 0) {
        app.limits.charge(caller, u32::try_from(more).unwrap_or(u32::MAX), Instant::now())?;
    }
    let ready = question.settle(&shelf.books)?;
    let price = ready.price();
    within(app.config.budget.saturating_mul(Q::PATIENCE), price, raw)?;
    let key = Key::of::<Q>(&ready);
    Ok(Prepared { ready: Arc::new(ready), key, price })
}

fn within(budget: u64, price: u64, raw: &Raw) -> Result<(), Problem> {
    if price <= budget {
        return Ok(());
    }
    let times = price.div_ceil(budget.max(1));
    let detail = format!("This is about {times} times the work that one question may take.");
    let largest = raw.value().ok().as_ref().and_then(size::largest);
    let (pointer, lower) = largest.map_or_else(
        || (String::new(), "Ask for less at once.".to_owned()),
        |(pointer, size)| {
            let lower = format!(
                "Lower its sizes, first of all {} ({size}).",
                pointer.trim_start_matches('/').replace('/', ".")
            );
            (pointer, lower)
        },
    );
    let kind = MistakeKind::TooMuchWork;
    Err(Mistake { kind, ..Mistake::value(pointer, format!("{detail} {lower}")) }.into())
}
