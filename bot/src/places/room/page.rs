//! The page and its parts, and what a browser may do with them: nothing that is not from here.
use super::Room;
use axum::Router;
use axum::extract::{Request, State};
use axum::http::header::{self, HeaderMap, HeaderName, HeaderValue};
use axum::http::{StatusCode, Uri};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use base64::Engine;
use base64::prelude::BASE64_STANDARD;
use pipwright_shared::report::palette::{Palette, Theme};
use sha2::{Digest, Sha256};
use std::fmt::Write as _;
use std::sync::{Arc, LazyLock};

const HTML: &str = include_str!("page/room.html");
const STYLE: &str = include_str!("page/room.css");
const ICON: &str = include_str!("page/room.svg");
const MANIFEST: &str = include_str!("page/room.webmanifest");
const SCRIPTS: &[(&str, &str)] = &[
    ("/room.js", include_str!("page/room.js")),
    ("/card.js", include_str!("page/card.js")),
    ("/line.js", include_str!("page/line.js")),
    ("/words.js", include_str!("page/words.js")),
    ("/pick.js", include_str!("page/pick.js")),
    ("/browse.js", include_str!("page/browse.js")),
    ("/shell.js", include_str!("page/shell.js")),
];

/// The page with its style sheet in it, so that nothing else is needed before it is drawn.
static PAGE: LazyLock<String> = LazyLock::new(|| HTML.replacen(SHEET_GOES_HERE, SHEET.as_str(), 1));
const SHEET_GOES_HERE: &str = "/* the style sheet */";

/// What the page may load, and from where: of styles, only the sheet that stands in it.
static POLICY: LazyLock<HeaderValue> = LazyLock::new(|| {
    let sheet = BASE64_STANDARD.encode(Sha256::digest(SHEET.as_bytes()));
    let policy = format!(
        "default-src 'none'; script-src 'self'; style-src 'sha256-{sheet}'; img-src 'self'; connect-src 'self'; \
         manifest-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    );
    HeaderValue::try_from(policy).unwrap_or(HeaderValue::from_static("default-src 'none'"))
});

/// The style sheet: the one palette, then the page's own rules.
static SHEET: LazyLock<String> = LazyLock::new(|| {
    let mut sheet = format!(":root {{\n{}}}\n", variables(Theme::Light.palette()));
    let dark = variables(Theme::Dark.palette());
    let _ = write!(sheet, "@media (prefers-color-scheme: dark) {{\n:root {{\n{dark}}}\n}}\n");
    sheet.push_str(STYLE);
    sheet
});

fn variables(palette: &Palette) -> String {
    palette.colours().iter().map(|(name, colour)| format!("    --{name}: {colour};\n")).collect()
}

/// The addresses of the page.
pub fn router() -> Router<Arc<Room>> {
    let mut router = Router::new()
        .route("/", get(|| async { part("text/html; charset=utf-8", PAGE.as_str()) }))
        .route("/room.webmanifest", get(|| async { part("application/manifest+json", MANIFEST) }))
        .route("/room.svg", get(|| async { part("image/svg+xml", ICON) }));
    for &(path, script) in SCRIPTS {
        router = router.route(path, get(move || async move { part("text/javascript; charset=utf-8", script) }));
    }
    router
}

fn part(sort: &'static str, body: &'static str) -> Response {
    ([(header::CONTENT_TYPE, sort)], body).into_response()
}

/// Refuses what another site's page asks for in somebody's browser. A room for this machine only answers to this
/// machine's own names, whatever a stranger's page lets its own name mean.
pub async fn from_here(State(local): State<bool>, request: Request, next: Next) -> Response {
    if is_from_here(request.headers(), local) {
        return next.run(request).await;
    }
    (StatusCode::FORBIDDEN, "The room answers to its own page only.\n").into_response()
}

fn is_from_here(headers: &HeaderMap, local: bool) -> bool {
    let text = |name: HeaderName| headers.get(name).map(|value| value.to_str().unwrap_or("?"));
    let Some(host) = text(header::HOST) else { return false };
    let name = host.rsplit_once(':').map_or(host, |(name, port)| if port.ends_with(']') { host } else { name });
    if local && !["localhost", "127.0.0.1", "[::1]"].contains(&name) {
        return false;
    }
    text(header::ORIGIN).is_none_or(|origin| {
        origin.parse::<Uri>().is_ok_and(|origin| origin.authority().is_some_and(|from| from.as_str() == host))
    })
}

/// What every answer says about how it may be used.
pub async fn strict(mut response: Response) -> Response {
    let headers = response.headers_mut();
    let fixed = [
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-cache"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
    ];
    for (name, value) in fixed {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.insert(header::CONTENT_SECURITY_POLICY, POLICY.clone());
    response
}
