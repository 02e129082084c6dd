//! Temporary.
use crate::state::App;
use axum::{
    Json,
    extract::{Path, Query, State},
    http::StatusCode,
    response::{IntoResponse, Response},
};
use pipwright_shared::wire::packs;
use std::collections::HashMap;
fn bad<E: serde::Serialize>(e: E) -> Response {
    (StatusCode::NOT_FOUND, Json(serde_json::json!({"title":"x","status":404,"detail": "", "errors": e})))
        .into_response()
}
pub async fn all(State(app): State<App>) -> Response {
    Json(packs::packs(&app.shelf.load().books)).into_response()
}
pub async fn one(State(app): State<App>, Path(p): Path<String>) -> Response {
    match packs::find_pack(&app.shelf.load().books, &p) {
        Ok(p) => Json(packs::pack(&p)).into_response(),
        Err(e) => bad(vec![format!("{e:?}")]),
    }
}
pub async fn unit(
    State(app): State<App>,
    Path((p, u)): Path<(String, String)>,
    Query(q): Query<packs::UnitQuery>,
) -> Response {
    match packs::find_pack(&app.shelf.load().books, &p) {
        Ok(p) => match packs::unit(&p, &u, &q) {
            Ok(u) => Json(u).into_response(),
            Err(e) => bad(format!("{e:?}")),
        },
        Err(e) => bad(format!("{e:?}")),
    }
}
pub async fn rules(
    State(app): State<App>,
    Path(p): Path<String>,
    Query(q): Query<HashMap<String, String>>,
) -> Response {
    match packs::find_pack(&app.shelf.load().books, &p) {
        Ok(p) => Json(packs::rules(&p, q.get("q").map_or("", |s| s.as_str()))).into_response(),
        Err(e) => bad(format!("{e:?}")),
    }
}
pub async fn rule(State(app): State<App>, Path((p, u)): Path<(String, String)>) -> Response {
    match packs::find_pack(&app.shelf.load().books, &p) {
        Ok(p) => match packs::rule(&p, &u) {
            Ok(u) => Json(u).into_response(),
            Err(e) => bad(format!("{e:?}")),
        },
        Err(e) => bad(format!("{e:?}")),
    }
}
