//! The router: one line an endpoint.
use crate::{
    ask,
    conduct::{conduct, no_method, no_path},
    openapi::{self, Contract},
    state::App,
};
use axum::{Router, middleware, routing::get};
use pipwright_shared::wire::{
    blast::BlastRequest, check::CheckRequest, duel::DuelRequest, odds::OddsRequest, question::Question,
    repair::RepairRequest,
};
use tower_http::compression::CompressionLayer;
use utoipa::OpenApi;
use utoipa_axum::{
    router::{OpenApiRouter, UtoipaMethodRouter},
    routes,
};

pub mod blast;
pub mod check;
pub mod docs;
pub mod duel;
pub mod health;
pub mod odds;
pub mod repair;
pub mod tmp;

/// All the endpoints.
pub fn router(app: App) -> Router {
    with(app, OpenApiRouter::new())
}

/// All the endpoints and some more, which tests bring.
pub fn with(app: App, more: OpenApiRouter<App>) -> Router {
    let endpoints = OpenApiRouter::with_openapi(Contract::openapi())
        .merge(endpoints())
        .merge(more)
        .routes(routes!(health::livez))
        .routes(routes!(health::readyz))
        .routes(routes!(health::metrics));
    let (router, contract) = endpoints.split_for_parts();
    let contract = openapi::document(openapi::with_short_forms(contract));
    router
        .merge(docs::router(contract))
        .fallback(no_path)
        .method_not_allowed_fallback(no_method)
        .layer(CompressionLayer::new())
        .layer(middleware::from_fn_with_state(app.clone(), conduct))
        .with_state(app)
}

fn endpoints() -> OpenApiRouter<App> {
    OpenApiRouter::new()
        .merge(calculation::<OddsRequest>(routes!(odds::post)))
        .merge(calculation::<CheckRequest>(routes!(check::post)))
        .merge(calculation::<RepairRequest>(routes!(repair::post)))
        .merge(calculation::<BlastRequest>(routes!(blast::post)))
        .merge(calculation::<DuelRequest>(routes!(duel::post)))
        .route(
            "/v1/matchup",
            get(ask::get::<pipwright_shared::wire::matchup::MatchupRequest>)
                .post(ask::post::<pipwright_shared::wire::matchup::MatchupRequest>),
        )
        .route(
            "/v1/list-points",
            get(ask::get::<pipwright_shared::wire::list_points::ListRequest>)
                .post(ask::post::<pipwright_shared::wire::list_points::ListRequest>),
        )
        .route("/v1/packs", get(tmp::all))
        .route("/v1/packs/{pack}", get(tmp::one))
        .route("/v1/packs/{pack}/units/{unit}", get(tmp::unit))
        .route("/v1/packs/{pack}/rules", get(tmp::rules))
        .route("/v1/packs/{pack}/rules/{rule}", get(tmp::rule))
}

/// A calculation: `POST` as documented, and `GET` with the same fields in the query string.
pub fn calculation<Q: Question>(post: UtoipaMethodRouter<App>) -> OpenApiRouter<App> {
    OpenApiRouter::new().routes(post).route(&format!("/v1/{}", Q::PATH), get(ask::get::<Q>))
}
