//! One weapon used: each attack rolled through its steps, and what it does to the unit in front of it.
use super::harm::{last_roll, lose_health, lose_structure, shrugged, throw};
use super::prepare::{Prepared, effects, goal, moved, prepare};
use super::scene::{Scene, Throw};
use super::{Company, Hand, Marker};
use crate::play::Luck;
use pipwright_shared::odds::chain::{By, PenetrateReroll};
use pipwright_shared::odds::roll::Needs;
use pipwright_shared::rules::matchup::Situation;
use pipwright_shared::rules::model::attack::{Body, Form, PenetratePlan, Procedure};
use pipwright_shared::rules::model::change::{Change, RollId};
use pipwright_shared::rules::model::roll::{GainPlan, ThenPlan};
use std::collections::BTreeMap;

/// What is special about one success: the needs, modifiers and armour of later steps, and more damage.
#[derive(Clone, Default)]
struct Success {
    later: BTreeMap<usize, Later>,
    damage: i64,
    /// Whether it went through armour; nothing where it only grazed or did not have to.
    breach: Option<bool>,
}

/// A later step's numbers in place of its own.
#[derive(Clone, Copy, Default)]
struct Later {
    needs: Option<Needs>,
    modifier: Option<i64>,
    add: Option<i32>,
    against: Option<i32>,
}

/// A weapon in use against each sort of figures of the other side.
pub struct Used<'a, 'c>(Vec<Against<'a, 'c>>);

/// A weapon in use against one sort of figures.
struct Against<'a, 'c> {
    scene: Scene<'a>,
    procedure: &'a Procedure,
    changes: Vec<&'a Change>,
    steps: Vec<Option<Prepared>>,
    spill: bool,
    marker: &'c Marker,
}

/// What its attacks left behind.
#[derive(Default)]
pub struct Outcome {
    /// Packets of harm to the user's own side.
    pub harm: Vec<i64>,
}

/// Whether the weapon can be used at this range.
pub fn reaches(scene: &Scene<'_>) -> bool {
    let Some(weapon) = scene.weapon.map(|weapon| &scene.pack.weapons[weapon]) else { return false };
    let bands = &scene.pack.situations.ranges;
    let band = scene.situation.range;
    let nearest = if band == 0 { 0 } else { bands[band - 1].to.expect("not the last") + 1 };
    let (nearest, farthest) = match scene.situation.distance {
        Some(distance) => (distance, Some(distance)),
        None => (nearest, bands[band].to),
    };
    weapon.reach.1.is_none_or(|most| nearest <= most) && farthest.is_none_or(|farthest| farthest >= weapon.reach.0)
}

