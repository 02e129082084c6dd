//! A chain, attack by attack: the request read, and the order of play.
use super::{Game, Luck, Progress, dice::Dice, roll::Roll};
use part::Gate;
use serde_json::Value;

mod after;
mod armour;
mod attack;
mod counters;
mod part;
mod soldiers;
pub use after::window;
pub use attack::{Attack, Task, in_favour};
pub use counters::Counters;
pub use part::{Change, Kind, Step};

/// A chain ready to be played.
#[derive(Clone, Debug)]
pub struct Chain {
    pub volleys: Vec<Volley>,
    pub target: Target,
    pub aftermath: Vec<Aftermath>,
    /// Of the target.
    pub counters: Counters,
    /// Of the side that attacks, in a duel.
    pub own_counters: Counters,
    /// Which counts are noted; fewer make fewer positions to go through.
    pub watch: Watch,
}

/// What is noted at the end beside the target's losses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Watch {
    /// Everything.
    All,
    /// The target only.
    Target,
    /// Attacks, `through`, `passed`, `backfires`.
    Counts,
}

#[derive(Clone, Debug)]
pub struct Volley {
    pub attackers: u32,
    /// What lets its attacks be made.
    pub gate: Option<Gate>,
    pub attacks: Dice,
    pub steps: Vec<Step>,
    pub damage: Dice,
    /// What a landing adds to the target's counters.
    pub counts: counters::Counts,
    pub by_counter: Vec<counters::Row>,
    /// What its packets meet in place of the target's own numbers.
    pub in_place: soldiers::InPlace,
    /// The first and the last turn of a duel in which it is fired.
    pub turns: Option<(u64, u64)>,
    pub order: i64,
    /// How many steps the volleys before it have.
    pub before: usize,
}

#[derive(Clone, Debug)]
pub enum Target {
    Soldiers(soldiers::Soldiers),
    Armoured(armour::Armoured),
}

#[derive(Clone, Debug)]
pub struct Aftermath {
    pub counted: Counted,
    pub at_least: i64,
    /// Without one it follows for certain.
    pub roll: Option<Roll>,
    pub per_point: i64,
    /// It happens even where nothing of the target is left.
    pub even_destroyed: bool,
}

#[derive(Clone, Debug)]
pub enum Counted {
    Models,
    HealthLost,
    Wrecked,
    Passed(String),
}

/// What a target has lost so far.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Losses {
    /// Models or units gone.
    pub gone: usize,
    /// Points missing from the one that stands in front.
    pub missing: i64,
    /// Statuses of that one.
    pub has: Vec<bool>,
    /// Statuses ever seen.
    pub seen: Vec<bool>,
    /// Nothing more of this volley counts.
    pub wasted: bool,
    /// Values of the counters.
    pub counters: Vec<i64>,
}

/// A position in the play of a chain.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct State {
    pub volley: usize,
    attackers_left: u32,
    /// Attackers whose gates let them attack; their attacks are not drawn yet.
    let_in: u32,
    attacks_left: i64,
    pub tasks: Vec<Task>,
    pub losses: Losses,
    pub attacks: i64,
    pub through: i64,
    pub backfires: i64,
    /// Damage that backfires have in store for the attacker's own side, in a duel.
    pub harm: Vec<i64>,
    /// For how many the attackers stand, in a duel.
    times: u32,
    /// Turn of a duel, from 0.
    turn: usize,
    /// Where only volleys of one order are made, which.
    order: Option<i64>,
    /// Values of the own counters, in a duel.
    pub own: Vec<i64>,
    /// Past each step, all volleys' steps in one row.
    pub passed: Vec<i64>,
    aftermath: usize,
}

