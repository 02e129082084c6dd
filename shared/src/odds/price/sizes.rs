//! How many rows an answer has and how long their fractions are, from the sizes of its question.
use super::super::chain::{Chain, Kind, Step, Target};
use super::super::check::Check;
use super::super::draw::Draw;
use super::super::duel::Duel;
use super::super::repair::Repair;
use super::{Attack, Work, amount_bits, attack, mend_bits, most_mended, roll_bits};

/// What a chain counts.
pub(crate) struct Counts {
    /// The most attacks of all volleys, and one.
    pub(crate) attacks: Work,
    /// For each volley, the most successes.
    pub(crate) through: Vec<Work>,
    /// The most backfires of gates.
    pub(crate) gates: Work,
    /// How long the denominators are.
    pub(crate) bits: Work,
}

pub(crate) fn counts(chain: &Chain) -> Counts {
    // All counters, so that the fractions of each have room.
    let all: Vec<usize> = (0..chain.target().counters().all.len()).collect();
    let of = |volley| Attack::counting(volley, chain.target(), &all);
    let attacks: Vec<Attack> = chain.volleys().iter().map(of).collect();
    Counts {
        attacks: attacks.iter().map(Attack::most).sum::<Work>() + 1,
        through: attacks.iter().map(|attack| attack.most() * attack.each()).collect(),
        gates: attacks.iter().map(Attack::gates).sum(),
        bits: attacks.iter().map(Attack::bits).sum(),
    }
}

/// How long the chances of one step are.
pub(crate) fn step_bits(step: &Step) -> Work {
    match &step.kind {
        Kind::Roll(roll) => roll_bits(&roll.roll),
        Kind::Table(table) => roll_bits(&table.roll),
        Kind::Penetrate(_) => attack::step_sizes(step).bits,
    }
}

/// How many names of marks an answer tells the chances of.
pub(crate) fn mark_names(chain: &Chain) -> usize {
    match chain.target() {
        Target::Soldiers(_) => 0,
        Target::Armoured(armoured) => super::super::chain::statuses(chain.volleys(), armoured).len(),
    }
}

/// How long the denominators of a repair grow in each turn.
pub(crate) fn repair_bits(repair: &Repair) -> Work {
    mend_bits(&repair.mend, Work::from(repair.capacity) + 1) + amount_bits(&repair.incoming)
}

/// One more than the points that a repair may have restored after so many turns.
pub(crate) fn most_restored(repair: &Repair, turns: u32) -> Work {
    let capacity = Work::from(repair.capacity) + 1;
    let turns = Work::from(turns);
    let incoming = Work::of_value(repair.incoming.highest()).min(capacity);
    let lost = incoming * turns + Work::from(repair.missing);
    (most_mended(&repair.mend, capacity) * turns).min(lost) + 1
}

/// How long the denominators of a duel are in the end.
pub(crate) fn duel_bits(duel: &Duel) -> Work {
    super::duel::bits(duel)
}

/// How long the denominators of a drawing are.
pub(crate) fn draw_bits(draw: &Draw) -> Work {
    (Work::from(draw.draws()) + 1) * Work::bits_of(draw.total()) * 2
}

/// How long the denominators of a check's passes are.
pub(crate) fn check_bits(check: &Check) -> Work {
    roll_bits(check.roll()) * Work::from(check.tries()) * if check.budget() > 0 { 2 } else { 1 }
}

/// How long the denominators of a chain's counts are.
pub(crate) fn chain_bits(chain: &Chain) -> Work {
    counts(chain).bits
}

/// The most values that a count of a chain takes; backfires come at every step that is rolled.
pub(crate) fn values(chain: &Chain, backfires: bool) -> Work {
    let sizes = counts(chain);
    let rolls = sizes.attacks + sizes.through.iter().copied().sum::<Work>() + 1;
    if backfires {
        return rolls * chain.volleys().iter().map(|volley| Work::from(volley.steps.len()) + 1).sum::<Work>();
    }
    rolls + super::states(chain.target()) + Work::from(chain.target().count())
}
