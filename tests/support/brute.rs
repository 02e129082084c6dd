//! Every course that a game can take, each face of each die in turn, in exact fractions.
use crate::play::{Game, Key, Luck, Progress};
use num_bigint::BigInt;
use num_rational::{BigRational, Ratio};
use num_traits::{One, Zero};
use std::collections::BTreeMap;

/// For each quantity the chance of each value (of counts such as rolls made: how often it is to be expected).
pub type Found = BTreeMap<Key, BTreeMap<i64, BigRational>>;

/// Plays the game out in every way.
pub fn brute<G: Game>(game: &G) -> Found {
    let mut found = Found::new();
    let mut going = BTreeMap::from([(game.start(), BigRational::one())]);
    while !going.is_empty() {
        let mut between = BTreeMap::new();
        while !going.is_empty() {
            let mut next = BTreeMap::new();
            for (state, weight) in going {
                for ((progress, state), part) in moves(game, &state, &weight, &mut found) {
                    let weight = &weight * part;
                    let into = match progress {
                        Progress::Going => &mut next,
                        _ => &mut between,
                    };
                    if progress != Progress::Over {
                        *into.entry(state).or_insert_with(BigRational::zero) += weight;
                    }
                }
            }
            going = next;
        }
        going = between;
    }
    found
}

/// The chance that something done once succeeds; nothing is given up for good.
pub fn chance(once: impl Fn(&mut dyn Luck) -> Option<bool>) -> BigRational {
    let mut paths = Paths::default();
    let mut yes = Small::zero();
    let mut all = Small::zero();
    loop {
        let success = once(&mut paths);
        let weight = paths.weight();
        if success == Some(true) {
            yes += weight;
        }
        if success.is_some() {
            all += weight;
        }
        if !paths.turn() {
            return big(yes / all);
        }
    }
}

/// All that something done once can come to, each with its chance; what is given up is shared out among the rest.
pub fn outcomes<T: Ord>(once: impl Fn(&mut dyn Luck) -> Option<T>) -> Vec<(T, f64)> {
    let mut paths = Paths::default();
    let mut found: BTreeMap<T, Small> = BTreeMap::new();
    let mut all = Small::zero();
    loop {
        let outcome = once(&mut paths);
        let weight = paths.weight();
        if let Some(outcome) = outcome {
            *found.entry(outcome).or_insert_with(Small::zero) += weight;
            all += weight;
        }
        if !paths.turn() {
            break;
        }
    }
    let near = |small: Small| crate::play::number::to_f64(&big(small));
    found.into_iter().map(|(outcome, weight)| (outcome, near(weight / all))).collect()
}

type Small = Ratio<u128>;
type Parts<S> = BTreeMap<(Progress, S), BigRational>;

fn big(small: Small) -> BigRational {
    BigRational::new(BigInt::from(*small.numer()), BigInt::from(*small.denom()))
}

/// All that one move can lead to, and what is noted on the way.
fn moves<G: Game>(game: &G, from: &G::State, weight: &BigRational, found: &mut Found) -> Parts<G::State> {
    let mut paths = Paths::default();
    let mut parts: BTreeMap<(Progress, G::State), Small> = BTreeMap::new();
    let mut notes: BTreeMap<(Key, i64), Small> = BTreeMap::new();
    let mut void = Small::zero();
    loop {
        let mut state = from.clone();
        let progress = game.advance(&mut state, &mut paths);
        let chance = paths.weight();
        if progress == Progress::Void {
            void += chance;
        } else {
            *parts.entry((progress, state)).or_insert_with(Small::zero) += chance;
            for note in paths.notes.drain(..) {
                *notes.entry(note).or_insert_with(Small::zero) += chance;
            }
        }
        if !paths.turn() {
            break;
        }
    }
    // What was given up is shared out among the rest.
    let share = (Small::one() - void).recip();
    for ((key, value), chance) in notes {
        let seen = found.entry(key).or_default().entry(value).or_insert_with(BigRational::zero);
        *seen += weight * big(chance * share);
    }
    parts.into_iter().map(|(to, chance)| (to, big(chance * share))).collect()
}

/// One course of a move after another, the last choice turning fastest.
#[derive(Default)]
struct Paths {
    /// The choice made, and how many there are.
    choices: Vec<(u32, u32)>,
    at: usize,
    chance: Option<Small>,
    notes: Vec<(Key, i64)>,
}

impl Paths {
    fn choose(&mut self, of: u32) -> u32 {
        if self.at == self.choices.len() {
            self.choices.push((0, of));
        }
        self.at += 1;
        self.choices[self.at - 1].0
    }

    fn multiply(&mut self, p: u64, q: u64) {
        let so_far = self.chance.unwrap_or(Small::one());
        self.chance = Some(so_far * Small::new(p.into(), q.into()));
    }

    fn weight(&mut self) -> Small {
        self.chance.take().unwrap_or(Small::one())
    }

    /// The next course; false after the last.
    fn turn(&mut self) -> bool {
        self.at = 0;
        self.notes.clear();
        while let Some((choice, of)) = self.choices.pop() {
            if choice + 1 < of {
                self.choices.push((choice + 1, of));
                return true;
            }
        }
        false
    }
}

impl Luck for Paths {
    fn even(&mut self, n: u32) -> u32 {
        self.multiply(1, n.into());
        self.choose(n)
    }

    fn weighted(&mut self, weights: &[u64]) -> usize {
        let choice = self.choose(u32::try_from(weights.len()).expect("few")) as usize;
        self.multiply(weights[choice], weights.iter().sum());
        choice
    }

    fn note(&mut self, key: Key, value: i64) {
        self.notes.push((key, value));
    }

    fn anew(&mut self) -> bool {
        false
    }
}
