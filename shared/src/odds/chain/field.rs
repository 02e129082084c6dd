//! What stands on the table while it is shot at: a vector of chances over its states.
//!
//! A vector has `lanes` numbers to a state, so that a count (of successes, of backfires) can be
//! followed together with the state where one depends on the other.
use super::super::number::Number;
use super::graph::Landing;
use smallvec::SmallVec;

/// What a landing is drawn from: each law with its chance.
pub(crate) type Parts<N, L> = SmallVec<[(N, L); 1]>;

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
    /// The law of a landing drawn at random; the chances that are left to one leave all as it is.
    fn mixture(&self, parts: Parts<N, Self::Law>, nothing: &N) -> Self::Law;
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
