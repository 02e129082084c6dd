//! `odds`: a chain as request, what comes of it as answer.
use super::bytes;
use super::chain::ChainForm;
use super::mistake::{Mistake, Mistakes};
use super::question::{PreparedQuery, Question};
use super::summary::{Chance, Summary};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::{
    Aftermath, Answer, Attacks, Chain, Lost, Step, StepAnswer, Volley, equal_chance, step_chance,
};
use crate::odds::number::{Exact, Number};
use crate::odds::price::{self, Work};
use crate::report::saying::unproven;
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// What an attack does to a target, from plain numbers.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"attackers": 3, "attacks": "1d8", "steps": [{"name": "hit", "die": 8, "needs": "4+", "reroll": "worst"}, {"name": "save", "die": 8, "by": "defender", "needs": "6+"}], "damage": "1d4", "target": {"models": 5, "health": 2}}))]
pub struct OddsRequest {
    /// How many attack; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 10000)]
    pub attackers: Option<u32>,
    /// Attacks of each; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attacks: Option<super::amount::AttacksForm>,
    /// What lets the attacks be made: rolled by each attacker, or once for all of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gate: Option<super::gate::GateForm>,
    /// The rolls of each attack, in order.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 12)]
    pub steps: Option<Vec<super::step::StepForm>>,
    /// Damage of each success; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damage: Option<super::amount::AmountForm>,
    /// Added to the target's counters, each by its name, for each success past all steps while something is left, even one that does nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<BTreeMap<String, super::amount::AmountForm>>,
    /// Numbers of the steps that change with counters.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub by_counter: Option<Vec<super::counters::ByCounterForm>>,
    /// Several weapons, in order, in place of the seven above.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 12)]
    pub volleys: Option<Vec<super::chain::VolleyForm>>,
    /// What is attacked.
    pub target: super::target::TargetForm,
    /// What is rolled afterwards.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 10)]
    pub aftermath: Option<Vec<super::aftermath::AftermathForm>>,
    /// Work in exact fractions and show them in every row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
    /// Show how many came past each step.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub passed: Option<bool>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
}

impl From<OddsRequest> for ChainForm {
    fn from(request: OddsRequest) -> Self {
        Self {
            attackers: request.attackers,
            attacks: request.attacks,
            gate: request.gate,
            steps: request.steps,
            damage: request.damage,
            counts: request.counts,
            by_counter: request.by_counter,
            volleys: request.volleys,
            target: request.target,
            aftermath: request.aftermath,
            because: None,
            label: None,
        }
    }
}

/// What comes of a chain.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct OddsAnswer {
    /// Each step of each volley.
    pub steps: Vec<StepOdds>,
    /// Of one volley that has a gate: the chance that one roll of it passes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gate: Option<Chance>,
    /// Where there is a gate: each volley, in order, with its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volleys: Option<Vec<VolleyOdds>>,
    /// Attacks that are made: those behind a gate that was not passed are not.
    pub attacks: Summary,
    /// Successes past all steps.
    pub through: Summary,
    /// Soldiers: points of health removed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub health_lost: Option<Summary>,
    /// Soldiers: models removed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub models: Option<Summary>,
    /// Armour: points of structure lost; a wreck counts all it had.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub structure: Option<Summary>,
    /// Armour: units wrecked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wrecked: Option<Summary>,
    /// Armour: for each status, the chance that at least one unit bore it, from the start or after a hit, wrecked or not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub statuses: Option<BTreeMap<String, Chance>>,
    /// Nothing is left.
    pub destroyed: Chance,
    /// Backfires that were not saved, where a step or a gate can backfire.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub backfires: Option<Summary>,
    /// The chance of each effect afterwards: that enough was lost, its roll succeeded, and something of the target is left
    /// (unless the effect says `even_destroyed`).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aftermath: Option<BTreeMap<String, EffectOdds>>,
    /// The value of each counter of the target in the end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counters: Option<BTreeMap<String, Summary>>,
    /// The chance that each effect of the target's thresholds holds in the end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub effects: Option<BTreeMap<String, Chance>>,
}

