//! A weapon or an option that is asked for as if it were a unit.
use super::asked::Halt;
use crate::client::index::{PackIndex, name_words};
use crate::saying::either;

/// A weapon or an option in place of a unit: it asks which unit is meant, of those that have it.
pub(super) fn part(names: &PackIndex, said: &str) -> Option<Halt> {
    let said = name_words(said);
    let is_said = |name: &str| {
        let words = name_words(name);
        !words.is_empty() && said.windows(words.len()).any(|window| window == words)
    };
    let weapon = names.weapons.iter().find(|weapon| is_said(&weapon.name));
    let option = names.units.iter().flat_map(|unit| &unit.options).find(|option| is_said(&option.name));
    let (name, what) = match (weapon, option) {
        (Some(weapon), _) => (&weapon.name, "a weapon"),
        (None, Some(option)) => (&option.name, "an option"),
        (None, None) => return None,
    };
    let mut choices: Vec<String> = Vec::new();
    for unit in &names.units {
        if weapon.is_some_and(|weapon| unit.weapons.contains(&weapon.id)) {
            choices.push(unit.name.clone());
        } else if let Some(option) = unit
            .options
            .iter()
            .find(|option| is_said(&option.name) || weapon.is_some_and(|weapon| option.weapons.contains(&weapon.id)))
        {
            choices.push(format!("{} + {}", unit.name, option.name));
        }
    }
    if choices.is_empty() {
        return None;
    }
    choices.truncate(5);
    let the: Vec<String> = choices.iter().map(|choice| format!("the {choice}")).collect();
    let question = match the.as_slice() {
        [one] => format!("The {} is {what} of {one}. Ask about that unit.", name.to_lowercase()),
        _ => format!("The {} is {what}. Which unit: {}?", name.to_lowercase(), either(&the)),
    };
    Some(Halt::Missing { option: Some("unit"), question, choices })
}
