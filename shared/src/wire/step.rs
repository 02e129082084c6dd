//! The steps of a chain as JSON, to and from the domain.
use super::amount::{AmountForm, NeedsForm, amount, amount_form};
use super::change::{ChangeForm, resolve_then, then_form};
use super::counters::{counts_form, resolve_counts};
use super::mistake::{Mistake, Mistakes, pointer};
use super::notes::{Label, Notes};
use super::penetrate::{self, BreachForm, EqualForm, GrazeForm};
use super::roll::{self, KeepForm, RerollForm, VersusForm, some_unless};
use super::table::{self, TableRowForm};
use crate::odds::chain::{Backfire, By, Counts, Gain, Kind, RollStep, Step};
use crate::odds::dice::{Amount, Dice};
use crate::odds::roll::{CriticalFace, Needs, Roll, Ties};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// Who rolls a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ByForm {
    /// A failure ends the attack.
    Attacker,
    /// A success ends the attack.
    Defender,
}

/// The kind of a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum KindForm {
    /// An ordinary roll.
    Roll,
    /// Penetration against armour.
    Penetrate,
    /// A roll on rows: neither success nor failure.
    Table,
}

/// Who wins a tie of an opposed step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum StepTies {
    /// The attacker.
    Attacker,
    /// The defender.
    Defender,
    /// Nobody: both roll anew.
    Again,
}

/// One roll of a chain. An ordinary step has `needs` or `versus`; a penetrate step has `against`; a table has `rows`.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StepForm {
    /// What players call it; unique in its chain.
    #[schema(min_length = 1, max_length = 64, example = "hit")]
    pub name: String,
    /// `roll` (default), `penetrate` or `table`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<KindForm>,
    /// `attacker` (default) or `defender`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<ByForm>,
    /// Sides of the one die; default 6. In place of `dice`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 2, maximum = 100)]
    pub die: Option<u32>,
    /// Several dice; their kept natural total is the natural face.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dice: Option<AmountForm>,
    /// Which of the dice are summed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keep: Option<KeepForm>,
    /// What it needs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needs: Option<NeedsForm>,
    /// The other side of an opposed roll, in place of `needs`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub versus: Option<VersusForm>,
    /// Who wins a tie; default `defender`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ties: Option<StepTies>,
    /// Added to the total.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// What is rolled again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reroll: Option<RerollForm>,
    /// The worst natural face always fails.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low_fails: Option<bool>,
    /// The best natural face always succeeds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high_succeeds: Option<bool>,
    /// What a high natural face gives.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub critical: Option<CriticalForm>,
    /// What a winning difference gives: the best row reached.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 100)]
    pub margin: Option<Vec<MarginForm>>,
    /// What a low natural face costs the attacker.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub backfire: Option<BackfireForm>,
    /// Table: what its total gives; the row with the highest `at_least` not above it acts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 100)]
    pub rows: Option<Vec<TableRowForm>>,
    /// Penetrate: added to the dice.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub add: Option<i32>,
    /// Penetrate: the armour.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 10000)]
    pub against: Option<u32>,
    /// Penetrate: what a total equal to the armour is; default `graze`. Where it is a breach there are no grazes, and
    /// `failures_and_grazes` re-rolls failures.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub equal: Option<EqualForm>,
    /// Penetrate: what a graze does: a total equal to the armour.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub graze: Option<GrazeForm>,
    /// Penetrate: what a total above the armour does.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub breach: Option<BreachForm>,
    /// Added to the target's counters, each by its name, for each success that goes past this step.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<BTreeMap<String, AmountForm>>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// What a high natural face gives.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct CriticalForm {
    /// This natural face or better. Of a penetrate step: on any of its dice.
    #[schema(minimum = 0, maximum = 10000)]
    pub on: u32,
    /// Succeeds whatever the total; default true.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub always: Option<bool>,
    /// Further, ordinary successes: up to 10, dice allowed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub extra: Option<AmountForm>,
    /// Changed numbers of later steps, by name, for this success only.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub then: Option<BTreeMap<String, ChangeForm>>,
    /// Added to the damage of this success.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damage: Option<AmountForm>,
    /// Penetrate: added to the total, once.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub add: Option<AmountForm>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// What a winning difference gives.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MarginForm {
    /// The difference from which it counts.
    #[schema(minimum = 0, maximum = 10000)]
    pub at_least: u32,
    /// Changed numbers of later steps.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub then: Option<BTreeMap<String, ChangeForm>>,
    /// Further, ordinary successes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub extra: Option<AmountForm>,
    /// Added to the damage of this success.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damage: Option<AmountForm>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// What a low natural face costs the attacker.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BackfireForm {
    /// This natural face or worse; default 1 (of a low roll the highest).
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 10000)]
    pub on: Option<u32>,
    /// What saves the attacker, on the step's die without modifier; default `never`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub needs: Option<NeedsForm>,
    /// Damage to the attacker's own side; read in duels.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub harm: Option<AmountForm>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

