//! `POST /v1/blast`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::blast::{BlastOutcome, BlastRequest};

/// How many bases a round template catches.
#[utoipa::path(
    post,
    path = "/v1/blast",
    tag = "odds",
    request_body(
        content = BlastRequest,
        example = json!({"template": {"diameter_mm": 75}, "formation": {"models": 10, "base_mm": 25, "gap_mm": 10, "files": 5}, "scatter": {"dice": "2d6", "reduce": 4, "on_target": "1/3"}})
    ),
    responses((status = 200, description = "The answer", body = BlastOutcome), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<BlastRequest>(app, request).await
}
