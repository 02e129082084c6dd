//! A duel, one side's turn after the other.
use super::{
    Game, Luck, Progress,
    chain::{self, Chain, Losses, Target, Watch},
    dice::Dice,
    roll::Roll,
};
use serde_json::{Value, json};

#[derive(Clone, Debug)]
pub struct Duel {
    /// Each side's attack on the other; without one nothing.
    attacks: [Option<Chain>; 2],
    /// A chain that hurts nobody, on each side, for what it knows of its target.
    sides: [Chain; 2],
    repairs: [Option<Mend>; 2],
    first: String,
    turns: usize,
}

#[derive(Clone, Debug)]
struct Mend {
    roll: Roll,
    rolls: Value,
    restores: Dice,
}

/// What is done next; the last one comes first.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Task {
    Begin,
    Repair(usize),
    RepairRolls(usize, i64),
    /// By this side, with so many standing, where that was counted before.
    Attack(usize, Option<usize>),
    Attacking(usize, chain::State),
    Harm(usize),
    End,
}

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct State {
    turn: usize,
    a_first: bool,
    losses: [Losses; 2],
    /// What its own backfires have in store for each side.
    harm: [Vec<i64>; 2],
    tasks: Vec<Task>,
}

impl Duel {
    /// From the request, which must be right.
    pub fn read(request: &Value) -> Self {
        let sides = [&request["a"], &request["b"]];
        let on = |attack: &Value, target: &Value| {
            let mut whole = attack.clone();
            whole["target"] = target.clone();
            Chain { watch: Watch::Target, ..Chain::read(&whole) }
        };
        let idle = |side: &Value| on(&json!({"attackers": 0}), &side["target"]);
        let attack = |side: &Value, other: &Value| side.get("attack").map(|attack| on(attack, &other["target"]));
        Self {
            attacks: [attack(sides[0], sides[1]), attack(sides[1], sides[0])],
            sides: sides.map(idle),
            repairs: sides.map(|side| side.get("repair").map(Mend::read)),
            first: request["first"].as_str().unwrap_or("a").to_string(),
            turns: usize::try_from(request["turns"].as_u64().unwrap_or(6)).expect("few"),
        }
    }

    fn standing(&self, side: usize, state: &State) -> usize {
        let all = match &self.sides[side].target {
            Target::Soldiers(target) => target.models.len(),
            Target::Armoured(target) => target.units,
        };
        all - state.losses[side].gone
    }

    fn over(&self, state: &State) -> bool {
        (0..2).any(|side| self.standing(side, state) == 0)
    }

    /// The turn's tasks, in order.
    fn turn(&self, state: &State) -> Vec<Task> {
        if self.first == "together" {
            let counted = |side| Task::Attack(side, Some(self.standing(side, state)));
            return vec![Task::Repair(0), Task::Repair(1), counted(0), counted(1), Task::Harm(0), Task::Harm(1)];
        }
        let one = |side| [Task::Repair(side), Task::Attack(side, None), Task::Harm(side)];
        let (first, second) = if state.a_first { (0, 1) } else { (1, 0) };
        one(first).into_iter().chain(one(second)).collect()
    }

    fn mend(&self, side: usize, left: i64, state: &mut State, luck: &mut dyn Luck) {
        if left == 0 {
            return;
        }
        let mend = self.repairs[side].as_ref().expect("a repair");
        if mend.roll.roll(luck).expect("a roll against a number").success {
            let points = mend.restores.total(luck);
            state.losses[side].missing -= points.min(state.losses[side].missing);
        }
        state.tasks.push(Task::RepairRolls(side, left - 1));
    }

