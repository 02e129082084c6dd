//! Models with health: the state is the health lost so far, in the order in which models fall.
use super::super::dice::Amount;
use super::super::distribution::{Chances, Distribution};
use super::super::given::Given;
use super::super::number::{Exact, Number};
use super::graph::AttackOutcome;
use super::state_space::StateSpace;
use super::{Group, Ignore, Soldiers, Volley};
use smallvec::SmallVec;

/// The states of a body of soldiers.
#[derive(Debug)]
pub(crate) struct SoldierSpace<'a> {
    soldiers: &'a Soldiers,
    /// The last roll that a volley puts in place of each group's own.
    ignore: Option<&'a Ignore>,
    /// For each state but the last: its group, and what a packet can take at most.
    places: Vec<(usize, usize)>,
    total: usize,
}

/// What an outcome does. For each run of states that are alike: the first, how many, and the chances of losing 0, 1, 2 … health.
#[derive(Debug)]
pub(crate) struct Runs<N>(SmallVec<[(usize, usize, Chances<N>); 1]>);

/// For each group, the damage.
type ByGroup<N> = SmallVec<[Distribution<N>; 1]>;

impl<'a> SoldierSpace<'a> {
    /// The states under a volley, or under nothing that puts numbers in place of their own.
    pub(crate) fn new(soldiers: &'a Soldiers, volley: Option<&'a Volley>) -> Self {
        let total = soldiers.groups.iter().map(|g| g.models as usize * g.health as usize).sum();
        let mut places = Vec::with_capacity(total);
        for (group, of) in soldiers.groups.iter().enumerate() {
            for _ in 0..of.models {
                places.extend((0..of.health as usize).map(|lost| (group, of.health as usize - lost)));
            }
        }
        if volley.and_then(|volley| volley.spill).unwrap_or(soldiers.spill) {
            places.iter_mut().enumerate().for_each(|(state, place)| place.1 = total - state);
        }
        Self { soldiers, ignore: volley.and_then(|volley| volley.ignore.as_ref()), places, total }
    }

    /// What comes of an outcome's damage to models of a group.
    fn left<N: Number>(&self, outcome: &AttackOutcome<N>, group: &Group) -> Distribution<N> {
        match (outcome, self.ignore.or(group.ignore.as_ref())) {
            (AttackOutcome::Damage(damage), None) => damage.clone(),
            (AttackOutcome::Damage(damage), Some(ignore)) => ignored(damage, ignore),
            // Nothing penetrates soldiers.
            (AttackOutcome::Graze(_) | AttackOutcome::Breach(_), _) => Distribution::certain(0),
        }
    }

    /// Health lost in a state, counted from the start.
    pub(crate) fn health_lost(&self, state: usize) -> i64 {
        state as i64 - i64::from(self.soldiers.hurt)
    }

    /// Models removed in a state.
    pub(crate) fn removed(&self, state: usize) -> i64 {
        let (mut removed, mut left) = (0, state);
        for group in &self.soldiers.groups {
            let fallen = (left / group.health as usize).min(group.models as usize);
            removed += fallen as i64;
            left -= (fallen * group.health as usize).min(left);
            if fallen < group.models as usize {
                break;
            }
        }
        removed
    }

    /// Models that stand in a state.
    pub(crate) fn standing(&self, state: usize) -> u32 {
        let all: u32 = self.soldiers.groups.iter().map(|group| group.models).sum();
        all - self.removed(state) as u32
    }

    /// Points of health that the hurt model misses in a state.
    pub(crate) fn hurt(&self, state: usize) -> usize {
        let mut left = state;
        for group in &self.soldiers.groups {
            let (models, health) = (group.models as usize, group.health as usize);
            if left < models * health {
                return left % health;
            }
            left -= models * health;
        }
        0
    }

    /// The state in which nobody is left.
    pub(crate) fn gone(&self) -> usize {
        self.total
    }

    /// Lays for each group a distribution of damage over its states, clipped to what a packet can take there.
    fn lay<N: Number>(&self, by_group: &[Distribution<N>]) -> Runs<N> {
        let mut runs = SmallVec::<[(usize, usize, Chances<N>); 1]>::new();
        let mut before: Option<(usize, usize)> = None;
        for (state, (group, most)) in self.places.iter().enumerate() {
            let damage = &by_group[*group];
            let reach = (*most).min(damage.highest() as usize);
            if before == Some((*group, reach))
                && let Some(run) = runs.last_mut()
            {
                run.1 += 1;
                continue;
            }
            before = Some((*group, reach));
            let mut lost = Chances::from_elem(N::zero(), reach + 1);
            damage.iter().for_each(|(value, chance)| lost[(value as usize).min(reach)].add(chance));
            runs.push((state, 1, lost));
        }
        Runs(runs)
    }
}

