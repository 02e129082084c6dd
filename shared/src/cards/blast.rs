//! The card of a template: how many bases it catches, or whether it lands on a hull.
use super::{Card, Chart, Step};
use crate::report::saying::{apart, count, length, mean, often, percent};
use crate::wire::blast::{BlastOutcome, BlastRequest, ChanceForm, CountsForm, DistanceRow};
use crate::wire::summary::{Chance, Summary};

/// The card of a template; none of an answer that says neither what of bases nor what of a hull is caught. `assumed` are the
/// fields of which nothing was said, `drift` are the dice as they were written.
pub fn card(request: &BlastRequest, answer: &BlastOutcome, assumed: &[&str], drift: &str) -> Option<Card> {
    let mut card = Card { read_as: described(request, assumed, drift), ..Card::default() };
    match &answer.covered {
        Some(covered) => bases(&mut card, request, covered),
        None => {
            let chance = |of: &Option<Chance>| of.as_ref().map(|of| of.chance);
            let (touched, inside) = chance(&answer.touched).zip(chance(&answer.centre_inside))?;
            card.headline = format!(
                "The template touches the hull {}; its middle is over the hull {} of the time.",
                often(touched),
                apart(&[touched, inside])[1]
            );
            card.line("touches it", percent(touched));
            card.line("middle over it", percent(inside));
        }
    }
    let hull = answer.covered.is_none();
    // Where it stays, the headline says all.
    let drifts = answer.distances.len() > 1 || answer.distances.iter().any(|row| row.distance_mm > 0.0);
    card.steps.extend(answer.distances.iter().filter(|_| drifts).map(|row| step(row, hull)));
    if request.scatter.is_some() {
        card.follow_up("no drift", "what about no scatter");
    }
    let mm = request.template.diameter_mm;
    let wider = mm + if length(mm).ends_with('"') { 50.8 } else { 50.0 };
    card.follow_up("a wider template", format!("what about template {}", length(wider)));
    Some(card)
}

fn bases(card: &mut Card, request: &BlastRequest, covered: &Summary) {
    let models = request.formation.as_ref().map_or(0, |formation| formation.models.into());
    let most = covered.highest();
    let all = count(models, "model", "models");
    if let [only] = covered.distribution.as_slice() {
        card.headline = if models == 1 && only.value == 1 {
            "Laid on the middle of the model, the template catches it.".to_owned()
        } else {
            format!("Laid on the middle of one model, the template catches {} of {all}.", only.value)
        };
        return;
    }
    let least = covered.lowest();
    card.headline = if least >= 1 {
        format!(
            "Aimed at the middle of one model, the template catches {} of {all} on average, and at least {least}.",
            mean(covered.expected)
        )
    } else {
        format!(
            "Aimed at the middle of one model, the template catches {} of {all} on average; at least one {}.",
            mean(covered.expected),
            often(covered.at_least(1))
        )
    };
    let few = covered.median();
    if few > 1 {
        card.line(format!("{few} or more"), percent(covered.at_least(few)));
    }
    card.line("none", percent(covered.distribution.iter().find(|row| row.value == 0).map_or(0.0, |row| row.chance)));
    card.line(format!("{most}, the most it can"), percent(covered.at_least(most)));
    card.chart = Some(Chart::of("bases caught", covered, |caught| caught > 0));
}

fn step(row: &DistanceRow, hull: bool) -> Step {
    let name = if row.distance_mm > 0.0 { format!("drifts {}", length(row.distance_mm)) } else { "stays".into() };
    let then = if hull {
        format!("touches it {}", percent(row.expected))
    } else {
        format!("{} caught on average", mean(row.expected))
    };
    Step { name, text: format!("{}, then {then}", percent(row.chance)), ..Step::default() }
}

/// All that was read, in canonical words.
fn described(request: &BlastRequest, assumed: &[&str], drift: &str) -> String {
    let mut open: Vec<String> = Vec::new();
    let mut parts = vec![format!("template {}", length(request.template.diameter_mm))];
    if let Some(hull) = &request.hull {
        parts.push(format!("hull {} long and {} wide", length(hull.length_mm), length(hull.width_mm)));
    } else if let Some(formation) = &request.formation {
        parts.push(count(formation.models.into(), "model", "models"));
        let counted = match request.counts {
            Some(CountsForm::Centre) => "the centre is covered",
            Some(CountsForm::Whole) => "wholly covered",
            _ => "touched",
        };
        let told = [
            ("base_mm", format!("{} bases", length(formation.base_mm))),
            ("gap_mm", format!("{} apart", length(formation.gap_mm))),
            ("files", format!("ranks of {}", formation.files)),
            ("counts", format!("counted where {counted}")),
        ];
        for (field, words) in told {
            if assumed.contains(&field) { open.push(words) } else { parts.push(words) }
        }
        open.push("aimed at the middle of the model where it catches most".to_owned());
    }
    if let Some(scatter) = &request.scatter {
        parts.push(format!("drift {drift}"));
        if let Some(less) = scatter.reduce {
            parts.push(format!("less {less}"));
        }
        if let Some(ChanceForm::Number(chance)) = scatter.on_target {
            parts.push(format!("on target {}", percent(chance)));
        }
    }
    let said = parts.join(", ");
    if open.is_empty() { said } else { format!("{said} \u{b7} assumed: {}", open.join(", ")) }
}
