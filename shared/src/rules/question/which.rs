//! Which rule a question is about: by its name, or by what it speaks of.
use super::super::conditions::Ternary;
use super::super::model::Pack;
use super::super::model::change::{Change, RollId, Rule, RuleScope};
use super::super::model::condition::{Condition, Trait};
use super::super::names::plain;
use super::super::search::same;
use super::form::Form;
use super::idle::is_idle;
use super::lexicon::{self, is_in};
use super::said::Reading;
use super::spots::{Sort, Spot};
use super::topics::{What, meets, touched};

/// A rule that a question may be about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Found {
    /// Which, by index.
    pub rule: usize,
    /// Whether its name was said.
    pub by_name: bool,
    /// How much speaks for it.
    pub score: f64,
    pub first: usize,
}

impl Found {
    /// Whether it is worth being named beside another.
    pub(super) fn is_likely(&self) -> bool {
        self.by_name || self.score >= ENOUGH
    }
}

/// What speaks for a rule.
mod weight {
    pub(super) const NAME: f64 = 30.0;
    pub(super) const COMMON_NAME: f64 = 9.0;
    pub(super) const PART_OF_NAME: f64 = 9.0;
    pub(super) const WEAPON: f64 = 4.0;
    pub(super) const UNIT: f64 = 2.0;
    pub(super) const AXIS: f64 = 3.0;
    pub(super) const WHOLE: f64 = 1.5;
    pub(super) const ROLL: f64 = 4.0;
    pub(super) const TRAIT: f64 = 2.0;
    pub(super) const VERB: f64 = 2.0;
    pub(super) const TEXT: f64 = 8.0;
    pub(super) const MISFIT: f64 = -5.0;
}

/// So much speaks for a rule that was not named, at least.
const ENOUGH: f64 = 5.5;
/// By so much the best must lead.
const MARGIN: f64 = 1.25;

/// The rules that a question may be about, best first.
pub(super) fn found(pack: &Pack, reading: &Reading, form: &Form) -> Vec<Found> {
    let texts: Vec<Vec<String>> =
        pack.rules.iter().map(|rule| content(&format!("{} {}", rule.named.label, rule.named.text))).collect();
    let mut found: Vec<Found> = (0..pack.rules.len()).map(|at| score(pack, at, reading, form, &texts)).collect();
    found.retain(|found| found.score > 0.0);
    found.sort_by(|a, b| {
        b.by_name
            .cmp(&a.by_name)
            .then(b.score.total_cmp(&a.score))
            .then(a.first.cmp(&b.first))
            .then(a.rule.cmp(&b.rule))
    });
    found
}

