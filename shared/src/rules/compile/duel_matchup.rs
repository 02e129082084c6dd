//! From two units to a duel in plain numbers: every weapon of both, in the turns in which it can be used.
use super::super::duel_matchup::{DuelMatchup, TurnRange};
use super::super::model::change::RuleScope;
use super::super::reason::{Reason, Reasons, Spot};
use super::super::standing;
use super::hands::Hands;
use super::{
    CompileError, Loadout, Log, Part, RuleContext, RuleNote, active_changes, base, chosen_weapons, target, volley,
};
use crate::odds::blast::Under;
use crate::odds::chain::{Aftermath, Attacks, Ignore, Kind, Target, When};
use crate::odds::duel::{Side, TimedAftermath, TimedVolley};

/// One side of a duel as plain numbers.
#[derive(Clone, Debug)]
pub struct CompiledSide {
    /// The side.
    pub side: Side,
    /// Why the numbers of its attack, and of what it attacks, are what they are.
    pub reasons: Reasons,
    /// The weapon of each volley.
    pub weapons: Vec<usize>,
    /// Weapons that are not used, by index, in which turns, and why.
    pub unused_weapons: Vec<(usize, (u32, u32), String)>,
    /// Rules that changed something.
    pub acted: Vec<RuleNote>,
    /// Rules that a side carries and that changed nothing, each with why.
    pub idle: Vec<RuleNote>,
    /// Why it mends as it does.
    pub mends: Vec<Reason>,
}

/// The attack of one side, while what belongs to its target is not resolved yet.
#[derive(Default)]
pub(super) struct Attack {
    pub(super) drafts: Vec<volley::Draft>,
    weapons: Vec<usize>,
    turns: Vec<(u32, u32)>,
    unused_weapons: Vec<(usize, (u32, u32), String)>,
    log: Log,
    /// The last draft as each sort of unlike models meets it.
    others: Vec<Option<volley::Draft>>,
}

/// Compiles both sides.
///
/// # Errors
/// [`CompileError`] with the side (0 or 1) that uses too many weapons.
pub fn compile_duel(duel_matchup: &DuelMatchup) -> Result<[CompiledSide; 2], (usize, CompileError)> {
    let pack = &*duel_matchup.pack;
    let whole = duel_matchup.sides.each_ref().map(|side| Loadout::new(pack, side));
    let parts = duel_matchup.sides.each_ref().map(|side| Loadout::new(pack, side).parts());
    let context = DuelContext { duel_matchup, whole: &whole, parts: &parts };
    let mut attacks = [context.attack(0)?, context.attack(1)?];
    let targets = [context.target(&mut attacks, 0)?, context.target(&mut attacks, 1)?];
    let [(first, first_target), (second, second_target)] = {
        let [one, other] = attacks;
        let [a, b] = targets;
        [(one, a), (other, b)]
    };
    Ok([context.finish(0, first, first_target), context.finish(1, second, second_target)])
}

/// Both sides, as those who attack and as the several sorts of models that are attacked.
#[derive(Clone, Copy)]
pub(super) struct DuelContext<'a> {
    pub(super) duel_matchup: &'a DuelMatchup,
    pub(super) whole: &'a [Loadout<'a>; 2],
    pub(super) parts: &'a [Vec<Part<'a>>; 2],
}

