//! `duel`: two sides turn by turn, who is left and when.
use super::amount::{AmountForm, AttacksForm, NeedsForm};
use super::chain::{AftermathForm, VolleyForm, chain_mistake};
use super::mistake::{Mistake, Mistakes, pointer};
use super::question::{Question, Ready};
use super::repair::{RollsForm, settle_mend, settle_rolls};
use super::roll::RerollForm;
use super::step::StepForm;
use super::summary::Summary;
use super::target::TargetForm;
use crate::odds::chain::Attacks;
use crate::odds::duel::{Duel, DuelAnswer, DuelError, DuelFault, First, Side, TimedVolley};
use crate::odds::halt::{Halt, Halted};
use crate::odds::number::{Exact, Number};
use crate::odds::price;
use crate::rules::Books;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// Two sides that attack each other turn by turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"a": {"target": {"models": 5}, "attack": {"steps": [{"name": "hit", "needs": "4+"}]}}, "b": {"target": {"models": 3, "health": 2}, "attack": {"attacks": 2, "steps": [{"name": "hit", "needs": "3+"}]}}, "first": "roll"}))]
pub struct DuelRequest {
    /// One side.
    pub a: SideForm,
    /// The other side.
    pub b: SideForm,
    /// Who goes first; default `a`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub first: Option<FirstForm>,
    /// How many turns; default 6.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 20)]
    pub turns: Option<u32>,
    /// Show fractions.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
}

/// Who goes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum FirstForm {
    /// Side a.
    A,
    /// Side b.
    B,
    /// An even chance, once.
    Roll,
    /// Both attack with what stood at the start of the turn.
    Together,
}

/// One side of a duel.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct SideForm {
    /// What the other side attacks.
    pub target: TargetForm,
    /// Its attack; a side without one just stands there.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attack: Option<AttackForm>,
    /// What mends its hurt model or unit at the start of its turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub repair: Option<MendForm>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
}

/// A chain without a target; its attackers are for each model or unit that stands.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AttackForm {
    /// Attackers for each model or unit that stands; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 10000)]
    pub attackers: Option<u32>,
    /// Attacks of each; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attacks: Option<AttacksForm>,
    /// The rolls of each attack, in order.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 12)]
    pub steps: Option<Vec<StepForm>>,
    /// Damage of each success; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damage: Option<AmountForm>,
    /// Several weapons, each with the turns in which it fires, in place of the four above.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 12)]
    pub volleys: Option<Vec<VolleyForm>>,
    /// What the other side rolls after this attack; with `ends`, its effect takes all that is left out of the fight.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 10)]
    pub aftermath: Option<Vec<AftermathForm>>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
}

/// What mends, as in a repair.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MendForm {
    /// What a repair roll needs.
    pub needs: NeedsForm,
    /// Sides of its die; default 6.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 2, maximum = 100)]
    pub die: Option<u32>,
    /// Added to it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub modifier: Option<i32>,
    /// What is rolled again.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reroll: Option<RerollForm>,
    /// How often a turn rolls.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rolls: Option<RollsForm>,
    /// What a success restores.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub restores: Option<AmountForm>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
}

/// What comes of a duel.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DuelOutcome {
    /// The chances by the end of each turn.
    pub turns: Vec<DuelTurnRow>,
    /// What is left of side a in the end.
    pub a: LeftOver,
    /// What is left of side b in the end.
    pub b: LeftOver,
    /// Both are still standing after the last turn.
    pub never_settled: super::summary::Chance,
    /// Neither side can hurt the other at all.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub harmless: Option<bool>,
}

/// The end of a turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DuelTurnRow {
    /// Which turn, from 1.
    pub turn: u32,
    /// The chance that nothing is left of side a.
    pub a_destroyed: f64,
    /// The chance that nothing is left of side b.
    pub b_destroyed: f64,
    /// The chance that something is left of both.
    pub both_standing: f64,
}

