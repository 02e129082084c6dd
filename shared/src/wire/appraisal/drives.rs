//! What drives a unit's worth: each number of its own one better, cover, arcs, options, a point off its price.
use super::super::lookup;
use super::answer::{CostForm, DriveRow, GameRow, LifeRow, Worth};
use super::bench::Bench;
use crate::odds::cancellation::Cancelled;
use crate::odds::dice::Dice;
use crate::odds::roll::{Aim, Needs};
use crate::rules::matchup::Fielded;
use crate::rules::model::Pack;
use crate::rules::model::stat::{StatValue, Value};
use crate::rules::model::unit::{Unit, Weapon};
use crate::rules::standing;
use std::sync::Arc;

/// Units of a board, each with the range at which it is fought.
pub(super) type Board = [(Fielded, Option<usize>)];

/// A change of the unit or of the table.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Change {
    UnitStat(usize),
    WeaponStat(usize),
    Option(usize),
    Models(u32),
    Cover(usize),
    Arc(usize),
    Without(usize),
    Repair,
    Cheaper,
}

/// The changes that a unit may be put through.
pub(super) fn changes(pack: &Pack, subject: &Fielded) -> Vec<Change> {
    let unit = &pack.units[subject.unit];
    let (profile, rules) = standing::profile(pack, subject);
    let carried = standing::carried(pack, subject);
    let stats = (0..profile.len()).filter(|at| profile[*at].as_ref().is_some_and(|value| better(value).is_some()));
    let of_weapons = (0..pack.stats.weapon.len()).filter(|at| {
        let values = carried.iter().filter_map(|(weapon, _)| pack.weapons[*weapon].profile.get(*at)?.as_ref());
        values.into_iter().any(|value| better(value).is_some())
    });
    let taken = |option: usize| subject.options.iter().any(|(taken, _)| *taken == option);
    let options = (0..unit.options.len()).filter(|at| {
        let option = &unit.options[*at];
        !taken(*at)
            && option.inside.is_none_or(taken)
            && option.requires.iter().all(|needed| taken(*needed))
            && !option.excludes.iter().any(|barred| taken(*barred))
            && option.most.of(subject.models) > 0
    });
    let usual = pack.situations.usual;
    let mut all: Vec<Change> = stats.map(Change::UnitStat).chain(of_weapons.map(Change::WeaponStat)).collect();
    all.extend(options.map(Change::Option));
    if unit.models.1 > subject.models {
        all.push(Change::Models(unit.models.1.min(60)));
    }
    all.extend((0..pack.situations.covers.len()).filter(|cover| *cover != usual.2).map(Change::Cover));
    all.extend((0..pack.situations.arcs.len()).filter(|arc| *arc != usual.0).map(Change::Arc));
    all.extend(rules.into_iter().map(Change::Without));
    if standing::repair(pack, subject, &[], &[]).is_some() {
        all.push(Change::Repair);
    }
    all.push(Change::Cheaper);
    all
}

/// What the games and the lives of a unit come to. A target that it cannot attack counts as nothing taken, an attacker
/// that cannot attack it as a whole game stood.
pub(super) fn worth(points: u64, games: &[f64], lives: &[f64], sizes: (usize, usize)) -> Worth {
    let takes = games.iter().sum::<f64>() / sizes.0.max(1) as f64;
    let unhurt = sizes.1.saturating_sub(lives.len()) as f64;
    let stands = if sizes.1 == 0 { 1.0 } else { (lives.iter().sum::<f64>() + unhurt) / sizes.1 as f64 };
    Worth { takes, stands, per_point: (points > 0).then(|| takes * stands / points as f64) }
}

/// The worth of the rows of an appraisal.
pub(super) fn worth_of(
    cost: &CostForm,
    games: &[GameRow],
    lives: &[LifeRow],
    turns: u32,
    sizes: (usize, usize),
) -> Worth {
    let games: Vec<f64> = games.iter().map(|game| game.points).collect();
    let mut shares: Vec<f64> = Vec::new();
    let mut last: Option<(&str, u32)> = None;
    for life in lives.iter().filter(|life| life.without.is_none()) {
        // The usual arc comes first.
        if last != Some((&life.attacker, life.attacker_models)) {
            shares.push(life.stood / f64::from(turns));
        }
        last = Some((&life.attacker, life.attacker_models));
    }
    worth(cost.points, &games, &shares, sizes)
}

