//! What a unit rolls by itself: its repair and its named checks.
use super::compile::{Loadout, Log, Part, Place, RuleContext, active_changes, compile_roll, repairs};
use super::matchup::{Situation, UnitInstance};
use super::model::Pack;
use super::model::attack::Body;
use super::model::change::RollId;
use super::model::roll::Rolls as Often;
use super::model::stat::Profile;
use super::model::unit::ModelGroup;
use super::reason::{Reason, Spot};
use crate::odds::dice::Amount;
use crate::odds::repair::{Mend, Rolls};
use crate::odds::roll::{Aim, Needs, Reroll, Roll};

/// A unit's repair.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitRepair {
    /// The rule that grants it, by index.
    pub rule: usize,
    /// Structure, or the health of all models.
    pub capacity: u32,
    /// What can be missing and come back: structure, or the health of the model in front, since nobody who has fallen comes
    /// back.
    pub mendable: u32,
    /// The roll and what it restores.
    pub mend: Mend,
    /// Why its numbers are what they are.
    pub because: Vec<Reason>,
}

/// A check of a unit.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitCheck {
    /// The check, by index.
    pub check: usize,
    /// Its roll.
    pub roll: Roll,
    /// The number that it was asked with, where it takes one.
    pub asked: Option<i32>,
    /// Why its numbers are what they are.
    pub because: Vec<Reason>,
}

/// Calls `ask` with the context of a unit that is both the one who rolls and the one who is rolled for.
fn alone<T>(
    pack: &Pack,
    unit: &UnitInstance,
    asked: i32,
    with: &[usize],
    without: &[usize],
    ask: impl FnOnce(&RuleContext<'_>) -> T,
) -> T {
    let loadout = Loadout::new(pack, unit);
    let situation = Situation::usual(pack);
    ask(&RuleContext { asked, with, without, ..context(pack, &loadout, &situation) })
}

/// The points that a unit can lose: structure, or the health of all its models.
pub fn capacity(pack: &Pack, unit: &UnitInstance) -> u32 {
    let parts = Loadout::new(pack, unit).parts();
    let points = parts.iter().map(|part| points(pack, part).saturating_mul(part.models.max(1)));
    match pack.kinds[pack.units[unit.unit].kind].body {
        Body::Soldiers { .. } => points.fold(0, u32::saturating_add),
        Body::Armoured { .. } => parts.first().map_or(1, |part| self::points(pack, part)),
    }
}

/// The models that are unlike the others, in the order in which they are lost, and how many of each.
pub fn model_groups<'a>(pack: &'a Pack, unit: &'a UnitInstance) -> Vec<(u32, &'a ModelGroup)> {
    let parts = Loadout::new(pack, unit).parts();
    parts.into_iter().filter_map(|part| Some((part.models, part.group?))).collect()
}

/// The points of the first of a unit's models, or of its hull.
pub fn first_capacity(pack: &Pack, unit: &UnitInstance) -> u32 {
    Loadout::new(pack, unit).parts().first().map_or(1, |part| points(pack, part))
}

/// Structure, or the health of one model.
fn points(pack: &Pack, part: &Part<'_>) -> u32 {
    let situation = Situation::usual(pack);
    let context = context(pack, &part.loadout, &situation);
    let (Body::Soldiers { health: points, .. } | Body::Armoured { structure: points, .. }) =
        &pack.kinds[part.loadout.unit.kind].body;
    context.number(points).clamp(1, 1_000).unsigned_abs()
}

/// A unit by itself.
fn context<'a>(pack: &'a Pack, loadout: &'a Loadout<'a>, situation: &'a Situation) -> RuleContext<'a> {
    RuleContext {
        pack,
        attacker: loadout,
        target: loadout,
        situation,
        weapon: None,
        asked: 0,
        with: &[],
        without: &[],
        raised: None,
    }
}

