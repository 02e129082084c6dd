//! The card of a die that is under suspicion.
use super::{Bar, Card, Chart};
use crate::report::saying::{count, equal_to, grouped, mean, percent, small, unproven};
use crate::wire::fair::{FairMethod, FairOutcome, FairRequest};

/// The card of a die that is under suspicion; `assumed` says that nobody said which die it is.
pub fn card(request: &FairRequest, answer: &FairOutcome, assumed: bool) -> Card {
    let sides = answer.sides;
    let read_as = described(request, sides);
    // A die that is taken for granted is named there.
    let plain = read_as.split_once(", ").map_or(read_as.as_str(), |(_, counts)| counts).to_owned();
    let mut card = Card { read_as: if assumed { plain } else { read_as }, ..Card::default() };
    let end = answer.sentence.find(". ").map_or(answer.sentence.len(), |at| at + 1);
    card.headline = answer.sentence[..end].to_owned();
    if answer.throws > 0 {
        card.line("rolls", grouped(f64::from(answer.throws)));
        let sure = if answer.chance.chance >= 1.0 { 1.0 } else { unproven(answer.chance.chance) };
        card.line(
            match request.weights {
                Some(_) => "such a die is this odd or odder",
                None => "a fair die is this odd or odder",
            },
            format!("{} of the time{}", percent(sure), equal_to(answer.chance.fraction.as_deref())),
        );
        let face = &answer.face;
        // Where every face came up as often as it should, none of them stands out.
        if answer.chi_square > 1e-9 {
            let expected = mean(face.expected);
            let alone = percent(if face.chance >= 1.0 { 1.0 } else { unproven(face.chance) });
            card.line(
                "most surprising",
                format!(
                    "face {}: {}, {expected} expected; by itself {alone}",
                    face.face,
                    count(face.seen.into(), "time", "times")
                ),
            );
            let rough = if answer.method == FairMethod::ChiSquare {
                String::new()
            } else {
                format!(" (rough; the {} is exact)", percent(sure))
            };
            card.line("chi-square", format!("{} on {}{rough}", mean(answer.chi_square), degrees(answer.degrees)));
            if let Some(throws) = answer.throws_needed {
                let needed = grouped(throws as f64);
                card.line("rolls to be sure that it is loaded", format!("about {needed}, if it goes on like this"));
            }
            let sides = small(sides.into());
            card.notes
                .push(format!("Some face is always the oddest of the {sides}, so don't judge by that one alone."));
        }
        if answer.method == FairMethod::ChiSquare {
            card.notes.push("With so many rolls the chances come from the chi-square distribution.".into());
        }
        card.chart = Some(chart(request, answer));
    }
    card
}

fn degrees(degrees: u32) -> String {
    if degrees == 1 { "1 degree of freedom".to_owned() } else { format!("{degrees} degrees of freedom") }
}

/// How often a face came up.
fn seen(request: &FairRequest, face: u32) -> u32 {
    request.faces.get(&face.to_string()).copied().unwrap_or(0)
}

/// How large a share of the throws each face had.
fn chart(request: &FairRequest, answer: &FairOutcome) -> Chart {
    let share = |face: u32| f64::from(seen(request, face)) / f64::from(answer.throws);
    let strong = |face: u32| face == answer.face.face;
    let bar = |face: u32| Bar { label: face.to_string(), chance: share(face), strong: strong(face) };
    let title = "share of the rolls by face".to_owned();
    let said: Vec<String> = (1..=answer.sides).map(|face| format!("{face} {}", percent(share(face)))).collect();
    let alt = format!("Bar chart of the {title}: {}.", said.join(", "));
    Chart { title, bars: (1..=answer.sides).map(bar).collect(), alt, at_least: Vec::new(), whole: false }
}

/// All that was read, in canonical words.
fn described(request: &FairRequest, sides: u32) -> String {
    let faces: Vec<String> = (1..=sides).map(|face| format!("{face}:{}", seen(request, face))).collect();
    let weights = request.weights.as_ref().map(|weights| {
        let weight = |face: u32| weights.get(&face.to_string()).copied().unwrap_or(1);
        let all: Vec<String> = (1..=sides).map(|face| format!("{face}:{}", weight(face))).collect();
        format!(", weights {}", all.join(" "))
    });
    format!("d{sides}, {}{}", faces.join(" "), weights.unwrap_or_default())
}
