//! `GET /packs.schema.json`
use super::page::Page;
use axum::{
    http::{HeaderMap, HeaderValue},
    response::Response,
};
use pipwright_shared::packs::SCHEMA;
use std::sync::LazyLock;

static PAGE: LazyLock<Page> = LazyLock::new(|| Page::new(HeaderValue::from_static("application/schema+json"), SCHEMA));

/// The JSON Schema of pack files
///
/// Draft 2020-12, of rules and unit books alike. An editor that knows TOML completes and checks by it where a file's
/// first line is `#:schema http://…/packs.schema.json`.
#[utoipa::path(get, path = "/packs.schema.json", tag = "books", responses(
    (status = 200, description = "The schema", body = serde_json::Value, content_type = "application/schema+json")
))]
pub async fn get(headers: HeaderMap) -> Response {
    PAGE.respond(&headers).await
}
