//! What stands on the table while it is shot at: a vector of chances over its states.
//!
//! A vector has `aux_width` numbers to a state, so that a count (of successes, of backfires) can be
//! followed together with the state where one depends on the other.
use super::super::number::Number;
use super::graph::AttackOutcome;

/// A target as a set of states, the last of them: nothing left.
pub(crate) trait StateSpace<N: Number> {
    /// What one outcome of an attack does to every state: a stochastic matrix.
    type Kernel;

    /// How many states.
    fn states(&self) -> usize;
    /// The state at the start.
    fn start(&self) -> usize;
    /// The kernel of an outcome.
    fn kernel(&self, outcome: &AttackOutcome<N>) -> Self::Kernel;
    /// The kernel of an outcome drawn at random, each with its chance; `nothing` is the chance that there is none.
    fn mixed_kernel(&self, outcomes: &[(N, &AttackOutcome<N>)], nothing: &N) -> Self::Kernel;
    /// Adds to `onto` what the kernel makes of `from`.
    fn apply(&self, kernel: &Self::Kernel, from: &[N], onto: &mut [N], aux_width: usize);
    /// What so many outcomes with one kernel make of `from`, where the space has a way that is quicker than one after another.
    fn apply_power(&self, _kernel: &Self::Kernel, _from: &[N], _times: u32, _aux_width: usize) -> Option<Vec<N>> {
        None
    }
    /// Which variant of the numbers holds in a state; the last variant where nothing is left.
    fn variant(&self, state: usize) -> usize;
    /// Which reading of the counters holds in a state, where a volley's numbers change with them.
    fn reading(&self, _state: usize) -> usize {
        0
    }
    /// Whether counters are counted up on the way to an outcome.
    fn counts_on_the_way(&self) -> bool {
        false
    }
    /// Counts a success past a step.
    fn count_passed(&self, _step: usize, _chances: &mut [N], _aux_width: usize) {}
    /// Counts what a row of a table adds.
    fn count_row(&self, _step: usize, _row: usize, _chances: &mut [N], _aux_width: usize) {}
    /// What changes between two volleys.
    fn next_volley(&self, _chances: &mut [N], _aux_width: usize) {}
}
