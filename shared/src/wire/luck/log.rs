//! A whole evening: each result by itself, and those that count the same thing added up.
use super::super::bytes;
use super::super::chain::ChainForm;
use super::super::check::CheckRequest;
use super::super::duel::DuelRequest;
use super::super::matchup::MatchupRequest;
use super::super::mistake::{Mistake, Mistakes};
use super::super::repair::RepairRequest;
use super::super::summary::Chance;
use super::sentence::{Told, sentence};
use super::subject::{Subject, SubjectForm};
use super::{Counted, Happened, LuckOutcome, ResultForm, outcome};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::distribution::Distribution;
use crate::odds::luck::Luck;
use crate::odds::number::Number;
use crate::odds::price::{self, Work};
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// The most entries of a log.
const MOST: usize = 200;

/// One result of an evening: one of `chain`, `matchup`, `check`, `repair` and `duel`, and what came of it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"check": {"dice": "1d6", "needs": "2+", "tries": 6}, "result": {"passes": 1}, "side": "them"}))]
pub struct LuckEntry {
    /// An attack from plain numbers.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chain: Option<ChainForm>,
    /// An attack of one unit on another.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub matchup: Option<MatchupRequest>,
    /// One roll or several.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub check: Option<CheckRequest>,
    /// A repair; what is counted is counted at the end of its last turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repair: Option<RepairRequest>,
    /// Two sides turn by turn; what is left is counted after the last turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub duel: Option<DuelRequest>,
    /// What came of it: one quantity of the answer that it would have.
    pub result: ResultForm,
    /// Whose dice they were; default `us`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side: Option<SideForm>,
}

/// Whose dice they were.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum SideForm {
    /// Those of whoever asks.
    #[default]
    Us,
    /// The other side's.
    Them,
}

/// An evening.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct LuckLog {
    /// Each entry by itself, in the order of the log.
    pub entries: Vec<LuckOutcome>,
    /// For each quantity and each side all results of it together, in the order in which they first come up. `total` and
    /// `missing` are no counts and are not added up.
    pub sums: Vec<LuckSum>,
}

/// Results that count the same thing, added up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct LuckSum {
    /// What is counted, as `result` calls it.
    #[schema(example = "passes")]
    pub result: String,
    /// Whose dice they were.
    pub side: SideForm,
    /// How many entries it is of.
    pub entries: usize,
    /// What came of them all.
    pub value: i64,
    /// What was to be expected, in the mean.
    pub expected: f64,
    /// The standard deviation.
    pub deviation: f64,
    /// The chance of exactly this.
    pub exactly: Chance,
    /// Of this or less.
    pub at_most: Chance,
    /// Of this or more.
    pub at_least: Chance,
    /// The same in words.
    pub sentence: String,
}

impl LuckSum {
    /// Whether nothing else could come of it.
    pub fn is_sure(&self) -> bool {
        self.deviation == 0.0 && self.exactly.chance > 0.5
    }
}

/// A result with what it came of.
#[derive(Clone, Debug)]
pub(super) struct Entry {
    pub(super) of: Subject,
    pub(super) happened: Happened,
    pub(super) side: SideForm,
}

/// A log ready to be worked out.
#[derive(Clone, Debug)]
pub(super) struct PreparedLog(Vec<Entry>);

/// One result with every mistake below `at`, and whether fractions are asked for.
pub(super) fn entry(
    of: SubjectForm,
    result: Option<ResultForm>,
    side: Option<SideForm>,
    exact: bool,
    catalog: &PackCatalog,
    at: &str,
    mistakes: &mut Mistakes,
) -> Option<(Entry, bool)> {
    let happened = result.unwrap_or_default().resolve(at, mistakes);
    let of = of.resolve(catalog, at, mistakes);
    let ((of, own), happened) = of.zip(happened)?;
    let exact = exact || own;
    of.has_fractions(exact, mistakes);
    let counted = of.counted();
    if !counted.contains(&happened.of) {
        let names: Vec<_> = counted.iter().map(|counted| counted.name()).collect();
        let detail = format!("this has no {}: say one of {}", happened.of.name(), names.join(", "));
        mistakes.push(Mistake::value(format!("{at}/result/{}", happened.of.name()), detail));
    }
    Some((Entry { of, happened, side: side.unwrap_or_default() }, exact))
}

