//! The two sides of a duel, and the sentence of who ends whom.
use crate::client::index::PackIndex;
use crate::draft::Draft;
use crate::saying::{apart, listed, often, percent, plural, sentence, small, unproven, verb};
use pipwright_shared::cards::Who;
use pipwright_shared::cards::words::is_penetration;
use pipwright_shared::wire::chain::VolleyForm;
use pipwright_shared::wire::duel::{DuelOutcome, DuelSide, SideOutcome, UnusedTurns};
use pipwright_shared::wire::step::StepForm;
use serde_json::Value as Json;

/// A side as the card speaks of it.
pub(super) struct Fighter {
    pub(super) who: Who,
    /// Models or units at the start.
    pub(super) all: u64,
    /// What counts it: `Quay Rifles`, for several; of a crew that is counted whole, its `models of one Swivel Crew`.
    pub(super) several: String,
    /// The chance that it is gone in the end.
    pub(super) falls: f64,
    /// The same if its own weapons did it no harm, where they can.
    pub(super) spared: Option<f64>,
    /// What is done to it that ends it: `wreck`, `wipe out or rout`.
    end: (&'static str, &'static str),
    /// What of its own may harm it: `its own steam pipe`.
    own: String,
    /// Why each of its weapons does the other no harm; nothing where one may.
    idle: Vec<String>,
}

impl Fighter {
    pub(super) fn of(
        names: &PackIndex,
        (who, side): (Who, &Json),
        (answer, plain): (&SideOutcome, &DuelSide),
        falls: f64,
    ) -> Self {
        let target = plain.target.as_ref();
        let groups = target.and_then(|target| target.groups.as_ref()).into_iter().flatten();
        let groups = groups.map(|group| u64::from(group.models));
        let all = target.and_then(|target| target.models.or(target.units)).map(u64::from);
        let all = all.unwrap_or_else(|| groups.sum::<u64>().max(1));
        let spared = answer.destroyed_without_own_harm.as_ref().map(|chance| unproven(chance.chance));
        let unit = names.unit(side.unit_id().unwrap_or_default());
        let several = match unit {
            None => who.name.clone(),
            Some(unit) if unit.is_counted_whole() => format!("{} of {}", names.label("models"), who.name),
            Some(unit) => unit.plural.clone(),
        };
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
        let own = own(plain, who.many);
        let idle = idle(answer, plain);
        Self { who, all, several, falls, spared, end, own, idle }
    }

    /// `wipe out`, `wipes out or routs`: what is done to it, by several or by one.
    fn ended(&self, by_many: bool, routs: bool) -> String {
        let rout = if routs { format!(" or {}", verb("rout", by_many)) } else { String::new() };
        format!("{}{}{rout}", verb(self.end.0, by_many), self.end.1)
    }

