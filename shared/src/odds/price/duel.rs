//! What a duel costs: both sides' states side by side, turn after turn.
use super::super::chain::{Group, Kind, Step, Target, Volley};
use super::super::dice::Amount;
use super::super::duel::{Duel, First, Side, TimedVolley, read, unread};
use super::{
    Attack, Work, amount, amount_bits, mend, mend_bits, repeated_marks, roll_bits, score, states, with_fractions,
};

/// Graphs that are built in no time.
const GRAPHS: u64 = 200_000;

/// What the graphs of all attacks cost.
fn graphs(a: &Side, b: &Side) -> Work {
    let of = |side: &Side, other: &Side| {
        side.attack.iter().map(|timed| Attack::of(&timed.volley, &other.target).graph()).sum::<Work>()
    };
    of(a, b) + of(b, a)
}

/// What a duel costs.
pub fn duel(duel: &Duel, exact: bool) -> Work {
    let (a, b) = (duel.a(), duel.b());
    let turns = Work::from(duel.turns());
    // Whether nobody can lose anything is seen from the attacks' graphs: where these are soon built, that is looked at first.
    if graphs(a, b).is_within(GRAPHS) && duel.is_idle() {
        return turns + 400;
    }
    let (of_a, of_b) = (read(a, b), read(b, a));
    let followed = |read: &[usize], more: usize| read.iter().copied().chain([more]).collect::<Vec<_>>();
    let mut all = following(duel, (&of_a, &of_b));
    // A counter that nothing reads is followed by itself.
    for more in unread(a, &of_a) {
        all += following(duel, (&followed(&of_a, more), &of_b));
    }
    for more in unread(b, &of_b) {
        all += following(duel, (&of_a, &followed(&of_b, more)));
    }
    let counters = a.target.counters().all.iter().chain(&b.target.counters().all);
    let values = counters.map(|counter| Work::from(counter.most) + 1).sum::<Work>();
    let rows = Work::from(a.target.count()) + Work::from(b.target.count()) + turns * 3 + values;
    with_fractions(all + 400, exact, bits(duel), rows)
}

/// What a duel costs with these counters of both sides followed.
fn following(duel: &Duel, (read_a, read_b): (&[usize], &[usize])) -> Work {
    let (a, b) = (duel.a(), duel.b());
    let (of_a, of_b) = (side_states(a, b) * lattice(a, read_a), side_states(b, a) * lattice(b, read_b));
    let turns = Work::from(duel.turns());
    let ordered = duel.first() == First::Order;
    let together = matches!(duel.first(), First::Together | First::Order);
    let (mut sum, mut struck, mut kernels) = (Work::NONE, Work::NONE, Work::NONE);
    let mut pairs = of_a * of_b;
    if together {
        // Each pair of states may become each other one, with a row of ends where a side may harm itself.
        pairs = pairs * pairs / 2;
    }
    if ordered {
        // Volleys of each order meet by themselves.
        pairs = pairs * (Work::from(a.attack.len()) + Work::from(b.attack.len()));
    }
    for (side, other, own, theirs, read) in [(a, b, of_a, of_b, (read_a, read_b)), (b, a, of_b, of_a, (read_b, read_a))]
    {
        if together && side.can_harm_itself() {
            pairs = pairs * own;
        }
        for timed in &side.attack {
            kernels += harm_kernels(&side.target, &timed.volley, own);
            let cost = volley(duel, (side, read.0), (other, read.1), timed, (own, theirs));
            struck += cost.struck;
            sum += cost.once;
        }
        if let Some(repair) = &side.repair {
            let most = of_unit(&side.target);
            sum += mend(repair, most) + own * theirs * most;
        }
        let values = side.target.counters().all.iter().map(|counter| Work::from(counter.most) + 1).max();
        let values = values.unwrap_or(Work::NONE);
        sum += Work::from(side.sheds.len()) * (own * theirs + values) * values;
    }
    let orders = if duel.first() == First::Roll { 2 } else { 1 };
    let ends = |side: &Side| side.aftermath.iter().any(|after| after.aftermath.ends);
    // What may end a side is seen from each pair of states that a turn begins in.
    let starts = if ordered && (ends(a) || ends(b)) { of_a * of_b } else { Work::ONE };
    let each = (sum + of_a * of_b * 12 + pairs) * turns;
    // Worked out once to play, and once to see whether anybody can lose anything.
    (each + struck) * starts * orders + kernels * 2
}

