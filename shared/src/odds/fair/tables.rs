//! The exact multinomial test: the sum over all tables of counts that are at most as likely as the one that came.
//!
//! Where all faces weigh the same, only sorted tables are gone through, each standing for all its orders. What is as
//! likely as what came is told by whole numbers; doubles that are not near each other need none.
use super::Log;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::number::{Exact, Number};
use dashu_int::UBig;
use std::collections::HashMap;
use std::rc::Rc;

/// Doubles that differ by a larger part than this differ.
pub(super) const NEAR: f64 = 1e-9;
/// Below this nothing is added that anybody sees.
pub(super) const NOTHING: f64 = 1e-290;

/// What is gone through, table by table.
struct Walk<'a> {
    log: &'a Log,
    even: bool,
    token: &'a CancellationToken,
    counts: Vec<u32>,
}

impl<'a> Walk<'a> {
    fn new(log: &'a Log, token: &'a CancellationToken) -> Self {
        Self { log, even: log.is_even(), token, counts: vec![0; log.seen().len()] }
    }

    /// The counts that the face at this place may have, with so many throws left for it and those behind it.
    fn range(&self, at: usize, left: u32) -> (u32, u32) {
        let faces = (self.counts.len() - at) as u32;
        match at {
            _ if faces == 1 => (left, left),
            _ if !self.even => (0, left),
            0 => (left.div_ceil(faces), left),
            _ => (left.div_ceil(faces), left.min(self.counts[at - 1])),
        }
    }

    /// For a sorted table, the lengths of its runs of equal counts.
    fn runs(&self) -> impl Iterator<Item = usize> {
        self.counts.chunk_by(|a, b| a == b).map(<[u32]>::len)
    }
}

/// The chance as a fraction.
pub(super) fn exact(log: &Log, token: &CancellationToken) -> Result<Exact, Cancelled> {
    let sides = log.seen().len();
    let mut came = UBig::ONE;
    let mut left = log.throws();
    for (seen, weight) in log.seen().iter().zip(log.weights()) {
        came *= term(left, *seen, *weight);
        left -= seen;
    }
    let factorials: Vec<UBig> = (0..=sides).map(|of| (1..=of).map(UBig::from).product()).collect();
    let mut ways = Ways { walk: Walk::new(log, token), came, factorials, sum: UBig::ZERO };
    ways.go(0, log.throws(), UBig::ONE)?;
    let all = UBig::from(log.whole()).pow(log.throws() as usize);
    Ok(Exact::new(ways.sum, all).map_or_else(Exact::one, |exact| exact.reduced()))
}

/// The ways to choose the throws of one face among those left, each as often as the face weighs.
fn term(left: u32, seen: u32, weight: u32) -> UBig {
    let choose = (0..seen).fold(UBig::ONE, |ways, at| ways * (left - at) / (at + 1));
    choose * UBig::from(weight).pow(seen as usize)
}

struct Ways<'a> {
    walk: Walk<'a>,
    came: UBig,
    factorials: Vec<UBig>,
    sum: UBig,
}

impl Ways<'_> {
    fn go(&mut self, at: usize, left: u32, ways: UBig) -> Result<(), Cancelled> {
        let sides = self.walk.counts.len();
        if at == sides || left == 0 {
            self.walk.counts[at..].fill(0);
            if ways <= self.came {
                self.sum += if self.walk.even { self.orders() * ways } else { ways };
            }
            return Ok(());
        }
        self.walk.token.check()?;
        let (from, to) = self.walk.range(at, left);
        let weight = self.walk.log.weights()[at];
        let mut term = if from == 0 { UBig::ONE } else { term(left, from, weight) };
        for count in from..=to {
            self.walk.counts[at] = count;
            self.go(at + 1, left - count, &ways * &term)?;
            if count < to {
                term = term * (u64::from(left - count) * u64::from(weight)) / (count + 1);
            }
        }
        Ok(())
    }

    /// The orders that a sorted table stands for.
    fn orders(&self) -> UBig {
        let all = self.factorials[self.walk.counts.len()].clone();
        self.walk.runs().filter(|run| *run > 1).fold(all, |all, run| all / &self.factorials[run])
    }
}

