//! Lines that name nothing of the book: a title, a greeting, a heading in somebody's own words.
use super::amount::digits;
use crate::rules::model::Pack;
use crate::rules::names::plain;

/// The longest line whose words are looked at.
const MOST_BYTES: usize = 600;

/// What such a line says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Remark {
    /// The points limit that it tells.
    pub(super) limit: Option<u32>,
    /// What it says that the list comes to.
    pub(super) total: Option<u32>,
    /// Whether it takes leave: nothing of the list comes after it.
    pub(super) leaves: bool,
}

/// Words of sentences, which no name of a unit is made of.
const SENTENCE: &[&str] = &[
    "i", "i'd", "i'll", "im", "i'm", "you", "me", "my", "we", "us", "our", "so", "for", "the", "is", "are", "this",
    "that", "see", "at", "as", "to", "list", "what", "whats", "want", "going", "think", "lol", "dont", "don't", "ok",
    "here", "taking", "added", "up", "if", "army", "roster", "player", "bring", "bringing", "friday", "saturday",
    "sunday", "please", "it", "but", "like", "says", "need", "more", "asked", "wanted", "has", "her", "his",
];
const GREETINGS: &[&str] = &["hi", "hey", "hello", "dear", "ok", "right"];
const LEAVES: &[&str] = &["regards", "kind", "cheers", "thanks", "thank", "yours", "see", "bye", "best"];
/// Words at the top of the columns of a table.
const COLUMNS: &[&str] = &[
    "unit",
    "units",
    "name",
    "names",
    "model",
    "models",
    "number",
    "no",
    "qty",
    "count",
    "size",
    "option",
    "options",
    "upgrade",
    "upgrades",
    "extra",
    "extras",
    "note",
    "notes",
    "points",
    "pts",
    "point",
    "cost",
    "costs",
    "price",
    "total",
    "role",
    "each",
    "n",
    "opts",
    "kit",
    "what",
    "amount",
    "quantity",
    "sum",
    "unit cost",
    "strength",
    "type",
];

/// What a line says that names no unit; `first` where nothing stands before it, `left` where leave was taken. Nothing where
/// it may be a unit that the book does not have.
pub(super) fn remark(pack: &Pack, text: &str, first: bool, left: bool) -> Option<Remark> {
    let words: Vec<String> = words(text);
    let any = |known: &[&str]| words.iter().any(|word| known.contains(&word.as_str()));
    // `546 pts of 600`, `749 (max 800)`
    let numbers: Vec<u32> =
        words.iter().filter_map(|word| digits(word.trim_end_matches(|c: char| c.is_alphabetic()))).collect();
    if let ([total, limit], true) = (
        numbers.get(..2).unwrap_or_default(),
        !first
            && any(&["points", "pts", "of", "max", "limit", "total", "game", "cap", "out", "spare", "unspent", "von"]),
    ) && *total >= 50
        && total <= limit
    {
        return Some(Remark { limit: Some(*limit), total: Some(*total), leaves: false });
    }
    // `757/800`
    if let (false, Some((total, limit))) = (first, text.trim().split_once('/'))
        && let (Some(total), Some(limit)) = (digits(total.trim()), digits(limit.trim()))
        && (50..=limit).contains(&total)
    {
        return Some(Remark { limit: Some(limit), total: Some(total), leaves: false });
    }
    let limit = limit(pack, &words);
    if limit.is_some() && (first || any(&["limit", "max", "size", "points", "pts", "pt", "agreed", "cap"])) {
        return Some(Remark { limit, ..Remark::default() });
    }
    let leaves = words.first().is_some_and(|word| LEAVES.contains(&word.as_str()));
    let greets = words.first().is_some_and(|word| GREETINGS.contains(&word.as_str()));
    if words.len() > 1 && words.iter().all(|word| COLUMNS.contains(&word.as_str())) {
        return Some(Remark::default());
    }
    let sentence = words.iter().filter(|word| SENTENCE.contains(&word.as_str())).count();
    let numbered = words.iter().any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    // `points left: 42`
    if words.len() <= 4 && any(&["left", "remaining", "spare"]) && any(&["points", "pts", "point"]) {
        return Some(Remark::default());
    }
    if numbered && (is_priced(text) || !(sentence >= 2 && words.len() >= 5)) {
        return None;
    }
    let trimmed = text.trim();
    let bracketed = trimmed.starts_with('(') && trimmed.ends_with(')');
    let is_sentence = sentence >= 2 || sentence * 3 >= words.len() && sentence > 0;
    (first && trimmed.ends_with(['!', ':', '?'])
        || left
        || bracketed
        || leaves
        || greets
        || is_sentence
        || is_of_role(pack, &words))
    .then_some(Remark { leaves, ..Remark::default() })
}

