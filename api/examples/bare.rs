//! What a request costs with nothing around it: an axum handler that reads a matchup and writes its answer, worked out
//! once at the start. The load table (tests/load) measures the service against it.
use axum::{Json, Router, routing::post};
use pipwright_shared::{
    odds::halt::Halt,
    rules::Books,
    wire::{
        matchup::MatchupRequest,
        question::{Question, Ready},
        read,
    },
};
use serde::{Serialize, Serializer};
use std::{io::Write, sync::Arc};
use tokio::net::TcpListener;

/// One answer for all requests, written anew for each.
struct Shared<T>(Arc<T>);

impl<T: Serialize> Serialize for Shared<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        self.0.serialize(serializer)
    }
}

fn main() -> std::io::Result<()> {
    let question = std::env::args().nth(1).unwrap_or_default();
    let ready = read::body::<MatchupRequest>(question.as_bytes()).and_then(|request| request.settle(&Books::demo()));
    let ready = ready.map_err(|mistakes| std::io::Error::other(format!("{mistakes:?}")))?;
    let answer = Arc::new(ready.answer(&Halt::default()).map_err(|_| std::io::Error::other("halted"))?);
    tokio::runtime::Builder::new_multi_thread().enable_all().build()?.block_on(async {
        let handler = move |Json(_): Json<MatchupRequest>| {
            let answer = Shared(Arc::clone(&answer));
            async move { Json(answer) }
        };
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        writeln!(std::io::stdout(), "listening on http://{}", listener.local_addr()?)?;
        axum::serve(listener, Router::new().route("/v1/matchup", post(handler))).await
    })
}
