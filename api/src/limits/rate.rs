//! How often each may ask: a bucket for each address and each key. It is told the time and knows no clock.
use std::{
    collections::HashMap,
    hash::{BuildHasher, RandomState},
    net::{IpAddr, Ipv6Addr},
    sync::{Mutex, MutexGuard, PoisonError},
    time::{Duration, Instant},
};

/// Locks that requests of different callers rarely share.
const SHARDS: usize = 16;
/// More callers than this in one shard: those with a full bucket are forgotten at once.
const CROWDED: usize = 8_192;

/// So many a second, and so many at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rate {
    /// 0: no limit.
    pub per_second: u32,
    /// The size of the bucket.
    pub burst: u32,
}

/// Whose requests are counted together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Who {
    /// An address; of IPv6 the first half, which one household or host has to itself.
    Address(IpAddr),
    /// A key, by its place in the configuration.
    Key(usize),
}

impl Who {
    /// The caller behind an address.
    pub fn of(address: IpAddr) -> Self {
        Self::Address(match address {
            IpAddr::V4(_) => address,
            IpAddr::V6(six) => IpAddr::V6(Ipv6Addr::from_bits(six.to_bits() & (!0 << 64))),
        })
    }
}

/// What is left to a caller.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Left {
    /// Requests that may come at once.
    pub remaining: u32,
    /// When the bucket will be full again.
    pub full_in: Duration,
}

/// Too often.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Refused {
    /// When as many may come.
    pub wait: Duration,
    /// What is left until then.
    pub left: Left,
}

/// The buckets of all callers.
pub struct Rates {
    shards: [Mutex<HashMap<Who, Bucket>>; SHARDS],
    hasher: RandomState,
}

/// When the bucket will be full again: all that is needed to know how full it is now.
#[derive(Clone, Copy, Debug)]
struct Bucket {
    full_at: Instant,
    rate: Rate,
    /// Taken since the other copies were last told.
    unreported: u32,
}

impl Default for Rates {
    fn default() -> Self {
        Self { shards: std::array::from_fn(|_| Mutex::default()), hasher: RandomState::new() }
    }
}

impl Rates {
    /// Takes so many from the caller's bucket, or all that a full one has; what is left in it, where there is a limit.
    ///
    /// # Errors
    /// [`Refused`] where there are not as many in it; then none is taken.
    pub fn take(&self, who: Who, rate: Rate, many: u32, now: Instant) -> Result<Option<Left>, Refused> {
        if rate.per_second == 0 {
            return Ok(None);
        }
        let one = Duration::from_secs(1) / rate.per_second;
        let size = one * rate.burst.max(1);
        let many = many.min(rate.burst.max(1));
        let left = |full_at: Instant| {
            let full_in = full_at.saturating_duration_since(now);
            // Whole nanoseconds: a bucket has at most 2^32 of them in it.
            let remaining = size.saturating_sub(full_in).as_nanos() / one.as_nanos().max(1);
            Left { remaining: u32::try_from(remaining).unwrap_or(u32::MAX), full_in }
        };
        let mut shard = self.shard(&who);
        if shard.len() > CROWDED {
            shard.retain(|_, bucket| bucket.full_at > now);
        }
        let bucket = shard.entry(who).or_insert(Bucket { full_at: now, rate, unreported: 0 });
        let full_at = bucket.full_at.max(now) + one * many;
        match full_at.duration_since(now).checked_sub(size) {
            Some(wait) if !wait.is_zero() => Err(Refused { wait, left: left(bucket.full_at) }),
            _ => {
                bucket.full_at = full_at;
                bucket.unreported = bucket.unreported.saturating_add(many);
                Ok(Some(left(full_at)))
            }
        }
    }

    /// What each took since this was last asked.
    pub fn unreported(&self) -> Vec<(Who, Rate, u32)> {
        let take =
            |(who, bucket): (&Who, &mut Bucket)| Some((*who, bucket.rate, std::mem::take(&mut bucket.unreported)));
        let some = self.shards.iter().flat_map(|shard| lock(shard).iter_mut().filter_map(take).collect::<Vec<_>>());
        some.filter(|(_, _, taken)| *taken > 0).collect()
    }

    /// What could not be told now is told the next time.
    pub fn report_failed(&self, who: Who, taken: u32) {
        if let Some(bucket) = self.shard(&who).get_mut(&who) {
            bucket.unreported = bucket.unreported.saturating_add(taken);
        }
    }

    /// All copies together have taken so much that the caller's bucket will be full only then.
    pub fn learn(&self, who: Who, full_at: Instant) {
        if let Some(bucket) = self.shard(&who).get_mut(&who) {
            bucket.full_at = bucket.full_at.max(full_at);
        }
    }

