//! `POST /v1/fair`
use crate::{ask, openapi::Refused, problem::Problem, state::App};
use axum::{
    extract::{Request, State},
    response::Response,
};
use pipwright_shared::wire::fair::{FairOutcome, FairRequest};

/// Is this die fair? How often each face came up, held against how often it should.
#[utoipa::path(
    post,
    path = "/v1/fair",
    tag = "odds",
    request_body = FairRequest,
    responses((status = 200, description = "The answer", body = FairOutcome), Refused)
)]
pub async fn post(app: State<App>, request: Request) -> Result<Response, Problem> {
    ask::post::<FairRequest>(app, request).await
}