    fn perform(&self, task: Task, state: &mut State, luck: &mut dyn Luck) -> Option<()> {
        match task {
            Task::Begin => state.tasks.extend(self.turn(state).into_iter().rev()),
            Task::Repair(side) => {
                let rolls = self.repairs[side].as_ref().filter(|_| self.standing(side, state) > 0).map(|mend| {
                    let each = mend.rolls == "each_missing";
                    if each { state.losses[side].missing } else { mend.rolls.as_i64().unwrap_or(1) }
                });
                state.tasks.extend(rolls.map(|rolls| Task::RepairRolls(side, rolls)));
            }
            Task::RepairRolls(side, left) => self.mend(side, left, state, luck),
            Task::Attack(side, counted) => {
                let standing = counted.unwrap_or(self.standing(side, state));
                if let Some(attack) = self.attacks[side].as_ref().filter(|_| standing > 0 && !self.stopped(state)) {
                    let losses = state.losses[1 - side].clone();
                    let begun = attack.begin(losses, u32::try_from(standing).expect("few"), state.turn);
                    state.tasks.push(Task::Attacking(side, begun));
                }
            }
            Task::Attacking(side, mut attacking) => {
                let attack = self.attacks[side].as_ref().expect("an attack");
                match attack.advance(&mut attacking, &mut Unnoted(luck)) {
                    Progress::Void => return None,
                    Progress::Over => {
                        state.losses[1 - side] = attacking.losses;
                        state.harm[side] = attacking.harm;
                    }
                    _ => state.tasks.push(Task::Attacking(side, attacking)),
                }
            }
            Task::Harm(side) => {
                let packets = std::mem::take(&mut state.harm[side]);
                self.sides[side].put_packets(packets, &mut state.losses[side], luck);
            }
            Task::End => {
                self.note_turn(state, luck);
                state.turn += 1;
            }
        }
        Some(())
    }

    /// In turn about, whoever is left when the other is gone has nothing to attack.
    fn stopped(&self, state: &State) -> bool {
        self.first != "together" && self.over(state)
    }

    fn note_turn(&self, state: &State, luck: &mut dyn Luck) {
        let gone = [0, 1].map(|side| self.standing(side, state) == 0);
        luck.note(("a_destroyed", state.turn), gone[0].into());
        luck.note(("b_destroyed", state.turn), gone[1].into());
        luck.note(("both_standing", state.turn), (!gone[0] && !gone[1]).into());
    }
}

impl Mend {
    fn read(of: &Value) -> Self {
        let each = of["rolls"] == "each_missing";
        Self {
            roll: Roll::read(of),
            rolls: of["rolls"].clone(),
            restores: if each { Dice::fixed(1) } else { Dice::field(of, "restores", Dice::fixed(1)) },
        }
    }
}

/// An attack's own notes are nobody's business here.
struct Unnoted<'a>(&'a mut dyn Luck);

impl Luck for Unnoted<'_> {
    fn even(&mut self, n: u32) -> u32 {
        self.0.even(n)
    }
    fn weighted(&mut self, weights: &[u64]) -> usize {
        self.0.weighted(weights)
    }
    fn note(&mut self, _key: super::Key, _value: i64) {}
    fn anew(&mut self) -> bool {
        self.0.anew()
    }
}

impl Game for Duel {
    type State = State;

    fn start(&self) -> State {
        // The attack on a side knows which marks it can leave.
        let under = |side: usize| self.attacks[1 - side].as_ref().unwrap_or(&self.sides[side]);
        let losses = [0, 1].map(|side| under(side).start().losses);
        State { turn: 0, a_first: true, losses, harm: [Vec::new(), Vec::new()], tasks: Vec::new() }
    }

    fn advance(&self, state: &mut State, luck: &mut dyn Luck) -> Progress {
        if let Some(task) = state.tasks.pop() {
            let ended = task == Task::End;
            return match self.perform(task, state, luck) {
                None => Progress::Void,
                Some(()) if ended => Progress::Between,
                Some(()) => Progress::Going,
            };
        }
        if state.turn == self.turns {
            luck.note(("a left", 0), i64::try_from(self.standing(0, state)).expect("few"));
            luck.note(("b left", 0), i64::try_from(self.standing(1, state)).expect("few"));
            luck.note(("never_settled", 0), (!self.over(state)).into());
            return Progress::Over;
        }
        if state.turn == 0 {
            state.a_first = match self.first.as_str() {
                "b" => false,
                "roll" => luck.even(2) == 0,
                _ => true,
            };
        }
        state.tasks.push(Task::End);
        if !self.over(state) {
            state.tasks.push(Task::Begin);
        }
        Progress::Going
    }
}
