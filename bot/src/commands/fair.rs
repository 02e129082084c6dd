//! `/fair`: how often each face of a die came up, and whether a fair one does that.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use crate::card::Card;
use crate::client::typed;
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::saying::small;
use crate::typing::Value;
use crate::typing::scan::folded;
use pipwright_shared::cards;
use pipwright_shared::wire::fair::FairOutcome;
use serde_json::{Value as Json, json};
use std::collections::BTreeMap;

/// The definition.
pub const FAIR: Command = Command {
    name: "fair",
    about: "Is this die fair? How often each face came up, held against how often it should",
    words: &["fair", "loaded", "biased", "crooked"],
    options: &[
        Opt::new("die", Kind::Dice, "The die, such as d8; the pack's own unless you say").bare(),
        Opt::new(
            "counts",
            Kind::Text,
            "How often each face came up: 12 9 14 8 11 26, or 1:12 2:9; or `rolls` and each roll",
        )
        .required(ASKS),
    ],
    shares: &[],
    examples: &["/fair 12 9 14 8 11 26", "/fair d8, 1:12 2:9 8:21", "/fair rolls 6 6 3 1 6 2 6 5"],
    path: Some("/v1/fair"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

/// What is asked where the counts are missing.
pub const ASKS: &str =
    "How often did each face come up? Say the counts in order, like 12 9 14 8 11 26, or by face, like 1:12 6:26.";

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let mut question = asked.question();
    let die = match asked.read.given("die") {
        Some(Value::Dice(dice)) => {
            Some(sides(dice).ok_or_else(|| Halt::Say("One die at a time, please: say it like d6 or d20.".to_owned()))?)
        }
        _ => None,
    };
    // The counts are read as they were written: what else stands there is no count.
    let said = if asked.read.has("counts") { asked.text } else { "" };
    // Which die it was is taken for granted where neither the words nor the card before say it.
    let assumed = die.is_none() && question.sides().is_none();
    if let Some(told) = Told::of(said) {
        let die = die.or(question.sides().and_then(|sides| u32::try_from(sides).ok()));
        let (sides, seen) = told.seen(die, asked.die())?;
        let faces = seen.iter().map(|(face, seen)| (face.to_string(), json!(seen)));
        set(&mut question, "/faces", Json::Object(faces.collect()));
        set(&mut question, "/sides", json!(sides));
    } else if let Some(die) = die {
        set(&mut question, "/sides", json!(die));
    }
    asked.need(&question, "counts", "/faces")?;
    let answer: FairOutcome = asked.api.ask("/v1/fair", &question).await?;
    let mut card = cards::fair::card(&typed(&question)?, &answer, assumed);
    card.link = Some(Link::new("/v1/fair", question));
    if assumed {
        card.read_as.push_str(&format!(" \u{b7} assumed: a d{}", answer.sides));
    }
    Ok(card)
}

/// `d8`, `1d8`: the sides of one die.
fn sides(dice: &str) -> Option<u32> {
    let (count, sides) = dice.split_once('d')?;
    ["", "1"].contains(&count).then(|| sides.parse().ok()).flatten()
}

/// What was told of the faces.
enum Told {
    /// So often, face by face from the first.
    Counts(Vec<u64>),
    /// By the number of the face.
    Faces(Vec<(u32, u64)>),
    /// One throw after another.
    Throws(Vec<u64>),
}

impl Told {
    /// Reads `12 9 14 8 11 26`, `1:12 2:9`, `12 ones, 26 sixes` and `rolls 6 6 3`; nothing where there is no number.
    fn of(text: &str) -> Option<Self> {
        let text = folded(text);
        let mut numbers: Vec<u64> = Vec::new();
        let mut faces: Vec<(u32, u64)> = Vec::new();
        let (mut throws, mut face) = (false, None::<u32>);
        for word in text.split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '|' | '(' | ')')) {
            let word = word.trim_matches(['.', '?', '!', '\'']);
            let pair = word.split_once([':', '=']).filter(|(face, _)| !face.is_empty());
            if let Some((named, count)) = pair.and_then(|(named, count)| Some((number_of(named)?, count))) {
                // `6: 26` has its count in the word behind.
                match count.parse() {
                    Ok(count) => faces.push((named, count)),
                    Err(_) => face = Some(named),
                }
            } else if let Ok(number) = word.trim_end_matches([':', '=']).parse::<u64>() {
                match face.take() {
                    Some(face) => faces.push((face, number)),
                    None if word.ends_with([':', '=']) => face = u32::try_from(number).ok(),
                    None => numbers.push(number),
                }
            } else if let Some(named) = called(word) {
                // `26 sixes`, or `sixes 26`.
                match numbers.pop() {
                    Some(count) => faces.push((named, count)),
                    None => face = Some(named),
                }
            } else if ["rolls", "rolled", "roll", "throws", "threw", "thrown"].contains(&word.trim_end_matches(':')) {
                throws = true;
            }
        }
        match (faces.is_empty(), numbers.is_empty()) {
            (false, true) => Some(Self::Faces(faces)),
            (true, false) if throws => Some(Self::Throws(numbers)),
            (true, false) => Some(Self::Counts(numbers)),
            (false, false) => Some(Self::Counts(Vec::new())),
            (true, true) => None,
        }
    }

    /// The sides of the die, and how often each face came up.
    fn seen(self, die: Option<u32>, usual: u32) -> Result<(u32, BTreeMap<u32, u64>), Halt> {
        match self {
            Self::Counts(counts) if counts.is_empty() => Err(Halt::missing("counts", ASKS)),
            Self::Counts(counts) => {
                let many = counts.len() as u32;
                // As many numbers as a die that is sold has sides speak of that die.
                let sides = die.unwrap_or(if [4, 6, 8, 10, 12, 20].contains(&many) { many } else { usual });
                if many != sides {
                    let numbers = small(many.into());
                    let question = format!(
                        "A d{sides} has {sides} faces, and I read {numbers} counts. Say a 0 for each face that never came, \
                         name the faces, like 1:12 6:26, or put `rolls` before the throws themselves."
                    );
                    return Err(Halt::missing("counts", question));
                }
                Ok((sides, (1..).zip(counts).collect()))
            }
            Self::Faces(faces) => {
                // Every face of a die that is sold, from the first to the last, names that die.
                let most = faces.iter().map(|(face, _)| *face).max().unwrap_or(0);
                let all = (1..=most).all(|face| faces.iter().any(|(known, _)| *known == face));
                let sides = die.unwrap_or(if all && [4, 6, 8, 10, 12, 20].contains(&most) { most } else { usual });
                let mut seen = BTreeMap::new();
                faces.iter().for_each(|(face, count)| *seen.entry(*face).or_default() += count);
                within(sides, seen.keys().map(|face| u64::from(*face)))?;
                Ok((sides, seen))
            }
            Self::Throws(throws) => {
                let sides = die.unwrap_or(usual);
                within(sides, throws.iter().copied())?;
                let mut seen: BTreeMap<u32, u64> = (1..=sides).map(|face| (face, 0)).collect();
                throws.iter().for_each(|face| *seen.entry(*face as u32).or_default() += 1);
                Ok((sides, seen))
            }
        }
    }
}

/// Refuses faces that the die has not.
fn within(sides: u32, mut faces: impl Iterator<Item = u64>) -> Result<(), Halt> {
    match faces.find(|face| *face == 0 || *face > u64::from(sides)) {
        Some(face) => Err(Halt::Say(format!("A d{sides} has no face {face}. Say which die it is, like d20."))),
        None => Ok(()),
    }
}

/// `6`, `6s`, `sixes`.
fn number_of(word: &str) -> Option<u32> {
    word.parse().ok().or_else(|| called(word))
}

/// A face called by its name: `6s`, `sixes`.
fn called(word: &str) -> Option<u32> {
    const NAMES: [&str; 12] = [
        "ones", "twos", "threes", "fours", "fives", "sixes", "sevens", "eights", "nines", "tens", "elevens", "twelves",
    ];
    let by_name = NAMES.iter().position(|name| *name == word).map(|at| at as u32 + 1);
    by_name.or_else(|| word.strip_suffix('s')?.trim_end_matches('\'').parse().ok())
}
