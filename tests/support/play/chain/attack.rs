//! One attack and what grows out of it: rolls, extra successes, packets.
use super::{
    Chain, Losses, State, Target,
    counters::{self, Counts},
    part::{Change, Gain, Kind, Penetrate, Step, TableRow},
    soldiers::Packet,
};
use crate::play::{Luck, dice::Dice, roll::Roll};
use std::collections::BTreeMap;

/// An attack that has come past the steps before `step`.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Attack {
    step: usize,
    /// What its criticals gave, for later steps.
    changes: BTreeMap<String, Change>,
    /// Damage that its criticals gave.
    bonus: i64,
    /// Whether its penetration breached (or only grazed).
    pub breached: bool,
    /// The target's counters as the attack began.
    counters: Vec<i64>,
    /// A further success of the step before, which it has not gone past yet.
    extra: bool,
}

/// Something still to be done; the last one comes first.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Task {
    Step(Attack),
    Packet(Packet),
}

impl Attack {
    /// On a target that stands like this.
    pub fn begun(losses: &Losses) -> Self {
        Self { counters: losses.counters.clone(), ..Self::default() }
    }

    fn gain(&mut self, gain: &Gain, luck: &mut dyn Luck) -> i64 {
        for (name, change) in &gain.then {
            let earlier = self.changes.remove(name).unwrap_or_default();
            self.changes.insert(name.clone(), change.over(&earlier));
        }
        self.bonus += gain.damage.total(luck);
        gain.extra.total(luck)
    }
}

impl Chain {
    /// Does one task; nothing where the dice give up.
    pub fn perform(&self, task: Task, state: &mut State, luck: &mut dyn Luck) -> Option<()> {
        let (mut attack, volley) = match task {
            Task::Step(attack) => (attack, &self.volleys[state.volley]),
            Task::Packet(packet) => {
                let Target::Soldiers(target) = &self.target else { panic!("packets are for soldiers") };
                let in_place = &self.volleys[state.volley].in_place;
                if let Some(more) = target.ignore(packet, &mut state.losses, in_place, luck) {
                    state.tasks.push(Task::Packet(more));
                }
                return Some(());
            }
        };
        if std::mem::take(&mut attack.extra) {
            self.count(&volley.steps[attack.step - 1].counts, state, luck);
        }
        let Some(step) = volley.steps.get(attack.step) else {
            self.come_through(&attack, &volley.damage, state, luck);
            return Some(());
        };
        let number = volley.before + attack.step;
        let change = self.change(step, &attack, state);
        let mut extra = 0;
        let plain = Attack { step: attack.step + 1, extra: true, ..attack.clone() };
        match &step.kind {
            Kind::Roll { roll, critical, margins, backfire } => {
                let mut roll = roll.clone();
                change.apply_to_roll(&mut roll);
                let rolled = roll.roll(luck)?;
                if let Some(natural) = rolled.natural {
                    luck.note(("reached", number), 1);
                    let backfire =
                        backfire.as_ref().filter(|b| !roll.as_good(natural, b.face(&roll)) || natural == b.face(&roll));
                    if let Some(backfire) = backfire
                        && !backfire.saved.roll(luck)?.success
                    {
                        state.backfires += 1;
                        state.harm.push(backfire.harm.total(luck));
                        state.harm.retain(|points| *points > 0);
                    }
                }
                if rolled.success == step.by_defender {
                    return Some(());
                }
                // Of a margin and a critical on one roll the margin's comes first.
                let best = margins.iter().rev().find(|row| rolled.natural.is_some() && row.at_least <= rolled.lead);
                if let Some(gain) = best.filter(|_| rolled.success) {
                    extra += attack.gain(gain, luck);
                }
                if let Some(gain) = critical.as_ref().filter(|_| rolled.critical) {
                    extra += attack.gain(gain, luck);
                }
            }
            Kind::Table { roll, rows } => {
                luck.note(("reached", number), 1);
                let row = row_of(roll, &change, rows, luck);
                if let Some(row) = row {
                    self.count(&row.counts, state, luck);
                    if row.ends {
                        return Some(());
                    }
                    extra += attack.gain(&row.gain, luck);
                }
            }
            Kind::Penetrate(penetrate) => {
                luck.note(("reached", number), 1);
                let against = change.against.unwrap_or(penetrate.against) + change.more_against;
                let add = change.add.unwrap_or(penetrate.add) + change.more_added;
                let total = penetrate.total(add, against, luck);
                if total < against {
                    return Some(());
                }
                attack.breached = total > against || (penetrate.equal_breaches && total == against);
            }
        }
        self.count(&step.counts, state, luck);
        attack.step += 1;
        state.passed[number] += 1 + extra;
        for _ in 0..extra {
            state.tasks.push(Task::Step(plain.clone()));
        }
        state.tasks.push(Task::Step(attack));
        Some(())
    }

