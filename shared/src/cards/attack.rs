//! The card of an attack: the same for plain numbers and for units of a book.
use super::words::{Written, is_penetration, need_words};
use super::{Card, Chart, Step, Who};
use crate::report::saying::{
    difference, equal_to, mean, mean_of, often, percent, proven, sentence, short, unproven, verb,
};
use crate::wire::amount::AttacksForm;
use crate::wire::chain::{ChainForm, VolleyForm};
use crate::wire::matchup::RuleNotes;
use crate::wire::notes::{Label, Notes};
use crate::wire::odds::{OddsAnswer, StepOdds};
use crate::wire::step::{ByForm, StepForm};
use crate::wire::summary::Summary;

/// An attack as a card speaks of it.
#[derive(Clone, Copy, Debug)]
pub struct Attack<'a> {
    /// Who attacks.
    pub who: &'a Who,
    /// Who is attacked.
    pub whom: &'a str,
    /// The plain numbers.
    pub chain: &'a ChainForm,
    /// The steps as a person wrote them, where one did.
    pub written: &'a [Written<'a>],
    /// The rules that acted.
    pub rules: &'a RuleNotes,
    /// Whether what comes through is the question: no target was named.
    pub counts_through: bool,
    /// Of a target whose whole units are counted: what its models are called.
    pub crew_of: Option<&'a str>,
}

impl Attack<'_> {
    fn who(&self) -> String {
        sentence(&self.who.name)
    }

    fn verb(&self, base: &str) -> String {
        verb(base, self.who.many)
    }
}

/// The card of an attack: headline, numbers, steps and chart.
pub fn attack_card(attack: &Attack<'_>, answer: &OddsAnswer) -> Card {
    let mut card = Card::default();
    if let Some(structure) = &answer.structure {
        armoured(&mut card, attack, answer, structure);
    } else if let Some(through) = Some(&answer.through).filter(|_| attack.counts_through) {
        counted(&mut card, attack, through);
    } else if let Some(models) = &answer.models {
        soldiers(&mut card, attack, answer, models);
    }
    if let Some(backfires) = answer.backfires.as_ref().filter(|backfires| backfires.expected > 0.0) {
        card.line("backfires", format!("{} on average", mean(backfires.expected)));
    }
    // What can't happen has no row.
    for (name, chance) in answer.aftermath.iter().flatten().filter(|(_, chance)| chance.chance > 0.0) {
        card.line(name.clone(), percent(unproven(chance.chance)));
    }
    card.steps = steps(attack, answer);
    card
}

fn armoured(card: &mut Card, attack: &Attack<'_>, answer: &OddsAnswer, structure: &Summary) {
    let left = structure.highest();
    let units = attack.chain.target.units.unwrap_or(1);
    let destroyed = answer.all_gone();
    let (who, wreck) = (attack.who(), attack.verb("wreck"));
    let it = if attack.who.many { "they take off" } else { "it takes off" };
    card.headline = match &answer.wrecked {
        _ if structure.expected <= 0.0 => format!("{who} can't hurt {}.", attack.whom),
        Some(wrecked) if units > 1 => {
            let all = if destroyed <= 0.0 {
                "but can't wreck them all".to_owned()
            } else {
                format!("and all of them {}", often(destroyed))
            };
            if wrecked.expected <= 0.0 {
                let lost = mean(structure.expected);
                format!("{who} can't wreck any of {} in one go; {it} {lost} structure on average.", attack.whom)
            } else {
                format!("{who} {wreck} {} of {} on average, {all}.", mean(wrecked.expected), attack.whom)
            }
        }
        _ if destroyed <= 0.0 => format!(
            "{who} can't wreck {} in one go; {it} {} structure on average.",
            attack.whom,
            mean(structure.expected)
        ),
        _ => format!("{who} {wreck} {} {}.", attack.whom, often(destroyed)),
    };
    if let Some(fraction) = short(answer.destroyed.fraction.as_deref()) {
        card.line("wrecked", format!("{} = {fraction}", percent(destroyed)));
    }
    card.line("structure lost", format!("{} on average", mean(structure.expected)));
    card.line("at least 1 lost", percent(structure.at_least(1)));
    if left > 2 {
        card.line("at least 2 lost", percent(structure.at_least(2)));
    }
    let mut statuses: Vec<_> = answer.statuses.iter().flatten().filter(|(_, chance)| chance.chance > 0.0).collect();
    statuses.sort_by(|a, b| b.1.chance.total_cmp(&a.1.chance));
    for (status, chance) in statuses.into_iter().take(3) {
        card.line(status.clone(), percent(unproven(chance.chance)));
    }
    card.chart =
        (structure.expected > 0.0).then(|| Chart::of("structure lost", structure, |lost| lost == left && left > 0));
}

