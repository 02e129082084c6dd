//! How much work a question is, before any of it is done: about how many multiplications of doubles.
//!
//! Prices are upper estimates from sizes alone. A law in the tests counts the operations really done and holds
//! them against the price, for random questions. All sizes and prices are [`Work`]: nothing in this room is counted in
//! plain numbers, which would wrap.
#![deny(clippy::arithmetic_side_effects, clippy::as_conversions)]
use super::blast::{AimAt, Blast};
use super::chain::{Aftermath, Chain, Ignore, Kind, Step, Target, Volley, When};
use super::check::Check;
use super::dice::{Amount, Dice};
use super::given::Given;
use super::repair::{Mend, Repair, Rolls};
use super::roll::{Aim, Keep, Pool, Reroll, Roll};

mod attack;
mod duel;
mod others;
mod sizes;
mod work;
pub(crate) use attack::Attack;
pub use duel::duel;
pub(crate) use others::log_bits;
pub use others::{bisect, climb, draw, fair, reaches, sum, tries};
pub(crate) use sizes::{
    chain_bits, check_bits, counts, draw_bits, duel_bits, mark_names, most_restored, repair_bits, step_bits, values,
};
pub use work::Work;

/// What one question may cost unless a service is told otherwise: about a quarter of a second.
pub const BUDGET: u64 = 100_000_000;

/// What a chain costs.
pub fn chain(chain: &Chain, exact: bool, passed: bool) -> Work {
    let reading = |volley| Attack::reading(volley, chain.target(), chain.volleys());
    let attacks: Vec<Attack> = chain.volleys().iter().map(reading).collect();
    let mut sum = Work::new(200);
    let (mut bits, mut rows, mut shown) = (Work::NONE, states(chain.target()), Work::NONE);
    for (volley, attack) in chain.volleys().iter().zip(&attacks) {
        let counts_steps = passed || chain.aftermath().iter().any(counts_passed);
        sum += attack.once();
        shown += volley.steps.iter().map(step_fraction).sum();
        shown += volley.gate.iter().map(|gate| fraction(&gate.roll)).sum();
        sum += attack.apply_attacks() * (statuses(chain) + 1);
        let counters = Work::from(if counts_steps { volley.steps.len() } else { 0 }) + 2;
        sum += attack.count() * counters;
        bits += attack.bits();
        rows += attack.most() * counters + attack.gates();
    }
    let grouped = attacks.iter().any(Attack::is_grouped);
    if attacks.len() > 1 {
        let all = attacks.iter().map(|attack| attack.most() * attack.each() + attack.gates()).sum::<Work>() + 1;
        if grouped {
            let applied = attacks.iter().map(Attack::apply_attacks).sum::<Work>();
            sum += applied * all * (Work::from(chain.aftermath().len()) + 2);
        } else {
            sum += all * all;
        }
    }
    // A step that was passed is counted together with what is left.
    let joint = chain.aftermath().iter().filter(|after| counts_passed(after) && !after.even_destroyed).count();
    if joint > 0 {
        let all = attacks.iter().map(|attack| attack.most() * attack.each()).sum::<Work>() + 1;
        sum += attacks.iter().map(Attack::beside).sum::<Work>() * all * Work::from(joint);
    }
    let mut after_it = Work::NONE;
    for after in chain.aftermath() {
        sum += rows * score(&after.roll);
        after_it += after.attack.as_ref().map_or(Work::NONE, |attack| self::chain(attack, exact, passed));
    }
    let (counted, counter_bits, values) = counted(chain);
    with_fractions(sum + counted, exact, bits.max(counter_bits), rows + values) + shown + after_it
}

/// What the values of the counters cost: all attacks once more for each set of counters that has to be followed together.
/// Beside that, how long the denominators get, and how many values there are.
fn counted(chain: &Chain) -> (Work, Work, Work) {
    let counters = chain.target().counters();
    let (mut sum, mut longest) = (Work::NONE, Work::NONE);
    for set in counters.followed(&counters.read_by(chain.volleys(), false)) {
        let mut bits = Work::NONE;
        for volley in chain.volleys() {
            let attack = Attack::counting(volley, chain.target(), &set);
            sum += attack.once() + attack.apply_attacks();
            bits += attack.bits();
        }
        let all = set.iter().filter_map(|at| counters.all.get(*at)).map(|counter| Work::from(counter.most) + 1);
        let values = all.fold(states(chain.target()), |product, most| product * most);
        sum += values * (Work::from(set.len()) + Work::from(counters.thresholds.len()) + 2);
        longest = longest.max(bits);
    }
    (sum, longest, counters.all.iter().map(|counter| Work::from(counter.most) + 1).sum())
}

/// The exact chance of a step, which is shown whatever else is.
fn step_fraction(step: &Step) -> Work {
    match &step.kind {
        Kind::Roll(roll) => fraction(&roll.roll),
        Kind::Penetrate(_) | Kind::Table(_) => {
            let sizes = attack::step_sizes(step);
            with_fractions(sizes.cost, true, sizes.bits, Work::ONE)
        }
    }
}

