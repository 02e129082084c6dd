//! What one volley costs: its rolls, its attacks one after another, its counts.
use super::super::chain::{Attacks, By, Chart, Gain, Gate, Kind, RollStep, Step, Target, Volley};
use super::super::dice::Amount;
use super::super::roll::{Aim, Keep, Needs, Pool};
use super::{Work, amount, amount_bits, dice_bits, dice_sum, marks, roll_bits, score, states};

/// More places than an attack may be in, and more ways through them.
const MOST_NODES: u64 = 50_000;
const MOST_PATHS: u64 = 50_000_000;

/// The sizes of a volley on a target.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Attack {
    /// The most attacks that there can be.
    most: Work,
    /// The most successes that one attack can come to.
    each: Work,
    /// Places that an attack can be in, bounded from above.
    nodes: Work,
    /// The work of one attack in the target's states.
    moves: Work,
    /// The same where each of its rolls is followed.
    walk: Work,
    /// The same with a count beside each state; who comes to one place in several ways is followed once.
    beside: Work,
    once: Work,
    /// What building the graph of one attack costs.
    graph: Work,
    /// What is worked out before it: the gate, and what a hit may do.
    before: Work,
    bits: Work,
    /// The rolls of a gate that may backfire.
    gates: Work,
    /// How many states the target has.
    states: Work,
    /// Whether the number of attacks is certain.
    certain: bool,
    grouped: bool,
}

impl Attack {
    pub(crate) fn of(volley: &Volley, target: &Target) -> Self {
        Self::counting(volley, target, &[])
    }

    /// With the counters of the target that its volleys read.
    pub(crate) fn reading(volley: &Volley, target: &Target, volleys: &[Volley]) -> Self {
        Self::counting(volley, target, &target.counters().read_by(volleys, false))
    }

    /// With these counters of the target followed: each value of them is a state of its own.
    pub(crate) fn counting(volley: &Volley, target: &Target, which: &[usize]) -> Self {
        let counters = Counting::of(volley, target, which);
        let attackers = Work::from(volley.attackers);
        let most = attackers * Work::of_value(volley.attacks.highest());
        let certain = volley.attacks.as_constant().is_some() && volley.gate.is_none();
        let (mut nodes, mut paths, mut each) = (Work::ONE, Work::ONE, Work::ONE);
        let (mut rolls, mut bits) = (Work::NONE, Work::NONE);
        let changed = volley.steps.iter().flat_map(gains).any(|gain| !gain.then.is_empty());
        for step in &volley.steps {
            let sizes = step_sizes(step);
            rolls += sizes.cost * paths.min(nodes);
            // Each gain that changes something later doubles what may stand before the later steps.
            nodes = nodes * sizes.ways;
            paths = paths * (sizes.ways * partings(step, changed) + sizes.extra);
            each = each * (sizes.extra + 1);
            bits += sizes.bits;
        }
        let (variants, grouped) = match target {
            Target::Armoured(_) => (Work::ONE, false),
            Target::Soldiers(soldiers) => {
                let grouped = soldiers.groups.iter().any(|group| !group.then.is_empty());
                (if grouped { Work::from(soldiers.groups.len()) + 1 } else { Work::ONE }, grouped)
            }
        };
        let of_step = |step: &Step| gains(step).map(|gain| Work::of_value(gain.damage.highest())).max();
        let damage = Work::of_value(volley.damage.highest()) + volley.steps.iter().filter_map(of_step).sum::<Work>();
        let states = states(target);
        let (applying, kernel) = applying(volley, target, damage);
        bits += amount_bits(&volley.damage) + counters.bits;
        let whole = states * mark_states(volley, target);
        let applying = applying + whole * counters.adds;
        let several = each > Work::ONE || grouped || counters.width > Work::ONE;
        let grouped = grouped || counters.readings > Work::ONE;
        let edges = volley.steps.iter().map(edges).sum::<Work>();
        let states = states * counters.width;
        let applying = applying * counters.width;
        let once_through = (applying + states * (edges + 4)) * variants * counters.readings;
        let walk = paths * once_through;
        let moves = if several { walk } else { applying };
        let beside = if several { walk } else { once_through };
        let built = if certain { Work::NONE } else { most * most / 2 };
        let damages = (amount(&volley.damage) + damage * damage) * nodes;
        let graph = (rolls * variants + damages) * counters.readings;
        let kernel = kernel * counters.readings;
        let (gate, gate_bits, backfires) = volley.gate.as_ref().map_or_else(Default::default, gate_sizes);
        let rolls = if volley.gate.as_ref().is_some_and(|gate| gate.per_volley) { Work::ONE } else { attackers };
        let gates = if backfires { rolls } else { Work::NONE };
        let once = graph + attacks(&volley.attacks) + gate + built + kernel * nodes;
        let attack_bits = if certain { Work::NONE } else { (attacks_bits(&volley.attacks) + gate_bits) * attackers };
        let bits = bits * most + attack_bits;
        let many = nodes > Work::new(MOST_NODES) || paths > Work::new(MOST_PATHS);
        let nodes = if many { Work::UNPAYABLE } else { nodes };
        let graph = if many { Work::UNPAYABLE } else { graph };
        let before = gate + kernel;
        Self { most, each, nodes, moves, walk, beside, once, graph, before, bits, gates, states, certain, grouped }
    }