/// What is left of a side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct LeftOver {
    /// Models or units.
    pub left: Summary,
}

/// A duel ready to be worked out.
#[derive(Clone, Debug)]
pub struct DuelReady {
    duel: Duel,
    canonical: serde_json::Value,
    exact: bool,
}

impl DuelReady {
    /// The duel.
    pub fn duel(&self) -> &Duel {
        &self.duel
    }
}

impl Question for DuelRequest {
    const PATH: &'static str = "duel";
    type Ready = DuelReady;

    fn settle(self, _books: &Books) -> Result<DuelReady, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let exact = self.exact.unwrap_or(false);
        let several = [self.a.has_volleys(), self.b.has_volleys()];
        let grouped = [self.a.target.groups.is_some(), self.b.target.groups.is_some()];
        let (first, turns) = (self.first, self.turns.unwrap_or(6));
        let a = self.a.settle("/a", &mut mistakes);
        let b = self.b.settle("/b", &mut mistakes);
        let first = match first {
            None | Some(FirstForm::A) => First::A,
            Some(FirstForm::B) => First::B,
            Some(FirstForm::Roll) => First::Roll,
            Some(FirstForm::Together) => First::Together,
        };
        let duel = a.zip(b).and_then(|(a, b)| match Duel::new(a, b, first, turns) {
            Ok(duel) => Some(duel),
            Err(errors) => {
                errors.iter().for_each(|error| mistakes.push(mistake(error, several, grouped)));
                None
            }
        });
        if exact && duel.as_ref().is_some_and(|duel| has_blast(duel.a()) || has_blast(duel.b())) {
            mistakes.push(Mistake::value("/exact", "blasts have no fractions: directions are real numbers"));
        }
        let ready = duel.map(|duel| DuelReady { canonical: canonical(&duel, exact), duel, exact });
        mistakes.or(ready)
    }
}

fn has_blast(side: &Side) -> bool {
    side.attack.iter().any(|timed| matches!(timed.volley.attacks, Attacks::Blast(_)))
}

/// A mistake of the domain where the form has it: what an attack is on belongs to the other side.
fn mistake(error: &DuelError, several: [bool; 2], grouped: [bool; 2]) -> Mistake {
    let side = usize::from(error.of_b);
    let (own, other) = if error.of_b { ("/b", "/a") } else { ("/a", "/b") };
    match &error.fault {
        DuelFault::Turns => Mistake::value("/turns", error.to_string()),
        DuelFault::Window(volley) => Mistake::value(format!("{own}/attack/volleys/{volley}/turns"), error.to_string()),
        DuelFault::NotSeen(index) => Mistake::value(format!("{own}/attack/aftermath/{index}/when"), error.to_string()),
        DuelFault::Chain(fault) if fault.place.path.starts_with("target") => {
            chain_mistake(fault, other, several[side], grouped[1 - side])
        }
        DuelFault::Chain(fault) => chain_mistake(fault, &format!("{own}/attack"), several[side], grouped[1 - side]),
    }
}

impl SideForm {
    fn has_volleys(&self) -> bool {
        self.attack.as_ref().is_some_and(|attack| attack.volleys.is_some())
    }

    fn settle(self, at: &str, mistakes: &mut Mistakes) -> Option<Side> {
        let target = self.target.settle(&pointer(at, "target"), mistakes);
        let (attack, aftermath) = match self.attack {
            None => (Some(Vec::new()), Some(Vec::new())),
            Some(attack) => attack.settle(&pointer(at, "attack"), mistakes),
        };
        let repair = match self.repair {
            None => None,
            Some(form) => {
                let at = pointer(at, "repair");
                let rolls = settle_rolls(form.rolls);
                let MendForm { needs, die, modifier, reroll, restores, .. } = form;
                Some(settle_mend(needs, die, modifier, reroll, rolls, restores, &at, mistakes)?)
            }
        };
        Some(Side { target: target?, attack: attack?, aftermath: aftermath?, repair })
    }
}