impl<'a> DuelContext<'a> {
    /// The attack of a side on the first models of the other, without a weapon.
    fn rule_context(&self, side: usize, turn_range: &'a TurnRange) -> RuleContext<'a> {
        RuleContext {
            pack: &self.duel_matchup.pack,
            attacker: &self.whole[side],
            target: &self.parts[1 - side][0].loadout,
            situation: &turn_range.situation,
            weapon: None,
            asked: 0,
            with: &self.duel_matchup.with,
            without: &self.duel_matchup.without,
            raised: None,
        }
    }

    pub(super) fn attack(&self, side: usize) -> Result<Attack, (usize, CompileError)> {
        let weapons = match chosen_weapons(&self.duel_matchup.sides[side].weapons, &self.whole[side]) {
            Ok(weapons) => weapons,
            // Who has nothing to attack with stands there.
            Err(CompileError::NoWeapon(_)) => Vec::new(),
            Err(error) => return Err((side, error)),
        };
        let mut attack = Attack::default();
        for (weapon, count) in weapons {
            for turn_range in &self.duel_matchup.turn_ranges[side] {
                self.use_weapon(side, weapon, count, turn_range, &mut attack);
            }
        }
        Ok(attack)
    }

    /// A weapon in some turns; where it is as it was in the turns before, these are added to those.
    fn use_weapon(&self, side: usize, weapon: usize, count: u32, turn_range: &'a TurnRange, attack: &mut Attack) {
        let rule_context = self.rule_context(side, turn_range).with_weapon(&self.duel_matchup.pack.weapons[weapon]);
        attack.log.volley = attack.drafts.len();
        let before = attack.log.reasons.len();
        let draft = match volley::compile(&rule_context, count, &mut attack.log) {
            Ok(draft) => draft,
            Err(why) => {
                return match attack.unused_weapons.last_mut() {
                    Some((known, turns, said))
                        if *known == weapon && *said == why && turns.1 + 1 == turn_range.turns.0 =>
                    {
                        turns.1 = turn_range.turns.1;
                    }
                    _ => attack.unused_weapons.push((weapon, turn_range.turns, why)),
                };
            }
        };
        // Models that are unlike the first may meet it otherwise where the first do not.
        let other = |part: &Part<'_>| {
            volley::compile(&RuleContext { target: &part.loadout, ..rule_context }, count, &mut Log::default()).ok()
        };
        let others: Vec<_> = self.parts[1 - side][1..].iter().map(other).collect();
        let follows = attack.weapons.last() == Some(&weapon)
            && attack.turns.last().is_some_and(|turns| turns.1 + 1 == turn_range.turns.0)
            && attack.drafts.last().is_some_and(|last| last.is_alike(&draft))
            && attack.others.iter().zip(&others).all(|(one, other)| match (one, other) {
                (Some(one), Some(other)) => one.is_alike(other),
                (None, None) => true,
                _ => false,
            });
        if let Some(turns) = attack.turns.last_mut().filter(|_| follows) {
            turns.1 = turn_range.turns.1;
            attack.log.reasons.truncate(before);
            return;
        }
        let situation = Some(turn_range.situation.clone());
        attack.drafts.push(volley::Draft { weapon: Some(weapon), situation, ..draft });
        attack.others = others;
        attack.weapons.push(weapon);
        attack.turns.push(turn_range.turns);
    }

    /// What the enemy of a side attacks. Where its last roll against damage is not the same for all that may hurt it,
    /// its own backfires too, that roll moves into what hurts it.
    pub(super) fn target(&self, attacks: &mut [Attack; 2], side: usize) -> Result<Target, (usize, CompileError)> {
        let enemy = 1 - side;
        let turn_range = &self.duel_matchup.turn_ranges[enemy][0];
        let rule_context = self.rule_context(enemy, turn_range);
        if attacks[side].drafts.iter().any(harms) {
            let own = own_ignore(&rule_context);
            let drafts = &mut attacks[enemy].drafts;
            if drafts.is_empty() || drafts.iter().any(|draft| draft.ignore != own) {
                let Attack { drafts, log, .. } = &mut attacks[enemy];
                target::part(drafts, log).map_err(|error| (enemy, error))?;
                if let Some(own) = own {
                    for draft in &mut attacks[side].drafts {
                        soften(draft, &own).map_err(|error| (side, error))?;
                    }
                }
            }
        }
        let Attack { drafts, log, .. } = &mut attacks[enemy];
        let target = target::compile(&rule_context, &self.parts[side], drafts, log).map_err(|error| (enemy, error))?;
        target::spill(&target, drafts);
        Ok(target)
    }
}

fn harms(draft: &volley::Draft) -> bool {
    draft.volley.steps.iter().any(|step| match &step.kind {
        Kind::Roll(roll) => roll.roll.backfire.is_some() && roll.backfire.harm.highest() > 0,
        Kind::Penetrate(_) | Kind::Table(_) => false,
    })
}