fn counts_passed(after: &Aftermath) -> bool {
    matches!(after.when, When::Passed(_))
}

/// What a check costs.
pub fn check(check: &Check, exact: bool) -> Work {
    let tries = Work::from(check.tries());
    let rolls = if check.needs().is_empty() { Work::ONE } else { tries };
    let once = score(check.roll()) * rolls;
    // The fraction of one roll is worked out whatever is asked.
    let fraction = fraction(check.roll()) * rolls;
    let total = pool(&check.roll().pool, check.roll().reroll == Reroll::Worst);
    let budget = Work::from(check.budget());
    let passes =
        if check.budget() == 0 && check.needs().is_empty() { tries * tries / 2 } else { tries * tries * (budget + 1) };
    let bits = roll_bits(check.roll()) * tries * if check.budget() > 0 { 2 } else { 1 };
    let all = with_fractions(passes + tries * 8, exact, bits, tries + width(&check.roll().pool));
    let worked_out = (once + total) * long_ways(&check.roll().pool);
    fraction + worked_out + all + 200
}

/// What a repair costs.
pub fn repair(repair: &Repair, exact: bool) -> Work {
    let capacity = Work::from(repair.capacity) + 1;
    let turns = Work::from(repair.turns);
    let most = most_mended(&repair.mend, capacity);
    let incoming = Work::of_value(repair.incoming.highest()).min(capacity) + 1;
    let restored = most_restored(repair, repair.turns) + most;
    let turn = capacity * restored * (incoming + most + 2);
    let bits = turns * repair_bits(repair);
    let rows = turns * (capacity + restored);
    let sum = mend(&repair.mend, capacity) + turn * turns + rows * 4 + 200;
    with_fractions(sum + amount(&repair.incoming), exact, bits, rows)
}

/// What a blast costs.
pub fn blast(blast: &Blast) -> Work {
    let drifts = blast.scatter.as_ref().map_or(Work::ONE, |scatter| Work::of_value(scatter.dice.highest()) + 2);
    let bases = Work::of_value(blast.most()) + 1;
    let aims = if blast.aim == AimAt::Best { bases } else { Work::NONE };
    let spread = blast.scatter.as_ref().map_or(Work::NONE, |scatter| amount(&scatter.dice));
    let bits = Work::bits_of(u32::try_from(bases.units()).unwrap_or(u32::MAX));
    let around = bases * (bits * 10 + 60);
    drifts * (around + aims * bases * 40) + spread + 200
}

/// What the exact damage costs that an ignore roll leaves of a packet.
pub(crate) fn ignored(ignore: &Ignore, damage: &Amount) -> Work {
    let most = Work::of_value(damage.highest()) + 1;
    let bits = roll_bits(&ignore.roll) * if ignore.per_packet { Work::ONE } else { most } + amount_bits(damage);
    let sums = if ignore.per_packet { most } else { most * most };
    with_fractions(sums + score(&ignore.roll) + amount(damage), true, bits, most)
}

/// What the distributions of one turn's mending cost.
pub(crate) fn mend(mend: &Mend, capacity: Work) -> Work {
    let restored = match mend.rolls {
        Rolls::EachMissing => capacity.power(3) / 3,
        Rolls::Number(times) => {
            let most = (Work::of_value(mend.restores.highest()) + 1) * (Work::from(times) + 1);
            most * most + most * capacity
        }
    };
    score(&mend.roll) + amount(&mend.restores) + restored
}

/// The most that one turn mends.
pub(crate) fn most_mended(mend: &Mend, capacity: Work) -> Work {
    match mend.rolls {
        Rolls::EachMissing => capacity,
        Rolls::Number(times) => (Work::of_value(mend.restores.highest()) * Work::from(times)).min(capacity),
    }
}

pub(crate) fn mend_bits(mend: &Mend, capacity: Work) -> Work {
    let rolls = match mend.rolls {
        Rolls::EachMissing => capacity,
        Rolls::Number(times) => Work::from(times),
    };
    rolls * (roll_bits(&mend.roll) + amount_bits(&mend.restores))
}

/// Exact numbers: each operation costs by the length of its numbers, and each row is reduced once.
pub(crate) fn with_fractions(operations: Work, exact: bool, bits: Work, rows: Work) -> Work {
    if !exact {
        return operations;
    }
    let limbs = bits / 64 + 1;
    let each = limbs * 5 + 80;
    let reducing = rows * (limbs * limbs * 9 + 300);
    operations * each + reducing
}

/// The exact chance of one roll, which is shown whatever else is.
pub(crate) fn fraction(roll: &Roll) -> Work {
    let counted = |pool: &Pool| match pool {
        // Ways are whole numbers: they are added up, not multiplied.
        Pool::Dice { dice, keep: Keep::All } if roll.reroll != Reroll::Worst => dice_sum(dice),
        _ => Work::NONE,
    };
    let theirs = match &roll.aim {
        Aim::Versus(versus) => counted(&versus.pool),
        Aim::Needs(_) => Work::NONE,
    };
    let ways = counted(&roll.pool) + theirs;
    let limbs = roll_bits(roll) / 64 + 1;
    let rest = with_fractions(score(roll).without(ways).max(Work::ONE), true, roll_bits(roll), Work::ONE);
    ways * (limbs + 18) + rest
}

