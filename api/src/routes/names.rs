//! `POST /v1/packs/names`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::packs::{NamesRequest, PackAnswer};

/// All names of a pack, also of one that comes with the request.
#[utoipa::path(
    post,
    path = "/v1/packs/names",
    tag = "books",
    request_body(content = NamesRequest, example = json!({"pack": "canal-guild"})),
    responses((status = 200, description = "Its names", body = PackAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<NamesRequest>(app, request).await
}
