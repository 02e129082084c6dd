//! The pack's names in the words of a question.
use super::super::model::{Named, Pack};
use super::super::names::{is_slip, plain};
use super::idle::is_idle;
use super::lexicon::{WITHIN_NAMES, is_in};
use super::synonyms::SAME;
use super::words::Word;
use std::collections::HashMap;

/// What a name is the name of; the number is its index among its sort.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sort {
    /// An arc.
    Arc,
    /// A range band.
    Range,
    /// A cover.
    Cover,
    /// A flag of the situation.
    Flag,
    /// A rule.
    Rule,
    /// A unit.
    Unit,
    /// A weapon.
    Weapon,
    /// A kind of unit.
    Kind,
    /// An option, in the order of `options`.
    Option,
    /// A mark, in the order of [`statuses`].
    Status,
    /// A roll or a number that goes into one, in the order of [`super::topics::topics`].
    Topic,
}

/// A name that stands in the question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spot {
    /// What it is a name of.
    pub sort: Sort,
    /// Which, by index.
    pub at: usize,
    /// Its first word.
    pub from: usize,
    /// The word after its last.
    pub to: usize,
}

/// All names of a pack, by their words put together: `white out` is `whiteout`.
pub(super) struct Lexicon {
    names: HashMap<String, Vec<(Sort, usize)>>,
    words: Vec<String>,
}

/// The longest name has so many words.
const LONGEST: usize = 7;

/// All options of all units.
pub(super) fn options(pack: &Pack) -> Vec<(usize, usize)> {
    let of = |(at, unit): (usize, &super::super::model::unit::Unit)| {
        (0..unit.options.len()).map(move |option| (at, option)).collect::<Vec<_>>()
    };
    pack.units.iter().enumerate().flat_map(of).collect()
}

/// All marks that a target may bear.
pub fn statuses(pack: &Pack) -> Vec<&str> {
    let mut found: Vec<&str> = Vec::new();
    for status in pack.breaches.iter().flat_map(|breach| &breach.rows).filter_map(|row| row.status.as_deref()) {
        if !found.contains(&status) {
            found.push(status);
        }
    }
    found
}

impl Lexicon {
    /// The names of a pack.
    pub(super) fn of(pack: &Pack) -> Self {
        let mut lexicon = Self { names: HashMap::new(), words: Vec::new() };
        let table = &pack.situations;
        table.arcs.iter().enumerate().for_each(|(at, word)| lexicon.named(Sort::Arc, at, &word.named));
        table.ranges.iter().enumerate().for_each(|(at, band)| lexicon.named(Sort::Range, at, &band.word.named));
        table.covers.iter().enumerate().for_each(|(at, word)| lexicon.named(Sort::Cover, at, &word.named));
        table.flags.iter().enumerate().for_each(|(at, flag)| lexicon.named(Sort::Flag, at, flag));
        pack.rules.iter().enumerate().for_each(|(at, rule)| lexicon.named(Sort::Rule, at, &rule.named));
        pack.units.iter().enumerate().for_each(|(at, unit)| lexicon.named(Sort::Unit, at, &unit.named));
        pack.weapons.iter().enumerate().for_each(|(at, weapon)| lexicon.named(Sort::Weapon, at, &weapon.named));
        pack.kinds.iter().enumerate().for_each(|(at, kind)| lexicon.named(Sort::Kind, at, &kind.named));
        for (at, (unit, option)) in options(pack).into_iter().enumerate() {
            lexicon.named(Sort::Option, at, &pack.units[unit].options[option].named);
        }
        statuses(pack).into_iter().enumerate().for_each(|(at, status)| lexicon.add(Sort::Status, at, status));
        for (at, topic) in super::topics::topics(pack).into_iter().enumerate() {
            topic.names.iter().for_each(|name| lexicon.add(Sort::Topic, at, name));
        }
        lexicon.fear(pack);
        lexicon.same(pack);
        lexicon.words.sort_unstable();
        lexicon.words.dedup();
        lexicon
    }

    fn named(&mut self, sort: Sort, at: usize, named: &Named) {
        for name in [&named.label, &named.id].into_iter().chain(&named.also) {
            self.add(sort, at, name);
        }
    }

    fn add(&mut self, sort: Sort, at: usize, name: &str) {
        let name = plain(name);
        let words: Vec<&str> = name.split(' ').filter(|word| !word.is_empty()).collect();
        self.words.extend(words.iter().map(|word| (*word).to_owned()));
        // `the open`, `a stone's throw`: the article says nothing.
        let bare = if matches!(words.first(), Some(&"the" | &"a" | &"an")) { &words[1..] } else { &words[..] };
        for words in [&words[..], bare] {
            let all = self.names.entry(words.concat()).or_default();
            if !words.is_empty() && !all.contains(&(sort, at)) {
                all.push((sort, at));
            }
        }
    }

