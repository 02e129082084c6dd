//! Characters to tokens. Case, accents, typographic signs and invisible characters make no difference.
use super::token::{Token, TokenKind};
use unicode_normalization::{UnicodeNormalization, char::is_combining_mark};

/// Cuts a text at its blanks and signs.
pub fn scan(text: &str) -> Vec<Token> {
    let mut scanner = Scanner { chars: fold(text), at: 0, end: text.len(), tokens: Vec::new() };
    while scanner.at < scanner.chars.len() {
        scanner.token();
    }
    scanner.tokens
}

/// Words in the same form for writing and for comparing.
pub fn folded(text: &str) -> String {
    fold(text).into_iter().map(|(_, c)| c).collect()
}

fn fold(text: &str) -> Vec<(usize, char)> {
    let mut folded = Vec::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        if is_invisible(c) {
            continue;
        }
        for c in std::iter::once(c).nfkd().filter(|&c| !is_combining_mark(c)).flat_map(char::to_lowercase) {
            folded.push((at, plain(c)));
        }
    }
    folded
}

/// Format characters: zero-width, direction marks, soft hyphen, byte order mark.
pub fn is_invisible(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}')
        || (c.is_control() && c != '\n' && c != '\t')
}

fn plain(c: char) -> char {
    match c {
        '×' => 'x',
        '–' | '—' | '−' | '‐' | '‑' => '-',
        '’' | '‘' | '`' | '´' => '\'',
        '“' | '”' | '″' => '"',
        '⁄' => '/',
        c => c,
    }
}

struct Scanner {
    chars: Vec<(usize, char)>,
    at: usize,
    end: usize,
    tokens: Vec<Token>,
}

impl Scanner {
    fn peek(&self, ahead: usize) -> Option<char> {
        self.chars.get(self.at + ahead).map(|&(_, c)| c)
    }

    fn is(&self, ahead: usize, test: impl Fn(char) -> bool) -> bool {
        self.peek(ahead).is_some_and(test)
    }

    fn is_end(&self, ahead: usize) -> bool {
        !self.is(ahead, char::is_alphanumeric)
    }

    fn push(&mut self, length: usize, kind: TokenKind) {
        let start = self.chars[self.at].0;
        self.at += length;
        let end = self.chars.get(self.at).map_or(self.end, |&(at, _)| at);
        self.tokens.push(Token { kind, span: start..end });
    }

    fn token(&mut self) {
        let Some(c) = self.peek(0) else { return };
        match c {
            '\n' => self.push(1, TokenKind::Line),
            ',' | ';' | '?' | '!' | '.' => self.push(1, TokenKind::Break),
            ':' | '=' => self.push(1, TokenKind::Colon),
            '&' => self.push(1, TokenKind::Plus),
            '≥' | '≤' | '>' | '<' => self.compared(c),
            '+' | '-' if self.is(1, |c| c.is_ascii_digit()) => self.signed(c),
            '+' => self.push(1, TokenKind::Plus),
            c if c.is_ascii_digit() => self.number(),
            c if c.is_alphabetic() => self.word(),
            _ => self.at += 1,
        }
    }

    /// The digits from `ahead` on: how many characters, and their value.
    fn digits(&self, ahead: usize) -> (usize, u64) {
        let (mut length, mut value) = (0, 0_u64);
        while let Some(digit) = self.peek(ahead + length).and_then(|c| c.to_digit(10)) {
            value = value.saturating_mul(10).saturating_add(digit.into());
            length += 1;
        }
        (length, value)
    }

    fn compared(&mut self, sign: char) {
        let mut length = 1;
        let or_equal = matches!(sign, '≥' | '≤') || self.is(1, |c| c == '=');
        while self.is(length, |c| c == '=' || c == ' ') {
            length += 1;
        }
        let (digits, value) = self.digits(length);
        if digits == 0 {
            self.at += 1;
        } else if matches!(sign, '≥' | '>') && self.is(length + digits, |c| c == '%') {
            self.push(length + digits + 1, TokenKind::Percent(f64::from(u32::try_from(value).unwrap_or(100))));
        } else if matches!(sign, '≥' | '>') {
            self.push(length + digits, TokenKind::Needs(format!("{}+", if or_equal { value } else { value + 1 })));
        } else {
            let most = if or_equal { value } else { value.saturating_sub(1) };
            self.push(length + digits, TokenKind::Needs(format!("{most}-")));
        }
    }

    fn signed(&mut self, sign: char) {
        let (digits, value) = self.digits(1);
        let value = i64::try_from(value).unwrap_or(i64::MAX);
        self.push(1 + digits, TokenKind::Signed(if sign == '-' { -value } else { value }));
    }