/// All entries, and whether fractions are asked for.
pub(super) fn resolve(
    entries: Vec<LuckEntry>,
    exact: bool,
    catalog: &PackCatalog,
    mistakes: &mut Mistakes,
) -> Option<(PreparedLog, bool)> {
    if !(1..=MOST).contains(&entries.len()) {
        let detail = match entries.len() {
            0 => "a log has at least one entry".to_owned(),
            many => format!("a log has up to {MOST} entries, and this one has {many}"),
        };
        mistakes.push(Mistake::value("/log", detail));
        return None;
    }
    let catalog = catalog.for_many_parts();
    let (mut all, mut exact) = (Vec::with_capacity(entries.len()), exact);
    for (index, form) in entries.into_iter().enumerate() {
        let of = SubjectForm {
            chain: form.chain,
            matchup: form.matchup,
            check: form.check,
            repair: form.repair,
            duel: form.duel,
        };
        let at = format!("/log/{index}");
        if let Some((entry, asks)) = entry(of, Some(form.result), form.side, exact, &catalog, &at, mistakes) {
            exact |= asks;
            all.push(entry);
        }
    }
    // One entry that asks for fractions asks for those of all.
    let mut found = Mistakes::default();
    all.iter().for_each(|entry| entry.of.has_fractions(exact, &mut found));
    if mistakes.0.is_empty() {
        found.0.into_iter().take(1).for_each(|mistake| mistakes.push(mistake));
    }
    Some((PreparedLog(all), exact))
}

impl Entry {
    /// How its sentence speaks of it.
    pub(super) fn told(&self) -> Told {
        Told { who: self.of.roller(), theirs: self.side == SideForm::Them, in_all: false }
    }

    pub(super) fn canonical(&self) -> (serde_json::Value, (&'static str, i64)) {
        (self.of.canonical(), (self.happened.of.name(), self.happened.value))
    }
}

impl PreparedLog {
    pub(super) fn canonical(&self) -> serde_json::Value {
        self.0.iter().map(|entry| serde_json::json!([entry.canonical(), entry.side])).collect()
    }

    /// The entries of each sum, by their places.
    fn groups(&self) -> Vec<(Counted, SideForm, Vec<usize>)> {
        let mut groups: Vec<(Counted, SideForm, Vec<usize>)> = Vec::new();
        for (at, entry) in self.0.iter().enumerate().filter(|(_, entry)| entry.happened.of.is_count()) {
            let (of, side) = (entry.happened.of, entry.side);
            match groups.iter_mut().find(|group| (group.0, group.1) == (of, side)) {
                Some(group) => group.2.push(at),
                None => groups.push((of, side, vec![at])),
            }
        }
        groups
    }

    pub(super) fn price(&self, exact: bool) -> Work {
        let each = self.0.iter().map(|entry| entry.of.price(exact)).sum::<Work>();
        let sums = self.groups().into_iter().map(|(of, _, places)| {
            let sizes = places.iter().map(|at| (self.0[*at].of.values(of), self.0[*at].of.bits()));
            price::sum(sizes, exact)
        });
        each + sums.sum::<Work>() + Work::from(self.0.len()) * 500
    }

    pub(super) fn bytes(&self, exact: bool) -> Work {
        let each = self.0.iter().map(|entry| entry.of.fraction_bytes());
        let all = self.0.iter().map(|entry| entry.of.bits()).sum::<Work>();
        let fractions = match exact {
            true => each.sum::<Work>() * 3 + bytes::fraction(all) * 3,
            false => Work::NONE,
        };
        // A matchup says what it left open.
        bytes::few(fractions) + Work::from(self.0.len()) * 6_000
    }

    pub(super) fn work<N: Number>(&self, token: &CancellationToken) -> Result<LuckLog, Cancelled> {
        let mut all: Vec<Distribution<N>> = Vec::with_capacity(self.0.len());
        for entry in &self.0 {
            token.check()?;
            all.push(entry.of.distribution::<N>(entry.happened.of, token)?);
        }
        let entries = self.0.iter().zip(&all).map(|(entry, of)| outcome(entry, of)).collect();
        let mut sums = Vec::new();
        for (of, side, places) in self.groups() {
            let mut sum = Distribution::<N>::certain(0);
            for at in &places {
                token.check()?;
                sum = sum.convolve(&all[*at]);
            }
            let value = places.iter().map(|at| self.0[*at].happened.value).sum();
            let luck = Luck::of(&sum, value);
            let told = Told { who: None, theirs: side == SideForm::Them, in_all: places.len() > 1 };
            sums.push(LuckSum {
                result: of.name().to_owned(),
                side,
                entries: places.len(),
                value,
                expected: sum.expected(),
                deviation: sum.deviation(),
                exactly: Chance::from(&luck.exactly),
                at_most: Chance::from(&luck.at_most),
                at_least: Chance::from(&luck.at_least),
                sentence: sentence(&Happened { of, value }, &luck, &sum, told),
            });
        }
        Ok(LuckLog { entries, sums })
    }
}
