//! What a list holds of each unit and each role, and what it would hold after one change.
use super::{Line, List, RoleUse, line_cost};
use crate::rules::model::Pack;
use std::collections::BTreeMap;

/// Units and points of a list, by unit and by role.
#[derive(Clone, Debug)]
pub(super) struct Tally<'a> {
    pub(super) pack: &'a Pack,
    pub(super) limit: u32,
    units: BTreeMap<usize, (u64, u64)>,
    roles: Vec<RoleUse>,
    /// Units of the whole list.
    count: u64,
    /// Points of the whole list.
    points: u64,
}

impl<'a> Tally<'a> {
    pub(super) fn new(pack: &'a Pack, list: &List) -> Self {
        let mut tally = Self {
            pack,
            limit: list.limit,
            units: BTreeMap::new(),
            roles: vec![RoleUse::default(); pack.roles.len()],
            count: 0,
            points: 0,
        };
        for line in &list.lines {
            let (count, points) = tally.units.entry(line.unit).or_default();
            let cost = line_cost(pack, line).total;
            *count += u64::from(line.count);
            *points = points.saturating_add(cost);
            tally.count += u64::from(line.count);
            tally.points = tally.points.saturating_add(cost);
        }
        for (at, (count, points)) in &tally.units {
            let unit = &pack.units[*at];
            let Some(role) = tally.roles.get_mut(unit.role) else { continue };
            role.slots += count.div_ceil(u64::from(unit.per_slot));
            role.units += count;
            role.points = role.points.saturating_add(*points);
        }
        tally
    }

    /// The list as it is.
    pub(super) fn now(&self) -> View<'_> {
        View { tally: self, unit: 0, before: (0, 0), after: (0, 0) }
    }

    /// The list with a line in place of another, or with one more.
    pub(super) fn with(&self, old: Option<&Line>, new: &Line) -> View<'_> {
        let of = |line: &Line| (u64::from(line.count), line_cost(self.pack, line).total);
        View { tally: self, unit: new.unit, before: old.map_or((0, 0), of), after: of(new) }
    }

    /// What the list holds of each role.
    pub(super) fn roles(self) -> Vec<RoleUse> {
        self.roles
    }

    /// The units that the list has, by index.
    pub(super) fn present(&self) -> impl Iterator<Item = usize> {
        self.units.keys().copied()
    }
}

/// A list after one change of one unit.
#[derive(Clone, Copy, Debug)]
pub(super) struct View<'a> {
    pub(super) tally: &'a Tally<'a>,
    unit: usize,
    /// Units and points that go.
    before: (u64, u64),
    /// Units and points that come.
    after: (u64, u64),
}

impl View<'_> {
    fn changed(&self, number: u64, of: impl Fn((u64, u64)) -> u64) -> u64 {
        number.saturating_sub(of(self.before)).saturating_add(of(self.after))
    }

    /// How many of a unit there are.
    pub(super) fn count(&self, unit: usize) -> u64 {
        let count = self.tally.units.get(&unit).map_or(0, |(count, _)| *count);
        if unit == self.unit { self.changed(count, |(count, _)| count) } else { count }
    }

    /// What there is of a role.
    pub(super) fn role(&self, role: usize) -> RoleUse {
        let used = &self.tally.roles[role];
        let unit = &self.tally.pack.units[self.unit];
        if unit.role != role {
            return used.clone();
        }
        let slots = |count: u64| count.div_ceil(u64::from(unit.per_slot));
        let old = self.tally.units.get(&self.unit).map_or(0, |(count, _)| *count);
        RoleUse {
            slots: used.slots - slots(old) + slots(self.count(self.unit)),
            units: self.changed(used.units, |(count, _)| count),
            points: self.changed(used.points, |(_, points)| points),
        }
    }

    /// Units of the whole list.
    pub(super) fn units(&self) -> u64 {
        self.changed(self.tally.count, |(count, _)| count)
    }

    /// Points of the whole list.
    pub(super) fn points(&self) -> u64 {
        self.changed(self.tally.points, |(_, points)| points)
    }
}
