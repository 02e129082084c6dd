//! What the searches and the drawing of tokens cost.
use super::super::chain::Chain;
use super::super::check::Check;
use super::super::draw::Draw;
use super::super::needed::NEIGHBOURS;
use super::{Attack, score, with_fractions};

/// What one strike of a chain costs, without any counts.
pub fn reaches(chain: &Chain, exact: bool) -> u64 {
    let (mut sum, mut bits) = (100u64, 0u64);
    for volley in chain.volleys() {
        let attack = Attack::of(volley, chain.target());
        sum = sum.saturating_add(attack.once()).saturating_add(attack.strike());
        bits = bits.saturating_add(attack.bits());
    }
    with_fractions(sum, exact, bits, super::states(chain.target()))
}

/// What the search for a number of attackers up to `most` costs.
pub fn climb(chain: &Chain, most: u32) -> u64 {
    let all = reaches(&chain.with_attackers(most), false);
    if chain.is_one_by_one() {
        return all.saturating_add(u64::from(most) * super::states(chain.target()));
    }
    bisect(all, most)
}

/// What a search by doubling and halving costs, where the largest number costs `all`.
pub fn bisect(all: u64, most: u32) -> u64 {
    // Doubling costs as much as the largest number twice over, each halving and each neighbour up to once.
    let halvings = u64::from(32 - most.leading_zeros());
    all.saturating_mul(2 + halvings + 2 * u64::from(NEIGHBOURS))
}

/// What the search for a number of tries up to `most` costs.
pub fn tries(check: &Check, passes: u32, most: u32) -> u64 {
    let budget = u64::from(check.given_budget().min(most)) + 1;
    let state = (u64::from(passes) + 1).saturating_mul(budget).saturating_mul(if budget > 1 { 4 } else { 2 });
    score(check.roll())
        .saturating_add((state + 20).saturating_mul(u64::from(most)))
        .saturating_add(200)
        .saturating_add(super::fraction(check.roll()))
}

/// What drawing tokens costs.
pub fn draw(draw: &Draw, exact: bool) -> u64 {
    let drawn = u64::from(draw.draws()) + 1;
    let states = draw.ending().fold(1u64, |states, needed| states.saturating_mul(u64::from(needed) + 1));
    let ends = draw.ending().count() as u64 + 1;
    let walk = states.saturating_mul(drawn).saturating_mul(ends * 24);
    let colours = draw.contents().iter().map(|colour| u64::from(colour.count) + 1).sum::<u64>();
    let rows = colours.saturating_mul(drawn).saturating_mul(4);
    let wanted = draw.wanted().map(|(of, _)| u64::from(of) + 1).sum::<u64>();
    let joint = wanted.saturating_mul(drawn).saturating_mul(8).saturating_add(walk);
    let bits = drawn.saturating_mul(2 * u64::from(32 - draw.total().leading_zeros()));
    with_fractions(walk + rows + joint + 200, exact, bits, colours + drawn)
}
