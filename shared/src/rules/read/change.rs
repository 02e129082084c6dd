//! Rules and the changes that they make.
use super::super::model::attack::{Form, StepPlan};
use super::super::model::change::{Change, Effects, RollId, Rule, RuleScope};
use super::super::model::roll::{RepairPlan, Rolls as HowOften};
use super::super::model::sum::Sum;
use super::attack::{Attacks, read_penetrate_reroll};
use super::ids::{Index, named};
use super::node::{Fields, Node, listed};
use super::roll::{read_keep, read_reroll};
use super::stat::read_dice;
use std::collections::HashMap;

/// What rules can name.
#[derive(Debug)]
pub(super) struct Changes<'a> {
    pub(super) attacks: &'a Attacks<'a>,
    pub(super) rules: &'a Index,
    pub(super) rolls: &'a HashMap<String, RollId>,
    pub(super) steps: &'a [Option<StepPlan>],
}

const SEATS: [(&str, RuleScope); 6] = [
    ("attacker", RuleScope::Attacker),
    ("weapon", RuleScope::Weapon),
    ("target", RuleScope::Target),
    ("near_attacker", RuleScope::NearAttacker),
    ("near_target", RuleScope::NearTarget),
    ("table", RuleScope::Table),
];

/// Which keys change which rolls.
const OF_ROLL: &[&str] = &[
    "deny",
    "needs",
    "harder",
    "easier",
    "modifier",
    "reroll",
    "dice",
    "keep",
    "low_fails",
    "high_succeeds",
    "critical",
    "backfire",
];
const OF_PENETRATE: &[&str] =
    &["add", "against", "reroll", "dice", "critical", "chart", "chart_modifier", "graze", "breach"];
const OF_CHOICE: &[&str] = &["deny", "needs", "harder", "easier", "modifier"];
const OF_ATTACK: &[&str] = &["deny", "attacks", "times", "damage", "set_damage", "spill"];
const OF_REPAIR: &[&str] = &["deny", "needs", "harder", "easier", "modifier", "reroll", "restores"];
const OF_CHECK: &[&str] = &["needs", "harder", "easier", "modifier", "reroll", "dice", "keep", "low_fails"];

