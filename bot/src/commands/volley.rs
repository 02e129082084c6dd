//! The card of an attack: the same for plain numbers and for units of a book.
use super::who::Who;
use crate::card::{Card, Chart, Step};
use crate::client::answers::{OddsAnswer, Rules, StepAnswer, Summary};
use crate::saying::{
    difference, equal_to, mean, mean_of, needed, often, percent, proven, reroll, sentence, short, unproven, verb,
};
use serde_json::Value as Json;

/// An attack as a card speaks of it.
#[derive(Clone, Copy, Debug)]
pub struct Attack<'a> {
    /// Who attacks.
    pub who: &'a Who,
    /// Who is attacked.
    pub whom: &'a str,
    /// The plain numbers.
    pub chain: &'a Json,
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
    } else if let Some(through) = answer.through.as_ref().filter(|_| attack.counts_through) {
        counted(&mut card, attack, through);
    } else if let Some(models) = &answer.models {
        soldiers(&mut card, attack, answer, models);
    }
    if let Some(backfires) = answer.backfires.as_ref().filter(|backfires| backfires.expected > 0.0) {
        card.line("backfires", format!("{} on average", mean(backfires.expected)));
    }
    // What can't happen has no row.
    for (name, chance) in answer.aftermath.iter().filter(|(_, chance)| chance.chance > 0.0) {
        card.line(name.clone(), percent(unproven(chance.chance)));
    }
    card.steps = steps(attack.chain, answer);
    card
}

fn armoured(card: &mut Card, attack: &Attack<'_>, answer: &OddsAnswer, structure: &Summary) {
    let left = structure.distribution.last().map_or(0, |row| row.value);
    let units = attack.chain["target"]["units"].as_u64().unwrap_or(1);
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
    let mut statuses: Vec<_> = answer.statuses.iter().filter(|(_, chance)| chance.chance > 0.0).collect();
    statuses.sort_by(|a, b| b.1.chance.total_cmp(&a.1.chance));
    for (status, chance) in statuses.into_iter().take(3) {
        card.line(status.clone(), percent(unproven(chance.chance)));
    }
    card.chart =
        (structure.expected > 0.0).then(|| Chart::of("structure lost", structure, |lost| lost == left && left > 0));
}

