//! Why an attacker is sent nowhere.
use super::ground::Sums;
use super::{Battle, IDLE};
use crate::rules::compile::{CompileError, compile};

/// Why an attacker is sent nowhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Idle {
    /// It was said that it can attack nobody.
    Cannot,
    /// It has nothing to attack with.
    Unarmed,
    /// None of its weapons can be used on anybody here; the first of them, by index, and why.
    Unused(usize, String),
    /// It can hurt nobody that it can attack.
    Harmless,
    /// Alone it would do something, beside the others it adds nothing.
    Needless,
}

/// Why this one is.
pub(super) fn idle(battle: &Battle, sums: &[Sums], attacker: usize) -> Idle {
    let able = || {
        let each = battle.situations[attacker].iter().enumerate();
        each.filter_map(|(target, situation)| Some((target, situation.as_ref()?)))
    };
    if able().next().is_none() {
        return Idle::Cannot;
    }
    let alone = |sums: &Sums| sums.points[1 << attacker] >= IDLE || sums.destroyed[1 << attacker] >= IDLE;
    // Two that can do nothing alone may do something together: one of them counts as able too.
    let beside = |sums: &Sums| {
        let with = (0..sums.points.len()).filter(|set| set >> attacker & 1 == 1);
        with.into_iter().any(|set| sums.points[set] - sums.points[set & !(1 << attacker)] >= IDLE)
    };
    if sums.iter().any(|sums| alone(sums) || beside(sums)) {
        return Idle::Needless;
    }
    let mut unused = None;
    for (target, situation) in able() {
        match compile(&battle.matchup(attacker, target, situation)) {
            Err(CompileError::NoWeapon(_)) => return Idle::Unarmed,
            Ok(compiled) if compiled.volleys.is_empty() => {
                unused = unused.or_else(|| compiled.unused_weapons.first().cloned());
            }
            _ => return Idle::Harmless,
        }
    }
    unused.map_or(Idle::Harmless, |(weapon, why)| Idle::Unused(weapon, why))
}
