//! `blast`: a round template on bases or on a hull.
use super::amount::AmountForm;
use super::mistake::{Mistake, Mistakes, pointer};
use super::question::{Question, Ready};
use super::roll::some_unless;
use super::summary::{Chance, Summary};
use crate::odds::blast::{AimAt, Base, Blast, Counts, Hull, Point, Scatter, Under};
use crate::odds::halt::{Halt, Halted};
use crate::odds::number::{Exact, Number};
use crate::odds::price;
use crate::rules::Books;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A round template, what lies under it, where it is aimed and how it drifts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BlastRequest {
    /// The template.
    pub template: TemplateForm,
    /// Round bases.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 400)]
    pub bases: Option<Vec<BaseForm>>,
    /// Bases in ranks, in place of `bases`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub formation: Option<FormationForm>,
    /// One rectangular hull about 0,0, in place of `bases`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hull: Option<HullForm>,
    /// A point, or `"best"` (default): the middle of the base that promises most, the first of equals; of a hull its middle.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub aim: Option<AimForm>,
    /// How the template drifts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub scatter: Option<ScatterForm>,
    /// When a base counts as caught; default `touched`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<CountsForm>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<super::notes::Label>,
    /// Not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<super::notes::Notes>,
}

/// The template.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TemplateForm {
    /// Its diameter in millimetres.
    #[schema(minimum = 0, maximum = 10000)]
    pub diameter_mm: f64,
}

/// A round base.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BaseForm {
    /// Its middle, in millimetres.
    #[schema(minimum = -100000, maximum = 100000)]
    pub x_mm: f64,
    /// Its middle, in millimetres.
    #[schema(minimum = -100000, maximum = 100000)]
    pub y_mm: f64,
    /// Its diameter in millimetres.
    #[schema(minimum = 0, maximum = 10000)]
    pub diameter_mm: f64,
}

/// Bases in ranks: the first at 0,0, x along a rank, y to the next.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct FormationForm {
    /// How many.
    #[schema(minimum = 1, maximum = 400)]
    pub models: u32,
    /// Diameter of each base in millimetres.
    #[schema(minimum = 0, maximum = 10000)]
    pub base_mm: f64,
    /// From edge to edge in millimetres.
    #[schema(minimum = 0, maximum = 10000)]
    pub gap_mm: f64,
    /// How many to a rank.
    #[schema(minimum = 1, maximum = 400)]
    pub files: u32,
}

/// A rectangular hull about 0,0.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HullForm {
    /// Along x, in millimetres.
    #[schema(minimum = 0, maximum = 10000)]
    pub length_mm: f64,
    /// Along y, in millimetres.
    #[schema(minimum = 0, maximum = 10000)]
    pub width_mm: f64,
}

/// Where the template is aimed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged, expecting = "aim is {\"x_mm\": …, \"y_mm\": …} or \"best\"")]
pub enum AimForm {
    /// At a point.
    Point(PointForm),
    /// At the best base.
    Named(AimName),
}

/// A point in millimetres.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PointForm {
    /// Along a rank.
    #[schema(minimum = -100000, maximum = 100000)]
    pub x_mm: f64,
    /// To the next rank.
    #[schema(minimum = -100000, maximum = 100000)]
    pub y_mm: f64,
}

/// An aim by name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum AimName {
    /// The base that promises most.
    Best,
}

/// How the template drifts: `max(0, dice - reduce)` units in any direction.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ScatterForm {
    /// How far, in units.
    pub dice: AmountForm,
    /// Taken off the dice; default 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 10000)]
    pub reduce: Option<u32>,
    /// Millimetres to a unit; default 25.4.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1000)]
    pub unit_mm: Option<f64>,
    /// The chance that it does not drift; default 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on_target: Option<ChanceForm>,
}

/// A chance as a number or as a fraction.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged, expecting = "a chance is a number from 0 to 1 or a fraction such as \"1/4\"")]
pub enum ChanceForm {
    /// A decimal.
    Number(f64),
    /// A fraction.
    Fraction(String),
}

/// When a base counts as caught.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum CountsForm {
    /// The template touches it.
    Touched,
    /// The template covers its middle.
    Centre,
    /// The template covers all of it.
    Whole,
}

/// What comes of a blast.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BlastOutcome {
    /// How many bases are caught.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub covered: Option<Summary>,
    /// Of a hull: the template's middle lies over it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub centre_inside: Option<Chance>,
    /// Of a hull: the template touches it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub touched: Option<Chance>,
    /// The aim as used.
    pub aim: PointForm,
    /// For each distance of drift, ascending.
    pub distances: Vec<DistanceRow>,
    /// How many pairs of bases overlap, where any do: they are counted as they lie.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub overlapping_pairs: Option<usize>,
}

