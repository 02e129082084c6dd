//! `compare`: several attacks against a board of targets, in one table.
use super::bytes;
use super::matchup::Stated;
use super::mistake::{Mistake, Mistakes};
use super::needed::WantForm;
use super::question::{PreparedQuery, Question, nullable};
use super::subject::AttackQuery;
use super::summary::Chance;
use super::worth::LeftOut;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::{Chain, Lost, Target};
use crate::odds::number::{Exact, Number};
use crate::odds::price::{self, Work};
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use std::collections::HashMap;
use utoipa::ToSchema;

mod every;
mod number;
mod pair;
mod variant;
pub use every::EveryUnit;
use number::Number as Count;
pub use variant::{BoardTarget, Variant, VariantChain, VariantMatchup};

/// The most variants, and the most targets.
const MOST: (usize, usize) = (12, 24);

/// Attacks to compare, on targets of their own or each on every target of a board: as many of each as it says, as many
/// as so many points buy, or as many as a wanted chance takes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CompareRequest {
    /// The attacks, each a chain or a matchup.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schema(min_items = 1, max_items = 12)]
    pub variants: Vec<Variant>,
    /// In their place: every unit of a pack.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub every: Option<EveryUnit>,
    /// The board: every variant attacks each of these in place of a target of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 24)]
    pub targets: Option<Vec<BoardTarget>>,
    /// At equal points, of matchups: of each unit as many models as these buy, in as many units as they make up.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000000)]
    pub points: Option<u64>,
    /// Of each attack as many attackers (of a matchup: models) as this takes, and what they cost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub want: Option<WantForm>,
    /// Beside `want`: the largest number to look at; default 60.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 10000)]
    pub most: Option<u32>,
    /// Work in exact fractions and show them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
}

/// The table, variant by variant and in each target by target.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CompareAnswer {
    /// The rows.
    pub rows: Vec<CompareRow>,
    /// Of `every`: units that cannot attack these targets, and why.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// Of matchups: what was left open, each thing once, and how it was taken.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub defaults: Vec<Stated>,
}

/// One attack on one target.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CompareRow {
    /// The label of the variant.
    pub variant: String,
    /// The label of the target.
    pub target: String,
    /// With `points` or `want`: how many attackers, of a matchup models. `null` where no number up to `most` reaches
    /// what is wanted; the row then shows `most` of them.
    #[serde(default, deserialize_with = "nullable", skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<u32>)]
    pub attackers: Option<Option<u32>>,
    /// With `want`: the chance of that with so many.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1)]
    pub chance: Option<f64>,
    /// Of soldiers: models removed, on average.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub models: Option<f64>,
    /// Of soldiers: points of health lost, on average.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub health_lost: Option<f64>,
    /// Of armour: points of structure lost, on average.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub structure: Option<f64>,
    /// Of armour: units wrecked, on average.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wrecked: Option<f64>,
    /// Nothing is left.
    pub destroyed: Chance,
    /// What the variant costs, where it is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points: Option<u64>,
    /// Its points for each model, or each point of structure, that it removes on average; less is better.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points_each: Option<f64>,
}

impl CompareRow {
    /// How many attack, where that was looked for and some number does it.
    pub fn number(&self) -> Option<u32> {
        self.attackers.flatten()
    }
}

/// All attacks of the table, resolved.
#[derive(Clone, Debug)]
pub struct PreparedCompare {
    pairs: Vec<Pair>,
    left_out: Vec<LeftOut>,
    exact: bool,
    defaults: Vec<Stated>,
    /// For each pair, the first that is the same attack: it is worked out, and paid, once.
    first: Vec<usize>,
}

/// One attack on one target.
#[derive(Clone, Debug)]
struct Pair {
    variant: String,
    target: String,
    query: AttackQuery,
    points: Option<u64>,
    count: Count,
}

impl Question for CompareRequest {
    const PATH: &'static str = "compare";
    /// A table is several questions in one.
    const BUDGET_FACTOR: u64 = 4;
    type Prepared = PreparedCompare;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedCompare, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let catalog = &catalog.for_many_parts();
        let exact = self.exact.unwrap_or(false);
        let targets = self.targets.as_ref().map_or(1, Vec::len);
        let variants = if self.every.is_some() { 1 } else { self.variants.len() };
        for (field, there, most) in [("variants", variants, MOST.0), ("targets", targets, MOST.1)] {
            if !(1..=most).contains(&there) {
                mistakes.push(Mistake::value(format!("/{field}"), format!("1 to {most} {field}")));
            }
        }
        let rule = number::Rule::of(&self, &mut mistakes);
        if !mistakes.0.is_empty() {
            return Err(mistakes.0);
        }
        let (mut pairs, mut left_out) = (Vec::new(), Vec::new());
        match &self.every {
            Some(every) => {
                let board = self.targets.as_deref().unwrap_or_default();
                every.pairs(board, catalog, &mut mistakes, (&mut pairs, &mut left_out));
            }
            None => {
                for (index, variant) in self.variants.iter().enumerate() {
                    let board = self.targets.iter().flatten().enumerate().map(Some);
                    let none = self.targets.is_none().then_some(None);
                    for target in board.chain(none) {
                        pairs.extend(pair::pair(variant, index, target, catalog, &mut mistakes));
                    }
                }
            }
        }
        if let Some(rule) = rule {
            pairs.iter_mut().for_each(|pair| rule.resolve(pair, &mut mistakes));
        }
        pairs.iter().for_each(|pair| pair.query.has_fractions(exact, &mut mistakes));
        // A mistake in a variant comes up with every target, and one in a target with every variant.
        let mut once: Vec<Mistake> = Vec::new();
        for mistake in mistakes.0 {
            if !once.contains(&mistake) {
                once.push(mistake);
            }
        }
        let first = if once.is_empty() { first_alike(&pairs) } else { Vec::new() };
        let defaults = defaults(&pairs, self.every.is_some());
        Mistakes(once).or(Some(PreparedCompare { pairs, left_out, exact, defaults, first }))
    }
}

