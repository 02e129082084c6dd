//! `POST /v1/luck`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::luck::{LuckAnswer, LuckRequest};

/// A result that happened: how unusual was it?
#[utoipa::path(
    post,
    path = "/v1/luck",
    tag = "odds",
    request_body(
        content = LuckRequest,
        example = json!({"check": {"dice": "1d6", "needs": "2+", "tries": 6}, "result": {"passes": 1}})
    ),
    responses((status = 200, description = "The answer", body = LuckAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<LuckRequest>(app, request).await
}
