//! One computation for each key at a time in this process, whoever asks: the rest wait for the first one's answer.
use super::Key;
use futures::future::{BoxFuture, FutureExt, Shared, WeakShared};
use std::{
    collections::HashMap,
    future::Future,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

type Work<T> = Shared<BoxFuture<'static, T>>;

/// The computations that are going on.
///
/// They belong to those who wait for them: a hang-up of one changes nothing for the others, and when the last one
/// hangs up, the work is dropped where it is.
pub struct Flights<T: Clone>(Arc<Mutex<Going<T>>>);

struct Going<T: Clone> {
    by_key: HashMap<Key, (u64, WeakShared<BoxFuture<'static, T>>)>,
    count: u64,
}

impl<T: Clone> Clone for Flights<T> {
    fn clone(&self) -> Self {
        Self(Arc::clone(&self.0))
    }
}

impl<T: Clone> Default for Flights<T> {
    fn default() -> Self {
        Self(Arc::new(Mutex::new(Going { by_key: HashMap::new(), count: 0 })))
    }
}

impl<T: Clone + Send + Sync + 'static> Flights<T> {
    /// Joins the work that goes on for `key`, or begins it. The flag says whether this call began it.
    pub async fn join<F>(&self, key: Key, begin: impl FnOnce() -> F) -> (T, bool)
    where
        F: Future<Output = T> + Send + 'static,
    {
        let (work, begun) = self.find(key, begin);
        (work.await, begun)
    }

    fn find<F>(&self, key: Key, begin: impl FnOnce() -> F) -> (Work<T>, bool)
    where
        F: Future<Output = T> + Send + 'static,
    {
        let mut going = lock(&self.0);
        if let Some(work) = going.by_key.get(&key).and_then(|(_, work)| work.upgrade()) {
            return (work, false);
        }
        going.count += 1;
        let number = going.count;
        let landing = FlightGuard { flights: self.clone(), key, number };
        let work = begin();
        let work = async move {
            let _landing = landing;
            work.await
        };
        let work = work.boxed().shared();
        if let Some(weak) = work.downgrade() {
            going.by_key.insert(key, (number, weak));
        }
        (work, true)
    }

    /// How many are going on.
    pub fn count(&self) -> usize {
        lock(&self.0).by_key.len()
    }
}

/// Takes the work off the list when it is done or dropped.
struct FlightGuard<T: Clone> {
    flights: Flights<T>,
    key: Key,
    number: u64,
}

impl<T: Clone> Drop for FlightGuard<T> {
    fn drop(&mut self) {
        let mut going = lock(&self.flights.0);
        // Another one may have begun between the last hang-up and now.
        if going.by_key.get(&self.key).is_some_and(|(number, _)| *number == self.number) {
            going.by_key.remove(&self.key);
        }
    }
}

fn lock<T: Clone>(going: &Mutex<Going<T>>) -> MutexGuard<'_, Going<T>> {
    going.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use tokio::sync::Semaphore;

    fn key(n: u8) -> Key {
        Key::of_spelling("", 0, &[n])
    }

    #[tokio::test]
    async fn equal_keys_share_one_computation() {
        let (flights, runs, go) = (Flights::default(), Arc::new(AtomicUsize::new(0)), Arc::new(Semaphore::new(0)));
        let ask = || {
            let (flights, runs, go) = (flights.clone(), Arc::clone(&runs), Arc::clone(&go));
            tokio::spawn(async move {
                let work = || async move {
                    go.acquire().await.expect("never closed").forget();
                    runs.fetch_add(1, Ordering::SeqCst)
                };
                flights.join(key(1), work).await
            })
        };
        let all: Vec<_> = (0..50).map(|_| ask()).collect();
        // One thread, tasks in turn: after a few rounds all of them have joined. The permits wait for whoever comes late.
        for _ in 0..10 {
            tokio::task::yield_now().await;
        }
        go.add_permits(50);
        let mut begun = 0;
        for one in all {
            let (run, began) = one.await.expect("no panic");
            assert_eq!(run, 0);
            begun += usize::from(began);
        }
        assert_eq!((runs.load(Ordering::SeqCst), begun, flights.count()), (1, 1, 0));
    }

    #[tokio::test]
    async fn the_last_hang_up_drops_the_work_and_the_next_begins_anew() {
        let flights: Flights<u32> = Flights::default();
        let (held, other) = (Arc::new(()), flights.clone());
        let inside = Arc::clone(&held);
        let waiting = tokio::spawn(async move {
            let work = || async move {
                let _inside = inside;
                std::future::pending().await
            };
            other.join(key(2), work).await
        });
        tokio::task::yield_now().await;
        assert_eq!((Arc::strong_count(&held), flights.count()), (2, 1));
        waiting.abort();
        assert!(waiting.await.is_err());
        assert_eq!((Arc::strong_count(&held), flights.count()), (1, 0), "dropped and off the list");
        assert_eq!(flights.join(key(2), || async { 7 }).await, (7, true));
    }

    #[tokio::test]
    async fn one_hang_up_does_not_end_the_work_of_the_others() {
        let (flights, go): (Flights<u32>, _) = (Flights::default(), Arc::new(Semaphore::new(0)));
        let ask = |value| {
            let (flights, go) = (flights.clone(), Arc::clone(&go));
            tokio::spawn(async move {
                let work = || async move {
                    go.acquire().await.expect("never closed").forget();
                    value
                };
                flights.join(key(3), work).await.0
            })
        };
        let (first, second) = (ask(1), ask(2));
        tokio::task::yield_now().await;
        first.abort();
        tokio::task::yield_now().await;
        go.add_permits(50);
        assert_eq!(second.await.expect("no panic"), 1, "the work of the first, finished for the second");
    }
}
