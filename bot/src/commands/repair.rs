//! `/repair`: will it mend, how much, by when; two repair rules side by side.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt, Share};
use crate::card::{Card, Chart, Step};
use crate::client::Trouble;
use crate::client::index::{NameKind, name_words};
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::saying::{
    apart, count, equal_to, listed, mean, mean_of, often, percent, proven, reroll, small, unproven, verb,
};
use pipwright_shared::wire::packs::UnitHead;
use pipwright_shared::wire::repair::{RepairOutcome, RepairTurnRow};
use serde_json::{Value as Json, json};

/// The definition.
pub const REPAIR: Command = Command {
    name: "repair",
    about: "Will it be repaired, how much, and by when; two rules side by side",
    words: &[
        "repair",
        "repairs",
        "repairing",
        "repaired",
        "mend",
        "mends",
        "mending",
        "fix",
        "fixes",
        "fixing",
        "restore",
        "heal",
        "heals",
    ],
    options: &[
        Opt::new("needs", Kind::Needs, "What the repair roll needs, such as 5+; a second one is compared")
            .cues(&["need", "needing"])
            .required("What is mended? Name a unit, or what the repair roll needs, like 5+.")
            .bare()
            .many(),
        Opt::new("missing", Kind::Number, "How many points are missing")
            .cues(&["gone", "lost", "damaged", "hurt", "missed"])
            .required("How many points are missing, and of how many? Say it like 2 of 5 gone.")
            .bare(),
        Opt::new("capacity", Kind::Number, "How many points it has when whole")
            .cues(&["structure", "health", "hull"])
            .bare(),
        Opt::new("turns", Kind::Number, "Over how many turns").cues(&["turn", "round"]).bare(),
        Opt::new("left", Kind::Number, "How many points are left").cues(&["remaining"]),
        Opt::new("unit", Kind::Name(NameKind::Unit), "A unit of the pack, with its own repair roll"),
        Opt::new("near", Kind::Name(NameKind::Unit), "A unit nearby").cues(&["beside", "alongside"]),
        Opt::new("want", Kind::Times, "How many points are to come back")
            .cues(&["point", "times", "back", "restored"])
            .bare(),
        Opt::new("modifier", Kind::Modifier, "Added to the roll").bare(),
        Opt::new("reroll", Kind::Reroll, "What is rolled again"),
        Opt::new("restores", Kind::Amount, "What a success restores").cues(&["restore", "mending"]),
        Opt::new("incoming", Kind::Amount, "Points lost each turn").cues(&[
            "taking",
            "losing",
            "loses",
            "suffering",
            "fire",
        ]),
        Opt::new(
            "rolls",
            Kind::Choice(&[("each_missing", &["each missing", "per point", "each point", "every point", "for each"])]),
            "One roll a turn, or one for each missing point",
        ),
        Opt::new(
            "order",
            Kind::Choice(&[("repair_first", &["repair first", "repairs first"]), ("damage_first", &["damage first"])]),
            "What comes first in a turn",
        ),
    ],
    shares: &[
        Share { cues: &["left", "remaining", "standing"], part: "left", whole: "capacity" },
        Share { cues: &[], part: "missing", whole: "capacity" },
    ],
    examples: &[
        "/repair 5+ or 6+, 2 of 5 gone, 3 turns",
        "/repair 6+ 1 missing",
        "/repair 5+ 3 of 4 left, losing 1 a turn",
    ],
    path: Some("/v1/repair"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let (question, told) = question(&asked).await?;
    let answer: RepairOutcome = asked.api.ask("/v1/repair", &question).await?;
    let said = asked.read.has("turns") || asked.before.as_ref().is_some_and(|before| before.turns().is_some());
    Ok(card(&asked, question, &answer, (said, &told)).ok_or(Trouble::InvalidResponse)?)
}

/// What is told of a repair beside its numbers.
#[derive(Clone, Debug, Default)]
pub(super) struct Told {
    /// What is missing was not said.
    assumed: bool,
    /// Other rules that made the unit's roll what it is.
    with: Vec<String>,
}

/// Turns of a repair where nothing is said of them.
pub(super) const USUAL: u64 = 6;

pub(super) async fn question(asked: &Asked<'_>) -> Result<(Json, Told), Halt> {
    let mut question = asked.question();
    let mut told = Told::default();
    if let Some(unit) = asked.read.name("unit") {
        (question, told.with) = super::unit::repair_of(asked, &unit.id).await?;
        told.assumed = !["missing", "left", "want"].iter().any(|option| asked.read.has(option));
    }
    for option in ["capacity", "missing", "turns", "modifier", "reroll", "restores", "rolls", "order"] {
        asked.put(&mut question, option, &format!("/{option}"));
    }
    let mut needs = asked.read.all("needs").map(|arg| arg.value.json());
    if let Some(first) = needs.next() {
        set(&mut question, "/needs", first);
        let others: Vec<Json> = needs.map(|needs| json!({"needs": needs})).collect();
        if !others.is_empty() {
            set(&mut question, "/compare", Json::Array(others));
        }
    }
    asked.need(&question, "needs", "/needs")?;
    if let (Some(left), Some(capacity)) = (asked.read.number("left"), question.capacity()) {
        set(&mut question, "/missing", json!(capacity.saturating_sub(left)));
    }
    if let Some(want) = asked.read.number("want").filter(|_| question.missing().is_none()) {
        set(&mut question, "/missing", json!(want));
        told.assumed = true;
    }
    asked.need(&question, "missing", "/missing")?;
    if let Some(crate::typing::Value::Dice(points)) = asked.read.given("incoming") {
        set(&mut question, "/incoming", json!(points));
    }
    if asked.die() != 6 && question.die().is_none() {
        set(&mut question, "/die", json!(asked.die()));
    }
    if question.capacity().is_none() {
        if question.incoming().is_said() {
            return Err(Halt::missing("capacity", "How many points does it have when whole? Say it like 2 of 5 gone."));
        }
        // Without damage it is never destroyed, so that any capacity above what is missing gives the same answer.
        let missing = question.missing().unwrap_or(1);
        set(&mut question, "/capacity", json!(missing + 1));
    }
    Ok((question, told))
}

fn card(asked: &Asked<'_>, question: Json, answer: &RepairOutcome, (said, told): (bool, &Told)) -> Option<Card> {
    let want = asked.read.number("want").unwrap_or(1).max(1);
    let turns = answer.turns.len();
    let by = if turns == 1 { "in one turn".to_owned() } else { format!("within {turns} turns") };
    let last = answer.turns.last()?;
    let needs = question.need().unwrap_or_default().to_owned();
    let mut card = Card { read_as: reading(&question, said.then_some(turns), told), ..Card::default() };
    let missing = question.missing().unwrap_or(0);
    let missing_open = told.assumed.then(|| how_many_missing(&question));
    let turns_open = (!said).then(|| count(turns as u64, "turn", "turns"));
    let order_open = question.incoming().is_said() && question.order().is_none();
    let order_open = order_open.then(|| "damage before the repair".to_owned());
    let open: Vec<String> = missing_open.into_iter().chain(turns_open).chain(order_open).collect();
    if !open.is_empty() {
        card.read_as.push_str(&format!(" \u{b7} assumed: {}", open.join(", ")));
    }
    let whose = Whose::of(asked, &question);
    let back = match want {
        _ if missing == 1 && want == 1 => format!("{} missing {}", whose.its, whose.point(1)),
        1 => format!("at least one {}", whose.point(1)),
        want => format!("at least {want} {}", whose.point(want)),
    };
    let compared: Vec<(String, &RepairOutcome)> = compared(&question, answer);
    let fire = question.incoming().is_said();
    card.headline = if compared.is_empty() {
        let stands = if fire {
            format!("; it survives that long {} of the time", percent(unproven(last.alive)))
        } else {
            String::new()
        };
        let get = verb("get", whose.many);
        // How many come back is asked for by a number, whether any by a chance.
        let much = asks_how_many(asked.text) && missing > 1 && !fire && !asked.read.has("want");
        let average = mean_of(last.restored.expected, missing, last.restored.is_sure());
        let point = whose.point(missing);
        if much {
            let all = match last.restored.at_least(missing) {
                none if none <= 0.0 => "but never all of them".to_owned(),
                all => format!("and all of them {}", often(all)),
            };
            format!(
                "{} {get} {average} of {} {missing} missing {point} back {by} on average, {all}.",
                whose.name, whose.its
            )
        } else {
            let most = if missing > 1 && want == 1 && !fire {
                format!("; {average} of {} {missing} missing {point} on average", whose.its)
            } else {
                String::new()
            };
            format!("{} {get} {back} back {by} {}{most}{stands}.", whose.name, often(last.restored.at_least(want)))
        }
    } else {
        let reached = |of: &RepairOutcome| of.turns.last().map_or(0.0, |turn| turn.restored.at_least(want));
        let all: Vec<f64> =
            std::iter::once(reached(answer)).chain(compared.iter().map(|(_, other)| reached(other))).collect();
        let said = apart(&all);
        let mut sides = vec![format!("On {needs} it gets {back} back {by} {} of the time", said[0])];
        sides.extend(compared.iter().zip(&said[1..]).map(|((name, _), said)| format!("on {name} {said} of the time")));
        format!("{}.", sides.join("; "))
    };
    let all =
        std::iter::once((needs.clone(), answer)).chain(compared.iter().map(|(name, other)| (name.clone(), *other)));
    for (name, one) in all {
        let fraction = equal_to(Some(&one.fraction));
        let chance = proven(one.chance, Some(&one.fraction));
        card.line(format!("one roll on {name}"), format!("{}{fraction}", percent(chance)));
        let back = one.turns.last().map_or(0.0, |turn| turn.restored.expected);
        card.line(format!("{} back", whose.point(2)), format!("{} on average", mean(back)));
        let capacity = question.capacity().unwrap_or(0);
        if fire {
            card.line("still alive", percent(unproven(1.0 - one.destroyed.chance)));
        }
        let several = if compared.is_empty() { "" } else { name.as_str() };
        card.steps.extend(one.turns.iter().map(|turn| step(several, turn, (fire, capacity, missing))));
    }
    card.chart = Some(Chart::of(format!("{} back", whose.point(2)), &last.restored, |points| points >= want));
    card.follow_up("one more turn", format!("what about {} turns", turns + 1));
    if compared.is_empty() {
        card.follow_up("re-roll failures", "what about rerolling failures");
    }
    card.link = Some(Link::new("/v1/repair", question));
    Some(card)
}

fn compared<'a>(question: &Json, answer: &'a RepairOutcome) -> Vec<(String, &'a RepairOutcome)> {
    let names = question.compare().iter().map(|partial| partial.need().unwrap_or("the other").to_owned());
    names.zip(answer.compared.iter().flatten()).collect()
}

