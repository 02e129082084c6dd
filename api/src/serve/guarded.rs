//! A connection that costs no more than it may: what arrives is counted until it is answered, and who does not take an
//! answer is let go.
//!
//! The HTTP library bounds a request's head in bytes and in time, but not the heads and bodies of all connections
//! together, nor how long it tries to write.
use crate::limits::held::Share;
use std::{
    io::{self, IoSlice},
    pin::Pin,
    sync::{Arc, Mutex, PoisonError},
    task::{Context, Poll},
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

/// What has arrived on a connection and is not answered yet.
pub(super) struct Arrived(Mutex<(usize, Share)>);

impl Arrived {
    /// Nothing, yet.
    pub(super) fn new(share: Share) -> Arc<Self> {
        Arc::new(Self(Mutex::new((0, share))))
    }

    fn add(&self, more: usize) -> bool {
        let mut own = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (before, share) = &mut *own;
        let counted = |bytes: usize| bytes.saturating_sub(FREE);
        let new = counted(*before + more) - counted(*before);
        *before += more;
        new == 0 || share.grow(new)
    }

    /// It is answered.
    pub(super) fn answered(&self) {
        let mut own = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        own.0 = 0;
        own.1.empty();
    }
}

/// The connection.
pub(super) struct Guarded<S> {
    stream: S,
    arrived: Arc<Arrived>,
    wait: Duration,
    stalled: Option<Stalled>,
}

/// The client does not take what is written as fast as it could be.
struct Stalled {
    end: Pin<Box<Sleep>>,
    since: Instant,
    written: u64,
}

impl<S> Guarded<S> {
    pub(super) fn new(stream: S, arrived: Arc<Arrived>, wait: Duration) -> Self {
        Self { stream, arrived, wait, stalled: None }
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

impl<S: AsyncWrite + Unpin> AsyncWrite for Guarded<S> {
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

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::held::{Held, Most};
    use tokio::io::{AsyncReadExt, AsyncWriteExt, duplex};

    fn guarded<S>(stream: S, bytes: usize) -> (Guarded<S>, Arc<Held>, Arc<Arrived>) {
        let held = Held::new(Most { connections_each: 1, bytes, bytes_each: bytes });
        let arrived = Arrived::new(held.share(None));
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
