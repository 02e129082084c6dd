//! The review's part of an appraisal's answer: names in place of indices.
use super::answer::{AttackRow, MendRow, Worth};
use super::review::*;
use super::rows::Rows;
use super::sentences;
use super::{asks, rows};
use crate::analysis::appraisal::{self, Measured, Mending, Test};
use crate::odds::duel::Duel;
use crate::rules::arcs::Ring;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::limits::Place;
use crate::rules::model::stat::{Axis, StatValue};
use crate::rules::standing;

fn worth(of: &Measured) -> Worth {
    rows::worth(&of.worth)
}

impl Rows<'_> {
    pub(super) fn approach_turns(&self) -> Vec<ApproachTurns> {
        let stated = &self.of.pack.board.approach;
        let Some(last) = stated.last() else { return Vec::new() };
        let places = stated.iter().chain(std::iter::repeat(last)).zip(1..=self.of.turns);
        places
            .map(|(place, turn)| ApproachTurns { turn, range: self.range(place.range), arc: self.arc(place.arc) })
            .collect()
    }

    pub(super) fn approach(&self, game: &appraisal::Approach) -> ApproachRow {
        let attacker = &self.of.subject.attackers[game.attacker];
        ApproachRow {
            attacker: self.unit(attacker),
            attacker_models: attacker.models,
            attacker_counted: self.counted(attacker),
            without: game.without.map(|rule| self.rule(rule)),
            standing: game.standing.clone(),
            stood: game.turns,
            ask: asks::duel(&game.game),
        }
    }

    pub(super) fn protected(&self, under: &appraisal::Protected) -> ProtectedRow {
        let attacker = &self.of.subject.attackers[under.attacker];
        let Place { range, arc } = under.place;
        let ask = |(game, _): &(Duel, f64)| asks::duel(game);
        ProtectedRow {
            attacker: self.unit(attacker),
            attacker_models: attacker.models,
            attacker_counted: self.counted(attacker),
            arc: self.arc(arc),
            range: self.range(range),
            with: under.with.1,
            without: under.without.1,
            ask: ask(&under.with),
            ask_without: ask(&under.without),
        }
    }

    pub(super) fn option(&self, row: &appraisal::OptionWorth) -> OptionRow {
        let (pack, subject) = (&self.of.pack, &self.of.subject);
        let unit = &pack.units[subject.unit.unit];
        let option = &unit.options[row.option];
        let names = |all: &[usize]| all.iter().map(|at| unit.options[*at].named.label.clone()).collect();
        let whom = |all: &[UnitInstance], with: &[Option<f64>], without: &[Option<f64>]| {
            let pairs = all.iter().zip(with.iter().zip(without));
            let told = pairs.map(|(instance, (with, without))| (instance, with.unwrap_or(0.0), without.unwrap_or(0.0)));
            let best = told.max_by(|a, b| (a.1 - a.2).total_cmp(&(b.1 - b.2)));
            let best = best.filter(|(_, with, without)| with - without > 1e-9);
            best.map(|(instance, with, without)| ForWhat { whom: self.counted(instance), without, with })
        };
        let turns = f64::from(self.of.turns);
        // Whoever can't attack lets it survive the whole game.
        let whole = |all: &[Option<f64>]| all.iter().map(|one| Some(one.unwrap_or(turns))).collect::<Vec<_>>();
        let mut row = OptionRow {
            option: option.named.label.clone(),
            points: row.with.points.saturating_sub(row.without.points),
            replaces: self.gone_for(option),
            needs: names(&row.needs),
            without: worth(&row.without),
            with: worth(&row.with),
            moved: row.moved,
            best_target: whom(&subject.targets, &row.with.damage, &row.without.damage),
            best_attacker: whom(&subject.attackers, &whole(&row.with.turns), &whole(&row.without.turns)),
            text: String::new(),
        };
        row.text = sentences::option(&row);
        row
    }

    pub(super) fn together(&self, row: &appraisal::Together) -> TogetherRow {
        let pack = &self.of.pack;
        let pair = |(before, after): &(Mending, Mending)| MendPair {
            chance_without: before.chance,
            chance_with: after.chance,
            restored_without: before.restored,
            restored_with: after.restored,
            ask_without: asks::repair(&before.repair),
            ask: asks::repair(&after.repair),
        };
        let check = |(before, after): &(Test, Test)| CheckPair {
            check: pack.checks[before.check].named.label.clone(),
            asked: before.asked,
            without: before.passes,
            with: after.passes,
        };
        let mut said = TogetherRow {
            near: row.near.label(pack),
            near_id: row.near.id(pack),
            near_points: row.near_points,
            unit: self.counted(&row.unit),
            unit_id: pack.units[row.unit.unit].named.id.clone(),
            unit_models: row.unit.models,
            without: worth(&row.without),
            with: worth(&row.with),
            gained: row.gained(),
            per_point: row.per_point(),
            repair: row.repair.as_ref().map(pair),
            checks: row.checks.iter().map(check).collect(),
            text: String::new(),
        };
        said.text = sentences::together(&said);
        said
    }

    pub(super) fn comparator(&self, row: &appraisal::Comparator) -> ComparatorRow {
        ComparatorRow {
            unit: self.unit(&row.unit),
            unit_id: self.of.pack.units[row.unit.unit].named.id.clone(),
            models: row.unit.models,
            counted: self.counted(&row.unit),
            points: row.measured.points,
            worth: worth(&row.measured),
        }
    }

    /// Its numbers by side: of a hull whose sides differ.
    pub(super) fn hull(&self) -> Vec<HullSide> {
        let (pack, instance) = (&self.of.pack, &self.of.subject.unit);
        let (profile, _) = standing::profile(pack, instance);
        let (length, width) = pack.units[instance.unit].formation.hull_mm;
        let stats = pack.stats.unit.iter().zip(&profile);
        let by_arc: Vec<_> = stats
            .filter_map(|(stat, value)| match value {
                Some(StatValue::Each(values)) if stat.per == Some(Axis::Arc) => Some((stat, values)),
                _ => None,
            })
            .collect();
        let ring = Ring::new(&pack.situations.sectors, Some((f64::from(length), f64::from(width))));
        let Some(ring) = ring.filter(|_| !by_arc.is_empty()) else { return Vec::new() };
        let lines: Vec<f64> = ring.lines().iter().map(|line| line.bearing).collect();
        let ends = lines.iter().skip(1).copied().chain(lines.first().map(|first| first + 360.0));
        let side = |(from, to): (f64, f64)| {
            let arc = ring.hit(f64::midpoint(from, to)).arc;
            let value = |(stat, values): &(&crate::rules::model::stat::Stat, &Vec<_>)| {
                values.get(arc).map(|value| (stat.label.clone(), stat.write(*value)))
            };
            HullSide { arc: self.arc(arc), from, to, values: by_arc.iter().filter_map(value).collect() }
        };
        lines.iter().copied().zip(ends).map(side).collect()
    }
}

