//! Yes-or-no questions about rules: does it act, as far as the words of the question say?
//!
//! The words are looked up among the pack's names; what they leave open stays open. A rule's conditions are then held against
//! all that can still be: they hold, they cannot hold, or it depends.
mod said;
mod truth;

pub use said::Said;
pub use truth::{Truth, World};

use super::describe;
use super::model::Pack;
use super::model::change::{Change, RollId, Rule, Seat};
use super::model::condition::Condition;
use super::search::{asked_by, find};

/// What was asked, and the answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The rule that decides, by index.
    pub rule: usize,
    /// Yes, no, or it depends.
    pub answer: Truth,
    /// Why, in a sentence without its beginning: `it acts when …`.
    pub because: String,
    /// Weapons of which the opposite is so.
    pub except: Vec<usize>,
    /// What was understood of the question.
    pub said: Said,
}

/// Words with which a question begins that wants a yes or a no.
const ASKING: &[&str] = &[
    "do", "does", "did", "can", "could", "is", "are", "was", "were", "will", "would", "should", "shall", "may",
    "might", "must", "has", "have", "am", "doesnt", "dont", "isnt", "arent", "cant", "wont",
];
/// Words that may stand before.
const LEADING: &[&str] =
    &["so", "but", "and", "hey", "hi", "please", "wait", "ok", "okay", "hang", "on", "well", "then", "rule", "hmm"];

/// Whether a text asks for a yes or a no.
pub fn is_yes_or_no(text: &str) -> bool {
    let text = text.to_lowercase().replace(['\'', '’'], "");
    let mut words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    words.find(|word| !LEADING.contains(word)).is_some_and(|word| ASKING.contains(&word))
}

/// The answer to a yes-or-no question; nothing where no rule speaks of it.
pub fn ask(pack: &Pack, text: &str) -> Option<Asked> {
    let found = find(pack, text);
    let first = found.first()?;
    let said = Said::of(pack, text);
    // A mere word that others ask for decides nothing by itself: those others do.
    let marker = |rule: usize| pack.rules[rule].changes.is_empty() && pack.rules[rule].repair.is_none();
    let (rule, by_name) = if marker(first.rule) {
        let asking = asked_by(pack, first.rule);
        let spoken = found.iter().find(|other| asking.contains(&other.rule)).map(|other| other.rule);
        (spoken.or(asking.first().copied()).unwrap_or(first.rule), false)
    } else {
        (first.rule, first.by_name)
    };
    if let Some(asked) = stacks(pack, text, &said) {
        return Some(asked);
    }
    Some(decide(pack, rule, by_name, said))
}

/// `does it stack with that one`: of two rules one may stand in the other's place.
fn stacks(pack: &Pack, text: &str, said: &Said) -> Option<Asked> {
    let text = text.to_lowercase();
    let asks = ["stack", "combine", "add up", "together", "both"].iter().any(|word| text.contains(word));
    let [first, second, ..] = said.rules.as_slice() else { return None };
    let of = |rule: usize, other: usize| pack.rules[rule].replaces.contains(&other);
    let (rule, other) = match (of(*first, *second), of(*second, *first)) {
        (true, _) => (*first, *second),
        (_, true) => (*second, *first),
        _ => return None,
    };
    asks.then(|| Asked {
        rule,
        answer: Truth::No,
        because: format!("{} stands in place of {}", pack.rules[rule].named.label, pack.rules[other].named.label),
        except: Vec::new(),
        said: said.clone(),
    })
}

/// Whether a rule acts as far as was said. Where the rule was not named, the question is whether what it forbids may be done.
pub fn decide(pack: &Pack, rule: usize, by_name: bool, said: Said) -> Asked {
    let plan = &pack.rules[rule];
    let changes = relevant(plan, &said);
    let forbids = !by_name && !changes.is_empty() && changes.iter().all(|change| change.effects.deny);
    let turned = |truth: Truth| if forbids { !truth } else { truth };
    let mut verdict = Verdict::of(pack, rule, &changes, &said, &said.weapons);
    let mut except = Vec::new();
    if verdict.truth == Truth::Open && said.weapons.len() > 1 {
        // `guns`: each by itself; most of them answer, the others are the exception.
        let each: Vec<(usize, Verdict)> =
            said.weapons.iter().map(|at| (*at, Verdict::of(pack, rule, &changes, &said, &[*at]))).collect();
        let count = |truth: Truth| each.iter().filter(|(_, one)| one.truth == truth).count();
        let most = if count(Truth::Yes) >= count(Truth::No) { Truth::Yes } else { Truth::No };
        if count(Truth::Open) == 0 {
            except = each.iter().filter(|(_, one)| one.truth != most).map(|(at, _)| *at).collect();
            verdict = each.into_iter().map(|(_, one)| one).find(|one| one.truth == most).unwrap_or(verdict);
        }
    }
    let because = verdict.because(pack, rule, forbids);
    Asked { rule, answer: turned(verdict.truth), because, except, said }
}

/// The changes that the question can be about: those of a check that it names; else those of attacks, if there are any.
fn relevant<'a>(plan: &'a Rule, said: &Said) -> Vec<&'a Change> {
    let named = |change: &&Change| {
        change.rolls.iter().any(|roll| matches!(roll, RollId::Check(check) if said.checks.contains(check)))
    };
    if !said.checks.is_empty() {
        return plan.changes.iter().filter(named).collect();
    }
    let attack = |change: &&Change| change.rolls.iter().any(|roll| roll.is_of_attack());
    let attacks: Vec<&Change> = plan.changes.iter().filter(attack).collect();
    if attacks.is_empty() { plan.changes.iter().collect() } else { attacks }
}

