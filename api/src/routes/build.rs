//! `POST /v1/build`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::build::{BuildAnswer, BuildRequest};

/// The best legal lists for so many points, against the pack's board or another list.
///
/// Each list is legal at `list-points` with the same total, and proven best or given with the most that another could
/// reach. Where no list is legal, `problems` names the smallest set of limits that clash.
#[utoipa::path(
    post,
    path = "/v1/build",
    tag = "units",
    request_body = BuildRequest,
    responses((status = 200, description = "The answer", body = BuildAnswer), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<BuildRequest>(app, request).await
}
