//! Which rule a question is about: by its name, or by what it speaks of.
use super::super::conditions::Ternary;
use super::super::model::Pack;
use super::super::model::change::{Change, RollId, Rule};
use super::super::model::condition::{Condition, Trait};
use super::super::names::plain;
use super::super::search::same;
use super::evidence::Evidence;
use super::form::Form;
use super::idle::is_idle;
use super::lexicon::{self, is_in};
use super::said::Reading;
use super::spots::{Sort, Spot};

/// A rule that a question may be about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Found {
    /// Which, by index.
    pub rule: usize,
    /// Whether its name was said, or the part of it that tells it from others.
    pub by_name: bool,
    /// Whether its name was said in full, and is nothing else's.
    pub in_full: bool,
    /// How much speaks for it: the logarithm of how much likelier it is meant than no rule at all.
    pub score: f64,
    pub first: usize,
}

impl Found {
    /// Whether it is worth being named beside another.
    pub(super) fn is_likely(&self) -> bool {
        self.by_name || self.score >= 0.0
    }
}

/// So much must speak for a rule.
const ENOUGH: f64 = -2.5;
/// So much is enough for a yes or a no about a rule that is likely enough to be shown.
const MUCH: f64 = -1.75;
/// So far ahead of all others is enough where more speaks for a rule than for none.
const LEAD: f64 = 0.9;
/// Of the chance of all rules so much must be with the best one for it to be shown.
const SHOWN: f64 = 0.6;
/// For a yes or a no: a wrong verdict is worse than a wrong rule shown.
const SURE: f64 = 0.75;
/// For a rule to be worth asking after, where no other stands out.
const POSSIBLE: f64 = 0.2;
/// What speaks less for a rule is not looked at.
const LEAST: f64 = -5.0;

/// The rules that a question may be about, best first.
pub(super) fn found(pack: &Pack, reading: &Reading, form: &Form) -> Vec<Found> {
    let texts: Vec<Vec<String>> =
        pack.rules.iter().map(|rule| content(&format!("{} {}", rule.named.label, rule.named.text))).collect();
    let mut found: Vec<Found> = (0..pack.rules.len()).map(|at| rate(pack, at, reading, form, &texts)).collect();
    found.retain(|found| found.by_name || found.score > LEAST);
    found.sort_by(|a, b| {
        let by_name = b.in_full.cmp(&a.in_full).then(b.score.total_cmp(&a.score));
        by_name.then(a.first.cmp(&b.first)).then(a.rule.cmp(&b.rule))
    });
    found
}

/// The words of a text that say something.
pub(super) fn content(text: &str) -> Vec<String> {
    let mut words: Vec<String> = plain(text).split(' ').filter(|word| !is_idle(word)).map(str::to_owned).collect();
    words.sort_unstable();
    words.dedup();
    words
}

/// The share of the question's words of meaning that nothing of the pack explains.
pub(super) fn unexplained(pack: &Pack, reading: &Reading) -> f64 {
    let texts: Vec<Vec<String>> = pack.rules.iter().map(|rule| content(&rule.named.text)).collect();
    let (mut all, mut unknown) = (0_u32, 0_u32);
    let aside = asides(reading);
    for ((word, taken), aside) in reading.words.iter().zip(&reading.taken).zip(&aside) {
        if *aside {
            continue;
        }
        let silent =
            is_idle(&word.plain) || lexicon::is_ordinary(&word.plain) || word.inches.is_some() || word.number.is_some();
        if silent && !taken {
            continue;
        }
        all += 1;
        let told = || texts.iter().any(|text| text.iter().any(|other| same(&word.plain, other)));
        unknown += u32::from(!taken && !told());
    }
    if all == 0 { 0.0 } else { f64::from(unknown) / f64::from(all) }
}

/// Which words stand in a clause that names nothing of the pack, where another clause does: `my boy is very upset, …`.
fn asides(reading: &Reading) -> Vec<bool> {
    let mut aside = vec![false; reading.words.len()];
    let mut from = 0;
    while from < reading.words.len() {
        let to = (from + 1..reading.words.len()).find(|at| reading.words[*at].breaks).unwrap_or(reading.words.len());
        aside[from..to].fill(!reading.taken[from..to].iter().any(|taken| *taken));
        from = to;
    }
    if aside.iter().all(|aside| *aside) { vec![false; reading.words.len()] } else { aside }
}

fn rate(pack: &Pack, at: usize, reading: &Reading, form: &Form, texts: &[Vec<String>]) -> Found {
    let spot = reading.spots.iter().find(|spot| spot.sort == Sort::Rule && spot.at == at);
    let evidence = Evidence::of(pack, at, reading, form, texts);
    let part = || part_of_name(&pack.rules[at], reading) >= 1.0 / 3.0 && part_is_telling(pack, at, reading);
    let by_name = evidence.named || (spot.is_none() && part());
    let first = spot.map_or(usize::MAX, |spot| spot.from);
    Found { rule: at, by_name, in_full: evidence.named, score: evidence.score(), first }
}

/// The share of a name's words that stand in the question, and are not part of another name there.
fn part_of_name(rule: &Rule, reading: &Reading) -> f64 {
    let place = |spot: &Spot| matches!(spot.sort, Sort::Arc | Sort::Range | Sort::Cover | Sort::Flag);
    let covers =
        |spot: &Spot, at: usize| (spot.from..spot.to).contains(&at) && (spot.to > spot.from + 1 || place(spot));
    let free = |at: usize| !reading.spots.iter().any(|spot| covers(spot, at));
    let names = std::iter::once(&rule.named.label).chain(&rule.named.also);
    let share = names.map(|name| {
        let words = content(name);
        let hit = words
            .iter()
            .filter(|word| reading.words.iter().enumerate().any(|(at, other)| free(at) && same(word, &other.plain)));
        let hits = hit.count();
        if words.is_empty() { 0.0 } else { hits as f64 / words.len() as f64 }
    });
    share.fold(0.0, f64::max)
}

