//! A whole chain as JSON, to and from the domain, with the reasons of its numbers.
use super::aftermath::AftermathForm;
use super::amount::{AmountForm, AttacksForm};
use super::amount::{amount, amount_form};
use super::blast::BlastRequest;
use super::counters::{self, ByCounterForm, counts_form, resolve_counts};
use super::gate::GateForm;
use super::mistake::{Mistake, Mistakes, pointer};
use super::notes::{Because, Label, Notes};
use super::step::StepForm;
use super::target::{IgnoreForm, TargetForm};
use crate::odds::chain::{Attacks, Chain, ChainError, Volley};
use crate::odds::dice::Amount;
use crate::rules::reason::{Reasons, Spot};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// A chain: one volley written flat, or `volleys`, on one target.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ChainForm {
    /// How many attack; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 10000)]
    pub attackers: Option<u32>,
    /// Attacks of each; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attacks: Option<AttacksForm>,
    /// What lets the attacks be made: rolled by each attacker, or once for all of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gate: Option<GateForm>,
    /// The rolls of each attack, in order.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 12)]
    pub steps: Option<Vec<StepForm>>,
    /// Damage of each success; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damage: Option<AmountForm>,
    /// Added to the target's counters, each by its name, for each success past all steps while something is left, even one that does nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<BTreeMap<String, AmountForm>>,
    /// Numbers of the steps that change with counters.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub by_counter: Option<Vec<ByCounterForm>>,
    /// Several weapons, in order, in place of the seven above.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 12)]
    pub volleys: Option<Vec<VolleyForm>>,
    /// What is attacked.
    pub target: TargetForm,
    /// What is rolled afterwards.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 10)]
    pub aftermath: Option<Vec<AftermathForm>>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

/// One weapon's attacks.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct VolleyForm {
    /// How many attack; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 10000)]
    pub attackers: Option<u32>,
    /// Attacks of each; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attacks: Option<AttacksForm>,
    /// What lets the attacks be made: rolled by each attacker, or once for all of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gate: Option<GateForm>,
    /// The rolls of each attack, in order.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 12)]
    pub steps: Option<Vec<StepForm>>,
    /// Damage of each success; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub damage: Option<AmountForm>,
    /// Added to the target's counters, each by its name, for each success past all steps while something is left, even one that does nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<BTreeMap<String, AmountForm>>,
    /// Numbers of the steps that change with counters.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub by_counter: Option<Vec<ByCounterForm>>,
    /// In a duel: the first and the last turn in which it is fired; default every turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turns: Option<[u32; 2]>,
    /// In a duel: the attackers while 1, 2, … of the side stand, the last number going on, in place of `attackers` for each.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 1000)]
    pub served: Option<Vec<u32>>,
    /// In a duel: in how many turns, the first ones of `turns`, it is fired.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub uses: Option<u32>,
    /// In a duel with `first: "order"`: volleys with a higher order are made first; default 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub order: Option<i32>,
    /// Whether what is left of its packets goes on to the next model, in place of the target's `spill`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub spill: Option<bool>,
    /// The last roll against its damage, in place of the target's own; `{"needs": "never"}` for none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ignore: Option<IgnoreForm>,
    /// In a duel: a blast is laid on as many of its bases, the first ones, as the other side has standing; default false.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub thinned: Option<bool>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
}

impl ChainForm {
    /// The chain, with every mistake at the place where this form has it.
    pub(super) fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Chain> {
        let flat = VolleyForm {
            attackers: self.attackers,
            attacks: self.attacks,
            gate: self.gate,
            steps: self.steps,
            damage: self.damage,
            counts: self.counts,
            by_counter: self.by_counter,
            ..VolleyForm::default()
        };
        let several = self.volleys.is_some();
        let grouped = self.target.groups.is_some();
        if several {
            let strays = [
                ("attackers", flat.attackers.is_some()),
                ("attacks", flat.attacks.is_some()),
                ("gate", flat.gate.is_some()),
                ("steps", flat.steps.is_some()),
                ("damage", flat.damage.is_some()),
                ("counts", flat.counts.is_some()),
                ("by_counter", flat.by_counter.is_some()),
            ];
            for (field, _) in strays.iter().filter(|(_, there)| *there) {
                mistakes.push(Mistake::value(pointer(at, field), "with volleys, each volley has its own"));
            }
        }
        let mut whole = true;
        let mut volleys = Vec::new();
        for (index, volley) in self.volleys.unwrap_or_else(|| vec![flat]).into_iter().enumerate() {
            let at = if several { format!("{at}/volleys/{index}") } else { at.to_owned() };
            match volley.resolve(&at, mistakes) {
                Some(volley) => volleys.push(volley),
                None => whole = false,
            }
        }
        let target = self.target.resolve(&pointer(at, "target"), mistakes);
        let mut aftermath = Vec::new();
        for (index, after) in self.aftermath.into_iter().flatten().enumerate() {
            match after.resolve(&format!("{at}/aftermath/{index}"), mistakes) {
                Some(after) => aftermath.push(after),
                None => whole = false,
            }
        }
        if !whole {
            return None;
        }
        match Chain::new(volleys, target?, aftermath) {
            Ok(chain) => Some(chain),
            Err(errors) => {
                // Where a stand-in took a place, what follows from its kind says nothing.
                let telling = errors.iter().filter(|error| mistakes.0.is_empty() || !error.fault.is_of_kinds());
                let more: Vec<_> = telling.map(|error| chain_mistake(error, at, several, grouped)).collect();
                mistakes.0.extend(more);
                None
            }
        }
    }

