//! What one volley costs: its rolls, its attacks one after another, its counts.
use super::super::chain::{Attacks, Gain, Kind, Step, Target, Volley};
use super::{UNPAYABLE, amount, amount_bits, dice_bits, dice_sum, marks, roll_bits, score, states};

/// The sizes of a volley on a target.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Attack {
    /// The most attacks that there can be.
    most: u64,
    /// The most successes that one attack can come to.
    each: u64,
    /// Places that an attack can be in, bounded from above.
    nodes: u64,
    /// The work of one attack in the target's states.
    moves: u64,
    /// The same where each of its rolls is followed.
    walk: u64,
    once: u64,
    bits: u64,
    /// Whether the number of attacks is certain.
    certain: bool,
    grouped: bool,
}

impl Attack {
    pub(crate) fn of(volley: &Volley, target: &Target) -> Self {
        let attackers = u64::from(volley.attackers);
        let most = attackers.saturating_mul(volley.attacks.highest() as u64);
        let certain = volley.attacks.as_constant().is_some();
        let (mut nodes, mut paths, mut each, mut rolls, mut bits) = (1u64, 1u64, 1u64, 0u64, 0u64);
        for step in &volley.steps {
            let (ways, extra, cost, own) = step_sizes(step);
            let cost = cost.saturating_mul(paths.min(nodes));
            rolls = rolls.saturating_add(cost);
            // Each gain that changes something later doubles what may stand before the later steps.
            nodes = nodes.saturating_mul(ways);
            paths = paths.saturating_mul(ways + extra);
            each = each.saturating_mul(1 + extra);
            bits = bits.saturating_add(own);
        }
        let (variants, grouped, health) = match target {
            Target::Armoured(_) => (1, false, 0),
            Target::Soldiers(soldiers) => {
                let grouped = soldiers.groups.iter().any(|group| !group.then.is_empty());
                let most = soldiers.groups.iter().map(|group| group.health).max().unwrap_or(1);
                (if grouped { soldiers.groups.len() as u64 + 1 } else { 1 }, grouped, u64::from(most))
            }
        };
        let damage = (volley.damage.highest() as u64).saturating_add(
            volley
                .steps
                .iter()
                .map(|step| gains(step).map(|gain| gain.damage.highest() as u64).max().unwrap_or(0))
                .sum(),
        );
        let states = states(target);
        let (landing, law) = match target {
            Target::Soldiers(soldiers) => {
                let reach = if volley.spill.unwrap_or(soldiers.spill) { damage.min(states) } else { damage.min(health) };
                let ignore = soldiers.groups.iter().filter_map(|group| volley.ignore.as_ref().or(group.ignore.as_ref()));
                let thinning = ignore.map(|ignore| score(&ignore.roll) + damage * damage * damage).sum::<u64>();
                (
                    states.saturating_mul(reach + 1),
                    thinning + damage * soldiers.groups.len() as u64 + states * (reach + 1),
                )
            }
            Target::Armoured(armoured) => {
                let width =
                    (1u64 << marks(volley).min(40)).saturating_mul(if armoured.overflow_wasted { 2 } else { 1 });
                let effects: u64 = volley.steps.iter().map(effects).sum();
                let distinct = effects.min(u64::from(armoured.structure) * 4 + 4);
                (
                    states.saturating_mul(width).saturating_mul(distinct + 1),
                    states.saturating_mul(width).saturating_mul(effects + 1) * 2,
                )
            }
        };
        bits = bits.saturating_add(amount_bits(&volley.damage));
        let several = each > 1 || grouped;
        let walk =
            paths.saturating_mul(landing + states * (4 + 3 * volley.steps.len() as u64)).saturating_mul(variants);
        let moves = if several { walk } else { landing };
        let built = if certain { 0 } else { most.saturating_mul(most) / 2 };
        let damages = amount(&volley.damage).saturating_add(damage.saturating_mul(damage)).saturating_mul(nodes);
        let once = rolls
            .saturating_mul(variants)
            .saturating_add(attacks(&volley.attacks))
            .saturating_add(built)
            .saturating_add(damages)
            .saturating_add(law.saturating_mul(nodes));
        let attack_bits = if certain { 0 } else { attacks_bits(&volley.attacks).saturating_mul(attackers) };
        bits = bits.saturating_mul(most).saturating_add(attack_bits);
        let nodes = if nodes > 50_000 || paths > 50_000_000 { UNPAYABLE } else { nodes };
        Self { most, each, nodes, moves, walk, once, bits, certain, grouped }
    }

    pub(crate) fn most(&self) -> u64 {
        self.most
    }

    pub(crate) fn each(&self) -> u64 {
        self.each
    }

