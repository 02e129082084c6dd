//! `/repair`: will it mend, how much, by when; two repair rules side by side.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt, Share};
use crate::card::Card;
use crate::client::index::{NameKind, name_words};
use crate::client::{Trouble, typed};
use crate::draft::{Draft, set};
use crate::link::Link;
use pipwright_shared::cards;
use pipwright_shared::wire::repair::{RepairOutcome, RepairRequest};
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
    let request: RepairRequest = typed(&question)?;
    let repair = cards::repair::Asked {
        request: &request,
        restores: question.restores().as_str(),
        want: asked.read.number("want"),
        how_many: asks_how_many(asked.text),
        turns_said: said,
        missing_open: told.assumed,
        with: &told.with,
    };
    let card = cards::repair::card(&repair, asked.index.map(|index| &**index), &answer);
    let mut card = card.ok_or(Trouble::InvalidResponse)?;
    card.link = Some(Link::new("/v1/repair", question));
    Ok(card)
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

/// `how many come back`, `how much of it`
fn asks_how_many(text: &str) -> bool {
    let words = name_words(text);
    words.windows(2).any(|pair| pair[0] == "how" && ["many", "much"].contains(&pair[1].as_str()))
}

/// All that was read, in canonical words; the turns where they were said.
///
/// # Errors
/// Where it is no repair.
pub(super) fn described(question: &Json, turns: Option<usize>) -> Result<String, Trouble> {
    let request: RepairRequest = typed(question)?;
    let repair = cards::repair::Asked {
        request: &request,
        restores: question.restores().as_str(),
        want: None,
        how_many: false,
        turns_said: turns.is_some(),
        missing_open: false,
        with: &[],
    };
    Ok(cards::repair::described(&repair, turns))
}
