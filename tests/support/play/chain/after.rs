//! Windows of turns, and rolls made afterwards.
use super::{Aftermath, Chain, Counted, State, Target, Volley};
use crate::play::{Luck, roll::Roll};
use serde_json::Value;

/// The first and the last turn in which something of a duel is done; `uses` are so many, the first of them.
pub fn window(of: &Value) -> Option<(u64, u64)> {
    let turns = of["turns"].as_array().map(|turns| {
        let turn = |n: usize| turns[n].as_u64().expect("a turn");
        (turn(0), turn(1))
    });
    let Some(uses) = of["uses"].as_u64() else { return turns };
    let (from, to) = turns.unwrap_or((1, u64::MAX));
    Some((from, to.min(from + uses - 1)))
}

impl Volley {
    /// Whether it is made in a turn, counted from 1.
    pub fn is_fired(&self, turn: u64) -> bool {
        self.turns.is_none_or(|(from, to)| (from..=to).contains(&turn))
    }
}

impl Aftermath {
    pub fn read(of: &Value) -> Self {
        let when = &of["when"];
        let counted = match (when.get("models"), when.get("health_lost"), when.get("passed")) {
            (Some(_), ..) => Counted::Models,
            (_, Some(_), _) => Counted::HealthLost,
            (.., Some(passed)) => Counted::Passed(passed["step"].as_str().expect("a step").to_string()),
            _ if when["wrecked"] == true => Counted::Wrecked,
            _ => panic!("nothing counted: {when}"),
        };
        let wrecks = matches!(counted, Counted::Wrecked);
        Self {
            counted,
            at_least: when["at_least"].as_i64().unwrap_or(1),
            roll: of.get("needs").filter(|needs| !needs.is_null()).map(|_| Roll::read(of)),
            per_point: of["per_point"].as_i64().unwrap_or(0),
            even_destroyed: of["even_destroyed"].as_bool().unwrap_or(wrecks),
        }
    }

    pub fn play(&self, chain: &Chain, state: &State, luck: &mut dyn Luck) -> Option<bool> {
        let count = match (&self.counted, &chain.target) {
            (Counted::Passed(name), _) => {
                chain.steps().zip(&state.passed).filter(|(s, _)| s.name == *name).map(|(_, passed)| passed).sum()
            }
            (Counted::Models | Counted::Wrecked, _) => i64::try_from(state.losses.gone).expect("small"),
            (Counted::HealthLost, Target::Soldiers(target)) => target.health_lost(&state.losses),
            (Counted::HealthLost, Target::Armoured(_)) => panic!("no health"),
        };
        if count < self.at_least || (chain.nothing_left(&state.losses) && !self.even_destroyed) {
            return Some(false);
        }
        let Some(mut roll) = self.roll.clone() else { return Some(true) };
        roll.modifier += self.per_point * count;
        Some(roll.roll(luck)?.success)
    }
}