impl<N: Number> StateSpace<N> for SoldierSpace<'_> {
    type Kernel = Runs<N>;

    fn states(&self) -> usize {
        self.total + 1
    }

    fn start(&self) -> usize {
        self.soldiers.hurt as usize
    }

    fn kernel(&self, outcome: &AttackOutcome<N>) -> Runs<N> {
        let damages = self.soldiers.groups.iter().map(|group| self.left(outcome, group));
        self.lay(&damages.collect::<ByGroup<N>>())
    }

    fn mixed_kernel(&self, outcomes: &[(N, &AttackOutcome<N>)], nothing: &N) -> Runs<N> {
        let none = Distribution::certain(0);
        let of_group = |group: &Group| {
            let damages: SmallVec<[_; 2]> =
                outcomes.iter().map(|(chance, outcome)| (chance.clone(), self.left(outcome, group))).collect();
            let damages = damages.iter().map(|(chance, damage)| (chance.clone(), damage));
            Distribution::mix(damages.chain([(nothing.clone(), &none)])).unwrap_or_else(|| none.clone())
        };
        self.lay(&self.soldiers.groups.iter().map(of_group).collect::<ByGroup<N>>())
    }

    fn apply(&self, kernel: &Self::Kernel, from: &[N], onto: &mut [N], aux_width: usize) {
        for (first, count, lost) in &kernel.0 {
            let source = &from[first * aux_width..(first + count) * aux_width];
            for (health, chance) in lost.iter().enumerate() {
                N::add_scaled(&mut onto[(first + health) * aux_width..][..source.len()], chance, source);
            }
        }
        N::add_scaled(&mut onto[self.total * aux_width..], &N::one(), &from[self.total * aux_width..]);
    }

    /// Where every state loses one point of health or none, the losses of so many outcomes are binomial.
    fn apply_power(&self, kernel: &Self::Kernel, from: &[N], times: u32, aux_width: usize) -> Option<Vec<N>> {
        let [(0, alike, lost)] = &kernel.0[..] else { return None };
        if *alike != self.total || lost.len() != 2 {
            return None;
        }
        let losses = Distribution::new(0, lost.clone())?.repeated(times);
        let mut onto = vec![N::zero(); from.len()];
        for (state, part) in from.chunks(aux_width).enumerate().filter(|(_, part)| !part.iter().all(N::is_zero)) {
            for (loss, chance) in losses.iter() {
                let state = (state + loss as usize).min(self.total);
                N::add_scaled(&mut onto[state * aux_width..], chance, part);
            }
        }
        Some(onto)
    }

    fn variant(&self, state: usize) -> usize {
        self.places.get(state).map_or(self.soldiers.groups.len(), |(group, _)| *group)
    }
}

impl Ignore {
    /// The same damage with the ignore roll made already, exactly.
    ///
    /// # Errors
    /// `None` where that is more work than the making of a chain may be.
    pub fn left_of(&self, damage: &Amount) -> Option<Amount> {
        const MOST: u64 = 5_000_000;
        let affordable = super::super::price::ignored(self, damage).is_within(MOST);
        affordable.then(|| self.worked_out(damage))
    }

    fn worked_out(&self, damage: &Amount) -> Amount {
        Amount::Given(Given::from(&ignored(&damage.distribution::<Exact>(), self)))
    }
}

/// What is left of a packet after the ignore roll.
///
/// # Formula
/// For each point: of `d` points, the number that stays is binomial in the chance of not being ignored.
fn ignored<N: Number>(damage: &Distribution<N>, ignore: &Ignore) -> Distribution<N> {
    let mut stays = (N::zero(), N::zero());
    for (outcome, chance) in ignore.roll.score::<N>().outcomes {
        if outcome.success { &mut stays.0 } else { &mut stays.1 }.add(&chance);
    }
    let point =
        Distribution::new(0, vec![stays.0.clone(), stays.1.clone()]).unwrap_or_else(|| Distribution::certain(1));
    if ignore.per_packet {
        let none = Distribution::certain(0);
        return Distribution::mix([(stays.0, &none), (stays.1, damage)]).unwrap_or(none);
    }
    damage.compound(&point)
}