    /// What the group that is hit and the attack's own criticals put in place of a step's numbers.
    fn change(&self, step: &Step, attack: &Attack, state: &State) -> Change {
        let none = Change::default();
        let of_group = match &self.target {
            Target::Soldiers(target) => target.change(&step.name, &state.losses),
            Target::Armoured(_) => None,
        };
        let rows = &self.volleys[state.volley].by_counter;
        let (target, own) = ((&self.counters, &attack.counters[..]), (&self.own_counters, &state.own[..]));
        let by_counter = counters::change(rows, &step.name, target, own);
        attack.changes.get(&step.name).unwrap_or(&none).over(&by_counter.over(of_group.unwrap_or(&none)))
    }

    /// Adds to the counters, while something is left.
    fn count(&self, counts: &Counts, state: &mut State, luck: &mut dyn Luck) {
        if !self.nothing_left(&state.losses) {
            self.counters.add(counts, &mut state.losses.counters, luck);
        }
    }

    fn come_through(&self, attack: &Attack, damage: &Dice, state: &mut State, luck: &mut dyn Luck) {
        state.through += 1;
        self.count(&self.volleys[state.volley].counts, state, luck);
        if state.losses.wasted || self.nothing_left(&state.losses) {
            return;
        }
        match &self.target {
            Target::Soldiers(target) => {
                let points = damage.total(luck) + attack.bonus;
                state.tasks.push(Task::Packet(target.packet(
                    points,
                    &state.losses,
                    &self.volleys[state.volley].in_place,
                )));
            }
            Target::Armoured(target) => {
                let penetrates = |s: &Step| match &s.kind {
                    Kind::Penetrate(p) => Some(p.as_ref().clone()),
                    Kind::Roll { .. } | Kind::Table { .. } => None,
                };
                let penetrate = self.volleys[state.volley].steps.iter().find_map(penetrates).expect("a penetrate step");
                let more = target.hit(&penetrate, attack.breached, &mut state.losses, luck);
                let own = if attack.breached { &penetrate.breach_counts } else { &penetrate.graze_counts };
                for counts in [own, &more] {
                    self.counters.add(counts, &mut state.losses.counters, luck);
                }
            }
        }
    }
}

impl Penetrate {
    fn once(&self, add: i64, luck: &mut dyn Luck) -> i64 {
        let faces = self.dice.throw(luck);
        let bonus = self.bonus.as_ref().filter(|(on, _)| faces.iter().any(|face| face >= on));
        let bonus = bonus.map_or(0, |(_, dice)| dice.total(luck));
        (faces.iter().sum::<i64>() + self.dice.plus()).max(0) + add + bonus
    }

    /// The total, re-rolled where it may be.
    pub fn total(&self, add: i64, against: i64, luck: &mut dyn Luck) -> i64 {
        let total = self.once(add, luck);
        let again = match self.reroll.as_str() {
            "failures" => total < against,
            "failures_and_grazes" if !self.equal_breaches => total <= against,
            "failures_and_grazes" => total < against,
            _ => false,
        };
        if again { self.once(add, luck) } else { total }
    }
}

/// The highest row that a table's roll reaches.
fn row_of<'r>(roll: &Roll, change: &Change, rows: &'r [TableRow], luck: &mut dyn Luck) -> Option<&'r TableRow> {
    let mut roll = roll.clone();
    roll.modifier = change.modifier.unwrap_or(roll.modifier) + change.more_modifier;
    let total = roll.roll(luck).expect("no tie").total;
    rows.iter().rev().find(|row| row.gain.at_least <= total)
}

/// Whether one ordinary roll of a step is in the attacker's favour; nothing where the dice give up.
pub fn in_favour(step: &Step, luck: &mut dyn Luck) -> Option<bool> {
    Some(match &step.kind {
        Kind::Roll { roll, .. } => Roll::roll(roll, luck)?.success != step.by_defender,
        Kind::Table { roll, rows } => !row_of(roll, &Change::default(), rows, luck).is_some_and(|row| row.ends),
        Kind::Penetrate(penetrate) => penetrate.total(penetrate.add, penetrate.against, luck) >= penetrate.against,
    })
}
