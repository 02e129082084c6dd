//! Whether a condition holds, and in words why not.
use super::super::conditions::{self, PartialSituation, Ternary};
use super::super::model::condition::{Condition, Than, Trait, Whom};
use super::super::model::sum::{Source, Sum, Term};
use super::context::RuleContext;
use crate::report::saying::{place, plural};

impl PartialSituation for RuleContext<'_> {
    fn arc(&self, wanted: &[usize]) -> Ternary {
        wanted.contains(&self.situation.arc).into()
    }

    fn range(&self, wanted: &[usize]) -> Ternary {
        wanted.contains(&self.situation.range).into()
    }

    fn cover(&self, wanted: &[usize]) -> Ternary {
        wanted.contains(&self.situation.cover).into()
    }

    fn moved(&self) -> Ternary {
        self.situation.moved.into()
    }

    fn template(&self) -> Ternary {
        self.weapon.is_some_and(|weapon| weapon.template.is_some()).into()
    }

    fn flag(&self, flag: usize) -> Ternary {
        self.situation.flags.get(flag).copied().unwrap_or(false).into()
    }

    fn is(&self, whom: Whom, words: &[Trait]) -> Ternary {
        words.iter().any(|word| self.goes_by(whom, *word)).into()
    }

    fn compare(&self, sum: &Sum, than: Than, number: i32) -> Ternary {
        than.fits(self.number(sum), number).into()
    }

    fn status(&self, names: &[String]) -> Ternary {
        names.iter().any(|name| self.target.statuses.contains(name)).into()
    }
}

impl RuleContext<'_> {
    /// Whether it holds: all of the table is known, so it does or it does not.
    pub(crate) fn holds(&self, condition: &Condition) -> bool {
        conditions::holds(condition, self) == Ternary::Yes
    }

    fn goes_by(&self, whom: Whom, word: Trait) -> bool {
        match whom {
            Whom::Attacker => self.attacker.is(word),
            Whom::Target => self.target.is(word),
            Whom::NearAttacker => self.attacker.is_near(word),
            Whom::NearTarget => self.target.is_near(word),
            Whom::Weapon => self.weapon.is_some_and(|weapon| match word {
                Trait::Rule(rule) => weapon.rules.contains(&rule),
                Trait::Weapon(at) => std::ptr::eq(weapon, &self.pack.weapons[at]),
                Trait::Role(_) | Trait::Kind(_) | Trait::Unit(_) => false,
            }),
        }
    }

    /// Why it does not hold; nothing where it does.
    pub(crate) fn why_not(&self, condition: &Condition) -> Option<String> {
        if self.holds(condition) {
            return None;
        }
        let words = &self.pack.situations;
        Some(match condition {
            Condition::All(parts) | Condition::Any(parts) => {
                return parts.iter().find_map(|part| self.why_not(part)).or(Some("no part of it is met".to_owned()));
            }
            Condition::Not(inner) => return Some(self.why(inner)),
            Condition::Arc(_) => format!("not from the {}", words.arcs[self.situation.arc].named.label),
            Condition::Range(_) => format!("the range is {}", words.ranges[self.situation.range].word.named.label),
            Condition::Cover(_) => format!("the target is {}", place(&words.covers[self.situation.cover].named.label)),
            Condition::Moved(true) => "the attacker has not moved".to_owned(),
            Condition::Moved(false) => "the attacker has moved".to_owned(),
            Condition::Template(true) => "the weapon lays no template".to_owned(),
            Condition::Template(false) => "the weapon lays a template".to_owned(),
            Condition::Flag(flag, true) => {
                format!("add \u{201c}{}\u{201d} if so", words.flags[*flag].label)
            }
            Condition::Flag(flag, false) => format!("not with \u{201c}{}\u{201d}", words.flags[*flag].label),
            Condition::Is(whom, wanted) => {
                let wanted: Vec<String> = wanted.iter().map(|word| self.sort(*word)).collect();
                format!("only {} {}", self.joined(*whom), wanted.join(" or "))
            }
            Condition::Compare(sum, than, number) => {
                let value = self.number(sum);
                let wanted = match than {
                    Than::AtLeast => format!("{number} or more"),
                    Than::AtMost => format!("{number} or less"),
                    Than::Equal => format!("exactly {number}"),
                };
                match sum.0.as_slice() {
                    [Term { minus: false, source: Source::Models(_) }] => {
                        let models = self.pack.word("models");
                        let are = if value == 1 { "is" } else { "are" };
                        format!("it needs {wanted} {models}; there {are} {value}")
                    }
                    _ => format!("it needs {wanted}; {} is {value}", self.spell(sum)),
                }
            }
            Condition::Status(names) => format!("only against what is {}", names.join(" or ")),
        })
    }

    /// Why it does hold, for the sake of one that must not.
    fn why(&self, condition: &Condition) -> String {
        match condition {
            Condition::All(parts) | Condition::Any(parts) => {
                parts.iter().find(|part| self.holds(part)).map_or_else(String::new, |part| self.why(part))
            }
            Condition::Not(inner) => self.why_not(inner).unwrap_or_default(),
            Condition::Moved(moved) => self.why_not(&Condition::Moved(!moved)).unwrap_or_default(),
            Condition::Template(template) => self.why_not(&Condition::Template(!template)).unwrap_or_default(),
            Condition::Flag(flag, set) => self.why_not(&Condition::Flag(*flag, !set)).unwrap_or_default(),
            Condition::Is(whom, words) => {
                let found = words.iter().find(|word| self.goes_by(*whom, **word));
                format!("not {} {}", self.joined(*whom), found.map_or_else(String::new, |word| self.sort(*word)))
            }
            Condition::Compare(sum, ..) => format!("{} is {}", self.spell(sum), self.number(sum)),
            Condition::Status(names) => {
                let found = names.iter().find(|name| self.target.statuses.contains(name));
                format!("not against what is {}", found.map_or("", String::as_str))
            }
            // Where arc, range or cover decide, what they are says why, whichever way it goes.
            Condition::Arc(_) => self.why_not(&Condition::Arc(Vec::new())).unwrap_or_default(),
            Condition::Range(_) => self.why_not(&Condition::Range(Vec::new())).unwrap_or_default(),
            Condition::Cover(_) => self.why_not(&Condition::Cover(Vec::new())).unwrap_or_default(),
        }
    }

    /// How somebody of a sort is joined to `only`: `only against light crawlers`.
    fn joined(&self, whom: Whom) -> &'static str {
        match whom {
            Whom::Attacker => "for",
            Whom::Target => "against",
            Whom::Weapon => "with",
            Whom::NearAttacker | Whom::NearTarget => "near",
        }
    }

    /// Those who go by a word: `light crawlers`, `those with Hand weapon`.
    fn sort(&self, word: Trait) -> String {
        match word {
            Trait::Rule(at) => format!("what has {}", self.pack.rules[at].named.label),
            Trait::Role(at) => plural(&self.pack.roles[at].named.label),
            Trait::Kind(at) => plural(&self.pack.kinds[at].named.label),
            Trait::Unit(at) => self.pack.units[at].forms.1.clone(),
            Trait::Weapon(at) => format!("the {}", self.pack.weapons[at].named.label),
        }
    }
}
