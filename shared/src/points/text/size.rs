//! What the numbers around a unit's name mean.
use super::amount::{Amount, Named, Of};
use super::parts::Group;
use crate::report::counting::Counted;
use crate::rules::model::unit::Unit;

/// The most of anything on a line.
pub(super) const MOST: u32 = 1_000;

/// How many units of how many models, and points that are claimed for them.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Size {
    pub(super) count: u32,
    pub(super) models: u32,
    pub(super) claims: Vec<u32>,
}

pub(super) type Refused = (String, &'static str);

/// What the numbers around a unit's name mean.
pub(super) fn size(unit: &Unit, named: &Named, groups: &[Group<'_>]) -> Result<Size, Refused> {
    let (least, most) = unit.models;
    let (mut count, mut models, mut claims) = (Vec::new(), Vec::new(), Vec::new());
    // Bare numbers and factors before the name wait until it is known what stands behind it.
    let mut open: Vec<Amount> = Vec::new();
    for amount in &named.before {
        match amount.of {
            Of::Models => models.push(amount.number),
            Of::Units => count.push(amount.number),
            Of::Bare | Of::Times => open.push(*amount),
        }
    }
    let mut factor = None;
    match named.behind {
        Some(Amount { number, of: Of::Models }) => models.push(number),
        Some(Amount { number, of: Of::Units }) => count.push(number),
        Some(Amount { number, of: Of::Times }) => factor = Some(number),
        Some(Amount { number, of: Of::Bare }) if most > 1 && least == most && number != most && number <= 12 => {
            count.push(number);
        }
        Some(Amount { number, of: Of::Bare }) if most > 1 && number <= most => models.push(number),
        // What all of it costs, or nothing that can be told: seen when the size is known.
        Some(Amount { of: Of::Bare, .. }) | None => {}
    }
    let costs = named.behind.filter(|amount| {
        amount.of == Of::Bare && !(most > 1 && amount.number <= most.max(if least == most { 12 } else { 0 }))
    });
    for group in groups {
        match group {
            Group::Number(number) if models.is_empty() && most > 1 && (least..=most).contains(number) => {
                models.push(*number);
            }
            Group::Number(number) if models.first() == Some(number) => {}
            // `Ram Barge (1)`: a unit that is one model, and costs more than one point.
            Group::Number(1) if most == 1 && unit.cost(1) != 1 => {}
            Group::Number(points) | Group::Points(points) => claims.push(*points),
            Group::Models(number) => models.push(*number),
            Group::Times(number) => factor = factor.or(Some(*number)),
            Group::Text(_) => {}
        }
    }
    let twice =
        || Err(("its numbers can be read in two ways".to_owned(), "write 2x 10 for two units of ten models each"));
    match (open.as_slice(), factor) {
        ([], None) => {}
        // `3 Dyke Hands x10`: ten units of three.
        ([Amount { number, of: Of::Bare }], Some(factor)) if models.is_empty() && count.is_empty() => {
            models.push(*number);
            count.push(factor);
        }
        ([units, each], None) if models.is_empty() && count.is_empty() => {
            count.push(units.number);
            models.push(each.number);
        }
        ([one], None) => alone(unit, *one, &mut count, &mut models),
        ([], Some(factor)) => alone(unit, Amount { number: factor, of: Of::Times }, &mut count, &mut models),
        _ => return twice(),
    }
    // `10 Dyke Hands (12)`: ten units, or ten models and twelve of something?
    if let ([Amount { number, of: Of::Bare }], [_]) = (open.as_slice(), models.as_slice())
        && count.first() == Some(number)
        && unit.counted == Counted::Models
        && most > 1
        && (least..=most).contains(number)
    {
        return twice();
    }
    let ([] | [_], [] | [_]) = (count.as_slice(), models.as_slice()) else { return twice() };
    let count = count.first().copied().unwrap_or(1);
    let models = models.first().copied().unwrap_or(least);
    if !(1..=MOST).contains(&count) || !(1..=MOST).contains(&models) {
        return Err((
            format!("a line has 1 to {MOST} units of 1 to {MOST} models"),
            "leave the line out, or say how many",
        ));
    }
    if let Some(Amount { number, .. }) = costs {
        let one = unit.cost(models);
        if ![one, one.saturating_mul(u64::from(count))].contains(&u64::from(number)) {
            return Err((
                format!("{number} behind a name may be a number or points"),
                "write the number before the name, or “points” behind it",
            ));
        }
        claims.push(number);
    }
    Ok(Size { count, models, claims })
}

/// One number beside a unit: models where models are counted and one unit may have so many, else units.
fn alone(unit: &Unit, amount: Amount, count: &mut Vec<u32>, models: &mut Vec<u32>) {
    let (least, most) = unit.models;
    let of_models = unit.counted == Counted::Models && most > 1 && amount.number >= least;
    if models.is_empty() && (of_models || !count.is_empty()) {
        models.push(amount.number);
    } else {
        count.push(amount.number);
    }
}
