//! `POST /v1/repair`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::repair::{RepairOutcome, RepairRequest};

/// What is mended turn by turn, and whether the unit lives to see it.
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
