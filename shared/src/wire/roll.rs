//! The parts of a roll that checks and steps share.
use super::amount::{AmountForm, NeedsForm};
use super::mistake::{Mistake, Mistakes, pointer};
use crate::odds::dice::{Amount, Dice};
use crate::odds::roll::{Aim, Keep, Pool, Reroll, Ties, Versus};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Which of several dice are summed: one of the two.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct KeepForm {
    /// The highest so many.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 100)]
    pub highest: Option<u32>,
    /// The lowest so many.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 100)]
    pub lowest: Option<u32>,
}

/// The other side of an opposed roll.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct VersusForm {
    /// Its dice.
    pub dice: AmountForm,
    /// Added to its total.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// Which of its dice are summed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub keep: Option<KeepForm>,
}

/// Which natural faces are rolled again, once: `worst`, the worst face, of several dice each die that shows it; `failures`;
/// `natural_failures`, what fails before the modifier; `successes`, as the opponent makes you; `not_critical`, all that is no
/// critical. All but `worst` go by the total and roll all the dice again. `failures_and_grazes` is for a penetrate step
/// only: totals not above the armour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum RerollForm {
    /// None.
    None,
    /// The worst natural face.
    Worst,
    /// Failures.
    Failures,
    /// Dice that fail before the modifier.
    NaturalFailures,
    /// Successes: the opponent makes you.
    Successes,
    /// Any success that is not critical, and any failure.
    NotCritical,
    /// Of a penetrate step only: totals not above the armour.
    FailuresAndGrazes,
}

impl RerollForm {
    /// As requests write it.
    pub fn word(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::Worst => "worst",
            Self::Failures => "failures",
            Self::NaturalFailures => "natural_failures",
            Self::Successes => "successes",
            Self::NotCritical => "not_critical",
            Self::FailuresAndGrazes => "failures_and_grazes",
        }
    }
}

impl KeepForm {
    pub(super) fn resolve(form: Option<Self>, at: &str) -> Result<Keep, Mistake> {
        match form {
            None => Ok(Keep::All),
            Some(Self { highest: Some(n), lowest: None }) => Ok(Keep::Highest(n)),
            Some(Self { highest: None, lowest: Some(n) }) => Ok(Keep::Lowest(n)),
            Some(_) => Err(Mistake::value(at, "say either how many of the highest dice are kept or of the lowest")),
        }
    }

    pub(super) fn of(keep: Keep) -> Option<Self> {
        match keep {
            Keep::All => None,
            Keep::Highest(n) => Some(Self { highest: Some(n), lowest: None }),
            Keep::Lowest(n) => Some(Self { highest: None, lowest: Some(n) }),
        }
    }
}

/// The dice of a roll, with those that are kept.
pub(super) fn resolve_pool(dice: AmountForm, keep: Option<KeepForm>, at: &str) -> Result<Pool, Mistake> {
    let keep = KeepForm::resolve(keep, &pointer(at, "keep"))?;
    match dice.0 {
        Amount::Dice(dice) => Ok(Pool::Dice { dice, keep }),
        Amount::Given(_) if keep != Keep::All => {
            Err(Mistake::value(pointer(at, "keep"), "a given distribution is one die: there is nothing to keep of it"))
        }
        Amount::Given(given) => Ok(Pool::Given(given)),
    }
}

/// The dice and the keep of a pool, as a form has them.
pub(super) fn pool_form(pool: &Pool) -> (AmountForm, Option<KeepForm>) {
    match pool {
        Pool::Dice { dice, keep } => (AmountForm(Amount::Dice(*dice)), KeepForm::of(*keep)),
        Pool::Given(given) => (AmountForm(Amount::Given(given.clone())), None),
    }
}

/// `needs` or `versus`, exactly one of them.
pub(super) fn resolve_aim(
    needs: Option<NeedsForm>,
    versus: Option<VersusForm>,
    ties: Option<Ties>,
    at: &str,
    mistakes: &mut Mistakes,
) -> Option<Aim> {
    match (needs, versus) {
        (Some(NeedsForm(needs)), None) => {
            if ties.is_some() {
                mistakes.push(Mistake::value(pointer(at, "ties"), "ties belong to an opposed roll, one with versus"));
            }
            Some(Aim::Needs(needs))
        }
        (None, Some(versus)) => {
            let pool = resolve_pool(versus.dice, versus.keep, &pointer(at, "versus"));
            let modifier = versus.modifier.unwrap_or(0);
            let pool = mistakes.keep(pool)?;
            Some(Aim::Versus(Versus { pool, modifier, ties: ties.unwrap_or_default() }))
        }
        (Some(_), Some(_)) => {
            mistakes.push(Mistake::value(pointer(at, "versus"), "a roll has needs or versus, not both"));
            None
        }
        (None, None) => {
            mistakes.push(Mistake::missing(
                pointer(at, "needs"),
                "say what the roll needs, such as \"3+\" (or versus what)",
            ));
            None
        }
    }
}

/// The plain roll of one die that ignores, saves from a backfire or follows a volley.
pub(super) fn resolve_die(die: Option<u32>, at: &str, mistakes: &mut Mistakes) -> Option<Dice> {
    let dice = Dice::one(die.unwrap_or(6));
    mistakes.keep(dice.map_err(|error| Mistake::value(pointer(at, "die"), error.to_string())))
}

/// The re-rolls of an ordinary roll.
pub(super) fn resolve_reroll(reroll: Option<RerollForm>, at: &str) -> Result<Reroll, Mistake> {
    Ok(match reroll.unwrap_or(RerollForm::None) {
        RerollForm::None => Reroll::None,
        RerollForm::Worst => Reroll::Worst,
        RerollForm::Failures => Reroll::Failures,
        RerollForm::NaturalFailures => Reroll::NaturalFailures,
        RerollForm::Successes => Reroll::Successes,
        RerollForm::NotCritical => Reroll::NotCritical,
        RerollForm::FailuresAndGrazes => {
            return Err(Mistake::value(pointer(at, "reroll"), "failures_and_grazes is for penetrate steps only"));
        }
    })
}

/// The form of a re-roll; nothing where nothing is rolled again.
pub(super) fn reroll_form(reroll: Reroll) -> Option<RerollForm> {
    match reroll {
        Reroll::None => None,
        Reroll::Worst => Some(RerollForm::Worst),
        Reroll::Failures => Some(RerollForm::Failures),
        Reroll::NaturalFailures => Some(RerollForm::NaturalFailures),
        Reroll::Successes => Some(RerollForm::Successes),
        Reroll::NotCritical => Some(RerollForm::NotCritical),
    }
}

/// The forms of what decides a roll.
pub(super) fn aim_forms(aim: &Aim) -> (Option<NeedsForm>, Option<VersusForm>, Option<Ties>) {
    match aim {
        Aim::Needs(needs) => (Some(NeedsForm(*needs)), None, None),
        Aim::Versus(versus) => {
            let (dice, keep) = pool_form(&versus.pool);
            (None, Some(VersusForm { dice, modifier: some_unless(versus.modifier, 0), keep }), Some(versus.ties))
        }
    }
}

/// The value, unless it is the default: answers leave defaults out.
pub(super) fn some_unless<T: PartialEq>(value: T, default: T) -> Option<T> {
    (value != default).then_some(value)
}
