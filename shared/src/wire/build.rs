//! `build`: the best legal lists for so many points, against a board or another list.
use super::bytes;
use super::compare_lists::price_of;
use super::list_points::{LineForm, LineSum, ListProblem};
use super::lookup;
use super::mistake::{Mistake, Mistakes};
use super::named::object;
use super::question::{PreparedQuery, Question};
use crate::analysis::build::{self, MOST_PLANS, Objective, Order, Target};
use crate::analysis::evaluator::{Evaluator, Pair};
use crate::analysis::known::Known;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::points::{Line, instance_cost, line_cost, text};
use crate::rules::PackCatalog;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

mod answer;

/// What to build.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"pack": "canal-guild", "limit": 1000}))]
pub struct BuildRequest {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// The points limit; the pack's usual one where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1000000)]
    pub limit: Option<u32>,
    /// What is looked for: `balanced`, the most against whichever it does least against, soldiers or armour; or `total`, the
    /// most over all targets; default `balanced`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub objective: Option<BuildObjective>,
    /// The list that it is to face, as lines or as text; the pack's reference board where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub against: Option<AgainstForm>,
    /// Lines that are in the list whatever else is.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 100)]
    pub keep: Option<Vec<LineForm>>,
    /// Units that are not to be added.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 200)]
    pub exclude: Option<Vec<String>>,
    /// How many different plans; default 3.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 5)]
    pub plans: Option<usize>,
}

/// A list to face.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged, expecting = "against is a list: its text, its lines, or {lines} or {text}")]
pub enum AgainstForm {
    /// As pasted.
    Text(String),
    /// Its lines.
    Lines(Vec<LineForm>),
    /// As `list-points` takes it.
    List(#[serde(deserialize_with = "object")] AgainstList),
}

/// A list to face, as `list-points` takes it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct AgainstList {
    /// Its lines.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 500)]
    pub lines: Option<Vec<LineForm>>,
    /// The whole list as pasted.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// What is looked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum BuildObjective {
    /// The highest smallest sum over soldiers and armour.
    #[default]
    Balanced,
    /// The highest sum over all targets.
    Total,
}

/// The best legal lists.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BuildAnswer {
    /// The plans, the best first; none where no list is legal.
    pub plans: Vec<BuildPlan>,
    /// The points limit.
    pub limit: u32,
    /// What was looked for.
    pub objective: BuildObjective,
    /// Whom it is built against.
    pub targets: Vec<BuildTarget>,
    /// Where there is no plan: why, as the smallest set of limits that no list keeps to all at once.
    pub problems: Vec<ListProblem>,
    /// How many candidates there were: units at some sizes with up to two options.
    pub candidates: usize,
    /// How it was measured.
    pub method: String,
    /// The pack that was used.
    pub pack: String,
    /// Its content hash.
    pub hash: String,
}

/// One list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BuildPlan {
    /// Its lines, with their sums: those kept first.
    pub lines: Vec<LineSum>,
    /// What each of these lines is worth, in their order.
    pub values: Vec<BuildValue>,
    /// What it costs.
    pub total: u64,
    /// Points that are left.
    pub left: u64,
    /// What it is worth.
    pub value: BuildValue,
    /// The most that any legal list could reach, given the plans before.
    pub bound: f64,
    /// Whether no list is better.
    pub proven: bool,
    /// The list as text, to be pasted anywhere a list is read.
    pub text: String,
    /// What it is good at and what most of that comes from; where it is not proven best, by how much it may fall short.
    pub sentence: String,
}

/// What a list or a line is worth: points taken in the turns that its units survive.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BuildValue {
    /// The weighted mean over all targets.
    pub total: f64,
    /// Over soldiers, where there are any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub soldiers: Option<f64>,
    /// Over armour, where there is any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub armour: Option<f64>,
}

/// Whom it is built against.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BuildTarget {
    /// The unit as people count it.
    pub name: String,
    /// Its points.
    pub points: u64,
    /// How much it counts.
    pub weight: f64,
}

/// An order with all names looked up.
#[derive(Clone, Debug)]
pub struct PreparedBuild {
    pack: Arc<Pack>,
    order: Order,
    targets: Vec<Target>,
    price: Work,
}

impl Question for BuildRequest {
    const PATH: &'static str = "build";
    const BUDGET_FACTOR: u64 = 80;
    type Prepared = PreparedBuild;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedBuild, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        let plans = self.plans.unwrap_or(3);
        if !(1..=MOST_PLANS).contains(&plans) {
            mistakes.push(Mistake::value("/plans", format!("1 to {MOST_PLANS} plans")));
        }
        for (at, rows, most) in [
            ("/keep", self.keep.as_ref().map_or(0, Vec::len), 100),
            ("/exclude", self.exclude.as_ref().map_or(0, Vec::len), 200),
        ] {
            if rows > most {
                mistakes.push(Mistake::value(at, format!("up to {most} rows, not {rows}")));
            }
        }
        let prepared = pack.map(|pack| {
            let limit = self.limit.unwrap_or(pack.limits.points);
            if limit > 1_000_000 {
                mistakes.push(Mistake::value("/limit", "at most 1000000 points"));
            }
            let keep = read(&pack, self.keep, None, "/keep", &mut mistakes);
            let exclude = self
                .exclude
                .iter()
                .flatten()
                .enumerate()
                .filter_map(|(at, name)| mistakes.keep(lookup::unit(&pack, name, format_args!("/exclude/{at}"))));
            let exclude: Vec<usize> = exclude.collect();
            let targets = match self.against {
                None => board(&pack),
                Some(against) => {
                    let (lines, text) = match against {
                        AgainstForm::Text(text) => (None, Some(text)),
                        AgainstForm::Lines(lines) => (Some(lines), None),
                        AgainstForm::List(AgainstList { lines, text }) => (lines, text),
                    };
                    let lines = read(&pack, lines, text, "/against", &mut mistakes);
                    if lines.is_empty() {
                        mistakes.push(Mistake::value("/against", "name at least one unit to build against"));
                    }
                    lines.iter().map(|line| of_line(&pack, line)).collect()
                }
            };
            if targets.is_empty() {
                mistakes
                    .push(Mistake::value("/against", "the pack has no reference board: name whom to build against"));
            }
            let objective = match self.objective.unwrap_or_default() {
                BuildObjective::Balanced => Objective::Balanced,
                BuildObjective::Total => Objective::Total,
            };
            let order = Order { limit, objective, keep, exclude, plans };
            PreparedBuild { pack, order, targets, price: Work::NONE }
        });
        let prepared = mistakes.or(prepared)?;
        let price = prepared.worked_out_price();
        Ok(PreparedBuild { price, ..prepared })
    }
}

