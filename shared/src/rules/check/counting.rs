//! Names of one and of several that can't be formed, and units that would be counted both ways.
use super::super::fault::Fault;
use super::super::model::Pack;
use super::super::model::unit::Unit;
use super::places::{Places, Spot};
use crate::report::counting::{Counted, Forms};

pub(super) fn find(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>) {
    for unit in &pack.units {
        let place = places.of("unit", &unit.named.id);
        names(unit, &place, faults);
        both_ways(unit, &place, faults);
    }
}

fn names(unit: &Unit, place: &Spot<'_>, faults: &mut Vec<Fault>) {
    let label = &unit.named.label;
    let forms = Forms::of(label, place.text("singular"), place.text("plural"));
    let (what, hint) = match (&forms.singular, &forms.plural) {
        (Some(_), Some(_)) => return,
        (None, Some(_)) => ("singular", "say what one is called: singular = \"…\""),
        (Some(_), None) => ("plural", "say what several are called: plural = \"…\""),
        (None, None) => ("plural", "say what one and several are called: singular = \"…\", plural = \"…\""),
    };
    faults.push(place.under("label").warning(format!("no {what} of {label:?} can be formed"), hint));
}

/// A label of several names models, a label of one names the unit: what is counted has to agree with it.
fn both_ways(unit: &Unit, place: &Spot<'_>, faults: &mut Vec<Fault>) {
    let label = &unit.named.label;
    let (singular, plural) = &unit.forms;
    let (one, several) = (label == singular && label != plural, label == plural && label != singular);
    let single = unit.models.1 == 1;
    let (message, hint) = match unit.counted {
        Counted::Units if several && !single => (
            format!("this unit is counted both ways: {label:?} names its models, and units are counted"),
            "counted = \"models\", or a singular and a plural for the whole unit",
        ),
        Counted::Models if one && !single => (
            format!("this unit is counted both ways: {label:?} names the whole unit, and models are counted"),
            "counted = \"units\", or a singular and a plural for the models",
        ),
        _ if several && single => (
            format!("this unit is counted both ways: {label:?} names several, and it is a single model"),
            "say what one and several such units are called: singular = \"…\", plural = \"…\"",
        ),
        _ => return,
    };
    let spot = if place.text("counted").is_some() { place.under("counted") } else { place.under("label") };
    faults.push(spot.warning(message, hint));
}