fn counted(card: &mut Card, attack: &Attack<'_>, through: &Summary) {
    let highest = through.distribution.last().map_or(0, |row| row.value);
    let middle = median(through).max(1);
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
    let all = attack.chain["target"]["models"].as_u64().or_else(|| groups(attack.chain));
    let all = all.unwrap_or_else(|| models.distribution.last().map_or(0, |row| row.value));
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
        let middle = median(models).max(2).min(all);
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
fn groups(chain: &Json) -> Option<u64> {
    let groups = chain["target"]["groups"].as_array()?;
    Some(groups.iter().filter_map(|group| group["models"].as_u64()).sum())
}

/// The points of health of the target's toughest model.
fn most_health(chain: &Json) -> u64 {
    let target = &chain["target"];
    let groups = target["groups"].as_array().into_iter().flatten();
    groups.chain([target]).filter_map(|group| group["health"].as_u64()).max().unwrap_or(1)
}

/// The largest value that is reached at least half of the time.
fn median(summary: &Summary) -> u64 {
    summary.distribution.iter().rev().find(|row| row.at_least >= 0.5).map_or(0, |row| row.value)
}

/// Each step with its need, its chance, and what made it so.
fn steps(chain: &Json, answer: &OddsAnswer) -> Vec<Step> {
    let volleys: Vec<&Json> =
        chain["volleys"].as_array().map_or_else(|| vec![chain], |volleys| volleys.iter().collect());
    let mut told: Vec<Step> = Vec::new();
    let mut answers = answer.steps.iter();
    for volley in &volleys {
        let whose = volley["label"].as_str().filter(|_| volleys.len() > 1);
        for (place, step) in volley["steps"].as_array().into_iter().flatten().enumerate() {
            let name = step["name"].as_str().unwrap_or_default();
            let answer_of = answers.next();
            // Where nothing is needed, or nothing helps, nothing is rolled.
            let text = match step["needs"].as_str() {
                Some("never") => "no roll".to_owned(),
                Some("auto") => "no roll needed".to_owned(),
                _ => {
                    let likely = answer_of.map(|one| chance(step, one, place == 0 && is_fixed(volley)));
                    format!("{}{}", need_words(step), likely.unwrap_or_default())
                }
            };
            told.push(Step {
                name: whose.map_or_else(|| name.to_owned(), |whose| format!("{whose}, {name}")),
                text,
                because: reasons(step, &answer.rules),
            });
        }
    }
    let parts = volleys.iter().copied().chain([&chain["target"], &chain["target"]["ignore"]]);
    let also: Vec<String> = parts.flat_map(|part| reasons(part, &answer.rules)).collect();
    if !also.is_empty() {
        told.push(Step { name: "also".into(), text: String::new(), because: also });
    }
    told
}

/// How likely a step is, with the fraction, and how often it is rolled; `fixed` says that this number is certain.
fn chance(step: &Json, answer: &StepAnswer, fixed: bool) -> String {
    let rolls = match (answer.reached, mean(answer.reached)) {
        (reached, _) if reached <= 0.0 => "no roll".to_owned(),
        (_, number) if fixed => format!("{number} {}", if number == "1" { "roll" } else { "rolls" }),
        (_, number) => format!("{number} {} on average", if number == "1" { "roll" } else { "rolls" }),
    };
    format!(": {}, {rolls}", likely(step, answer))
}

/// How likely a step is. A chance is the attacker's: the defender's rolls are told as they fail.
fn likely(step: &Json, answer: &StepAnswer) -> String {
    let said =
        |chance: f64, fraction: Option<&str>| format!("{}{}", percent(proven(chance, fraction)), equal_to(fraction));
    let (defends, pierces) = (step["by"] == "defender", step["kind"] == "penetrate");
    match answer.fraction.as_deref() {
        Some("1") if defends => return "can't stop it".to_owned(),
        Some("1") if !pierces => return "can't fail".to_owned(),
        Some("0") if defends => return "always stops it".to_owned(),
        Some("0") => return if pierces { "can't get through" } else { "can't succeed" }.to_owned(),
        _ => {}
    }
    let whole = said(answer.chance, answer.fraction.as_deref());
    if defends {
        return format!("fails {whole}");
    }
    if !pierces {
        return whole;
    }
    let Some(equals) = answer.equals.as_ref().filter(|equals| equals.chance > 0.0) else {
        return if answer.fraction.as_deref() == Some("1") {
            "always gets through".to_owned()
        } else if answer.equals.is_some() {
            format!("beats it {whole}")
        } else {
            format!("equals or beats it {whole}")
        };
    };
    let beats =
        answer.fraction.as_deref().zip(equals.fraction.as_deref()).and_then(|(all, less)| difference(all, less));
    let beats = match beats.as_deref() {
        Some("0") => "can't beat it".to_owned(),
        beats => format!("beats it {}", said(answer.chance - equals.chance, beats)),
    };
    let effect = match &step["graze"]["structure"] {
        Json::Null => "no effect".to_owned(),
        none if *none == 0 || *none == "0" => "no effect".to_owned(),
        some => format!("takes {} off", plain(some)),
    };
    format!("{beats}, equals it {} ({effect})", said(equals.chance, equals.fraction.as_deref()))
}

/// Whether the number of a volley's attacks is certain.
fn is_fixed(volley: &Json) -> bool {
    let attacks = &volley["attacks"];
    let number =
        attacks.is_null() || attacks.is_u64() || attacks.as_str().is_some_and(|text| text.parse::<u64>().is_ok());
    number && volley["gate"].is_null()
}

/// The rules that made a part of a chain what it is.
fn reasons(part: &Json, rules: &Rules) -> Vec<String> {
    let reason = |reason: &Json| {
        let (id, effect) = (reason["rule"].as_str()?, reason["effect"].as_str()?);
        let known = rules.acted.iter().find(|note| note.id == id);
        let name = known.map_or_else(|| sentence(&id.replace('-', " ")), |note| note.rule.clone());
        Some(format!("{name}: {effect}"))
    };
    part["because"].as_array().into_iter().flatten().filter_map(reason).collect()
}

/// A step in words: `hit 3+, re-rolling ones`.
pub fn step_words(step: &Json) -> String {
    format!("{} {}", step["name"].as_str().unwrap_or_default(), need_words(step))
}

fn need_words(step: &Json) -> String {
    let text = |value: &Json| value.as_str().map_or_else(|| value.to_string(), str::to_owned);
    let mut words = if step["kind"] == "penetrate" {
        let dice = step.get("dice").map_or_else(|| "1d6".to_owned(), text);
        let add = step["add"].as_i64().filter(|add| *add != 0).map_or_else(String::new, |add| format!("{add:+}"));
        let bonus = step["critical"].get("add").map(|bonus| (text(bonus), text(&step["critical"]["on"])));
        let bonus = bonus.map_or_else(String::new, |(bonus, on)| format!(", +{bonus} on a {on}"));
        format!("{dice}{add} against {}{bonus}", text(&step["against"]))
    } else if let Some(versus) = step.get("versus") {
        format!("{} against {}", pool_words(step), pool_words(versus))
    } else {
        step.get("needs").map_or_else(String::new, |needs| needed(&text(needs)))
    };
    let apart = step.get("versus").is_none() && step["needs"] != "never" && step["needs"] != "auto";
    if let Some(modifier) = step["modifier"].as_i64().filter(|modifier| *modifier != 0 && apart) {
        words.push_str(&format!(" at {modifier:+}"));
    }
    if let Some(what) = step["reroll"].as_str().filter(|what| *what != "none") {
        words.push_str(", ");
        words.push_str(reroll(what, step["needs"].as_str()));
    }
    if let Some(on) = step["critical"]["on"].as_u64().filter(|_| step["kind"] != "penetrate") {
        words.push_str(&format!(", critical on {on}{}", gain_words(&step["critical"])));
    }
    for (at, row) in step["margin"].as_array().into_iter().flatten().enumerate() {
        let win = if at == 0 { "win by" } else { "by" };
        words.push_str(&format!(", {win} {}{}", plain(&row["at_least"]), gain_words(row)));
    }
    words
}

fn plain(value: &Json) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

/// The dice of one side of an opposed roll: `the highest of 2d10+3`.
fn pool_words(side: &Json) -> String {
    let dice = match (side.get("dice"), side["die"].as_u64()) {
        (Some(dice), _) => plain(dice),
        (None, die) => format!("1d{}", die.unwrap_or(6)),
    };
    let add = side["modifier"].as_i64().filter(|add| *add != 0).map_or_else(String::new, |add| format!("{add:+}"));
    let keeps = |which: &str| match side["keep"][which].as_u64()? {
        1 => Some(format!("the {which} of ")),
        count => Some(format!("the {which} {count} of ")),
    };
    let keep = keeps("highest").or_else(|| keeps("lowest")).unwrap_or_default();
    format!("{keep}{dice}{add}")
}

/// What a critical or a margin gives: ` (1 more)`, ` (+2 damage and -2 to save)`.
fn gain_words(gain: &Json) -> String {
    let extra = gain.get("extra").map(|extra| format!("{} more", plain(extra)));
    let damage = gain.get("damage").map(|damage| format!("+{} damage", plain(damage)));
    let then = gain["then"].as_object().into_iter().flatten().flat_map(|(step, change)| {
        let number = |key: &str| change[key].as_i64();
        let plus = |key: &str| change[key]["plus"].as_i64().filter(|plus| *plus != 0);
        let needs = change["needs"].as_str().map(|needs| format!("{step} {}", needed(needs)));
        let harder =
            plus("needs").map(|by| format!("{step} needs {} {}", by.abs(), if by > 0 { "more" } else { "less" }));
        let set = number("modifier").map(|by| format!("{step} at {by:+}"));
        let set = set.or_else(|| number("add").map(|by| format!("{step} with {by:+}")));
        let more = plus("modifier").or(plus("add")).map(|by| format!("{by:+} to {step}"));
        let against = number("against").map(|against| format!("{step} against {against}"));
        let armour =
            plus("against").map(|by| format!("{step} against {} {}", by.abs(), if by > 0 { "more" } else { "less" }));
        [needs, harder, set, more, against, armour].into_iter().flatten()
    });
    let gains: Vec<String> = extra.into_iter().chain(damage).chain(then).collect();
    if gains.is_empty() { String::new() } else { format!(" ({})", gains.join(" and ")) }
}
