//! How much work a question is, before any of it is done: about how many multiplications of doubles.
//!
//! Prices are upper estimates from sizes alone. A law in the tests counts the operations really done and holds
//! them against the price, for random questions.
use super::blast::{AimAt, Blast};
use super::chain::{Aftermath, Chain, Kind, Step, Target, Volley, When};
use super::check::Check;
use super::dice::{Amount, Dice};
use super::duel::{Duel, First, Side};
use super::repair::{Mend, Repair, Rolls};
use super::roll::{Aim, Keep, Pool, Reroll, Roll};

mod attack;
mod others;
pub(crate) use attack::Attack;
pub use others::{bisect, climb, draw, reaches, tries};

/// What one question may cost unless a service is told otherwise: about a quarter of a second.
pub const BUDGET: u64 = 100_000_000;

/// A price that nobody pays.
pub const UNPAYABLE: u64 = u64::MAX / 1024;

/// What a chain costs.
pub fn chain(chain: &Chain, exact: bool, passed: bool) -> u64 {
    let attacks: Vec<Attack> = chain.volleys().iter().map(|volley| Attack::of(volley, chain.target())).collect();
    let mut sum = 200u64;
    let (mut bits, mut rows, mut shown) = (0u64, states(chain.target()), 0u64);
    for (volley, attack) in chain.volleys().iter().zip(&attacks) {
        let counts_steps = passed || chain.aftermath().iter().any(counts_passed);
        sum = sum.saturating_add(attack.once());
        shown = volley.steps.iter().map(step_fraction).fold(shown, u64::saturating_add);
        sum = sum.saturating_add(attack.strike().saturating_mul(1 + statuses(chain)));
        let counters = 2 + if counts_steps { volley.steps.len() as u64 } else { 0 };
        sum = sum.saturating_add(attack.count().saturating_mul(counters));
        bits = bits.saturating_add(attack.bits());
        rows = rows.saturating_add(attack.most().saturating_mul(counters));
    }
    let grouped = attacks.iter().any(Attack::is_grouped);
    if attacks.len() > 1 && grouped {
        let lanes =
            attacks.iter().fold(1u64, |sum, attack| sum.saturating_add(attack.most().saturating_mul(attack.each())));
        let strikes = attacks.iter().fold(0u64, |sum, attack| sum.saturating_add(attack.strike()));
        sum = sum.saturating_add(strikes.saturating_mul(lanes).saturating_mul(2 + chain.aftermath().len() as u64));
    } else if attacks.len() > 1 {
        let all =
            attacks.iter().fold(1u64, |sum, attack| sum.saturating_add(attack.most().saturating_mul(attack.each())));
        sum = sum.saturating_add(all.saturating_mul(all));
    }
    // A step that was passed is counted together with what is left.
    let joint = chain.aftermath().iter().filter(|after| counts_passed(after) && !after.even_destroyed).count() as u64;
    if joint > 0 {
        let lanes =
            attacks.iter().fold(1u64, |sum, attack| sum.saturating_add(attack.most().saturating_mul(attack.each())));
        let strikes = attacks.iter().fold(0u64, |sum, attack| sum.saturating_add(attack.strike()));
        sum = sum.saturating_add(strikes.saturating_mul(lanes).saturating_mul(joint));
    }
    for after in chain.aftermath() {
        let counted = rows.saturating_mul(score(&after.roll));
        sum = sum.saturating_add(counted);
    }
    with_fractions(sum, exact, bits, rows).saturating_add(shown)
}

/// The exact chance of a step, which is shown whatever else is.
fn step_fraction(step: &Step) -> u64 {
    match &step.kind {
        Kind::Roll(roll) => fraction(&roll.roll),
        Kind::Penetrate(_) => {
            let (_, _, cost, bits) = attack::step_sizes(step);
            with_fractions(cost, true, bits, 1)
        }
    }
}

fn counts_passed(after: &Aftermath) -> bool {
    matches!(after.when, When::Passed(_))
}

/// What a check costs.
pub fn check(check: &Check, exact: bool) -> u64 {
    let tries = u64::from(check.tries());
    let rolls = if check.needs().is_empty() { 1 } else { tries };
    let once = score(check.roll()).saturating_mul(rolls);
    // The fraction of one roll is worked out whatever is asked.
    let fraction = fraction(check.roll()).saturating_mul(rolls);
    let total = pool(&check.roll().pool, check.roll().reroll == Reroll::Worst);
    let passes = if check.budget() == 0 && check.needs().is_empty() {
        tries * tries / 2
    } else {
        (tries * tries).saturating_mul(u64::from(check.budget()) + 1)
    };
    let bits = roll_bits(check.roll()).saturating_mul(tries).saturating_mul(1 + u64::from(check.budget() > 0));
    let all = with_fractions(passes + tries * 8, exact, bits, tries + width(&check.roll().pool));
    let worked_out = once.saturating_add(total).saturating_mul(long_ways(&check.roll().pool));
    fraction.saturating_add(worked_out).saturating_add(all).saturating_add(200)
}