/// How much dearer the sum of a pool's dice is where the ways to its totals are longer than the machine's numbers.
fn long_ways(pool: &Pool) -> Work {
    let bits = pool_bits(pool);
    if bits > Work::new(127) { bits / 64 + 18 } else { Work::ONE }
}

/// What the outcomes of a roll cost.
pub(crate) fn score(roll: &Roll) -> Work {
    if !roll.is_rolled() {
        return Work::new(4);
    }
    let faces = width(&roll.pool);
    let own = pool(&roll.pool, roll.reroll == Reroll::Worst) + 16;
    match &roll.aim {
        Aim::Needs(_) => own + faces * 4,
        Aim::Versus(versus) => own + pool(&versus.pool, false) + faces * width(&versus.pool) * 4,
    }
}

fn pool(pool: &Pool, die_by_die: bool) -> Work {
    match pool {
        Pool::Given(given) => given_width(given) * 2,
        Pool::Dice { dice, keep } => {
            let (count, sides) = (Work::from(dice.count()), Work::from(dice.sides()));
            let total = count * sides + 1;
            match keep {
                Keep::All if die_by_die => total * total,
                Keep::All => dice_sum(dice),
                Keep::Highest(n) | Keep::Lowest(n) if *n < dice.count() => {
                    sides * count * count * (Work::from(*n) * sides + 1)
                }
                _ => total * total,
            }
        }
    }
}

/// How many natural totals a pool has.
pub(crate) fn width(pool: &Pool) -> Work {
    let (low, high) = pool.ends();
    Work::of_value(high.saturating_sub(low)) + 1
}

/// What the distribution of an amount costs.
pub(crate) fn amount(amount: &Amount) -> Work {
    match amount {
        Amount::Dice(dice) => dice_sum(dice),
        Amount::Given(given) => given_width(given) * 4,
    }
}

fn dice_sum(dice: &Dice) -> Work {
    let (count, sides) = (Work::from(dice.count()), Work::from(dice.sides()));
    let sums = count * (count * sides + 2) + 2;
    // The ways to a total of many dice are numbers without a fixed length, each in a place of its own in memory.
    let bits = dice_bits(dice);
    if bits.is_within(128) { sums } else { sums * (bits / 128 + 2) }
}

/// How long the denominators of an amount are.
pub(crate) fn amount_bits(amount: &Amount) -> Work {
    match amount {
        Amount::Dice(dice) => dice_bits(dice),
        Amount::Given(given) => Work::from(given.bits()),
    }
}

/// The values from the lowest to the highest that was given.
fn given_width(given: &Given) -> Work {
    Work::of_value(given.highest().saturating_sub(given.lowest())) + 1
}

fn dice_bits(dice: &Dice) -> Work {
    Work::from(dice.count()) * Work::bits_of(dice.sides())
}

fn pool_bits(pool: &Pool) -> Work {
    match pool {
        Pool::Dice { dice, .. } => dice_bits(dice),
        Pool::Given(given) => Work::from(given.bits()),
    }
}

/// How long the denominators of a roll's outcomes are.
pub(crate) fn roll_bits(roll: &Roll) -> Work {
    let own = pool_bits(&roll.pool) * if roll.reroll == Reroll::None { 1 } else { 2 };
    match &roll.aim {
        Aim::Needs(_) => own,
        Aim::Versus(versus) => own + pool_bits(&versus.pool),
    }
}

/// How many states the target has.
pub(crate) fn states(target: &Target) -> Work {
    match target {
        Target::Soldiers(soldiers) => {
            let groups = soldiers.groups.iter();
            groups.map(|group| Work::from(group.models) * Work::from(group.health)).sum::<Work>() + 1
        }
        Target::Armoured(armoured) => Work::from(armoured.structure) * Work::from(armoured.units) + 1,
    }
}

fn statuses(chain: &Chain) -> Work {
    match chain.target() {
        Target::Soldiers(_) => Work::NONE,
        Target::Armoured(armoured) => Work::from(super::chain::statuses(chain.volleys(), armoured).len()),
    }
}

/// The marks that charts may repeat: each doubles the states of the target.
pub(crate) fn marks(volley: &Volley) -> usize {
    let mut names: Vec<_> = repeated_marks(volley).collect();
    names.sort_unstable();
    names.dedup();
    names.len()
}

fn repeated_marks(volley: &Volley) -> impl Iterator<Item = &str> {
    let charts = volley.steps.iter().filter_map(|step| match &step.kind {
        Kind::Penetrate(penetrate) => penetrate.chart.as_ref(),
        Kind::Roll(_) | Kind::Table(_) => None,
    });
    let rows = charts.flat_map(|chart| &chart.rows).filter(|row| row.repeated.is_some());
    rows.map(|row| row.status.as_deref().unwrap_or_default())
}
