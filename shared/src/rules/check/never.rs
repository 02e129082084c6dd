//! Rules that never act: on nobody, or not on one that carries them.
use super::super::conditions::Ternary;
use super::super::fault::Fault;
use super::super::model::Pack;
use super::super::model::change::{Change, RollId, Rule, RuleScope};
use super::super::model::condition::{Condition, Trait, Whom};
use super::may::{Known, Trial, weapons_of};
use super::places::Places;
use super::values::Values;
use crate::odds::cancellation::CancellationToken;
use std::collections::HashSet;

/// One that carries a rule.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Carrier {
    Table,
    Unit(usize),
    Weapon(usize),
}

struct Search<'a> {
    pack: &'a Pack,
    values: Values<'a>,
    /// All ways in which the pack's flags may stand.
    flags: Vec<Vec<bool>>,
    /// Rules that a condition asks for, or that stand in for another.
    asked: HashSet<usize>,
    everything: Vec<usize>,
    token: &'a CancellationToken,
}

pub(super) fn find(pack: &Pack, places: &Places<'_>, faults: &mut Vec<Fault>, token: &CancellationToken) {
    let search = Search {
        pack,
        values: Values::new(pack),
        flags: flags(pack),
        asked: asked(pack),
        everything: (0..pack.weapons.len()).collect(),
        token,
    };
    for (at, rule) in pack.rules.iter().enumerate() {
        if token.check().is_err() {
            return;
        }
        let carriers = carriers(pack, at);
        let place = places.of("rule", &rule.named.id);
        let idle: Vec<&(Carrier, Option<usize>)> =
            carriers.iter().filter(|(carrier, _)| !search.acts(at, *carrier)).collect();
        if carriers.is_empty() || idle.is_empty() || place.is_true("reminder") {
            continue;
        }
        if rule.changes.is_empty() && rule.repair.is_none() && rule.replaces.is_empty() {
            let hint = "say reminder = true, if it is only there to be read";
            faults.push(place.warning("this rule changes nothing, and no condition asks for it", hint));
        } else if idle.len() == carriers.len() {
            let hint = "look at its side, its conditions and who carries it";
            faults.push(place.warning("this rule never acts: its conditions can't all hold", hint));
        } else {
            for (carrier, option) in idle {
                let (thing, label) = match carrier {
                    Carrier::Table => continue,
                    Carrier::Unit(unit) => {
                        let unit = &pack.units[*unit];
                        let place = places.of("unit", &unit.named.id);
                        let place = option.map_or(place.clone(), |at| place.option(&unit.options[at].named.id));
                        (place, &unit.named.label)
                    }
                    Carrier::Weapon(weapon) => {
                        let weapon = &pack.weapons[*weapon].named;
                        (places.of("weapon", &weapon.id), &weapon.label)
                    }
                };
                let message = format!("{} never acts on {label}", rule.named.label);
                let hint = "take it off, or look at its side and its conditions";
                faults.push(thing.under("rules").naming(&rule.named.id).warning(message, hint));
            }
        }
    }
}

/// Who carries a rule; of a unit also by which option.
fn carriers(pack: &Pack, rule: usize) -> Vec<(Carrier, Option<usize>)> {
    let mut all = Vec::new();
    let plan = &pack.rules[rule];
    if plan.side == RuleScope::Table || plan.changes.iter().any(|change| change.side == RuleScope::Table) {
        all.push((Carrier::Table, None));
    }
    for (at, unit) in pack.units.iter().enumerate() {
        if unit.rules.contains(&rule) {
            all.push((Carrier::Unit(at), None));
        }
        let options = unit.options.iter().enumerate().filter(|(_, option)| option.rules.contains(&rule));
        all.extend(options.map(|(option, _)| (Carrier::Unit(at), Some(option))));
    }
    let weapons = pack.weapons.iter().enumerate().filter(|(_, weapon)| weapon.rules.contains(&rule));
    all.extend(weapons.map(|(at, _)| (Carrier::Weapon(at), None)));
    all
}

