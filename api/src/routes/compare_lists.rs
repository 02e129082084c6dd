//! `POST /v1/compare-lists`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::compare_lists::{CompareListsAnswer, CompareListsRequest};

/// Two lists against each other: the points that each takes in a game, row by row, and what each has no answer to.
///
/// This says how well two lists are matched unit against unit; it plays no game between them.
#[utoipa::path(
    post,
    path = "/v1/compare-lists",
    tag = "units",
    request_body = CompareListsRequest,
    responses((status = 200, description = "The answer", body = CompareListsAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<CompareListsRequest>(app, request).await
}