/// The weapons that a unit carries with its options, by index, and how many of each.
pub fn carried(pack: &Pack, unit: &UnitInstance) -> Vec<(usize, u32)> {
    Loadout::new(pack, unit).weapons
}

/// A unit's stats and the rules that it carries, options worked in.
pub fn profile(pack: &Pack, unit: &UnitInstance) -> (Profile, Vec<usize>) {
    let loadout = Loadout::new(pack, unit);
    (loadout.profile.into_owned(), loadout.rules.into_owned())
}

/// How a unit mends, if it does.
pub fn repair(pack: &Pack, unit: &UnitInstance, with: &[usize], without: &[usize]) -> Option<UnitRepair> {
    let (capacity, mendable) = (capacity(pack, unit), first_capacity(pack, unit));
    alone(pack, unit, 0, with, without, |context| {
        let rule = *repairs(context).first()?;
        let named = &pack.rules[rule].named;
        let plan = pack.rules[rule].repair.as_ref()?;
        let mut log = Log::default();
        let active_changes = active_changes(context, false, &mut log);
        let place = Place { id: RollId::Repair, name: "repair", spot: Spot::Target };
        let mut roll = compile_roll(context, &plan.roll, place, &active_changes, &mut log).roll;
        (roll.low_fails, roll.high_succeeds) = (false, false);
        let needs = match &roll.aim {
            Aim::Needs(needs) => *needs,
            Aim::Versus(_) => Needs::Never,
        };
        let rolls = match &plan.rolls {
            Often::EachMissing => Rolls::EachMissing,
            Often::Number(sum) => Rolls::Number(context.number(sum).clamp(0, 100).unsigned_abs()),
        };
        let mut restores = context.dice(&plan.restores);
        let granted = Reason {
            rule: named.id.clone(),
            text: named.text.clone(),
            effect: format!("repair on {needs}, restores {restores}"),
        };
        for one in active_changes.iter().filter(|one| one.change.rolls.contains(&RollId::Repair)) {
            if let Some(sum) = &one.change.effects.restores {
                let before = restores;
                restores = context.more(before, sum);
                log.changed(Spot::Target, one, "restores", format!("{before} → {restores}"));
            }
        }
        let because = std::iter::once(granted).chain(log.reasons.into_iter().map(|(_, reason)| reason)).collect();
        Some(UnitRepair {
            rule,
            capacity,
            mendable,
            mend: Mend { roll, rolls, restores: Amount::Dice(restores) },
            because,
        })
    })
}

/// One named check of a unit; nothing where units of its sort do not take it.
pub fn check(
    pack: &Pack,
    unit: &UnitInstance,
    check: usize,
    asked: Option<i32>,
    with: &[usize],
    without: &[usize],
) -> Option<UnitCheck> {
    let plan = pack.checks.get(check)?;
    let asked = plan.asks.as_ref().map(|(_, default)| asked.unwrap_or(*default));
    alone(pack, unit, asked.unwrap_or(0), with, without, |context| {
        if !context.holds(&plan.when) {
            return None;
        }
        let mut log = Log::default();
        let active_changes = active_changes(context, false, &mut log);
        let place = Place { id: RollId::Check(check), name: &plan.named.label, spot: Spot::Target };
        let mut roll = compile_roll(context, &plan.roll, place, &active_changes, &mut log).roll;
        (roll.critical, roll.backfire) = (None, None);
        roll.margins.clear();
        if roll.reroll == Reroll::NotCritical {
            roll.reroll = Reroll::Failures;
        }
        let because = log.reasons.into_iter().map(|(_, reason)| reason).collect();
        Some(UnitCheck { check, roll, asked, because })
    })
}

/// All checks that a unit takes.
pub fn checks(pack: &Pack, unit: &UnitInstance, with: &[usize], without: &[usize]) -> Vec<UnitCheck> {
    (0..pack.checks.len()).filter_map(|at| check(pack, unit, at, None, with, without)).collect()
}