/// How many values counters of a side have together.
fn lattice(side: &Side, which: &[usize]) -> Work {
    let counters = side.target.counters();
    which.iter().filter_map(|at| counters.all.get(*at)).fold(Work::ONE, |all, one| all * (Work::from(one.most) + 1))
}

/// In how many ways the rows of a side's volleys may read its own counters.
fn own_ways(side: &Side, which: &[usize]) -> Work {
    let rows = || side.attack.iter().flat_map(|timed| &timed.volley.by_counter).filter(|row| row.own);
    let counters = side.target.counters();
    let of = |counter: &usize| {
        let name = counters.all.get(*counter).map(|counter| &counter.name);
        Work::from(rows().filter(|row| Some(&row.counter) == name).count()) + 1
    };
    which.iter().map(of).fold(Work::ONE, |all, one| all * one).min(lattice(side, which))
}

/// How long the denominators are in the end.
pub(super) fn bits(duel: &Duel) -> Work {
    let (a, b) = (duel.a(), duel.b());
    let of = |side: &Side, other: &Side| {
        let most =
            |timed: &TimedVolley| timed.attackers_by_survivors.iter().copied().max().unwrap_or(timed.volley.attackers);
        let volley = |timed: &TimedVolley| {
            let all: Vec<usize> = (0..other.target.counters().all.len()).collect();
            let volley = Volley { attackers: most(timed), ..timed.volley.clone() };
            Attack::counting(&volley, &other.target, &all).bits()
        };
        let attacks = side.attack.iter().map(volley).sum::<Work>() * Work::from(side.target.count().max(1));
        let mends = side.repair.as_ref().map_or(Work::NONE, |repair| mend_bits(repair, of_unit(&side.target)));
        let sheds =
            side.sheds.iter().map(|shed| roll_bits(&shed.roll) + shed.amount.as_ref().map_or(Work::NONE, amount_bits));
        attacks + mends + sheds.sum::<Work>()
    };
    (of(a, b) + of(b, a)) * Work::from(duel.turns())
}

/// What one volley of a side costs.
struct VolleyCost {
    /// Its attacks, in all turns.
    struck: Work,
    /// What is worked out once a turn.
    once: Work,
}