/// Whether the part of the name that was said is of this rule's name alone, and names nothing else of the pack.
fn part_is_telling(pack: &Pack, at: usize, reading: &Reading) -> bool {
    let names = |rule: &Rule| -> Vec<String> {
        std::iter::once(&rule.named.label).chain(&rule.named.also).flat_map(|name| content(name)).collect()
    };
    let own = names(&pack.rules[at]);
    let others: Vec<String> =
        pack.rules.iter().enumerate().filter(|(other, _)| *other != at).flat_map(|(_, rule)| names(rule)).collect();
    reading.words.iter().zip(&reading.taken).any(|(word, taken)| {
        !*taken
            && !lexicon::is_ordinary(&word.plain)
            && own.iter().any(|other| same(other, &word.plain))
            && !others.iter().any(|other| same(other, &word.plain))
    })
}

/// Whether a rule doubles something.
pub(super) fn doubles(rule: &Rule) -> bool {
    let extra =
        |change: &Change| change.effects.critical.as_ref().is_some_and(|critical| critical.gain.extra.is_some());
    rule.changes.iter().any(|change| change.effects.times.is_some() || extra(change))
}

/// Whether a change makes a roll better (1) or worse (-1) for whoever makes it; 0 where it does neither or both.
pub(super) fn sign(change: &Change) -> i32 {
    let effects = &change.effects;
    let of = |sum: &Option<super::super::model::sum::Sum>| {
        sum.as_ref().map_or(0, |sum| sum.as_number().unwrap_or(1).signum())
    };
    let after = change.rolls.iter().any(|roll| matches!(roll, RollId::Aftermath(_)));
    if effects.deny || effects.backfire.is_some() {
        return -1;
    }
    let good = of(&effects.modifier) + of(&effects.add) - of(&effects.against) - of(&effects.harder)
        + of(&effects.attacks)
        + of(&effects.damage)
        + i32::from(effects.reroll.is_some())
        + i32::from(effects.critical.is_some())
        + i32::from(effects.times.is_some_and(|times| times > 1))
        + i32::from(effects.keep.is_some())
        + i32::from(effects.spill == Some(true));
    if after { -good.signum() } else { good.signum() }
}

/// The one rule that hangs on a flag: `what happens in a snowstorm`.
pub(super) fn of_flag(pack: &Pack, reading: &Reading) -> Option<usize> {
    let happens = reading.words.iter().any(|word| is_in(&["happen", "happens", "effect", "effects"], &word.plain));
    let flags: Vec<usize> =
        reading.said.flags.iter().enumerate().filter(|(_, so)| **so == Some(true)).map(|(at, _)| at).collect();
    let ([flag], true) = (flags.as_slice(), happens) else { return None };
    let hangs = |rule: &&usize| {
        let mut whole = Asks::default();
        whole.of(&pack.rules[**rule].when);
        whole.flags.contains(flag)
    };
    let all: Vec<usize> = (0..pack.rules.len()).collect();
    match all.iter().filter(hangs).collect::<Vec<_>>().as_slice() {
        [one] => Some(**one),
        _ => None,
    }
}

/// What a rule's conditions ask for.
#[derive(Default)]
pub(super) struct Asks {
    pub arc: bool,
    pub range: bool,
    pub cover: bool,
    pub moved: bool,
    pub models: bool,
    pub status: bool,
    pub flags: Vec<usize>,
    pub traits: Vec<Trait>,
}

impl Asks {
    /// Of all its changes.
    pub(super) fn by(rule: &Rule) -> Self {
        let mut asks = Self::default();
        asks.of(&rule.when);
        rule.changes.iter().for_each(|change| asks.of(&change.when));
        asks
    }

    /// Of one condition.
    pub(super) fn of(&mut self, condition: &Condition) {
        match condition {
            Condition::All(parts) | Condition::Any(parts) => parts.iter().for_each(|part| self.of(part)),
            Condition::Not(inner) => self.of(inner),
            Condition::Arc(_) => self.arc = true,
            Condition::Range(_) => self.range = true,
            Condition::Cover(_) => self.cover = true,
            Condition::Moved(_) => self.moved = true,
            Condition::Flag(flag, _) => self.flags.push(*flag),
            Condition::Status(_) => self.status = true,
            Condition::Is(_, traits) => self.traits.extend(traits),
            Condition::Compare(sum, ..) => {
                self.models |=
                    sum.0.iter().any(|term| matches!(term.source, super::super::model::sum::Source::Models(_)));
            }
            Condition::Template(_) => {}
        }
    }
}

/// Whether the best stands out: by its name, or because enough speaks for it and little for others.
pub(super) fn clear(found: &[Found], form: &Form) -> Ternary {
    let [first, ..] = found else { return Ternary::No };
    let all: f64 = found.iter().map(|found| (found.score - first.score).exp()).sum();
    let chance = |found: &Found| (found.score - first.score).exp() / all;
    let likely = chance(first) >= if form.yes_or_no { SURE } else { SHOWN };
    let much = first.score >= MUCH && chance(first) >= SHOWN;
    let ahead = first.score >= 0.0 && found.get(1).is_none_or(|next| first.score - next.score >= LEAD);
    if first.by_name || much || ahead || (first.score >= ENOUGH && likely) {
        return Ternary::Yes;
    }
    let possible = found.iter().filter(|found| found.score >= ENOUGH && chance(found) >= POSSIBLE);
    if possible.count() > 1 { Ternary::Open } else { Ternary::No }
}
