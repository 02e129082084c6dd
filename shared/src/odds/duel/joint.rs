//! The joint chances of both sides, and what a turn does to them.
use super::DuelTurn;
use super::side::Ready;
use crate::odds::chain::either::EitherField;
use crate::odds::chain::field::Field;
use crate::odds::chain::run::{Harm, Run};
use crate::odds::distribution::Distribution;
use crate::odds::halt::{Halt, Halted};
use crate::odds::number::Number;

type Runs<'a, N> = [(usize, Run<'a, N, EitherField<'a>>)];

/// Chances by the state of the other side, and within by the state of the side that acts.
pub(super) struct Joint<N> {
    /// States of the side that acts.
    own: usize,
    chances: Vec<N>,
}

impl<N: Number> Joint<N> {
    /// Both sides as they begin, `a` about to act.
    pub(super) fn start(a: &Ready<'_, N>, b: &Ready<'_, N>) -> Self {
        let (own, other) = (Field::<N>::states(&a.own), Field::<N>::states(&b.own));
        let mut chances = vec![N::zero(); own * other];
        chances[Field::<N>::start(&b.own) * own + Field::<N>::start(&a.own)] = N::one();
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
    pub(super) fn mended(self, side: &Ready<'_, N>) -> Self {
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
    pub(super) fn attacked(self, side: &Ready<'_, N>, turn: u32, halt: &Halt) -> Result<Self, Halted> {
        let runs = side.runs(turn);
        let Some((_, first)) = runs.first() else { return Ok(self) };
        let gone = first.field().gone();
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
            } else if side.thins() {
                by_number(&starts, |state| first.field().standing(state))
            } else {
                vec![starts]
            };
            // Where the attack can hurt its own side, all its states are followed; else those that it begins in.
            let lanes: Vec<usize> = if side.side.can_harm_itself() { (0..own).collect() } else { states.clone() };
            for block in blocks.iter().filter(|block| !block.is_empty()) {
                let mut from = vec![N::zero(); self.other() * lanes.len()];
                for other in block {
                    for (lane, state) in lanes.iter().enumerate().filter(|(_, state)| states.contains(state)) {
                        from[other * lanes.len() + lane] = part(*other, *state).clone();
                    }
                }
                let begun = Begun { turn, standing, lanes: lanes.len(), on: block.first().copied() };
                let end = strike(side, &runs, from, &begun, halt)?;
                for (other, row) in end.chunks(lanes.len()).enumerate() {
                    row.iter().zip(&lanes).for_each(|(chance, state)| after[other * own + state].add(chance));
                }
            }
        }
        Ok(Self { own, chances: after })
    }

    /// After both sides have attacked with what stood at the start of the turn. What backfires falls after the enemy's hits.
    pub(super) fn together(self, a: &Ready<'_, N>, b: &Ready<'_, N>, turn: u32, halt: &Halt) -> Result<Self, Halted> {
        let (runs_a, runs_b) = (a.runs(turn), b.runs(turn));
        let (own, other) = (self.own, self.other());
        let mut after = vec![N::zero(); self.chances.len()];
        let single = |classes: Vec<(u32, Vec<usize>)>, apart: bool| -> Vec<(u32, Vec<usize>)> {
            if !apart {
                return classes;
            }
            classes.into_iter().flat_map(|(k, states)| states.into_iter().map(move |s| (k, vec![s]))).collect()
        };
        let of_a = single(by_standing(&a.own, own), b.ends(turn));
        let of_b = single(by_standing(&b.own, other), a.ends(turn));
        for (standing_a, states_a) in &of_a {
            for (standing_b, states_b) in &of_b {
                let mut from = vec![N::zero(); self.chances.len()];
                let mut any = false;
                for (y, x) in states_b.iter().flat_map(|y| states_a.iter().map(move |x| (*y, *x))) {
                    from[y * own + x] = self.chances[y * own + x].clone();
                    any |= !from[y * own + x].is_zero();
                }
                if !any {
                    continue;
                }
                let mut end = from;
                if *standing_a > 0 && *standing_b > 0 {
                    // What backfires falls after the enemy's hits: the side that it may fall on attacks last.
                    let a_last = a.side.can_harm_itself();
                    let on_b = Begun { turn, standing: *standing_a, lanes: own, on: states_b.first().copied() };
                    let on_a = Begun { turn, standing: *standing_b, lanes: other, on: states_a.first().copied() };
                    for a_strikes in [!a_last, a_last] {
                        if a_strikes {
                            end = strike(a, &runs_a, end, &on_b, halt)?;
                        } else {
                            let turned = Self { own, chances: end }.turned().chances;
                            let turned = strike(b, &runs_b, turned, &on_a, halt)?;
                            end = Self { own: other, chances: turned }.turned().chances;
                        }
                    }
                }
                after.iter_mut().zip(&end).for_each(|(sum, chance)| sum.add(chance));
            }
        }
        Ok(Self { own, chances: after })
    }

