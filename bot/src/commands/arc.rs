//! `/arc`: which side is hit, from a bearing, a clock face or where both stand.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::client::index::NameKind;
use crate::client::typed;
use crate::draft::{Draft, set, unset};
use crate::link::Link;
use crate::typing::Value;
use pipwright_shared::cards;
use pipwright_shared::wire::arc::ArcAnswer;
use serde_json::{Value as Json, json};

/// The definition.
pub const ARC: Command = Command {
    name: "arc",
    about: "Which side is hit, from a bearing or from where both stand",
    words: &["arc", "arcs", "bearing", "degrees", "o'clock", "oclock", "facing", "heading"],
    options: &[
        Opt::new("bearing", Kind::Angle, "Degrees clockwise from straight ahead of the hull: 90 is its right")
            .cues(&["degree", "degrees", "deg", "off", "angle"])
            .bare(),
        Opt::new("clock", Kind::Number, "The bearing as an hour of the clock: 12 is straight ahead")
            .cues(&["o'clock", "oclock", "hour"]),
        Opt::new("unit", Kind::Name(NameKind::Unit), "The unit that is hit, for the size of its hull"),
        Opt::new("target", Kind::Place, "Where the hull stands, such as 12,20").cues(&["hull", "it"]),
        Opt::new("heading", Kind::Angle, "Where the hull looks: degrees clockwise from up the table")
            .cues(&["facing", "faces", "looking", "pointing"]),
        Opt::new("attacker", Kind::Place, "Where the shot comes from, such as 30,25")
            .cues(&["shooter", "firer", "gun", "shot", "me", "from"]),
        Opt::new("long", Kind::Length, "The hull's length").cues(&["length", "hull"]),
        Opt::new("wide", Kind::Length, "The hull's width").cues(&["width", "by"]),
        Opt::new(
            "quarters",
            Kind::Flag(&["quarters", "equal quarters", "quarter arcs"]),
            "Equal quarters, whatever the hull",
        ),
    ],
    shares: &[],
    examples: &["/arc 40 degrees", "/arc heron, 4 o'clock", "/arc target 12,20 heading 180 attacker 30,25"],
    path: Some("/v1/arc"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let question = question(&asked)?;
    let answer: ArcAnswer = asked.api.ask("/v1/arc", &question).await?;
    let mut card = cards::arc::card(asked.index.map(|index| &**index), &typed(&question)?, &answer);
    card.link = Some(Link::new("/v1/arc", question));
    Ok(card)
}

fn question(asked: &Asked<'_>) -> Result<Json, Halt> {
    let mut question = asked.question();
    if let Some(names) = asked.index.filter(|_| !question.pack().is_said()) {
        set(&mut question, "/pack", json!(names.id));
    }
    asked.put(&mut question, "unit", "/unit");
    let told = |question: &mut Json, bearing: Json| {
        unset(question, "target");
        unset(question, "attacker");
        set(question, "/bearing", bearing);
    };
    if let Some(bearing) = asked.read.given("bearing") {
        told(&mut question, bearing.json());
    } else if let Some(hour) = asked.read.number("clock") {
        told(&mut question, json!(hour % 12 * 30));
    }
    for (option, at) in [("target", "/target"), ("attacker", "/attacker")] {
        if let Some(Value::Place(..)) = asked.read.given(option) {
            unset(&mut question, "bearing");
            let place = asked.read.given(option).map(Value::json).unwrap_or_default();
            for axis in ["x", "y"] {
                set(&mut question, &format!("{at}/{axis}"), place.part(axis).clone());
            }
        }
    }
    asked.put(&mut question, "heading", "/target/heading");
    asked.put(&mut question, "long", "/hull/length_mm");
    asked.put(&mut question, "wide", "/hull/width_mm");
    if asked.read.has("quarters") {
        set(&mut question, "/quarters", json!(true));
    }
    if !question.bearing().is_said() {
        let lacks = |pointer: &str| !question.at(pointer).is_said();
        match (lacks("/target/x"), lacks("/attacker")) {
            (false, false) => {}
            (false, true) => {
                return Err(Halt::missing("attacker", "Where does the shot come from? Say it like attacker 30,25."));
            }
            (true, false) => {
                return Err(Halt::missing(
                    "target",
                    "Where does the hull stand, and where does it look? Say it like target 12,20 heading 180.",
                ));
            }
            (true, true) => {
                let question = "Where does the shot come from? Say it like 40 degrees, 4 o'clock, or target 12,20 heading 180 attacker 30,25.";
                return Err(Halt::missing("bearing", question));
            }
        }
    }
    if let Some(inline) = asked.inline {
        inline.put(&mut question);
    }
    Ok(question)
}
