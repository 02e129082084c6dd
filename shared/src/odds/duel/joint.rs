//! The joint chances of both sides, and what a turn does to them.
use super::class::{Class, by_number, classes};
use super::shed::PreparedShed;
use super::side::{Fired, PreparedSide};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::run::Harm;
use crate::odds::chain::state_space::StateSpace;
use crate::odds::number::Number;

/// Chances by the state of the other side, and within by the state of the side that acts.
pub(super) struct Joint<N> {
    /// States of the side that acts.
    pub(super) own: usize,
    pub(super) chances: Vec<N>,
}

impl<N: Number> Joint<N> {
    /// Both sides as they begin, `a` about to act.
    pub(super) fn start(a: &PreparedSide<'_, N>, b: &PreparedSide<'_, N>) -> Self {
        let (own, other) = (StateSpace::<N>::states(&a.own), StateSpace::<N>::states(&b.own));
        let mut chances = vec![N::zero(); own * other];
        chances[StateSpace::<N>::start(&b.own) * own + StateSpace::<N>::start(&a.own)] = N::one();
        Self { own, chances }
    }

    pub(super) fn other(&self) -> usize {
        self.chances.len() / self.own
    }

    /// The same states, none of them likely.
    pub(super) fn nowhere(&self) -> Self {
        Self { own: self.own, chances: vec![N::zero(); self.chances.len()] }
    }

