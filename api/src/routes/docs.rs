//! The contract and its pages. Nothing on them comes from another host.
use crate::{problem::Kind, problem::Problem, state::App};
use axum::{
    Router,
    extract::Path,
    http::header,
    response::{Html, Redirect},
    routing::get,
};
use std::fmt::Write as _;
use utoipa_swagger_ui::{Config, SwaggerUi};

const STYLE: &str = "<!doctype html><html lang=en><meta charset=utf-8><meta name=viewport content='width=device-width'>\
    <style>body{font:1rem/1.5 system-ui,sans-serif;max-width:44rem;margin:2rem auto;padding:0 1rem}\
    code{background:#8882;padding:.1em .3em}dt{font-weight:600;margin-top:.8rem}:root{color-scheme:light dark}</style>";

/// The pages, with the finished contract.
pub fn router(contract: String) -> Router<App> {
    let pages = Router::new()
        .route("/openapi.json", get(move || async move { ([(header::CONTENT_TYPE, "application/json")], contract) }))
        .route("/", get(|| async { Redirect::temporary("/docs") }))
        .route("/docs/", get(|| async { Redirect::temporary("/docs") }))
        .route("/docs", get(|| async { Html(index()) }))
        .route("/docs/problems", get(|| async { Html(problems()) }))
        .route("/docs/problems/{kind}", get(problem));
    pages.merge(SwaggerUi::new("/docs/try").config(Config::new(["/openapi.json"])))
}

fn index() -> String {
    format!(
        "{STYLE}<title>Pipwright</title><h1>Pipwright</h1>\
        <p>Exact odds and checked list points for tabletop miniature battles.</p>\
        <ul><li><a href='/docs/try/'>Every request, with examples to try</a>\
        <li><a href='/openapi.json'>The contract</a> (OpenAPI 3.1)\
        <li><a href='/docs/problems'>What can be wrong with a request</a></ul>\
        <h2>Short forms</h2><p>Every calculation is also a link: the fields of the request go into the query string. \
        <code>/v1/draw?contents.red=4&amp;contents.blue=3&amp;draws=2</code></p><dl>\
        <dt>Dots lead into a field's own fields, numbers into a list\
        <dd><code>target.models=5&amp;steps.0.needs=4%2B</code>\
        <dt>A value that reads as JSON is that JSON; everything else is text\
        <dd><code>tries=3&amp;exact=true&amp;needs=[\"3%2B\",\"4%2B\"]</code>\
        <dt>Text that looks like JSON goes in quotes<dd><code>unit=\"12\"</code>\
        <dt>In a link, <code>+</code> is written <code>%2B</code></dl>\
        <h2>What is not there</h2><p>Packets are resolved in the order rolled, not in one chosen by a player; no re-roll \
        is shared by a whole chain; pools do not cancel one for one; nothing cascades to neighbouring units.</p>\
        <h2>Changes</h2><p>Fields are added without notice; nothing under <code>/v1</code> is removed or changes its \
        meaning. What is to go is announced by the headers <code>Deprecation</code> and <code>Sunset</code> at least six \
        months before. The <code>RateLimit</code> headers follow a draft and may change with it.</p>"
    )
}

fn problems() -> String {
    let mut page = format!("{STYLE}<title>Problems</title><h1>What can be wrong</h1><dl>");
    for kind in Kind::ALL {
        let _ = write!(
            page,
            "<dt><a href='{}'>{}</a> ({})<dd>{}",
            kind.about(),
            kind.title(),
            kind.status().as_u16(),
            kind.page()
        );
    }
    page + "</dl><p><a href='/docs'>Back</a></p>"
}

async fn problem(Path(path): Path<String>) -> Result<Html<String>, Problem> {
    let kind = Kind::ALL.iter().find(|kind| kind.path() == path);
    let kind = kind.ok_or_else(|| Problem::new(Kind::UnknownPath, "No problem is called so; see /docs/problems."))?;
    let (title, page, status) = (kind.title(), kind.page(), kind.status());
    Ok(Html(format!(
        "{STYLE}<title>{title}</title><h1>{title}</h1><p>Status {status}.</p><p>{page}</p><p><a href='/docs/problems'>All problems</a></p>"
    )))
}
