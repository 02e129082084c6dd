//! `POST /v1/odds`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::odds::{OddsAnswer, OddsRequest};

/// What an attack does to a target, from plain numbers.
#[utoipa::path(
    post,
    path = "/v1/odds",
    tag = "odds",
    request_body(
        content = OddsRequest,
        example = json!({"attackers": 3, "attacks": "1d8", "steps": [{"name": "hit", "die": 8, "needs": "4+", "reroll": "worst"}, {"name": "save", "die": 8, "by": "defender", "needs": "6+"}], "damage": "1d4", "target": {"models": 5, "health": 2}})
    ),
    responses((status = 200, description = "The answer", body = OddsAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<OddsRequest>(app, request).await
}
