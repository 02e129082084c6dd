//! What clients saw of a fault: how many asked, how many got no answer or a wrong one, and how long the longest waited.
use pipwright_tests::service::Service;
use serde_json::json;
use std::{
    ops::Range,
    time::{Duration, Instant},
};

/// Requests may take so many times as long beside a fault, in the mean. Were each of them held up for as long as Redis may be
/// waited for, it would be twenty times and more.
const SLOWER: f64 = 10.0;
const CLIENTS: usize = 8;
/// Dear enough to be kept in Redis.
const DEAR: u64 = 5_000_000;

/// What was seen of a run of requests.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Seen {
    pub(crate) sent: usize,
    pub(crate) failed: usize,
    pub(crate) wrong: usize,
    pub(crate) longest: Duration,
    /// All waits together.
    pub(crate) waited: Duration,
}

impl Seen {
    /// One more was answered, or not, after so long.
    pub(crate) fn add(&mut self, failed: bool, took: Duration) {
        *self = self.and(Self { sent: 1, failed: usize::from(failed), wrong: 0, longest: took, waited: took });
    }

    fn mean(&self) -> f64 {
        self.waited.as_secs_f64() / self.sent.max(1) as f64
    }

    /// Together with another run.
    pub(crate) fn and(self, other: Self) -> Self {
        Self {
            sent: self.sent + other.sent,
            failed: self.failed + other.failed,
            wrong: self.wrong + other.wrong,
            longest: self.longest.max(other.longest),
            waited: self.waited + other.waited,
        }
    }

    /// A row of the table of faults. Nothing failed, nothing was wrong.
    #[track_caller]
    pub(crate) fn judge(&self, what: &str) {
        let Self { sent, failed, wrong, longest, .. } = self;
        println!("| {what} | {sent} | {failed} | {wrong} | {:.0} ms |", longest.as_secs_f64() * 1e3);
        assert!(*sent > 0 && (*failed, *wrong) == (0, 0), "{what}: {self:?}");
    }

    /// The same, and in the mean nobody waited much longer than before. The longest wait is shown, not judged: any other
    /// program on the machine can make one request wait.
    #[track_caller]
    pub(crate) fn judge_beside(&self, normal: Self, what: &str) {
        let text = format!("{what} (normally {:.0} ms)", normal.longest.as_secs_f64() * 1e3);
        self.judge(&text);
        normal.judge(&format!("before: {what}"));
        let times = self.mean() / normal.mean();
        assert!(times < SLOWER, "{text}: {times:.1} times as long in the mean, {self:?}");
    }
}

/// Sends different dear questions from several clients at once; `meddle` is begun soon after the first.
pub(crate) async fn run(service: &Service, numbers: Range<usize>, meddle: impl AsyncFnOnce()) -> Seen {
    let clients = (0..CLIENTS).map(|client| {
        let numbers = numbers.clone();
        async move {
            let mut seen = Seen::default();
            for number in numbers.skip(client).step_by(CLIENTS) {
                seen = seen.and(one(service, number).await);
            }
            seen
        }
    });
    let meddled = async {
        tokio::time::sleep(Duration::from_millis(100)).await;
        meddle().await;
    };
    let (seen, ()) = futures::join!(futures::future::join_all(clients), meddled);
    seen.into_iter().fold(Seen::default(), Seen::and)
}

/// One question, whose right answer is known.
async fn one(service: &Service, number: usize) -> Seen {
    let question = json!({"numbers": [number % 1_000], "times": number, "price": DEAR});
    let asked = Instant::now();
    let request = service.client.post(service.url("/v1/sum")).json(&question).send().await;
    let (status, body) = match request {
        Ok(response) => (response.status().as_u16(), response.json::<serde_json::Value>().await.unwrap_or_default()),
        Err(_) => (0, serde_json::Value::Null),
    };
    let right = body["sum"] == (number % 1_000) * number;
    let (failed, wrong) = (usize::from(status != 200), usize::from(status == 200 && !right));
    let took = asked.elapsed();
    Seen { sent: 1, failed, wrong, longest: took, waited: took }
}