/// One distance of drift.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct DistanceRow {
    /// How far the template drifts.
    pub distance_mm: f64,
    /// The chance of this distance.
    pub chance: f64,
    /// How many are caught on average then (of a hull: the chance that it is touched).
    pub expected: f64,
}

impl ChanceForm {
    /// The exact value.
    pub(super) fn settle(&self, at: &str) -> Result<Exact, Mistake> {
        let value = match self {
            Self::Number(number) => Exact::from_decimal(*number),
            Self::Fraction(text) => Exact::parse(text),
        };
        let refused = || Mistake::value(at, "a chance is a number from 0 to 1 or a fraction such as \"1/4\"");
        value.filter(|value| *value <= Exact::one()).ok_or_else(refused)
    }
}

impl BlastRequest {
    /// The domain's blast.
    pub(super) fn settle(self, at: &str, mistakes: &mut Mistakes) -> Option<Blast> {
        let before = mistakes.0.len();
        let mut length = |value: f64, most: f64, field: &str| {
            if !(0.0..=most).contains(&value) {
                mistakes.push(Mistake::value(format!("{at}/{field}"), format!("a length from 0 to {most} mm")));
            }
            value
        };
        let radius = length(self.template.diameter_mm, 10_000.0, "template/diameter_mm") / 2.0;
        let mut kinds = 0;
        let mut bases = Vec::new();
        if let Some(given) = &self.bases {
            kinds += 1;
            for (index, base) in given.iter().enumerate() {
                let diameter = length(base.diameter_mm, 10_000.0, &format!("bases/{index}/diameter_mm"));
                bases.push(Base { centre: Point { x: base.x_mm, y: base.y_mm }, radius: diameter / 2.0 });
            }
        }
        if let Some(formation) = &self.formation {
            kinds += 1;
            length(formation.base_mm, 10_000.0, "formation/base_mm");
            length(formation.gap_mm, 10_000.0, "formation/gap_mm");
            if !(1..=400).contains(&formation.models) || !(1..=400).contains(&formation.files) {
                let detail = "1 to 400 models in ranks of 1 to 400 files";
                mistakes.push(Mistake::value(pointer(at, "formation"), detail));
                return None;
            }
            bases = formation.bases();
        }
        let mut hull = None;
        if let Some(form) = &self.hull {
            kinds += 1;
            if self.counts.is_some() {
                mistakes.push(Mistake::value(pointer(at, "counts"), "with a hull, both ways of counting are answered"));
            }
            hull = Some(Hull { length: form.length_mm, width: form.width_mm });
            if !(0.0..=10_000.0).contains(&form.length_mm) || !(0.0..=10_000.0).contains(&form.width_mm) {
                mistakes.push(Mistake::value(pointer(at, "hull"), "a length from 0 to 10000 mm"));
            }
        }
        if kinds != 1 {
            let detail = "say what lies there: one of bases, formation or hull";
            mistakes.push(Mistake::missing(pointer(at, "bases"), detail));
            return None;
        }
        if hull.is_none() && !(1..=400).contains(&bases.len()) {
            mistakes.push(Mistake::value(pointer(at, "bases"), "1 to 400 bases"));
        }
        let far = |x: f64, y: f64| !(x.abs() <= 100_000.0 && y.abs() <= 100_000.0);
        if bases.iter().any(|base| far(base.centre.x, base.centre.y)) {
            mistakes.push(Mistake::value(pointer(at, "bases"), "places lie within 100000 mm of 0,0"));
        }
        let aim = match self.aim {
            Some(AimForm::Point(point)) => {
                if far(point.x_mm, point.y_mm) {
                    mistakes.push(Mistake::value(pointer(at, "aim"), "places lie within 100000 mm of 0,0"));
                }
                AimAt::Point(Point { x: point.x_mm, y: point.y_mm })
            }
            None | Some(AimForm::Named(AimName::Best)) => AimAt::Best,
        };
        let scatter = match self.scatter {
            None => None,
            Some(form) => Some(form.settle(&pointer(at, "scatter"), mistakes)?),
        };
        let counts = match self.counts {
            None | Some(CountsForm::Touched) => Counts::Touched,
            Some(CountsForm::Centre) => Counts::Centre,
            Some(CountsForm::Whole) => Counts::Whole,
        };
        let under = hull.map_or(Under::Bases(bases, counts), Under::Hull);
        (mistakes.0.len() == before).then_some(Blast { radius, under, aim, scatter })
    }

