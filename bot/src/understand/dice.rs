//! Rolls in plain numbers: dice, needs, tries, results.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::reading::{Told, mark};
use crate::client::index::PackIndex;
use crate::draft::set;
use crate::typing::token::TokenKind;
use serde_json::{Value as Json, json};

mod again;
mod one;
mod parts;
mod words;
use again::keeps;
pub(super) use again::rerolls;
pub use one::check;
use words::{FAILED, PASSED};

/// A roll, as far as it was said.
#[derive(Clone, Debug, Default)]
pub struct Roll {
    /// The dice.
    pub dice: Option<String>,
    /// What each needs.
    pub needs: Vec<String>,
    /// How many rolls.
    pub tries: Option<u64>,
    /// How many passed, or are to pass.
    pub passes: Option<u64>,
    /// A number of dice that may be one of tries.
    pub count: Option<u64>,
    /// What is rolled again.
    pub reroll: Option<&'static str>,
    /// How many failures may be rolled again in all.
    pub rerolls: Option<u64>,
    /// Added to the total.
    pub modifier: Option<i64>,
    /// The other side's dice.
    pub versus: Option<String>,
    /// How many of the highest count, or of the lowest.
    pub keep: Option<(bool, u64)>,
    /// The same of the other side.
    pub versus_keep: Option<(bool, u64)>,
    /// How many ones came, which are failures.
    pub ones: Option<u64>,
}

impl Roll {
    /// As requests have it.
    pub fn json(&self, index: &PackIndex) -> Json {
        let die = index.die();
        let mut form = json!({"dice": self.dice.clone().unwrap_or_else(|| format!("d{die}"))});
        match self.needs.as_slice() {
            [] => {}
            [one] => set(&mut form, "/needs", json!(one)),
            several => set(&mut form, "/needs", json!(several)),
        }
        if let Some(tries) = self.tries.filter(|tries| *tries > 1) {
            set(&mut form, "/tries", json!(tries));
        }
        if let Some(reroll) = self.reroll {
            set(&mut form, "/reroll", json!(reroll));
        }
        if let Some(rerolls) = self.rerolls {
            set(&mut form, "/rerolls", json!(rerolls));
        }
        if let Some(modifier) = self.modifier {
            set(&mut form, "/modifier", json!(modifier));
        }
        let keep = |(highest, kept)| if highest { json!({"highest": kept}) } else { json!({"lowest": kept}) };
        if let Some(kept) = self.keep.map(keep) {
            set(&mut form, "/keep", kept);
        }
        if let Some(dice) = &self.versus {
            set(&mut form, "/versus", json!({"dice": dice}));
            if let Some(kept) = self.versus_keep.map(keep) {
                set(&mut form, "/versus/keep", kept);
            }
        }
        form
    }

    /// Whether one of the usual dice can do it.
    pub(super) fn fits(&self, die: u32) -> bool {
        let least = |needs: &String| needs.trim_end_matches(['+', '-']).parse::<u32>().unwrap_or(1);
        self.dice.is_some() || self.needs.iter().all(|needs| least(needs) <= die)
    }
}

/// Reads a roll; what is used of the message is marked.
pub fn roll(told: &Told<'_>, used: &mut [bool]) -> Option<Roll> {
    let message = told.message;
    let die = told.index().die();
    let mut roll = Roll::default();
    let mut at = 0;
    while at < message.tokens.len() {
        let taken = if used[at] { 0 } else { fact(message, die, at, used, &mut roll) };
        mark(used, at, at + taken);
        // `three d10`: so many of them.
        let dice = matches!(&message.tokens[at].kind, TokenKind::Dice(dice) if dice.starts_with('d'));
        if let Some(before) = at.checked_sub(1).filter(|before| dice && taken > 0 && message.number(*before).is_some())
        {
            mark(used, before, at);
        }
        at += taken.max(1);
    }
    rerolls(message, used, &mut roll);
    keeps(message, die, used, &mut roll);
    let tried = (0..message.tokens.len())
        .any(|at| message.any(at, FAILED) && !message.any(at.wrapping_sub(1), &["not", "never"]));
    if tried {
        roll.passes = match (roll.passes, roll.tries) {
            (None, Some(_)) => Some(0),
            (Some(failed), Some(tries)) => Some(tries.saturating_sub(failed)),
            (failed, None) => failed,
        };
    }
    if roll.ones.is_some() {
        roll.part_dice();
    }
    if let (Some(ones), Some(tries)) = (roll.ones, roll.tries) {
        roll.passes = Some(tries.saturating_sub(ones));
        if roll.needs.is_empty() {
            roll.needs.push("2+".to_owned());
        }
    }
    // `three d10, all three of them failed`: each is a roll of its own.
    let all = |at: usize| message.any(at, &["all"]) && message.number(at + 1).is_some() && tried;
    let each = (0..message.tokens.len()).any(|at| message.any(at, &["each", "apiece"]) || all(at));
    if each && roll.keep.is_none() && roll.versus.is_none() && !roll.needs.is_empty() {
        roll.part_dice();
    }
    let empty = roll.dice.is_none()
        && roll.needs.is_empty()
        && roll.tries.is_none()
        && roll.passes.is_none()
        && roll.reroll.is_none()
        && roll.rerolls.is_none()
        && roll.count.is_none()
        && roll.modifier.is_none()
        && roll.keep.is_none();
    (!empty).then_some(roll)
}

