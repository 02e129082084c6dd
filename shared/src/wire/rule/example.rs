//! A rule's example: the pair of the pack that tells most, with the rule and without it.
use super::super::check::CheckRequest;
use super::super::matchup::MatchupRequest;
use super::super::odds::{OddsAnswer, PreparedOdds};
use super::super::packs::{check_request, repair_request};
use super::super::question::{PreparedQuery, Question};
use super::super::repair::RepairRequest;
use super::super::summary::Chance;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::report::saying::place;
use crate::rules::PackCatalog;
use crate::rules::compile::compile;
use crate::rules::example::Example;
use crate::rules::matchup::{Matchup, UnitInstance};
use crate::rules::model::Pack;
use crate::rules::standing::capacity;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::BTreeMap;
use utoipa::ToSchema;

/// A question of the pack in which the rule acts, and what it comes to with the rule and without.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RuleExample {
    /// Where the two requests are asked: `matchup`, `check` or `repair`.
    #[schema(example = "matchup")]
    pub path: String,
    /// The question in words.
    pub text: String,
    /// The question.
    #[schema(value_type = Object)]
    pub request: Value,
    /// What it comes to.
    pub with: RuleNumbers,
    /// The same question without the rule; nothing where there is none left.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(value_type = Option<Object>)]
    pub request_without: Option<Value>,
    /// What that comes to.
    pub without: RuleNumbers,
    /// What the rule did, from the value before to the value after.
    pub because: Vec<String>,
}

/// The numbers that are held against each other.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RuleNumbers {
    /// Of a matchup against soldiers: models removed, in the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub models: Option<f64>,
    /// Of a matchup against armour: structure lost, in the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub structure: Option<f64>,
    /// Of a matchup: nothing is left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub destroyed: Option<Chance>,
    /// Of a matchup: backfires, in the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub backfires: Option<f64>,
    /// Of a matchup: the chance of each effect afterwards.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub aftermath: BTreeMap<String, Chance>,
    /// Of a check or a repair: the chance of one roll.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub chance: Option<Chance>,
}

/// An example before it is worked out.
#[derive(Clone, Debug)]
pub(super) enum Pending {
    /// Attacks, of which the most telling is shown.
    Attacks(Vec<Attack>),
    /// A check or a repair.
    Roll(Box<Roll>),
}

#[derive(Clone, Debug)]
pub(super) struct Attack {
    matchup: Matchup,
    with: PreparedOdds,
    without: PreparedOdds,
    because: Vec<String>,
}

#[derive(Clone, Debug)]
pub(super) struct Roll {
    path: &'static str,
    text: String,
    request: Value,
    without: Option<Value>,
    because: Vec<String>,
}

/// A single example that costs more than this is left out.
const DEAREST: u64 = 12_000_000;

impl Pending {
    pub(super) fn of(pack: &Pack, rule: usize, example: Example) -> Option<Self> {
        match example {
            Example::Attacks(pairs) => {
                let attacks = pairs.into_iter().filter_map(|(with, without)| Attack::of(rule, with, &without));
                let attacks: Vec<Attack> = attacks.filter(|attack| attack.price().is_within(DEAREST)).collect();
                (!attacks.is_empty()).then_some(Self::Attacks(attacks))
            }
            Example::Check(unit, check) => {
                let (request, because) = check_request(pack, &unit, check, &[])?;
                let without = check_request(pack, &unit, check, &[rule]).map(|(request, _)| request);
                let text = format!("{}: {}", who(pack, &unit), pack.checks[check].named.label);
                Some(Self::Roll(Box::new(Roll { path: CheckRequest::PATH, text, request, without, because })))
            }
            Example::Repair(unit) => {
                let (request, because) = repair_request(pack, &unit, &[])?;
                let without = repair_request(pack, &unit, &[rule]).map(|(request, _)| request);
                let text = format!("{}: one repair roll", who(pack, &unit));
                Some(Self::Roll(Box::new(Roll { path: RepairRequest::PATH, text, request, without, because })))
            }
        }
    }

    pub(super) fn price(&self) -> Work {
        match self {
            Self::Attacks(attacks) => attacks.iter().map(Attack::price).sum(),
            Self::Roll(_) => Work::new(20_000),
        }
    }

    pub(super) fn answer(&self, rule: usize, token: &CancellationToken) -> Result<Option<RuleExample>, Cancelled> {
        match self {
            Self::Attacks(attacks) => {
                let mut best: Option<(f64, RuleExample)> = None;
                for attack in attacks {
                    let (tells, example) = attack.answer(rule, token)?;
                    if tells > 0.0 && best.as_ref().is_none_or(|(most, _)| tells > *most) {
                        best = Some((tells, example));
                    }
                }
                Ok(best.map(|(_, example)| example))
            }
            Self::Roll(roll) => roll.answer(token),
        }
    }
}

impl Attack {
    fn of(rule: usize, with: Matchup, without: &Matchup) -> Option<Self> {
        let first = compile(&with).ok()?;
        let second = compile(without).ok()?;
        let acted = first.acted.iter().find(|note| note.rule == rule);
        let named: Vec<String> =
            acted.map(|note| note.why.split("; ").map(str::to_owned).collect()).unwrap_or_default();
        Some(Self {
            with: PreparedOdds::new(first.chain, false, false),
            without: PreparedOdds::new(second.chain, false, false),
            because: named,
            matchup: with,
        })
    }

    fn price(&self) -> Work {
        self.with.price() + self.without.price()
    }

