//! `POST /v1/repair`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::repair::{RepairOutcome, RepairRequest};

/// What is repaired turn by turn, and whether the unit survives that long.
#[utoipa::path(
    post,
    path = "/v1/repair",
    tag = "odds",
    request_body = RepairRequest,
    responses((status = 200, description = "The answer", body = RepairOutcome), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<RepairRequest>(app, request).await
}
