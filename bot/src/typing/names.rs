//! Words become names of the pack: whole names, parts of names, beginnings. Spelling was mended before.
use super::fillers::{is_filler, singular};
use super::token::Token;
use super::value::Name;
use crate::client::index::{NameKind, PackIndex, name_words};

const LONGEST: usize = 5;

/// A name found in a message.
#[derive(Clone, Debug)]
pub struct Found {
    /// What it is the name of.
    pub kind: NameKind,
    /// The name; where several fit, the first of them with the others beside it.
    pub name: Name,
    /// The tokens: from, and how many.
    pub at: usize,
    /// How many tokens.
    pub length: usize,
}

/// How well words fit a name; the greater the better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    Beginning,
    Part,
    /// What people call it besides.
    Called,
    Whole,
}

/// The names of these kinds that stand in the tokens, from left to right, none upon another.
///
/// A `reserved` word means something to the command by itself, so that alone it is only ever a whole name. No name begins
/// where one of the `labels` stands.
pub fn find(
    tokens: &[Token],
    index: &PackIndex,
    kinds: &[NameKind],
    reserved: &dyn Fn(&str, NameKind) -> bool,
    labels: &dyn Fn(usize) -> bool,
) -> Vec<Found> {
    let names = Names::of(index, kinds);
    let mut found: Vec<(usize, Fit, Found)> = Vec::new();
    for at in (0..tokens.len()).filter(|at| !labels(*at)) {
        for length in 1..=LONGEST.min(tokens.len() - at) {
            let words: Option<Vec<&str>> = tokens[at..at + length].iter().map(Token::word).collect();
            let Some(words) = words else { break };
            let fit =
                names.fit(&words, &|fit, kind| fit == Fit::Whole || !words.iter().all(|word| reserved(word, kind)));
            found.extend(fit.map(|(fit, kind, name)| (length, fit, Found { kind, name, at, length })));
        }
    }
    // The longest first, and of equals the best; a whole name of one word beats a part of a longer one only by that.
    found.sort_by(|a, b| (b.0, b.1).cmp(&(a.0, a.1)).then(a.2.at.cmp(&b.2.at)));
    let mut taken = vec![false; tokens.len()];
    let mut kept = Vec::new();
    for (length, _, name) in found {
        let place = name.at..name.at + length;
        if taken[place.clone()].iter().all(|&taken| !taken) {
            taken[place].fill(true);
            kept.push(name);
        }
    }
    kept.sort_by_key(|found| found.at);
    kept
}

/// Each name by its words: what it is the name of, its id, the name that people read, and whether these words are that.
struct Names<'a>(Vec<Entry<'a>>);

struct Entry<'a> {
    kind: NameKind,
    id: &'a str,
    name: &'a str,
    words: Vec<String>,
    own: bool,
}

impl<'a> Names<'a> {
    fn of(index: &'a PackIndex, kinds: &[NameKind]) -> Self {
        let mut entries = Vec::new();
        for &kind in kinds {
            for (id, name, also) in index.called(kind) {
                let entry = |said: &str, own| Entry { kind, id, name, words: name_words(said), own };
                entries.push(entry(name, true));
                entries.extend(also.iter().map(|other| entry(other, false)));
                // `5 tally hands` are five of a Tally Crew.
                if let Some(unit) = index.unit(id).filter(|_| kind == NameKind::Unit) {
                    let counted = [&unit.singular, &unit.plural].into_iter().filter(|said| *said != name);
                    entries.extend(counted.map(|said| entry(said, false)));
                }
            }
        }
        Self(entries)
    }

    /// The best fit of these words that may be, with all the names that fit as well.
    fn fit(&self, words: &[&str], may_be: &dyn Fn(Fit, NameKind) -> bool) -> Option<(Fit, NameKind, Name)> {
        let mut best: Option<(Fit, Vec<&Entry<'_>>)> = None;
        for entry in &self.0 {
            let fit = match fit(words, &entry.words) {
                Some(Fit::Whole) if !entry.own => Fit::Called,
                // A part of another name says nothing for sure.
                Some(_) if !entry.own => continue,
                Some(fit) => fit,
                None => continue,
            };
            match &mut best {
                _ if !may_be(fit, entry.kind) => {}
                Some((known, entries)) if *known == fit => entries.push(entry),
                Some((known, _)) if *known > fit => {}
                _ => best = Some((fit, vec![entry])),
            }
        }
        let (fit, entries) = best?;
        let first = entries[0];
        let mut others: Vec<String> = Vec::new();
        for entry in &entries[1..] {
            if entry.kind == first.kind && entry.id != first.id && !others.iter().any(|other| other == entry.name) {
                others.push(entry.name.to_owned());
            }
        }
        Some((fit, first.kind, Name { id: first.id.to_owned(), name: first.name.to_owned(), others }))
    }
}

fn fit(words: &[&str], name: &[String]) -> Option<Fit> {
    if words.len() == name.len() && words.iter().zip(name).all(|(word, part)| same(word, part)) {
        return Some(Fit::Whole);
    }
    if words.iter().any(|word| is_filler(word)) || words.len() > name.len() {
        return None;
    }
    let every = |test: &dyn Fn(&str, &str) -> bool| words.iter().all(|word| name.iter().any(|part| test(word, part)));
    if every(&same) {
        Some(Fit::Part)
    } else if every(&|word, part| same(word, part) || (word.len() >= 3 && part.starts_with(singular(word)))) {
        Some(Fit::Beginning)
    } else {
        None
    }
}

fn same(word: &str, part: &str) -> bool {
    word == part || singular(word) == singular(part)
}