    pub(crate) fn is_grouped(&self) -> bool {
        self.grouped
    }

    /// The length of the denominators after all attacks.
    pub(crate) fn bits(&self) -> u64 {
        self.bits
    }

    /// What is worked out once, whatever the number of attacks.
    pub(crate) fn once(&self) -> u64 {
        self.once.max(if self.nodes == UNPAYABLE { UNPAYABLE } else { 0 })
    }

    /// The attacks on the target's states.
    pub(crate) fn strike(&self) -> u64 {
        self.moves.saturating_add(8).saturating_mul(self.most + 1)
    }

    /// The same where the own side is followed beside the target, of so many states, and each backfire may end there in
    /// so many ways.
    pub(crate) fn follow(&self, states: u64, ways: u64) -> u64 {
        self.walk.saturating_add(states.saturating_mul(2 + ways)).saturating_add(8).saturating_mul(self.most + 1)
    }

    /// The distribution of one count over all attacks.
    pub(crate) fn count(&self) -> u64 {
        let all = self.most.saturating_mul(self.each) + 1;
        if self.grouped {
            return self.strike().saturating_mul(all).saturating_mul(2);
        }
        let of_one = self.nodes.saturating_mul(self.each.saturating_mul(self.each) + 4);
        let sum = if self.certain {
            all.saturating_mul(all) / 2
        } else {
            all.saturating_mul(self.most).saturating_mul(self.each + 2)
        };
        of_one.saturating_add(sum)
    }
}

fn attacks(of: &Attacks) -> u64 {
    match of {
        Attacks::Amount(of) => amount(of),
        Attacks::Blast(blast) => super::blast(blast),
    }
}

fn attacks_bits(of: &Attacks) -> u64 {
    match of {
        Attacks::Amount(of) => amount_bits(of),
        Attacks::Blast(_) => 0,
    }
}

fn gains(step: &Step) -> impl Iterator<Item = &Gain> {
    let roll = match &step.kind {
        Kind::Roll(roll) => Some(roll),
        Kind::Penetrate(_) => None,
    };
    roll.into_iter().flat_map(|roll| std::iter::once(&roll.critical).chain(&roll.margins))
}

/// How many different successes a step may send on, how many extra ones, what its roll costs and how long its chances are.
pub(super) fn step_sizes(step: &Step) -> (u64, u64, u64, u64) {
    match &step.kind {
        Kind::Penetrate(penetrate) => {
            let bonus = penetrate.critical.as_ref().map_or(0, |(_, bonus)| bonus.highest() as u64 + amount(bonus));
            let total = u64::from(penetrate.dice.count() * penetrate.dice.sides()) + 1;
            let dice = dice_sum(&penetrate.dice).saturating_mul(4 * u64::from(penetrate.dice.sides()));
            let bits =
                penetrate.critical.as_ref().map_or(0, |(_, bonus)| amount_bits(bonus)) + dice_bits(&penetrate.dice);
            let chart = penetrate.chart.as_ref().map_or(0, |chart| dice_bits(&chart.dice));
            (2, 0, dice.saturating_add(total.saturating_mul(bonus + 2)), bits * 2 + chart)
        }
        Kind::Roll(roll) => {
            let changing =
                gains(step).filter(|gain| !gain.then.is_empty() || gain.damage.as_constant() != Some(0)).count();
            let most = |gains: &mut dyn Iterator<Item = &Gain>| {
                gains.map(|gain| gain.extra.highest() as u64).max().unwrap_or(0)
            };
            // A critical and a margin may come together.
            let extra = most(&mut std::iter::once(&roll.critical)).saturating_add(most(&mut roll.margins.iter()));
            let bits = gains(step).map(|gain| amount_bits(&gain.extra) + amount_bits(&gain.damage)).max().unwrap_or(0);
            let both = if changing > 1 { 2 * changing as u64 } else { changing as u64 };
            (1 + both, extra, score(&roll.roll).saturating_add(40), roll_bits(&roll.roll) + bits)
        }
    }
}

/// How many different things a hit may do.
fn effects(step: &Step) -> u64 {
    let Kind::Penetrate(penetrate) = &step.kind else { return 0 };
    let sizes = |amount: &super::super::dice::Amount| amount.highest() as u64 + 1;
    let rows = penetrate.chart.as_ref().map_or(1, |chart| {
        let row = |row: &super::super::chain::ChartRow| {
            sizes(&row.structure).saturating_mul(row.repeated.as_ref().map_or(1, |repeated| sizes(&repeated.structure)))
        };
        chart.rows.iter().map(row).fold(1, u64::saturating_add)
    });
    sizes(&penetrate.breach).saturating_mul(rows).saturating_add(sizes(&penetrate.graze))
}