/// The last roll of the context's target against harm of its own making: no attacker's rule acts on it.
fn own_ignore(rule_context: &RuleContext<'_>) -> Option<Ignore> {
    let alone = RuleContext { attacker: rule_context.target, ..*rule_context };
    let mut log = Log::default();
    let mut active_changes = active_changes(&alone, true, &mut log);
    active_changes
        .retain(|one| matches!(one.change.side, RuleScope::Target | RuleScope::NearTarget | RuleScope::Table));
    volley::ignore(&alone, &active_changes, &mut log)
}

fn soften(draft: &mut volley::Draft, ignore: &Ignore) -> Result<(), CompileError> {
    for step in &mut draft.volley.steps {
        if let Kind::Roll(roll) = &mut step.kind
            && roll.backfire.harm.highest() > 0
        {
            roll.backfire.harm = ignore.left_of(&roll.backfire.harm).ok_or(CompileError::TooMuchDamage)?;
        }
    }
    Ok(())
}

impl DuelContext<'_> {
    pub(super) fn finish(&self, side: usize, mut attack: Attack, target: Target) -> CompiledSide {
        let duel_matchup = self.duel_matchup;
        let pack = &*duel_matchup.pack;
        let last = duel_matchup.turn_ranges[side].last().map_or(1, |turn_range| turn_range.turns.1);
        let always = |turns: (u32, u32)| (turns != (1, last)).then_some(turns);
        let aftermath = self.aftermath(side, &mut attack);
        let aftermath: Vec<TimedAftermath> = aftermath
            .into_iter()
            .map(|(aftermath, turns)| TimedAftermath { aftermath, turns: always(turns) })
            .collect();
        let instance = &duel_matchup.sides[side];
        let hands = Hands::of(pack, instance);
        let mut volleys = Vec::with_capacity(attack.drafts.len());
        for ((draft, weapon), turns) in attack.drafts.into_iter().zip(&attack.weapons).zip(&attack.turns) {
            let (each, attackers_by_survivors) = hands.attackers_by_survivors(*weapon);
            let mut volley = draft.volley;
            volley.attackers = each;
            let bases_follow_survivors =
                matches!(&volley.attacks, Attacks::Blast(blast) if matches!(blast.under, Under::Bases(..)));
            volleys.push(TimedVolley {
                volley,
                turns: always(*turns),
                attackers_by_survivors,
                bases_follow_survivors,
                order: 0,
            });
        }
        let repair = standing::repair(pack, instance, &duel_matchup.with, &duel_matchup.without);
        let (repair, mends) = repair.map_or((None, Vec::new()), |repair| (Some(repair.mend), repair.because));
        let (acted, idle) = attack.log.notes(pack);
        CompiledSide {
            side: Side { target, attack: volleys, aftermath, repair, sheds: Vec::new() },
            reasons: attack.log.reasons,
            weapons: attack.weapons,
            unused_weapons: attack.unused_weapons,
            acted,
            idle,
            mends,
        }
    }

    /// The rolls after a side's attack, each with its turns.
    fn aftermath(&self, side: usize, attack: &mut Attack) -> Vec<(Aftermath, (u32, u32))> {
        let mut found: Vec<(Aftermath, (u32, u32))> = Vec::new();
        for turn_range in self.duel_matchup.turn_ranges[side].iter().filter(|_| !attack.drafts.is_empty()) {
            let before = attack.log.reasons.len();
            let rule_context = self.rule_context(side, turn_range);
            let mut all_known = true;
            for mut after in target::aftermath(&rule_context, &attack.drafts, &mut attack.log) {
                if after.ends && matches!(after.when, When::Passed(_)) {
                    after.ends = false;
                    let words = "it counts a step that was passed, which a duel does not see: its effect is left out";
                    attack.log.from(Spot::Target, base(&after.effect, "", words));
                }
                let follows = |(known, turns): &&mut (Aftermath, (u32, u32))| {
                    *known == after && turns.1 + 1 == turn_range.turns.0
                };
                match found.iter_mut().find(follows) {
                    Some((_, turns)) => turns.1 = turn_range.turns.1,
                    None => {
                        all_known = false;
                        found.push((after, turn_range.turns));
                    }
                }
            }
            if all_known {
                attack.log.reasons.truncate(before);
            }
        }
        found
    }
}