type Settled = (Option<Vec<TimedVolley>>, Option<Vec<crate::odds::chain::Aftermath>>);

impl AttackForm {
    fn settle(self, at: &str, mistakes: &mut Mistakes) -> Settled {
        let flat = VolleyForm {
            attackers: self.attackers,
            attacks: self.attacks,
            steps: self.steps,
            damage: self.damage,
            ..VolleyForm::default()
        };
        let several = self.volleys.is_some();
        if several && flat != VolleyForm::default() {
            mistakes
                .push(Mistake::value(at, "with volleys, each volley has its own attackers, attacks, steps and damage"));
        }
        let forms = self.volleys.unwrap_or_else(|| vec![flat]);
        let mut whole = true;
        let mut volleys = Vec::with_capacity(forms.len());
        for (index, mut form) in forms.into_iter().enumerate() {
            let at = if several { format!("{at}/volleys/{index}") } else { at.to_owned() };
            let turns = form.turns.take().map(|[first, last]| (first, last));
            match form.settle(&at, mistakes) {
                Some(volley) => volleys.push(TimedVolley { volley, turns }),
                None => whole = false,
            }
        }
        let mut aftermath = Vec::new();
        for (index, after) in self.aftermath.into_iter().flatten().enumerate() {
            match after.settle(&format!("{at}/aftermath/{index}"), mistakes) {
                Some(after) => aftermath.push(after),
                None => whole = false,
            }
        }
        (whole.then_some(volleys), whole.then_some(aftermath))
    }
}

fn canonical(duel: &Duel, exact: bool) -> serde_json::Value {
    let side = |side: &Side| {
        let volley = |timed: &TimedVolley| VolleyForm {
            turns: timed.turns.map(|(first, last)| [first, last]),
            ..VolleyForm::from(&timed.volley)
        };
        let mend = side.repair.as_ref().map(super::repair::mend_parts);
        serde_json::json!({
            "target": TargetForm::from(&side.target),
            "volleys": side.attack.iter().map(volley).collect::<Vec<_>>(),
            "aftermath": side.aftermath.iter().map(AftermathForm::from).collect::<Vec<_>>(),
            "repair": mend,
        })
    };
    let first = match duel.first() {
        First::A => FirstForm::A,
        First::B => FirstForm::B,
        First::Roll => FirstForm::Roll,
        First::Together => FirstForm::Together,
    };
    serde_json::json!({
        "duel": { "a": side(duel.a()), "b": side(duel.b()), "first": first, "turns": duel.turns() },
        "exact": exact,
    })
}

impl Ready for DuelReady {
    type Answer = DuelOutcome;

    fn canonical(&self) -> serde_json::Value {
        self.canonical.clone()
    }

    fn price(&self) -> u64 {
        price::duel(&self.duel, self.exact)
    }

    fn answer(&self, halt: &Halt) -> Result<DuelOutcome, Halted> {
        let harmless = self.duel.is_harmless(halt)?.then_some(true);
        let answer = if self.exact {
            summarise::<Exact>(&self.duel.evaluate(halt)?)
        } else {
            summarise::<f64>(&self.duel.evaluate(halt)?)
        };
        Ok(DuelOutcome { harmless, ..answer })
    }
}

fn summarise<N: Number>(of: &DuelAnswer<N>) -> DuelOutcome {
    let rows = of.turns.iter().zip(1..).map(|(row, turn)| DuelTurnRow {
        turn,
        a_destroyed: row.a_destroyed.to_f64().min(1.0),
        b_destroyed: row.b_destroyed.to_f64().min(1.0),
        both_standing: row.both_standing.to_f64().min(1.0),
    });
    let last = of.turns.last().map_or_else(N::one, |row| row.both_standing.clone());
    DuelOutcome {
        turns: rows.collect(),
        a: LeftOver { left: Summary::from(&of.a_left) },
        b: LeftOver { left: Summary::from(&of.b_left) },
        never_settled: (&last).into(),
        harmless: None,
    }
}
