//! One rate for all copies: what each let in is added up in Redis a few times a second, and each learns the sum. No
//! request waits for it; between two rounds, and without Redis, every copy counts for itself.
use super::rate::{Rate, Rates, Who};
use crate::cache::redis::Redis;
use futures::{StreamExt, stream};
use sha2::{Digest, Sha256};
use std::time::{Duration, Instant};
use tokio::time::interval;

/// Between two rounds.
const ROUND: Duration = Duration::from_millis(200);
/// Calls of Redis under way at a time.
const AT_ONCE: usize = 16;
/// Moves the time at which the bucket will be full again, by Redis's own clock, and says how far away it is; in
/// microseconds. A bucket cannot be emptier than empty.
const SPEND: &str = "local t = redis.call('time') \
    local now = t[1] * 1000000 + t[2] \
    local full = math.max(tonumber(redis.call('get', KEYS[1]) or '0'), now) + ARGV[1] \
    full = math.min(full, now + ARGV[2]) \
    redis.call('set', KEYS[1], string.format('%.0f', full), 'PX', math.ceil((full - now) / 1000) + 1000) \
    return full - now";

/// Goes round for as long as the service runs.
pub async fn share(rates: &Rates, redis: &Redis) {
    let mut rounds = interval(ROUND);
    loop {
        rounds.tick().await;
        let reports = stream::iter(rates.unreported()).map(|(who, rate, taken)| tell(rates, redis, who, rate, taken));
        reports.buffer_unordered(AT_ONCE).collect::<()>().await;
    }
}

async fn tell(rates: &Rates, redis: &Redis, who: Who, rate: Rate, taken: u32) {
    let one = 1_000_000 / u64::from(rate.per_second.max(1));
    let (cost, size) = (one * u64::from(taken), one * u64::from(rate.burst.max(1)));
    let mut command = redis::cmd("EVAL");
    command.arg(SPEND).arg(1).arg(name(who)).arg(cost).arg(size);
    match redis.ask::<u64>("rate", &command).await {
        Some(full_in) => rates.learn(who, Instant::now() + Duration::from_micros(full_in)),
        None => rates.report_failed(who, taken),
    }
}

/// Nobody's address stands in Redis.
fn name(who: Who) -> String {
    let who = match who {
        Who::Address(address) => format!("address {address}"),
        Who::Key(index) => format!("key {index}"),
    };
    Sha256::digest(who).iter().take(16).fold("pipwright:rate:".to_owned(), |name, byte| format!("{name}{byte:02x}"))
}
