//! How each target stands after each set of attackers.
use super::Battle;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::Stand;
use crate::rules::compile::compile;
use crate::rules::losses::marks_that_matter;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::attack::Body;
use crate::rules::standing::capacity;
use std::collections::HashMap;

/// What comes of every set of attackers on a target; a set is a number with a bit for each attacker.
#[derive(Clone, Debug)]
pub(super) struct Sums {
    /// The mean of the points destroyed.
    pub(super) points: Vec<f64>,
    /// The chance that nothing is left.
    pub(super) destroyed: Vec<f64>,
}

/// Where one attacker leads from a state of a target.
type Row = Vec<(usize, f64)>;

/// A target under attack.
#[derive(Default)]
struct TargetStates {
    states: Vec<Stand>,
    places: HashMap<Stand, usize>,
    /// By attacker (the first of those that are alike) and state.
    rows: HashMap<(usize, usize), Row>,
}

/// All targets.
pub(super) struct Ground<'a> {
    battle: &'a Battle,
    marks: Vec<String>,
    tables: Vec<TargetStates>,
}

impl TargetStates {
    fn place(&mut self, stand: Stand) -> usize {
        // Where nobody is left it is all one what was missing.
        let stand = if stand.standing == 0 { Stand::default() } else { stand };
        *self.places.entry(stand).or_insert_with(|| {
            self.states.push(stand);
            self.states.len() - 1
        })
    }
}

impl<'a> Ground<'a> {
    pub(super) fn new(battle: &'a Battle) -> Self {
        let marks = marks_that_matter(&battle.pack);
        let mut ground = Self { battle, tables: Vec::new(), marks };
        for target in &battle.targets {
            let mut table = TargetStates::default();
            // The first state is how it stands before anybody attacks, the second that nothing of it is left.
            table.place(ground.stand(target));
            table.place(Stand::default());
            ground.tables.push(table);
        }
        ground
    }

    fn stand(&self, target: &UnitInstance) -> Stand {
        let marks = self.marks.iter().enumerate().filter(|(_, mark)| target.statuses.contains(mark));
        Stand { standing: target.models, hurt: target.hurt, marks: marks.map(|(bit, _)| 1 << bit).sum() }
    }

    /// Whether all that may happen to two targets is the same.
    pub(super) fn is_alike(&self, one: usize, other: usize) -> bool {
        let Battle { targets, situations, .. } = self.battle;
        targets[one] == targets[other] && situations.iter().all(|row| row[one] == row[other])
    }

    /// The first attacker that does the same to a target.
    fn first_alike(&self, attacker: usize, target: usize) -> usize {
        let Battle { attackers, situations, .. } = self.battle;
        let alike = |other: &usize| {
            attackers[*other] == attackers[attacker] && situations[*other][target] == situations[attacker][target]
        };
        (0..attacker).find(alike).unwrap_or(attacker)
    }

    /// The target in a state.
    fn instance(&self, target: usize, stand: Stand) -> UnitInstance {
        let whole = &self.battle.targets[target];
        let marks = self.marks.iter().enumerate().filter(|(bit, _)| stand.marks >> bit & 1 == 1);
        let all = whole.whole.max(whole.models);
        UnitInstance {
            models: stand.standing,
            whole: if all > stand.standing { all } else { 0 },
            hurt: stand.hurt,
            statuses: marks.map(|(_, mark)| mark.clone()).collect(),
            ..whole.clone()
        }
    }

    /// Where an attacker leads from a state.
    fn row(
        &mut self,
        attacker: usize,
        target: usize,
        state: usize,
        token: &CancellationToken,
    ) -> Result<Row, Cancelled> {
        let stand = self.tables[target].states[state];
        let Some(situation) = self.battle.situations[attacker][target].as_ref().filter(|_| stand.standing > 0) else {
            return Ok(vec![(state, 1.0)]);
        };
        let mut matchup = self.battle.matchup(attacker, target, situation);
        matchup.target = self.instance(target, stand);
        // Whoever has no weapon does nothing; what else makes no chain was refused before, for the whole target.
        let Ok(compiled) = compile(&matchup) else { return Ok(vec![(state, 1.0)]) };
        let ends = compiled.chain.stands(&self.marks, token)?;
        let table = &mut self.tables[target];
        let mut row: Row = Vec::with_capacity(ends.len());
        for (stand, chance) in ends {
            let to = table.place(stand);
            match row.iter_mut().find(|(known, _)| *known == to) {
                Some((_, sum)) => *sum += chance,
                None => row.push((to, chance)),
            }
        }
        Ok(row)
    }

