//! A unit book ranked by what its units give for their points, all against all, and which price is off.
use super::evaluator::{Evaluator, Pair};
use crate::odds::cancellation::Cancelled;
use crate::odds::fair_price::FairPrice;
use crate::rules::matchup::UnitInstance;

mod effect;
mod measure;
pub use effect::{Effect, effect};
use measure::{Measured, measured};

/// No price is marked that is less than this share off.
const LEAST: f64 = 0.08;
/// Nor one within so many deviations of what is usual in the book.
const DEVIATIONS: f64 = 3.0;

/// How a league is measured, and what it does not see.
pub const METHOD: &str = "Each unit attacks each unit of the board, itself too, and is never attacked back nor harmed by \
itself. Damage in a turn: the points that one turn takes, at the range at which it removes most, where there is always \
more to hit; nothing is mended, and nobody is run off by a roll afterwards. The same board attacks it, in a game of the \
given turns at the range at which a first turn removes most: the share of it that is gone at the end (points of health or \
structure; what a roll afterwards takes out of the fight is gone), for each turn in which it still stood, is what it \
loses in a turn, with all marks, repairs and blows that were more than enough. Survival is one by the mean of that over \
the board, in turns. The fair price is what a robust line through the logarithms of all prices, damages and survivals \
gives it (least absolute deviations), so that some wrong prices do not bend it. What is not seen: movement and reach \
beyond the choice of range, arcs other than the usual one, cover, tests, what a unit does for others, and roles. A price \
is marked where it is off by more than three times the usual spread of the book, and by at least 8%.";

/// A league.
#[derive(Clone, Debug, PartialEq)]
pub struct League {
    /// The units that can be compared, those that give most for their points first.
    pub rows: Vec<Row>,
    /// Units that cannot be compared, by index, and why.
    pub left_out: Vec<(usize, LeftOut)>,
    /// For each unit, in the order asked about, what it takes, how long it lasts and what it is worth: those that cannot
    /// be compared too.
    pub given: Vec<Given>,
    /// How far a price lies from the fair one, as a share of it: the middle distance, as a standard deviation.
    pub spread: f64,
    /// Prices further off than this share are marked.
    pub marked_from: f64,
}

/// A unit that can be compared.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Which, by index among the units asked about.
    pub unit: usize,
    /// Its place, from 1; equals share one.
    pub rank: u32,
    /// What it costs.
    pub points: u64,
    /// Points that it takes in a turn, the mean of the board.
    pub damage_rate: f64,
    /// Turns in which the mean of the board wears it down.
    pub survival: f64,
    /// What it would cost on a par with the others.
    pub fair_price: f64,
    /// The fair price for each point that it costs.
    pub worth: f64,
    /// Whether its price is off.
    pub verdict: Verdict,
}

/// What a unit gives in a game, whatever it costs.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Given {
    /// Points that it takes in a turn, the mean of the board.
    pub damage_rate: f64,
    /// Turns in which the mean of the board wears it down, no more than the game has.
    pub survival: f64,
    /// Points that it takes in the turns that it survives.
    pub value: f64,
}

impl Given {
    /// What a unit gives in a game of so many turns.
    fn of(measured: Measured, turns: u32) -> Self {
        let game = f64::from(turns);
        let survival = if measured.loss_rate > 0.0 { (1.0 / measured.loss_rate).min(game) } else { game };
        let damage_rate = measured.damage_rate.max(0.0);
        Self { damage_rate, survival, value: damage_rate * survival }
    }
}

/// Whether a price is off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Within what is usual in this book.
    Fair,
    /// It costs too much.
    Dear,
    /// It costs too little.
    Cheap,
}

/// Why a unit cannot be compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeftOut {
    /// It costs nothing.
    Free,
    /// It takes nothing from anybody on the board.
    Harmless,
    /// Nobody on the board can wear it down.
    Unharmed,
}

