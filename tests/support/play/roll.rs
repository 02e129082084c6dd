//! One roll: its dice, what it needs, and its re-roll.
use super::{Luck, dice::Dice};
use serde_json::Value;

#[derive(Clone, Debug)]
pub enum Goal {
    AtLeast(i64),
    AtMost(i64),
    Auto,
    Never,
    Versus { dice: Dice, keep: Keep, modifier: i64, ties: Ties },
}

#[derive(Clone, Copy, Debug)]
pub enum Ties {
    Win,
    Lose,
    Again,
}

#[derive(Clone, Copy, Debug)]
pub enum Keep {
    All,
    Highest(usize),
    Lowest(usize),
}

/// Everything that decides a roll.
#[derive(Clone, Debug)]
pub struct Roll {
    pub dice: Dice,
    pub keep: Keep,
    pub goal: Goal,
    pub modifier: i64,
    pub reroll: String,
    pub low_fails: bool,
    pub high_succeeds: bool,
    /// The face, and whether it succeeds by itself.
    pub critical: Option<(i64, bool)>,
}

/// What a roll came to.
#[derive(Clone, Debug)]
pub struct Rolled {
    pub success: bool,
    pub critical: bool,
    /// Sum of the kept faces; nothing for `auto` and `never`, which are not rolled.
    pub natural: Option<i64>,
    pub total: i64,
    /// By how much the total is above what it had to reach or beat.
    pub lead: i64,
}

#[derive(Clone, Copy, PartialEq)]
enum Verdict {
    Success,
    Failure,
    Undecided,
}

pub fn goal(text: &str) -> Goal {
    match (text, text.strip_suffix('+'), text.strip_suffix('-')) {
        ("auto", ..) => Goal::Auto,
        ("never", ..) => Goal::Never,
        (_, Some(t), _) => Goal::AtLeast(t.parse().expect("a need")),
        (_, _, Some(t)) => Goal::AtMost(t.parse().expect("a need")),
        _ => panic!("no need: {text}"),
    }
}

/// Who wins a tie, seen from the one who rolls.
fn ties(of: &Value) -> Ties {
    let by_defender = of["by"] == "defender";
    match of["ties"].as_str().unwrap_or("defender") {
        "again" => Ties::Again,
        "win" => Ties::Win,
        "attacker" if !by_defender => Ties::Win,
        "defender" if by_defender => Ties::Win,
        _ => Ties::Lose,
    }
}

fn keep(value: Option<&Value>) -> Keep {
    let count = |v: &Value| v.as_u64().map(|n| usize::try_from(n).expect("a small number"));
    let Some(value) = value else { return Keep::All };
    match (count(&value["highest"]), count(&value["lowest"])) {
        (Some(n), _) => Keep::Highest(n),
        (_, Some(n)) => Keep::Lowest(n),
        _ => Keep::All,
    }
}

impl Keep {
    fn of(self, mut faces: Vec<i64>) -> Vec<i64> {
        faces.sort_unstable();
        match self {
            Self::All => {}
            Self::Highest(n) => drop(faces.drain(..faces.len() - n)),
            Self::Lowest(n) => faces.truncate(n),
        }
        faces
    }
}

impl Roll {
    /// From the fields that a check, a step and a side roll have in common.
    pub fn read(of: &Value) -> Self {
        let whole = |name: &str| of[name].as_i64().unwrap_or(0);
        let die = Dice::one(u32::try_from(of["die"].as_u64().unwrap_or(6)).expect("a die"));
        let goal = match of.get("versus").filter(|v| !v.is_null()) {
            Some(other) => Goal::Versus {
                dice: Dice::read(&other["dice"]),
                keep: keep(other.get("keep")),
                modifier: other["modifier"].as_i64().unwrap_or(0),
                ties: ties(of),
            },
            None => goal(of["needs"].as_str().expect("needs or versus")),
        };
        let critical = of.get("critical").filter(|c| c.get("on").is_some());
        Self {
            dice: Dice::field(of, "dice", die),
            keep: keep(of.get("keep")),
            goal,
            modifier: whole("modifier"),
            reroll: of["reroll"].as_str().unwrap_or("none").to_string(),
            low_fails: of["low_fails"].as_bool().unwrap_or(false),
            high_succeeds: of["high_succeeds"].as_bool().unwrap_or(false),
            critical: critical.map(|c| (c["on"].as_i64().expect("a face"), c["always"].as_bool().unwrap_or(true))),
        }
    }