/// Who mends, and what comes back, in the words of the pack.
struct Whose {
    name: String,
    its: &'static str,
    many: bool,
    words: (String, String),
}

impl Whose {
    fn of(asked: &Asked<'_>, question: &Json) -> Self {
        let label = question.label().and_then(|label| label.split(" (").next());
        let unit = label.and_then(|label| asked.index?.unit_called(label));
        let many = unit.is_some_and(UnitHead::counts_as_many);
        let name = label.map_or_else(|| "It".to_owned(), |label| format!("The {label}"));
        let said = |word: &str| asked.index.and_then(|index| index.labels.get(word)).cloned();
        let words = match unit.map(|unit| if unit.armoured { "structure" } else { "health" }) {
            None => ("point".to_owned(), "points".to_owned()),
            Some(word) => match said(word) {
                // A club that counts its structure has no points of it.
                Some(own) => (own.strip_suffix('s').unwrap_or(&own).to_owned(), own),
                None => (format!("point of {word}"), format!("points of {word}")),
            },
        };
        Self { name, its: if many { "their" } else { "its" }, many, words }
    }

    /// What so many of what is missing are called.
    fn point(&self, number: u64) -> &str {
        if number == 1 { &self.words.0 } else { &self.words.1 }
    }
}

/// `how many come back`, `how much of it`
fn asks_how_many(text: &str) -> bool {
    let words = name_words(text);
    words.windows(2).any(|pair| pair[0] == "how" && ["many", "much"].contains(&pair[1].as_str()))
}

