//! `POST /v1/batch`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::batch::{BatchAnswer, BatchRequest};

/// Up to 100 questions in one request.
#[utoipa::path(
    post,
    path = "/v1/batch",
    tag = "odds",
    request_body(
        content = BatchRequest,
        example = json!({"questions": [{"path": "check", "request": {"dice": "2d6", "needs": "7+"}}]})
    ),
    responses((status = 200, description = "The answer", body = BatchAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<BatchRequest>(app, request).await
}
