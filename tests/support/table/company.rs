//! A unit as it is mustered: who carries what, who falls first, what it is near, what it lacks.
use super::body::{Body, Frame};
use super::exchange::{Exchange, Setting};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::attack::Body as Sort;
use pipwright_shared::rules::model::condition::Trait;
use pipwright_shared::rules::model::stat::Profile;
use pipwright_shared::rules::model::unit::{Per, Unit, WeaponCount};

/// A unit near another, with its options, all by index.
#[derive(Clone, Debug, Default)]
pub struct Neighbour {
    pub unit: usize,
    pub options: Vec<usize>,
}

/// What a player says of a unit on the table; all names are indices.
#[derive(Clone, Debug, Default)]
pub struct Muster {
    pub unit: usize,
    /// Models of the whole unit.
    pub models: u32,
    /// So many of them stand still; nothing where all do.
    pub left: Option<u32>,
    /// Points that the figure in front misses.
    pub hurt: u32,
    pub options: Vec<(usize, u32)>,
    /// The weapons that it uses; all of them where it is empty.
    pub weapons: Vec<usize>,
    pub near: Vec<Neighbour>,
    pub statuses: Vec<String>,
    /// So many more such units come behind it, one after another.
    pub again: u32,
}

#[derive(Clone)]
pub struct Company<'a> {
    pub pack: &'a Pack,
    pub unit: &'a Unit,
    pub said: Muster,
    /// Its numbers when it acts.
    pub own: Profile,
    /// The numbers of the figure in front.
    pub profile: Profile,
    /// The numbers of each sort of figures, those that fall last first: while up to so many stand, these are in front.
    pub sorts: Vec<(usize, Profile)>,
    pub rules: Vec<usize>,
    /// The weapons of each figure of the whole unit; the first falls first.
    pub figures: Vec<Vec<usize>>,
    /// Weapons in the order in which they are used.
    pub order: Vec<usize>,
    pub frame: Frame,
}

impl<'a> Company<'a> {
    pub fn muster(pack: &'a Pack, said: &Muster) -> Self {
        let unit = &pack.units[said.unit];
        let mut profile = unit.profile.clone();
        let mut rules = unit.rules.clone();
        for option in said.options.iter().map(|(option, _)| &unit.options[*option]) {
            option.sets.iter().for_each(|(stat, value)| profile[*stat] = Some(value.clone()));
            rules.extend(&option.rules);
        }
        let sorts = sorts(unit, said, &profile);
        let mut company = Self {
            pack,
            unit,
            said: said.clone(),
            own: profile.clone(),
            sorts,
            profile,
            rules,
            figures: vec![Vec::new(); said.models as usize],
            order: Vec::new(),
            frame: Frame::default(),
        };
        company.arm(said);
        company.frame = company.measured();
        company.profile = company.sorts[company.frame.sort(company.began().standing)].1.clone();
        company
    }

    /// How it stands when the fight begins.
    pub fn began(&self) -> Body {
        let marks = self.said.statuses.iter().map(|name| 1 << self.frame.mark(name)).fold(0, |all, one| all | one);
        let behind = self.said.models * self.said.again;
        let standing = usize::try_from(self.said.left.unwrap_or(self.said.models) + behind).expect("few");
        Body { standing, missing: self.said.hurt.into(), marks, seen: marks }
    }

    /// The same with another sort of figures in front.
    pub fn face(&self, sort: usize) -> Self {
        Self { profile: self.sorts[sort].1.clone(), ..self.clone() }
    }

    fn measured(&self) -> Frame {
        let sort = &self.pack.kinds[self.unit.kind].body;
        let (Sort::Soldiers { health: each, .. } | Sort::Armoured { structure: each, .. }) = sort;
        let usual = Setting::usual(self.pack);
        let capacity = |at: usize| {
            let front = self.face(at);
            let exchange =
                Exchange { pack: self.pack, attacker: &front, target: &front, setting: &usual, weapon: None };
            i64::from(exchange.number(each).max(1))
        };
        let capacities = (0..self.sorts.len()).map(capacity).collect();
        let spill = matches!(sort, Sort::Soldiers { spill: true, .. });
        let wasted = matches!(sort, Sort::Armoured { overflow_wasted: true, .. });
        Frame::new(self.pack, sort.is_armoured(), &self.sorts, capacities, spill, wasted)
    }

