//! A target together with the values of its counters.
//!
//! A state is one of the target's with one of the counters' within it. Where no counter is followed it is the target alone.
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::counters::{ByCounter, Counters, Counts};
use super::either::{EitherKernel, EitherSpace};
use super::graph::AttackOutcome;
use super::state_space::StateSpace;
use super::{Change, Kind, Target, Volley};
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

    fn stride(&self, place: usize) -> usize {
        self.sizes[..place].iter().product()
    }

    /// The value of the counter at a place.
    fn at(&self, values: usize, place: usize) -> usize {
        values / self.stride(place) % self.sizes[place]
    }

    /// The value of a counter of the target; nothing where it is not followed.
    pub(crate) fn value(&self, values: usize, counter: usize) -> Option<usize> {
        self.counters.iter().position(|known| *known == counter).map(|place| self.at(values, place))
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
#[derive(Clone, Debug, Default)]
pub(crate) struct Readings {
    /// For each of the lattice's values, which of the changes; empty where nothing is read.
    of: Vec<usize>,
    /// For each reading the rows that act, in the order listed; the first is that of none.
    pub(crate) rows: Vec<Vec<usize>>,
}

impl Readings {
    pub(crate) fn new(counters: &Counters, lattice: &Lattice, rows: &[ByCounter], own: bool) -> Self {
        let mut readings = Self { of: Vec::new(), rows: vec![Vec::new()] };
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

    /// The changes that a reading makes, in order.
    pub(crate) fn changes(&self, reading: usize, rows: &[ByCounter]) -> Vec<Change> {
        self.rows[reading].iter().flat_map(|row| rows[*row].then.iter().cloned()).collect()
    }
}

/// What a step adds to counters.
#[derive(Debug)]
struct StepAdds<N> {
    /// For each success that goes past it.
    passed: Adds<N>,
    /// For each row of a table.
    rows: Vec<Adds<N>>,
}

/// A target with some of its counters.
#[derive(Debug)]
pub(crate) struct CountedSpace<'a, N> {
    pub(crate) inner: EitherSpace<'a>,
    lattice: Lattice,
    start: usize,
    readings: Readings,
    landing: Adds<N>,
    steps: Vec<StepAdds<N>>,
    /// What hits add besides, as armour numbers them.
    hits: Vec<Adds<N>>,
}

/// What an outcome does.
#[derive(Debug)]
pub(crate) enum CountedKernel<N> {
    /// The target alone.
    Plain(EitherKernel<N>),
    /// Each outcome with its chance, and the chance that there is none.
    Parts(Vec<(N, EitherKernel<N>)>, N),
}

impl<'a, N: Number> CountedSpace<'a, N> {
    /// A target under a volley, or under none, with those of its counters.
    pub(crate) fn new(target: &'a Target, volley: Option<&'a Volley>, inner: EitherSpace<'a>, which: &[usize]) -> Self {
        let counters = target.counters();
        let lattice = Lattice::new(counters, which);
        let start = lattice.start(counters);
        let mut space = Self {
            inner,
            start,
            readings: Readings::default(),
            landing: Adds::new(),
            steps: Vec::new(),
            hits: Vec::new(),
            lattice,
        };
        let Some(volley) = volley.filter(|_| !which.is_empty()) else { return space };
        space.readings = Readings::new(counters, &space.lattice, &volley.by_counter, false);
        let adds = |counts: &[&Counts]| space.lattice.adds::<N>(counters, counts);
        let mut steps = Vec::with_capacity(volley.steps.len());
        let mut hits = Vec::new();
        for step in &volley.steps {
            let rows = match &step.kind {
                Kind::Table(table) => table.rows.iter().map(|row| adds(&[&row.counts])).collect(),
                Kind::Roll(_) => Vec::new(),
                Kind::Penetrate(penetrate) => {
                    hits = vec![Adds::new(), adds(&[&penetrate.graze_counts]), adds(&[&penetrate.breach_counts])];
                    let rows = penetrate.chart.iter().flat_map(|chart| &chart.rows);
                    hits.extend(rows.map(|row| adds(&[&penetrate.breach_counts, &row.counts])));
                    Vec::new()
                }
            };
            steps.push(StepAdds { passed: adds(&[&step.counts]), rows });
        }
        let landing = adds(&[&volley.counts]);
        if let EitherSpace::Armour(armour) = &mut space.inner {
            armour.counting(hits.iter().map(|adds| !adds.is_empty()).collect());
        }
        (space.landing, space.steps, space.hits) = (landing, steps, hits);
        space
    }

    /// How many values the counters have together.
    pub(crate) fn width(&self) -> usize {
        self.lattice.len()
    }

    /// The state of the target, and the values of the counters.
    pub(crate) fn split(&self, state: usize) -> (usize, usize) {
        (state / self.width(), state % self.width())
    }

    /// The value of a counter in a state; nothing where it is not followed.
    pub(crate) fn value(&self, state: usize, counter: usize) -> Option<usize> {
        self.lattice.value(state % self.width(), counter)
    }

    /// Whether nothing of the target is left.
    pub(crate) fn is_gone(&self, state: usize) -> bool {
        self.inner.is_nothing_left(state / self.width())
    }

    /// Nothing left, with the counters as they are.
    pub(crate) fn gone_from(&self, state: usize) -> usize {
        self.inner.gone() * self.width() + state % self.width()
    }

    /// Models or units that stand.
    pub(crate) fn standing(&self, state: usize) -> u32 {
        self.inner.standing(state / self.width())
    }

    /// Points lost in a state, counted from the start.
    pub(crate) fn lost(&self, state: usize) -> i64 {
        self.inner.lost(state / self.width())
    }

    /// Points that the one hurt model or unit misses.
    pub(crate) fn hurt(&self, state: usize) -> usize {
        self.inner.hurt(state / self.width())
    }

    /// The state with so many points of the hurt model or unit back.
    pub(crate) fn mended(&self, state: usize, points: usize) -> usize {
        let (of_target, values) = self.split(state);
        self.inner.mended(of_target, points) * self.width() + values
    }

    /// All numbers of all states at the start, `aux_width` to each state of the target alone.
    pub(crate) fn begin(&self, alone: &[N], aux_width: usize) -> Vec<N> {
        let mut whole = vec![N::zero(); alone.len() * self.width()];
        for (state, part) in alone.chunks(aux_width).enumerate() {
            whole[(state * self.width() + self.start) * aux_width..][..aux_width].clone_from_slice(part);
        }
        whole
    }

    /// The first of the numbers of each state in which something can stand.
    pub(crate) fn first_of(&self, chances: &[N], aux_width: usize) -> Vec<N> {
        chances.chunks(aux_width).take(self.states()).map(|state| state[0].clone()).collect()
    }

    /// The readings of the counters under the volley.
    pub(crate) fn readings(&self) -> &Readings {
        &self.readings
    }

    /// The numbers of the target alone, whatever its counters.
    pub(crate) fn alone(&self, chances: &[N], aux_width: usize) -> Vec<N> {
        if self.width() == 1 {
            return chances.to_vec();
        }
        let mut alone = vec![N::zero(); chances.len() / self.width()];
        for (index, part) in chances.chunks(aux_width).enumerate() {
            N::add_scaled(&mut alone[index / self.width() * aux_width..][..aux_width], &N::one(), part);
        }
        alone
    }

    /// Adds to the counters in each state in which something is left.
    fn add_to(&self, adds: &Adds<N>, chances: &mut [N], aux_width: usize) {
        let state_width = self.width() * aux_width;
        for (state, part) in chances.chunks_mut(state_width).enumerate() {
            if !self.inner.is_nothing_left(state) && !part.iter().all(N::is_zero) {
                part.clone_from_slice(&self.lattice.added(adds, part, aux_width));
            }
        }
    }

    fn apply_one(&self, kernel: &EitherKernel<N>, from: &[N], onto: &mut [N], aux_width: usize) {
        let mut landed;
        let from = if self.landing.is_empty() {
            from
        } else {
            landed = from.to_vec();
            self.add_to(&self.landing, &mut landed, aux_width);
            &landed
        };
        let adding = |hit: usize, part: &[N]| self.lattice.added(&self.hits[hit], part, aux_width);
        match (&self.inner, kernel) {
            (EitherSpace::Armour(armour), EitherKernel::Armour(moves)) => {
                armour.apply_adding(moves, from, onto, self.width() * aux_width, &adding);
            }
            _ => self.inner.apply(kernel, from, onto, self.width() * aux_width),
        }
    }
}

impl<N: Number> StateSpace<N> for CountedSpace<'_, N> {
    type Kernel = CountedKernel<N>;

    fn states(&self) -> usize {
        StateSpace::<N>::states(&self.inner) * self.width()
    }

    fn start(&self) -> usize {
        StateSpace::<N>::start(&self.inner) * self.width() + self.start
    }

    fn kernel(&self, outcome: &AttackOutcome<N>) -> CountedKernel<N> {
        let kernel = self.inner.kernel(outcome);
        if self.width() == 1 {
            return CountedKernel::Plain(kernel);
        }
        CountedKernel::Parts(vec![(N::one(), kernel)], N::zero())
    }

    fn mixed_kernel(&self, outcomes: &[(N, &AttackOutcome<N>)], nothing: &N) -> CountedKernel<N> {
        if self.width() == 1 {
            return CountedKernel::Plain(self.inner.mixed_kernel(outcomes, nothing));
        }
        let part = |(chance, outcome): &(N, &AttackOutcome<N>)| (chance.clone(), self.inner.kernel(outcome));
        CountedKernel::Parts(outcomes.iter().map(part).collect(), nothing.clone())
    }

    fn apply(&self, kernel: &CountedKernel<N>, from: &[N], onto: &mut [N], aux_width: usize) {
        let (parts, nothing) = match kernel {
            CountedKernel::Plain(kernel) => return self.inner.apply(kernel, from, onto, aux_width),
            CountedKernel::Parts(parts, nothing) => (parts, nothing),
        };
        N::add_scaled(onto, nothing, from);
        for (chance, kernel) in parts {
            let mut part = vec![N::zero(); from.len()];
            N::add_scaled(&mut part, chance, from);
            self.apply_one(kernel, &part, onto, aux_width);
        }
    }

    fn apply_power(&self, kernel: &CountedKernel<N>, from: &[N], times: u32, aux_width: usize) -> Option<Vec<N>> {
        match kernel {
            CountedKernel::Plain(kernel) => self.inner.apply_power(kernel, from, times, aux_width),
            CountedKernel::Parts(..) => None,
        }
    }

    fn variant(&self, state: usize) -> usize {
        StateSpace::<N>::variant(&self.inner, state / self.width())
    }

    fn next_volley(&self, chances: &mut [N], aux_width: usize) {
        self.inner.next_volley(chances, self.width() * aux_width);
    }

    fn reading(&self, state: usize) -> usize {
        self.readings.at(state % self.width())
    }

    fn counts_on_the_way(&self) -> bool {
        self.steps.iter().any(|step| !step.passed.is_empty() || step.rows.iter().any(|row| !row.is_empty()))
    }

    fn count_passed(&self, step: usize, chances: &mut [N], aux_width: usize) {
        if let Some(step) = self.steps.get(step).filter(|step| !step.passed.is_empty()) {
            self.add_to(&step.passed, chances, aux_width);
        }
    }

    fn count_row(&self, step: usize, row: usize, chances: &mut [N], aux_width: usize) {
        let row = self.steps.get(step).and_then(|step| step.rows.get(row));
        if let Some(adds) = row.filter(|adds| !adds.is_empty()) {
            self.add_to(adds, chances, aux_width);
        }
    }
}
