//! `/compare`: several units against one target, or against several, side by side.
use super::asked::{Asked, Halt, set};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::{named, put_side, unit_name};
use crate::card::{Bar, Card, Chart};
use crate::client::answers::{CompareAnswer, Compared};
use crate::client::index::{NameKind, PackIndex};
use crate::link::Link;
use crate::saying::{listed, mean, percent, sentence};
use crate::typing::Value;
use serde_json::{Value as Json, json};

/// The definition.
pub const COMPARE: Command = Command {
    name: "compare",
    about: "Several units against one target or several: which does more, and for which points?",
    words: &["compare", "compared", "comparison"],
    options: &[
        Opt::new("units", Kind::Side, "The units to compare: how many of each, and what they carry")
            .many()
            .required("Which units? Name two or more, such as this or that one, v the target."),
        Opt::new("target", Kind::Side, "Who is attacked; several may be named")
            .many()
            .required("Against whom? Name the target."),
        Opt::new("arc", Kind::Name(NameKind::Arc), "The side of the target that is hit"),
        Opt::new("range", Kind::Name(NameKind::Range), "The range band"),
        Opt::new("cover", Kind::Name(NameKind::Cover), "What the target stands behind"),
        Opt::new("situation", Kind::Name(NameKind::Situation), "What else is so on the table").many(),
    ],
    shares: &[],
    examples: &[],
    path: Some("/v1/compare"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    let question = question(&asked)?;
    let answer: CompareAnswer = asked.api.ask("/v1/compare", &question).await?;
    Ok(card(asked.names()?, question, &answer))
}

fn question(asked: &Asked<'_>) -> Result<Json, Halt> {
    let names = asked.names()?;
    let mut question = asked.question();
    let sides = |option: &str| -> Vec<Json> {
        let seated = |value: &Value| match value {
            Value::Side(side) => {
                let mut form = json!({});
                put_side(&mut form, "side", side);
                Some(form["side"].take())
            }
            _ => None,
        };
        asked.read.all(option).filter_map(|arg| seated(&arg.value)).collect()
    };
    let (attackers, targets) = (sides("units"), sides("target"));
    if !attackers.is_empty() {
        let variant = |side: Json| json!({"matchup": {"pack": names.id, "attacker": side}});
        set(&mut question, "/variants", attackers.into_iter().map(variant).collect());
    }
    if !targets.is_empty() {
        set(&mut question, "/targets", targets.into_iter().map(|side| json!({"unit": side})).collect());
    }
    asked.need(&question, "units", "/variants")?;
    asked.need(&question, "target", "/targets")?;
    for variant in question["variants"].as_array_mut().into_iter().flatten() {
        for option in ["arc", "range", "cover"] {
            asked.put(variant, option, &format!("/matchup/situation/{option}"));
        }
        for arg in asked.read.all("situation") {
            if let Value::Name(name) = &arg.value {
                set(variant, &format!("/matchup/situation/{}", name.id), json!(true));
            }
        }
    }
    Ok(question)
}

/// What a row takes away: models, or points of structure.
fn removed(row: &Compared) -> (f64, &'static str) {
    match (row.models, row.structure) {
        (Some(models), _) => (models, "models"),
        (None, structure) => (structure.unwrap_or(0.0), "structure"),
    }
}

fn card(names: &PackIndex, question: Json, answer: &CompareAnswer) -> Card {
    let targets: Vec<&str> = answer.rows.iter().fold(Vec::new(), |mut known, row| {
        if !known.contains(&row.target.as_str()) {
            known.push(&row.target);
        }
        known
    });
    let mut card = Card { headline: headline(&targets, &answer.rows), ..Card::default() };
    for row in &answer.rows {
        let (number, what) = removed(row);
        let label = if targets.len() > 1 { format!("{} v {}", row.variant, row.target) } else { row.variant.clone() };
        let each = row.points_each.map_or_else(String::new, |each| format!(", {} points for each", mean(each)));
        let all = percent(row.destroyed.chance);
        card.line(label, format!("{} {what} on average, all gone {all}{each}", mean(number)));
    }
    if targets.len() == 1 && answer.rows.iter().any(|row| row.destroyed.chance > 0.0) {
        let most = answer.rows.iter().map(|row| row.destroyed.chance).fold(0.0, f64::max);
        let bars = answer.rows.iter().map(|row| Bar {
            label: row.variant.clone(),
            chance: row.destroyed.chance,
            strong: row.destroyed.chance >= most,
        });
        let title = format!("{} all gone", targets[0]);
        let said = answer.rows.iter().map(|row| format!("{} {}", row.variant, percent(row.destroyed.chance)));
        let alt = format!("Bar chart of {title}: {}.", said.collect::<Vec<_>>().join(", "));
        card.chart = Some(Chart { title, bars: bars.collect(), alt });
    }
    card.read_as = described(names, &question);
    let variants = question["variants"].as_array().map(Vec::as_slice).unwrap_or_default();
    let now = variants.first().map(|variant| variant["matchup"]["situation"].clone()).unwrap_or_default();
    let arc = now["arc"].as_str().or_else(|| names.arcs.first().map(|arc| arc.id.as_str()));
    for other in names.arcs.iter().filter(|other| Some(other.id.as_str()) != arc).take(2) {
        card.follow_up(other.name.to_lowercase(), format!("what about from the {}", other.name.to_lowercase()));
    }
    let range = now["range"].as_str();
    for other in names.ranges.iter().filter(|other| Some(other.id.as_str()) != range).take(2) {
        card.follow_up(other.name.to_lowercase(), format!("what about {}", other.name.to_lowercase()));
    }
    card.link = Some(Link::new("/v1/compare", question));
    card
}

/// Who takes most from the target, and who does it for the fewest points.
fn headline(targets: &[&str], rows: &[Compared]) -> String {
    let said = targets.iter().map(|target| {
        let on: Vec<&Compared> = rows.iter().filter(|row| row.target == *target).collect();
        let Some(most) = on.iter().max_by(|one, other| removed(one).0.total_cmp(&removed(other).0)) else {
            return String::new();
        };
        if removed(most).0 <= 0.0 {
            return format!("none of them hurts the {target}");
        }
        let priced = on.iter().filter_map(|row| Some((row, row.points_each?)));
        let cheap = priced.min_by(|one, other| one.1.total_cmp(&other.1)).map(|(row, _)| row.variant.as_str());
        let points = match cheap {
            Some(cheap) if cheap == most.variant => ", and for the fewest points".to_owned(),
            Some(cheap) => format!(", {cheap} for the fewest points"),
            None => String::new(),
        };
        format!("{} takes most from the {target}{points}", most.variant)
    });
    format!("{}.", sentence(&said.collect::<Vec<_>>().join("; ")))
}

fn described(names: &PackIndex, question: &Json) -> String {
    let side = |side: &Json| {
        let models = side["models"].as_u64().map_or_else(String::new, |models| format!("{models} x "));
        let mut words = format!("{models}{}", unit_name(names, &side["unit"]));
        for option in side["options"].as_array().into_iter().flatten() {
            words.push_str(&format!(" + {}", named(names, NameKind::Extra, option)));
        }
        words
    };
    let all = |list: &Json, at: &str| {
        let each = list.as_array().into_iter().flatten();
        listed(&each.map(|one| side(one.pointer(at).unwrap_or(&Json::Null))).collect::<Vec<_>>())
    };
    let mut parts =
        vec![format!("{} v {}", all(&question["variants"], "/matchup/attacker"), all(&question["targets"], "/unit"))];
    let situation = &question["variants"][0]["matchup"]["situation"];
    for (key, kind) in [("arc", NameKind::Arc), ("range", NameKind::Range), ("cover", NameKind::Cover)] {
        if let Some(word) = situation.get(key) {
            parts.push(named(names, kind, word));
        }
    }
    for flag in &names.situation {
        if situation[flag.id.as_str()] == json!(true) {
            parts.push(flag.name.to_lowercase());
        }
    }
    parts.join(", ")
}
