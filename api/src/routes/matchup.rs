//! `POST /v1/matchup`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::matchup::{MatchupAnswer, MatchupRequest};

/// One unit attacks another: what happens, and why.
#[utoipa::path(
    post,
    path = "/v1/matchup",
    tag = "books",
    request_body(
        content = MatchupRequest,
        example = json!({"attacker": {"unit": "Ram Barge", "models": 3}, "target": {"unit": "Heron Carriage"}, "situation": {"arc": "rear"}})
    ),
    responses((status = 200, description = "The answer", body = MatchupAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<MatchupRequest>(app, request).await
}