impl<'a> Used<'a, '_> {
    /// All attacks of so many of the weapon. `standing` of the target stood when the turn's attack began.
    pub fn use_on(&self, guns: usize, standing: usize, target: &mut Company<'a>, hand: &mut Hand) -> Outcome {
        let mut outcome = Outcome::default();
        let attacks: i64 = (0..guns).map(|_| self.front(target).attacks(standing, hand)).sum();
        let mut wasted = false;
        for _ in 0..attacks {
            self.attack(0, Success::default(), target, &mut wasted, &mut outcome, hand);
        }
        outcome
    }

    /// A success before a step: it is rolled, and what comes of it goes on.
    fn attack(
        &self,
        at: usize,
        mut success: Success,
        target: &mut Company<'a>,
        wasted: &mut bool,
        outcome: &mut Outcome,
        hand: &mut Hand,
    ) {
        let front = self.front(target);
        let Some(step) = front.procedure.steps.get(at) else { return front.lands(&success, target, wasted, hand) };
        let plan = &front.scene.pack.steps[*step];
        let later = success.later.get(step).copied().unwrap_or_default();
        let Some(prepared) = &front.steps[at] else {
            let Form::Penetrate(plan) = &plan.form else { panic!("a penetration") };
            success.breach = front.penetrates(plan, *step, later, hand);
            if success.breach.is_some() {
                self.attack(at + 1, success, target, wasted, outcome, hand);
            }
            return;
        };
        let mut roll = prepared.roll.clone();
        if let Some(needs) = later.needs {
            roll.goal = goal(needs);
        }
        roll.modifier = later.modifier.unwrap_or(roll.modifier);
        let rolled = roll.roll(hand).expect("dice are thrown until it is decided");
        if let (Some(backfire), Some(natural)) = (&prepared.backfire, rolled.natural) {
            let burst =
                if roll.mirrored() { natural >= i64::from(backfire.on) } else { natural <= i64::from(backfire.on) };
            if burst && !front.is_saved(front.scene.needs(&backfire.needs), roll.dice.sides(), hand) {
                let harm = throw(front.scene.throw(&backfire.harm), hand);
                outcome.harm.extend((harm > 0).then_some(harm));
            }
        }
        if plan.by == By::Defender {
            if !rolled.success {
                self.attack(at + 1, success, target, wasted, outcome, hand);
            }
            return;
        }
        if !rolled.success {
            return;
        }
        let plain = success.clone();
        let Form::Roll(written) = &plan.form else { panic!("a roll") };
        let mut extra = 0;
        let critical = prepared.critical.as_ref().filter(|_| rolled.critical);
        let margin = written.margins.iter().rev().find(|(at_least, _)| rolled.lead >= i64::from(*at_least));
        let margin = margin.filter(|_| rolled.natural.is_some());
        for gain in critical.map(|critical| &critical.gain).into_iter().chain(margin.map(|(_, gain)| gain)) {
            extra += front.gain(gain, at, &mut success, hand);
        }
        self.attack(at + 1, success, target, wasted, outcome, hand);
        for _ in 0..extra {
            self.attack(at + 1, plain.clone(), target, wasted, outcome, hand);
        }
    }

    /// As it meets the figure in front.
    fn front(&self, target: &Company<'_>) -> &Against<'a, '_> {
        &self.0[target.sort()]
    }
}

impl<'a, 'c> Used<'a, 'c> {
    /// Nothing where the weapon is not used here. `faces` is the other side with each of its sorts in front.
    pub fn new(scene: Scene<'a>, faces: &'a [Company<'a>], marker: &'c Marker) -> Option<Self> {
        faces.iter().map(|target| Against::new(Scene { target, ..scene }, marker)).collect::<Option<_>>().map(Self)
    }
}

impl<'a, 'c> Against<'a, 'c> {
    fn new(scene: Scene<'a>, marker: &'c Marker) -> Option<Self> {
        if !reaches(&scene) {
            return None;
        }
        let armoured = scene.target.is_armoured();
        let fits = |procedure: &&Procedure| procedure.armoured == armoured && scene.holds(&procedure.when);
        let procedure = scene.pack.procedures.iter().find(fits)?;
        let changes = scene.changes();
        if effects(&changes, RollId::Attack).any(|one| one.deny) {
            return None;
        }
        let spills = effects(&changes, RollId::Attack).any(|one| one.spill == Some(true));
        let spill =
            spills || matches!(scene.pack.kinds[scene.target.unit.kind].body, Body::Soldiers { spill: true, .. });
        let steps = procedure.steps.iter().map(|at| match &scene.pack.steps[*at].form {
            Form::Roll(plan) => Some(prepare(&scene, plan, RollId::Step(*at), &changes)),
            Form::Penetrate(_) => None,
        });
        let steps = steps.collect();
        Some(Self { scene, procedure, changes, steps, spill, marker })
    }

    fn number(&self, sum: Option<&pipwright_shared::rules::model::sum::Sum>) -> i32 {
        sum.map_or(0, |sum| self.scene.number(sum))
    }

    /// The attacks of one weapon.
    fn attacks(&self, standing: usize, hand: &mut Hand) -> i64 {
        let weapon = &self.scene.pack.weapons[self.scene.weapon.expect("a weapon")];
        if let Some(plan) = &weapon.template {
            return i64::try_from(self.marker.caught(&self.scene, plan, standing, hand)).expect("few");
        }
        let mut dice = self.scene.throw(&self.procedure.attacks);
        for one in effects(&self.changes, RollId::Attack) {
            if let Some(more) = &one.attacks {
                let more = self.scene.throw(more);
                dice = Throw { plus: dice.plus + more.plus, ..if dice.count == 0 { more } else { dice } };
            }
            if let Some(times) = one.times {
                dice.count *= times.unsigned_abs();
                dice.plus *= i64::from(times);
            }
        }
        throw(dice, hand)
    }

