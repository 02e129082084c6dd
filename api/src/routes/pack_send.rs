//! `POST /v1/packs`: a pack is sent once, and named by its content from then on.
use crate::{
    ask::{self, body, pool::Lane},
    openapi::Refused,
    problem::Problem,
    state::App,
};
use axum::{
    Json,
    extract::{Request, State},
    response::{IntoResponse, Response},
};
use pipwright_shared::{
    odds::cancellation::CancellationToken,
    rules::pack_catalog::Noted,
    wire::{
        packs::{PackRefused, PackSent, SEND_BUDGET_FACTOR, SendRequest},
        read,
    },
};
use std::{
    sync::{Arc, Mutex, PoisonError},
    time::Instant,
};

/// So many bytes of a pack count as one request for its caller's rate.
const BYTES_EACH: usize = 32 << 10;

/// Takes a pack, checks it and keeps it under its content.
///
/// The address that is answered stands wherever a pack is named: in requests, links, pages, pictures and batches, until
/// nobody has used it for `kept_s` seconds. `pinned` is the same in short: `name@hash`, the pack's name and at least eight
/// digits of its hash, also pins a version of a pack that the service itself has. What is not kept any more is a 404 of the
/// type `pack-gone`: send it again. A pack with mistakes is refused with all of them, each with its file, line and column.
/// The body may be larger than others (4 MiB, unless whoever runs the service has set it otherwise); each 32 KiB of it count
/// as one request for the caller's rate.
#[utoipa::path(
    post,
    path = "/v1/packs",
    operation_id = "send_pack",
    tag = "books",
    request_body(
        content = SendRequest,
        example = json!({"pack": "canal-guild", "book": "format = 1\npack = \"canal-guild\"\n\n[[unit]]\nid = \"toll-keeper\"\nlabel = \"Toll Keeper\"\nkind = \"foot\"\nrole = \"foot-bands\"\npoints = 15\nstats = { drill = \"4+\", nerve = 7, pace = 0, bulk = 3 }\n"})
    ),
    responses((status = 200, description = "The address of the pack", body = PackSent), Refused)
)]
pub async fn post(State(app): State<App>, request: Request) -> Result<Response, Problem> {
    let (parts, body) = request.into_parts();
    body::is_json(&parts.headers)?;
    let body = body::read_most(&app.config, app.config.pack_bytes, &parts.headers, body).await?;
    let _in_work = app.limits.begin()?;
    let more = u32::try_from(body.len() / BYTES_EACH).unwrap_or(u32::MAX);
    if let Some(caller) = ask::caller(&parts).filter(|_| more > 0) {
        app.limits.charge(caller, more, Instant::now())?;
    }
    let end = app.pool.deadline(SEND_BUDGET_FACTOR);
    let read = |noted: Arc<Mutex<Noted>>| {
        let (pack_store, budget) = (app.pack_store.load_full(), app.config.budget);
        let (catalog, body) = (app.kept.beside(&pack_store.catalog, noted), body.clone());
        let read = move |token: &CancellationToken| {
            let request: SendRequest = match read::body(&body) {
                Ok(request) => request,
                Err(mistakes) => return Ok(Err(PackRefused::Mistakes(mistakes))),
            };
            let read = request.read(&catalog.until(token.clone()), budget);
            token.check()?;
            Ok(read)
        };
        app.pool.beside(&app.metrics, (Lane::Reading, end), Arc::default(), read)
    };
    let noted: Arc<Mutex<Noted>> = Arc::default();
    let mut pack = read(Arc::clone(&noted)).await?;
    // A book may be for a pack that was sent before.
    let missing = std::mem::take(&mut noted.lock().unwrap_or_else(PoisonError::into_inner).missing);
    if !missing.is_empty() && app.kept.fetch(&app, &missing).await? {
        pack = read(noted).await?;
    }
    match pack {
        Ok(pack) => {
            let shared = app.kept.keep(&app, &pack).await;
            Ok(Json(PackSent::of(&pack, app.config.pack_keep_s, shared)).into_response())
        }
        Err(PackRefused::Mistakes(mistakes)) => Err(Problem::of(mistakes)),
        Err(PackRefused::Faults(faults)) => Err(Problem::of_faults(faults)),
    }
}
