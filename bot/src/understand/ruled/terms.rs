//! Rolls that a pack makes afterwards, by their names alone; and what a unit may take.
use super::super::reading::Told;

/// Effects that a rule has, of what one side does or is.
pub(super) const EFFECTS: &[&str] = &[
    "worse",
    "better",
    "sooner",
    "earlier",
    "scared",
    "frightened",
    "penalised",
    "penalized",
    "harder",
    "easier",
    "mess",
    "messes",
    "cancel",
    "cancels",
    "cancelled",
    "double",
    "doubled",
    "twice",
    "more",
    "less",
    "bonus",
    "penalty",
    "spoil",
    "spoils",
    "help",
    "helps",
    "hinder",
    "hinders",
    "hamper",
    "hampers",
    "affect",
    "affects",
    "aim",
    "goes",
    "bite",
    "bites",
    "ignore",
    "ignores",
    "blocks",
    "block",
    "stop",
    "stops",
    "anything",
    "matter",
    "matters",
    "difference",
    "count",
    "counts",
    "apply",
    "applies",
];

/// `wavering`, `what is a rout`, `over the side`: a roll that is made afterwards, by its name and nothing else.
pub(super) fn afterwards(told: &Told<'_>) -> bool {
    const ASKS: &[&str] = &[
        "what", "whats", "is", "are", "a", "an", "the", "does", "do", "mean", "means", "explain", "rule", "happens",
        "when", "how", "work", "works",
    ];
    let message = told.message;
    let sides = |at: usize| told.battle.fighters().any(|side| (side.start..side.end()).contains(&at));
    let words: Vec<&str> = (0..message.tokens.len())
        .filter(|at| !message.is_end(*at) && !sides(*at))
        .map(|at| message.word(at))
        .filter(|word| !ASKS.contains(word))
        .collect();
    let counted = told.battle.fighters().any(|side| side.count.is_some());
    told.fighters() <= 1 && !counted && !words.is_empty() && names_afterwards(told, &words)
}

/// Whether these words are the name of a roll that is made afterwards.
pub fn names_afterwards(told: &Told<'_>, words: &[&str]) -> bool {
    let name = |term: &pipwright_shared::wire::packs::TermForm| {
        let own = crate::client::index::name_words(&term.name);
        let own: Vec<&str> =
            own.iter().map(String::as_str).filter(|word| !matches!(*word, "a" | "an" | "the")).collect();
        own == words
    };
    told.index().terms.iter().any(|term| term.sort == "aftermath" && name(term))
}

/// `can a whaleback take a second deck gun and an oil thrower`: what may be had together.
pub(super) fn may_take(told: &Told<'_>) -> bool {
    let message = told.message;
    let can = (0..2).any(|at| message.any(at, &["can", "may", "could"]));
    let takes = (0..message.tokens.len()).any(|at| message.any(at, &["take", "have", "carry", "buy"]));
    let had = told.battle.fighters().any(|side| !side.options.is_empty() && side.count.is_none_or(|count| count == 1));
    can && takes && had && told.fighters() == 1 && told.battle.table.is_empty() && told.battle.amounts.is_empty()
}

/// Whether a word that nothing else explains stands in what a rule of the pack says.
pub(super) fn of_text(told: &Told<'_>) -> bool {
    let message = told.message;
    let plain = |at: &usize| {
        let token = &message.tokens[*at];
        token.word.len() >= 5
            && !told.battle.used[*at]
            && token.classes.is_empty()
            && !message.mentions.iter().any(|one| one.at <= *at && *at < one.at + one.len)
    };
    let words: Vec<&str> = (0..message.tokens.len()).filter(plain).filter_map(|at| message.word(at).get(..5)).collect();
    !words.is_empty()
        && told.index().terms.iter().filter(|term| term.sort == "rule").any(|term| {
            let text = term.text.to_lowercase();
            text.split(|c: char| !c.is_alphanumeric()).any(|word| words.iter().any(|stem| word.starts_with(stem)))
        })
}

/// A question without what a relative clause between two commas adds to a name: `the call, which is for folk near by, …`.
pub(super) fn without_asides(text: &str) -> String {
    let Some((before, rest)) = text.split_once(", which ").or_else(|| text.split_once(", who ")) else {
        return text.to_owned();
    };
    match rest.split_once(", ") {
        Some((_, after)) if !before.is_empty() => format!("{before} {after}"),
        _ => text.to_owned(),
    }
}
