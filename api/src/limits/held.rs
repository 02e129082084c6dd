//! What clients make the service hold for them: connections, and bytes on their way in and out; by address and in all.
use super::rate::Who;
use std::{
    collections::HashMap,
    sync::{Arc, Mutex, MutexGuard, PoisonError},
};

/// The most of everything.
#[derive(Clone, Copy, Debug)]
pub struct Most {
    /// Connections of one address.
    pub connections_each: usize,
    /// Bytes of all.
    pub bytes: usize,
    /// Bytes of one address.
    pub bytes_each: usize,
}

/// The books on what is held.
pub struct Held {
    most: Most,
    counts: Mutex<Counts>,
}

#[derive(Default)]
struct Counts {
    bytes: usize,
    by_who: HashMap<Who, Count>,
}

#[derive(Clone, Copy, Default)]
struct Count {
    connections: usize,
    bytes: usize,
}

impl Held {
    /// Nothing is held yet.
    pub fn new(most: Most) -> Arc<Self> {
        Arc::new(Self { most, counts: Mutex::default() })
    }

    /// A connection of this caller, for as long as the place lives; none where the caller has too many.
    pub fn connect(self: &Arc<Self>, who: Who) -> Option<Place> {
        let mut counts = self.counts();
        let count = counts.by_who.entry(who).or_default();
        if count.connections >= self.most.connections_each {
            return None;
        }
        count.connections += 1;
        Some(Place { held: Arc::clone(self), who })
    }

    /// A share of the bytes, empty at first. Without a caller, as for a proxy that speaks for many, only the sum of all
    /// is bounded.
    pub fn share(self: &Arc<Self>, who: Option<Who>) -> Share {
        Share { held: Arc::clone(self), who, bytes: 0 }
    }

    /// Bytes held in all.
    pub fn bytes(&self) -> usize {
        self.counts().bytes
    }

    fn counts(&self) -> MutexGuard<'_, Counts> {
        // Whoever panicked with it in hand had changed nothing yet or all of it.
        self.counts.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Counts {
    fn change(&mut self, who: Who, change: impl FnOnce(&mut Count)) {
        let count = self.by_who.entry(who).or_default();
        change(count);
        if (count.connections, count.bytes) == (0, 0) {
            self.by_who.remove(&who);
        }
    }
}

/// A connection that is counted.
pub struct Place {
    held: Arc<Held>,
    who: Who,
}

impl Drop for Place {
    fn drop(&mut self) {
        self.held.counts().change(self.who, |count| count.connections = count.connections.saturating_sub(1));
    }
}

/// Bytes that are counted until the share is emptied or gone.
pub struct Share {
    held: Arc<Held>,
    who: Option<Who>,
    bytes: usize,
}

impl Share {
    /// So many more; whether there is room for them.
    #[must_use]
    pub fn grow(&mut self, more: usize) -> bool {
        let mut counts = self.held.counts();
        let own = self.who.and_then(|who| counts.by_who.get(&who)).map_or(0, |count| count.bytes);
        let fits = |there: usize, most: usize| there.saturating_add(more) <= most;
        if !fits(counts.bytes, self.held.most.bytes) || !fits(own, self.held.most.bytes_each) {
            return false;
        }
        counts.bytes += more;
        if let Some(who) = self.who {
            counts.change(who, |count| count.bytes += more);
        }
        self.bytes += more;
        true
    }

    /// None any more.
    pub fn empty(&mut self) {
        let gone = std::mem::take(&mut self.bytes);
        if gone == 0 {
            return;
        }
        let mut counts = self.held.counts();
        counts.bytes = counts.bytes.saturating_sub(gone);
        if let Some(who) = self.who {
            counts.change(who, |count| count.bytes = count.bytes.saturating_sub(gone));
        }
    }
}

impl Drop for Share {
    fn drop(&mut self) {
        self.empty();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MOST: Most = Most { connections_each: 2, bytes: 100, bytes_each: 60 };

    fn callers(held: &Arc<Held>) -> usize {
        held.counts().by_who.len()
    }

    #[test]
    fn connections_are_counted_for_each() {
        let held = Held::new(MOST);
        let (one, two) = (held.connect(Who::Key(1)), held.connect(Who::Key(1)));
        assert!(one.is_some() && two.is_some() && held.connect(Who::Key(1)).is_none());
        assert!(held.connect(Who::Key(2)).is_some(), "others have their own");
        drop(one);
        assert!(held.connect(Who::Key(1)).is_some());
        drop(two);
        assert_eq!(callers(&held), 0, "who holds nothing is forgotten");
    }

    #[test]
    fn bytes_are_counted_for_each_and_for_all() {
        let held = Held::new(MOST);
        let (mut one, mut two, mut proxy) =
            (held.share(Some(Who::Key(1))), held.share(Some(Who::Key(2))), held.share(None));
        assert!(one.grow(60) && !one.grow(1), "an address has 60");
        assert!(two.grow(30) && !two.grow(11), "all together have 100");
        assert!(proxy.grow(10) && !proxy.grow(1));
        assert_eq!(held.bytes(), 100);
        one.empty();
        assert!(one.grow(60), "what was given back can be had again");
        drop((one, two, proxy));
        assert_eq!((held.bytes(), callers(&held)), (0, 0));
    }
}