    /// Forgets the callers whose buckets are full: they are as good as new.
    pub fn tidy(&self, now: Instant) {
        for shard in &self.shards {
            lock(shard).retain(|_, bucket| bucket.full_at > now);
        }
    }

    /// Callers remembered.
    pub fn callers(&self) -> usize {
        self.shards.iter().map(|shard| lock(shard).len()).sum()
    }

    fn shard(&self, who: &Who) -> MutexGuard<'_, HashMap<Who, Bucket>> {
        lock(&self.shards[self.hasher.hash_one(who) as usize % SHARDS])
    }
}

fn lock(shard: &Mutex<HashMap<Who, Bucket>>) -> MutexGuard<'_, HashMap<Who, Bucket>> {
    shard.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATE: Rate = Rate { per_second: 10, burst: 3 };

    #[test]
    fn a_burst_then_the_rate() {
        let (rates, start, who) = (Rates::default(), Instant::now(), Who::Key(0));
        for taken in 1..=3 {
            let left = rates.take(who, RATE, 1, start).map(|left| left.map(|left| (left.remaining, left.full_in)));
            assert_eq!(left, Ok(Some((3 - taken, Duration::from_millis(100) * taken))));
        }
        let tenth = Duration::from_millis(100);
        let refused = Err(Refused { wait: tenth, left: Left { remaining: 0, full_in: tenth * 3 } });
        assert_eq!(rates.take(who, RATE, 1, start), refused);
        assert_eq!(rates.take(who, RATE, 1, start), refused, "asking in vain costs nothing");
        assert!(rates.take(who, RATE, 1, start + tenth).is_ok());
        assert!(rates.take(who, RATE, 1, start + tenth).is_err());
        assert!(rates.take(Who::Key(1), RATE, 1, start).is_ok(), "others have their own");
    }

    #[test]
    fn several_at_once_cost_as_much_as_one_after_another() {
        let (rates, start, who) = (Rates::default(), Instant::now(), Who::Key(0));
        let tenth = Duration::from_millis(100);
        assert_eq!(rates.take(who, RATE, 2, start), Ok(Some(Left { remaining: 1, full_in: tenth * 2 })));
        let refused = Refused { wait: tenth, left: Left { remaining: 1, full_in: tenth * 2 } };
        assert_eq!(rates.take(who, RATE, 2, start), Err(refused), "one is left, and stays");
        assert!(rates.take(who, RATE, 1, start).is_ok());
        assert!(rates.take(Who::Key(1), RATE, 100, start).is_ok(), "a full bucket is enough for anything");
        assert!(rates.take(Who::Key(1), RATE, 1, start).is_err(), "and then it is empty");
    }

    #[test]
    fn what_others_took_is_learnt() {
        let (rates, start, who) = (Rates::default(), Instant::now(), Who::Key(0));
        assert!(rates.take(who, RATE, 2, start).is_ok());
        assert_eq!(rates.unreported(), [(who, RATE, 2)]);
        assert!(rates.unreported().is_empty());
        rates.report_failed(who, 2);
        assert_eq!(rates.unreported(), [(who, RATE, 2)], "nobody heard it");
        rates.learn(who, start + Duration::from_millis(300));
        assert!(rates.take(who, RATE, 1, start).is_err(), "the third was taken elsewhere");
        rates.learn(who, start);
        assert!(rates.take(who, RATE, 1, start).is_err(), "what was taken here stays taken");
    }

    #[test]
    fn full_buckets_are_forgotten() {
        let (rates, start) = (Rates::default(), Instant::now());
        assert!(rates.take(Who::Key(0), RATE, 1, start).is_ok());
        rates.tidy(start);
        assert_eq!(rates.callers(), 1);
        rates.tidy(start + Duration::from_millis(100));
        assert_eq!(rates.callers(), 0);
    }

    #[test]
    fn an_ipv6_host_is_one_caller() {
        let who = |text: &str| Who::of(text.parse().expect("an address"));
        assert_eq!(who("2001:db8:1:2:aaaa::1"), who("2001:db8:1:2:bbbb::2"));
        assert_ne!(who("2001:db8:1:2::1"), who("2001:db8:1:3::1"));
        assert_ne!(who("192.0.2.1"), who("192.0.2.2"));
    }

    #[test]
    fn a_rate_of_nothing_is_no_limit() {
        let rates = Rates::default();
        let none = Rate { per_second: 0, burst: 0 };
        assert!((0..1_000).all(|_| rates.take(Who::Key(0), none, 1, Instant::now()).is_ok()));
        assert_eq!(rates.callers(), 0);
    }
}
