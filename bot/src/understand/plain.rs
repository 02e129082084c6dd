//! Templates, bags and bearings: questions in plain numbers.
use super::lexicon::Class;
use super::message::{Mention, ParsedMessage};
use super::reading::{Reading, Told, mark};
use crate::commands::blast::BLAST;
use crate::commands::draw::DRAW;
use crate::draft::{Draft, set};
use crate::typing::fillers::singular;
use crate::typing::token::TokenKind;
use serde_json::{Map, Value as Json, json};

const BLASTED: &[Class] =
    &[Class::Blast, Class::Wh, Class::YesNo, Class::Attack, Class::Small, Class::NearBand, Class::Suffer];
const DRAWN: &[Class] = &[Class::Draw, Class::Wh, Class::YesNo, Class::Needed];

/// A length: how many words it takes, and its millimetres.
fn length(message: &ParsedMessage<'_>, at: usize) -> Option<(usize, f64)> {
    let number = match message.tokens.get(at)?.kind {
        TokenKind::Inches(inches) => return Some((1, f64::from(u32::try_from(inches).ok()?) * 254.0 / 10.0)),
        TokenKind::Millimetres(mm) => return Some((1, mm)),
        TokenKind::Number(number) => number,
        _ => return None,
    };
    match message.word(at + 1) {
        "inch" | "inches" | "in" => Some((2, number * 254.0 / 10.0)),
        "mm" | "mil" | "mils" | "mill" | "millimeter" | "millimeters" | "millimetre" | "millimetres" => {
            Some((2, number))
        }
        "cm" => Some((2, number * 10.0)),
        _ => None,
    }
}

/// Words of a template.
const TEMPLATES: &[&str] = &[
    "template",
    "templates",
    "scatter",
    "scatters",
    "drift",
    "drifts",
    "blast",
    "marker",
    "scattering",
    "drifting",
    "bunched",
    "plate",
];

