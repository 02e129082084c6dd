//! Whether the bot is really there: a process can live long after its sockets died. Judged by the last heartbeats.
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// What is known of the shards of this process.
#[derive(Clone, Debug, Default)]
pub struct Health(Arc<Mutex<HashMap<u32, Shard>>>);

#[derive(Clone, Copy, Debug)]
struct Shard {
    /// When it was last seen connected, with its heartbeat answered or not yet due.
    well: Instant,
    /// Whether a heartbeat was ever answered.
    beaten: bool,
}

impl Health {
    /// How often the shards are looked at.
    pub const LOOKED_AT: Duration = Duration::from_secs(1);
    /// Two heartbeats of the platform's usual pace; a shard that was not well for so long is gone.
    pub const TIMEOUT: Duration = Duration::from_secs(90);

    /// Notes what the shards are: each with its number, whether it is connected, and whether its last heartbeat was
    /// answered.
    pub fn look(&self, shards: impl Iterator<Item = (u32, bool, bool)>, now: Instant) {
        let mut known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        for (id, connected, answered) in shards {
            let shard = known.entry(id).or_insert(Shard { well: now, beaten: false });
            if connected && answered {
                *shard = Shard { well: now, beaten: true };
            }
        }
    }

    /// All shards have ended.
    pub fn gone(&self) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    /// Whether every shard was well a short time ago.
    pub fn is_well(&self, now: Instant) -> bool {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let well = |shard: &Shard| now.saturating_duration_since(shard.well) < Self::TIMEOUT;
        !known.is_empty() && known.values().all(well)
    }

    /// How many shards have had a heartbeat answered.
    pub fn beating(&self) -> usize {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).values().filter(|shard| shard.beaten).count()
    }
}
