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
    request_body(
        content = RepairRequest,
        example = json!({"capacity": 5, "missing": 2, "needs": "5+", "incoming": {"distribution": [{"value": 0, "fraction": "2/3"}, {"value": 1, "fraction": "1/3"}]}})
    ),
    responses((status = 200, description = "The answer", body = RepairOutcome), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<RepairRequest>(app, request).await
}
