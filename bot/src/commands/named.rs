//! Checks that the pack names: `/check charge 9`, for one unit or for all that take it.
use super::asked::{Asked, Halt};
use super::check;
use super::unit::unit_of;
use crate::card::Card;
use crate::client::index::PackIndex;
use crate::draft::{Draft, set, unset};
use crate::link::Link;
use crate::saying::{apart, equal_to, proven, sentence};
use crate::typing::{Name, Value};
use futures::future::try_join_all;
use pipwright_shared::wire::check::CheckOutcome;
use pipwright_shared::wire::packs::CheckForm;
use serde_json::{Value as Json, json};

/// A check of the pack as one unit takes it.
struct Taken {
    unit: String,
    check: CheckForm,
}

impl Taken {
    /// The question of it.
    fn request(&self) -> Json {
        json!(self.check.request)
    }
}

/// The request for a check of the pack, where one is named with its unit; and how the pack words it.
///
/// # Errors
/// Where the unit does not take it, or the service does not tell it.
pub async fn request(asked: &Asked<'_>) -> Result<Option<(Json, Vec<String>)>, Halt> {
    let (Some(name), Some(unit)) = (asked.read.name("check"), asked.read.name("unit")) else { return Ok(None) };
    let Some(taken) = taken(asked, name, &unit.id).await? else {
        return Err(Halt::Say(format!("{} does not take that check: {}.", unit.name, name.name.to_lowercase())));
    };
    let mut request = taken.request();
    set(&mut request, "/label", Json::from(format!("{}: {}", taken.unit, words(&taken.check))));
    let because = taken.check.because.iter();
    let because = because.map(|reason| format!("{}: {}", rule_name(asked.index, &reason.rule), reason.effect));
    Ok(Some((request, because.collect())))
}

/// The request for a check that is named: as its unit takes it, or as all do where they take it alike.
///
/// # Errors
/// Where it depends on the unit and none was said, or the service does not tell it.
pub async fn one(asked: &Asked<'_>) -> Result<Option<Json>, Halt> {
    let Some(name) = asked.read.name("check") else { return Ok(None) };
    if let Some((request, _)) = request(asked).await? {
        return Ok(Some(request));
    }
    let each = try_join_all(asked.names()?.units.iter().map(|unit| taken(asked, name, &unit.id))).await?;
    let plain = |request: &Json| {
        let extra = ["reroll", "rerolls", "modifier"].iter().filter(|key| request.part(key).is_said()).count();
        (extra, request.to_string().len())
    };
    let mut requests: Vec<Json> = each.into_iter().flatten().map(|taken| taken.request()).collect();
    requests.sort_by_key(plain);
    let same = |key: &str| requests.iter().all(|request| request.part(key) == requests[0].part(key));
    // What it needed may be said, and then it does not matter whose it was.
    if let Some(Value::Needs(needs)) = asked.read.given("needs")
        && !requests.is_empty()
        && same("dice")
        && same("die")
    {
        let mut request = requests.swap_remove(0);
        set(&mut request, "/needs", Json::from(needs.clone()));
        // What was needed is what the dice had to show: what some unit adds or rolls again is none of it.
        ["modifier", "reroll", "rerolls"].into_iter().for_each(|key| unset(&mut request, key));
        return Ok(Some(request));
    }
    if requests.is_empty() || !same("needs") || !same("dice") || !same("die") {
        return Err(Halt::missing("unit", "Whose check was it? Say which unit."));
    }
    Ok(requests.into_iter().next())
}

