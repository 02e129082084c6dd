//! `/compare`: several units against one target, or against several, side by side.
use super::asked::{Asked, Halt, set, unset};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::{assume, counted, named, put_side};
use super::needed::sure;
use crate::card::{Bar, Card, Chart, Step};
use crate::client::answers::{CompareAnswer, Compared};
use crate::client::index::{NameKind, PackIndex};
use crate::link::Link;
use crate::saying::{apart, count, listed, mean, means_apart, percent, place, sentence, small, unproven};
use crate::typing::Value;
use serde_json::{Value as Json, json};
use std::cmp::Ordering;

/// The definition.
pub const COMPARE: Command = Command {
    name: "compare",
    about: "Several units against one target or several: which does more, at equal points or for a wanted chance?",
    words: &[
        "compare",
        "compared",
        "comparison",
        "cheapest",
        "cheapest way",
        "cheaply",
        "to kill",
        "to wreck",
        "to destroy",
    ],
    options: &[
        Opt::new("units", Kind::Side, "The units to compare: how many of each, and what they carry").many(),
        Opt::new("target", Kind::Side, "Who is attacked; several may be named")
            .many()
            .required("Against whom? Name the target."),
        Opt::new("points", Kind::Number, "At equal points: as many of each as these buy")
            .cues(&["points", "point", "pts"]),
        Opt::new(
            "chance",
            Kind::Chance,
            "As many of each as it takes to destroy all of it this often, the cheapest first",
        )
        .cues(&["sure", "certain"])
        .bare(),
        Opt::new("arc", Kind::Name(NameKind::Arc), "The side of the target that is hit"),
        Opt::new("range", Kind::Name(NameKind::Range), "The range band"),
        Opt::new("cover", Kind::Name(NameKind::Cover), "What the target stands behind"),
        Opt::new("situation", Kind::Name(NameKind::Situation), "Anything else about the table").many(),
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
        // Other units on the same table: it stays as it was said before.
        let before = ["/every/situation", "/variants/0/matchup/situation"];
        let table = before.iter().find_map(|at| question.pointer(at)).cloned();
        let variant = |side: Json| {
            let mut variant = json!({"matchup": {"pack": names.id, "attacker": side}});
            if let Some(table) = &table {
                set(&mut variant, "/matchup/situation", table.clone());
            }
            variant
        };
        set(&mut question, "/variants", attackers.into_iter().map(variant).collect());
    }
    if !targets.is_empty() {
        set(&mut question, "/targets", targets.into_iter().map(|side| json!({"unit": side})).collect());
    }
    asked.need(&question, "target", "/targets")?;
    if let Some(points) = asked.read.number("points") {
        set(&mut question, "/points", json!(points));
        unset(&mut question, "want");
    }
    if let Some(chance) = asked.read.get("chance").map(Value::json) {
        set(&mut question, "/want/destroyed", chance);
        unset(&mut question, "points");
    }
    if question.get("variants").is_none() {
        if question.get("want").is_none() && question.get("points").is_none() {
            let sentence = "Which units? Name two or more, such as this or that one, v the target; or say a chance, or \
                            points, and all units are compared.";
            return Err(Halt::Missing { option: Some("units"), question: sentence.into(), choices: Vec::new() });
        }
        set(&mut question, "/every/pack", json!(names.id));
    } else {
        unset(&mut question, "every");
    }
    for variant in question.get_mut("variants").and_then(Json::as_array_mut).into_iter().flatten() {
        situate(asked, variant, "/matchup/situation");
    }
    if question.get("every").is_some() {
        situate(asked, &mut question, "/every/situation");
    }
    Ok(question)
}

