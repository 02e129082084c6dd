//! Finding what somebody means: names matched whatever their case, accents, plurals and small slips.
use std::collections::HashMap;
use unicode_normalization::{UnicodeNormalization, char::is_combining_mark};

/// The most characters of a name: a longer text is none, and is not compared with any.
pub const LONGEST: usize = 64;
/// The most characters of what is looked for: a name with some words around it.
const LONGEST_WANTED: usize = 200;

/// Names that can be looked up forgivingly. Each stands for an index given by the caller.
#[derive(Clone, Debug, Default)]
pub struct Names {
    /// In the order added: plain form, the name as shown, index.
    entries: Vec<Entry>,
    exact: HashMap<String, usize>,
}

#[derive(Clone, Debug)]
struct Entry {
    plain: String,
    shown: String,
    index: usize,
}

/// Why a name was not found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotFound {
    /// Whether several names fit equally well.
    pub ambiguous: bool,
    /// The closest names, best first.
    pub closest: Vec<String>,
}

impl Names {
    /// Adds a name: its id, its label and further words for it, all for one index.
    pub fn add<'a>(&mut self, index: usize, shown: &str, all: impl IntoIterator<Item = &'a str>) {
        for name in all {
            let plain = plain(name);
            if plain.is_empty() || self.exact.get(&plain) == Some(&index) {
                continue;
            }
            self.exact.entry(plain.clone()).or_insert(index);
            self.entries.push(Entry { plain, shown: shown.to_owned(), index });
        }
    }

    /// The index that the text means.
    ///
    /// An exact name wins; then a beginning, or some of the words, of one name only; then a name
    /// that differs by a slip or two.
    ///
    /// # Errors
    /// [`NotFound`] with the closest names where none or several fit.
    ///
    /// # Cost
    /// The names there are times the product of two lengths, of which each is bounded.
    pub fn find(&self, text: &str) -> Result<usize, NotFound> {
        self.look(text).map_err(|several| match several.as_slice() {
            [] if is_longer(text, LONGEST_WANTED) => NotFound { ambiguous: false, closest: Vec::new() },
            [] => NotFound { ambiguous: false, closest: self.closest(&plain(text)) },
            several => {
                let closest = several.iter().take(5).map(|entry| entry.shown.clone()).collect();
                NotFound { ambiguous: true, closest }
            }
        })
    }

    /// Like [`Names::find`], where nobody is told what was close: a good deal quicker where there is none.
    pub fn found(&self, text: &str) -> Option<usize> {
        self.look(text).ok()
    }

    /// The index that the text means, or the several entries that fit equally well.
    fn look(&self, text: &str) -> Result<usize, Vec<&Entry>> {
        if is_longer(text, LONGEST_WANTED) {
            return Err(Vec::new());
        }
        let wanted = plain(text);
        if let Some(index) = self.exact.get(&wanted) {
            return Ok(*index);
        }
        if wanted.is_empty() {
            return Err(Vec::new());
        }
        let stages: [&dyn Fn(&str) -> bool; 3] =
            [&|name| name.starts_with(&wanted), &|name| holds_words(name, &wanted), &|name| is_slip(name, &wanted)];
        for fits in stages {
            let mut found: Vec<&Entry> = Vec::new();
            for entry in self.entries.iter().filter(|entry| fits(&entry.plain)) {
                if !found.iter().any(|other| other.index == entry.index) {
                    found.push(entry);
                }
            }
            match found.as_slice() {
                [] => {}
                [one] => return Ok(one.index),
                _ => return Err(found),
            }
        }
        Err(Vec::new())
    }

    /// The index whose name has a word that begins like each word of the text, in their order: `culv. crew`. Each must have
    /// three letters at least, and one name only may fit.
    pub fn shortened(&self, text: &str) -> Option<usize> {
        if is_longer(text, LONGEST_WANTED) {
            return None;
        }
        let wanted = plain(text);
        let short: Vec<&str> = wanted.split(' ').collect();
        if short.iter().any(|word| word.chars().count() < 3) {
            return None;
        }
        let fits = |name: &str| {
            let mut words = name.split(' ');
            short.iter().all(|short| words.any(|word| word.starts_with(short)))
        };
        let mut found = self.entries.iter().filter(|entry| fits(&entry.plain)).map(|entry| entry.index);
        let first = found.next()?;
        found.all(|other| other == first).then_some(first)
    }

    /// The index that bears just this name, forms of spelling aside.
    pub fn exact(&self, text: &str) -> Option<usize> {
        self.exact.get(&plain(text)).copied()
    }

    /// Like [`Names::exact`], with the closest names where there is none: a beginning or a slip is offered, never taken.
    ///
    /// # Errors
    /// [`NotFound`] with the closest names.
    pub fn find_exact(&self, text: &str) -> Result<usize, NotFound> {
        if let Some(index) = self.exact(text) {
            return Ok(index);
        }
        let closest = match self.find(text) {
            Ok(index) => self.shown(index).map(str::to_owned).into_iter().collect(),
            Err(not_found) => not_found.closest,
        };
        Err(NotFound { ambiguous: false, closest })
    }

    /// Whether a name of this index has the numbers of the text and no others.
    pub fn same_numbers(&self, index: usize, text: &str) -> bool {
        let wanted = plain(text);
        let wanted = numbers(&wanted);
        self.entries.iter().any(|entry| entry.index == index && numbers(&entry.plain) == wanted)
    }

    /// The name of this index as it is shown.
    pub fn shown(&self, index: usize) -> Option<&str> {
        self.entries.iter().find(|entry| entry.index == index).map(|entry| entry.shown.as_str())
    }

    /// All indices whose names hold the words of the text, best first; all of them for an empty text.
    pub fn search(&self, text: &str) -> Vec<usize> {
        if is_longer(text, LONGEST_WANTED) {
            return Vec::new();
        }
        let wanted = plain(text);
        let rank = |name: &str| match () {
            () if name == wanted => Some(0),
            () if name.starts_with(&wanted) => Some(1),
            () if holds_words(name, &wanted) => Some(2),
            () if name.contains(&wanted) => Some(3),
            () if is_slip(name, &wanted) || name.split(' ').any(|word| is_slip(word, &wanted)) => Some(4),
            () => None,
        };
        let mut found: Vec<(u8, usize)> = Vec::new();
        for entry in &self.entries {
            let Some(rank) = rank(&entry.plain) else { continue };
            match found.iter_mut().find(|(_, index)| *index == entry.index) {
                Some(earlier) => earlier.0 = earlier.0.min(rank),
                None => found.push((rank, entry.index)),
            }
        }
        found.sort_by_key(|(rank, _)| *rank);
        found.into_iter().map(|(_, index)| index).collect()
    }

    fn closest(&self, wanted: &str) -> Vec<String> {
        let mut scored: Vec<(f64, &Entry)> = self.entries.iter().map(|e| (likeness(&e.plain, wanted), e)).collect();
        scored.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut shown: Vec<String> = Vec::new();
        for (score, entry) in scored {
            if score > 0.6 && shown.len() < 3 && !shown.contains(&entry.shown) {
                shown.push(entry.shown.clone());
            }
        }
        shown
    }
}

