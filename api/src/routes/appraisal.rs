//! `POST /v1/appraisal`, and its page, its Markdown and its CSV.
use crate::{
    ask,
    openapi::Refused,
    problem::{Kind, Problem},
    state::App,
};
use axum::{
    extract::{Path, Request, State},
    http::{HeaderName, HeaderValue, header, request::Parts},
    response::Response,
};
use pipwright_shared::report::{csv::csv, markdown::markdown, page, palette::Theme, picture, sheet::Sheet};
use pipwright_shared::wire::appraisal::{AppraisalAnswer, AppraisalRequest, sheet};

/// What a unit is worth: its cost, what it does to a board of targets, how long it lives, and what drives that.
///
/// The board is the pack's own, or the units of `against`. Whoever attacks is not attacked back, and chooses the range at
/// which one turn removes most; the arc is the usual one where none is named. Worth is the average number of points
/// destroyed in a game, times the average share of a game's turns that the unit survives, for each point that it costs. A
/// target that it cannot attack counts as no points destroyed, an attacker that cannot attack it as a whole game survived.
/// Each row carries the question that gives its numbers in `ask`.
#[utoipa::path(
    post,
    path = "/v1/appraisal",
    tag = "units",
    request_body(content = AppraisalRequest, example = json!({"pack": "canal-guild", "unit": "Heron Carriage"})),
    responses((status = 200, description = "The answer", body = AppraisalAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<AppraisalRequest>(app, request).await
}

/// The appraisal as one page with its charts, which needs nothing from outside.
#[utoipa::path(
    get,
    path = "/v1/appraisal.html",
    tag = "units",
    params(("unit" = String, Query, description = "The unit's name; every other field as in the short form of `/v1/appraisal`", example = "heron-carriage")),
    responses((status = 200, description = "The page", body = String, content_type = "text/html"), Refused)
)]
pub async fn page(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    let mut response = form(&app, &parts, "text/html; charset=utf-8", |sheet| page::html(&sheet)).await?;
    let policy = HeaderValue::from_static(page::CONTENT_SECURITY_POLICY);
    response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
    Ok(response)
}

/// The appraisal as Markdown.
#[utoipa::path(
    get,
    path = "/v1/appraisal.md",
    tag = "units",
    params(("unit" = String, Query, description = "The unit's name; every other field as in the short form of `/v1/appraisal`", example = "heron-carriage")),
    responses((status = 200, description = "The text", body = String, content_type = "text/markdown"), Refused)
)]
pub async fn text(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    form(&app, &parts, "text/markdown; charset=utf-8", |sheet| markdown(&sheet)).await
}

/// The tables of the appraisal as CSV, a line for each number.
#[utoipa::path(
    get,
    path = "/v1/appraisal.csv",
    tag = "units",
    params(("unit" = String, Query, description = "The unit's name; every other field as in the short form of `/v1/appraisal`", example = "heron-carriage")),
    responses((status = 200, description = "The tables", body = String, content_type = "text/csv"), Refused)
)]
pub async fn table(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    let mut response = form(&app, &parts, "text/csv; charset=utf-8; header=present", |sheet| csv(&sheet)).await?;
    let name = HeaderValue::from_static("attachment; filename=\"appraisal.csv\"");
    response.headers_mut().insert(HeaderName::from_static("content-disposition"), name);
    Ok(response)
}

/// One of the page's pictures, such as `1.svg` or `2.png`; its words for those who can't see it are inside.
#[utoipa::path(
    get,
    path = "/v1/appraisal/pictures/{picture}",
    tag = "units",
    params(
        ("picture" = String, Path, description = "Its place on the page, from 1, with `.svg` or `.png`", example = "1.png"),
        ("unit" = String, Query, description = "The unit's name; every other field as in the short form of `/v1/appraisal`", example = "heron-carriage")
    ),
    responses((status = 200, description = "The picture", content(("image/png"), ("image/svg+xml"))), Refused)
)]
pub async fn picture(State(app): State<App>, Path(name): Path<String>, parts: Parts) -> Result<Response, Problem> {
    let none = |detail: &str| Problem::new(Kind::UnknownPath, detail);
    let (number, kind) = name.split_once('.').ok_or_else(|| none("A picture is called like 1.svg or 2.png."))?;
    let painted = match kind {
        "svg" => false,
        "png" => true,
        _ => return Err(none("Pictures are there as .svg and .png.")),
    };
    let number: usize = number.parse().map_err(|_| none("A picture is called like 1.svg or 2.png."))?;
    let content_type = if painted { "image/png" } else { "image/svg+xml" };
    ask::written::<AppraisalRequest, AppraisalAnswer>(&app, &parts, content_type, move |answer| {
        let sheet = sheet(&answer);
        let count = sheet.pictures().count();
        let there = || none(&format!("This page has {count} pictures, from 1."));
        let picture = number.checked_sub(1).and_then(|at| sheet.pictures().nth(at)).ok_or_else(there)?;
        let drawing = picture.svg(Theme::Light);
        if !painted {
            return Ok(drawing.into());
        }
        picture::png(&drawing, picture.alt()).map_err(|error| {
            tracing::error!(%error, "a drawing could not be painted");
            Problem::new(Kind::Internal, "The picture could not be painted.")
        })
    })
    .await
}

async fn form(app: &App, parts: &Parts, kind: &'static str, write: fn(Sheet) -> String) -> Result<Response, Problem> {
    ask::written::<AppraisalRequest, AppraisalAnswer>(app, parts, kind, move |answer| Ok(write(sheet(&answer)).into()))
        .await
}