    fn is_saved(&self, needs: Needs, sides: i64, hand: &mut Hand) -> bool {
        let face = i64::from(hand.even(u32::try_from(sides).expect("a die"))) + 1;
        match needs {
            Needs::AtLeast(total) => face >= i64::from(total),
            Needs::AtMost(total) => face <= i64::from(total),
            Needs::Auto => true,
            Needs::Never => false,
        }
    }

    /// What a critical or a margin gives; how many further successes.
    fn gain(&self, gain: &GainPlan, at: usize, success: &mut Success, hand: &mut Hand) -> i64 {
        for (step, plan) in &gain.then {
            let Some(place) = self.procedure.steps.iter().position(|other| other == step).filter(|place| *place > at)
            else {
                continue;
            };
            let over = self.later(plan, place, *step);
            let under = success.later.get(step).copied().unwrap_or_default();
            let laid = Later {
                needs: over.needs.or(under.needs),
                modifier: over.modifier.or(under.modifier),
                add: over.add.or(under.add),
                against: over.against.or(under.against),
            };
            success.later.insert(*step, laid);
        }
        success.damage += gain.damage.as_ref().map_or(0, |sum| throw(self.scene.throw(sum), hand));
        gain.extra.as_ref().map_or(0, |sum| throw(self.scene.throw(sum), hand))
    }

    /// The changed numbers of a later step.
    fn later(&self, plan: &ThenPlan, place: usize, step: usize) -> Later {
        let Some(prepared) = &self.steps[place] else {
            let Form::Penetrate(written) = &self.scene.pack.steps[step].form else { panic!("a penetration") };
            let (add, against) = self.armour(written, step);
            let more = |more: i32, of: i32| (more != 0).then_some(of + more);
            return Later {
                add: more(self.number(plan.add.as_ref()), add),
                against: more(self.number(plan.against.as_ref()), against),
                ..Later::default()
            };
        };
        let harder = self.number(plan.harder.as_ref());
        let mut more = self.number(plan.modifier.as_ref());
        let base = plan.needs.as_ref().map(|from| self.scene.needs(from)).or(prepared.needs);
        let needs = base.map(|needs| moved(needs, harder)).filter(|needs| Some(*needs) != prepared.needs);
        if base.is_none() {
            more -= harder;
        }
        Later { needs, modifier: (more != 0).then_some(prepared.roll.modifier + i64::from(more)), ..Later::default() }
    }

    /// What is added to a penetration, and what it is against.
    fn armour(&self, plan: &PenetratePlan, step: usize) -> (i32, i32) {
        let (mut add, mut against) = (self.scene.number(&plan.add), self.scene.number(&plan.against));
        for one in effects(&self.changes, RollId::Step(step)) {
            add += self.number(one.add.as_ref());
            against += self.number(one.against.as_ref());
        }
        (add, against)
    }

    /// A breach, a graze, or nothing.
    fn penetrates(&self, plan: &PenetratePlan, step: usize, later: Later, hand: &mut Hand) -> Option<bool> {
        let (add, against) = self.armour(plan, step);
        let (add, against) = (later.add.unwrap_or(add), later.against.unwrap_or(against).max(0));
        let (mut dice, mut again, mut bonus) = (plan.dice, plan.reroll, plan.critical.clone());
        for one in effects(&self.changes, RollId::Step(step)) {
            dice = one.dice.unwrap_or(dice);
            if one.reroll.is_some() && again != PenetrateReroll::FailuresAndGrazes {
                again = if one.reroll_grazes { PenetrateReroll::FailuresAndGrazes } else { PenetrateReroll::Failures };
            }
            bonus = one.critical.clone().or(bonus);
        }
        let mut total = || {
            let faces: Vec<i64> = (0..dice.count()).map(|_| i64::from(hand.even(dice.sides())) + 1).collect();
            let mut total = (faces.iter().sum::<i64>() + i64::from(dice.plus())).max(0) + i64::from(add);
            if let Some(more) = bonus.as_ref().and_then(|bonus| bonus.add.as_ref().map(|add| (bonus.on, add))) {
                let on = i64::from(more.0.unwrap_or(dice.sides()));
                if faces.iter().any(|face| *face >= on) {
                    total += throw(self.scene.throw(more.1), hand);
                }
            }
            total
        };
        let against = i64::from(against);
        let mut found = total();
        let fails = match again {
            PenetrateReroll::None => false,
            PenetrateReroll::Failures => found < against,
            PenetrateReroll::FailuresAndGrazes => found <= against,
        };
        if fails {
            found = total();
        }
        (found >= against).then_some(found > against)
    }