/// Whether a first line is a title in somebody's own words, though a unit may be named in it: `barge party!!`, `oxen list`.
pub(super) fn is_title(text: &str) -> bool {
    let words = words(text);
    let of_list = ["list", "army", "roster", "version", "draft", "v2", "v3"];
    let numbered = words.iter().any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    let titled = text.trim_end().ends_with('!') || words.iter().any(|word| of_list.contains(&word.as_str()));
    !numbered && words.len() > 1 && titled
}

/// Whether a line may be the heading of a role: a few words, no number but `3/5`.
pub(super) fn may_head(pack: &Pack, line: &str) -> bool {
    line.len() <= 60 && (0..pack.roles.len()).any(|role| heads(pack, line, role))
}

/// Whether all words of a line are words of this role's name: `Chosen` of Chosen Bands.
pub(super) fn heads(pack: &Pack, line: &str, role: usize) -> bool {
    let label = plain(&pack.roles[role].named.label);
    // `Chosen (94)`: what its units come to.
    let line = line
        .split_once('(')
        .filter(|(_, sum)| digits(sum.trim_end_matches([')', ' '])).is_some())
        .map_or(line, |(head, _)| head);
    let numbers = line.chars().filter(|c| c.is_ascii_digit()).count();
    let words: Vec<String> = words(line).into_iter().filter(|word| digits(word).is_none()).collect();
    let of_label = |word: &String| {
        ["the", "our", "my"].contains(&word.as_str()) || label.split(' ').any(|known| known == plain(word))
    };
    let counted = numbers == 0 || line.contains('/');
    counted && !words.is_empty() && words.iter().all(of_label) && words.iter().any(|word| plain(word) != "the")
}

/// Whether a line says that its number is a limit.
pub(super) fn says_limit(line: &str) -> bool {
    words(line)
        .iter()
        .any(|word| ["limit", "max", "cap", "game", "list", "up", "maximum", "at", "under"].contains(&word.as_str()))
}

/// Whether a first line is the name of the rules, perhaps with the word for a list.
pub(super) fn is_pack(pack: &Pack, text: &str) -> bool {
    let name = plain(&pack.named.label);
    let words = words(text);
    let of_name = |word: &&String| name.split(' ').any(|known| known == plain(word));
    let of_pack = words.iter().filter(of_name).count();
    let numbered = words.iter().any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    // `Floe Run, fast ice`
    if !numbered && words.iter().take(of_pack).filter(of_name).count() == name.split(' ').count() {
        return true;
    }
    let more = ["list", "army", "the", "my", "roster"];
    of_pack == name.split(' ').count()
        && words.iter().all(|word| more.contains(&word.as_str()) || name.split(' ').any(|known| known == plain(word)))
}

/// `no oxen, Lena took them`: what is not there.
pub(super) fn is_negated(text: &str) -> bool {
    let words = words(text);
    let numbered = words.iter().any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    words.len() > 1 && !numbered && words.first().is_some_and(|word| ["no", "not", "without"].contains(&word.as_str()))
}

/// Whether a line before all units is a sentence that somebody says: `My brother says I need more sledges`.
pub(super) fn is_sentence(text: &str) -> bool {
    let words = words(text);
    let numbered = words.iter().any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    let of_sentence = words.iter().filter(|word| SENTENCE.contains(&word.as_str())).count();
    let counted = words.iter().any(|word| super::tokens::number_word(word).is_some());
    !numbered && !counted && !text.contains(',') && words.len() >= 6 && of_sentence >= 2
}

/// Whether a line ends with a number right behind a sign, as what something costs does: `…, 210`, `… (85)`.
pub(super) fn is_priced(text: &str) -> bool {
    // `9 54 (to hold the bridge)`
    let worded = |text: &str| !text.contains(|c: char| c.is_ascii_digit());
    let own = text.trim_end().strip_suffix(')').and_then(|text| text.rsplit_once('('));
    let own = own.filter(|(own, said)| worded(said) && !worded(own)).map(|(own, _)| own.trim_end());
    if own.is_some_and(|own| own.ends_with(|c: char| c.is_ascii_digit())) {
        return true;
    }
    let text = text.trim_end().trim_end_matches([')', ']']).trim_end_matches(|c: char| c.is_alphabetic()).trim_end();
    let head = text.trim_end_matches(|c: char| c.is_ascii_digit());
    head.len() < text.len() && head.trim_end().ends_with([',', '-', '–', '—', '(', '[', '=', ':', '.'])
}

