//! A duel in plain numbers: what a side's attack and repair are, to and from the domain.
use super::super::aftermath::AftermathForm;
use super::super::amount::{AmountForm, AttacksForm, NeedsForm};
use super::super::chain::{VolleyForm, chain_mistake};
use super::super::counters::ByCounterForm;
use super::super::gate::GateForm;
use super::super::mistake::{Mistake, Mistakes, pointer};
use super::super::notes::{Label, Notes};
use super::super::repair::{RollsForm, mend_parts, resolve_mend, resolve_rolls};
use super::super::roll::RerollForm;
use super::super::step::StepForm;
use super::super::target::TargetForm;
use super::shed::ShedsForm;
use super::{DuelRequest, DuelSide, FirstForm};
use crate::odds::duel::{Duel, DuelError, DuelFault, First, Side, TimedAftermath, TimedVolley};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

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
    /// Added to the other side's counters, each by its name, for each success past all steps while something is left, even
    /// one that does nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<BTreeMap<String, AmountForm>>,
    /// Numbers of the steps that change with counters.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub by_counter: Option<Vec<ByCounterForm>>,
    /// In how many turns, the first ones, it is made; default every turn.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub uses: Option<u32>,
    /// Read where `first` is `order`: what has a higher order is made first; default 0. Of `volleys` it is that of those
    /// that say none.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -1000, maximum = 1000)]
    pub order: Option<i32>,
    /// Several weapons, each with the turns in which it fires, in place of all above but `order`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 12)]
    pub volleys: Option<Vec<VolleyForm>>,
    /// What the other side rolls after this attack; with `ends`, its effect takes all that is left out of the fight.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 10)]
    pub aftermath: Option<Vec<AftermathForm>>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
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
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
}

/// A mistake of the domain where the form has it: what an attack is on belongs to the other side.
pub(super) fn mistake(error: &DuelError, several: [bool; 2], grouped: [bool; 2]) -> Mistake {
    let side = usize::from(error.of_b);
    let (own, other) = if error.of_b { ("/b", "/a") } else { ("/a", "/b") };
    let in_volley = |volley: usize, field: &str| {
        let of_several = if several[side] { format!("/volleys/{volley}") } else { String::new() };
        Mistake::value(format!("{own}/attack{of_several}/{field}"), error.to_string())
    };
    match &error.fault {
        DuelFault::Sheds => Mistake::value(format!("{own}/sheds"), error.to_string()),
        DuelFault::Order(volley) => in_volley(*volley, "order"),
        DuelFault::NoOwnCounter(volley, row, _) => in_volley(*volley, &format!("by_counter/{row}/name")),
        DuelFault::Turns => Mistake::value("/turns", error.to_string()),
        DuelFault::Window(volley) => in_volley(*volley, "turns"),
        DuelFault::AttackersBySurvivors(volley) => in_volley(*volley, "served"),
        DuelFault::NoBases(volley) => in_volley(*volley, "thinned"),
        DuelFault::AfterWindow(index) => {
            Mistake::value(format!("{own}/attack/aftermath/{index}/turns"), error.to_string())
        }
        DuelFault::NotSeen(index) => Mistake::value(format!("{own}/attack/aftermath/{index}/when"), error.to_string()),
        DuelFault::Chain(fault) if fault.place.path.starts_with("target") => {
            chain_mistake(fault, other, several[side], grouped[1 - side])
        }
        DuelFault::Chain(fault) => chain_mistake(fault, &format!("{own}/attack"), several[side], grouped[1 - side]),
    }
}

impl DuelSide {
    pub(super) fn has_volleys(&self) -> bool {
        self.attack.as_ref().is_some_and(|attack| attack.volleys.is_some())
    }

    /// A side in plain numbers.
    pub(super) fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Side> {
        let target = match self.target {
            Some(target) => target.resolve(&pointer(at, "target"), mistakes),
            None => {
                let what = "say what the side is: a target of plain numbers with an attack, or a unit of a book";
                mistakes.push(Mistake::missing(pointer(at, "target"), what));
                None
            }
        };
        let (attack, aftermath) = match self.attack {
            None => (Some(Vec::new()), Some(Vec::new())),
            Some(attack) => attack.resolve(&pointer(at, "attack"), mistakes),
        };
        let repair = match self.repair {
            None => None,
            Some(form) => {
                let at = pointer(at, "repair");
                let rolls = resolve_rolls(form.rolls);
                let MendForm { needs, die, modifier, reroll, restores, .. } = form;
                Some(resolve_mend(needs, die, modifier, reroll, rolls, restores, &at, mistakes)?)
            }
        };
        let target = target?;
        let sheds = match self.sheds {
            None => Vec::new(),
            Some(sheds) => sheds.resolve(target.counters(), &pointer(at, "sheds"), mistakes)?,
        };
        Some(Side { target, attack: attack?, aftermath: aftermath?, repair, sheds })
    }

