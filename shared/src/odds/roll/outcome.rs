//! What a roll comes to: each way that it can end, with its chance.
use super::super::{distribution::Distribution, number::Number};
use super::{Aim, Needs, Pool, Reroll, Roll, Ties, Versus};
use smallvec::SmallVec;

/// A way that a roll can end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// In the roller's favour.
    pub success: bool,
    /// With a critical face.
    pub critical: bool,
    /// With a face that backfires (before the saving roll).
    pub backfire: bool,
    /// The row of the margins that the winning difference reached.
    pub margin: Option<usize>,
}

/// The outcomes of a roll with their chances, which add up to one, and its final totals.
#[derive(Clone, Debug, PartialEq)]
pub struct Scored<N> {
    /// Each outcome once.
    pub outcomes: SmallVec<[(Outcome, N); 2]>,
}

impl<N: Number> Scored<N> {
    fn add(&mut self, outcome: Outcome, chance: &N) {
        match self.outcomes.iter_mut().find(|(o, _)| *o == outcome) {
            Some((_, sum)) => sum.add(chance),
            None => self.outcomes.push((outcome, chance.clone())),
        }
    }

    /// The chance of success.
    pub fn success(&self) -> N {
        let mut sum = N::zero();
        self.outcomes.iter().filter(|(o, _)| o.success).for_each(|(_, chance)| sum.add(chance));
        sum
    }
}

const PLAIN: Outcome = Outcome { success: false, critical: false, backfire: false, margin: None };

/// How one natural total ends against one opposing total.
enum Verdict {
    Ends(Outcome),
    /// An undecided tie.
    Tie,
}

impl Roll {
    /// All the ways that this roll can end.
    ///
    /// # Cost
    /// The natural totals of the dice, times the totals of the other side where there is one.
    pub fn score<N: Number>(&self) -> Scored<N> {
        let mut scored = Scored { outcomes: SmallVec::new() };
        match self.aim {
            Aim::Needs(Needs::Auto) => scored.add(Outcome { success: true, ..PLAIN }, &N::one()),
            Aim::Needs(Needs::Never) => scored.add(PLAIN, &N::one()),
            _ => {
                let decided = self.walk(|outcome, _, chance| scored.add(outcome, chance));
                if decided != N::one() {
                    scored.outcomes.iter_mut().for_each(|(_, chance)| *chance = chance.over(&decided));
                }
            }
        }
        scored
    }

    /// The ways to a success and all ways, of one die with its re-roll where no other side rolls: the plainest roll, and
    /// the quickest to be counted.
    pub(crate) fn ways_to_success(&self) -> Option<(u128, u128)> {
        let Pool::Dice { dice, .. } = &self.pool else { return None };
        let Aim::Needs(Needs::AtLeast(_) | Needs::AtMost(_)) = self.aim else { return None };
        if dice.count() != 1 {
            return None;
        }
        let worst = self.worst_of_a_die().map(i64::from).filter(|_| self.reroll == Reroll::Worst);
        let (mut first, mut again, mut any) = (0, 0, 0);
        for face in 1..=i64::from(dice.sides()) {
            let succeeds = matches!(self.judge(face, None, self.modifier), Verdict::Ends(end) if end.success);
            any += u128::from(succeeds);
            if worst == Some(face) || self.is_rerolled(face, None) {
                again += 1;
            } else {
                first += u128::from(succeeds);
            }
        }
        let sides = u128::from(dice.sides());
        Some((first * sides + again * any, sides * sides))
    }

    /// The distribution of the final total, modifier included; with `auto` and `never` that of the dice.
    pub fn totals<N: Number>(&self) -> Distribution<N> {
        if !self.is_rolled() {
            return self.pool.distribution().shifted(i64::from(self.modifier));
        }
        let (low, high) = self.pool.ends();
        let lowest = self.pool.total(low);
        let mut sums = vec![N::zero(); (self.pool.total(high) - lowest) as usize + 1];
        let decided = self.walk(|_, total, chance: &N| {
            sums[(total - i64::from(self.modifier) - lowest) as usize].add(chance);
        });
        if decided != N::one() {
            sums.iter_mut().for_each(|sum| *sum = sum.over(&decided));
        }
        Distribution::new(lowest + i64::from(self.modifier), sums).unwrap_or_else(|| Distribution::certain(0))
    }

    /// Whether an opposed roll can ever be decided. Told from the ends of both totals: nothing is rolled for it.
    pub fn is_decidable(&self) -> bool {
        let Aim::Versus(versus) = &self.aim else { return true };
        let of = |pool: &Pool, modifier: i32| {
            let (low, high) = pool.ends();
            (pool.total(low) + i64::from(modifier), pool.total(high) + i64::from(modifier))
        };
        let (ours, theirs) = (of(&self.pool, self.modifier), of(&versus.pool, versus.modifier));
        let always_even = ours.0 == ours.1 && ours == theirs;
        if versus.ties != Ties::Again || !always_even {
            return true;
        }
        // Always the same total on both sides: only a face that decides by itself ends it. The best and the worst face are
        // both rolled sometimes, and whatever is critical reaches up to the best.
        let best = self.best_face();
        let by_itself = (self.low_fails && self.worst_face().is_some()) || (self.high_succeeds && best.is_some());
        let is_critical = |on: u32| self.pool.ends().1 >= i64::from(on);
        by_itself || self.critical.is_some_and(|critical| critical.always && is_critical(critical.on))
    }

