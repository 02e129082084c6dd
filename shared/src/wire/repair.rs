//! `repair`: what is mended turn by turn, and whether the unit lives to see it.
use super::amount::{AmountForm, NeedsForm};
use super::amount::{amount, amount_form};
use super::bytes;
use super::duel::MendForm;
use super::mistake::{Mistake, Mistakes, pointer};
use super::question::{PreparedQuery, Question};
use super::roll::{self, RerollForm, some_unless};
use super::summary::{Chance, Summary};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::check_roll;
use crate::odds::number::{Exact, Number};
use crate::odds::price::{self, Work};
use crate::odds::repair::{Mend, Repair, RepairAnswer, Rolls};
use crate::odds::roll::{Aim, Needs, Pool, Roll};
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A unit that is damaged and repaired, turn by turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"capacity": 5, "missing": 2, "needs": "5+", "incoming": {"distribution": [{"value": 0, "fraction": "2/3"}, {"value": 1, "fraction": "1/3"}]}}))]
pub struct RepairRequest {
    /// Points when whole.
    #[schema(minimum = 1, maximum = 1000)]
    pub capacity: u32,
    /// Points missing at the start.
    #[schema(minimum = 0, maximum = 1000)]
    pub missing: u32,
    /// What a repair roll needs.
    pub needs: NeedsForm,
    /// Sides of its die; default 6.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 2, maximum = 100)]
    pub die: Option<u32>,
    /// Added to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// What is rolled again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reroll: Option<RerollForm>,
    /// How often a turn rolls: `one` (default), `each_missing`, or a number of rolls.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rolls: Option<RollsForm>,
    /// What a success restores; default 1. Not used with `each_missing`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub restores: Option<AmountForm>,
    /// Turns followed; default 6.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub turns: Option<u32>,
    /// Points lost each turn; default none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub incoming: Option<AmountForm>,
    /// What comes first in a turn; default `damage_first`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub order: Option<Order>,
    /// Partial requests laid over this one, each answered beside it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 12)]
    pub compare: Option<Vec<RepairPatch>>,
    /// Show fractions in every row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
}

/// What differs from the request that it is laid over.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RepairPatch {
    /// Points when whole.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub capacity: Option<u32>,
    /// Points missing at the start.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1000)]
    pub missing: Option<u32>,
    /// What a repair roll needs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needs: Option<NeedsForm>,
    /// Sides of its die.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 2, maximum = 100)]
    pub die: Option<u32>,
    /// Added to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// What is rolled again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reroll: Option<RerollForm>,
    /// How often a turn rolls.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rolls: Option<RollsForm>,
    /// What a success restores.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub restores: Option<AmountForm>,
    /// Turns followed.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub turns: Option<u32>,
    /// Points lost each turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub incoming: Option<AmountForm>,
    /// What comes first in a turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub order: Option<Order>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
}

/// How often a turn's repair rolls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(untagged, expecting = "rolls is \"one\", \"each_missing\" or a number of rolls")]
pub enum RollsForm {
    /// By name.
    Named(RollsName),
    /// So many.
    Number(u32),
}

/// How often a turn's repair rolls, by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum RollsName {
    /// Once.
    One,
    /// Once for each missing point; each success restores that point.
    EachMissing,
}

/// What comes first in a turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum Order {
    /// Damage, then repair.
    DamageFirst,
    /// Repair, then damage.
    RepairFirst,
}

/// What comes of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RepairOutcome {
    /// The chance of one repair roll.
    #[schema(minimum = 0, maximum = 1)]
    pub chance: f64,
    /// The same exactly.
    #[schema(example = "1/6")]
    pub fraction: String,
    /// The end of each turn.
    pub turns: Vec<RepairTurnRow>,
    /// Points restored over all turns.
    pub restored: Summary,
    /// Destroyed by the last turn.
    pub destroyed: Chance,
    /// The answers to `compare`, in order.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(no_recursion)]
    pub compared: Option<Vec<RepairOutcome>>,
}