impl StepForm {
    /// A step of the same name that is always passed.
    pub(super) fn stand_in(&self) -> Step {
        let die = Dice::NONE;
        let roll = Roll::plain(die, Needs::Auto);
        let backfire = Backfire { needs: Needs::Never, die, harm: Amount::fixed(0) };
        let step = RollStep { roll, critical: Gain::none(), margins: Vec::new(), backfire };
        Step { name: self.name.clone(), by: By::Attacker, kind: Kind::Roll(step), counts: Counts::new() }
    }

    pub(super) fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Step> {
        let by = match self.by {
            None | Some(ByForm::Attacker) => By::Attacker,
            Some(ByForm::Defender) => By::Defender,
        };
        let (name, counts) = (self.name.clone(), resolve_counts(self.counts.clone()));
        let kind = match self.kind.unwrap_or(KindForm::Roll) {
            KindForm::Penetrate => Kind::Penetrate(penetrate::resolve(self, at, mistakes)?),
            KindForm::Table => Kind::Table(table::resolve(self, at, mistakes)?),
            KindForm::Roll => Kind::Roll(self.resolve_roll(by, at, mistakes)?),
        };
        Some(Step { name, by, kind, counts })
    }

    fn resolve_roll(self, by: By, at: &str, mistakes: &mut Mistakes) -> Option<RollStep> {
        let penetrating = [
            ("add", self.add.is_some()),
            ("against", self.against.is_some()),
            ("equal", self.equal.is_some()),
            ("graze", self.graze.is_some()),
            ("breach", self.breach.is_some()),
            ("critical/add", self.critical.as_ref().is_some_and(|critical| critical.add.is_some())),
        ];
        for (field, _) in penetrating.iter().filter(|(_, there)| *there) {
            let detail = "this belongs to a penetrate step: give the step \"kind\": \"penetrate\"";
            mistakes.push(Mistake::value(format!("{at}/{field}"), detail));
        }
        if self.rows.is_some() {
            let detail = "this belongs to a table: give the step \"kind\": \"table\"";
            mistakes.push(Mistake::value(pointer(at, "rows"), detail));
        }
        let ties = self.ties.map(|ties| match (ties, by) {
            (StepTies::Again, _) => Ties::Again,
            (StepTies::Attacker, By::Attacker) | (StepTies::Defender, By::Defender) => Ties::Win,
            _ => Ties::Lose,
        });
        // Where nothing is said the defender wins, whoever rolls.
        let default = (by == By::Defender && self.versus.is_some()).then_some(Ties::Win);
        let aim = roll::resolve_aim(self.needs, self.versus, ties.or(default), at, mistakes);
        let dice = match (self.die, self.dice) {
            (Some(_), Some(_)) => {
                mistakes.push(Mistake::value(pointer(at, "dice"), "a step has die or dice, not both"));
                None
            }
            (_, Some(dice)) => Some(dice),
            (die, None) => roll::resolve_die(die, at, mistakes).map(|die| AmountForm(die.into())),
        };
        let pool = dice.and_then(|dice| mistakes.keep(roll::resolve_pool(dice, self.keep, at)));
        let reroll = mistakes.keep(roll::resolve_reroll(self.reroll, at));
        let (aim, pool, reroll) = (aim?, pool?, reroll?);
        let face = |critical: &CriticalForm| CriticalFace { on: critical.on, always: critical.always.unwrap_or(true) };
        let critical_face = self.critical.as_ref().map(face);
        let critical = self.critical.unwrap_or_default();
        let backfire = self.backfire;
        let mut roll = Roll {
            aim,
            harder: 0,
            modifier: self.modifier.unwrap_or(0),
            reroll,
            low_fails: self.low_fails.unwrap_or(false),
            high_succeeds: self.high_succeeds.unwrap_or(false),
            critical: critical_face,
            backfire: None,
            margins: self.margin.iter().flatten().map(|row| row.at_least).collect(),
            pool,
        };
        roll.backfire = backfire.as_ref().map(|backfire| backfire.on.unwrap_or(roll.default_backfire()));
        let gain =
            |extra, then, damage| Gain { extra: amount(extra, 0), then: resolve_then(then), damage: amount(damage, 0) };
        let margins = self.margin.into_iter().flatten().map(|row| gain(row.extra, row.then, row.damage)).collect();
        let die = match &roll.pool {
            crate::odds::roll::Pool::Dice { dice, .. } if dice.count() > 0 => Dice::one(dice.sides()),
            _ => Dice::one(6),
        };
        let (needs, harm) = backfire.map_or((None, None), |backfire| (backfire.needs, backfire.harm));
        let backfire =
            Backfire { needs: needs.map_or(Needs::Never, |needs| needs.0), die: die.ok()?, harm: amount(harm, 0) };
        Some(RollStep { roll, critical: gain(critical.extra, critical.then, critical.damage), margins, backfire })
    }
}