    /// What building the graph of one attack costs, with all that is worked out for it.
    pub(crate) fn graph(&self) -> Work {
        self.graph + self.before
    }

    /// The most backfires of the gate itself.
    pub(crate) fn gates(&self) -> Work {
        self.gates
    }

    pub(crate) fn most(&self) -> Work {
        self.most
    }

    pub(crate) fn each(&self) -> Work {
        self.each
    }

    pub(crate) fn is_grouped(&self) -> bool {
        self.grouped
    }

    /// The length of the denominators after all attacks.
    pub(crate) fn bits(&self) -> Work {
        self.bits
    }

    /// What is worked out once, whatever the number of attacks.
    pub(crate) fn once(&self) -> Work {
        if self.nodes == Work::UNPAYABLE { Work::UNPAYABLE } else { self.once }
    }

    /// The attacks on the target's states.
    pub(crate) fn apply_attacks(&self) -> Work {
        (self.moves + 8) * (self.most + 1)
    }

    /// The same where a count stands beside the target.
    pub(crate) fn beside(&self) -> Work {
        (self.beside + 8) * (self.most + 1)
    }

    /// The same where the own side is followed beside the target, of so many states, and each backfire may end there in
    /// so many ways.
    pub(crate) fn apply_attacks_with_harm(&self, states: Work, ways: Work) -> Work {
        (self.walk + states * (ways + 2) + 8) * (self.most + 1)
    }

    /// The distribution of one count over all attacks.
    pub(crate) fn count(&self) -> Work {
        let all = self.most * self.each + 1;
        if self.grouped {
            let gated = self.gates * self.gates * self.states * 4;
            return (self.apply_attacks() + gated) * (all + self.gates) * 2;
        }
        let of_one = self.nodes * (self.each * self.each + 4);
        let sum = if self.certain { all * all / 2 } else { all * self.most * (self.each + 2) };
        of_one + sum + (all + self.gates) * self.gates * 2
    }
}

/// What following counters makes of a volley.
struct Counting {
    /// How many values they have together.
    width: Work,
    /// In how many ways the rows that read them may act.
    readings: Work,
    /// The additions of one attack to one state of them.
    adds: Work,
    /// How long the chances of these are.
    bits: Work,
}

impl Counting {
    fn of(volley: &Volley, target: &Target, which: &[usize]) -> Self {
        let counters = target.counters();
        let mut sizes = Self { width: Work::ONE, readings: Work::ONE, adds: Work::NONE, bits: Work::NONE };
        for counter in which.iter().filter_map(|at| counters.all.get(*at)) {
            let most = Work::from(counter.most);
            let rows = volley.by_counter.iter().filter(|row| !row.own && row.counter == counter.name).count();
            sizes.width = sizes.width * (most + 1);
            sizes.readings = sizes.readings * (Work::from(rows) + 1);
            for (_, amount) in volley.all_counts().flatten().filter(|(name, _)| *name == counter.name) {
                sizes.adds += Work::of_value(amount.highest()) + 3;
                sizes.bits += amount_bits(amount);
            }
        }
        sizes.readings = sizes.readings.min(sizes.width);
        sizes
    }
}

/// How many states share one loss of structure.
fn mark_states(volley: &Volley, target: &Target) -> Work {
    match target {
        Target::Soldiers(_) => Work::ONE,
        Target::Armoured(armoured) => Work::doubled(marks(volley)) * if armoured.overflow_wasted { 2 } else { 1 },
    }
}