    /// The chances after one attacker more.
    fn after(
        &mut self,
        from: &[f64],
        attacker: usize,
        target: usize,
        token: &CancellationToken,
    ) -> Result<Vec<f64>, Cancelled> {
        let first = self.first_alike(attacker, target);
        let mut onto = vec![0.0; self.tables[target].states.len()];
        for (state, chance) in from.iter().enumerate().filter(|(_, chance)| **chance > 0.0) {
            if !self.tables[target].rows.contains_key(&(first, state)) {
                let row = self.row(first, target, state, token)?;
                self.tables[target].rows.insert((first, state), row);
                onto.resize(self.tables[target].states.len(), 0.0);
            }
            for (to, part) in &self.tables[target].rows[&(first, state)] {
                onto[*to] += chance * part;
            }
        }
        Ok(onto)
    }

    /// What comes of every set of attackers on a target.
    pub(super) fn sums(&mut self, target: usize, token: &CancellationToken) -> Result<Sums, Cancelled> {
        let count = self.battle.attackers.len();
        let mut sums = Sums { points: vec![0.0; 1 << count], destroyed: vec![0.0; 1 << count] };
        let able = |attacker: &usize| self.battle.situations[*attacker][target].is_some();
        let able: Vec<usize> = (0..count).filter(able).collect();
        self.walk(target, &able, 0, &[1.0], &mut sums, token)?;
        let able: usize = able.iter().map(|attacker| 1 << attacker).sum();
        for set in 0..1 << count {
            if set & !able != 0 {
                sums.points[set] = sums.points[set & able];
                sums.destroyed[set] = sums.destroyed[set & able];
            }
        }
        Ok(sums)
    }

    /// Every set that goes on from one, in the order in which its attackers act.
    fn walk(
        &mut self,
        target: usize,
        rest: &[usize],
        set: usize,
        chances: &[f64],
        sums: &mut Sums,
        token: &CancellationToken,
    ) -> Result<(), Cancelled> {
        token.check()?;
        let (points, destroyed) = self.worth(target, chances);
        sums.points[set] = points;
        sums.destroyed[set] = destroyed;
        for (at, attacker) in rest.iter().enumerate() {
            let after = self.after(chances, *attacker, target, token)?;
            self.walk(target, &rest[at + 1..], set | 1 << attacker, &after, sums, token)?;
        }
        Ok(())
    }

    /// Points destroyed on average, and the chance that nothing is left.
    fn worth(&self, target: usize, chances: &[f64]) -> (f64, f64) {
        let all = self.capacity(target);
        let each = chances.iter().enumerate().skip(1);
        let lost: f64 = each.map(|(state, chance)| chance * self.lost_in(target, state) as f64).sum();
        let destroyed = chances.get(1).copied().unwrap_or(0.0);
        (self.battle.price_of(target) as f64 * lost / all as f64, destroyed.min(1.0))
    }

    /// Models or points of structure of the whole target.
    fn capacity(&self, target: usize) -> u64 {
        let instance = &self.battle.targets[target];
        let whole = u64::from(instance.whole.max(instance.models));
        whole * u64::from(self.each(target))
    }

    /// What one of its models counts: one, or all its structure.
    fn each(&self, target: usize) -> u32 {
        let (pack, instance) = (&self.battle.pack, &self.battle.targets[target]);
        match pack.kinds[pack.units[instance.unit].kind].body {
            Body::Soldiers { .. } => 1,
            Body::Armoured { .. } => capacity(pack, &UnitInstance { models: 1, ..instance.clone() }),
        }
    }

    /// Models or points of structure lost in a state, counted from the start.
    fn lost_in(&self, target: usize, state: usize) -> u64 {
        let armoured = {
            let pack = &self.battle.pack;
            pack.kinds[pack.units[self.battle.targets[target].unit].kind].body.is_armoured()
        };
        let each = u64::from(self.each(target));
        let left = |stand: Stand| {
            u64::from(stand.standing) * each - if armoured { u64::from(stand.hurt).min(each) } else { 0 }
        };
        let states = &self.tables[target].states;
        left(states[0]).saturating_sub(left(states[state]))
    }

    /// The chance of losing 0, 1, 2 … models or points of structure to a set of attackers.
    pub(super) fn lost(&mut self, target: usize, set: usize, token: &CancellationToken) -> Result<Vec<f64>, Cancelled> {
        let mut chances = vec![1.0];
        for attacker in (0..self.battle.attackers.len()).filter(|attacker| set >> attacker & 1 == 1) {
            if self.battle.situations[attacker][target].is_some() {
                chances = self.after(&chances, attacker, target, token)?;
            }
        }
        let mut lost = vec![0.0; self.lost_in(target, 1) as usize + 1];
        for (state, chance) in chances.iter().enumerate() {
            lost[self.lost_in(target, state) as usize] += chance;
        }
        Ok(lost)
    }
}
