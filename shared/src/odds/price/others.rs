//! What the searches and the drawing of tokens cost.
use super::super::chain::Chain;
use super::super::check::Check;
use super::super::draw::Draw;
use super::super::fair::{Log, Sizes};
use super::super::needed::NEIGHBOURS;
use super::{Attack, Work, fraction, score, states, with_fractions};

/// What applying the attacks of a chain once costs, without any counts.
pub fn reaches(chain: &Chain, exact: bool) -> Work {
    let (mut sum, mut bits) = (Work::new(100), Work::NONE);
    for volley in chain.volleys() {
        let attack = Attack::reading(volley, chain.target(), chain.volleys());
        sum += attack.once() + attack.apply_attacks();
        bits += attack.bits();
    }
    with_fractions(sum, exact, bits, states(chain.target()))
}

/// What the search for a number of attackers up to `most` costs.
pub fn climb(chain: &Chain, most: u32) -> Work {
    let all = reaches(&chain.with_attackers(most), false);
    if chain.is_one_by_one() {
        return all + Work::from(most) * states(chain.target());
    }
    bisect(all, most)
}

/// What a search by doubling and halving costs, where the largest number costs `all`.
pub fn bisect(all: Work, most: u32) -> Work {
    // Doubling costs as much as the largest number twice over, each halving and each neighbour up to once.
    all * (Work::bits_of(most) + Work::from(NEIGHBOURS) * 2 + 2)
}

/// What the search for a number of tries up to `most` costs.
pub fn tries(check: &Check, passes: u32, most: u32) -> Work {
    let budget = check.given_budget().min(most);
    let state = (Work::from(passes) + 1) * (Work::from(budget) + 1) * if budget > 0 { 4 } else { 2 };
    score(check.roll()) + (state + 20) * Work::from(most) + 200 + fraction(check.roll())
}

/// What drawing tokens costs.
pub fn draw(draw: &Draw, exact: bool) -> Work {
    let drawn = Work::from(draw.draws()) + 1;
    let states = draw.ending().fold(Work::ONE, |states, needed| states * (Work::from(needed) + 1));
    let ends = Work::from(draw.ending().count()) + 1;
    let walk = states * drawn * ends * 24;
    let colours = draw.contents().iter().map(|colour| Work::from(colour.count) + 1).sum::<Work>();
    let rows = colours * drawn * 4;
    let wanted = draw.wanted().map(|(of, _)| Work::from(of) + 1).sum::<Work>();
    let joint = wanted * drawn * 8 + walk;
    with_fractions(walk + rows + joint + 200, exact, super::draw_bits(draw), colours + drawn)
}

/// What judging a log of throws costs.
pub fn fair(log: &Log) -> Work {
    let sizes = Sizes::of(log);
    let sides = Work::from(log.seen().len());
    // A table of whole numbers takes about as long as it has words; the walk to it is a few more.
    let each = if sizes.in_fractions() { Work::from(sizes.bits) / 2 + 300 } else { sides + 60 };
    let tables = sizes.tables.map_or(Work::NONE, |tables| Work::from(tables) * each);
    let mut unlike: Vec<u32> = log.weights().to_vec();
    unlike.sort_unstable();
    unlike.dedup();
    let rows = Work::from(log.throws()) * (Work::from(unlike.len()) * 8 + sides * 4);
    // The number of throws that it would take is looked for by halving.
    tables + rows + sides * 200 + 100_000
}

/// How long the fraction of a log is; it is left out where it would be long.
pub(crate) fn log_bits(log: &Log) -> Work {
    let sizes = Sizes::of(log);
    if sizes.in_fractions() { Work::from(sizes.bits) } else { Work::NONE }
}

/// What it costs to add up independent counts, each with so many values and denominators of so many bits.
pub fn sum(counts: impl Iterator<Item = (Work, Work)>, exact: bool) -> Work {
    let (mut values, mut bits, mut operations) = (Work::ONE, Work::NONE, Work::NONE);
    for (more, longer) in counts {
        operations += values * more + 50;
        values += more;
        bits += longer;
    }
    with_fractions(operations + values * 4, exact, bits, values)
}
