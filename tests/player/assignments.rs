//! Who attacks whom: every assignment tried, each target fought out by the second player of the rules, attacker by attacker.
use super::differences::Differences;
use super::{compare, made};
use pipwright_shared::rules::model::Pack;
use pipwright_tests::ask::affordable;
use pipwright_tests::table::body::Body;
use pipwright_tests::table::chances::merged;
use pipwright_tests::table::fight::{Encounter, Engagement, First};
use pipwright_tests::table::lay::Lay;
use pipwright_tests::table::{Company, Muster, Setting, asked, price};
use serde_json::{Value, json};
use std::cell::RefCell;
use std::collections::HashMap;

fn made(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let (attackers, targets) =
        *rng.choice(&[(1, 2), (2, 1), (2, 2), (3, 2), (2, 3), (4, 2), (3, 4), (5, 3), (5, 4)]).expect("sizes");
    let mut some = |count: usize, worn: bool| (0..count).map(|_| made::side(pack, 3, worn, rng)).collect::<Vec<_>>();
    let (mut ours, theirs) = (some(attackers, false), some(targets, true));
    if attackers > 1 && rng.bool() {
        ours[1] = ours[0].clone();
    }
    let mut request = json!({"pack": pack.named.id, "attackers": ours, "targets": theirs});
    if rng.bool() {
        request["objective"] = json!("destroyed");
    }
    let mut table = made::stand(pack, rng);
    table["range"] = made::range(pack, rng);
    request["situation"] = table;
    let mut pairs = Vec::new();
    for attacker in 0..attackers {
        for target in 0..targets {
            match rng.u8(0..8) {
                0 => pairs.push(json!({"attacker": attacker, "target": target, "cannot": true})),
                1 => {
                    let own = json!({"range": made::range(pack, rng)});
                    pairs.push(json!({"attacker": attacker, "target": target, "situation": own}));
                }
                _ => {}
            }
        }
    }
    request["pairs"] = json!(pairs);
    if rng.u8(0..3) == 0 {
        let count = rng.usize(1..=targets.min(2));
        let chance = *rng.choice(&[0.05, 0.3, 0.6, 0.9]).expect("chances");
        let must = (0..count).map(|_| json!({"target": rng.usize(0..targets), "chance": chance}));
        request["must"] = json!(must.collect::<Vec<_>>());
    }
    request
}

/// How a target may stand after an attack, each way with its chance.
type Ends = Vec<(Body, f64)>;

/// Who is sent where; nowhere comes last.
type Plan = Vec<usize>;

/// What comes of each set of attackers on a target.
struct Ground<'a> {
    pack: &'a Pack,
    attackers: Vec<Muster>,
    target: Muster,
    settings: Vec<Option<Setting>>,
    lay: &'a Lay,
    known: RefCell<HashMap<(usize, Body), Ends>>,
}

impl Ground<'_> {
    /// One attacker on the target as it stands.
    fn strike(&self, attacker: usize, body: Body) -> Vec<(Body, f64)> {
        let Some(setting) = self.settings[attacker].as_ref().filter(|_| body.standing > 0) else {
            return vec![(body, 1.0)];
        };
        if let Some(known) = self.known.borrow().get(&(attacker, body)) {
            return known.clone();
        }
        let names = &Company::muster(self.pack, &self.target).frame.names;
        let marks = names.iter().enumerate().filter(|(bit, _)| body.marks >> bit & 1 == 1);
        let target = Muster {
            left: Some(u32::try_from(body.standing).expect("few")),
            hurt: u32::try_from(body.missing).expect("few"),
            statuses: marks.map(|(_, name)| name.clone()).collect(),
            ..self.target.clone()
        };
        let encounter = Encounter {
            pack: self.pack,
            sides: [self.attackers[attacker].clone(), target],
            settings: [vec![setting.clone()], vec![setting.clone()]],
            first: First::A,
            unanswered: false,
            laid_on: None,
        };
        let plain = |body: Body| Body { seen: 0, ..body };
        let ends = Engagement::new(&encounter, self.lay).blow().ends;
        let ends = merged(ends.into_iter().map(|(body, chance)| (plain(body), chance)));
        self.known.borrow_mut().insert((attacker, body), ends.clone());
        ends
    }

    /// Points destroyed, the chance that nothing is left, and models or structure lost, by a set of attackers.
    fn worth(&self, set: usize) -> (f64, f64, f64) {
        let company = Company::muster(self.pack, &self.target);
        let (frame, began) = (&company.frame, Body { seen: 0, ..company.began() });
        let mut bodies = vec![(began, 1.0)];
        for attacker in (0..self.attackers.len()).filter(|attacker| set >> attacker & 1 == 1) {
            let all = bodies.into_iter().flat_map(|(body, chance)| {
                self.strike(attacker, body).into_iter().map(move |(to, part)| (to, chance * part))
            });
            bodies = merged(all);
        }
        let count = |body: Body| match frame.armoured {
            true => frame.points(body) as f64,
            false => body.standing as f64,
        };
        let whole = count(Body { standing: company.figures.len(), ..Body::default() });
        let lost: f64 = bodies.iter().map(|(body, chance)| (count(began) - count(*body)) * chance).sum();
        let gone = bodies.iter().filter(|(body, _)| body.standing == 0).map(|(_, chance)| chance).sum();
        (price::of(self.pack, &company.said) as f64 * lost / whole, gone, lost)
    }
}

