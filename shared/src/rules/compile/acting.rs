//! Which rules act, and why others do not.
use super::super::matchup::Neighbour;
use super::super::model::change::{Change, Rule, Seat};
use super::log::Log;
use super::scene::Scene;
use crate::report::saying::ELSEWHERE;

/// A change that acts in this scene.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Acting<'a> {
    /// The rule, by index.
    pub(crate) rule: usize,
    pub(crate) plan: &'a Rule,
    pub(crate) change: &'a Change,
}

/// A rule and who carries it.
#[derive(Clone, Copy)]
struct Carrier {
    rule: usize,
    on: On,
}

/// Where it was found; a rule found on several acts once for each side.
#[derive(Clone, Copy, PartialEq, Eq)]
enum On {
    Table,
    NearAttacker,
    Attacker,
    Weapon,
    NearTarget,
    Target,
    Asked,
}

impl On {
    /// Whether a change with this seat works for the one who carries it here.
    fn serves(self, seat: Seat) -> bool {
        match self {
            Self::Table => seat == Seat::Table,
            Self::NearAttacker => seat == Seat::NearAttacker,
            Self::Attacker => matches!(seat, Seat::Attacker | Seat::Weapon),
            Self::Weapon => matches!(seat, Seat::Attacker | Seat::Weapon),
            Self::NearTarget => seat == Seat::NearTarget,
            Self::Target => seat == Seat::Target,
            Self::Asked => true,
        }
    }

    fn is_of_target(self) -> bool {
        matches!(self, Self::NearTarget | Self::Target)
    }
}

/// All changes that act, in order. `of_attack` says whether an attack is made, or a check or a repair.
pub(crate) fn acting<'a>(scene: &Scene<'a>, of_attack: bool, log: &mut Log) -> Vec<Acting<'a>> {
    let carriers = carriers(scene);
    let mut acting: Vec<(On, Acting<'a>)> = Vec::new();
    let replaced = replaced(scene, &carriers);
    for carrier in carriers {
        let plan = &scene.pack.rules[carrier.rule];
        if scene.without.contains(&carrier.rule) {
            log.idle(carrier.rule, || "it was left out on request".to_owned());
            continue;
        }
        if let Some((_, by)) = replaced.iter().find(|(rule, _)| *rule == carrier.rule) {
            let by = &scene.pack.rules[*by].named.label;
            log.idle(carrier.rule, || format!("{by} replaces it"));
            continue;
        }
        for change in &plan.changes {
            if change.rolls.iter().all(|roll| roll.is_of_attack()) != of_attack {
                continue;
            }
            if !carrier.on.serves(change.side) {
                if carrier.on != On::Table {
                    log.idle(carrier.rule, || elsewhere(change.side));
                }
                continue;
            }
            if !scene.holds(&plan.when) || !scene.holds(&change.when) {
                if carrier.on != On::Table {
                    let why = || scene.why_not(&plan.when).or_else(|| scene.why_not(&change.when));
                    log.idle(carrier.rule, || why().unwrap_or_default());
                }
                continue;
            }
            let again = acting.iter().any(|(on, other)| {
                *on != carrier.on
                    && on.is_of_target() == carrier.on.is_of_target()
                    && other.rule == carrier.rule
                    && other.change.rolls.iter().any(|roll| change.rolls.contains(roll))
            });
            if !again {
                acting.push((carrier.on, Acting { rule: carrier.rule, plan, change }));
            }
        }
    }
    acting.into_iter().map(|(_, acting)| acting).collect()
}

/// Where a change would work that does not here.
fn elsewhere(seat: Seat) -> String {
    let whose = match seat {
        Seat::Attacker | Seat::Weapon => "when its own unit attacks",
        Seat::Target => "when its own unit is attacked",
        Seat::NearAttacker => "for units near its own that attack",
        Seat::NearTarget => "for units near its own that are attacked",
        Seat::Table => "for everyone at once",
    };
    format!("{ELSEWHERE}{whose}")
}

fn carriers(scene: &Scene<'_>) -> Vec<Carrier> {
    let pack = scene.pack;
    let mut carriers: Vec<Carrier> = Vec::new();
    let mut add = |rule: usize, on: On| {
        if !carriers.iter().any(|other| other.rule == rule && other.on == on) {
            carriers.push(Carrier { rule, on });
        }
    };
    let of_table = |rule: &Rule| rule.side == Seat::Table || rule.changes.iter().any(|c| c.side == Seat::Table);
    pack.rules.iter().enumerate().filter(|(_, rule)| of_table(rule)).for_each(|(at, _)| add(at, On::Table));
    let near = |list: &[Neighbour]| -> Vec<usize> { list.iter().flat_map(|near| near.rules(pack)).collect() };
    near(scene.attacker.near).into_iter().for_each(|rule| add(rule, On::NearAttacker));
    scene.attacker.rules.iter().for_each(|rule| add(*rule, On::Attacker));
    scene.weapon.iter().flat_map(|weapon| &weapon.rules).for_each(|rule| add(*rule, On::Weapon));
    near(scene.target.near).into_iter().for_each(|rule| add(rule, On::NearTarget));
    scene.target.rules.iter().for_each(|rule| add(*rule, On::Target));
    scene.with.iter().for_each(|rule| add(*rule, On::Asked));
    carriers
}

/// Rules in whose place another acts, and which.
fn replaced(scene: &Scene<'_>, carriers: &[Carrier]) -> Vec<(usize, usize)> {
    let mut replaced = Vec::new();
    for carrier in carriers {
        let plan = &scene.pack.rules[carrier.rule];
        let sides = plan.changes.iter().map(|change| change.side).chain([plan.side]);
        let serves = sides.into_iter().any(|seat| carrier.on.serves(seat));
        if !plan.replaces.is_empty() && serves && !scene.without.contains(&carrier.rule) && scene.holds(&plan.when) {
            replaced.extend(plan.replaces.iter().map(|rule| (*rule, carrier.rule)));
        }
    }
    replaced
}

/// The repair rules that act, in order: the rule's index.
pub(crate) fn repairs(scene: &Scene<'_>) -> Vec<usize> {
    let carriers = carriers(scene);
    let replaced = replaced(scene, &carriers);
    let mut found: Vec<usize> = Vec::new();
    for carrier in carriers {
        let plan = &scene.pack.rules[carrier.rule];
        let acts = plan.repair.is_some()
            && carrier.on.serves(plan.side)
            && !scene.without.contains(&carrier.rule)
            && !replaced.iter().any(|(rule, _)| *rule == carrier.rule)
            && scene.holds(&plan.when);
        if acts && !found.contains(&carrier.rule) {
            found.push(carrier.rule);
        }
    }
    found
}