    /// The form of a chain, each number with the reasons that changed it.
    pub fn of(chain: &Chain, reasons: &Reasons) -> Self {
        let mut volleys: Vec<VolleyForm> = chain.volleys().iter().map(VolleyForm::from).collect();
        let mut target = TargetForm::from(chain.target());
        for (spot, reason) in reasons {
            let place = match *spot {
                Spot::Volley(volley) => volleys.get_mut(volley).map(|volley| &mut volley.because),
                Spot::Step(volley, step) => {
                    let steps = volleys.get_mut(volley).and_then(|volley| volley.steps.as_mut());
                    steps.and_then(|steps| steps.get_mut(step)).map(|step| &mut step.because)
                }
                Spot::Target => Some(&mut target.because),
                Spot::Ignore(group) => {
                    let groups = target.groups.as_mut().and_then(|groups| groups.get_mut(group));
                    let ignore = groups.map_or(target.ignore.as_mut(), |group| group.ignore.as_mut());
                    // A roll that a rule took away altogether leaves its reason with the target.
                    Some(ignore.map_or(&mut target.because, |ignore| &mut ignore.because))
                }
            };
            if let Some(place) = place {
                place.get_or_insert_default().0.push(Because::from(reason));
            }
        }
        let aftermath: Vec<_> = chain.aftermath().iter().map(AftermathForm::from).collect();
        let base = Self { target, aftermath: (!aftermath.is_empty()).then_some(aftermath), ..Self::default() };
        // What only a volley may say keeps it in its list.
        let plain = |volley: &VolleyForm| volley.spill.is_none() && volley.ignore.is_none();
        if volleys.len() == 1
            && volleys.iter().all(plain)
            && let Some(VolleyForm {
                attackers, attacks, gate, steps, damage, counts, by_counter, because, label, ..
            }) = volleys.pop()
        {
            return Self { attackers, attacks, gate, steps, damage, counts, by_counter, because, label, ..base };
        }
        Self { volleys: Some(volleys), ..base }
    }
}

/// A mistake of the domain at the pointer where this form has the part.
pub(super) fn chain_mistake(error: &ChainError, at: &str, several: bool, grouped: bool) -> Mistake {
    let mut path = error.place.path.clone();
    if !grouped && let Some(rest) = path.strip_prefix("target/groups/0/") {
        path = format!("target/{rest}");
    }
    if grouped && path == "target/models" {
        "target/groups".clone_into(&mut path);
    }
    let volley = error.place.volley.filter(|_| several).map_or(String::new(), |index| format!("/volleys/{index}"));
    Mistake::value(format!("{at}{volley}/{path}"), error.fault.to_string())
}

impl VolleyForm {
    pub(super) fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Volley> {
        self.resolve_in(false, at, mistakes)
    }

    /// In a duel, rows may read the own side's counters.
    pub(super) fn resolve_in(self, duel: bool, at: &str, mistakes: &mut Mistakes) -> Option<Volley> {
        let of_duels = [
            ("turns", self.turns.is_some()),
            ("served", self.served.is_some()),
            ("thinned", self.thinned.is_some()),
            ("uses", self.uses.is_some()),
            ("order", self.order.is_some()),
        ];
        for (field, _) in of_duels.iter().filter(|(_, there)| *there) {
            mistakes.push(Mistake::value(pointer(at, field), format!("{field} belongs to the volleys of a duel")));
        }
        let gate = match self.gate {
            None => None,
            Some(gate) => Some(gate.resolve(&pointer(at, "gate"), mistakes)?),
        };
        let by_counter = counters::resolve_rows(self.by_counter, (gate.is_some(), duel), at, mistakes);
        let mut steps = Vec::new();
        for (index, step) in self.steps.into_iter().flatten().enumerate() {
            let stand_in = step.stand_in();
            // A step that is wrong in itself keeps its place, so that the rest can be looked at all the same.
            steps.push(step.resolve(&format!("{at}/steps/{index}"), mistakes).unwrap_or(stand_in));
        }
        let attacks = match self.attacks {
            None => Some(Attacks::Amount(Amount::fixed(1))),
            Some(AttacksForm::Amount(amount)) => Some(Attacks::Amount(amount.0)),
            Some(AttacksForm::Blast(blast)) => {
                blast.resolve(&format!("{at}/attacks/blast"), mistakes).map(|blast| Attacks::Blast(Box::new(blast)))
            }
        };
        let ignore = match self.ignore {
            None => None,
            Some(ignore) => Some(ignore.resolve(&pointer(at, "ignore"), mistakes)?),
        };
        Some(Volley {
            attackers: self.attackers.unwrap_or(1),
            attacks: attacks?,
            gate,
            steps,
            damage: amount(self.damage, 1),
            counts: resolve_counts(self.counts),
            by_counter,
            spill: self.spill,
            ignore,
        })
    }
}

impl From<&Volley> for VolleyForm {
    fn from(volley: &Volley) -> Self {
        Self {
            attackers: Some(volley.attackers),
            attacks: match &volley.attacks {
                Attacks::Amount(amount) => amount_form(amount, 1).map(AttacksForm::Amount),
                Attacks::Blast(blast) => Some(AttacksForm::Blast(Box::new(BlastRequest::of(blast)))),
            },
            gate: volley.gate.as_ref().map(GateForm::of),
            steps: Some(volley.steps.iter().map(StepForm::from).collect()),
            damage: amount_form(&volley.damage, 1),
            counts: counts_form(&volley.counts),
            by_counter: counters::row_forms(&volley.by_counter),
            spill: volley.spill,
            ignore: volley.ignore.as_ref().map(IgnoreForm::of),
            ..Self::default()
        }
    }
}
