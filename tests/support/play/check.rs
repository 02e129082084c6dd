//! A check: one try after another.
use super::{
    Game, Luck, Progress,
    roll::{Goal, Roll, Rolled},
};
use serde_json::Value;

#[derive(Clone, Debug)]
pub struct Check {
    /// One roll per try.
    pub tries: Vec<Roll>,
    budget: u64,
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct State {
    at: usize,
    passes: i64,
    first: Option<usize>,
    budget: u64,
}

impl Check {
    /// From the request, which must be right.
    pub fn read(request: &Value) -> Self {
        let one = |needs: Option<&Value>| {
            let mut request = request.clone();
            if let Some(needs) = needs {
                request["needs"] = needs.clone();
            }
            Roll::read(&request)
        };
        let tries = usize::try_from(request["tries"].as_u64().unwrap_or(1)).expect("small");
        let tries = match request["needs"].as_array() {
            Some(list) => list.iter().map(|needs| one(Some(needs))).collect(),
            None => vec![one(None); tries],
        };
        Self { tries, budget: request["rerolls"].as_u64().unwrap_or(0) }
    }

    /// The first try, without the budget.
    pub fn first_alone(&self) -> Self {
        Self { tries: self.tries[..1].to_vec(), budget: 0 }
    }
}

fn rolled(roll: &Roll, luck: &mut dyn Luck) -> Option<Rolled> {
    let rolled = roll.roll(luck)?;
    if rolled.natural.is_some() {
        return Some(rolled);
    }
    // Not rolled; the total is what the dice would show against nothing.
    let total = Roll { goal: Goal::AtLeast(1), reroll: "none".into(), ..roll.clone() }.roll(luck)?.total;
    Some(Rolled { total, ..rolled })
}

impl Game for Check {
    type State = State;

    fn start(&self) -> State {
        State { at: 0, passes: 0, first: None, budget: self.budget }
    }

    fn advance(&self, state: &mut State, luck: &mut dyn Luck) -> Progress {
        let Some(roll) = self.tries.get(state.at) else {
            luck.note(("passes", 0), state.passes);
            for at in 0..self.tries.len() {
                luck.note(("first_pass", at), (state.first == Some(at)).into());
            }
            return Progress::Over;
        };
        let Some(mut last) = rolled(roll, luck) else { return Progress::Void };
        if !last.success && state.budget > 0 && last.natural.is_some() {
            state.budget -= 1;
            let Some(second) = rolled(roll, luck) else { return Progress::Void };
            last = second;
        }
        luck.note(("chance", state.at), last.success.into());
        luck.note(("total", state.at), last.total);
        if last.success {
            state.passes += 1;
            state.first = state.first.or(Some(state.at));
        }
        state.at += 1;
        Progress::Between
    }
}
