//! The joint chances of both sides, and what a turn does to them.
use super::DuelTurn;
use super::side::PreparedSide;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::either::EitherSpace;
use crate::odds::chain::run::{Harm, Run};
use crate::odds::chain::state_space::StateSpace;
use crate::odds::distribution::Distribution;
use crate::odds::number::Number;

type Runs<'a, N> = [(usize, Run<'a, N, EitherSpace<'a>>)];

/// Chances by the state of the other side, and within by the state of the side that acts.
pub(super) struct Joint<N> {
    /// States of the side that acts.
    own: usize,
    chances: Vec<N>,
}

impl<N: Number> Joint<N> {
    /// Both sides as they begin, `a` about to act.
    pub(super) fn start(a: &PreparedSide<'_, N>, b: &PreparedSide<'_, N>) -> Self {
        let (own, other) = (StateSpace::<N>::states(&a.own), StateSpace::<N>::states(&b.own));
        let mut chances = vec![N::zero(); own * other];
        chances[StateSpace::<N>::start(&b.own) * own + StateSpace::<N>::start(&a.own)] = N::one();
        Self { own, chances }
    }

    fn other(&self) -> usize {
        self.chances.len() / self.own
    }

    /// The same, the other side about to act.
    pub(super) fn turned(self) -> Self {
        let (own, other) = (self.own, self.other());
        let mut turned = vec![N::zero(); self.chances.len()];
        for (index, chance) in self.chances.into_iter().enumerate() {
            turned[index % own * other + index / own] = chance;
        }
        Self { own: other, chances: turned }
    }

