//! `POST /v1/arc`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::arc::{ArcAnswer, ArcRequest};

/// Which side of a hull is hit, from a bearing or from where both stand.
#[utoipa::path(
    post,
    path = "/v1/arc",
    tag = "books",
    request_body(
        content = ArcRequest,
        example = json!({"target": {"x": 0, "y": 0, "heading": 90}, "attacker": {"x": 10, "y": 10}, "hull": {"length_mm": 130, "width_mm": 75}})
    ),
    responses((status = 200, description = "The arc", body = ArcAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<ArcRequest>(app, request).await
}
