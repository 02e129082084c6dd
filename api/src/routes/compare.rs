//! `POST /v1/compare`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::compare::{CompareAnswer, CompareRequest};

/// Several attacks against several targets in one table.
#[utoipa::path(
    post,
    path = "/v1/compare",
    tag = "odds",
    request_body(
        content = CompareRequest,
        example = json!({"variants": [{"label": "rifles", "chain": {"attackers": 5, "steps": [{"name": "hit", "needs": "4+"}]}}, {"label": "axes", "chain": {"attackers": 3, "steps": [{"name": "hit", "needs": "3+"}]}}], "targets": [{"label": "five soldiers", "target": {"models": 5}}]})
    ),
    responses((status = 200, description = "The answer", body = CompareAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<CompareRequest>(app, request).await
}
