//! What is the same for everybody: compressed once, when first asked for, and known again by its tag.
use crate::{ask::respond, cache::Key};
use axum::{
    body::{Body, Bytes},
    http::{HeaderMap, HeaderValue, header},
    response::Response,
};
use flate2::{Compression, write::GzEncoder};
use std::{io::Write, sync::Arc};
use tokio::{sync::OnceCell, task::spawn_blocking};

/// Shorter than this, a page is not worth compressing.
const SHORT: usize = 256;
/// How long it may be kept without asking again.
const AGE: HeaderValue = HeaderValue::from_static("public, max-age=300");

/// A page, a script, a style sheet.
#[derive(Clone)]
pub(super) struct Page(Arc<Inside>);

struct Inside {
    kind: HeaderValue,
    plain: Bytes,
    tag: OnceCell<HeaderValue>,
    packed: OnceCell<Option<Bytes>>,
}

impl Page {
    /// A page of this content type.
    pub(super) fn new(kind: HeaderValue, plain: impl Into<Bytes>) -> Self {
        let plain = plain.into();
        Self(Arc::new(Inside { kind, plain, tag: OnceCell::new(), packed: OnceCell::new() }))
    }

    /// A page of HTML.
    pub(super) fn html(plain: String) -> Self {
        Self::new(HeaderValue::from_static("text/html; charset=utf-8"), plain)
    }

    /// The page, or 304 where the client has it.
    pub(super) async fn respond(&self, request: &HeaderMap) -> Response {
        let Inside { kind, plain, tag, packed } = &*self.0;
        let tag = tag.get_or_init(async || Key::of_spelling("page", 0, plain).etag()).await;
        // What the client takes was made plain before: gzip, or nothing.
        let packed = match request.contains_key(header::ACCEPT_ENCODING) {
            true => packed.get_or_init(async || pack(plain.clone()).await).await.clone(),
            false => None,
        };
        let mut response = match respond::has(request, tag) || respond::has(request, &crate::middleware::encoded(tag)) {
            true => respond::unchanged(request, tag),
            false => Response::new(Body::from(packed.clone().unwrap_or_else(|| plain.clone()))),
        };
        let is_new = response.status().is_success();
        let headers = response.headers_mut();
        headers.insert(header::CACHE_CONTROL, AGE);
        headers.insert(header::VARY, HeaderValue::from_static("accept-encoding"));
        if is_new {
            headers.insert(header::CONTENT_TYPE, kind.clone());
            headers.insert(header::ETAG, tag.clone());
            if packed.is_some() {
                headers.insert(header::CONTENT_ENCODING, HeaderValue::from_static("gzip"));
            }
        }
        response
    }
}

/// Compressed, where that is worth it.
async fn pack(plain: Bytes) -> Option<Bytes> {
    if plain.len() < SHORT {
        return None;
    }
    let pack = move || {
        let mut packed = GzEncoder::new(Vec::new(), Compression::default());
        packed.write_all(&plain).ok()?;
        Some(packed.finish().ok()?.into_boxed_slice().into())
    };
    // Where that fails, and it can't, the page goes out as it is.
    spawn_blocking(pack).await.ok().flatten()
}