    /// Whether low is good.
    pub fn mirrored(&self) -> bool {
        matches!(self.goal, Goal::AtMost(_))
    }

    fn worst_and_best(&self) -> (i64, i64) {
        if self.mirrored() { (self.dice.sides(), 1) } else { (1, self.dice.sides()) }
    }

    /// Whether a face is at least as good as another.
    pub fn as_good(&self, face: i64, than: i64) -> bool {
        if self.mirrored() { face <= than } else { face >= than }
    }

    fn total(&self, kept: &[i64], modifier: i64) -> i64 {
        (kept.iter().sum::<i64>() + self.dice.plus()).max(0) + modifier
    }

    fn verdict(&self, kept: &[i64], other: i64, modifier: i64) -> Verdict {
        let natural: i64 = kept.iter().sum();
        let (worst, best) = self.worst_and_best();
        let all = |face: i64| !kept.is_empty() && kept.iter().all(|f| *f == face);
        let of = |success: bool| if success { Verdict::Success } else { Verdict::Failure };
        if self.critical.is_some_and(|(on, always)| always && self.as_good(natural, on)) {
            return Verdict::Success;
        }
        if self.low_fails && all(worst) {
            return Verdict::Failure;
        }
        if self.high_succeeds && all(best) {
            return Verdict::Success;
        }
        let total = self.total(kept, modifier);
        match &self.goal {
            Goal::AtLeast(t) => of(total >= *t),
            Goal::AtMost(t) => of(total <= *t),
            Goal::Auto => Verdict::Success,
            Goal::Never => Verdict::Failure,
            Goal::Versus { ties, .. } if total == other => match ties {
                Ties::Again => Verdict::Undecided,
                Ties::Win => Verdict::Success,
                Ties::Lose => Verdict::Failure,
            },
            Goal::Versus { .. } => of(total > other),
        }
    }

    fn is_critical(&self, kept: &[i64], verdict: Verdict) -> bool {
        let natural = kept.iter().sum();
        verdict == Verdict::Success && self.critical.is_some_and(|(on, _)| self.as_good(natural, on))
    }

    fn rolls_again(&self, kept: &[i64], other: i64) -> bool {
        let verdict = self.verdict(kept, other, self.modifier);
        match self.reroll.as_str() {
            "none" | "worst" => false,
            "failures" => verdict == Verdict::Failure,
            "natural_failures" => self.verdict(kept, other, 0) == Verdict::Failure,
            "successes" => verdict == Verdict::Success,
            // An undecided one too: with no critical it is every die.
            "not_critical" => !self.is_critical(kept, verdict),
            other => panic!("no re-roll: {other}"),
        }
    }

    /// Rolls until it is decided; nothing where the dice give up an undecided roll.
    pub fn roll(&self, luck: &mut dyn Luck) -> Option<Rolled> {
        if let Goal::Auto | Goal::Never = self.goal {
            let success = matches!(self.goal, Goal::Auto);
            return Some(Rolled { success, critical: false, natural: None, total: 0, lead: 0 });
        }
        loop {
            let other = match &self.goal {
                Goal::Versus { dice, keep, modifier, .. } => {
                    (keep.of(dice.throw(luck)).iter().sum::<i64>() + dice.plus()).max(0) + modifier
                }
                Goal::AtLeast(t) => *t,
                _ => 0,
            };
            let mut faces = self.dice.throw(luck);
            if self.reroll == "worst" {
                let worst = self.worst_and_best().0;
                for face in faces.iter_mut().filter(|face| **face == worst) {
                    *face = Dice::one(u32::try_from(self.dice.sides()).expect("a die")).throw(luck)[0];
                }
            }
            if self.rolls_again(&self.keep.of(faces.clone()), other) {
                faces = self.dice.throw(luck);
            }
            let kept = self.keep.of(faces);
            let verdict = self.verdict(&kept, other, self.modifier);
            let total = self.total(&kept, self.modifier);
            if verdict != Verdict::Undecided {
                return Some(Rolled {
                    success: verdict == Verdict::Success,
                    critical: self.is_critical(&kept, verdict),
                    natural: Some(kept.iter().sum()),
                    total,
                    lead: total - other,
                });
            }
            if !luck.anew() {
                return None;
            }
        }
    }
}