fn volley(
    duel: &Duel,
    (side, own_read): (&Side, &[usize]),
    (other, their_read): (&Side, &[usize]),
    timed: &TimedVolley,
    (own, theirs): (Work, Work),
) -> VolleyCost {
    let together = duel.first() == First::Together;
    let ordered = duel.first() == First::Order;
    let ways = own_ways(side, own_read);
    let count = side.target.count().max(1);
    let standing = Work::from(count);
    let harms = side.can_harm_itself();
    let aux_width = match (together, harms) {
        (true, true) => own * own,
        (true, false) => Work::ONE,
        (false, true) if ordered => own * own,
        (false, true) => own,
        (false, false) => own / u64::from(count) + 2,
    };
    let most = timed.attackers_by_survivors.iter().copied().max();
    let with =
        |attackers: u32| Attack::counting(&Volley { attackers, ..timed.volley.clone() }, &other.target, their_read);
    let backfires = Work::from(timed.volley.steps.len()) * (harm(&timed.volley, own) + 1);
    // The rolls of a gate for each number that may stand, with what their backfires do.
    let gates = if harms { with(most.unwrap_or(timed.volley.attackers)).gates() } else { Work::NONE };
    let gated = gates.power(2) * standing.power(3) * theirs * (harm(&timed.volley, own) + 4);
    let apply_attacks =
        |attack: Attack| if harms { attack.apply_attacks_with_harm(theirs, backfires) } else { attack.apply_attacks() };
    let attack = with(most.unwrap_or(timed.volley.attackers));
    // Each number that may stand strikes by itself, with all its attacks.
    let applied = match timed.attackers_by_survivors.as_slice() {
        [] => apply_attacks(attack) * standing * (standing + 1) / 2,
        _ => {
            let all = (1..=count).map(|k| Work::from(timed.attackers(k))).sum::<Work>();
            apply_attacks(with(1)) * (all + standing)
        }
    };
    let laid = if timed.bases_follow_survivors { Work::from(other.target.count()) } else { Work::ONE };
    let apart =
        together || ordered || side.aftermath.iter().any(|after| after.aftermath.ends) || timed.bases_follow_survivors;
    let starts = if apart { theirs } else { Work::ONE };
    let (first, last) = timed.turns.unwrap_or((1, duel.turns()));
    let fired = last.min(duel.turns()).saturating_add(1).saturating_sub(first);
    let mut once = attack.once() * 2 * laid * ways;
    let spread = attack.most() * if most.is_some() { Work::ONE } else { standing };
    if timed.volley.attacks.as_constant().is_none() || timed.volley.gate.is_some() {
        let drawn = if apart { standing * theirs } else { standing };
        once += spread * spread * drawn;
    }
    VolleyCost { struck: (applied + gated) * aux_width * starts * Work::from(fired) * ways, once }
}

/// What the backfires of a volley's steps and of its gate may cost its own side.
fn harms(volley: &Volley) -> impl Iterator<Item = &Amount> {
    let of_step = |step| match step {
        &Step { kind: Kind::Roll(ref roll), .. } if roll.roll.backfire.is_some() => Some(&roll.backfire.harm),
        _ => None,
    };
    let of_gate = volley.gate.iter().filter(|gate| gate.roll.backfire.is_some()).map(|gate| &gate.harm);
    volley.steps.iter().filter_map(of_step).chain(of_gate)
}

/// What it costs to work out what the backfires of a volley do to its own side, with a last roll for each point of harm.
fn harm_kernels(target: &Target, volley: &Volley, own: Work) -> Work {
    let of_harm = |harm: &Amount| {
        let most = Work::of_value(harm.highest()) + 1;
        let laid = amount(harm) + own * (most.min(own) + 1);
        let of_group = |group: &Group| match &group.ignore {
            Some(ignore) => score(&ignore.roll) + most * most * 2,
            None => most,
        };
        match target {
            Target::Soldiers(soldiers) => laid + soldiers.groups.iter().map(of_group).sum::<Work>(),
            Target::Armoured(_) => laid + most * own,
        }
    };
    harms(volley).map(of_harm).sum()
}

/// How many ends the worst backfire of a volley may have for its own side.
fn harm(volley: &Volley, own: Work) -> Work {
    harms(volley).map(|harm| Work::of_value(harm.highest())).max().unwrap_or(Work::NONE).min(own)
}

/// The states of a side of a duel, with the marks that the other side's charts may repeat.
fn side_states(side: &Side, enemy: &Side) -> Work {
    let Target::Armoured(armoured) = &side.target else { return states(&side.target) };
    let mut names: Vec<_> = enemy.attack.iter().flat_map(|timed| repeated_marks(&timed.volley)).collect();
    names.sort_unstable();
    names.dedup();
    let wasted = if armoured.overflow_wasted && armoured.units > 1 { 2 } else { 1 };
    states(&side.target) * Work::doubled(names.len()) * wasted
}

fn of_unit(target: &Target) -> Work {
    match target {
        Target::Soldiers(soldiers) => {
            soldiers.groups.iter().map(|group| Work::from(group.health)).max().unwrap_or(Work::ONE)
        }
        Target::Armoured(armoured) => Work::from(armoured.structure),
    }
}
