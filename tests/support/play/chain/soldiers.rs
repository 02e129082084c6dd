//! Models with health, and the packets put on them.
use super::{
    Losses,
    part::{self, Change},
};
use crate::play::{Luck, roll::Roll};
use serde_json::{Value, json};

#[derive(Clone, Debug)]
pub struct Soldiers {
    /// Health and group of each, in the order they are lost.
    pub models: Vec<(i64, usize)>,
    groups: Vec<Group>,
    spill: bool,
    pub hurt: i64,
}

/// What a volley puts in place of the target's own.
#[derive(Clone, Debug, Default)]
pub struct InPlace {
    spill: Option<bool>,
    ignore: Option<LastRoll>,
}

impl InPlace {
    pub fn read(of: &Value) -> Self {
        Self { spill: of["spill"].as_bool(), ignore: last_roll(of) }
    }
}

/// A last roll, and whether it is made for the whole packet.
type LastRoll = (Roll, bool);

fn last_roll(of: &Value) -> Option<LastRoll> {
    of.get("ignore").filter(|ignore| !ignore.is_null()).map(|ignore| (Roll::read(ignore), ignore["per"] == "packet"))
}

#[derive(Clone, Debug)]
struct Group {
    ignore: Option<LastRoll>,
    then: Vec<(String, Change)>,
}

/// Points on their way to a model.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Packet {
    /// Whose ignore roll it is.
    group: usize,
    /// Points not rolled for yet.
    unrolled: i64,
    /// Points that count.
    kept: i64,
}

impl Soldiers {
    pub fn read(of: &Value) -> Self {
        let alike = json!([of]);
        let listed = of.get("groups").filter(|g| !g.is_null()).unwrap_or(&alike).as_array().expect("groups");
        let mut models = Vec::new();
        let mut groups = Vec::new();
        for (number, group) in listed.iter().enumerate() {
            for _ in 0..group["models"].as_u64().expect("models") {
                models.push((group["health"].as_i64().unwrap_or(1), number));
            }
            groups.push(Group { ignore: last_roll(group), then: part::changes(&group["then"]) });
        }
        let spill = of["spill"].as_bool().unwrap_or(false);
        Self { models, groups, spill, hurt: of["hurt"].as_i64().unwrap_or(0) }
    }

    /// What the group in front puts in place of a step's numbers.
    pub fn change(&self, step: &str, losses: &Losses) -> Option<&Change> {
        let group = self.models.get(losses.gone)?.1;
        self.groups[group].then.iter().find(|(name, _)| name == step).map(|(_, change)| change)
    }

    /// Whether no group puts anything in place of a step's numbers.
    pub fn changes_nothing(&self) -> bool {
        self.groups.iter().all(|group| group.then.is_empty())
    }

    pub fn packet(&self, points: i64, losses: &Losses, volley: &InPlace) -> Packet {
        let group = self.models[losses.gone].1;
        let rolled = volley.ignore.is_some() || self.groups[group].ignore.is_some();
        Packet { group, unrolled: if rolled { points } else { 0 }, kept: if rolled { 0 } else { points } }
    }

    /// Makes one ignore roll, or puts the packet on its model when none is left.
    pub fn ignore(
        &self,
        mut packet: Packet,
        losses: &mut Losses,
        volley: &InPlace,
        luck: &mut dyn Luck,
    ) -> Option<Packet> {
        if packet.unrolled == 0 {
            self.put(packet.kept, losses, volley.spill.unwrap_or(self.spill));
            return None;
        }
        let own = self.groups[packet.group].ignore.as_ref();
        let (roll, per_packet) = volley.ignore.as_ref().or(own).expect("an ignore roll");
        let points = if *per_packet { packet.unrolled } else { 1 };
        packet.unrolled -= points;
        if !roll.roll(luck).expect("a roll against a number").success {
            packet.kept += points;
        }
        Some(packet)
    }

    fn put(&self, mut points: i64, losses: &mut Losses, spill: bool) {
        while points > 0
            && let Some((health, _)) = self.models.get(losses.gone)
        {
            let taken = points.min(health - losses.missing);
            points -= taken;
            losses.missing += taken;
            if losses.missing == *health {
                losses.gone += 1;
                losses.missing = 0;
            }
            if !spill {
                return;
            }
        }
    }

    pub fn health_lost(&self, losses: &Losses) -> i64 {
        self.models[..losses.gone].iter().map(|(health, _)| health).sum::<i64>() + losses.missing - self.hurt
    }

    pub fn note(&self, losses: &Losses, luck: &mut dyn Luck) {
        luck.note(("health_lost", 0), self.health_lost(losses));
        luck.note(("models", 0), i64::try_from(losses.gone).expect("small"));
    }
}
