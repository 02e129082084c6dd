//! Words become names of the pack: whole names, parts of names, beginnings. Spelling was mended before.
use super::fillers::{is_filler, singular};
use super::piece::Piece;
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
    /// The pieces: from, and how many.
    pub at: usize,
    /// How many pieces.
    pub length: usize,
}

/// How well words fit a name; the greater the better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    Beginning,
    Part,
    Whole,
}

/// The names of these kinds that stand in the pieces, from left to right, none upon another.
///
/// A `reserved` word means something to the command by itself, so that alone it is only ever a whole name.
pub fn find(pieces: &[Piece], index: &PackIndex, kinds: &[NameKind], reserved: &dyn Fn(&str) -> bool) -> Vec<Found> {
    let names = Names::of(index, kinds);
    let mut found: Vec<(usize, Fit, Found)> = Vec::new();
    for at in 0..pieces.len() {
        for length in 1..=LONGEST.min(pieces.len() - at) {
            let words: Option<Vec<&str>> = pieces[at..at + length].iter().map(Piece::word).collect();
            let Some(words) = words else { break };
            let fit =
                names.fit(&words).filter(|(fit, ..)| *fit == Fit::Whole || !words.iter().all(|word| reserved(word)));
            found.extend(fit.map(|(fit, kind, name)| (length, fit, Found { kind, name, at, length })));
        }
    }
    // The longest first, and of equals the best; a whole name of one word beats a part of a longer one only by that.
    found.sort_by(|a, b| (b.0, b.1).cmp(&(a.0, a.1)).then(a.2.at.cmp(&b.2.at)));
    let mut taken = vec![false; pieces.len()];
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

struct Names<'a>(Vec<(NameKind, &'a str, &'a str, Vec<String>)>);

impl<'a> Names<'a> {
    fn of(index: &'a PackIndex, kinds: &[NameKind]) -> Self {
        let each = |kind: &NameKind| {
            let kind = *kind;
            index.names(kind).into_iter().map(move |(id, name)| (kind, id, name, name_words(name)))
        };
        Self(kinds.iter().flat_map(each).collect())
    }

    /// The best fit of these words, with all the names that fit as well.
    fn fit(&self, words: &[&str]) -> Option<(Fit, NameKind, Name)> {
        let mut best: Option<(Fit, Vec<usize>)> = None;
        for (at, (_, _, _, name)) in self.0.iter().enumerate() {
            let Some(fit) = fit(words, name) else { continue };
            match &mut best {
                Some((known, places)) if *known == fit => places.push(at),
                Some((known, _)) if *known > fit => {}
                _ => best = Some((fit, vec![at])),
            }
        }
        let (fit, places) = best?;
        let (kind, id, name, _) = &self.0[places[0]];
        let others =
            places[1..].iter().filter(|&&at| self.0[at].0 == *kind).map(|&at| self.0[at].2.to_owned()).collect();
        Some((fit, *kind, Name { id: (*id).to_owned(), name: (*name).to_owned(), others }))
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
