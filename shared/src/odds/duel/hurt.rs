//! Whether a volley can take anything from what it is on, seen from its numbers alone.
use super::TimedVolley;
use crate::odds::chain::graph::{AttackOutcome, Graph, Node};
use crate::odds::chain::{Kind, Penetrate, Target, Volley};
use crate::odds::check::pass_and_fail;
use crate::odds::distribution::Distribution;
use crate::odds::number::Number;

/// Whether it may: never false where it can, but perhaps true where a mark alone is left.
pub(super) fn can_hurt(timed: &TimedVolley, target: &Target, turns: u32) -> bool {
    let fired = timed.turns.is_none_or(|(first, _)| first <= turns);
    fired && timed.can_be_made() && can_take_effect(&timed.volley, target)
}

fn can_take_effect(volley: &Volley, target: &Target) -> bool {
    let groups = match target {
        Target::Soldiers(soldiers) => soldiers.groups.as_slice(),
        Target::Armoured(_) => &[],
    };
    let graph = Graph::<f64>::new(volley, groups, &[]);
    let mut open = vec![graph.root()];
    let mut seen = vec![false; graph.nodes.len()];
    while let Some(at) = open.pop() {
        if std::mem::replace(&mut seen[at], true) {
            continue;
        }
        match &graph.nodes[at] {
            Node::AttackOutcome(outcome) => {
                if takes(outcome, volley, target) {
                    return true;
                }
            }
            Node::Step { variants, .. } => {
                let branches = variants.iter().flat_map(|variant| &variant.branches);
                let next = branches.filter(|branch| branch.chance > 0.0).filter_map(|branch| branch.next.as_ref());
                for next in next {
                    open.push(next.main);
                    open.extend(next.extra.as_ref().map(|(_, node)| *node));
                }
            }
        }
    }
    false
}

fn takes(outcome: &AttackOutcome<f64>, volley: &Volley, target: &Target) -> bool {
    let penetrate = |step: usize| match volley.steps.get(step).map(|step| &step.kind) {
        Some(Kind::Penetrate(penetrate)) => Some(penetrate),
        _ => None,
    };
    match outcome {
        AttackOutcome::Damage(damage) => highest(damage) > 0 && is_felt(volley, target),
        AttackOutcome::Graze(step) => penetrate(*step).is_some_and(|penetrate| penetrate.graze.highest() > 0),
        AttackOutcome::Breach(step) => penetrate(*step).is_some_and(breaks),
    }
}

fn highest(damage: &Distribution<f64>) -> i64 {
    damage.iter().filter(|(_, chance)| **chance > 0.0).map(|(value, _)| value).max().unwrap_or(0)
}

/// Whether a point of damage can come past the last roll of any group.
fn is_felt(volley: &Volley, target: &Target) -> bool {
    let Target::Soldiers(soldiers) = target else { return true };
    let fails = |roll| pass_and_fail::<f64>(roll).1.is_zero();
    let ignores = soldiers.groups.iter().map(|group| volley.ignore.as_ref().or(group.ignore.as_ref()));
    ignores.into_iter().any(|ignore| ignore.is_none_or(|ignore| !fails(&ignore.roll)))
}

fn breaks(penetrate: &Penetrate) -> bool {
    penetrate.breach.highest() > 0
        || penetrate.chart.as_ref().is_some_and(|chart| {
            chart.rows.iter().any(|row| {
                let again = row.repeated.as_ref();
                row.wrecked || row.structure.highest() > 0 || again.is_some()
            })
        })
}