fn counted(card: &mut Card, attack: &Attack<'_>, through: &Summary) {
    let highest = through.highest();
    let middle = through.median().max(1);
    let (who, get) = (attack.who(), attack.verb("get"));
    card.headline = match highest {
        0 => format!("{who} can't get anything through."),
        1 => format!("{who} {get} through {}.", often(through.at_least(1))),
        _ => format!(
            "{who} {get} {} through on average; {middle} or more {}.",
            mean(through.expected),
            often(through.at_least(middle))
        ),
    };
    card.line("at least 1", percent(through.at_least(1)));
    card.line("average", format!("{} give or take {}", mean(through.expected), mean(through.deviation)));
    card.chart = Some(Chart::of("attacks that come through", through, |value| value >= middle));
}

fn soldiers(card: &mut Card, attack: &Attack<'_>, answer: &OddsAnswer, models: &Summary) {
    let all = attack.chain.target.models.map(u64::from).or_else(|| groups(attack.chain));
    let all = all.unwrap_or_else(|| models.highest());
    let one = all == 1;
    let destroyed = answer.all_gone();
    let health = answer.health_lost.as_ref().map_or(0.0, |health| health.expected);
    let (who, take) = (attack.who(), attack.verb("take"));
    card.headline = if health <= 0.0 && models.expected <= 0.0 {
        format!("{who} can't hurt {}.", attack.whom)
    } else if models.expected <= 0.0 {
        let it = if attack.who.many { "they take off" } else { "it takes off" };
        format!("{who} can't take out even one of {}; {it} {} health on average.", attack.whom, mean(health))
    } else if one {
        format!("{who} {take} out {} {}.", attack.whom, often(destroyed))
    } else {
        let counted = mean_of(models.expected, all, models.is_sure());
        let many = match attack.crew_of {
            // Of a target that has no name but its models, these are told and nothing else.
            Some(models) if attack.whom == "the target" => {
                format!("{who} {take} out {counted} of the {all} {models} on average")
            }
            Some(models) => format!("{who} {take} out {counted} of the {all} {models} of {} on average", attack.whom),
            None => format!("{who} {take} out {counted} of {} on average", attack.whom),
        };
        if destroyed <= 0.0 {
            format!("{many}, but can't take out all of them.")
        } else {
            format!("{many}, and all of them {}.", often(destroyed))
        }
    };
    if one && models.expected <= 0.0 {
        card.headline = card.headline.replacen("even one of ", "", 1);
    }
    card.line(if one { "taken out" } else { "at least 1 model" }, percent(models.at_least(1)));
    if !one {
        let middle = models.median().max(2).min(all);
        let label = match middle {
            2 if all == 2 => "both".to_owned(),
            all_of if all_of == all => format!("all {all}"),
            middle => format!("{middle} or more"),
        };
        card.line(label, percent(models.at_least(middle)));
    }
    // Where each has one point, those lost are told already.
    if let Some(health) = answer.health_lost.as_ref().filter(|_| most_health(attack.chain) > 1) {
        card.line("health lost", format!("{} on average", mean(health.expected)));
    }
    card.chart = Some(Chart::of("models lost", models, |lost| lost >= all));
}

/// The models of a target of unlike ones.
fn groups(chain: &ChainForm) -> Option<u64> {
    Some(chain.target.groups.as_ref()?.iter().map(|group| u64::from(group.models)).sum())
}

/// The points of health of the target's toughest model.
fn most_health(chain: &ChainForm) -> u32 {
    let groups = chain.target.groups.iter().flatten().filter_map(|group| group.health);
    groups.chain(chain.target.health).max().unwrap_or(1)
}

/// One weapon of a chain, however the chain is written.
struct Weapon<'a> {
    label: Option<&'a Label>,
    attacks: Option<&'a AttacksForm>,
    gated: bool,
    steps: &'a [StepForm],
    because: Option<&'a Notes>,
}

impl<'a> Weapon<'a> {
    /// All of a chain, in order.
    fn all(chain: &'a ChainForm) -> Vec<Self> {
        let flat = || Self {
            label: chain.label.as_ref(),
            attacks: chain.attacks.as_ref(),
            gated: chain.gate.is_some(),
            steps: chain.steps.as_deref().unwrap_or_default(),
            because: chain.because.as_ref(),
        };
        let one = |volley: &'a VolleyForm| Self {
            label: volley.label.as_ref(),
            attacks: volley.attacks.as_ref(),
            gated: volley.gate.is_some(),
            steps: volley.steps.as_deref().unwrap_or_default(),
            because: volley.because.as_ref(),
        };
        chain.volleys.as_ref().map_or_else(|| vec![flat()], |volleys| volleys.iter().map(one).collect())
    }

    /// Whether the number of its attacks is certain.
    fn is_fixed(&self) -> bool {
        !self.gated && self.attacks.is_none_or(AttacksForm::is_fixed)
    }
}