/// The words of a plain name that have digits.
fn numbers(plain: &str) -> Vec<&str> {
    plain.split(' ').filter(|word| word.bytes().any(|byte| byte.is_ascii_digit())).collect()
}

/// The closest of some plain words, where one is close enough to be meant.
pub fn close_word<'a>(wanted: &str, words: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if is_longer(wanted, LONGEST) {
        return None;
    }
    let wanted = plain(wanted);
    let words = words.into_iter().filter(|word| !is_longer(word, LONGEST));
    let scored = words.map(|word| (likeness(&plain(word), &wanted), word));
    scored.filter(|(score, _)| *score > 0.75).max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, word)| word)
}

/// Whether a text has more characters than so many; the rest of them is not counted.
pub fn is_longer(text: &str, most: usize) -> bool {
    text.len() > most && text.chars().nth(most).is_some()
}

/// The beginning of a text, as a message shows it: what is longer ends in dots.
pub fn shortened(mut text: String, most: usize) -> String {
    if let Some((end, _)) = text.char_indices().nth(most) {
        text.truncate(end);
        text.push('…');
    }
    text
}

/// How alike a name and a text are, also by the best single word of the name.
fn likeness(name: &str, wanted: &str) -> f64 {
    let whole = strsim::jaro_winkler(name, wanted);
    let word = name.split(' ').map(|word| strsim::jaro_winkler(word, wanted) * 0.95);
    word.fold(whole, f64::max)
}

