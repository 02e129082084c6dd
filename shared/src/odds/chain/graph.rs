//! One attack as a graph: a node for every roll that it can stand before, a branch for every way on.
//!
//! Successes with the same numbers ahead of them share a node, so a chain without criticals is a
//! line. Children always come before their parents; the root is the last node.
use super::super::dice::Amount;
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::super::roll::{Aim, Outcome, Roll};
use super::{By, Change, Gain, Group, Kind, Plus, RollStep, Volley, penetrate, table};
use smallvec::SmallVec;
use std::borrow::Cow;

/// The graph of one attack.
#[derive(Debug)]
pub(crate) struct Graph<N> {
    pub(crate) nodes: Vec<Node<N>>,
    /// In how many ways the numbers differ with what is hit: one, or one for each group and one for nothing left.
    pub(crate) variants: usize,
    /// For each step, the chance that one ordinary roll is in the attacker's favour, where an attack can come to one.
    pub(crate) favours: SmallVec<[Option<N>; 4]>,
}

/// A place that an attack can be in.
#[derive(Debug)]
pub(crate) enum Node<N> {
    /// Before a roll: for each variant, the ways on.
    Step { step: usize, variants: SmallVec<[Variant<N>; 1]> },
    /// Through all steps.
    AttackOutcome(AttackOutcome<N>),
}

#[derive(Debug)]
pub(crate) struct Variant<N> {
    /// Whether dice are rolled at all.
    pub(crate) rolled: bool,
    pub(crate) branches: SmallVec<[Branch<N>; 2]>,
}

/// One way that a roll ends.
#[derive(Debug)]
pub(crate) struct Branch<N> {
    pub(crate) chance: N,
    pub(crate) backfired: bool,
    /// Of a table, the row that acts.
    pub(crate) row: Option<usize>,
    /// Where the attack goes on; nowhere after a failure.
    pub(crate) next: Option<Next<N>>,
}

#[derive(Debug)]
pub(crate) struct Next<N> {
    pub(crate) main: usize,
    /// How many ordinary successes go on after it, and where.
    pub(crate) extra: Option<(Distribution<N>, usize)>,
}

/// What comes through to the target.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum AttackOutcome<N> {
    Damage(Distribution<N>),
    /// Of the penetrate step with this index.
    Graze(usize),
    Breach(usize),
}

/// What a success carries: changed numbers of later steps, added damage, how it penetrated.
#[derive(Clone, Debug, Default, PartialEq)]
struct PendingChanges {
    changes: Vec<Change>,
    damage: Vec<Amount>,
    breach: Option<bool>,
}

struct Builder<'a, N> {
    volley: &'a Volley,
    groups: SmallVec<[&'a [Change]; 1]>,
    /// What a reading of the counters changes, in order.
    reading: &'a [Change],
    nodes: Vec<Node<N>>,
    keys: Vec<(usize, PendingChanges)>,
    penetrate_step: usize,
}

impl<N: Number> Graph<N> {
    /// The graph of an attack of this volley; the groups may replace its numbers, and so may a reading of the counters.
    pub(crate) fn new(volley: &Volley, groups: &[Group], reading: &[Change]) -> Self {
        let nothing: &[Change] = &[];
        let groups: SmallVec<_> = if groups.iter().any(|group| !group.then.is_empty()) {
            groups.iter().map(|group| group.then.as_slice()).chain([nothing]).collect()
        } else {
            SmallVec::from_elem(nothing, 1)
        };
        let variants = groups.len();
        let penetrate_step = volley.steps.iter().position(|s| matches!(s.kind, Kind::Penetrate(_))).unwrap_or(0);
        let nodes = volley.steps.len() + 1;
        let (nodes, keys) = (Vec::with_capacity(nodes), Vec::with_capacity(nodes));
        let mut builder = Builder { volley, groups, reading, nodes, keys, penetrate_step };
        builder.node(0, PendingChanges::default());
        let favours = (0..volley.steps.len()).map(|step| builder.favours(step)).collect();
        Self { nodes: builder.nodes, variants, favours }
    }

    /// The chances of coming to each node and of ending before any outcome, where no success brings further ones and the
    /// target changes no numbers.
    pub(crate) fn arrivals(&self) -> (SmallVec<[N; 8]>, N) {
        let mut waiting = SmallVec::<[N; 8]>::from_elem(N::zero(), self.nodes.len());
        let mut nothing = N::zero();
        waiting[self.root()] = N::one();
        for (index, node) in self.nodes.iter().enumerate().rev() {
            let Node::Step { variants, .. } = node else { continue };
            for branch in &variants[0].branches {
                let came = waiting[index].times(&branch.chance);
                match &branch.next {
                    Some(next) => waiting[next.main].add(&came),
                    None => nothing.add(&came),
                }
            }
        }
        (waiting, nothing)
    }

