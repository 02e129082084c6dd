//! A volley on a target: the attacks one after another.
use super::super::cancellation::{CancellationToken, Cancelled};
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::count::Tally;
use super::gate::{Attempts, Gated};
use super::graph::{Branch, Graph, Node};
use super::state_space::StateSpace;
use smallvec::SmallVec;

/// A volley prepared for one target.
pub(crate) struct Run<'a, N: Number, F: StateSpace<N>> {
    /// One for each reading of the counters.
    graphs: &'a [Graph<N>],
    space: &'a F,
    /// For each graph and outcome node, what it does; none where whole attacks are enough.
    kernels: Vec<Vec<Option<F::Kernel>>>,
    /// For each graph, what one whole attack does, where it comes to one outcome at most and neither the target changes
    /// numbers nor anything is counted on the way; else none.
    whole: Vec<F::Kernel>,
}

/// What a backfire of a step, or of the gate, does to what stands beside a state.
pub(crate) type Harm<'h, N> = dyn Fn(Option<usize>, &[N], &mut [N]) + 'h;

/// What is followed beside the target.
struct Followed<'c, N> {
    counter: Option<Tally>,
    /// What a backfire of a step does to the numbers beside a state.
    harm: Option<&'c Harm<'c, N>>,
    aux_width: usize,
    /// Mean rolls of each step, and the weight of this attack in them.
    rolls: Option<(&'c mut [f64], f64)>,
}

impl<'a, N: Number, F: StateSpace<N>> Run<'a, N, F> {
    pub(crate) fn new(graphs: &'a [Graph<N>], space: &'a F) -> Self {
        let mut run = Self { graphs, space, kernels: Vec::new(), whole: Vec::new() };
        let plain = |graph: &Graph<N>| graph.variants == 1 && !graph.has_extras();
        if graphs.iter().all(plain) && !space.counts_on_the_way() {
            run.whole = graphs.iter().map(|graph| run.mix(graph)).collect();
        }
        // Harm beside the target is followed roll by roll, and so are counts where the target changes numbers.
        if run.whole.is_empty() || graphs.len() > 1 || run.backfires() {
            run.kernels = run.each();
        }
        run
    }

    fn backfires(&self) -> bool {
        self.graphs.iter().any(Graph::backfires)
    }

    /// The same where counts are followed roll by roll, whatever the graph.
    pub(crate) fn for_counts(graphs: &'a [Graph<N>], space: &'a F) -> Self {
        let mut run = Self::new(graphs, space);
        if run.kernels.is_empty() {
            run.kernels = run.each();
        }
        run
    }