    /// The form of a blast, its bases one by one.
    pub(super) fn of(blast: &Blast) -> Self {
        let base = |base: &Base| BaseForm { x_mm: base.centre.x, y_mm: base.centre.y, diameter_mm: base.radius * 2.0 };
        let (bases, hull, counts) = match &blast.under {
            Under::Bases(bases, counts) => (Some(bases.iter().map(base).collect()), None, Some(*counts)),
            Under::Hull(hull) => (None, Some(HullForm { length_mm: hull.length, width_mm: hull.width }), None),
        };
        Self {
            template: TemplateForm { diameter_mm: blast.radius * 2.0 },
            bases,
            formation: None,
            hull,
            aim: match blast.aim {
                AimAt::Point(point) => Some(AimForm::Point(PointForm { x_mm: point.x, y_mm: point.y })),
                AimAt::Best => None,
            },
            scatter: blast.scatter.as_ref().map(|scatter| ScatterForm {
                dice: AmountForm(scatter.dice.clone()),
                reduce: some_unless(scatter.reduce, 0),
                unit_mm: Some(scatter.unit),
                on_target: some_unless(scatter.on_target.clone(), Exact::zero())
                    .map(|chance| ChanceForm::Fraction(chance.to_string())),
            }),
            counts: counts.and_then(|counts| match counts {
                Counts::Touched => None,
                Counts::Centre => Some(CountsForm::Centre),
                Counts::Whole => Some(CountsForm::Whole),
            }),
            label: None,
            because: None,
        }
    }
}

impl FormationForm {
    fn bases(&self) -> Vec<Base> {
        let step = self.base_mm + self.gap_mm;
        let place =
            |index: u32| Point { x: f64::from(index % self.files) * step, y: f64::from(index / self.files) * step };
        (0..self.models).map(|index| Base { centre: place(index), radius: self.base_mm / 2.0 }).collect()
    }
}

impl ScatterForm {
    fn settle(self, at: &str, mistakes: &mut Mistakes) -> Option<Scatter> {
        let unit = self.unit_mm.unwrap_or(25.4);
        if !(0.0..=1_000.0).contains(&unit) {
            mistakes.push(Mistake::value(pointer(at, "unit_mm"), "a unit is 0 to 1000 mm long"));
        }
        let on_target =
            self.on_target.as_ref().map_or(Ok(Exact::zero()), |form| form.settle(&pointer(at, "on_target")));
        let on_target = mistakes.keep(on_target)?;
        Some(Scatter { dice: self.dice.0, reduce: self.reduce.unwrap_or(0), unit, on_target })
    }
}

/// A blast ready to be worked out.
#[derive(Clone, Debug)]
pub struct BlastReady(Blast);

impl Question for BlastRequest {
    const PATH: &'static str = "blast";
    type Ready = BlastReady;

    fn settle(self, _books: &Books) -> Result<BlastReady, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let blast = self.settle("", &mut mistakes);
        mistakes.or(blast.map(BlastReady))
    }
}

impl Ready for BlastReady {
    type Answer = BlastOutcome;

    fn canonical(&self) -> serde_json::Value {
        serde_json::json!({ "blast": BlastRequest::of(&self.0) })
    }

    fn price(&self) -> u64 {
        price::blast(&self.0)
    }

    fn answer(&self, _halt: &Halt) -> Result<BlastOutcome, Halted> {
        let answer = self.0.evaluate();
        let distances = answer.distances.iter().map(|(distance_mm, chance, expected)| DistanceRow {
            distance_mm: *distance_mm,
            chance: *chance,
            expected: *expected,
        });
        let overlapping = match &self.0.under {
            Under::Bases(bases, _) => overlapping_pairs(bases),
            Under::Hull(_) => 0,
        };
        let hull = matches!(self.0.under, Under::Hull(_));
        Ok(BlastOutcome {
            covered: (!hull).then(|| Summary::from(&answer.covered)),
            centre_inside: answer.centre_inside.as_ref().map(Chance::from),
            touched: hull.then(|| Chance::from(&answer.covered.chance(1))),
            aim: PointForm { x_mm: answer.aim.x, y_mm: answer.aim.y },
            distances: distances.collect(),
            overlapping_pairs: (overlapping > 0).then_some(overlapping),
        })
    }
}

fn overlapping_pairs(bases: &[Base]) -> usize {
    let apart = |a: &Base, b: &Base| (a.centre.x - b.centre.x).hypot(a.centre.y - b.centre.y);
    let overlaps = |a: &Base, b: &Base| apart(a, b) + 1e-9 < a.radius + b.radius;
    bases.iter().enumerate().map(|(i, a)| bases[i + 1..].iter().filter(|b| overlaps(a, b)).count()).sum()
}