/// One fact of a roll: how many words it takes.
fn fact(message: &ParsedMessage<'_>, die: u32, at: usize, used: &[bool], roll: &mut Roll) -> usize {
    let before = |words: &[&str]| {
        (1..=2).any(|back| {
            at.checked_sub(back).is_some_and(|place| {
                message.any(place, words)
                    && (place + 1..at)
                        .all(|at| message.any(at, &["a", "an", "the", "only", "his", "my", "their", "her"]))
            })
        })
    };
    let two_sided = before(&["v", "vs", "versus", "against", "beat", "beats"]);
    match &message.tokens[at].kind {
        TokenKind::Dice(dice) => {
            if roll.dice.is_some() && two_sided {
                roll.versus = Some(dice.clone());
            } else if roll.dice.is_none() {
                let several = at
                    .checked_sub(1)
                    .and_then(|at| message.number(at))
                    .filter(|_| dice.starts_with('d') && !used[at - 1]);
                roll.dice = Some(several.map_or_else(|| dice.clone(), |count| format!("{count}{dice}")));
            } else {
                return 0;
            }
            1
        }
        TokenKind::Needs(needs) => {
            roll.needs.push(needs.clone());
            1
        }
        TokenKind::Faces(face) => {
            let count = at
                .checked_sub(1)
                .and_then(|at| message.number(at))
                .or_else(|| (at > 0 && message.any(at - 1, &["one"])).then_some(1));
            if before(&["rerolling", "reroll", "rerolled", "rerolls", "rolling", "again"]) {
                return 0;
            }
            // `three good ones`
            let written = message.text.get(message.tokens[at].span.clone()).unwrap_or_default();
            if written == "ones" && before(&["good", "big", "such", "those", "these", "which", "what", "other"]) {
                return 1;
            }
            // `three 1s on four dice`: so many failed.
            if let Some(count) = count.filter(|_| *face == 1) {
                roll.ones = Some(count);
                roll.count = None;
                return 1;
            }
            if let Some(count) = count {
                if u64::from(die) != *face && roll.passes.is_some() {
                    return 0;
                }
                roll.passes = Some(count);
                roll.count = None;
            }
            if !roll.needs.contains(&format!("{face}+")) {
                roll.needs.push(format!("{face}+"));
            }
            1
        }
        TokenKind::Signed(modifier) => {
            roll.modifier = Some(*modifier);
            1
        }
        // `12 shots, hit only twice`
        TokenKind::Times(times) if before(PASSED) && message.has(Class::Happened) && roll.passes.is_none() => {
            roll.passes = Some(*times);
            1
        }
        TokenKind::Times(times) => {
            roll.tries = Some(*times);
            1
        }
        TokenKind::Share { part, whole, .. } => {
            (roll.passes, roll.tries) = (Some(*part), Some(*whole));
            1
        }
        TokenKind::Number(_) => {
            message.number(at).map_or(0, |number| counted(message, (at, die), number, roll, &before))
        }
        _ => 0,
    }
}

