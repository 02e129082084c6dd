//! The contract and its pages. Nothing on them comes from another host.
use super::page::Page;
use crate::{
    problem::{Kind, Problem},
    state::App,
};
use axum::{
    Router,
    body::Bytes,
    extract::Path,
    http::{HeaderMap, HeaderValue},
    response::{Redirect, Response},
    routing::{MethodRouter, get},
};
use std::{
    borrow::Cow,
    collections::BTreeMap,
    fmt::Write as _,
    sync::{Arc, LazyLock, Mutex, PoisonError},
};
use utoipa_swagger_ui::{Config, serve};

const STYLE: &str = "<!doctype html><html lang=en><meta charset=utf-8><meta name=viewport content='width=device-width'>\
    <style>body{font:1rem/1.5 system-ui,sans-serif;max-width:44rem;margin:2rem auto;padding:0 1rem}\
    code{background:#8882;padding:.1em .3em}dt{font-weight:600;margin-top:.8rem}:root{color-scheme:light dark}</style>";

/// The pages, with the finished contract.
pub fn router(contract: Bytes) -> Router<App> {
    let away = |to: &'static str| get(move || async move { Redirect::temporary(to) });
    Router::new()
        .route("/openapi.json", always(Page::new(HeaderValue::from_static("application/json"), contract)))
        .route("/", away("/docs"))
        .route("/docs/", away("/docs"))
        .route("/docs", always(Page::html(index())))
        .route("/docs/problems", always(Page::html(problems())))
        .route("/docs/problems/{kind}", get(problem))
        .route("/docs/try", away("/docs/try/"))
        .route("/docs/try/", get(async |headers: HeaderMap| tried("index.html", &headers).await))
        .route(
            "/docs/try/{*file}",
            get(async |Path(file): Path<String>, headers: HeaderMap| tried(&file, &headers).await),
        )
}

/// The page, for whoever asks.
pub(super) fn always(page: Page) -> MethodRouter<App> {
    get(move |headers: HeaderMap| async move { page.respond(&headers).await })
}

/// The files of the pages on which requests can be tried, as far as they were asked for.
static TRIED: LazyLock<Mutex<BTreeMap<String, Page>>> = LazyLock::new(Mutex::default);

async fn tried(file: &str, headers: &HeaderMap) -> Result<Response, Problem> {
    let known = TRIED.lock().unwrap_or_else(PoisonError::into_inner).get(file).cloned();
    let page = match known {
        Some(page) => page,
        None => {
            let page = read(file).ok_or_else(|| Problem::new(Kind::UnknownPath, "There is no such file."))?;
            TRIED.lock().unwrap_or_else(PoisonError::into_inner).entry(file.to_owned()).or_insert(page).clone()
        }
    };
    Ok(page.respond(headers).await)
}

/// A file that the program brings.
fn read(file: &str) -> Option<Page> {
    let found = serve(file, Arc::new(Config::new(["/openapi.json"]))).ok()??;
    let kind = HeaderValue::try_from(found.content_type).ok()?;
    Some(match found.bytes {
        Cow::Borrowed(bytes) => Page::new(kind, bytes),
        Cow::Owned(bytes) => Page::new(kind, bytes),
    })
}

fn index() -> String {
    format!(
        "{STYLE}<title>Pipwright</title><h1>Pipwright</h1>\
        <p>Exact odds and checked list points for tabletop miniature battles.</p>\
        <ul><li><a href='/workshop'>The workshop</a>: write a pack of rules and units in the browser\
        <li><a href='/docs/try/'>Every request, with examples to try</a>\
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
        <h2>For assistants</h2><p>At <code>/mcp</code> the service speaks the Model Context Protocol (streamable HTTP): point an \
        assistant's settings to that address, or let it start <code>pipwright-api mcp</code> and talk on standard input and \
        output. Its tools are calculations of this contract, with the same fields, numbers, limits and keys; a call counts as one \
        request. An answer is a sentence with a link to all of it, and the JSON, of which the longest lists are left out and \
        named in <code>left_out</code>. A refused question is an error of the tool that says which field is wrong. A web \
        page may call only where it runs on the same machine or whoever runs the service has named it.</p>\
        <h2>What is not there</h2><p>Damage is resolved in the order rolled, not in an order chosen by a player; one re-roll \
        can't be shared by a whole chain; dice pools do not cancel each other out; nothing spreads to neighbouring units.</p>\
        <h2>Changes</h2><p>Fields are added without notice; nothing under <code>/v1</code> is removed or changes its \
        meaning. Anything to be removed is announced with the headers <code>Deprecation</code> and <code>Sunset</code> at \
        least six months ahead. The <code>RateLimit</code> headers follow a draft and may change with it.</p>"
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

async fn problem(Path(path): Path<String>, headers: HeaderMap) -> Result<Response, Problem> {
    let kind = Kind::ALL.iter().find(|kind| kind.path() == path);
    let kind =
        kind.ok_or_else(|| Problem::new(Kind::UnknownPath, "There is no problem of that name; see /docs/problems."))?;
    let (title, page, status) = (kind.title(), kind.page(), kind.status());
    let page = Page::html(format!(
        "{STYLE}<title>{title}</title><h1>{title}</h1><p>Status {status}.</p><p>{page}</p><p><a href='/docs/problems'>All problems</a></p>"
    ));
    Ok(page.respond(&headers).await)
}
