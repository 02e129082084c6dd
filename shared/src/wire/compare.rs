//! `compare`: several attacks against a board of targets, in one table.
use super::mistake::{Mistake, Mistakes};
use super::question::{Question, Ready};
use super::subject::Fight;
use super::summary::Chance;
use crate::odds::chain::Lost;
use crate::odds::halt::{Halt, Halted};
use crate::odds::number::{Exact, Number};
use crate::odds::price;
use crate::rules::Books;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

mod pair;
mod variant;
pub use variant::{BoardTarget, Variant, VariantChain, VariantMatchup};

/// The most variants, and the most targets.
const MOST: (usize, usize) = (12, 24);

/// Attacks to compare, on targets of their own or each on every target of a board.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CompareRequest {
    /// The attacks, each a chain or a matchup.
    #[schema(min_items = 1, max_items = 12)]
    pub variants: Vec<Variant>,
    /// The board: every variant attacks each of these in place of a target of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 24)]
    pub targets: Option<Vec<BoardTarget>>,
    /// Work in exact fractions and show them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
}

/// The table, variant by variant and in each target by target.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct CompareAnswer {
    /// The rows.
    pub rows: Vec<CompareRow>,
}

/// One attack on one target.
#[derive(Clone, Debug, Default, PartialEq, Serialize, ToSchema)]
pub struct CompareRow {
    /// The label of the variant.
    pub variant: String,
    /// The label of the target.
    pub target: String,
    /// Of soldiers: models removed, in the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub models: Option<f64>,
    /// Of soldiers: points of health lost, in the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub health_lost: Option<f64>,
    /// Of armour: points of structure lost, in the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub structure: Option<f64>,
    /// Of armour: units wrecked, in the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wrecked: Option<f64>,
    /// Nothing is left.
    pub destroyed: Chance,
    /// What the variant costs, where it is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points: Option<u64>,
    /// Its points for each model, or each point of structure, that it removes in the mean; less is better.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points_each: Option<f64>,
}

/// All attacks of the table, settled.
#[derive(Clone, Debug)]
pub struct CompareReady {
    pairs: Vec<Pair>,
    exact: bool,
}

/// One attack on one target.
#[derive(Clone, Debug)]
struct Pair {
    variant: String,
    target: String,
    fight: Fight,
    points: Option<u64>,
}

impl Question for CompareRequest {
    const PATH: &'static str = "compare";
    type Ready = CompareReady;

    fn settle(self, books: &Books) -> Result<CompareReady, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let exact = self.exact.unwrap_or(false);
        let targets = self.targets.as_ref().map_or(1, Vec::len);
        for (field, there, most) in [("variants", self.variants.len(), MOST.0), ("targets", targets, MOST.1)] {
            if !(1..=most).contains(&there) {
                mistakes.push(Mistake::value(format!("/{field}"), format!("1 to {most} {field}")));
            }
        }
        if !mistakes.0.is_empty() {
            return Err(mistakes.0);
        }
        let mut pairs = Vec::new();
        for (index, variant) in self.variants.iter().enumerate() {
            match &self.targets {
                None => pairs.extend(pair::pair(variant, index, None, books, &mut mistakes)),
                Some(board) => {
                    for target in board.iter().enumerate() {
                        pairs.extend(pair::pair(variant, index, Some(target), books, &mut mistakes));
                    }
                }
            }
        }
        pairs.iter().for_each(|pair| pair.fight.has_fractions(exact, &mut mistakes));
        // A mistake in a variant comes up with every target, and one in a target with every variant.
        let mut once: Vec<Mistake> = Vec::new();
        for mistake in mistakes.0 {
            if !once.contains(&mistake) {
                once.push(mistake);
            }
        }
        Mistakes(once).or(Some(CompareReady { pairs, exact }))
    }
}

impl Pair {
    fn row<N: Number>(&self, halt: &Halt) -> Result<CompareRow, Halted> {
        let answer = self.fight.chain().evaluate::<N>(false, halt)?;
        let base = CompareRow {
            variant: self.variant.clone(),
            target: self.target.clone(),
            destroyed: Chance::from(&answer.destroyed),
            points: self.points,
            ..CompareRow::default()
        };
        let each = |removed: f64| self.points.filter(|_| removed > 0.0).map(|points| points as f64 / removed);
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

impl Ready for CompareReady {
    type Answer = CompareAnswer;

    fn canonical(&self) -> serde_json::Value {
        let pair = |pair: &Pair| serde_json::json!([pair.variant, pair.target, pair.fight.canonical(), pair.points]);
        let pairs: Vec<_> = self.pairs.iter().map(pair).collect();
        serde_json::json!({ "compare": pairs, "exact": self.exact })
    }

    fn price(&self) -> u64 {
        let price = |pair: &Pair| price::chain(pair.fight.chain(), self.exact, false).saturating_add(1_000);
        self.pairs.iter().map(price).fold(0, u64::saturating_add)
    }

    fn answer(&self, halt: &Halt) -> Result<CompareAnswer, Halted> {
        let row = |pair: &Pair| if self.exact { pair.row::<Exact>(halt) } else { pair.row::<f64>(halt) };
        Ok(CompareAnswer { rows: self.pairs.iter().map(row).collect::<Result<_, _>>()? })
    }
}
