//! What becomes of a unit by itself: its last roll against damage, its repair, the harm that it does itself.
use super::Company;
use super::body::Body;
use super::chances::{Chances, binomial, follow, merged, summed, thrown};
use super::exchange::{Exchange, Setting};
use super::prepare::{effects, prepare};
use crate::brute::outcomes;
use crate::play::roll::Roll;
use pipwright_shared::rules::model::attack::Body as Sort;
use pipwright_shared::rules::model::change::{Change, RollId, RuleScope};
use pipwright_shared::rules::model::roll::Rolls;

/// The chance that a roll succeeds.
pub fn chance(roll: &Roll) -> f64 {
    let shown = outcomes(|luck| roll.roll(luck).map(|rolled| rolled.success));
    shown.into_iter().filter(|(success, _)| *success).map(|(_, chance)| chance).sum()
}

/// The chance of the target's last roll against damage, and whether it is made once for a packet.
pub fn last_roll(exchange: &Exchange<'_>, changes: &[&Change]) -> Option<(f64, bool)> {
    let Sort::Soldiers { ignore: Some(plan), per_packet, .. } = &exchange.pack.kinds[exchange.target.unit.kind].body
    else {
        return None;
    };
    let mut roll = prepare(exchange, plan, RollId::Ignore, changes).roll;
    (roll.low_fails, roll.high_succeeds) = (false, false);
    Some((chance(&roll), *per_packet))
}

impl Company<'_> {
    /// The chance of one repair roll, how many are made with so many points missing, and what each brings back;
    /// nothing where it does not mend itself.
    pub fn repair(&self, setting: &Setting) -> Option<Repair> {
        let alone = Exchange { pack: self.pack, attacker: self, target: self, setting, weapon: None };
        let plan = alone.repair()?.repair.as_ref()?;
        let changes = alone.changes();
        let mut roll = prepare(&alone, &plan.roll, RollId::Repair, &changes).roll;
        (roll.low_fails, roll.high_succeeds) = (false, false);
        let mut restores = alone.throw(&plan.restores);
        for one in effects(&changes, RollId::Repair) {
            restores.plus += one.restores.as_ref().map_or(0, |sum| i64::from(alone.number(sum)));
        }
        let rolls = match &plan.rolls {
            Rolls::EachMissing => None,
            Rolls::Number(sum) => Some(usize::try_from(alone.number(sum)).unwrap_or(0)),
        };
        Some(Repair { chance: chance(&roll), rolls, restores: thrown(restores) })
    }

    /// What backfired falls on the own side. Rules of an attacker have no say in it.
    pub fn suffers(&self, setting: &Setting, body: Body, harm: &Chances<i64>) -> Chances<Body> {
        let front = self.face(self.frame.sort(body.standing));
        let alone = Exchange { pack: self.pack, attacker: &front, target: &front, setting, weapon: None };
        let mut changes = alone.changes();
        changes.retain(|change| matches!(change.side, RuleScope::Target | RuleScope::NearTarget | RuleScope::Table));
        let last = last_roll(&alone, &changes);
        follow(harm.clone(), |points| {
            let points = match last {
                Some((ignored, true)) if points > 0 => vec![(0, ignored), (points, 1.0 - ignored)],
                Some((ignored, false)) => binomial(points, 1.0 - ignored),
                _ => vec![(points, 1.0)],
            };
            let hit = |points: i64| {
                let mut body = body;
                if self.frame.armoured {
                    self.frame.lose_structure(&mut body, points, false);
                } else {
                    self.frame.lose_health(&mut body, points, self.frame.spill);
                }
                body
            };
            merged(points.into_iter().map(|(points, chance)| (hit(points), chance)))
        })
    }
}

impl Company<'_> {
    /// The chance that a check is passed; nothing where the unit does not take it.
    pub fn passes(&self, check: usize, setting: &Setting) -> Option<f64> {
        let alone = Exchange { pack: self.pack, attacker: self, target: self, setting, weapon: None };
        let plan = &self.pack.checks[check];
        let changes = alone.changes();
        alone.holds(&plan.when).then(|| chance(&prepare(&alone, &plan.roll, RollId::Check(check), &changes).roll))
    }
}

/// How a unit mends itself at the start of its turn.
pub struct Repair {
    pub chance: f64,
    /// Nothing where one roll is made for each missing point, which each bring one back.
    pub rolls: Option<usize>,
    pub restores: Chances<i64>,
}

impl Repair {
    /// Points that can come back of so many missing.
    pub fn restored(&self, missing: i64) -> Chances<i64> {
        let Some(rolls) = self.rolls else { return binomial(missing, self.chance) };
        let once = follow(vec![(true, self.chance), (false, 1.0 - self.chance)], |success| {
            if success { self.restores.clone() } else { vec![(0, 1.0)] }
        });
        merged(summed(&once, rolls).into_iter().map(|(points, chance)| (points.min(missing), chance)))
    }

    pub fn mended(&self, body: Body) -> Chances<Body> {
        if body.standing == 0 || body.missing == 0 {
            return vec![(body, 1.0)];
        }
        let back = |points: i64| Body { missing: body.missing - points, ..body };
        self.restored(body.missing).into_iter().map(|(points, chance)| (back(points), chance)).collect()
    }
}
