//! Rules in plain words.
use super::model::Pack;
use super::model::attack::Body;
use super::model::change::{Change, Effects, RollId, RuleScope};
use super::model::condition::{Condition, Than, Trait, Whom};
use super::model::roll::{AimPlan, Rolls};
use super::model::sum::{NeedsFrom, Source, Sum};
use crate::odds::roll::{Keep, Needs};
use crate::report::saying::{place, small};

/// What a rule does, a line for each change.
pub fn rule(pack: &Pack, at: usize) -> Vec<String> {
    let rule = &pack.rules[at];
    let mut lines: Vec<String> = rule.changes.iter().map(|change| change_line(pack, &rule.when, change)).collect();
    if let Some(repair) = &rule.repair {
        let needs = match &repair.roll.aim {
            AimPlan::Needs(from) => needs(pack, from),
            _ => "an opposed roll".to_owned(),
        };
        // A repair is rolled whether anybody attacks or not.
        let whose = match rule.side {
            RuleScope::NearAttacker | RuleScope::NearTarget => "for units near it",
            RuleScope::Table => "for everyone",
            RuleScope::Attacker | RuleScope::Weapon | RuleScope::Target => "for its own unit",
        };
        let rolls = match &repair.rolls {
            Rolls::EachMissing => format!("a roll for each point missing, {needs}"),
            Rolls::Number(number) => match number.as_number() {
                Some(1) => format!("a roll, {needs}"),
                Some(number) => format!("{} rolls, {needs} each", small(u64::from(number.unsigned_abs()))),
                None => format!("{} rolls, {needs} each", sum(pack, number)),
            },
        };
        let when = with_when(pack, whose, &[&rule.when]).replacen("the target is", "they are", 1);
        lines.push(format!("{when}: {rolls}, at the start of the turn"));
    }
    for replaced in &rule.replaces {
        lines.push(format!("replaces {}", pack.rules[*replaced].named.label));
    }
    lines
}

fn change_line(pack: &Pack, when: &Condition, change: &Change) -> String {
    let mut rolls: Vec<String> = change.rolls.iter().map(|roll| roll_name(pack, *roll)).collect();
    // Steps of one name are one roll to a reader.
    rolls.dedup();
    let low = change.rolls.iter().any(|roll| wants_little(pack, *roll));
    // Nobody attacks on a test or a repair.
    let quiet = change.rolls.iter().all(|roll| matches!(roll, RollId::Check(_) | RollId::Repair));
    let whose = match change.side {
        RuleScope::NearAttacker | RuleScope::NearTarget if quiet => "for units near it",
        RuleScope::Attacker | RuleScope::Weapon | RuleScope::Target if quiet => "for its own unit",
        side => scope(side),
    };
    let head = with_when(pack, whose, &[when, &change.when]);
    format!("{head}: {}", effects(pack, &change.effects, &rolls.join(" and "), low).join(", "))
}

/// `when it attacks and the range is near`, `always`.
fn with_when(pack: &Pack, scope: &str, conditions: &[&Condition]) -> String {
    // `when its own unit attacks and moved`: who it is was just said.
    let own = match scope {
        "when its own unit attacks" => "the attacker ",
        "when its own unit is attacked" => "the target ",
        _ => "\0",
    };
    let parts: Vec<String> = conditions.iter().filter(|one| !one.is_always()).map(|one| condition(pack, one)).collect();
    let parts: Vec<String> =
        parts.into_iter().map(|part| part.strip_prefix(own).map_or(part.clone(), str::to_owned)).collect();
    match (scope, parts.is_empty()) {
        ("", true) => "always".to_owned(),
        ("", false) => format!("when {}", parts.join(" and ")),
        (scope, true) => scope.to_owned(),
        (scope, false) if scope.starts_with("when ") => format!("{scope} and {}", parts.join(" and ")),
        (scope, false) => format!("{scope}, when {}", parts.join(" and ")),
    }
}

fn scope(scope: RuleScope) -> &'static str {
    match scope {
        RuleScope::Attacker => "when its own unit attacks",
        RuleScope::Weapon => "for the weapon",
        RuleScope::Target => "when its own unit is attacked",
        RuleScope::NearAttacker => "for units near it that attack",
        RuleScope::NearTarget => "for units near it that are attacked",
        RuleScope::Table => "",
    }
}