/// Lines of a request; what is not understood of them is a mistake.
pub(super) fn read(
    pack: &Pack,
    lines: Option<Vec<LineForm>>,
    whole: Option<String>,
    at: &str,
    mistakes: &mut Mistakes,
) -> Vec<Line> {
    let mut found = Mistakes::default();
    let pasted = match (lines, whole) {
        (Some(lines), _) => super::list_points::read_lines(pack, lines, &mut found),
        (None, Some(whole)) => text::read(pack, &whole),
        (None, None) => text::Pasted::default(),
    };
    for mistake in found.0 {
        let rest = mistake.pointer.strip_prefix("/lines").unwrap_or(&mistake.pointer).to_owned();
        mistakes.push(Mistake { pointer: format!("{at}{rest}"), ..mistake });
    }
    for problem in pasted.problems {
        let line = problem.line.map_or_else(String::new, |line| format!("line {line}: "));
        mistakes.push(Mistake::value(at, format!("{line}{}. {}", problem.text, problem.mend)));
    }
    pasted.lines
}

/// The pack's own board; all count alike.
fn board(pack: &Pack) -> Vec<Target> {
    let each = pack.board.targets.iter().map(|one| {
        let options = one.options.iter().map(|option| (*option, 1)).collect();
        target(pack, UnitInstance { unit: one.unit, models: one.models, options, ..UnitInstance::default() }, None)
    });
    each.collect()
}

/// The units of a line; they count as much as they cost.
fn of_line(pack: &Pack, line: &Line) -> Target {
    let unit =
        UnitInstance { unit: line.unit, models: line.models, options: line.options.clone(), ..UnitInstance::default() };
    target(pack, unit, Some(line_cost(pack, line).total as f64))
}

fn target(pack: &Pack, unit: UnitInstance, weight: Option<f64>) -> Target {
    Target {
        points: instance_cost(pack, &unit),
        weight: weight.unwrap_or(1.0),
        armoured: pack.kinds[pack.units[unit.unit].kind].body.is_armoured(),
        unit,
    }
}

impl PreparedBuild {
    fn evaluator<'a>(&'a self, token: &'a CancellationToken, known: &'a Known) -> Evaluator<'a> {
        Evaluator { pack: &self.pack, turns: self.pack.board.turns.clamp(1, 20), token, known }
    }

    /// From some of the pairs, spread over all of them, and the search.
    fn worked_out_price(&self) -> Work {
        const SEEN: usize = 16;
        const SEARCH: u64 = 200_000_000;
        let (token, known) = (CancellationToken::default(), Known::default());
        let evaluator = self.evaluator(&token, &known);
        let candidates = build::candidates(&self.pack, &self.order);
        let pairs = candidates.len() * self.targets.len();
        let seen = pairs.min(SEEN);
        let mut sum = Work::NONE;
        for index in 0..seen {
            let at = index * pairs / seen.max(1);
            let line = &candidates[at / self.targets.len()].line;
            let unit = UnitInstance {
                unit: line.unit,
                models: line.models,
                options: line.options.clone(),
                ..UnitInstance::default()
            };
            let other = &self.targets[at % self.targets.len()].unit;
            for (attacker, target) in [(&unit, other), (other, &unit)] {
                sum += price_of(&evaluator, &Pair { attacker, target, without: &[] });
            }
        }
        sum / seen.max(1) as u64 * Work::from(pairs) + Work::new(SEARCH) * Work::from(self.order.plans) / 3
    }
}

impl PreparedQuery for PreparedBuild {
    type Answer = BuildAnswer;

    fn canonical(&self) -> impl Serialize {
        let side =
            |target: &Target| serde_json::json!([super::matchup::side_value(&self.pack, &target.unit), target.weight]);
        let line = |line: &Line| serde_json::json!([line.unit, line.count, line.models, line.options]);
        serde_json::json!({ "build": {
            "pack": self.pack.hash,
            "limit": self.order.limit,
            "total": self.order.objective == Objective::Total,
            "targets": self.targets.iter().map(side).collect::<Vec<_>>(),
            "keep": self.order.keep.iter().map(line).collect::<Vec<_>>(),
            "exclude": self.order.exclude,
            "plans": self.order.plans,
        }})
    }

    fn price(&self) -> Work {
        self.price
    }

    fn bytes(&self) -> Work {
        // A plan has at most so many unlike lines as its points pay for; each holds names of the pack.
        let lines = Work::from(self.order.keep.len()) + 300;
        bytes::few(lines * Work::from(self.order.plans) * 1_500)
    }

    fn answer(&self, token: &CancellationToken) -> Result<BuildAnswer, Cancelled> {
        let found = build::build(&self.evaluator(token, &Known::default()), &self.order, &self.targets)?;
        Ok(answer::answer(self, &found))
    }
}
