//! `assign`: who attacks whom, so that most is destroyed.
use super::bytes;
use super::lookup;
use super::matchup::{SideForm, SituationForm, Stated};
use super::mistake::{Mistake, Mistakes};
use super::question::{PreparedQuery, Question};
use super::summary::{Chance, Summary};
use crate::analysis::assign::{Assignment, Battle, MOST, Must, Objective};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use crate::rules::matchup::Situation;
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

mod answer;
mod pairs;
mod sentence;

/// Attackers and targets, to be sent at each other in the best way.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"pack": "canal-guild", "attackers": [{"unit": "Heron Carriage"}, {"unit": "Culverin Crew"}], "targets": [{"unit": "Quay Rifles", "models": 10}, {"unit": "Heron Carriage"}]}))]
pub struct AssignRequest {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// Those who attack, in the order in which they act on one target; each goes to one target, with all that it can use.
    #[schema(min_items = 1, max_items = 12)]
    pub attackers: Vec<SideForm>,
    /// Those who may be attacked.
    #[schema(min_items = 1, max_items = 8)]
    pub targets: Vec<SideForm>,
    /// What the table adds to every attack.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub situation: Option<SituationForm>,
    /// What is otherwise for single pairs.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 96)]
    pub pairs: Option<Vec<AssignPair>>,
    /// What is looked for: `points`, the most points destroyed on average, or `destroyed`, the most targets destroyed on
    /// average; default `points`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub objective: Option<AssignObjective>,
    /// Targets that must be destroyed, all of them together with at least this chance (the highest, where they differ).
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 8)]
    pub must: Option<Vec<AssignMust>>,
}

/// One attacker and one target.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AssignPair {
    /// The attacker's place in the list, from 0.
    #[schema(minimum = 0, maximum = 11)]
    pub attacker: usize,
    /// The target's place in the list, from 0.
    #[schema(minimum = 0, maximum = 7)]
    pub target: usize,
    /// What the table adds to this attack, laid over the request's.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub situation: Option<SituationForm>,
    /// It cannot attack this target.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cannot: Option<bool>,
}

/// What is looked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum AssignObjective {
    /// The most points destroyed on average.
    #[default]
    Points,
    /// The most targets destroyed on average.
    Destroyed,
}

/// A target that must be destroyed.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AssignMust {
    /// Its place in the list, from 0.
    #[schema(minimum = 0, maximum = 7)]
    pub target: usize,
    /// The least chance; default 0.9.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1)]
    pub chance: Option<f64>,
}

/// Who attacks whom.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct AssignAnswer {
    /// The best plan: a row for each attacker.
    pub plan: Vec<PlanRow>,
    /// Its value: points destroyed on average, or targets destroyed on average.
    pub expected: f64,
    /// What `expected` counts.
    pub objective: AssignObjective,
    /// The plan in a sentence.
    pub sentence: String,
    /// What becomes of each target.
    pub targets: Vec<TargetRow>,
    /// The plan in which each takes the target where it alone gives most, with what comes of that together.
    pub each_on_its_own: OtherPlan,
    /// What the best plan gives above that.
    pub gain: f64,
    /// The next two plans that differ in a target's attackers; who adds nothing is left out of them.
    pub others: Vec<OtherPlan>,
    /// Attackers that are sent nowhere.
    pub idle: Vec<IdleRow>,
    /// With `must`: the chance that all of these are destroyed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub must_chance: Option<Chance>,
    /// No plan reaches the chance of `must`: this is the one that comes nearest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_reached: Option<bool>,
    /// No plan can destroy all that must be, so that `must` does not count.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub must_left_out: Option<bool>,
    /// For each attacker, what it does to each target where nobody else attacks it.
    pub alone: Vec<Vec<AloneCell>>,
    /// What the request left open, and how it was taken.
    pub defaults: Vec<Stated>,
    /// The pack that was used.
    pub pack: String,
    /// Its content hash.
    pub hash: String,
}

/// Where one attacker goes.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PlanRow {
    /// Its place in the list, from 0.
    pub attacker: usize,
    /// The target's place in the list; `null` where it is sent nowhere.
    pub target: Option<usize>,
    /// What it is called, with a number where several are called so.
    pub name: String,
    /// What it adds to the value of the plan, the others acting as they do.
    pub adds: f64,
    /// Where it goes, and why.
    pub sentence: String,
}

/// What becomes of one target.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TargetRow {
    /// Its place in the list, from 0.
    pub target: usize,
    /// What it is called, with a number where several are called so.
    pub name: String,
    /// Who attacks it, by their places in the list, in the order in which they act.
    pub attackers: Vec<usize>,
    /// Its points.
    pub points: TargetPoints,
    /// Of soldiers: models removed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub models: Option<Summary>,
    /// Of armour: points of structure lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub structure: Option<Summary>,
    /// Nothing is left.
    pub destroyed: Chance,
}

/// The points of a target.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct TargetPoints {
    /// What it cost before anything of it was lost.
    pub cost: u64,
    /// The mean of the points destroyed.
    pub removed: f64,
}

/// Another plan.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct OtherPlan {
    /// For each attacker its target.
    pub plan: Vec<OtherRow>,
    /// Its value.
    pub expected: f64,
}

/// Where an attacker goes in another plan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct OtherRow {
    /// Its place in the list, from 0.
    pub attacker: usize,
    /// The target's; `null` for none.
    pub target: Option<usize>,
}

/// An attacker that is sent nowhere.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct IdleRow {
    /// Its place in the list, from 0.
    pub attacker: usize,
    /// Why.
    pub reason: String,
}

/// One attacker on one target, alone.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct AloneCell {
    /// The mean of the points destroyed.
    pub points: f64,
    /// The chance that nothing is left.
    #[schema(minimum = 0, maximum = 1)]
    pub destroyed: f64,
}

