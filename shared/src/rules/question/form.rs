//! What sort of sentence a question is: whether it wants a yes or a no, and of what.
use super::lexicon::{self, is_in};
use super::said::Reading;
use super::spots::Sort;

/// What sort of sentence it is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Form {
    /// It wants a yes or a no.
    pub yes_or_no: bool,
    /// It asks whether something is so in all cases.
    pub always: bool,
    /// It asks for something that makes it better for whoever rolls.
    pub better: bool,
    /// It asks for something that makes it worse for whoever rolls.
    pub worse: bool,
    /// It asks for something that takes a roll away.
    pub defeats: bool,
    /// It asks whether what is named first is taken away: `are the flags cancelled by fog`, `does fog stop the flags`.
    pub taken_away: bool,
    /// It asks whether something may be used.
    pub uses: bool,
    /// It asks whether a number is just the one that is needed: `only if there are ten`.
    pub just: bool,
    /// It asks whether somebody has a rule: `is the lighter low on the water`.
    pub has: bool,
    /// It asks whether something may be done.
    pub may: bool,
    /// It claims that something is done twice.
    pub twice: bool,
    /// It may ask what a word means.
    pub meaning: bool,
    /// All of the table is known.
    pub exact: bool,
}

/// Runs of words that ask for a yes or a no wherever they stand.
const PHRASES: &[&[&str]] = &[
    &["any", "good"],
    &["any", "use"],
    &["of", "use"],
    &["do", "anything"],
    &["do", "i"],
    &["do", "u"],
    &["do", "you"],
    &["do", "they"],
    &["doe", "it"],
    &["can", "i"],
    &["can", "u"],
    &["can", "you"],
    &["can", "it"],
    &["can", "they"],
    &["is", "it"],
    &["is", "that"],
    &["or", "not"],
    &["or", "nah"],
    &["or", "no"],
];
/// Polite beginnings: what is asked comes behind them.
const COURTESY: &[&str] =
    &["tell", "remind", "confirm", "explain", "say", "show", "let", "know", "check", "clarify", "ask"];

impl Form {
    /// Of a question.
    pub fn of(reading: &Reading) -> Self {
        let has = |list: &[&str]| {
            reading.words.iter().zip(&reading.taken).any(|(word, taken)| !*taken && is_in(list, &word.plain))
        };
        let run = |words: &[&str]| {
            (0..reading.words.len())
                .any(|at| words.iter().enumerate().all(|(next, word)| reading.word(at + next) == *word))
        };
        let round =
            |at: usize| matches!(reading.word(at), "get" | "got" | "gets" | "goe" | "go" | "goes" | "cut" | "cuts");
        let defeats = reading.words.iter().enumerate().any(|(at, word)| {
            let moves = matches!(word.plain.as_str(), "through" | "thru" | "round" | "around" | "past");
            !reading.taken[at] && is_in(lexicon::DEFEATS, &word.plain) && (!moves || (at > 0 && round(at - 1)))
        });
        Self {
            yes_or_no: is_yes_or_no(reading),
            always: has(lexicon::ALWAYS) && !run(&["at", "all"]) && !run(&["all", "turn"]) && !run(&["after", "all"]),
            better: has(lexicon::BETTER),
            worse: has(lexicon::WORSE),
            defeats,
            taken_away: is_taken_away(reading),
            // `of no use` asks for an effect.
            uses: has(lexicon::USES)
                && !run(&["no", "use"])
                && !run(&["any", "use"])
                && !run(&["of", "use"])
                && !run(&["little", "use"]),
            just: run(&["only", "if"])
                || run(&["only", "when"])
                || run(&["at", "least"])
                || run(&["or", "more"])
                || has(&["need", "needs"]),
            meaning: !has(&["which", "why", "rule"]),
            has: has_it(reading),
            may: (0..reading.words.len())
                .any(|at| is_in(&["can", "may", "could", "still", "allowed", "able"], reading.word(at)))
                && !has(&["apply", "work", "count", "matter", "forbid", "stop", "prevent", "act"]),
            twice: has(&["twice", "double", "doubles", "doubled"]) || instead_of_half(reading),
            exact: false,
        }
    }
}

/// Participles of what takes a rule away, behind its name.
const TAKEN_AWAY: &[&str] = &[
    "cancelled",
    "canceled",
    "stopped",
    "blocked",
    "negated",
    "hidden",
    "ignored",
    "removed",
    "denied",
    "prevented",
    "beaten",
    "cut",
    "ruled",
    "disabled",
    "lost",
    "useless",
    "worthless",
    "pointless",
    "spoiled",
    "spoilt",
    "blinded",
];
/// What the table may do to a rule.
const TAKES_AWAY: &[&str] = &[
    "cancel", "cancels", "stop", "stops", "block", "blocks", "negate", "negates", "obscure", "obscures", "deny",
    "denies", "prevent", "prevents", "disable", "disables", "remove", "removes", "kill", "kills", "ruin", "ruins",
    "spoil", "spoils",
];

