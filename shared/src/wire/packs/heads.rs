//! What a pack's index tells of its units: enough to name them, count them and say what they may carry.
use crate::report::counting::{Counted, Counting};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A unit in short.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct UnitHead {
    /// As requests have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// Further words for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<String>,
    /// The name of one of what is counted.
    pub singular: String,
    /// The name of several.
    pub plural: String,
    /// What people count of it.
    pub counted: CountedForm,
    /// What it counts as.
    pub role: String,
    /// What it costs with its fewest models.
    pub points: u32,
    /// Its fewest models.
    pub least: u32,
    /// Its most models.
    pub most: u32,
    /// The most models of it that a list may hold, over all its units.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub list_most: Option<u32>,
    /// Whether it is armour: loses structure, and has arcs.
    pub armoured: bool,
    /// Its weapons, as requests have them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weapons: Vec<String>,
    /// What it may take.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub options: Vec<OptionHead>,
}

/// What a unit may take, in short.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct OptionHead {
    /// As requests have it.
    pub id: String,
    /// As people read it.
    pub name: String,
    /// Further words for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<String>,
    /// The weapons that it brings, as requests have them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weapons: Vec<String>,
    /// Whether each of its weapons is paid for, so that it is taken in numbers.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub counted: bool,
}

/// What people count of a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum CountedForm {
    /// Its models: five Dyke Hands are five people.
    Models,
    /// Whole units: two Bolt-gun Crews are two crews, however many people they are.
    Units,
}

impl UnitHead {
    /// Whether its name is that of several: `the Dyke Hands have`, but `the Heron Carriage has`.
    pub fn counts_as_many(&self) -> bool {
        self.most > 1 && self.name == self.plural
    }

    /// Whether people count whole units of it that are several models each: two crews, not six people.
    pub fn is_counted_whole(&self) -> bool {
        !self.armoured && self.least > 1 && self.counted == CountedForm::Units
    }

    /// How it is counted aloud; `words` are the club's for one model and for several.
    pub fn counting<'a>(&'a self, words: (&'a str, &'a str)) -> Counting<'a> {
        Counting {
            singular: &self.singular,
            plural: &self.plural,
            counted: self.counted.into(),
            models: (self.least.max(1), self.most.max(1)),
            words,
        }
    }
}

impl From<CountedForm> for Counted {
    fn from(counted: CountedForm) -> Self {
        match counted {
            CountedForm::Models => Self::Models,
            CountedForm::Units => Self::Units,
        }
    }
}

impl From<Counted> for CountedForm {
    fn from(counted: Counted) -> Self {
        match counted {
            Counted::Models => Self::Models,
            Counted::Units => Self::Units,
        }
    }
}
