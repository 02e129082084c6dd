//! From a matchup to a chain, with the reason for every number that a rule, a chart or a choice decided.
//!
//! One volley for each weapon; the rules that act are found anew for each of them, since conditions may ask for the
//! weapon. What is set comes before what is added, both in a fixed order: the table's rules, those of units near the
//! attacker, the attacker's, the weapon's, those of units near the target, the target's.
mod active_changes;
mod context;
mod duel_matchup;
mod gain;
mod hands;
mod log;
mod model_groups;
mod penetrate;
mod roll;
mod roll_words;
mod side;
mod target;
mod template;
mod unanswered;
mod volley;
mod when;

pub(super) use active_changes::{active_changes, repairs};
pub(crate) use context::RuleContext;
pub use duel_matchup::{CompiledSide, compile_duel};
pub(crate) use log::Log;
pub(super) use roll::{Place, compile_roll};
pub(crate) use side::{Loadout, Part};
pub use unanswered::{compile_unanswered, compile_unanswered_turn_ranges};

use super::matchup::Matchup;
use super::reason::{Reason, Reasons};
use crate::odds::chain::{Chain, ChainError};
use crate::odds::duel::DuelError;

/// A matchup as plain numbers.
#[derive(Clone, Debug)]
pub struct Compiled {
    /// The chain.
    pub chain: Chain,
    /// Why its numbers are what they are.
    pub reasons: Reasons,
    /// The weapon of each volley, and how many of it.
    pub volleys: Vec<(usize, u32)>,
    /// Weapons that are not used, by index, and why.
    pub unused_weapons: Vec<(usize, String)>,
    /// Rules that changed something.
    pub acted: Vec<RuleNote>,
    /// Rules that a side carries and that changed nothing, each with why.
    pub idle: Vec<RuleNote>,
}

/// What became of a rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RuleNote {
    /// The rule, by index.
    pub rule: usize,
    /// What it did, or why it did nothing.
    pub why: String,
}

/// Why a matchup has no chain.
#[derive(Clone, Debug, thiserror::Error)]
pub enum CompileError {
    /// The unit has nothing to attack with.
    #[error("{0} has no weapon")]
    NoWeapon(String),
    /// More weapons than a chain has volleys.
    #[error("{0} uses more than 12 sorts of weapon at once: name those that it uses")]
    TooManyWeapons(String),
    /// Its models differ in more than a chain's groups can replace.
    #[error(
        "the models of {0} differ in more than the numbers of a roll, or weapons meet them too differently: ask with one weapon at a time"
    )]
    ModelGroups(String),
    /// Damage whose exact rest under a last roll is too much work.
    #[error("so much damage, with a last roll for each point of it, is too much work: lower the dice that deal it")]
    TooMuchDamage,
    /// The numbers make no chain.
    #[error("the pack's numbers make no chain: {}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Chain(Vec<ChainError>),
    /// The numbers make no duel.
    #[error("the pack's numbers make no duel: {}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Duel(Vec<DuelError>),
}

/// Compiles a matchup.
///
/// # Errors
/// [`CompileError`] where the attacker has no weapon, too many, or the pack's numbers go beyond what a chain takes.
pub fn compile(matchup: &Matchup) -> Result<Compiled, CompileError> {
    let pack = &*matchup.pack;
    let attacker = Loadout::new(pack, &matchup.attacker);
    let parts = Loadout::new(pack, &matchup.target).parts();
    let target = &parts[0].loadout;
    let mut log = Log::default();
    let context = RuleContext {
        pack,
        attacker: &attacker,
        target,
        situation: &matchup.situation,
        weapon: None,
        asked: 0,
        with: &matchup.with,
        without: &matchup.without,
        raised: None,
    };
    let weapons = chosen_weapons(&matchup.attacker.weapons, &attacker)?;
    let mut drafts = Vec::new();
    let mut unused_weapons = Vec::new();
    for (weapon, count) in weapons {
        let context = context.with_weapon(&pack.weapons[weapon]);
        log.volley = drafts.len();
        match volley::compile(&context, count, &mut log) {
            Ok(draft) => drafts.push((weapon, volley::Draft { weapon: Some(weapon), ..draft })),
            Err(why) => unused_weapons.push((weapon, why)),
        }
    }
    let volleys: Vec<(usize, u32)> = drafts.iter().map(|(weapon, draft)| (*weapon, draft.volley.attackers)).collect();
    let mut drafts: Vec<volley::Draft> = drafts.into_iter().map(|(_, draft)| draft).collect();
    if drafts.is_empty() {
        drafts.push(volley::nothing(&context));
    }
    let mut body = target::compile(&context, &parts, &mut drafts, &mut log)?;
    target::spill_together(&mut body, &mut drafts);
    let aftermath = target::aftermath(&context, &drafts, &mut log);
    let chain = Chain::new(drafts.into_iter().map(|draft| draft.volley).collect(), body, aftermath);
    let chain = chain.map_err(CompileError::Chain)?;
    let (acted, idle) = log.notes(pack);
    Ok(Compiled { chain, reasons: log.reasons, volleys, unused_weapons, acted, idle })
}

fn chosen_weapons(wanted: &[usize], attacker: &Loadout<'_>) -> Result<Vec<(usize, u32)>, CompileError> {
    let label = || attacker.unit.named.label.clone();
    let chosen: Vec<(usize, u32)> =
        (attacker.weapons.iter().copied()).filter(|(weapon, _)| wanted.is_empty() || wanted.contains(weapon)).collect();
    match chosen.len() {
        0 => Err(CompileError::NoWeapon(label())),
        1..=12 => Ok(chosen),
        _ => Err(CompileError::TooManyWeapons(label())),
    }
}

/// A reason without a rule of its own: the step's or the chart's.
fn base(rule: &str, text: impl Into<String>, effect: impl Into<String>) -> Reason {
    Reason { rule: rule.to_owned(), text: text.into(), effect: effect.into() }
}
