//! A matchup with a rule put in or left out, in one sentence beside the matchup as it is.
use crate::report::saying::{apart, listed, means_apart, verb};
use crate::wire::matchup::{MatchupAnswer, MatchupRequest};
use crate::wire::packs::PackAnswer;

/// `Without Lantern screen: 3.5% (with it 0.5%).`
pub fn compared(names: &PackAnswer, request: &MatchupRequest, answer: &MatchupAnswer, usual: &MatchupAnswer) -> String {
    let rules = |ids: Option<&Vec<String>>| -> Vec<String> {
        ids.into_iter()
            .flatten()
            .map(|id| {
                names.rules.iter().find(|known| known.id == *id).map_or_else(|| id.clone(), |known| known.name.clone())
            })
            .collect()
    };
    let (with, without) = (rules(request.with.as_ref()), rules(request.without.as_ref()));
    let (said, other) = match (with.as_slice(), without.as_slice()) {
        ([], [_]) => (format!("Without {}", listed(&without)), "with it"),
        ([], _) => (format!("Without {}", listed(&without)), "with them"),
        ([_], []) => (format!("With {}", listed(&with)), "without it"),
        (_, []) => (format!("With {}", listed(&with)), "without them"),
        _ => (format!("With {} and without {}", listed(&with), listed(&without)), "by the rules as written"),
    };
    // Where both chances are alike, the means may still tell.
    let chances = [answer.odds.all_gone(), usual.odds.all_gone()];
    let (now, before) = match (apart(&chances), means(answer).zip(means(usual))) {
        (said, Some(((now, what), (before, _)))) if said[0] == said[1] => {
            let said = means_apart(&[now, before]);
            (format!("{} {what} on average", said[0]), said[1].clone())
        }
        (said, _) => (said[0].clone(), said[1].clone()),
    };
    let alike = now.split(' ').next() == Some(before.as_str());
    if alike {
        let rules: Vec<String> = with.iter().chain(&without).cloned().collect();
        let why = answer
            .rules
            .did_not
            .iter()
            .chain(&usual.rules.did_not)
            .find(|note| rules.contains(&note.rule) && !note.why.contains("on request"));
        let why = why.map_or_else(String::new, |note| format!(": {}", note.why));
        let make = verb("make", rules.len() != 1);
        return format!("{} {make} no difference here{why}.", listed(&rules));
    }
    format!("{said}: {now} ({other} {before}).")
}

/// What is lost on average, and of what.
fn means(answer: &MatchupAnswer) -> Option<(f64, &'static str)> {
    match (&answer.odds.structure, &answer.odds.models) {
        (Some(structure), _) => Some((structure.expected, "structure lost")),
        (_, models) => Some((models.as_ref()?.expected, "taken out")),
    }
}
