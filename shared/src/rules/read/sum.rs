//! Sums and needs: `["weapon.force", "-target.bulk", 2]`, `"4+"`, `"chart.hurting"`, `{ at_least = […] }`.
use super::super::model::stat::{Holds, Scope, Stats};
use super::super::model::sum::{NeedsFrom, Side, Source, Sum, Term};
use super::super::names::close_word;
use super::ids::Index;
use super::node::Node;
use crate::odds::dice::Dice;
use crate::odds::roll::Needs;

/// What sums can name.
#[derive(Debug)]
pub(super) struct Terms<'a> {
    pub(super) stats: &'a Stats,
    pub(super) charts: &'a Index,
    /// What each chart gives.
    pub(super) gives: &'a [Holds],
}

const NUMBER: Holds = Holds::Number;

impl<'a> Terms<'a> {
    /// A sum without dice.
    pub(super) fn number(&self, node: Node<'_>) -> Option<Sum> {
        self.sum(node, false)
    }

    /// A sum with dice, or without.
    pub(super) fn dice(&self, node: Node<'_>) -> Option<Sum> {
        self.sum(node, true)
    }

    fn sum(&self, node: Node<'_>, dice: bool) -> Option<Sum> {
        let nodes = node.many();
        if nodes.len() > 12 {
            node.wrong("at most 12 terms");
        }
        let mut rolled = 0;
        let terms: Vec<Option<Term>> = nodes
            .iter()
            .map(|part| {
                let (term, has_dice) = self.term(*part, dice)?;
                rolled += u32::from(has_dice);
                if has_dice && term.minus {
                    part.wrong("dice can't be taken off");
                }
                Some(term)
            })
            .collect();
        if rolled > 1 {
            node.wrong("only one term of a sum may hold dice");
        }
        terms.into_iter().collect::<Option<Vec<Term>>>().map(Sum)
    }

    fn term(&self, node: Node<'_>, dice: bool) -> Option<(Term, bool)> {
        if node.as_number().is_some() {
            let number = node.number(-10_000..=10_000)?;
            return Some((Term { minus: false, source: Source::Number(number) }, false));
        }
        let text = node.text()?;
        if let Ok(rolled) = text.parse::<Dice>() {
            if !dice {
                node.wrong("a plain number, please: this one is not rolled");
            }
            return Some((Term { minus: false, source: Source::Dice(rolled) }, true));
        }
        let (minus, name) = text.strip_prefix('-').map_or((false, text), |name| (true, name));
        let (source, holds) = self.reference(node, name)?;
        match holds {
            Holds::Number => Some((Term { minus, source }, false)),
            Holds::Dice if dice => Some((Term { minus, source }, true)),
            Holds::Dice => {
                node.wrong(format!("{name} holds dice: a plain number is needed here"));
                None
            }
            Holds::Needs => {
                node.wrong(format!("{name} holds what a roll needs: it can't be added up"));
                None
            }
            Holds::Word(_) => {
                node.wrong(format!("{name} holds a word: it can't be added up"));
                None
            }
        }
    }

    fn reference(&self, node: Node<'_>, name: &str) -> Option<(Source, &'a Holds)> {
        match name {
            "unit.models" => return Some((Source::Models(Side::Attacker), &NUMBER)),
            "target.models" => return Some((Source::Models(Side::Target), &NUMBER)),
            "target.hurt" => return Some((Source::Hurt, &NUMBER)),
            "asked" => return Some((Source::Asked, &NUMBER)),
            _ => {}
        }
        let Some((scope, id)) = name.split_once('.') else {
            let stats = self.stats.unit.iter().find(|stat| stat.id == name).map(|_| format!("unit.{name}"));
            let stats = stats
                .or_else(|| self.stats.weapon.iter().find(|stat| stat.id == name).map(|_| format!("weapon.{name}")));
            node.wrong_with(
                format!("{name:?} is no number: write whose it is, such as unit.{name} or chart.{name}"),
                stats.map(|stat| format!("did you mean {stat:?}?")),
            );
            return None;
        };
        if scope == "chart" {
            return match self.charts.get(id) {
                Some(at) => Some((Source::Chart(at), self.gives.get(at)?)),
                None => {
                    let close = close_word(id, self.charts.order.iter().map(String::as_str));
                    let close = close.map(|close| format!("did you mean \"chart.{close}\"?"));
                    node.wrong_with(format!("no chart is called {id:?}"), close);
                    None
                }
            };
        }
        let Some(of) = scope_of(scope) else {
            let all = ["unit", "target", "weapon", "range", "cover", "arc", "chart"];
            let close = close_word(scope, all).map(|close| format!("did you mean \"{close}.{id}\"?"));
            node.wrong_with(format!("{scope:?} is none of {}", super::node::listed(&all)), close);
            return None;
        };
        let stats = self.stats.of(of);
        match stats.iter().position(|stat| stat.id == id) {
            Some(at) => Some((Source::Stat(of, at), &stats[at].holds)),
            None => {
                let close = close_word(id, stats.iter().map(|stat| stat.id.as_str()));
                let close = close.map(|close| format!("did you mean \"{scope}.{close}\"?"));
                node.wrong_with(format!("no stat of this {scope} is called {id:?}"), close);
                None
            }
        }
    }

    /// A stat that tables are looked up by.
    pub(super) fn stat(&self, node: Node<'_>) -> Option<(Scope, usize, &'a Holds)> {
        match self.reference(node, node.text()?)? {
            (Source::Stat(scope, at), holds) => Some((scope, at, holds)),
            _ => {
                node.wrong("a table is looked up by stats, arc, range or cover");
                None
            }
        }
    }

    /// What a roll needs.
    pub(super) fn needs(&self, node: Node<'_>) -> Option<NeedsFrom> {
        if node.is_table() {
            let fields = node.fields()?;
            let least = fields.get("at_least").map(|node| self.number(node).map(NeedsFrom::AtLeast));
            let most = fields.get("at_most").map(|node| self.number(node).map(NeedsFrom::AtMost));
            fields.finish();
            return match (least, most) {
                (Some(needs), None) | (None, Some(needs)) => needs,
                _ => {
                    node.wrong("say either at_least or at_most");
                    None
                }
            };
        }
        let text = node.text()?;
        match text.parse::<Needs>() {
            Ok(needs) => return Some(NeedsFrom::Fixed(needs)),
            Err(error) if !text.contains('.') => {
                node.wrong(format!("{error}; or name a stat or a chart, such as unit.aim or chart.wounding"));
                return None;
            }
            Err(_) => {}
        }
        let (source, holds) = self.reference(node, text)?;
        match (source, holds) {
            (Source::Stat(scope, at), Holds::Needs) => Some(NeedsFrom::Stat(scope, at)),
            (Source::Chart(at), Holds::Needs) => Some(NeedsFrom::Chart(at)),
            _ => {
                let hint = format!("a total of at least that: {{ at_least = {text:?} }}");
                node.wrong_with(format!("{text} does not hold what a roll needs"), Some(hint));
                None
            }
        }
    }
}

fn scope_of(scope: &str) -> Option<Scope> {
    Some(match scope {
        "unit" => Scope::Unit,
        "target" => Scope::Target,
        "weapon" => Scope::Weapon,
        "range" => Scope::Range,
        "cover" => Scope::Cover,
        "arc" => Scope::Arc,
        _ => return None,
    })
}