    /// Where every attack begins.
    pub(crate) fn root(&self) -> usize {
        self.nodes.len() - 1
    }

    /// Whether an attack can come to more than one outcome.
    pub(crate) fn has_extras(&self) -> bool {
        self.branches().any(|branch| branch.next.as_ref().is_some_and(|next| next.extra.is_some()))
    }

    /// Whether anything does backfire.
    pub(crate) fn backfires(&self) -> bool {
        self.branches().any(|branch| branch.backfired)
    }

    fn branches(&self) -> impl Iterator<Item = &Branch<N>> {
        let variants = self.nodes.iter().flat_map(|node| match node {
            Node::Step { variants, .. } => variants.as_slice(),
            Node::AttackOutcome(_) => &[],
        });
        variants.flat_map(|variant| &variant.branches)
    }
}

impl<N: Number> Builder<'_, N> {
    fn node(&mut self, step: usize, pending: PendingChanges) -> usize {
        if let Some(known) = self.keys.iter().position(|(s, c)| *s == step && *c == pending) {
            return known;
        }
        let node = match self.volley.steps.get(step) {
            None => Node::AttackOutcome(self.outcome(&pending)),
            Some(_) => {
                let variants = (0..self.groups.len()).map(|group| self.variant(step, &pending, group)).collect();
                Node::Step { step, variants }
            }
        };
        self.nodes.push(node);
        self.keys.push((step, pending));
        self.nodes.len() - 1
    }

    /// The chance that a roll of a step goes the attacker's way where nothing is carried and no group has a say.
    fn favours(&self, step: usize) -> Option<N> {
        let plain = |key: &(usize, PendingChanges)| key.0 == step && key.1 == PendingChanges::default();
        let Node::Step { variants, .. } = &self.nodes[self.keys.iter().position(plain)?] else { return None };
        let [variant] = &variants[..] else { return None };
        let mut sum = N::zero();
        variant.branches.iter().filter(|branch| branch.next.is_some()).for_each(|branch| sum.add(&branch.chance));
        Some(sum)
    }

    fn outcome(&self, pending: &PendingChanges) -> AttackOutcome<N> {
        match pending.breach {
            Some(true) => AttackOutcome::Breach(self.penetrate_step),
            Some(false) => AttackOutcome::Graze(self.penetrate_step),
            None => {
                let base: Distribution<N> = self.volley.damage.distribution();
                AttackOutcome::Damage(pending.damage.iter().fold(base, |sum, more| sum.convolve(&more.distribution())))
            }
        }
    }

    fn variant(&mut self, index: usize, pending: &PendingChanges, group: usize) -> Variant<N> {
        let step = &self.volley.steps[index];
        let change = self.change(&step.name, pending, group);
        match &step.kind {
            Kind::Penetrate(base) => {
                let scored = penetrate::score::<N>(base, &change);
                let branches = scored.into_iter().filter(|(_, chance)| !chance.is_zero()).map(|(breach, chance)| {
                    let next = breach.map(|breach| {
                        let pending = PendingChanges { breach: Some(breach), ..self.onward(index, pending) };
                        Next { main: self.node(index + 1, pending), extra: None }
                    });
                    Branch { chance, backfired: false, row: None, next }
                });
                Variant { rolled: true, branches: branches.collect() }
            }
            Kind::Table(base) => {
                let branch = |(row, chance): (Option<usize>, N)| {
                    let acting = row.map(|row| &base.rows[row]);
                    let next = match acting {
                        Some(row) if row.ends => None,
                        _ => Some(self.gained(index, acting.map(|row| &row.gain), pending)),
                    };
                    Branch { chance, backfired: false, row, next }
                };
                Variant { rolled: true, branches: table::score::<N>(base, &change).into_iter().map(branch).collect() }
            }
            Kind::Roll(base) => {
                let roll = changed(&base.roll, &change);
                let mut branches = SmallVec::new();
                for (outcome, chance) in roll.score::<N>().outcomes {
                    if chance.is_zero() {
                        continue;
                    }
                    let next = self.next(index, base, step.by, outcome, pending);
                    match self.backfire(base, outcome, &chance) {
                        None => branches.push(Branch { chance, backfired: false, row: None, next }),
                        Some((saved, harmed)) => {
                            let again = self.next(index, base, step.by, outcome, pending);
                            let parts = [(saved, false, next), (harmed, true, again)];
                            branches.extend(
                                parts
                                    .into_iter()
                                    .filter(|(chance, ..)| !chance.is_zero())
                                    .map(|(chance, backfired, next)| Branch { chance, backfired, row: None, next }),
                            );
                        }
                    }
                }
                Variant { rolled: roll.is_rolled(), branches }
            }
        }
    }

    /// The chances of a backfire that is saved and of one that harms.
    fn backfire(&self, step: &RollStep, outcome: Outcome, chance: &N) -> Option<(N, N)> {
        if !outcome.backfire {
            return None;
        }
        let scored = Roll::plain(step.backfire.die, step.backfire.needs).score::<N>();
        let mut parts = (N::zero(), N::zero());
        for (saving, part) in &scored.outcomes {
            if saving.success { &mut parts.0 } else { &mut parts.1 }.add_product(part, chance);
        }
        Some(parts)
    }

    fn next(
        &mut self,
        index: usize,
        step: &RollStep,
        by: By,
        outcome: Outcome,
        pending: &PendingChanges,
    ) -> Option<Next<N>> {
        if outcome.success == (by == By::Defender) {
            return None;
        }
        let margin = outcome.margin.map(|row| &step.margins[row]);
        let critical = outcome.critical.then_some(&step.critical).filter(|_| by == By::Attacker);
        // The critical's word is the later one.
        Some(self.gained(index, margin.into_iter().chain(critical), pending))
    }

    /// Where a success goes that gets all this, in this order.
    fn gained<'g>(
        &mut self,
        index: usize,
        gains: impl IntoIterator<Item = &'g Gain>,
        pending: &PendingChanges,
    ) -> Next<N> {
        let plain = self.onward(index, pending);
        let gains: SmallVec<[&Gain; 2]> = gains.into_iter().collect();
        if gains.iter().all(|gain| **gain == Gain::none()) {
            return Next { main: self.node(index + 1, plain), extra: None };
        }
        let mut main = plain.clone();
        let mut extra: Option<Distribution<N>> = None;
        for gain in gains {
            gain.then.iter().for_each(|change| merge(&mut main.changes, change));
            if gain.damage.as_constant() != Some(0) {
                main.damage.push(gain.damage.clone());
            }
            if gain.extra.as_constant() != Some(0) {
                let more = gain.extra.distribution();
                extra = Some(extra.map_or(more.clone(), |sum| sum.convolve(&more)));
            }
        }
        let extra = extra.map(|count| (count, self.node(index + 1, plain)));
        Next { main: self.node(index + 1, main), extra }
    }

    /// What is carried past a step: changes of steps that have been rolled fall away, so that paths meet again.
    fn onward(&self, index: usize, pending: &PendingChanges) -> PendingChanges {
        let mut pending = pending.clone();
        pending.changes.retain(|change| self.volley.steps[index + 1..].iter().any(|step| step.name == change.step));
        pending
    }

    /// The change of a step: what the group that is hit replaces, over it what the counters change, and over that what the
    /// success carries.
    fn change(&self, name: &str, pending: &PendingChanges, group: usize) -> Change {
        let mut all = Vec::new();
        let named = |change: &&Change| change.step == name;
        self.groups[group].iter().filter(named).for_each(|change| merge(&mut all, change));
        self.reading.iter().filter(named).for_each(|change| merge(&mut all, change));
        pending.changes.iter().filter(named).for_each(|change| merge(&mut all, change));
        all.pop().unwrap_or_default()
    }
}