    /// The sentence of how it falls: by the other, by itself, or by both. The first of two says within how many turns.
    fn falls_to(&self, other: &Self, routs: bool, within: &str, often: &str) -> String {
        let is = verb("are", self.who.many);
        let whom = &self.who.name;
        match self.spared {
            None => format!("{} {} {whom}{within} {often}", other.who.name, self.ended(other.who.many, routs)),
            Some(spared) if spared <= 0.0 => {
                format!("{whom} {is} {} by {}{within} {often}", self.participle(), self.own)
            }
            // The other side alone hardly does it.
            Some(spared) if spared < self.falls / 20.0 => {
                format!("{whom} {is} gone{within} {often}, nearly always through {}", self.own)
            }
            Some(spared) => {
                let alone = &apart(&[self.falls, spared])[1];
                let other = &other.who.name;
                format!(
                    "{whom} {is} gone{within} {often}: {alone} by {other} alone, the rest with the help of {}",
                    self.own
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
fn routs(side: &DuelSide) -> bool {
    let after = side.attack.iter().filter_map(|attack| attack.aftermath.as_ref()).flatten();
    after.into_iter().any(|roll| roll.ends == Some(true))
}

/// The weapons of a side.
pub(super) fn volleys(side: &DuelSide) -> &[VolleyForm] {
    side.attack.as_ref().and_then(|attack| attack.volleys.as_deref()).unwrap_or_default()
}

/// What a weapon is called.
pub(super) fn label(volley: &VolleyForm) -> Option<&str> {
    volley.label.as_ref().map(|label| label.0.as_str())
}

/// One sentence: who ends whom, the likelier first, and the other way round; and what a side's own weapons do to it.
pub(super) fn headline(a: &Fighter, b: &Fighter, turns: u64, answer: &DuelOutcome) -> String {
    let within = if turns == 1 { " in one turn".to_owned() } else { format!(" within {} turns", small(turns)) };
    let plain = answer.duel.as_ref();
    let (a_routs, b_routs) = plain.map_or((false, false), |plain| (routs(&plain.a), routs(&plain.b)));
    let (b_falls, a_falls) = (b.falls > 0.0, a.falls > 0.0);
    let text = if answer.harmless == Some(true) {
        if !a_falls && !b_falls {
            return format!("{} and {} can't hurt each other.", sentence(&a.who.name), b.who.name);
        }
        // What backfires may still take a side away.
        let own: Vec<String> = [a, b]
            .into_iter()
            .filter(|fighter| fighter.falls > 0.0)
            .map(|fighter| {
                let is = verb("are", fighter.who.many);
                let (who, own) = (&fighter.who.name, &fighter.own);
                format!("{who} {is} {} by {own}{within} {}", fighter.participle(), often(fighter.falls))
            })
            .collect();
        format!("neither {} nor {} can hurt the other, but {}", a.who.name, b.who.name, own.join(", and "))
    } else {
        match (b_falls, a_falls) {
            (false, false) => format!("neither {} nor {} can be finished off{within}", a.who.name, b.who.name),
            (true, false) => {
                let first = b.falls_to(a, a_routs, &within, &often(b.falls));
                format!("{first}; {} can't be {}{}", a.who.name, a.participle(), b.powerless())
            }
            (false, true) => {
                let first = a.falls_to(b, b_routs, &within, &often(a.falls));
                format!("{first}; {} can't be {}{}", b.who.name, b.participle(), a.powerless())
            }
            (true, true) => match wins(a, b, turns, answer) {
                Some(wins) => wins,
                None => both(a, b, &within, [a_routs, b_routs]),
            },
        }
    };
    format!("{}.", sentence(&text))
}

/// Each side may fall: the likelier is told first.
fn both(a: &Fighter, b: &Fighter, within: &str, [a_routs, b_routs]: [bool; 2]) -> String {
    let b_first = b.falls >= a.falls;
    let ((falls, other, routs), (then, then_routs)) =
        if b_first { ((b, a, a_routs), (a, b_routs)) } else { ((a, b, b_routs), (b, a_routs)) };
    let first = often(falls.falls);
    // Two unlike chances are not said in the same figures.
    let second = if percent(then.falls) == percent(falls.falls) {
        format!("{} of the time", apart(&[falls.falls, then.falls])[1])
    } else {
        often(then.falls)
    };
    let first = falls.falls_to(other, routs, within, &first);
    match (falls.spared, then.spared) {
        (None, None) => format!("{first}; the other way round {second}"),
        _ => format!("{first}; {}", then.falls_to(falls, then_routs, "", &second)),
    }
}

/// Less than this is what a sum of doubles may be off.
const NOISE: f64 = 1e-9;

/// The chance that nothing is left of either side.
pub(super) fn both_gone(answer: &DuelOutcome) -> f64 {
    let Some(last) = answer.turns.last() else { return 0.0 };
    let both = last.a_destroyed + last.b_destroyed + last.both_standing - 1.0;
    if both > NOISE { both } else { 0.0 }
}

/// Where both may fall at once, who wrecks whom is not who wins: how often each stands alone, both are gone, or neither.
fn wins(a: &Fighter, b: &Fighter, turns: u64, answer: &DuelOutcome) -> Option<String> {
    let gone = both_gone(answer);
    if gone <= 0.0 || a.spared.is_some() || b.spared.is_some() {
        return None;
    }
    let standing = answer.turns.last().map_or(0.0, |last| last.both_standing);
    let (a_wins, b_wins) = (b.falls - gone, a.falls - gone);
    if a_wins < NOISE || b_wins < NOISE {
        return None;
    }
    let (first, second) = if a_wins >= b_wins { (a, b) } else { (b, a) };
    let said = apart(&[a_wins.max(b_wins), a_wins.min(b_wins), gone, standing]);
    let win = verb("win", first.who.many);
    let end = if a.end.0 == "wreck" && b.end.0 == "wreck" { "wrecked" } else { "gone" };
    let turns = if turns == 1 { "one turn".to_owned() } else { format!("{} turns", small(turns)) };
    let gone = format!("both are {end} {}", said[2]);
    let rest = if standing > 0.0 { format!("{gone} and both still stand after {turns} {}", said[3]) } else { gone };
    Some(format!("{} {win} {} of the time, {} {}; {rest}", first.who.name, said[0], second.who.name, said[1]))
}

impl Fighter {
    /// Why it can't end the other: what it carries and can't use there, or can't get through with. Nothing where that is not
    /// the whole reason.
    fn powerless(&self) -> String {
        if self.idle.is_empty() { String::new() } else { format!(" ({})", listed(&self.idle)) }
    }
}

/// Why each weapon of a side does nothing; nothing where one of them may do something.
fn idle(side: &SideOutcome, plain: &DuelSide) -> Vec<String> {
    let is = |weapon: &str| verb("are", weapon.ends_with('s') && plural(weapon) == weapon);
    let unused = side.unit.iter().flat_map(|unit| &unit.unused_weapons).map(|unused: &UnusedTurns| {
        let (weapon, why) = (&unused.weapon, unused.why.split(": ").next().unwrap_or_default());
        match why.strip_suffix(" only") {
            Some(place) => format!("the {weapon} {} for {place} only", is(weapon)),
            None => format!("the {weapon} can't be used: {why}"),
        }
    });
    let mut told: Vec<String> = Vec::new();
    for volley in volleys(plain) {
        if !cant_get_through(volley) {
            return Vec::new();
        }
        told.push(format!("the {} can't get through", label(volley).unwrap_or_default()));
    }
    let mut all: Vec<String> = Vec::new();
    for words in unused.chain(told) {
        if !all.contains(&words) {
            all.push(words);
        }
    }
    all
}

/// Whether a roll of the volley against armour stays below it whatever is rolled.
pub(super) fn cant_get_through(volley: &VolleyForm) -> bool {
    let steps = || volley.steps.iter().flatten();
    // What an earlier step brings along is not worked out here.
    let brings = |step: &StepForm| {
        step.margin.is_some() || step.critical.as_ref().is_some_and(|critical| critical.then.is_some())
    };
    steps().any(|step| pierces(step) == Some(Reach::Never)) && !steps().any(brings)
}

/// How far a roll against armour can come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reach {
    /// Never as far as the armour.
    Never,
    /// Always beyond it.
    Always,
}

/// Whether a roll against armour is decided before it is made: from its dice, what is added, and the armour.
pub(super) fn pierces(step: &StepForm) -> Option<Reach> {
    if !is_penetration(step) || step.critical.is_some() {
        return None;
    }
    let (least, most) = match &step.dice {
        Some(dice) if dice.number().is_some() => return None,
        Some(dice) => dice.reach()?,
        None => (1, 6),
    };
    let add = i64::from(step.add.unwrap_or(0));
    let against = i64::from(step.against?);
    match (most + add < against, least + add > against) {
        (true, _) => Some(Reach::Never),
        (_, true) => Some(Reach::Always),
        _ => None,
    }
}

/// What of a side may harm it itself: `its own steam pipe`, `their own steam pipes`.
fn own(plain: &DuelSide, many: bool) -> String {
    let mut names: Vec<String> = Vec::new();
    for volley in volleys(plain) {
        let gate = volley.gate.as_ref().is_some_and(|gate| gate.backfire.is_some());
        let harms = gate || volley.steps.iter().flatten().any(|step| step.backfire.is_some());
        let label = label(volley).filter(|_| harms);
        names.extend(label.map(|label| if many { plural(label) } else { label.to_owned() }));
    }
    names.dedup();
    let its = if many { "their own" } else { "its own" };
    if names.is_empty() { format!("{its} weapons") } else { format!("{its} {}", listed(&names)) }
}
