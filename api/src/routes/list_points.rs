//! `POST /v1/list-points`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::list_points::{ListAnswer, ListRequest};

/// What a list costs, every limit that it breaks, and what the points left could buy.
#[utoipa::path(
    post,
    path = "/v1/list-points",
    tag = "books",
    request_body(
        content = ListRequest,
        example = json!({"limit": 500, "lines": ["2x Ram Barge", "Heron Carriage + signal mast"]})
    ),
    responses((status = 200, description = "The answer", body = ListAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<ListRequest>(app, request).await
}