impl Changes<'_> {
    pub(super) fn rule(&self, fields: &Fields<'_>) -> Rule {
        let named = named(fields);
        let when = self.attacks.words.when(fields);
        let side = self.scope(fields).unwrap_or(RuleScope::Attacker);
        let replaces = self.rules.find_all(fields.get("replaces"), "rule");
        let changes = fields.list("change", 50).into_iter().filter_map(|node| self.change(node, side)).collect();
        let repair = fields.get("repair").and_then(|node| self.repair(node));
        // A reminder is there to be read: the checker does not ask why it does nothing.
        if fields.truth("reminder") == Some(true) && (fields.has("change") || fields.has("repair")) {
            fields.wrong("a reminder changes nothing: leave out either reminder or what it changes");
        }
        if fields.has("change") && !fields.has("side") {
            let each_says = fields.list("change", 50).iter().all(|n| n.value().get("side").is_some());
            if !each_says {
                fields.wrong("say for whom the rule works: side = \"attacker\", \"weapon\", \"target\", \"near_attacker\", \"near_target\" or \"table\"");
            }
        }
        fields.finish();
        Rule { named, when, replaces, changes, repair, side }
    }

    fn scope(&self, fields: &Fields<'_>) -> Option<RuleScope> {
        let words: Vec<&str> = SEATS.iter().map(|(word, _)| *word).collect();
        fields.get("side").and_then(|node| node.word_of(&words)).map(|index| SEATS[index].1)
    }

    fn change(&self, node: Node<'_>, side: RuleScope) -> Option<Change> {
        let fields = node.fields()?;
        let side = self.scope(&fields).unwrap_or(side);
        let when = self.attacks.words.when(&fields);
        let rolls: Vec<(Node<'_>, RollId)> = fields
            .need("step")
            .map_or_else(Vec::new, |node| node.many())
            .into_iter()
            .filter_map(|node| Some((node, self.roll_id(node)?)))
            .collect();
        let penetrates = rolls.iter().any(|(_, id)| self.is_penetrate(*id));
        let effects = self.effects(&fields, penetrates);
        for (step, id) in &rolls {
            self.check_keys(&fields, *step, *id);
        }
        fields.finish();
        if effects == Effects::default() && !rolls.is_empty() {
            node.wrong("this change changes nothing: say what happens to the roll");
        }
        let rolls = rolls.into_iter().map(|(_, id)| id).collect();
        Some(Change { side, when, rolls, effects })
    }

    fn is_penetrate(&self, id: RollId) -> bool {
        let RollId::Step(step) = id else { return false };
        matches!(self.steps.get(step), Some(Some(StepPlan { form: Form::Penetrate(_), .. })))
    }

    fn roll_id(&self, node: Node<'_>) -> Option<RollId> {
        let text = node.text()?;
        let found = self.rolls.get(text).copied();
        if found.is_none() {
            let mut all: Vec<&str> = self.rolls.keys().map(String::as_str).collect();
            all.sort_unstable();
            let close = super::super::names::close_word(text, all.iter().copied());
            let hint =
                close.map_or_else(|| format!("there are: {}", all.join(", ")), |c| format!("did you mean {c:?}?"));
            node.wrong_with(format!("no step, choice, check or roll is called {text:?}"), Some(hint));
        }
        found
    }

    /// A key that does nothing to a roll of this sort is a mistake.
    fn check_keys(&self, fields: &Fields<'_>, step: Node<'_>, id: RollId) {
        let allowed = match id {
            _ if self.is_penetrate(id) => OF_PENETRATE,
            RollId::Step(_) => OF_ROLL,
            RollId::Choice(..) | RollId::Ignore | RollId::Aftermath(_) => OF_CHOICE,
            RollId::Attack => OF_ATTACK,
            RollId::Repair => OF_REPAIR,
            RollId::Check(_) => OF_CHECK,
        };
        let every: Vec<&str> = [OF_ROLL, OF_PENETRATE, OF_ATTACK, OF_REPAIR].concat();
        for (key, span, _) in fields.entries() {
            if every.contains(&key) && !allowed.contains(&key) {
                let name = step.as_text().unwrap_or_default();
                let message = format!("{key:?} changes nothing about {name:?}: it takes {}", listed(allowed));
                fields.wrong_key(span, message, None);
            }
        }
    }

    fn effects(&self, fields: &Fields<'_>, penetrates: bool) -> Effects {
        let terms = self.attacks.words.terms;
        let sum = |key| -> Option<Sum> { fields.get(key).and_then(|node| terms.number(node)) };
        let dice = |key| -> Option<Sum> { fields.get(key).and_then(|node| terms.dice(node)) };
        let reroll = fields.get("reroll");
        let (reroll, reroll_grazes) = match reroll {
            Some(node) if penetrates => {
                let read = read_penetrate_reroll(node);
                let grazes = read == Some(crate::odds::chain::PenetrateReroll::FailuresAndGrazes);
                (read.map(|_| crate::odds::roll::Reroll::Failures), grazes)
            }
            node => (node.and_then(read_reroll), false),
        };
        Effects {
            deny: fields.truth("deny").unwrap_or(false),
            needs: fields.get("needs").and_then(|node| terms.needs(node)),
            dice: fields.get("dice").and_then(read_dice),
            keep: fields.get("keep").and_then(read_keep),
            reroll,
            reroll_grazes,
            low_fails: fields.truth("low_fails"),
            high_succeeds: fields.truth("high_succeeds"),
            harder: self.attacks.rolls.harder(fields),
            modifier: sum("modifier"),
            add: sum("add"),
            against: sum("against"),
            critical: fields.get("critical").and_then(|node| self.attacks.rolls.critical(node)),
            backfire: fields.get("backfire").and_then(|node| self.attacks.rolls.backfire(node)),
            chart: fields.get("chart").and_then(|node| self.attacks.breaches.find(node, "breach chart")),
            chart_modifier: sum("chart_modifier"),
            graze: sum("graze"),
            breach: sum("breach"),
            attacks: dice("attacks"),
            times: fields.get("times").and_then(|node| node.number(0..=20)),
            set_damage: dice("set_damage"),
            damage: sum("damage"),
            spill: fields.truth("spill"),
            restores: sum("restores"),
        }
    }

    fn repair(&self, node: Node<'_>) -> Option<RepairPlan> {
        let fields = node.fields()?;
        let terms = self.attacks.words.terms;
        let roll = self.attacks.rolls.roll(&fields);
        let rolls = match fields.get("rolls") {
            Some(node) if node.as_text() == Some("each_missing") => Some(HowOften::EachMissing),
            Some(node) if node.as_text() == Some("one") => Some(HowOften::Number(Sum::number(1))),
            Some(node) => terms.number(node).map(HowOften::Number),
            None => Some(HowOften::Number(Sum::number(1))),
        };
        let restores = fields.get("restores").map_or_else(|| Some(Sum::number(1)), |node| terms.dice(node));
        fields.finish();
        Some(RepairPlan { roll: roll?, rolls: rolls?, restores: restores? })
    }
}
