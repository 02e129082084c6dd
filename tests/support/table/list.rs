//! A list of units: what it costs, which limits it breaks, what could be added without breaking one that holds.
use super::{Muster, price};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::unit::{Per, Unit};

/// Some units alike.
#[derive(Clone, Debug)]
pub struct Line {
    pub count: u32,
    /// One of them.
    pub unit: Muster,
}

#[derive(Clone, Debug)]
pub struct List {
    pub limit: u32,
    pub lines: Vec<Line>,
}

/// A limit that is broken: its code, whom it is about, and the only line that can be at fault, from 1.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Broken {
    pub code: &'static str,
    pub whom: String,
    pub line: Option<usize>,
    /// By how much.
    pub by: u64,
}

/// Something that could be bought: for a line, from 1, or a new unit; what it costs.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Buy {
    pub line: Option<usize>,
    pub what: String,
    pub points: u64,
    /// A limit that is broken already is broken by more: it need not be said.
    pub worse: bool,
}

impl Line {
    pub fn points(&self, pack: &Pack) -> u64 {
        price::of_one(pack, &self.unit) * u64::from(self.count)
    }
}

/// By how many hundredths of a point a number is more than so many percent of the limit.
fn over(points: u64, percent: u32, limit: u32) -> u64 {
    (points * 100).saturating_sub(u64::from(percent) * u64::from(limit))
}

impl List {
    pub fn total(&self, pack: &Pack) -> u64 {
        self.lines.iter().map(|line| line.points(pack)).sum()
    }

    fn of_unit(&self, unit: usize) -> impl Iterator<Item = (usize, &Line)> {
        self.lines.iter().enumerate().filter(move |(_, line)| line.unit.unit == unit)
    }

    fn number(&self, unit: usize) -> u32 {
        self.of_unit(unit).map(|(_, line)| line.count).sum()
    }

    /// Every limit that does not hold.
    pub fn broken(&self, pack: &Pack) -> Vec<Broken> {
        let mut all = Vec::new();
        for (at, line) in self.lines.iter().enumerate() {
            let unit = &pack.units[line.unit.unit];
            let mut add = |code, whom: &str, by: u64| {
                let whom = format!("line {} {whom}", at + 1);
                all.extend((by > 0).then_some(Broken { code, whom, line: Some(at + 1), by }));
            };
            let (least, most) = unit.models;
            let models = line.unit.models;
            add("models", "", (least.saturating_sub(models) + models.saturating_sub(most)).into());
            options(unit, &line.unit, &mut add);
            add(
                "unit-share",
                "",
                pack.limits
                    .most_share_of_unit
                    .map_or(0, |share| over(price::of_one(pack, &line.unit), share, self.limit)),
            );
        }
        self.units(pack, &mut all);
        self.roles(pack, &mut all);
        let units: u32 = self.lines.iter().map(|line| line.count).sum();
        let mut add = |code, by: u64| {
            all.extend((by > 0).then_some(Broken { code, whom: String::new(), line: None, by }));
        };
        add("units-least", pack.limits.least_units.saturating_sub(units).into());
        add("units-most", pack.limits.most_units.map_or(0, |most| units.saturating_sub(most)).into());
        add("over-points", self.total(pack).saturating_sub(self.limit.into()));
        all
    }

    /// What each unit says of itself and others.
    fn units(&self, pack: &Pack, all: &mut Vec<Broken>) {
        for (at, unit) in pack.units.iter().enumerate().filter(|(at, _)| self.number(*at) > 0) {
            let mut lines = self.of_unit(at).map(|(line, _)| line + 1);
            let only = lines.next().filter(|_| lines.next().is_none());
            let mut add = |code, other: &str, by: u32| {
                let whom = format!("{} {other}", unit.named.id);
                all.extend((by > 0).then_some(Broken { code, whom, line: only, by: by.into() }));
            };
            let most = unit.most.or(pack.limits.most_alike);
            add("unit-most", "", most.map_or(0, |most| self.number(at).saturating_sub(most)));
            let needed = !unit.needs_unit.is_empty() && unit.needs_unit.iter().all(|other| self.number(*other) == 0);
            add("unit-requires", "", needed.into());
            for barred in &unit.bars_unit {
                add("unit-excludes", &pack.units[*barred].named.id, self.number(*barred).min(1));
            }
        }
    }

    fn roles(&self, pack: &Pack, all: &mut Vec<Broken>) {
        for (at, role) in pack.roles.iter().enumerate() {
            let units = pack.units.iter().enumerate().filter(|(_, unit)| unit.role == at);
            let slots: u32 = units.map(|(unit, book)| self.number(unit).div_ceil(book.per_slot)).sum();
            let lines = self.lines.iter().filter(|line| pack.units[line.unit.unit].role == at);
            let points: u64 = lines.map(|line| line.points(pack)).sum();
            let mut add = |code, by: u64| {
                all.extend((by > 0).then(|| Broken { code, whom: role.named.id.clone(), line: None, by }));
            };
            add("role-least", role.least.saturating_sub(slots).into());
            add("role-most", role.most.map_or(0, |most| slots.saturating_sub(most)).into());
            add("role-share-most", role.most_share.map_or(0, |share| over(points, share, self.limit)));
            let least = u64::from(role.least_share.unwrap_or(0)) * u64::from(self.limit);
            add("role-share-least", least.saturating_sub(points * 100));
        }
    }

