//! What an answer says in one to three plain sentences, and what is wrong with a question.
use pipwright_shared::report::saying::{count, grouped, mean, often, percent, unproven};
use serde_json::{Map, Value};

/// The headline numbers of a tool's answer.
pub(super) fn answer(tool: &str, answer: &Map<String, Value>) -> String {
    let of = |name: &str| answer.get(name).unwrap_or(&Value::Null);
    let said = match tool {
        "matchup" | "odds" => attack(&of),
        "check" => check(&of),
        "repair" => repair(&of),
        "needed" => needed(&of),
        "duel" => duel(&of),
        "luck" => luck(&of),
        "list_points" => list(&of),
        "build" => build(&of),
        "assign" => text(of("sentence")),
        "rule" => rule(&of),
        "units" => names("unit", "units", of("units")),
        "packs" => names("pack", "packs", of("packs")),
        _ => String::new(),
    };
    if said.is_empty() { "The numbers are in the structured answer.".to_owned() } else { said }
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_default()
}

fn chance(value: &Value) -> f64 {
    unproven(number(value))
}

fn attack<'a>(of: &impl Fn(&str) -> &'a Value) -> String {
    let expected = |name: &str| of(name)["expected"].as_f64().map(mean);
    let parts: Vec<String> = [
        expected("models").map(|models| format!("{models} models removed")),
        expected("health_lost").map(|lost| format!("{lost} points of health lost")),
        expected("structure").map(|lost| format!("{lost} points of structure lost")),
        expected("wrecked").map(|units| format!("{units} units destroyed")),
    ]
    .into_iter()
    .flatten()
    .collect();
    let through = expected("through").map(|through| format!("{through} successes past all steps"));
    let average = if parts.is_empty() { through.into_iter().collect() } else { parts };
    let left = of("destroyed")["chance"].as_f64().map(|gone| percent(unproven(gone)));
    let end = left.map_or_else(String::new, |gone| format!(" The chance that nothing is left of the target: {gone}."));
    format!("On average: {}.{end}", average.join(", "))
}

fn check<'a>(of: &impl Fn(&str) -> &'a Value) -> String {
    let mut said = String::new();
    if of("chance").is_number() {
        said = format!("Each roll passes {}.", often(chance(of("chance"))));
    }
    if of("passes")["expected"].is_number() {
        let passes = mean(number(&of("passes")["expected"]));
        said = format!("{said} On average {passes} pass.").trim_start().to_owned();
    }
    if of("any")["chance"].is_number() {
        said = format!("{said} At least one passes {}.", often(chance(&of("any")["chance"])));
    }
    said
}

fn repair<'a>(of: &impl Fn(&str) -> &'a Value) -> String {
    let turns = of("turns").as_array().map_or(0, Vec::len) as u64;
    let restored = mean(number(&of("restored")["expected"]));
    let gone = percent(chance(&of("destroyed")["chance"]));
    format!(
        "In {} {restored} points are repaired on average. The chance that the unit is destroyed by then: {gone}.",
        count(turns, "turn", "turns")
    )
}

fn needed<'a>(of: &impl Fn(&str) -> &'a Value) -> String {
    if of("harmless") == &Value::Bool(true) {
        return "No number of attackers can take anything from the target.".to_owned();
    }
    for (name, one, many) in [("attackers", "attacker", "attackers"), ("tries", "try", "tries")] {
        if let Some(enough) = of(name).as_u64() {
            let mut said = format!("{} do it {}.", count(enough, one, many), often(chance(of("chance"))));
            if let Some(fewer) = of("below")[name].as_u64() {
                let below = often(chance(&of("below")["chance"]));
                said.push_str(&format!(" {} {below}.", count(fewer, one, many)));
            }
            return said;
        }
    }
    "No number that was looked at reaches it.".to_owned()
}