    /// The example, and how much it tells: the largest difference, as a share of the target.
    fn answer(&self, rule: usize, token: &CancellationToken) -> Result<(f64, RuleExample), Cancelled> {
        let pack = &self.matchup.pack;
        let (with, without) = (numbers(&self.with.answer(token)?), numbers(&self.without.answer(token)?));
        let one = UnitInstance { models: 1, ..self.matchup.target.clone() };
        let points = f64::from(capacity(pack, &one)) * f64::from(self.matchup.target.models);
        let gap = |a: Option<f64>, b: Option<f64>, whole: f64| (a.unwrap_or(0.0) - b.unwrap_or(0.0)).abs() / whole;
        let chance = |numbers: &RuleNumbers| numbers.destroyed.as_ref().map(|destroyed| destroyed.chance);
        let after = |numbers: &RuleNumbers, name: &str| numbers.aftermath.get(name).map(|effect| effect.chance);
        let effects = with.aftermath.keys().chain(without.aftermath.keys());
        let tells = gap(with.models, without.models, f64::from(self.matchup.target.models.max(1)))
            .max(gap(with.structure, without.structure, points.max(1.0)))
            .max(gap(chance(&with), chance(&without), 1.0))
            .max(gap(with.backfires, without.backfires, 10.0))
            .max(effects.map(|name| gap(after(&with, name), after(&without, name), 1.0)).fold(0.0, f64::max));
        let request = MatchupRequest::of(&self.matchup);
        let other = MatchupRequest { without: Some(vec![pack.rules[rule].named.id.clone()]), ..request.clone() };
        let value = |request: &MatchupRequest| serde_json::to_value(request).unwrap_or_default();
        let example = RuleExample {
            path: MatchupRequest::PATH.to_owned(),
            text: words(&self.matchup),
            request: value(&request),
            with,
            request_without: Some(value(&other)),
            without,
            because: self.because.clone(),
        };
        Ok((tells, example))
    }
}

impl Roll {
    fn answer(&self, token: &CancellationToken) -> Result<Option<RuleExample>, Cancelled> {
        let chance = |request: &Value| -> Result<Option<Chance>, Cancelled> {
            let catalog = PackCatalog::default();
            let request = request.clone();
            Ok(if self.path == CheckRequest::PATH {
                let prepared =
                    serde_json::from_value::<CheckRequest>(request).ok().and_then(|one| one.resolve(&catalog).ok());
                let answer = prepared.map(|prepared| prepared.answer(token)).transpose()?;
                answer.map(|answer| Chance { chance: answer.chance, fraction: Some(answer.fraction) })
            } else {
                let prepared =
                    serde_json::from_value::<RepairRequest>(request).ok().and_then(|one| one.resolve(&catalog).ok());
                let answer = prepared.map(|prepared| prepared.answer(token)).transpose()?;
                answer.map(|answer| Chance { chance: answer.chance, fraction: Some(answer.fraction) })
            })
        };
        let Some(with) = chance(&self.request)? else { return Ok(None) };
        // Without the rule there may be no roll at all, which never succeeds.
        let never = Chance { chance: 0.0, fraction: Some("0".to_owned()) };
        let without = match &self.without {
            Some(request) => chance(request)?.unwrap_or(never),
            None => never,
        };
        let numbers = |chance: Chance| RuleNumbers { chance: Some(chance), ..RuleNumbers::default() };
        Ok(Some(RuleExample {
            path: self.path.to_owned(),
            text: self.text.clone(),
            request: self.request.clone(),
            with: numbers(with),
            request_without: self.without.clone(),
            without: numbers(without),
            because: self.because.clone(),
        }))
    }
}

fn numbers(odds: &OddsAnswer) -> RuleNumbers {
    RuleNumbers {
        models: odds.models.as_ref().map(|models| models.expected),
        structure: odds.structure.as_ref().map(|structure| structure.expected),
        destroyed: Some(odds.destroyed.clone()),
        backfires: odds.backfires.as_ref().map(|backfires| backfires.expected),
        aftermath: odds.aftermath.iter().flatten().map(|(name, of)| (name.clone(), of.chance())).collect(),
        chance: None,
    }
}

/// `5 Quay Rifles near the Wharf Captain`.
fn who(pack: &Pack, side: &UnitInstance) -> String {
    let mut words = pack.units[side.unit].counting(pack).named(side.models);
    for (option, _) in &side.options {
        words += &format!(" + {}", pack.units[side.unit].options[*option].named.label);
    }
    for near in &side.near {
        words += &format!(" near the {}", near.label(pack));
    }
    if !side.statuses.is_empty() {
        words += &format!(" ({})", side.statuses.join(", "));
    }
    words
}

fn words(matchup: &Matchup) -> String {
    let (pack, situation) = (&*matchup.pack, &matchup.situation);
    let table = &pack.situations;
    let mut words = format!("{} v {}", who(pack, &matchup.attacker), who(pack, &matchup.target));
    let weapons: Vec<&str> = matchup.attacker.weapons.iter().map(|at| pack.weapons[*at].named.label.as_str()).collect();
    if !weapons.is_empty() {
        words += &format!(", {}", weapons.join(", "));
    }
    if pack.kinds[pack.units[matchup.target.unit].kind].body.is_armoured() && table.arcs.len() > 1 {
        words += &format!(", {}", table.arcs[situation.arc].named.label);
    }
    if table.ranges.len() > 1 {
        words += &format!(", {}", table.ranges[situation.range].word.named.label);
    }
    if situation.cover != table.usual.2 {
        words += &format!(", {}", place(&table.covers[situation.cover].named.label));
    }
    if situation.moved {
        words += ", moved";
    }
    for (flag, _) in table.flags.iter().zip(&situation.flags).filter(|(_, set)| **set) {
        words += &format!(", {}", flag.label);
    }
    words
}
