//! What the HTTP library refuses by itself, before there is a request: said as every other problem is, with an id.
//!
//! The library writes a bare head (`431 …`, `content-length: 0`) and has no place to say more. All that the service itself
//! answers bears an id, so a refusal without one is the library's, and its head is completed on the way out.
use crate::{
    conduct::{self, trace::Trace},
    problem::{Kind, Problem},
    state::App,
};
use axum::http::{HeaderMap, HeaderValue, header};
use std::{
    io::{self, IoSlice},
    pin::Pin,
    task::{Context, Poll, ready},
};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};

/// A connection on which bare refusals are completed.
pub(super) struct Completed<S> {
    stream: S,
    app: App,
    /// What is still to be written in place of a bare refusal.
    instead: Option<(Vec<u8>, usize)>,
}

impl<S> Completed<S> {
    pub(super) fn new(stream: S, app: App) -> Self {
        Self { stream, app, instead: None }
    }

    /// The whole refusal, where these bytes are a bare one.
    fn complete(&self, bytes: &[u8]) -> Option<Vec<u8>> {
        let (status, head) = bare(bytes)?;
        let (kind, detail) = match status {
            "414" => (Kind::LongLink, "The link is longer than a link may be. Ask with POST."),
            "431" => (Kind::LongHead, "The headers, or the link, are longer than they may be. Ask with POST."),
            _ => (Kind::BrokenRequest, "What arrived is no HTTP request."),
        };
        let problem = Problem::new(kind, detail);
        let body = serde_json::to_vec(&problem.shown()).unwrap_or_default();
        let trace = Trace::random();
        tracing::debug!(%trace, status, "refused before there was a request");
        self.app.metrics.responded(&conduct::NO_ROUTE, "other", kind.status().as_u16(), std::time::Duration::ZERO);
        let mut headers = HeaderMap::new();
        headers.insert(header::CONTENT_TYPE, HeaderValue::from_static("application/problem+json"));
        headers.insert(header::CONTENT_LENGTH, body.len().into());
        headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
        conduct::mark(&self.app, HeaderValue::try_from(trace.to_string()).ok()?, None, &mut headers);
        let mut whole = Vec::new();
        let kept = head.split("\r\n").filter(|line| !line.to_ascii_lowercase().starts_with("content-length:"));
        for line in kept {
            whole.extend_from_slice(line.as_bytes());
            whole.extend_from_slice(b"\r\n");
        }
        for (name, value) in &headers {
            whole.extend_from_slice(name.as_str().as_bytes());
            whole.extend_from_slice(b": ");
            whole.extend_from_slice(value.as_bytes());
            whole.extend_from_slice(b"\r\n");
        }
        whole.extend_from_slice(b"\r\n");
        whole.extend_from_slice(&body);
        Some(whole)
    }
}

/// The status and the head of a refusal that is nothing but a head and bears no id.
fn bare(bytes: &[u8]) -> Option<(&str, &str)> {
    let status = bytes.strip_prefix(b"HTTP/1.1 ")?.get(..3).filter(|status| status.starts_with(b"4"))?;
    let head = std::str::from_utf8(bytes.strip_suffix(b"\r\n\r\n")?).ok()?;
    let has_id = head.split("\r\n").any(|line| line.to_ascii_lowercase().starts_with("x-request-id:"));
    (!has_id && !head.contains("\r\n\r\n")).then_some((std::str::from_utf8(status).ok()?, head))
}

impl<S: AsyncRead + Unpin> AsyncRead for Completed<S> {
    fn poll_read(mut self: Pin<&mut Self>, cx: &mut Context<'_>, into: &mut ReadBuf<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(cx, into)
    }
}

impl<S: AsyncWrite + Unpin> AsyncWrite for Completed<S> {
    fn poll_write(mut self: Pin<&mut Self>, cx: &mut Context<'_>, bytes: &[u8]) -> Poll<io::Result<usize>> {
        if self.instead.is_none() {
            self.instead = self.complete(bytes).map(|whole| (whole, 0));
        }
        let Self { stream, instead, .. } = &mut *self;
        let Some((whole, written)) = instead else { return Pin::new(stream).poll_write(cx, bytes) };
        while *written < whole.len() {
            match ready!(Pin::new(&mut *stream).poll_write(cx, &whole[*written..]))? {
                0 => return Poll::Ready(Err(io::ErrorKind::WriteZero.into())),
                more => *written += more,
            }
        }
        *instead = None;
        Poll::Ready(Ok(bytes.len()))
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        parts: &[IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        match parts {
            [head] => self.poll_write(cx, head),
            _ => Pin::new(&mut self.stream).poll_write_vectored(cx, parts),
        }
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(cx)
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}