    /// Words of fear are the roll afterwards of a pack that has only one.
    fn fear(&mut self, pack: &Pack) {
        if pack.aftermath.len() != 1 {
            return;
        }
        let topics = super::topics::topics(pack);
        let Some(at) = topics.iter().position(|topic| matches!(topic.what, super::topics::What::Aftermath(_))) else {
            return;
        };
        for word in super::lexicon::FEAR {
            let free = self.names.get(*word).is_none_or(Vec::is_empty);
            if free {
                self.add(Sort::Topic, at, word);
            }
        }
    }

    /// The ordinary words for what the pack has words for.
    fn same(&mut self, pack: &Pack) {
        let table = &pack.situations;
        let arcs = table.arcs.iter().enumerate().map(|(at, word)| (Sort::Arc, at, &word.named));
        let ranges = table.ranges.iter().enumerate().map(|(at, band)| (Sort::Range, at, &band.word.named));
        let covers = table.covers.iter().enumerate().map(|(at, word)| (Sort::Cover, at, &word.named));
        let flags = table.flags.iter().enumerate().map(|(at, flag)| (Sort::Flag, at, flag));
        let all: Vec<(Sort, usize, &Named)> = arcs.chain(ranges).chain(covers).chain(flags).collect();
        for row in &*SAME {
            let in_row = |name: &String| row.iter().any(|word| plain(word) == plain(name));
            for (sort, at, named) in &all {
                let mut names = [&named.id, &named.label].into_iter().chain(&named.also);
                if !names.any(in_row) {
                    continue;
                }
                for word in row {
                    let free = self.names.get(&plain(word).replace(' ', "")).is_none_or(Vec::is_empty);
                    if free {
                        self.add(*sort, *at, word);
                    }
                }
            }
        }
    }

    /// What a run of words is the name of.
    fn get(&self, joined: &str) -> &[(Sort, usize)] {
        self.names.get(joined).map_or(&[], Vec::as_slice)
    }

    /// The word, or the one of a name that it was meant to be.
    fn mended(&self, word: &str) -> Option<String> {
        let known = |word: &str| self.words.binary_search_by(|other| other.as_str().cmp(word)).is_ok();
        if word.len() < 5
            || is_idle(word)
            || super::lexicon::is_ordinary(word)
            || known(word)
            || crate::english::is_word_or_stem(word)
        {
            return None;
        }
        // Another form of a name's word is no slip of a third one.
        if self.words.iter().any(|other| super::super::search::same(word, other)) {
            return None;
        }
        let alike = |other: &&String| other.len() > 3 && other.chars().next() == word.chars().next();
        let mut close = self.words.iter().filter(alike).filter(|other| is_slip(other, word));
        match (close.next(), close.next()) {
            (Some(one), None) => Some(one.clone()),
            _ => None,
        }
    }

    /// The names in the words, the longest first and none upon another, in their order; and which words they take.
    pub(super) fn spots(&self, words: &mut [Word]) -> (Vec<Spot>, Vec<bool>) {
        for word in words.iter_mut() {
            if let Some(mended) = self.mended(&word.plain) {
                word.plain = mended;
            }
        }
        let mut spots: Vec<Spot> = Vec::new();
        for from in 0..words.len() {
            let mut joined = String::new();
            for to in from + 1..=words.len().min(from + LONGEST) {
                if to > from + 1 && words[to - 1].breaks {
                    break;
                }
                let within = to > from + 1 && to < words.len() && is_in(WITHIN_NAMES, &words[to - 1].plain);
                if !within {
                    joined.push_str(&words[to - 1].plain);
                    let here = self.get(&joined).iter();
                    spots.extend(here.map(|(sort, at)| Spot { sort: *sort, at: *at, from, to }));
                }
            }
        }
        spots.sort_by_key(|spot| std::cmp::Reverse(spot.to - spot.from));
        let mut taken = vec![false; words.len()];
        let mut kept: Vec<Spot> = Vec::new();
        for spot in spots {
            // One word may be the name of several things.
            let same = kept.iter().any(|other| (other.from, other.to) == (spot.from, spot.to));
            let free = taken[spot.from..spot.to].iter().all(|taken| !taken);
            if (same || free) && super::places::stands(words, &spot) {
                taken[spot.from..spot.to].fill(true);
                kept.push(spot);
            }
        }
        kept.sort_by_key(|spot| spot.from);
        (kept, taken)
    }
}