    /// A success through all steps.
    fn lands(&self, success: &Success, target: &mut Company<'a>, wasted: &mut bool, hand: &mut Hand) {
        if target.standing() == 0 {
            return;
        }
        match success.breach {
            Some(breach) => self.hits_armour(breach, target, wasted, hand),
            None => {
                let points = self.damage(hand) + success.damage;
                let points = self.after_ignoring(points, hand);
                lose_health(&self.scene, target, points, self.spill);
            }
        }
    }

    fn damage(&self, hand: &mut Hand) -> i64 {
        let mut dice = self.scene.throw(&self.procedure.damage);
        for one in effects(&self.changes, RollId::Attack) {
            dice = one.set_damage.as_ref().map_or(dice, |sum| self.scene.throw(sum));
            dice.plus += i64::from(self.number(one.damage.as_ref()));
        }
        throw(dice, hand)
    }

    fn after_ignoring(&self, points: i64, hand: &mut Hand) -> i64 {
        let Some((roll, once)) = last_roll(&self.scene, &self.changes) else { return points };
        shrugged(&roll, once, points, hand)
    }

    fn hits_armour(&self, breach: bool, target: &mut Company<'a>, wasted: &mut bool, hand: &mut Hand) {
        if *wasted {
            return;
        }
        let step = self.procedure.steps.iter().find_map(|step| match &self.scene.pack.steps[*step].form {
            Form::Penetrate(plan) => Some((*step, plan)),
            Form::Roll(_) => None,
        });
        let (step, plan) = step.expect("a penetration");
        let (mut sum, mut more) = (self.scene.throw(if breach { &plan.breach } else { &plan.graze }), 0);
        let (mut chart, mut modifier) = (plan.chart.filter(|_| breach), 0);
        for one in effects(&self.changes, RollId::Step(step)) {
            more += self.number(if breach { one.breach.as_ref() } else { one.graze.as_ref() });
            chart = one.chart.filter(|_| breach).or(chart);
            modifier += self.number(one.chart_modifier.as_ref());
        }
        sum.plus += i64::from(more);
        let mut points = throw(sum, hand);
        let (mut wrecked, mut mark) = (false, None);
        if let Some(chart) = chart.map(|chart| &self.scene.pack.breaches[chart]) {
            let dice = Throw { count: chart.dice.count(), sides: chart.dice.sides(), plus: chart.dice.plus().into() };
            let result = throw(dice, hand) + i64::from(self.scene.number(&chart.modifier) + modifier);
            if let Some(row) = chart.rows.iter().rev().find(|row| i64::from(row.at_least) <= result) {
                let there = row.status.as_ref().is_some_and(|status| target.marks.contains(status));
                let (structure, wrecks) = match row.repeated.filter(|_| there) {
                    Some(repeated) => repeated,
                    None => (row.structure, row.wrecked),
                };
                let dice = Throw { count: structure.count(), sides: structure.sides(), plus: structure.plus().into() };
                points += throw(dice, hand);
                wrecked = wrecks;
                mark.clone_from(&row.status);
            }
        }
        if let Some(mark) = mark.filter(|mark| !target.marks.contains(mark)) {
            target.marks.push(mark);
        }
        let before = target.standing();
        lose_structure(&self.scene, target, points, wrecked);
        let Body::Armoured { overflow_wasted, .. } = &self.scene.pack.kinds[target.unit.kind].body else { return };
        *wasted = *overflow_wasted && target.standing() < before;
    }
}

/// The scene of an attack.
pub fn scene<'a>(
    attacker: &'a Company<'a>,
    target: &'a Company<'a>,
    situation: &'a Situation,
    weapon: Option<usize>,
) -> Scene<'a> {
    Scene { pack: attacker.pack, attacker, target, situation, weapon }
}