pub(super) fn roll_name(pack: &Pack, roll: RollId) -> String {
    match roll {
        RollId::Step(step) => pack.steps[step].named.label.clone(),
        RollId::Choice(step, index) => match &pack.steps[step].form {
            super::model::attack::Form::Roll(plan) => match &plan.aim {
                AimPlan::Choose(choices) => choices[index].named.label.clone(),
                _ => pack.steps[step].named.label.clone(),
            },
            super::model::attack::Form::Penetrate(_) => pack.steps[step].named.label.clone(),
        },
        RollId::Attack => "the attack".to_owned(),
        RollId::Ignore => ignore_name(pack),
        RollId::Repair => "the repair roll".to_owned(),
        RollId::Check(at) => pack.checks[at].named.label.clone(),
        RollId::Aftermath(at) => pack.aftermath[at].named.label.clone(),
    }
}

/// Whether a roll succeeds with so much or less.
fn wants_little(pack: &Pack, roll: RollId) -> bool {
    let aim = match roll {
        RollId::Check(at) => &pack.checks[at].roll.aim,
        RollId::Aftermath(at) => &pack.aftermath[at].roll.aim,
        RollId::Step(at) => match &pack.steps[at].form {
            super::model::attack::Form::Roll(plan) => &plan.aim,
            super::model::attack::Form::Penetrate(_) => return false,
        },
        RollId::Choice(..) | RollId::Attack | RollId::Ignore | RollId::Repair => return false,
    };
    matches!(aim, AimPlan::Needs(NeedsFrom::AtMost(_) | NeedsFrom::Fixed(Needs::AtMost(_))))
}

/// The last roll against damage, by the stat that it goes by where all kinds go by one.
fn ignore_name(pack: &Pack) -> String {
    let mut stats = pack.kinds.iter().filter_map(|kind| match &kind.body {
        Body::Soldiers { ignore: Some(plan), .. } => match &plan.aim {
            AimPlan::Needs(NeedsFrom::Stat(scope, at)) => Some(pack.stats.of(*scope)[*at].label.as_str()),
            _ => None,
        },
        _ => None,
    });
    match stats.next() {
        Some(first) if stats.all(|other| other == first) => format!("the {first} roll"),
        _ => "the ignore roll".to_owned(),
    }
}

/// What is done to some rolls, each a clause of its own.
fn effects(pack: &Pack, effects: &Effects, rolls: &str, low: bool) -> Vec<String> {
    let mut words = Vec::new();
    let mut add = |text: String| words.push(text);
    // What it does to the rolls, with their name before it.
    let of = |text: String| format!("{rolls} {text}");
    if effects.deny {
        add(match rolls {
            "the attack" => "the attack is not made".to_owned(),
            rolls => format!("no {}", rolls.strip_prefix("the ").unwrap_or(rolls)),
        });
    }
    if let Some(from) = &effects.needs {
        add(of(format!("needs {}", needs(pack, from))));
    }
    if let Some(by) = &effects.harder {
        match by.as_number() {
            // A roll that wants little gets no better by a plus.
            Some(number) if low => {
                add(of(format!("is {} by {}", if number < 0 { "easier" } else { "harder" }, number.abs())));
            }
            Some(number) => add(format!("{:+} to {rolls}", -number)),
            None => add(of(format!("is harder by {}", sum(pack, by)))),
        }
    }
    for (what, more) in [("modifier", &effects.modifier), ("added number", &effects.add)] {
        match more.as_ref().map(|more| (more.as_number(), more)) {
            Some((Some(number), _)) => add(format!("{number:+} to {rolls}")),
            Some((None, more)) => add(of(format!("has {} more on its {what}", sum(pack, more)))),
            None => {}
        }
    }
    for (what, more) in [
        ("armour", &effects.against),
        ("breach chart", &effects.chart_modifier),
        ("structure of a graze", &effects.graze),
        ("structure of a breach", &effects.breach),
        ("number of attacks", &effects.attacks),
        ("damage", &effects.damage),
        ("points restored", &effects.restores),
    ] {
        if let Some(more) = more {
            match more.as_number() {
                Some(number) if what == "armour" => add(format!("{number:+} to the armour against {rolls}")),
                Some(number) => add(of(format!("has {number:+} on its {what}"))),
                None => add(of(format!("has {} more on its {what}", sum(pack, more)))),
            }
        }
    }
    if let Some(times) = effects.times {
        add(of(format!("counts {times} times")));
    }
    if let Some(damage) = &effects.set_damage {
        add(of(format!("does {} damage", sum(pack, damage))));
    }
    if let Some(dice) = effects.dice {
        add(of(format!("rolls {dice}")));
    }
    match effects.keep {
        Some(Keep::Highest(count)) => add(of(format!("keeps the highest {count}"))),
        Some(Keep::Lowest(count)) => add(of(format!("keeps the lowest {count}"))),
        Some(Keep::All) | None => {}
    }
    if effects.reroll.is_some() {
        let what = if effects.reroll_grazes { "failures and grazes" } else { reroll(effects) };
        add(of(format!("re-rolls {what}")));
    }
    if let Some(critical) = &effects.critical {
        let on = critical.on.map_or_else(|| "its best face".to_owned(), |on| format!("{on}"));
        let mut gains = Vec::new();
        gains.extend(critical.add.as_ref().map(|more| format!("{} more", sum(pack, more))));
        gains.extend(critical.gain.extra.as_ref().map(|more| format!("{} further successes", sum(pack, more))));
        gains.extend(critical.gain.damage.as_ref().map(|more| format!("{} more damage", sum(pack, more))));
        let later = critical.gain.then.iter().map(|(step, _)| format!("another {}", pack.steps[*step].named.label));
        gains.extend(later);
        add(of(format!("gives on {on}: {}", gains.join(", "))));
    }
    if let Some(backfire) = &effects.backfire {
        let saved = match &backfire.needs {
            NeedsFrom::Fixed(Needs::Never) => String::new(),
            from => format!(", saved on {}", needs(pack, from)),
        };
        let harm = if backfire.harm.as_number() == Some(0) {
            String::new()
        } else {
            format!(", harm {}", sum(pack, &backfire.harm))
        };
        add(of(format!("backfires on {}{saved}{harm}", backfire.on)));
    }
    if effects.spill == Some(true) {
        add(of("goes on to the next model".to_owned()));
    }
    for (what, set) in
        [("worst face always fails", effects.low_fails), ("best face always succeeds", effects.high_succeeds)]
    {
        if let Some(set) = set {
            add(of(format!("{what}: {}", if set { "yes" } else { "no" })));
        }
    }
    if let Some(chart) = effects.chart {
        add(of(format!("uses {}", pack.breaches[chart].named.label)));
    }
    words
}

