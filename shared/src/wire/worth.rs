//! `worth`: a whole unit book ranked by what its units give for their points, all against all, and which price is off.
use super::lookup;
use super::matchup::SideForm;
use super::mistake::{Mistake, Mistakes};
use super::question::{PreparedQuery, Question};
use crate::analysis;
use crate::analysis::evaluator::{Evaluator, Pair};
use crate::analysis::known::Known;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::{self, Work};
use crate::points::instance_cost;
use crate::rules::PackCatalog;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

mod league;
mod sheet;
pub use sheet::sheet;

/// The most units of a league, and of a board.
const MOST: usize = 200;

/// A unit book to rank.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"pack": "canal-guild"}))]
pub struct WorthRequest {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// The units to rank; all units at their fewest models where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 200)]
    pub units: Option<Vec<SideForm>>,
    /// Whom they are measured against; each other where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 200)]
    pub board: Option<Vec<SideForm>>,
    /// Turns of a game; the pack's own number where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 20)]
    pub turns: Option<u32>,
}

/// The league.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WorthAnswer {
    /// The pack that was used.
    pub pack: String,
    /// Its content hash.
    pub hash: String,
    /// Turns of a game.
    pub turns: u32,
    /// Whom the units were measured against.
    pub board: Vec<String>,
    /// The units, those that give most for their points first; equals share a rank. Those that cannot be compared come
    /// last.
    pub rows: Vec<WorthRow>,
    /// Units that cannot be compared, and why: their prices count as fair.
    pub left_out: Vec<LeftOut>,
    /// How far a price of this book lies from the fair one, as a share of it: the middle distance, as a standard deviation.
    pub spread: f64,
    /// Marked are prices that are above the fair one by more than this share of it, and those that the fair price is above
    /// by more than this share of the price: a quarter more and a fifth less are as far off.
    pub marked_from: f64,
    /// How it was measured, and what it does not see.
    pub method: String,
}

/// A unit of the league.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct WorthRow {
    /// Its place, from 1.
    pub rank: u32,
    /// Its place in `units`, from 0.
    #[serde(default)]
    pub index: usize,
    /// Its id.
    pub unit: String,
    /// Its name.
    pub name: String,
    /// Its models.
    pub models: u32,
    /// The unit as people count it: `5 Dyke Hands`, `Bolt-gun Crew`.
    pub counted: String,
    /// What it costs.
    pub points: u64,
    /// Points that it takes in a turn, the mean of the board, where there is always more to hit.
    pub damage_rate: f64,
    /// Turns in which the mean of the board wears it down: one by the mean share of it that is gone at the end of a game,
    /// for each turn of the game in which it is attacked.
    pub survival: f64,
    /// What it would cost on a par with the others.
    pub fair_price: f64,
    /// What it costs above its fair price; below 0 it is cheap.
    pub off: f64,
    /// The fair price for each point that it costs: what it gives for its points, 1 being the middle.
    pub worth: f64,
    /// Whether its price is off.
    pub verdict: Verdict,
    /// Points that it takes in the turns that it survives, at most those of the game; 0 where it takes nothing.
    #[serde(default)]
    pub value: f64,
    /// Said where it cannot be compared: its price counts as fair, and its survival as that of the game at most.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub compared: Option<bool>,
}

/// Whether a price is off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Within what is usual in this book.
    #[default]
    Fair,
    /// It costs too much.
    Dear,
    /// It costs too little.
    Cheap,
}

/// A unit that cannot be compared.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct LeftOut {
    /// Its id.
    pub unit: String,
    /// Its name.
    pub name: String,
    /// Why.
    pub why: String,
}

/// A league, all names looked up.
#[derive(Clone, Debug)]
pub struct PreparedWorth {
    pack: Arc<Pack>,
    units: Vec<UnitInstance>,
    board: Vec<UnitInstance>,
    turns: u32,
    price: Work,
}

