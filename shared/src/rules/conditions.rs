//! Whether a condition holds: the one evaluator, for a table that is known in whole or in part.
//!
//! Three-valued logic after Kleene: a part that is not known makes the whole open only where it could tip it. Who asks
//! says what is known by a [`PartialSituation`]: a compiled matchup knows everything and never answers `Open`.
use super::model::condition::{Condition, Than, Trait, Whom};
use super::model::sum::Sum;

/// No, yes, or it depends on what is not known. Ordered so that `min` is "and", `max` is "or".
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ternary {
    /// Whatever else is so, it does not hold.
    No,
    /// It depends.
    Open,
    /// Whatever else is so, it holds.
    Yes,
}

/// What is known of a table.
pub trait PartialSituation {
    /// Whether the arc is one of these.
    fn arc(&self, wanted: &[usize]) -> Ternary;
    /// Whether the range band is one of these.
    fn range(&self, wanted: &[usize]) -> Ternary;
    /// Whether the cover is one of these.
    fn cover(&self, wanted: &[usize]) -> Ternary;
    /// Whether the attacker moved.
    fn moved(&self) -> Ternary;
    /// Whether the weapon lays a template.
    fn template(&self) -> Ternary;
    /// Whether a flag of the pack's own is set.
    fn flag(&self, flag: usize) -> Ternary;
    /// Whether somebody goes by one of these words.
    fn is(&self, whom: Whom, words: &[Trait]) -> Ternary;
    /// Whether a sum compares so with a number.
    fn compare(&self, sum: &Sum, than: Than, number: i32) -> Ternary;
    /// Whether the target has one of these marks.
    fn status(&self, names: &[String]) -> Ternary;
}

/// Whether a condition holds, as far as is known.
pub fn holds(condition: &Condition, table: &impl PartialSituation) -> Ternary {
    let unless = |truth: Ternary, wanted: bool| if wanted { truth } else { !truth };
    match condition {
        Condition::All(parts) => Ternary::all(parts.iter().map(|part| holds(part, table))),
        Condition::Any(parts) => Ternary::any(parts.iter().map(|part| holds(part, table))),
        Condition::Not(inner) => !holds(inner, table),
        Condition::Arc(arcs) => table.arc(arcs),
        Condition::Range(ranges) => table.range(ranges),
        Condition::Cover(covers) => table.cover(covers),
        Condition::Moved(wanted) => unless(table.moved(), *wanted),
        Condition::Template(wanted) => unless(table.template(), *wanted),
        Condition::Flag(flag, wanted) => unless(table.flag(*flag), *wanted),
        Condition::Is(whom, words) => table.is(*whom, words),
        Condition::Compare(sum, than, number) => table.compare(sum, *than, *number),
        Condition::Status(names) => table.status(names),
    }
}

impl Ternary {
    /// Whether each of them holds; yes for none at all.
    pub fn all(parts: impl IntoIterator<Item = Self>) -> Self {
        let mut all = Self::Yes;
        for part in parts {
            all = all.min(part);
            if all == Self::No {
                break;
            }
        }
        all
    }

    /// Whether one of them holds; no for none at all.
    pub fn any(parts: impl IntoIterator<Item = Self>) -> Self {
        let mut any = Self::No;
        for part in parts {
            any = any.max(part);
            if any == Self::Yes {
                break;
            }
        }
        any
    }

    /// What is so of each case that can be: open where they differ, and where there is no case.
    pub fn of_cases(cases: impl IntoIterator<Item = Self>) -> Self {
        let mut cases = cases.into_iter();
        let Some(first) = cases.next() else { return Self::Open };
        if cases.all(|other| other == first) { first } else { Self::Open }
    }

    /// Known where there is something to know.
    pub fn known(holds: Option<bool>) -> Self {
        holds.map_or(Self::Open, Self::from)
    }
}

impl From<bool> for Ternary {
    fn from(holds: bool) -> Self {
        if holds { Self::Yes } else { Self::No }
    }
}

impl std::ops::Not for Ternary {
    type Output = Self;

    fn not(self) -> Self {
        match self {
            Self::No => Self::Yes,
            Self::Open => Self::Open,
            Self::Yes => Self::No,
        }
    }
}

impl Than {
    /// Whether a number compares so with another.
    pub fn fits(self, sum: i32, number: i32) -> bool {
        match self {
            Self::AtLeast => sum >= number,
            Self::AtMost => sum <= number,
            Self::Equal => sum == number,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Ternary::{self, No, Open, Yes};

    /// The tables of strong Kleene logic (S. C. Kleene, Introduction to Metamathematics, 1952, §64), from memory.
    #[test]
    fn kleene() {
        for (a, b, and, or) in [
            (No, No, No, No),
            (No, Open, No, Open),
            (No, Yes, No, Yes),
            (Open, Open, Open, Open),
            (Open, Yes, Open, Yes),
            (Yes, Yes, Yes, Yes),
        ] {
            assert_eq!((Ternary::all([a, b]), Ternary::any([a, b])), (and, or), "{a:?} {b:?}");
            assert_eq!((Ternary::all([b, a]), Ternary::any([b, a])), (and, or), "{b:?} {a:?}");
        }
        assert_eq!((!No, !Open, !Yes), (Yes, Open, No));
        assert_eq!((Ternary::all([]), Ternary::any([])), (Yes, No));
    }
}