/// The chance as a double.
pub(super) fn doubles(log: &Log, token: &CancellationToken) -> Result<f64, Cancelled> {
    let mut rest = log.whole();
    let shares: Vec<(f64, f64)> = log
        .weights()
        .iter()
        .map(|weight| {
            let share = (f64::ratio(rest - u64::from(*weight), rest), f64::ratio(u64::from(*weight), rest));
            rest -= u64::from(*weight);
            share
        })
        .collect();
    let mut likely =
        Likely { walk: Walk::new(log, token), shares, rows: HashMap::new(), came: 1.0, sum: 0.0, all: true };
    let mut left = log.throws();
    for (at, seen) in log.seen().iter().enumerate() {
        likely.came *= likely.row(at, left).map_or(1.0, |row| row[*seen as usize]);
        left -= seen;
    }
    likely.go(0, log.throws(), 1.0)?;
    Ok(if likely.all { 1.0 } else { likely.sum })
}

struct Likely<'a> {
    walk: Walk<'a>,
    /// For each face, the chances that a throw which none of the faces before it took fails it, and comes to it.
    shares: Vec<(f64, f64)>,
    rows: HashMap<(usize, u32), Rc<[f64]>>,
    came: f64,
    sum: f64,
    /// Whether no table was likelier.
    all: bool,
}

impl Likely<'_> {
    /// The chances of each count of a face among so many throws that none of the faces before it took; none for the last
    /// face, which takes them all.
    fn row(&mut self, at: usize, left: u32) -> Option<Rc<[f64]>> {
        let (fails, comes) = self.shares[at];
        if at + 1 == self.shares.len() || left == 0 {
            return None;
        }
        let row = self.rows.entry((at, left));
        Some(row.or_insert_with(|| f64::binomial(&fails, &comes, left).unwrap_or_default().into()).clone())
    }

    fn go(&mut self, at: usize, left: u32, chance: f64) -> Result<(), Cancelled> {
        if at == self.walk.counts.len() || left == 0 {
            self.walk.counts[at..].fill(0);
            if self.counts_in(chance) {
                self.sum += if self.walk.even { self.orders() * chance } else { chance };
            } else {
                self.all = false;
            }
            return Ok(());
        }
        self.walk.token.check()?;
        let (from, to) = self.walk.range(at, left);
        let row = self.row(at, left);
        for count in from..=to {
            self.walk.counts[at] = count;
            let term = row.as_ref().map_or(1.0, |row| row[count as usize]);
            self.go(at + 1, left - count, chance * term)?;
        }
        Ok(())
    }

    /// Whether the table is at most as likely as the one that came.
    fn counts_in(&self, chance: f64) -> bool {
        if (chance - self.came).abs() > NEAR * self.came || self.came < NOTHING {
            return chance <= self.came;
        }
        let (ours, theirs) = ratio(&self.walk.counts, self.walk.log);
        ours <= theirs
    }

    fn orders(&self) -> f64 {
        let factorial = |of: usize| (1..=of).map(|factor| factor as f64).product::<f64>();
        self.walk.runs().fold(factorial(self.walk.counts.len()), |all, run| all / factorial(run))
    }
}

/// Two whole numbers in the ratio of the chance of a table to that of the one that came.
fn ratio(counts: &[u32], log: &Log) -> (UBig, UBig) {
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    // Of faces that weigh the same any order is as likely: sorted tables differ least.
    let (mut counts, mut seen) = (counts.to_vec(), log.seen().to_vec());
    if log.is_even() {
        counts.sort_unstable();
        seen.sort_unstable();
    }
    for ((count, seen), weight) in counts.iter().zip(&seen).zip(log.weights()) {
        // The factorials stand below the line.
        let (powers, factors) = if count > seen { (&mut ours, &mut theirs) } else { (&mut theirs, &mut ours) };
        let (low, high) = (*count.min(seen), *count.max(seen));
        factors.extend((low + 1..=high).map(UBig::from));
        if *weight > 1 {
            powers.push(UBig::from(*weight).pow((high - low) as usize));
        }
    }
    (product(ours), product(theirs))
}

/// The product of many whole numbers, the short ones first.
pub(super) fn product(mut factors: Vec<UBig>) -> UBig {
    while factors.len() > 1 {
        factors = factors.chunks(2).map(|pair| pair.iter().product()).collect();
    }
    factors.pop().unwrap_or(UBig::ONE)
}
