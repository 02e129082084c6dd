//! What rules did, gathered while a matchup is compiled.
use super::super::model::Pack;
use super::super::reason::{Reason, Reasons, Spot};
use super::RuleNote;
use super::active_changes::ActiveChange;

/// Reasons, and what became of each rule.
#[derive(Debug, Default)]
pub(crate) struct Log {
    pub(crate) reasons: Reasons,
    /// The volley that is being compiled, by index.
    pub(crate) volley: usize,
    acted: Vec<(usize, Vec<String>)>,
    idle: Vec<(usize, String)>,
}

impl Log {
    /// A rule changed a number.
    pub(crate) fn changed(&mut self, spot: Spot, by: &ActiveChange<'_>, name: &str, effect: String) {
        self.did(by.rule, format!("{name} {effect}"));
        let named = &by.plan.named;
        // Beside its step a reason needs no name; elsewhere it would not be known what has become of what.
        let effect = match spot {
            Spot::Step(..) => effect,
            _ if effect.starts_with("no ") => effect,
            _ => format!("{name} {effect}"),
        };
        self.reasons.push((spot, Reason { rule: named.id.clone(), text: named.text.clone(), effect }));
    }

    /// A rule did something that no number shows.
    pub(crate) fn did(&mut self, rule: usize, effect: String) {
        match self.acted.iter_mut().find(|(known, _)| *known == rule) {
            Some((_, effects)) if effects.contains(&effect) => {}
            Some((_, effects)) => effects.push(effect),
            None => self.acted.push((rule, vec![effect])),
        }
    }

    /// A number comes from a chart, a sum or a choice.
    pub(crate) fn from(&mut self, spot: Spot, reason: Reason) {
        self.reasons.push((spot, reason));
    }

    /// A rule that is carried does nothing here.
    pub(crate) fn idle(&mut self, rule: usize, why: impl FnOnce() -> String) {
        if !self.idle.iter().any(|(known, _)| *known == rule) {
            self.idle.push((rule, why()));
        }
    }

    /// The rules that acted, and those that did not, in the pack's order.
    pub(crate) fn notes(&mut self, pack: &Pack) -> (Vec<RuleNote>, Vec<RuleNote>) {
        let (acted, idle) = (std::mem::take(&mut self.acted), std::mem::take(&mut self.idle));
        let did = |rule: usize| acted.iter().any(|(known, _)| *known == rule);
        let mut idle: Vec<RuleNote> = idle
            .into_iter()
            .filter(|(rule, _)| !did(*rule) && !pack.rules[*rule].changes.is_empty())
            .map(|(rule, why)| RuleNote { rule, why })
            .collect();
        let mut acted: Vec<RuleNote> =
            acted.iter().map(|(rule, effects)| RuleNote { rule: *rule, why: effects.join("; ") }).collect();
        acted.sort_by_key(|note| note.rule);
        idle.sort_by_key(|note| note.rule);
        (acted, idle)
    }
}