/// A template on bases.
pub fn blast(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let strong = |at: usize| message.any(at, TEMPLATES);
    use super::names::Sort;
    let sorts = [Sort::Unit, Sort::Weapon, Sort::Option, Sort::Rule, Sort::Cover];
    let is_sort = |one: &Mention| sorts.contains(&one.sort) && (one.sort != Sort::Cover || one.len > 1);
    let named = |at: usize| message.mentions.iter().any(|one| is_sort(one) && (one.at..one.at + one.len).contains(&at));
    if !(0..message.tokens.len()).any(|at| strong(at) && !named(at)) {
        return None;
    }
    let mut used = vec![false; message.tokens.len()];
    let mut question = json!({});
    let (mut base, mut gap) = (None, None);
    let mut at = 0;
    while at < used.len() {
        let Some((len, mm)) = length(message, at) else {
            at += 1;
            continue;
        };
        let behind = |words: &[&str], reach: usize| (at + len..at + len + reach).any(|place| message.any(place, words));
        let before =
            |words: &[&str], reach: usize| (at.saturating_sub(reach)..at).any(|place| message.any(place, words));
        if behind(&["apart", "gap", "gaps", "between", "spacing", "space", "spaces"], 2) || before(&["apart", "gap"], 2)
        {
            gap = Some(mm);
        } else if behind(&["base", "bases"], 2) || before(&["base", "bases"], 2) {
            base = Some(mm);
        } else if !question.template().is_said() {
            // A radius is half of what is laid.
            let mm = if before(&["radius"], 2) { mm * 2.0 } else { mm };
            set(&mut question, "/template", json!({"diameter_mm": super::battle::number((mm * 10.0).round() / 10.0)}));
        } else {
            at += len;
            continue;
        }
        mark(&mut used, at, at + len);
        at += len;
    }
    let files = (0..used.len()).find_map(|at| {
        let ranks =
            message.any(at, &["ranks", "rank", "rows", "row", "files", "lines"]) && message.any(at + 1, &["of", "by"]);
        let number = if ranks { Some(at + 2) } else { (message.any(at + 1, &["abreast", "wide"])).then_some(at) }?;
        Some((at, number, message.number(number)?))
    });
    if let Some((from, ..)) = files.filter(|(from, to, _)| from < to) {
        // `2 ranks of 3`
        mark(&mut used, from.saturating_sub(usize::from(from > 0 && message.number(from - 1).is_some())), from + 1);
    }
    if let Some((from, to, _)) = files {
        mark(&mut used, from.min(to), from.max(to) + 1);
    }
    // `four to a rank`
    let files = files.or_else(|| {
        let at = (0..used.len()).find(|at| {
            message.number(*at).is_some()
                && message.any(at + 1, &["to", "in"])
                && message.any(at + 2, &["a", "each", "the"])
                && message.any(at + 3, &["rank", "row", "line"])
        })?;
        mark(&mut used, at, at + 4);
        Some((at, at, message.number(at)?))
    });
    let side = told.battle.fighters().find_map(|side| Some((side, side.count?)));
    let models = side.map(|(side, count)| {
        mark(&mut used, side.start, side.end());
        count
    });
    let models = models.or_else(|| {
        let at = (0..used.len()).find(|at| !used[*at] && message.number(*at).is_some())?;
        mark(&mut used, at, at + 1);
        message.number(at)
    });
    let dice = (0..used.len()).find_map(|at| match &message.tokens[at].kind {
        TokenKind::Dice(dice) => Some((at, dice.clone())),
        _ => None,
    });
    let touching = (0..used.len()).find(|at| {
        message.any(*at, &["touching", "touchin", "packed", "jammed"])
            || message.any(*at, &["base", "shoulder"])
                && message.any(*at + 1, &["to", "2"])
                && message.any(*at + 2, &["base", "shoulder"])
            || message.any(*at, &["base", "shoulder"]) && message.number(*at + 1) == Some(2)
            || message.any(*at, &["no"]) && message.any(*at + 1, &["gap", "gaps", "space", "spacing"])
    });
    if let Some(at) = touching.filter(|_| gap.is_none()) {
        mark(&mut used, at, at + 3);
        gap = Some(0.0);
    }
    let none = (0..used.len()).find(|at| message.is(*at, Class::Neg) && (at + 1..at + 3).any(strong));
    if let Some(at) = none {
        mark(&mut used, at, at + 3);
    } else if let Some((at, dice)) = dice {
        used[at] = true;
        let (dice, mut reduce) = match dice.split_once('-') {
            Some((dice, less)) => (dice.to_owned(), less.parse::<u64>().ok()),
            None => (dice, None),
        };
        set(&mut question, "/scatter", json!({"dice": dice}));
        if message.any(at + 1, &["minus", "less"]) {
            reduce = reduce.or(message.number(at + 2));
            mark(&mut used, at + 1, at + 3);
        }
        if let Some(reduce) = reduce {
            set(&mut question, "/scatter/reduce", json!(reduce));
        }
    }
    let score =
        2.6 + 0.5 * f64::from(u8::from(question.template().is_said())) + 0.3 * f64::from(u8::from(models.is_some()));
    if !question.template().is_said() {
        return models.is_some().then(|| {
            Reading::lacks(
                &BLAST,
                Some("template"),
                "How wide is the template? Say it like 3\" or 76mm.",
                score - 1.0,
                used,
                BLASTED,
            )
        });
    }
    let Some(models) = models else {
        return Some(Reading::lacks(
            &BLAST,
            Some("models"),
            "How many models stand there? Say it like 10 models.",
            score,
            used,
            BLASTED,
        ));
    };
    let drifts = (0..used.len())
        .any(|at| message.any(at, &["scatter", "scatters", "drift", "drifts", "scattering", "drifting"]));
    if drifts && !question.scatter().is_said() && none.is_none() {
        return Some(Reading::lacks(
            &BLAST,
            Some("scatter"),
            "How far does it drift? Say the dice like 2d6.",
            score,
            used,
            BLASTED,
        ));
    }
    // What was not said is as the pack has it: the command fills it in, and says so.
    set(&mut question, "/formation", json!({ "models": models }));
    let said = [
        ("base_mm", base.map(super::battle::number)),
        ("gap_mm", gap.map(super::battle::number)),
        ("files", files.map(|(.., files)| json!(files))),
    ];
    for (field, value) in said {
        if let Some(value) = value {
            set(&mut question, &format!("/formation/{field}"), value);
        }
    }
    let centre = (0..used.len()).any(|at| message.any(at, &["centre", "centres", "center", "centers"]));
    let whole = (0..used.len()).any(|at| message.any(at, &["wholly", "fully", "completely", "entirely"]));
    if centre || whole {
        set(&mut question, "/counts", json!(if centre { "centre" } else { "whole" }));
    }
    Some(Reading::asks(&BLAST, question, score, used, BLASTED))
}

