//! How many bytes an answer may have, told from the sizes of its question: an upper estimate.
use super::mistake::Mistake;
use crate::odds::blast::Blast;
use crate::odds::chain::{Chain, Gate, Kind, Step};
use crate::odds::check::Check;
use crate::odds::draw::Draw;
use crate::odds::duel::{Duel, Side};
use crate::odds::fair::Log;
use crate::odds::price::{self, Work};
use crate::odds::repair::Repair;
use crate::rules::compile::RuleNote;
use crate::rules::model::{Named, Pack};
use crate::rules::reason::{Reason, Reasons};

/// An answer has no more bytes than this, whatever it may cost to work out: more is refused before it is worked out.
pub(super) const MOST_BYTES: u64 = 4 << 20;

/// What stands around the rows of an answer.
const FRAME: u64 = 4_096;
/// A row of a distribution: a value, two chances with all their digits, and the names of the three.
const ROW: u64 = 100;
/// A row of chances by turn, by try or by draw.
const TURN: u64 = 160;

/// A fraction of numbers of so many bits: a bit is less than a third of a digit, and there are two numbers.
pub(super) fn fraction(bits: Work) -> Work {
    bits * 2 / 3 + 24
}

/// A row, with its fraction where that is shown.
fn row(exact: Option<Work>) -> Work {
    exact.map_or(Work::NONE, fraction) + ROW
}

/// An answer of a few rows, and so much more.
pub(super) fn few(more: Work) -> Work {
    more + 64 * 1_024
}

/// A text, with all of its letters escaped.
pub(super) fn text(text: &str) -> Work {
    Work::from(text.len()) * 6 + 2
}

/// Mistakes, as they stand in an answer.
pub(super) fn mistakes(all: &[Mistake]) -> Work {
    let close = |mistake: &Mistake| mistake.did_you_mean.iter().map(|name| text(name)).sum::<Work>();
    all.iter().map(|one| text(&one.pointer) + text(&one.detail) + close(one) + 200).sum()
}

/// The reasons of a matchup: they stand beside its numbers and in its chain.
pub(super) fn reasons(all: &Reasons) -> Work {
    let reason = |reason: &Reason| text(&reason.rule) + text(&reason.text) + text(&reason.effect) + 200;
    all.iter().map(|(_, one)| reason(one)).sum::<Work>() * 2
}

/// What became of rules.
pub(super) fn rules(pack: &Pack, all: &[RuleNote]) -> Work {
    let named = |named: &Named| text(&named.id) + text(&named.label) + text(&named.text);
    all.iter().map(|note| text(&note.why) + named(&pack.rules[note.rule].named) + 200).sum()
}

/// Weapons that are not used.
pub(super) fn unused_weapons(all: &[(usize, String)]) -> Work {
    all.iter().map(|(_, why)| text(why) + 600).sum()
}

/// A chain as a request writes it.
pub(super) fn form(chain: &Chain) -> Work {
    let steps = chain.volleys().iter().map(|volley| Work::from(volley.steps.len()) * 2_000 + 4_000).sum::<Work>();
    steps + FRAME
}

/// The fraction of a log of throws.
pub(super) fn fractions_of_log(log: &Log) -> Work {
    fraction(price::log_bits(log))
}