/// What comes of one effect afterwards.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct EffectOdds {
    /// From 0 to 1.
    #[schema(minimum = 0, maximum = 1)]
    pub chance: f64,
    /// The exact value in lowest terms, where it was worked out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(example = "5/36")]
    pub fraction: Option<String>,
    /// What comes of the attack that comes with it: by itself, given that the effect happens.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(no_recursion)]
    pub answer: Option<Box<OddsAnswer>>,
}

impl OddsAnswer {
    /// The chance that nothing is left of the target: 1 only where it can't come otherwise.
    pub fn all_gone(&self) -> f64 {
        let lost = self.structure.as_ref().or(self.models.as_ref());
        // Where one result is left, it happens.
        let sure = lost.is_some_and(Summary::is_sure);
        if sure { self.destroyed.chance } else { unproven(self.destroyed.chance) }
    }
}

impl EffectOdds {
    /// Its chance.
    pub(super) fn chance(&self) -> Chance {
        Chance { chance: self.chance, fraction: self.fraction.clone() }
    }
}

/// What comes of one volley by itself.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct VolleyOdds {
    /// The chance that one roll of its gate passes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub gate: Option<Chance>,
}

/// What comes of one step.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct StepOdds {
    /// Its name.
    pub name: String,
    /// Of several volleys, which; the first is 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volley: Option<usize>,
    /// The mean number of times that it is rolled, re-rolls not counted.
    pub reached: f64,
    /// The chance that one ordinary roll is in the attacker's favour.
    #[schema(minimum = 0, maximum = 1)]
    pub chance: f64,
    /// The same exactly.
    #[schema(example = "2/3")]
    pub fraction: String,
    /// Of a penetration roll of which an equal total is no breach: how much of that is an equal total.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub equals: Option<Chance>,
    /// How many came past it, on request.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub passed: Option<Summary>,
}

/// A chain ready to be worked out.
#[derive(Clone, Debug)]
pub struct PreparedOdds {
    chain: Chain,
    exact: bool,
    passed: bool,
}

impl PreparedOdds {
    /// A chain whose answer is wanted, in fractions or not.
    pub fn new(chain: Chain, exact: bool, passed: bool) -> Self {
        Self { chain, exact, passed }
    }

    /// The chain.
    pub fn chain(&self) -> &Chain {
        &self.chain
    }
}

impl Question for OddsRequest {
    const PATH: &'static str = "odds";
    type Prepared = PreparedOdds;

    fn resolve(self, _catalog: &PackCatalog) -> Result<PreparedOdds, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let (exact, passed) = (self.exact.unwrap_or(false), self.passed.unwrap_or(false));
        let chain = ChainForm::from(self).resolve("", &mut mistakes);
        if exact && chain.as_ref().is_some_and(has_blast) {
            mistakes.push(Mistake::value("/exact", "blasts have no fractions: directions are real numbers"));
        }
        mistakes.or(chain.map(|chain| PreparedOdds { chain, exact, passed }))
    }
}

impl PreparedQuery for PreparedOdds {
    type Answer = OddsAnswer;

    fn canonical(&self) -> impl Serialize {
        let chain = ChainForm::of(&self.chain, &Vec::new());
        serde_json::json!({ "odds": chain, "exact": self.exact, "passed": self.passed })
    }

    fn price(&self) -> Work {
        price::chain(&self.chain, self.exact, self.passed)
    }

    fn bytes(&self) -> Work {
        bytes::chain(&self.chain, self.exact, self.passed)
    }

    fn answer(&self, token: &CancellationToken) -> Result<OddsAnswer, Cancelled> {
        evaluate(&self.chain, self.exact, self.passed, token)
    }
}

/// What comes of a chain, worked out in fractions or not.
pub(super) fn evaluate(
    chain: &Chain,
    exact: bool,
    passed: bool,
    token: &CancellationToken,
) -> Result<OddsAnswer, Cancelled> {
    if exact {
        Ok(answer::<Exact>(chain, &chain.evaluate(passed, token)?))
    } else {
        Ok(answer::<f64>(chain, &chain.evaluate(passed, token)?))
    }
}

