//! What a unit costs, and what a list of units keeps to.
use super::Muster;
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::unit::Per;

/// What a unit costs with all its options. More models than it may have are several units of it.
pub fn of(pack: &Pack, said: &Muster) -> u64 {
    several(pack, said, u64::from(said.models.div_ceil(pack.units[said.unit].models.1).max(1)))
}

/// What a line of a list costs for one unit, however many models it has.
pub fn of_one(pack: &Pack, said: &Muster) -> u64 {
    several(pack, said, 1)
}

fn several(pack: &Pack, said: &Muster, units: u64) -> u64 {
    let unit = &pack.units[said.unit];
    let more = u64::from(said.models).saturating_sub(units * u64::from(unit.models.0));
    let option = |(at, times): &(usize, u32)| {
        let option = &unit.options[*at];
        let paid_for = match option.per {
            Per::Unit | Per::Weapon => u64::from(*times) * units,
            Per::Model => u64::from(said.models) * u64::from(*times),
        };
        u64::from(option.points) * paid_for
    };
    units * u64::from(unit.points) + u64::from(unit.each_more) * more + said.options.iter().map(option).sum::<u64>()
}
