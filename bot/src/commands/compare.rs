//! `/compare`: several units against one target, or against several, side by side.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt};
use super::matchup::{assume, counted, named, side_form};
use super::needed::sure;
use crate::card::{Bar, Card, Chart, Step};
use crate::client::index::{NameKind, PackIndex};
use crate::draft::{Draft, items_mut, set, unset};
use crate::link::Link;
use crate::saying::{apart, count, listed, means_apart, percent, place, sentence, small, unproven};
use crate::typing::Value;
use pipwright_shared::wire::compare::CompareAnswer;
use said::{Told, arcs, beyond, cheapest, fits, headline, not_enough, one_of, points_apart, removed, word};
use serde_json::{Value as Json, json};
use std::cmp::Ordering;

mod said;

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
        "wrecked",
        "destroyed",
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
            Value::Side(side) => Some(side_form(side)),
            _ => None,
        };
        asked.read.all(option).filter_map(|arg| seated(&arg.value)).collect()
    };
    let (attackers, targets) = (sides("units"), sides("target"));
    if !attackers.is_empty() {
        // Other units on the same table: it stays as it was said before.
        let before = ["/every/situation", "/variants/0/matchup/situation"];
        let table = before.iter().find_map(|at| question.at(at).said()).cloned();
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
    if let Some(chance) = asked.read.given("chance").map(Value::json) {
        set(&mut question, "/want/destroyed", chance);
        unset(&mut question, "points");
    }
    if !question.part("variants").is_said() {
        if !question.want().is_said() && question.points().is_none() {
            return Err(Halt::Missing {
                option: Some("units"),
                question: which(names, &question),
                choices: Vec::new(),
            });
        }
        set(&mut question, "/every/pack", json!(names.id));
    } else {
        unset(&mut question, "every");
    }
    for variant in items_mut(&mut question, "/variants") {
        situate(asked, variant, "/matchup/situation");
    }
    if question.every().is_said() {
        situate(asked, &mut question, "/every/situation");
    }
    Ok(question)
}

