//! Two units turn by turn, or one attack: who mends, who attacks, who runs, who falls.
use super::harm::{last_roll, lose_health, lose_structure, shrugged, throw};
use super::prepare::{effects, prepare};
use super::scene::Scene;
use super::weapon::{Used, scene};
use super::{Company, Hand, Marker};
use crate::play::Luck;
use pipwright_shared::rules::matchup::{Fielded, Situation};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::change::{RollId, Seat};
use pipwright_shared::rules::model::roll::{Counts, Rolls};
use pipwright_shared::rules::model::stat::Profile;

/// Two units, how each attacks in each turn, and who goes first: `a`, `b`, `roll` or `together`.
pub struct Encounter<'a> {
    pub pack: &'a Pack,
    pub sides: [Fielded; 2],
    /// For each side, the situation of its attack in each turn.
    pub situations: [Vec<Situation>; 2],
    pub first: &'a str,
}

/// What a fight came to.
pub struct Ending {
    /// The turn (from 0) by whose end nothing was left of a side; of each side.
    pub gone: [Option<usize>; 2],
    /// How many stand in the end.
    pub left: [usize; 2],
}

/// Companies mustered, and what is looked up once.
pub struct Field<'a> {
    encounter: &'a Encounter<'a>,
    fresh: [Company<'a>; 2],
    /// Each side with each of its sorts of figures in front.
    faces: [Vec<Company<'a>>; 2],
    usual: Situation,
    marker: &'a Marker,
}

/// What one attack took, for a matchup by itself.
pub struct Blow {
    pub fallen: usize,
    pub points: i64,
    pub runs: bool,
}

impl<'a> Field<'a> {
    pub fn new(encounter: &'a Encounter<'a>, marker: &'a Marker) -> Self {
        let fresh = [0, 1].map(|side| Company::muster(encounter.pack, &encounter.sides[side]));
        let face = |company: &Company<'a>, profile: &Profile| Company { profile: profile.clone(), ..company.clone() };
        let faces = fresh.each_ref().map(|side| side.sorts.iter().map(|(_, profile)| face(side, profile)).collect());
        Self { encounter, fresh, faces, usual: Situation::usual(encounter.pack), marker }
    }

    /// The weapons that a side uses in a turn. What they are against stays as it was at the start.
    fn used(&'a self, side: usize, turn: usize) -> Vec<(usize, Used<'a, 'a>)> {
        let situation = &self.encounter.situations[side][turn];
        let (attacker, target) = (&self.fresh[side], &self.fresh[1 - side]);
        let used = |weapon: &usize| {
            Some((
                *weapon,
                Used::new(scene(attacker, target, situation, Some(*weapon)), &self.faces[1 - side], self.marker)?,
            ))
        };
        attacker.order.iter().filter_map(used).collect()
    }

    /// All weapons of all turns made ready.
    pub fn ready(&'a self) -> Ready<'a> {
        let turns = self.encounter.situations[0].len();
        let side = |side: usize| (0..turns).map(|turn| self.used(side, turn)).collect();
        Ready { field: self, used: [side(0), side(1)] }
    }
}

pub struct Ready<'a> {
    field: &'a Field<'a>,
    used: [Vec<Vec<(usize, Used<'a, 'a>)>>; 2],
}

impl<'a> Ready<'a> {
    /// One attack of side a on side b, in the first turn.
    pub fn blow(&self, hand: &mut Hand) -> Blow {
        let mut sides = self.field.fresh.clone();
        let (standing, points) = (sides[1].standing(), points(self.field.encounter.pack, &sides[1], &self.field.usual));
        let attacker = sides[0].clone();
        self.attack(0, 0, &attacker, &mut sides[1], hand);
        let (fallen, left) =
            (standing - sides[1].standing(), self::points(self.field.encounter.pack, &sides[1], &self.field.usual));
        let runs = self.runs(0, 0, fallen, points - left, &sides[1], hand).is_some();
        Blow { fallen, points: points - left, runs }
    }

    /// A whole fight.
    pub fn fight(&self, hand: &mut Hand) -> Ending {
        let encounter = self.field.encounter;
        let mut sides = self.field.fresh.clone();
        let mut gone = [None, None];
        let a_first = match encounter.first {
            "b" => false,
            "roll" => hand.even(2) == 0,
            _ => true,
        };
        for turn in 0..encounter.situations[0].len() {
            if sides.iter().all(|side| side.standing() > 0) {
                if encounter.first == "together" {
                    self.together(turn, &mut sides, hand);
                } else {
                    let order = if a_first { [0, 1] } else { [1, 0] };
                    for side in order {
                        self.turn(side, turn, &mut sides, hand);
                    }
                }
            }
            for side in [0, 1] {
                if sides[side].standing() == 0 && gone[side].is_none() {
                    gone[side] = Some(turn);
                }
            }
        }
        Ending { gone, left: [sides[0].standing(), sides[1].standing()] }
    }

    fn turn(&self, side: usize, turn: usize, sides: &mut [Company<'a>; 2], hand: &mut Hand) {
        if sides.iter().any(|side| side.standing() == 0) {
            return;
        }
        self.mend(&mut sides[side], hand);
        let attacker = sides[side].clone();
        let harm = self.strike(side, turn, &attacker, &mut sides[1 - side], hand);
        self.suffer(&harm, &mut sides[side], hand);
    }

    fn together(&self, turn: usize, sides: &mut [Company<'a>; 2], hand: &mut Hand) {
        sides.iter_mut().for_each(|side| self.mend(side, hand));
        let before = sides.clone();
        let harm = [0, 1].map(|side| self.strike(side, turn, &before[side], &mut sides[1 - side], hand));
        for side in [0, 1] {
            self.suffer(&harm[side], &mut sides[side], hand);
        }
    }

    /// An attack with all that follows from it for the other side; what backfired.
    fn strike(
        &self,
        side: usize,
        turn: usize,
        attacker: &Company<'a>,
        target: &mut Company<'a>,
        hand: &mut Hand,
    ) -> Vec<i64> {
        let pack = self.field.encounter.pack;
        let (standing, before) = (target.standing(), points(pack, target, &self.field.usual));
        let harm = self.attack(side, turn, attacker, target, hand);
        let fallen = standing - target.standing();
        let lost = before - points(pack, target, &self.field.usual);
        if self.runs(side, turn, fallen, lost, target, hand) == Some(true) {
            target.figures.clear();
        }
        harm
    }

    fn attack(
        &self,
        side: usize,
        turn: usize,
        attacker: &Company<'a>,
        target: &mut Company<'a>,
        hand: &mut Hand,
    ) -> Vec<i64> {
        let standing = target.standing();
        let mut harm = Vec::new();
        for (weapon, used) in &self.used[side][turn] {
            harm.extend(used.use_on(attacker.count(*weapon), standing, target, hand).harm);
        }
        harm
    }

    /// The rolls afterwards: whether one came up, and whether it ends the unit.
    fn runs(
        &self,
        side: usize,
        turn: usize,
        fallen: usize,
        lost: i64,
        target: &Company<'a>,
        hand: &mut Hand,
    ) -> Option<bool> {
        let field = self.field;
        let scene = scene(&field.fresh[side], &field.fresh[1 - side], &field.encounter.situations[side][turn], None);
        let changes = scene.changes();
        let mut found = None;
        if self.used[side][turn].is_empty() {
            return found;
        }
        for (at, plan) in field.encounter.pack.aftermath.iter().enumerate() {
            let count = match plan.counts {
                Counts::Models if !target.is_armoured() => i64::try_from(fallen).expect("few"),
                Counts::HealthLost if !target.is_armoured() => lost,
                _ => continue,
            };
            if !scene.holds(&plan.when) || count < i64::from(scene.number(&plan.at_least).max(1)) {
                continue;
            }
            let mut roll = prepare(&scene, &plan.roll, RollId::Aftermath(at), &changes).roll;
            roll.modifier += i64::from(plan.per_point) * count;
            if roll.roll(hand).expect("against a number").success {
                found = Some(found == Some(true) || plan.ends);
            }
        }
        found
    }

    fn mend(&self, company: &mut Company<'a>, hand: &mut Hand) {
        if company.standing() == 0 || company.missing == 0 {
            return;
        }
        let before = company.clone();
        let alone = Scene {
            pack: company.pack,
            attacker: &before,
            target: &before,
            situation: &self.field.usual,
            weapon: None,
        };
        let Some(plan) = alone.repair().and_then(|rule| rule.repair.as_ref()) else { return };
        let changes = alone.changes();
        let mut roll = prepare(&alone, &plan.roll, RollId::Repair, &changes).roll;
        (roll.low_fails, roll.high_succeeds) = (false, false);
        let (each, rolls) = match &plan.rolls {
            Rolls::EachMissing => (true, company.missing),
            Rolls::Number(sum) => (false, i64::from(alone.number(sum))),
        };
        let mut restores = alone.throw(&plan.restores);
        for one in effects(&changes, RollId::Repair) {
            restores.plus += one.restores.as_ref().map_or(0, |sum| i64::from(alone.number(sum)));
        }
        for _ in 0..rolls {
            if roll.roll(hand).expect("against a number").success {
                let points = if each { 1 } else { throw(restores, hand) };
                company.missing -= points.min(company.missing);
            }
        }
    }

    /// What backfired falls on the own side. Rules of an attacker have no say in it.
    fn suffer(&self, harm: &[i64], company: &mut Company<'a>, hand: &mut Hand) {
        for points in harm {
            if company.standing() == 0 {
                return;
            }
            let before = company.clone();
            let alone = Scene {
                pack: company.pack,
                attacker: &before,
                target: &before,
                situation: &self.field.usual,
                weapon: None,
            };
            if company.is_armoured() {
                lose_structure(&alone, company, *points, false);
                continue;
            }
            let mut changes = alone.changes();
            changes.retain(|change| matches!(change.side, Seat::Target | Seat::NearTarget | Seat::Table));
            let left = match last_roll(&alone, &changes) {
                Some((roll, once)) => shrugged(&roll, once, *points, hand),
                None => *points,
            };
            let body = &company.pack.kinds[company.unit.kind].body;
            let spill = matches!(body, pipwright_shared::rules::model::attack::Body::Soldiers { spill: true, .. });
            lose_health(&alone, company, left, spill);
        }
    }
}

/// Points that are left: health of all who stand, or structure.
fn points(pack: &Pack, company: &Company<'_>, usual: &Situation) -> i64 {
    use pipwright_shared::rules::model::attack::Body;
    let (Body::Soldiers { health: each, .. } | Body::Armoured { structure: each, .. }) =
        &pack.kinds[company.unit.kind].body;
    let mut sum = -company.missing;
    let mut below = 0;
    for (most, profile) in &company.sorts {
        let here = company.standing().min(*most).saturating_sub(below);
        let front = Company { profile: profile.clone(), ..company.clone() };
        let scene = Scene { pack, attacker: company, target: &front, situation: usual, weapon: None };
        sum += i64::try_from(here).expect("few") * i64::from(scene.number(each).max(1));
        below = company.standing().min(*most);
    }
    sum
}
