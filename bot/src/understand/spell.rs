//! Slips of the pen: only words that are neither English nor known, and only towards names and words of the trade.
use super::lexicon::Lexicon;
use super::names::{Names, letters};
use crate::typing::fillers::{face_word, number_word, times_word};
use pipwright_shared::english::is_word;
use std::borrow::Cow;
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// What a word is taken for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Spelt {
    /// It is known as it stands.
    Known,
    /// It is no word that anybody knows.
    Unknown,
    /// It is taken for this one.
    As(String),
    /// It may be any of these.
    Unclear(Vec<String>),
}

/// The trade's words that are long enough to be mistyped.
static TRADE: LazyLock<Vec<(u32, String)>> = LazyLock::new(|| {
    let words: BTreeSet<&str> = Lexicon::get().words().filter(|word| word.len() >= 4).collect();
    words.into_iter().map(|word| (letters(word), word.to_owned())).collect()
});

/// All words of the trade.
static KNOWN: LazyLock<BTreeSet<&'static str>> = LazyLock::new(|| Lexicon::get().words().collect());

/// How many slips a word may have.
fn allowed(word: &str) -> usize {
    allowed_in(word.chars().count())
}

fn allowed_in(letters: usize) -> usize {
    match letters {
        0..=3 => 0,
        4..=6 => 1,
        _ => 2,
    }
}

/// Words that are written short on purpose, with what they say.
const SHORT: &[(&str, &str)] = &[
    ("hw", "how"),
    ("hwo", "how"),
    ("teh", "the"),
    ("hte", "the"),
    ("waht", "what"),
    ("taht", "that"),
    ("wiht", "with"),
    ("trun", "turn"),
    ("wat", "what"),
    ("wot", "what"),
    ("wots", "whats"),
    ("wats", "whats"),
    ("wut", "what"),
    ("wuts", "whats"),
    ("r", "are"),
    ("abt", "about"),
    ("cud", "could"),
    ("wud", "would"),
    ("shud", "should"),
    ("bcs", "because"),
    ("dmg", "damage"),
    ("atk", "attack"),
    ("atks", "attacks"),
    ("att", "attack"),
    ("atts", "attacks"),
    ("wch", "which"),
    ("frm", "from"),
    ("sry", "sorry"),
    ("mny", "many"),
    ("bhnd", "behind"),
    ("nxt", "next"),
    ("shld", "should"),
    ("wld", "would"),
    ("ppl", "people"),
    ("prolly", "probably"),
    ("rly", "really"),
    ("rlly", "really"),
    ("reg", "regular"),
    ("tht", "that"),
    ("thx", "thanks"),
    ("ur", "your"),
    ("hv", "have"),
    ("gd", "good"),
    ("bk", "back"),
    ("frnt", "front"),
    ("trn", "turn"),
    ("trns", "turns"),
    ("mvd", "moved"),
    ("kil", "kill"),
    ("kll", "kill"),
    ("agn", "again"),
    ("thru", "through"),
    ("rng", "range"),
    ("tgt", "target"),
];

/// What a word that is written short says.
pub fn in_full(word: &str) -> Option<&'static str> {
    SHORT.iter().find(|(short, _)| *short == word).map(|(_, full)| *full)
}

