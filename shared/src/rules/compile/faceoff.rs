//! From two units to a duel in plain numbers: every weapon of both, in the turns in which it can be used.
use super::super::faceoff::{Faceoff, Stage};
use super::super::model::change::Seat;
use super::super::reason::{Reason, Reasons, Spot};
use super::super::standing;
use super::served::Hands;
use super::{CompileError, Loadout, Log, Part, RuleNote, Scene, acting, base, chosen_weapons, target, volley};
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
    pub silent: Vec<(usize, (u32, u32), String)>,
    /// Rules that changed something.
    pub acted: Vec<RuleNote>,
    /// Rules that a side carries and that changed nothing, each with why.
    pub idle: Vec<RuleNote>,
    /// Why it mends as it does.
    pub mends: Vec<Reason>,
}

/// The attack of one side, while what belongs to its target is not settled yet.
#[derive(Default)]
pub(super) struct Attack {
    pub(super) drafts: Vec<volley::Draft>,
    weapons: Vec<usize>,
    turns: Vec<(u32, u32)>,
    silent: Vec<(usize, (u32, u32), String)>,
    log: Log,
    /// The last draft as each sort of unlike models meets it.
    others: Vec<Option<volley::Draft>>,
}

/// Compiles both sides.
///
/// # Errors
/// [`CompileError`] with the side (0 or 1) that uses too many weapons.
pub fn compile_faceoff(faceoff: &Faceoff) -> Result<[CompiledSide; 2], (usize, CompileError)> {
    let pack = &*faceoff.pack;
    let whole = faceoff.sides.each_ref().map(|side| Loadout::new(pack, side));
    let parts = faceoff.sides.each_ref().map(|side| Loadout::new(pack, side).parts());
    let field = Field { faceoff, whole: &whole, parts: &parts };
    let mut attacks = [field.attack(0)?, field.attack(1)?];
    let targets = [field.target(&mut attacks, 0)?, field.target(&mut attacks, 1)?];
    let [(first, first_target), (second, second_target)] = {
        let [one, other] = attacks;
        let [a, b] = targets;
        [(one, a), (other, b)]
    };
    Ok([field.finish(0, first, first_target), field.finish(1, second, second_target)])
}

/// Both sides, as those who attack and as the several sorts of models that are attacked.
#[derive(Clone, Copy)]
pub(super) struct Field<'a> {
    pub(super) faceoff: &'a Faceoff,
    pub(super) whole: &'a [Loadout<'a>; 2],
    pub(super) parts: &'a [Vec<Part<'a>>; 2],
}

impl<'a> Field<'a> {
    /// The attack of a side on the first models of the other, without a weapon.
    fn scene(&self, side: usize, stage: &'a Stage) -> Scene<'a> {
        Scene {
            pack: &self.faceoff.pack,
            attacker: &self.whole[side],
            target: &self.parts[1 - side][0].loadout,
            situation: &stage.situation,
            weapon: None,
            asked: 0,
            with: &self.faceoff.with,
            without: &self.faceoff.without,
            raised: None,
        }
    }

    pub(super) fn attack(&self, side: usize) -> Result<Attack, (usize, CompileError)> {
        let weapons = match chosen_weapons(&self.faceoff.sides[side].weapons, &self.whole[side]) {
            Ok(weapons) => weapons,
            // Who has nothing to attack with stands there.
            Err(CompileError::NoWeapon(_)) => Vec::new(),
            Err(error) => return Err((side, error)),
        };
        let mut attack = Attack::default();
        for (weapon, count) in weapons {
            for stage in &self.faceoff.stages[side] {
                self.use_weapon(side, weapon, count, stage, &mut attack);
            }
        }
        Ok(attack)
    }

    /// A weapon in some turns; where it is as it was in the turns before, these are added to those.
    fn use_weapon(&self, side: usize, weapon: usize, count: u32, stage: &'a Stage, attack: &mut Attack) {
        let scene = self.scene(side, stage).with_weapon(&self.faceoff.pack.weapons[weapon]);
        attack.log.volley = attack.drafts.len();
        let before = attack.log.reasons.len();
        let draft = match volley::compile(&scene, count, &mut attack.log) {
            Ok(draft) => draft,
            Err(why) => {
                return match attack.silent.last_mut() {
                    Some((known, turns, said)) if *known == weapon && *said == why && turns.1 + 1 == stage.turns.0 => {
                        turns.1 = stage.turns.1;
                    }
                    _ => attack.silent.push((weapon, stage.turns, why)),
                };
            }
        };
        // Models that are unlike the first may meet it otherwise where the first do not.
        let other = |part: &Part<'_>| {
            volley::compile(&Scene { target: &part.loadout, ..scene }, count, &mut Log::default()).ok()
        };
        let others: Vec<_> = self.parts[1 - side][1..].iter().map(other).collect();
        let follows = attack.weapons.last() == Some(&weapon)
            && attack.turns.last().is_some_and(|turns| turns.1 + 1 == stage.turns.0)
            && attack.drafts.last().is_some_and(|last| last.is_alike(&draft))
            && attack.others.iter().zip(&others).all(|(one, other)| match (one, other) {
                (Some(one), Some(other)) => one.is_alike(other),
                (None, None) => true,
                _ => false,
            });
        if let Some(turns) = attack.turns.last_mut().filter(|_| follows) {
            turns.1 = stage.turns.1;
            attack.log.reasons.truncate(before);
            return;
        }
        let situation = Some(stage.situation.clone());
        attack.drafts.push(volley::Draft { weapon: Some(weapon), situation, ..draft });
        attack.others = others;
        attack.weapons.push(weapon);
        attack.turns.push(stage.turns);
    }