/// Whether any attacks come of a template.
pub(super) fn has_blast(chain: &Chain) -> bool {
    let mut nested = chain.aftermath().iter().filter_map(|after| after.attack.as_deref());
    chain.volleys().iter().any(|volley| matches!(volley.attacks, Attacks::Blast(_))) || nested.any(has_blast)
}

/// The answer in JSON's shape.
pub(super) fn answer<N: Number>(chain: &Chain, of: &Answer<N>) -> OddsAnswer {
    let several = chain.volleys().len() > 1;
    let mut steps = Vec::new();
    for (volley, (answers, parts)) in of.steps.iter().zip(chain.volleys()).enumerate() {
        let rows = answers.iter().zip(&parts.steps);
        steps.extend(rows.map(|(answer, step)| step_odds(answer, step, several.then_some(volley))));
    }
    let gate = |volley: &Volley| {
        let exact = volley.gate.as_ref()?.chance::<Exact>();
        Some(Chance::with_fraction(exact.to_f64(), &exact))
    };
    let mut gates: Vec<_> = chain.volleys().iter().map(|volley| VolleyOdds { gate: gate(volley) }).collect();
    gates.retain(|_| chain.volleys().iter().any(|volley| volley.gate.is_some()));
    let chances = |list: &[(String, N)]| -> BTreeMap<String, Chance> {
        list.iter().map(|(name, chance)| (name.clone(), Chance::from(chance))).collect()
    };
    let base = OddsAnswer {
        steps,
        gate: if several { None } else { gates.first().and_then(|volley| volley.gate.clone()) },
        volleys: (!gates.is_empty()).then_some(gates),
        attacks: Summary::from(&of.attacks),
        through: Summary::from(&of.through),
        health_lost: None,
        models: None,
        structure: None,
        wrecked: None,
        statuses: None,
        destroyed: Chance::from(&of.destroyed),
        backfires: of.backfires.as_ref().map(Summary::from),
        aftermath: (!of.aftermath.is_empty()).then(|| effects(chain, of)),
        counters: (!of.counters.is_empty())
            .then(|| of.counters.iter().map(|(name, values)| (name.clone(), values.into())).collect()),
        effects: (!of.effects.is_empty()).then(|| chances(&of.effects)),
    };
    match &of.lost {
        Lost::Soldiers { health, models } => {
            OddsAnswer { health_lost: Some(health.into()), models: Some(models.into()), ..base }
        }
        Lost::Armoured { structure, wrecked, statuses } => OddsAnswer {
            structure: Some(structure.into()),
            wrecked: Some(wrecked.into()),
            statuses: Some(chances(statuses)),
            ..base
        },
    }
}

fn effects<N: Number>(chain: &Chain, of: &Answer<N>) -> BTreeMap<String, EffectOdds> {
    let rows = of.aftermath.iter().zip(chain.aftermath()).enumerate();
    let row = |(index, ((name, chance), after)): (usize, (&(String, N), &Aftermath))| {
        let Chance { chance, fraction } = Chance::from(chance);
        let answered = after.attack.as_ref().zip(of.attacks_after.get(index).and_then(Option::as_ref));
        let answer = answered.map(|(chain, of)| Box::new(answer(chain, of)));
        (name.clone(), EffectOdds { chance, fraction, answer })
    };
    rows.map(row).collect()
}

fn step_odds<N: Number>(answer: &StepAnswer<N>, step: &Step, volley: Option<usize>) -> StepOdds {
    let exact = step_chance::<Exact>(step);
    StepOdds {
        name: step.name.clone(),
        volley,
        reached: answer.reached,
        chance: exact.to_f64(),
        fraction: exact.to_string(),
        equals: equal_chance::<Exact>(step).map(|equals| Chance::with_fraction(equals.to_f64(), &equals)),
        passed: answer.passed.as_ref().map(Summary::from),
    }
}
