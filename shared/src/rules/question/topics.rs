//! What a question can be about besides rules: rolls, and the numbers and charts that go into them.
use super::super::model::Pack;
use super::super::model::attack::{Body, Form};
use super::super::model::change::{Change, RollId};
use super::super::model::chart::{Lookup, Rows};
use super::super::model::roll::{AimPlan, RollPlan};
use super::super::model::stat::Scope;
use super::super::model::sum::{NeedsFrom, Source, Sum};

/// Something of the pack that has a name and goes into rolls.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Topic {
    /// What it is.
    pub what: What,
    /// What people call it.
    pub names: Vec<String>,
    /// The rolls that it is, or that it goes into.
    pub rolls: Vec<RollId>,
}

/// What a topic is; by index.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum What {
    /// A number of units, weapons, ranges, covers or arcs.
    Stat(Scope, usize),
    /// A step of an attack.
    Step(usize),
    /// One of the rolls that a step lets choose from.
    Choice(usize, usize),
    /// The last roll against damage.
    Ignore,
    /// A chart.
    Chart(usize),
    /// What a breach does.
    Breach(usize),
    /// A test.
    Check(usize),
    /// A roll made when an attack is over.
    Aftermath(usize),
    /// Mending.
    Repair,
}

/// All topics of a pack.
pub fn topics(pack: &Pack) -> Vec<Topic> {
    let mut topics: Vec<Topic> = Vec::new();
    let mut add = |what: What, names: Vec<&String>, rolls: Vec<RollId>| {
        topics.push(Topic { what, names: names.into_iter().filter(|name| !name.is_empty()).cloned().collect(), rolls });
    };
    for scope in [Scope::Unit, Scope::Weapon, Scope::Range, Scope::Cover, Scope::Arc] {
        for (at, stat) in pack.stats.of(scope).iter().enumerate() {
            add(What::Stat(scope, at), vec![&stat.label, &stat.id], fed(pack, &|source| feeds(source, scope, at)));
        }
    }
    for (at, step) in pack.steps.iter().enumerate() {
        add(What::Step(at), vec![&step.named.label, &step.named.id], vec![RollId::Step(at)]);
        for (index, choice) in choices(&step.form).iter().enumerate() {
            add(What::Choice(at, index), vec![&choice.named.label, &choice.named.id], vec![RollId::Choice(at, index)]);
        }
    }
    for (at, chart) in pack.charts.iter().enumerate() {
        let rolls = fed(pack, &|source| matches!(source, Source::Chart(other) if *other == at));
        add(What::Chart(at), vec![&chart.named.label, &chart.named.id], rolls);
    }
    for (at, breach) in pack.breaches.iter().enumerate() {
        add(What::Breach(at), vec![&breach.named.label, &breach.named.id], Vec::new());
    }
    for (at, check) in pack.checks.iter().enumerate() {
        let names = [&check.named.label, &check.named.id].into_iter().chain(&check.named.also).collect();
        add(What::Check(at), names, vec![RollId::Check(at)]);
    }
    for (at, plan) in pack.aftermath.iter().enumerate() {
        // `wavering` is what they do who waver.
        let verb = plan.named.label.replacen("ing", "", 1);
        let names =
            [&plan.named.label, &plan.named.id, &plan.effect, &verb].into_iter().chain(&plan.named.also).collect();
        add(What::Aftermath(at), names, vec![RollId::Aftermath(at)]);
    }
    let ignore = "ignore roll".to_owned();
    add(What::Ignore, vec![&ignore], vec![RollId::Ignore]);
    topics
}

/// The rolls from which a step lets choose.
pub fn choices(form: &Form) -> &[super::super::model::roll::Choice] {
    match form {
        Form::Roll(plan) => match &plan.aim {
            AimPlan::Choose(choices) => choices,
            _ => &[],
        },
        Form::Penetrate(_) => &[],
    }
}

fn feeds(source: &Source, scope: Scope, at: usize) -> bool {
    let same = |other: Scope| other == scope || (scope == Scope::Unit && other == Scope::Target);
    matches!(source, Source::Stat(other, index) if same(*other) && *index == at)
}