/// What one success does to the target's states, and what working that out costs.
fn applying(volley: &Volley, target: &Target, damage: Work) -> (Work, Work) {
    let states = states(target);
    match target {
        Target::Soldiers(soldiers) => {
            let health = soldiers.groups.iter().map(|group| Work::from(group.health)).max().unwrap_or(Work::ONE);
            let reach = if volley.spill.unwrap_or(soldiers.spill) { damage.min(states) } else { damage.min(health) };
            let ignore = soldiers.groups.iter().filter_map(|group| volley.ignore.as_ref().or(group.ignore.as_ref()));
            let thinning = ignore.map(|ignore| score(&ignore.roll) + damage.power(3)).sum::<Work>();
            let moved = states * (reach + 1);
            (moved, thinning + damage * Work::from(soldiers.groups.len()) + moved)
        }
        Target::Armoured(armoured) => {
            let width = mark_states(volley, target);
            let effects = volley.steps.iter().map(effects).sum::<Work>();
            let distinct = effects.min(Work::from(armoured.structure) * 4 + 4);
            let amounts = volley.steps.iter().map(amounts).sum::<Work>();
            (states * width * (distinct + 1), states * width * (effects + 1) * 2 + amounts)
        }
    }
}

fn attacks(of: &Attacks) -> Work {
    match of {
        Attacks::Amount(of) => amount(of),
        Attacks::Blast(blast) => super::blast(blast),
    }
}

/// What the chances of a gate cost, how long they are, and whether it may backfire.
fn gate_sizes(gate: &Gate) -> (Work, Work, bool) {
    let backfires = gate.roll.backfire.is_some();
    let (saved, saved_bits) =
        if backfires { (score(&gate.saved), roll_bits(&gate.saved)) } else { (Work::NONE, Work::NONE) };
    (score(&gate.roll) + saved + 40, roll_bits(&gate.roll) + saved_bits, backfires)
}

fn attacks_bits(of: &Attacks) -> Work {
    match of {
        Attacks::Amount(of) => amount_bits(of),
        Attacks::Blast(_) => Work::NONE,
    }
}

/// In how many ways one roll of a step may lead on: each of its gains, and each once more where it may backfire.
fn edges(step: &Step) -> Work {
    let roll = match &step.kind {
        Kind::Roll(roll) => roll,
        Kind::Penetrate(_) => return Work::new(3),
        Kind::Table(table) => return Work::from(table.rows.len()) + 3,
    };
    let critical = if roll.roll.critical.is_some() { Work::ONE } else { Work::NONE };
    let ways = Work::from(roll.margins.len()) + critical + 3;
    if roll.roll.backfire.is_some() { ways * 2 } else { ways }
}

fn gains(step: &Step) -> impl Iterator<Item = &Gain> {
    let (roll, table) = match &step.kind {
        Kind::Roll(roll) => (Some(roll), None),
        Kind::Penetrate(_) => (None, None),
        Kind::Table(table) => (None, Some(table)),
    };
    let of_roll = roll.into_iter().flat_map(|roll| std::iter::once(&roll.critical).chain(&roll.margins));
    of_roll.chain(table.into_iter().flat_map(|table| &table.rows).map(|row| &row.gain))
}

/// How many ways an attack may go on past a step with each gain: where a success may come with a backfire, by itself, with
/// one that is saved, and with one that harms. `changed` says that other steps may change what this one needs.
fn partings(step: &Step, changed: bool) -> Work {
    let Kind::Roll(RollStep { roll, .. }) = &step.kind else { return Work::ONE };
    let Some(on) = roll.backfire else { return Work::ONE };
    let apart = match (&roll.aim, &roll.pool) {
        (Aim::Needs(Needs::AtLeast(needs)), Pool::Dice { dice, keep: Keep::All }) if dice.count() == 1 => {
            let best = i64::from(on).saturating_add(i64::from(dice.plus())).saturating_add(i64::from(roll.modifier));
            let natural = roll.high_succeeds && on >= dice.sides();
            let critical = roll.critical.is_some_and(|critical| critical.on <= on);
            best < i64::from(*needs).saturating_add(i64::from(roll.harder)) && !natural && !critical
        }
        _ => false,
    };
    Work::new(if apart && !changed && step.by == By::Attacker { 1 } else { 3 })
}

