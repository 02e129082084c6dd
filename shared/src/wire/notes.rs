//! What may stand on any part of a chain without changing its answer: reasons and labels.
use crate::rules::reason::Reason;
use serde::de::{IgnoredAny, MapAccess, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use std::fmt;
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
// Of a request nothing is made of them; whoever reads an answer gets those that are whole.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, ToSchema)]
pub struct Notes(pub Vec<Because>);

/// A name for readers in an answer; whatever stands in its place in a request is not read.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, ToSchema)]
pub struct Label(pub String);

/// Lets numbers and the like pass as nothing said; texts too, where they say nothing either.
macro_rules! nothing_said {
    (texts) => {
        nothing_said!();

        fn visit_str<E>(self, _: &str) -> Result<Self::Value, E> {
            Ok(Self::Value::default())
        }
    };
    () => {
        nothing_said!(visit_bool(bool), visit_i64(i64), visit_u64(u64), visit_f64(f64), visit_unit());
    };
    ($($method:ident($($type:ty)?)),*) => {
        $(fn $method<E>(self $(, _: $type)?) -> Result<Self::Value, E> {
            Ok(Self::Value::default())
        })*
    };
}

impl<'de> Deserialize<'de> for Notes {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reading;
        impl<'de> Visitor<'de> for Reading {
            type Value = Notes;

            nothing_said!(texts);

            fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str("reasons")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Notes, A::Error> {
                let mut notes = Vec::new();
                while let Some(item) = items.next_element::<Note>()? {
                    notes.extend(item.0);
                }
                Ok(Notes(notes))
            }

            fn visit_map<A: MapAccess<'de>>(self, members: A) -> Result<Notes, A::Error> {
                passed_over(members).map(|()| Notes::default())
            }
        }
        deserializer.deserialize_any(Reading)
    }
}

impl<'de> Deserialize<'de> for Label {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Text::deserialize(deserializer).map(|text| Self(text.0.unwrap_or_default()))
    }
}

/// A reason, where it is one.
#[derive(Default)]
struct Note(Option<Because>);

impl<'de> Deserialize<'de> for Note {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reading;
        impl<'de> Visitor<'de> for Reading {
            type Value = Note;

            nothing_said!(texts);

            fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str("a reason")
            }

            fn visit_seq<A: SeqAccess<'de>>(self, items: A) -> Result<Note, A::Error> {
                IgnoredAny.visit_seq(items).map(|_| Note::default())
            }

            fn visit_map<A: MapAccess<'de>>(self, mut members: A) -> Result<Note, A::Error> {
                let (mut rule, mut text, mut effect) = (None, None, None);
                while let Some(key) = members.next_key::<String>()? {
                    let value = members.next_value::<Text>()?.0;
                    match key.as_str() {
                        "rule" => rule = value,
                        "text" => text = value,
                        "effect" => effect = value,
                        _ => {}
                    }
                }
                let whole = rule.zip(text).zip(effect);
                Ok(Note(whole.map(|((rule, text), effect)| Because { rule, text, effect })))
            }
        }
        deserializer.deserialize_any(Reading)
    }
}

/// A text, where it is one.
#[derive(Default)]
struct Text(Option<String>);

impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Reading;
        impl<'de> Visitor<'de> for Reading {
            type Value = Text;

            nothing_said!();

            fn expecting(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str("a text")
            }

            fn visit_str<E>(self, text: &str) -> Result<Text, E> {
                Ok(Text(Some(text.to_owned())))
            }

            fn visit_seq<A: SeqAccess<'de>>(self, items: A) -> Result<Text, A::Error> {
                IgnoredAny.visit_seq(items).map(|_| Text::default())
            }

            fn visit_map<A: MapAccess<'de>>(self, members: A) -> Result<Text, A::Error> {
                passed_over(members).map(|()| Text::default())
            }
        }
        deserializer.deserialize_any(Reading)
    }
}

/// Reads what is not kept.
fn passed_over<'de, A: MapAccess<'de>>(members: A) -> Result<(), A::Error> {
    IgnoredAny.visit_map(members).map(|_| ())
}

#[cfg(test)]
mod tests {
    use super::{Because, Label, Notes};

    #[test]
    fn reasons_and_labels_come_back_as_they_were_written() {
        let because =
            |rule: &str| Because { rule: rule.into(), text: "Says so.".into(), effect: "+1: 3+ to 2+".into() };
        let notes = Notes(vec![because("one"), because("two")]);
        let text = serde_json::to_string(&notes).expect("reasons are JSON");
        assert_eq!(serde_json::from_str::<Notes>(&text).expect("they are read"), notes);
        let label: Label = serde_json::from_str("\"Long gun\"").expect("a label is read");
        assert_eq!(label, Label("Long gun".into()));
    }

    #[test]
    fn whatever_else_stands_there_is_no_mistake() {
        for text in ["1", "-1", "0.5", "true", "null", "\"why\"", "{\"a\": [1, {}]}", "[1, [], null, {\"rule\": {}}]"] {
            assert_eq!(serde_json::from_str::<Notes>(text).expect(text), Notes::default());
        }
        for text in ["1", "-1", "0.5", "true", "null", "[\"why\"]", "{\"a\": [1, {}]}"] {
            assert_eq!(serde_json::from_str::<Label>(text).expect(text), Label::default());
        }
        let mixed = r#"[0, {"rule": "one", "text": "Says so.", "effect": "+1", "more": [{}]}]"#;
        assert_eq!(serde_json::from_str::<Notes>(mixed).expect(mixed).0.len(), 1);
    }
}
