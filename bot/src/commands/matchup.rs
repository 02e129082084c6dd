//! `/matchup`: this unit, so many, against that one, from that arc, at that range.
use super::asked::{Asked, Halt};
use super::changed::compared;
use super::definition::{Answering, Command, Kind, Opt};
use super::volley::{Attack, attack_card};
use super::who::Who;
use crate::card::Card;
use crate::client::index::{NameKind, PackIndex};
use crate::client::{Problem, Trouble};
use crate::draft::{Draft, NOTHING, retain, set, swap, unset};
use crate::link::Link;
use crate::saying::{mean, place, plural, sentence};
use crate::typing::{Side, Value, sides::POINTING};
use pipwright_shared::wire::matchup::MatchupAnswer;
use serde_json::{Value as Json, json};

mod notes;
mod wish;
pub(super) use notes::assume;
use notes::{follow_ups, notes, replaced};
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
    let mut first = asked.api.ask::<MatchupAnswer>("/v1/matchup", &usual(&question)).await;
    if let Err(Trouble::Refused(problem)) = &first
        && let Some(other) = options_as_rules(names, &question, problem)
    {
        question = other;
        first = asked.api.ask("/v1/matchup", &usual(&question)).await;
    }
    let usual = first?;
    if without_change(&question).is_none() {
        let wish = wished(&asked, &question, &usual)?;
        let replaced = replaced(&asked, question.attacker()).await;
        let mut card = card(names, question, &usual);
        card.notes.splice(0..0, replaced);
        tell_wish(&mut card, wish, names);
        return Ok(card);
    }
    let answer: MatchupAnswer = asked.api.ask("/v1/matchup", &question).await?;
    let compared = compared(names, &question, &answer, &usual);
    let mut card = card(names, question, &answer);
    card.headline = format!("{} {compared}", card.headline);
    Ok(card)
}