/// What a repair costs.
pub fn repair(repair: &Repair, exact: bool) -> u64 {
    let capacity = u64::from(repair.capacity) + 1;
    let turns = u64::from(repair.turns);
    let most = most_mended(&repair.mend, capacity);
    let incoming = (repair.incoming.highest() as u64).min(capacity) + 1;
    let lost = incoming.saturating_mul(turns).saturating_add(u64::from(repair.missing));
    let restored = most.saturating_mul(turns).min(lost) + most + 1;
    let turn = capacity.saturating_mul(restored).saturating_mul(incoming + most + 2);
    let bits = turns.saturating_mul(mend_bits(&repair.mend, capacity) + amount_bits(&repair.incoming));
    let rows = turns.saturating_mul(capacity + restored);
    let sum = mend(&repair.mend, capacity).saturating_add(turn.saturating_mul(turns)).saturating_add(rows * 4 + 200);
    with_fractions(sum.saturating_add(amount(&repair.incoming)), exact, bits, rows)
}

/// What a duel costs.
pub fn duel(duel: &Duel, exact: bool) -> u64 {
    let (a, b) = (duel.a(), duel.b());
    let (of_a, of_b) = (side_states(a, b), side_states(b, a));
    if duel.is_idle() {
        return 400 + u64::from(duel.turns());
    }
    let together = duel.first() == First::Together;
    let (mut sum, mut struck, mut bits) = (0u64, 0u64, 0u64);
    let mut pairs = of_a.saturating_mul(of_b);
    if together {
        // Each pair of states may become each other one, with a row of ends where a side may harm itself.
        pairs = pairs.saturating_mul(pairs) / 2;
    }
    for (side, other, own, theirs) in [(a, b, of_a, of_b), (b, a, of_b, of_a)] {
        let standing = u64::from(side.target.count()).max(1);
        let harms = side.can_harm_itself();
        if together && harms {
            pairs = pairs.saturating_mul(own);
        }
        let lanes = match (together, harms) {
            (true, true) => own.saturating_mul(own),
            (true, false) => 1,
            (false, true) => own,
            (false, false) => own / standing + 2,
        };
        for timed in &side.attack {
            let most = timed.served.iter().copied().max();
            let with = |attackers: u32| Attack::of(&Volley { attackers, ..timed.volley.clone() }, &other.target);
            let backfires = timed.volley.steps.len() as u64 * (1 + harm(&timed.volley, own));
            let strike = |attack: Attack| if harms { attack.follow(theirs, backfires) } else { attack.strike() };
            let attack = with(most.unwrap_or(timed.volley.attackers));
            // Each number that may stand strikes by itself, with all its attacks.
            let strikes = match timed.served.as_slice() {
                [] => strike(attack).saturating_mul(standing).saturating_mul(standing + 1) / 2,
                _ => {
                    let all: u64 = (1..=standing as u32).map(|k| u64::from(timed.attackers(k))).sum();
                    strike(with(1)).saturating_mul(all + standing)
                }
            };
            let laid = if timed.thinned { u64::from(other.target.count()) } else { 1 };
            let apart = together || side.aftermath.iter().any(|after| after.aftermath.ends) || timed.thinned;
            let starts = if apart { theirs } else { 1 };
            let strikes = strikes.saturating_mul(lanes).saturating_mul(starts);
            let (first, last) = timed.turns.unwrap_or((1, duel.turns()));
            let fired = u64::from((last.min(duel.turns()) + 1).saturating_sub(first));
            struck = struck.saturating_add(strikes.saturating_mul(fired));
            sum = sum.saturating_add(attack.once().saturating_mul(2 * laid));
            let spread = attack.most().saturating_mul(if most.is_some() { 1 } else { standing });
            if timed.volley.attacks.as_constant().is_none() {
                let drawn = if apart { standing.saturating_mul(theirs) } else { standing };
                sum = sum.saturating_add(spread.saturating_mul(spread).saturating_mul(drawn));
            }
            bits = bits.saturating_add(attack.bits().saturating_mul(standing));
        }
        if let Some(repair) = &side.repair {
            let most = of_unit(&side.target);
            sum =
                sum.saturating_add(mend(repair, most)).saturating_add(own.saturating_mul(theirs).saturating_mul(most));
            bits = bits.saturating_add(mend_bits(repair, most));
        }
    }
    let turns = u64::from(duel.turns());
    let orders = if duel.first() == First::Roll { 2 } else { 1 };
    let each = of_a.saturating_mul(of_b).saturating_mul(12).saturating_add(pairs);
    let each = sum.saturating_add(each).saturating_mul(turns);
    let all = each.saturating_add(struck).saturating_mul(orders);
    with_fractions(
        all.saturating_add(400),
        exact,
        bits.saturating_mul(turns),
        u64::from(a.target.count() + b.target.count()) + turns * 3,
    )
}