/// The words of a text that say something.
fn content(text: &str) -> Vec<String> {
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

fn score(pack: &Pack, at: usize, reading: &Reading, form: &Form, texts: &[Vec<String>]) -> Found {
    let rule = &pack.rules[at];
    let said = &reading.said;
    let spot = reading.spots.iter().find(|spot| spot.sort == Sort::Rule && spot.at == at);
    let named = spot.map(|spot| whole(reading, spot));
    let part = part_of_name(rule, reading);
    let by_name =
        named == Some(weight::NAME) || (named.is_none() && part >= 1.0 / 3.0 && part_is_telling(pack, at, reading));
    let mut score = named.unwrap_or(0.0) + if named.is_none() { weight::PART_OF_NAME * part } else { 0.0 };
    let first = spot.map_or(usize::MAX, |spot| spot.from);
    score += effects(pack, at, reading, form);
    score += weight::TEXT * overlap(at, reading, texts);
    // A rule that sits on weapons is not that of a weapon without it.
    let on_weapons = rule.changes.iter().any(|change| change.side == RuleScope::Weapon);
    if on_weapons
        && !said.weapons.is_empty()
        && !said.weapons.iter().any(|weapon| pack.weapons[*weapon].rules.contains(&at))
    {
        score += weight::MISFIT;
    }
    Found { rule: at, by_name, score, first }
}

/// A name in full; one that is also the name of something else counts less.
fn whole(reading: &Reading, spot: &Spot) -> f64 {
    let shared = reading.spots.iter().any(|other| {
        other.sort != Sort::Rule && other.sort != Sort::Option && (other.from, other.to) == (spot.from, spot.to)
    });
    if shared { weight::COMMON_NAME } else { weight::NAME }
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

/// How much of the question's meaning the rule's text tells; rare words tell more.
fn overlap(at: usize, reading: &Reading, texts: &[Vec<String>]) -> f64 {
    let holds = |text: &[String], word: &str| text.iter().any(|other| same(other, word));
    let (mut all, mut told) = (0.0, 0.0);
    for word in
        reading.words.iter().filter(|word| word.inches.is_none() && word.number.is_none() && !is_idle(&word.plain))
    {
        let count = texts.iter().filter(|text| holds(text, &word.plain)).count();
        // What no rule speaks of may be chatter.
        let rare = if count == 0 { 0.5 } else { (texts.len() as f64 / count as f64).ln().max(0.1) };
        all += rare;
        told += if holds(&texts[at], &word.plain) { rare } else { 0.0 };
    }
    if all > 0.0 { told / all } else { 0.0 }
}

/// What of the question the rule's carriers, conditions and changes answer to.
fn effects(pack: &Pack, at: usize, reading: &Reading, form: &Form) -> f64 {
    let (rule, said) = (&pack.rules[at], &reading.said);
    let asks = Asks::by(rule);
    let mut score = 0.0;
    if said.weapons.iter().any(|weapon| pack.weapons[*weapon].rules.contains(&at)) {
        score += weight::WEAPON;
    }
    let carries = |unit: &usize| pack.units[*unit].rules.contains(&at);
    if said.mentions.iter().any(|mention| mention.units.len() == 1 && mention.units.iter().any(carries)) {
        score += weight::UNIT;
    }
    let axes = [
        asks.arc && said.spoken.arc,
        asks.range && said.spoken.range,
        asks.cover && said.spoken.cover,
        asks.moved && said.moved.is_some(),
        asks.flags.iter().any(|flag| said.flags.get(*flag).copied().flatten().is_some()),
        asks.models && !said.counts.is_empty(),
        asks.status && !said.statuses.is_empty(),
    ];
    let hits = axes.into_iter().filter(|hit| *hit).count().min(2);
    score += weight::AXIS * hits as f64;
    // What the whole rule hangs on is what it is about.
    let mut whole = Asks::default();
    whole.of(&rule.when);
    let flag = |flag: &usize| said.flags.get(*flag).copied().flatten().is_some();
    let hangs =
        whole.flags.iter().any(flag) || (whole.moved && said.moved.is_some()) || (whole.cover && said.spoken.cover);
    score += if hangs { weight::WHOLE } else { 0.0 };
    // Whoever stands near brings what works near by.
    let near = |scope: RuleScope| matches!(scope, RuleScope::NearAttacker | RuleScope::NearTarget);
    let brought =
        near(rule.side) && said.mentions.iter().any(|mention| mention.near && mention.units.iter().any(carries));
    score += if brought { weight::UNIT } else { 0.0 };
    // A unit, a kind or a weapon that a condition asks for.
    let weapon = |weapon: &usize| {
        asks.traits.iter().any(|word| {
            *word == Trait::Weapon(*weapon)
                || pack.weapons[*weapon].rules.iter().any(|rule| *word == Trait::Rule(*rule))
        })
    };
    let unit = |unit: &usize| {
        asks.traits.iter().any(|word| {
            matches!(word, Trait::Unit(other) if other == unit)
                || matches!(word, Trait::Rule(rule) if pack.units[*unit].rules.contains(rule))
        })
    };
    if said.weapons.iter().any(weapon) || said.mentions.iter().flat_map(|mention| &mention.units).any(unit) {
        score += weight::TRAIT;
    }
    let topics = said.topics.iter().filter(|(what, _)| !matches!(what, What::Stat(_, _)) || !rule.changes.is_empty());
    let spoken: Vec<RollId> = topics.flat_map(|(_, rolls)| rolls.iter().copied()).collect();
    let touches = rule.changes.iter().flat_map(touched).any(|own| spoken.iter().any(|roll| meets(own, *roll)));
    score += match (touches, spoken.is_empty()) {
        (true, _) => weight::ROLL,
        (false, true) => 0.0,
        // A roll was spoken of, and it is not this rule's.
        (false, false) => -weight::ROLL,
    };
    score + verbs(pack, at, reading, form)
}

/// What the question's verbs say is done.
fn verbs(pack: &Pack, at: usize, reading: &Reading, form: &Form) -> f64 {
    let rule = &pack.rules[at];
    let has = |list: &[&str]| reading.words.iter().any(|word| is_in(list, &word.plain));
    let any = |test: &dyn Fn(&Change) -> bool| rule.changes.iter().any(test);
    let to_hit = |change: &Change| {
        change.rolls.iter().any(|roll| matches!(roll, RollId::Step(step) if pack.procedures.iter().any(|plan| plan.steps.first() == Some(step))))
    };
    let mut score = 0.0;
    score += if has(lexicon::TO_HIT) && any(&to_hit) { weight::VERB } else { 0.0 };
    score += if has(lexicon::MENDS) && (rule.repair.is_some() || any(&|change| change.rolls.contains(&RollId::Repair)))
    {
        weight::ROLL
    } else {
        0.0
    };
    let backfires = has(&["explode", "blow", "backfire", "scald", "burn", "misfire"])
        && any(&|change| change.effects.backfire.is_some());
    score += if backfires { weight::ROLL } else { 0.0 };
    score += if form.twice && doubles(rule) { weight::VERB } else { 0.0 };
    let faces = !reading.said.faces.is_empty() && any(&|change| change.effects.critical.is_some());
    score += if faces { weight::VERB } else { 0.0 };
    // Whoever is named mends by a rule of its own.
    let mender = rule.repair.is_some()
        && has(lexicon::MENDS)
        && reading.said.mentions.iter().any(|one| one.units.iter().any(|unit| pack.units[*unit].rules.contains(&at)));
    score += if mender { weight::ROLL } else { 0.0 };
    const SPILLS: &[&str] = &["leftover", "left", "excess", "spill", "surplus", "carry", "pass", "over", "next"];
    let told = SPILLS.iter().filter(|word| has(&[**word])).count();
    let spills = told > 0 && any(&|change| change.effects.spill == Some(true));
    score += if spills { weight::ROLL * if told > 2 { 2.5 } else { 1.0 } } else { 0.0 };
    let again = has(&["reroll", "rerolled", "rerolls"]) && any(&|change| change.effects.reroll.is_some());
    score += if again { weight::VERB } else { 0.0 };
    let sign = rule.changes.iter().map(sign).find(|sign| *sign != 0).unwrap_or(0);
    let wants = i32::from(form.better) - i32::from(form.worse);
    score += f64::from(sign * wants.signum()) * 0.75;
    if form.defeats && any(&|change| change.effects.deny) {
        score += weight::VERB;
    }
    score
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

/// Whether the best stands out: by its name, or by enough and by far enough.
pub(super) fn clear(found: &[Found], form: &Form) -> Ternary {
    // A wrong verdict is worse than a wrong rule shown.
    let enough = if form.yes_or_no { ENOUGH } else { ENOUGH / 1.5 };
    match found {
        [] => Ternary::No,
        [first, ..] if first.by_name => Ternary::Yes,
        [first, ..] if first.score < enough => Ternary::No,
        [first, second, ..] if first.score - second.score < MARGIN => Ternary::Open,
        _ => Ternary::Yes,
    }
}
