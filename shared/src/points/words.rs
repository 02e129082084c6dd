//! Words for units, points and slots, in the numbers that they come in.
use crate::report::counting::Counted;
use crate::report::saying::{count, one, plural, small};
use crate::rules::model::Pack;
use crate::rules::model::unit::Unit;

/// `1 point`, `70 points`.
pub(super) fn points(number: u64) -> String {
    count(number, "point", "points")
}

/// Slots as players have them: `1 choice`, `2 choices`.
pub(super) fn slots(number: u64) -> String {
    count(number, "choice", "choices")
}

/// `once`, `twice`, `3 times`.
pub(super) fn times(number: u32) -> String {
    match number {
        1 => "once".to_owned(),
        2 => "twice".to_owned(),
        number => format!("{number} times"),
    }
}

/// Whether the label names the models and not the whole unit.
fn names_models(unit: &Unit) -> bool {
    unit.models.1 > 1 && unit.named.label == unit.forms.1
}

/// One whole unit and several: a Tally Crew is one unit of Tally Hands.
fn whole(unit: &Unit) -> (String, String) {
    if unit.counted == Counted::Models && unit.models.1 > 1 {
        (unit.named.label.clone(), plural(&unit.named.label))
    } else {
        unit.forms.clone()
    }
}

/// `a Bolt-gun Crew`, `a unit of Dyke Hands`.
pub(super) fn a_unit(unit: &Unit) -> String {
    if names_models(unit) { format!("a unit of {}", unit.forms.1) } else { one(&whole(unit).0) }
}

/// `3 Ram Barges`, `2 units of Dyke Hands`.
pub(super) fn units_of(unit: &Unit, number: u64) -> String {
    if names_models(unit) {
        format!("{} of {}", count(number, "unit", "units"), unit.forms.1)
    } else {
        let (one, several) = whole(unit);
        count(number, &one, &several)
    }
}

/// So many more units at their fewest with their cost: `a Lamp Skiff (55 points)`, `2 Tally Crews (8 models, 152 points)`.
pub(super) fn some_more(pack: &Pack, unit: &Unit, number: u32) -> String {
    let least = unit.models.0;
    let cost = points(unit.cost(least).saturating_mul(u64::from(number)));
    if number == 1 {
        return format!("{} ({cost})", a_size(pack, unit, least));
    }
    let models = u64::from(least) * u64::from(number);
    let models = (unit.counted == Counted::Models && unit.models.1 > 1)
        .then(|| format!("{}, ", count(models, pack.word("model"), pack.word("models"))));
    format!("{} ({}{cost})", units_of(unit, u64::from(number)), models.unwrap_or_default())
}

/// One more unit of so many models: `a Lamp Skiff`, `12 Door Bearers`.
pub(super) fn a_size(pack: &Pack, unit: &Unit, models: u32) -> String {
    let digits = unit.counting(pack).digits(models);
    digits.strip_prefix("1 ").map_or_else(|| digits.clone(), one)
}

/// So many units of those that there are: `the Heron Carriage`, `both Heron Carriages`, `one Ram Barge`.
pub(super) fn gone(unit: &Unit, number: u64, of: u64) -> String {
    let (single, several) =
        if names_models(unit) { (unit.forms.1.clone(), format!("units of {}", unit.forms.1)) } else { whole(unit) };
    match (number == of, number) {
        (true, 1) => format!("the {single}"),
        (true, 2) => format!("both {several}"),
        (true, number) => format!("all {} {several}", small(number)),
        _ => some_of(unit, number),
    }
}

/// `one Ram Barge`, `two units of Dyke Hands`.
fn some_of(unit: &Unit, number: u64) -> String {
    let (one, several) = if names_models(unit) {
        (format!("unit of {}", unit.forms.1), format!("units of {}", unit.forms.1))
    } else {
        whole(unit)
    };
    format!("{} {}", small(number), if number == 1 { one } else { several })
}
