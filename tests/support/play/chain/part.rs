//! The parts of a step, as the request says them.
use super::{
    State,
    counters::{self, Counts},
};
use crate::play::{
    Luck,
    dice::Dice,
    roll::{self, Goal, Roll},
};
use serde_json::Value;

/// What a success gets beyond coming through.
#[derive(Clone, Debug)]
pub struct Gain {
    /// Of a margin: the difference from which it is given.
    pub at_least: i64,
    pub extra: Dice,
    pub damage: Dice,
    pub then: Vec<(String, Change)>,
}

/// Changed numbers of a step: the last one put in place of each (what is absent stays), and all that was added.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Change {
    pub more_needed: i64,
    pub more_modifier: i64,
    pub more_added: i64,
    pub more_against: i64,
    pub needs: Option<String>,
    pub modifier: Option<i64>,
    pub add: Option<i64>,
    pub against: Option<i64>,
}

#[derive(Clone, Debug)]
pub struct Backfire {
    pub on: Option<i64>,
    pub saved: Roll,
    pub harm: Dice,
}

/// A roll before the attacks of an attacker, or of all of them.
#[derive(Clone, Debug)]
pub struct Gate {
    pub roll: Roll,
    pub backfire: Option<Backfire>,
    pub per_volley: bool,
}

#[derive(Clone, Debug)]
pub struct Step {
    pub name: String,
    pub by_defender: bool,
    /// What each success past it adds to the target's counters.
    pub counts: Counts,
    pub kind: Kind,
}

#[derive(Clone, Debug)]
#[expect(clippy::large_enum_variant, reason = "a test's few steps")]
pub enum Kind {
    Roll {
        roll: Roll,
        critical: Option<Gain>,
        margins: Vec<Gain>,
        backfire: Option<Backfire>,
    },
    Penetrate(Box<Penetrate>),
    /// Its dice and modifier, and its rows, lowest first.
    Table {
        roll: Roll,
        rows: Vec<TableRow>,
    },
}

/// A row of a table: what the success gets, whether the attack ends there, what it adds to counters.
#[derive(Clone, Debug)]
pub struct TableRow {
    pub gain: Gain,
    pub ends: bool,
    pub counts: Counts,
}

#[derive(Clone, Debug)]
pub struct Penetrate {
    pub dice: Dice,
    pub add: i64,
    pub against: i64,
    pub reroll: String,
    pub bonus: Option<(i64, Dice)>,
    pub equal_breaches: bool,
    pub graze: Dice,
    pub breach: Dice,
    pub graze_counts: Counts,
    pub breach_counts: Counts,
    pub chart: Option<Chart>,
}

#[derive(Clone, Debug)]
pub struct Chart {
    pub dice: Dice,
    pub modifier: i64,
    pub rows: Vec<Row>,
}

#[derive(Clone, Debug)]
pub struct Row {
    pub at_least: i64,
    pub structure: Dice,
    pub status: Option<String>,
    pub wrecked: bool,
    pub counts: Counts,
    pub repeated: Option<(Dice, bool)>,
}

fn nothing() -> Dice {
    Dice::fixed(0)
}

pub fn changes(then: &Value) -> Vec<(String, Change)> {
    let whole = |v: &Value, name: &str| v.get(name).and_then(Value::as_i64);
    let plus = |v: &Value, name: &str| v[name]["plus"].as_i64().unwrap_or(0);
    let change = |v: &Value| Change {
        more_needed: plus(v, "needs"),
        more_modifier: plus(v, "modifier"),
        more_added: plus(v, "add"),
        more_against: plus(v, "against"),
        needs: v["needs"].as_str().map(String::from),
        modifier: whole(v, "modifier"),
        add: whole(v, "add"),
        against: whole(v, "against"),
    };
    then.as_object().into_iter().flatten().map(|(name, v)| (name.clone(), change(v))).collect()
}

impl Change {
    /// This one laid over an earlier one.
    pub fn over(&self, earlier: &Self) -> Self {
        Self {
            more_needed: self.more_needed + earlier.more_needed,
            more_modifier: self.more_modifier + earlier.more_modifier,
            more_added: self.more_added + earlier.more_added,
            more_against: self.more_against + earlier.more_against,
            needs: self.needs.clone().or_else(|| earlier.needs.clone()),
            modifier: self.modifier.or(earlier.modifier),
            add: self.add.or(earlier.add),
            against: self.against.or(earlier.against),
        }
    }

    pub fn apply_to_roll(&self, roll: &mut Roll) {
        if let Some(needs) = &self.needs {
            roll.goal = roll::goal(needs);
        }
        match &mut roll.goal {
            Goal::AtLeast(number) | Goal::AtMost(number) => *number += self.more_needed,
            Goal::Auto | Goal::Never | Goal::Versus { .. } => {}
        }
        roll.modifier = self.modifier.unwrap_or(roll.modifier) + self.more_modifier;
    }
}

impl Gain {
    fn read(of: &Value) -> Self {
        Self {
            at_least: of["at_least"].as_i64().unwrap_or(0),
            extra: Dice::field(of, "extra", nothing()),
            damage: Dice::field(of, "damage", nothing()),
            then: changes(&of["then"]),
        }
    }
}

