//! The card of a repair: will it mend, how much, by when.
use super::{Card, Chart, Step};
use crate::report::saying::{
    apart, count, equal_to, listed, mean, mean_of, often, percent, proven, reroll, small, unproven, verb,
};
use crate::wire::packs::{PackAnswer, UnitHead};
use crate::wire::repair::{Order, RepairOutcome, RepairPatch, RepairRequest, RepairTurnRow, RollsForm, RollsName};
use crate::wire::roll::RerollForm;

/// A repair as it was asked for.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The question.
    pub request: &'a RepairRequest,
    /// What a success restores, as it was written: `d3` was no `1d3` to whoever wrote it.
    pub restores: Option<&'a str>,
    /// How many points are hoped for, where that was said.
    pub want: Option<u64>,
    /// Whether it was asked how many come back, and not whether any do.
    pub how_many: bool,
    /// Whether it was said how many turns.
    pub turns_said: bool,
    /// Whether it was left open how much is missing.
    pub missing_open: bool,
    /// Other rules that made the unit's roll what it is.
    pub with: &'a [String],
}

/// The card of a repair; none of an answer without turns. `names` are those of the pack that knows the unit.
pub fn card(asked: &Asked<'_>, names: Option<&PackAnswer>, answer: &RepairOutcome) -> Option<Card> {
    let request = asked.request;
    let want = asked.want.unwrap_or(1).max(1);
    let turns = answer.turns.len();
    let by = if turns == 1 { "in one turn".to_owned() } else { format!("within {turns} turns") };
    let last = answer.turns.last()?;
    let needs = request.needs.to_string();
    let mut card = Card { read_as: described(asked, asked.turns_said.then_some(turns)), ..Card::default() };
    let missing = u64::from(request.missing);
    let missing_open = asked.missing_open.then(|| how_many_missing(request));
    let turns_open = (!asked.turns_said).then(|| count(turns as u64, "turn", "turns"));
    let order_open = request.incoming.is_some() && request.order.is_none();
    let order_open = order_open.then(|| "damage before the repair".to_owned());
    let open: Vec<String> = missing_open.into_iter().chain(turns_open).chain(order_open).collect();
    if !open.is_empty() {
        card.read_as.push_str(&format!(" \u{b7} assumed: {}", open.join(", ")));
    }
    let whose = Whose::of(names, request);
    let back = match want {
        _ if missing == 1 && want == 1 => format!("{} missing {}", whose.its, whose.point(1)),
        1 => format!("at least one {}", whose.point(1)),
        want => format!("at least {want} {}", whose.point(want)),
    };
    let compared: Vec<(String, &RepairOutcome)> = compared(request, answer);
    let fire = request.incoming.is_some();
    card.headline = if compared.is_empty() {
        let stands = if fire {
            format!("; it survives that long {} of the time", percent(unproven(last.alive)))
        } else {
            String::new()
        };
        let get = verb("get", whose.many);
        // How many come back is asked for by a number, whether any by a chance.
        let much = asked.how_many && missing > 1 && !fire && asked.want.is_none();
        let average = mean_of(last.restored.expected, missing, last.restored.is_sure());
        let point = whose.point(missing);
        if much {
            let all = match last.restored.at_least(missing) {
                none if none <= 0.0 => "but never all of them".to_owned(),
                all => format!("and all of them {}", often(all)),
            };
            format!(
                "{} {get} {average} of {} {missing} missing {point} back {by} on average, {all}.",
                whose.name, whose.its
            )
        } else {
            let most = if missing > 1 && want == 1 && !fire {
                format!("; {average} of {} {missing} missing {point} on average", whose.its)
            } else {
                String::new()
            };
            format!("{} {get} {back} back {by} {}{most}{stands}.", whose.name, often(last.restored.at_least(want)))
        }
    } else {
        let reached = |of: &RepairOutcome| of.turns.last().map_or(0.0, |turn| turn.restored.at_least(want));
        let all: Vec<f64> =
            std::iter::once(reached(answer)).chain(compared.iter().map(|(_, other)| reached(other))).collect();
        let said = apart(&all);
        let mut sides = vec![format!("On {needs} it gets {back} back {by} {} of the time", said[0])];
        sides.extend(compared.iter().zip(&said[1..]).map(|((name, _), said)| format!("on {name} {said} of the time")));
        format!("{}.", sides.join("; "))
    };
    let all =
        std::iter::once((needs.clone(), answer)).chain(compared.iter().map(|(name, other)| (name.clone(), *other)));
    for (name, one) in all {
        let fraction = equal_to(Some(&one.fraction));
        let chance = proven(one.chance, Some(&one.fraction));
        card.line(format!("one roll on {name}"), format!("{}{fraction}", percent(chance)));
        let back = one.turns.last().map_or(0.0, |turn| turn.restored.expected);
        card.line(format!("{} back", whose.point(2)), format!("{} on average", mean(back)));
        let capacity = u64::from(request.capacity);
        if fire {
            card.line("still alive", percent(unproven(1.0 - one.destroyed.chance)));
        }
        let several = if compared.is_empty() { "" } else { name.as_str() };
        card.steps.extend(one.turns.iter().map(|turn| step(several, turn, (fire, capacity, missing))));
    }
    card.chart = Some(Chart::of(format!("{} back", whose.point(2)), &last.restored, |points| points >= want));
    card.follow_up("one more turn", format!("what about {} turns", turns + 1));
    if compared.is_empty() {
        card.follow_up("re-roll failures", "what about rerolling failures");
    }
    Some(card)
}