impl From<&Step> for StepForm {
    fn from(step: &Step) -> Self {
        let by = (step.by == By::Defender).then_some(ByForm::Defender);
        let counts = counts_form(&step.counts);
        let form = Self { name: step.name.clone(), by, counts, ..Self::default() };
        match &step.kind {
            Kind::Penetrate(inner) => penetrate::form(inner, form),
            Kind::Table(inner) => table::form(inner, form),
            Kind::Roll(inner) => roll_form(inner, step.by, form),
        }
    }
}

fn roll_form(inner: &RollStep, by: By, form: StepForm) -> StepForm {
    let roll = &inner.roll;
    let (dice, keep) = roll::pool_form(&roll.pool);
    // One plain die is written as its sides.
    let die = match &dice.0 {
        Amount::Dice(d) if d.count() == 1 && d.plus() == 0 && keep.is_none() => Some(d.sides()),
        _ => None,
    };
    let (needs, versus, ties) = roll::aim_forms(&roll.aim);
    let ties = ties.map(|ties| match (ties, by) {
        (Ties::Again, _) => StepTies::Again,
        (Ties::Win, By::Attacker) | (Ties::Lose, By::Defender) => StepTies::Attacker,
        _ => StepTies::Defender,
    });
    let critical = roll.critical.map(|face| CriticalForm {
        on: face.on,
        always: (!face.always).then_some(false),
        extra: amount_form(&inner.critical.extra, 0),
        then: then_form(&inner.critical.then),
        damage: amount_form(&inner.critical.damage, 0),
        ..CriticalForm::default()
    });
    let margin = |(at_least, gain): (&u32, &Gain)| MarginForm {
        at_least: *at_least,
        then: then_form(&gain.then),
        extra: amount_form(&gain.extra, 0),
        damage: amount_form(&gain.damage, 0),
        ..MarginForm::default()
    };
    let margins: Vec<_> = roll.margins.iter().zip(&inner.margins).map(margin).collect();
    let backfire = roll.backfire.map(|on| BackfireForm {
        on: Some(on),
        needs: some_unless(inner.backfire.needs, Needs::Never).map(NeedsForm),
        harm: amount_form(&inner.backfire.harm, 0),
        ..BackfireForm::default()
    });
    StepForm {
        die,
        dice: die.is_none().then_some(dice),
        keep,
        needs,
        versus,
        ties,
        modifier: some_unless(roll.modifier, 0),
        reroll: roll::reroll_form(roll.reroll),
        low_fails: some_unless(roll.low_fails, false),
        high_succeeds: some_unless(roll.high_succeeds, false),
        critical,
        margin: (!margins.is_empty()).then_some(margins),
        backfire,
        ..form
    }
}
