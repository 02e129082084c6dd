//! What a request costs with nothing around it: an axum handler that reads a matchup and writes an answer. It answers the
//! questions of a file, a line each, worked out at the start, one after another whatever it is asked: the same sizes as
//! the service's. The load table (tests/load) measures the service against it.
use axum::{Json, Router, routing::post};
use pipwright_shared::{
    odds::cancellation::CancellationToken,
    rules::PackCatalog,
    wire::{
        matchup::MatchupRequest,
        question::{PreparedQuery, Question},
        read,
    },
};
use serde::{Serialize, Serializer};
use std::{
    io::Write,
    sync::{
        Arc,
        atomic::{AtomicUsize, Ordering},
    },
};
use tokio::net::TcpListener;

/// An answer for many requests, written anew for each.
struct Shared<T>(Arc<T>);

impl<T: Serialize> Serialize for Shared<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(serializer)
    }
}

fn main() -> std::io::Result<()> {
    let file = std::env::args().nth(1).unwrap_or_default();
    let catalog = PackCatalog::demo();
    let answer = |question: &str| {
        let prepared = read::body::<MatchupRequest>(question.as_bytes()).and_then(|request| request.resolve(&catalog));
        let prepared = prepared.map_err(|mistakes| std::io::Error::other(format!("{mistakes:?}")))?;
        prepared.answer(&CancellationToken::default()).map(Arc::new).map_err(|_| std::io::Error::other("cancelled"))
    };
    let answers = std::fs::read_to_string(file)?.lines().map(answer).collect::<std::io::Result<Vec<_>>>()?;
    let (answers, next) = (Arc::new(answers), Arc::new(AtomicUsize::new(0)));
    tokio::runtime::Builder::new_multi_thread().enable_all().build()?.block_on(async {
        let handler = move |Json(_): Json<MatchupRequest>| {
            let answer = Arc::clone(&answers[next.fetch_add(1, Ordering::Relaxed) % answers.len()]);
            async move { Json(Shared(answer)) }
        };
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        writeln!(std::io::stdout(), "listening on http://{}", listener.local_addr()?)?;
        axum::serve(listener, Router::new().route("/v1/matchup", post(handler))).await
    })
}