/// What the table adds.
fn situate(asked: &Asked<'_>, of: &mut Json, at: &str) {
    for option in ["arc", "range", "cover"] {
        asked.put(of, option, &format!("{at}/{option}"));
    }
    for arg in asked.read.all("situation") {
        if let Value::Name(name) = &arg.value {
            set(of, &format!("{at}/{}", name.id), json!(true));
        }
    }
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
    let (wanted, points) = (question["want"]["destroyed"].as_f64(), question["points"].as_u64());
    let mut rows: Vec<&Compared> = answer.rows.iter().collect();
    if wanted.is_some() {
        // The cheapest first; those that no list may hold behind those, and those that do not do it last.
        rows.sort_by_key(|row| (row.attackers.is_none(), !fits(names, row), row.points.unwrap_or(u64::MAX)));
    } else if question.get("every").is_some() {
        // In the order of which the headline speaks: who does most comes first.
        rows.sort_by(|one, other| {
            (removed(other).0, other.destroyed.chance)
                .partial_cmp(&(removed(one).0, one.destroyed.chance))
                .unwrap_or(Ordering::Equal)
        });
    }
    let said = match (wanted, points) {
        (Some(wanted), _) => cheapest(names, &targets, &rows, wanted),
        (None, Some(points)) => format!("For {points} points each: {}", headline(names, &targets, &answer.rows)),
        (None, None) => headline(names, &targets, &answer.rows),
    };
    let mut card = Card { headline: sentence(&said), ..Card::default() };
    // What stands in one table is told apart.
    let alls = apart(&rows.iter().map(|row| unproven(row.destroyed.chance)).collect::<Vec<_>>());
    let numbers = means_apart(&rows.iter().map(|row| removed(row).0).collect::<Vec<_>>());
    for (index, row) in rows.iter().enumerate() {
        let label_of = |key| names.labels.get(key).map_or(key, String::as_str);
        let one = label_of(if removed(row).1 == "models" { "model" } else { removed(row).1 });
        let what = if numbers[index] == "1" { one } else { label_of(removed(row).1) };
        let name = many(names, row);
        let label = if targets.len() > 1 { format!("{name} v {}", row.target) } else { name };
        let (all, number) = (&alls[index], &numbers[index]);
        let cost = |points: Option<u64>| count(points.unwrap_or(0), "point", "points");
        let each =
            row.points_each.map_or_else(String::new, |each| format!(", {} points spent for each {one}", mean(each)));
        // Of one hull there is no all.
        let gone = if row.structure.is_some() { "wrecked" } else { "all gone" };
        let text = match (wanted, points) {
            (Some(_), _) if row.attackers.is_none() => {
                let most = row.points.map_or_else(String::new, |points| format!(" for {points} points"));
                let tried = names.unit_called(&row.variant).map(|unit| unit.counting(names).digits(TRIED));
                let tried = tried.unwrap_or_else(|| TRIED.to_string());
                format!("not with {tried}{most} ({gone} {all}); more were not tried")
            }
            (Some(_), _) => format!("{}: {gone} {all}{}", cost(row.points), beyond(names, row)),
            (None, Some(_)) if row.attackers == Some(0) => "one costs more than that".to_owned(),
            (None, Some(_)) => {
                format!("{number} {what} on average, {gone} {all}, {}{}", cost(row.points), beyond(names, row))
            }
            (None, None) => format!("{number} {what} on average, {gone} {all}{each}"),
        };
        if index < MOST {
            card.line(label, text);
        } else {
            card.steps.push(Step { name: label, text, ..Step::default() });
        }
    }
    if wanted.is_none()
        && rows.len() <= MOST
        && targets.len() == 1
        && answer.rows.iter().any(|row| row.destroyed.chance > 0.0)
    {
        let most = answer.rows.iter().map(|row| row.destroyed.chance).fold(0.0, f64::max);
        let bars = answer.rows.iter().map(|row| Bar {
            label: row.variant.clone(),
            chance: unproven(row.destroyed.chance),
            strong: row.destroyed.chance >= most,
        });
        let hull = answer.rows.iter().all(|row| row.structure.is_some());
        let title = format!("{} {}", targets[0], if hull { "wrecked" } else { "all gone" });
        let said = answer.rows.iter().map(|row| format!("{} {}", row.variant, percent(unproven(row.destroyed.chance))));
        let alt = format!("Bar chart of {title}: {}.", said.collect::<Vec<_>>().join(", "));
        card.chart = Some(Chart { title, bars: bars.collect(), alt, whole: true, ..Chart::default() });
    }
    card.read_as = described(names, &question);
    assume(&mut card, &answer.defaults);
    let variants = question["variants"].as_array().map(Vec::as_slice).unwrap_or_default();
    let now = variants.first().map(|variant| variant["matchup"]["situation"].clone());
    let now = now.unwrap_or_else(|| question["every"]["situation"].clone());
    let arc = now["arc"].as_str().or_else(|| names.arcs.first().map(|arc| arc.id.as_str()));
    for other in names.arcs.iter().filter(|other| Some(other.id.as_str()) != arc).take(2) {
        card.follow_up(other.name.to_lowercase(), format!("what about from the {}", other.name.to_lowercase()));
    }
    // What was taken for granted is what was just answered.
    let open = answer.defaults.iter().find(|stated| stated.pointer.ends_with("/situation/range"));
    let range = now["range"].as_str().or(open.and_then(|stated| stated.value.as_str()));
    for other in names.ranges.iter().filter(|other| Some(other.id.as_str()) != range).take(2) {
        card.follow_up(other.name.to_lowercase(), format!("what about {}", other.name.to_lowercase()));
    }
    if wanted.is_some() {
        card.follow_up("at equal points", "what about 500 points");
    }
    for other in [0.5, 0.9].into_iter().filter(|other| wanted.is_some_and(|wanted| (other - wanted).abs() > 0.01)) {
        card.follow_up(sure(other), format!("what about {}", sure(other)));
    }
    if rows.len() > MOST {
        card.notes.push(format!("The first {} of {}; type `steps` for the rest.", small(MOST as u64), rows.len()));
    }
    for left in &answer.left_out {
        card.notes.push(format!("Left out: {}, {}.", left.name, left.why));
    }
    card.link = Some(Link::new("/v1/compare", question));
    card
}

