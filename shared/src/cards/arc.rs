//! The card of an arc: which side is hit.
use super::Card;
use crate::report::saying::{full_stop, mean, sentence};
use crate::wire::arc::{ArcAnswer, ArcRequest};
use crate::wire::packs::PackAnswer;

/// The card of an arc; `names` are those of the pack that knows the unit.
pub fn card(names: Option<&PackAnswer>, request: &ArcRequest, answer: &ArcAnswer) -> Card {
    let mut card = Card::default();
    let from = bearing(answer.bearing);
    card.headline = match &answer.border {
        None => format!("{}: it has no other arc.", sentence(&answer.arc.name)),
        Some(border) if border.off_degrees < 0.005 => {
            format!("Right on the line between {} and {}: agree on one.", answer.arc.name, border.other.name)
        }
        Some(border) if answer.near => format!(
            "{}, but only just: {}\u{b0} from the line to the {}.",
            sentence(&answer.arc.name),
            degrees(border.off_degrees),
            border.other.name
        ),
        Some(border) => {
            // In whole degrees, so that nobody adds up tenths that were rounded.
            let off = border.off_degrees;
            let about = if (off - off.round()).abs() < 1e-6 { "" } else { "about " };
            format!("{}, {about}{off:.0}\u{b0} clear of the {}.", sentence(&answer.arc.name), border.other.name)
        }
    };
    card.line("bearing", from.clone());
    if let Some(border) = &answer.border {
        card.line("nearest border", format!("{} ({})", bearing(border.bearing), border.other.name));
        if let Some(across) = border.across {
            card.line("sideways to that border", format!("{}\"", mean(across)));
        }
    }
    if let Some(distance) = answer.distance {
        card.line("distance", format!("{}\" from middle to middle", mean(distance)));
    }
    card.notes.push(full_stop(&how(answer)));
    let unit = request.unit.as_ref().map_or_else(String::new, |unit| {
        let known = names.and_then(|names| names.unit(unit));
        format!(" at the {}", known.map_or_else(|| unit.replace('-', " "), |unit| unit.singular.clone()))
    });
    card.read_as = format!("a shot{unit} from {from}");
    card
}

/// How the borders were found, in words that tell where they lie.
fn how(answer: &ArcAnswer) -> String {
    match &answer.border {
        Some(border) if answer.how == "borders at right angles" && (border.bearing.abs() - 90.0).abs() < 1e-6 => {
            let (here, there) = (sentence(&answer.arc.name), &border.other.name);
            format!("{here} and {there} meet straight out to the left and right, at 90\u{b0}")
        }
        _ => answer.how.clone(),
    }
}

/// `40° to the right`, `straight ahead`.
fn bearing(of: f64) -> String {
    match of.abs() {
        off if off < 0.005 => "straight ahead".to_owned(),
        off if off > 179.995 => "straight behind".to_owned(),
        off => format!("{}\u{b0} to the {}", degrees(off), if of > 0.0 { "right" } else { "left" }),
    }
}

fn degrees(of: f64) -> String {
    if of > 0.0 && of < 0.05 {
        return "under 0.1".to_owned();
    }
    let text = format!("{of:.1}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
