//! `POST /v1/side-by-side`, and its page and its Markdown.
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    http::{HeaderValue, header, request::Parts},
    response::Response,
};
use pipwright_shared::report::{markdown::markdown, page, sheet::Sheet};
use pipwright_shared::wire::side_by_side::{SideBySideAnswer, SideBySideRequest, sheet};

/// Two to four units or loadouts side by side, measured against the same board.
///
/// Every number is the one that the unit's appraisal has.
#[utoipa::path(
    post,
    path = "/v1/side-by-side",
    tag = "units",
    request_body(content = SideBySideRequest, example = json!({"pack": "canal-guild", "units": [{"unit": "Heron Carriage"}, {"unit": "Bittern Carriage"}]})),
    responses((status = 200, description = "The answer", body = SideBySideAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<SideBySideRequest>(app, request).await
}

/// The same as one page with its picture and its table, which needs nothing from outside.
#[utoipa::path(
    get,
    path = "/v1/side-by-side.html",
    tag = "units",
    params(
        ("units.0.unit" = String, Query, description = "The first unit; every other field as in the short form of `/v1/side-by-side`", example = "heron-carriage"),
        ("units.1.unit" = String, Query, description = "The second unit", example = "bittern-carriage")
    ),
    responses((status = 200, description = "The page", body = String, content_type = "text/html"), Refused)
)]
pub async fn page(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    let mut response = form(&app, &parts, "text/html; charset=utf-8", |sheet| page::html(&sheet)).await?;
    let policy = HeaderValue::from_static(page::CONTENT_SECURITY_POLICY);
    response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
    Ok(response)
}

/// The same as Markdown.
#[utoipa::path(
    get,
    path = "/v1/side-by-side.md",
    tag = "units",
    params(
        ("units.0.unit" = String, Query, description = "The first unit; every other field as in the short form of `/v1/side-by-side`", example = "heron-carriage"),
        ("units.1.unit" = String, Query, description = "The second unit", example = "bittern-carriage")
    ),
    responses((status = 200, description = "The text", body = String, content_type = "text/markdown"), Refused)
)]
pub async fn text(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    form(&app, &parts, "text/markdown; charset=utf-8", |sheet| markdown(&sheet)).await
}

async fn form(app: &App, parts: &Parts, kind: &'static str, write: fn(Sheet) -> String) -> Result<Response, Problem> {
    ask::written::<SideBySideRequest, SideBySideAnswer>(
        app,
        parts,
        kind,
        move |answer| Ok(write(sheet(&answer)).into()),
    )
    .await
}
