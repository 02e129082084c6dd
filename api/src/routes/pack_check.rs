//! `POST /v1/packs/check`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::pack_check::{PackCheckAnswer, PackCheckRequest};

/// What is wrong in a pack or unit-book file, each mistake with line and column.
#[utoipa::path(
    post,
    path = "/v1/packs/check",
    tag = "books",
    request_body(
        content = PackCheckRequest,
        example = json!({"files": [{"name": "ours.toml", "text": "format = 1\npack = \"canal-guild\"\n"}]})
    ),
    responses((status = 200, description = "What was found", body = PackCheckAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<PackCheckRequest>(app, request).await
}
