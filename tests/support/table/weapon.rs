//! One weapon against one sort of figures: what its dice can show and what they then do.
use super::Company;
use super::body::{Body, Frame};
use super::chances::{Chances, binomial, both, follow, merged, thrown};
use super::exchange::{Exchange, Throw};
use super::lay::Lay;
use super::mend::last_roll;
use super::prepare::{Prepared, effects, goal, moved, prepare};
use crate::brute::outcomes;
use crate::play::Luck;
use pipwright_shared::odds::chain::{By, PenetrateReroll};
use pipwright_shared::odds::roll::Needs;
use pipwright_shared::rules::model::attack::{Form, PenetratePlan, Procedure};
use pipwright_shared::rules::model::change::{Change, RollId};
use pipwright_shared::rules::model::roll::{GainPlan, ThenPlan};
use pipwright_shared::rules::model::stat::{Scope, StatValue, Value};
use pipwright_shared::rules::model::sum::{Source, Sum, Term};
use std::collections::BTreeMap;

/// What is special about one success: changes of later steps, and more damage.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Success {
    later: BTreeMap<usize, Later>,
    damage: i64,
    /// Whether it went through armour; nothing where it only grazed or did not have to.
    breach: Option<bool>,
}

/// What is changed of a later step for one success: a need in place of its own, and what is added.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Later {
    needs: Option<(u8, u32)>,
    harder: i32,
    modifier: i32,
    add: i32,
    against: i32,
}

/// What a step can come to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Face {
    /// What goes on, and how many further plain ones; nothing where the attack ends.
    pub on: Option<(Success, i64)>,
    /// It backfired, and nothing saved its user.
    pub burst: bool,
}

/// A weapon in use against one sort of figures.
pub struct Against<'a> {
    pub exchange: Exchange<'a>,
    pub procedure: &'a Procedure,
    changes: Vec<&'a Change>,
    steps: Vec<Option<Prepared>>,
    pub spill: bool,
}

/// Whether the weapon can be used at this range.
fn reaches(exchange: &Exchange<'_>) -> bool {
    let Some(weapon) = exchange.weapon.map(|weapon| &exchange.pack.weapons[weapon]) else { return false };
    let bands = &exchange.pack.situations.ranges;
    let band = exchange.setting.range;
    let nearest = if band == 0 { 0 } else { bands[band - 1].to.expect("not the last") + 1 };
    let (nearest, farthest) = match exchange.setting.distance {
        Some(distance) => (distance, Some(distance)),
        None => (nearest, bands[band].to),
    };
    weapon.reach.1.is_none_or(|most| nearest <= most) && farthest.is_none_or(|farthest| farthest >= weapon.reach.0)
}

impl<'a> Against<'a> {
    /// Nothing where the weapon is not used here.
    pub fn new(exchange: Exchange<'a>) -> Option<Self> {
        if !reaches(&exchange) {
            return None;
        }
        let fits = |plan: &&Procedure| plan.armoured == exchange.target.frame.armoured && exchange.holds(&plan.when);
        let procedure = exchange.pack.procedures.iter().find(fits)?;
        let changes = exchange.changes();
        if effects(&changes, RollId::Attack).any(|one| one.deny) {
            return None;
        }
        let spill = effects(&changes, RollId::Attack).any(|one| one.spill == Some(true)) || exchange.target.frame.spill;
        let steps = procedure.steps.iter().map(|at| match &exchange.pack.steps[*at].form {
            Form::Roll(plan) => Some(prepare(&exchange, plan, RollId::Step(*at), &changes)),
            Form::Penetrate(_) => None,
        });
        let steps = steps.collect();
        Some(Self { exchange, procedure, changes, steps, spill })
    }

    fn number(&self, sum: Option<&Sum>) -> i32 {
        sum.map_or(0, |sum| self.exchange.number(sum))
    }

