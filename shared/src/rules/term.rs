//! What a word of the pack means: a number, a roll, a chart, a test, a mark, an arc, a range, a cover; with the rules
//! that speak of it.
mod chart;
mod roll;

use super::describe;
use super::model::change::RollId;
use super::model::condition::Condition;
use super::model::situation::Word;
use super::model::stat::{Scope, Stat};
use super::model::{Named, Pack};
use super::question::{Reading, Sort, What, meets, statuses, topics, touched};

/// A word of the pack, and what it means.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Term {
    /// What sort of thing it is: `stat`, `chart` …
    pub sort: &'static str,
    /// As files have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// What the pack says of it.
    pub text: String,
    /// More about it, a line each.
    pub lines: Vec<String>,
    /// A table: its head, and rows as wide as that.
    pub table: Option<Table>,
    /// Rules that speak of it, by index.
    pub rules: Vec<usize>,
}

/// A table of words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Table {
    /// The head of each column.
    pub head: Vec<String>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
}

/// The term that a question asks for: what of the table is spoken of first, then rolls and numbers, then marks, and at
/// last the words that every pack has. Nothing where it names none.
pub fn asked(pack: &Pack, reading: &Reading) -> Option<Term> {
    let of = |sort: Sort| reading.spots.iter().find(|spot| spot.sort == sort).map(|spot| spot.at);
    let table = &pack.situations;
    let place = of(Sort::Cover).map(|at| cover(pack, at)).or_else(|| of(Sort::Flag).map(|at| flag(pack, at)));
    let spoken = || of(Sort::Topic).map(|at| topic(pack, topics(pack)[at].what));
    let rest = || {
        None.or_else(|| of(Sort::Status).map(|at| status(pack, statuses(pack)[at])))
            .or_else(|| {
                of(Sort::Arc).map(|at| {
                    word(
                        pack,
                        "arc",
                        &table.arcs[at],
                        Scope::Arc,
                        &|c| matches!(c, Condition::Arc(all) if all.contains(&at)),
                    )
                })
            })
            .or_else(|| of(Sort::Range).map(|at| range(pack, at)))
            .or_else(|| of(Sort::Kind).map(|at| kind(pack, at)))
    };
    place.or_else(spoken).or_else(rest).or_else(|| chart::engine(pack, reading))
}

/// What a cover is.
pub fn cover(pack: &Pack, at: usize) -> Term {
    let asks = |condition: &Condition| matches!(condition, Condition::Cover(all) if all.contains(&at));
    word(pack, "cover", &pack.situations.covers[at], Scope::Cover, &asks)
}

/// What a topic is.
pub fn topic(pack: &Pack, what: What) -> Term {
    let rolls = topics(pack).into_iter().find(|topic| topic.what == what).map(|topic| topic.rolls).unwrap_or_default();
    let term = match what {
        What::Stat(scope, at) => stat(pack, scope, at, &rolls),
        What::Step(at) => roll::step(pack, at),
        What::Choice(step, at) => roll::choice(pack, step, at),
        What::Ignore => roll::ignore(pack),
        What::Chart(at) => chart::chart(pack, at, &rolls),
        What::Breach(at) => chart::breach(pack, at),
        What::Check(at) => roll::check(pack, at),
        What::Aftermath(at) => roll::aftermath(pack, at),
        What::Repair => Term { sort: "repair", id: "repair".to_owned(), name: "repair".to_owned(), ..Term::default() },
    };
    Term { rules: touching(pack, &rolls), ..term }
}

/// Rules that change one of these rolls.
fn touching(pack: &Pack, rolls: &[RollId]) -> Vec<usize> {
    let touches = |at: &usize| {
        let own = pack.rules[*at].changes.iter().flat_map(touched);
        own.into_iter().any(|own| rolls.iter().any(|roll| meets(own, *roll)))
    };
    (0..pack.rules.len()).filter(touches).collect()
}

/// An ordinary word, such as `health`, as the club's stat of that name is written; the club's own word where no stat is.
pub(super) fn label_of(pack: &Pack, word: &'static str) -> String {
    let own = pack.word(word);
    let stat = pack.stats.of(Scope::Unit).iter().find(|stat| stat.id == own);
    stat.map_or_else(|| own.to_owned(), |stat| stat.label.clone())
}

fn of_named(sort: &'static str, named: &Named) -> Term {
    Term { sort, id: named.id.clone(), name: named.label.clone(), text: named.text.clone(), ..Term::default() }
}

