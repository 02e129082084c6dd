//! Who fights, as people count them: `three Ram Barges`, `the Heron Carriage`, `7 Bolt-gun Crews (20 models)`.
use crate::wire::matchup::SideForm;
use crate::wire::packs::PackAnswer;

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
    pub fn of(names: &PackAnswer, side: &SideForm) -> Self {
        let id = &side.unit;
        let Some(unit) = names.unit(id) else { return Self { name: id.clone(), many: false } };
        let said = side.left.filter(|_| !unit.armoured).or(side.models);
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