    /// After the repair of the side that acts.
    pub(super) fn mended(self, side: &PreparedSide<'_, N>) -> Self {
        if side.mends.is_empty() {
            return self;
        }
        let mut mended = vec![N::zero(); self.chances.len()];
        for (index, chance) in self.chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
            let (other, state) = (index / self.own, index % self.own);
            for (back, part) in side.mends[side.own.hurt(state)].iter() {
                mended[other * self.own + side.own.mended(state, back as usize)].add_product(part, chance);
            }
        }
        Self { own: self.own, chances: mended }
    }

    /// After the attack of the side that acts.
    pub(super) fn attacked(
        self,
        side: &PreparedSide<'_, N>,
        turn: u32,
        token: &CancellationToken,
    ) -> Result<Self, Cancelled> {
        let runs = side.runs(turn);
        let Some((_, first)) = runs.first() else { return Ok(self) };
        let gone = first.space().gone();
        let own = self.own;
        let mut after = vec![N::zero(); self.chances.len()];
        for (standing, states) in by_standing(&side.own, own) {
            let part = |other: usize, state: usize| &self.chances[other * own + state];
            let over = |other: usize| standing == 0 || other == gone;
            let mut starts: Vec<usize> = Vec::new();
            for other in 0..self.other() {
                if over(other) {
                    states.iter().for_each(|state| after[other * own + state].add(part(other, *state)));
                } else if states.iter().any(|state| !part(other, *state).is_zero()) {
                    starts.push(other);
                }
            }
            // What a rout counts is seen only where each attack begins in one state.
            let blocks = if side.ends(turn) {
                starts.iter().map(|start| vec![*start]).collect()
            } else if side.bases_follow_survivors() {
                by_number(&starts, |state| first.space().standing(state))
            } else {
                vec![starts]
            };
            // Where the attack can hurt its own side, all its states are followed; else those that it begins in.
            let followed: Vec<usize> = if side.side.can_harm_itself() { (0..own).collect() } else { states.clone() };
            for block in blocks.iter().filter(|block| !block.is_empty()) {
                let mut from = vec![N::zero(); self.other() * followed.len()];
                for other in block {
                    for (aux, state) in followed.iter().enumerate().filter(|(_, state)| states.contains(state)) {
                        from[other * followed.len() + aux] = part(*other, *state).clone();
                    }
                }
                let begun = Begun { turn, standing, aux_width: followed.len(), on: block.first().copied() };
                let end = resolve_volleys(side, &runs, from, &begun, token)?;
                for (other, row) in end.chunks(followed.len()).enumerate() {
                    row.iter().zip(&followed).for_each(|(chance, state)| after[other * own + state].add(chance));
                }
            }
        }
        Ok(Self { own, chances: after })
    }

    /// After both sides have attacked with what stood at the start of the turn. What backfires falls after the enemy's hits.
    ///
    /// # Formula
    /// From one state of both, the two attacks are independent: the chances of what each side's attack leaves of the other
    /// are multiplied. Where an attack can hurt its own side, each of its ends carries what the harm makes of every state
    /// that the enemy's hits may have left of that side.
    ///
    /// # Cost
    /// For each pair of states, the pairs of states that it can become; times the states of a side that can harm itself.
    pub(super) fn together(
        self,
        a: &PreparedSide<'_, N>,
        b: &PreparedSide<'_, N>,
        turn: u32,
        token: &CancellationToken,
    ) -> Result<Self, Cancelled> {
        let (runs_a, runs_b) = (a.runs(turn), b.runs(turn));
        let (own, other) = (self.own, self.other());
        let mut after = vec![N::zero(); self.chances.len()];
        let (of_a, of_b) = (by_standing(&a.own, own), by_standing(&b.own, other));
        for (standing_b, states_b) in &of_b {
            // What this many of b make of each state of a.
            let mut by_b: Vec<Option<Struck<N>>> = vec![None; own];
            for y in states_b {
                for (standing_a, states_a) in &of_a {
                    let mut by_a = None;
                    for x in states_a {
                        let chance = &self.chances[y * own + x];
                        if chance.is_zero() {
                            continue;
                        }
                        if *standing_a == 0 || *standing_b == 0 {
                            after[y * own + x].add(chance);
                            continue;
                        }
                        if by_b[*x].is_none() {
                            by_b[*x] = Some(Struck::new(b, &runs_b, (turn, *x, *standing_b), (own, other), token)?);
                        }
                        if by_a.is_none() {
                            by_a = Some(Struck::new(a, &runs_a, (turn, *y, *standing_a), (other, own), token)?);
                        }
                        if let (Some(by_a), Some(by_b)) = (&by_a, &by_b[*x]) {
                            meet(chance, by_a, by_b, own, &mut after);
                        }
                    }
                }
            }
        }
        Ok(Self { own, chances: after })
    }

    /// The end of a turn; `a` is the side that acts in this orientation.
    pub(super) fn row(&self, a: &PreparedSide<'_, N>, b: &PreparedSide<'_, N>) -> DuelTurn<N> {
        let mut row = DuelTurn { a_destroyed: N::zero(), b_destroyed: N::zero(), both_standing: N::zero() };
        for (index, chance) in self.chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
            let a_gone = a.own.standing(index % self.own) == 0;
            let b_gone = b.own.standing(index / self.own) == 0;
            if a_gone {
                row.a_destroyed.add(chance);
            }
            if b_gone {
                row.b_destroyed.add(chance);
            }
            if !a_gone && !b_gone {
                row.both_standing.add(chance);
            }
        }
        row
    }

    /// What is left of both.
    pub(super) fn left(&self, a: &PreparedSide<'_, N>, b: &PreparedSide<'_, N>) -> (Distribution<N>, Distribution<N>) {
        let most = |side: &PreparedSide<'_, N>| side.own.standing(0) as usize + 1;
        let (mut of_a, mut of_b) = (vec![N::zero(); most(a)], vec![N::zero(); most(b)]);
        for (index, chance) in self.chances.iter().enumerate() {
            of_a[a.own.standing(index % self.own) as usize].add(chance);
            of_b[b.own.standing(index / self.own) as usize].add(chance);
        }
        let whole =
            |chances: Vec<N>| Distribution::new(0, chances).unwrap_or_else(|| Distribution::certain(0)).normalised();
        (whole(of_a), whole(of_b))
    }

    /// Points that both miss, on average.
    pub(super) fn missing(&self, a: &PreparedSide<'_, N>, b: &PreparedSide<'_, N>) -> (N, N) {
        let (mut of_a, mut of_b) = (vec![N::zero(); self.own], vec![N::zero(); self.other()]);
        for (index, chance) in self.chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
            of_a[index % self.own].add(chance);
            of_b[index / self.own].add(chance);
        }
        let mean = |side: &PreparedSide<'_, N>, chances: &[N]| {
            let mut sum = N::zero();
            for (state, chance) in chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
                let points = side.own.lost(state) + i64::from(side.side.target.hurt());
                sum.add_product(&N::ratio(points.unsigned_abs(), 1), chance);
            }
            sum
        };
        (mean(a, &of_a), mean(b, &of_b))
    }
}

/// What one attack leaves of the enemy, from one of its states.
#[derive(Clone)]
struct Struck<N> {
    /// Chances by the enemy's state; where harm comes with it, within by the own side's state before and after that.
    chances: Vec<N>,
    /// The states of the own side, where its attack can harm it.
    harm: Option<usize>,
}

impl<N: Number> Struck<N> {
    /// In a turn, on an enemy in this state, by so many of a side; `sizes` are the states of the enemy and of the side itself.
    fn new(
        side: &PreparedSide<'_, N>,
        runs: &Runs<'_, N>,
        (turn, start, standing): (u32, usize, u32),
        (enemy, own): (usize, usize),
        token: &CancellationToken,
    ) -> Result<Self, Cancelled> {
        let harm = side.side.can_harm_itself().then_some(own);
        let aux_width = harm.map_or(1, |own| own * own);
        let mut from = vec![N::zero(); enemy * aux_width];
        (0..harm.unwrap_or(1)).for_each(|state| from[start * aux_width + state * (own + 1)] = N::one());
        let begun = Begun { turn, standing, aux_width, on: Some(start) };
        let chances = resolve_volleys(side, runs, from, &begun, token)?;
        Ok(Self { chances, harm })
    }

