//! What says that a message goes on from the question before.
use super::super::lexicon::Class;
use super::super::message::ParsedMessage;

/// Whether the message says that it changes the question before.
pub fn cued(message: &ParsedMessage<'_>) -> bool {
    let start = (0..message.tokens.len())
        .find(|at| {
            !message.is_end(*at)
                && !message.any(
                    *at,
                    &[
                        "ok", "okay", "right", "so", "oh", "ah", "hmm", "well", "no", "yes", "yeah", "yeh", "yea",
                        "yh", "lol",
                    ],
                )
        })
        .unwrap_or(0);
    let refused = (0..start).any(|at| message.any(at, &["no", "nah", "nope"]));
    // `the master with the bell …` begins with a unit, and changes nothing.
    let led = |at: usize| at <= start || at == start + 1 && message.is(start, Class::Small);
    refused
        || message.spans(Class::Again).any(|(at, len)| {
            led(at) && (len > 1 || !message.any(at, &["too", "also"]))
                || len > 1
                || message.any(at, &["instead", "same", "nah"])
        })
        || (1..message.tokens.len())
            .any(|at| message.is_end(at - 1) && message.any(at, &["without", "with", "from", "instead", "same"]))
        || message.has(Class::Swap)
        || hits_back(message)
        || corrects(message, start)
        || message.any(start, &["no", "nah", "sorry", "not", "actually", "i"])
            && message.any(start, &["no", "nah", "sorry", "not", "actually"])
        || message.has(Class::Why)
}

/// Words of an arc or a range: `bow, not flank`.
const PLACES: [Class; 7] = [
    Class::ArcFront,
    Class::ArcSide,
    Class::ArcRear,
    Class::NearBand,
    Class::MidBand,
    Class::FarBand,
    Class::ContactBand,
];

/// `its 3 oxen not 2`, `they were moving, not still`: a short statement that takes something back.
fn corrects(message: &ParsedMessage<'_>, start: usize) -> bool {
    let words = message.tokens.iter().filter(|token| !token.word.is_empty()).count();
    let told = message.begins(Class::YesNo, start).is_none() && message.begins(Class::Wh, start).is_none();
    let denied = (start + 1..message.tokens.len()).any(|at| {
        message.any(at, &["not"])
            && (message.number(at + 1).is_some()
                || message
                    .mentions
                    .iter()
                    .any(|one| one.at == at + 1 || one.at == at + 2 && message.any(at + 1, &["the", "a"]))
                || PLACES.iter().any(|class| message.is(at + 1, *class)))
    });
    told && !message.asks() && words <= 12 && denied
}

/// `now mine throw back`
pub(super) fn hits_back(message: &ParsedMessage<'_>) -> bool {
    (0..message.tokens.len()).any(|at| {
        (message.is(at, Class::Attack) || message.is(at, Class::Charged))
            && (message.any(at + 1, &["back"])
                || message.any(at + 2, &["back"]) && message.any(at + 1, &["it", "them", "right", "straight"]))
            && (message.is_end(at + 2) || message.is_end(at + 3) || message.is(at + 2, Class::Small))
    })
}

/// Whether the same question is asked in other words: `would they run?`, `how often does that wipe them out`, `why is that`.
pub(super) fn repeats(message: &ParsedMessage<'_>) -> bool {
    let refers = (0..message.tokens.len())
        .any(|at| message.any(at, &["it", "they", "them", "that", "he", "this", "him", "you"]));
    message.has(Class::Why)
        || message.has(Class::Run) && refers
        || refers && message.has(Class::Kill) && (message.asks() || message.begins(Class::Wh, 0).is_some())
}