/// The mean points of one turn at each range, over all targets, from the usual arc, for the unit's own size.
pub(super) fn ranges(of: &[AttackRow], models: u32, targets: usize) -> Vec<MeanRow> {
    let mut rows: Vec<MeanRow> = Vec::new();
    let own: Vec<&AttackRow> = of.iter().filter(|row| row.models == models).collect();
    for row in &own {
        // The usual arc stands first.
        let first = own.iter().find(|other| other.target == row.target && other.target_models == row.target_models);
        if first.is_some_and(|first| first.arc != row.arc) {
            continue;
        }
        match rows.iter_mut().find(|known| known.at == row.range) {
            Some(known) => known.points += row.points,
            None => rows.push(MeanRow { at: row.range.clone(), points: row.points }),
        }
    }
    rows.iter_mut().for_each(|row| row.points /= targets.max(1) as f64);
    rows
}

/// The mean points of one turn from each side, over the targets on which the side makes a difference.
pub(super) fn sides(of: &[AttackRow], models: u32) -> Vec<MeanRow> {
    let mut best: Vec<(&str, u32, &str, f64)> = Vec::new();
    for row in of.iter().filter(|row| row.models == models) {
        let Some(arc) = row.arc.as_deref() else { continue };
        match best.iter_mut().find(|known| (known.0, known.1, known.2) == (&row.target, row.target_models, arc)) {
            Some(known) => known.3 = known.3.max(row.points),
            None => best.push((&row.target, row.target_models, arc, row.points)),
        }
    }
    let mut rows: Vec<(MeanRow, u32)> = Vec::new();
    for (.., arc, points) in &best {
        match rows.iter_mut().find(|(known, _)| known.at == *arc) {
            Some((known, count)) => (known.points, *count) = (known.points + points, *count + 1),
            None => rows.push((MeanRow { at: (*arc).to_owned(), points: *points }, 1)),
        }
    }
    let most = rows.iter().map(|(_, count)| *count).max().unwrap_or(0);
    // A side that is like another for some of the targets has no mean over the same ones.
    rows.retain(|(_, count)| *count == most);
    rows.into_iter().map(|(row, count)| MeanRow { points: row.points / f64::from(count), ..row }).collect()
}

/// A repair by itself as a row.
pub(super) fn mending(rule: String, mending: &Mending) -> MendRow {
    MendRow {
        rule,
        capacity: mending.repair.capacity,
        missing: mending.repair.missing,
        chance: mending.chance,
        any_restored: mending.any_restored,
        restored: mending.restored,
        ask: asks::repair(&mending.repair),
    }
}
