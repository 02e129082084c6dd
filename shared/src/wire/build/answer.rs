//! Plans as their answer, each with what it is good at in a sentence.
use super::super::list_points::{ListProblem, line_sum};
use super::{BuildAnswer, BuildObjective, BuildPlan, BuildTarget, BuildValue, PreparedBuild};
use crate::analysis::build::{Built, Clash, Objective, Plan, Value, groups};
use crate::points::text::written;
use crate::points::{Line, List, problems};
use crate::report::saying::{about, count, mostly, percent, sentence};

/// How lists are measured.
const METHOD: &str = "A unit is worth the points that it takes in a turn where there is always more to hit, times the turns \
that it survives under the same targets, at most those of a game: the value of a league. Units are offered at up to four \
sizes with up to two options. Units do not help each other here, and nobody moves.";

pub(super) fn answer(of: &PreparedBuild, found: &Built) -> BuildAnswer {
    let (pack, order) = (&*of.pack, &of.order);
    let there = groups(&of.targets);
    let plans = found.plans.iter().map(|plan| {
        let lines: Vec<&Line> = plan.lines.iter().map(|(line, _)| line).collect();
        let text: Vec<String> = lines.iter().map(|line| written(pack, line)).collect();
        let worth = |(line, each): &(Line, Value)| {
            let times = f64::from(line.count);
            let (total, soldiers, armour) = (each.total * times, each.soldiers * times, each.armour * times);
            value(&Value { total, soldiers, armour }, there)
        };
        BuildPlan {
            lines: lines.iter().map(|line| line_sum(pack, line)).collect(),
            values: plan.lines.iter().map(worth).collect(),
            total: plan.total,
            left: u64::from(order.limit).saturating_sub(plan.total),
            value: value(&plan.value, there),
            bound: plan.bound,
            proven: plan.proven,
            text: text.join("\n"),
            sentence: said(of, plan, there),
        }
    });
    let targets = of.targets.iter().map(|target| BuildTarget {
        name: pack.units[target.unit.unit].counting(pack).named(target.unit.models),
        points: target.points,
        weight: target.weight,
    });
    BuildAnswer {
        plans: plans.collect(),
        limit: order.limit,
        objective: match order.objective {
            Objective::Balanced => BuildObjective::Balanced,
            Objective::Total => BuildObjective::Total,
        },
        targets: targets.collect(),
        problems: if found.plans.is_empty() { why(of, &found.clash) } else { Vec::new() },
        candidates: found.candidates,
        method: METHOD.to_owned(),
        pack: pack.named.id.clone(),
        hash: pack.hash.clone(),
    }
}

fn value(of: &Value, (soldiers, armour): (bool, bool)) -> BuildValue {
    BuildValue { total: of.total, soldiers: soldiers.then_some(of.soldiers), armour: armour.then_some(of.armour) }
}

/// What a plan is good at and what most of that comes from; where it may not be the best, by how much at most.
fn said(of: &PreparedBuild, plan: &Plan, there: (bool, bool)) -> String {
    let mut text = match there {
        (true, true) => {
            let (soldiers, armour) = (plan.value.soldiers, plan.value.armour);
            let (better, worse) = if soldiers >= armour {
                (("soldiers", soldiers), ("armour", armour))
            } else {
                (("armour", armour), ("soldiers", soldiers))
            };
            let less = about(worse.1);
            let less = if about(better.1).starts_with("about") { less.trim_start_matches("about ") } else { &less };
            format!(
                "If it never ran out of targets, it would destroy {} points of {} in a game, or {} of {} instead.",
                about(better.1),
                better.0,
                less,
                worse.0
            )
        }
        _ => format!("If it never ran out of targets, it would destroy {} points in a game.", about(plan.value.total)),
    };
    let best = plan
        .lines
        .iter()
        .max_by(|(a, one), (b, other)| (one.total * f64::from(a.count)).total_cmp(&(other.total * f64::from(b.count))));
    // Of a single line all of it comes from that.
    if let Some((line, each)) = best.filter(|_| plan.value.total > 0.0 && plan.lines.len() > 1) {
        let share = each.total * f64::from(line.count) / plan.value.total;
        text.push_str(&format!(" {} of that comes from the {}.", mostly(share), written(&of.pack, line)));
    }
    if !plan.proven {
        let reached = match of.order.objective {
            Objective::Balanced if there == (true, true) => plan.value.soldiers.min(plan.value.armour),
            _ => plan.value.total,
        };
        let short = percent(1.0 - reached / plan.bound.max(f64::MIN_POSITIVE));
        text.push_str(&format!(" It may not be the best, but it is at most {short} short of that."));
    }
    text
}

