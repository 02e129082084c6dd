//! `POST /v1/needed`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::needed::{NeededAnswer, NeededRequest};

/// How many attackers, or tries, for a wanted chance.
#[utoipa::path(
    post,
    path = "/v1/needed",
    tag = "odds",
    request_body(
        content = NeededRequest,
        example = json!({"check": {"dice": "1d6", "needs": "6+"}, "want": {"passes": 1, "chance": 0.9}})
    ),
    responses((status = 200, description = "The answer", body = NeededAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<NeededRequest>(app, request).await
}
