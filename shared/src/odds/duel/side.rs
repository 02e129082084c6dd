//! A prepared side: its attack on the other side's states, its own repair and what backfires on it.
use super::{Side, TimedVolley, within};
use crate::odds::chain::either::{EitherKernel, EitherSpace};
use crate::odds::chain::gate::Attempts;
use crate::odds::chain::graph::{AttackOutcome, Graph};
use crate::odds::chain::run::Run;
use crate::odds::chain::state_space::StateSpace;
use crate::odds::chain::{Attacks, Kind, Target, Volley, When};
use crate::odds::check::pass_and_fail;
use crate::odds::distribution::Distribution;
use crate::odds::number::Number;

/// What one side needs to act.
pub(super) struct PreparedSide<'a, N: Number> {
    pub(super) side: &'a Side,
    /// The states of the other side under each of this side's volleys; the first stands for all where counts are read.
    pub(super) spaces: Vec<EitherSpace<'a>>,
    /// For each volley, the graph of one attack for each reading of the counters.
    pub(super) graphs: Vec<Vec<Graph<N>>>,
    /// The states of this side itself.
    pub(super) own: EitherSpace<'a>,
    /// For each volley and step, what a backfire does to this side.
    pub(super) harm: Vec<Vec<Option<EitherKernel<N>>>>,
    /// For each volley, what a backfire of its gate does to this side.
    pub(super) gate_harm: Vec<Option<EitherKernel<N>>>,
    /// The attacks of one attacker of each volley; of one that is laid on what stands, for each number that may stand.
    attacks: Vec<Vec<Distribution<N>>>,
    /// For each number of points that the hurt one misses, how many come back.
    pub(super) mends: Vec<Distribution<N>>,
}

impl<'a, N: Number> PreparedSide<'a, N> {
    pub(super) fn new(side: &'a Side, volleys: &'a [Volley], other: &'a Side, others: &'a [Volley]) -> Self {
        let groups = match &other.target {
            Target::Soldiers(soldiers) => soldiers.groups.as_slice(),
            Target::Armoured(_) => &[],
        };
        // The marks that the other side's attack may repeat belong to the states of this side; what backfires on it meets
        // none of the numbers that a volley puts in place of its own.
        let own = EitherSpace::new(&side.target, None, others);
        let spaces = volleys.iter().map(|volley| EitherSpace::new(&other.target, Some(volley), volleys)).collect();
        let graphs = volleys.iter().map(|volley| vec![Graph::new(volley, groups, &[])]).collect();
        let of_step = |step: &crate::odds::chain::Step| match &step.kind {
            Kind::Roll(roll) if roll.roll.backfire.is_some() && roll.backfire.harm.highest() > 0 => {
                Some(own.kernel(&AttackOutcome::Damage(roll.backfire.harm.distribution())))
            }
            _ => None,
        };
        let harm = volleys.iter().map(|volley| volley.steps.iter().map(of_step).collect()).collect();
        let of_gate = |gate: &crate::odds::chain::Gate| own.kernel(&AttackOutcome::Damage(gate.harm.distribution()));
        let of_gate = |volley: &Volley| volley.gate.as_ref().filter(|gate| gate.can_harm()).map(of_gate);
        let gate_harm = volleys.iter().map(of_gate).collect();
        let most = match &side.target {
            Target::Soldiers(soldiers) => soldiers.groups.iter().map(|group| group.health).max().unwrap_or(1),
            Target::Armoured(armoured) => armoured.structure,
        };
        let mends = side.repair.as_ref().map(|mend| mend.restored_by_missing(most)).unwrap_or_default();
        let attacks = side.attack.iter().map(|timed| attacks_on(timed, other.target.count())).collect();
        Self { side, spaces, graphs, own, harm, gate_harm, attacks, mends }
    }

    /// The volleys fired in a turn, ready to be applied.
    pub(super) fn runs(&'a self, turn: u32) -> Vec<(usize, Run<'a, N, EitherSpace<'a>>)> {
        let fired = |index: &usize| within(self.side.attack[*index].turns, turn);
        let indexes = (0..self.graphs.len()).filter(fired);
        indexes.map(|index| (index, Run::new(&self.graphs[index], &self.spaces[index]))).collect()
    }

    /// All attacks of a volley by so many that stand, on so many of the other side.
    pub(super) fn attacks(&self, volley: usize, standing: u32, on: u32) -> Attempts<N> {
        let all = &self.attacks[volley];
        let timed = &self.side.attack[volley];
        let each = all.get(on.saturating_sub(1) as usize).or(all.last());
        each.map_or_else(
            || Distribution::certain(0).into(),
            |each| Attempts::by(timed.volley.gate.as_ref(), timed.attackers(standing), each),
        )
    }

    /// Whether the number of attacks goes by how many of the other side stand.
    pub(super) fn bases_follow_survivors(&self) -> bool {
        self.side.attack.iter().any(|timed| timed.bases_follow_survivors)
    }

    /// Whether something may be rolled after its attack of a turn that ends the other side.
    pub(super) fn ends(&self, turn: u32) -> bool {
        self.side.aftermath.iter().any(|after| after.aftermath.ends && within(after.turns, turn))
    }

    /// The chances that what the other side lost in one attack makes it leave, and that it stays.
    pub(super) fn leaves(&self, turn: u32, models: i64, points: i64) -> (N, N) {
        let (mut leaves, mut stays) = (N::zero(), N::one());
        let rolled = self.side.aftermath.iter().filter(|after| after.aftermath.ends && within(after.turns, turn));
        for after in rolled.map(|after| &after.aftermath) {
            let count = match after.when {
                When::Models | When::Wrecked => models,
                When::HealthLost => points,
                When::Passed(_) => 0,
            };
            if count >= i64::from(after.at_least) {
                let (comes, fails) = pass_and_fail::<N>(&after.roll_for(count));
                leaves.add_product(&stays, &comes);
                stays = stays.times(&fails);
            }
        }
        (leaves, stays)
    }
}

/// The attacks of one attacker: one distribution, or one for each number of the other side that may stand.
fn attacks_on<N: Number>(timed: &TimedVolley, most: u32) -> Vec<Distribution<N>> {
    match &timed.volley.attacks {
        Attacks::Blast(blast) if timed.bases_follow_survivors => {
            (1..=most).map(|standing| Attacks::Blast(Box::new(blast.on_first(standing))).distribution()).collect()
        }
        attacks => vec![attacks.distribution()],
    }
}
