//! Repair, turn by turn.
use super::{Game, Luck, Progress, dice::Dice, roll::Roll};
use serde_json::Value;

#[derive(Clone, Debug)]
pub struct Repair {
    capacity: i64,
    missing: i64,
    roll: Roll,
    rolls: Rolls,
    restores: Dice,
    turns: usize,
    incoming: Option<Dice>,
    damage_first: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Rolls {
    Number(i64),
    EachMissing,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Phase {
    Damage,
    Rolls(i64),
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct State {
    turn: usize,
    /// Parts of this turn done.
    done: u8,
    phase: Option<Phase>,
    missing: i64,
    restored: i64,
}

impl Repair {
    /// From the request, which must be right.
    pub fn read(request: &Value) -> Self {
        let whole = |name: &str| request[name].as_i64().expect("a number");
        let rolls = match &request["rolls"] {
            Value::Number(n) => Rolls::Number(n.as_i64().expect("small")),
            Value::String(text) if text == "each_missing" => Rolls::EachMissing,
            _ => Rolls::Number(1),
        };
        let restores = if rolls == Rolls::EachMissing { &Value::Null } else { &request["restores"] };
        let given = |v: &Value| (!v.is_null()).then(|| Dice::read(v));
        Self {
            capacity: whole("capacity"),
            missing: whole("missing"),
            roll: Roll::read(request),
            rolls,
            restores: given(restores).unwrap_or(Dice::fixed(1)),
            turns: usize::try_from(request["turns"].as_u64().unwrap_or(6)).expect("small"),
            incoming: given(&request["incoming"]),
            damage_first: request["order"] != "repair_first",
        }
    }

    /// The roll by itself.
    pub fn roll(&self) -> &Roll {
        &self.roll
    }

    fn destroyed(&self, state: &State) -> bool {
        state.missing == self.capacity
    }

    fn play(&self, phase: Phase, state: &mut State, luck: &mut dyn Luck) {
        match phase {
            Phase::Damage => {
                let points = self.incoming.as_ref().map_or(0, |dice| dice.total(luck));
                state.missing = (state.missing + points).min(self.capacity);
            }
            Phase::Rolls(0) => {}
            Phase::Rolls(left) => {
                if self.roll.roll(luck).expect("a roll against a number").success {
                    let points = self.restores.total(luck).min(state.missing);
                    state.missing -= points;
                    state.restored += points;
                }
                state.phase = Some(Phase::Rolls(left - 1));
            }
        }
    }

    fn note_turn(&self, state: &State, luck: &mut dyn Luck) {
        luck.note(("alive", state.turn), (!self.destroyed(state)).into());
        luck.note(("missing", state.turn), state.missing);
        luck.note(("any_restored", state.turn), (state.restored > 0).into());
        luck.note(("restored_by", state.turn), state.restored);
    }
}

impl Game for Repair {
    type State = State;

    fn start(&self) -> State {
        State { turn: 0, done: 0, phase: None, missing: self.missing, restored: 0 }
    }

    fn advance(&self, state: &mut State, luck: &mut dyn Luck) -> Progress {
        if let Some(phase) = state.phase.take() {
            self.play(phase, state, luck);
            return Progress::Going;
        }
        if state.turn == self.turns {
            luck.note(("restored", 0), state.restored);
            luck.note(("destroyed", 0), self.destroyed(state).into());
            return Progress::Over;
        }
        if state.done == 2 || self.destroyed(state) {
            self.note_turn(state, luck);
            state.turn += 1;
            state.done = 0;
            return Progress::Between;
        }
        let rolls = match self.rolls {
            Rolls::Number(n) => n,
            Rolls::EachMissing => state.missing,
        };
        let damage = (state.done == 0) == self.damage_first;
        state.phase = Some(if damage { Phase::Damage } else { Phase::Rolls(rolls) });
        state.done += 1;
        Progress::Going
    }
}
