//! `GET /v1/packs` and what lies below it: packs, units and rules, looked up by forgiving names.
use crate::{
    ask::{get_as, look_up},
    openapi::NotFound,
    problem::Problem,
    state::App,
};
use axum::{
    extract::{Path, Query, State, rejection::QueryRejection},
    http::request::Parts,
    response::Response,
};
use pipwright_shared::wire::{
    mistake::{Mistake, MistakeKind, pointer},
    packs::{self, PackAnswer, PackFilesAnswer, PacksAnswer, RulesAnswer, UnitAnswer, UnitQuery, UnitsAnswer},
    rule::{RuleAnswer, RuleRequest},
};
use serde::Deserialize;
use serde_json::Value;
use utoipa::IntoParams;

/// What is looked for.
#[derive(Debug, Default, Deserialize, IntoParams)]
#[into_params(parameter_in = Query)]
#[serde(deny_unknown_fields)]
pub struct Search {
    /// A name or a part of it, forgiving of spelling; all where it is left out.
    #[serde(default)]
    q: String,
}

/// A query string that a lookup can't read.
fn read<T>(query: Result<Query<T>, QueryRejection>) -> Result<T, Problem> {
    query.map(|Query(query)| query).map_err(|error| {
        let said = error.body_text();
        let said = said.split_once("query string: ").map_or(&*said, |(_, said)| said);
        let mistake = match said.split_once(": ") {
            Some((_, said)) if said.starts_with("unknown field") => {
                let field = said.split('`').nth(1).unwrap_or_default();
                let detail = format!("{field:?} is no parameter here");
                Mistake { kind: MistakeKind::UnknownField, ..Mistake::value(pointer("", field), detail) }
            }
            Some((field, _)) => Mistake::value(pointer("", field), format!("{field} does not take this value")),
            None => Mistake::value("", said),
        };
        Problem::from(mistake)
    })
}

/// All packs
#[utoipa::path(get, path = "/v1/packs", tag = "books", responses((status = 200, description = "The packs, the usual one first", body = PacksAnswer), NotFound))]
pub async fn all_packs(State(app): State<App>, parts: Parts) -> Result<Response, Problem> {
    look_up(&app, &parts, |catalog| Ok(packs::packs(catalog))).await
}

/// All names of a pack
#[utoipa::path(get, path = "/v1/packs/{pack}", tag = "books", params(("pack" = String, Path, description = "The pack", example = "canal-guild")),
    responses((status = 200, description = "Its names", body = PackAnswer), NotFound))]
pub async fn one_pack(State(app): State<App>, Path(pack): Path<String>, parts: Parts) -> Result<Response, Problem> {
    look_up(&app, &parts, move |catalog| Ok(packs::pack(&*packs::find_pack(catalog, &pack)?))).await
}

/// The files of a pack, as they were written
///
/// To begin a pack of one's own with: the page `/workshop` does. Comments are in them, so what nobody should read does not
/// belong into the files of a pack that a service has.
#[utoipa::path(get, path = "/v1/packs/{pack}/files", tag = "books", params(("pack" = String, Path, description = "The pack", example = "canal-guild")),
    responses((status = 200, description = "Names and texts", body = PackFilesAnswer), NotFound))]
pub async fn pack_files(State(app): State<App>, Path(pack): Path<String>, parts: Parts) -> Result<Response, Problem> {
    look_up(&app, &parts, move |catalog| Ok(packs::files(&*packs::find_pack(catalog, &pack)?))).await
}

/// Units of a pack
#[utoipa::path(get, path = "/v1/packs/{pack}/units", tag = "books", params(("pack" = String, Path, description = "The pack", example = "canal-guild"), Search),
    responses((status = 200, description = "Those found, best first", body = UnitsAnswer), NotFound))]
pub async fn find_units(
    State(app): State<App>,
    Path(pack): Path<String>,
    search: Result<Query<Search>, QueryRejection>,
    parts: Parts,
) -> Result<Response, Problem> {
    let search = read(search)?;
    look_up(&app, &parts, move |catalog| Ok(packs::units(&*packs::find_pack(catalog, &pack)?, &search.q))).await
}

/// A unit
#[utoipa::path(get, path = "/v1/packs/{pack}/units/{unit}", tag = "books",
    params(("pack" = String, Path, description = "The pack", example = "canal-guild"), ("unit" = String, Path, description = "The unit", example = "ram-barge"), UnitQuery),
    responses((status = 200, description = "The unit", body = UnitAnswer), NotFound))]
pub async fn one_unit(
    State(app): State<App>,
    Path((pack, unit)): Path<(String, String)>,
    query: Result<Query<UnitQuery>, QueryRejection>,
    parts: Parts,
) -> Result<Response, Problem> {
    let query = read(query)?;
    look_up(&app, &parts, move |catalog| Ok(packs::unit(&*packs::find_pack(catalog, &pack)?, &unit, &query)?)).await
}

/// Rules of a pack
#[utoipa::path(get, path = "/v1/packs/{pack}/rules", tag = "books", params(("pack" = String, Path, description = "The pack", example = "canal-guild"), Search),
    responses((status = 200, description = "Those found, best first", body = RulesAnswer), NotFound))]
pub async fn find_rules(
    State(app): State<App>,
    Path(pack): Path<String>,
    search: Result<Query<Search>, QueryRejection>,
    parts: Parts,
) -> Result<Response, Problem> {
    let search = read(search)?;
    look_up(&app, &parts, move |catalog| Ok(packs::rules(&*packs::find_pack(catalog, &pack)?, &search.q))).await
}

/// A rule, with an example in numbers
#[utoipa::path(get, path = "/v1/packs/{pack}/rules/{rule}", tag = "books",
    params(("pack" = String, Path, description = "The pack", example = "canal-guild"), ("rule" = String, Path, description = "The rule", example = "crushing-blow")),
    responses((status = 200, description = "The rule", body = RuleAnswer), NotFound))]
pub async fn one_rule(
    State(app): State<App>,
    Path((pack, rule)): Path<(String, String)>,
    parts: Parts,
) -> Result<Response, Problem> {
    // As JSON texts, so that a rule may be called like a number.
    let texts = [("pack", &pack), ("rule", &rule)].map(|(name, text)| (name, Value::from(text.as_str()).to_string()));
    let query = form_urlencoded::Serializer::new(String::new()).extend_pairs(texts).finish();
    get_as::<RuleRequest>(&app, &parts, query).await
}