    /// The pairs of states that may be: of the side that acts, and of the other.
    pub(super) fn likely(&self) -> Vec<(usize, usize)> {
        let likely = self.chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero());
        likely.map(|(index, _)| (index % self.own, index / self.own)).collect()
    }

    /// Only what stands in one pair of states.
    pub(super) fn only(&self, (own, other): (usize, usize)) -> Self {
        let mut only = self.nowhere();
        let at = other * self.own + own;
        only.chances[at] = self.chances[at].clone();
        only
    }

    /// With the chances of another part of the whole.
    pub(super) fn join(&mut self, part: &Self) {
        N::add_scaled(&mut self.chances, &N::one(), &part.chances);
    }

    /// After each state of the other side has become one of two, where something may become of it.
    pub(super) fn moved(self, ends: impl Fn(usize) -> Option<[(usize, N); 2]>) -> Self {
        let mut after = self.nowhere();
        for other in 0..self.other() {
            let row = &self.chances[other * self.own..][..self.own];
            match ends(other) {
                None => N::add_scaled(&mut after.chances[other * self.own..][..self.own], &N::one(), row),
                Some(ends) => ends.iter().for_each(|(end, part)| {
                    N::add_scaled(&mut after.chances[end * self.own..][..self.own], part, row);
                }),
            }
        }
        after
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

    /// After the repair of the side that acts, and what it takes off its counters.
    pub(super) fn mended(self, side: &PreparedSide<'_, N>) -> Self {
        let shed = side.sheds.iter().fold(self, |joint, shed| joint.shed(side, shed));
        shed.repaired(side)
    }

    /// After the side that acts has taken something off one of its counters.
    fn shed(self, side: &PreparedSide<'_, N>, shed: &PreparedShed<N>) -> Self {
        let mut after = vec![N::zero(); self.chances.len()];
        for (index, chance) in self.chances.iter().enumerate().filter(|(_, chance)| !chance.is_zero()) {
            let (other, state) = (index / self.own, index % self.own);
            match shed.ends(&side.own, state) {
                None => after[index].add(chance),
                Some(ends) => ends.into_iter().for_each(|(end, part)| {
                    after[other * self.own + end].add_product(part, chance);
                }),
            }
        }
        Self { own: self.own, chances: after }
    }

    fn repaired(self, side: &PreparedSide<'_, N>) -> Self {
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
        moment: Moment,
        token: &CancellationToken,
    ) -> Result<Self, Cancelled> {
        let fired = side.fired(moment.turn, moment.order);
        let (Some(space), false) = (side.spaces.first(), fired.is_empty()) else { return Ok(self) };
        let ends = moment.order.is_none() && side.ends(moment.turn);
        let own = self.own;
        let mut after = vec![N::zero(); self.chances.len()];
        for Class { standing, readings, states } in classes(side, own) {
            let part = |other: usize, state: usize| &self.chances[other * own + state];
            let over = |other: usize| standing == 0 || space.is_gone(other);
            let mut starts: Vec<usize> = Vec::new();
            for other in 0..self.other() {
                if over(other) {
                    states.iter().for_each(|state| after[other * own + state].add(part(other, *state)));
                } else if states.iter().any(|state| !part(other, *state).is_zero()) {
                    starts.push(other);
                }
            }
            // What a rout counts is seen only where each attack begins in one state.
            let blocks = if ends {
                starts.iter().map(|start| vec![*start]).collect()
            } else if side.bases_follow_survivors() {
                by_number(&starts, |state| space.standing(state))
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
                let on = block.first().copied();
                let begun = Begun { moment, standing, readings: &readings, aux_width: followed.len(), on };
                let end = resolve_volleys(side, &fired, from, &begun, token)?;
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
        moment: Moment,
        token: &CancellationToken,
    ) -> Result<Self, Cancelled> {
        let (runs_a, runs_b) = (a.fired(moment.turn, moment.order), b.fired(moment.turn, moment.order));
        let (own, other) = (self.own, self.other());
        let mut after = vec![N::zero(); self.chances.len()];
        let (of_a, of_b) = (classes(a, own), classes(b, other));
        for class_b in &of_b {
            // What this many of b make of each state of a.
            let mut by_b: Vec<Option<Struck<N>>> = vec![None; own];
            for y in &class_b.states {
                for class_a in &of_a {
                    let mut by_a = None;
                    for x in &class_a.states {
                        let chance = &self.chances[y * own + x];
                        if chance.is_zero() {
                            continue;
                        }
                        if class_a.standing == 0 || class_b.standing == 0 {
                            after[y * own + x].add(chance);
                            continue;
                        }
                        if by_b[*x].is_none() {
                            by_b[*x] = Some(Struck::new(b, &runs_b, (moment, *x, class_b), (own, other), token)?);
                        }
                        if by_a.is_none() {
                            by_a = Some(Struck::new(a, &runs_a, (moment, *y, class_a), (other, own), token)?);
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
        fired: &[Fired<'_, N>],
        (moment, start, class): (Moment, usize, &Class),
        (enemy, own): (usize, usize),
        token: &CancellationToken,
    ) -> Result<Self, Cancelled> {
        let harm = side.side.can_harm_itself().then_some(own);
        let aux_width = harm.map_or(1, |own| own * own);
        let mut from = vec![N::zero(); enemy * aux_width];
        (0..harm.unwrap_or(1)).for_each(|state| from[start * aux_width + state * (own + 1)] = N::one());
        let Class { standing, readings, .. } = class;
        let begun = Begun { moment, standing: *standing, readings, aux_width, on: Some(start) };
        let chances = resolve_volleys(side, fired, from, &begun, token)?;
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

/// When volleys are made: in which turn, and of which order where only those of one are.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    pub(super) turn: u32,
    pub(super) order: Option<i32>,
}

/// How an attack begins.
struct Begun<'c> {
    moment: Moment,
    /// How many attack.
    standing: u32,
    /// How each volley reads the own counters.
    readings: &'c [usize],
    aux_width: usize,
    /// A state of the other side that it begins on: of all of them as many stand, and where something may end that side,
    /// it is the only one.
    on: Option<usize>,
}

/// All volleys of an attack, then what the other side rolls for its losses.
fn resolve_volleys<N: Number>(
    side: &PreparedSide<'_, N>,
    fired: &[Fired<'_, N>],
    from: Vec<N>,
    begun: &Begun<'_>,
    token: &CancellationToken,
) -> Result<Vec<N>, Cancelled> {
    let (mut chances, aux_width) = (from, begun.aux_width);
    let (Some(space), Some(start), false) = (side.spaces.first(), begun.on, fired.is_empty()) else {
        return Ok(chances);
    };
    let on = space.standing(start);
    let own = StateSpace::<N>::states(&side.own);
    for Fired { index, runs } in fired {
        let reading = begun.readings[*index];
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
        let attacks = side.attacks(*index, reading, begun.standing, on);
        chances = runs[reading].apply_attacks_beside(chances, &attacks, aux_width, harm, token)?;
    }
    // With an order, what ends a side comes after the last of its volleys.
    if begun.moment.order.is_some() || !side.ends(begun.moment.turn) {
        return Ok(chances);
    }
    for state in (0..chances.len() / aux_width).filter(|state| !space.is_gone(*state)) {
        let gone = space.gone_from(state);
        let models = i64::from(on) - i64::from(space.standing(state));
        let (leaves, stays) = side.leaves(begun.moment.turn, models, space.lost(state) - space.lost(start));
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
