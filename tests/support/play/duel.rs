//! A duel, one side's turn after the other.
use super::{
    Game, Luck, Progress,
    chain::{self, Aftermath, Chain, Counted, Counters, Losses, Target, Watch},
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
    sheds: [Vec<Shed>; 2],
    /// What may end the other side after an attack of each side.
    ends: [Vec<End>; 2],
    first: String,
    turns: usize,
}

#[derive(Clone, Debug)]
struct Mend {
    roll: Roll,
    rolls: Value,
    restores: Dice,
}

/// What a side takes off a counter of its own; all of it where no amount is said.
#[derive(Clone, Debug)]
struct Shed {
    name: String,
    amount: Option<Dice>,
    roll: Roll,
}

/// A roll afterwards that ends the other side, and its window of turns.
#[derive(Clone, Debug)]
struct End {
    after: Aftermath,
    window: Option<(u64, u64)>,
}

/// What is done next; the last one comes first.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Task {
    Begin,
    Repair(usize),
    RepairRolls(usize, i64),
    Shed(usize, usize),
    /// By this side, with so many standing and its counters at that time, where that was looked at before.
    Attack(usize, Option<(usize, Vec<i64>)>, Option<i64>),
    /// All volleys of one order.
    Order(i64),
    /// What may end the other side, for what it lost since it stood like this.
    Ends(usize, Losses),
    /// The same for what it lost in this turn of volleys by their order.
    EndsOfTurn(usize),
    /// Both stand as they do: what they lose in a turn is counted from here.
    Mark,
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
    /// How both stood after the repairs of the turn.
    marked: [Losses; 2],
    tasks: Vec<Task>,
}