/// Each step with its need, its chance, and what made it so.
fn steps(attack: &Attack<'_>, answer: &OddsAnswer) -> Vec<Step> {
    let weapons = Weapon::all(attack.chain);
    let mut told: Vec<Step> = Vec::new();
    let mut answers = answer.steps.iter();
    for weapon in &weapons {
        let whose = weapon.label.filter(|_| weapons.len() > 1);
        for (place, step) in weapon.steps.iter().enumerate() {
            let answer_of = answers.next();
            // Where nothing is needed, or nothing helps, nothing is rolled.
            let text = match step.needs.map(|needs| needs.to_string()).as_deref() {
                Some("never") => "no roll".to_owned(),
                Some("auto") => "no roll needed".to_owned(),
                _ => {
                    let likely = answer_of.map(|one| chance(step, one, place == 0 && weapon.is_fixed()));
                    let written = attack.written.get(place).copied().unwrap_or_default();
                    format!("{}{}", need_words(step, written), likely.unwrap_or_default())
                }
            };
            told.push(Step {
                name: whose.map_or_else(|| step.name.clone(), |whose| format!("{}, {}", whose.0, step.name)),
                text,
                because: reasons(step.because.as_ref(), attack.rules),
            });
        }
    }
    let target = &attack.chain.target;
    let ignore = target.ignore.as_ref().and_then(|ignore| ignore.because.as_ref());
    let parts = weapons.iter().map(|weapon| weapon.because).chain([target.because.as_ref(), ignore]);
    let also: Vec<String> = parts.flat_map(|part| reasons(part, attack.rules)).collect();
    if !also.is_empty() {
        told.push(Step { name: "also".into(), text: String::new(), because: also });
    }
    told
}

/// How likely a step is, with the fraction, and how often it is rolled; `fixed` says that this number is certain.
fn chance(step: &StepForm, answer: &StepOdds, fixed: bool) -> String {
    let rolls = match (answer.reached, mean(answer.reached)) {
        (reached, _) if reached <= 0.0 => "no roll".to_owned(),
        (_, number) if fixed => format!("{number} {}", if number == "1" { "roll" } else { "rolls" }),
        (_, number) => format!("{number} {} on average", if number == "1" { "roll" } else { "rolls" }),
    };
    format!(": {}, {rolls}", likely(step, answer))
}

/// How likely a step is. A chance is the attacker's: the defender's rolls are told as they fail.
fn likely(step: &StepForm, answer: &StepOdds) -> String {
    let said =
        |chance: f64, fraction: Option<&str>| format!("{}{}", percent(proven(chance, fraction)), equal_to(fraction));
    let (defends, pierces) = (step.by == Some(ByForm::Defender), is_penetration(step));
    let fraction = answer.fraction.as_str();
    match fraction {
        "1" if defends => return "can't stop it".to_owned(),
        "1" if !pierces => return "can't fail".to_owned(),
        "0" if defends => return "always stops it".to_owned(),
        "0" => return if pierces { "can't get through" } else { "can't succeed" }.to_owned(),
        _ => {}
    }
    let whole = said(answer.chance, Some(fraction));
    if defends {
        return format!("fails {whole}");
    }
    if !pierces {
        return whole;
    }
    let Some(equals) = answer.equals.as_ref().filter(|equals| equals.chance > 0.0) else {
        return if fraction == "1" {
            "always gets through".to_owned()
        } else if answer.equals.is_some() {
            format!("beats it {whole}")
        } else {
            format!("equals or beats it {whole}")
        };
    };
    let beats = equals.fraction.as_deref().and_then(|less| difference(fraction, less));
    let beats = match beats.as_deref() {
        Some("0") => "can't beat it".to_owned(),
        beats => format!("beats it {}", said(answer.chance - equals.chance, beats)),
    };
    let grazes = step.graze.as_ref().and_then(|graze| graze.structure.as_ref());
    let effect = match grazes.filter(|structure| structure.number() != Some(0)) {
        None => "no effect".to_owned(),
        Some(structure) => format!("takes {structure} off"),
    };
    format!("{beats}, equals it {} ({effect})", said(equals.chance, equals.fraction.as_deref()))
}

/// The rules that made a part of a chain what it is.
fn reasons(notes: Option<&Notes>, rules: &RuleNotes) -> Vec<String> {
    let notes = notes.into_iter().flat_map(|notes| &notes.0);
    let reasons = notes.map(|reason| {
        let known = rules.acted.iter().find(|note| note.id == reason.rule);
        let name = known.map_or_else(|| sentence(&reason.rule.replace('-', " ")), |note| note.rule.clone());
        format!("{name}: {}", reason.effect)
    });
    reasons.collect()
}