/// What the pairs leave open, each thing once. How many of each attack is left open only where nothing says so: not where
/// points or a chance are wanted, and of every unit it is its fewest.
fn defaults(pairs: &[Pair], every: bool) -> Vec<Stated> {
    let mut all: Vec<Stated> = Vec::new();
    for pair in pairs {
        let counted = every || !matches!(pair.count, Count::Said);
        for stated in pair.query.defaults().into_iter().flatten() {
            if !(counted && stated.pointer == "/attacker/models") && !all.contains(&stated) {
                all.push(stated);
            }
        }
    }
    all
}

/// For each pair, the first that is the same attack on the same target, whatever the two are called.
fn first_alike(pairs: &[Pair]) -> Vec<usize> {
    let mut known: HashMap<String, usize> = HashMap::new();
    let key = |pair: &Pair| serde_json::json!([pair.query.canonical(), pair.points, pair.count.key()]).to_string();
    pairs.iter().enumerate().map(|(at, pair)| *known.entry(key(pair)).or_insert(at)).collect()
}

impl Pair {
    fn row<N: Number>(&self, token: &CancellationToken) -> Result<CompareRow, Cancelled> {
        let found = self.count.find(&self.query, token)?;
        let base = CompareRow {
            variant: self.variant.clone(),
            target: self.target.clone(),
            attackers: found.attackers,
            chance: found.chance,
            points: found.points.or(self.points),
            ..CompareRow::default()
        };
        let Some(chain) = found.chain else { return Ok(none_of_them::<N>(self.query.chain(), base)) };
        let answer = chain.evaluate::<N>(false, token)?;
        let base = CompareRow { destroyed: Chance::from(&answer.destroyed), ..base };
        let each = |removed: f64| base.points.filter(|_| removed > 0.0).map(|points| points as f64 / removed);
        Ok(match &answer.lost {
            Lost::Soldiers { health, models } => CompareRow {
                models: Some(models.expected()),
                health_lost: Some(health.expected()),
                points_each: each(models.expected()),
                ..base
            },
            Lost::Armoured { structure, wrecked, .. } => CompareRow {
                structure: Some(structure.expected()),
                wrecked: Some(wrecked.expected()),
                points_each: each(structure.expected()),
                ..base
            },
        })
    }
}

/// Nobody attacks.
fn none_of_them<N: Number>(chain: &Chain, base: CompareRow) -> CompareRow {
    let base = CompareRow { destroyed: Chance::from(&N::zero()), ..base };
    match chain.target() {
        Target::Soldiers(_) => CompareRow { models: Some(0.0), health_lost: Some(0.0), ..base },
        Target::Armoured(_) => CompareRow { structure: Some(0.0), wrecked: Some(0.0), ..base },
    }
}

impl PreparedQuery for PreparedCompare {
    type Answer = CompareAnswer;

    fn canonical(&self) -> impl Serialize {
        let pair = |pair: &Pair| {
            serde_json::json!([pair.variant, pair.target, pair.query.canonical(), pair.points, pair.count.key()])
        };
        let pairs: Vec<_> = self.pairs.iter().map(pair).collect();
        let defaults: Vec<&str> = self.defaults.iter().map(|stated| stated.text.as_str()).collect();
        serde_json::json!({ "compare": pairs, "left_out": self.left_out, "exact": self.exact, "defaults": defaults })
    }

    fn price(&self) -> Work {
        let firsts = self.pairs.iter().zip(&self.first).enumerate().filter(|(at, (_, first))| at == *first);
        let once = firsts.map(|(_, (pair, _))| pair.count.price(&pair.query, self.exact)).sum::<Work>();
        once + Work::from(self.pairs.len()) * 1_000
    }

    fn bytes(&self) -> Work {
        let fraction = |pair: &Pair| {
            if self.exact { bytes::fraction(price::chain_bits(pair.query.chain())) } else { Work::NONE }
        };
        let row = |pair: &Pair| bytes::text(&pair.variant) + bytes::text(&pair.target) + fraction(pair) + 600;
        let left_out = self.left_out.iter().map(|one| bytes::text(&one.name) + bytes::text(&one.why) + 200);
        let stated = self.defaults.iter().map(|stated| bytes::text(&stated.text) * 2_u64 + 200).sum::<Work>();
        bytes::few(self.pairs.iter().map(row).sum::<Work>() + left_out.sum::<Work>() + stated)
    }

    fn answer(&self, token: &CancellationToken) -> Result<CompareAnswer, Cancelled> {
        let row = |pair: &Pair| if self.exact { pair.row::<Exact>(token) } else { pair.row::<f64>(token) };
        let mut rows: Vec<CompareRow> = Vec::with_capacity(self.pairs.len());
        for (pair, first) in self.pairs.iter().zip(&self.first) {
            rows.push(match rows.get(*first) {
                Some(same) => CompareRow { variant: pair.variant.clone(), target: pair.target.clone(), ..same.clone() },
                None => row(pair)?,
            });
        }
        Ok(CompareAnswer { rows, left_out: self.left_out.clone(), defaults: self.defaults.clone() })
    }
}
