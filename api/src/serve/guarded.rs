//! A connection that costs no more than it may: what arrives is counted until it is answered, and who does not take an
//! answer is let go.
//!
//! The HTTP library bounds a request's head in bytes and in time, but not the heads and bodies of all connections
//! together, nor how long it tries to write. It also closes a connection at once whose request was answered before its
//! body was read; the system then resets it, and the answer may be lost on its way.
use crate::limits::held::Share;
use axum::body::{Bytes, HttpBody};
use hyper::body::{Frame, Incoming, SizeHint};
use std::{
    io::{self, IoSlice},
    pin::Pin,
    sync::{
        Arc, Mutex, PoisonError,
        atomic::{AtomicBool, AtomicUsize, Ordering},
    },
    task::{Context, Poll, ready},
    time::Duration,
};
use tokio::{
    io::{AsyncRead, AsyncWrite, ReadBuf},
    time::{Instant, Sleep, sleep},
};

/// So much of each request is not counted: the library reads in pieces as large anyway, and most are smaller.
const FREE: usize = 8 << 10;
/// An answer must be taken at so many bytes in a millisecond, on the whole.
const SLOWEST: u64 = 16;

/// So long at most the rest of a body that nobody wants is taken before the connection is closed.
const LINGER: Duration = Duration::from_secs(5);
/// And so much of it, four times what a pack may have: whoever sends more is cut off.
const LINGERED: usize = 16 << 20;
/// And of so many connections at once, since each keeps its buffers meanwhile; others are closed as they are.
const MOST_LINGERING: usize = 32;
static LINGERING: AtomicUsize = AtomicUsize::new(0);

/// A connection whose rest is taken, one of those that may be.
struct Lingering {
    end: Pin<Box<Sleep>>,
    taken: usize,
}

impl Lingering {
    fn begin() -> Option<Self> {
        let more = |count: usize| (count < MOST_LINGERING).then_some(count + 1);
        LINGERING.fetch_update(Ordering::Relaxed, Ordering::Relaxed, more).ok()?;
        Some(Self { end: Box::pin(sleep(LINGER)), taken: 0 })
    }
}

impl Drop for Lingering {
    fn drop(&mut self) {
        LINGERING.fetch_sub(1, Ordering::Relaxed);
    }
}

/// What has arrived on a connection and is not answered yet.
pub(super) struct Arrived {
    bytes: Mutex<(usize, Share)>,
    /// Whether a body is still on its way that nobody has read to its end.
    unread: AtomicBool,
    /// There until the first request.
    silent: Mutex<Option<Silent>>,
}

/// One of the connections that have not said anything yet.
pub(super) struct Silent(Arc<AtomicUsize>);

impl Silent {
    /// One more.
    pub(super) fn new(all: &Arc<AtomicUsize>) -> Self {
        all.fetch_add(1, Ordering::Relaxed);
        Self(Arc::clone(all))
    }
}

impl Drop for Silent {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

impl Arrived {
    /// Nothing, yet.
    pub(super) fn new(share: Share, silent: Option<Silent>) -> Arc<Self> {
        let unread = AtomicBool::new(false);
        Arc::new(Self { bytes: Mutex::new((0, share)), unread, silent: Mutex::new(silent) })
    }

    /// A request has come.
    fn heard(&self) {
        drop(self.silent.lock().unwrap_or_else(PoisonError::into_inner).take());
    }

    fn add(&self, more: usize) -> bool {
        let mut own = self.bytes.lock().unwrap_or_else(PoisonError::into_inner);
        let (before, share) = &mut *own;
        let counted = |bytes: usize| bytes.saturating_sub(FREE);
        let new = counted(*before + more) - counted(*before);
        *before += more;
        new == 0 || share.grow(new)
    }

    /// It is answered.
    pub(super) fn answered(&self) {
        let mut own = self.bytes.lock().unwrap_or_else(PoisonError::into_inner);
        own.0 = 0;
        own.1.empty();
    }
}

/// A body that notes on its connection whether it was read to its end.
pub(super) struct Noted {
    body: Incoming,
    arrived: Arc<Arrived>,
}

impl Noted {
    pub(super) fn new(body: Incoming, arrived: Arc<Arrived>) -> Self {
        arrived.heard();
        arrived.unread.store(!body.is_end_stream(), Ordering::Relaxed);
        Self { body, arrived }
    }
}

impl HttpBody for Noted {
    type Data = Bytes;
    type Error = hyper::Error;