impl Duel {
    /// From the request, which must be right.
    pub fn read(request: &Value) -> Self {
        let sides = [&request["a"], &request["b"]];
        let on = |attack: &Value, target: &Value| {
            let mut whole = attack.clone();
            whole["target"] = target.clone();
            Chain { watch: Watch::Target, aftermath: Vec::new(), ..Chain::read(&whole) }
        };
        let shed = |of: &Value| Shed {
            name: of["name"].as_str().expect("a counter").to_string(),
            amount: (of["amount"] != "all").then(|| Dice::field(of, "amount", Dice::fixed(0))),
            roll: Roll::read(&if of["needs"].is_null() { json!({"needs": "auto"}) } else { of.clone() }),
        };
        let sheds = |side: &Value| match &side["sheds"] {
            Value::Array(all) => all.iter().map(shed).collect(),
            Value::Null => Vec::new(),
            one => vec![shed(one)],
        };
        let end = |of: &Value| End { after: Aftermath::read(of), window: chain::window(of) };
        let ends = |side: &Value| {
            let rows = side["attack"]["aftermath"].as_array().into_iter().flatten();
            rows.filter(|row| row["ends"] == true).map(end).collect()
        };
        let idle = |side: &Value| on(&json!({"attackers": 0}), &side["target"]);
        let attack = |side: &Value, other: &Value| {
            let attack = side.get("attack").map(|attack| on(attack, &other["target"]))?;
            Some(Chain { own_counters: Counters::read(&side["target"]), ..attack })
        };
        Self {
            attacks: [attack(sides[0], sides[1]), attack(sides[1], sides[0])],
            sides: sides.map(idle),
            repairs: sides.map(|side| side.get("repair").map(Mend::read)),
            sheds: sides.map(sheds),
            ends: sides.map(ends),
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
        let mut tasks = Vec::new();
        let start = |side: usize, tasks: &mut Vec<Task>| {
            tasks.extend((0..self.sheds[side].len()).map(|shed| Task::Shed(side, shed)));
            tasks.push(Task::Repair(side));
        };
        match self.first.as_str() {
            "together" => {
                start(0, &mut tasks);
                start(1, &mut tasks);
                let counted = |side| Task::Attack(side, Some((self.standing(side, state), Vec::new())), None);
                tasks.extend([Task::Mark, counted(0), counted(1), Task::Harm(0), Task::Harm(1)]);
            }
            "order" => {
                start(0, &mut tasks);
                start(1, &mut tasks);
                tasks.push(Task::Mark);
                let orders = [self.orders(0, state), self.orders(1, state)];
                let mut all = orders.concat();
                all.sort_unstable();
                all.dedup();
                for order in all.into_iter().rev() {
                    tasks.push(Task::Order(order));
                    let last = |side: &usize| orders[*side].iter().min() == Some(&order);
                    tasks.extend((0..2).filter(last).map(Task::EndsOfTurn));
                }
            }
            _ => {
                let (first, second) = if state.a_first { (0, 1) } else { (1, 0) };
                for side in [first, second] {
                    start(side, &mut tasks);
                    tasks.extend([Task::Attack(side, None, None), Task::Harm(side)]);
                }
            }
        }
        tasks
    }

    /// The orders of a side's volleys that are made in this turn.
    fn orders(&self, side: usize, state: &State) -> Vec<i64> {
        let turn = u64::try_from(state.turn).expect("few") + 1;
        let volleys = self.attacks[side].iter().flat_map(|attack| &attack.volleys);
        volleys.filter(|volley| volley.is_fired(turn)).map(|volley| volley.order).collect()
    }

    /// Rolls what may end the other side.
    fn end(&self, side: usize, before: &Losses, state: &mut State, luck: &mut dyn Luck) {
        let (other, turn) = (1 - side, u64::try_from(state.turn).expect("few") + 1);
        for End { after, window } in &self.ends[side] {
            if self.standing(other, state) == 0 || !window.is_none_or(|(from, to)| (from..=to).contains(&turn)) {
                continue;
            }
            let now = &state.losses[other];
            let count = match (&after.counted, &self.sides[other].target) {
                (Counted::HealthLost, Target::Soldiers(target)) => target.health_lost(now) - target.health_lost(before),
                _ => i64::try_from(now.gone).expect("few") - i64::try_from(before.gone).expect("few"),
            };
            if count < after.at_least {
                continue;
            }
            let comes = after.roll.clone().is_none_or(|mut roll| {
                roll.modifier += after.per_point * count;
                roll.roll(luck).expect("a roll against a number").success
            });
            if comes {
                state.losses[other].gone += self.standing(other, state);
                state.losses[other].missing = 0;
            }
        }
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
            Task::Shed(side, shed) => {
                let Shed { name, amount, roll } = &self.sheds[side][shed];
                if self.standing(side, state) > 0 && roll.roll(luck).expect("a roll against a number").success {
                    let points = amount.as_ref().map(|dice| dice.total(luck));
                    self.sides[side].counters.take(name, points, &mut state.losses[side].counters);
                }
            }
            Task::Mark => {
                state.marked = state.losses.clone();
                // What both look at together is how they stand now.
                let marked = state.losses.clone();
                for task in &mut state.tasks {
                    if let Task::Attack(side, Some((_, counters)), None) = task {
                        counters.clone_from(&marked[*side].counters);
                    }
                }
            }
            Task::Order(order) => {
                if !self.over(state) {
                    let counted = |side: usize| (self.standing(side, state), state.losses[side].counters.clone());
                    let acts = |side: &usize| self.orders(*side, state).contains(&order);
                    let attacks = (0..2).filter(acts).map(|side| Task::Attack(side, Some(counted(side)), Some(order)));
                    let tasks: Vec<Task> = attacks.chain([Task::Harm(0), Task::Harm(1)]).collect();
                    state.tasks.extend(tasks.into_iter().rev());
                }
            }
            Task::Ends(side, before) => self.end(side, &before, state, luck),
            Task::EndsOfTurn(side) => {
                let before = state.marked[1 - side].clone();
                self.end(side, &before, state, luck);
            }
            Task::Attack(side, counted, order) => {
                let stopped = counted.is_none() && self.over(state);
                let (standing, own) =
                    counted.unwrap_or_else(|| (self.standing(side, state), state.losses[side].counters.clone()));
                if let Some(attack) = self.attacks[side].as_ref().filter(|_| standing > 0 && !stopped) {
                    let losses = state.losses[1 - side].clone();
                    if order.is_none() {
                        state.tasks.push(Task::Ends(side, losses.clone()));
                    }
                    let begun = attack.begin(losses, u32::try_from(standing).expect("few"), state.turn, order, own);
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
        State {
            turn: 0,
            a_first: true,
            marked: losses.clone(),
            losses,
            harm: [Vec::new(), Vec::new()],
            tasks: Vec::new(),
        }
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
            for (side, name) in ["a counter", "b counter"].into_iter().enumerate() {
                for (counter, value) in state.losses[side].counters.iter().enumerate() {
                    luck.note((name, counter), *value);
                }
            }
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
        if self.over(state) {
            // Nothing is left to fight; turns go on for whoever takes something off its counters.
            for side in 0..2 {
                state.tasks.extend((0..self.sheds[side].len()).rev().map(|shed| Task::Shed(side, shed)));
            }
        } else {
            state.tasks.push(Task::Begin);
        }
        Progress::Going
    }
}
