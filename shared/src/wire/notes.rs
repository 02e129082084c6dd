//! What may stand on any part of a chain without changing its answer: reasons and labels.
use crate::rules::reason::Reason;
use serde::de::IgnoredAny;
use serde::{Deserialize, Deserializer, Serialize};
use utoipa::ToSchema;

/// One change of a number by a rule.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Because {
    /// The rule's id in its pack.
    pub rule: String,
    /// What the rule says.
    pub text: String,
    /// What it did, from the value before to the value after.
    pub effect: String,
}

impl From<&Reason> for Because {
    fn from(reason: &Reason) -> Self {
        Self { rule: reason.rule.clone(), text: reason.text.clone(), effect: reason.effect.clone() }
    }
}

/// Reasons in an answer; whatever stands in their place in a request is not read.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, ToSchema)]
pub struct Notes(pub Vec<Because>);

impl<'de> Deserialize<'de> for Notes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        IgnoredAny::deserialize(deserializer).map(|_| Self::default())
    }
}

/// A name for readers in an answer; whatever stands in its place in a request is not read.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, ToSchema)]
pub struct Label(pub String);

impl<'de> Deserialize<'de> for Label {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        IgnoredAny::deserialize(deserializer).map(|_| Self::default())
    }
}