/// The question for the units, with an example from this pack against the target that was named.
fn which(names: &PackIndex, question: &Json) -> String {
    let target = question.at("/targets/0/unit/unit").as_str().unwrap_or_default();
    let others = names.units.iter().filter(|unit| unit.id != target).map(|unit| unit.name.to_lowercase());
    let example = others.take(2).collect::<Vec<_>>().join(" or ");
    let target = names.unit(target).map_or("the target", |unit| &unit.name).to_lowercase();
    format!(
        "Which units? Name two, like `{example} v {target}`; or give a chance, like `75%`, and every unit is compared."
    )
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

fn card(names: &PackIndex, question: Json, answer: &CompareAnswer) -> Card {
    let targets: Vec<&str> = answer.rows.iter().fold(Vec::new(), |mut known, row| {
        if !known.contains(&row.target.as_str()) {
            known.push(&row.target);
        }
        known
    });
    let (wanted, points) = (question.want().destroyed().as_f64(), question.points());
    let every = question.every().is_said();
    let all: Vec<Told<'_>> = Told::all(names, &question, &answer.rows);
    let mut rows: Vec<&Told<'_>> = all.iter().collect();
    if wanted.is_some() {
        // The cheapest first; those that no list may hold behind those, and those that do not do it last.
        rows.sort_by_key(|one| (one.row.number().is_none(), !fits(names, one.row), one.row.points.unwrap_or(u64::MAX)));
    } else if every {
        // In the order of which the headline speaks: who does most comes first.
        rows.sort_by(|one, other| {
            (removed(other.row).0, other.row.destroyed.chance)
                .partial_cmp(&(removed(one.row).0, one.row.destroyed.chance))
                .unwrap_or(Ordering::Equal)
        });
    }
    let arcs = arcs(names, &question);
    let said = match (wanted, points) {
        (Some(wanted), _) => cheapest(names, &targets, &rows, wanted, every),
        (None, Some(points)) => {
            format!("For {points} points each: {}", headline(names, &targets, &all, !arcs.is_empty()))
        }
        (None, None) => headline(names, &targets, &all, !arcs.is_empty()),
    };
    let mut card = Card { headline: sentence(&said), ..Card::default() };
    // Those that can do no harm have no numbers, and one row.
    let idle = |one: &&Told<'_>| {
        removed(one.row).0 <= 0.0 && one.row.number() != Some(0) && (every || wanted.is_some() && !one.is_enough())
    };
    let (harmless, rows): (Vec<&Told<'_>>, Vec<&Told<'_>>) = rows.into_iter().partition(idle);
    // What stands in one table is told apart.
    let alls = apart(&rows.iter().map(|one| unproven(one.row.destroyed.chance)).collect::<Vec<_>>());
    let numbers = means_apart(&rows.iter().map(|one| removed(one.row).0).collect::<Vec<_>>());
    let each = points_apart(&rows.iter().map(|one| one.row.points_each).collect::<Vec<_>>());
    let add = |card: &mut Card, index: usize, label: String, text: String| {
        if index < MOST {
            card.line(label, text);
        } else {
            card.steps.push(Step { name: label, text, ..Step::default() });
        }
    };
    for (index, one) in rows.iter().enumerate() {
        let row = one.row;
        let what = word(names, removed(row).1, numbers[index] == "1");
        let label = if targets.len() > 1 { format!("{} v {}", one.label, row.target) } else { one.label.clone() };
        let (all, number) = (&alls[index], &numbers[index]);
        let cost = |points: Option<u64>| count(points.unwrap_or(0), "point", "points");
        let each = each[index]
            .as_ref()
            .map_or_else(String::new, |each| format!(", {each} points for each {}", one_of(names, removed(row).1)));
        // Of one hull there is no all.
        let gone = if row.structure.is_some() { "wrecked" } else { "all gone" };
        let text = match (wanted, points) {
            (Some(_), _) if !one.is_enough() => not_enough(names, row, &format!("{gone} {all}")),
            (Some(_), _) => format!("{}: {gone} {all}{}", cost(row.points), beyond(names, row)),
            (None, Some(_)) if row.number() == Some(0) => "one costs more than that".to_owned(),
            (None, Some(_)) => {
                format!("{number} {what} on average, {gone} {all}, {}{}", cost(row.points), beyond(names, row))
            }
            (None, None) => format!("{number} {what} on average, {gone} {all}{each}"),
        };
        add(&mut card, index, label, text);
    }
    for target in &targets {
        let who: Vec<String> =
            harmless.iter().filter(|one| one.row.target == *target).map(|one| one.row.variant.clone()).collect();
        if !who.is_empty() {
            let label =
                if targets.len() > 1 { format!("no harm to the {target}") } else { "no harm from here".to_owned() };
            add(&mut card, rows.len(), label, who.join(", "));
        }
    }
    // Bars of next to nothing show nothing.
    let most = rows.iter().map(|one| one.row.destroyed.chance).fold(0.0, f64::max);
    if wanted.is_none() && rows.len() <= MOST && targets.len() == 1 && most >= 0.01 {
        let bars = rows.iter().map(|one| Bar {
            label: one.short().to_owned(),
            chance: unproven(one.row.destroyed.chance),
            strong: one.row.destroyed.chance >= most,
        });
        let hull = rows.iter().all(|one| one.row.structure.is_some());
        let title = format!("{} {}", targets[0], if hull { "wrecked" } else { "all gone" });
        let said = rows.iter().map(|one| format!("{} {}", one.short(), percent(unproven(one.row.destroyed.chance))));
        let alt = format!("Bar chart of {title}: {}.", said.collect::<Vec<_>>().join(", "));
        card.chart = Some(Chart { title, bars: bars.collect(), alt, whole: true, ..Chart::default() });
    }
    card.read_as = described(names, &question);
    assume(&mut card, &answer.defaults);
    let now = question.variants().first().map(|variant| variant.matchup().situation());
    let now = now.unwrap_or_else(|| question.every().situation());
    let arc = now.arc().as_str().or_else(|| names.arcs.first().map(|arc| arc.id.as_str()));
    for other in names.arcs.iter().filter(|other| Some(other.id.as_str()) != arc).take(2) {
        card.follow_up(other.name.to_lowercase(), format!("what about from the {}", other.name.to_lowercase()));
    }
    // What was taken for granted is what was just answered.
    let open = answer.defaults.iter().find(|stated| stated.pointer.ends_with("/situation/range"));
    let range = now.range().as_str().or(open.and_then(|stated| stated.value.as_str()));
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
        card.notes.push(format!(
            "The first {} of {}; type `steps` for the rest.",
            small(MOST as u64),
            small(rows.len() as u64)
        ));
    }
    for left in &answer.left_out {
        card.notes.push(format!("Left out: {}, {}.", left.name, left.why));
    }
    card.link = Some(Link::new("/v1/compare", question));
    card
}

/// Rows that a phone shows.
const MOST: usize = 8;

fn described(names: &PackIndex, question: &Json) -> String {
    let side = |side: &Json| {
        let mut words = counted(names, side);
        for option in side.options() {
            words.push_str(&format!(" + {}", named(names, NameKind::Extra, option)));
        }
        words
    };
    let all = |list: &[Json], at: &str| listed(&list.iter().map(|one| side(one.at(at))).collect::<Vec<_>>());
    let every = question.every().is_said();
    let arcs = arcs(names, question);
    let attackers = if arcs.is_empty() { question.variants() } else { &question.variants()[..1] };
    let who = if every { "every unit".to_owned() } else { all(attackers, "/matchup/attacker") };
    let mut parts = vec![format!("{who} v {}", all(question.targets(), "/unit"))];
    if !arcs.is_empty() {
        parts.push(listed(&arcs.iter().map(|arc| format!("from the {arc}")).collect::<Vec<_>>()));
    }
    let situation = if every { question.every().situation() } else { question.at("/variants/0/matchup/situation") };
    if let Some(points) = question.points() {
        parts.push(format!("{points} points each"));
    }
    if let Some(wanted) = question.want().destroyed().as_f64() {
        parts.push(format!("{} sure", sure(wanted)));
    }
    for (key, kind) in [("arc", NameKind::Arc), ("range", NameKind::Range), ("cover", NameKind::Cover)] {
        let word = situation.part(key).said().filter(|_| key != "arc" || arcs.is_empty());
        if let Some(word) = word {
            let word = named(names, kind, word);
            parts.push(if key == "cover" { place(&word) } else { word });
        }
    }
    for flag in &names.situation {
        if *situation.part(&flag.id) == json!(true) {
            parts.push(flag.name.to_lowercase());
        }
    }
    parts.join(", ")
}
