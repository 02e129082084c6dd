//! `POST /v1/rule`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::rule::{RuleAnswer, RuleRequest};

/// What a rule says and changes, and yes or no to a question about it; what another word of the pack means.
#[utoipa::path(
    post,
    path = "/v1/rule",
    tag = "books",
    request_body(content = RuleRequest, example = json!({"ask": "does the screen work from behind"})),
    responses((status = 200, description = "The rule", body = RuleAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<RuleRequest>(app, request).await
}