/// Each change with what comes of it, those that move the worth most first; those that move nothing are left out.
pub(super) fn drives(
    bench: &Bench<'_>,
    subject: &Fielded,
    targets: &Board,
    attackers: &Board,
    base: &Worth,
) -> Result<Vec<DriveRow>, Cancelled> {
    let mut rows = Vec::new();
    for change in changes(bench.pack, subject) {
        let Some((label, points, worth)) = changed(bench, subject, targets, attackers, &change)? else { continue };
        let of = |worth: &Worth| worth.per_point.unwrap_or(worth.takes * worth.stands);
        let (before, after) = (of(base), of(&worth));
        if before <= 0.0 || (after / before - 1.0).abs() < 1e-9 {
            continue;
        }
        rows.push(DriveRow {
            change: label,
            points,
            takes: worth.takes,
            stands: worth.stands,
            per_point: worth.per_point,
            moved: after / before - 1.0,
        });
    }
    rows.sort_by(|a, b| b.moved.abs().total_cmp(&a.moved.abs()));
    Ok(rows)
}

fn changed(
    bench: &Bench<'_>,
    subject: &Fielded,
    targets: &Board,
    attackers: &Board,
    change: &Change,
) -> Result<Option<(String, u64, Worth)>, Cancelled> {
    let mut pack = bench.pack.clone();
    let mut own = subject.clone();
    let words = &bench.pack.situations;
    let (mut arc, mut cover, mut without, mut mends_better) = (None, None, Vec::new(), false);
    let mut off = 0;
    let label = match change {
        Change::UnitStat(stat) => {
            let profile = standing::profile(&pack, subject).0;
            let Some(value) = profile[*stat].as_ref().and_then(better) else { return Ok(None) };
            let unit = twin(&mut pack, &mut own);
            unit.profile[*stat] = Some(value.clone());
            // An option that sets the same stat would set it back.
            for (option, _) in &subject.options {
                let sets = unit.options[*option].sets.iter_mut();
                sets.filter(|(set, _)| set == stat).for_each(|set| set.1 = value.clone());
            }
            said(&value, &bench.pack.stats.unit[*stat].label)
        }
        Change::WeaponStat(stat) => {
            twin(&mut pack, &mut own);
            let mut label = None;
            for (weapon, _) in standing::carried(&pack, &own) {
                let weapon = &mut Arc::make_mut(&mut pack).weapons[weapon];
                let Some(value) = weapon.profile[*stat].as_ref().and_then(better) else { continue };
                label = Some(said(&value, &bench.pack.stats.weapon[*stat].label));
                weapon.profile[*stat] = Some(value);
            }
            let Some(label) = label else { return Ok(None) };
            label
        }
        Change::Option(option) => {
            own.options.push((*option, 1));
            format!("with {}", pack.units[subject.unit].options[*option].named.label)
        }
        Change::Models(models) => {
            own.models = *models;
            format!("{models} models")
        }
        Change::Cover(at) => {
            cover = Some(*at);
            format!("behind {}", words.covers[*at].named.label)
        }
        Change::Arc(at) => {
            arc = Some(*at);
            format!("attacked from the {}", words.arcs[*at].named.label)
        }
        Change::Without(rule) => {
            without.push(*rule);
            format!("without {}", pack.rules[*rule].named.label)
        }
        Change::Repair => {
            mends_better = true;
            "repair one better".to_owned()
        }
        Change::Cheaper => {
            off = 1;
            "one point cheaper".to_owned()
        }
    };
    let points = lookup::cost(&pack, &own).saturating_sub(off);
    let bench = Bench { pack: &pack, ..*bench };
    let mut games = Vec::new();
    for (target, range) in targets {
        // Another weapon may be at its best elsewhere.
        let anew = matches!(change, Change::Option(_));
        let Some(range) = (if anew { bench.best_range(&own, target)? } else { *range }) else { continue };
        let situation = bench.situation(None, Some(range), None);
        let Some(ready) = bench.matchup_without(&own, target, &situation, &without) else { continue };
        // The target is another unit, whose repair is its own.
        let Some(duel) = bench.game_with(&ready, standing::repair(&pack, target, &[], &[]).map(|own| own.mend)) else {
            continue;
        };
        let gone = 1.0 - bench.outcome(&duel)?.left / f64::from(target.models.max(1));
        games.push(lookup::cost(&pack, target) as f64 * gone.max(0.0));
    }
    let mut lives = Vec::new();
    for (attacker, range) in attackers {
        let Some(range) = *range else { continue };
        let Some(ready) = bench.matchup_without(attacker, &own, &bench.situation(arc, Some(range), cover), &without)
        else {
            continue;
        };
        let mend = standing::repair(&pack, &own, &[], &without).map(|own| own.mend).map(|mut mend| {
            if let (true, Aim::Needs(needs)) = (mends_better, mend.roll.aim.clone()) {
                mend.roll.aim = Aim::Needs(easier(needs));
            }
            mend
        });
        let Some(duel) = bench.game_with(&ready, mend) else { continue };
        lives.push(bench.outcome(&duel)?.stood() / f64::from(bench.turns));
    }
    Ok(Some((label, points, worth(points, &games, &lives, (targets.len(), attackers.len())))))
}