    /// The form of a side in plain numbers.
    pub(super) fn of(side: &Side) -> Self {
        let aftermath: Vec<AftermathForm> = side
            .aftermath
            .iter()
            .map(|after| AftermathForm { turns: window(after.turns), ..AftermathForm::from(&after.aftermath) })
            .collect();
        let volleys: Vec<VolleyForm> = side.attack.iter().map(volley_form).collect();
        let attack = AttackForm {
            volleys: Some(volleys),
            aftermath: (!aftermath.is_empty()).then_some(aftermath),
            ..AttackForm::default()
        };
        Self {
            target: Some(TargetForm::from(&side.target)),
            attack: (!side.attack.is_empty()).then_some(attack),
            repair: side.repair.as_ref().map(mend_parts),
            sheds: ShedsForm::of(&side.sheds),
            ..Self::default()
        }
    }
}

impl DuelRequest {
    /// The form of a duel in plain numbers.
    pub(in super::super) fn of(duel: &Duel) -> Self {
        let first = match duel.first() {
            First::A => FirstForm::A,
            First::B => FirstForm::B,
            First::Roll => FirstForm::Roll,
            First::Together => FirstForm::Together,
            First::Order => FirstForm::Order,
        };
        Self {
            a: DuelSide::of(duel.a()),
            b: DuelSide::of(duel.b()),
            first: Some(first),
            turns: Some(duel.turns()),
            ..Self::default()
        }
    }
}

fn window(turns: Option<(u32, u32)>) -> Option<[u32; 2]> {
    turns.map(|(first, last)| [first, last])
}

fn volley_form(timed: &TimedVolley) -> VolleyForm {
    let form = VolleyForm {
        turns: window(timed.turns),
        thinned: timed.bases_follow_survivors.then_some(true),
        order: (timed.order != 0).then_some(timed.order),
        ..VolleyForm::from(&timed.volley)
    };
    match timed.attackers_by_survivors.as_slice() {
        [] => form,
        served => VolleyForm { attackers: None, served: Some(served.to_vec()), ..form },
    }
}

type ResolvedAttack = (Option<Vec<TimedVolley>>, Option<Vec<TimedAftermath>>);

impl AttackForm {
    fn resolve(self, at: &str, mistakes: &mut Mistakes) -> ResolvedAttack {
        let flat = VolleyForm {
            attackers: self.attackers,
            attacks: self.attacks,
            gate: self.gate,
            steps: self.steps,
            damage: self.damage,
            counts: self.counts,
            by_counter: self.by_counter,
            uses: self.uses,
            ..VolleyForm::default()
        };
        let several = self.volleys.is_some();
        if several && flat != VolleyForm::default() {
            mistakes.push(Mistake::value(
                at,
                "with volleys, each volley has its own attackers, attacks, gate, steps, damage, counts, by_counter and uses",
            ));
        }
        let forms = self.volleys.unwrap_or_else(|| vec![flat]);
        let mut whole = true;
        let mut volleys = Vec::with_capacity(forms.len());
        for (index, mut form) in forms.into_iter().enumerate() {
            let at = if several { format!("{at}/volleys/{index}") } else { at.to_owned() };
            let turns = form.turns.take().map(|[first, last]| (first, last));
            let turns = match form.uses.take() {
                None => turns,
                Some(uses) => {
                    if !(1..=1_000).contains(&uses) {
                        mistakes.push(Mistake::value(pointer(&at, "uses"), "uses is a number of turns from 1 to 1000"));
                    }
                    // The first turns of the window.
                    let (first, last) = turns.unwrap_or((1, u32::MAX));
                    Some((first, last.min(first.saturating_add(uses.max(1) - 1))))
                }
            };
            let order = form.order.take().or(self.order).unwrap_or(0);
            let (served, thinned) = (form.served.take(), form.thinned.take().unwrap_or(false));
            match &served {
                Some(_) if form.attackers.is_some() => {
                    mistakes.push(Mistake::value(pointer(&at, "served"), "give attackers or served"));
                }
                Some(served) if served.is_empty() => {
                    mistakes.push(Mistake::value(pointer(&at, "served"), "at least one number of attackers, please"));
                }
                _ => {}
            }
            match form.resolve_in(true, &at, mistakes) {
                Some(volley) => {
                    let attackers_by_survivors = served.unwrap_or_default();
                    volleys.push(TimedVolley {
                        volley,
                        turns,
                        attackers_by_survivors,
                        bases_follow_survivors: thinned,
                        order,
                    });
                }
                None => whole = false,
            }
        }
        let mut aftermath = Vec::new();
        for (index, mut after) in self.aftermath.into_iter().flatten().enumerate() {
            let turns = after.turns.take().map(|[first, last]| (first, last));
            match after.resolve(&format!("{at}/aftermath/{index}"), mistakes) {
                Some(roll) => aftermath.push(TimedAftermath { aftermath: roll, turns }),
                None => whole = false,
            }
        }
        (whole.then_some(volleys), whole.then_some(aftermath))
    }
}
