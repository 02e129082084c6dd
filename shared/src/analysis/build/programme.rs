//! An integer programme under way, and the search for its best point.
use crate::odds::cancellation::{CancellationToken, Cancelled};
use microlp::{ComparisonOp, Error, Problem, ResumeOptions, SolveOptions, SolveOutcome, Variable};

/// So many nodes are searched before it is looked whether anybody still waits.
const NODES: u64 = 200;
/// No search has more of them in all, where there are no more than `FEW` candidates.
const MOST_NODES: u64 = 20_000;
/// Beyond so many candidates a search has fewer nodes, as each of them takes longer: what is not settled then has a bound.
const FEW: u64 = 150;

/// A programme under way: the variables of the candidates.
pub(super) struct Programme {
    pub(super) problem: Problem,
    pub(super) counts: Vec<Variable>,
}

impl Programme {
    pub(super) fn limit(&mut self, sum: &Sum, op: ComparisonOp, bound: f64) {
        if sum.terms.is_empty() {
            let holds = match op {
                ComparisonOp::Le => sum.fixed <= bound + 1e-9,
                ComparisonOp::Ge => sum.fixed >= bound - 1e-9,
                ComparisonOp::Eq => (sum.fixed - bound).abs() <= 1e-9,
            };
            if !holds {
                // Nothing can be both: the whole is impossible.
                let never = self.problem.add_var(0.0, (0.0, 0.0));
                self.problem.add_constraint([(never, 1.0)], ComparisonOp::Ge, 1.0);
            }
            return;
        }
        self.problem.add_constraint(sum.terms.as_slice(), op, bound - sum.fixed);
    }
}

/// A sum over variables and a constant.
#[derive(Clone, Debug, Default)]
pub(super) struct Sum {
    pub(super) terms: Vec<(Variable, f64)>,
    pub(super) fixed: f64,
}

/// The same with each variable once: the solver takes no variable twice.
pub(super) fn merged(sum: Sum) -> Sum {
    let mut terms: Vec<(Variable, f64)> = Vec::new();
    for (variable, factor) in sum.terms {
        match terms.iter_mut().find(|(known, _)| *known == variable) {
            Some((_, all)) => *all += factor,
            None => terms.push((variable, factor)),
        }
    }
    Sum { terms, ..sum }
}

/// What one search comes to.
pub(super) enum Run {
    /// How many of each, its value, and the most that it could be.
    Found(Vec<u32>, f64, f64),
    Impossible,
    Unknown,
}

pub(super) fn search(programme: &Programme, fixed: f64, token: &CancellationToken) -> Result<Run, Cancelled> {
    token.check()?;
    let candidates = (programme.counts.len() as u64).max(FEW);
    let most = (MOST_NODES * FEW * FEW / (candidates * candidates)).max(NODES);
    let mut options = SolveOptions::default();
    options.node_limit = Some(NODES);
    let mut outcome: Result<SolveOutcome, Error> = programme.problem.solve_with(options);
    let mut nodes = NODES;
    loop {
        token.check()?;
        let found = match outcome {
            Ok(found) => found,
            Err(Error::Infeasible) => return Ok(Run::Impossible),
            Err(_) => return Ok(Run::Unknown),
        };
        // Some list is looked for with all of them.
        let spent = nodes >= most && found.solution().is_some() || nodes >= MOST_NODES;
        if found.is_optimal() || spent {
            let Some(solution) = found.solution() else { return Ok(Run::Unknown) };
            let counts = programme.counts.iter().map(|one| solution.var_value(*one).round().max(0.0) as u32);
            let bound = if found.is_optimal() { None } else { solution.stats().best_bound };
            let value = solution.objective() + fixed;
            return Ok(Run::Found(counts.collect(), value, bound.map_or(value, |bound| bound + fixed)));
        }
        nodes += NODES;
        let mut more: ResumeOptions = found.last_resume_options();
        more.node_limit = Some(NODES);
        outcome = found.resume_with(more);
    }
}