/// The card of a check that is named without a unit: what it comes to for each unit of the pack.
///
/// # Errors
/// Where no unit takes it, or the service does not tell it.
pub async fn all(asked: &Asked<'_>, name: &Name) -> Result<Card, Halt> {
    let units = &asked.names()?.units;
    let each = try_join_all(units.iter().map(|unit| taken(asked, name, &unit.id))).await?;
    let mut groups: Vec<(Json, Vec<Taken>)> = Vec::new();
    for taken in each.into_iter().flatten() {
        let request = taken.request();
        match groups.iter_mut().find(|(known, _)| *known == request) {
            Some((_, group)) => group.push(taken),
            None => groups.push((request, vec![taken])),
        }
    }
    let answers: Vec<CheckOutcome> =
        try_join_all(groups.iter().map(|(request, _)| asked.api.ask("/v1/check", request))).await?;
    let mut rows: Vec<(CheckOutcome, Json, Vec<Taken>)> =
        answers.into_iter().zip(groups).map(|(answer, (request, group))| (answer, request, group)).collect();
    rows.sort_by(|a, b| b.0.chance.total_cmp(&a.0.chance));
    let Some((best, request, first)) = rows.first() else {
        return Err(Halt::Say(format!("No unit of this pack takes that check: {}.", name.name)));
    };
    let what = words(&first[0].check);
    let mut card = Card::default();
    let sure = |answer: &CheckOutcome| proven(answer.chance, Some(&answer.fraction));
    let said = apart(&rows.iter().map(|row| sure(&row.0)).collect::<Vec<_>>());
    // A roll against the other side's is won or lost, by a side and not by a unit.
    let opposed = request.versus().is_said();
    card.headline = if rows.len() == 1 && opposed {
        let often = crate::saying::often(sure(best));
        match request.ties() {
            Some("again") => format!("{what}: either side wins {often}."),
            Some("win") => format!("{what}: the side that wins ties wins {often}, the other side otherwise."),
            _ => format!("{what}: the side that loses ties wins {often}, the other side otherwise."),
        }
    } else if rows.len() == 1 {
        format!("{what}: any unit passes {}.", crate::saying::often(sure(best)))
    } else {
        format!(
            "{what} passes {} to {} of the time, depending on the unit.",
            said.last().map_or("", String::as_str),
            said[0]
        )
    };
    card.text.push(first[0].check.text.clone());
    for ((answer, _, group), chance) in rows.iter().zip(&said) {
        let names: Vec<&str> = group.iter().map(|taken| taken.unit.as_str()).collect();
        let fraction = equal_to(Some(&answer.fraction));
        let label = format!("{chance}{fraction}");
        let units = if rows.len() > 1 {
            names.join(", ")
        } else if opposed {
            "either side".to_owned()
        } else {
            "all units".to_owned()
        };
        let units = format!("{units}: {}", check::described(&group[0].request())?);
        // Different rolls may come to the same chance.
        match card.lines.last_mut().filter(|last| last.label == label) {
            Some(last) => last.value = format!("{}; {units}", last.value),
            None => card.line(label, units),
        }
    }
    if rows.len() == 1 {
        card.link = Some(Link::new("/v1/check", request.clone()));
    }
    card.read_as = what;
    // It is the same whoever takes it: then there is nobody to be named.
    for (_, _, group) in rows.iter().take(3).filter(|_| !(opposed && rows.len() == 1)) {
        card.follow_up(
            group[0].unit.clone(),
            format!(
                "/check {} {} {}",
                name.name,
                asked_number(asked).map_or_else(String::new, |number| number.to_string()),
                group[0].unit
            ),
        );
    }
    Ok(card)
}

/// The check as a unit takes it.
async fn taken(asked: &Asked<'_>, name: &Name, unit: &str) -> Result<Option<Taken>, Halt> {
    let number = asked_number(asked).map(|number| number.to_string());
    let mut query: Vec<(&str, &str)> = number.iter().map(|number| ("asked", number.as_str())).collect();
    let own = super::unit::carried(asked);
    query.extend(own.iter().map(|(key, value)| (*key, value.as_str())));
    let unit = unit_of(asked, unit, &query).await?;
    let check = unit.checks.into_iter().find(|check| check.id == name.id);
    Ok(check.map(|check| Taken { unit: unit.name, check }))
}

/// The number that the check asks for: said as a distance, or as what a roll would need.
fn asked_number(asked: &Asked<'_>) -> Option<u64> {
    asked.read.number("distance").or_else(|| match asked.read.given("needs") {
        Some(Value::Needs(needs)) => needs.trim_end_matches(['+', '-']).parse().ok(),
        _ => None,
    })
}

/// `Charge of 9"`, `Rally (models lost: 3)`.
fn words(check: &CheckForm) -> String {
    let name = sentence(&check.name);
    match (check.asks.as_deref(), check.asked) {
        (Some(what), Some(number)) if what.contains("inches") => format!("{name} of {number}\""),
        (Some(what), Some(number)) => format!("{name} ({what}: {number})"),
        _ => name,
    }
}

fn rule_name(index: Option<&PackIndex>, id: &str) -> String {
    let known = index.and_then(|index| index.rules.iter().find(|rule| rule.id == id));
    known.map_or_else(|| sentence(&id.replace('-', " ")), |rule| rule.name.clone())
}
