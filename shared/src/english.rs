//! Common English words. A word that is one of them is never taken for a slip of the pen.
//!
//! Source: SCOWL, size "small", as Debian ships it in `wamerican-small` and `wbritish-small` (2020.12.07), lower-case words of 2 to 15
//! letters. Copyright 2000-2011 by Kevin Atkinson; free to use, copy, modify, distribute and sell with this notice:
//! "Permission to use, copy, modify, distribute and sell these word lists, the associated scripts, the output created from the
//! scripts, and its documentation for any purpose is hereby granted without fee, provided that the above copyright notice appears
//! in all copies and that both that copyright notice and this permission notice appear in supporting documentation. Kevin Atkinson
//! makes no representations about the suitability of this array for any purpose. It is provided "as is" without express or implied
//! warranty."
//!
//! `words.txt` is front-coded: a line begins with one hexadecimal digit, how many letters it shares with the line before.
use std::sync::LazyLock;

const CODED: &str = include_str!("english/words.txt");

/// All words one behind the other, and where each of them begins; sorted.
struct Words {
    text: String,
    starts: Vec<usize>,
}

static WORDS: LazyLock<Words> = LazyLock::new(|| {
    let mut words = Words { text: String::with_capacity(3 * CODED.len()), starts: Vec::new() };
    let mut last = 0;
    for line in CODED.lines() {
        let shared = line.chars().next().and_then(|digit| digit.to_digit(16)).unwrap_or(0) as usize;
        let start = words.text.len();
        let head = words.text[last..].get(..shared).unwrap_or_default().to_owned();
        words.text.push_str(&head);
        words.text.push_str(line.get(1..).unwrap_or_default());
        words.starts.push(start);
        last = start;
    }
    words
});

/// Whether it is a common English word, or one that has lost its plural `s`.
pub fn is_word_or_stem(word: &str) -> bool {
    is_word(word) || is_word(&format!("{word}s"))
}

/// Whether it is a common English word.
pub fn is_word(word: &str) -> bool {
    let words = &*WORDS;
    let at = |place: usize| {
        let end = words.starts.get(place + 1).copied().unwrap_or(words.text.len());
        &words.text[words.starts[place]..end]
    };
    let (mut low, mut high) = (0, words.starts.len());
    while low < high {
        let middle = usize::midpoint(low, high);
        match at(middle).cmp(word) {
            std::cmp::Ordering::Equal => return true,
            std::cmp::Ordering::Less => low = middle + 1,
            std::cmp::Ordering::Greater => high = middle,
        }
    }
    false
}