/// A chain's answer.
pub(super) fn chain(chain: &Chain, exact: bool, passed: bool) -> Work {
    let sizes = price::counts(chain);
    let row = row(exact.then_some(sizes.bits));
    let through = sizes.through.iter().copied().sum::<Work>() + 1;
    let mut rows = sizes.attacks + through;
    if passed {
        let steps = chain.volleys().iter().map(|volley| Work::from(volley.steps.len()));
        rows += sizes.through.iter().zip(steps).map(|(through, steps)| (*through + 1) * steps).sum();
    }
    let steps = || chain.volleys().iter().flat_map(|volley| &volley.steps);
    let harms = |step: &Step| match &step.kind {
        Kind::Roll(roll) if roll.roll.backfire.is_some() => Work::of_value(roll.backfire.harm.highest()) + 1,
        _ => Work::NONE,
    };
    rows += sizes.attacks * steps().map(harms).sum::<Work>() + 1;
    rows += sizes.gates + price::states(chain.target()) + Work::from(chain.target().count()) + 1;
    let gate = |gate: &Gate| fraction(price::roll_bits(&gate.roll)) * 2 + 200;
    let gates = chain.volleys().iter().filter_map(|volley| volley.gate.as_ref()).map(gate).sum::<Work>();
    let shown = steps().map(|step| fraction(price::step_bits(step)) * 3_u64 + 600).sum::<Work>() + gates;
    let nested = chain.aftermath().iter().filter_map(|after| after.attack.as_ref());
    let nested = nested.map(|attack| self::chain(attack, exact, passed)).sum::<Work>();
    let counters = chain.target().counters();
    rows += counters.all.iter().map(|counter| Work::from(counter.most) + 9).sum::<Work>();
    let chances = Work::from(counters.thresholds.len())
        + Work::from(price::mark_names(chain))
        + Work::from(chain.aftermath().len())
        + 1;
    rows * row + shown + chances * (exact.then_some(sizes.bits).map_or(Work::NONE, fraction) + 400) + nested + FRAME
}

/// A check's answer.
pub(super) fn check(check: &Check, exact: bool) -> Work {
    let of_roll = price::roll_bits(check.roll());
    let tries = Work::from(check.tries());
    let bits = price::check_bits(check);
    let rows =
        (tries + 1) * row(exact.then_some(bits)) + price::width(&check.roll().pool) * row(exact.then_some(of_roll));
    let each = Work::from(check.needs().len()) * (fraction(of_roll) + TURN);
    let several = if exact { fraction(bits) * 3 } else { Work::NONE };
    rows + each + tries * TURN + fraction(of_roll) + several + FRAME
}

/// A repair's answer, without those that it is compared with.
pub(super) fn repair(repair: &Repair, exact: bool) -> Work {
    let capacity = Work::from(repair.capacity) + 1;
    let of_turn = price::repair_bits(repair);
    let rows = |turns: u32| {
        let row = row(exact.then_some(of_turn * Work::from(turns)));
        let missing = if turns == 0 { Work::NONE } else { capacity };
        (price::most_restored(repair, turns) + missing) * row + TURN * 2
    };
    (1..=repair.turns).map(rows).sum::<Work>()
        + rows(repair.turns)
        + fraction(of_turn * Work::from(repair.turns))
        + FRAME
}

/// A duel's answer.
pub(super) fn duel(duel: &Duel, exact: bool) -> Work {
    let counter =
        |side: &Side| side.target.counters().all.iter().map(|counter| Work::from(counter.most) + 9).sum::<Work>();
    let counters = counter(duel.a()) + counter(duel.b());
    let left = counters + Work::from(duel.a().target.count()) + Work::from(duel.b().target.count()) + 2;
    let bits = if exact { price::duel_bits(duel) } else { Work::NONE };
    left * row(exact.then_some(bits)) + fraction(bits) + Work::from(duel.turns()) * TURN + FRAME
}

/// A blast's answer.
pub(super) fn blast(blast: &Blast) -> Work {
    let drifts = blast.scatter.as_ref().map_or(Work::ONE, |scatter| Work::of_value(scatter.dice.highest()) + 2);
    (Work::of_value(blast.most()) + 1) * ROW + drifts * TURN + FRAME
}

/// The answer to a drawing of tokens.
pub(super) fn draw(draw: &Draw, exact: bool) -> Work {
    let bits = exact.then(|| price::draw_bits(draw));
    let colours = draw.contents();
    let tokens = colours.iter().map(|colour| Work::from(colour.count) + 1).sum::<Work>();
    let names = colours.iter().map(|colour| Work::from(colour.name.len()) * 6 + 600).sum::<Work>();
    let draws = Work::from(draw.draws()) + 1;
    let each = Work::from(colours.len()) * 2 + 4;
    (tokens + draws) * row(bits) + draws * TURN + names + each * bits.map_or(Work::NONE, fraction) + FRAME
}
