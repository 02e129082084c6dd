//! Conditions: when a rule acts.
use super::super::model::condition::{Condition, Than, Trait, Whom};
use super::ids::Index;
use super::node::{Fields, Node};
use super::sum::Terms;

/// What conditions can name.
#[derive(Debug)]
pub(super) struct Words<'a> {
    pub(super) terms: &'a Terms<'a>,
    pub(super) arcs: &'a Index,
    pub(super) ranges: &'a Index,
    pub(super) covers: &'a Index,
    pub(super) flags: &'a Index,
    pub(super) rules: &'a Index,
    pub(super) roles: &'a Index,
    pub(super) kinds: &'a Index,
    pub(super) units: &'a Index,
    pub(super) weapons: &'a Index,
}

type MakeCondition = fn(Vec<usize>) -> Condition;

const WHOM: [(&str, Whom); 5] = [
    ("attacker", Whom::Attacker),
    ("weapon", Whom::Weapon),
    ("target", Whom::Target),
    ("near_attacker", Whom::NearAttacker),
    ("near_target", Whom::NearTarget),
];

impl Words<'_> {
    /// The condition under a key; nothing is asked where it is not there.
    pub(super) fn when(&self, fields: &Fields<'_>) -> Condition {
        fields.get("when").and_then(|node| self.condition(node)).unwrap_or_else(Condition::always)
    }

    fn condition(&self, node: Node<'_>) -> Option<Condition> {
        let fields = node.fields()?;
        let mut all = Vec::new();
        let axes: [(&str, &Index, MakeCondition); 3] = [
            ("arc", self.arcs, Condition::Arc),
            ("range", self.ranges, Condition::Range),
            ("cover", self.covers, Condition::Cover),
        ];
        for (key, index, make) in axes {
            if let Some(node) = fields.get(key) {
                all.push(make(index.find_all(Some(node), key)));
            }
        }
        if let Some(moved) = fields.truth("moved") {
            all.push(Condition::Moved(moved));
        }
        if let Some(template) = fields.truth("template") {
            all.push(Condition::Template(template));
        }
        for (key, whom) in WHOM {
            if let Some(node) = fields.get(key) {
                let words = node.many().into_iter().filter_map(|node| self.word(node)).collect();
                all.push(Condition::Is(whom, words));
            }
        }
        if let Some(node) = fields.get("status") {
            let names = node.many().into_iter().filter_map(|node| node.text()).map(str::to_owned).collect();
            all.push(Condition::Status(names));
        }
        self.comparison(&fields, &mut all);
        for (key, make) in [("any", Condition::Any as fn(_) -> _), ("all", Condition::All)] {
            if let Some(node) = fields.get(key) {
                let parts = node.list(20).into_iter().filter_map(|node| self.condition(node)).collect();
                all.push(make(parts));
            }
        }
        if let Some(inner) = fields.get("not").and_then(|node| self.condition(node)) {
            all.push(Condition::Not(Box::new(inner)));
        }
        for (key, _, node) in fields.entries() {
            if let Some(flag) = self.flags.get(key) {
                all.push(Condition::Flag(flag, node.truth()?));
            }
        }
        fields.finish_but(&self.flags.order);
        Some(match <[Condition; 1]>::try_from(all) {
            Ok([one]) => one,
            Err(all) => Condition::All(all),
        })
    }

    fn comparison(&self, fields: &Fields<'_>, all: &mut Vec<Condition>) {
        let sum = fields.get("sum");
        let mut compared = false;
        for (key, than) in [("at_least", Than::AtLeast), ("at_most", Than::AtMost), ("equals", Than::Equal)] {
            let Some(node) = fields.get(key) else { continue };
            compared = true;
            let Some(number) = node.number(-10_000..=10_000) else { continue };
            match sum {
                Some(sum) => all.extend(self.terms.number(sum).map(|sum| Condition::Compare(sum, than, number))),
                None => node.wrong("say what is compared: sum = [\"…\", \"-…\"]"),
            }
        }
        if let Some(sum) = sum.filter(|_| !compared) {
            sum.wrong("say what the sum is compared with: at_least, at_most or equals");
        }
    }

    /// A rule, role, kind, unit or weapon.
    fn word(&self, node: Node<'_>) -> Option<Trait> {
        let text = node.text()?;
        let found = (self.rules.get(text).map(Trait::Rule))
            .or_else(|| self.roles.get(text).map(Trait::Role))
            .or_else(|| self.kinds.get(text).map(Trait::Kind))
            .or_else(|| self.units.get(text).map(Trait::Unit))
            .or_else(|| self.weapons.get(text).map(Trait::Weapon));
        if found.is_none() {
            let all = [self.rules, self.roles, self.kinds, self.units, self.weapons];
            let all = all.iter().flat_map(|index| index.order.iter().map(String::as_str));
            let close = super::super::names::close_word(text, all).map(|close| format!("did you mean {close:?}?"));
            node.wrong_with(format!("no rule, role, kind, unit or weapon is called {text:?}"), close);
        }
        found
    }
}