    fn number(&mut self) {
        let (mut length, value) = self.digits(0);
        let mut value = value;
        while self.is(length, |c| c == ',') && self.digits(length + 1).0 == 3 {
            value = value.saturating_mul(1000).saturating_add(self.digits(length + 1).1);
            length += 4;
        }
        if self.is(length, |c| c == '.') && self.digits(length + 1).0 > 0 {
            let (places, part) = self.digits(length + 1);
            let places = i32::try_from(places).unwrap_or(i32::MAX);
            let decimal = precise(value) + precise(part) / 10_f64.powi(places);
            length += 1 + self.digits(length + 1).0;
            let percent = self.is(length, |c| c == '%');
            return self.push(
                length + usize::from(percent),
                if percent { TokenKind::Percent(decimal) } else { TokenKind::Number(decimal) },
            );
        }
        let (longer, kind) = self.suffix(length, value);
        self.push(length + longer, kind);
    }

    /// What stands right behind a number and makes it more than one.
    fn suffix(&self, length: usize, value: u64) -> (usize, TokenKind) {
        let number = TokenKind::Number(precise(value));
        match self.peek(length) {
            Some('d') if self.is(length + 1, |c| c.is_ascii_digit()) => {
                let (faces, rest) = self.dice(length + 1);
                (1 + faces, TokenKind::Dice(format!("{value}{rest}")))
            }
            Some('x') if !self.is(length + 1, |c| c.is_ascii_digit()) => (1, TokenKind::Times(value)),
            Some('+') if self.is_end(length + 1) || self.is_need(length + 1) => {
                (1, TokenKind::Needs(format!("{value}+")))
            }
            Some('-') if self.is_end(length + 1) => (1, TokenKind::Needs(format!("{value}-"))),
            Some('u') if self.is(length + 1, |c| c == 'p') && self.is_end(length + 2) => {
                (2, TokenKind::Needs(format!("{value}+")))
            }
            Some('s') if self.is_end(length + 1) => (1, TokenKind::Faces(value)),
            Some('\'') if self.is(length + 1, |c| c == 's') => (2, TokenKind::Faces(value)),
            Some('%') => (1, TokenKind::Percent(precise(value))),
            Some(' ') if self.is(length + 1, |c| c == '%') => (2, TokenKind::Percent(precise(value))),
            Some('"') => (1, TokenKind::Inches(value)),
            Some('\'') if self.is(length + 1, |c| c == '\'') => (2, TokenKind::Inches(value)),
            Some('i') if self.is(length + 1, |c| c == 'n') && self.is_end(length + 2) => (2, TokenKind::Inches(value)),
            Some('m') if self.is(length + 1, |c| c == 'm') && self.is_end(length + 2) => {
                (2, TokenKind::Millimetres(precise(value)))
            }
            Some('c') if self.is(length + 1, |c| c == 'm') && self.is_end(length + 2) => {
                (2, TokenKind::Millimetres(precise(value) * 10.0))
            }
            Some('/') if self.digits(length + 1).0 > 0 => {
                let (digits, whole) = self.digits(length + 1);
                match self.peek(length + 1 + digits) {
                    Some('/' | '+' | 's') => (1, number),
                    _ => (1 + digits, TokenKind::Share { part: value, whole, at_least: false }),
                }
            }
            _ => (0, number),
        }
    }

    /// Whether digits and a `+` follow, as in `3+4+5+`.
    fn is_need(&self, ahead: usize) -> bool {
        let digits = self.digits(ahead).0;
        digits > 0 && self.is(ahead + digits, |c| c == '+')
    }

    /// The dice behind their `d`: how many characters, and their text.
    fn dice(&self, ahead: usize) -> (usize, String) {
        let (digits, faces) = self.digits(ahead);
        let sign = self.peek(ahead + digits).filter(|&c| c == '+' || c == '-');
        let (more, constant) = self.digits(ahead + digits + 1);
        match sign {
            Some(sign) if more > 0 => (digits + 1 + more, format!("d{faces}{sign}{constant}")),
            // `eight d10s`
            _ if self.is(ahead + digits, |c| c == 's') && self.is_end(ahead + digits + 1) => {
                (digits + 1, format!("d{faces}"))
            }
            _ => (digits, format!("d{faces}")),
        }
    }

    fn word(&mut self) {
        let (mut length, mut word) = (0, String::new());
        while let Some(c) = self.peek(length) {
            let joins = c == '\'' || (c == '-' && word == "re");
            if c.is_alphabetic() {
                word.push(c);
            } else if !(joins && self.is(length + 1, char::is_alphabetic)) {
                break;
            }
            length += 1;
        }
        if self.is(length, |c| c.is_ascii_digit()) {
            if word == "d" {
                let (longer, dice) = self.dice(length);
                return self.push(length + longer, TokenKind::Dice(dice));
            }
            if word == "x" {
                let (digits, times) = self.digits(length);
                return self.push(length + digits, TokenKind::Times(times));
            }
        }
        self.push(length, TokenKind::Word(word));
    }
}

#[expect(clippy::cast_precision_loss, reason = "a number typed by hand; what is beyond 2^53 is refused anyway")]
fn precise(value: u64) -> f64 {
    value as f64
}