/// The end of a turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RepairTurnRow {
    /// Which turn, from 1.
    pub turn: u32,
    /// The chance of not being destroyed.
    pub alive: f64,
    /// Points missing; destroyed counts as all.
    pub missing: Summary,
    /// The chance that at least one point has come back so far.
    pub any_restored: f64,
    /// Points that have come back so far.
    pub restored: Summary,
}

/// A repair ready to be worked out, with those it is compared with.
#[derive(Clone, Debug)]
pub struct PreparedRepair {
    repair: Repair,
    compare: Vec<Repair>,
    exact: bool,
}

impl PreparedRepair {
    /// The repair.
    pub fn repair(&self) -> &Repair {
        &self.repair
    }

    fn all(&self) -> impl Iterator<Item = &Repair> {
        std::iter::once(&self.repair).chain(&self.compare)
    }
}

impl Question for RepairRequest {
    const PATH: &'static str = "repair";
    type Prepared = PreparedRepair;

    fn resolve(mut self, _catalog: &PackCatalog) -> Result<PreparedRepair, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let exact = self.exact.unwrap_or(false);
        let patches = self.compare.take().unwrap_or_default();
        if patches.len() > 12 {
            mistakes.push(Mistake::value("/compare", "at most 12 to compare with"));
        }
        let mut compare = Vec::new();
        let first = self.clone().repair("", &mut mistakes);
        if mistakes.0.is_empty() {
            for (index, patch) in patches.into_iter().enumerate() {
                let laid = patch.over(self.clone());
                compare.extend(laid.repair(&format!("/compare/{index}"), &mut mistakes));
            }
        }
        mistakes.or(first.map(|repair| PreparedRepair { repair, compare, exact }))
    }
}

impl RepairPatch {
    fn over(self, base: RepairRequest) -> RepairRequest {
        RepairRequest {
            capacity: self.capacity.unwrap_or(base.capacity),
            missing: self.missing.unwrap_or(base.missing),
            needs: self.needs.unwrap_or(base.needs),
            die: self.die.or(base.die),
            modifier: self.modifier.or(base.modifier),
            reroll: self.reroll.or(base.reroll),
            rolls: self.rolls.or(base.rolls),
            restores: self.restores.or(base.restores),
            turns: self.turns.or(base.turns),
            incoming: self.incoming.or(base.incoming),
            order: self.order.or(base.order),
            ..base
        }
    }
}

impl RepairRequest {
    pub(super) fn repair(self, at: &str, mistakes: &mut Mistakes) -> Option<Repair> {
        let mut unless = |good: bool, field: &str, detail: &str| {
            if !good {
                mistakes.push(Mistake::value(pointer(at, field), detail));
            }
        };
        unless((1..=1_000).contains(&self.capacity), "capacity", "capacity is a number from 1 to 1000");
        unless(self.missing <= self.capacity, "missing", "no more can be missing than the capacity");
        unless((1..=1_000).contains(&self.turns.unwrap_or(6)), "turns", "1 to 1000 turns");
        let rolls = resolve_rolls(self.rolls);
        unless(!matches!(rolls, Rolls::Number(n) if n > 100), "rolls", "at most 100 rolls a turn");
        let mend = resolve_mend(self.needs, self.die, self.modifier, self.reroll, rolls, self.restores, at, mistakes)?;
        Some(Repair {
            capacity: self.capacity,
            missing: self.missing,
            mend,
            turns: self.turns.unwrap_or(6),
            incoming: amount(self.incoming, 0),
            repair_first: self.order == Some(Order::RepairFirst),
        })
    }

    pub(super) fn of(repair: &Repair) -> Self {
        let mend = mend_parts(&repair.mend);
        Self {
            capacity: repair.capacity,
            missing: repair.missing,
            needs: mend.needs,
            die: mend.die,
            modifier: mend.modifier,
            reroll: mend.reroll,
            rolls: mend.rolls,
            restores: mend.restores,
            turns: Some(repair.turns),
            incoming: amount_form(&repair.incoming, 0),
            order: repair.repair_first.then_some(Order::RepairFirst),
            compare: None,
            exact: None,
            label: None,
            because: None,
        }
    }
}