    /// The attacks of one weapon while so many of the target stand.
    pub fn attacks(&self, standing: usize, lay: &Lay) -> Chances<i64> {
        let weapon = &self.exchange.pack.weapons[self.exchange.weapon.expect("a weapon")];
        if let Some(plan) = &weapon.template {
            return lay.caught(&self.exchange, plan, standing);
        }
        let mut dice = self.exchange.throw(&self.procedure.attacks);
        for one in effects(&self.changes, RollId::Attack) {
            if let Some(more) = &one.attacks {
                let more = self.exchange.throw(more);
                dice = Throw { plus: dice.plus + more.plus, ..if dice.count == 0 { more } else { dice } };
            }
            if let Some(times) = one.times {
                dice.count *= times.unsigned_abs();
                dice.plus *= i64::from(times);
            }
        }
        thrown(dice)
    }

    /// What a backfire costs.
    pub fn harm(&self) -> Chances<i64> {
        let plan = self.steps.iter().flatten().find_map(|step| step.backfire.as_ref());
        thrown(plan.map_or(Throw { count: 0, sides: 1, plus: 0 }, |plan| self.exchange.throw(&plan.harm)))
    }

    /// All that a step can come to for a success that reaches it.
    pub fn step(&self, at: usize, success: &Success) -> Chances<Face> {
        let step = self.procedure.steps[at];
        let plan = &self.exchange.pack.steps[step];
        let later = success.later.get(&step).copied().unwrap_or_default();
        let Some(prepared) = &self.steps[at] else {
            let Form::Penetrate(plan) = &plan.form else { panic!("a penetration") };
            let through = |breach: Option<bool>| Face {
                on: breach.map(|breach| (Success { breach: Some(breach), ..success.clone() }, 0)),
                burst: false,
            };
            return self.penetrates(plan, step, later).into_iter().map(|(found, p)| (through(found), p)).collect();
        };
        let mut roll = prepared.roll.clone();
        if let Some(own) = prepared.needs {
            roll.goal = goal(moved(later.needs.map_or(own, unpacked), later.harder));
        } else {
            roll.modifier -= i64::from(later.harder);
        }
        roll.modifier += i64::from(later.modifier);
        let Form::Roll(written) = &plan.form else { panic!("a roll") };
        let shown = outcomes(|luck| {
            let rolled = roll.roll(luck)?;
            let burst = prepared.backfire.as_ref().zip(rolled.natural).is_some_and(|(backfire, natural)| {
                let on = i64::from(backfire.on);
                let bad = if roll.mirrored() { natural >= on } else { natural <= on };
                bad && !self.is_saved(self.exchange.needs(&backfire.needs), roll.dice.sides(), luck)
            });
            let passes = rolled.success == (plan.by == By::Attacker);
            let gains = rolled.success && plan.by == By::Attacker && rolled.natural.is_some();
            let row = written.margins.iter().rposition(|(at_least, _)| rolled.lead >= i64::from(*at_least));
            Some((passes, burst, gains && rolled.critical, row.filter(|_| gains)))
        });
        follow(shown, |(passes, burst, critical, row)| {
            if !passes {
                return vec![(Face { on: None, burst }, 1.0)];
            }
            let margin = row.map(|row| &written.margins[row].1);
            let critical = prepared.critical.as_ref().filter(|_| critical).map(|critical| &critical.gain);
            let mut on = vec![((success.clone(), 0), 1.0)];
            for gain in margin.into_iter().chain(critical) {
                on = follow(on, |(so_far, extra)| self.gain(gain, at, &so_far, extra));
            }
            on.into_iter().map(|(on, chance)| (Face { on: Some(on), burst }, chance)).collect()
        })
    }

    fn is_saved(&self, needs: Needs, sides: i64, luck: &mut dyn Luck) -> bool {
        let face = i64::from(luck.even(u32::try_from(sides).expect("a die"))) + 1;
        match needs {
            Needs::AtLeast(total) => face >= i64::from(total),
            Needs::AtMost(total) => face <= i64::from(total),
            Needs::Auto => true,
            Needs::Never => false,
        }
    }

    /// What a critical or a margin gives.
    fn gain(&self, gain: &GainPlan, at: usize, success: &Success, extra: i64) -> Chances<(Success, i64)> {
        let mut success = success.clone();
        for (step, plan) in &gain.then {
            if self.procedure.steps.iter().position(|other| other == step).is_some_and(|place| place > at) {
                self.lay_over(plan, success.later.entry(*step).or_default());
            }
        }
        let of = |sum: Option<&Sum>| sum.map_or(vec![(0, 1.0)], |sum| thrown(self.exchange.throw(sum)));
        let more = of(gain.extra.as_ref());
        let damage = of(gain.damage.as_ref());
        let each = damage.iter().flat_map(|(points, p)| {
            let success = Success { damage: success.damage + points, ..success.clone() };
            more.iter().map(move |(more, q)| ((success.clone(), extra + more), p * q))
        });
        merged(each)
    }

