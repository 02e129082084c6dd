//! Who fights, as people count them: `three Ram Barges`, `the Heron Carriage`, `7 Bolt-gun Crews (20 models)`.
use crate::client::index::PackIndex;
use crate::draft::Draft;
use serde_json::Value as Json;

/// Somebody in a sentence, with whether it is several.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Who {
    /// As a sentence has it.
    pub name: String,
    /// Whether its verbs are those of several.
    pub many: bool,
}

impl Who {
    /// A side of a question: what stands of it where that was said, else its models, else its fewest.
    pub fn of(names: &PackIndex, side: &Json) -> Self {
        let id = side.unit_id().unwrap_or_default();
        let Some(unit) = names.unit(id) else { return Self { name: id.to_owned(), many: false } };
        let left = side.left().filter(|_| !unit.armoured);
        let said = left.or(side.models()).and_then(|number| u32::try_from(number).ok());
        let counting = names.counting(unit);
        match said {
            // One that is always one: the only one there is.
            None if unit.least <= 1 => Self { name: format!("the {}", counting.singular), many: false },
            said => {
                let models = said.unwrap_or(unit.least);
                Self { name: counting.say(models), many: counting.is_several(models) }
            }
        }
    }
}

impl Who {
    /// Two sides of one sentence: where their names alone would not tell them apart, they are yours and the enemy's.
    pub fn against(self, other: Self) -> (Self, Self) {
        if self.name != other.name {
            return (self, other);
        }
        let (yours, theirs) = match self.name.strip_prefix("the ") {
            Some(name) => (format!("your {name}"), format!("the enemy {name}")),
            None => (format!("your {}", self.name), format!("the enemy's {}", self.name)),
        };
        (Self { name: yours, ..self }, Self { name: theirs, ..other })
    }
}