/// The form of what mends.
pub(super) fn mend_parts(mend: &Mend) -> MendForm {
    let (needs, ..) = roll::aim_forms(&mend.roll.aim);
    MendForm {
        needs: needs.unwrap_or(NeedsForm(Needs::Never)),
        die: match &mend.roll.pool {
            Pool::Dice { dice, .. } => Some(dice.sides()),
            Pool::Given(_) => None,
        },
        modifier: some_unless(mend.roll.modifier, 0),
        reroll: roll::reroll_form(mend.roll.reroll),
        rolls: match mend.rolls {
            Rolls::Number(1) => None,
            Rolls::Number(n) => Some(RollsForm::Number(n)),
            Rolls::EachMissing => Some(RollsForm::Named(RollsName::EachMissing)),
        },
        restores: amount_form(&mend.restores, 1),
        label: None,
        because: None,
    }
}

pub(super) fn resolve_rolls(rolls: Option<RollsForm>) -> Rolls {
    match rolls {
        None | Some(RollsForm::Named(RollsName::One)) => Rolls::Number(1),
        Some(RollsForm::Named(RollsName::EachMissing)) => Rolls::EachMissing,
        Some(RollsForm::Number(n)) => Rolls::Number(n),
    }
}

#[expect(clippy::too_many_arguments, reason = "the fields that a repair and a side of a duel share, one by one")]
pub(super) fn resolve_mend(
    needs: NeedsForm,
    die: Option<u32>,
    modifier: Option<i32>,
    reroll: Option<RerollForm>,
    rolls: Rolls,
    restores: Option<AmountForm>,
    at: &str,
    mistakes: &mut Mistakes,
) -> Option<Mend> {
    let die = roll::resolve_die(die, at, mistakes);
    let reroll = mistakes.keep(roll::resolve_reroll(reroll, at));
    let mut roll = Roll { modifier: modifier.unwrap_or(0), reroll: reroll?, ..Roll::plain(die?, Needs::Never) };
    roll.aim = Aim::Needs(needs.0);
    let faults = check_roll(&roll);
    for (field, fault) in &faults {
        mistakes.push(Mistake::value(pointer(at, field), fault.to_string()));
    }
    faults.is_empty().then(|| Mend { roll, rolls, restores: amount(restores, 1) })
}

impl PreparedQuery for PreparedRepair {
    type Answer = RepairOutcome;

    fn canonical(&self) -> impl Serialize {
        let compare: Vec<_> = self.compare.iter().map(RepairRequest::of).collect();
        serde_json::json!({ "repair": RepairRequest::of(&self.repair), "compare": compare, "exact": self.exact })
    }

    fn price(&self) -> Work {
        self.all().map(|repair| price::repair(repair, self.exact)).sum()
    }

    fn bytes(&self) -> Work {
        self.all().map(|repair| bytes::repair(repair, self.exact)).sum()
    }

    fn answer(&self, token: &CancellationToken) -> Result<RepairOutcome, Cancelled> {
        let one = |repair: &Repair| {
            let chance = repair.mend.roll.score::<Exact>().success();
            if self.exact {
                Ok(summarise::<Exact>(&repair.evaluate(token)?, &chance))
            } else {
                Ok(summarise::<f64>(&repair.evaluate(token)?, &chance))
            }
        };
        let mut answer = one(&self.repair)?;
        if !self.compare.is_empty() {
            answer.compared = Some(self.compare.iter().map(one).collect::<Result<_, _>>()?);
        }
        Ok(answer)
    }
}

fn summarise<N: Number>(of: &RepairAnswer<N>, chance: &Exact) -> RepairOutcome {
    let rows = of.turns.iter().zip(1..).map(|(row, turn)| RepairTurnRow {
        turn,
        alive: row.alive.to_f64().min(1.0),
        missing: Summary::from(&row.missing),
        any_restored: row.any_restored.to_f64().min(1.0),
        restored: Summary::from(&row.restored),
    });
    RepairOutcome {
        chance: chance.to_f64(),
        fraction: chance.to_string(),
        turns: rows.collect(),
        restored: Summary::from(&of.restored),
        destroyed: Chance::from(&of.destroyed),
        compared: None,
    }
}