/// `with lantern screen`: where the unit has no option of that name, the rule is meant that is called so.
fn options_as_rules(names: &PackIndex, question: &Json, problem: &Problem) -> Option<Json> {
    let mut question = question.clone();
    let mut with: Vec<Json> = question.with().to_vec();
    let before = with.len();
    for seat in ["attacker", "target"].into_iter().filter(|seat| problem.is_at(&format!("/{seat}/options"))) {
        let options = question.part(seat).options().to_vec();
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
    if !question.pack().is_said() {
        set(&mut question, "/pack", json!(names.id));
    }
    seat(asked, &mut question);
    if asked.read.has("swap") && question.attacker().is_said() {
        swap(&mut question, "/attacker", "/target");
        for gone in ["/attacker/left", "/attacker/hurt", "/situation/arc"] {
            unset(&mut question, gone);
        }
    }
    asked.put(&mut question, "attackers", "/attacker/models");
    let models = question.attacker().models();
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
    if let Some(Value::Choice(moved)) = asked.read.given("moved") {
        set(&mut question, "/situation/moved", json!(*moved == "moved"));
    }
    for state in ["left", "hurt"] {
        asked.put(&mut question, state, &format!("/target/{state}"));
    }
    for (option, other) in [("with", "without"), ("without", "with")] {
        let rules: Vec<Json> = asked.read.all(option).map(|arg| arg.value.json()).collect();
        if !rules.is_empty() {
            retain(&mut question, &format!("/{other}"), |rule| !rules.contains(rule));
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
        let Some(Value::Side(side)) = asked.read.given(seat) else { continue };
        let other = if seat == "attacker" { "target" } else { "attacker" };
        let alone = !asked.read.has(other);
        let seat = if alone && *question.part(other).unit() == json!(side.unit.id) { other } else { seat };
        put_side(question, seat, side);
    }
}

/// A side by itself.
pub(super) fn side_form(side: &Side) -> Json {
    let mut form = json!({});
    put_side(&mut form, "side", side);
    form.part("side").clone()
}

/// Puts a side at its place in a question; a unit that is there already keeps what it has.
pub(super) fn put_side(question: &mut Json, seat: &str, side: &Side) {
    let same = *question.part(seat).unit() == json!(side.unit.id);
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
    Who::of(names, question.target()).name
}

fn card(names: &PackIndex, question: Json, answer: &MatchupAnswer) -> Card {
    let (who, whom) = Who::of(names, question.attacker()).against(Who::of(names, question.target()));
    let whom = whom.name;
    let crew = names.unit(question.target().unit_id().unwrap_or_default()).filter(|unit| unit.is_counted_whole());
    let crew_of = crew.map(|unit| names.counting(unit).words.1);
    let attack = Attack {
        who: &who,
        whom: &whom,
        chain: &answer.chain,
        written: NOTHING,
        rules: &answer.rules,
        counts_through: false,
        crew_of,
    };
    let mut card = attack_card(&attack, &answer.odds);
    card.read_as = described(names, &question);
    let spent = &answer.points;
    card.line("points", format!("{} spent, {} destroyed on average", spent.cost, mean(spent.removed)));
    notes(&mut card, answer);
    follow_ups(&mut card, names, &question);
    card.in_words_of(&names.labels);
    card.link = Some(Link::new("/v1/matchup", question));
    card
}

/// A side as it was said, in digits: `3 Ram Barges`, `2 Rack Crews (6 models)`, `Heron Carriage`.
pub(super) fn counted(names: &PackIndex, side: &Json) -> String {
    let name = unit_name(names, side.unit());
    let models = side.models().and_then(|models| u32::try_from(models).ok());
    match (models, names.unit(side.unit_id().unwrap_or_default())) {
        (Some(models), Some(unit)) => names.counting(unit).in_full(models),
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
    let text = id.words();
    names.names(kind).into_iter().find(|(known, _)| *known == text).map_or(text, |(_, name)| name.to_lowercase())
}

/// An option of a unit as the book writes it, with its number where it is taken in numbers: `Rocket rack`, `2 Walrus rifles`.
pub(super) fn option_name(names: &PackIndex, unit: &Json, option: &Json) -> String {
    let said = option.as_str().unwrap_or_default();
    let (number, id) = match said.split_once(' ').and_then(|(number, id)| Some((number.parse::<u64>().ok()?, id))) {
        Some((number, id)) => (Some(number), id),
        None => (None, said),
    };
    let own = names.unit(unit.as_str().unwrap_or_default());
    let own = own.and_then(|unit| unit.options.iter().find(|option| option.id == id));
    let name = own.map_or_else(|| sentence(&named(names, NameKind::Extra, &json!(id))), |own| own.name.clone());
    // What is taken in numbers is one where no number was said.
    match number.or(own.filter(|own| own.counted).map(|_| 1)) {
        None => name,
        Some(1) => format!("1 {name}"),
        Some(number) => format!("{number} {}", plural(&name)),
    }
}

/// A range band by its name, or a distance: `at 30"`.
pub(super) fn range(names: &PackIndex, band: &Json) -> String {
    match band.as_u64() {
        Some(distance) => format!("at {distance}\""),
        None => named(names, NameKind::Range, band),
    }
}

pub(super) fn described(names: &PackIndex, question: &Json) -> String {
    let side = |seat: &str| {
        let side = question.part(seat);
        let mut words = counted(names, side);
        for option in side.options() {
            words.push_str(&format!(" + {}", option_name(names, side.unit(), option)));
        }
        for near in side.near() {
            words.push_str(&format!(" near the {}", unit_name(names, near)));
        }
        for weapon in side.part("weapons").texts() {
            let known = names.weapons.iter().find(|known| known.id == weapon);
            words.push_str(&format!(", {} only", known.map_or(weapon, |known| &known.name)));
        }
        words
    };
    let mut parts = vec![format!("{} v {}", side("attacker"), side("target"))];
    let situation = question.situation();
    parts.extend(situation.arc().said().map(|arc| named(names, NameKind::Arc, arc)));
    parts.extend(situation.range().said().map(|band| range(names, band)));
    parts.extend(situation.cover().said().map(|cover| place(&named(names, NameKind::Cover, cover))));
    match situation.part("moved").as_bool() {
        Some(true) => parts.push("moved".into()),
        Some(false) => parts.push("not moved".into()),
        None => {}
    }
    for flag in names.situation.iter().filter(|flag| flag.id != "moved") {
        if *situation.part(&flag.id) == json!(true) {
            parts.push(flag.name.to_lowercase());
        }
    }
    for (state, words) in [("left", "left"), ("hurt", "lost already")] {
        if let Some(points) = question.target().part(state).as_u64() {
            parts.push(format!("{points} {words}"));
        }
    }
    for option in ["with", "without"] {
        for rule in question.part(option).items() {
            parts.push(format!("{option} {}", named(names, NameKind::Rule, rule)));
        }
    }
    parts.join(", ")
}
