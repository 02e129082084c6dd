//! The tokens that a message is cut into.
use std::ops::Range;

/// Bytes of the message.
pub type Span = Range<usize>;

/// One token of a message and where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Token {
    /// What it is.
    pub kind: TokenKind,
    /// Where it stands.
    pub span: Span,
}

/// What a token is.
#[derive(Clone, Debug, PartialEq)]
pub enum TokenKind {
    /// A word, in lower case without accents.
    Word(String),
    /// A number on its own.
    Number(f64),
    /// `x12`, `12x`, `12 times`, `twice`.
    Times(u64),
    /// `3s`, `threes`, `on a 3`: a face that is needed, or that is re-rolled.
    Faces(u64),
    /// `7+`, `7-`, `auto`, `never`.
    Needs(String),
    /// `at least 7`, `7 or more`: a need of a roll, or a wanted amount.
    AtLeast(u64),
    /// `at most 7`, `7 or less`.
    AtMost(u64),
    /// `2d6+1`.
    Dice(String),
    /// `two dice`: so many of the dice that are usual here.
    Pool(u64),
    /// `+1`, `-2`.
    Signed(i64),
    /// `90%`.
    Percent(f64),
    /// `2 of 5`, `2/5`.
    Share {
        /// The part.
        part: u64,
        /// The whole.
        whole: u64,
        /// Whether the part was called the least.
        at_least: bool,
    },
    /// `12"`.
    Inches(u64),
    /// `25mm`, `6 cm`, in millimetres.
    Millimetres(f64),
    /// `rerolling 1s`: the contract's word for what is rolled again.
    Reroll(&'static str),
    /// `2 rerolls`: a budget.
    Rerolls(u64),
    /// `best of 2`, `keep the highest`.
    Keep {
        /// The highest dice, or the lowest.
        highest: bool,
        /// How many are kept.
        kept: u64,
        /// Of how many, where it was said.
        of: Option<u64>,
    },
    /// Something is compared.
    Or,
    /// One side ends, the other begins.
    Versus,
    /// Something is added to a unit.
    Plus,
    /// A name is followed by its value.
    Colon,
    /// A thought ends.
    Break,
    /// A line ends.
    Line,
}

impl Token {
    /// The word, if it is one.
    pub fn word(&self) -> Option<&str> {
        if let TokenKind::Word(word) = &self.kind { Some(word) } else { None }
    }

    /// The number, if it is a whole one on its own.
    pub fn whole(&self) -> Option<u64> {
        match self.kind {
            TokenKind::Number(number) => whole(number),
            _ => None,
        }
    }

    /// Whether it only parts others.
    pub fn is_mark(&self) -> bool {
        matches!(self.kind, TokenKind::Break | TokenKind::Line | TokenKind::Colon | TokenKind::Plus)
    }
}

/// The number as a whole one, if it is one that a message can mean.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the range is checked just before")]
pub fn whole(number: f64) -> Option<u64> {
    (number.fract() == 0.0 && (0.0..=1e12).contains(&number)).then_some(number as u64)
}
