//! Pairs of the pack in which a rule acts: the same question with the rule and without it, so that its chain differs.
use super::compile::{Compiled, compile};
use super::matchup::{Matchup, Neighbour, Situation, UnitInstance};
use super::model::Pack;
use super::model::change::{RollId, Rule, RuleScope};
use super::model::condition::Condition;
use super::question::Said;
use super::standing;
use std::sync::Arc;

/// What a rule is shown on.
#[derive(Clone, Debug)]
pub enum Example {
    /// Attacks, each as it is with the rule and as it is without.
    Attacks(Vec<(Matchup, Matchup)>),
    /// A check (by index) of a unit.
    Check(UnitInstance, usize),
    /// A unit's repair.
    Repair(UnitInstance),
}

/// So many matchups are compiled at most: a large book is not searched to its end.
const TRIES: usize = 1_200;
/// So many examples are enough to choose from, and so many of one unit that carries the rule.
const ENOUGH: usize = 24;
const EACH: usize = 3;
/// So many units that carry a rule are tried.
const CARRIERS: usize = 8;
/// So many situations.
const SITUATIONS: usize = 64;

/// Examples of a rule; in the situation that was said, where it acts there.
pub fn example(pack: &Arc<Pack>, rule: usize, said: Option<&Said>) -> Option<Example> {
    let plan = &pack.rules[rule];
    let attacks = plan.changes.iter().any(|change| change.rolls.iter().any(|roll| roll.is_of_attack()));
    if attacks {
        let mut search = Search { pack, rule, said, tries: 0, found: Vec::new() };
        said.into_iter().for_each(|said| search.run(&situations(pack, rule, Some(said), false)));
        for wide in [false, true] {
            if search.found.is_empty() {
                search.run(&situations(pack, rule, None, wide));
            }
        }
        // Those with most of what was named say most to whoever named it.
        let most = search.found.iter().map(|(with, _)| named(pack, said, with)).max().unwrap_or(0);
        search.found.retain(|(with, _)| named(pack, said, with) == most);
        return (!search.found.is_empty()).then_some(Example::Attacks(search.found));
    }
    let scopes = plan.changes.iter().map(|change| change.side).chain([plan.side]);
    let units: Vec<UnitInstance> = scopes.flat_map(|scope| instance(pack, rule, scope)).collect();
    if plan.repair.is_some() || plan.changes.iter().any(|change| change.rolls.contains(&RollId::Repair)) {
        let mends = |unit: &&UnitInstance| {
            let repair = |without: &[usize]| {
                let repair = standing::repair(pack, unit, &[], without);
                repair.filter(|repair| repair.mendable > 1).map(|repair| repair.mend)
            };
            repair(&[]).is_some_and(|with| repair(&[rule]).is_none_or(|without| with != without))
        };
        return units.iter().find(mends).cloned().map(Example::Repair);
    }
    units.iter().find_map(|unit| {
        let checks = plan.changes.iter().flat_map(|change| &change.rolls);
        let mut checks = checks.filter_map(|roll| if let RollId::Check(check) = roll { Some(*check) } else { None });
        let roll = |check: usize, without: &[usize]| standing::check(pack, unit, check, None, &[], without);
        let differs = |check: &usize| {
            let (with, without) = (roll(*check, &[]), roll(*check, &[rule]));
            with.is_some() && with.map(|check| check.roll) != without.map(|check| check.roll)
        };
        checks.find(differs).map(|check| Example::Check(unit.clone(), check))
    })
}

/// Units for which a rule works in this scope: those that carry it, or those near one that does.
fn instance(pack: &Pack, rule: usize, scope: RuleScope) -> Vec<UnitInstance> {
    let carriers = carriers(pack, rule);
    match scope {
        RuleScope::NearAttacker | RuleScope::NearTarget => {
            let mut near = carriers.iter().map(|carrier| {
                let options = carrier.options.iter().map(|(option, _)| *option).collect();
                Neighbour { unit: carrier.unit, options }
            });
            let Some(near) = near.find(|near| near.rules(pack).any(|other| other == rule)) else { return Vec::new() };
            let others =
                ordered(pack, scope == RuleScope::NearAttacker).into_iter().filter(|unit| unit.unit != near.unit);
            others.map(|unit| UnitInstance { near: vec![near.clone()], ..unit }).collect()
        }
        RuleScope::Table => ordered(pack, true),
        _ => carriers,
    }
}