/// As many as are tried where nobody says, as the service has it.
const TRIED: u32 = 60;

/// `6 Ram Barges`, where it was looked for how many.
fn many(names: &PackIndex, row: &Compared) -> String {
    let number = row.attackers.and_then(|number| u32::try_from(number).ok()).filter(|number| *number > 0);
    match (number, names.unit_called(&row.variant)) {
        // More than one unit may have are several units.
        (Some(number), Some(unit))
            if unit.most > 1 && u64::from(number) > unit.most && !unit.armoured && !unit.is_counted_whole() =>
        {
            let units = u64::from(number).div_ceil(unit.most);
            format!("{} ({} units)", unit.counting(names).in_full(number), small(units))
        }
        (Some(number), Some(unit)) => unit.counting(names).in_full(number),
        (Some(number), None) if number > 1 => format!("{number} {}", row.variant),
        _ => row.variant.clone(),
    }
}

/// Says it where a list may not hold so many.
fn beyond(names: &PackIndex, row: &Compared) -> String {
    let unit = names.unit_called(&row.variant);
    let most = unit.and_then(|unit| Some((unit, unit.list_most.filter(|most| row.attackers > Some(*most))?)));
    most.map_or_else(String::new, |(unit, most)| {
        let most = u32::try_from(most).unwrap_or(u32::MAX);
        let counting = unit.counting(names);
        let most = if unit.is_counted_whole() { counting.units(most) } else { most };
        format!(" (at most {most} in a list)")
    })
}

/// Who does what is wanted for the fewest points.
fn cheapest(names: &PackIndex, targets: &[&str], rows: &[&Compared], wanted: f64) -> String {
    let sure = sure(wanted);
    let said = targets.iter().map(|target| {
        let able: Vec<_> = rows.iter().filter(|row| row.target == *target && row.attackers.is_some()).take(2).collect();
        let chances = apart(&able.iter().map(|row| unproven(row.destroyed.chance)).collect::<Vec<_>>());
        let told = |at: usize| {
            format!(
                "{} for {} ({})",
                many(names, able[at]),
                count(able[at].points.unwrap_or(0), "point", "points"),
                chances[at]
            )
        };
        match able.len() {
            0 => format!("nobody reaches {sure} against the {target} with as many as were tried"),
            1 => format!("only {} can reach {sure} against the {target} with as many as were tried", told(0)),
            _ => format!("cheapest for {sure} against the {target}: {}, then {}", told(0), told(1)),
        }
    });
    format!("{}.", said.collect::<Vec<_>>().join("; "))
}

/// Rows that a phone shows.
const MOST: usize = 8;

/// Whether a list may hold so many.
fn fits(names: &PackIndex, row: &Compared) -> bool {
    let most = names.unit_called(&row.variant).and_then(|unit| unit.list_most);
    most.is_none_or(|most| row.attackers.is_none_or(|number| number <= most))
}

