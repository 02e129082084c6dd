//! An answer as a response: validators and freshness on `GET`, timing on both.
use super::{Answered, Timing, caller};
use crate::{
    cache::Key,
    limits::Caller,
    problem::{Kind, Problem},
    state::App,
};
use axum::{
    body::Body,
    http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header, request::Parts},
    response::{IntoResponse, Response},
};

const SERVER_TIMING: HeaderName = HeaderName::from_static("server-timing");

/// The response to a `POST`.
pub(super) fn posted(app: &App, caller: Option<&Caller>, answered: Answered) -> Result<Response, Problem> {
    let body = answered.body.map(|body| app.limits.hold(caller, body)).transpose()?;
    let mut response = Response::new(body.map(Body::from).unwrap_or_default());
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static("application/json"));
    headers.insert(SERVER_TIMING, shown(&answered.timing));
    Ok(response)
}

/// The response to a `GET`: the answer, or 304 where the client has it.
pub(super) fn got(app: &App, parts: &Parts, answered: Answered) -> Result<Response, Problem> {
    let request = &parts.headers;
    if request.get(header::IF_MATCH).is_some_and(|wanted| !names(wanted, &answered.key, Comparison::Strong)) {
        return Err(Problem::new(Kind::WrongPrecondition, "The answer is another one than If-Match asks for."));
    }
    let etag = answered.key.etag();
    let mut response = match answered.body {
        None => unchanged(request, &etag),
        Some(_) => posted(app, caller(parts), answered)?,
    };
    let headers = response.headers_mut();
    headers.entry(header::ETAG).or_insert(etag);
    if let Ok(age) = HeaderValue::try_from(format!("public, max-age={}", app.config.max_age_s)) {
        headers.insert(header::CACHE_CONTROL, age);
    }
    Ok(response)
}

/// 304, with the tag of what the client has, compressed or not, so that it can be kept on (RFC 9110, 15.4.5).
pub(crate) fn unchanged(request: &HeaderMap, etag: &HeaderValue) -> Response {
    let compressed = crate::middleware::encoded(etag);
    let tag = if has(request, &compressed) { compressed } else { etag.clone() };
    let headers = [(header::ETAG, tag), (header::VARY, HeaderValue::from_static("accept-encoding"))];
    (StatusCode::NOT_MODIFIED, headers).into_response()
}

/// Whether the client says that it has what this tag names.
pub(crate) fn has(request: &HeaderMap, tag: &HeaderValue) -> bool {
    request.get_all(header::IF_NONE_MATCH).iter().any(|have| lists(have, tag))
}

/// Whether the client says that it has this answer (RFC 9110, 13.1.2: weak comparison).
pub(super) fn is_known(request: &HeaderMap, key: &Key) -> bool {
    // If-Match is looked at first (13.2.2); where it names another answer, that is what must be said.
    let wanted = request.get(header::IF_MATCH).is_none_or(|wanted| names(wanted, key, Comparison::Strong));
    wanted && request.get_all(header::IF_NONE_MATCH).iter().any(|have| names(have, key, Comparison::Weak))
}

/// Whether a list of entity tags has this very one in it, weak or strong.
fn lists(list: &HeaderValue, tag: &HeaderValue) -> bool {
    let each = list.to_str().unwrap_or_default().split(',').map(str::trim);
    each.map(|one| one.strip_prefix("W/").unwrap_or(one)).any(|one| one.as_bytes() == tag.as_bytes())
}

#[derive(Clone, Copy, PartialEq)]
enum Comparison {
    Strong,
    Weak,
}

/// Whether a list of entity tags names the key. The tag of a compressed answer has an ending of its own.
fn names(list: &HeaderValue, key: &Key, comparison: Comparison) -> bool {
    let own = key.to_string();
    list.to_str().unwrap_or_default().split(',').map(str::trim).any(|tag| {
        let (weak, tag) = tag.strip_prefix("W/").map_or((false, tag), |tag| (true, tag));
        if weak && comparison == Comparison::Strong {
            return false;
        }
        let opaque = tag.strip_prefix('"').and_then(|tag| tag.strip_suffix('"'));
        tag == "*" || opaque.is_some_and(|tag| tag.strip_suffix(crate::middleware::ENCODED).unwrap_or(tag) == own)
    })
}

fn shown(timing: &Timing) -> HeaderValue {
    let ms = |duration: std::time::Duration| duration.as_secs_f64() * 1e3;
    let tier = timing.tier.unwrap_or("none");
    let (parse, cache, engine) = (ms(timing.parse), ms(timing.cache), ms(timing.engine));
    let text = format!("parse;dur={parse:.3}, cache;dur={cache:.3};desc=\"{tier}\", engine;dur={engine:.3}");
    HeaderValue::try_from(text).unwrap_or_else(|_| HeaderValue::from_static(""))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 9110, 8.8.3.2: the table of examples, with the key in place of `1`.
    #[test]
    fn tags_are_compared_as_the_standard_says() {
        let key = Key::of_spelling("", 0, b"");
        let other = Key::of_spelling("", 0, b"other");
        // Our own tag is always strong, so the rows of the table with a weak one on both sides do not arise.
        let rows = [
            (format!("W/\"{key}\""), false, true),
            (format!("W/\"{other}\""), false, false),
            (format!("\"{key}\""), true, true),
        ];
        for (tag, strong, weak) in rows {
            let tag = HeaderValue::try_from(tag).expect("plain letters");
            assert_eq!(names(&tag, &key, Comparison::Strong), strong, "{tag:?}");
            assert_eq!(names(&tag, &key, Comparison::Weak), weak, "{tag:?}");
        }
        let list = HeaderValue::try_from(format!("\"a\", \"{key}-gzip\"")).expect("plain letters");
        assert!(names(&list, &key, Comparison::Weak));
        assert!(names(&HeaderValue::from_static("*"), &key, Comparison::Strong));
    }
}