impl Chain {
    /// From the request, which must be right.
    pub fn read(request: &Value) -> Self {
        let own = [request.clone()];
        let mut before = 0;
        let volleys = request["volleys"].as_array().map_or(&own[..], Vec::as_slice).iter().map(|volley| {
            let steps: Vec<_> = volley["steps"].as_array().into_iter().flatten().map(Step::read).collect();
            before += steps.len();
            Volley {
                attackers: u32::try_from(volley["attackers"].as_u64().unwrap_or(1)).expect("attackers"),
                gate: volley.get("gate").filter(|gate| !gate.is_null()).map(Gate::read),
                attacks: Dice::field(volley, "attacks", Dice::fixed(1)),
                damage: Dice::field(volley, "damage", Dice::fixed(1)),
                counts: counters::counts(volley),
                by_counter: counters::rows(volley),
                in_place: soldiers::InPlace::read(volley),
                turns: window(volley),
                order: volley["order"].as_i64().or(request["order"].as_i64()).unwrap_or(0),
                before: before - steps.len(),
                steps,
            }
        });
        let volleys: Vec<Volley> = volleys.collect();
        let target = &request["target"];
        let counters = Counters::read(target);
        let target = match target.get("structure") {
            Some(_) => Target::Armoured(armour::Armoured::read(target, &volleys)),
            None => Target::Soldiers(soldiers::Soldiers::read(target)),
        };
        let aftermath = request["aftermath"].as_array().into_iter().flatten().map(Aftermath::read).collect();
        Self { volleys, target, aftermath, counters, own_counters: Counters::default(), watch: Watch::All }
    }

    /// All steps of all volleys, in order.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.volleys.iter().flat_map(|volley| &volley.steps)
    }

    /// Whether there is nothing left to hurt.
    pub fn nothing_left(&self, losses: &Losses) -> bool {
        match &self.target {
            Target::Soldiers(target) => losses.gone == target.models.len(),
            Target::Armoured(target) => losses.gone == target.units,
        }
    }

    fn next_volley(&self, state: &mut State, volley: usize) {
        state.volley = volley;
        state.losses.wasted = false;
        let turn = u64::try_from(state.turn).expect("few") + 1;
        let in_order = |v: &&Volley| state.order.is_none_or(|order| order == v.order);
        let fired = self.volleys.get(volley).filter(|v| v.is_fired(turn)).filter(in_order);
        state.attackers_left = fired.map_or(0, |v| v.attackers * state.times);
    }

    /// One attack of a duel's turn, by so many, on what is left.
    pub fn begin(&self, losses: Losses, times: u32, turn: usize, order: Option<i64>, own: Vec<i64>) -> State {
        let mut state = self.start();
        (state.losses, state.times, state.turn, state.order, state.own) = (losses, times, turn, order, own);
        self.next_volley(&mut state, 0);
        state
    }

    /// Puts packets of damage on this chain's own target, one after another.
    pub fn put_packets(&self, packets: Vec<i64>, losses: &mut Losses, luck: &mut dyn Luck) {
        for points in packets {
            if self.nothing_left(losses) {
                return;
            }
            match &self.target {
                Target::Soldiers(target) => {
                    let own = soldiers::InPlace::default();
                    let mut packet = Some(target.packet(points, losses, &own));
                    while let Some(left) = packet {
                        packet = target.ignore(left, losses, &own, luck);
                    }
                }
                Target::Armoured(target) => target.lose(points, false, losses),
            }
        }
    }

    /// Drops what is not watched, so that positions which differ in nothing else fall together.
    fn forget(&self, state: &mut State) {
        match self.watch {
            Watch::All => {}
            Watch::Target => {
                (state.attacks, state.through, state.backfires) = (0, 0, 0);
                if !self.aftermath.iter().any(|a| matches!(a.counted, Counted::Passed(_))) {
                    state.passed.fill(0);
                }
            }
            Watch::Counts => {
                if self.target_changes_no_roll() {
                    state.losses = self.fresh();
                }
            }
        }
    }

    fn target_changes_no_roll(&self) -> bool {
        if self.volleys.iter().any(|volley| !volley.by_counter.is_empty()) {
            return false;
        }
        match &self.target {
            Target::Soldiers(target) => target.changes_nothing(),
            Target::Armoured(_) => true,
        }
    }

    fn fresh(&self) -> Losses {
        let losses = match &self.target {
            Target::Soldiers(target) => Losses { missing: target.hurt, ..Losses::default() },
            Target::Armoured(target) => target.fresh(),
        };
        Losses { counters: self.counters.start.clone(), ..losses }
    }

    fn note(&self, state: &State, luck: &mut dyn Luck) {
        if self.watch != Watch::Target {
            luck.note(("attacks", 0), state.attacks);
            luck.note(("through", 0), state.through);
            luck.note(("backfires", 0), state.backfires);
            for (step, passed) in state.passed.iter().enumerate() {
                luck.note(("passed", step), *passed);
            }
        }
        if self.watch != Watch::Counts {
            let gone = self.nothing_left(&state.losses);
            luck.note(("destroyed", 0), gone.into());
            self.counters.note(&state.losses.counters, gone, luck);
            match &self.target {
                Target::Soldiers(target) => target.note(&state.losses, luck),
                Target::Armoured(target) => target.note(&state.losses, luck),
            }
        }
    }
}

