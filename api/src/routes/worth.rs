//! `POST /v1/worth`, its events, its page, its Markdown and its CSV.
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    http::{HeaderName, HeaderValue, header, request::Parts},
    response::Response,
};
use pipwright_shared::report::{csv::csv, markdown::markdown, page, sheet::Sheet};
use pipwright_shared::wire::worth::{WorthAnswer, WorthRequest, sheet};

/// A whole unit book ranked by what its units give for their points, all against all, with the prices that are off.
///
/// Every unit faces every unit of the board, itself too. The answer says how it was measured and what that does not see.
/// This may take some seconds; `/v1/worth/events` tells how far it has come.
#[utoipa::path(
    post,
    path = "/v1/worth",
    tag = "units",
    request_body(content = WorthRequest, example = json!({"pack": "canal-guild"})),
    responses((status = 200, description = "The answer", body = WorthAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<WorthRequest>(app, request).await
}

/// The league as server-sent events: `progress` with the parts done and of how many, at last `answer` or `problem`.
///
/// Hanging up stops the work, unless somebody else waits for the same.
#[utoipa::path(
    get,
    path = "/v1/worth/events",
    tag = "units",
    params(("pack" = Option<String>, Query, description = "The pack's name; every other field as in the short form of `/v1/worth`")),
    responses((status = 200, description = "The events; the `data` of each is JSON", content(("text/event-stream"))), Refused)
)]
pub async fn events(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    let _in_work = app.limits.begin()?;
    ask::events::events::<WorthRequest>(app.clone(), &parts).await
}

/// The league as one page with its chart, which needs nothing from outside.
#[utoipa::path(
    get,
    path = "/v1/worth.html",
    tag = "units",
    params(("pack" = Option<String>, Query, description = "The pack's name; every other field as in the short form of `/v1/worth`")),
    responses((status = 200, description = "The page", body = String, content_type = "text/html"), Refused)
)]
pub async fn page(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    let mut response = form(&app, &parts, "text/html; charset=utf-8", |sheet| page::html(&sheet)).await?;
    let policy = HeaderValue::from_static(page::CONTENT_SECURITY_POLICY);
    response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
    Ok(response)
}

/// The league as Markdown.
#[utoipa::path(
    get,
    path = "/v1/worth.md",
    tag = "units",
    params(("pack" = Option<String>, Query, description = "The pack's name; every other field as in the short form of `/v1/worth`")),
    responses((status = 200, description = "The text", body = String, content_type = "text/markdown"), Refused)
)]
pub async fn text(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    form(&app, &parts, "text/markdown; charset=utf-8", |sheet| markdown(&sheet)).await
}

/// The league as CSV, a line for each number.
#[utoipa::path(
    get,
    path = "/v1/worth.csv",
    tag = "units",
    params(("pack" = Option<String>, Query, description = "The pack's name; every other field as in the short form of `/v1/worth`")),
    responses((status = 200, description = "The table", body = String, content_type = "text/csv"), Refused)
)]
pub async fn table(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    let mut response = form(&app, &parts, "text/csv; charset=utf-8; header=present", |sheet| csv(&sheet)).await?;
    let name = HeaderValue::from_static("attachment; filename=\"league.csv\"");
    response.headers_mut().insert(HeaderName::from_static("content-disposition"), name);
    Ok(response)
}

async fn form(app: &App, parts: &Parts, kind: &'static str, write: fn(Sheet) -> String) -> Result<Response, Problem> {
    ask::written::<WorthRequest, WorthAnswer>(app, parts, kind, move |answer| Ok(write(sheet(&answer)).into())).await
}
