//! A target together with the values of its counters.
//!
//! A state is one of the target's with one of the counters' within it. Where no counter is followed it is the target alone.
use super::super::number::Number;
use super::counters::{ByCounter, Counters, Counts};
use super::either::{EitherKernel, EitherSpace};
use super::graph::AttackOutcome;
use super::lattice::{Adds, Lattice, Readings};
use super::state_space::StateSpace;
use super::{Kind, Target, Volley};

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

    /// The state with another value of a counter, where that is followed.
    pub(crate) fn with_value(&self, state: usize, counter: usize, value: usize) -> usize {
        let (of_target, values) = self.split(state);
        of_target * self.width() + self.lattice.with_value(values, counter, value)
    }

    /// How rows of this side's own counters may act in each of its states.
    pub(crate) fn own_readings(&self, counters: &Counters, rows: &[ByCounter]) -> Readings {
        Readings::new(counters, &self.lattice, rows, true)
    }

    /// Which of such readings holds in a state.
    pub(crate) fn own_reading(&self, readings: &Readings, state: usize) -> usize {
        readings.at(state % self.width())
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