/// The league of some units against a board; `cost` says what a unit costs.
///
/// # Errors
/// [`Cancelled`] where the token was called meanwhile.
///
/// # Cost
/// For each unlike pair, either way: one attack at each range and one game.
pub fn league(
    evaluator: &Evaluator<'_>,
    units: &[UnitInstance],
    board: &[UnitInstance],
    cost: &dyn Fn(&UnitInstance) -> u64,
) -> Result<League, Cancelled> {
    let all = measured(evaluator, units, board, cost)?;
    let given = all.iter().map(|measured| Given::of(*measured, evaluator.turns)).collect();
    let (mut rows, mut left_out) = (Vec::new(), Vec::new());
    for (at, (unit, measured)) in units.iter().zip(all).enumerate() {
        match row(at, cost(unit), measured) {
            Ok(row) => rows.push(row),
            Err(why) => left_out.push((at, why)),
        }
    }
    let prices: Vec<f64> = rows.iter().map(|row| row.points as f64).collect();
    let measures: Vec<Vec<f64>> = rows.iter().map(|row| vec![row.damage_rate, row.survival]).collect();
    let fit = FairPrice::fit(&prices, &measures);
    let spread = fit.as_ref().map_or(0.0, |fit| fit.spread);
    let marked_from = LEAST.max(DEVIATIONS * spread);
    if let Some(fit) = fit {
        rows.iter_mut().for_each(|row| judge(row, fit.price(&[row.damage_rate, row.survival]), marked_from));
    }
    rank(&mut rows);
    Ok(League { rows, left_out, given, spread, marked_from })
}

/// What a unit gives against each unit of a board, in the board's order.
///
/// # Errors
/// [`Cancelled`] where the token was called meanwhile.
pub fn given_against(
    evaluator: &Evaluator<'_>,
    unit: &UnitInstance,
    board: &[(UnitInstance, u64)],
) -> Result<Vec<Given>, Cancelled> {
    let each = |(other, points): &(UnitInstance, u64)| {
        let removed = effect(evaluator, &Pair { attacker: unit, target: other, without: &[] })?.removed;
        let damage_rate = *points as f64 * removed;
        // Who hurts nothing is worth nothing, however long it stands.
        let back = if damage_rate > 0.0 {
            effect(evaluator, &Pair { attacker: other, target: unit, without: &[] })?
        } else {
            Effect::default()
        };
        Ok(Given::of(Measured { damage_rate, loss_rate: back.lost }, evaluator.turns))
    };
    board.iter().map(each).collect()
}

/// A row whose price counts as fair until others are known.
fn row(unit: usize, points: u64, measured: Measured) -> Result<Row, LeftOut> {
    match (points, measured) {
        (0, _) => Err(LeftOut::Free),
        (_, Measured { damage_rate: ..=0.0, .. }) => Err(LeftOut::Harmless),
        (_, Measured { loss_rate: ..=0.0, .. }) => Err(LeftOut::Unharmed),
        (_, Measured { damage_rate, loss_rate }) => Ok(Row {
            unit,
            rank: 1,
            points,
            damage_rate,
            survival: 1.0 / loss_rate,
            fair_price: points as f64,
            worth: 1.0,
            verdict: Verdict::Fair,
        }),
    }
}

fn judge(row: &mut Row, fair_price: f64, marked_from: f64) {
    row.fair_price = fair_price;
    row.worth = fair_price / row.points as f64;
    // The same distance either way: a quarter more and a fifth less are one.
    row.verdict = match row.worth.ln() {
        distance if distance > marked_from.ln_1p() => Verdict::Cheap,
        distance if distance < -marked_from.ln_1p() => Verdict::Dear,
        _ => Verdict::Fair,
    };
}

fn rank(rows: &mut [Row]) {
    rows.sort_by(|a, b| b.worth.total_cmp(&a.worth));
    for at in 0..rows.len() {
        rows[at].rank = match at.checked_sub(1) {
            Some(before) if rows[before].worth == rows[at].worth => rows[before].rank,
            _ => at as u32 + 1,
        };
    }
}
