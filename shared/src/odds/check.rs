//! Checks: one roll or several alike, with re-rolls; how many pass, and when the first does.
use super::chain::{ChainFault, check_roll};
use super::distribution::Distribution;
use super::number::Number;
use super::roll::{Needs, Reroll, Roll};

/// Several tries of one roll.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    roll: Roll,
    /// What each try needs, where they differ.
    needs: Vec<Needs>,
    tries: u32,
    rerolls: Option<u32>,
}

/// What can be wrong with a check.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CheckError {
    /// A field of the roll.
    #[error("{1}")]
    Roll(&'static str, ChainFault),
    /// No try, or too many.
    #[error("1 to 10000 tries")]
    Tries,
    /// A list of needs of another length than the tries.
    #[error("a list of needs has one for each try: leave tries out or make them agree")]
    NeedsPerTry,
    /// Two kinds of re-roll.
    #[error("a budget of rerolls stands in place of reroll: give one of them")]
    TwoRerolls,
    /// A budget out of range.
    #[error("at most 10000 rerolls")]
    Rerolls,
}

/// What comes of a check.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckAnswer<N> {
    /// The chance that the first try passes by itself, without the budget.
    pub chance: N,
    /// The same for each try, where what they need differs.
    pub each: Vec<(Needs, N)>,
    /// The final total of the first try.
    pub total: Distribution<N>,
    /// Passes in all tries.
    pub passes: Distribution<N>,
    /// All tries pass.
    pub all: N,
    /// None does.
    pub none: N,
    /// At least one does.
    pub any: N,
    /// For each try, the chance that the first pass comes on it.
    pub first_pass: Vec<N>,
}

impl Check {
    /// `tries` of a roll. `needs` holds one for each try, or nothing where they are alike; `rerolls` is a
    /// budget of re-rolled failures over all the tries.
    ///
    /// # Errors
    /// Every mistake found.
    pub fn new(roll: Roll, needs: Vec<Needs>, tries: u32, rerolls: Option<u32>) -> Result<Self, Vec<CheckError>> {
        let mut errors: Vec<_> = check_roll(&roll).into_iter().map(|(f, fault)| CheckError::Roll(f, fault)).collect();
        if !(1..=10_000).contains(&tries) {
            errors.push(CheckError::Tries);
        }
        if !needs.is_empty() && needs.len() != tries as usize {
            errors.push(CheckError::NeedsPerTry);
        }
        if rerolls.is_some() && roll.reroll != Reroll::None {
            errors.push(CheckError::TwoRerolls);
        }
        if rerolls.is_some_and(|budget| budget > 10_000) {
            errors.push(CheckError::Rerolls);
        }
        if errors.is_empty() { Ok(Self { roll, needs, tries, rerolls }) } else { Err(errors) }
    }

    /// The roll of the first try.
    pub fn roll(&self) -> &Roll {
        &self.roll
    }

    /// What each try needs, where they differ.
    pub fn needs(&self) -> &[Needs] {
        &self.needs
    }

    /// How many tries.
    pub fn tries(&self) -> u32 {
        self.tries
    }

    /// Re-rolls of failures that all tries share; more than there are tries are never used.
    pub fn budget(&self) -> u32 {
        self.rerolls.unwrap_or(0).min(self.tries)
    }

    /// The re-rolls as they were given, be there tries for them or not.
    pub fn given_budget(&self) -> u32 {
        self.rerolls.unwrap_or(0)
    }

    /// The same with another number of tries that are alike.
    #[must_use]
    pub fn with_tries(&self, tries: u32) -> Self {
        Self { tries, needs: Vec::new(), ..self.clone() }
    }

    fn roll_of(&self, index: usize) -> Roll {
        let mut roll = self.roll.clone();
        if let Some(needs) = self.needs.get(index) {
            roll.aim = super::roll::Aim::Needs(*needs);
        }
        roll
    }

