//! What one attack comes to in numbers that do not depend on the target: how many come through a
//! step, through all of them, or backfire.
use super::super::distribution::{Chances, Distribution};
use super::super::number::Number;
use super::graph::{Branch, Graph, Node};
use smallvec::SmallVec;

/// What is counted along the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tally {
    /// Successes past all steps.
    Through,
    /// Successes past the step with this index.
    Passed(usize),
    /// Backfires that were not saved.
    Backfires,
}

impl Tally {
    /// What a branch of a step adds at once, the extra successes not included.
    pub(crate) fn of_branch<N>(self, step: usize, branch: &Branch<N>) -> bool {
        match self {
            Self::Through => false,
            Self::Passed(counted) => step == counted && branch.next.is_some(),
            Self::Backfires => branch.backfired,
        }
    }
}

/// The distribution of the count for one attack, where the target changes nothing (one variant).
pub(crate) fn of_attack<N: Number>(graph: &Graph<N>, counter: Tally) -> Distribution<N> {
    if !graph.has_extras() && counter == Tally::Through {
        let (arrivals, mut fails) = graph.arrivals();
        let mut comes = N::zero();
        for (node, chance) in graph.nodes.iter().zip(&arrivals) {
            if matches!(node, Node::AttackOutcome(_)) {
                comes.add(chance);
            }
        }
        if comes.is_zero() {
            fails = N::one();
        }
        return Distribution::new(0, [fails, comes].into_iter().collect::<Chances<N>>())
            .unwrap_or_else(|| Distribution::certain(0));
    }
    let mut known: Vec<Distribution<N>> = Vec::with_capacity(graph.nodes.len());
    for node in &graph.nodes {
        let counted = match node {
            Node::AttackOutcome(_) => Distribution::certain(i64::from(counter == Tally::Through)),
            Node::Step { step, variants } => {
                let ends: Vec<(N, Distribution<N>)> = variants[0]
                    .branches
                    .iter()
                    .map(|branch| {
                        let count = i64::from(counter.of_branch(*step, branch));
                        let Some(next) = &branch.next else {
                            return (branch.chance.clone(), Distribution::certain(count));
                        };
                        // A step behind the counted one adds nothing more.
                        let done = matches!(counter, Tally::Passed(counted) if *step >= counted);
                        let onward = |node: usize| if done { Distribution::certain(0) } else { known[node].clone() };
                        let mut sum = onward(next.main);
                        if let Some((extra, node)) = &next.extra {
                            let each =
                                if counter == Tally::Passed(*step) { Distribution::certain(1) } else { onward(*node) };
                            sum = sum.convolve(&extra.compound(&each));
                        }
                        (branch.chance.clone(), sum.shifted(count))
                    })
                    .collect();
                Distribution::mix(ends.iter().map(|(chance, sum)| (chance.clone(), sum)))
                    .unwrap_or_else(|| Distribution::certain(0))
            }
        };
        known.push(counted);
    }
    known.pop().unwrap_or_else(|| Distribution::certain(0))
}

/// A mean for each step.
pub(crate) type Rolls = SmallVec<[f64; 8]>;

/// For each step, the mean number of times that one attack rolls it (one variant).
pub(crate) fn rolls_of_attack<N: Number>(graph: &Graph<N>, steps: usize) -> Rolls {
    let mut waiting = Rolls::from_elem(0.0, graph.nodes.len());
    let mut rolls = Rolls::from_elem(0.0, steps);
    if let Some(root) = waiting.last_mut() {
        *root = 1.0;
    }
    for (index, node) in graph.nodes.iter().enumerate().rev() {
        let Node::Step { step, variants } = node else { continue };
        if variants[0].rolled {
            rolls[*step] += waiting[index];
        }
        for branch in &variants[0].branches {
            if let Some(next) = &branch.next {
                let came = waiting[index] * branch.chance.to_f64();
                waiting[next.main] += came;
                if let Some((extra, node)) = &next.extra {
                    waiting[*node] += came * extra.expected();
                }
            }
        }
    }
    rolls
}
