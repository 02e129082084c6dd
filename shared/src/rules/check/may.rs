//! Whether a condition can ever hold for one that carries a rule.
use super::super::model::Pack;
use super::super::model::condition::{Condition, Than, Trait, Whom};
use super::super::model::unit::Unit;
use super::values::Values;

/// What is known of a condition before anybody plays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum May {
    /// It can't hold.
    No,
    /// It depends on what is not known here.
    Perhaps,
    /// It holds.
    Yes,
}

/// A situation that is tried.
#[derive(Clone, Debug)]
pub(super) struct Trial<'a> {
    pub(super) arc: usize,
    pub(super) range: usize,
    pub(super) cover: usize,
    pub(super) moved: bool,
    pub(super) flags: &'a [bool],
    /// The weapon in use; none where no attack is made.
    pub(super) weapon: Option<usize>,
}

/// What a unit, or an option of it, may come with.
#[derive(Clone, Debug)]
pub(super) struct Known<'a> {
    pub(super) pack: &'a Pack,
    pub(super) values: &'a Values<'a>,
    /// The unit that is known, and as whom.
    pub(super) unit: Option<(usize, &'a [Whom])>,
}

impl From<bool> for May {
    fn from(holds: bool) -> Self {
        if holds { Self::Yes } else { Self::No }
    }
}

impl May {
    fn not(self) -> Self {
        match self {
            Self::No => Self::Yes,
            Self::Perhaps => Self::Perhaps,
            Self::Yes => Self::No,
        }
    }

    fn all(parts: impl Iterator<Item = Self>) -> Self {
        parts.fold(Self::Yes, |all, part| match (all, part) {
            (Self::No, _) | (_, Self::No) => Self::No,
            (Self::Yes, Self::Yes) => Self::Yes,
            _ => Self::Perhaps,
        })
    }

    fn any(parts: impl Iterator<Item = Self>) -> Self {
        Self::all(parts.map(Self::not)).not()
    }
}

impl Known<'_> {
    pub(super) fn holds(&self, condition: &Condition, trial: &Trial<'_>) -> May {
        match condition {
            Condition::All(parts) => May::all(parts.iter().map(|part| self.holds(part, trial))),
            Condition::Any(parts) => May::any(parts.iter().map(|part| self.holds(part, trial))),
            Condition::Not(inner) => self.holds(inner, trial).not(),
            Condition::Arc(arcs) => arcs.contains(&trial.arc).into(),
            Condition::Range(ranges) => ranges.contains(&trial.range).into(),
            Condition::Cover(covers) => covers.contains(&trial.cover).into(),
            Condition::Moved(moved) => (trial.moved == *moved).into(),
            Condition::Template(wanted) => {
                let lays = trial.weapon.is_some_and(|at| self.pack.weapons[at].template.is_some());
                (lays == *wanted).into()
            }
            Condition::Flag(flag, set) => (trial.flags.get(*flag).copied().unwrap_or(false) == *set).into(),
            Condition::Is(whom, words) => May::any(words.iter().map(|word| self.is(*whom, *word, trial))),
            Condition::Compare(sum, than, number) => {
                let Some(numbers) = self.values.sum(sum).filter(|numbers| !numbers.is_empty()) else {
                    return May::Perhaps;
                };
                let fits = |sum: &i32| match than {
                    Than::AtLeast => sum >= number,
                    Than::AtMost => sum <= number,
                    Than::Equal => sum == number,
                };
                match numbers.iter().filter(|sum| fits(sum)).count() {
                    0 => May::No,
                    some if some == numbers.len() => May::Yes,
                    _ => May::Perhaps,
                }
            }
            Condition::Status(names) => {
                let mut rows = self.pack.breaches.iter().flat_map(|breach| &breach.rows);
                match rows.any(|row| row.status.as_ref().is_some_and(|status| names.contains(status))) {
                    true => May::Perhaps,
                    false => May::No,
                }
            }
            // A condition that only the table knows.
            #[allow(unreachable_patterns, reason = "further conditions are not known before a game")]
            _ => May::Perhaps,
        }
    }

    fn is(&self, whom: Whom, word: Trait, trial: &Trial<'_>) -> May {
        let pack = self.pack;
        if whom == Whom::Weapon {
            let Some(at) = trial.weapon else { return May::No };
            return match word {
                Trait::Rule(rule) => pack.weapons[at].rules.contains(&rule).into(),
                Trait::Weapon(weapon) => (weapon == at).into(),
                _ => May::No,
            };
        }
        match self.unit.filter(|(_, whoms)| whoms.contains(&whom)) {
            Some((at, _)) => goes_by(pack, at, word),
            None => match (0..pack.units.len()).any(|at| goes_by(pack, at, word) != May::No) {
                true => May::Perhaps,
                false => May::No,
            },
        }
    }
}

/// Whether a unit goes by a word, with its options or without.
fn goes_by(pack: &Pack, at: usize, word: Trait) -> May {
    let unit = &pack.units[at];
    let with_options = |has: bool, could: bool| match (has, could) {
        (true, _) => May::Yes,
        (false, true) => May::Perhaps,
        (false, false) => May::No,
    };
    match word {
        Trait::Role(role) => (unit.role == role).into(),
        Trait::Kind(kind) => (unit.kind == kind).into(),
        Trait::Unit(wanted) => (at == wanted).into(),
        Trait::Rule(rule) => {
            with_options(unit.rules.contains(&rule), unit.options.iter().any(|option| option.rules.contains(&rule)))
        }
        // An option may take a weapon away.
        Trait::Weapon(weapon) => with_options(false, weapons_of(unit).any(|carried| carried == weapon)),
    }
}

/// The weapons that a unit has or may take.
pub(super) fn weapons_of(unit: &Unit) -> impl Iterator<Item = usize> + '_ {
    let own = unit.weapons.iter();
    own.chain(unit.options.iter().flat_map(|option| &option.weapons)).map(|carried| carried.weapon)
}