/// Something drawn from a bag.
pub fn draw(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let colour = |at: usize| {
        let word = message.word(at);
        let plain = !word.is_empty() && word.len() > 2 && !message.is(at, Class::Small) && !message.is(at, Class::Turn);
        plain.then(|| singular(word).to_owned())
    };
    let vessel = (0..message.tokens.len()).any(|at| {
        message.any(
            at,
            &[
                "bag", "draw", "draws", "drawn", "pull", "pulls", "deck", "pouch", "cup", "hat", "chips", "tokens",
                "beads", "counters", "cards", "marbles", "pebbles", "chip", "token", "pulling", "drawing",
            ],
        )
    });
    if !vessel {
        return None;
    }
    let mut used = told.battle.used.clone();
    let (mut contents, mut wanted, mut draws): (Map<String, Json>, Map<String, Json>, Option<u64>) =
        (Map::new(), Map::new(), None);
    let mut drawn_first = false;
    // `2 cards of 52, 4 aces`, `a deck of 52`: how many there are in all.
    let whole = (1..used.len()).find_map(|at| {
        let cards = message.any(at.wrapping_sub(2), &["cards", "card", "deck", "tokens", "bag"]);
        let of = message.any(at - 1, &["of", "from"]) && cards;
        let none = message.is_end(at + 1) || message.any(at + 1, &["cards", "tokens", "with"]);
        message.number(at).filter(|_| of && none).map(|number| (at, number))
    });
    if let Some((at, _)) = whole {
        mark(&mut used, at, at + 1 + usize::from(message.any(at + 1, &["cards", "tokens"])));
    }
    for at in 0..used.len() {
        let Some(number) = message.number(at).filter(|_| !used[at]) else { continue };
        let before = (1..=2).filter_map(|back| at.checked_sub(back)).any(|at| {
            message.any(
                at,
                &[
                    "draw", "draws", "pull", "pulls", "pulling", "drawing", "take", "takes", "taking", "drawn", "grab",
                    "pick", "picking",
                ],
            )
        });
        let counted = message.any(at + 1, &["draws", "draw", "pulls", "drawn"])
            || message.any(at + 1, &["come", "comes", "came", "get", "gets", "are", "is", "being"])
                && message.any(at + 2, &["out", "drawn", "pulled", "taken", "picked"])
            || message.any(at + 1, &["of"]) && message.any(at + 2, &["them"]);
        let things = ["chip", "token", "bead", "card", "counter", "marble", "tile", "pebble", "stone"];
        let of_things = things.contains(&singular(message.word(at + 1)));
        let from = message.any(at + 1, &["from", "out"]) || message.is_end(at + 1);
        // `draw 3 from a bag of 5 red`, `2 cards of 52`: said before what there is.
        let of_whole = of_things && whole.is_some_and(|(place, _)| place == at + 3);
        if of_whole && draws.is_none() && contents.is_empty() {
            draws = Some(number);
            drawn_first = true;
            mark(&mut used, at, at + 3);
            continue;
        }
        if (before || counted) && (!contents.is_empty() || of_things || from) && draws.is_none() {
            draws = Some(number);
            drawn_first = contents.is_empty();
            mark(&mut used, at, at + if of_things { 2 } else { 1 });
            continue;
        }
        let mut place = at + 1;
        while message.any(place, &["or", "more", "at", "least", "of", "the", "are", "a"]) && place < at + 4 {
            place += 1;
        }
        let generic = |word: &str| {
            matches!(word, "chip" | "token" | "bead" | "card" | "counter" | "marble" | "tile" | "pebble" | "stone")
        };
        let Some(name) = colour(place) else { continue };
        if generic(&name) && (before || counted) {
            draws = draws.or(Some(number));
        } else if contents.contains_key(&name) {
            wanted.insert(name, json!(number));
        } else if !contents.is_empty() && (draws.is_some() && !drawn_first || generic(&name)) {
            continue;
        } else {
            contents.insert(name, json!(number));
        }
        mark(&mut used, at, place + 1);
    }
    for at in 0..used.len() {
        // `two yellow ones`
        used[at] |= at > 0
            && used[at - 1]
            && message.text.get(message.tokens[at].span.clone()).is_some_and(|said| matches!(said, "ones" | "one"));
        // `a single black one`
        if message.any(at, &["single", "lone", "solitary"])
            && let Some(name) = colour(at + 1).filter(|name| !contents.is_empty() && !contents.contains_key(name))
        {
            contents.insert(name, json!(1));
            mark(&mut used, at, at + 3);
        }
    }
    // `chance of a red`
    if wanted.is_empty() && draws.is_some() {
        for at in 0..used.len() {
            if let Some(name) = colour(at).filter(|name| !used[at] && contents.contains_key(name)) {
                // `both black`, `all of them red`
                let whole =
                    (at.saturating_sub(4)..at + 3).find(|at| message.any(*at, &["both", "all", "every", "nothing"]));
                let count = whole.and(draws).unwrap_or(1);
                if let Some(whole) = whole {
                    mark(&mut used, whole, whole + 1);
                }
                wanted.insert(name, json!(count));
                used[at] = true;
            }
        }
    }
    if let Some((_, whole)) = whole {
        let named: u64 = contents.values().filter_map(Json::as_u64).sum();
        if contents.is_empty() || named > whole {
            return None;
        }
        if named < whole {
            contents.insert("others".to_owned(), json!(whole - named));
        }
        // Of a deck in which one sort is counted, that sort is asked for.
        if wanted.is_empty() && draws.is_some() && contents.len() == 2 {
            let name = contents.keys().find(|name| *name != "others").cloned();
            wanted.extend(name.map(|name| (name, json!(1))));
        }
    }
    if contents.len() < 2 {
        return None;
    }
    // `it stops when the end comes out`, `the turn ends on the 2nd end`
    let mut ends: Option<(String, u64)> = None;
    for at in 0..used.len() {
        let over = message
            .any(at, &["stop", "stops", "stopping", "over", "finishes", "finish", "until", "till", "before"])
            || message.any(at, &["ends", "end", "ending"])
                && message.any(at + 1, &["when", "on", "with", "as", "once"]);
        let named = (at + 1..at + 7).find_map(|place| {
            let name = colour(place).filter(|name| contents.contains_key(name))?;
            Some((place, name))
        });
        // `black ends the turn`
        let own = colour(at).filter(|name| {
            contents.contains_key(name) && message.any(at + 1, &["ends", "stops", "finishes", "end", "stop"])
        });
        if let Some(name) = own.filter(|_| ends.is_none()) {
            mark(&mut used, at, at + 4);
            wanted.remove(&name);
            ends = Some((name, 1));
            continue;
        }
        let Some((place, name)) = named.filter(|_| over && ends.is_none()) else { continue };
        let count = (at + 1..place).find_map(|at| match message.word(at) {
            "2nd" | "second" => Some(2),
            "3rd" | "third" => Some(3),
            "4th" | "fourth" => Some(4),
            _ => message.number(at),
        });
        mark(&mut used, at, place + 1);
        for after in place + 1..place + 4 {
            if message.any(after, &["comes", "come", "is", "out", "drawn", "pulled", "shows", "up"]) {
                mark(&mut used, after, after + 1);
            }
        }
        wanted.remove(&name);
        ends = Some((name, count.unwrap_or(1)));
    }
    for at in 0..used.len() {
        // `before that`
        if ends.is_some() && message.any(at, &["before"]) && message.any(at + 1, &["that", "then", "it"]) {
            mark(&mut used, at, at + 2);
        }
    }
    let mut question = json!({"contents": contents});
    if let Some((name, count)) = ends {
        set(&mut question, "/ends_on", json!({name: count}));
    }
    if let Some(draws) = draws {
        set(&mut question, "/draws", json!(draws));
    }
    if !wanted.is_empty() {
        set(&mut question, "/wanted", json!(wanted));
    }
    Some(Reading::asks(&DRAW, question, 3.2, used, DRAWN))
}
