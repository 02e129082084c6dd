//! The shapes of a blast as request and as answer.
use super::super::amount::AmountForm;
use super::super::named::object;
use super::super::notes::{Label, Notes};
use super::super::summary::{Chance, Summary};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A round template, what lies under it, where it is aimed and how it drifts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"template": {"diameter_mm": 75}, "formation": {"models": 10, "base_mm": 25, "gap_mm": 10, "files": 5}, "scatter": {"dice": "2d6", "reduce": 4, "on_target": "1/3"}}))]
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
    /// When a base counts as caught; default `touched`. Where an edge is met exactly a slack of 1e-9 mm decides: such a base
    /// is caught.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub counts: Option<CountsForm>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub label: Option<Label>,
    /// For the notes of whoever sends it: nothing is worked out from it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub because: Option<Notes>,
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
    Point(#[serde(deserialize_with = "object")] PointForm),
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
    /// The template touches it: its edge comes as near as a billionth of a millimetre.
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