/// Units that carry a rule, by themselves, by a weapon, or by an option that brings one of these.
fn carriers(pack: &Pack, rule: usize) -> Vec<UnitInstance> {
    let armed = |weapon: usize| pack.weapons[weapon].rules.contains(&rule);
    let mut found = Vec::new();
    for unit in ordered(pack, false).into_iter().chain((0..pack.units.len()).map(|at| plain(pack, at))) {
        let book = &pack.units[unit.unit];
        let weapon = book.weapons.iter().map(|carried| carried.weapon).find(|weapon| armed(*weapon));
        let option = book.options.iter().position(|option| {
            option.rules.contains(&rule) || option.weapons.iter().any(|carried| armed(carried.weapon))
        });
        let new = match (book.rules.contains(&rule), weapon, option) {
            (true, ..) => unit,
            // The weapon alone, so that nothing else blurs what the rule does.
            (_, Some(weapon), _) => UnitInstance { weapons: vec![weapon], ..unit },
            (_, _, Some(option)) => {
                let weapons = book.options[option].weapons.iter().map(|carried| carried.weapon);
                let weapons = weapons.filter(|weapon| armed(*weapon)).collect();
                UnitInstance { options: with_required(pack, unit.unit, option), weapons, ..unit }
            }
            _ => continue,
        };
        if !found.iter().any(|other: &UnitInstance| other.unit == new.unit) {
            found.push(new);
        }
    }
    found.truncate(CARRIERS);
    // Some rules work only where many stand together.
    let most =
        |unit: &UnitInstance| UnitInstance { models: pack.units[unit.unit].models.1.max(unit.models), ..unit.clone() };
    let larger: Vec<UnitInstance> = found.iter().map(most).filter(|unit| !found.contains(unit)).collect();
    found.extend(larger);
    found
}

/// An option with all that must be taken with it.
fn with_required(pack: &Pack, unit: usize, option: usize) -> Vec<(usize, u32)> {
    let options = &pack.units[unit].options;
    let (mut taken, mut next) = (Vec::new(), vec![option]);
    while let Some(at) = next.pop() {
        if !taken.contains(&(at, 1)) {
            taken.push((at, 1));
            next.extend(options[at].inside.into_iter().chain(options[at].requires.iter().copied()));
        }
    }
    taken.sort_unstable();
    taken
}

/// All units, those of the board first, as many as stand on it.
fn ordered(pack: &Pack, attackers: bool) -> Vec<UnitInstance> {
    let (first, second) = (&pack.board.attackers, &pack.board.targets);
    let (first, second) = if attackers { (first, second) } else { (second, first) };
    let board = first.iter().chain(second).map(|unit| UnitInstance { models: unit.models, ..plain(pack, unit.unit) });
    let mut found: Vec<UnitInstance> = Vec::new();
    for unit in board.chain((0..pack.units.len()).map(|at| plain(pack, at))) {
        if !found.iter().any(|other| other.unit == unit.unit) {
            found.push(unit);
        }
    }
    found
}

fn plain(pack: &Pack, unit: usize) -> UnitInstance {
    UnitInstance { unit, models: pack.units[unit].models.0, ..UnitInstance::default() }
}

struct Search<'a> {
    pack: &'a Arc<Pack>,
    rule: usize,
    said: Option<&'a Said>,
    tries: usize,
    found: Vec<(Matchup, Matchup)>,
}

/// How many of the units and weapons that were named take part in a matchup.
fn named(pack: &Pack, said: Option<&Said>, matchup: &Matchup) -> usize {
    let Some(said) = said else { return 0 };
    counted(pack, said, &matchup.attacker, true) + counted(pack, said, &matchup.target, false)
}

/// How many of the units and, of an attacker, of the weapons that were named it is and carries.
fn counted(pack: &Pack, said: &Said, unit: &UnitInstance, attacks: bool) -> usize {
    let units = said.mentions.iter().filter(|mention| !mention.near && mention.units.contains(&unit.unit)).count();
    let carried = standing::carried(pack, unit);
    let used = |weapon: &usize| {
        unit.weapons.contains(weapon) || unit.weapons.is_empty() && carried.iter().any(|(own, _)| own == weapon)
    };
    units + usize::from(attacks && said.weapons.iter().any(used))
}

impl Search<'_> {
    /// One example of a pair is enough: the first situation that tells.
    fn run(&mut self, situations: &[Situation]) {
        let plan = &self.pack.rules[self.rule];
        // One mark is enough to see what a rule does to those that bear it.
        let statuses: Vec<String> = Asks::by(plan).statuses.into_iter().take(1).collect();
        let mut scopes: Vec<RuleScope> = Vec::new();
        for change in plan.changes.iter().filter(|change| change.rolls.iter().any(|roll| roll.is_of_attack())) {
            if !scopes.contains(&change.side) {
                scopes.push(change.side);
            }
        }
        for scope in scopes {
            let of_target = matches!(scope, RuleScope::Target | RuleScope::NearTarget);
            // What was named comes first.
            let first = |mut units: Vec<UnitInstance>, attacks: bool| {
                if let Some(said) = self.said {
                    units.sort_by_key(|unit| std::cmp::Reverse(counted(self.pack, said, unit, attacks)));
                }
                units
            };
            let own = first(instance(self.pack, self.rule, scope), !of_target);
            let others = first(ordered(self.pack, of_target), of_target);
            for own in &own {
                let before = self.found.len();
                for other in others.iter().cloned() {
                    let (attacker, target) = if of_target { (other, own.clone()) } else { (own.clone(), other) };
                    let target = UnitInstance { weapons: Vec::new(), statuses: statuses.clone(), ..target };
                    if self.found.len() >= before + EACH {
                        break;
                    }
                    for situation in situations {
                        if self.tries >= TRIES || self.found.len() >= ENOUGH {
                            return;
                        }
                        if self.differs(&attacker, &target, situation) {
                            break;
                        }
                    }
                }
            }
        }
    }

    fn differs(&mut self, attacker: &UnitInstance, target: &UnitInstance, situation: &Situation) -> bool {
        self.tries += 1;
        let with = Matchup {
            pack: Arc::clone(self.pack),
            attacker: attacker.clone(),
            target: target.clone(),
            situation: situation.clone(),
            with: Vec::new(),
            without: Vec::new(),
        };
        let without = Matchup { without: vec![self.rule], ..with.clone() };
        let compiled = |matchup: &Matchup| compile(matchup).ok();
        let acts = |compiled: &Compiled| compiled.acted.iter().any(|note| note.rule == self.rule);
        let Some(first) = compiled(&with).filter(acts) else { return false };
        let tells = compiled(&without).is_some_and(|second| second.chain != first.chain);
        if tells {
            self.found.push((with, without));
        }
        tells
    }
}

