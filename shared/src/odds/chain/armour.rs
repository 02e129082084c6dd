//! Units of structure: the state is the structure lost so far, with the marks that matter.
use super::super::dice::Amount;
use super::super::number::Number;
use super::field::{Field, Parts};
use super::graph::Landing;
use super::{Armoured, Kind, Penetrate, Repeated, Volley, penetrate};

/// The states of armoured units.
///
/// Of the statuses only those that a chart may repeat decide what happens later; they are part of the
/// state as marks on the unit that is hit. One further status at a time is followed, to say how likely it comes up.
#[derive(Debug)]
pub(crate) struct ArmourField<'a> {
    armoured: &'a Armoured,
    steps: Vec<&'a Penetrate>,
    /// The statuses that rows ask for; each has a bit.
    marks: Vec<&'a str>,
    /// The status whose coming up is followed.
    followed: Option<&'a str>,
    total: usize,
}

/// Where each state may go, and how likely: `(from, to, chance)`, what stays put left out of `moves`.
#[derive(Debug)]
pub(crate) struct Moves<N>(Vec<(usize, usize, N)>);

/// What one hit does to a unit.
#[derive(Clone, Debug)]
struct Effect<'a> {
    loss: usize,
    status: Option<&'a str>,
    repeated: Option<(usize, &'a Repeated)>,
}

const WRECK: usize = usize::MAX;

impl<'a> ArmourField<'a> {
    pub(crate) fn new(
        armoured: &'a Armoured,
        volley: Option<&'a Volley>,
        all: &'a [Volley],
        followed: Option<&'a str>,
    ) -> Self {
        fn penetrates(volley: &Volley) -> impl Iterator<Item = &Penetrate> {
            volley.steps.iter().filter_map(|step| match &step.kind {
                Kind::Penetrate(step) => Some(step),
                Kind::Roll(_) => None,
            })
        }
        let mut marks = Vec::new();
        let charts = all.iter().flat_map(penetrates).filter_map(|step| step.chart.as_ref());
        for row in charts.flat_map(|chart| &chart.rows).filter(|row| row.repeated.is_some()) {
            let status = row.status.as_deref().unwrap_or_default();
            if !marks.contains(&status) {
                marks.push(status);
            }
        }
        let total = armoured.structure as usize * armoured.units as usize;
        Self { armoured, steps: volley.into_iter().flat_map(penetrates).collect(), marks, followed, total }
    }

    /// How many states share one loss of structure.
    fn width(&self) -> usize {
        (1 << self.marks.len()) * if self.followed.is_some() { 2 } else { 1 } * if self.wastes() { 2 } else { 1 }
    }

    fn wastes(&self) -> bool {
        self.armoured.overflow_wasted && self.armoured.units > 1
    }

    /// Structure lost, marks on the unit that is hit, whether the followed status came up, whether the rest is wasted.
    fn read(&self, state: usize) -> (usize, usize, bool, bool) {
        let (lost, mut rest) = (state / self.width(), state % self.width());
        let mut bit = |present: bool| {
            let set = present && rest % 2 == 1;
            rest /= if present { 2 } else { 1 };
            set
        };
        let wasted = bit(self.wastes());
        let seen = bit(self.followed.is_some());
        (lost, rest, seen, wasted)
    }

    fn write(&self, (lost, marks, seen, wasted): (usize, usize, bool, bool)) -> usize {
        let mut rest = marks;
        if self.followed.is_some() {
            rest = rest * 2 + usize::from(seen);
        }
        if self.wastes() {
            rest = rest * 2 + usize::from(wasted);
        }
        lost * self.width() + rest
    }

    /// Structure lost in a state, counted from the start.
    pub(crate) fn structure_lost(&self, state: usize) -> i64 {
        self.read(state).0 as i64 - i64::from(self.armoured.hurt)
    }

    /// Units wrecked in a state.
    pub(crate) fn wrecked(&self, state: usize) -> i64 {
        (self.read(state).0 / self.armoured.structure as usize) as i64
    }

    /// Whether the followed status has come up.
    pub(crate) fn has_followed(&self, state: usize) -> bool {
        self.read(state).2
    }

    /// Units that stand in a state.
    pub(crate) fn standing(&self, state: usize) -> u32 {
        self.armoured.units - self.wrecked(state) as u32
    }

    /// Points of structure that the hurt unit misses in a state.
    pub(crate) fn hurt(&self, state: usize) -> usize {
        self.read(state).0 % self.armoured.structure as usize
    }

    /// The state with so many points of the hurt unit back; its marks stay.
    pub(crate) fn mended(&self, state: usize, points: usize) -> usize {
        state - points * self.width()
    }

    /// The state in which no unit is left.
    pub(crate) fn gone(&self) -> usize {
        self.total * self.width()
    }

    pub(crate) fn is_nothing_left(&self, state: usize) -> bool {
        self.read(state).0 == self.total
    }

    fn hit(&self, state: usize, effect: &Effect<'_>) -> usize {
        let (lost, marks, seen, wasted) = self.read(state);
        if lost == self.total || wasted {
            return state;
        }
        let structure = self.armoured.structure as usize;
        let left = structure - lost % structure;
        let mark = effect.status.and_then(|status| self.marks.iter().position(|mark| *mark == status));
        let there = mark.is_some_and(|bit| marks >> bit & 1 == 1);
        let (mut marks, mut seen, mut loss) = (marks, seen, effect.loss);
        match effect.repeated {
            Some((base, repeated)) if there => {
                loss = base.saturating_add(if repeated.wrecked { left } else { 0 });
            }
            _ => {
                marks |= mark.map_or(0, |bit| 1 << bit);
                seen |= effect.status.is_some() && effect.status == self.followed;
            }
        }
        let loss = loss.min(left);
        let wreck = loss == left;
        let wasted = wreck && self.wastes() && lost + loss < self.total;
        self.write((lost + loss, if wreck { 0 } else { marks }, seen, wasted))
    }

