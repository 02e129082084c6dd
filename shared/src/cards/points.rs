//! The card of a list: what it costs, and what breaks which limit.
use super::Card;
use crate::report::saying::{count, either, full_stop, listed, one, plural, small};
use crate::wire::list_points::{BuyForm, LineSum, ListAnswer, ListProblem};
use crate::wire::packs::PackAnswer;

/// The card of a list.
pub fn card(names: &PackAnswer, answer: &ListAnswer) -> Card {
    let mut card = Card::default();
    let (total, limit) = (count(answer.total, "point", "points"), answer.limit);
    let sum = if answer.left < 0 {
        format!("{total}, {} over the limit of {limit}", -answer.left)
    } else {
        format!("{total} of {limit}, {} left", answer.left)
    };
    // What another mend mends too is nothing more to fix.
    let open = answer.problems.iter().filter(|problem| !is_mended_too(problem)).count();
    let wrong = count(open as u64, "thing", "things");
    card.headline = match answer.left < 0 {
        _ if answer.legal => format!("{sum}: legal."),
        true => format!("{sum}: not legal, {wrong} to fix."),
        false => format!("{sum}, but not legal: {wrong} to fix."),
    };
    card.text = told(&answer.problems);
    for line in &answer.lines {
        card.line(line.points.to_string(), written(names, line));
    }
    let remarks = answer.headings.iter().filter(|heading| {
        let text = heading.text.to_lowercase();
        !names.roles.iter().any(|role| text.contains(&role.name.to_lowercase()))
    });
    let remarks: Vec<String> = remarks.map(|heading| format!("“{}”", heading.text)).collect();
    if !remarks.is_empty() {
        card.notes.push(format!("Read as titles or remarks, not as units: {}.", listed(&remarks)));
    }
    // A list that is not legal is mended first.
    let buys: Vec<String> = answer.buys.iter().filter(|_| answer.legal).map(bought).take(3).collect();
    if !buys.is_empty() {
        let left = count(answer.left.unsigned_abs(), "point", "points");
        card.notes.push(format!("With the {left} left you could add {}.", either(&buys)));
    }
    card
}

/// Whether what mends other limits mends this one as well.
fn is_mended_too(problem: &ListProblem) -> bool {
    problem.mend.starts_with("what mends ")
}

/// A line for each broken limit; units that cost too much by themselves share one.
fn told(problems: &[ListProblem]) -> Vec<String> {
    let dear: Vec<&ListProblem> = problems.iter().filter(|problem| problem.code == "unit-share").collect();
    let merged = too_dear(&dear);
    let mut all: Vec<String> = Vec::new();
    for (at, problem) in problems.iter().enumerate() {
        if problem.code == "unit-share"
            && let Some(merged) = &merged
        {
            if std::ptr::eq(problem, dear[0]) {
                all.push(merged.clone());
            }
            continue;
        }
        // How far the list is over its limit is the headline.
        if problem.code == "over-points" {
            if !is_mended_too(problem) {
                all.push(format!("- Over the limit: {}.", problem.mend.trim_end_matches('.')));
            }
            continue;
        }
        // A role is at fault, and none of its lines more than another.
        let role = problem.code.starts_with("role-");
        let line = problem.line.filter(|_| !role).map_or_else(String::new, |line| format!("line {line}: "));
        // What mends several is said with the last of them.
        let mend = |problem: &ListProblem| problem.mend.trim_end_matches(", as above").to_owned();
        let again = problems[at + 1..]
            .iter()
            .any(|other| mend(other) == mend(problem) && other.code != "over-points" && !is_mended_too(other));
        let mend = if again { String::new() } else { format!(" {}", full_stop(&mend(problem))) };
        all.push(format!("- {line}{}{mend}", full_stop(&problem.text)));
    }
    all
}

/// Several units that cost too much: `A unit may cost at most 40% of 500 (200): …`; nothing for one.
fn too_dear(dear: &[&ListProblem]) -> Option<String> {
    let parts: Vec<(&str, &str, &str)> = dear
        .iter()
        .filter_map(|problem| {
            let (name, rest) = problem.text.split_once(" costs ")?;
            let (points, bound) = rest.split_once(", ")?;
            Some((name, points, bound))
        })
        .collect();
    if dear.len() < 2 || parts.len() < dear.len() {
        return None;
    }
    let each = dear.iter().zip(&parts).map(|(problem, (name, points, _))| {
        let line = problem.line.map_or_else(String::new, |line| format!(" on line {line}"));
        format!("{name}{line} ({points})")
    });
    let each = listed(&each.collect::<Vec<_>>());
    let mends: Vec<&str> = dear.iter().map(|problem| problem.mend.as_str()).collect();
    let goes = ["drop the ", "drop both ", "drop all "];
    let mend = match (mends.iter().all(|mend| goes.iter().any(|how| mend.starts_with(how))), mends.len()) {
        (true, 2) => "Both have to go.".to_owned(),
        (true, number) => format!("All {} have to go.", small(number as u64)),
        (false, _) => mends.iter().map(|mend| full_stop(mend)).collect::<Vec<_>>().join(" "),
    };
    let bound = parts[0].2.trim_start_matches("more than ");
    Some(format!("- A unit may cost at most {bound}: {each} cost more. {mend}"))
}

/// `3 Ram Barges`, `5 Quay Rifles + marksman`, `2 units of 10 Dyke Hands`.
fn written(names: &PackAnswer, line: &LineSum) -> String {
    let (name, count, models) = (&line.name, line.count, line.models);
    let mut words = match names.unit_called(name) {
        Some(unit) if count == 1 => names.counting(unit).named(models),
        // Where each is one, or a whole crew, so many of them are counted.
        Some(unit) if unit.least == unit.most => names.counting(unit).digits(models.saturating_mul(count)),
        Some(unit) => format!("{count} units of {}", names.counting(unit).digits(models)),
        None if count == 1 => name.to_owned(),
        None => format!("{count} {}", plural(name)),
    };
    for option in &line.options {
        words.push_str(&match option.times {
            0 | 1 => format!(" + {}", option.name),
            times => format!(" + {times} {}", plural(&option.name)),
        });
    }
    if count > 1 && words.contains(" + ") {
        words.push_str(" each");
    }
    words
}

/// `a Heron Carriage (265)`, `4 Tally Hands (76)`.
fn bought(buy: &BuyForm) -> String {
    let points = buy.points;
    let what = buy.text.trim_end_matches(&format!(" at {points}"));
    let counted = what.starts_with(|c: char| c.is_ascii_digit()) || what.starts_with("one ");
    let what = if counted { what.to_owned() } else { one(what) };
    format!("{what} ({points})")
}
