//! Units of structure, and the hits they take.
use super::{
    Losses, Volley,
    counters::Counts,
    part::{Chart, Kind, Penetrate},
};
use crate::play::Luck;
use serde_json::Value;

#[derive(Clone, Debug)]
pub struct Armoured {
    structure: i64,
    pub units: usize,
    wasted: bool,
    hurt: i64,
    /// Names of all statuses, in alphabetical order.
    pub statuses: Vec<String>,
    at_start: Vec<bool>,
}

impl Armoured {
    pub fn read(of: &Value, volleys: &[Volley]) -> Self {
        let names = |v: &Value| {
            v["statuses"].as_array().into_iter().flatten().map(|s| s.as_str().expect("a name").to_string()).collect()
        };
        let has: Vec<String> = names(of);
        let mut statuses = has.clone();
        for step in volleys.iter().flat_map(|v| &v.steps) {
            if let Kind::Penetrate(p) = &step.kind {
                statuses.extend(p.chart.iter().flat_map(|c| &c.rows).filter_map(|row| row.status.clone()));
            }
        }
        statuses.sort();
        statuses.dedup();
        Self {
            structure: of["structure"].as_i64().expect("structure"),
            units: usize::try_from(of["units"].as_u64().unwrap_or(1)).expect("small"),
            wasted: of["overflow"] == "wasted",
            hurt: of["hurt"].as_i64().unwrap_or(0),
            at_start: statuses.iter().map(|s| has.contains(s)).collect(),
            statuses,
        }
    }

    pub fn fresh(&self) -> Losses {
        Losses { missing: self.hurt, has: self.at_start.clone(), seen: self.at_start.clone(), ..Losses::default() }
    }

    /// What a hit does; what its chart adds to counters is handed back.
    pub fn hit(&self, by: &Penetrate, breached: bool, losses: &mut Losses, luck: &mut dyn Luck) -> Counts {
        if !breached {
            self.lose(by.graze.total(luck), false, losses);
            return Counts::new();
        }
        let points = by.breach.total(luck);
        losses.missing += points;
        let (wrecked, counts) =
            by.chart.as_ref().map_or_else(Default::default, |chart| self.roll_on(chart, losses, luck));
        self.lose(0, wrecked, losses);
        counts
    }

    /// Takes points of the unit in front; with none left, or `wrecked`, it is gone.
    pub fn lose(&self, points: i64, wrecked: bool, losses: &mut Losses) {
        losses.missing += points;
        if wrecked || losses.missing >= self.structure {
            losses.gone += 1;
            losses.missing = 0;
            losses.has.fill(false);
            losses.wasted = self.wasted;
        }
    }

    fn roll_on(&self, chart: &Chart, losses: &mut Losses, luck: &mut dyn Luck) -> (bool, Counts) {
        let result = chart.dice.total(luck) + chart.modifier;
        let Some(row) = chart.rows.iter().rev().find(|row| row.at_least <= result) else {
            return (false, Counts::new());
        };
        if let Some(name) = &row.status {
            let status = self.statuses.iter().position(|s| s == name).expect("a known status");
            if losses.has[status]
                && let Some((structure, wrecked)) = &row.repeated
            {
                losses.missing += structure.total(luck);
                return (*wrecked, Counts::new());
            }
            losses.has[status] = true;
            losses.seen[status] = true;
        }
        losses.missing += row.structure.total(luck);
        (row.wrecked, row.counts.clone())
    }

    pub fn note(&self, losses: &Losses, luck: &mut dyn Luck) {
        let gone = i64::try_from(losses.gone).expect("small");
        let lost = gone * self.structure + losses.missing;
        luck.note(("structure", 0), lost - self.hurt);
        luck.note(("wrecked", 0), gone);
        for (status, seen) in losses.seen.iter().enumerate() {
            luck.note(("statuses", status), (*seen).into());
        }
    }
}