    /// Hands weapons out: to each what each has; then one by one, from those who fall last, what only some carry. Who
    /// takes a weapon in place of another gives that one back.
    fn arm(&mut self, said: &Muster) {
        let units = said.models.div_ceil(self.unit.models.1).max(1);
        let mut each: Vec<usize> = Vec::new();
        let mut some: Vec<(usize, &[usize])> = Vec::new();
        let mut add = |each: &mut Vec<usize>,
                       some: &mut Vec<(usize, &'a [usize])>,
                       carried: &WeaponCount,
                       back: &'a [usize],
                       times| {
            each.extend((0..carried.per_model).map(|_| carried.weapon));
            some.extend((0..carried.per_unit * units * times).map(|_| (carried.weapon, back)));
            if !self.order.contains(&carried.weapon) {
                self.order.push(carried.weapon);
            }
        };
        for carried in &self.unit.weapons {
            add(&mut each, &mut some, carried, &[], 1);
        }
        for (at, times) in &said.options {
            let option = &self.unit.options[*at];
            let mut back: &[usize] = &option.replaces;
            if option.per != Per::Weapon {
                each.retain(|weapon| !option.replaces.contains(weapon));
                some.retain(|(weapon, _)| !option.replaces.contains(weapon));
                back = &[];
            }
            for carried in &option.weapons {
                add(&mut each, &mut some, carried, back, *times);
            }
        }
        let count = self.figures.len();
        self.figures.iter_mut().for_each(|figure| figure.clone_from(&each));
        for (piece, (weapon, back)) in some.into_iter().enumerate() {
            let figure = &mut self.figures[count - 1 - piece % count];
            for weapon in back {
                if let Some(at) = figure.iter().position(|other| other == weapon) {
                    figure.remove(at);
                }
            }
            figure.push(weapon);
        }
        let had = |weapon: &usize| self.figures.iter().any(|figure| figure.contains(weapon));
        self.order.retain(had);
    }

    /// How many of a weapon those have who still stand.
    pub fn count(&self, weapon: usize, standing: usize) -> usize {
        let fallen = self.figures.len().saturating_sub(standing);
        self.figures[fallen..].iter().flatten().filter(|other| **other == weapon).count()
    }

    pub fn goes_by(&self, word: Trait) -> bool {
        match word {
            Trait::Rule(rule) => self.rules.contains(&rule),
            Trait::Role(role) => self.unit.role == role,
            Trait::Kind(kind) => self.unit.kind == kind,
            Trait::Unit(unit) => self.said.unit == unit,
            Trait::Weapon(weapon) => self.order.contains(&weapon),
        }
    }

    pub fn is_near(&self, word: Trait) -> bool {
        self.said.near.iter().map(|near| (near, &self.pack.units[near.unit])).any(|(near, unit)| match word {
            Trait::Rule(rule) => near.rules(self.pack).contains(&rule),
            Trait::Role(role) => unit.role == role,
            Trait::Kind(kind) => unit.kind == kind,
            Trait::Unit(unit) => unit == near.unit,
            Trait::Weapon(weapon) => unit.weapons.iter().any(|carried| carried.weapon == weapon),
        })
    }
}

impl Neighbour {
    pub fn rules(&self, pack: &Pack) -> Vec<usize> {
        let unit = &pack.units[self.unit];
        unit.rules.iter().chain(self.options.iter().flat_map(|option| &unit.options[*option].rules)).copied().collect()
    }
}

fn sorts(unit: &Unit, said: &Muster, plain: &Profile) -> Vec<(usize, Profile)> {
    let units = said.models.div_ceil(unit.models.1).max(1) as usize;
    let taken = said.options.iter().flat_map(|(option, _)| &unit.options[*option].groups);
    let unlike: Vec<_> = unit.groups.iter().chain(taken).collect();
    let whole = said.models as usize;
    let mut sorts = Vec::new();
    for behind in 0..=said.again as usize {
        let mut standing = behind * whole;
        for group in unlike.iter().rev() {
            standing += group.models as usize * units;
            let mut profile = plain.clone();
            group.sets.iter().for_each(|(stat, value)| profile[*stat] = Some(value.clone()));
            sorts.push((standing, profile));
        }
        sorts.push(((behind + 1) * whole, plain.clone()));
    }
    sorts
}
