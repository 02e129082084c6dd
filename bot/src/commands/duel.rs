//! `/duel`: two units fight it out turn by turn.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::{counted, named, option_name, put_side, range, who};
use crate::card::{Bar, Card, Chart, Step};
use crate::client::Trouble;
use crate::client::index::{NameKind, PackIndex};
use crate::draft::{Draft, set, swap};
use crate::link::Link;
use crate::saying::{apart, count, mean_of, percent, place, sentence, unproven, verb};
use crate::typing::Value;
use pipwright_shared::cards::Who;
use pipwright_shared::cards::words::{Written, step_words};
use pipwright_shared::wire::duel::{DuelOutcome, DuelSide, DuelTurnRow, OneSide, SideOutcome};
use pipwright_shared::wire::matchup::Stated;
use pipwright_shared::wire::step::StepForm;
use serde_json::{Value as Json, json};

mod fighter;
use fighter::{Fighter, Reach, both_gone, headline, label, pierces, volleys};

/// The definition.
pub const DUEL: Command = Command {
    name: "duel",
    about: "Two units fight it out turn by turn: who is left, and when",
    words: &["duel", "duels", "outlast", "outlasts"],
    options: &[
        Opt::new("unit", Kind::Side, "One side: how many, which unit, and what it carries")
            .required("Who fights? Say it like 5 and the unit's name."),
        Opt::new("against", Kind::Side, "The other side").required("Against whom? Name the unit."),
        Opt::new("range", Kind::Name(NameKind::Range), "The range band of each turn; the last one continues").many(),
        Opt::new("arc", Kind::Name(NameKind::Arc), "The side that the other unit shows"),
        Opt::new("cover", Kind::Name(NameKind::Cover), "What the other unit stands behind"),
        Opt::new("situation", Kind::Name(NameKind::Situation), "Anything else about the table").many(),
        Opt::new("turns", Kind::Number, "How many turns").cues(&["turn", "rounds"]),
        Opt::new(
            "first",
            Kind::Choice(&[
                ("a", &["goes first", "going first", "we go first", "i go first"]),
                ("b", &["goes second", "going second", "they go first", "he goes first", "she goes first"]),
                ("roll", &["roll off", "roll for it", "roll for first", "whoever first"]),
                ("together", &["together", "at once", "simultaneously", "at the same time"]),
            ]),
            "Who goes first in a turn",
        ),
        Opt::new("left", Kind::Number, "How much of the other unit is left").cues(&["remaining", "standing"]),
        Opt::new("hurt", Kind::Number, "What the other unit has already lost").cues(&["missing", "lost", "damaged"]),
        Opt::new("with", Kind::Name(NameKind::Rule), "A rule to add").many(),
        Opt::new("without", Kind::Name(NameKind::Rule), "A rule to leave out").cues(&["no", "ignoring"]).many(),
        Opt::new("swap", Kind::Flag(&["swap", "swap sides", "swapped", "other way round"]), "Swap the two sides"),
    ],
    shares: &[],
    examples: &[],
    path: Some("/v1/duel"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let question = question(&asked)?;
    let answer: DuelOutcome = asked.api.ask("/v1/duel", &question).await?;
    let before = asked.before.as_ref().is_some_and(|before| before.turns().is_some());
    let said = asked.read.has("turns") || before || asked.read.all("range").count() > USUAL;
    Ok(card(asked.names()?, question, &answer, said).ok_or(Trouble::InvalidResponse)?)
}

fn question(asked: &Asked<'_>) -> Result<Json, Halt> {
    let names = asked.names()?;
    let mut question = asked.question();
    if !question.pack().is_said() {
        set(&mut question, "/pack", json!(names.id));
    }
    for (option, seat) in [("unit", "a"), ("against", "b")] {
        if let Some(Value::Side(side)) = asked.read.given(option) {
            put_side(&mut question, seat, side);
        }
    }
    if asked.read.has("swap") && question.a().is_said() {
        swap(&mut question, "/a", "/b");
    }
    asked.need(&question, "against", "/b/unit")?;
    asked.need(&question, "unit", "/a/unit")?;
    let ranges: Vec<Json> = asked.read.all("range").map(|arg| arg.value.json()).collect();
    match &ranges[..] {
        [] => {}
        [one] => set(&mut question, "/situation/range", one.clone()),
        several => set(&mut question, "/situation/range", json!(several)),
    }
    for option in ["arc", "cover"] {
        asked.put(&mut question, option, &format!("/b/situation/{option}"));
    }
    for arg in asked.read.all("situation") {
        if let Value::Name(name) = &arg.value {
            set(&mut question, &format!("/situation/{}", name.id), json!(true));
        }
    }
    asked.put(&mut question, "turns", "/turns");
    // More bands than turns were said: the duel lasts as long as they do.
    if question.turns().is_none() && ranges.len() > USUAL {
        set(&mut question, "/turns", json!(ranges.len()));
    }
    if let Some(Value::Choice(first)) = asked.read.given("first") {
        set(&mut question, "/first", json!(first));
    }
    for state in ["left", "hurt"] {
        asked.put(&mut question, state, &format!("/b/{state}"));
    }
    for option in ["with", "without"] {
        let rules: Vec<Json> = asked.read.all(option).map(|arg| arg.value.json()).collect();
        if !rules.is_empty() {
            set(&mut question, &format!("/{option}"), Json::Array(rules));
        }
    }
    Ok(question)
}

/// Turns of a duel where nothing is said of them.
const USUAL: usize = 6;

fn card(names: &PackIndex, question: Json, answer: &DuelOutcome, said: bool) -> Option<Card> {
    let (a, b) = who(names, question.a()).against(who(names, question.b()));
    let turns = answer.turns.len() as u64;
    let last = answer.turns.last()?;
    let (wins, falls) = (unproven(last.b_destroyed), unproven(last.a_destroyed));
    let first = a.clone();
    let plain = answer.duel.as_deref()?;
    let a = Fighter::of(names, (a, question.a()), (&answer.a, &plain.a), falls);
    let b = Fighter::of(names, (b, question.b()), (&answer.b, &plain.b), wins);
    let mut card = Card { headline: headline(&a, &b, turns, answer), ..Card::default() };
    if a.falls > 0.0 || b.falls > 0.0 {
        let within = if turns == 1 { "in one turn".to_owned() } else { format!("within {turns} turns") };
        card.line(within, gone(&a, &b, last));
    }
    let both = both_gone(answer);
    if both > 0.0 {
        card.line("both gone", percent(unproven(both)));
    }
    card.line("both still on the table", percent(unproven(last.both_standing)));
    for (fighter, side) in [(&a, &answer.a), (&b, &answer.b)] {
        if fighter.all > 1 {
            let left = mean_of(side.left.expected, fighter.all, side.left.is_sure());
            let whose = if a.several == b.several { fighter.who.name.clone() } else { fighter.several.clone() };
            card.line(format!("{whose} left on average"), format!("{left} of {}", fighter.all));
        }
    }
    // Points are spent well or badly on what the other side does, not on what a side does to itself.
    let own = a.spared.is_some() || b.spared.is_some();
    let spent = match answer.better_spent.filter(|_| !own) {
        Some(OneSide::A) => format!("; {} {} more per point", a.who.name, verb("destroy", a.who.many)),
        Some(OneSide::B) => format!("; {} {} more per point", b.who.name, verb("destroy", b.who.many)),
        None => String::new(),
    };
    let costs = [&answer.a, &answer.b].map(|side| side.unit.as_ref().map_or(0, |unit| unit.points.cost));
    if answer.harmless != Some(true) {
        card.line("points", format!("{} v {}{spent}", costs[0], costs[1]));
    }
    // The chart shows the side that falls sooner; of the other the turns stand among the steps.
    if a.falls > 0.0 && b.falls > 0.0 && turns > 1 {
        let step = |row: &DuelTurnRow| Step {
            name: format!("by turn {}", row.turn),
            text: gone(&a, &b, row),
            ..Step::default()
        };
        card.steps.extend(answer.turns.iter().map(step));
    }
    let (a, b) = (a.who.name, b.who.name);
    card.chart = chart(&a, &b, answer);
    card.read_as = described(names, &question, said);
    for (who, side, plain) in [(&a, &answer.a, &plain.a), (&b, &answer.b, &plain.b)] {
        card.steps.extend(steps(who, side, plain, names));
    }
    notes(&mut card, &first, answer, said);
    follow_ups(&mut card, names, &question, answer);
    card.link = Some(Link::new("/v1/duel", question));
    Some(card)
}

/// How likely each side that may fall is gone by a turn, so that unlike chances look unlike.
fn gone(a: &Fighter, b: &Fighter, row: &DuelTurnRow) -> String {
    let said = apart(&[unproven(row.b_destroyed), unproven(row.a_destroyed)]);
    let both = [(b, &said[0]), (a, &said[1])].into_iter().filter(|(fighter, _)| fighter.falls > 0.0);
    let told: Vec<String> = both.map(|(fighter, said)| format!("{} gone {said}", fighter.who.name)).collect();
    told.join(", ")
}

/// Turn by turn, how likely the side that falls sooner is gone.
fn chart(a: &str, b: &str, answer: &DuelOutcome) -> Option<Chart> {
    let last = answer.turns.last()?;
    let (who, of_b) = if last.b_destroyed >= last.a_destroyed { (b, true) } else { (a, false) };
    if last.a_destroyed.max(last.b_destroyed) <= 0.0 {
        return None;
    }
    let gone = |row: &DuelTurnRow| if of_b { row.b_destroyed } else { row.a_destroyed };
    let bars = answer.turns.iter().map(|row| Bar {
        label: row.turn.to_string(),
        chance: unproven(gone(row)),
        strong: row.turn == last.turn,
    });
    let title = format!("{who} gone by turn");
    let alt = format!("Bar chart of {title}: {} by turn {}.", percent(unproven(gone(last))), last.turn);
    Some(Chart { title, bars: bars.collect(), alt, whole: true, ..Chart::default() })
}

/// What the two sides are called without their numbers; where that is the same, which of them.
fn called(names: &PackIndex, question: &Json) -> [String; 2] {
    let name = |seat: &str| {
        let many = who(names, question.part(seat)).many;
        let unit = names.unit(question.part(seat).unit_id().unwrap_or_default())?;
        let counting = names.counting(unit);
        Some(format!("the {}", if many { counting.plural } else { counting.singular }))
    };
    match [name("a"), name("b")] {
        [Some(a), Some(b)] if a != b => [a, b],
        _ => ["this side".to_owned(), "the other side".to_owned()],
    }
}

fn described(names: &PackIndex, question: &Json, said: bool) -> String {
    let side = |seat: &str| {
        let side = question.part(seat);
        let mut words = counted(names, side);
        for option in side.options() {
            words.push_str(&format!(" + {}", option_name(names, side.unit(), option)));
        }
        words
    };
    let mut parts = vec![format!("{} v {}", side("a"), side("b"))];
    match question.situation().range() {
        Json::Null => {}
        Json::Array(bands) => {
            let bands: Vec<String> = bands.iter().map(|band| range(names, band)).collect();
            parts.push(format!("{} turn by turn", bands.join(" then ")));
        }
        band => parts.push(range(names, band)),
    }
    let [first, other] = called(names, question);
    if let Some(arc) = question.b().situation().arc().said() {
        parts.push(format!("the {} of {other}", named(names, NameKind::Arc, arc)));
    }
    if let Some(cover) = question.b().situation().cover().said() {
        parts.push(format!("{other} {}", place(&named(names, NameKind::Cover, cover))));
    }
    for flag in &names.situation {
        if *question.situation().part(&flag.id) == json!(true) {
            parts.push(flag.name.to_lowercase());
        }
    }
    if let Some(turns) = question.turns().filter(|_| said) {
        parts.push(count(turns, "turn", "turns"));
    }
    match question.first() {
        Some("a") => parts.push(format!("{first} first")),
        Some("b") => parts.push(format!("{other} first")),
        Some("roll") => parts.push("a roll for first".into()),
        Some("together") => parts.push("both at once".into()),
        _ => {}
    }
    for (state, words) in [("left", "left"), ("hurt", "lost already")] {
        if let Some(points) = question.b().part(state).as_u64() {
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

/// What each weapon of a side rolls, in which turns, and what made it so.
fn steps(who: &str, side: &SideOutcome, plain: &DuelSide, names: &PackIndex) -> Vec<Step> {
    let mut told = Vec::new();
    for (at, volley) in volleys(plain).iter().enumerate() {
        let turns = match volley.turns {
            Some([first, last]) if first == last => format!(", turn {first}"),
            Some([first, last]) => format!(", turns {first}-{last}"),
            None => String::new(),
        };
        let weapon = label(volley).unwrap_or_default();
        let words = |step: &StepForm| match pierces(step) {
            Some(Reach::Never) => format!("{}: never gets through", step_words(step, Written::default())),
            Some(Reach::Always) => format!("{}: always gets through", step_words(step, Written::default())),
            None => step_words(step, Written::default()),
        };
        let rolls: Vec<String> = volley.steps.iter().flatten().map(words).collect();
        let because = side.unit.iter().flat_map(|unit| &unit.because).filter(|reason| reason.volley == Some(at));
        let rule = |id: &str| {
            let known = names.rules.iter().find(|rule| rule.id == id);
            known.map_or_else(|| sentence(&id.replace('-', " ")), |rule| rule.name.clone())
        };
        told.push(Step {
            name: format!("{who}, {weapon}{turns}"),
            text: rolls.join("; "),
            because: because.map(|reason| format!("{}: {}", rule(&reason.rule), reason.effect)).collect(),
        });
    }
    told
}

/// What was assumed, in words that name the sides.
fn said(a: &Who, stated: &Stated) -> String {
    match stated.pointer.as_str() {
        "/first" => format!("{} {} first", a.name, verb("go", a.many)),
        "/situation/range" => match stated.text.split_once(": ") {
            Some((_, band)) => format!("{band} every turn"),
            None => stated.text.clone(),
        },
        // `b: 2 Wallow Oxen`
        pointer if pointer.ends_with("/models") => {
            stated.text.split_once(": ").map_or_else(|| stated.text.clone(), |(_, models)| models.to_owned())
        }
        _ => stated.text.clone(),
    }
}

fn notes(card: &mut Card, a: &Who, answer: &DuelOutcome, turns_said: bool) {
    // Arcs and covers are told where they were said.
    let told = |stated: &&Stated| {
        let (pointer, models) = (stated.pointer.as_str(), stated.value.as_u64());
        ["/situation/range", "/first"].contains(&pointer)
            || pointer.ends_with("/weapons")
            || pointer.ends_with("/models") && models.is_some_and(|models| models > 1)
    };
    let mut open: Vec<String> = answer.defaults.iter().flatten().filter(told).map(|stated| said(a, stated)).collect();
    if !turns_said {
        open.push(count(answer.turns.len() as u64, "turn", "turns"));
    }
    if !open.is_empty() {
        card.read_as.push_str(&format!(" \u{b7} assumed: {}", open.join("; ")));
    }
}

fn follow_ups(card: &mut Card, names: &PackIndex, question: &Json, answer: &DuelOutcome) {
    // Of two alike the other way round is the same.
    if question.a() != question.b() {
        card.follow_up("swap sides", "swap sides");
    }
    if question.first() != Some("together") {
        card.follow_up("both at once", "what about both at once");
    }
    // What was taken for granted is what was just answered.
    let open = answer.defaults.iter().flatten().find(|stated| stated.pointer == "/situation/range");
    let now = question.situation().range().as_str().or(open.and_then(|stated| stated.value.as_str()));
    for other in names.ranges.iter().filter(|other| Some(other.id.as_str()) != now).take(2) {
        card.follow_up(other.name.to_lowercase(), format!("what about {}", other.name.to_lowercase()));
    }
}