impl Gate {
    pub fn read(of: &Value) -> Self {
        let roll = Roll::read(of);
        let backfire = of.get("backfire").filter(|backfire| !backfire.is_null()).map(|backfire| {
            let read = Backfire::read(backfire, &roll);
            // Saved with the same dice, all that is kept of them.
            let saved = Roll { dice: roll.dice.clone(), keep: roll.keep, ..read.saved.clone() };
            Backfire { saved, ..read }
        });
        Self { roll, backfire, per_volley: of["per"] == "volley" }
    }

    /// Whether it lets them attack; its backfire happens either way. Nothing where the dice give up.
    pub fn roll(&self, change: &Change, state: &mut State, luck: &mut dyn Luck) -> Option<bool> {
        let mut roll = self.roll.clone();
        change.apply_to_roll(&mut roll);
        let rolled = roll.roll(luck)?;
        if let (Some(natural), Some(backfire)) = (rolled.natural, &self.backfire) {
            let face = backfire.face(&roll);
            let backfires = natural == face || !roll.as_good(natural, face);
            if backfires && !backfire.saved.roll(luck)?.success {
                state.backfires += 1;
                state.harm.push(backfire.harm.total(luck));
                state.harm.retain(|points| *points > 0);
            }
        }
        Some(rolled.success)
    }
}

impl Step {
    pub fn read(of: &Value) -> Self {
        let kind = if of["kind"] == "table" {
            // It has neither success nor failure: what it would need is never looked at.
            let mut needed = of.clone();
            needed["needs"] = serde_json::json!("1+");
            let row = |row: &Value| TableRow {
                gain: Gain::read(row),
                ends: row["ends"].as_bool().unwrap_or(false),
                counts: counters::counts(row),
            };
            let rows = of["rows"].as_array().expect("rows").iter().map(row).collect();
            Kind::Table { roll: Roll::read(&needed), rows }
        } else if of["kind"] == "penetrate" {
            Kind::Penetrate(Box::new(Penetrate::read(of)))
        } else {
            let roll = Roll::read(of);
            let given = |name: &str| of.get(name).filter(|v| !v.is_null());
            Kind::Roll {
                critical: given("critical").map(Gain::read),
                margins: of["margin"].as_array().into_iter().flatten().map(Gain::read).collect(),
                backfire: given("backfire").map(|b| Backfire::read(b, &roll)),
                roll,
            }
        };
        let name = of["name"].as_str().expect("a step's name").to_string();
        Self { name, by_defender: of["by"] == "defender", counts: counters::counts(of), kind }
    }
}

/// The worst natural face of a roll, unless a backfire names another.
fn worst(roll: &Roll) -> i64 {
    if roll.mirrored() { roll.dice.sides() } else { 1 }
}

impl Backfire {
    /// The face on which a roll backfires.
    pub fn face(&self, roll: &Roll) -> i64 {
        self.on.unwrap_or_else(|| worst(roll))
    }

    fn read(of: &Value, step: &Roll) -> Self {
        let die = Dice::one(u32::try_from(step.dice.sides()).expect("a die"));
        let goal = of["needs"].as_str().map_or(Goal::Never, roll::goal);
        let plain = Roll::read(&serde_json::json!({"needs": "auto"}));
        // Not given (or given as just that) it is the worst face of the roll as it is made, which mirrors as all that
        // speaks of natural faces does.
        Self {
            on: of["on"].as_i64().filter(|on| *on != worst(step)),
            saved: Roll { dice: die, goal, ..plain },
            harm: Dice::field(of, "harm", nothing()),
        }
    }
}

impl Penetrate {
    fn read(of: &Value) -> Self {
        let structure = |name: &str| Dice::field(&of[name], "structure", nothing());
        let critical = of.get("critical").filter(|c| !c.is_null());
        Self {
            dice: Dice::field(of, "dice", Dice::one(6)),
            add: of["add"].as_i64().unwrap_or(0),
            against: of["against"].as_i64().expect("against"),
            reroll: of["reroll"].as_str().unwrap_or("none").to_string(),
            bonus: critical.map(|c| (c["on"].as_i64().expect("on"), Dice::field(c, "add", nothing()))),
            equal_breaches: of["equal"] == "breach",
            graze: structure("graze"),
            breach: structure("breach"),
            graze_counts: counters::counts(&of["graze"]),
            breach_counts: counters::counts(&of["breach"]),
            chart: of["breach"].get("chart").filter(|c| !c.is_null()).map(Chart::read),
        }
    }
}

impl Chart {
    fn read(of: &Value) -> Self {
        let row = |row: &Value| Row {
            at_least: row["at_least"].as_i64().expect("at_least"),
            structure: Dice::field(row, "structure", nothing()),
            status: row["status"].as_str().map(String::from),
            wrecked: row["wrecked"].as_bool().unwrap_or(false),
            counts: counters::counts(row),
            repeated: row
                .get("repeated")
                .filter(|r| !r.is_null())
                .map(|r| (Dice::field(r, "structure", nothing()), r["wrecked"].as_bool().unwrap_or(false))),
        };
        Self {
            dice: Dice::field(of, "dice", Dice::one(6)),
            modifier: of["modifier"].as_i64().unwrap_or(0),
            rows: of["rows"].as_array().expect("rows").iter().map(row).collect(),
        }
    }
}