/// Whether the question is if the table takes a rule away, and no other rule does.
fn is_taken_away(reading: &Reading) -> bool {
    let rules: Vec<_> = reading.spots.iter().filter(|spot| spot.sort == Sort::Rule).collect();
    let place = |spot: &&super::spots::Spot| matches!(spot.sort, Sort::Arc | Sort::Range | Sort::Cover | Sort::Flag);
    let [rule] = rules.as_slice() else { return false };
    // In the passive voice the rule comes first; in the active one the table does.
    let passive = (rule.to..reading.words.len()).find(|at| is_in(TAKEN_AWAY, reading.word(*at)));
    let by = passive.is_some_and(|at| {
        matches!(reading.word(at + 1), "by" | "in" | "when" | "if" | "at" | "from" | "out" | "with")
            && !reading.words[at].breaks
            && !reading.is_denied(at)
    });
    let active = (1..rule.from).find(|at| !reading.taken[*at] && is_in(TAKES_AWAY, reading.word(*at)));
    let by_table = active.is_some_and(|at| {
        let first = reading.spots.iter().filter(|spot| spot.to <= at).collect::<Vec<_>>();
        !first.is_empty() && first.iter().all(place) && reading.said.mentions.is_empty()
    });
    by || by_table
}

/// `4 attacks instead of 2`.
fn instead_of_half(reading: &Reading) -> bool {
    let number = |at: usize| reading.words.get(at).and_then(|word| word.number);
    (0..reading.words.len()).filter(|at| reading.word(*at) == "instead").any(|at| {
        let half = (at + 1..at + 4).find_map(number);
        let whole = (at.saturating_sub(6)..at).rev().find_map(number);
        half.zip(whole).is_some_and(|(half, whole)| whole == half.saturating_mul(2))
    })
}

/// Whether it asks who has a rule: a form of `to be` or `to have` with a unit right behind it.
fn has_it(reading: &Reading) -> bool {
    let has = reading.words.iter().any(|word| matches!(word.plain.as_str(), "have" | "ha" | "got" | "carry"));
    let subject = |at: usize| {
        reading.said.mentions.iter().any(|m| m.on_whom)
            && reading.spots.iter().any(|spot| spot.sort == Sort::Unit && (at + 1..at + 4).contains(&spot.from))
    };
    let is = (0..reading.words.len())
        .any(|at| matches!(reading.word(at), "is" | "are") && reading.words[at].breaks && subject(at));
    (is || has) && reading.said.mentions.iter().any(|mention| mention.on_whom)
}

/// Whether a question wants a yes or a no.
fn is_yes_or_no(reading: &Reading) -> bool {
    let count = reading.words.len();
    if alternative(reading) {
        return false;
    }
    let mut which = false;
    for start in (0..count).filter(|at| reading.words[*at].breaks) {
        let end = (start + 1..count).find(|at| reading.words[*at].breaks).unwrap_or(count);
        let Some(at) = (start..end).find(|at| !is_in(lexicon::LEADING, reading.word(*at))) else { continue };
        let word = reading.word(at);
        // `when there is fog, my shots are harder?` tells the case; `when is it harder` asks for one.
        let case = word == "when"
            && !matches!(
                reading.word(at + 1),
                "do" | "doe" | "did" | "is" | "are" | "can" | "will" | "must" | "should" | "would"
            );
        if is_in(lexicon::WHICH, word) && !case {
            which = true;
        } else if is_in(lexicon::ASKING, word) || lexicon::SURELY.contains(&word) {
            match courtesy(reading, at, count) {
                Some(wants) => return wants,
                None => return true,
            }
        } else if let Some(wants) = courtesy(reading, at, end) {
            return wants;
        }
    }
    if which {
        return false;
    }
    let says = reading.said.spoken != Default::default()
        || reading.said.moved.is_some()
        || reading.said.flags.iter().any(Option::is_some)
        || !reading.said.faces.is_empty()
        || !reading.said.counts.is_empty()
        || !reading.said.needs.is_empty()
        || !reading.said.statuses.is_empty()
        || (!reading.said.rules.is_empty() && !reading.said.mentions.is_empty());
    let phrase = |words: &&&[&str]| {
        (0..count).any(|at| words.iter().enumerate().all(|(next, word)| reading.word(at + next) == *word))
    };
    let last = reading.words.last().is_some_and(|word| is_in(lexicon::TAGS, &word.plain));
    let surely = reading.words.iter().any(|word| lexicon::SURELY.contains(&word.plain.as_str()));
    let verbs = ["work", "count", "apply", "help", "act", "matter", "stack", "get"];
    let verb = reading.words.iter().zip(&reading.taken).any(|(word, taken)| !*taken && is_in(&verbs, &word.plain));
    says || surely || (last && count > 2) || PHRASES.iter().any(|words| phrase(&words)) || (verb && count > 2)
}

/// What a polite beginning asks for: `could you tell me whether …`, `can you remind me what …`.
fn courtesy(reading: &Reading, at: usize, end: usize) -> Option<bool> {
    let polite = (at..end.min(at + 6)).find(|at| is_in(COURTESY, reading.word(*at)))?;
    (polite + 1..reading.words.len()).find_map(|at| match reading.word(at) {
        "whether" | "if" | "that" => Some(true),
        "tell" | "show" | "read" | "list" => None,
        word if is_in(lexicon::WHICH, word) => Some(false),
        _ => None,
    })
}

/// `all misses or just the 1s`, `8 or more than 8`: one of two, and neither yes nor no.
fn alternative(reading: &Reading) -> bool {
    (1..reading.words.len()).any(|at| {
        reading.word(at) == "or"
            && (matches!(reading.word(at + 1), "just" | "only" | "merely" | "is" | "doe")
                || (reading.word(at + 1) == "more" && reading.word(at + 2) == "than"))
    })
}