    /// A new unit, one more model, one option more: all that the points left reach and that breaks no limit that holds.
    pub fn buys(&self, pack: &Pack) -> Vec<Buy> {
        let mut all = Vec::new();
        for (at, unit) in pack.units.iter().enumerate() {
            let mut bigger = self.clone();
            bigger.lines.push(Line { count: 1, unit: Muster { unit: at, models: unit.models.0, ..Muster::default() } });
            self.offer(pack, &bigger, None, unit.named.label.clone(), &mut all);
        }
        for (at, line) in self.lines.iter().enumerate() {
            let unit = &pack.units[line.unit.unit];
            let mut bigger = self.clone();
            bigger.lines[at].unit.models += 1;
            // A unit below its fewest is mended first; its fewest are paid for anyway.
            if unit.models.1 > 1 && line.unit.models >= unit.models.0 {
                let what = format!("one more model for {}", unit.named.label);
                self.offer(pack, &bigger, Some(at + 1), what, &mut all);
            }
            for (option, plan) in unit.options.iter().enumerate() {
                let mut bigger = self.clone();
                let taken = &mut bigger.lines[at].unit.options;
                match taken.iter_mut().find(|(other, _)| *other == option) {
                    Some((_, times)) => *times += 1,
                    None => taken.push((option, 1)),
                }
                let what = format!("{} for {}", plan.named.label, unit.named.label);
                self.offer(pack, &bigger, Some(at + 1), what, &mut all);
            }
        }
        all
    }

    fn offer(&self, pack: &Pack, bigger: &Self, line: Option<usize>, what: String, all: &mut Vec<Buy>) {
        let broken = self.broken(pack);
        let before =
            |limit: &Broken| broken.iter().find(|known| (known.code, &known.whom) == (limit.code, &limit.whom));
        let after = bigger.broken(pack);
        if after.iter().any(|limit| before(limit).is_none()) {
            return;
        }
        let worse = after.iter().any(|limit| before(limit).is_some_and(|known| limit.by > known.by));
        let points = bigger.total(pack) - self.total(pack);
        if points > 0 && bigger.total(pack) <= u64::from(self.limit) {
            all.push(Buy { line, what, points, worse });
        }
    }

    /// In how many ways units at their fewest models cost just what is left.
    pub fn ways(&self, pack: &Pack) -> u64 {
        let Some(left) = u64::from(self.limit).checked_sub(self.total(pack)).filter(|left| *left > 0) else { return 0 };
        let mut ways = vec![0_u64; usize::try_from(left).expect("few") + 1];
        ways[0] = 1;
        for cost in pack.units.iter().map(|unit| unit.points as usize) {
            for points in cost..ways.len() {
                ways[points] = ways[points].saturating_add(ways[points - cost]);
            }
        }
        ways[ways.len() - 1]
    }
}

/// What is wrong with the options of a unit.
fn options(unit: &Unit, said: &Muster, add: &mut impl FnMut(&'static str, &str, u64)) {
    let taken = |option: usize| said.options.iter().any(|(other, times)| *other == option && *times > 0);
    for (at, times) in &said.options {
        let option = &unit.options[*at];
        let id = &option.named.id;
        let most =
            if option.per == Per::Weapon { option.most.of(said.models) } else { option.most.of(said.models).min(1) };
        add("option-times", id, times.saturating_sub(most).into());
        for needed in option.inside.iter().chain(&option.requires).filter(|other| !taken(**other)) {
            add("option-requires", &format!("{id} {needed}"), 1);
        }
        for excluded in option.excludes.iter().filter(|other| taken(**other)) {
            add("option-excludes", &format!("{id} {excluded}"), 1);
        }
        let others = said.options.iter().filter(|(other, _)| other != at);
        let brought =
            others.flat_map(|(other, times)| unit.options[*other].weapons.iter().map(move |one| (one, *times)));
        let all: Vec<_> = unit.weapons.iter().map(|one| (one, 1)).chain(brought).collect();
        let carried = |weapon: &usize| {
            let ours = all.iter().filter(|(one, _)| one.weapon == *weapon);
            let count: u32 = ours.map(|(one, times)| (one.per_model * said.models + one.per_unit) * times).sum();
            count >= if option.per == Per::Weapon { *times } else { 1 }
        };
        add("option-replaces", id, (!option.replaces.iter().all(carried)).into());
    }
}
