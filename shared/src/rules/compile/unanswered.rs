//! A duel in which one side attacks and nothing ever happens to it.
use super::duel_matchup::{Attack, DuelContext};
use super::{CompileError, Loadout};
use crate::odds::chain::{Armoured, Counters, Kind, Step, Target};
use crate::odds::dice::Amount;
use crate::odds::duel::{Duel, First, Side};
use crate::odds::roll::Needs;
use crate::rules::duel_matchup::{DuelMatchup, TurnRange};
use crate::rules::matchup::Matchup;

/// Compiles a duel in which one side attacks in every turn and nothing ever happens to it: nobody attacks it, and it is
/// not harmed by itself either. Side a is attacked, side b attacks and goes first; nothing where it has no weapon that it
/// can use.
///
/// # Errors
/// [`CompileError`] where the attacker uses too many weapons, or the target's models differ in more than a chain can say.
pub fn compile_unanswered(matchup: &Matchup, turns: u32) -> Result<Option<Duel>, CompileError> {
    compile_unanswered_turn_ranges(matchup, vec![TurnRange { situation: matchup.situation.clone(), turns: (1, turns) }])
}

/// The same where the attacker does not stay where it is: the turn ranges, which follow each other from the first turn on,
/// stand in place of the matchup's situation. What the target is made of is read as at the first of them.
///
/// # Errors
/// As [`compile_unanswered`].
pub fn compile_unanswered_turn_ranges(
    matchup: &Matchup,
    turn_ranges: Vec<TurnRange>,
) -> Result<Option<Duel>, CompileError> {
    let Some(turns) = turn_ranges.last().map(|turn_range| turn_range.turns.1) else { return Ok(None) };
    let duel_matchup = DuelMatchup {
        pack: matchup.pack.clone(),
        sides: [matchup.target.clone(), matchup.attacker.clone()],
        turn_ranges: [Vec::new(), turn_ranges],
        with: matchup.with.clone(),
        without: matchup.without.clone(),
    };
    let pack = &*duel_matchup.pack;
    let whole = duel_matchup.sides.each_ref().map(|side| Loadout::new(pack, side));
    let parts = duel_matchup.sides.each_ref().map(|side| Loadout::new(pack, side).parts());
    let context = DuelContext { duel_matchup: &duel_matchup, whole: &whole, parts: &parts };
    let mut attacks = [Attack::default(), context.attack(1).map_err(|(_, error)| error)?];
    if attacks[1].drafts.is_empty() {
        return Ok(None);
    }
    let target = context.target(&mut attacks, 0).map_err(|(_, error)| error)?;
    let [idle, attack] = attacks;
    let attacked = context.finish(0, idle, target).side;
    // The attackers stand as one, since none of them falls.
    let one = Armoured {
        structure: 1,
        units: 1,
        overflow_wasted: false,
        hurt: 0,
        statuses: Vec::new(),
        counters: Counters::default(),
    };
    let mut attacks = Side { repair: None, ..context.finish(1, attack, Target::Armoured(one)).side };
    for timed in &mut attacks.attack {
        timed.volley.attackers = timed.attackers(matchup.attacker.models.max(1));
        timed.attackers_by_survivors.clear();
        timed.volley.steps.iter_mut().for_each(harm_nobody);
    }
    Duel::new(attacked, attacks, First::B, turns).map(Some).map_err(CompileError::Duel)
}

/// A backfire ends no attack: without its harm there is nothing left of it.
fn harm_nobody(step: &mut Step) {
    if let Kind::Roll(roll) = &mut step.kind {
        roll.roll.backfire = None;
        roll.backfire.harm = Amount::fixed(0);
        roll.backfire.needs = Needs::Never;
    }
}
