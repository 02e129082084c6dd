//! From two units to a duel in plain numbers: every weapon of both, in the turns in which it can be used.
use super::super::faceoff::{Faceoff, Stage};
use super::super::model::change::Seat;
use super::super::reason::{Reason, Reasons, Spot};
use super::super::standing;
use super::served::Hands;
use super::{CompileError, Loadout, Log, RuleNote, Scene, acting, base, chosen_weapons, target, volley};
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
struct Attack {
    drafts: Vec<volley::Draft>,
    weapons: Vec<usize>,
    turns: Vec<(u32, u32)>,
    silent: Vec<(usize, (u32, u32), String)>,
    log: Log,
}

/// Compiles both sides.
///
/// # Errors
/// [`CompileError`] with the side (0 or 1) that uses too many weapons.
pub fn compile_faceoff(faceoff: &Faceoff) -> Result<[CompiledSide; 2], (usize, CompileError)> {
    let pack = &*faceoff.pack;
    let loadouts = [Loadout::new(pack, &faceoff.sides[0]), Loadout::new(pack, &faceoff.sides[1])];
    let mut attacks = [attack(faceoff, &loadouts, 0)?, attack(faceoff, &loadouts, 1)?];
    let targets = [target(faceoff, &loadouts, &mut attacks, 0), target(faceoff, &loadouts, &mut attacks, 1)];
    let [(first, first_target), (second, second_target)] = {
        let [one, other] = attacks;
        let [a, b] = targets;
        [(one, a), (other, b)]
    };
    Ok([finish(faceoff, &loadouts, 0, first, first_target), finish(faceoff, &loadouts, 1, second, second_target)])
}

/// The attack of a side on the other, without a weapon.
fn scene<'a>(faceoff: &'a Faceoff, loadouts: &'a [Loadout<'a>; 2], side: usize, stage: &'a Stage) -> Scene<'a> {
    Scene {
        pack: &faceoff.pack,
        attacker: &loadouts[side],
        target: &loadouts[1 - side],
        situation: &stage.situation,
        weapon: None,
        asked: 0,
        with: &faceoff.with,
        without: &faceoff.without,
    }
}

fn attack(faceoff: &Faceoff, loadouts: &[Loadout<'_>; 2], side: usize) -> Result<Attack, (usize, CompileError)> {
    let mut attack = Attack::default();
    let weapons = match chosen_weapons(&faceoff.sides[side].weapons, &loadouts[side]) {
        Ok(weapons) => weapons,
        // Who has nothing to attack with stands there.
        Err(CompileError::NoWeapon(_)) => Vec::new(),
        Err(error) => return Err((side, error)),
    };
    for (weapon, count) in weapons {
        for stage in &faceoff.stages[side] {
            let scene = scene(faceoff, loadouts, side, stage).with_weapon(&faceoff.pack.weapons[weapon]);
            attack.log.volley = attack.drafts.len();
            let before = attack.log.reasons.len();
            match volley::compile(&scene, count, &mut attack.log) {
                Ok(draft) => {
                    let follows = attack.weapons.last() == Some(&weapon)
                        && attack.turns.last().is_some_and(|turns| turns.1 + 1 == stage.turns.0)
                        && attack.drafts.last() == Some(&draft);
                    if let Some(turns) = attack.turns.last_mut().filter(|_| follows) {
                        turns.1 = stage.turns.1;
                        attack.log.reasons.truncate(before);
                    } else {
                        attack.drafts.push(draft);
                        attack.weapons.push(weapon);
                        attack.turns.push(stage.turns);
                    }
                }
                Err(why) => match attack.silent.last_mut() {
                    Some((known, turns, said)) if *known == weapon && *said == why && turns.1 + 1 == stage.turns.0 => {
                        turns.1 = stage.turns.1;
                    }
                    _ => attack.silent.push((weapon, stage.turns, why)),
                },
            }
        }
    }
    Ok(attack)
}

/// What the enemy of a side attacks. Where its last roll against damage is not the same for all that may hurt it, its
/// own backfires too, that roll moves into what hurts it.
fn target(faceoff: &Faceoff, loadouts: &[Loadout<'_>; 2], attacks: &mut [Attack; 2], side: usize) -> Target {
    let enemy = 1 - side;
    let scene = scene(faceoff, loadouts, enemy, &faceoff.stages[enemy][0]);
    if attacks[side].drafts.iter().any(harms) {
        let own = own_ignore(&scene);
        let drafts = &mut attacks[enemy].drafts;
        if drafts.is_empty() || drafts.iter().any(|draft| draft.ignore != own) {
            target::part(&mut attacks[enemy].drafts, &mut attacks[enemy].log);
            if let Some(own) = own {
                attacks[side].drafts.iter_mut().for_each(|draft| soften(draft, &own));
            }
        }
    }
    target::compile(&scene, &mut attacks[enemy].drafts, &mut attacks[enemy].log)
}

fn harms(draft: &volley::Draft) -> bool {
    draft.volley.steps.iter().any(|step| match &step.kind {
        Kind::Roll(roll) => roll.roll.backfire.is_some() && roll.backfire.harm.highest() > 0,
        Kind::Penetrate(_) => false,
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

fn soften(draft: &mut volley::Draft, ignore: &Ignore) {
    for step in &mut draft.volley.steps {
        if let Kind::Roll(roll) = &mut step.kind
            && roll.backfire.harm.highest() > 0
        {
            roll.backfire.harm = ignore.left_of(&roll.backfire.harm);
        }
    }
}

fn finish(
    faceoff: &Faceoff,
    loadouts: &[Loadout<'_>; 2],
    side: usize,
    mut attack: Attack,
    target: Target,
) -> CompiledSide {
    let pack = &*faceoff.pack;
    let last = faceoff.stages[side].last().map_or(1, |stage| stage.turns.1);
    let always = |turns: (u32, u32)| (turns != (1, last)).then_some(turns);
    let aftermath = aftermath(faceoff, loadouts, side, &mut attack);
    let aftermath: Vec<TimedAftermath> =
        aftermath.into_iter().map(|(aftermath, turns)| TimedAftermath { aftermath, turns: always(turns) }).collect();
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
fn aftermath(
    faceoff: &Faceoff,
    loadouts: &[Loadout<'_>; 2],
    side: usize,
    attack: &mut Attack,
) -> Vec<(Aftermath, (u32, u32))> {
    let mut found: Vec<(Aftermath, (u32, u32))> = Vec::new();
    for stage in faceoff.stages[side].iter().filter(|_| !attack.drafts.is_empty()) {
        let before = attack.log.reasons.len();
        let scene = scene(faceoff, loadouts, side, stage);
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