    /// The end of a turn; `a` is the side that acts in this orientation.
    pub(super) fn row(&self, a: &Ready<'_, N>, b: &Ready<'_, N>) -> DuelTurn<N> {
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
    pub(super) fn left(&self, a: &Ready<'_, N>, b: &Ready<'_, N>) -> (Distribution<N>, Distribution<N>) {
        let most = |side: &Ready<'_, N>| side.own.standing(0) as usize + 1;
        let (mut of_a, mut of_b) = (vec![N::zero(); most(a)], vec![N::zero(); most(b)]);
        for (index, chance) in self.chances.iter().enumerate() {
            of_a[a.own.standing(index % self.own) as usize].add(chance);
            of_b[b.own.standing(index / self.own) as usize].add(chance);
        }
        let whole = |chances| Distribution::new(0, chances).unwrap_or_else(|| Distribution::certain(0)).settled();
        (whole(of_a), whole(of_b))
    }
}

/// The states of a side by how many stand in them.
fn by_standing(own: &EitherField<'_>, states: usize) -> Vec<(u32, Vec<usize>)> {
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
    lanes: usize,
    /// A state of the other side that it begins on: of all of them as many stand, and where something may end that side,
    /// it is the only one.
    on: Option<usize>,
}

/// All volleys of an attack, then what the other side rolls for its losses.
fn strike<N: Number>(
    side: &Ready<'_, N>,
    runs: &Runs<'_, N>,
    from: Vec<N>,
    begun: &Begun,
    halt: &Halt,
) -> Result<Vec<N>, Halted> {
    let (mut chances, lanes) = (from, begun.lanes);
    let Some(((_, first), start)) = runs.first().zip(begun.on) else { return Ok(chances) };
    let field = first.field();
    let on = field.standing(start);
    for (index, run) in runs {
        let backfired = |step: usize, from: &[N], onto: &mut [N]| match &side.harm[*index][step] {
            Some(law) => side.own.land(law, from, onto, 1),
            None => N::add_scaled(onto, &N::one(), from),
        };
        let harm: Option<&Harm<'_, N>> = if side.side.can_harm_itself() { Some(&backfired) } else { None };
        chances = run.strike_beside(chances, &side.attacks(*index, begun.standing, on), lanes, harm, halt)?;
    }
    if !side.ends(begun.turn) {
        return Ok(chances);
    }
    let gone = field.gone();
    for state in (0..chances.len() / lanes).filter(|state| *state != gone) {
        let models = i64::from(on) - i64::from(field.standing(state));
        let (leaves, stays) = side.leaves(begun.turn, models, field.lost(state) - field.lost(start));
        if leaves.is_zero() {
            continue;
        }
        for lane in 0..lanes {
            let chance = std::mem::replace(&mut chances[state * lanes + lane], N::zero());
            chances[gone * lanes + lane].add_product(&leaves, &chance);
            chances[state * lanes + lane] = stays.times(&chance);
        }
    }
    Ok(chances)
}