/// Why there is no list.
fn why(of: &PreparedBuild, clash: &[Clash]) -> Vec<ListProblem> {
    let (pack, order) = (&*of.pack, &of.order);
    // What is wrong with the lines that are kept is said as list-points says it.
    let kept = List { limit: order.limit, lines: order.keep.clone() };
    let own: Vec<ListProblem> = problems(pack, &kept)
        .into_iter()
        .filter(|problem| crate::points::is_of_line(problem.code))
        .map(ListProblem::from)
        .collect();
    if !own.is_empty() {
        return own;
    }
    let all: Vec<String> = clash.iter().map(|one| limit_text(of, *one)).collect();
    let mend = match all.len() {
        0 => "nothing of this book may be added".to_owned(),
        1 => "raise or lower this limit, or keep and exclude other units".to_owned(),
        number => format!("these {number} limits can't all be kept: one of them must give way"),
    };
    let problem = |(one, text): (&Clash, &String)| ListProblem {
        code: code(*one).to_owned(),
        line: None,
        text: text.clone(),
        mend: mend.clone(),
    };
    if all.is_empty() {
        let text = format!("no unit can be added to a list of {}", count(u64::from(order.limit), "point", "points"));
        return vec![ListProblem { code: "over-points".to_owned(), line: None, text, mend }];
    }
    clash.iter().zip(&all).map(problem).collect()
}

fn code(of: Clash) -> &'static str {
    match of {
        Clash::Points => "over-points",
        Clash::NotEmpty | Clash::UnitsLeast => "units-least",
        Clash::UnitsMost => "units-most",
        Clash::UnitMost(_) => "unit-most",
        Clash::Requires(_) => "unit-requires",
        Clash::Excludes(..) => "unit-excludes",
        Clash::RoleLeast(_) => "role-least",
        Clash::RoleMost(_) => "role-most",
        Clash::ShareMost(_) => "role-share-most",
        Clash::ShareLeast(_) => "role-share-least",
    }
}

/// A limit in words.
fn limit_text(of: &PreparedBuild, limit: Clash) -> String {
    let pack = &*of.pack;
    let unit = |at: usize| pack.units[at].named.label.as_str();
    let role = |at: usize| (&pack.roles[at], pack.roles[at].named.label.as_str());
    let text = match limit {
        Clash::Points => {
            format!("the list may cost at most {}", count(u64::from(of.order.limit), "point", "points"))
        }
        Clash::NotEmpty => "there must be at least one unit in it".to_owned(),
        Clash::UnitsLeast => {
            format!("a list holds at least {}", count(u64::from(pack.limits.least_units), "unit", "units"))
        }
        Clash::UnitsMost => {
            format!("a list holds at most {}", count(u64::from(pack.limits.most_units.unwrap_or(0)), "unit", "units"))
        }
        Clash::UnitMost(at) => {
            let most = pack.units[at].most.or(pack.limits.most_alike).unwrap_or(0);
            format!("a list holds {} at most {}", unit(at), count(u64::from(most), "time", "times"))
        }
        Clash::Requires(at) => {
            let names: Vec<&str> = pack.units[at].needs_unit.iter().map(|other| unit(*other)).collect();
            format!("{} can only be taken with {}", unit(at), names.join(" or "))
        }
        Clash::Excludes(one, other) => format!("{} and {} can't be in one list", unit(one), unit(other)),
        Clash::RoleLeast(at) => {
            let (role, label) = role(at);
            format!("{label}: at least {}", count(u64::from(role.least), "slot", "slots"))
        }
        Clash::RoleMost(at) => {
            let (role, label) = role(at);
            format!("{label}: at most {}", count(u64::from(role.most.unwrap_or(0)), "slot", "slots"))
        }
        Clash::ShareMost(at) => {
            let (role, label) = role(at);
            format!("{label}: at most {}% of the points limit", role.most_share.unwrap_or(0))
        }
        Clash::ShareLeast(at) => {
            let (role, label) = role(at);
            format!("{label}: at least {}% of the points limit", role.least_share.unwrap_or(0))
        }
    };
    sentence(&text)
}
