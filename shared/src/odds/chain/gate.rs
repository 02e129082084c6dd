//! A gate: the roll that attacks wait for, made by each attacker or once for all of them.
use super::super::dice::Amount;
use super::super::distribution::Distribution;
use super::super::number::Number;
use super::super::roll::{Aim, Roll};
use super::{GateChange, Volley};

/// A roll before the attacks: who fails it makes none.
#[derive(Clone, Debug, PartialEq)]
pub struct Gate {
    /// The roll, with the face of its backfire filled in.
    pub roll: Roll,
    /// What saves from its backfire: the same dice without the modifier.
    pub saved: Roll,
    /// Damage of a backfire to the attacker's own side.
    pub harm: Amount,
    /// One roll for all attackers instead of one for each.
    pub per_volley: bool,
}

/// The chances of one roll of a gate: failed or passed, and within, whether it backfired and was not saved.
#[derive(Clone, Debug)]
pub(crate) struct Passing<N>(pub(crate) [[N; 2]; 2]);

impl Gate {
    /// The chance that one roll passes.
    pub fn chance<N: Number>(&self) -> N {
        let mut sum = N::zero();
        self.passing::<N>().0[1].iter().for_each(|part| sum.add(part));
        sum
    }

    /// The same with changed numbers, one after another: what is put in place wins, what is added adds up.
    #[must_use]
    pub fn changed<'c>(&self, changes: impl IntoIterator<Item = &'c GateChange>) -> Self {
        let mut gate = self.clone();
        let (mut needed, mut more) = (0, 0);
        for change in changes {
            if let Some(needs) = change.needs {
                let worst = gate.roll.default_backfire();
                let by_default = gate.roll.backfire == Some(worst);
                gate.roll.aim = Aim::Needs(needs);
                if by_default {
                    gate.roll.backfire = Some(gate.roll.default_backfire());
                }
                if !gate.roll.is_rolled() {
                    gate.roll.backfire = None;
                }
            }
            gate.roll.modifier = change.modifier.unwrap_or(gate.roll.modifier);
            needed += change.plus_needs;
            more += change.plus_modifier;
        }
        gate.roll.harder = gate.roll.harder.saturating_add(needed);
        gate.roll.modifier = gate.roll.modifier.saturating_add(more);
        gate
    }

    /// Whether a backfire of it hurts its own side.
    pub fn can_harm(&self) -> bool {
        self.roll.backfire.is_some() && self.harm.highest() > 0
    }

    /// How often it is rolled for so many attackers.
    fn rolls(&self, attackers: u32) -> u32 {
        if self.per_volley { attackers.min(1) } else { attackers }
    }

    pub(crate) fn passing<N: Number>(&self) -> Passing<N> {
        let mut ends = [[N::zero(), N::zero()], [N::zero(), N::zero()]];
        let mut saving = (N::zero(), N::zero());
        if self.roll.backfire.is_some() {
            saving = super::super::check::pass_and_fail(&self.saved);
        }
        for (outcome, chance) in self.roll.score::<N>().outcomes {
            let end = &mut ends[usize::from(outcome.success)];
            if outcome.backfire {
                end[0].add_product(&saving.0, &chance);
                end[1].add_product(&saving.1, &chance);
            } else {
                end[0].add(&chance);
            }
        }
        Passing(ends)
    }
}

/// The attacks of a volley: how many there are in all, and how they come about where that has to be known.
#[derive(Clone, Debug)]
pub(crate) struct Attempts<N> {
    /// Attacks that are made.
    pub(crate) all: Distribution<N>,
    /// Where a gate may backfire: its rolls.
    pub(crate) gated: Option<Gated<N>>,
}

/// Rolls of a gate that may backfire.
#[derive(Clone, Debug)]
pub(crate) struct Gated<N> {
    pub(crate) passing: Passing<N>,
    pub(crate) rolls: u32,
    /// The attacks behind each roll that passes.
    pub(crate) each: Distribution<N>,
}

impl<N: Number> From<Distribution<N>> for Attempts<N> {
    fn from(all: Distribution<N>) -> Self {
        Self { all, gated: None }
    }
}

impl<N: Number> Attempts<N> {
    /// Those of a volley.
    pub(crate) fn of(volley: &Volley) -> Self {
        Self::by(volley.gate.as_ref(), volley.attackers, &volley.attacks.distribution())
    }

    /// Those of so many attackers with so many attacks each.
    pub(crate) fn by(gate: Option<&Gate>, attackers: u32, each: &Distribution<N>) -> Self {
        let Some(gate) = gate else { return each.repeated(attackers).into() };
        let rolls = gate.rolls(attackers);
        let each = if gate.per_volley { each.repeated(attackers) } else { each.clone() };
        let passing = gate.passing::<N>();
        let none = Distribution::certain(0);
        let [fails, passes] = &passing.0;
        let parts = [(&fails[0], &none), (&fails[1], &none), (&passes[0], &each), (&passes[1], &each)];
        let one = Distribution::mix(parts.map(|(chance, attacks)| (chance.clone(), attacks))).unwrap_or(none);
        let all = one.repeated(rolls);
        let backfires = !fails[1].is_zero() || !passes[1].is_zero();
        Self { all, gated: (backfires && rolls > 0).then_some(Gated { passing, rolls, each }) }
    }

    /// How many backfires there are, those of the gate and those of the attacks, each attack with so many.
    pub(crate) fn backfires(&self, of_attack: &Distribution<N>) -> Distribution<N> {
        let Some(Gated { passing, rolls, each }) = &self.gated else { return self.all.compound(of_attack) };
        let behind = each.compound(of_attack);
        let [fails, passes] = &passing.0;
        let (none, one, more) = (Distribution::certain(0), Distribution::certain(1), behind.clone().shifted(1));
        let parts = [(&fails[0], &none), (&fails[1], &one), (&passes[0], &behind), (&passes[1], &more)];
        let parts = parts.map(|(chance, count)| (chance.clone(), count));
        Distribution::mix(parts).unwrap_or(none).repeated(*rolls)
    }

    /// The most backfires of the gate itself.
    pub(crate) fn most_of_gate(&self) -> usize {
        self.gated.as_ref().map_or(0, |gated| gated.rolls as usize)
    }
}