/// How many ends the worst backfire of a volley may have for its own side.
fn harm(volley: &Volley, own: u64) -> u64 {
    let of_step = |step: &Step| match &step.kind {
        Kind::Roll(roll) => roll.backfire.harm.highest() as u64,
        Kind::Penetrate(_) => 0,
    };
    volley.steps.iter().map(of_step).max().unwrap_or(0).min(own)
}

/// The states of a side of a duel, with the marks that the other side's charts may repeat.
fn side_states(side: &Side, enemy: &Side) -> u64 {
    let Target::Armoured(armoured) = &side.target else { return states(&side.target) };
    let mut names: Vec<_> = enemy.attack.iter().flat_map(|timed| repeated_marks(&timed.volley)).collect();
    names.sort_unstable();
    names.dedup();
    let wasted = u64::from(armoured.overflow_wasted && armoured.units > 1) + 1;
    states(&side.target).saturating_mul(wasted << names.len().min(40))
}

fn of_unit(target: &Target) -> u64 {
    match target {
        Target::Soldiers(soldiers) => soldiers.groups.iter().map(|group| u64::from(group.health)).max().unwrap_or(1),
        Target::Armoured(armoured) => u64::from(armoured.structure),
    }
}

/// What a blast costs.
pub fn blast(blast: &Blast) -> u64 {
    let drifts = blast.scatter.as_ref().map_or(1, |scatter| scatter.dice.highest() as u64 + 2);
    let bases = blast.most() as u64 + 1;
    let aims = if blast.aim == AimAt::Best { bases } else { 0 };
    let spread = blast.scatter.as_ref().map_or(0, |scatter| amount(&scatter.dice));
    let around = bases.saturating_mul(60 + 10 * u64::from(64 - bases.leading_zeros()));
    drifts
        .saturating_mul(around.saturating_add(aims.saturating_mul(bases).saturating_mul(40)))
        .saturating_add(spread + 200)
}

/// What the laws of one turn's mending cost.
pub(crate) fn mend(mend: &Mend, capacity: u64) -> u64 {
    let roll = score(&mend.roll);
    let laws = match mend.rolls {
        Rolls::EachMissing => capacity.saturating_pow(3) / 3,
        Rolls::Number(times) => {
            let most = (mend.restores.highest() as u64 + 1).saturating_mul(u64::from(times) + 1);
            most.saturating_mul(most).saturating_add(most.saturating_mul(capacity))
        }
    };
    roll.saturating_add(amount(&mend.restores)).saturating_add(laws)
}

/// The most that one turn mends.
pub(crate) fn most_mended(mend: &Mend, capacity: u64) -> u64 {
    match mend.rolls {
        Rolls::EachMissing => capacity,
        Rolls::Number(times) => (mend.restores.highest() as u64).saturating_mul(u64::from(times)).min(capacity),
    }
}

pub(crate) fn mend_bits(mend: &Mend, capacity: u64) -> u64 {
    let rolls = match mend.rolls {
        Rolls::EachMissing => capacity,
        Rolls::Number(times) => u64::from(times),
    };
    rolls.saturating_mul(roll_bits(&mend.roll) + amount_bits(&mend.restores))
}

/// Exact numbers: each operation costs by the length of its numbers, and each row is reduced once.
pub(crate) fn with_fractions(operations: u64, exact: bool, bits: u64, rows: u64) -> u64 {
    if !exact {
        return operations;
    }
    let limbs = bits / 64 + 1;
    let each = 80u64.saturating_add(limbs.saturating_mul(5));
    let reducing = rows.saturating_mul(300u64.saturating_add(limbs.saturating_mul(limbs).saturating_mul(9)));
    operations.saturating_mul(each).saturating_add(reducing)
}

/// The exact chance of one roll, which is shown whatever else is.
pub(crate) fn fraction(roll: &Roll) -> u64 {
    let counted = |pool: &Pool| match pool {
        // Ways are whole numbers: they are added up, not multiplied.
        Pool::Dice { dice, keep: Keep::All } if roll.reroll != Reroll::Worst => dice_sum(dice),
        _ => 0,
    };
    let theirs = match &roll.aim {
        Aim::Versus(versus) => counted(&versus.pool),
        Aim::Needs(_) => 0,
    };
    let ways = counted(&roll.pool).saturating_add(theirs);
    let limbs = roll_bits(roll) / 64 + 1;
    let rest = with_fractions(score(roll).saturating_sub(ways).max(1), true, roll_bits(roll), 1);
    ways.saturating_mul(18 + limbs).saturating_add(rest)
}

