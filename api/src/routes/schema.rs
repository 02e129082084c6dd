//! `GET /packs.schema.json`
use axum::{
    http::header,
    response::{IntoResponse, Response},
};
use pipwright_shared::packs::SCHEMA;

/// The JSON Schema of pack files
///
/// Draft 2020-12, of rules and unit books alike. An editor that knows TOML completes and checks by it where a file's
/// first line is `#:schema http://…/packs.schema.json`.
#[utoipa::path(get, path = "/packs.schema.json", tag = "books", responses(
    (status = 200, description = "The schema", body = serde_json::Value, content_type = "application/schema+json")
))]
pub async fn get() -> Response {
    let headers = [(header::CONTENT_TYPE, "application/schema+json"), (header::CACHE_CONTROL, "public, max-age=300")];
    (headers, SCHEMA).into_response()
}
