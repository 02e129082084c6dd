//! `/matchup`: this unit, so many, against that one, from that arc, at that range.
use super::asked::{Asked, Halt, set, unset};
use super::changed::compared;
use super::definition::{Answering, Command, Kind, Opt};
use super::volley::{Attack, attack_card};
use super::who::Who;
use crate::card::{Card, Step};
use crate::client::answers::{OddsAnswer, Points, RuleNote, Stated, UnusedWeapon};
use crate::client::index::{NameKind, PackIndex};
use crate::client::{Problem, Trouble};
use crate::link::Link;
use crate::saying::{ELSEWHERE, full_stop, mean, place};
use crate::typing::{Side, Value, sides::POINTING};
use serde_json::{Value as Json, json};

mod wish;
use wish::{tell_wish, wished};

/// The definition.
pub const MATCHUP: Command = Command {
    name: "matchup",
    about: "One unit attacks another, from an arc, at a range: what happens?",
    words: POINTING,
    options: &[
        Opt::new("attacker", Kind::Side, "Who attacks: how many, which unit, and what it carries")
            .required("Who attacks? Say it like 3 and the unit's name."),
        Opt::new("target", Kind::Side, "Who is attacked").required("Who is attacked? Name the unit."),
        Opt::new("arc", Kind::Name(NameKind::Arc), "The side of the target that is hit"),
        Opt::new("range", Kind::Name(NameKind::Range), "The range band"),
        Opt::new("distance", Kind::Distance, "The distance, in place of a range band")
            .cues(&["away", "range", "inches"])
            .bare(),
        Opt::new("cover", Kind::Name(NameKind::Cover), "What the target stands behind"),
        Opt::new("situation", Kind::Name(NameKind::Situation), "Anything else about the table").many(),
        Opt::new(
            "moved",
            Kind::Choice(&[
                ("moved", &["moved", "moving", "on the move", "after moving", "has moved"]),
                ("still", &["stood still", "not moved", "standing still", "stationary", "has not moved", "didnt move"]),
            ]),
            "Whether the attacker moved",
        ),
        Opt::new("left", Kind::Number, "How much of the target is left").cues(&[
            "remaining",
            "standing",
            "structure",
            "health",
        ]),
        Opt::new("hurt", Kind::Number, "What the target has already lost")
            .cues(&["missing", "gone", "lost", "damaged"]),
        Opt::new("with", Kind::Name(NameKind::Rule), "A rule to add").many(),
        Opt::new("without", Kind::Name(NameKind::Rule), "A rule to leave out")
            .cues(&["no", "ignoring", "minus"])
            .many(),
        Opt::new(
            "swap",
            Kind::Flag(&["swap", "swap sides", "swapped", "other way round", "other way around", "reversed"]),
            "Swap the two sides",
        ),
        Opt::new("attackers", Kind::Number, "How many attack").cues(&["them"]),
        Opt::new("more", Kind::Flag(&["one more", "another", "one more attacker"]), "One more attacker"),
        Opt::new("fewer", Kind::Flag(&["one fewer", "one less", "one fewer attacker"]), "One attacker fewer"),
    ],
    shares: &[],
    examples: &[],
    path: Some("/v1/matchup"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let mut question = question(&asked)?;
    let names = asked.names()?;
    let usual = |question: &Json| without_change(question).unwrap_or_else(|| question.clone());
    let mut first = asked.api.ask::<OddsAnswer>("/v1/matchup", &usual(&question)).await;
    if let Err(Trouble::Refused(problem)) = &first
        && let Some(other) = options_as_rules(names, &question, problem)
    {
        question = other;
        first = asked.api.ask("/v1/matchup", &usual(&question)).await;
    }
    let usual = first?;
    if without_change(&question).is_none() {
        let wish = wished(&asked, &question, &usual)?;
        let mut card = card(names, question, &usual);
        tell_wish(&mut card, wish, names);
        return Ok(card);
    }
    let answer: OddsAnswer = asked.api.ask("/v1/matchup", &question).await?;
    let compared = compared(names, &question, &answer, &usual);
    let mut card = card(names, question, &answer);
    card.headline = format!("{} {compared}", card.headline);
    Ok(card)
}

/// `with lantern screen`: where the unit has no option of that name, the rule is meant that is called so.
fn options_as_rules(names: &PackIndex, question: &Json, problem: &Problem) -> Option<Json> {
    let mut question = question.clone();
    let mut with: Vec<Json> = question["with"].as_array().cloned().unwrap_or_default();
    let before = with.len();
    for seat in ["attacker", "target"].into_iter().filter(|seat| problem.is_at(&format!("/{seat}/options"))) {
        let options = question[seat]["options"].as_array().cloned().unwrap_or_default();
        let rule = |option: &Json| {
            let option = names.options.iter().find(|known| option == known.id.as_str())?;
            names.rules.iter().find(|rule| rule.name.eq_ignore_ascii_case(&option.name))
        };
        let (rules, kept): (Vec<Json>, Vec<Json>) = options.into_iter().partition(|option| rule(option).is_some());
        with.extend(rules.iter().filter_map(rule).map(|rule| json!(rule.id)));
        if kept.is_empty() {
            unset(&mut question[seat], "options");
        } else {
            set(&mut question, &format!("/{seat}/options"), Json::Array(kept));
        }
    }
    let moved = with.len() > before;
    set(&mut question, "/with", Json::Array(with));
    moved.then_some(question)
}

/// The same question with no rule put in or left out; nothing where none is.
fn without_change(question: &Json) -> Option<Json> {
    let mut usual = question.clone();
    let members = usual.as_object_mut()?;
    let removed = [members.remove("with"), members.remove("without")];
    removed.iter().any(Option::is_some).then_some(usual)
}

pub(super) fn question(asked: &Asked<'_>) -> Result<Json, Halt> {
    let names = asked.names()?;
    let mut question = asked.question();
    if question.get("pack").is_none() {
        set(&mut question, "/pack", json!(names.id));
    }
    seat(asked, &mut question);
    if asked.read.has("swap") && question.get("attacker").is_some() {
        let target = question["target"].take();
        question["target"] = question["attacker"].take();
        question["attacker"] = target;
        for state in ["left", "hurt"] {
            unset(&mut question["attacker"], state);
        }
        if let Some(table) = question.get_mut("situation") {
            unset(table, "arc");
        }
    }
    asked.put(&mut question, "attackers", "/attacker/models");
    let models = question["attacker"]["models"].as_u64();
    if asked.read.has("more") {
        set(&mut question, "/attacker/models", json!(models.unwrap_or(1) + 1));
    } else if asked.read.has("fewer") {
        set(&mut question, "/attacker/models", json!(models.unwrap_or(1).saturating_sub(1).max(1)));
    }
    asked.need(&question, "target", "/target/unit")?;
    asked.need(&question, "attacker", "/attacker/unit")?;
    for option in ["arc", "range", "cover"] {
        asked.put(&mut question, option, &format!("/situation/{option}"));
    }
    asked.put(&mut question, "distance", "/situation/range");
    for arg in asked.read.all("situation") {
        if let Value::Name(name) = &arg.value {
            set(&mut question, &format!("/situation/{}", name.id), json!(true));
        }
    }
    if let Some(Value::Choice(moved)) = asked.read.get("moved") {
        set(&mut question, "/situation/moved", json!(*moved == "moved"));
    }
    for state in ["left", "hurt"] {
        asked.put(&mut question, state, &format!("/target/{state}"));
    }
    for (option, other) in [("with", "without"), ("without", "with")] {
        let rules: Vec<Json> = asked.read.all(option).map(|arg| arg.value.json()).collect();
        if !rules.is_empty() {
            if let Some(others) = question.get_mut(other).and_then(Json::as_array_mut) {
                others.retain(|rule| !rules.contains(rule));
            }
            set(&mut question, &format!("/{option}"), Json::Array(rules));
        }
    }
    if let Some(inline) = asked.inline {
        inline.put(&mut question);
    }
    Ok(question)
}

/// The units take their seats. Where a question is asked again, a unit that plays already keeps its seat.
fn seat(asked: &Asked<'_>, question: &mut Json) {
    for seat in ["attacker", "target"] {
        let Some(Value::Side(side)) = asked.read.get(seat) else { continue };
        let other = if seat == "attacker" { "target" } else { "attacker" };
        let alone = !asked.read.has(other);
        let seat = if alone && question[other]["unit"] == json!(side.unit.id) { other } else { seat };
        put_side(question, seat, side);
    }
}

/// Puts a side at its place in a question; a unit that is there already keeps what it has.
pub(super) fn put_side(question: &mut Json, seat: &str, side: &Side) {
    let same = question[seat]["unit"] == json!(side.unit.id);
    if !same {
        set(question, &format!("/{seat}"), json!({}));
    }
    set(question, &format!("/{seat}/unit"), json!(side.unit.id));
    if let Some(models) = side.models {
        set(question, &format!("/{seat}/models"), json!(models));
    }
    if !side.extras.is_empty() {
        let options: Vec<&str> = side.extras.iter().map(|extra| extra.id.as_str()).collect();
        set(question, &format!("/{seat}/options"), json!(options));
    }
    if !side.near.is_empty() {
        let near: Vec<&str> = side.near.iter().map(|near| near.id.as_str()).collect();
        set(question, &format!("/{seat}/near"), json!(near));
    }
}

/// Who is attacked: `the Heron Carriage`, `ten Dyke Hands`.
pub(super) fn whom(names: &PackIndex, question: &Json) -> String {
    Who::of(names, &question["target"]).name
}

fn card(names: &PackIndex, question: Json, answer: &OddsAnswer) -> Card {
    let (who, whom) = Who::of(names, &question["attacker"]).against(Who::of(names, &question["target"]));
    let whom = whom.name;
    let crew =
        names.unit(question["target"]["unit"].as_str().unwrap_or_default()).filter(|unit| unit.is_counted_whole());
    let crew_of = crew.map(|unit| unit.counting(names).words.1);
    let attack = Attack { who: &who, whom: &whom, chain: &answer.chain, counts_through: false, crew_of };
    let mut card = attack_card(&attack, answer);
    card.read_as = described(names, &question);
    if let Some(spent) = &answer.points {
        points(&mut card, spent);
    }
    notes(&mut card, answer);
    follow_ups(&mut card, names, &question);
    card.in_words_of(&names.labels);
    card.link = Some(Link::new("/v1/matchup", question));
    card
}

/// A side as it was said, in digits: `3 Ram Barges`, `2 Rack Crews (6 models)`, `Heron Carriage`.
pub(super) fn counted(names: &PackIndex, side: &Json) -> String {
    let name = unit_name(names, &side["unit"]);
    let models = side["models"].as_u64().and_then(|models| u32::try_from(models).ok());
    match (models, names.unit(side["unit"].as_str().unwrap_or_default())) {
        (Some(models), Some(unit)) => unit.counting(names).in_full(models),
        (Some(models), None) => format!("{models} {name}"),
        (None, _) => name,
    }
}

pub(super) fn unit_name(names: &PackIndex, id: &Json) -> String {
    let id = id.as_str().unwrap_or_default();
    names.units.iter().find(|unit| unit.id == id).map_or_else(|| id.to_owned(), |unit| unit.name.clone())
}

/// What people call something of the pack, in lower case.
pub(super) fn named(names: &PackIndex, kind: NameKind, id: &Json) -> String {
    let text = id.as_str().map_or_else(|| id.to_string(), str::to_owned);
    names.names(kind).into_iter().find(|(known, _)| *known == text).map_or(text, |(_, name)| name.to_lowercase())
}

pub(super) fn described(names: &PackIndex, question: &Json) -> String {
    let side = |seat: &str| {
        let mut words = counted(names, &question[seat]);
        let unit = names.unit(question[seat]["unit"].as_str().unwrap_or_default());
        for option in question[seat]["options"].as_array().into_iter().flatten() {
            // What is taken in numbers is one where no number was said.
            let counted =
                unit.is_some_and(|unit| unit.options.iter().any(|own| own.counted && option == own.id.as_str()));
            let one = if counted { "1 " } else { "" };
            words.push_str(&format!(" + {one}{}", named(names, NameKind::Extra, option)));
        }
        for near in question[seat]["near"].as_array().into_iter().flatten() {
            words.push_str(&format!(" near the {}", unit_name(names, near)));
        }
        for weapon in question[seat]["weapons"].as_array().into_iter().flatten().filter_map(Json::as_str) {
            let known = names.weapons.iter().find(|known| known.id == weapon);
            words.push_str(&format!(", {} only", known.map_or(weapon, |known| &known.name)));
        }
        words
    };
    let mut parts = vec![format!("{} v {}", side("attacker"), side("target"))];
    let situation = &question["situation"];
    for (key, kind) in [("arc", NameKind::Arc), ("range", NameKind::Range), ("cover", NameKind::Cover)] {
        if let Some(word) = situation.get(key) {
            let word = named(names, kind, word);
            parts.push(if key == "cover" { place(&word) } else { word });
        }
    }
    match situation["moved"].as_bool() {
        Some(true) => parts.push("moved".into()),
        Some(false) => parts.push("not moved".into()),
        None => {}
    }
    for flag in names.situation.iter().filter(|flag| flag.id != "moved") {
        if situation[flag.id.as_str()] == json!(true) {
            parts.push(flag.name.to_lowercase());
        }
    }
    for (state, words) in [("left", "left"), ("hurt", "lost already")] {
        if let Some(points) = question["target"][state].as_u64() {
            parts.push(format!("{points} {words}"));
        }
    }
    for option in ["with", "without"] {
        for rule in question[option].as_array().into_iter().flatten() {
            parts.push(format!("{option} {}", named(names, NameKind::Rule, rule)));
        }
    }
    parts.join(", ")
}

fn points(card: &mut Card, points: &Points) {
    card.line("points", format!("{} spent, {} destroyed on average", points.cost, mean(points.removed)));
}

/// What the card is to say beside the numbers: what was left open, what is not used, which rules did nothing.
fn notes(card: &mut Card, answer: &OddsAnswer) {
    assume(card, &answer.defaults);
    let mut aside: Vec<String> = Vec::new();
    // A rule that only keeps a weapon from being used is told with the weapon.
    let numbers = answer.chain.to_string();
    let counts = |note: &&RuleNote| {
        let silences = answer.unused_weapons.iter().any(|unused| unused.why.contains(&note.rule));
        !silences || numbers.contains(&format!("\"rule\":\"{}\"", note.id))
    };
    let acted: Vec<String> = answer.rules.acted.iter().filter(counts).map(|note| note.rule.clone()).collect();
    if !acted.is_empty() {
        card.notes.push(format!("Rules that apply: {}.", acted.join(", ")));
    }
    if !answer.unused_weapons.is_empty() {
        // What a rule says at length can be asked of the rule.
        let why = |unused: &UnusedWeapon| unused.why.split(": ").next().unwrap_or_default().to_owned();
        let unused_weapons = answer.unused_weapons.iter().map(|unused| format!("{} ({})", unused.weapon, why(unused)));
        card.notes.push(format!("Not used: {}.", unused_weapons.collect::<Vec<_>>().join(", ")));
    }
    // What works for the other side anyway is no news.
    let idle: Vec<&RuleNote> = answer.rules.did_not.iter().filter(|note| !note.why.starts_with(ELSEWHERE)).collect();
    let said = |note: &&RuleNote| full_stop(&format!("{}: {}", note.rule, note.why));
    // In one line that says what all of them have in common, so that no reason reads as what the rule does.
    let brief: Vec<String> = idle.iter().take(NOTED).map(|note| format!("{} ({})", note.rule, note.why)).collect();
    if !brief.is_empty() {
        card.notes.push(format!("Rules that don't apply: {}.", brief.join(", ")));
    }
    aside.extend(idle.iter().skip(NOTED).map(said));
    if !aside.is_empty() {
        card.steps.push(Step { name: "what does not apply".into(), text: String::new(), because: aside });
    }
}

/// Says what was taken for granted behind what was read.
pub(super) fn assume(card: &mut Card, defaults: &[Stated]) {
    let told = |text: &str| text.replacen(": ", " ", 1);
    let open: Vec<String> = (defaults.iter())
        .filter(|stated| stated.pointer != "/pack" && (!stated.text.contains(": 1 ") || stated.text.contains('(')))
        .map(|stated| assumed(&told(&stated.text), &stated.pointer))
        .collect();
    if !open.is_empty() {
        card.read_as.push_str(&format!(" \u{b7} assumed: {}", open.join(", ")));
    }
}

/// What was taken for granted, in a word or two: `near`, `not moved`.
fn assumed(text: &str, pointer: &str) -> String {
    match pointer {
        "/situation/moved" => "not moved".to_owned(),
        "/situation/range" | "/situation/arc" => text.split_once(' ').map_or(text, |(_, word)| word).to_owned(),
        "/situation/cover" => text.split_once(' ').map_or_else(|| text.to_owned(), |(_, word)| place(word)),
        _ => text.to_owned(),
    }
}

/// More notes than this are read by nobody; the others stand among the steps.
const NOTED: usize = 3;

fn follow_ups(card: &mut Card, names: &PackIndex, question: &Json) {
    let arc = question["situation"]["arc"].as_str().or_else(|| names.arcs.first().map(|arc| arc.id.as_str()));
    for other in names.arcs.iter().filter(|other| Some(other.id.as_str()) != arc).take(2) {
        card.follow_up(other.name.to_lowercase(), format!("what about from the {}", other.name.to_lowercase()));
    }
    let cover = question["situation"]["cover"].as_str().or_else(|| names.cover.first().map(|cover| cover.id.as_str()));
    if let Some(other) = names.cover.iter().find(|other| Some(other.id.as_str()) != cover) {
        card.follow_up(other.name.to_lowercase(), format!("what about {}", other.name.to_lowercase()));
    }
    let range = question["situation"].get("range").is_some();
    if let Some(other) = names.ranges.iter().rev().find(|_| !range && names.ranges.len() > 1) {
        let band = other.name.to_lowercase();
        card.follow_up(band.clone(), format!("what about {band} range"));
    }
    if question["situation"].get("moved").is_none() && names.situation.iter().any(|flag| flag.id == "moved") {
        card.follow_up("moved", "what if it moved");
    }
    card.follow_up("one more attacker", "what about one more");
    // Of two alike the other way round is the same.
    if question["attacker"] != question["target"] {
        card.follow_up("swap sides", "swap sides");
    }
}