    /// Everything that comes of the check.
    ///
    /// # Formula
    /// With a budget, the state is the re-rolls left: a failure with one left is rolled again at once.
    ///
    /// # Cost
    /// `tries^2 * (budget + 1)` products; without a budget and with like tries about `tries^2 / 3`.
    pub fn evaluate<N: Number>(&self) -> CheckAnswer<N> {
        let distinct = if self.needs.is_empty() { 1 } else { self.tries as usize };
        let chances: Vec<(N, N)> = (0..distinct).map(|index| pass_and_fail(&self.roll_of(index))).collect();
        let of_try = |index: usize| &chances[index.min(distinct - 1)];
        let passes = self.passes(&of_try);
        let first_pass = self.first_pass(&of_try);
        let tries = i64::from(self.tries);
        CheckAnswer {
            chance: chances[0].0.clone(),
            each: self.needs.iter().copied().zip(chances.iter().map(|(pass, _)| pass.clone())).collect(),
            total: self.roll_of(0).totals(),
            all: passes.chance(tries),
            none: passes.chance(0),
            any: passes.at_least(1),
            passes,
            first_pass,
        }
    }

    fn passes<'n, N: Number>(&self, of_try: &impl Fn(usize) -> &'n (N, N)) -> Distribution<N> {
        let one = |(pass, fail): &(N, N)| {
            Distribution::new(0, vec![fail.clone(), pass.clone()]).unwrap_or_else(|| Distribution::certain(0))
        };
        let budget = self.budget() as usize;
        if budget == 0 && self.needs.is_empty() {
            return one(of_try(0)).repeated(self.tries).normalised();
        }
        // left[b][k]: b re-rolls left, k passes so far.
        let length = self.tries as usize + 1;
        let mut left = vec![vec![N::zero(); length]; budget + 1];
        left[budget][0] = N::one();
        for index in 0..self.tries as usize {
            let (pass, fail) = of_try(index);
            let mut next = vec![vec![N::zero(); length]; budget + 1];
            for (rerolls, passes) in left.iter().enumerate() {
                let so_far = &passes[..=index];
                N::add_scaled(&mut next[rerolls][1..], pass, so_far);
                if rerolls == 0 {
                    N::add_scaled(&mut next[0], fail, so_far);
                } else {
                    N::add_scaled(&mut next[rerolls - 1][1..], &fail.times(pass), so_far);
                    N::add_scaled(&mut next[rerolls - 1], &fail.times(fail), so_far);
                }
            }
            left = next;
        }
        let mut sum = vec![N::zero(); length];
        left.iter().for_each(|passes| N::add_scaled(&mut sum, &N::one(), passes));
        Distribution::new(0, sum).unwrap_or_else(|| Distribution::certain(0)).normalised()
    }

    /// While nothing has passed, each failed try so far has used one re-roll of the budget until it was gone.
    fn first_pass<'n, N: Number>(&self, of_try: &impl Fn(usize) -> &'n (N, N)) -> Vec<N> {
        let mut none_yet = N::one();
        let mut budget = self.budget();
        let mut rows = Vec::with_capacity(self.tries as usize);
        for index in 0..self.tries as usize {
            let (pass, fail) = of_try(index);
            let mut passes = pass.clone();
            let mut fails = fail.clone();
            if budget > 0 {
                budget -= 1;
                passes.add_product(fail, pass);
                fails = fail.times(fail);
            }
            rows.push(none_yet.times(&passes));
            none_yet = none_yet.times(&fails);
        }
        rows
    }
}

/// The chances that a roll passes and that it fails, each summed by itself.
pub(crate) fn pass_and_fail<N: Number>(roll: &Roll) -> (N, N) {
    let mut sums = (N::zero(), N::zero());
    for (outcome, chance) in roll.score::<N>().outcomes {
        if outcome.success { &mut sums.0 } else { &mut sums.1 }.add(&chance);
    }
    sums
}