    /// The chance of the enemy's state, the chances that it comes with of each state that the own side's `before` becomes.
    fn row(&self, enemy: usize, before: usize) -> (usize, &[N]) {
        match self.harm {
            None => (before, &self.chances[enemy..=enemy]),
            Some(own) => (0, &self.chances[(enemy * own + before) * own..][..own]),
        }
    }

    fn enemies(&self) -> usize {
        self.chances.len() / self.harm.map_or(1, |own| own * own)
    }
}

/// Adds what both attacks make of one pair of states.
fn meet<N: Number>(chance: &N, by_a: &Struck<N>, by_b: &Struck<N>, own: usize, after: &mut [N]) {
    for hit_b in 0..by_a.enemies() {
        for hit_a in 0..by_b.enemies() {
            let (first_a, ends_a) = by_a.row(hit_b, hit_a);
            if ends_a.iter().all(N::is_zero) {
                continue;
            }
            let (first_b, ends_b) = by_b.row(hit_a, hit_b);
            for (end_b, part) in (first_b..).zip(ends_b).filter(|(_, part)| !part.is_zero()) {
                N::add_scaled(&mut after[end_b * own + first_a..], &chance.times(part), ends_a);
            }
        }
    }
}

/// The states of a side by how many stand in them.
fn by_standing(own: &EitherSpace<'_>, states: usize) -> Vec<(u32, Vec<usize>)> {
    let all: Vec<usize> = (0..states).collect();
    let classes = by_number(&all, |state| own.standing(state));
    classes.into_iter().map(|class| (class.first().map_or(0, |state| own.standing(*state)), class)).collect()
}

/// States with the same number together.
fn by_number(states: &[usize], number: impl Fn(usize) -> u32) -> Vec<Vec<usize>> {
    let mut classes: Vec<(u32, Vec<usize>)> = Vec::new();
    for state in states {
        let number = number(*state);
        match classes.iter_mut().find(|(known, _)| *known == number) {
            Some((_, states)) => states.push(*state),
            None => classes.push((number, vec![*state])),
        }
    }
    classes.into_iter().map(|(_, states)| states).collect()
}

/// How an attack begins.
struct Begun {
    turn: u32,
    /// How many attack.
    standing: u32,
    aux_width: usize,
    /// A state of the other side that it begins on: of all of them as many stand, and where something may end that side,
    /// it is the only one.
    on: Option<usize>,
}

/// All volleys of an attack, then what the other side rolls for its losses.
fn resolve_volleys<N: Number>(
    side: &PreparedSide<'_, N>,
    runs: &Runs<'_, N>,
    from: Vec<N>,
    begun: &Begun,
    token: &CancellationToken,
) -> Result<Vec<N>, Cancelled> {
    let (mut chances, aux_width) = (from, begun.aux_width);
    let Some(((_, first), start)) = runs.first().zip(begun.on) else { return Ok(chances) };
    let space = first.space();
    let on = space.standing(start);
    let own = StateSpace::<N>::states(&side.own);
    for (index, run) in runs {
        let kernel = |step: Option<usize>| match step {
            Some(step) => side.harm[*index][step].as_ref(),
            None => side.gate_harm[*index].as_ref(),
        };
        let backfired = |step: Option<usize>, from: &[N], onto: &mut [N]| match kernel(step) {
            // One row of the own side's states or several, one after another.
            Some(kernel) => from.chunks(own).zip(onto.chunks_mut(own)).for_each(|(from, onto)| {
                side.own.apply(kernel, from, onto, 1);
            }),
            None => N::add_scaled(onto, &N::one(), from),
        };
        let harm: Option<&Harm<'_, N>> = if side.side.can_harm_itself() { Some(&backfired) } else { None };
        chances =
            run.apply_attacks_beside(chances, &side.attacks(*index, begun.standing, on), aux_width, harm, token)?;
    }
    if !side.ends(begun.turn) {
        return Ok(chances);
    }
    let gone = space.gone();
    for state in (0..chances.len() / aux_width).filter(|state| *state != gone) {
        let models = i64::from(on) - i64::from(space.standing(state));
        let (leaves, stays) = side.leaves(begun.turn, models, space.lost(state) - space.lost(start));
        if leaves.is_zero() {
            continue;
        }
        for aux in 0..aux_width {
            let chance = std::mem::replace(&mut chances[state * aux_width + aux], N::zero());
            chances[gone * aux_width + aux].add_product(&leaves, &chance);
            chances[state * aux_width + aux] = stays.times(&chance);
        }
    }
    Ok(chances)
}