    fn poll_frame(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Option<Result<Frame<Bytes>, hyper::Error>>> {
        let frame = ready!(Pin::new(&mut self.body).poll_frame(cx));
        if frame.is_none() || self.body.is_end_stream() {
            self.arrived.unread.store(false, Ordering::Relaxed);
        }
        Poll::Ready(frame)
    }

    fn is_end_stream(&self) -> bool {
        self.body.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        self.body.size_hint()
    }
}

/// The connection.
pub(super) struct Guarded<S> {
    stream: S,
    arrived: Arc<Arrived>,
    wait: Duration,
    stalled: Option<Stalled>,
    lingering: Option<Lingering>,
}

/// The client does not take what is written as fast as it could be.
struct Stalled {
    end: Pin<Box<Sleep>>,
    since: Instant,
    written: u64,
}

impl<S> Guarded<S> {
    pub(super) fn new(stream: S, arrived: Arc<Arrived>, wait: Duration) -> Self {
        Self { stream, arrived, wait, stalled: None, lingering: None }
    }

    /// After an attempt to write so much: too long a wait is an error.
    fn watch(
        &mut self,
        cx: &mut Context<'_>,
        offered: usize,
        wrote: Poll<io::Result<usize>>,
    ) -> Poll<io::Result<usize>> {
        match wrote {
            Poll::Pending => {
                let wait = self.wait;
                let begin = || Stalled { end: Box::pin(sleep(wait)), since: Instant::now(), written: 0 };
                let stalled = self.stalled.get_or_insert_with(begin);
                stalled.end.as_mut().poll(cx).map(|()| Err(io::ErrorKind::TimedOut.into()))
            }
            Poll::Ready(Ok(written)) if written < offered => {
                if let Some(stalled) = &mut self.stalled {
                    stalled.written += written as u64;
                    let more = Duration::from_millis(stalled.written / SLOWEST);
                    stalled.end.as_mut().reset(stalled.since + self.wait + more);
                }
                wrote
            }
            Poll::Ready(_) => {
                self.stalled = None;
                wrote
            }
        }
    }
}

impl<S: AsyncRead + Unpin> AsyncRead for Guarded<S> {
    fn poll_read(mut self: Pin<&mut Self>, cx: &mut Context<'_>, into: &mut ReadBuf<'_>) -> Poll<io::Result<()>> {
        let before = into.filled().len();
        let read = Pin::new(&mut self.stream).poll_read(cx, into);
        let more = into.filled().len() - before;
        if more > 0 && !self.arrived.add(more) {
            return Poll::Ready(Err(io::ErrorKind::QuotaExceeded.into()));
        }
        read
    }
}

impl<S: AsyncRead + AsyncWrite + Unpin> AsyncWrite for Guarded<S> {
    fn poll_write(mut self: Pin<&mut Self>, cx: &mut Context<'_>, bytes: &[u8]) -> Poll<io::Result<usize>> {
        let wrote = Pin::new(&mut self.stream).poll_write(cx, bytes);
        self.watch(cx, bytes.len(), wrote)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        parts: &[IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let wrote = Pin::new(&mut self.stream).poll_write_vectored(cx, parts);
        self.watch(cx, parts.iter().map(|part| part.len()).sum(), wrote)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_flush(cx)
    }

    /// Says that nothing more comes. Where a body is still on its way, its rest is taken first: a connection that is closed
    /// with something unread is reset, and the client might never see the answer.
    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let this = &mut *self;
        if this.lingering.is_none() {
            ready!(Pin::new(&mut this.stream).poll_shutdown(cx))?;
            if this.arrived.unread.load(Ordering::Relaxed) {
                this.lingering = Lingering::begin();
            }
        }
        let Some(lingering) = &mut this.lingering else { return Poll::Ready(Ok(())) };
        let mut space = [0; 4 << 10];
        loop {
            let over = lingering.end.as_mut().poll(cx).is_ready() || lingering.taken > LINGERED;
            let mut rest = ReadBuf::new(&mut space);
            if over || ready!(Pin::new(&mut this.stream).poll_read(cx, &mut rest)).is_err() || rest.filled().is_empty()
            {
                return Poll::Ready(Ok(()));
            }
            lingering.taken += rest.filled().len();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::held::{Held, Most};
    use tokio::io::{AsyncReadExt, AsyncWriteExt, duplex};

    fn guarded<S>(stream: S, bytes: usize) -> (Guarded<S>, Arc<Held>, Arc<Arrived>) {
        let held = Held::new(Most { connections_each: 1, bytes, bytes_each: bytes });
        let arrived = Arrived::new(held.share(None), None);
        (Guarded::new(stream, Arc::clone(&arrived), Duration::from_secs(10)), held, arrived)
    }

    #[tokio::test]
    async fn what_arrives_is_counted_until_it_is_answered() {
        let (near, mut far) = duplex(1 << 20);
        let (mut near, held, arrived) = guarded(near, 1_000);
        far.write_all(&[0; FREE + 2_000]).await.expect("sent");
        let mut some = vec![0; FREE + 900];
        near.read_exact(&mut some).await.expect("within the bounds");
        assert_eq!(held.bytes(), 900);
        arrived.answered();
        assert_eq!(held.bytes(), 0);
        near.read_exact(&mut some[..1_100]).await.expect("the next request");
        far.write_all(&[0; FREE + 2_000]).await.expect("sent");
        let error = near.read_exact(&mut vec![0; FREE + 2_000]).await.expect_err("too much");
        assert_eq!(error.kind(), io::ErrorKind::QuotaExceeded);
    }

    #[tokio::test(start_paused = true)]
    async fn the_rest_of_a_body_is_taken_and_not_without_end() {
        let (near, mut far) = duplex(1 << 16);
        let (mut near, _held, arrived) = guarded(near, 0);
        arrived.unread.store(true, Ordering::Relaxed);
        let sent = tokio::spawn(async move {
            let mut sent = 0;
            while far.write_all(&[0; 1 << 16]).await.is_ok() {
                sent += 1 << 16;
            }
            sent
        });
        near.shutdown().await.expect("an end");
        drop(near);
        let sent: usize = sent.await.expect("no panic");
        assert!((LINGERED..2 * LINGERED).contains(&sent), "{sent}");
    }

    #[tokio::test(start_paused = true)]
    async fn who_takes_nothing_is_let_go() {
        let (near, far) = duplex(1_000);
        let (mut near, _held, _) = guarded(near, 0);
        let begun = Instant::now();
        let error = near.write_all(&[0; 2_000]).await.expect_err("nobody reads");
        assert_eq!((error.kind(), begun.elapsed()), (io::ErrorKind::TimedOut, Duration::from_secs(10)));
        drop(far);
    }

    #[tokio::test(start_paused = true)]
    async fn who_takes_little_by_little_is_let_go_too() {
        let (near, mut far) = duplex(1_000);
        let (mut near, _held, _) = guarded(near, 0);
        let trickle = tokio::spawn(async move {
            while far.read_u8().await.is_ok() {
                sleep(Duration::from_secs(1)).await;
            }
        });
        let begun = Instant::now();
        let error = near.write_all(&[0; 1 << 20]).await.expect_err("a byte a second is too slow");
        assert_eq!(error.kind(), io::ErrorKind::TimedOut);
        assert!(begun.elapsed() < Duration::from_secs(12), "{:?}", begun.elapsed());
        trickle.abort();
    }

    #[tokio::test(start_paused = true)]
    async fn who_is_slow_and_steady_gets_it_all() {
        let (near, mut far) = duplex(64_000);
        let (mut near, _held, _) = guarded(near, 0);
        let steady = tokio::spawn(async move {
            let mut some = vec![0; 32_000];
            let mut all = 0;
            while let Ok(more @ 1..) = far.read(&mut some).await {
                all += more;
                sleep(Duration::from_secs(1)).await;
            }
            all
        });
        near.write_all(&[0; 1 << 20]).await.expect("32 bytes in a millisecond are enough");
        drop(near);
        assert_eq!(steady.await.expect("no panic"), 1 << 20);
    }
}
