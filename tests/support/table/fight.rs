//! Two units turn by turn, or one attack: who mends, who attacks, who runs, who falls.
use super::after::After;
use super::body::Body;
use super::chances::{Chances, both, chance, follow, mean, merged};
use super::exchange::{Exchange, Setting};
use super::lay::Lay;
use super::mend::Repair;
use super::strike::{Used, Watch};
use super::{Company, Muster};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::roll::Counts;
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

/// Who goes first in every turn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum First {
    A,
    B,
    Roll,
    Together,
}

/// Two units, how each attacks in each turn, and who goes first.
pub struct Encounter<'a> {
    pub pack: &'a Pack,
    pub sides: [Muster; 2],
    /// For each side, the setting of its attack in each turn.
    pub settings: [Vec<Setting>; 2],
    pub first: First,
    /// Side a only stands there, and nothing ever happens to side b.
    pub unanswered: bool,
    /// Templates are laid on so many, however many stand.
    pub laid_on: Option<usize>,
}

/// Companies mustered, and what is looked up once.
pub struct Engagement<'a> {
    encounter: &'a Encounter<'a>,
    pub sides: [Company<'a>; 2],
    /// Each side with each of its sorts of figures in front.
    faces: [Vec<Company<'a>>; 2],
    usual: Setting,
    lay: &'a Lay,
}

/// After an attack.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct End {
    body: Body,
    passed: usize,
    /// Backfires, by the place of the weapon.
    bursts: Vec<(usize, usize)>,
}

/// What one attack comes to, for a matchup by itself.
pub struct Blow {
    pub ends: Chances<Body>,
    pub attacks: Chances<i64>,
    pub backfires: Chances<i64>,
    /// Effects afterwards, by name, with their chances.
    pub effects: Vec<(String, f64)>,
    /// Whether any weapon is used.
    pub used: bool,
}

/// What a fight comes to.
#[derive(Default)]
pub struct Ending {
    /// By the end of each turn: the chance that nothing is left of each side.
    pub gone: Vec<[f64; 2]>,
    /// In the end.
    pub left: Chances<[Body; 2]>,
}

impl<'a> Engagement<'a> {
    pub fn new(encounter: &'a Encounter<'a>, lay: &'a Lay) -> Self {
        let sides = [0, 1].map(|side| Company::muster(encounter.pack, &encounter.sides[side]));
        let faces = sides.each_ref().map(|side| (0..side.sorts.len()).map(|sort| side.face(sort)).collect());
        let mut usual = Setting::usual(encounter.pack);
        usual.without.clone_from(&encounter.settings[1][0].without);
        Self { encounter, sides, faces, usual, lay }
    }

