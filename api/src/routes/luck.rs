//! `POST /v1/luck`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::luck::{LuckAnswer, LuckRequest};

/// A result that happened, or a whole evening of them: how unusual was it?
#[utoipa::path(
    post,
    path = "/v1/luck",
    tag = "odds",
    request_body = LuckRequest,
    responses((status = 200, description = "The answer", body = LuckAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<LuckRequest>(app, request).await
}
