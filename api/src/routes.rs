//! The router: one line an endpoint.
use crate::{
    ask,
    mcp::{self, Door},
    middleware::{every_request, no_method, no_path},
    openapi::{self, Contract},
    state::App,
};
use axum::{Router, body::Bytes, middleware, routing::get};
use pipwright_shared::wire::{
    appraisal::AppraisalRequest, arc::ArcRequest, assign::AssignRequest, batch::BatchRequest, blast::BlastRequest,
    build::BuildRequest, check::CheckRequest, compare::CompareRequest, compare_lists::CompareListsRequest,
    draw::DrawRequest, duel::DuelRequest, fair::FairRequest, list_points::ListRequest, luck::LuckRequest,
    matchup::MatchupRequest, needed::NeededRequest, odds::OddsRequest, pack_check::PackCheckRequest,
    packs::NamesRequest, question::Question, repair::RepairRequest, rule::RuleRequest, side_by_side::SideBySideRequest,
    worth::WorthRequest,
};
use tower_http::compression::CompressionLayer;
use utoipa::OpenApi;
use utoipa_axum::{
    router::{OpenApiRouter, UtoipaMethodRouter},
    routes,
};

pub mod appraisal;
pub mod arc;
pub mod assign;
pub mod batch;
pub mod blast;
pub mod build;
pub mod check;
pub mod compare;
pub mod compare_lists;
pub mod docs;
pub mod draw;
pub mod duel;
pub mod fair;
pub mod health;
pub mod list_points;
pub mod luck;
pub mod matchup;
pub mod names;
pub mod needed;
pub mod odds;
pub mod pack_check;
pub mod pack_send;
pub mod packs;
mod page;
pub mod repair;
pub mod rule;
pub mod schema;
pub mod side_by_side;
pub mod workshop;
pub mod worth;

/// All the endpoints.
pub fn router(app: App) -> Router {
    with(app, OpenApiRouter::new())
}

/// All the endpoints and some more, which tests bring.
pub fn with(app: App, more: OpenApiRouter<App>) -> Router {
    let (router, contract) = described(more);
    let door = behind(&app, &router, contract.clone());
    router
        .merge(docs::router(contract))
        .merge(mcp::router(door))
        .merge(workshop::router())
        .fallback(no_path)
        .method_not_allowed_fallback(no_method)
        .layer(CompressionLayer::new())
        .layer(middleware::from_fn_with_state(app.clone(), every_request))
        .with_state(app)
}

/// The door for assistants, without the service around it.
pub fn door(app: &App) -> Door {
    let (router, contract) = described(OpenApiRouter::new());
    behind(app, &router, contract)
}

/// The endpoints and some more, with the contract that describes them.
fn described(more: OpenApiRouter<App>) -> (Router<App>, Bytes) {
    let endpoints = OpenApiRouter::with_openapi(Contract::openapi())
        .merge(endpoints())
        .merge(more)
        .routes(routes!(health::livez))
        .routes(routes!(health::readyz))
        .routes(routes!(health::metrics))
        .routes(routes!(schema::get));
    let (router, contract) = endpoints.split_for_parts();
    (router, openapi::document(&contract).into())
}

/// The door to these endpoints, past the layer that every request goes through.
fn behind(app: &App, router: &Router<App>, contract: Bytes) -> Door {
    Door::new(
        app,
        router.clone().fallback(no_path).method_not_allowed_fallback(no_method).with_state(app.clone()),
        contract,
    )
}

/// The metrics, and nothing else.
pub fn metrics(app: App) -> Router {
    Router::new().route("/metrics", get(health::numbers)).with_state(app)
}

fn endpoints() -> OpenApiRouter<App> {
    OpenApiRouter::new()
        .merge(calculation::<OddsRequest>(routes!(odds::post)))
        .merge(calculation::<CheckRequest>(routes!(check::post)))
        .merge(calculation::<RepairRequest>(routes!(repair::post)))
        .merge(calculation::<BlastRequest>(routes!(blast::post)))
        .merge(calculation::<DuelRequest>(routes!(duel::post)))
        .merge(calculation::<NeededRequest>(routes!(needed::post)))
        .merge(calculation::<LuckRequest>(routes!(luck::post)))
        .merge(calculation::<DrawRequest>(routes!(draw::post)))
        .merge(calculation::<FairRequest>(routes!(fair::post)))
        .merge(calculation::<CompareRequest>(routes!(compare::post)))
        .merge(calculation::<CompareListsRequest>(routes!(compare_lists::post)))
        .merge(calculation::<BatchRequest>(routes!(batch::post)))
        .merge(calculation::<MatchupRequest>(routes!(matchup::post)))
        .merge(calculation::<AssignRequest>(routes!(assign::post)))
        .merge(calculation::<BuildRequest>(routes!(build::post)))
        .merge(calculation::<AppraisalRequest>(routes!(appraisal::post)))
        .routes(routes!(appraisal::page))
        .routes(routes!(appraisal::text))
        .routes(routes!(appraisal::table))
        .routes(routes!(appraisal::picture))
        .merge(calculation::<SideBySideRequest>(routes!(side_by_side::post)))
        .routes(routes!(side_by_side::page))
        .routes(routes!(side_by_side::text))
        .merge(calculation::<WorthRequest>(routes!(worth::post)))
        .routes(routes!(worth::events))
        .routes(routes!(worth::page))
        .routes(routes!(worth::text))
        .routes(routes!(worth::table))
        .merge(calculation::<ListRequest>(routes!(list_points::post)))
        .merge(calculation::<ArcRequest>(routes!(arc::post)))
        .merge(calculation::<NamesRequest>(routes!(names::post)))
        .merge(calculation::<RuleRequest>(routes!(rule::post)))
        .merge(calculation::<PackCheckRequest>(routes!(pack_check::post)))
        .routes(routes!(packs::all_packs, pack_send::post))
        .routes(routes!(packs::one_pack))
        .routes(routes!(packs::pack_files))
        .routes(routes!(packs::find_units))
        .routes(routes!(packs::one_unit))
        .routes(routes!(packs::find_rules))
        .routes(routes!(packs::one_rule))
}

/// A calculation: `POST` as documented, and `GET` with the same fields in the query string.
pub fn calculation<Q: Question>(post: UtoipaMethodRouter<App>) -> OpenApiRouter<App> {
    OpenApiRouter::new().routes(post).route(&format!("/v1/{}", Q::PATH), get(ask::get::<Q>))
}
