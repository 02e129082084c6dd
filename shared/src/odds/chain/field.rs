//! What stands on the table while it is shot at: a vector of chances over its states.
//!
//! A vector has `lanes` numbers to a state, so that a count (of successes, of backfires) can be
//! followed together with the state where one depends on the other.
use super::super::number::Number;
use super::graph::Landing;

/// A target as a set of states, the last of them: nothing left.
pub(crate) trait Field<N: Number> {
    /// What one landing does to every state.
    type Law;

    /// How many states.
    fn states(&self) -> usize;
    /// The state at the start.
    fn start(&self) -> usize;
    /// What a landing does.
    fn law(&self, landing: &Landing<N>) -> Self::Law;
    /// What a landing drawn at random does, each with its chance; `nothing` is the chance that there is none.
    fn mixture(&self, landings: &[(N, &Landing<N>)], nothing: &N) -> Self::Law;
    /// Adds to `onto` what the law makes of `from`.
    fn land(&self, law: &Self::Law, from: &[N], onto: &mut [N], lanes: usize);
    /// What so many landings of one law make of `from`, where the field has a way that is quicker than one after another.
    fn land_times(&self, _law: &Self::Law, _from: &[N], _times: u32, _lanes: usize) -> Option<Vec<N>> {
        None
    }
    /// Which variant of the numbers holds in a state; the last variant where nothing is left.
    fn variant(&self, state: usize) -> usize;
    /// What changes between two volleys.
    fn next_volley(&self, _chances: &mut [N], _lanes: usize) {}
}
