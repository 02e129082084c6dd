//! A prepared side: its attack on the other side's states, its own repair and what backfires on it.
use super::shed::PreparedShed;
use super::{Side, TimedVolley, within};
use crate::odds::chain::counted::{CountedKernel, CountedSpace};
use crate::odds::chain::either::EitherSpace;
use crate::odds::chain::gate::Attempts;
use crate::odds::chain::graph::{AttackOutcome, Graph};
use crate::odds::chain::lattice::Readings;
use crate::odds::chain::prepared::graphs;
use crate::odds::chain::run::Run;
use crate::odds::chain::state_space::StateSpace;
use crate::odds::chain::{Attacks, Gate, GateChange, Kind, Target, Volley, When};
use crate::odds::check::pass_and_fail;
use crate::odds::distribution::Distribution;
use crate::odds::number::Number;

/// What one side needs to act.
pub(super) struct PreparedSide<'a, N: Number> {
    pub(super) side: &'a Side,
    /// The states of the other side under each of this side's volleys; the first stands for all where counts are read.
    pub(super) spaces: Vec<CountedSpace<'a, N>>,
    /// For each volley and each reading of the own counters, the graph of one attack for each reading of the other side's.
    graphs: Vec<Vec<Vec<Graph<N>>>>,
    /// For each volley, how its rows read the own counters.
    readings: Vec<Readings>,
    /// For each volley and each reading of the own counters, its gate.
    gates: Vec<Vec<Option<Gate>>>,
    /// The states of this side itself.
    pub(super) own: CountedSpace<'a, N>,
    /// For each volley and step, what a backfire does to this side.
    pub(super) harm: Vec<Vec<Option<CountedKernel<N>>>>,
    /// For each volley, what a backfire of its gate does to this side.
    pub(super) gate_harm: Vec<Option<CountedKernel<N>>>,
    /// The attacks of one attacker of each volley; of one that is laid on what stands, for each number that may stand.
    attacks: Vec<Vec<Distribution<N>>>,
    /// For each number of points that the hurt one misses, how many come back.
    pub(super) mends: Vec<Distribution<N>>,
    /// What it takes off its counters.
    pub(super) sheds: Vec<PreparedShed<N>>,
}

/// How a volley is made in one class of states of its side.
pub(super) struct Fired<'a, N: Number> {
    /// Which volley.
    pub(super) index: usize,
    /// For each reading of the own counters, the volley ready to be applied.
    pub(super) runs: Vec<Run<'a, N, CountedSpace<'a, N>>>,
}

impl<'a, N: Number> PreparedSide<'a, N> {
    /// `which` are the counters that are followed of this side and of the other.
    pub(super) fn new(
        (side, volleys): (&'a Side, &'a [Volley]),
        (other, others): (&'a Side, &'a [Volley]),
        which: (&[usize], &[usize]),
    ) -> Self {
        // The marks that the other side's attack may repeat belong to the states of this side; what backfires on it meets
        // none of the numbers that a volley puts in place of its own.
        let own = CountedSpace::new(&side.target, None, EitherSpace::new(&side.target, None, others), which.0);
        let space = |volley| {
            let inner = EitherSpace::new(&other.target, Some(volley), volleys);
            CountedSpace::new(&other.target, Some(volley), inner, which.1)
        };
        let spaces: Vec<CountedSpace<'a, N>> = volleys.iter().map(space).collect();
        let own_counters = side.target.counters();
        let reading = |volley: &Volley| own.own_readings(own_counters, &volley.by_counter);
        let readings: Vec<Readings> = volleys.iter().map(reading).collect();
        let of_volley = |((volley, space), readings): ((&Volley, &CountedSpace<'a, N>), &Readings)| {
            let each = readings.rows.iter();
            each.map(|rows| graphs(volley, &other.target, space.readings(), rows)).collect::<Vec<_>>()
        };
        let graphs = volleys.iter().zip(&spaces).zip(&readings).map(of_volley).collect();
        let gates = volleys.iter().zip(&readings).map(|(volley, readings)| gates(volley, readings)).collect();
        let shed = |shed: &super::Shed| {
            let index = own_counters.position(&shed.counter)?;
            Some(PreparedShed::new(shed, index, own_counters.all.get(index)?))
        };
        let sheds = side.sheds.iter().filter_map(shed).collect();
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
        Self { side, spaces, graphs, readings, gates, own, harm, gate_harm, attacks, mends, sheds }
    }

    /// The volleys fired in a turn, of one order or all of them, ready to be applied.
    pub(super) fn fired(&'a self, turn: u32, order: Option<i32>) -> Vec<Fired<'a, N>> {
        let made = |index: &usize| {
            let timed = &self.side.attack[*index];
            within(timed.turns, turn) && order.is_none_or(|order| order == timed.order)
        };
        let fired = |index: usize| {
            let runs = self.graphs[index].iter().map(|graphs| Run::new(graphs, &self.spaces[index])).collect();
            Fired { index, runs }
        };
        (0..self.graphs.len()).filter(made).map(fired).collect()
    }

    /// The orders of the volleys fired in a turn.
    pub(super) fn orders(&self, turn: u32) -> impl Iterator<Item = i32> {
        self.side.attack.iter().filter(move |timed| within(timed.turns, turn)).map(|timed| timed.order)
    }

    /// Which reading of the own counters each volley has in a state of this side.
    pub(super) fn own_readings(&self, state: usize) -> Vec<usize> {
        self.readings.iter().map(|readings| self.own.own_reading(readings, state)).collect()
    }

    /// All attacks of a volley with a reading of the own counters, by so many that stand, on so many of the other side.
    pub(super) fn attacks(&self, volley: usize, reading: usize, standing: u32, on: u32) -> Attempts<N> {
        let all = &self.attacks[volley];
        let timed = &self.side.attack[volley];
        let each = all.get(on.saturating_sub(1) as usize).or(all.last());
        each.map_or_else(
            || Distribution::certain(0).into(),
            |each| Attempts::by(self.gates[volley][reading].as_ref(), timed.attackers(standing), each),
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

/// The gate of a volley for each reading of the own counters.
fn gates(volley: &Volley, readings: &Readings) -> Vec<Option<Gate>> {
    let changed = |rows: &Vec<usize>| {
        let changes: Vec<&GateChange> = rows.iter().filter_map(|row| volley.by_counter[*row].gate.as_ref()).collect();
        volley.gate.as_ref().map(|gate| gate.changed(changes))
    };
    readings.rows.iter().map(changed).collect()
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
