//! Which rules act, and why others do not.
use super::super::matchup::Neighbour;
use super::super::model::change::{Change, Rule, RuleScope};
use super::context::RuleContext;
use super::log::Log;
use crate::report::saying::ELSEWHERE;

/// A change that acts in this context.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ActiveChange<'a> {
    /// The rule, by index.
    pub(crate) rule: usize,
    pub(crate) plan: &'a Rule,
    pub(crate) change: &'a Change,
}

/// A rule and who carries it.
#[derive(Clone, Copy)]
struct CarriedRule {
    rule: usize,
    carrier: Carrier,
}

/// Where it was found; a rule found on several acts once for each side.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Carrier {
    Table,
    NearAttacker,
    Attacker,
    Weapon,
    NearTarget,
    Target,
    Asked,
}

impl Carrier {
    /// Whether a change of this scope works for the one who carries it here.
    fn serves(self, scope: RuleScope) -> bool {
        match self {
            Self::Table => scope == RuleScope::Table,
            Self::NearAttacker => scope == RuleScope::NearAttacker,
            Self::Attacker => matches!(scope, RuleScope::Attacker | RuleScope::Weapon),
            Self::Weapon => matches!(scope, RuleScope::Attacker | RuleScope::Weapon),
            Self::NearTarget => scope == RuleScope::NearTarget,
            Self::Target => scope == RuleScope::Target,
            Self::Asked => true,
        }
    }

    fn is_of_target(self) -> bool {
        matches!(self, Self::NearTarget | Self::Target)
    }
}

/// All changes that act, in order. `of_attack` says whether an attack is made, or a check or a repair.
pub(crate) fn active_changes<'a>(context: &RuleContext<'a>, of_attack: bool, log: &mut Log) -> Vec<ActiveChange<'a>> {
    let carried_rules = carried_rules(context);
    let mut active_changes: Vec<(Carrier, ActiveChange<'a>)> = Vec::new();
    let replaced = replaced(context, &carried_rules);
    for carried in carried_rules {
        let plan = &context.pack.rules[carried.rule];
        if context.without.contains(&carried.rule) {
            log.idle(carried.rule, || "it was left out on request".to_owned());
            continue;
        }
        if let Some((_, by)) = replaced.iter().find(|(rule, _)| *rule == carried.rule) {
            let by = &context.pack.rules[*by].named.label;
            log.idle(carried.rule, || format!("{by} replaces it"));
            continue;
        }
        for change in &plan.changes {
            if change.rolls.iter().all(|roll| roll.is_of_attack()) != of_attack {
                continue;
            }
            if !carried.carrier.serves(change.side) {
                if carried.carrier != Carrier::Table {
                    log.idle(carried.rule, || elsewhere(change.side));
                }
                continue;
            }
            if !context.holds(&plan.when) || !context.holds(&change.when) {
                if carried.carrier != Carrier::Table {
                    let why = || context.why_not(&plan.when).or_else(|| context.why_not(&change.when));
                    log.idle(carried.rule, || why().unwrap_or_default());
                }
                continue;
            }
            let again = active_changes.iter().any(|(carrier, other)| {
                *carrier != carried.carrier
                    && carrier.is_of_target() == carried.carrier.is_of_target()
                    && other.rule == carried.rule
                    && other.change.rolls.iter().any(|roll| change.rolls.contains(roll))
            });
            if !again {
                active_changes.push((carried.carrier, ActiveChange { rule: carried.rule, plan, change }));
            }
        }
    }
    active_changes.into_iter().map(|(_, active_changes)| active_changes).collect()
}

/// Where a change would work that does not here.
fn elsewhere(scope: RuleScope) -> String {
    let whose = match scope {
        RuleScope::Attacker | RuleScope::Weapon => "when its own unit attacks",
        RuleScope::Target => "when its own unit is attacked",
        RuleScope::NearAttacker => "for units near its own that attack",
        RuleScope::NearTarget => "for units near its own that are attacked",
        RuleScope::Table => "for everyone at once",
    };
    format!("{ELSEWHERE}{whose}")
}

fn carried_rules(context: &RuleContext<'_>) -> Vec<CarriedRule> {
    let pack = context.pack;
    let mut carried_rules: Vec<CarriedRule> = Vec::new();
    let mut add = |rule: usize, carrier: Carrier| {
        if !carried_rules.iter().any(|other| other.rule == rule && other.carrier == carrier) {
            carried_rules.push(CarriedRule { rule, carrier });
        }
    };
    let of_table =
        |rule: &Rule| rule.side == RuleScope::Table || rule.changes.iter().any(|c| c.side == RuleScope::Table);
    pack.rules.iter().enumerate().filter(|(_, rule)| of_table(rule)).for_each(|(at, _)| add(at, Carrier::Table));
    let near = |list: &[Neighbour]| -> Vec<usize> { list.iter().flat_map(|near| near.rules(pack)).collect() };
    near(context.attacker.near).into_iter().for_each(|rule| add(rule, Carrier::NearAttacker));
    context.attacker.rules.iter().for_each(|rule| add(*rule, Carrier::Attacker));
    context.weapon.iter().flat_map(|weapon| &weapon.rules).for_each(|rule| add(*rule, Carrier::Weapon));
    near(context.target.near).into_iter().for_each(|rule| add(rule, Carrier::NearTarget));
    context.target.rules.iter().for_each(|rule| add(*rule, Carrier::Target));
    context.with.iter().for_each(|rule| add(*rule, Carrier::Asked));
    carried_rules
}

/// Rules in whose place another acts, and which.
fn replaced(context: &RuleContext<'_>, carried_rules: &[CarriedRule]) -> Vec<(usize, usize)> {
    let mut replaced = Vec::new();
    for carried in carried_rules {
        let plan = &context.pack.rules[carried.rule];
        let sides = plan.changes.iter().map(|change| change.side).chain([plan.side]);
        let serves = sides.into_iter().any(|scope| carried.carrier.serves(scope));
        if !plan.replaces.is_empty() && serves && !context.without.contains(&carried.rule) && context.holds(&plan.when)
        {
            replaced.extend(plan.replaces.iter().map(|rule| (*rule, carried.rule)));
        }
    }
    replaced
}

/// The repair rules that act, in order: the rule's index.
pub(crate) fn repairs(context: &RuleContext<'_>) -> Vec<usize> {
    let carried_rules = carried_rules(context);
    let replaced = replaced(context, &carried_rules);
    let mut found: Vec<usize> = Vec::new();
    for carried in carried_rules {
        let plan = &context.pack.rules[carried.rule];
        let acts = plan.repair.is_some()
            && carried.carrier.serves(plan.side)
            && !context.without.contains(&carried.rule)
            && !replaced.iter().any(|(rule, _)| *rule == carried.rule)
            && context.holds(&plan.when);
        if acts && !found.contains(&carried.rule) {
            found.push(carried.rule);
        }
    }
    found
}