    fn lay_over(&self, plan: &ThenPlan, later: &mut Later) {
        later.needs = plan.needs.as_ref().map(|from| packed(self.exchange.needs(from))).or(later.needs);
        later.harder += self.number(plan.harder.as_ref());
        later.modifier += self.number(plan.modifier.as_ref());
        later.add += self.number(plan.add.as_ref());
        later.against += self.number(plan.against.as_ref());
    }

    /// A breach, a graze, or nothing.
    fn penetrates(&self, plan: &PenetratePlan, step: usize, later: Later) -> Chances<Option<bool>> {
        let mut add = self.exchange.number(&plan.add) + later.add;
        let mut against = self.exchange.number(&plan.against) + later.against;
        let (mut dice, mut again, mut bonus) = (plan.dice, plan.reroll, plan.critical.clone());
        for one in effects(&self.changes, RollId::Step(step)) {
            add += self.number(one.add.as_ref());
            against += self.number(one.against.as_ref());
            dice = one.dice.unwrap_or(dice);
            if one.reroll.is_some() && again != PenetrateReroll::FailuresAndGrazes {
                again = if one.reroll_grazes { PenetrateReroll::FailuresAndGrazes } else { PenetrateReroll::Failures };
            }
            bonus = one.critical.clone().or(bonus);
        }
        let against = i64::from(against.max(0));
        let natural = outcomes(|luck| {
            let faces: Vec<i64> = (0..dice.count()).map(|_| i64::from(luck.even(dice.sides())) + 1).collect();
            let on = bonus.as_ref().map(|bonus| i64::from(bonus.on.unwrap_or(dice.sides())));
            let more = on.is_some_and(|on| faces.iter().any(|face| *face >= on));
            Some(((faces.iter().sum::<i64>() + i64::from(dice.plus())).max(0), more))
        });
        let extra = bonus.and_then(|bonus| bonus.add).map_or(vec![(0, 1.0)], |add| thrown(self.exchange.throw(&add)));
        let once = follow(natural, |(total, more)| {
            let more = if more { extra.clone() } else { vec![(0, 1.0)] };
            let verdict = |more: i64| (total + i64::from(add) + more).cmp(&against);
            merged(more.into_iter().map(|(more, chance)| (verdict(more), chance)))
        });
        let rolled = follow(once.clone(), |found| match again {
            PenetrateReroll::Failures if found.is_lt() => once.clone(),
            PenetrateReroll::FailuresAndGrazes if found.is_lt() || (found.is_eq() && !plan.equal_breaches) => {
                once.clone()
            }
            _ => vec![(found, 1.0)],
        });
        let named = |found: std::cmp::Ordering| found.is_ge().then_some(plan.equal_breaches || found.is_gt());
        merged(rolled.into_iter().map(|(found, chance)| (named(found), chance)))
    }

    /// A success through all steps, put on the figure in front; whether the rest of the weapon's attacks are lost.
    pub fn lands(&self, success: &Success, frame: &Frame, body: Body) -> Chances<(Body, bool)> {
        if body.standing == 0 {
            return vec![((body, false), 1.0)];
        }
        let Some(breach) = success.breach else {
            let hit = |points: i64| {
                let mut hit = body;
                frame.lose_health(&mut hit, points, self.spill);
                (hit, false)
            };
            return merged(self.packet(success.damage).into_iter().map(|(points, chance)| (hit(points), chance)));
        };
        self.hits_armour(breach, frame, body)
    }

