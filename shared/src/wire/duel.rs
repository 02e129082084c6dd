//! `duel`: two sides turn by turn, who is left and when.
use super::bytes;
use super::matchup;
use super::mistake::{Mistake, Mistakes};
use super::question::{PreparedQuery, Question};
use super::summary::Chance;
use super::target::TargetForm;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::Attacks;
use crate::odds::duel::{Duel, First, Side};
use crate::odds::number::{Exact, Number};
use crate::odds::price::{self, Work};
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

mod answer;
mod plain;
mod shed;
mod turns;
mod units;
pub use answer::{DuelOutcome, DuelPoints, DuelTurnRow, OneSide, SideOutcome, UnitOutcome, UnusedTurns};
pub use plain::{AttackForm, MendForm};
pub use shed::{ShedAll, ShedAmount, ShedForm, ShedsForm};
pub use turns::{EachTurn, TurnsForm};
use units::PreparedUnits;

/// Two sides that attack each other turn by turn: two units of a book, or plain numbers.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"a": {"target": {"models": 5}, "attack": {"steps": [{"name": "hit", "needs": "4+"}]}}, "b": {"target": {"models": 3, "health": 2}, "attack": {"attacks": 2, "steps": [{"name": "hit", "needs": "3+"}]}}, "first": "roll"}))]
pub struct DuelRequest {
    /// Units: the pack's name, or the text of a pack file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pack: Option<String>,
    /// Units: the text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// One side.
    pub a: DuelSide,
    /// The other side.
    pub b: DuelSide,
    /// Units: what the table adds, for both sides; each of it once for all turns, or in a list turn by turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub situation: Option<TurnsForm>,
    /// Units: rules that act as if they were carried.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub with: Option<Vec<String>>,
    /// Units: rules that do not act.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub without: Option<Vec<String>>,
    /// Who goes first; default `a`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first: Option<FirstForm>,
    /// How many turns; default 6.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 20)]
    pub turns: Option<u32>,
    /// Show fractions.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
}

/// Who goes first in every turn: side a, side b, both together, whoever wins a roll-off before the first turn, or volleys by their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum FirstForm {
    /// Side a.
    A,
    /// Side b.
    B,
    /// An even chance, once.
    Roll,
    /// Both attack with what stood at the start of the turn.
    Together,
    /// All volleys of both sides from the highest `order` down, those of one order at once.
    Order,
}

/// One side of a duel: a unit of a book, or a target of plain numbers with its attack and its repair.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct DuelSide {
    /// The unit's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "Heron Carriage")]
    pub unit: Option<String>,
    /// Unit: how many models; its fewest where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub models: Option<u32>,
    /// Unit: the weapons that it uses; in each turn all that can be used where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 12)]
    pub weapons: Option<Vec<String>>,
    /// Unit: its options, such as `signal mast` or `2 long rifles`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub options: Option<Vec<String>>,
    /// Unit: units of its side that stand near it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub near: Option<Vec<String>>,
    /// Unit: points of structure or health that its first model misses.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1000)]
    pub hurt: Option<u32>,
    /// Unit: what is left of it, in place of `hurt`: models of a unit of several soldiers, else points.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub left: Option<u32>,
    /// Unit: marks that it bears.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub statuses: Option<Vec<String>>,
    /// Unit: how this side stands, laid over the situation of both: the arc that it shows, the cover that it is behind,
    /// whether it moves, and the pack's flags for its own attack.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub situation: Option<TurnsForm>,
    /// Plain: what the other side attacks.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target: Option<TargetForm>,
    /// Plain: its attack; a side without one just stands there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attack: Option<AttackForm>,
    /// Plain: what mends its hurt model or unit at the start of its turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repair: Option<MendForm>,
    /// Plain: what it takes off its counters at the start of its turn; one, or a list in order.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sheds: Option<ShedsForm>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
}

impl DuelSide {
    /// What it says as a unit; nothing where it names none.
    fn as_unit(&self) -> Option<matchup::SideForm> {
        let side = self.clone();
        Some(matchup::SideForm {
            unit: side.unit?,
            models: side.models,
            weapons: side.weapons,
            options: side.options,
            near: side.near,
            hurt: side.hurt,
            left: side.left,
            statuses: side.statuses,
        })
    }
}

impl DuelRequest {
    fn is_of_units(&self) -> bool {
        self.a.unit.is_some() || self.b.unit.is_some()
    }
}

/// A duel ready to be worked out.
#[derive(Clone, Debug)]
pub struct PreparedDuel {
    duel: Duel,
    units: Option<Box<PreparedUnits>>,
    exact: bool,
    /// For each side that its own attack can harm: the duel in which that does not happen. Nothing where all of it
    /// together would cost more than a question may.
    spared: [Option<Box<Duel>>; 2],
}

/// The duels in which a side's own attack does it no harm, as far as they can be paid.
fn spared(duel: &Duel, exact: bool) -> [Option<Box<Duel>>; 2] {
    let mut sum = price::duel(duel, exact);
    [false, true].map(|of_b| {
        let side = if of_b { duel.b() } else { duel.a() };
        let other = side.can_harm_itself().then(|| duel.without_own_harm(of_b))?;
        let more = sum + price::duel(&other, exact);
        more.is_within(price::BUDGET / 2).then(|| {
            sum = more;
            Box::new(other)
        })
    })
}