/// What the conditions come to.
struct Verdict {
    truth: Truth,
    /// The conditions that decided, and how each stands.
    parts: Vec<(Condition, Truth)>,
    /// There is nothing in the rule that the question speaks of.
    elsewhere: bool,
}

impl Verdict {
    fn of(pack: &Pack, rule: usize, changes: &[&Change], said: &Said, weapons: &[usize]) -> Self {
        let plan = &pack.rules[rule];
        let mut best: Option<Self> = None;
        let repair = plan.repair.is_some() && said.checks.is_empty();
        let own = changes.iter().map(|change| (change.side, Some(&change.when)));
        let own = own.chain(repair.then_some((plan.side, None)));
        for (seat, when) in own {
            let world = world(pack, rule, seat, said, weapons);
            let mut parts: Vec<Condition> = Vec::new();
            flatten(&plan.when, &mut parts);
            when.into_iter().for_each(|when| flatten(when, &mut parts));
            let parts: Vec<(Condition, Truth)> =
                parts.into_iter().map(|part| (part.clone(), world.truth(&part))).collect();
            let truth = parts.iter().map(|(_, truth)| *truth).min().unwrap_or(Truth::Yes);
            if best.as_ref().is_none_or(|best| truth > best.truth) {
                best = Some(Self { truth, parts, elsewhere: false });
            }
        }
        best.unwrap_or(Self { truth: Truth::No, parts: Vec::new(), elsewhere: true })
    }

    fn because(&self, pack: &Pack, rule: usize, forbids: bool) -> String {
        let said = |wanted: Truth| -> Vec<String> {
            let parts = self.parts.iter().filter(|(_, truth)| *truth == wanted);
            parts.map(|(part, _)| describe::condition(pack, part)).collect()
        };
        let label = &pack.rules[rule].named.label;
        let it = if forbids { label.as_str() } else { "it" };
        let acts = if forbids { "forbids it" } else { "acts" };
        match self.truth {
            _ if self.elsewhere => format!("{it} changes other rolls"),
            Truth::Yes if self.parts.is_empty() => format!("{it} always {acts}"),
            Truth::Yes => format!("{it} {acts} when {}", said(Truth::Yes).join(" and ")),
            Truth::No => format!("{it} {acts} only when {}", said(Truth::No).join(" and ")),
            Truth::Open => format!("{it} {acts} when {}", said(Truth::Open).join(" and ")),
        }
    }
}

/// The parts that must all hold.
fn flatten(condition: &Condition, parts: &mut Vec<Condition>) {
    match condition {
        Condition::All(all) => all.iter().for_each(|part| flatten(part, parts)),
        other => parts.push(other.clone()),
    }
}

/// All that can be, where the rule sits on its seat.
fn world<'a>(pack: &'a Pack, rule: usize, seat: Seat, said: &'a Said, weapons: &[usize]) -> World<'a> {
    let carries = |at: &usize| {
        let unit = &pack.units[*at];
        unit.rules.contains(&rule) || unit.options.iter().any(|option| option.rules.contains(&rule))
    };
    let all: Vec<usize> = (0..pack.units.len()).collect();
    let kinds = |list: Vec<usize>| -> Vec<usize> {
        let of: Vec<usize> = list.iter().copied().filter(|at| said.kinds.contains(&pack.units[*at].kind)).collect();
        if of.is_empty() { list } else { of }
    };
    let carriers: Vec<usize> = all.iter().copied().filter(carries).collect();
    let named = |list: &[usize]| -> Vec<usize> { said.units.iter().copied().filter(|at| list.contains(at)).collect() };
    let or = |first: Vec<usize>, second: &[usize]| if first.is_empty() { second.to_vec() } else { first };
    let own = or(named(&carriers), &carriers);
    let strangers: Vec<usize> = said.units.iter().copied().filter(|at| !carriers.contains(at)).collect();
    let other = kinds(or(strangers, &all));
    let armed: Vec<usize> = (0..pack.weapons.len()).filter(|at| pack.weapons[*at].rules.contains(&rule)).collect();
    let everything: Vec<usize> = (0..pack.weapons.len()).collect();
    let (attackers, targets) = match seat {
        Seat::Attacker => (or(own, &all), other),
        Seat::Target => (other, or(own, &all)),
        Seat::Weapon => (or(own, &all), other),
        // The unit that gains stands near the one that carries it.
        Seat::NearAttacker => (other, all),
        Seat::NearTarget => (all, other),
        Seat::Table => (or(said.units.clone(), &all), kinds(or(said.units.clone(), &all))),
    };
    let carried = if seat == Seat::Weapon && !armed.is_empty() { &armed } else { &everything };
    let named: Vec<usize> = weapons.iter().copied().filter(|at| carried.contains(at)).collect();
    World {
        pack,
        arcs: &said.arcs,
        ranges: &said.ranges,
        covers: &said.covers,
        moved: said.moved,
        flags: &said.flags,
        weapons: or(or(named, weapons), carried),
        attackers,
        targets,
        rule,
        named: &said.rules,
    }
}