/// A battle with all names looked up.
#[derive(Clone, Debug)]
pub struct PreparedAssign {
    battle: Battle,
    defaults: Vec<Stated>,
    price: Work,
}

impl Question for AssignRequest {
    const PATH: &'static str = "assign";
    /// Every pair of units in every state is a question of its own.
    const BUDGET_FACTOR: u64 = 40;
    type Prepared = PreparedAssign;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedAssign, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let mut defaults = Vec::new();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        for (field, there, most) in
            [("attackers", self.attackers.len(), MOST.0), ("targets", self.targets.len(), MOST.1)]
        {
            if there == 0 {
                mistakes
                    .push(Mistake::value(format!("/{field}"), format!("name at least one unit: 1 to {most} {field}")));
            } else if there > most {
                let detail = format!("{there} {field} are too many for one plan: at most {most}");
                mistakes.push(Mistake::value(format!("/{field}"), detail));
            }
        }
        for (at, rows, most) in [
            ("/must", self.must.as_ref().map_or(0, Vec::len), MOST.1),
            ("/pairs", self.pairs.as_ref().map_or(0, Vec::len), MOST.0 * MOST.1),
        ] {
            if rows > most {
                mistakes.push(Mistake::value(at, format!("up to {most} rows, not {rows}")));
            }
        }
        let must = self.must(&mut mistakes);
        if !mistakes.0.is_empty() {
            return Err(mistakes.0);
        }
        let battle = pack.and_then(|pack| {
            if self.pack.is_none() {
                defaults.push(Stated::new("/pack", pack.named.id.as_str(), &format!("pack: {}", pack.named.label)));
            }
            let attackers: Vec<_> = (self.attackers.iter().enumerate())
                .map(|(at, side)| {
                    mistakes.keep_all(super::matchup::unit_instance(side, &pack, &format!("/attackers/{at}")))
                })
                .collect();
            let targets: Vec<_> = (self.targets.iter().enumerate())
                .map(|(at, side)| super::matchup::resolve_target(side, &pack, &format!("targets/{at}"), &mut mistakes))
                .collect();
            let situations = pairs::situations(&self, &pack, &mut defaults, &mut mistakes);
            Some(Battle {
                attackers: attackers.into_iter().collect::<Option<_>>()?,
                targets: targets.into_iter().collect::<Option<_>>()?,
                situations: situations?,
                objective: match self.objective.unwrap_or_default() {
                    AssignObjective::Points => Objective::Points,
                    AssignObjective::Destroyed => Objective::Destroyed,
                },
                must,
                pack,
            })
        });
        let battle = mistakes.or(battle)?;
        let price = battle.price().map_err(|wrong| pairs::wrong(&wrong))?;
        Ok(PreparedAssign { battle, defaults, price })
    }
}

impl AssignRequest {
    /// What must be destroyed; rows of one target count once.
    fn must(&self, mistakes: &mut Mistakes) -> Option<Must> {
        let rows = self.must.as_deref().filter(|rows| !rows.is_empty())?;
        let mut must = Must { targets: Vec::new(), chance: 0.0 };
        for (at, row) in rows.iter().enumerate() {
            let chance = row.chance.unwrap_or(0.9);
            if row.target >= self.targets.len() {
                let detail = pairs::no_such("target", row.target, self.targets.len());
                mistakes.push(Mistake::value(format!("/must/{at}/target"), detail));
            }
            if !(0.0..=1.0).contains(&chance) {
                mistakes.push(Mistake::value(format!("/must/{at}/chance"), "a chance from 0 to 1, such as 0.9"));
            }
            must.chance = must.chance.max(chance);
            if !must.targets.contains(&row.target) {
                must.targets.push(row.target);
            }
        }
        Some(must)
    }
}

impl PreparedQuery for PreparedAssign {
    type Answer = AssignAnswer;

    fn canonical(&self) -> impl Serialize {
        let Battle { pack, attackers, targets, situations, objective, must } = &self.battle;
        let side = |side| super::matchup::side_value(pack, side);
        let situation = |situation: &Option<Situation>| {
            situation.as_ref().map(|Situation { arc, range, distance, cover, moved, flags }| {
                serde_json::json!([arc, range, distance, cover, moved, flags])
            })
        };
        let row = |row: &Vec<Option<Situation>>| row.iter().map(situation).collect::<Vec<_>>();
        serde_json::json!({ "assign": {
            "pack": pack.hash,
            "attackers": attackers.iter().map(side).collect::<Vec<_>>(),
            "targets": targets.iter().map(side).collect::<Vec<_>>(),
            "situations": situations.iter().map(row).collect::<Vec<_>>(),
            "destroyed": *objective == Objective::Destroyed,
            "must": must.as_ref().map(|must| (&must.targets, must.chance)),
            "defaults": self.defaults.iter().map(|stated| stated.pointer.as_str()).collect::<Vec<_>>(),
        }})
    }

    fn price(&self) -> Work {
        self.price
    }

    fn bytes(&self) -> Work {
        let pack: &Pack = &self.battle.pack;
        let rows = self.battle.targets.iter().map(|target| {
            // Soldiers have a row for each model, armour one for each point.
            Work::from(target.models) * u64::from(crate::rules::standing::first_capacity(pack, target)) * 120_u64
        });
        let attackers = Work::from(self.battle.attackers.len()) * (Work::from(self.battle.targets.len()) + 20) * 400;
        bytes::few(rows.sum::<Work>() + attackers)
    }

    fn answer(&self, token: &CancellationToken) -> Result<AssignAnswer, Cancelled> {
        let found: Assignment = self.battle.assign(token)?;
        Ok(answer::answer(self, &found))
    }
}
