//! A unit with the numbers around it, and what each of them may mean.
use super::super::{Line, line_cost, option_cost};
use super::loose::Loose;
use super::tokens::Kind;
use crate::report::counting::Counted;
use crate::rules::model::Pack;
use crate::rules::model::unit::Unit;

/// The most numbers that are weighed for one unit.
const MOST_NUMBERS: usize = 4;

/// A unit with the numbers around it.
pub(super) struct Segment {
    pub(super) unit: usize,
    /// How many of the numbers stand before it.
    pub(super) before: usize,
    pub(super) numbers: Vec<(u32, Kind, bool)>,
    pub(super) options: Vec<(usize, u32)>,
}

/// What a number is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Role {
    Count,
    Models,
    Points,
    Place,
    /// What the list comes to as far as this line.
    SoFar,
}

const ROLES: [Role; 5] = [Role::Count, Role::Models, Role::Points, Role::Place, Role::SoFar];

impl Segment {
    /// Whether the number that waits is the only one behind the unit's name, and may be its size.
    pub(super) fn fresh_end(&self, waiting: &[(u32, Kind, bool)]) -> bool {
        matches!(waiting, [(_, Kind::Models | Kind::Units | Kind::Points, _)]) || self.numbers.len() > MOST_NUMBERS
    }

    /// Whether a number is what an option costs, for some size that the unit may have.
    pub(super) fn is_price(&self, unit: &Unit, option: usize, times: u32, value: u32) -> bool {
        let said = self.numbers.iter().map(|(number, ..)| *number);
        let sizes = said.filter(|number| (unit.models.0..=unit.models.1).contains(number)).chain([unit.models.0]);
        value > 0 && sizes.into_iter().any(|models| option_cost(unit, option, times, models) == u64::from(value))
    }

    /// The one way in which all numbers mean something.
    pub(super) fn meant(&self, pack: &Pack, number: u32, spent: Option<u64>) -> Option<Loose> {
        let factors = self.numbers.iter().filter(|(_, kind, _)| *kind == Kind::Times).count();
        let none = self.numbers.iter().any(|(value, ..)| *value == 0);
        if self.numbers.len() > MOST_NUMBERS || factors > 1 || none {
            return None;
        }
        let unit = &pack.units[self.unit];
        let mut best: Option<(u32, Loose)> = None;
        let mut twice = false;
        let ways = ROLES.len().pow(u32::try_from(self.numbers.len()).ok()?);
        for way in 0..ways {
            let roles: Vec<Role> =
                (0..self.numbers.len()).map(|at| ROLES[way / ROLES.len().pow(at as u32) % ROLES.len()]).collect();
            let Some((penalty, loose)) = self.way(pack, unit, number, spent, &roles) else { continue };
            match &best {
                Some((least, known)) if *least == penalty => twice |= known.line != loose.line,
                Some((least, _)) if *least < penalty => {}
                _ => (best, twice) = (Some((penalty, loose)), false),
            }
        }
        best.filter(|_| !twice).map(|(_, loose)| loose)
    }

    /// What it is where each number has its role, and how much speaks against that.
    fn way(&self, pack: &Pack, unit: &Unit, number: u32, spent: Option<u64>, roles: &[Role]) -> Option<(u32, Loose)> {
        let (least, most) = unit.models;
        let (mut count, mut models, mut points, mut against) = (None, None, None, 0);
        // `45 each, 90`: what one costs and what all cost.
        let (mut second, mut so_far) = (None, None);
        for (at, (role, (value, kind, first))) in roles.iter().zip(&self.numbers).enumerate() {
            let before = at < self.before;
            match (role, kind) {
                (Role::Count, Kind::Bare | Kind::Times | Kind::Units)
                    if count.is_none() && (1..=30).contains(value) =>
                {
                    count = Some(*value);
                    let usual = *kind == Kind::Units || most == 1 || unit.counted == Counted::Units;
                    against += if usual { 0 } else { 4 };
                }
                (Role::Models, Kind::Bare | Kind::Times | Kind::Models) if models.is_none() => {
                    let whole = least == most && (*value == least || *value == 1);
                    if !(least..=most).contains(value) && !whole {
                        return None;
                    }
                    models = Some(if whole { least } else { *value });
                    against += if *kind == Kind::Models || unit.counted == Counted::Models && most > 1 { 0 } else { 2 };
                }
                (Role::Points, Kind::Bare | Kind::Points) if points.is_none() => {
                    points = Some(*value);
                    against += u32::from(before && *kind == Kind::Bare);
                }
                (Role::Points, Kind::Bare | Kind::Points) if second.is_none() => second = Some(*value),
                // `92    377`: what it costs, and what the list comes to with it.
                (Role::SoFar, Kind::Bare) if at + 1 == roles.len() && points.is_none_or(|points| points <= *value) => {
                    so_far = Some(*value);
                    against += 5;
                }
                // `2. Dyke Hands`, `02 Dyke Hands`: its place in the list.
                (Role::Place, Kind::Bare) if *first && before && at == 0 && *value <= 60 => against += 8,
                _ => return None,
            }
        }
        let line = Line {
            number,
            unit: self.unit,
            count: count.unwrap_or(1),
            models: models.unwrap_or(least),
            options: self.options.clone(),
        };
        let cost = line_cost(pack, &line);
        // It counts only where the list comes to just that.
        if so_far.is_some_and(|sum| spent.and_then(|spent| spent.checked_add(cost.total)) != Some(u64::from(sum))) {
            return None;
        }
        let one = cost.total / u64::from(line.count);
        let bare = unit.cost(line.models);
        if let Some(second) = second {
            let pair = [points.map(u64::from), Some(u64::from(second))];
            if pair != [Some(one), Some(cost.total)] && pair != [Some(bare), Some(bare * u64::from(line.count))] {
                return None;
            }
            points = Some(second);
        }
        let costs = [cost.total, one, bare, bare * u64::from(line.count)];
        // What stands there is rather what all of it costs.
        if line.count > 1 && points.is_some_and(|points| u64::from(points) != cost.total) {
            against += 3;
        }
        let fits = points.is_some_and(|points| costs.contains(&u64::from(points)));
        let behind = roles.iter().rposition(|role| *role == Role::Points).is_some_and(|at| at >= self.before);
        let said_so = self.numbers.iter().any(|(_, kind, _)| *kind == Kind::Points);
        match points {
            Some(_) if fits => {}
            // Options on lines of their own may make up for it; the sum is checked then.
            Some(points) if said_so || behind && (most.max(30) < points && points <= 100_000) => against += 20,
            Some(_) => return None,
            None => against += 10,
        }
        Some((against, Loose { line, points, fits: fits || so_far.is_some() }))
    }
}