/// How much dearer the sum of a pool's dice is where the ways to its totals are longer than the machine's numbers.
fn long_ways(pool: &Pool) -> u64 {
    let bits = pool_bits(pool);
    if bits > 127 { 18 + bits / 64 } else { 1 }
}

/// What the outcomes of a roll cost.
pub(crate) fn score(roll: &Roll) -> u64 {
    if !roll.is_rolled() {
        return 4;
    }
    let faces = width(&roll.pool);
    let own = pool(&roll.pool, roll.reroll == Reroll::Worst).saturating_add(16);
    match &roll.aim {
        Aim::Needs(_) => own + faces * 4,
        Aim::Versus(versus) => {
            let theirs = width(&versus.pool);
            own.saturating_add(pool(&versus.pool, false)).saturating_add(faces.saturating_mul(theirs).saturating_mul(4))
        }
    }
}

fn pool(pool: &Pool, die_by_die: bool) -> u64 {
    match pool {
        Pool::Given(given) => given.chances().len() as u64 * 2,
        Pool::Dice { dice, keep } => {
            let (count, sides) = (u64::from(dice.count()), u64::from(dice.sides()));
            let total = count * sides + 1;
            match keep {
                Keep::All if die_by_die => total.saturating_mul(total),
                Keep::All => count * total,
                Keep::Highest(n) | Keep::Lowest(n) if u64::from(*n) < count => {
                    (sides * count * count).saturating_mul(u64::from(*n) * sides + 1)
                }
                _ => total.saturating_mul(total),
            }
        }
    }
}

/// How many natural totals a pool has.
fn width(pool: &Pool) -> u64 {
    let (low, high) = pool.ends();
    (high - low + 1).unsigned_abs()
}

/// What the distribution of an amount costs.
pub(crate) fn amount(amount: &Amount) -> u64 {
    match amount {
        Amount::Dice(dice) => dice_sum(dice),
        Amount::Given(given) => given.chances().len() as u64 * 4,
    }
}

fn dice_sum(dice: &Dice) -> u64 {
    u64::from(dice.count()) * (u64::from(dice.count() * dice.sides()) + 2) + 2
}

/// How long the denominators of an amount are.
pub(crate) fn amount_bits(amount: &Amount) -> u64 {
    match amount {
        Amount::Dice(dice) => dice_bits(dice),
        Amount::Given(given) => given.chances().iter().map(|chance| chance.bits() as u64).max().unwrap_or(0),
    }
}

fn dice_bits(dice: &Dice) -> u64 {
    u64::from(dice.count()) * u64::from(32 - dice.sides().leading_zeros())
}

fn pool_bits(pool: &Pool) -> u64 {
    match pool {
        Pool::Dice { dice, .. } => dice_bits(dice),
        Pool::Given(given) => amount_bits(&Amount::Given(given.clone())),
    }
}

/// How long the denominators of a roll's outcomes are.
pub(crate) fn roll_bits(roll: &Roll) -> u64 {
    let own = pool_bits(&roll.pool) * if roll.reroll == Reroll::None { 1 } else { 2 };
    match &roll.aim {
        Aim::Needs(_) => own,
        Aim::Versus(versus) => own + pool_bits(&versus.pool),
    }
}

/// How many states the target has.
pub(crate) fn states(target: &Target) -> u64 {
    match target {
        Target::Soldiers(soldiers) => {
            1 + soldiers.groups.iter().map(|group| u64::from(group.models) * u64::from(group.health)).sum::<u64>()
        }
        Target::Armoured(armoured) => 1 + u64::from(armoured.structure) * u64::from(armoured.units),
    }
}

fn statuses(chain: &Chain) -> u64 {
    match chain.target() {
        Target::Soldiers(_) => 0,
        Target::Armoured(armoured) => super::chain::statuses(chain.volleys(), armoured).len() as u64,
    }
}

/// The marks that charts may repeat: each doubles the states of the target.
pub(crate) fn marks(volley: &Volley) -> u32 {
    let mut names: Vec<_> = repeated_marks(volley).collect();
    names.sort_unstable();
    names.dedup();
    names.len() as u32
}

fn repeated_marks(volley: &Volley) -> impl Iterator<Item = &str> {
    let charts = volley.steps.iter().filter_map(|step| match &step.kind {
        Kind::Penetrate(penetrate) => penetrate.chart.as_ref(),
        Kind::Roll(_) => None,
    });
    let rows = charts.flat_map(|chart| &chart.rows).filter(|row| row.repeated.is_some());
    rows.map(|row| row.status.as_deref().unwrap_or_default())
}