impl PreparedDuel {
    /// The duel in plain numbers.
    pub fn duel(&self) -> &Duel {
        &self.duel
    }

    /// Whether attacks of it come of a template.
    pub(super) fn has_blast(&self) -> bool {
        has_blast(self.duel.a()) || has_blast(self.duel.b())
    }
}

impl Question for DuelRequest {
    const PATH: &'static str = "duel";
    type Prepared = PreparedDuel;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedDuel, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let exact = self.exact.unwrap_or(false);
        let found =
            if self.is_of_units() { units::resolve(self, catalog, &mut mistakes) } else { self.plain(&mut mistakes) };
        if exact && found.as_ref().is_some_and(|(duel, _)| has_blast(duel.a()) || has_blast(duel.b())) {
            mistakes.push(Mistake::value("/exact", "blasts have no fractions: directions are real numbers"));
        }
        let prepared = found.map(|(duel, units)| PreparedDuel {
            spared: spared(&duel, exact),
            duel,
            units: units.map(Box::new),
            exact,
        });
        mistakes.or(prepared)
    }
}

impl DuelRequest {
    fn first(&self) -> First {
        match self.first {
            None | Some(FirstForm::A) => First::A,
            Some(FirstForm::B) => First::B,
            Some(FirstForm::Roll) => First::Roll,
            Some(FirstForm::Together) => First::Together,
            Some(FirstForm::Order) => First::Order,
        }
    }

    fn plain(self, mistakes: &mut Mistakes) -> Option<(Duel, Option<PreparedUnits>)> {
        self.has_no_book(mistakes);
        let several = [self.a.has_volleys(), self.b.has_volleys()];
        let is_grouped = |side: &DuelSide| side.target.as_ref().is_some_and(|target| target.groups.is_some());
        let grouped = [is_grouped(&self.a), is_grouped(&self.b)];
        let (first, turns) = (self.first(), self.turns.unwrap_or(6));
        let a = self.a.resolve("/a", mistakes);
        let b = self.b.resolve("/b", mistakes);
        match Duel::new(a?, b?, first, turns) {
            Ok(duel) => Some((duel, None)),
            Err(errors) => {
                errors.iter().for_each(|error| mistakes.push(plain::mistake(error, several, grouped)));
                None
            }
        }
    }

    /// What only units have is refused beside plain numbers.
    fn has_no_book(&self, mistakes: &mut Mistakes) {
        let there = [
            ("/pack", self.pack.is_some()),
            ("/book", self.book.is_some()),
            ("/situation", self.situation.is_some()),
            ("/with", self.with.is_some()),
            ("/without", self.without.is_some()),
        ];
        for (at, _) in there.iter().filter(|(_, there)| *there) {
            mistakes.push(Mistake::value(*at, "this goes with units of a book: both sides here are plain numbers"));
        }
    }
}

impl PreparedDuel {
    fn outcome<N: Number>(&self, token: &CancellationToken) -> Result<DuelOutcome, Cancelled> {
        let mut answer = answer::summarise::<N>(&self.duel.evaluate(token)?);
        let [a, b] = &self.spared;
        if let Some(duel) = a {
            let turns = duel.evaluate::<N>(token)?.turns;
            answer.a.destroyed_without_own_harm = turns.last().map(|last| Chance::from(&last.a_destroyed));
        }
        if let Some(duel) = b {
            let turns = duel.evaluate::<N>(token)?.turns;
            answer.b.destroyed_without_own_harm = turns.last().map(|last| Chance::from(&last.b_destroyed));
        }
        Ok(answer)
    }
}

fn has_blast(side: &Side) -> bool {
    side.attack.iter().any(|timed| matches!(timed.volley.attacks, Attacks::Blast(_)))
}

impl PreparedQuery for PreparedDuel {
    type Answer = DuelOutcome;

    fn canonical(&self) -> impl Serialize {
        // Two duels of units with the same numbers may still differ in their reasons.
        let units = self.units.as_ref().map(|units| units.canonical());
        serde_json::json!({ "duel": DuelRequest::of(&self.duel), "units": units, "exact": self.exact })
    }

    fn price(&self) -> Work {
        let spared = self.spared.iter().flatten().map(|duel| price::duel(duel, self.exact)).sum::<Work>();
        price::duel(&self.duel, self.exact) + spared + if self.units.is_some() { 5_000 } else { 0 }
    }

    fn bytes(&self) -> Work {
        let spared = if self.spared.iter().any(Option::is_some) { 2_u64 } else { 1 };
        bytes::duel(&self.duel, self.exact) * spared + self.units.as_ref().map_or(Work::NONE, |units| units.bytes())
    }

    fn answer(&self, token: &CancellationToken) -> Result<DuelOutcome, Cancelled> {
        let harmless = self.duel.is_harmless(token)?.then_some(true);
        let answer = if self.exact { self.outcome::<Exact>(token)? } else { self.outcome::<f64>(token)? };
        let answer = DuelOutcome { harmless, ..answer };
        Ok(match &self.units {
            Some(units) => units.explain(&self.duel, self.exact, answer),
            None => answer,
        })
    }
}
