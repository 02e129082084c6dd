//! `POST /v1/assign`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::assign::{AssignAnswer, AssignRequest};

/// Who attacks whom, so that most is destroyed.
///
/// The best of all ways to send attackers to targets. Those on one target act in the order listed, each on what stands when
/// it acts. The answer says what everybody's own best target would have given, the next best plans, and why each goes where
/// it goes.
#[utoipa::path(
    post,
    path = "/v1/assign",
    tag = "units",
    request_body = AssignRequest,
    responses((status = 200, description = "The answer", body = AssignAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<AssignRequest>(app, request).await
}
