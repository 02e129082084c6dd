//! What damage does: the last roll against it, health and structure lost, who falls.
use super::prepare::prepare;
use super::scene::{Scene, Throw};
use super::{Company, Hand};
use crate::play::Luck;
use crate::play::roll::Roll;
use pipwright_shared::rules::model::attack::Body;
use pipwright_shared::rules::model::change::{Change, RollId};

pub fn throw(dice: Throw, hand: &mut Hand) -> i64 {
    let faces: i64 = (0..dice.count).map(|_| i64::from(hand.even(dice.sides)) + 1).sum();
    (faces + dice.plus).max(0)
}

/// The target's last roll against damage, and whether it is made once for a packet.
pub fn last_roll(scene: &Scene<'_>, changes: &[&Change]) -> Option<(Roll, bool)> {
    let Body::Soldiers { ignore: Some(plan), per_packet, .. } = &scene.pack.kinds[scene.target.unit.kind].body else {
        return None;
    };
    let mut roll = prepare(scene, plan, RollId::Ignore, changes).roll;
    (roll.low_fails, roll.high_succeeds) = (false, false);
    Some((roll, *per_packet))
}

/// What is left of a packet after that roll.
pub fn shrugged(roll: &Roll, once: bool, points: i64, hand: &mut Hand) -> i64 {
    let mut ignored = || roll.roll(hand).expect("against a number").success;
    if once {
        return if points > 0 && ignored() { 0 } else { points };
    }
    (0..points).filter(|_| !ignored()).count().try_into().expect("few")
}

pub fn lose_health(scene: &Scene<'_>, target: &mut Company<'_>, points: i64, spill: bool) {
    let Body::Soldiers { health, .. } = &scene.pack.kinds[target.unit.kind].body else { panic!("soldiers") };
    let mut points = points;
    while points > 0 && target.standing() > 0 {
        let health = i64::from(Scene { target: &target.clone(), ..*scene }.number(health).max(1));
        let left = health - target.missing;
        if points < left {
            target.missing += points;
            return;
        }
        target.falls();
        points = if spill { points - left } else { 0 };
    }
}

pub fn lose_structure(scene: &Scene<'_>, target: &mut Company<'_>, points: i64, wrecked: bool) {
    let Body::Armoured { structure, .. } = &scene.pack.kinds[target.unit.kind].body else { panic!("armour") };
    if target.standing() == 0 {
        return;
    }
    let structure = i64::from(Scene { target: &target.clone(), ..*scene }.number(structure).max(1));
    target.missing += points;
    if wrecked || target.missing >= structure {
        target.falls();
    }
}