/// Whether each word of the text begins a word of the name, and no two words the same one.
fn holds_words(name: &str, wanted: &str) -> bool {
    let mut taken: Vec<usize> = Vec::new();
    wanted.split(' ').all(|word| {
        let fits = |(at, other): (usize, &str)| (!taken.contains(&at) && other.starts_with(word)).then_some(at);
        let at = name.split(' ').enumerate().find_map(fits);
        taken.extend(at);
        at.is_some()
    })
}

/// Whether two texts differ by one slip of the finger, or two in a long one. Long texts are no names.
pub fn is_slip(name: &str, wanted: &str) -> bool {
    if is_longer(name, LONGEST)
        || is_longer(wanted, LONGEST)
        || name.chars().count().abs_diff(wanted.chars().count()) > 2
    {
        return false;
    }
    // A number says something of its own.
    let digits = |text: &str| text.chars().filter(char::is_ascii_digit).collect::<String>();
    if digits(name) != digits(wanted) {
        return false;
    }
    let allowed = match wanted.chars().count() {
        0..=3 => return false,
        4..=7 => 1,
        _ => 2,
    };
    strsim::damerau_levenshtein(name, wanted) <= allowed
}

/// The plain form of a name: lower case, no accents or punctuation, single spaces, each word in the singular.
pub fn plain(text: &str) -> String {
    let mut words = String::with_capacity(text.len());
    let push = |c: char, words: &mut String| match c {
        '\'' | '’' => {}
        c if c.is_alphanumeric() => words.extend(c.to_lowercase()),
        _ if words.is_empty() || words.ends_with(' ') => {}
        _ => words.push(' '),
    };
    if text.is_ascii() {
        text.chars().for_each(|c| push(c, &mut words));
    } else {
        text.nfd().filter(|c| !is_combining_mark(*c)).for_each(|c| push(c, &mut words));
    }
    let mut plain = String::with_capacity(words.len());
    for word in words.split(' ').filter(|word| !word.is_empty()) {
        if !plain.is_empty() {
            plain.push(' ');
        }
        singular(word, &mut plain);
    }
    plain
}

fn singular(word: &str, out: &mut String) {
    if let Some(stem) = word.strip_suffix("ies").filter(|stem| stem.len() > 1) {
        out.push_str(stem);
        out.push('y');
        return;
    }
    let hissing = ["sses", "xes", "ches", "shes"].iter().any(|end| word.ends_with(end));
    let stem = match word.strip_suffix('s') {
        _ if hissing => &word[..word.len() - 2],
        Some(stem) if stem.len() > 1 && !stem.ends_with('s') => stem,
        _ => word,
    };
    out.push_str(stem);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names() -> Names {
        let mut names = Names::default();
        for (index, name) in ["Ram Barge", "Heron Carriage", "Heron Skiff", "Lock-keepers"].iter().enumerate() {
            names.add(index, name, [*name]);
        }
        names
    }

    #[test]
    fn forgives_case_plurals_accents_and_slips() {
        for text in ["ram barge", "barges", "RAM-BARGES", "rám bargé", "ram brage", "bar"] {
            assert_eq!(names().find(text), Ok(0), "{text}");
        }
        assert_eq!(names().find("lock keeper"), Ok(3));
        assert_eq!(names().find("lockkeepers"), Ok(3));
        assert_eq!(names().find("heron ca"), Ok(1));
    }

    #[test]
    fn says_what_could_be_meant() {
        let both = names().find("heron").expect_err("no single name");
        assert!(both.ambiguous);
        assert_eq!(both.closest, ["Heron Carriage", "Heron Skiff"]);
        let none = names().find("carraige of state").expect_err("no single name");
        assert!(!none.ambiguous);
        assert_eq!(none.closest.first().map(String::as_str), Some("Heron Carriage"));
        assert_eq!(names().find("").expect_err("no single name").closest, Vec::<String>::new());
    }

    #[test]
    fn searches_best_first() {
        assert_eq!(names().search("heron"), [1, 2]);
        assert_eq!(names().search("skif"), [2]);
        assert_eq!(names().search(""), [0, 1, 2, 3]);
    }
}