    fn exchange(&'a self, side: usize, turn: usize, weapon: Option<usize>) -> Exchange<'a> {
        let setting = &self.encounter.settings[side][turn];
        let (attacker, target) = (&self.sides[side], &self.sides[1 - side]);
        Exchange { pack: self.encounter.pack, attacker, target, setting, weapon }
    }

    /// The attack of a side in a turn. What it is against stays as it was at the start.
    fn attack(&'a self, side: usize, turn: usize, watch: Watch) -> Attack<'a> {
        let company = &self.sides[side];
        let said = &company.said.weapons;
        let order = company.order.iter().filter(|weapon| said.is_empty() || said.contains(weapon));
        let exchange = |weapon: usize| self.exchange(side, turn, Some(weapon));
        let used = order.filter_map(|weapon| {
            Some((*weapon, Used::new(exchange(*weapon), &self.faces[1 - side], self.lay, watch)?))
        });
        let used = used.collect();
        Attack {
            field: self,
            side,
            used,
            after: After::all(self.exchange(side, turn, None)),
            known: RefCell::default(),
        }
    }

    /// One attack of side a on side b, in the first turn.
    pub fn blow(&'a self) -> Blow {
        let (standing, began) = (self.sides[0].began().standing, self.sides[1].began());
        let attack = self.attack(0, 0, None);
        let ends = attack.ends(standing, began);
        let frame = &self.sides[1].frame;
        let mut effects = Vec::new();
        for after in attack.after.iter().filter(|_| !attack.used.is_empty()) {
            let mut ends = Rc::clone(&ends);
            if let Counts::Passed(step) = after.plan.counts {
                let few = usize::try_from(after.at_least).expect("few");
                let cap = if after.plan.per_point == 0 { few } else { usize::MAX };
                ends = self.attack(0, 0, Some((step, cap))).ends(standing, began);
            }
            let each = ends.iter().map(|(end, chance)| chance * after.chance(frame, began, end.body, end.passed));
            effects.push((after.plan.effect.clone(), each.sum()));
        }
        let bursts = |end: &End| end.bursts.iter().map(|(_, count)| i64::try_from(*count).expect("few")).sum::<i64>();
        let guns = |weapon: usize| self.sides[0].count(weapon, standing);
        let attacks = attack.used.iter().map(|(weapon, used)| used.attacks(guns(*weapon), began.standing));
        Blow {
            attacks: attacks.fold(vec![(0, 1.0)], |so_far, one| both(&so_far, &one)),
            backfires: merged(ends.iter().map(|(end, chance)| (bursts(end), *chance))),
            ends: merged(ends.iter().map(|(end, chance)| (end.body, *chance))),
            effects,
            used: attack.used.iter().any(|(weapon, _)| guns(*weapon) > 0),
        }
    }

    /// Points of health or structure that one attack of side a takes from side b on average.
    pub fn taken(&'a self) -> f64 {
        let (frame, began) = (&self.sides[1].frame, self.sides[1].began());
        mean(&self.blow().ends, |end| frame.points(began) - frame.points(*end))
    }

    /// A whole fight.
    pub fn fight(&'a self) -> Ending {
        let round = Round::new(self);
        match self.encounter.first {
            First::A => round.fight([0, 1]),
            First::B => round.fight([1, 0]),
            First::Together => round.fight([0, 0]),
            First::Roll => {
                let (one, other) = (round.fight([0, 1]), round.fight([1, 0]));
                let half =
                    |(one, other): (&[f64; 2], &[f64; 2])| [0, 1].map(|side| f64::midpoint(one[side], other[side]));
                let both = one.left.into_iter().chain(other.left);
                Ending {
                    gone: one.gone.iter().zip(&other.gone).map(half).collect(),
                    left: merged(both.map(|(bodies, chance)| (bodies, chance / 2.0))),
                }
            }
        }
    }
}

/// What attacks come to, by the weapons that are used and how the target stands.
type Known = HashMap<(Vec<usize>, Body), Rc<Chances<End>>>;

/// The attack of a side in some of its turns.
struct Attack<'a> {
    field: &'a Engagement<'a>,
    side: usize,
    used: Vec<(usize, Used<'a>)>,
    after: Vec<After<'a>>,
    known: RefCell<Known>,
}

impl Attack<'_> {
    /// All attacks of so many on a target that stands so.
    fn ends(&self, attackers: usize, body: Body) -> Rc<Chances<End>> {
        let company = &self.field.sides[self.side];
        let guns: Vec<usize> = self.used.iter().map(|(weapon, _)| company.count(*weapon, attackers)).collect();
        let key = (guns, body);
        if let Some(known) = self.known.borrow().get(&key) {
            return Rc::clone(known);
        }
        let laid_on = self.field.encounter.laid_on.unwrap_or(body.standing);
        let mut ends = vec![(End { body, ..End::default() }, 1.0)];
        for ((place, (_, used)), guns) in self.used.iter().enumerate().zip(&key.0).filter(|(_, guns)| **guns > 0) {
            ends = follow(ends, |end| {
                let moments = used.volley(*guns, laid_on, end.body).into_iter();
                let on = moments.map(|(moment, chance)| {
                    let mut bursts = end.bursts.clone();
                    bursts.extend((moment.bursts > 0).then_some((place, moment.bursts)));
                    (End { body: moment.body, passed: end.passed + moment.passed, bursts }, chance)
                });
                on.collect()
            });
        }
        let ends = Rc::new(ends);
        self.known.borrow_mut().insert(key, Rc::clone(&ends));
        ends
    }

    /// The same with what ends the target afterwards; and what backfired.
    fn strike(&self, attackers: usize, body: Body) -> Chances<(Body, Vec<(usize, usize)>)> {
        let frame = &self.field.sides[1 - self.side].frame;
        let mut all = Vec::new();
        for (end, chance) in self.ends(attackers, body).iter() {
            let stays = |after: &After<'_>| 1.0 - after.chance(frame, body, end.body, 0);
            let ending = self.after.iter().filter(|after| after.plan.ends && !self.used.is_empty());
            let stays: f64 = ending.map(stays).product();
            let ran = Body { standing: 0, missing: 0, marks: 0, ..end.body };
            all.push(((end.body, end.bursts.clone()), chance * stays));
            if stays < 1.0 {
                all.push(((ran, end.bursts.clone()), chance * (1.0 - stays)));
            }
        }
        merged(all)
    }
}

/// What is made ready for all turns of a fight.
struct Round<'a> {
    field: &'a Engagement<'a>,
    attacks: [Vec<Attack<'a>>; 2],
    /// Which of these each turn has.
    turns: [Vec<usize>; 2],
    repairs: [Option<Repair>; 2],
    /// What one backfire of a weapon does to a side that stands so.
    harmed: RefCell<HashMap<(usize, usize, Body), Chances<Body>>>,
}

impl<'a> Round<'a> {
    fn new(field: &'a Engagement<'a>) -> Self {
        let attacks = |side: usize| {
            let settings = &field.encounter.settings[side];
            let mut ready: Vec<(usize, Attack<'a>)> = Vec::new();
            let mut which = Vec::new();
            for (turn, setting) in settings.iter().enumerate() {
                let known = ready.iter().position(|(first, _)| settings[*first] == *setting);
                which.push(known.unwrap_or(ready.len()));
                if known.is_none() {
                    ready.push((turn, field.attack(side, turn, None)));
                }
            }
            (ready.into_iter().map(|(_, attack)| attack).collect(), which)
        };
        let ([a, b], repairs) = ([attacks(0), attacks(1)], [0, 1].map(|side| field.sides[side].repair(&field.usual)));
        Self { field, attacks: [a.0, b.0], turns: [a.1, b.1], repairs, harmed: RefCell::default() }
    }

    /// In an order of sides; both at once where the order names one twice.
    fn fight(&self, order: [usize; 2]) -> Ending {
        let mut ending = Ending::default();
        let mut bodies = vec![(self.field.sides.each_ref().map(Company::began), 1.0)];
        for turn in 0..self.turns[0].len() {
            if order[0] == order[1] {
                bodies = self.together(bodies, turn);
            } else {
                bodies = self.turn(self.turn(bodies, order[0], turn), order[1], turn);
            }
            ending.gone.push([0, 1].map(|side| chance(&bodies, |both| both[side].standing == 0)));
        }
        ending.left = bodies;
        ending
    }

    fn attacks(&self, side: usize) -> bool {
        !(self.field.encounter.unanswered && side == 0)
    }

    fn mend(&self, side: usize, bodies: Chances<[Body; 2]>) -> Chances<[Body; 2]> {
        let Some(repair) = &self.repairs[side] else { return bodies };
        follow(bodies, |both| {
            if both.iter().any(|body| body.standing == 0) {
                return vec![(both, 1.0)];
            }
            repair.mended(both[side]).into_iter().map(|(body, chance)| (with(both, side, body), chance)).collect()
        })
    }

    /// A side does all that it does: it mends, attacks, and bears what backfired.
    fn turn(&self, bodies: Chances<[Body; 2]>, side: usize, turn: usize) -> Chances<[Body; 2]> {
        let bodies = self.mend(side, bodies);
        if !self.attacks(side) {
            return bodies;
        }
        let attack = &self.attacks[side][self.turns[side][turn]];
        follow(bodies, |both| {
            if both.iter().any(|body| body.standing == 0) {
                return vec![(both, 1.0)];
            }
            let struck = attack.strike(both[side].standing, both[1 - side]);
            follow(struck, |(target, bursts)| self.backfire(attack, with(both, 1 - side, target), &bursts))
        })
    }

    fn together(&self, bodies: Chances<[Body; 2]>, turn: usize) -> Chances<[Body; 2]> {
        let bodies = self.mend(1, self.mend(0, bodies));
        let attacks = [0, 1].map(|side| &self.attacks[side][self.turns[side][turn]]);
        follow(bodies, |both| {
            if both.iter().any(|body| body.standing == 0) {
                return vec![(both, 1.0)];
            }
            let struck = [0, 1].map(|side| attacks[side].strike(both[side].standing, both[1 - side]));
            let mut all = Vec::new();
            for ((b, of_a), p) in &struck[0] {
                for ((a, of_b), q) in &struck[1] {
                    let after =
                        follow(self.backfire(attacks[0], [*a, *b], of_a), |both| self.backfire(attacks[1], both, of_b));
                    all.extend(after.into_iter().map(|(both, chance)| (both, chance * p * q)));
                }
            }
            merged(all)
        })
    }

    /// What backfired falls on those who attacked, one packet after another.
    fn backfire(&self, attack: &Attack<'_>, both: [Body; 2], bursts: &[(usize, usize)]) -> Chances<[Body; 2]> {
        let mut all = vec![(both, 1.0)];
        if self.field.encounter.unanswered {
            return all;
        }
        let (side, company) = (attack.side, &self.field.sides[attack.side]);
        for (place, count) in bursts {
            let harm = attack.used[*place].1.harm();
            for _ in 0..*count {
                all = follow(all, |both| {
                    if both[side].standing == 0 {
                        return vec![(both, 1.0)];
                    }
                    let mut harmed = self.harmed.borrow_mut();
                    let hit = harmed
                        .entry((side, attack.used[*place].0, both[side]))
                        .or_insert_with(|| company.suffers(&self.field.usual, both[side], &harm));
                    hit.iter().map(|(body, chance)| (with(both, side, *body), *chance)).collect()
                });
            }
        }
        all
    }
}

fn with(mut both: [Body; 2], side: usize, body: Body) -> [Body; 2] {
    both[side] = body;
    both
}
