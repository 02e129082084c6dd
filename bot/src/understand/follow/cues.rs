//! What says that a message goes on from the question before.
use super::super::lexicon::Class;
use super::super::scene::Scene;

/// Whether the message says that it changes the question before.
pub fn cued(scene: &Scene<'_>) -> bool {
    let start = (0..scene.tokens.len())
        .find(|at| {
            !scene.is_end(*at)
                && !scene
                    .any(*at, &["ok", "okay", "right", "so", "oh", "ah", "hmm", "well", "no", "yes", "yeah", "lol"])
        })
        .unwrap_or(0);
    let refused = (0..start).any(|at| scene.any(at, &["no", "nah", "nope"]));
    // `the master with the bell …` begins with a unit, and changes nothing.
    let led = |at: usize| at <= start || at == start + 1 && scene.is(start, Class::Small);
    refused
        || scene.spans(Class::Again).any(|(at, len)| {
            led(at) && (len > 1 || !scene.any(at, &["too", "also"]))
                || len > 1
                || scene.any(at, &["instead", "same", "nah"])
        })
        || (1..scene.tokens.len())
            .any(|at| scene.is_end(at - 1) && scene.any(at, &["without", "with", "from", "instead", "same"]))
        || scene.has(Class::Swap)
        || hits_back(scene)
        || corrects(scene, start)
        || scene.any(start, &["no", "nah", "sorry", "not", "actually", "i"])
            && scene.any(start, &["no", "nah", "sorry", "not", "actually"])
        || scene.has(Class::Why)
}

/// `its 3 oxen not 2`, `they were moving, not still`: a short statement that takes something back.
fn corrects(scene: &Scene<'_>, start: usize) -> bool {
    let words = scene.tokens.iter().filter(|token| !token.word.is_empty()).count();
    let told = scene.begins(Class::YesNo, start).is_none() && scene.begins(Class::Wh, start).is_none();
    let denied = (start + 1..scene.tokens.len()).any(|at| {
        scene.any(at, &["not"])
            && (scene.number(at + 1).is_some()
                || scene
                    .mentions
                    .iter()
                    .any(|one| one.at == at + 1 || one.at == at + 2 && scene.any(at + 1, &["the", "a"])))
    });
    told && !scene.asks() && words <= 12 && denied
}

/// `now mine throw back`
pub(super) fn hits_back(scene: &Scene<'_>) -> bool {
    (0..scene.tokens.len()).any(|at| {
        (scene.is(at, Class::Attack) || scene.is(at, Class::Charged))
            && (scene.any(at + 1, &["back"])
                || scene.any(at + 2, &["back"]) && scene.any(at + 1, &["it", "them", "right", "straight"]))
            && (scene.is_end(at + 2) || scene.is_end(at + 3) || scene.is(at + 2, Class::Small))
    })
}

/// Whether the same question is asked in other words: `would they run?`, `how often does that wipe them out`, `why is that`.
pub(super) fn repeats(scene: &Scene<'_>) -> bool {
    let refers =
        (0..scene.tokens.len()).any(|at| scene.any(at, &["it", "they", "them", "that", "he", "this", "him", "you"]));
    scene.has(Class::Why)
        || scene.has(Class::Run) && refers
        || refers && scene.has(Class::Kill) && (scene.asks() || scene.begins(Class::Wh, 0).is_some())
}
