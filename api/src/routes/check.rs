//! `POST /v1/check`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::check::{CheckOutcome, CheckRequest};

/// One roll, or several: how many pass, and when the first does.
#[utoipa::path(
    post,
    path = "/v1/check",
    tag = "odds",
    request_body(
        content = CheckRequest,
        example = json!({"dice": "2d6", "needs": "7+", "tries": 3})
    ),
    responses((status = 200, description = "The answer", body = CheckOutcome), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<CheckRequest>(app, request).await
}