    /// Points of damage that are left of a packet.
    fn packet(&self, more: i64) -> Chances<i64> {
        let mut dice = self.exchange.throw(&self.procedure.damage);
        for one in effects(&self.changes, RollId::Attack) {
            dice = one.set_damage.as_ref().map_or(dice, |sum| self.exchange.throw(sum));
            dice.plus += i64::from(self.number(one.damage.as_ref()));
        }
        let points = both(&thrown(dice), &vec![(more, 1.0)]);
        let Some((ignored, once)) = last_roll(&self.exchange, &self.changes) else { return points };
        follow(points, |points| match once {
            true if points > 0 => merged([(0, ignored), (points, 1.0 - ignored)]),
            true => vec![(points, 1.0)],
            false => binomial(points, 1.0 - ignored),
        })
    }

    /// The target with what rules put on the stat that the roll is against: it counts wherever that stat is read.
    fn raised(&self, plan: &PenetratePlan, step: usize) -> Company<'_> {
        let mut target = self.exchange.target.clone();
        let more: i32 = effects(&self.changes, RollId::Step(step)).map(|one| self.number(one.against.as_ref())).sum();
        if let [Term { minus: false, source: Source::Stat(Scope::Target, stat) }] = plan.against.0.as_slice() {
            target.profile[*stat] = Some(StatValue::One(Value::Number(self.exchange.number(&plan.against) + more)));
        }
        target
    }

    fn hits_armour(&self, breach: bool, frame: &Frame, body: Body) -> Chances<(Body, bool)> {
        let step = self.procedure.steps.iter().find_map(|step| match &self.exchange.pack.steps[*step].form {
            Form::Penetrate(plan) => Some((*step, plan)),
            Form::Roll(_) => None,
        });
        let (step, plan) = step.expect("a penetration");
        let raised = self.raised(plan, step);
        let exchange = Exchange { target: &raised, ..self.exchange };
        let mut lost = exchange.throw(if breach { &plan.breach } else { &plan.graze });
        let (mut chart, mut modifier) = (plan.chart, 0);
        for one in effects(&self.changes, RollId::Step(step)) {
            lost.plus += i64::from(self.number(if breach { one.breach.as_ref() } else { one.graze.as_ref() }));
            chart = one.chart.or(chart);
            modifier += self.number(one.chart_modifier.as_ref());
        }
        let mut results = vec![(None, 1.0)];
        let chart = chart.filter(|_| breach).map(|chart| &self.exchange.pack.breaches[chart]);
        if let Some(chart) = chart {
            let dice = Throw { count: chart.dice.count(), sides: chart.dice.sides(), plus: chart.dice.plus().into() };
            let more = i64::from(self.exchange.number(&chart.modifier) + modifier);
            let row = |result: i64| chart.rows.iter().rposition(|row| i64::from(row.at_least) <= result + more);
            results = merged(thrown(dice).into_iter().map(|(result, chance)| (row(result), chance)));
        }
        follow(results, |row| {
            let mut hit = body;
            let (mut points, mut wrecked) = (thrown(lost), false);
            if let Some(row) = row.map(|row| &chart.expect("a chart").rows[row]) {
                let bit = row.status.as_ref().map_or(0, |name| 1 << frame.mark(name));
                let (more, wrecks) = match row.repeated.filter(|_| body.marks & bit != 0) {
                    Some(repeated) => repeated,
                    None => (row.structure, row.wrecked),
                };
                points = both(
                    &points,
                    &thrown(Throw { count: more.count(), sides: more.sides(), plus: more.plus().into() }),
                );
                wrecked = wrecks;
                (hit.marks, hit.seen) = (hit.marks | bit, hit.seen | bit);
            }
            let fallen = |points: i64| {
                let mut hit = hit;
                frame.lose_structure(&mut hit, points, wrecked);
                (hit, frame.wasted && hit.standing < body.standing)
            };
            merged(points.into_iter().map(|(points, chance)| (fallen(points), chance)))
        })
    }
}

fn packed(needs: Needs) -> (u8, u32) {
    match needs {
        Needs::AtLeast(total) => (0, total),
        Needs::AtMost(total) => (1, total),
        Needs::Auto => (2, 0),
        Needs::Never => (3, 0),
    }
}

fn unpacked(needs: (u8, u32)) -> Needs {
    match needs {
        (0, total) => Needs::AtLeast(total),
        (1, total) => Needs::AtMost(total),
        (2, _) => Needs::Auto,
        _ => Needs::Never,
    }
}
