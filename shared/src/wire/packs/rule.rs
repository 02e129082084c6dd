//! Rules: their texts, and what they do.
use crate::rules::model::Pack;
use crate::rules::{describe, search};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Rules found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RulesAnswer {
    /// The rules, best first.
    pub rules: Vec<RuleForm>,
}

/// A rule as a search finds it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RuleForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it says.
    pub text: String,
    /// What it does, from the file, in plain words.
    pub does: Vec<String>,
    /// In a pack that is built on another: which of them it is from.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub from: Option<OriginForm>,
}

/// Where something of a pack that is built on another comes from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct OriginForm {
    /// The id of the pack that made it.
    pub pack: String,
    /// The name of that pack.
    pub name: String,
    /// The name of the pack that has changed it last, where one has.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub changed_by: Option<String>,
}

/// Where a rule comes from; nothing where its pack is built on nothing.
pub(in super::super) fn origin(pack: &Pack, rule: usize) -> Option<OriginForm> {
    let origin = pack.origin("rule", &pack.rules[rule].named.id)?;
    Some(OriginForm {
        pack: origin.made.id.clone(),
        name: origin.made.label.clone(),
        changed_by: origin.changed.map(|layer| layer.label.clone()),
    })
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
        from: origin(pack, at),
    }
}