fn stat(pack: &Pack, scope: Scope, at: usize, rolls: &[RollId]) -> Term {
    let stat = &pack.stats.of(scope)[at];
    let whose = match scope {
        Scope::Unit | Scope::Target => "units",
        Scope::Weapon => "weapons",
        Scope::Range => "ranges",
        Scope::Cover => "covers",
        Scope::Arc => "arcs",
    };
    let kinds: Vec<&str> = stat.kinds.iter().map(|kind| pack.kinds[*kind].named.label.as_str()).collect();
    let mut lines = vec![if kinds.is_empty() {
        format!("a number of {whose}")
    } else {
        format!("a number of {whose}: {}", kinds.join(", "))
    }];
    let mut names: Vec<String> = rolls.iter().map(|roll| describe::roll_name(pack, *roll)).collect();
    names.dedup();
    if !names.is_empty() {
        lines.push(format!("used for: {}", names.join(", ")));
    }
    if let Some(default) = stat.default {
        let default = stat.write(default);
        lines.push(format!(
            "unless a unit or weapon says otherwise: {}",
            if default == "never" { "none" } else { &default }
        ));
    }
    Term {
        sort: "stat",
        id: stat.id.clone(),
        name: stat.label.clone(),
        text: stat.text.clone(),
        lines,
        ..Term::default()
    }
}

/// The numbers that a word of the table has.
fn numbers(pack: &Pack, word: &Word, scope: Scope) -> Vec<String> {
    let of = |(at, stat): (usize, &Stat)| {
        let value = match word.profile.get(at)?.as_ref()? {
            super::model::stat::StatValue::One(value) => *value,
            super::model::stat::StatValue::Each(_) => return None,
        };
        Some(format!("{} {}: {}", stat.label, stat.write(value), stat.text))
    };
    pack.stats.of(scope).iter().enumerate().filter_map(of).collect()
}

fn word(pack: &Pack, sort: &'static str, word: &Word, scope: Scope, asks: &dyn Fn(&Condition) -> bool) -> Term {
    Term { lines: numbers(pack, word, scope), rules: asking(pack, asks), ..of_named(sort, &word.named) }
}

fn range(pack: &Pack, at: usize) -> Term {
    let table = &pack.situations;
    let band = &table.ranges[at];
    let reach = match band.to {
        Some(to) => format!("{} to {to} inches", table.from(at)),
        None => format!("{} inches and more", table.from(at)),
    };
    let term =
        word(pack, "range", &band.word, Scope::Range, &|c| matches!(c, Condition::Range(all) if all.contains(&at)));
    Term { lines: std::iter::once(reach).chain(term.lines.clone()).collect(), ..term }
}

fn flag(pack: &Pack, at: usize) -> Term {
    let rules = asking(pack, &|condition| matches!(condition, Condition::Flag(flag, _) if *flag == at));
    Term { rules, ..of_named("flag", &pack.situations.flags[at]) }
}

fn kind(pack: &Pack, at: usize) -> Term {
    let kind = &pack.kinds[at];
    let units: Vec<&str> =
        pack.units.iter().filter(|unit| unit.kind == at).map(|unit| unit.named.label.as_str()).collect();
    let loses = if kind.body.is_armoured() { pack.word("structure") } else { pack.word("health") };
    let lines = vec![format!("units: {}", units.join(", ")), format!("an attack takes {loses} from it")];
    Term { lines, ..of_named("kind", &kind.named) }
}

fn status(pack: &Pack, name: &str) -> Term {
    let mut lines = Vec::new();
    for breach in &pack.breaches {
        for row in breach.rows.iter().filter(|row| row.status.as_deref() == Some(name)) {
            lines.push(format!("{}: from a result of {}", breach.named.label, row.at_least));
        }
    }
    let rules = asking(
        pack,
        &|condition| matches!(condition, Condition::Status(names) if names.iter().any(|other| other == name)),
    );
    Term { sort: "mark", id: name.to_owned(), name: name.to_owned(), lines, rules, ..Term::default() }
}

/// Rules with such a condition.
fn asking(pack: &Pack, asks: &dyn Fn(&Condition) -> bool) -> Vec<usize> {
    fn within(condition: &Condition, asks: &dyn Fn(&Condition) -> bool) -> bool {
        match condition {
            Condition::All(parts) | Condition::Any(parts) => parts.iter().any(|part| within(part, asks)),
            Condition::Not(inner) => within(inner, asks),
            other => asks(other),
        }
    }
    let asks = |at: &usize| {
        let rule = &pack.rules[*at];
        std::iter::once(&rule.when).chain(rule.changes.iter().map(|change| &change.when)).any(|when| within(when, asks))
    };
    (0..pack.rules.len()).filter(asks).collect()
}