/// One turn; `needs` says whose, where several are compared.
fn step(needs: &str, turn: &RepairTurnRow, (fire, capacity, missing): (bool, u64, u64)) -> Step {
    let whose = if needs.is_empty() { String::new() } else { format!("{needs}, ") };
    let any = percent(turn.restored.at_least(1));
    let mut text = if missing == 1 && !fire {
        format!("back by then {any}")
    } else {
        format!(
            "at least one back by then {any}; on average {} back and {} missing",
            mean(turn.restored.expected),
            mean(turn.missing.expected),
        )
    };
    if fire {
        // Where no more than what is left can be missing, it is alive.
        let safe = turn.missing.highest() < capacity;
        text.push_str(&format!(", still alive {}", percent(if safe { 1.0 } else { unproven(turn.alive) })));
    }
    Step { name: format!("{whose}turn {}", turn.turn), text, ..Step::default() }
}

/// `3 of 5 missing`. How many it has when whole may not have been said, and then makes no difference: one more than what is
/// missing stands for it.
fn how_many_missing(question: &Json) -> String {
    let (missing, whole) = (question.missing().unwrap_or(0), question.capacity().unwrap_or(0));
    let open = whole == missing + 1 && !question.incoming().is_said() && question.label().is_none();
    if open { format!("{missing} missing") } else { format!("{missing} of {whole} missing") }
}

