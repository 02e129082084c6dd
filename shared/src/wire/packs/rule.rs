//! Rules: their texts, and what they do.
use crate::rules::model::Pack;
use crate::rules::{describe, search};
use serde::Serialize;
use utoipa::ToSchema;

/// Rules found.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct RulesAnswer {
    /// The rules, best first.
    pub rules: Vec<RuleForm>,
}

/// A rule as a search finds it.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct RuleForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it says.
    pub text: String,
    /// What it does, from the file, in plain words.
    pub does: Vec<String>,
}

/// The rules that a text finds, by name or by words of their texts; all of them for an empty text.
pub fn rules(pack: &Pack, text: &str) -> RulesAnswer {
    RulesAnswer { rules: search::search(pack, text).into_iter().map(|at| rule_form(pack, at)).collect() }
}

/// A rule as a search finds it.
pub(in super::super) fn rule_form(pack: &Pack, at: usize) -> RuleForm {
    let named = &pack.rules[at].named;
    RuleForm {
        id: named.id.clone(),
        name: named.label.clone(),
        text: named.text.clone(),
        does: describe::rule(pack, at),
    }
}
