//! `POST /v1/duel`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::duel::{DuelOutcome, DuelRequest};

/// Two sides fight turn by turn: who is left, and when.
#[utoipa::path(
    post,
    path = "/v1/duel",
    tag = "odds",
    request_body = DuelRequest,
    responses((status = 200, description = "The answer", body = DuelOutcome), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<DuelRequest>(app, request).await
}
