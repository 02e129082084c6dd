//! Answers that need not be computed again: the memory of this process, then Redis for what is dear.
use axum::body::Bytes;
use futures::future::BoxFuture;
use std::sync::Arc;

pub mod breaker;
pub mod flight;
pub mod key;
pub mod memory;
pub mod redis;
pub mod sealed;

pub use key::Key;

/// A place that keeps answers. It may lose any of them at any time, and it never fails: what goes wrong with it is
/// its own affair and counts as a miss.
pub trait Tier: Send + Sync + 'static {
    /// Its name in the metrics and in `Server-Timing`.
    fn name(&self) -> &'static str;

    /// Whether answers of this price are worth keeping here.
    fn takes(&self, price: u64) -> bool;

    /// Looks.
    fn get<'a>(&'a self, key: &'a Key) -> BoxFuture<'a, Option<Bytes>>;

    /// Keeps, or begins to, without waiting.
    fn put(&self, key: Key, answer: Bytes);
}

/// All the tiers, the nearest first.
#[derive(Clone)]
pub struct Tiers(Arc<[Arc<dyn Tier>]>);

impl Tiers {
    /// These, the nearest first.
    pub fn new(tiers: Vec<Arc<dyn Tier>>) -> Self {
        Self(tiers.into())
    }

    /// The answer and the name of the tier that had it. Nearer tiers keep it from now on.
    pub async fn get(&self, key: &Key, price: u64) -> Option<(Bytes, &'static str)> {
        for (index, tier) in self.0.iter().enumerate().filter(|(_, tier)| tier.takes(price)) {
            if let Some(answer) = tier.get(key).await {
                for nearer in self.0[..index].iter().filter(|tier| tier.takes(price)) {
                    nearer.put(*key, answer.clone());
                }
                return Some((answer, tier.name()));
            }
        }
        None
    }

    /// Keeps the answer in every tier that takes its price.
    pub fn put(&self, key: Key, price: u64, answer: &Bytes) {
        for tier in self.0.iter().filter(|tier| tier.takes(price)) {
            tier.put(key, answer.clone());
        }
    }
}