/// Field by field, the later one wins, and what is added adds up.
fn merge(onto: &mut Vec<Change>, change: &Change) {
    match onto.iter_mut().find(|earlier| earlier.step == change.step) {
        None => onto.push(change.clone()),
        Some(earlier) => *earlier = change.over(earlier),
    }
}

fn changed<'a>(roll: &'a Roll, change: &Change) -> Cow<'a, Roll> {
    if change.needs.is_none() && change.modifier.is_none() && change.plus == Plus::default() {
        return Cow::Borrowed(roll);
    }
    let mut roll = roll.clone();
    roll.harder = roll.harder.saturating_add(change.plus.needs);
    if let Some(needs) = change.needs {
        let worst = roll.default_backfire();
        let by_default = roll.backfire == Some(worst);
        roll.aim = Aim::Needs(needs);
        if by_default {
            // The worst face of a roll whose sense is turned round is the other one.
            roll.backfire = Some(roll.default_backfire());
        }
        if !roll.is_rolled() {
            (roll.critical, roll.backfire) = (None, None);
        }
        if !roll.is_rolled() || roll.low_is_good() {
            roll.margins.clear();
        }
    }
    roll.modifier = change.modifier.unwrap_or(roll.modifier).saturating_add(change.plus.modifier);
    Cow::Owned(roll)
}
