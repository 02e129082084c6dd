//! The card of a rule: what it says, what it changes in numbers, and yes or no to a question about it.
use super::{Card, Step};
use crate::report::saying::{agreeing, apart, full_stop, listed, means_apart, proven, sentence, short, small, verb};
use crate::wire::packs::{NameForm, PackAnswer, UnitHead};
use crate::wire::rule::{AskedAnswer, RuleAnswer, RuleNumbers};
use crate::wire::summary::Chance;
use std::collections::BTreeSet;

/// The card of a rule; `ask` are the words that asked for it.
pub fn card(answer: &RuleAnswer, ask: &str) -> Card {
    let headline = match &answer.asked {
        None if answer.rule.text.is_empty() => format!("{}.", sentence(&answer.rule.name)),
        None => format!("{}: {}", sentence(&answer.rule.name), full_stop(&answer.rule.text)),
        Some(asked) => {
            let except: Vec<String> = asked.except.iter().map(|weapon| weapon.name.clone()).collect();
            let except = if except.is_empty() { String::new() } else { format!(", except the {}", listed(&except)) };
            let denied = is_denied(ask);
            let word = match (asked.answer, denied) {
                (AskedAnswer::Yes, false) => "Yes",
                (AskedAnswer::Yes, true) => "Yes, after all",
                (AskedAnswer::No, false) => "No",
                (AskedAnswer::No, true) => "No, you're right",
                (AskedAnswer::Depends, _) => "It depends",
            };
            // The rule's name stands there once.
            let because = asked.because.strip_prefix("it ").map(|rest| agreeing(&answer.rule.name, rest));
            full_stop(&format!("{word}{except}: {}", because.unwrap_or_else(|| asked.because.clone())))
        }
    };
    let mut card = Card { headline, ..Card::default() };
    if let Some(asked) = answer.asked.as_ref().filter(|asked| !asked.understood.is_empty()) {
        let own = |said: &&String| !said.eq_ignore_ascii_case(&answer.rule.name);
        let said: Vec<&str> = asked.understood.iter().filter(own).map(String::as_str).collect();
        card.read_as = if said.is_empty() {
            answer.rule.name.clone()
        } else {
            format!("{}: {}", answer.rule.name, said.join(", "))
        };
    }
    if answer.asked.is_some() && !answer.rule.text.is_empty() {
        card.text.push(answer.rule.text.clone());
    }
    // What has no text of its own is told by what is known of it.
    if answer.rule.text.is_empty() && answer.table.is_none() {
        card.text.extend(answer.rule.does.iter().take(8).map(|line| full_stop(&sentence(line))));
    }
    if let Some(table) = &answer.table {
        for row in std::iter::once(&table.head).chain(&table.rows) {
            if let [first, rest @ ..] = row.as_slice() {
                card.line(first.clone(), rest.join(", "));
            }
        }
    }
    // Where the answer is no, what the rule does elsewhere is another question.
    let no = answer.asked.as_ref().is_some_and(|asked| asked.answer == AskedAnswer::No);
    let example = answer.example.as_ref().filter(|_| !no);
    let rows = example.map(|example| compared(&example.with, &example.without)).unwrap_or_default();
    if let Some(example) = example.filter(|_| !rows.is_empty()) {
        card.text.push(format!("For example {}:", example.text));
        rows.into_iter().for_each(|(label, value)| card.line(label, value));
    }
    // The rows of a table stand above; of a rule with a text, only what the text does not say in so many words.
    let in_table = |line: &str| answer.table.iter().flat_map(|table| &table.rows).any(|row| line == row_line(row));
    let told = answer.rule.does.iter().filter(|line| !in_table(line));
    let because: Vec<String> = if answer.table.is_some() {
        told.filter(|line| line.contains(": ") && answer.others.iter().any(|rule| line.starts_with(&rule.name)))
            .cloned()
            .collect()
    } else if answer.asked.is_some() && !answer.rule.text.is_empty() {
        Vec::new()
    } else {
        told.filter(|line| says_more(line, &answer.rule.text)).map(|line| sentence(line)).collect()
    };
    let name = if answer.table.is_some() { "rules that change the roll" } else { "what it changes" };
    if !because.is_empty() {
        card.steps.push(Step { name: name.into(), text: String::new(), because });
    }
    if let Some(example) = example.filter(|example| !example.because.is_empty()) {
        let because = example.because.iter().map(|line| sentence(line)).collect();
        card.steps.push(Step { name: "in the example".into(), text: String::new(), because });
    }
    let names = |list: &[NameForm]| list.iter().map(|one| one.name.clone()).collect::<Vec<_>>();
    for (what, list) in
        [("Units with it", &answer.units), ("Weapons with it", &answer.weapons), ("Can take it", &answer.options)]
    {
        if !list.is_empty() {
            card.notes.push(format!("{what}: {}.", listed(&names(list))));
        }
    }
    if answer.example.is_none() && !answer.asked_by.is_empty() {
        let others = names(&answer.asked_by);
        let depend = verb("depend", others.len() != 1);
        card.notes.push(format!("It changes no roll by itself; {} {depend} on it.", listed(&others)));
    }
    for other in answer.others.iter().take(3) {
        card.follow_up(other.name.clone(), format!("/rule {}", other.name));
    }
    card
}