/// The other rules that were compared, each with what it comes to.
fn compared<'a>(request: &RepairRequest, answer: &'a RepairOutcome) -> Vec<(String, &'a RepairOutcome)> {
    let names = request.compare.iter().flatten().map(|patch| needs_of(patch).unwrap_or_else(|| "the other".to_owned()));
    names.zip(answer.compared.iter().flatten()).collect()
}

/// Who mends, and what comes back, in the words of the pack.
struct Whose {
    name: String,
    its: &'static str,
    many: bool,
    words: (String, String),
}

impl Whose {
    fn of(names: Option<&PackAnswer>, request: &RepairRequest) -> Self {
        let label = label(request).and_then(|label| label.split(" (").next());
        let unit = label.and_then(|label| names?.unit_called(label));
        let many = unit.is_some_and(UnitHead::counts_as_many);
        let name = label.map_or_else(|| "It".to_owned(), |label| format!("The {label}"));
        let said = |word: &str| names.and_then(|names| names.labels.get(word)).cloned();
        let words = match unit.map(|unit| if unit.armoured { "structure" } else { "health" }) {
            None => ("point".to_owned(), "points".to_owned()),
            Some(word) => match said(word) {
                // A club that counts its structure has no points of it.
                Some(own) => (own.strip_suffix('s').unwrap_or(&own).to_owned(), own),
                None => (format!("point of {word}"), format!("points of {word}")),
            },
        };
        Self { name, its: if many { "their" } else { "its" }, many, words }
    }

    /// What so many of what is missing are called.
    fn point(&self, number: u64) -> &str {
        if number == 1 { &self.words.0 } else { &self.words.1 }
    }
}

/// One turn; `needs` says whose, where several are compared.
fn step(needs: &str, turn: &RepairTurnRow, (fire, capacity, missing): (bool, u64, u64)) -> Step {
    let whose = if needs.is_empty() { String::new() } else { format!("{needs}, ") };
    let any = percent(turn.restored.at_least(1));
    let mut text = if missing == 1 && !fire {
        format!("back by then {any}")
    } else {
        format!(
            "at least one back by then {any}; on average {} back and {} missing",
            mean(turn.restored.expected),
            mean(turn.missing.expected),
        )
    };
    if fire {
        // Where no more than what is left can be missing, it is alive.
        let safe = turn.missing.highest() < capacity;
        text.push_str(&format!(", still alive {}", percent(if safe { 1.0 } else { unproven(turn.alive) })));
    }
    Step { name: format!("{whose}turn {}", turn.turn), text, ..Step::default() }
}

/// `3 of 5 missing`. How many it has when whole may not have been said, and then makes no difference: one more than what is
/// missing stands for it.
fn how_many_missing(request: &RepairRequest) -> String {
    let (missing, whole) = (request.missing, request.capacity);
    let open = whole == missing + 1 && request.incoming.is_none() && label(request).is_none();
    if open { format!("{missing} missing") } else { format!("{missing} of {whole} missing") }
}

/// All that was read, in canonical words; the turns where they were said.
pub fn described(asked: &Asked<'_>, turns: Option<usize>) -> String {
    let request = asked.request;
    let mut parts = vec![request.needs.to_string()];
    for patch in request.compare.iter().flatten() {
        parts.push(format!("or {}", needs_of(patch).unwrap_or_default()));
    }
    let die = request.die.filter(|die| *die != 6).map(|die| format!("on d{die}"));
    parts.extend(die);
    let mut parts = vec![parts.join(" ")];
    if let Some(whose) = label(request) {
        // `Tread Hauler (Thaw gang with Hot irons)`
        let with = if asked.with.is_empty() { String::new() } else { format!(" with {}", listed(asked.with)) };
        parts.insert(
            0,
            match whose.strip_suffix(')') {
                Some(whose) => format!("{whose}{with})"),
                None => format!("{whose}{with}"),
            },
        );
    }
    if let Some(RollsForm::Number(rolls)) = request.rolls
        && rolls > 1
    {
        parts.push(format!("{} tries a turn", small(rolls.into())));
    }
    if !asked.missing_open {
        parts.push(how_many_missing(request));
    }
    parts.extend(turns.map(|turns| count(turns as u64, "turn", "turns")));
    if let Some(modifier) = request.modifier.filter(|modifier| *modifier != 0) {
        parts.push(format!("{modifier:+}"));
    }
    if let Some(what) = request.reroll.filter(|what| *what != RerollForm::None) {
        parts.push(reroll(what.word(), Some(&request.needs.to_string())).to_owned());
    }
    if request.rolls == Some(RollsForm::Named(RollsName::EachMissing)) {
        parts.push("a roll for each missing point".into());
    }
    if let Some(restores) = request.restores.as_ref().filter(|restores| restores.number() != Some(1)) {
        let written = asked.restores.map_or_else(|| restores.to_string(), str::to_owned);
        parts.push(format!("restoring {written}"));
    }
    if request.incoming.is_some() {
        parts.push("under fire".to_owned());
    }
    match request.order {
        Some(Order::RepairFirst) => parts.push("repair first".to_owned()),
        Some(Order::DamageFirst) => parts.push("damage first".to_owned()),
        None => {}
    }
    parts.join(", ")
}

/// What another rule needs, where it says it.
fn needs_of(patch: &RepairPatch) -> Option<String> {
    patch.needs.map(|needs| needs.to_string())
}

/// Whose repair it is, and by which rule.
fn label(request: &RepairRequest) -> Option<&str> {
    request.label.as_ref().map(|label| label.0.as_str())
}