/// The settings of all attacks on a target.
fn settings(pack: &Pack, request: &Value, attackers: usize, target: usize) -> Option<Vec<Option<Setting>>> {
    let usual = asked::setting(pack, &request["situation"], &Setting::usual(pack))?;
    let each = (0..attackers).map(|attacker| {
        let fits = |pair: &&Value| pair["attacker"] == attacker && pair["target"] == target;
        let pair = request["pairs"].as_array().into_iter().flatten().find(fits);
        match pair {
            Some(pair) if pair["cannot"] == true => Some(None),
            Some(pair) => Some(Some(asked::setting(pack, &pair["situation"], &usual)?)),
            None => Some(Some(usual.clone())),
        }
    });
    each.collect()
}

/// All that there is to compare a plan by.
struct Tried {
    /// For each target and set: points, chance, loss.
    worth: Vec<Vec<(f64, f64, f64)>>,
    destroys: bool,
    must: Vec<usize>,
    wanted: f64,
}

impl Tried {
    fn set(plan: &Plan, target: usize) -> usize {
        plan.iter().enumerate().filter(|(_, other)| **other == target).map(|(attacker, _)| 1 << attacker).sum()
    }

    fn of(&self, target: usize, set: usize) -> f64 {
        let (points, gone, _) = self.worth[target][set];
        if self.destroys { gone } else { points }
    }

    fn value(&self, plan: &Plan) -> f64 {
        (0..self.worth.len()).map(|target| self.of(target, Self::set(plan, target))).sum()
    }

    fn chance(&self, plan: &Plan) -> f64 {
        self.must.iter().map(|target| self.worth[*target][Self::set(plan, *target)].1).product()
    }

    /// Whoever adds nothing is sent nowhere, the later first.
    fn without_idle(&self, plan: &Plan) -> Plan {
        let mut plan = plan.clone();
        for attacker in (0..plan.len()).rev() {
            let mut without = plan.clone();
            without[attacker] = self.worth.len();
            let adds = self.value(&plan) - self.value(&without);
            let helps = !self.must.is_empty() && self.chance(&plan) - self.chance(&without) >= 1e-9;
            if adds < 1e-9 && !helps {
                plan = without;
            }
        }
        plan
    }

    /// All plans in which everybody adds something, the best first.
    fn ranked(&self, attackers: usize) -> (Vec<Plan>, bool) {
        let mut plans: Vec<Plan> = vec![Vec::new()];
        for _ in 0..attackers {
            let longer = plans.iter().flat_map(|plan| {
                (0..=self.worth.len()).map(|target| plan.iter().copied().chain([target]).collect::<Plan>())
            });
            plans = longer.collect();
        }
        plans = plans.iter().map(|plan| self.without_idle(plan)).collect();
        plans.sort();
        plans.dedup();
        let highest = plans.iter().map(|plan| self.chance(plan)).fold(0.0, f64::max);
        let reached = self.must.is_empty() || highest >= self.wanted - 1e-12;
        let by_chance = !reached && highest > 0.0;
        if reached {
            plans.retain(|plan| self.must.is_empty() || self.chance(plan) >= self.wanted - 1e-12);
        }
        // Rounding parts no equals: the list was in the order of the targets before.
        let to = |digits: f64| move |value: f64| (value * digits).round() + 0.0;
        let (rounded, likely) = (to(1e9), to(1e12));
        plans.sort_by(|a, b| {
            let chance = if by_chance {
                likely(self.chance(b)).total_cmp(&likely(self.chance(a)))
            } else {
                std::cmp::Ordering::Equal
            };
            chance.then(rounded(self.value(b)).total_cmp(&rounded(self.value(a))))
        });
        (plans, by_chance)
    }