/// Puts a copy of the unit, with weapons of its own, into the pack, so that what changes in it changes in nobody else.
fn twin<'a>(pack: &'a mut Arc<Pack>, own: &mut Fielded) -> &'a mut Unit {
    let pack = Arc::make_mut(pack);
    let mut unit = pack.units[own.unit].clone();
    let first = pack.weapons.len();
    let mut copies: Vec<usize> = Vec::new();
    let mut copied = |weapon: &mut usize| {
        let known = copies.iter().position(|copy| copy == weapon);
        let at = known.unwrap_or_else(|| {
            copies.push(*weapon);
            copies.len() - 1
        });
        *weapon = first + at;
    };
    unit.weapons.iter_mut().for_each(|carried| copied(&mut carried.weapon));
    for option in &mut unit.options {
        option.weapons.iter_mut().for_each(|carried| copied(&mut carried.weapon));
        option.replaces.iter_mut().for_each(&mut copied);
    }
    own.weapons.iter_mut().for_each(&mut copied);
    let copies: Vec<Weapon> = copies.into_iter().map(|at| pack.weapons[at].clone()).collect();
    pack.weapons.extend(copies);
    pack.units.push(unit);
    own.unit = pack.units.len() - 1;
    &mut pack.units[own.unit]
}

/// A value one better; nothing where it has no better one.
fn better(value: &StatValue) -> Option<StatValue> {
    let one = |value: &Value| match *value {
        Value::Number(number) => Some(Value::Number(number + 1)),
        Value::Needs(needs) => Some(easier(needs)).filter(|eased| *eased != needs).map(Value::Needs),
        Value::Dice(dice) => match dice.as_constant() {
            Some(number) => Dice::constant(number + 1),
            None => Dice::new(dice.count(), dice.sides(), dice.plus() + 1),
        }
        .ok()
        .map(Value::Dice),
        Value::Word(_) => None,
    };
    match value {
        StatValue::One(value) => one(value).map(StatValue::One),
        StatValue::Each(values) => values.iter().map(one).collect::<Option<_>>().map(StatValue::Each),
    }
}

fn easier(needs: Needs) -> Needs {
    match needs {
        Needs::AtLeast(total) if total > 2 => Needs::AtLeast(total - 1),
        Needs::AtMost(total) => Needs::AtMost(total + 1),
        other => other,
    }
}

fn said(value: &StatValue, label: &str) -> String {
    let needs = |value: &Value| matches!(value, Value::Needs(_));
    let is_needs = match value {
        StatValue::One(value) => needs(value),
        StatValue::Each(values) => values.iter().all(needs),
    };
    if is_needs { format!("{label} one better") } else { format!("one more {label}") }
}
