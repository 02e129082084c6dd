//! Kinds, steps, procedures, breach charts, and rolls afterwards.
use super::super::model::attack::{Body, Breach, BreachRow, Form, Kind, PenetratePlan, Procedure, StepPlan};
use super::super::model::roll::{AftermathPlan, CheckPlan, Counts};
use super::super::model::stat::nothing;
use super::super::model::sum::Sum;
use super::condition::Words;
use super::ids::{Index, named};
use super::node::{Fields, Node};
use super::roll::Rolls;
use super::stat::read_dice;
use crate::odds::chain::{By, PenetrateReroll};
use crate::odds::dice::Dice;

/// What the parts of an attack can name.
#[derive(Debug)]
pub(super) struct Attacks<'a> {
    pub(super) words: &'a Words<'a>,
    pub(super) rolls: &'a Rolls<'a>,
    pub(super) breaches: &'a Index,
}

impl Attacks<'_> {
    fn sum(&self, fields: &Fields<'_>, key: &'static str) -> Option<Sum> {
        fields.get(key).and_then(|node| self.words.terms.number(node))
    }

    fn dice_sum(&self, fields: &Fields<'_>, key: &'static str) -> Option<Sum> {
        fields.get(key).and_then(|node| self.words.terms.dice(node))
    }

    pub(super) fn kind(&self, fields: &Fields<'_>) -> Kind {
        let named = named(fields);
        let armoured = fields.need("target").and_then(|node| node.word_of(&["soldiers", "armoured"])) == Some(1);
        let one = || Sum::number(1);
        let body = if armoured {
            let overflow = fields.get("overflow").and_then(|node| node.word_of(&["next", "wasted"]));
            let structure = self.sum(fields, "structure").unwrap_or_else(one);
            Body::Armoured { structure, overflow_wasted: overflow == Some(1) }
        } else {
            let per = fields.get("ignore_per").and_then(|node| node.word_of(&["point", "packet"]));
            let ignore = fields.get("ignore").and_then(|node| {
                let inner = node.fields()?;
                let roll = self.rolls.roll(&inner);
                inner.finish();
                roll
            });
            Body::Soldiers {
                health: self.sum(fields, "health").unwrap_or_else(one),
                spill: fields.truth("spill").unwrap_or(false),
                ignore: ignore.map(Box::new),
                per_packet: per == Some(1),
            }
        };
        fields.finish();
        Kind { named, body }
    }

    pub(super) fn step(&self, fields: &Fields<'_>) -> Option<StepPlan> {
        let named = named(fields);
        let by = fields.get("by").and_then(|node| node.word_of(&["attacker", "defender"]));
        let by = if by == Some(1) { By::Defender } else { By::Attacker };
        let kind = fields.get("kind").and_then(|node| node.word_of(&["roll", "penetrate"]));
        let form = if kind == Some(1) {
            self.penetrate(fields).map(|plan| Form::Penetrate(Box::new(plan)))
        } else {
            self.rolls.roll(fields).map(|plan| Form::Roll(Box::new(plan)))
        };
        fields.finish();
        Some(StepPlan { named, by, form: form? })
    }

    fn penetrate(&self, fields: &Fields<'_>) -> Option<PenetratePlan> {
        let dice = fields.get("dice").map_or_else(|| Dice::one(6).ok(), read_dice);
        let against = fields.need("against").and_then(|node| self.words.terms.number(node));
        let reroll = fields.get("reroll").and_then(read_penetrate_reroll).unwrap_or_default();
        let equal = fields.get("equal").and_then(|node| node.word_of(&["graze", "breach"]));
        let equal_breaches = equal == Some(1);
        let effect = |key| {
            let effect = fields.get(key).and_then(|node| node.fields());
            let structure = effect.as_ref().and_then(|fields| self.dice_sum(fields, "structure"));
            (effect, structure.unwrap_or_default())
        };
        let (graze_fields, graze) = effect("graze");
        graze_fields.iter().for_each(Fields::finish);
        if equal_breaches && graze_fields.is_some() {
            fields.wrong("there is no graze where an equal total is a breach");
        }
        let (breach_fields, breach) = effect("breach");
        let chart = breach_fields.as_ref().and_then(|fields| fields.get("chart"));
        let chart = chart.and_then(|node| self.breaches.find(node, "breach chart"));
        breach_fields.iter().for_each(Fields::finish);
        let add = self.sum(fields, "add").unwrap_or_default();
        let critical = fields.get("critical").and_then(|node| self.rolls.critical(node));
        Some(PenetratePlan {
            dice: dice?,
            add,
            against: against?,
            reroll,
            critical,
            equal_breaches,
            graze,
            breach,
            chart,
        })
    }

    pub(super) fn procedure(&self, fields: &Fields<'_>) -> Procedure {
        let named = named(fields);
        let armoured = fields.need("target").and_then(|node| node.word_of(&["soldiers", "armoured"])) == Some(1);
        let when = self.words.when(fields);
        let attacks = self.dice_sum(fields, "attacks").unwrap_or_else(|| Sum::number(1));
        let damage = self.dice_sum(fields, "damage").unwrap_or_else(|| Sum::number(1));
        let steps = self.rolls.steps.find_all(fields.need("steps"), "step");
        if steps.len() > 12 {
            fields.wrong("at most 12 steps to an attack");
        }
        fields.finish();
        Procedure { named, armoured, when, attacks, steps, damage }
    }

    pub(super) fn breach(&self, fields: &Fields<'_>) -> Option<Breach> {
        let named = named(fields);
        let dice = fields.need("dice").and_then(read_dice);
        let modifier = self.sum(fields, "modifier").unwrap_or_default();
        let mut rows: Vec<BreachRow> = Vec::new();
        for node in fields.list("rows", 100) {
            let Some(row) = self.breach_row(node) else { continue };
            if rows.last().is_some_and(|before| before.at_least >= row.at_least) {
                node.wrong("rows go up in at_least, each value once");
            }
            rows.push(row);
        }
        if rows.is_empty() {
            fields.wrong("at least one row, please");
        }
        fields.finish();
        Some(Breach { named, dice: dice?, modifier, rows })
    }

    fn breach_row(&self, node: Node<'_>) -> Option<BreachRow> {
        let fields = node.fields()?;
        let at_least = fields.need("at_least").and_then(|node| node.number(-1_000..=10_000));
        let structure = |fields: &Fields<'_>| fields.get("structure").and_then(read_dice).unwrap_or_else(nothing);
        let repeated = fields.get("repeated").and_then(|node| node.fields()).map(|inner| {
            let both = (structure(&inner), inner.truth("wrecked").unwrap_or(false));
            inner.finish();
            both
        });
        let status = fields.text("status");
        let row = BreachRow {
            at_least: at_least.unwrap_or_default(),
            structure: structure(&fields),
            status,
            wrecked: fields.truth("wrecked").unwrap_or(false),
            repeated,
        };
        fields.finish();
        at_least.map(|_| row)
    }

    pub(super) fn check(&self, fields: &Fields<'_>) -> Option<CheckPlan> {
        let named = named(fields);
        let when = self.words.when(fields);
        let asks = fields.get("asks").and_then(|node| {
            let inner = node.fields()?;
            let what = inner.need("what").and_then(|node| node.text()).map(str::to_owned);
            let default = inner.get("default").and_then(|node| node.number(-1_000..=1_000)).unwrap_or(0);
            inner.finish();
            Some((what?, default))
        });
        let roll = self.rolls.roll(fields);
        fields.finish();
        Some(CheckPlan { named, when, roll: roll?, asks })
    }

    pub(super) fn aftermath(&self, fields: &Fields<'_>) -> Option<AftermathPlan> {
        let named = named(fields);
        let when = self.words.when(fields);
        let counts = match fields.need("counts").map(|node| (node, node.as_text())) {
            Some((_, Some("models"))) => Some(Counts::Models),
            Some((_, Some("health_lost"))) => Some(Counts::HealthLost),
            Some((_, Some("wrecked"))) => Some(Counts::Wrecked),
            Some((node, _)) => match node.fields() {
                Some(inner) => {
                    let step = inner.need("passed").and_then(|node| self.rolls.steps.find(node, "step"));
                    inner.finish();
                    step.map(Counts::Passed)
                }
                None => None,
            },
            None => None,
        };
        let at_least = self.sum(fields, "at_least").unwrap_or_else(|| Sum::number(1));
        let per_point = fields.get("per_point").and_then(|node| node.number(-100..=100)).unwrap_or(0);
        let effect = fields.text("effect").unwrap_or_else(|| named.label.clone());
        let ends = fields.truth("ends").unwrap_or(false);
        let even_destroyed = fields.truth("even_destroyed").unwrap_or(counts == Some(Counts::Wrecked));
        let certain = !["needs", "choose", "versus"].iter().any(|key| fields.has(key));
        let roll = if certain { self.rolls.certain(fields) } else { self.rolls.roll(fields) };
        fields.finish();
        let counts = counts?;
        Some(AftermathPlan { named, when, counts, at_least, roll: roll?, per_point, effect, ends, even_destroyed })
    }
}

pub(super) fn read_penetrate_reroll(node: Node<'_>) -> Option<PenetrateReroll> {
    let all = [PenetrateReroll::None, PenetrateReroll::Failures, PenetrateReroll::FailuresAndGrazes];
    node.word_of(&["none", "failures", "failures_and_grazes"]).map(|index| all[index])
}
