//! `POST /v1/check`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::check::{CheckOutcome, CheckRequest};

/// One roll, or several: how many pass, and which is the first to pass.
#[utoipa::path(
    post,
    path = "/v1/check",
    tag = "odds",
    request_body = CheckRequest,
    responses((status = 200, description = "The answer", body = CheckOutcome), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<CheckRequest>(app, request).await
}