    fn effects<N: Number>(&self, step: &'a Penetrate, breach: bool) -> Vec<(N, Effect<'a>)> {
        let plain = |loss: usize| Effect { loss, status: None, repeated: None };
        let base = if breach { &step.breach } else { &step.graze };
        let mut effects = Vec::new();
        for (lost, chance) in base.distribution::<N>().iter() {
            let lost = lost as usize;
            let Some(chart) = step.chart.as_ref().filter(|_| breach) else {
                effects.push((chance.clone(), plain(lost)));
                continue;
            };
            for (row, weight) in penetrate::rows::<N>(chart) {
                let weight = weight.times(chance);
                let Some(row) = row.map(|index| &chart.rows[index]) else {
                    effects.push((weight, plain(lost)));
                    continue;
                };
                // Each size of what the row costs, first time and repeated, is an effect of its own.
                let fixed = Amount::fixed(0);
                let again = row.repeated.as_ref().map_or(&fixed, |repeated| &repeated.structure);
                let (first, again) = (row.structure.distribution::<N>(), again.distribution::<N>());
                for ((more, first), (less, second)) in first.iter().flat_map(|a| again.iter().map(move |b| (a, b))) {
                    let loss = if row.wrecked { WRECK } else { lost + more as usize };
                    let repeated = row.repeated.as_ref().map(|repeated| (lost + less as usize, repeated));
                    let effect = Effect { loss, status: row.status.as_deref(), repeated };
                    effects.push((weight.times(first).times(second), effect));
                }
            }
        }
        effects
    }
}

impl<N: Number> Field<N> for ArmourField<'_> {
    type Law = Moves<N>;

    fn states(&self) -> usize {
        (self.total + 1) * self.width()
    }

    fn start(&self) -> usize {
        let has = |name: &str| self.armoured.statuses.iter().any(|status| status == name);
        let marks = self.marks.iter().enumerate().filter(|(_, mark)| has(mark)).map(|(bit, _)| 1 << bit).sum();
        self.write((self.armoured.hurt as usize, marks, self.followed.is_some_and(has), false))
    }

    fn law(&self, landing: &Landing<N>) -> Moves<N> {
        let of_step = |breach| self.steps.first().map(|step| self.effects::<N>(step, breach)).unwrap_or_default();
        let effects = match landing {
            Landing::Graze(_) => of_step(false),
            Landing::Breach(_) => of_step(true),
            // What backfired on its own side: points of structure, no armour in between.
            Landing::Damage(lost) => {
                let plain = |loss: i64| Effect { loss: loss as usize, status: None, repeated: None };
                lost.iter().map(|(value, chance)| (chance.clone(), plain(value))).collect()
            }
        };
        let mut moves = Moves(Vec::new());
        for state in 0..Field::<N>::states(self) {
            let first = moves.0.len();
            for (chance, effect) in &effects {
                let mut end = self.hit(state, effect);
                if matches!(landing, Landing::Damage(_)) {
                    // What hurts its own side is no attack of a volley: nothing is wasted by it.
                    let (lost, marks, seen, _) = self.read(end);
                    end = self.write((lost, marks, seen, false));
                }
                moves.add(first, state, end, chance);
            }
        }
        moves
    }

    fn mixture(&self, parts: Parts<N, Moves<N>>, nothing: &N) -> Moves<N> {
        let mut at = vec![0; parts.len()];
        let mut moves = Moves(Vec::new());
        for state in 0..Field::<N>::states(self) {
            let first = moves.0.len();
            if !nothing.is_zero() {
                moves.add(first, state, state, nothing);
            }
            for ((weight, law), at) in parts.iter().zip(at.iter_mut()) {
                while let Some((_, to, chance)) = law.0.get(*at).filter(|(from, ..)| *from == state) {
                    moves.add(first, state, *to, &chance.times(weight));
                    *at += 1;
                }
            }
        }
        moves
    }

    fn land(&self, law: &Moves<N>, from: &[N], onto: &mut [N], lanes: usize) {
        if lanes == 1 {
            for (state, to, chance) in &law.0 {
                if !from[*state].is_zero() {
                    onto[*to].add_product(chance, &from[*state]);
                }
            }
            return;
        }
        for (state, to, chance) in &law.0 {
            N::add_scaled(&mut onto[to * lanes..(to + 1) * lanes], chance, &from[state * lanes..(state + 1) * lanes]);
        }
    }

    fn variant(&self, _state: usize) -> usize {
        0
    }

    fn next_volley(&self, chances: &mut [N], lanes: usize) {
        if !self.wastes() {
            return;
        }
        for state in 0..Field::<N>::states(self) {
            let (lost, marks, seen, wasted) = self.read(state);
            if wasted {
                let onto = self.write((lost, marks, seen, false));
                for lane in 0..lanes {
                    let chance = std::mem::replace(&mut chances[state * lanes + lane], N::zero());
                    chances[onto * lanes + lane].add(&chance);
                }
            }
        }
    }
}

impl<N: Number> Moves<N> {
    fn add(&mut self, first: usize, from: usize, to: usize, chance: &N) {
        match self.0[first..].iter_mut().find(|(_, known, _)| *known == to) {
            Some((_, _, sum)) => sum.add(chance),
            None => self.0.push((from, to, chance.clone())),
        }
    }
}