impl Game for Chain {
    type State = State;

    fn start(&self) -> State {
        let mut state = State {
            volley: 0,
            attackers_left: 0,
            let_in: 0,
            attacks_left: 0,
            tasks: Vec::new(),
            losses: self.fresh(),
            attacks: 0,
            through: 0,
            backfires: 0,
            harm: Vec::new(),
            times: 1,
            turn: 0,
            order: None,
            own: Vec::new(),
            passed: vec![0; self.steps().count()],
            aftermath: 0,
        };
        self.next_volley(&mut state, 0);
        state
    }

    fn advance(&self, state: &mut State, luck: &mut dyn Luck) -> Progress {
        if let Some(task) = state.tasks.pop() {
            return if self.perform(task, state, luck).is_none() {
                Progress::Void
            } else if state.tasks.is_empty() {
                self.forget(state);
                Progress::Between
            } else {
                Progress::Going
            };
        }
        if state.attackers_left > 0 {
            // One that each has for itself, or one for all of them.
            let volley = &self.volleys[state.volley];
            let together = volley.gate.as_ref().is_none_or(|gate| gate.per_volley);
            let attackers = if together { state.attackers_left } else { 1 };
            state.attackers_left -= attackers;
            let own = (&self.own_counters, &state.own[..]);
            let target = (&self.counters, &state.losses.counters[..]);
            let mut change = part::Change::default();
            if volley.gate.is_some() {
                change = counters::change(&volley.by_counter, "gate", target, own);
            }
            let Some(open) = volley.gate.as_ref().map_or(Some(true), |gate| gate.roll(&change, state, luck)) else {
                return Progress::Void;
            };
            state.let_in += if open { attackers } else { 0 };
            self.forget(state);
            return Progress::Between;
        }
        if state.let_in > 0 {
            state.let_in -= 1;
            let attacks = self.volleys[state.volley].attacks.total(luck);
            state.attacks += attacks;
            state.attacks_left += attacks;
            return Progress::Between;
        }
        if state.attacks_left > 0 {
            state.attacks_left -= 1;
            state.tasks.push(Task::Step(Attack::begun(&state.losses)));
            return Progress::Going;
        }
        if state.volley < self.volleys.len() {
            self.next_volley(state, state.volley + 1);
            return Progress::Between;
        }
        let aftermath = self.aftermath.get(state.aftermath).filter(|_| self.watch != Watch::Counts);
        if let Some(aftermath) = aftermath {
            let Some(success) = aftermath.play(self, state, luck) else { return Progress::Void };
            luck.note(("aftermath", state.aftermath), success.into());
            state.aftermath += 1;
            return Progress::Between;
        }
        self.note(state, luck);
        Progress::Over
    }
}
