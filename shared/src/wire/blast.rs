//! `blast`: a round template on bases or on a hull.
use super::amount::AmountForm;
use super::bytes;
use super::mistake::{Mistake, Mistakes, pointer};
use super::question::{PreparedQuery, Question};
use super::roll::some_unless;
use super::summary::{Chance, Summary};
use crate::odds::blast::Hull;
use crate::odds::blast::{AimAt, Base, Blast, Counts, Point, Scatter, Under};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::number::{Exact, Number};
use crate::odds::price::{self, Work};
use crate::rules::PackCatalog;

mod form;
pub use form::*;

impl ChanceForm {
    /// The exact value.
    pub(super) fn resolve(&self, at: &str) -> Result<Exact, Mistake> {
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
    pub(super) fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Blast> {
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
            Some(form) => Some(form.resolve(&pointer(at, "scatter"), mistakes)?),
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
    fn resolve(self, at: &str, mistakes: &mut Mistakes) -> Option<Scatter> {
        let unit = self.unit_mm.unwrap_or(25.4);
        if !(0.0..=1_000.0).contains(&unit) {
            mistakes.push(Mistake::value(pointer(at, "unit_mm"), "a unit is 0 to 1000 mm long"));
        }
        let on_target =
            self.on_target.as_ref().map_or(Ok(Exact::zero()), |form| form.resolve(&pointer(at, "on_target")));
        let on_target = mistakes.keep(on_target)?;
        Some(Scatter { dice: self.dice.0, reduce: self.reduce.unwrap_or(0), unit, on_target })
    }
}

/// A blast ready to be worked out.
#[derive(Clone, Debug)]
pub struct PreparedBlast(Blast);

impl Question for BlastRequest {
    const PATH: &'static str = "blast";
    type Prepared = PreparedBlast;

    fn resolve(self, _catalog: &PackCatalog) -> Result<PreparedBlast, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let blast = self.resolve("", &mut mistakes);
        mistakes.or(blast.map(PreparedBlast))
    }
}

impl PreparedQuery for PreparedBlast {
    type Answer = BlastOutcome;

    fn canonical(&self) -> impl serde::Serialize {
        serde_json::json!({ "blast": BlastRequest::of(&self.0) })
    }

    fn price(&self) -> Work {
        price::blast(&self.0)
    }

    fn bytes(&self) -> Work {
        bytes::blast(&self.0)
    }

    fn answer(&self, _token: &CancellationToken) -> Result<BlastOutcome, Cancelled> {
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