/// Who takes most from the target, and who takes most for each point.
fn headline(names: &PackIndex, targets: &[&str], rows: &[Compared]) -> String {
    let several = |name: &str| names.unit_called(name).map_or_else(|| name.to_owned(), |unit| unit.plural.clone());
    // One unit against several: what it does to each of them, for nobody does more.
    if rows.len() > 1 && rows.iter().all(|row| row.variant == rows[0].variant) {
        let numbers = means_apart(&rows.iter().map(|row| removed(row).0).collect::<Vec<_>>());
        let each = rows.iter().zip(&numbers).map(|(row, number)| {
            let what = removed(row).1;
            let what = names.labels.get(what).map_or(what, String::as_str);
            format!("{number} {what} of the {}", row.target)
        });
        let does = if names.unit_called(&rows[0].variant).is_some() { "take" } else { "takes" };
        return format!("{} {does} {} on average.", several(&rows[0].variant), listed(&each.collect::<Vec<_>>()));
    }
    let said = targets.iter().map(|target| {
        let on: Vec<&Compared> = rows.iter().filter(|row| row.target == *target).collect();
        let most = on.iter().map(|row| removed(row).0).fold(0.0, f64::max);
        if most <= 0.0 {
            return match on.as_slice() {
                [one] => format!("{} can't hurt the {target}", several(&one.variant)),
                [_, _] => format!("neither of them can hurt the {target}"),
                _ => format!("none of them can hurt the {target}"),
            };
        }
        let does = |row: &Compared| if names.unit_called(&row.variant).is_some() { "do" } else { "does" };
        let best: Vec<&Compared> = on.iter().copied().filter(|row| removed(row).0 >= most * (1.0 - 1e-9)).collect();
        let who = listed(&best.iter().map(|row| several(&row.variant)).collect::<Vec<_>>());
        let damage = match best.as_slice() {
            [one] => format!("{who} {} the most damage to the {target}", does(one)),
            _ => format!("{who} do equally the most damage to the {target}"),
        };
        // Less for each model, or each point of structure, is more for each point.
        let each = on.iter().filter_map(|row| row.points_each).fold(f64::INFINITY, f64::min);
        let cheap: Vec<&Compared> =
            on.iter().copied().filter(|row| row.points_each.is_some_and(|own| own <= each * (1.0 + 1e-9))).collect();
        let same = cheap.len() == best.len() && cheap.iter().all(|row| best.iter().any(|one| std::ptr::eq(*one, *row)));
        let points = match cheap.as_slice() {
            [] => String::new(),
            _ if same => ", and the most per point".to_owned(),
            [one] => format!("; {} {} the most per point", several(&one.variant), does(one)),
            all => {
                let all: Vec<String> = all.iter().map(|row| several(&row.variant)).collect();
                format!("; {} do equally the most per point", listed(&all))
            }
        };
        format!("{damage}{points}")
    });
    format!("{}.", sentence(&said.collect::<Vec<_>>().join("; ")))
}

fn described(names: &PackIndex, question: &Json) -> String {
    let side = |side: &Json| {
        let mut words = counted(names, side);
        for option in side["options"].as_array().into_iter().flatten() {
            words.push_str(&format!(" + {}", named(names, NameKind::Extra, option)));
        }
        words
    };
    let all = |list: &Json, at: &str| {
        let each = list.as_array().into_iter().flatten();
        listed(&each.map(|one| side(one.pointer(at).unwrap_or(&Json::Null))).collect::<Vec<_>>())
    };
    let every = question.get("every").is_some();
    let who = if every { "every unit".to_owned() } else { all(&question["variants"], "/matchup/attacker") };
    let mut parts = vec![format!("{who} v {}", all(&question["targets"], "/unit"))];
    let situation =
        if every { &question["every"]["situation"] } else { &question["variants"][0]["matchup"]["situation"] };
    if let Some(points) = question["points"].as_u64() {
        parts.push(format!("{points} points each"));
    }
    if let Some(wanted) = question["want"]["destroyed"].as_f64() {
        parts.push(format!("{} sure", sure(wanted)));
    }
    for (key, kind) in [("arc", NameKind::Arc), ("range", NameKind::Range), ("cover", NameKind::Cover)] {
        if let Some(word) = situation.get(key) {
            let word = named(names, kind, word);
            parts.push(if key == "cover" { place(&word) } else { word });
        }
    }
    for flag in &names.situation {
        if situation[flag.id.as_str()] == json!(true) {
            parts.push(flag.name.to_lowercase());
        }
    }
    parts.join(", ")
}