/// The situations that a rule's conditions tell apart, the usual one first.
fn situations(pack: &Pack, rule: usize, said: Option<&Said>, wide: bool) -> Vec<Situation> {
    let plan = &pack.rules[rule];
    let asks = Asks::by(plan);
    let table = &pack.situations;
    let usual = Situation::usual(pack);
    let axis = |asked: bool, count: usize, usual: usize, said: Option<&Vec<usize>>| -> Vec<usize> {
        let mut all: Vec<usize> = match said {
            Some(said) => said.clone(),
            None if asked => (0..count).collect(),
            None => vec![usual],
        };
        all.sort_by_key(|at| *at != usual);
        all
    };
    let narrowed = |can: Option<&'_ Vec<usize>>, count: usize| can.is_some_and(|can| can.len() < count);
    let arcs = said.map(|said| &said.arcs).filter(|can| narrowed(Some(can), table.arcs.len()));
    let ranges = said.map(|said| &said.ranges).filter(|can| narrowed(Some(can), table.ranges.len()));
    let covers = said.map(|said| &said.covers).filter(|can| narrowed(Some(can), table.covers.len()));
    let moved: Vec<bool> = match said.and_then(|said| said.moved) {
        Some(moved) => vec![moved],
        None if asks.moved || wide => vec![false, true],
        None => vec![false],
    };
    let mut found: Vec<Situation> = vec![usual.clone()];
    let each = |found: Vec<Situation>, with: &dyn Fn(&Situation) -> Vec<Situation>| -> Vec<Situation> {
        found.iter().flat_map(with).take(SITUATIONS).collect()
    };
    for flag in 0..table.flags.len() {
        let set = match said.and_then(|said| said.flags.get(flag).copied().flatten()) {
            Some(set) => vec![set],
            None if asks.flags.contains(&flag) => vec![false, true],
            None => vec![false],
        };
        found = each(found, &|situation| {
            let with = |set: &bool| {
                let mut situation = situation.clone();
                situation.flags[flag] = *set;
                situation
            };
            set.iter().map(with).collect()
        });
    }
    let (arc, range, cover) = table.usual;
    let arcs = axis(asks.arc, table.arcs.len(), arc, arcs);
    let ranges = axis(asks.range || wide, table.ranges.len(), range, ranges);
    let covers = axis(asks.cover, table.covers.len(), cover, covers);
    found = each(found, &|one| moved.iter().map(|moved| Situation { moved: *moved, ..one.clone() }).collect());
    found = each(found, &|one| covers.iter().map(|cover| Situation { cover: *cover, ..one.clone() }).collect());
    found = each(found, &|one| ranges.iter().map(|range| Situation { range: *range, ..one.clone() }).collect());
    each(found, &|one| arcs.iter().map(|arc| Situation { arc: *arc, ..one.clone() }).collect())
}

/// What of the situation a rule's conditions ask for.
#[derive(Default)]
struct Asks {
    arc: bool,
    range: bool,
    cover: bool,
    moved: bool,
    flags: Vec<usize>,
    /// Marks of the target.
    statuses: Vec<String>,
}

impl Asks {
    /// All that a rule asks for.
    fn by(plan: &Rule) -> Self {
        let mut asks = Self::default();
        asks.of(&plan.when);
        plan.changes.iter().for_each(|change| asks.of(&change.when));
        asks
    }

    fn of(&mut self, condition: &Condition) {
        match condition {
            Condition::All(parts) | Condition::Any(parts) => parts.iter().for_each(|part| self.of(part)),
            Condition::Not(inner) => self.of(inner),
            Condition::Arc(_) => self.arc = true,
            Condition::Range(_) => self.range = true,
            Condition::Cover(_) => self.cover = true,
            Condition::Moved(_) => self.moved = true,
            Condition::Flag(flag, _) => self.flags.push(*flag),
            Condition::Status(names) => self.statuses.extend(names.first().cloned()),
            _ => {}
        }
    }
}
