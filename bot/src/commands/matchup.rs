//! `/matchup`: this unit, so many, against that one, from that arc, at that range.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::unit::unit_of;
use crate::card::Card;
use crate::client::index::{NameKind, PackIndex, name_words};
use crate::client::{Problem, Trouble, typed};
use crate::draft::{Draft, retain, set, swap, unset};
use crate::link::Link;
use crate::typing::fillers::singular;
use crate::typing::{Side, Value, sides::POINTING};
use pipwright_shared::cards::changed::compared;
pub(super) use pipwright_shared::cards::notes::assume;
use pipwright_shared::cards::notes::replaced;
use pipwright_shared::cards::wish::{tell_wish, wished};
use pipwright_shared::cards::{self, Who};
use pipwright_shared::wire::matchup::{MatchupAnswer, MatchupRequest, RangeForm, SideForm};
use pipwright_shared::wire::packs::NameForm;
use serde_json::{Value as Json, json};

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
    let mut asked_note = None;
    let names = asked.names()?;
    let usual = |question: &Json| without_change(question).unwrap_or_else(|| question.clone());
    let mut first = asked.api.ask::<MatchupAnswer>("/v1/matchup", &usual(&question)).await;
    if let Err(Trouble::Refused(problem)) = &first
        && let Some(other) = options_as_rules(names, &question, problem)
    {
        question = other;
        first = asked.api.ask("/v1/matchup", &usual(&question)).await;
    }
    let mut usual = first?;
    // `5 wardens with axes on a crab`: the weapon that is named says how near they are.
    let nearer = only_range(names, &asked, &question, &usual);
    if let Some((weapon, range)) = &nearer {
        set(&mut question, "/situation/range", json!(range.id));
        usual = asked.api.ask("/v1/matchup", &without_change(&question).unwrap_or_else(|| question.clone())).await?;
        asked_note =
            Some(format!("The {weapon} can only be used at one range, so this is for {}.", range.name.to_lowercase()));
    }
    let request: MatchupRequest = typed(&question)?;
    let mut card = if without_change(&question).is_none() {
        let wish = asked.read.number("wish").filter(|wish| *wish > 0);
        let wish = wish.and_then(|wish| wished(names, &request, &usual, wish));
        let mut card = cards::matchup::card(names, &request, &usual);
        card.notes.splice(0..0, put_down(&asked, &request.attacker).await);
        tell_wish(&mut card, wish, names);
        card
    } else {
        let answer: MatchupAnswer = asked.api.ask("/v1/matchup", &question).await?;
        let mut card = cards::matchup::card(names, &request, &answer);
        card.headline = format!("{} {}", card.headline, compared(names, &request, &answer, &usual));
        card
    };
    card.notes.splice(0..0, asked_note);
    card.link = Some(Link::new("/v1/matchup", question));
    Ok(card)
}

/// The one range at which a weapon can be used that the message names and that the answer leaves out, where no range was said.
fn only_range<'a>(
    names: &'a PackIndex,
    asked: &Asked<'_>,
    question: &Json,
    answer: &MatchupAnswer,
) -> Option<(String, &'a NameForm)> {
    if question.situation().range().is_said() {
        return None;
    }
    let said: Vec<String> = name_words(asked.text);
    let single = |word: &str| singular(word).to_owned();
    // Who is called after a weapon is named, and not the weapon.
    let units = ["attacker", "target"].map(|seat| question.part(seat).unit_id().and_then(|id| names.unit(id)));
    let of_name: Vec<String> = units.into_iter().flatten().flat_map(|unit| name_words(&unit.name)).collect();
    let said: Vec<String> =
        said.into_iter().filter(|word| !of_name.iter().any(|own| single(own) == single(word))).collect();
    answer.unused_weapons.iter().find_map(|unused| {
        let words = name_words(&unused.weapon);
        let named = words.last().is_some_and(|last| said.iter().any(|word| single(word) == single(last)));
        let label = unused.why.split(": ").next()?.strip_suffix(" only")?;
        let range = names.ranges.iter().find(|range| range.name.eq_ignore_ascii_case(label))?;
        named.then(|| (unused.weapon.to_lowercase(), range))
    })
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

/// A weapon that a whole unit puts down for an option, where the service tells of it.
async fn put_down(asked: &Asked<'_>, side: &SideForm) -> Option<String> {
    let options = side.options.as_ref()?;
    let models = side.models.unwrap_or(1).to_string();
    let query = [("options", options.join(",")), ("models", models)];
    let query: Vec<(&str, &str)> = query.iter().map(|(key, value)| (*key, value.as_str())).collect();
    let unit = unit_of(asked, &side.unit, &query).await.ok()?;
    replaced(&unit, options)
}

/// A side of a question that is put together, as far as it was said.
pub(super) fn as_side(side: &Json) -> SideForm {
    let number = |number: Option<u64>| number.and_then(|number| u32::try_from(number).ok());
    let list = |name: &str| side.part(name).said().map(|list| list.texts().map(str::to_owned).collect());
    SideForm {
        unit: side.unit_id().unwrap_or_default().to_owned(),
        models: number(side.models()),
        weapons: list("weapons"),
        options: list("options"),
        near: list("near"),
        hurt: number(side.hurt()),
        left: number(side.left()),
        statuses: list("statuses"),
    }
}

/// Who a side is, as people count it.
pub(super) fn who(names: &PackIndex, side: &Json) -> Who {
    Who::of(names, &as_side(side))
}

/// Who is attacked: `the Heron Carriage`, `ten Dyke Hands`.
pub(super) fn whom(names: &PackIndex, question: &Json) -> String {
    who(names, question.target()).name
}

/// A side as it was said, in digits: `3 Ram Barges`, `2 Rack Crews (6 models)`, `Heron Carriage`.
pub(super) fn counted(names: &PackIndex, side: &Json) -> String {
    cards::matchup::counted(names, &as_side(side))
}

/// What people call something of the pack, in lower case.
pub(super) fn named(names: &PackIndex, kind: NameKind, id: &Json) -> String {
    cards::matchup::named(names, kind, &id.words())
}

/// An option of a unit as the book writes it.
pub(super) fn option_name(names: &PackIndex, unit: &Json, option: &Json) -> String {
    cards::matchup::option_name(names, unit.as_str().unwrap_or_default(), option.as_str().unwrap_or_default())
}

/// A range band by its name, or a distance: `at 30"`.
pub(super) fn range(names: &PackIndex, band: &Json) -> String {
    let distance = band.as_u64().and_then(|distance| u32::try_from(distance).ok());
    cards::matchup::range(names, &distance.map_or_else(|| RangeForm::Band(band.words()), RangeForm::Distance))
}

/// What was asked, in canonical words.
///
/// # Errors
/// Where it is no matchup.
pub(super) fn described(names: &PackIndex, question: &Json) -> Result<String, Trouble> {
    Ok(cards::matchup::described(names, &typed(question)?))
}
