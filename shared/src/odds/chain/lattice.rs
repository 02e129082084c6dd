//! The values that counters may have together, what is added to them, and which rows read them.
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::Change;
use super::counters::{ByCounter, Counters, Counts};
use smallvec::SmallVec;

/// All values that some counters of a target may have together.
#[derive(Clone, Debug, Default)]
pub(crate) struct Lattice {
    /// Which counters of the target.
    counters: Vec<usize>,
    /// How many values each has.
    sizes: Vec<usize>,
}

/// What is added to counters of a lattice, by their place in it.
pub(crate) type Adds<N> = SmallVec<[(usize, Distribution<N>); 1]>;

impl Lattice {
    pub(crate) fn new(counters: &Counters, which: &[usize]) -> Self {
        let sizes = which.iter().map(|at| counters.all[*at].most as usize + 1).collect();
        Self { counters: which.to_vec(), sizes }
    }

    /// How many values there are together.
    pub(crate) fn len(&self) -> usize {
        self.sizes.iter().product()
    }

    pub(super) fn stride(&self, place: usize) -> usize {
        self.sizes[..place].iter().product()
    }

    /// The value of the counter at a place.
    pub(super) fn at(&self, values: usize, place: usize) -> usize {
        values / self.stride(place) % self.sizes[place]
    }

    /// The value of a counter of the target; nothing where it is not followed.
    pub(crate) fn value(&self, values: usize, counter: usize) -> Option<usize> {
        self.counters.iter().position(|known| *known == counter).map(|place| self.at(values, place))
    }

    /// The values with another value of a counter of the target, where that is followed.
    pub(crate) fn with_value(&self, values: usize, counter: usize, value: usize) -> usize {
        let Some(place) = self.counters.iter().position(|known| *known == counter) else { return values };
        values - self.at(values, place) * self.stride(place) + value * self.stride(place)
    }

    /// The values at the start.
    pub(crate) fn start(&self, counters: &Counters) -> usize {
        let each = self.counters.iter().enumerate();
        each.map(|(place, at)| counters.all[*at].start as usize * self.stride(place)).sum()
    }

    /// What of these is added here.
    pub(crate) fn adds<N: Number>(&self, counters: &Counters, counts: &[&Counts]) -> Adds<N> {
        let mut adds = Adds::new();
        for (name, amount) in counts.iter().flat_map(|counts| counts.iter()) {
            let at = counters.position(name);
            let place = self.counters.iter().position(|known| Some(*known) == at);
            if let Some(place) = place.filter(|_| amount.highest() > 0) {
                adds.push((place, amount.distribution()));
            }
        }
        adds
    }

    /// The chances of one state of the target, `aux_width` numbers to each of the counters' values, after an addition.
    pub(crate) fn added<N: Number>(&self, adds: &Adds<N>, from: &[N], aux_width: usize) -> Vec<N> {
        let mut now = from.to_vec();
        for (place, amount) in adds {
            let (stride, most) = (self.stride(*place), self.sizes[*place] - 1);
            let mut next = vec![N::zero(); now.len()];
            for (values, part) in now.chunks(aux_width).enumerate().filter(|(_, part)| !part.iter().all(N::is_zero)) {
                let value = self.at(values, *place);
                for (more, chance) in amount.iter() {
                    let up = (value + more as usize).min(most) - value;
                    N::add_scaled(&mut next[(values + up * stride) * aux_width..], chance, part);
                }
            }
            now = next;
        }
        now
    }
}

/// The changes that rows of a volley make, for each way in which they may be reached.
#[derive(Clone, Debug)]
pub(crate) struct Readings {
    /// For each of the lattice's values, which of the changes; empty where nothing is read.
    of: Vec<usize>,
    /// For each reading the rows that act, in the order listed; the first is that of none.
    pub(crate) rows: Vec<Vec<usize>>,
}

impl Default for Readings {
    /// Of nothing.
    fn default() -> Self {
        Self { of: Vec::new(), rows: vec![Vec::new()] }
    }
}

impl Readings {
    pub(crate) fn new(counters: &Counters, lattice: &Lattice, rows: &[ByCounter], own: bool) -> Self {
        let mut readings = Self::default();
        if rows.iter().all(|row| row.own != own) {
            return readings;
        }
        let value = |values: usize, row: &ByCounter| {
            counters.position(&row.counter).and_then(|at| lattice.value(values, at)).unwrap_or(0)
        };
        for values in 0..lattice.len() {
            let reached = |row: &ByCounter| row.own == own && value(values, row) >= row.at_least as usize;
            let highest = |row: &ByCounter| {
                let others = rows.iter().filter(|other| reached(other) && other.counter == row.counter);
                others.map(|other| other.at_least).max() == Some(row.at_least)
            };
            let acting = rows.iter().enumerate().filter(|(_, row)| reached(row) && highest(row));
            let acting: Vec<usize> = acting.map(|(at, _)| at).collect();
            let known = readings.rows.iter().position(|rows| *rows == acting).unwrap_or(readings.rows.len());
            if known == readings.rows.len() {
                readings.rows.push(acting);
            }
            readings.of.push(known);
        }
        readings
    }

    /// Which reading holds with these values.
    pub(crate) fn at(&self, values: usize) -> usize {
        self.of.get(values).copied().unwrap_or(0)
    }

    /// The changes that a reading makes together with other rows that act, in the order listed.
    pub(crate) fn changes(&self, reading: usize, rows: &[ByCounter], besides: &[usize]) -> Vec<Change> {
        let mut acting: Vec<usize> = self.rows[reading].iter().chain(besides).copied().collect();
        acting.sort_unstable();
        acting.into_iter().flat_map(|row| rows[row].then.iter().cloned()).collect()
    }
}