fn duel<'a>(of: &impl Fn(&str) -> &'a Value) -> String {
    let turns = of("turns").as_array().map(Vec::as_slice).unwrap_or_default();
    let Some(last) = turns.last() else { return String::new() };
    let after = count(number(&last["turn"]) as u64, "turn", "turns");
    let [a, b, both] = ["a_destroyed", "b_destroyed", "both_standing"].map(|name| percent(chance(&last[name])));
    format!("After {after}: side a is destroyed in {a} of games and side b in {b}; both stand in {both}.")
}

fn luck<'a>(of: &impl Fn(&str) -> &'a Value) -> String {
    let whole = text(of("sentence"));
    let sums = of("sums").as_array().into_iter().flatten().map(|sum| text(&sum["sentence"]));
    if whole.is_empty() { sums.take(3).collect::<Vec<_>>().join(" ") } else { whole }
}

fn points(value: &Value) -> String {
    grouped(number(value))
}

fn list<'a>(of: &impl Fn(&str) -> &'a Value) -> String {
    let (total, limit) = (points(of("total")), points(of("limit")));
    let legal = if of("legal") == &Value::Bool(true) { "It is legal." } else { "It is not legal" };
    let problems = problems(of("problems"));
    let end = if problems.is_empty() { String::new() } else { format!(": {problems}.") };
    format!("The list costs {total} of {limit} points. {legal}{end}")
}

fn problems(value: &Value) -> String {
    let all = value.as_array().map(Vec::as_slice).unwrap_or_default();
    let first = all.first().map(|problem| text(&problem["text"])).unwrap_or_default();
    match all.len() {
        0 | 1 => first,
        many => format!("{first}; and {} more", many - 1),
    }
}

fn build<'a>(of: &impl Fn(&str) -> &'a Value) -> String {
    let Some(best) = of("plans").as_array().and_then(|plans| plans.first()) else {
        return format!("There is no legal list: {}.", problems(of("problems")));
    };
    let lines = text(&best["text"]).replace('\n', "; ");
    format!(
        "The best list for {} points costs {}: {lines}. {}",
        points(of("limit")),
        points(&best["total"]),
        text(&best["sentence"])
    )
}

fn rule<'a>(of: &impl Fn(&str) -> &'a Value) -> String {
    match of("asked")["sentence"].as_str() {
        Some(sentence) => sentence.to_owned(),
        None => format!("{}: {}", text(of("name")), text(of("text"))),
    }
}

fn names(one: &str, many: &str, all: &Value) -> String {
    let all = all.as_array().map(Vec::as_slice).unwrap_or_default();
    let first: Vec<&str> = all.iter().filter_map(|each| each["name"].as_str()).take(12).collect();
    let more = if all.len() > first.len() { " and more" } else { "" };
    format!("{}: {}{more}.", count(all.len() as u64, one, many), first.join(", "))
}

/// What is wrong and where, with all mistakes.
pub(super) fn problem(problem: &Value) -> String {
    let Some(title) = problem["title"].as_str() else {
        return "The service did not answer in a form that can be read.".to_owned();
    };
    match problem["errors"].as_array() {
        Some(errors) => errors.iter().fold(format!("{title}:"), |said, error| format!("{said}\n- {}", mistake(error))),
        None => format!("{title}. {}", mistake(problem)),
    }
}

fn mistake(error: &Value) -> String {
    let at = error["pointer"].as_str().filter(|at| !at.is_empty());
    let at = at.map_or_else(String::new, |at| format!("At {at}: "));
    let detail = error["detail"].as_str().unwrap_or_default();
    let near: Vec<&str> = error["did_you_mean"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    let mut said = format!("{at}{detail}");
    if !said.ends_with(['.', '?', '!']) {
        said.push('.');
    }
    if !near.is_empty() && !detail.contains("did you mean") {
        said.push_str(&format!(" Did you mean {}?", near.join(" or ")));
    }
    // An assistant may write a number as people say it.
    if detail.contains("type: string") && detail.contains("number") {
        said.push_str(" Numbers are written in digits, without quotes.");
    }
    said
}
