//! The gate before the attacks as JSON, to and from the domain.
use super::amount::{AmountForm, NeedsForm, amount, amount_form};
use super::mistake::Mistakes;
use super::notes::{Label, Notes};
use super::roll::{self, KeepForm, RerollForm, VersusForm, some_unless};
use super::step::{BackfireForm, StepTies};
use crate::odds::chain::Gate;
use crate::odds::dice::{Amount, Dice};
use crate::odds::roll::{Aim, Needs, Roll, Ties};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// What lets the attacks be made: a roll like that of a check. Attackers that fail it make no attacks.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct GateForm {
    /// The dice; default 1d6.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dice: Option<AmountForm>,
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
    /// Which of the dice are summed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keep: Option<KeepForm>,
    /// What is rolled again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reroll: Option<RerollForm>,
    /// The worst natural total always fails.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low_fails: Option<bool>,
    /// The best natural total always succeeds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high_succeeds: Option<bool>,
    /// What a low natural total costs the attacker, whether it passes or not; saved with the gate's own dice.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub backfire: Option<BackfireForm>,
    /// Rolled by each `attacker` (default) or once for the whole `volley`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub per: Option<GatePer>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// Who rolls a gate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum GatePer {
    /// Each attacker for itself.
    Attacker,
    /// One roll for all of them.
    Volley,
}

impl GateForm {
    pub(super) fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Gate> {
        let ties = self.ties.map(|ties| match ties {
            StepTies::Attacker => Ties::Win,
            StepTies::Defender => Ties::Lose,
            StepTies::Again => Ties::Again,
        });
        let aim = roll::resolve_aim(self.needs, self.versus, ties, at, mistakes);
        let dice = self.dice.or_else(|| Dice::one(6).ok().map(|die| AmountForm(Amount::Dice(die))))?;
        let pool = mistakes.keep(roll::resolve_pool(dice, self.keep, at));
        let reroll = mistakes.keep(roll::resolve_reroll(self.reroll, at));
        let mut roll = Roll {
            aim: aim?,
            harder: 0,
            modifier: self.modifier.unwrap_or(0),
            reroll: reroll?,
            low_fails: self.low_fails.unwrap_or(false),
            high_succeeds: self.high_succeeds.unwrap_or(false),
            critical: None,
            backfire: None,
            margins: Vec::new(),
            pool: pool?,
        };
        roll.backfire = self.backfire.as_ref().map(|backfire| backfire.on.unwrap_or(roll.default_backfire()));
        let (needs, harm) = self.backfire.map_or((None, None), |backfire| (backfire.needs, backfire.harm));
        let saved = Roll {
            aim: Aim::Needs(needs.map_or(Needs::Never, |needs| needs.0)),
            pool: roll.pool.clone(),
            ..Roll::plain(Dice::NONE, Needs::Never)
        };
        Some(Gate { roll, saved, harm: amount(harm, 0), per_volley: self.per == Some(GatePer::Volley) })
    }

    pub(super) fn of(gate: &Gate) -> Self {
        let roll = &gate.roll;
        let (dice, keep) = roll::pool_form(&roll.pool);
        let (needs, versus, ties) = roll::aim_forms(&roll.aim);
        let saved = match gate.saved.aim {
            Aim::Needs(needs) => some_unless(needs, Needs::Never),
            Aim::Versus(_) => None,
        };
        Self {
            dice: Some(dice),
            needs,
            versus,
            ties: ties.map(|ties| match ties {
                Ties::Win => StepTies::Attacker,
                Ties::Lose => StepTies::Defender,
                Ties::Again => StepTies::Again,
            }),
            modifier: some_unless(roll.modifier, 0),
            keep,
            reroll: roll::reroll_form(roll.reroll),
            low_fails: some_unless(roll.low_fails, false),
            high_succeeds: some_unless(roll.high_succeeds, false),
            backfire: roll.backfire.map(|on| BackfireForm {
                on: Some(on),
                needs: saved.map(NeedsForm),
                harm: amount_form(&gate.harm, 0),
                ..BackfireForm::default()
            }),
            per: gate.per_volley.then_some(GatePer::Volley),
            because: None,
            label: None,
        }
    }
}
