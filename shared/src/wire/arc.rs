//! `arc`: which side of a hull is hit, from a bearing or from where both stand.
use super::blast::HullForm;
use super::lookup;
use super::mistake::{Mistake, Mistakes};
use super::packs::NameForm;
use super::question::{PreparedQuery, Question};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use crate::rules::arcs::{Line, Ring, across, bearing, turned};
use crate::rules::model::Pack;
use crate::rules::model::situation::Sector;
use serde::{Deserialize, Serialize};
use serde_json::json;
use std::sync::Arc;
use utoipa::ToSchema;

/// Where a shot comes from: a bearing, or where both stand. Without a pack the arcs are front, side and rear.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ArcRequest {
    /// The pack's name, or the text of a pack file.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// The unit that is hit, for the size of its hull.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Degrees clockwise from straight ahead of the hull, seen from its middle: 90 is its right, -90 or 270 its left.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -360, maximum = 360, example = 40)]
    pub bearing: Option<f64>,
    /// In place of a bearing: where the hull stands.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target: Option<HullPlace>,
    /// With `target`: where the shot comes from.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attacker: Option<Place>,
    /// The hull's size; its corners are where the arcs meet.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hull: Option<HullForm>,
    /// Equal quarters, whatever the hull's size.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub quarters: Option<bool>,
}

/// A place on the table, in any unit of length: x to the right, y up the table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = TablePlace)]
pub struct Place {
    /// To the right.
    #[schema(minimum = -100000, maximum = 100000)]
    pub x: f64,
    /// Up the table.
    #[schema(minimum = -100000, maximum = 100000)]
    pub y: f64,
}

/// Where a hull stands and where it looks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HullPlace {
    /// To the right.
    #[schema(minimum = -100000, maximum = 100000)]
    pub x: f64,
    /// Up the table.
    #[schema(minimum = -100000, maximum = 100000)]
    pub y: f64,
    /// Degrees clockwise from up the table.
    #[serde(default)]
    #[schema(minimum = -360, maximum = 360)]
    pub heading: f64,
}

/// The arc that is hit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ArcAnswer {
    /// The arc.
    pub arc: NameForm,
    /// The bearing, from beyond -180 up to 180.
    pub bearing: f64,
    /// From middle to middle, where places were given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub distance: Option<f64>,
    /// The nearest border; nothing where there is only one arc.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub border: Option<BorderForm>,
    /// Whether that is so near (5 degrees or less) that players may see it differently.
    pub near: bool,
    /// All borders.
    pub borders: Vec<BorderLine>,
    /// How the borders were found.
    pub how: String,
    /// The pack's id, where one was named.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pack: Option<String>,
    /// Its content hash.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hash: Option<String>,
}

/// The border that is nearest.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BorderForm {
    /// Where it lies.
    pub bearing: f64,
    /// The arc on its other side.
    pub other: NameForm,
    /// How many degrees away.
    pub off_degrees: f64,
    /// How far across, in the unit of the places.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub across: Option<f64>,
}

/// A border.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct BorderLine {
    /// Where it lies.
    pub bearing: f64,
    /// The arcs on its two sides, the one in front first.
    #[schema(min_items = 2, max_items = 2)]
    pub between: Vec<String>,
}

/// A bearing among borders.
#[derive(Clone, Debug)]
pub struct PreparedArc {
    pack: Option<Arc<Pack>>,
    ring: Ring,
    bearing: f64,
    distance: Option<f64>,
    how: String,
}

/// The arcs of a question without a pack.
const PLAIN: [&str; 3] = ["front", "side", "rear"];

impl Question for ArcRequest {
    const PATH: &'static str = "arc";
    type Prepared = PreparedArc;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedArc, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let wants_pack = self.pack.is_some() || self.book.is_some() || self.unit.is_some();
        let pack = if wants_pack {
            let found = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
            Some(found.ok_or_else(|| std::mem::take(&mut mistakes.0))?)
        } else {
            None
        };
        let where_from = self.bearing(&mut mistakes);
        let borders = self.ring(pack.as_deref(), &mut mistakes);
        let prepared = where_from.zip(borders).map(|((bearing, distance), (ring, how))| PreparedArc {
            pack,
            ring,
            bearing,
            distance,
            how,
        });
        mistakes.or(prepared)
    }
}

