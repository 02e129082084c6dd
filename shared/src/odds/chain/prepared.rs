//! All volleys of a chain, ready to be resolved on the states of its target and of the counters that matter.
use super::super::cancellation::{CancellationToken, Cancelled};
use super::super::number::Number;
use super::counted::CountedSpace;
use super::either::EitherSpace;
use super::gate::Attempts;
use super::graph::Graph;
use super::lattice::Readings;
use super::run::Run;
use super::state_space::StateSpace;
use super::{Chain, Group, Target, Volley};

/// The volleys of a chain with some of the counters of its target followed.
pub(crate) struct Prepared<'a, N: Number> {
    chain: &'a Chain,
    /// The states under each volley.
    pub(super) spaces: Vec<CountedSpace<'a, N>>,
    /// For each volley, the graph of one attack for each reading of the counters.
    pub(super) graphs: Vec<Vec<Graph<N>>>,
}

impl<'a, N: Number> Prepared<'a, N> {
    /// On the states that `inner` makes of the target under each volley.
    pub(super) fn new(chain: &'a Chain, which: &[usize], inner: impl Fn(&'a Volley) -> EitherSpace<'a>) -> Self {
        let space = |volley| CountedSpace::new(&chain.target, Some(volley), inner(volley), which);
        let spaces: Vec<CountedSpace<'a, N>> = chain.volleys.iter().map(space).collect();
        let each = chain.volleys.iter().zip(&spaces);
        let graphs = each.map(|(volley, space)| graphs(volley, &chain.target, space.readings(), &[])).collect();
        Self { chain, spaces, graphs }
    }

    /// With the counters that the volleys read, and nothing else beside the target.
    pub(super) fn plain(chain: &'a Chain) -> Self {
        Self::following(chain, &chain.target.counters().read_by(&chain.volleys, false))
    }

    /// With these counters, and nothing else beside the target.
    pub(super) fn following(chain: &'a Chain, which: &[usize]) -> Self {
        Self::new(chain, which, |volley| EitherSpace::new(&chain.target, Some(volley), &chain.volleys))
    }

    /// A volley ready to be applied.
    pub(super) fn run(&self, volley: usize) -> Run<'_, N, CountedSpace<'a, N>> {
        Run::new(&self.graphs[volley], &self.spaces[volley])
    }

    /// The same where a count is followed through all volleys, whatever their graphs.
    pub(super) fn run_for_counts(&self, volley: usize) -> Run<'_, N, CountedSpace<'a, N>> {
        Run::for_counts(&self.graphs[volley], &self.spaces[volley])
    }

    /// Any of the spaces, for what they all tell alike.
    pub(super) fn space(&self) -> &CountedSpace<'a, N> {
        &self.spaces[0]
    }

    /// The chances of all states at the start, the first of `aux_width` numbers to each.
    pub(super) fn start(&self, aux_width: usize) -> Vec<N> {
        let mut start = vec![N::zero(); self.space().states() * aux_width];
        start[self.space().start() * aux_width] = N::one();
        start
    }

    /// Whether what an attack of a volley comes to changes with what stands.
    pub(super) fn depends(&self, volley: usize) -> bool {
        self.graphs[volley].len() > 1 || self.graphs[volley].iter().any(|graph| graph.variants > 1)
    }

    /// The chances of all states after all volleys.
    pub(super) fn struck(&self, token: &CancellationToken) -> Result<Vec<N>, Cancelled> {
        let mut state = self.start(1);
        for (index, volley) in self.chain.volleys.iter().enumerate() {
            state = self.run(index).apply_attacks(state, &Attempts::of(volley), token)?;
        }
        Ok(state)
    }
}

/// The graph of an attack for each reading of the target's counters; `own` are the rows of the own counters that act.
pub(crate) fn graphs<N: Number>(volley: &Volley, target: &Target, readings: &Readings, own: &[usize]) -> Vec<Graph<N>> {
    let groups = groups(target);
    let changes = |reading| readings.changes(reading, &volley.by_counter, own);
    (0..readings.rows.len()).map(|reading| Graph::new(volley, groups, &changes(reading))).collect()
}

/// The groups of soldiers; armour has none.
pub(crate) fn groups(target: &Target) -> &[Group] {
    match target {
        Target::Soldiers(soldiers) => &soldiers.groups,
        Target::Armoured(_) => &[],
    }
}
