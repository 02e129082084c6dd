//! `/workshop`: the page on which a pack is written, and its parts. All of it comes from here, and nothing is kept here:
//! what is typed stays in the browser, and goes to the same endpoints as anybody's requests.
use super::{docs::always, page::Page};
use crate::state::App;
use axum::{
    Json, Router,
    extract::State,
    http::{HeaderMap, HeaderValue, header},
    response::Response,
    routing::get,
};
use pipwright_shared::{packs, report::palette::Theme};
use serde_json::{Value, json};
use std::{fmt::Write as _, sync::LazyLock};

const SCRIPT: &str = "text/javascript; charset=utf-8";
/// The page's own scripts and, built by `workshop/vendor/build`, the libraries that they use.
const SCRIPTS: [(&str, &str); 11] = [
    ("/workshop/workshop.js", include_str!("workshop/workshop.js")),
    ("/workshop/drafts.js", include_str!("workshop/drafts.js")),
    ("/workshop/form.js", include_str!("workshop/form.js")),
    ("/workshop/league.js", include_str!("workshop/league.js")),
    ("/workshop/page.js", include_str!("workshop/page.js")),
    ("/workshop/service.js", include_str!("workshop/service.js")),
    ("/workshop/take.js", include_str!("workshop/take.js")),
    ("/workshop/text.js", include_str!("workshop/text.js")),
    ("/workshop/toml.js", include_str!("workshop/toml.js")),
    ("/workshop/trial.js", include_str!("workshop/trial.js")),
    ("/workshop/vendor.js", include_str!("workshop/vendor/vendor.js")),
];
const LICENCES: &str = include_str!("workshop/vendor/LICENCES.txt");

/// What the page may load, and from where: everything from here, nothing written into the page itself.
const POLICY: HeaderValue = HeaderValue::from_static(
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; base-uri 'none'; \
     form-action 'none'; frame-ancestors 'none'",
);

static HTML: LazyLock<Page> = LazyLock::new(|| Page::html(include_str!("workshop/workshop.html").to_owned()));

/// The one palette, then the page's own rules.
static STYLE: LazyLock<String> = LazyLock::new(|| {
    let variables = |theme: Theme| {
        theme.palette().colours().iter().fold(String::new(), |mut all, (name, colour)| {
            // Writing into a string does not fail.
            let _ = write!(all, "--{name}: {colour}; ");
            all
        })
    };
    let (light, dark) = (variables(Theme::Light), variables(Theme::Dark));
    let own = include_str!("workshop/workshop.css");
    format!(":root {{ {light}}}\n@media (prefers-color-scheme: dark) {{ :root {{ {dark}}} }}\n{own}")
});

/// The page and its parts.
pub fn router() -> Router<App> {
    let fixed = |kind: &'static str, text: &'static str| always(Page::new(HeaderValue::from_static(kind), text));
    let style = Page::new(HeaderValue::from_static("text/css; charset=utf-8"), STYLE.as_str());
    let router = Router::new()
        .route("/workshop", get(page))
        .route("/workshop/start.json", get(start))
        .route("/workshop/workshop.css", always(style))
        .route("/workshop/page.svg", fixed("image/svg+xml", include_str!("workshop/page.svg")))
        .route("/workshop/LICENCES.txt", fixed("text/plain; charset=utf-8", LICENCES));
    SCRIPTS.iter().fold(router, |router, (path, text)| router.route(path, fixed(SCRIPT, text)))
}

async fn page(headers: HeaderMap) -> Response {
    let mut response = HTML.respond(&headers).await;
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_SECURITY_POLICY, POLICY);
    headers.insert(header::REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    response
}

/// What the page begins with: the small pack that `new-pack` writes, and how much this service takes.
async fn start(State(app): State<App>) -> Json<Value> {
    let files: Vec<Value> =
        packs::starter("our-club").iter().map(|file| json!({ "name": file.name, "text": file.text })).collect();
    Json(json!({
        "files": files,
        "check_bytes": app.config.body_bytes,
        "pack_bytes": app.config.pack_bytes,
        "kept_s": app.config.pack_keep_s,
    }))
}