fn reroll(effects: &Effects) -> &'static str {
    use crate::odds::roll::Reroll;
    match effects.reroll {
        Some(Reroll::Worst) => "1s",
        Some(Reroll::Failures) => "failures",
        Some(Reroll::NaturalFailures) => "natural failures",
        Some(Reroll::Successes) => "successes",
        Some(Reroll::NotCritical) => "all but criticals",
        Some(Reroll::None) | None => "nothing",
    }
}

pub(super) fn needs(pack: &Pack, from: &NeedsFrom) -> String {
    match from {
        NeedsFrom::Fixed(needs) => needs.to_string(),
        NeedsFrom::Stat(scope, at) => pack.stats.of(*scope)[*at].label.clone(),
        NeedsFrom::Chart(at) => format!("by the chart {}", pack.charts[*at].named.label),
        NeedsFrom::AtLeast(total) => format!("at least {}", sum(pack, total)),
        NeedsFrom::AtMost(total) => format!("at most {}", sum(pack, total)),
    }
}

/// A sum in words, without its values.
pub(super) fn sum(pack: &Pack, sum: &Sum) -> String {
    let mut words = String::new();
    for (index, term) in sum.0.iter().enumerate() {
        words += match (index, term.minus) {
            (0, false) => "",
            (0, true) => "−",
            (_, false) => " + ",
            (_, true) => " − ",
        };
        words += &match &term.source {
            Source::Number(number) => number.to_string(),
            Source::Dice(dice) => dice.to_string(),
            Source::Stat(scope, at) => pack.stats.of(*scope)[*at].label.clone(),
            Source::Chart(at) => pack.charts[*at].named.label.clone(),
            Source::Models(_) => "the number of models".to_owned(),
            Source::Hurt => "points missing".to_owned(),
            Source::Asked => "the number asked".to_owned(),
        };
    }
    words
}

