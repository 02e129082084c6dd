//! A unit as it stands: who carries what, who has fallen, what is missing, which marks it bears.
use pipwright_shared::rules::matchup::{Fielded, Neighbour};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::condition::Trait;
use pipwright_shared::rules::model::stat::Profile;
use pipwright_shared::rules::model::unit::{Carried, Per, Unit};

#[derive(Clone)]
pub struct Company<'a> {
    pub pack: &'a Pack,
    pub unit: &'a Unit,
    pub at: usize,
    /// Its numbers when it acts.
    pub own: Profile,
    /// The numbers of the figure in front.
    pub profile: Profile,
    /// The numbers of each sort of figures, those that fall last first: while up to so many stand, these are in front.
    pub sorts: Vec<(usize, Profile)>,
    pub rules: Vec<usize>,
    pub near: Vec<Neighbour>,
    /// The weapons of each figure that stands; the first falls first.
    pub figures: Vec<Vec<usize>>,
    /// Weapons in the order in which they are used.
    pub order: Vec<usize>,
    /// Points missing from the figure in front.
    pub missing: i64,
    pub marks: Vec<String>,
    /// As it was at the start: numbers that go by losses are read so.
    pub began: Fielded,
}

impl<'a> Company<'a> {
    pub fn muster(pack: &'a Pack, fielded: &Fielded) -> Self {
        let unit = &pack.units[fielded.unit];
        let mut profile = unit.profile.clone();
        let mut rules = unit.rules.clone();
        for option in fielded.options.iter().map(|(option, _)| &unit.options[*option]) {
            option.sets.iter().for_each(|(stat, value)| profile[*stat] = Some(value.clone()));
            rules.extend(&option.rules);
        }
        let mut company = Self {
            pack,
            unit,
            at: fielded.unit,
            own: profile.clone(),
            sorts: sorts(unit, fielded, &profile),
            profile,
            rules,
            near: fielded.near.clone(),
            figures: vec![Vec::new(); fielded.models as usize],
            order: Vec::new(),
            missing: i64::from(fielded.hurt),
            marks: fielded.statuses.clone(),
            began: fielded.clone(),
        };
        company.arm(fielded);
        company.look();
        if !fielded.weapons.is_empty() {
            company.order.retain(|weapon| fielded.weapons.contains(weapon));
        }
        company
    }

    /// Hands weapons out: what each figure has to each, what the unit has besides one by one from the back.
    fn arm(&mut self, fielded: &Fielded) {
        let units = fielded.models.div_ceil(self.unit.models.1).max(1) as usize;
        let mut turn = 0;
        for carried in &self.unit.weapons {
            self.give(carried, units, &mut turn);
        }
        for (option, times) in &fielded.options {
            let option = &self.unit.options[*option];
            let times = *times as usize;
            if option.per != Per::Weapon {
                self.figures.iter_mut().for_each(|figure| figure.retain(|weapon| !option.replaces.contains(weapon)));
                option.weapons.iter().for_each(|carried| self.give(carried, units, &mut turn));
                continue;
            }
            // So many figures, from the back, swap what they have for what the option brings.
            let mut swapping: Vec<usize> = Vec::new();
            for weapon in &option.replaces {
                let mut left = times * units;
                for at in (0..self.figures.len()).rev() {
                    while left > 0 && self.figures[at].contains(weapon) {
                        let found = self.figures[at].iter().position(|other| other == weapon).expect("it is there");
                        self.figures[at].remove(found);
                        swapping.push(at);
                        left -= 1;
                    }
                }
            }
            let mut next = 0;
            for carried in (0..times).flat_map(|_| &option.weapons) {
                self.note(carried.weapon);
                for figure in &mut self.figures {
                    (0..carried.per_model).for_each(|_| figure.push(carried.weapon));
                }
                for _ in 0..carried.per_unit as usize * units {
                    match swapping.get(next) {
                        Some(at) => self.figures[*at].push(carried.weapon),
                        None => self.rear_rank_first(carried.weapon, &mut turn),
                    }
                    next += 1;
                }
            }
        }
    }

    fn give(&mut self, carried: &Carried, units: usize, turn: &mut usize) {
        self.note(carried.weapon);
        for figure in &mut self.figures {
            (0..carried.per_model).for_each(|_| figure.push(carried.weapon));
        }
        (0..carried.per_unit as usize * units).for_each(|_| self.rear_rank_first(carried.weapon, turn));
    }

    fn rear_rank_first(&mut self, weapon: usize, turn: &mut usize) {
        let count = self.figures.len();
        self.figures[count - 1 - *turn % count].push(weapon);
        *turn += 1;
    }

    fn note(&mut self, weapon: usize) {
        if !self.order.contains(&weapon) {
            self.order.push(weapon);
        }
    }

    pub fn standing(&self) -> usize {
        self.figures.len()
    }

    /// How many of a weapon those who stand have.
    pub fn count(&self, weapon: usize) -> usize {
        self.figures.iter().flatten().filter(|other| **other == weapon).count()
    }

    pub fn is_armoured(&self) -> bool {
        self.pack.kinds[self.unit.kind].body.is_armoured()
    }

    /// The figure in front falls.
    pub fn falls(&mut self) {
        self.figures.remove(0);
        self.missing = 0;
        self.marks.clear();
        self.look();
    }

    /// Which sort of figures is in front.
    pub fn sort(&self) -> usize {
        self.sorts.iter().position(|(most, _)| self.standing() <= *most).unwrap_or(0)
    }

    fn look(&mut self) {
        self.profile = self.sorts[self.sort()].1.clone();
    }

    pub fn goes_by(&self, word: Trait) -> bool {
        match word {
            Trait::Rule(rule) => self.rules.contains(&rule),
            Trait::Role(role) => self.unit.role == role,
            Trait::Kind(kind) => self.unit.kind == kind,
            Trait::Unit(unit) => self.at == unit,
            Trait::Weapon(weapon) => self.order.contains(&weapon),
        }
    }

    pub fn is_near(&self, word: Trait) -> bool {
        self.near.iter().map(|near| (near, &self.pack.units[near.unit])).any(|(near, unit)| match word {
            Trait::Rule(rule) => near.rules(self.pack).any(|other| other == rule),
            Trait::Role(role) => unit.role == role,
            Trait::Kind(kind) => unit.kind == kind,
            Trait::Unit(unit) => unit == near.unit,
            Trait::Weapon(weapon) => unit.weapons.iter().any(|carried| carried.weapon == weapon),
        })
    }
}

fn sorts(unit: &Unit, fielded: &Fielded, plain: &Profile) -> Vec<(usize, Profile)> {
    let units = fielded.models.div_ceil(unit.models.1).max(1) as usize;
    let taken = fielded.options.iter().flat_map(|(option, _)| &unit.options[*option].groups);
    let unlike: Vec<_> = unit.groups.iter().chain(taken).collect();
    let mut sorts = Vec::new();
    let mut standing = 0;
    for group in unlike.into_iter().rev() {
        standing += group.models as usize * units;
        let mut profile = plain.clone();
        group.sets.iter().for_each(|(stat, value)| profile[*stat] = Some(value.clone()));
        sorts.push((standing, profile));
    }
    sorts.push((usize::MAX, plain.clone()));
    sorts
}