impl Question for WorthRequest {
    const PATH: &'static str = "worth";
    const BUDGET_FACTOR: u64 = 80;
    type Prepared = PreparedWorth;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedWorth, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        if self.turns.is_some_and(|turns| !(1..=20).contains(&turns)) {
            mistakes.push(Mistake::value("/turns", "1 to 20 turns"));
        }
        let prepared = pack.and_then(|pack| {
            let units = match &self.units {
                Some(sides) => sides_of(&pack, sides, "/units", &mut mistakes)?,
                None => (0..pack.units.len())
                    .map(|unit| UnitInstance { unit, models: pack.units[unit].models.0, ..UnitInstance::default() })
                    .collect(),
            };
            if units.len() > MOST {
                mistakes.push(Mistake::value("/units", format!("name at most {MOST} units")));
                return None;
            }
            let board = match &self.board {
                Some(sides) => sides_of(&pack, sides, "/board", &mut mistakes)?,
                None => units.clone(),
            };
            let turns = self.turns.unwrap_or(pack.board.turns).clamp(1, 20);
            Some(PreparedWorth { pack, units, board, turns, price: Work::NONE })
        });
        let prepared = mistakes.or(prepared)?;
        let price = prepared.worked_out_price();
        Ok(PreparedWorth { price, ..prepared })
    }
}

fn sides_of(pack: &Pack, sides: &[SideForm], at: &str, mistakes: &mut Mistakes) -> Option<Vec<UnitInstance>> {
    if !(1..=MOST).contains(&sides.len()) {
        mistakes.push(Mistake::value(at, format!("1 to {MOST} units")));
        return None;
    }
    let mut all = Vec::new();
    for (index, side) in sides.iter().enumerate() {
        all.extend(mistakes.keep_all(super::matchup::unit_instance(side, pack, &format!("{at}/{index}"))));
    }
    Some(all)
}

impl PreparedWorth {
    fn evaluator<'a>(&'a self, token: &'a CancellationToken, known: &'a Known) -> Evaluator<'a> {
        Evaluator { pack: &self.pack, turns: self.turns, token, known }
    }

    /// From some of the pairs, spread over all of them.
    fn worked_out_price(&self) -> Work {
        const SEEN: usize = 16;
        let (token, known) = (CancellationToken::default(), Known::default());
        let evaluator = self.evaluator(&token, &known);
        let usual = evaluator.situation(None, None, None);
        let pairs = self.units.len() * self.board.len();
        let ranges = Work::from(self.pack.situations.ranges.len());
        let mut sum = Work::NONE;
        let seen = pairs.min(SEEN);
        for index in 0..seen {
            let at = index * pairs / seen.max(1);
            let (unit, other) = (&self.units[at / self.board.len()], &self.board[at % self.board.len()]);
            for (attacker, target) in [(unit, other), (other, unit)] {
                let Some(game) = evaluator.game(&Pair { attacker, target, without: &[] }, &usual) else { continue };
                let once = game.one_attack_of_b();
                let supply = once.with_more_of_a(3);
                let attacks = price::duel(&once, false) + price::duel(&supply, false) + 20_000;
                sum += attacks * ranges + price::duel(&game, false);
            }
        }
        sum / seen.max(1) as u64 * Work::from(pairs) + 10_000
    }
}

impl PreparedQuery for PreparedWorth {
    type Answer = WorthAnswer;

    fn canonical(&self) -> impl Serialize {
        let side = |side| super::matchup::side_value(&self.pack, side);
        serde_json::json!({ "worth": {
            "pack": self.pack.hash,
            "units": self.units.iter().map(side).collect::<Vec<_>>(),
            "board": self.board.iter().map(side).collect::<Vec<_>>(),
            "turns": self.turns,
        }})
    }

    fn price(&self) -> Work {
        self.price
    }

    fn answer(&self, token: &CancellationToken) -> Result<WorthAnswer, Cancelled> {
        let cost = |unit: &UnitInstance| instance_cost(&self.pack, unit);
        let league =
            analysis::league::league(&self.evaluator(token, &Known::default()), &self.units, &self.board, &cost)?;
        Ok(league::answer(self, league))
    }
}