impl ArcRequest {
    /// The bearing, and the distance where places say it.
    fn bearing(&self, mistakes: &mut Mistakes) -> Option<(f64, Option<f64>)> {
        let within = |value: f64, most: f64, at: &str, mistakes: &mut Mistakes| {
            if value.abs() > most {
                mistakes.push(Mistake::value(at, format!("from -{most} to {most}, please")));
            }
            value
        };
        match (self.bearing, &self.target, &self.attacker) {
            (Some(given), None, None) => Some((turned(within(given, 360.0, "/bearing", mistakes)), None)),
            (None, Some(hull), Some(place)) => {
                let fields =
                    [(hull.x, "/target/x"), (hull.y, "/target/y"), (place.x, "/attacker/x"), (place.y, "/attacker/y")];
                for (value, at) in fields {
                    within(value, 100_000.0, at, mistakes);
                }
                within(hull.heading, 360.0, "/target/heading", mistakes);
                let (from, to) = ((hull.x, hull.y), (place.x, place.y));
                if from == to {
                    mistakes.push(Mistake::value("/attacker", "both stand on the same spot: there is no bearing"));
                    return None;
                }
                Some((bearing(from, hull.heading, to), Some((to.0 - from.0).hypot(to.1 - from.1))))
            }
            (None, None, None) => {
                mistakes
                    .push(Mistake::missing("/bearing", "say the bearing, or where both stand: target and attacker"));
                None
            }
            (Some(_), ..) => {
                mistakes.push(Mistake::value("/bearing", "give a bearing, or target and attacker, not both"));
                None
            }
            (None, target, _) => {
                let (at, what) = if target.is_none() { ("/target", "hull") } else { ("/attacker", "shot") };
                mistakes.push(Mistake::missing(at, format!("say, too, where the {what} is")));
                None
            }
        }
    }

    fn ring(&self, pack: Option<&Pack>, mistakes: &mut Mistakes) -> Option<(Ring, String)> {
        let quarters = self.quarters.unwrap_or(false);
        if let Some(hull) = self.hull {
            for (size, at) in [(hull.length_mm, "/hull/length_mm"), (hull.width_mm, "/hull/width_mm")] {
                if !(size > 0.0 && size <= 10_000.0) {
                    mistakes.push(Mistake::value(at, "more than 0 and at most 10000 mm, please"));
                    return None;
                }
            }
        }
        let own = match (pack, &self.unit) {
            (Some(pack), Some(unit)) => Some(pack.units[mistakes.keep(lookup::unit(pack, unit, "/unit"))?].formation),
            (Some(pack), None) => Some(pack.formation),
            (None, _) => None,
        };
        let own = own.map(|formation| (f64::from(formation.hull_mm.0), f64::from(formation.hull_mm.1)));
        let hull = self.hull.map(|hull| (hull.length_mm, hull.width_mm)).or(own).filter(|_| !quarters);
        let plain = vec![Sector::default(); PLAIN.len()];
        let sectors = pack.map_or(plain.as_slice(), |pack| pack.situations.sectors.as_slice());
        let stated = sectors.iter().any(|sector| sector.to.is_some() || sector.hand.is_some());
        let corners = sectors.iter().any(|sector| sector.to.is_some_and(|to| to.is_corner()));
        let how = match hull {
            Some((length, width)) if corners || (!stated && sectors.len() == 3) => {
                format!("borders through the corners of a hull {length} mm by {width} mm")
            }
            _ if stated => "borders as the pack states them".to_owned(),
            _ if sectors.len() == 3 => "borders at 45 and 135 degrees".to_owned(),
            _ => "borders at right angles".to_owned(),
        };
        let ring = Ring::new(sectors, hull);
        if ring.is_none() {
            let what = "the pack does not say where the borders of its arcs lie: each arc but the last needs a `to`";
            mistakes.push(Mistake::value("/pack", what));
        }
        ring.map(|ring| (ring, how))
    }
}

impl PreparedQuery for PreparedArc {
    type Answer = ArcAnswer;

    fn canonical(&self) -> impl Serialize {
        let borders: Vec<_> = self.ring.lines().iter().map(|line| json!([line.bearing, line.between])).collect();
        let pack = self.pack.as_ref().map(|pack| pack.hash.as_str());
        json!({ "arc": [pack, self.bearing, self.distance, borders, self.how] })
    }

    fn price(&self) -> Work {
        Work::new(1_000)
    }

    fn answer(&self, _token: &CancellationToken) -> Result<ArcAnswer, Cancelled> {
        let name = |at: usize| match &self.pack {
            Some(pack) => NameForm::from(&pack.situations.arcs[at].named),
            None => {
                let word = PLAIN.get(at).copied().unwrap_or_default().to_owned();
                NameForm { id: word.clone(), name: word, ..NameForm::default() }
            }
        };
        let hit = self.ring.hit(self.bearing);
        let border = hit.nearest.map(|(line, off)| BorderForm {
            bearing: line.bearing,
            other: name(if line.between.0 == hit.arc { line.between.1 } else { line.between.0 }),
            off_degrees: off,
            across: self.distance.and_then(|distance| across(distance, off)),
        });
        let line = |line: Line| BorderLine {
            bearing: line.bearing,
            between: vec![name(line.between.0).name, name(line.between.1).name],
        };
        Ok(ArcAnswer {
            arc: name(hit.arc),
            bearing: self.bearing,
            distance: self.distance,
            border,
            near: hit.is_near(),
            borders: self.ring.lines().into_iter().map(line).collect(),
            how: self.how.clone(),
            pack: self.pack.as_ref().map(|pack| pack.named.id.clone()),
            hash: self.pack.as_ref().map(|pack| pack.hash.clone()),
        })
    }
}