    /// Calls `visit` for each decided end with its total and chance; returns what these chances add up to.
    fn walk<N: Number>(&self, mut visit: impl FnMut(Outcome, i64, &N)) -> N {
        let each_die = matches!(self.reroll, Reroll::Worst);
        let natural: Distribution<N> = self.pool.natural(if each_die { self.worst_of_a_die() } else { None });
        let mut decided = N::zero();
        let mut against = |against: Option<i64>, weight: &N| {
            let again = |face: i64| !each_die && self.is_rerolled(face, against);
            let mut rerolled = N::zero();
            natural.iter().filter(|(face, _)| again(*face)).for_each(|(_, chance)| rerolled.add(chance));
            for (face, chance) in natural.iter() {
                let mut final_chance = if again(face) { N::zero() } else { chance.clone() };
                final_chance.add_product(&rerolled, chance);
                if final_chance.is_zero() {
                    continue;
                }
                if let Verdict::Ends(outcome) = self.judge(face, against, self.modifier) {
                    let final_chance = final_chance.times(weight);
                    decided.add(&final_chance);
                    visit(outcome, self.pool.total(face) + i64::from(self.modifier), &final_chance);
                }
            }
        };
        match &self.aim {
            Aim::Needs(_) => against(None, &N::one()),
            Aim::Versus(versus) => {
                for (total, chance) in versus.pool.distribution::<N>().iter() {
                    if !chance.is_zero() {
                        against(Some(total + i64::from(versus.modifier)), chance);
                    }
                }
            }
        }
        decided
    }

    fn is_rerolled(&self, face: i64, against: Option<i64>) -> bool {
        let verdict = |modifier| self.judge(face, against, modifier);
        match self.reroll {
            Reroll::None | Reroll::Worst => false,
            Reroll::Failures => matches!(verdict(self.modifier), Verdict::Ends(o) if !o.success),
            Reroll::NaturalFailures => matches!(verdict(0), Verdict::Ends(o) if !o.success),
            Reroll::Successes => matches!(verdict(self.modifier), Verdict::Ends(o) if o.success),
            Reroll::NotCritical => !matches!(verdict(self.modifier), Verdict::Ends(o) if o.critical),
        }
    }

    /// How a natural total ends. A low face fails before a high one succeeds; a critical that is
    /// `always` a success beats both.
    fn judge(&self, face: i64, against: Option<i64>, modifier: i32) -> Verdict {
        let mirrored = self.low_is_good();
        let reaches = |on: u32| if mirrored { face <= i64::from(on) } else { face >= i64::from(on) };
        let total = self.pool.total(face) + i64::from(modifier);
        let (by_total, lead) = match (&self.aim, against) {
            (Aim::Needs(Needs::AtLeast(needs)), _) => {
                let needs = i64::from(*needs) + i64::from(self.harder);
                (total >= needs, total - needs)
            }
            (Aim::Needs(Needs::AtMost(needs)), _) => (total <= i64::from(*needs) + i64::from(self.harder), 0),
            (Aim::Versus(versus), Some(other)) => {
                (total > other || (total == other && versus.ties == Ties::Win), total - other)
            }
            (Aim::Needs(Needs::Auto), _) => (true, 0),
            _ => (false, 0),
        };
        let mut success = by_total;
        let mut natural = false;
        if self.low_fails && Some(face) == self.worst_face() {
            (success, natural) = (false, true);
        } else if self.high_succeeds && Some(face) == self.best_face() {
            (success, natural) = (true, true);
        }
        let face_is_critical = self.critical.is_some_and(|c| reaches(c.on));
        if face_is_critical && self.critical.is_some_and(|c| c.always) {
            (success, natural) = (true, true);
        }
        if let (Aim::Versus(Versus { ties: Ties::Again, .. }), Some(other)) = (&self.aim, against)
            && total == other
            && !natural
        {
            return Verdict::Tie;
        }
        let margin =
            if success { self.margins.iter().rposition(|at_least| lead >= i64::from(*at_least)) } else { None };
        let backfire =
            self.backfire.is_some_and(|on| if mirrored { face >= i64::from(on) } else { face <= i64::from(on) });
        Verdict::Ends(Outcome { success, critical: success && face_is_critical, backfire, margin })
    }

    /// The natural total that is worst for the roller; a constant has no natural faces.
    fn worst_face(&self) -> Option<i64> {
        let (low, high) = self.pool.ends();
        (high > 0).then_some(if self.low_is_good() { high } else { low })
    }

    fn best_face(&self) -> Option<i64> {
        let (low, high) = self.pool.ends();
        (high > 0).then_some(if self.low_is_good() { low } else { high })
    }

    /// The face that `reroll: worst` looks for on each single die.
    fn worst_of_a_die(&self) -> Option<u32> {
        match &self.pool {
            Pool::Dice { dice, .. } => Some(if self.low_is_good() { dice.sides() } else { 1 }),
            Pool::Given(_) => self.worst_face().and_then(|face| u32::try_from(face).ok()),
        }
    }
}
