//! The two sides of a duel, and the sentence of who ends whom.
use crate::client::answers::{DuelAnswer, DuelSide, UnusedTurns};
use crate::client::index::PackIndex;
use crate::commands::who::Who;
use crate::saying::{apart, often, sentence, small, unproven, verb};
use serde_json::Value as Json;

/// A side as the card speaks of it.
pub(super) struct Fighter {
    pub(super) who: Who,
    /// Models or units at the start.
    pub(super) all: u64,
    /// What counts it: `Quay Rifles`, for several.
    pub(super) several: String,
    /// The chance that it is gone in the end.
    falls: f64,
    /// The same if its own weapons did it no harm, where they can.
    pub(super) spared: Option<f64>,
    /// What is done to it that ends it: `wreck`, `wipe out or rout`.
    end: (&'static str, &'static str),
}

impl Fighter {
    pub(super) fn of(
        names: &PackIndex,
        (who, side): (Who, &Json),
        (answer, plain): (&DuelSide, &Json),
        falls: f64,
    ) -> Self {
        let target = &plain["target"];
        let groups = target["groups"].as_array().into_iter().flatten().filter_map(|group| group["models"].as_u64());
        let all = target["models"].as_u64().or(target["units"].as_u64()).unwrap_or_else(|| groups.sum::<u64>().max(1));
        let spared = answer.destroyed_without_own_harm.as_ref().map(|chance| unproven(chance.chance));
        let unit = names.unit(side["unit"].as_str().unwrap_or_default());
        let several = unit.map_or_else(|| who.name.clone(), |unit| unit.plural.clone());
        let armoured = unit.is_some_and(|unit| unit.armoured);
        let end = if armoured {
            ("wreck", "")
        } else if all == 1 {
            ("take", " out")
        } else {
            ("wipe", " out")
        };
        // Where less than that harm is what tells, it is not told.
        let spared = spared.filter(|spared| falls - spared > 1e-9 * falls);
        Self { who, all, several, falls, spared, end }
    }

    /// `wipe out`, `wipes out or routs`: what is done to it, by several or by one.
    fn ended(&self, by_many: bool, routs: bool) -> String {
        let rout = if routs { format!(" or {}", verb("rout", by_many)) } else { String::new() };
        format!("{}{}{rout}", verb(self.end.0, by_many), self.end.1)
    }

    /// The sentence of how it falls: by the other, by itself, or by both.
    fn falls_to(&self, other: &Self, routs: bool, within: &str, first: bool, said: &str) -> String {
        let often = if first { often(self.falls) } else { format!("{said} of the time") };
        let own = if self.who.many { "their own weapons" } else { "its own weapons" };
        let is = verb("are", self.who.many);
        match self.spared {
            None => {
                format!("{} {} {}{within} {often}", other.who.name, self.ended(other.who.many, routs), self.who.name)
            }
            Some(spared) if spared <= 0.0 => {
                format!("{} {is} {} by {own}{within} {often}", self.who.name, self.participle())
            }
            Some(spared) => {
                // What the other side does leads; what it does to itself is told behind.
                let spared = apart(&[self.falls, spared])[1].clone();
                let (them, it) = if self.who.many { ("them", "they") } else { ("it", "it") };
                let ends = self.ended(other.who.many, routs);
                format!(
                    "{} {ends} {}{within} {spared} of the time if {own} did {them} no harm, and {it} {is} gone {often} \
                     with that harm",
                    other.who.name, self.who.name
                )
            }
        }
    }

    fn participle(&self) -> &'static str {
        match self.end.0 {
            "wreck" => "wrecked",
            "take" => "taken out",
            _ => "wiped out",
        }
    }
}

/// Whether an attack ends with a roll that takes what is left of the other side away.
fn routs(attack: &Json) -> bool {
    attack["aftermath"].as_array().into_iter().flatten().any(|roll| roll["ends"] == true)
}

/// One sentence: who ends whom, how often, and the other way round; and what a side's own weapons do to it.
pub(super) fn headline(a: &Fighter, b: &Fighter, turns: u64, answer: &DuelAnswer) -> String {
    let within = if turns == 1 { " in one turn".to_owned() } else { format!(" within {} turns", small(turns)) };
    let by = |seat: &str| routs(&answer.duel[seat]["attack"]);
    let said = apart(&[b.falls, a.falls]);
    let (b_falls, a_falls) = (b.falls > 0.0, a.falls > 0.0);
    let of = |fighter: &Fighter, other: &Fighter, seat: &str, within: &str, first: bool, said: &str| {
        fighter.falls_to(other, by(seat), within, first, said)
    };
    let text = if answer.harmless {
        if !a_falls && !b_falls {
            return format!("{} and {} can't hurt each other.", sentence(&a.who.name), b.who.name);
        }
        // What backfires may still take a side away.
        let own: Vec<String> = [a, b]
            .into_iter()
            .filter(|fighter| fighter.falls > 0.0)
            .map(|fighter| {
                let own = if fighter.who.many { "their own weapons" } else { "its own weapons" };
                let is = verb("are", fighter.who.many);
                format!("{} {is} {} by {own}{within} {}", fighter.who.name, fighter.participle(), often(fighter.falls))
            })
            .collect();
        format!("neither {} nor {} can hurt the other, but {}", a.who.name, b.who.name, own.join(", and "))
    } else {
        match (b_falls, a_falls) {
            (false, false) => format!("neither {} nor {} can be finished off{within}", a.who.name, b.who.name),
            (true, false) => {
                let first = of(b, a, "a", &within, true, &said[0]);
                format!("{first}; {} can't be {}{}", a.who.name, a.participle(), silenced(&answer.b))
            }
            (false, true) => {
                let first = of(a, b, "b", &within, true, &said[1]);
                format!("{first}; {} can't be {}{}", b.who.name, b.participle(), silenced(&answer.a))
            }
            (true, true) => {
                format!("{}; {}", of(b, a, "a", &within, true, &said[0]), of(a, b, "b", "", false, &said[1]))
            }
        }
    };
    format!("{}.", sentence(&text))
}

/// Why a side that can't hurt the other does not: what it carries and can't use there.
fn silenced(side: &DuelSide) -> String {
    let why =
        |unused: &UnusedTurns| format!("{}: {}", unused.weapon, unused.why.split(": ").next().unwrap_or_default());
    match side.unit.unused_weapons.as_slice() {
        [] => String::new(),
        all => format!(" ({})", all.iter().map(why).collect::<Vec<_>>().join("; ")),
    }
}