/// The sizes of one step.
pub(super) struct StepSizes {
    /// How many different successes it may send on.
    ways: Work,
    /// How many extra ones.
    extra: Work,
    /// What its roll costs.
    pub(super) cost: Work,
    /// How long its chances are.
    pub(super) bits: Work,
}

pub(super) fn step_sizes(step: &Step) -> StepSizes {
    match &step.kind {
        Kind::Penetrate(penetrate) => {
            let (bonus, bonus_bits) = match &penetrate.critical {
                Some((_, bonus)) => (Work::of_value(bonus.highest()) + amount(bonus), amount_bits(bonus)),
                None => (Work::NONE, Work::NONE),
            };
            let sides = Work::from(penetrate.dice.sides());
            let total = Work::from(penetrate.dice.count()) * sides + 1;
            let dice = dice_sum(&penetrate.dice) * sides * 4;
            let bits = bonus_bits + dice_bits(&penetrate.dice);
            let chart = penetrate.chart.as_ref().map_or(Work::NONE, |chart| dice_bits(&chart.dice));
            StepSizes {
                ways: Work::new(2),
                extra: Work::NONE,
                cost: dice + total * (bonus + 2),
                bits: bits * 2 + chart,
            }
        }
        Kind::Table(table) => {
            let gains = || table.rows.iter().map(|row| &row.gain);
            let bits = gains().map(|gain| amount_bits(&gain.extra) + amount_bits(&gain.damage)).max();
            StepSizes {
                ways: Work::from(table.rows.len()) + 1,
                extra: gains().map(|gain| Work::of_value(gain.extra.highest())).max().unwrap_or(Work::NONE),
                cost: score(&table.roll) + 40,
                bits: roll_bits(&table.roll) + bits.unwrap_or(Work::NONE),
            }
        }
        Kind::Roll(roll) => {
            let changing =
                gains(step).filter(|gain| !gain.then.is_empty() || gain.damage.as_constant() != Some(0)).count();
            let most = |gains: &mut dyn Iterator<Item = &Gain>| {
                gains.map(|gain| Work::of_value(gain.extra.highest())).max().unwrap_or(Work::NONE)
            };
            // A critical and a margin may come together.
            let extra = most(&mut std::iter::once(&roll.critical)) + most(&mut roll.margins.iter());
            let bits = gains(step).map(|gain| amount_bits(&gain.extra) + amount_bits(&gain.damage)).max();
            let both = Work::from(changing) * if changing > 1 { 2 } else { 1 };
            StepSizes {
                ways: both + 1,
                extra,
                cost: score(&roll.roll) + 40,
                bits: roll_bits(&roll.roll) + bits.unwrap_or(Work::NONE),
            }
        }
    }
}

/// What the distributions of all that a hit may take cost.
fn amounts(step: &Step) -> Work {
    let Kind::Penetrate(penetrate) = &step.kind else { return Work::NONE };
    let of_row = |row: &super::super::chain::ChartRow| {
        amount(&row.structure) + row.repeated.as_ref().map_or(Work::NONE, |repeated| amount(&repeated.structure))
    };
    let rows = penetrate.chart.iter().flat_map(|chart| &chart.rows).map(of_row).sum::<Work>();
    let rolled = penetrate.chart.as_ref().map_or(Work::NONE, |chart| {
        dice_sum(&chart.dice) + Work::from(chart.dice.count()) * Work::from(chart.dice.sides()) * 4
    });
    let sizes = Work::of_value(penetrate.breach.highest()) + 1;
    amount(&penetrate.breach) + amount(&penetrate.graze) + rolled + rows * sizes
}

/// How many different things a hit may do.
fn effects(step: &Step) -> Work {
    let Kind::Penetrate(penetrate) = &step.kind else { return Work::NONE };
    let sizes = |amount: &Amount| Work::of_value(amount.highest()) + 1;
    let rows = |chart: &Chart| {
        let repeated = |row: &super::super::chain::ChartRow| {
            row.repeated.as_ref().map_or(Work::ONE, |repeated| sizes(&repeated.structure))
        };
        chart.rows.iter().map(|row| sizes(&row.structure) * repeated(row)).sum::<Work>() + 1
    };
    let rows = penetrate.chart.as_ref().map_or(Work::ONE, rows);
    sizes(&penetrate.breach) * rows + sizes(&penetrate.graze)
}