    /// Where each alone gives most.
    fn own(&self, attackers: usize) -> Plan {
        let own = |attacker: usize| {
            let mut best = (self.worth.len(), 1e-9);
            for target in 0..self.worth.len() {
                let value = self.of(target, 1 << attacker);
                if value > best.1 + 1e-11 {
                    best = (target, value);
                }
            }
            best.0
        };
        (0..attackers).map(own).collect()
    }
}

fn plan_of(rows: &Value, targets: usize) -> Option<Plan> {
    let row = |row: &Value| row["target"].as_u64().map_or(targets, |target| usize::try_from(target).expect("few"));
    Some(rows.as_array()?.iter().map(row).collect())
}

fn differences(pack: &Pack, request: &Value) -> Option<Vec<String>> {
    let read =
        |name: &str| request[name].as_array()?.iter().map(|of| asked::side(pack, of)).collect::<Option<Vec<_>>>();
    let (attackers, targets) = (read("attackers")?, read("targets")?);
    let answer = affordable("assign", request)?;
    let lay = Lay::default();
    let worth = targets.iter().enumerate().map(|(target, muster)| {
        let settings = settings(pack, request, attackers.len(), target)?;
        let (attackers, target) = (attackers.clone(), muster.clone());
        let count = attackers.len();
        let ground = Ground { pack, attackers, target, settings, lay: &lay, known: RefCell::default() };
        Some((0..1 << count).map(|set| ground.worth(set)).collect::<Vec<_>>())
    });
    let worth: Vec<Vec<(f64, f64, f64)>> = worth.collect::<Option<_>>()?;
    let must: Vec<&Value> = request["must"].as_array().into_iter().flatten().collect();
    let mut tried = Tried {
        worth,
        destroys: request["objective"] == "destroyed",
        must: must.iter().filter_map(|row| usize::try_from(row["target"].as_u64()?).ok()).collect(),
        wanted: must.iter().filter_map(|row| row["chance"].as_f64()).fold(0.0, f64::max),
    };
    tried.must.sort_unstable();
    tried.must.dedup();
    let mut found = Differences::default();
    let (mut plans, by_chance) = tried.ranked(attackers.len());
    found.flag(
        "must left out",
        &answer["must_left_out"],
        !must.is_empty() && plans.iter().all(|plan| tried.chance(plan) <= 0.0),
    );
    if answer["must_left_out"] == true {
        tried.must.clear();
        plans = tried.ranked(attackers.len()).0;
    }
    found.flag("not reached", &answer["not_reached"], by_chance);
    let said = plan_of(&answer["plan"], targets.len())?;
    if said != plans[0] {
        found.0.push(format!(
            "the plan is {said:?} ({}), not {:?} ({})",
            tried.value(&said),
            plans[0],
            tried.value(&plans[0])
        ));
    }
    found.number("expected", &answer["expected"], tried.value(&plans[0]));
    for (at, other) in answer["others"].as_array()?.iter().enumerate() {
        let right = plans.get(at + 1).map_or(f64::NAN, |plan| tried.value(plan));
        found.number(&format!("other {at}"), &other["expected"], right);
        found.number(
            &format!("value of other {at}"),
            &other["expected"],
            tried.value(&plan_of(&other["plan"], targets.len())?),
        );
    }
    if answer["others"].as_array()?.len() != (plans.len() - 1).min(2) {
        found.0.push(format!("{} other plans, and there are {}", answer["others"], plans.len() - 1));
    }
    let own = tried.own(attackers.len());
    found.number("each on its own", &answer["each_on_its_own"]["expected"], tried.value(&own));
    for (target, row) in answer["targets"].as_array()?.iter().enumerate() {
        let (points, gone, lost) = tried.worth[target][Tried::set(&said, target)];
        found.number("points", &row["points"]["removed"], points);
        found.number("destroyed", &row["destroyed"]["chance"], gone);
        let said = if row["models"].is_object() { &row["models"] } else { &row["structure"] };
        found.number("lost", &said["expected"], lost);
    }
    let nowhere = said.iter().filter(|target| **target == targets.len()).count();
    if answer["idle"].as_array()?.len() != nowhere {
        found.0.push(format!("idle are {}, and {nowhere} are sent nowhere", answer["idle"]));
    }
    Some(found.0)
}

#[test]
fn assignments_are_the_best_of_all() {
    compare("assign", 36, made, differences);
}