    /// What the enemy of a side attacks. Where its last roll against damage is not the same for all that may hurt it,
    /// its own backfires too, that roll moves into what hurts it.
    pub(super) fn target(&self, attacks: &mut [Attack; 2], side: usize) -> Result<Target, (usize, CompileError)> {
        let enemy = 1 - side;
        let stage = &self.faceoff.stages[enemy][0];
        let scene = self.scene(enemy, stage);
        if attacks[side].drafts.iter().any(harms) {
            let own = own_ignore(&scene);
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
        let target = target::compile(&scene, &self.parts[side], drafts, log).map_err(|error| (enemy, error))?;
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

/// The last roll of the scene's target against harm of its own making: no attacker's rule acts on it.
fn own_ignore(scene: &Scene<'_>) -> Option<Ignore> {
    let alone = Scene { attacker: scene.target, ..*scene };
    let mut log = Log::default();
    let mut acting = acting(&alone, true, &mut log);
    acting.retain(|one| matches!(one.change.side, Seat::Target | Seat::NearTarget | Seat::Table));
    volley::ignore(&alone, &acting, &mut log)
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

impl Field<'_> {
    pub(super) fn finish(&self, side: usize, mut attack: Attack, target: Target) -> CompiledSide {
        let faceoff = self.faceoff;
        let pack = &*faceoff.pack;
        let last = faceoff.stages[side].last().map_or(1, |stage| stage.turns.1);
        let always = |turns: (u32, u32)| (turns != (1, last)).then_some(turns);
        let aftermath = self.aftermath(side, &mut attack);
        let aftermath: Vec<TimedAftermath> = aftermath
            .into_iter()
            .map(|(aftermath, turns)| TimedAftermath { aftermath, turns: always(turns) })
            .collect();
        let fielded = &faceoff.sides[side];
        let hands = Hands::of(pack, fielded);
        let mut volleys = Vec::with_capacity(attack.drafts.len());
        for ((draft, weapon), turns) in attack.drafts.into_iter().zip(&attack.weapons).zip(&attack.turns) {
            let (each, served) = hands.served(*weapon);
            let mut volley = draft.volley;
            volley.attackers = each;
            let thinned = matches!(&volley.attacks, Attacks::Blast(blast) if matches!(blast.under, Under::Bases(..)));
            volleys.push(TimedVolley { volley, turns: always(*turns), served, thinned });
        }
        let repair = standing::repair(pack, fielded, &faceoff.with, &faceoff.without);
        let (repair, mends) = repair.map_or((None, Vec::new()), |repair| (Some(repair.mend), repair.because));
        let (acted, idle) = attack.log.notes(pack);
        CompiledSide {
            side: Side { target, attack: volleys, aftermath, repair },
            reasons: attack.log.reasons,
            weapons: attack.weapons,
            silent: attack.silent,
            acted,
            idle,
            mends,
        }
    }

    /// The rolls after a side's attack, each with its turns.
    fn aftermath(&self, side: usize, attack: &mut Attack) -> Vec<(Aftermath, (u32, u32))> {
        let mut found: Vec<(Aftermath, (u32, u32))> = Vec::new();
        for stage in self.faceoff.stages[side].iter().filter(|_| !attack.drafts.is_empty()) {
            let before = attack.log.reasons.len();
            let scene = self.scene(side, stage);
            let mut all_known = true;
            for mut after in target::aftermath(&scene, &attack.drafts, &mut attack.log) {
                if after.ends && matches!(after.when, When::Passed(_)) {
                    after.ends = false;
                    let words = "it counts a step that was passed, which a duel does not see: its effect is left out";
                    attack.log.from(Spot::Target, base(&after.effect, "", words));
                }
                let follows =
                    |(known, turns): &&mut (Aftermath, (u32, u32))| *known == after && turns.1 + 1 == stage.turns.0;
                match found.iter_mut().find(follows) {
                    Some((_, turns)) => turns.1 = stage.turns.1,
                    None => {
                        all_known = false;
                        found.push((after, stage.turns));
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
