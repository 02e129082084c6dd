//! Readings that only some options need: names behind a colon, rules that are denied, covers, lists, places.
use super::super::fillers::is_filler;
use super::super::names::{self, Found};
use super::super::token::{Token, TokenKind};
use super::super::value::Value;
use super::{ArgumentAssigner, value_of};
use crate::client::index::{NameKind, PackIndex};
use crate::commands::{Kind, Opt};

impl ArgumentAssigner<'_> {
    /// Whether the token is the name of an option, with its value behind a colon: `cover: reeds`.
    pub(super) fn is_label(&self, at: usize) -> bool {
        let colon = self.tokens.get(at + 1).is_some_and(|token| token.kind == TokenKind::Colon);
        let option = |word: &str| self.options.iter().any(|option| option.name == word || option.is_cue(word));
        colon && self.tokens[at].word().is_some_and(option)
    }

    /// `without lantern screen` speaks of the rule, even where a unit may carry something of that name.
    pub(super) fn denied(&self, index: &PackIndex, reserved: &dyn Fn(&str, NameKind) -> bool, found: &mut [Found]) {
        let rules = self.options.iter().filter(|option| option.kind == Kind::Name(NameKind::Rule));
        let denying: Vec<&'static Opt> = rules.filter(|option| option.name == "without").copied().collect();
        if denying.is_empty() {
            return;
        }
        let rules = names::find(self.tokens, index, &[NameKind::Rule], reserved, &|at| self.is_label(at));
        for one in found.iter_mut().filter(|one| one.kind == NameKind::Extra) {
            let lead = self.lead(one.at);
            let denies = lead.is_some_and(|word| denying.iter().any(|option| option.is_cue(word)));
            if let Some(rule) = rules.iter().find(|rule| denies && rule.at == one.at && rule.length == one.length) {
                *one = rule.clone();
            }
        }
    }

    /// `behind the wall` is a cover, and the word before it no arc.
    pub(super) fn behind_cover(&mut self, found: &mut Vec<Found>) {
        let covers: Vec<usize> = found.iter().filter(|one| one.kind == NameKind::Cover).map(|one| one.at).collect();
        let before = |one: &Found| {
            let end = one.at + one.length;
            let small = |at: usize| self.tokens[at].word().is_some_and(is_filler);
            one.kind == NameKind::Arc
                && covers.iter().any(|&cover| cover >= end && (end..cover).all(small))
                && self.tokens[one.at].word() == Some("behind")
        };
        let (gone, kept): (Vec<Found>, Vec<Found>) = std::mem::take(found).into_iter().partition(before);
        *found = kept;
        gone.iter().for_each(|one| self.take(one.at));
    }

    /// Whether a number is one of a list: a word of it follows at once.
    pub(super) fn is_of_line(&self, at: usize) -> bool {
        let listed = self.options.iter().any(|option| option.kind == Kind::Lines);
        let cue = |word: &str| self.options.iter().any(|option| option.is_cue(word));
        listed && self.tokens.get(at + 1).and_then(Token::word).is_some_and(|word| !cue(word))
    }

    /// The name of a command.
    pub(super) fn command(&mut self) {
        let Some(option) = self.options.iter().find(|option| option.kind == Kind::Command).copied() else { return };
        let own = self.command.name;
        let named = |at: usize| self.tokens[at].word().filter(|word| *word != own).and_then(crate::commands::named);
        let found = (0..self.tokens.len()).filter(|at| self.is_free(*at)).find_map(|at| Some((at, named(at)?.name)));
        if let Some((at, name)) = found {
            self.give(option.name, Value::Choice(name), at, 1);
        }
    }

    /// Whether the word behind a value says whose the next one is: in `4s ignore 6+` nothing else says it of the 6+.
    pub(super) fn is_of_next(&self, cue: usize, value: usize) -> bool {
        let Some(word) = self.tokens[cue].word() else { return false };
        // `3s to hit`; but in `3+ then save 5+` the word goes on to the next.
        let goes_on = |at: usize| self.tokens[at].word() == Some("then") || self.tokens[at].kind == TokenKind::Break;
        if cue > value + 1 && !(value + 1..cue).any(goes_on) {
            return false;
        }
        let next = cue + 1;
        let fits = |option: &&Opt, loosely: bool| {
            option.is_cue(word)
                && self.tokens.get(next).is_some_and(|token| value_of(option.kind, &token.kind, loosely).is_some())
        };
        let takes = self.is_free(next) && self.options.iter().any(|option| fits(option, false));
        let own = self.behind(next).is_some_and(|at| {
            self.tokens[at].word().is_some_and(|word| self.options.iter().any(|option| option.is_cue(word)))
        });
        takes && !own
    }

    /// Two numbers beside each other that are a place on the table.
    pub(super) fn places(&mut self) {
        if !self.options.iter().any(|option| option.kind == Kind::Place) {
            return;
        }
        let number = |token: Option<&Token>| match token?.kind {
            TokenKind::Number(number) => Some(number),
            TokenKind::Signed(number) => Some(f64::from(i32::try_from(number).ok()?)),
            _ => None,
        };
        let mut at = 0;
        while at < self.tokens.len() {
            let gap = usize::from(self.tokens.get(at + 1).is_some_and(|token| token.kind == TokenKind::Break));
            let second = at + 1 + gap;
            let (x, y) = (number(self.tokens.get(at)), number(self.tokens.get(second)));
            let before = self.before(at).and_then(|at| self.tokens[at].word());
            // `facing 90, 10,20`: the first is an angle.
            let angle = before.is_some_and(|word| self.options.iter().any(|o| o.kind == Kind::Angle && o.is_cue(word)));
            let (Some(x), Some(y), false) = (x, y, angle) else {
                at += 1;
                continue;
            };
            let free = |option: &&&'static Opt| option.kind == Kind::Place && self.wants(option);
            let cued = self.options.iter().filter(free).find(|option| before.is_some_and(|word| option.is_cue(word)));
            if let Some(option) = cued.or_else(|| self.options.iter().find(free)).copied() {
                self.give(option.name, Value::Place(x, y), at, second + 1 - at);
                if let Some(cue) =
                    self.before(at).filter(|cue| self.tokens[*cue].word().is_some_and(|w| option.is_cue(w)))
                {
                    self.take(cue);
                }
            }
            at = second + 1;
        }
    }
}
