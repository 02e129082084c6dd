//! `POST /v1/draw`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::draw::{DrawOutcome, DrawRequest};

/// Tokens or cards drawn without replacement.
#[utoipa::path(
    post,
    path = "/v1/draw",
    tag = "odds",
    request_body(
        content = DrawRequest,
        example = json!({"contents": {"red": 4, "blue": 3, "end": 1}, "draws": 3, "ends_on": {"end": 1}})
    ),
    responses((status = 200, description = "The answer", body = DrawOutcome), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<DrawRequest>(app, request).await
}