impl Search<'_> {
    fn acts(&self, rule: usize, carrier: Carrier) -> bool {
        let plan = &self.pack.rules[rule];
        self.asked.contains(&rule)
            || !plan.replaces.is_empty()
            || plan.changes.iter().any(|change| self.change_acts(plan, change, carrier))
            || (plan.repair.is_some() && self.repairs(plan, carrier))
    }

    fn repairs(&self, rule: &Rule, carrier: Carrier) -> bool {
        let sits = matches!((carrier, rule.side), (Carrier::Unit(_), _) | (Carrier::Table, RuleScope::Table));
        sits && self.trials(None, |trial| self.known(carrier, rule.side, false).holds(&rule.when, trial) != Ternary::No)
    }

    fn known(&self, carrier: Carrier, scope: RuleScope, attack: bool) -> Known<'_> {
        let whoms: &[Whom] = match (scope, attack) {
            (RuleScope::Attacker | RuleScope::Weapon, true) => &[Whom::Attacker],
            (RuleScope::Target, true) => &[Whom::Target],
            (RuleScope::Attacker | RuleScope::Target, false) => &[Whom::Attacker, Whom::Target],
            _ => &[],
        };
        let unit = match carrier {
            Carrier::Unit(at) => Some((at, whoms)),
            _ => None,
        };
        Known { pack: self.pack, values: &self.values, unit }
    }

    fn change_acts(&self, rule: &Rule, change: &Change, carrier: Carrier) -> bool {
        let sits = match carrier {
            Carrier::Table => change.side == RuleScope::Table,
            Carrier::Unit(_) => change.side != RuleScope::Table,
            Carrier::Weapon(_) => matches!(change.side, RuleScope::Attacker | RuleScope::Weapon),
        };
        let attack = change.rolls.iter().any(|roll| roll.is_of_attack());
        let known = self.known(carrier, change.side, attack);
        let own: Vec<usize>;
        let weapons: &[usize] = match carrier {
            Carrier::Weapon(at) => &[at],
            Carrier::Unit(at) if matches!(change.side, RuleScope::Attacker | RuleScope::Weapon) => {
                own = weapons_of(&self.pack.units[at]).collect();
                &own
            }
            _ => &self.everything,
        };
        let armoured = match (carrier, change.side) {
            (Carrier::Unit(at), RuleScope::Target) => {
                Some(self.pack.kinds[self.pack.units[at].kind].body.is_armoured())
            }
            _ => None,
        };
        sits && self.trials(attack.then_some(weapons), |trial| {
            known.holds(&rule.when, trial) != Ternary::No
                && known.holds(&change.when, trial) != Ternary::No
                && change.rolls.iter().any(|roll| self.is_rolled(*roll, armoured, &known, trial))
        })
    }

    /// Whether a roll is made at all, on such a target.
    fn is_rolled(&self, roll: RollId, armoured: Option<bool>, known: &Known<'_>, trial: &Trial<'_>) -> bool {
        match roll {
            RollId::Step(step) | RollId::Choice(step, _) => self.pack.procedures.iter().any(|procedure| {
                procedure.steps.contains(&step)
                    && armoured.is_none_or(|armoured| armoured == procedure.armoured)
                    && known.holds(&procedure.when, trial) != Ternary::No
            }),
            RollId::Check(at) => known.holds(&self.pack.checks[at].when, trial) != Ternary::No,
            _ => true,
        }
    }

    /// Whether any situation is as wanted: with each of the weapons, or with none where no attack is made.
    fn trials(&self, weapons: Option<&[usize]>, wanted: impl Fn(&Trial<'_>) -> bool) -> bool {
        let words = &self.pack.situations;
        let weapons: Vec<Option<usize>> =
            weapons.map_or_else(|| vec![None], |all| all.iter().map(|at| Some(*at)).collect());
        let reaches = |weapon: Option<usize>, band: usize| {
            let Some(weapon) = weapon else { return true };
            let (least, most) = self.pack.weapons[weapon].reach;
            most.is_none_or(|most| words.from(band) <= most) && words.ranges[band].to.is_none_or(|to| to >= least)
        };
        weapons.iter().take_while(|_| self.token.check().is_ok()).any(|weapon| {
            (0..words.ranges.len()).filter(|band| reaches(*weapon, *band)).any(|range| {
                (0..words.arcs.len()).any(|arc| {
                    (0..words.covers.len()).any(|cover| {
                        [false, true].into_iter().any(|moved| {
                            let mut flags = self.flags.iter();
                            flags.any(|flags| wanted(&Trial { arc, range, cover, moved, flags, weapon: *weapon }))
                        })
                    })
                })
            })
        })
    }
}

/// All ways in which flags may stand; where there are many, each of them set alone and all of them together.
fn flags(pack: &Pack) -> Vec<Vec<bool>> {
    let count = pack.situations.flags.len();
    if count <= 6 {
        return (0..1_u32 << count).map(|set| (0..count).map(|flag| set >> flag & 1 == 1).collect()).collect();
    }
    let alone = (0..count).map(|set| (0..count).map(|flag| flag == set).collect());
    let but_one = (0..count).map(|set| (0..count).map(|flag| flag != set).collect());
    alone.chain(but_one).chain([vec![false; count], vec![true; count]]).collect()
}

/// The rules that conditions ask for.
fn asked(pack: &Pack) -> HashSet<usize> {
    let mut asked = HashSet::new();
    let rules = pack.rules.iter().flat_map(|rule| {
        let changes = rule.changes.iter().map(|change| &change.when);
        changes.chain([&rule.when])
    });
    let others = pack.procedures.iter().map(|procedure| &procedure.when);
    let checks = pack.checks.iter().map(|check| &check.when);
    let after = pack.aftermath.iter().map(|after| &after.when);
    rules.chain(others).chain(checks).chain(after).for_each(|when| gather(when, &mut asked));
    asked
}

fn gather(condition: &Condition, into: &mut HashSet<usize>) {
    match condition {
        Condition::All(parts) | Condition::Any(parts) => parts.iter().for_each(|part| gather(part, into)),
        Condition::Not(inner) => gather(inner, into),
        Condition::Is(_, words) => into.extend(words.iter().filter_map(|word| match word {
            Trait::Rule(rule) => Some(*rule),
            _ => None,
        })),
        _ => {}
    }
}
