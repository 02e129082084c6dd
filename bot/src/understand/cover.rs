//! Each word that carries meaning must be explained by the reading; what is left over blocks it.
use super::lexicon::Class;
use super::names::{Fit, Sort};
use super::reading::Reading;
use super::scene::Scene;
use crate::typing::piece::What;

/// What a reading leaves over.
#[derive(Clone, Debug, Default)]
pub struct Left {
    /// Words that block it.
    pub blocks: Vec<usize>,
    /// How much else is left: ordinary words.
    pub soft: f64,
    /// Which ordinary words those are.
    pub words: Vec<usize>,
}

/// Holds a reading against all words.
pub fn left(scene: &Scene<'_>, reading: &Reading) -> Left {
    let mut left = Left::default();
    for (at, token) in scene.tokens.iter().enumerate() {
        if reading.used.get(at).copied().unwrap_or(false) {
            continue;
        }
        match &token.what {
            What::Break | What::Line | What::Colon | What::Plus => continue,
            What::Word(_) => {}
            What::Number(number) if token.word == "one" && (*number - 1.0).abs() < 0.1 => continue,
            // `as I have told him twice`
            What::Times(_)
                if !["check", "repair", "odds"].contains(&reading.command.name)
                    && scene.text.get(token.span.clone()).is_some_and(|said| said.chars().all(char::is_alphabetic)) =>
            {
                left.soft += 0.5;
                continue;
            }
            _ => {
                left.blocks.push(at);
                continue;
            }
        }
        let cue = reading.cues.iter().any(|class| token.classes.has(*class));
        let halved = (token.classes.has(Class::Half) || token.classes.has(Class::Double))
            && matches!(token.word.as_str(), "half" | "halve" | "double");
        if halved && !cue {
            left.blocks.push(at);
            continue;
        }
        let named = scene.mentions.iter().filter(|one| one.at <= at && at < one.at + one.len);
        let blocking = named.clone().any(|one| match one.sort {
            Sort::Unit => one.fit != Fit::Part || one.ids.len() == 1 && !token.classes.has(Class::Small),
            Sort::Option | Sort::Weapon => one.fit != Fit::Part,
            Sort::Rule => one.fit == Fit::Whole && (one.len > 1 || !super::english::is_word(&token.word)),
            Sort::Flag | Sort::Status => true,
            Sort::Stat => !token.classes.has(Class::Small) && !is_label(scene, at),
            Sort::Cover => one.len > 1 || !super::english::is_word(&token.word),
            Sort::Check | Sort::Arc | Sort::Range | Sort::Role => false,
        });
        if blocking
            && !(cue
                && named.clone().all(|one| matches!(one.sort, Sort::Check | Sort::Weapon | Sort::Rule | Sort::Cover)))
        {
            left.blocks.push(at);
        } else if cue {
        } else if is_denial(scene, at) {
            left.blocks.push(at);
        } else if token.classes.has(Class::Small) {
        } else if token.classes.is_empty() && !token.unknown && is_whereabouts(scene, at) {
            left.blocks.push(at);
        } else if token.classes.has(Class::Without) && token.word != "no" || token.classes.has(Class::Charged) {
            left.blocks.push(at);
        } else if is_place(token.classes) {
            left.soft += 1.2;
            left.words.push(at);
            if at > 0 && scene.any(at - 1, &["from", "in", "at", "the", "on"]) {
                left.blocks.push(at);
            }
        } else if token.unknown {
            left.soft += 0.8;
            left.words.push(at);
            if at > 0 && scene.any(at - 1, &["with", "w", "without", "near", "no", "in", "behind"])
                || at > 1
                    && scene.any(at - 1, &["a", "the"])
                    && scene.any(at - 2, &["with", "without", "near", "behind", "in"])
            {
                left.blocks.push(at);
            }
        } else {
            left.soft += if token.classes.is_empty() { 0.35 } else { 0.25 };
            left.words.push(at);
        }
    }
    left
}

/// `not`, `no`, `without` that nothing explains.
fn is_denial(scene: &Scene<'_>, at: usize) -> bool {
    let word = scene.word(at);
    if scene.is(at, Class::Small) {
        return false;
    }
    match word {
        "without" => scene.mentions.iter().any(|one| {
            one.at > at
                && one.at <= at + 4
                && matches!(one.sort, Sort::Rule | Sort::Option | Sort::Unit | Sort::Cover | Sort::Weapon | Sort::Flag)
        }),
        "not" | "except" => !scene.any(at.wrapping_sub(1), &["why", "or", "if", "am", "do", "may"]),
        "no" => {
            !scene.is_end(at + 1)
                && !(at > 0 && scene.any(at - 1, &["and", "but", "or"]))
                && !scene.any(at + 1, &["it", "he", "they", "she", "we", "i", "that"])
                && !scene
                    .any(at + 1, &["idea", "doubt", "matter", "one", "chance", "way", "problem", "mate", "wait", "no"])
        }
        _ => false,
    }
}

fn is_place(classes: super::lexicon::Classes) -> bool {
    [
        Class::ArcFront,
        Class::ArcSide,
        Class::ArcRear,
        Class::MidBand,
        Class::FarBand,
        Class::ContactBand,
        Class::CoverHard,
        Class::CoverSoft,
        Class::CoverSome,
        Class::CoverNone,
        Class::Fog,
    ]
    .into_iter()
    .any(|class| classes.has(class))
}

/// The club's own word for what is lost.
fn is_label(scene: &Scene<'_>, at: usize) -> bool {
    use crate::typing::fillers::singular;
    let word = singular(scene.word(at));
    scene.index.labels.values().any(|label| label.split(' ').any(|part| singular(part) == word))
}

/// `up the ladder`, `behind a cart`, `in the mud`: a place that nobody knows.
fn is_whereabouts(scene: &Scene<'_>, at: usize) -> bool {
    const ARTICLES: &[&str] = &["the", "a", "an", "some", "that", "this"];
    let Some(before) = at.checked_sub(1) else { return false };
    let article = scene.any(before, ARTICLES);
    let lead = if article { before.checked_sub(1) } else { Some(before) };
    lead.is_some_and(|lead| {
        scene.any(lead, &["behind", "under", "inside", "beneath"]) || article && scene.any(lead, &["up", "in"])
    })
}
