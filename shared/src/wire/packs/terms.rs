//! The words of a pack that can be asked about, with what it says of them.
use super::TermForm;
use crate::rules::model::{Named, Pack};

/// All of them; a word whose meaning the pack does not tell is one too.
pub(super) fn terms(pack: &Pack) -> Vec<TermForm> {
    let form = |sort: &str, named: &Named| TermForm {
        sort: sort.to_owned(),
        id: named.id.clone(),
        name: named.label.clone(),
        text: named.text.clone(),
    };
    let words = &pack.situations;
    let mut terms: Vec<TermForm> = Vec::new();
    let stats = &pack.stats;
    let all = [&stats.unit, &stats.weapon, &stats.range, &stats.cover, &stats.arc];
    for stat in all.into_iter().flatten() {
        let (id, name, text) = (stat.id.clone(), stat.label.clone(), stat.text.clone());
        terms.push(TermForm { sort: "stat".to_owned(), id, name, text });
    }
    terms.extend(pack.steps.iter().map(|step| form("step", &step.named)));
    terms.extend(pack.charts.iter().map(|chart| form("chart", &chart.named)));
    terms.extend(pack.breaches.iter().map(|breach| form("breach", &breach.named)));
    terms.extend(words.arcs.iter().map(|word| form("arc", &word.named)));
    terms.extend(words.ranges.iter().map(|band| form("range", &band.word.named)));
    terms.extend(words.covers.iter().map(|word| form("cover", &word.named)));
    terms.extend(words.flags.iter().map(|flag| form("flag", flag)));
    terms.extend(pack.checks.iter().map(|check| form("check", &check.named)));
    terms.extend(pack.rules.iter().map(|rule| form("rule", &rule.named)));
    terms.extend(pack.aftermath.iter().map(|plan| form("aftermath", &plan.named)));
    terms
}
