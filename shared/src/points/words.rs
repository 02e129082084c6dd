//! Words for units, points and slots, in the numbers that they come in.
use crate::report::saying::{count, one, small};
use crate::rules::model::unit::Unit;

/// `1 point`, `70 points`.
pub(super) fn points(number: u64) -> String {
    count(number, "point", "points")
}

/// `1 slot`, `2 slots`.
pub(super) fn slots(number: u64) -> String {
    count(number, "slot", "slots")
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

/// `a Bolt-gun Crew`, `a unit of Dyke Hands`.
pub(super) fn a_unit(unit: &Unit) -> String {
    if names_models(unit) { format!("a unit of {}", unit.forms.1) } else { one(&unit.forms.0) }
}

/// `3 Ram Barges`, `2 units of Dyke Hands`.
pub(super) fn units_of(unit: &Unit, number: u64) -> String {
    if names_models(unit) {
        format!("{} of {}", count(number, "unit", "units"), unit.forms.1)
    } else {
        count(number, &unit.forms.0, &unit.forms.1)
    }
}

/// `one Ram Barge`, `two units of Dyke Hands`.
pub(super) fn some_of(unit: &Unit, number: u64) -> String {
    let (one, several) = if names_models(unit) {
        (format!("unit of {}", unit.forms.1), format!("units of {}", unit.forms.1))
    } else {
        unit.forms.clone()
    };
    format!("{} {}", small(number), if number == 1 { one } else { several })
}