    /// What is struck.
    pub(crate) fn space(&self) -> &'a F {
        self.space
    }

    fn each(&self) -> Vec<Vec<Option<F::Kernel>>> {
        let kernel = |node: &Node<N>| match node {
            Node::AttackOutcome(outcome) => Some(self.space.kernel(outcome)),
            Node::Step { .. } => None,
        };
        self.graphs.iter().map(|graph| graph.nodes.iter().map(kernel).collect()).collect()
    }

    /// The kernel of a whole attack: each outcome with the chance of coming to it.
    fn mix(&self, graph: &Graph<N>) -> F::Kernel {
        let (waiting, nothing) = graph.arrivals();
        let outcomes = graph.nodes.iter().zip(waiting).filter_map(|(node, chance)| match node {
            Node::AttackOutcome(outcome) => Some((chance, outcome)),
            Node::Step { .. } => None,
        });
        self.space.mixed_kernel(&outcomes.collect::<SmallVec<[_; 2]>>(), &nothing)
    }

    /// The chances after so many attacks as `attacks` says.
    ///
    /// # Cost
    /// The largest number of attacks times the moves of the target's states.
    pub(crate) fn apply_attacks(
        &self,
        from: Vec<N>,
        attacks: &Attempts<N>,
        token: &CancellationToken,
    ) -> Result<Vec<N>, Cancelled> {
        self.resolve_attacks(
            from,
            attacks,
            &mut Followed { counter: None, harm: None, aux_width: 1, rolls: None },
            token,
        )
    }

    /// The chances after the attacks, with something beside each state in `aux_width` that backfires may change.
    pub(crate) fn apply_attacks_beside(
        &self,
        from: Vec<N>,
        attacks: &Attempts<N>,
        aux_width: usize,
        harm: Option<&Harm<'_, N>>,
        token: &CancellationToken,
    ) -> Result<Vec<N>, Cancelled> {
        let harm = harm.filter(|_| self.backfires() || attacks.gated.is_some());
        self.resolve_attacks(from, attacks, &mut Followed { counter: None, harm, aux_width, rolls: None }, token)
    }

    /// The distribution of a count that depends on what is hit, with the mean rolls of each step.
    pub(crate) fn count(
        &self,
        from: &[N],
        attacks: &Attempts<N>,
        counter: Tally,
        most: usize,
        rolls: &mut [f64],
        token: &CancellationToken,
    ) -> Result<Distribution<N>, Cancelled> {
        let aux_width = most + 1;
        let mut start = vec![N::zero(); from.len() * aux_width];
        from.iter().enumerate().for_each(|(state, chance)| start[state * aux_width] = chance.clone());
        let mut followed = Followed { counter: Some(counter), harm: None, aux_width, rolls: Some((rolls, 1.0)) };
        let end = self.resolve_attacks(start, attacks, &mut followed, token)?;
        let mut counts = vec![N::zero(); aux_width];
        end.chunks(aux_width).for_each(|state| N::add_scaled(&mut counts, &N::one(), state));
        Ok(Distribution::new(0, counts).unwrap_or_else(|| Distribution::certain(0)))
    }

    /// The chances after the attacks with a count beside each state, carried on from volley to volley.
    pub(crate) fn count_on(
        &self,
        from: Vec<N>,
        attacks: &Attempts<N>,
        counter: Option<Tally>,
        aux_width: usize,
        token: &CancellationToken,
    ) -> Result<Vec<N>, Cancelled> {
        self.resolve_attacks(from, attacks, &mut Followed { counter, harm: None, aux_width, rolls: None }, token)
    }

    fn resolve_attacks(
        &self,
        from: Vec<N>,
        attacks: &Attempts<N>,
        followed: &mut Followed<'_, N>,
        token: &CancellationToken,
    ) -> Result<Vec<N>, Cancelled> {
        // Otherwise all that a gate does is in the number of attacks.
        let seen = followed.counter == Some(Tally::Backfires) || followed.harm.is_some();
        let mut end = match &attacks.gated {
            Some(gated) if seen => self.through(from, gated, followed, token)?,
            _ => self.blows(from, &attacks.all, followed, token)?,
        };
        self.space.next_volley(&mut end, followed.aux_width);
        Ok(end)
    }

    /// The rolls of a gate that may backfire, then the attacks of all who passed.
    ///
    /// # Formula
    /// The chances are kept by how many passed. From the most down, each number makes the attacks of one of them and
    /// joins those with one less.
    fn through(
        &self,
        from: Vec<N>,
        gated: &Gated<N>,
        followed: &mut Followed<'_, N>,
        token: &CancellationToken,
    ) -> Result<Vec<N>, Cancelled> {
        let length = from.len();
        let mut passed = vec![from];
        for _ in 0..gated.rolls {
            token.check()?;
            let mut next = vec![vec![N::zero(); length]; passed.len() + 1];
            for (count, here) in passed.iter().enumerate() {
                let mut backfired = vec![N::zero(); length];
                self.backfired(None, here, &mut backfired, followed);
                for (more, [plain, harmed]) in gated.passing.0.iter().enumerate() {
                    N::add_scaled(&mut next[count + more], plain, here);
                    N::add_scaled(&mut next[count + more], harmed, &backfired);
                }
            }
            passed = next;
        }
        let mut now = passed.pop().unwrap_or_default();
        while let Some(fewer) = passed.pop() {
            now = self.blows(now, &gated.each, followed, token)?;
            N::add_scaled(&mut now, &N::one(), &fewer);
        }
        Ok(now)
    }

    /// Adds to `onto` what a backfire of a step or of the gate makes of `from`.
    fn backfired(&self, step: Option<usize>, from: &[N], onto: &mut [N], followed: &Followed<'_, N>) {
        let counted = followed.counter == Some(Tally::Backfires);
        let bumped = |from: &[N], onto: &mut [N]| {
            if counted { bump(from, onto, followed.aux_width) } else { N::add_scaled(onto, &N::one(), from) }
        };
        let Some(harm) = followed.harm else { return bumped(from, onto) };
        for (from, onto) in from.chunks(followed.aux_width).zip(onto.chunks_mut(followed.aux_width)) {
            harm(step, from, onto);
        }
    }

    fn blows(
        &self,
        from: Vec<N>,
        attacks: &Distribution<N>,
        followed: &mut Followed<'_, N>,
        token: &CancellationToken,
    ) -> Result<Vec<N>, Cancelled> {
        let harmless = followed.harm.is_none() || !self.backfires();
        let plain = if followed.counter.is_none() && harmless { self.whole.as_slice() } else { &[] };
        if let [kernel] = plain
            && attacks.lowest() == attacks.highest()
            && let Some(end) = self.space.apply_power(kernel, &from, attacks.highest() as u32, followed.aux_width)
        {
            return Ok(end);
        }
        let mut now = from;
        let mut next = vec![N::zero(); now.len()];
        let mut sum = vec![N::zero(); now.len()];
        for count in 0..=attacks.highest() {
            let chance = attacks.chance(count);
            if !chance.is_zero() {
                N::add_scaled(&mut sum, &chance, &now);
            }
            if count == attacks.highest() {
                break;
            }
            if count % 64 == 0 {
                token.check()?;
            }
            next.fill(N::zero());
            if let Some((_, weight)) = &mut followed.rolls {
                *weight = attacks.at_least(count + 1).to_f64();
            }
            match self.graphs {
                [_] => self.one(0, plain, &now, &mut next, followed),
                graphs => {
                    for reading in 0..graphs.len() {
                        let here = self.parted(&now, followed.aux_width, |state| self.space.reading(state) == reading);
                        if !here.iter().all(N::is_zero) {
                            self.one(reading, plain, &here, &mut next, followed);
                        }
                    }
                }
            }
            std::mem::swap(&mut now, &mut next);
        }
        Ok(sum)
    }

    /// One attack with the numbers of a reading, which holds to its end.
    fn one(&self, graph: usize, plain: &[F::Kernel], from: &[N], onto: &mut [N], followed: &mut Followed<'_, N>) {
        match plain.get(graph) {
            Some(kernel) => self.space.apply(kernel, from, onto, followed.aux_width),
            None => self.attack((graph, self.graphs[graph].root()), from, onto, followed),
        }
    }

    /// Only what stands in some states.
    fn parted(&self, from: &[N], aux_width: usize, within: impl Fn(usize) -> bool) -> Vec<N> {
        let mut part = from.to_vec();
        for (state, chances) in part.chunks_mut(aux_width).enumerate() {
            if !within(state) {
                chances.fill(N::zero());
            }
        }
        part
    }

    /// Adds to `onto` what becomes of `from` when an attack stands at a node of a graph.
    fn attack(&self, at: (usize, usize), from: &[N], onto: &mut [N], followed: &mut Followed<'_, N>) {
        let (graph, node) = at;
        match &self.graphs[graph].nodes[node] {
            Node::AttackOutcome(_) => {
                let Some(kernel) = &self.kernels[graph][node] else { return };
                if followed.counter == Some(Tally::Through) {
                    let mut counted = vec![N::zero(); from.len()];
                    bump(from, &mut counted, followed.aux_width);
                    self.space.apply(kernel, &counted, onto, followed.aux_width);
                } else {
                    self.space.apply(kernel, from, onto, followed.aux_width);
                }
            }
            Node::Step { step, variants } => {
                let several = variants.len() > 1;
                for (index, variant) in variants.iter().enumerate() {
                    let part;
                    let here = if several {
                        part = self.parted(from, followed.aux_width, |state| self.space.variant(state) == index);
                        &part
                    } else {
                        from
                    };
                    if here.iter().all(N::is_zero) {
                        continue;
                    }
                    if let Some((rolls, weight)) = &mut followed.rolls
                        && variant.rolled
                    {
                        rolls[*step] += *weight * here.iter().map(N::to_f64).sum::<f64>();
                    }
                    for branch in &variant.branches {
                        self.branch((graph, *step), branch, here, onto, followed);
                    }
                }
            }
        }
    }

    fn branch(
        &self,
        (graph, step): (usize, usize),
        branch: &Branch<N>,
        from: &[N],
        onto: &mut [N],
        followed: &mut Followed<'_, N>,
    ) {
        let mut part = vec![N::zero(); from.len()];
        N::add_scaled(&mut part, &branch.chance, from);
        let counts = |counter: Tally| counter.of_branch(step, branch);
        if followed.counter.is_some_and(counts) {
            let mut counted = vec![N::zero(); from.len()];
            bump(&part, &mut counted, followed.aux_width);
            part = counted;
        }
        if let Some(harm) = followed.harm.filter(|_| branch.backfired) {
            let mut harmed = vec![N::zero(); from.len()];
            for (from, onto) in part.chunks(followed.aux_width).zip(harmed.chunks_mut(followed.aux_width)) {
                harm(Some(step), from, onto);
            }
            part = harmed;
        }
        if let Some(row) = branch.row {
            self.space.count_row(step, row, &mut part, followed.aux_width);
        }
        let Some(next) = &branch.next else {
            N::add_scaled(onto, &N::one(), &part);
            return;
        };
        self.space.count_passed(step, &mut part, followed.aux_width);
        let Some((extra, node)) = &next.extra else { return self.attack((graph, next.main), &part, onto, followed) };
        let mut after = vec![N::zero(); from.len()];
        self.attack((graph, next.main), &part, &mut after, followed);
        // The extra successes come one after another; those that may not come are weighed in the sum only,
        // so the mean rolls are weighed by the chance that there are so many.
        let weight = followed.rolls.as_ref().map(|(_, weight)| *weight);
        for count in 0..=extra.highest() {
            N::add_scaled(onto, &extra.chance(count), &after);
            if count == extra.highest() {
                break;
            }
            if let (Some((_, weight)), Some(whole)) = (&mut followed.rolls, weight) {
                *weight = whole * extra.at_least(count + 1).to_f64();
            }
            if followed.counter == Some(Tally::Passed(step)) {
                let mut counted = vec![N::zero(); from.len()];
                bump(&after, &mut counted, followed.aux_width);
                after = counted;
            }
            self.space.count_passed(step, &mut after, followed.aux_width);
            let mut more = vec![N::zero(); from.len()];
            self.attack((graph, *node), &after, &mut more, followed);
            after = more;
        }
        if let (Some((_, weight)), Some(whole)) = (&mut followed.rolls, weight) {
            *weight = whole;
        }
    }
}

/// Moves every count up by one. There are as many as can be counted, so nothing falls off the end.
fn bump<N: Number>(from: &[N], onto: &mut [N], aux_width: usize) {
    for (from, onto) in from.chunks(aux_width).zip(onto.chunks_mut(aux_width)) {
        N::add_scaled(&mut onto[1..], &N::one(), &from[..aux_width - 1]);
    }
}
