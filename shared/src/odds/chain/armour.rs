//! Units of structure: the state is the structure lost so far, with the marks that matter.
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::graph::AttackOutcome;
pub(crate) use super::moves::Moves;
use super::moves::{Adding, Effect, Effects, Move};
use super::state_space::StateSpace;
use super::{Armoured, Kind, Penetrate, Volley, penetrate};

/// The states of armoured units.
///
/// Of the statuses only those that a chart may repeat decide what happens later; they are part of the
/// state as marks on the unit that is hit. Where it is asked how likely statuses come up, each has an auxiliary number beside
/// the first:
/// its share of a state is the chance that it has not come up yet. One more state, the last, takes what leaves such a
/// number when it does.
#[derive(Debug)]
pub(crate) struct ArmourSpace<'a> {
    armoured: &'a Armoured,
    penetrate: Option<&'a Penetrate>,
    /// The statuses that rows ask for; each has a bit.
    marks: Vec<&'a str>,
    /// The statuses whose coming up is followed.
    followed: &'a [&'a str],
    /// Which hits add to counters: a graze has the place 1, a breach 2, one with a row of the chart the places from 3 on.
    counting: Vec<bool>,
    total: usize,
    /// How many states share one loss of structure.
    width: usize,
}

impl<'a> ArmourSpace<'a> {
    pub(crate) fn new(
        armoured: &'a Armoured,
        volley: Option<&'a Volley>,
        all: &'a [Volley],
        followed: &'a [&'a str],
    ) -> Self {
        fn penetrates(volley: &Volley) -> impl Iterator<Item = &Penetrate> {
            volley.steps.iter().filter_map(|step| match &step.kind {
                Kind::Penetrate(step) => Some(step),
                Kind::Roll(_) | Kind::Table(_) => None,
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
        let penetrate = volley.into_iter().flat_map(penetrates).next();
        let mut space = Self { armoured, penetrate, marks, followed, counting: Vec::new(), total, width: 1 };
        space.width = (1 << space.marks.len()) * if space.wastes() { 2 } else { 1 };
        space
    }

    /// The same with these marks told apart besides, whether a chart repeats them or not.
    pub(crate) fn keeping(mut self, names: &'a [String]) -> Self {
        for name in names {
            if !self.marks.contains(&name.as_str()) {
                self.marks.push(name);
            }
        }
        self.width = (1 << self.marks.len()) * if self.wastes() { 2 } else { 1 };
        self
    }

    /// Tells apart the hits that add to counters.
    pub(crate) fn counting(&mut self, hits: Vec<bool>) {
        self.counting = hits;
    }

    fn adds(&self, hit: usize) -> usize {
        if self.counting.get(hit) == Some(&true) { hit } else { 0 }
    }

    /// The marks of the unit that is hit, of these names: a bit for each.
    pub(crate) fn marks_of(&self, state: usize, names: &[String]) -> u32 {
        let marks = self.read(state).1;
        let has =
            |name: &String| self.marks.iter().position(|mark| mark == name).is_some_and(|at| marks >> at & 1 == 1);
        names.iter().enumerate().filter(|(_, name)| has(name)).map(|(bit, _)| 1 << bit).sum()
    }

    fn wastes(&self) -> bool {
        self.armoured.overflow_wasted && self.armoured.units > 1
    }

    /// Structure lost, marks on the unit that is hit, whether the rest is wasted.
    fn read(&self, state: usize) -> (usize, usize, bool) {
        let (lost, rest) = (state / self.width, state % self.width);
        if self.wastes() { (lost, rest / 2, rest % 2 == 1) } else { (lost, rest, false) }
    }

    fn write(&self, (lost, marks, wasted): (usize, usize, bool)) -> usize {
        let rest = if self.wastes() { marks * 2 + usize::from(wasted) } else { marks };
        lost * self.width + rest
    }

    /// What stands on the table in a state; the last of these states is the one in which nothing is left.
    fn standings(&self) -> usize {
        (self.total + 1) * self.width
    }

    /// How many numbers a state has: the first for what happens, and one for each status that is followed.
    pub(crate) fn aux_width(&self) -> usize {
        1 + self.followed.len()
    }

    /// All numbers of all states at the start.
    pub(crate) fn begin<N: Number>(&self) -> Vec<N> {
        let aux_width = self.aux_width();
        let mut chances = vec![N::zero(); StateSpace::<N>::states(self) * aux_width];
        for aux in 0..aux_width {
            let there = aux > 0 && self.armoured.statuses.iter().any(|status| status == self.followed[aux - 1]);
            let state = if there { self.standings() } else { StateSpace::<N>::start(self) };
            chances[state * aux_width + aux] = N::one();
        }
        chances
    }

    /// From all numbers at the end: the chances of what happened, and for each status followed that it has come up.
    pub(crate) fn end<N: Number>(&self, chances: Vec<N>) -> (Vec<N>, Vec<N>) {
        let aux_width = self.aux_width();
        if aux_width == 1 {
            return (chances, Vec::new());
        }
        let (standing, seen) = chances.split_at(self.standings() * aux_width);
        (standing.chunks(aux_width).map(|state| state[0].clone()).collect(), seen[1..].to_vec())
    }

    /// Structure lost in a state, counted from the start.
    pub(crate) fn structure_lost(&self, state: usize) -> i64 {
        self.read(state).0 as i64 - i64::from(self.armoured.hurt)
    }

    /// Units wrecked in a state.
    pub(crate) fn wrecked(&self, state: usize) -> i64 {
        (self.read(state).0 / self.armoured.structure as usize) as i64
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
        state - points * self.width
    }

    /// The state in which no unit is left.
    pub(crate) fn gone(&self) -> usize {
        self.total * self.width
    }

    pub(crate) fn is_nothing_left(&self, state: usize) -> bool {
        self.read(state).0 >= self.total
    }

    /// Where a hit leads, the auxiliary number of the status that it brings, and what it adds to counters.
    fn hit(&self, state: usize, effect: &Effect) -> (usize, usize, usize) {
        let (lost, mut marks, wasted) = self.read(state);
        if lost == self.total || wasted {
            return (if effect.own { self.write((lost, marks, false)) } else { state }, 0, 0);
        }
        let structure = self.armoured.structure as usize;
        let left = structure - lost % structure;
        let there = effect.mark.is_some_and(|bit| marks >> bit & 1 == 1);
        let (loss, brings, adds) = match effect.repeated {
            Some((loss, wrecked)) if there => (loss.saturating_add(if wrecked { left } else { 0 }), 0, effect.adds.1),
            _ => {
                marks |= effect.mark.map_or(0, |bit| 1 << bit);
                (effect.loss, effect.brings, effect.adds.0)
            }
        };
        let loss = loss.min(left);
        let wreck = loss == left;
        let wasted = wreck && !effect.own && self.wastes() && lost + loss < self.total;
        (self.write((lost + loss, if wreck { 0 } else { marks }, wasted)), brings, adds)
    }

    /// Adds what a graze or a breach does, each with `chance` times its own.
    fn effects<N: Number>(&self, step: &Penetrate, breach: bool, chance: &N, onto: &mut Effects<N>) {
        let base = if breach { &step.breach } else { &step.graze };
        // More than all of a unit is all of it.
        let whole = self.armoured.structure as usize;
        let chart = step.chart.as_ref().filter(|_| breach).map(|chart| (chart, penetrate::rows::<N>(chart)));
        for (lost, part) in base.distribution::<N>().iter() {
            let (lost, chance) = ((lost as usize).min(whole), chance.times(part));
            let adds = self.adds(if breach { 2 } else { 1 });
            let plain = Effect { loss: lost, adds: (adds, adds), ..Effect::default() };
            let Some((chart, rows)) = &chart else {
                onto.add(plain, &chance);
                continue;
            };
            for (row, weight) in rows {
                let weight = weight.times(&chance);
                let Some(index) = *row else {
                    onto.add(plain, &weight);
                    continue;
                };
                let (row, adds) = (&chart.rows[index], (self.adds(3 + index), adds));
                let status = row.status.as_deref();
                let at = |names: &[&str]| status.and_then(|status| names.iter().position(|name| *name == status));
                let (mark, brings) = (at(&self.marks), at(self.followed).map_or(0, |at| at + 1));
                // Each size of what the row costs, first time and repeated, is an effect of its own.
                let first = row.structure.distribution::<N>();
                let again = row
                    .repeated
                    .as_ref()
                    .map_or_else(|| Distribution::certain(0), |repeated| repeated.structure.distribution::<N>());
                for ((more, first), (less, second)) in first.iter().flat_map(|a| again.iter().map(move |b| (a, b))) {
                    let loss = if row.wrecked { whole } else { whole.min(lost + more as usize) };
                    let repeated =
                        row.repeated.as_ref().map(|repeated| (whole.min(lost + less as usize), repeated.wrecked));
                    let effect = Effect { loss, brings, mark, adds, repeated, own: false };
                    onto.add(effect, &weight.times(first).times(second));
                }
            }
        }
    }

    /// Adds what an outcome does, each effect with `chance` times its own.
    fn add_outcome<N: Number>(&self, outcome: &AttackOutcome<N>, chance: &N, onto: &mut Effects<N>) {
        match outcome {
            AttackOutcome::Graze(_) | AttackOutcome::Breach(_) => {
                let Some(step) = self.penetrate else { return };
                self.effects(step, matches!(outcome, AttackOutcome::Breach(_)), chance, onto);
            }
            // What backfired on its own side: points of structure, no armour in between.
            AttackOutcome::Damage(lost) => {
                for (value, part) in lost.iter() {
                    let loss = (value as usize).min(self.armoured.structure as usize);
                    let effect = Effect { loss, own: true, ..Effect::default() };
                    onto.add(effect, &chance.times(part));
                }
            }
        }
    }

    /// Adds to `onto` what the kernel makes of `from`, where hits add to counters beside the states.
    pub(crate) fn apply_adding<N: Number>(
        &self,
        kernel: &Moves<N>,
        from: &[N],
        onto: &mut [N],
        aux_width: usize,
        adding: &Adding<'_, N>,
    ) {
        let sizes = (self.standings() * aux_width, aux_width, self.aux_width());
        kernel.apply(from, onto, sizes, Some(adding));
    }

    fn moves<N: Number>(&self, effects: &Effects<N>) -> Moves<N> {
        let mut moves = Moves::with_capacity(self.standings() * effects.all.len());
        for state in 0..self.standings() {
            let first = moves.len();
            for (effect, chance) in &effects.all {
                let (to, brings, adds) = self.hit(state, effect);
                moves.add(first, Move { from: state, to, brings, adds, chance: chance.clone() });
            }
        }
        moves
    }
}

impl<N: Number> StateSpace<N> for ArmourSpace<'_> {
    type Kernel = Moves<N>;

    fn states(&self) -> usize {
        self.standings() + usize::from(!self.followed.is_empty())
    }

    fn start(&self) -> usize {
        let has = |name: &str| self.armoured.statuses.iter().any(|status| status == name);
        let marks = self.marks.iter().enumerate().filter(|(_, mark)| has(mark)).map(|(bit, _)| 1 << bit).sum();
        self.write((self.armoured.hurt as usize, marks, false))
    }

    fn kernel(&self, outcome: &AttackOutcome<N>) -> Moves<N> {
        let mut effects = Effects::new();
        self.add_outcome(outcome, &N::one(), &mut effects);
        self.moves(&effects)
    }

    fn mixed_kernel(&self, outcomes: &[(N, &AttackOutcome<N>)], nothing: &N) -> Moves<N> {
        let mut effects = Effects::new();
        if !nothing.is_zero() {
            effects.add(Effect::default(), nothing);
        }
        outcomes.iter().for_each(|(chance, outcome)| self.add_outcome(outcome, chance, &mut effects));
        self.moves(&effects)
    }

    fn apply(&self, kernel: &Moves<N>, from: &[N], onto: &mut [N], aux_width: usize) {
        let sizes = (self.standings() * aux_width, aux_width, self.aux_width());
        kernel.apply(from, onto, sizes, None);
    }

    fn variant(&self, _state: usize) -> usize {
        0
    }

    fn next_volley(&self, chances: &mut [N], aux_width: usize) {
        if !self.wastes() {
            return;
        }
        for state in 0..self.standings() {
            let (lost, marks, wasted) = self.read(state);
            if wasted {
                let onto = self.write((lost, marks, false));
                for aux in 0..aux_width {
                    let chance = std::mem::replace(&mut chances[state * aux_width + aux], N::zero());
                    chances[onto * aux_width + aux].add(&chance);
                }
            }
        }
    }
}
