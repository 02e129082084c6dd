//! Whether a condition can ever hold for one that carries a rule.
use super::super::conditions::{self, PartialSituation, Ternary};
use super::super::model::Pack;
use super::super::model::condition::{Condition, Than, Trait, Whom};
use super::super::model::sum::Sum;
use super::super::model::unit::Unit;
use super::values::Values;

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

/// A trial of what is known.
struct Tried<'a>(&'a Known<'a>, &'a Trial<'a>);

impl PartialSituation for Tried<'_> {
    fn arc(&self, wanted: &[usize]) -> Ternary {
        wanted.contains(&self.1.arc).into()
    }

    fn range(&self, wanted: &[usize]) -> Ternary {
        wanted.contains(&self.1.range).into()
    }

    fn cover(&self, wanted: &[usize]) -> Ternary {
        wanted.contains(&self.1.cover).into()
    }

    fn moved(&self) -> Ternary {
        self.1.moved.into()
    }

    fn template(&self) -> Ternary {
        self.1.weapon.is_some_and(|at| self.0.pack.weapons[at].template.is_some()).into()
    }

    fn flag(&self, flag: usize) -> Ternary {
        self.1.flags.get(flag).copied().unwrap_or(false).into()
    }

    fn is(&self, whom: Whom, words: &[Trait]) -> Ternary {
        Ternary::any(words.iter().map(|word| self.0.is(whom, *word, self.1)))
    }

    fn compare(&self, sum: &Sum, than: Than, number: i32) -> Ternary {
        let values = self.0.values.sum(sum).filter(|numbers| !numbers.is_empty());
        values.map_or(Ternary::Open, |numbers| {
            Ternary::of_cases(numbers.iter().map(|sum| than.fits(*sum, number).into()))
        })
    }

    fn status(&self, names: &[String]) -> Ternary {
        let mut rows = self.0.pack.breaches.iter().flat_map(|breach| &breach.rows);
        match rows.any(|row| row.status.as_ref().is_some_and(|status| names.contains(status))) {
            true => Ternary::Open,
            false => Ternary::No,
        }
    }
}

impl Known<'_> {
    pub(super) fn holds(&self, condition: &Condition, trial: &Trial<'_>) -> Ternary {
        conditions::holds(condition, &Tried(self, trial))
    }

    fn is(&self, whom: Whom, word: Trait, trial: &Trial<'_>) -> Ternary {
        let pack = self.pack;
        if whom == Whom::Weapon {
            let Some(at) = trial.weapon else { return Ternary::No };
            return match word {
                Trait::Rule(rule) => pack.weapons[at].rules.contains(&rule).into(),
                Trait::Weapon(weapon) => (weapon == at).into(),
                _ => Ternary::No,
            };
        }
        match self.unit.filter(|(_, whoms)| whoms.contains(&whom)) {
            Some((at, _)) => goes_by(pack, at, word),
            None => match (0..pack.units.len()).any(|at| goes_by(pack, at, word) != Ternary::No) {
                true => Ternary::Open,
                false => Ternary::No,
            },
        }
    }
}

/// Whether a unit goes by a word, with its options or without.
fn goes_by(pack: &Pack, at: usize, word: Trait) -> Ternary {
    let unit = &pack.units[at];
    let with_options = |has: bool, could: bool| match (has, could) {
        (true, _) => Ternary::Yes,
        (false, true) => Ternary::Open,
        (false, false) => Ternary::No,
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