/// What a plain number is to a roll.
fn counted(
    message: &ParsedMessage<'_>,
    (at, die): (usize, u32),
    number: u64,
    roll: &mut Roll,
    before: &dyn Fn(&[&str]) -> bool,
) -> usize {
    let next = at + 1;
    if before(&["plus", "minus"]) {
        let number = i64::try_from(number).unwrap_or(0);
        roll.modifier = Some(if before(&["minus"]) { -number } else { number });
        return 1;
    }
    if before(&["under", "below"]) && number > 1 && !message.is(next, Class::Points) {
        roll.needs.push(format!("{}-", number - 1));
        return 1;
    }
    if before(&["over", "above"]) && number > 1 && (roll.dice.is_some() || message.has(Class::Check)) {
        roll.needs.push(format!("{}+", number + 1));
        return 1;
    }
    if message.any(next, &["or", "and"])
        && message
            .any(next + 1, &["more", "better", "higher", "above", "up", "over", "plus", "upward", "upwards", "greater"])
    {
        roll.needs.push(format!("{number}+"));
        return 3;
    }
    if message.any(next, &["or", "and"])
        && message.any(next + 1, &["less", "lower", "under", "below", "fewer", "worse"])
    {
        roll.needs.push(format!("{number}-"));
        return 3;
    }
    // `5 or 6 is good`
    if message.any(next, &["or"]) && number + 1 == u64::from(die) && message.number(next + 1) == Some(u64::from(die)) {
        roll.needs.push(format!("{number}+"));
        return 3;
    }
    // `two 5+ out of six dice`
    if let Some(TokenKind::Needs(needs)) = message.tokens.get(next).map(|token| &token.kind)
        && message.any(next + 1, &["of", "out", "from", "in", "on", "with"])
        && let Some(place) = (next + 2..next + 4).find(|at| message.number(*at).is_some())
        && message.any(place + 1, &["dice", "rolls", "tries"])
    {
        roll.needs.push(needs.clone());
        (roll.passes, roll.tries) = (Some(number), message.number(place));
        return place + 2 - at;
    }
    // `needing 5s, and seven came up`
    if message.any(next, &["came"]) && message.any(next + 1, &["up", "off", "good", "through"]) {
        roll.passes = Some(number);
        return 3;
    }
    if message.any(next, &["good", "successes"]) && !roll.needs.is_empty() {
        roll.passes = Some(number);
        return 1;
    }
    if message.any(next, &["plus"]) {
        roll.needs.push(format!("{number}+"));
        return 2;
    }
    // `3 failed ice tests in 4`: so many of those that were rolled.
    if message.any(next, FAILED) || message.any(next, &["passed"]) {
        roll.passes = Some(number);
        return 1;
    }
    let told = roll.passes.is_some() || (0..at).any(|at| message.any(at, FAILED) || message.any(at, &["passed"]));
    if before(&["in"])
        && told
        && roll.tries.is_none()
        && (message.is_end(next) || message.any(next, &["tries", "rolls"]))
    {
        roll.tries = Some(number);
        return 1;
    }
    // `12 shots, hit none`, where what each needs is a plain number
    if message.any(next, &["shots", "attacks"]) && message.has(Class::Happened) && roll.tries.is_none() {
        roll.tries = Some(number);
        return 2;
    }
    if message.any(next, &["dice", "die", "rolls", "tries", "attempts", "times", "goes"])
        && !(message.any(next, &["times"]) && message.any(next + 1, &["out", "of", "outta"]))
    {
        roll.count = Some(number);
        if !message.any(next, &["dice", "die"]) || before(&["on", "of", "in", "with", "from", "throwing", "rolling"]) {
            roll.tries.get_or_insert(number);
        }
        return 2;
    }
    // `on a ten sider`
    if message.any(next, &["sided", "sider", "siders"]) || message.any(next, &["sides"]) && before(&["with", "of"]) {
        roll.dice.get_or_insert(format!("1d{number}"));
        // `seven ten-sided dice`
        if let Some(count) = at.checked_sub(1).and_then(|at| message.number(at)) {
            roll.tries.get_or_insert(count);
        }
        return 2;
    }
    let tests = (next..next + 3).any(|at| message.any(at, &["tests", "checks", "saves", "rolls"]));
    if tests && number > 1 && !message.any(next, &["of", "out", "outta"]) {
        roll.tries.get_or_insert(number);
        return 1;
    }
    // `on four occasions out of five`
    let next = next + usize::from(message.any(next, &["occasions", "occasion", "times"]));
    let of = if message.any(next, &["of", "outta"]) {
        Some(next + 1)
    } else if message.any(next, &["out"]) && message.any(next + 1, &["of"]) {
        Some(next + 2)
    } else {
        None
    };
    if let Some(place) = of {
        let place = (place..place + 3).find(|at| message.number(*at).is_some());
        if let Some((place, whole)) = place.and_then(|place| Some((place, message.number(place)?))) {
            (roll.passes, roll.tries) = (Some(number), Some(whole));
            return place + 1 - at;
        }
    }
    if before(&["all"]) {
        roll.tries = Some(number);
        return 1;
    }
    // `one 6`, `three sixes`
    if number <= 20 && matches!(message.tokens.get(next).map(|token| &token.kind), Some(TokenKind::Faces(_))) {
        return 1;
    }
    // `two of them to be 5 or up`
    if message.any(next, &["of"]) && message.any(next + 1, &["them", "em", "those", "these"]) {
        roll.passes = Some(number);
        return 3;
    }
    if number == 1 && message.number(next).is_some() {
        roll.passes = Some(1);
        roll.needs.push(format!("{}+", message.number(next).unwrap_or(6)));
        return 2;
    }
    if message.any(next, PASSED) || message.any(next, FAILED) {
        roll.passes = Some(number);
        return 1;
    }
    // `at least 12 of them` where what each needs is known, or no die shows so much.
    let many = !roll.needs.is_empty() || roll.count.is_some_and(|count| count >= number) && number > u64::from(die);
    if before(&["least"]) && many && roll.dice.is_none() && roll.passes.is_none() {
        roll.passes = Some(number);
        return 1;
    }
    if before(&[
        "on", "needs", "need", "needing", "needed", "a", "beat", "score", "roll", "rolling", "hitting", "saving",
        "wounding", "get", "least",
    ]) && (2..=100).contains(&number)
    {
        roll.needs.push(format!("{number}+"));
        return 1;
    }
    if before(PASSED) || before(FAILED) {
        roll.passes = Some(number);
        return 1;
    }
    0
}