/// Who has the rule comes first, then what it does.
pub fn lead_with_who(card: &mut Card, names: &PackAnswer, answer: &RuleAnswer) {
    if answer.asked.is_some() {
        return;
    }
    let listed_the =
        |list: &[NameForm]| listed(&list.iter().map(|one| format!("the {}", one.name)).collect::<Vec<_>>());
    let several = |list: &[NameForm]| {
        list.len() > 1 || list.iter().any(|one| names.unit_called(&one.name).is_some_and(UnitHead::counts_as_many))
    };
    let mut parts: Vec<String> = Vec::new();
    for (list, verb_of) in [(&answer.units, "have"), (&answer.weapons, "carry"), (&answer.options, "can take")] {
        if !list.is_empty() {
            let verb = match verb_of {
                "carry" if !several(list) => "carries".to_owned(),
                "have" => verb("have", several(list)),
                other => other.to_owned(),
            };
            parts.push(format!("{} {verb} it", listed_the(list)));
        }
    }
    if parts.is_empty() {
        return;
    }
    card.headline = format!("{}: {}.", sentence(&answer.rule.name), parts.join("; "));
    if !answer.rule.text.is_empty() {
        card.text.insert(0, full_stop(&answer.rule.text));
    }
    card.notes
        .retain(|note| !["Units with it", "Weapons with it", "Can take it"].iter().any(|says| note.starts_with(says)));
}

/// Whether a rule is denied and not asked about: `skirts do not count from the front`.
fn is_denied(said: &str) -> bool {
    const ASKS: &[&str] =
        &["do", "does", "did", "can", "could", "will", "would", "is", "are", "has", "have", "should", "may"];
    const DENIES: &[&str] = &["not", "never", "cannot"];
    let words: Vec<String> = said.split_whitespace().map(|word| word.to_lowercase().replace('\u{2019}', "'")).collect();
    let asks = said.contains('?') || words.first().is_some_and(|word| ASKS.contains(&word.trim_end_matches("n't")));
    let denies = |word: &String| {
        let word = word.trim_matches(|c: char| !c.is_alphanumeric() && c != '\'');
        DENIES.contains(&word) || word.ends_with("n't")
    };
    !asks && words.iter().any(denies)
}

/// Whether a line has a number that the text does not have, in digits or in words.
fn says_more(line: &str, text: &str) -> bool {
    let text = text.to_lowercase();
    let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).collect();
    let mut numbers = line.split(|c: char| !c.is_ascii_digit()).filter_map(|digits| digits.parse::<u64>().ok());
    text.is_empty()
        || numbers
            .any(|number| !words.contains(&small(number).as_str()) && !words.contains(&number.to_string().as_str()))
}

/// A row of a table, as it stands among what a word does.
fn row_line(row: &[String]) -> String {
    match row {
        [first, rest @ ..] => format!("{first}: {}", rest.join(", ")),
        [] => String::new(),
    }
}

/// With the rule and without it, as far as the two differ.
fn compared(with: &RuleNumbers, without: &RuleNumbers) -> Vec<(String, String)> {
    let mut lines = Vec::new();
    let mut add = |label: &str, [with, without]: [String; 2]| {
        if with != without {
            lines.push((label.to_owned(), format!("{with} with it, {without} without")));
        }
    };
    // Nobody cares by how much two chances differ that are next to none.
    let tiny = |one: &Option<Chance>| one.as_ref().is_some_and(|one| one.chance > 0.0 && one.chance < 1e-4);
    // Both are held against each other, and unlike ones are told apart.
    let said = |with: &Option<Chance>, without: &Option<Chance>| {
        let both = [with, without].map(|one| one.as_ref());
        if tiny(with) && tiny(without) {
            return [String::new(), String::new()];
        }
        let known: Vec<f64> = both.iter().flatten().map(|one| proven(one.chance, one.fraction.as_deref())).collect();
        let mut percents = apart(&known).into_iter();
        both.map(|one| {
            let Some(one) = one else { return "none".to_owned() };
            let percent = percents.next().unwrap_or_default();
            match short(one.fraction.as_deref()) {
                Some(fraction) => format!("{percent} ({fraction})"),
                None => percent,
            }
        })
    };
    let average = |with: Option<f64>, without: Option<f64>| {
        let said = means_apart(&[with.unwrap_or_default(), without.unwrap_or_default()]);
        [said[0].clone(), said[1].clone()]
    };
    if with.chance.is_some() {
        add("one roll", said(&with.chance, &without.chance));
        return lines;
    }
    if with.structure.is_some() || without.structure.is_some() {
        add("structure lost", average(with.structure, without.structure));
        add("wrecked", said(&with.destroyed, &without.destroyed));
    } else {
        add("models lost", average(with.models, without.models));
        add("wiped out", said(&with.destroyed, &without.destroyed));
    }
    add("backfires", average(with.backfires, without.backfires));
    let effects: BTreeSet<&String> = with.aftermath.keys().chain(without.aftermath.keys()).collect();
    for effect in effects {
        add(effect, said(&with.aftermath.get(effect).cloned(), &without.aftermath.get(effect).cloned()));
    }
    lines
}
