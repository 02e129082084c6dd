//! Rolls as terms: steps, what they let choose from, the last roll against damage, tests, and rolls afterwards.
use super::super::describe;
use super::super::model::Pack;
use super::super::model::attack::{Body, Form};
use super::super::model::roll::{AimPlan, Counts, RollPlan};
use super::super::model::sum::Sum;
use super::super::question::choices;
use super::{Term, of_named};
use crate::odds::chain::By;

pub(super) fn step(pack: &Pack, at: usize) -> Term {
    let plan = &pack.steps[at];
    let by = match plan.by {
        By::Attacker => "rolled by the attacker",
        By::Defender => "rolled by the one who is attacked",
    };
    let mut lines = vec![by.to_owned()];
    match &plan.form {
        Form::Roll(roll) => lines.extend(of_roll(pack, roll)),
        Form::Penetrate(plan) => {
            let added =
                if plan.add.0.is_empty() { String::new() } else { format!(" + {}", describe::sum(pack, &plan.add)) };
            let against = describe::sum(pack, &plan.against);
            lines.push(format!("{}{added} against {against}", plan.dice));
            lines.push(if plan.equal_breaches {
                format!("{against} or more is a breach, less does nothing")
            } else {
                format!("more than {against} is a breach, exactly {against} is a graze, less does nothing")
            });
        }
    }
    let names: Vec<&str> = choices(&plan.form).iter().map(|choice| choice.named.label.as_str()).collect();
    if !names.is_empty() {
        lines.push(format!("the best of {}", names.join(", ")));
    }
    Term { lines, ..of_named("step", &plan.named) }
}

pub(super) fn choice(pack: &Pack, step: usize, at: usize) -> Term {
    let choice = &choices(&pack.steps[step].form)[at];
    let mut lines = vec![
        format!("one of the rolls to choose from for the {}", pack.steps[step].named.label),
        format!("needs {}", describe::needs(pack, &choice.needs)),
    ];
    lines.extend(modified(pack, &choice.modifier));
    Term { lines, ..of_named("roll", &choice.named) }
}

pub(super) fn ignore(pack: &Pack) -> Term {
    let mut lines: Vec<String> = Vec::new();
    for kind in &pack.kinds {
        if let Body::Soldiers { ignore: Some(plan), per_packet, .. } = &kind.body {
            let each = if *per_packet { "once for all the damage of a hit" } else { "for each point of damage" };
            lines.push(format!("{}: {}, {each}", kind.named.label, of_roll(pack, plan).join(", ")));
        }
    }
    let text = "The last roll against damage, after all others.".to_owned();
    Term { sort: "roll", id: "ignore".to_owned(), name: "ignore roll".to_owned(), text, lines, ..Term::default() }
}

pub(super) fn check(pack: &Pack, at: usize) -> Term {
    let check = &pack.checks[at];
    let mut lines = of_roll(pack, &check.roll);
    if !check.when.is_always() {
        lines.push(format!("for units of which {}", describe::condition(pack, &check.when)));
    }
    Term { lines, ..of_named("check", &check.named) }
}

pub(super) fn aftermath(pack: &Pack, at: usize) -> Term {
    let plan = &pack.aftermath[at];
    let counted = match plan.counts {
        Counts::Models => format!("{} lost", pack.word("models")),
        Counts::HealthLost => format!("{} lost", pack.word("health")),
        Counts::Wrecked => "units wrecked".to_owned(),
        Counts::Passed(step) => format!("successes of the {} roll", pack.steps[step].named.label),
    };
    let mut lines =
        vec![format!("rolled after an attack with {} or more {counted}", describe::sum(pack, &plan.at_least))];
    lines.extend(of_roll(pack, &plan.roll));
    if plan.per_point != 0 {
        lines.push(format!("{:+} for each of them", plan.per_point));
    }
    lines.push(format!("a success brings: {}", plan.effect));
    if !plan.when.is_always() {
        lines.push(format!("when {}", describe::condition(pack, &plan.when)));
    }
    Term { lines, ..of_named("aftermath", &plan.named) }
}

fn of_roll(pack: &Pack, plan: &RollPlan) -> Vec<String> {
    let mut lines = match &plan.aim {
        AimPlan::Needs(from) => vec![format!("{}, needs {}", plan.dice, describe::needs(pack, from))],
        AimPlan::Choose(_) => vec![plan.dice.to_string()],
        AimPlan::Versus(versus) => {
            let more = if versus.modifier.0.is_empty() {
                String::new()
            } else {
                format!(" + {}", describe::sum(pack, &versus.modifier))
            };
            vec![format!("{} against {}{more}", plan.dice, versus.dice)]
        }
    };
    lines.extend(modified(pack, &plan.modifier));
    lines
}

fn modified(pack: &Pack, modifier: &Sum) -> Option<String> {
    (!modifier.0.is_empty()).then(|| format!("with {} on the roll", describe::sum(pack, modifier)))
}