/// All that was read, in canonical words; the turns where they were said.
pub(super) fn described(question: &Json, turns: Option<usize>) -> String {
    reading(question, turns, &Told::default())
}

fn reading(question: &Json, turns: Option<usize>, told: &Told) -> String {
    let mut parts = vec![question.need().unwrap_or_default().to_owned()];
    for partial in question.compare() {
        parts.push(format!("or {}", partial.need().unwrap_or_default()));
    }
    let die = question.die().filter(|die| *die != 6).map(|die| format!("on d{die}"));
    parts.extend(die);
    let mut parts = vec![parts.join(" ")];
    if let Some(whose) = question.label() {
        // `Tread Hauler (Thaw gang with Hot irons)`
        let with = if told.with.is_empty() { String::new() } else { format!(" with {}", listed(&told.with)) };
        parts.insert(
            0,
            match whose.strip_suffix(')') {
                Some(whose) => format!("{whose}{with})"),
                None => format!("{whose}{with}"),
            },
        );
    }
    if let Some(rolls) = question.rolls().as_u64().filter(|rolls| *rolls > 1) {
        parts.push(format!("{} tries a turn", small(rolls)));
    }
    if !told.assumed {
        parts.push(how_many_missing(question));
    }
    parts.extend(turns.map(|turns| count(turns as u64, "turn", "turns")));
    if let Some(modifier) = question.modifier().filter(|modifier| *modifier != 0) {
        parts.push(format!("{modifier:+}"));
    }
    if let Some(what) = question.reroll().filter(|what| *what != "none") {
        parts.push(reroll(what, question.need()).to_owned());
    }
    if *question.rolls() == json!("each_missing") {
        parts.push("a roll for each missing point".into());
    }
    if let Some(restores) = question.restores().said().filter(|restores| **restores != json!(1)) {
        parts.push(format!("restoring {}", restores.words()));
    }
    if question.incoming().is_said() {
        parts.push("under fire".to_owned());
    }
    match question.order() {
        Some("repair_first") => parts.push("repair first".to_owned()),
        Some(_) => parts.push("damage first".to_owned()),
        None => {}
    }
    parts.join(", ")
}