/// Reads a word.
pub fn spelt(word: &str, names: &Names) -> Spelt {
    let known = |word: &str| KNOWN.contains(word) || names.has_word(word) || is_word(word);
    if word.len() < 3
        || known(word)
        || number_word(word).is_some()
        || face_word(word).is_some()
        || times_word(word).is_some()
    {
        return Spelt::Known;
    }
    // `withie bows`: a name that ends with a y.
    if let Some(name) = word.strip_suffix("ie").map(|stem| format!("{stem}y")).filter(|name| names.has_word(name)) {
        return Spelt::As(name);
    }
    // `shootin`, and names in the plural.
    if word.ends_with("in") && known(&format!("{word}g")) {
        return Spelt::As(format!("{word}g"));
    }
    if word.strip_suffix('s').is_some_and(&known)
        || word.strip_suffix("ies").is_some_and(|stem| known(&format!("{stem}y")))
    {
        return Spelt::Known;
    }
    let bits = letters(word);
    let mut best: Vec<(usize, bool, bool, &str)> = Vec::new();
    let lists = [(false, names.words()), (true, TRADE.as_slice())];
    for (trade, list) in lists {
        for (other, known) in list {
            if known.len().abs_diff(word.len()) > 3 || (bits ^ other).count_ones() > 4 {
                continue;
            }
            let slips = slips(word, known);
            let whole = if word.ends_with('s') { allowed_in(known.chars().count() + 1) } else { allowed(known) };
            if slips <= allowed(word).min(whole).max(usize::from(known.len() == 4 && word.len() >= 4)) {
                best.push((slips, trade, known.chars().next() != word.chars().next(), known));
            }
        }
    }
    best.sort_unstable();
    best.dedup_by_key(|(.., known)| *known);
    match best.as_slice() {
        [] => begun(word, names),
        [(.., one)] => Spelt::As((*one).to_owned()),
        [(slips, trade, initial, one), rest @ ..] => {
            let as_close: Vec<&str> = rest
                .iter()
                .filter(|(other, also, letter, _)| (other, also, letter) == (slips, trade, initial))
                .map(|(.., known)| *known)
                .filter(|known| !alike(known, one))
                .collect();
            if as_close.is_empty() {
                // Of several forms of one word, the one that ends alike: `movd` is moved.
                let ends = |known: &&str| known.chars().last() == word.chars().last();
                let forms = best.iter().filter(|(other, ..)| other == slips).map(|(.., known)| *known);
                let form = forms.clone().find(|known| ends(known) && alike(known, one)).unwrap_or(one);
                Spelt::As(form.to_owned())
            } else if *trade {
                Spelt::Unknown
            } else {
                Spelt::Unclear(std::iter::once(*one).chain(as_close).map(str::to_owned).collect())
            }
        }
    }
}

/// The one name that begins so: `culv`.
fn begun(word: &str, names: &Names) -> Spelt {
    if word.len() < 4 {
        return Spelt::Unknown;
    }
    let found: Vec<&String> =
        names.words().iter().map(|(_, known)| known).filter(|known| known.starts_with(word)).collect();
    match found.as_slice() {
        [] => Spelt::Unknown,
        [one] => Spelt::As((*one).clone()),
        several => Spelt::Unclear(several.iter().map(|known| (*known).clone()).collect()),
    }
}

/// The slips between a word and a known one, or its plural.
fn slips(word: &str, known: &str) -> usize {
    let plain = strsim::osa_distance(word, known);
    if plain <= 1 || !word.ends_with('s') {
        return plain;
    }
    plain.min(strsim::osa_distance(word, &format!("{known}s")))
}

fn alike(one: &str, other: &str) -> bool {
    one.starts_with(other) || other.starts_with(one)
}

/// A message without words that are written with a figure for a syllable: `in2`, `m8`.
pub fn without_figures(text: &str) -> Cow<'_, str> {
    const WORDS: &[(&str, &str)] = &[
        ("in2", "into"),
        ("on2", "onto"),
        ("m8", "mate"),
        ("w8", "wait"),
        ("gr8", "great"),
        ("b4", "before"),
        ("l8r", "later"),
        ("2nite", "tonight"),
        ("2day", "today"),
        ("some1", "someone"),
        ("any1", "anyone"),
        ("every1", "everyone"),
    ];
    let is_part = |c: char| c.is_ascii_alphanumeric();
    let mut out = String::new();
    let mut rest = text;
    while let Some(start) = rest.find(is_part) {
        let end = rest[start..].find(|c| !is_part(c)).map_or(rest.len(), |end| start + end);
        let word = &rest[start..end];
        let known = WORDS.iter().find(|(short, _)| word.eq_ignore_ascii_case(short));
        out.push_str(&rest[..start]);
        out.push_str(known.map_or(word, |(_, full)| full));
        rest = &rest[end..];
    }
    out.push_str(rest);
    if out == text { Cow::Borrowed(text) } else { Cow::Owned(out) }
}
