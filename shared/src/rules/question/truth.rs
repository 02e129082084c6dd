//! Whether a condition holds where only a part of the table is known.
use super::super::model::Pack;
use super::super::model::condition::{Condition, Trait, Whom};
use super::super::model::unit::Unit;

/// Yes, no, or it depends on what is not known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Truth {
    /// Whatever else is so, it does not hold.
    No,
    /// It depends.
    Open,
    /// Whatever else is so, it holds.
    Yes,
}

/// All that can be: each axis with what is possible on it.
#[derive(Clone, Debug)]
pub struct World<'a> {
    /// The pack.
    pub pack: &'a Pack,
    /// Arcs, by index.
    pub arcs: &'a [usize],
    /// Range bands.
    pub ranges: &'a [usize],
    /// Covers.
    pub covers: &'a [usize],
    /// Whether the attacker moved.
    pub moved: Option<bool>,
    /// Each flag.
    pub flags: &'a [Option<bool>],
    /// The weapon in use.
    pub weapons: Vec<usize>,
    /// The unit that attacks.
    pub attackers: Vec<usize>,
    /// The unit that is attacked.
    pub targets: Vec<usize>,
    /// The rule that is asked about: who may carry it by an option does.
    pub rule: usize,
    /// Rules that were named: whoever is spoken of carries them.
    pub named: &'a [usize],
}

impl std::ops::Not for Truth {
    type Output = Self;

    fn not(self) -> Self {
        match self {
            Self::No => Self::Yes,
            Self::Open => Self::Open,
            Self::Yes => Self::No,
        }
    }
}

/// What holds of all, of none, or of some.
fn of_all(mut each: impl Iterator<Item = Truth>) -> Truth {
    let Some(first) = each.next() else { return Truth::Open };
    if each.all(|other| other == first) { first } else { Truth::Open }
}

fn sure(holds: bool) -> Truth {
    if holds { Truth::Yes } else { Truth::No }
}

impl World<'_> {
    /// Whether it holds.
    pub fn truth(&self, condition: &Condition) -> Truth {
        let among = |can: &[usize], wanted: &[usize]| of_all(can.iter().map(|at| sure(wanted.contains(at))));
        match condition {
            Condition::All(parts) => parts.iter().map(|part| self.truth(part)).min().unwrap_or(Truth::Yes),
            Condition::Any(parts) => parts.iter().map(|part| self.truth(part)).max().unwrap_or(Truth::No),
            Condition::Not(inner) => !self.truth(inner),
            Condition::Arc(arcs) => among(self.arcs, arcs),
            Condition::Range(ranges) => among(self.ranges, ranges),
            Condition::Cover(covers) => among(self.covers, covers),
            Condition::Moved(wanted) => self.moved.map_or(Truth::Open, |moved| sure(moved == *wanted)),
            Condition::Template(wanted) => {
                let lays = |at: &usize| self.pack.weapons[*at].template.is_some();
                of_all(self.weapons.iter().map(|at| sure(lays(at) == *wanted)))
            }
            Condition::Flag(flag, wanted) => match self.flags.get(*flag).copied().flatten() {
                Some(set) => sure(set == *wanted),
                None => Truth::Open,
            },
            Condition::Is(whom, traits) => {
                let of = |each: &[usize], is: &dyn Fn(usize, Trait) -> Truth| {
                    let one = |at: &usize| traits.iter().map(|word| is(*at, *word)).max().unwrap_or(Truth::No);
                    of_all(each.iter().map(one))
                };
                match whom {
                    Whom::Weapon => of(&self.weapons, &|at, word| self.weapon(at, word)),
                    Whom::Attacker => of(&self.attackers, &|at, word| self.unit(at, word)),
                    Whom::Target => of(&self.targets, &|at, word| self.unit(at, word)),
                    Whom::NearAttacker | Whom::NearTarget => Truth::Open,
                }
            }
            // Sums of stats and marks are of one case each.
            Condition::Compare(..) | Condition::Status(_) => Truth::Open,
        }
    }

    fn weapon(&self, at: usize, word: Trait) -> Truth {
        match word {
            Trait::Rule(rule) => sure(self.named.contains(&rule) || self.pack.weapons[at].rules.contains(&rule)),
            Trait::Weapon(weapon) => sure(weapon == at),
            Trait::Role(_) | Trait::Kind(_) | Trait::Unit(_) => Truth::No,
        }
    }

    fn unit(&self, at: usize, word: Trait) -> Truth {
        let unit: &Unit = &self.pack.units[at];
        match word {
            Trait::Role(role) => sure(unit.role == role),
            Trait::Kind(kind) => sure(unit.kind == kind),
            Trait::Unit(other) => sure(other == at),
            Trait::Rule(rule) if rule == self.rule || self.named.contains(&rule) => Truth::Yes,
            Trait::Rule(rule) if unit.rules.contains(&rule) => Truth::Yes,
            Trait::Rule(rule) => match unit.options.iter().any(|option| option.rules.contains(&rule)) {
                true => Truth::Open,
                false => Truth::No,
            },
            // Options may bring a weapon and take one away.
            Trait::Weapon(weapon) => {
                let carries = unit.weapons.iter().any(|carried| carried.weapon == weapon);
                let brings = |carried: &super::super::model::unit::Carried| carried.weapon == weapon;
                let optional = |option: &super::super::model::unit::UnitOption| {
                    option.replaces.contains(&weapon) || option.weapons.iter().any(brings)
                };
                if unit.options.iter().any(optional) { Truth::Open } else { sure(carries) }
            }
        }
    }
}