/// The rolls that something goes into, by itself or by a chart.
fn fed(pack: &Pack, is: &dyn Fn(&Source) -> bool) -> Vec<RollId> {
    let mut rolls = Vec::new();
    let in_sum = |sum: &Sum| in_sum(pack, sum, is);
    let in_needs = |from: &NeedsFrom| in_needs(pack, from, is);
    let in_plan = |plan: &RollPlan| {
        in_sum(&plan.modifier)
            || match &plan.aim {
                AimPlan::Needs(from) => in_needs(from),
                AimPlan::Versus(versus) => in_sum(&versus.modifier),
                AimPlan::Choose(_) => false,
            }
    };
    for (at, step) in pack.steps.iter().enumerate() {
        let whole = match &step.form {
            Form::Roll(plan) => in_plan(plan),
            Form::Penetrate(plan) => [&plan.add, &plan.against, &plan.breach, &plan.graze].into_iter().any(in_sum),
        };
        rolls.extend(whole.then_some(RollId::Step(at)));
        for (index, choice) in choices(&step.form).iter().enumerate() {
            rolls.extend((in_needs(&choice.needs) || in_sum(&choice.modifier)).then_some(RollId::Choice(at, index)));
        }
    }
    let ignored = pack.kinds.iter().any(|kind| match &kind.body {
        Body::Soldiers { ignore: Some(plan), .. } => in_plan(plan),
        _ => false,
    });
    rolls.extend(ignored.then_some(RollId::Ignore));
    rolls.extend(
        pack.procedures.iter().any(|plan| in_sum(&plan.attacks) || in_sum(&plan.damage)).then_some(RollId::Attack),
    );
    let checks = pack.checks.iter().enumerate().filter(|(_, check)| in_plan(&check.roll));
    rolls.extend(checks.map(|(at, _)| RollId::Check(at)));
    let after = pack.aftermath.iter().enumerate().filter(|(_, plan)| in_plan(&plan.roll) || in_sum(&plan.at_least));
    rolls.extend(after.map(|(at, _)| RollId::Aftermath(at)));
    rolls
}

fn in_sum(pack: &Pack, sum: &Sum, is: &dyn Fn(&Source) -> bool) -> bool {
    sum.0.iter().any(|term| is(&term.source) || matches!(term.source, Source::Chart(at) if in_chart(pack, at, is)))
}

fn in_needs(pack: &Pack, from: &NeedsFrom, is: &dyn Fn(&Source) -> bool) -> bool {
    match from {
        NeedsFrom::Fixed(_) => false,
        NeedsFrom::Stat(scope, at) => is(&Source::Stat(*scope, *at)),
        NeedsFrom::Chart(at) => is(&Source::Chart(*at)) || in_chart(pack, *at, is),
        NeedsFrom::AtLeast(sum) | NeedsFrom::AtMost(sum) => in_sum(pack, sum, is),
    }
}

fn in_chart(pack: &Pack, at: usize, is: &dyn Fn(&Source) -> bool) -> bool {
    match &pack.charts[at].rows {
        Rows::Difference(sum, _) => in_sum(pack, sum, is),
        Rows::Ratio(over, under, _) => in_sum(pack, over, is) || in_sum(pack, under, is),
        Rows::Table { by, .. } => by.iter().any(|lookup| match lookup {
            Lookup::Axis(..) => false,
            Lookup::Words(scope, at, _) | Lookup::Numbers(scope, at, _) => is(&Source::Stat(*scope, *at)),
        }),
    }
}

/// The rolls that a change touches: its own, and later ones that its criticals change.
pub fn touched(change: &Change) -> Vec<RollId> {
    let mut rolls = change.rolls.clone();
    if let Some(critical) = &change.effects.critical {
        rolls.extend(critical.gain.then.iter().map(|(step, _)| RollId::Step(*step)));
    }
    rolls
}

/// Whether a change of one roll is one of another: a step's is one of each of its choices.
pub fn meets(changed: RollId, spoken: RollId) -> bool {
    match (changed, spoken) {
        (RollId::Step(step), RollId::Choice(of, _)) | (RollId::Choice(of, _), RollId::Step(step)) => step == of,
        (changed, spoken) => changed == spoken,
    }
}
