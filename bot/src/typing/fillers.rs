//! Words that carry nothing by themselves, and numbers written as words.
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// Words that may stand anywhere and are never reported as not understood.
pub static FILLERS: LazyLock<BTreeSet<&'static str>> = LazyLock::new(|| {
    "a about actually all am an and any anyone are as at bad be been but by can chance chances could do does even \
     ever every exactly for from get gets getting give given go going good guys had has have he hello her hey hi his \
     how i if in into is it its just lets like likelihood likely make makes making many may me might mine more much \
     my now odd odds of off ok on one only or our out over please possible probability probably quick really roll \
     rolled rolling rolls said say see shall she should show so some still tell than thanks that the their them \
     then there these they thing this those to up us use want wants was we well were what whats when which while \
     who will with would yes you your"
        .split(' ')
        .collect()
});

/// Whether a word carries nothing by itself.
pub fn is_filler(word: &str) -> bool {
    FILLERS.contains(word)
}

/// The number that a word is.
pub fn number_word(word: &str) -> Option<u64> {
    Some(match word {
        "zero" => 0,
        "one" => 1,
        "two" | "couple" | "pair" => 2,
        "three" => 3,
        "four" => 4,
        "five" => 5,
        "six" => 6,
        "seven" => 7,
        "eight" => 8,
        "nine" => 9,
        "ten" => 10,
        "eleven" => 11,
        "twelve" | "dozen" => 12,
        "fifteen" => 15,
        "twenty" => 20,
        "thirty" => 30,
        "fifty" => 50,
        "hundred" => 100,
        _ => return None,
    })
}

/// The face that a plural is: `ones`, `sixes`.
pub fn face_word(word: &str) -> Option<u64> {
    Some(match word {
        "ones" => 1,
        "twos" => 2,
        "threes" => 3,
        "fours" => 4,
        "fives" => 5,
        "sixes" => 6,
        "sevens" => 7,
        "eights" => 8,
        "nines" => 9,
        "tens" => 10,
        _ => return None,
    })
}

/// How often a word says.
pub fn times_word(word: &str) -> Option<u64> {
    Some(match word {
        "once" => 1,
        "twice" | "both" => 2,
        "thrice" => 3,
        _ => return None,
    })
}

/// The words that phrases are made of; known to the spelling, though no command lists them.
pub static PHRASE_WORDS: LazyLock<BTreeSet<&'static str>> = LazyLock::new(|| {
    "above against always atleast auto automatic automatically below best better critical criticals dice die fail \
     failed failing fails failure failures fewer higher highest inch inches keep keeping least less lower lowest \
     maximum minimum miss missed misses most natural need needed needing needs never no non not pass passes pct \
     percent percentage plus re reroll rerolled rerolling rerolls rr success successes time times top under v \
     versus vs without worst"
        .split(' ')
        .collect()
});

/// A word without the ending of a plural.
pub fn singular(word: &str) -> &str {
    let stem = if let Some(stem) = word.strip_suffix("sses").filter(|stem| stem.len() > 1) {
        &word[..stem.len() + 2]
    } else if word.len() > 4 && ["ches", "shes", "xes", "zes"].iter().any(|end| word.ends_with(end)) {
        &word[..word.len() - 2]
    } else if word.len() > 3 && word.ends_with('s') && !["ss", "us", "is"].iter().any(|end| word.ends_with(end)) {
        &word[..word.len() - 1]
    } else {
        word
    };
    stem.strip_suffix("ie").filter(|short| short.len() > 2).map_or(stem, |_| stem)
}