/// A condition in words.
pub fn condition(pack: &Pack, of: &Condition) -> String {
    let words = &pack.situations;
    let or = |names: Vec<&str>| names.join(" or ");
    match of {
        Condition::All(parts) => parts.iter().map(|part| condition(pack, part)).collect::<Vec<_>>().join(" and "),
        Condition::Any(parts) => parts.iter().map(|part| condition(pack, part)).collect::<Vec<_>>().join(" or "),
        Condition::Not(inner) => denied(pack, inner),
        Condition::Arc(arcs) => {
            format!(
                "the target is hit from the {}",
                or(arcs.iter().map(|at| words.arcs[*at].named.label.as_str()).collect())
            )
        }
        Condition::Range(bands) => {
            format!("the range is {}", or(bands.iter().map(|at| words.ranges[*at].word.named.label.as_str()).collect()))
        }
        Condition::Cover(covers) => {
            format!(
                "the target is {}",
                place(&or(covers.iter().map(|at| words.covers[*at].named.label.as_str()).collect()))
            )
        }
        Condition::Moved(moved) => if *moved { "the attacker moved" } else { "the attacker has not moved" }.to_owned(),
        Condition::Template(lays) => {
            if *lays { "the weapon lays a template" } else { "the weapon lays no template" }.to_owned()
        }
        Condition::Flag(flag, set) => {
            let label = &words.flags[*flag].label;
            match (words.flags_said.get(*flag).and_then(Option::as_ref), set) {
                (Some((so, _)), true) => so.clone(),
                (Some((_, not)), false) => not.clone(),
                (None, true) => format!("\u{201c}{label}\u{201d} is so"),
                (None, false) => format!("\u{201c}{label}\u{201d} is not so"),
            }
        }
        Condition::Is(whom, traits) => {
            let who = match whom {
                Whom::Attacker => "the attacker",
                Whom::Weapon => "the weapon",
                Whom::Target => "the target",
                Whom::NearAttacker => "a unit near the attacker",
                Whom::NearTarget => "a unit near the target",
            };
            let (rules, others): (Vec<Trait>, Vec<Trait>) =
                traits.iter().partition(|word| matches!(word, Trait::Rule(_)));
            let named = |list: &[Trait]| or(list.iter().map(|word| label(pack, *word)).collect());
            match (rules.is_empty(), others.is_empty()) {
                (true, _) => format!("{who} is {}", named(&others)),
                (false, true) => format!("{who} has {}", named(&rules)),
                (false, false) => format!("{who} is {} or has {}", named(&others), named(&rules)),
            }
        }
        Condition::Compare(total, Than::AtLeast, number) if counts_models(total) => {
            format!("there are at least {number} models")
        }
        Condition::Compare(total, Than::AtMost, number) if counts_models(total) => {
            format!("there are at most {number} models")
        }
        Condition::Compare(total, than, number) => {
            let than = match than {
                Than::AtLeast => "at least",
                Than::AtMost => "at most",
                Than::Equal => "just",
            };
            format!("{} is {than} {number}", sum(pack, total))
        }
        Condition::Status(names) => format!("the target is {}", or(names.iter().map(String::as_str).collect())),
    }
}

/// Whether a sum is the number of models and nothing else.
fn counts_models(sum: &Sum) -> bool {
    matches!(sum.0.as_slice(), [only] if !only.minus && matches!(only.source, Source::Models(_)))
}

/// The opposite of a condition in words.
fn denied(pack: &Pack, of: &Condition) -> String {
    let each =
        |parts: &[Condition], and: &str| parts.iter().map(|part| denied(pack, part)).collect::<Vec<_>>().join(and);
    match of {
        Condition::All(parts) => each(parts, " or "),
        Condition::Any(parts) => each(parts, " and "),
        Condition::Not(inner) => condition(pack, inner),
        Condition::Moved(moved) => condition(pack, &Condition::Moved(!moved)),
        Condition::Template(template) => condition(pack, &Condition::Template(!template)),
        Condition::Flag(flag, set) => condition(pack, &Condition::Flag(*flag, !set)),
        Condition::Status(_) | Condition::Compare(..) => format!("not ({})", condition(pack, of)),
        Condition::Is(..) => {
            let words = condition(pack, of).replacen(" is ", " is not ", 1);
            if words.contains(" or has ") {
                words.replacen(" or has ", " and does not have ", 1)
            } else {
                words.replacen(" has ", " does not have ", 1)
            }
        }
        Condition::Arc(_) | Condition::Range(_) | Condition::Cover(_) => {
            condition(pack, of).replacen(" is ", " is not ", 1)
        }
    }
}

fn label(pack: &Pack, word: Trait) -> &str {
    match word {
        Trait::Rule(at) => &pack.rules[at].named.label,
        Trait::Role(at) => &pack.roles[at].named.label,
        Trait::Kind(at) => &pack.kinds[at].named.label,
        Trait::Unit(at) => &pack.units[at].named.label,
        Trait::Weapon(at) => &pack.weapons[at].named.label,
    }
}
