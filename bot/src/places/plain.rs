//! What people write, made harmless for those who read it: no hidden characters, no towers of accents.
//!
//! Markup is not touched here: the page writes every text as text.
use crate::typing::scan::is_invisible;
use unicode_normalization::char::is_combining_mark;

/// Accents on one letter; some scripts need three.
const ACCENTS: usize = 3;

/// Text of several lines without what hides or turns it around.
pub fn text(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    let mut accents = 0;
    for c in text.replace("\r\n", "\n").chars() {
        accents = if is_combining_mark(c) { accents + 1 } else { 0 };
        match c {
            '\n' => plain.push('\n'),
            '\t' | '\r' | '\u{2028}' | '\u{2029}' => plain.push(' '),
            c if hides(c) || accents > ACCENTS => {}
            c => plain.push(c),
        }
    }
    plain.trim().to_owned()
}

/// One line of it, with single blanks.
pub fn line(words: &str) -> String {
    text(words).split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Format characters that the bot's reader ignores, and others that show nothing or turn the direction.
fn hides(c: char) -> bool {
    is_invisible(c)
        || matches!(c,
            '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180b}'..='\u{180f}'
            | '\u{2065}' | '\u{2800}' | '\u{3164}' | '\u{ffa0}' | '\u{fe00}'..='\u{fe0f}' | '\u{fff0}'..='\u{fffb}'
            | '\u{e0000}'..='\u{e0fff}' | '\u{e000}'..='\u{f8ff}' | '\u{f0000}'..='\u{10ffff}')
}