/// Whether a line has a number but that of a place: `Old Lock No. 4`.
pub(super) fn is_numbered(text: &str) -> bool {
    let words = words(text);
    let number = |word: &String| digits(word).is_some() || super::tokens::number_word(word).is_some();
    words
        .iter()
        .enumerate()
        .any(|(at, word)| number(word) && !(at > 0 && ["no", "no."].contains(&words[at - 1].as_str())))
        || words.iter().any(|word| digits(word).is_none() && word.contains(|c: char| c.is_ascii_digit()))
}

/// What follows `no` or `without`.
pub(super) fn negated(text: &str) -> Option<&str> {
    let (first, rest) = text.trim().split_once(' ')?;
    ["no", "without"].contains(&first.to_lowercase().as_str()).then_some(rest)
}

/// `still needs paint`, `glue is drying`: what is said of a unit, and nothing that it has.
pub(super) fn is_talk(text: &str) -> bool {
    const OF: &[&str] = &[
        "still", "needs", "need", "paint", "painted", "glue", "wip", "was", "be", "again", "drying", "done", "new",
        "old",
    ];
    let words = words(text);
    let numbered = words.iter().any(|word| word.starts_with(|c: char| c.is_ascii_digit()));
    words.len() > 1
        && !numbered
        && words.iter().any(|word| OF.contains(&word.as_str()) || SENTENCE.contains(&word.as_str()))
}

/// Whether a line is nothing but what stands above columns: `UNIT   QTY   COST`.
pub(super) fn is_columns(text: &str) -> bool {
    let words = words(text);
    words.len() > 1 && words.iter().all(|word| COLUMNS.contains(&word.as_str()))
}

/// Whether all words are words of one role: `HEAVY`, `light`.
fn is_of_role(pack: &Pack, words: &[String]) -> bool {
    let whole = |label: &str| {
        let label = plain(label);
        words.iter().all(|word| label.split(' ').any(|known| known == plain(word)))
    };
    !words.is_empty() && pack.roles.iter().any(|role| whole(&role.named.label))
}

/// `1000 points`, `limit 1000`, `max 500`, `1.5k`, `Sedge Moot 500`.
fn limit(pack: &Pack, words: &[String]) -> Option<u32> {
    let named = |word: &String| {
        let name = plain(&pack.named.label);
        name.split(' ').any(|known| known == plain(word))
    };
    let of_pack = words.iter().filter(|word| named(word)).count() >= plain(&pack.named.label).split(' ').count();
    words.iter().enumerate().find_map(|(at, word)| {
        let end = word.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(word.len());
        let (number, unit) = word.split_at(end);
        let thousands = unit == "k";
        let number = if thousands { (number.parse::<f64>().ok()? * 1_000.0) as u32 } else { digits(number)? };
        let next = words.get(at + 1).map_or("", String::as_str);
        let before = at.checked_sub(1).map_or("", |at| &words[at]);
        let points = ["points", "point", "pts", "pt", "p"];
        let told = thousands
            || points.contains(&unit)
            || points.contains(&next)
            || ["limit", "max", "@", "under", "below", "said", "cap", "agreed"].contains(&before)
            || ["limit", "max", "cap"].contains(&next)
            || of_pack
            || (!before.is_empty() && named(&before.to_owned()) && number >= 100)
            || (next == "to" && words.get(at + 2).is_some_and(|word| word == "spend"))
            || (next == "a" && words.get(at + 2).is_some_and(|word| word == "side"))
            || at.checked_sub(2).is_some_and(|at| ["under", "below", "within"].contains(&words[at].as_str()));
        (told && (50..=1_000_000).contains(&number)).then_some(number)
    })
}

pub(super) fn words(text: &str) -> Vec<String> {
    let inside = |c: char| c.is_alphanumeric() || matches!(c, '\'' | '@' | '.');
    let mut words: Vec<String> = Vec::new();
    if text.len() > MOST_BYTES {
        return words;
    }
    let mut glued = text.to_lowercase();
    // `1,000` is one number.
    while let Some(at) = glued.char_indices().zip(glued.chars().skip(1)).find_map(|((at, c), next)| {
        let before = glued[..at].chars().next_back();
        (c == ',' && next.is_ascii_digit() && before.is_some_and(|c| c.is_ascii_digit())).then_some(at)
    }) {
        glued.remove(at);
    }
    for word in glued.split(|c: char| !inside(c)).map(|word| word.trim_matches(['.', '\''])) {
        if !word.is_empty() {
            words.push(word.to_owned());
        }
    }
    words
}
