//! `/luck`: a result that happened, and how unusual it was; and an evening of them, kept on from card to card.
use super::asked::{Asked, Halt};
use super::definition::{Answering, Command, Kind, Opt, Share};
use super::{check, matchup, named, odds, repair};
use crate::card::Card;
use crate::client::Trouble;
use crate::client::index::PackIndex;
use crate::draft::{Draft, set};
use crate::link::Link;
use crate::saying::{equal_to, percent, proven};
use pipwright_shared::wire::luck::LuckOutcome;
use pipwright_shared::wire::summary::Chance;
use serde_json::{Value as Json, json};

mod log;
pub use log::{added, keeps_on};

/// The definition.
pub const LUCK: Command = Command {
    name: "luck",
    about: "A result that happened: how unusual was it? `and then …` keeps count all evening",
    words: &["luck", "lucky", "unlucky", "unusual", "rare", "happened"],
    options: &[
        Opt::new("passed", Kind::Number, "How many passed").cues(&["pass", "passed", "passes", "made", "succeeded"]),
        Opt::new("failed", Kind::Number, "How many failed").cues(&["fail", "fails", "miss", "missed", "failures"]),
        Opt::new("lost", Kind::Number, "How many models, or points of structure, were lost").cues(&[
            "lose",
            "loses",
            "killed",
            "removed",
            "dead",
            "casualties",
            "damage",
            "structure",
            "model",
        ]),
        Opt::new("mended", Kind::Number, "How many points came back").cues(&["mends", "repaired", "restored", "back"]),
        Opt::new(
            "nothing",
            Kind::Flag(&["nothing", "no damage", "nobody", "none"]),
            "Nothing was lost, passed or mended",
        ),
        Opt::new(
            "about",
            Kind::About(&["check", "matchup", "odds", "repair"]),
            "The question, as you would ask it by itself",
        )
        .required("Luck at what? Say it like failed 5 of 6 on 2s, or a matchup and what was lost."),
    ],
    shares: &[
        Share { cues: &["failed", "fail", "fails", "missed", "failing"], part: "failed", whole: "tries" },
        Share { cues: &["passed", "pass", "passes", "made", "passing"], part: "passed", whole: "tries" },
    ],
    examples: &["/luck failed 5 of 6 on 2s", "/luck and then he made 5 of 6 on 4s"],
    path: Some("/v1/luck"),
    answer: |asked| -> Answering<'_> { Box::pin(answer(asked)) },
};

async fn answer(asked: Asked<'_>) -> Result<Card, Halt> {
    if let Some(before) =
        asked.before.as_ref().filter(|before| before.part("log").is_said() && asked.read.args.is_empty())
    {
        return log::evening(asked.api, asked.index, before.clone()).await;
    }
    let said = asked.before.is_some() || !asked.read.args.is_empty();
    let Some(about) = asked.about().filter(|_| said) else { return Err(asked.lacks("about", Vec::new())) };
    let inner = match about.key {
        "matchup" => matchup::question(&about.asked)?,
        "check" => match named::one(&about.asked).await? {
            Some(request) => check::named_question(&about.asked, request),
            None => check::question(&about.asked)?,
        },
        "repair" => repair::question(&about.asked).await?.0,
        _ => odds::question(&about.asked)?,
    };
    let results = results(&asked, about.key, &inner)?;
    let mut question = json!({});
    set(&mut question, &format!("/{}", about.key), inner);
    // Whose dice they were counts in an evening, which begins and goes on as a command.
    let theirs = asked.before.as_ref().is_some_and(|before| before.side() == Some("them"))
        || asked.read.by_command && log::is_theirs(asked.text);
    if theirs {
        set(&mut question, "/side", json!("them"));
    }
    let read_as = match about.key {
        "matchup" => described(Some(about.asked.names()?), &question),
        _ => described(asked.index, &question),
    };
    let (answer, question) = first_answer(&asked, question, &results).await?;
    let mut card = Card { headline: answer.sentence.clone(), read_as: read_as.unwrap_or_default(), ..Card::default() };
    let says = |chance: &Chance| {
        let fraction = equal_to(chance.fraction.as_deref());
        format!("{}{fraction}", percent(proven(chance.chance, chance.fraction.as_deref())))
    };
    // Where nothing more can come, this or fewer is all that can; and the other way round.
    let sure = |of: &Chance, other: &Chance| match other.chance == answer.exactly.chance {
        true => "100%".to_owned(),
        false => says(of),
    };
    let only = answer.at_least.chance == answer.exactly.chance && answer.at_most.chance == answer.exactly.chance;
    // An evening that is kept on looks at this line.
    card.line("just this", if only { "100%".to_owned() } else { says(&answer.exactly) });
    card.line("this or fewer", sure(&answer.at_most, &answer.at_least));
    card.line("this or more", sure(&answer.at_least, &answer.at_most));
    matchup::assume(&mut card, answer.defaults.as_deref().unwrap_or_default());
    if about.key == "matchup" {
        card.in_words_of(&about.asked.names()?.labels);
    }
    card.link = Some(Link::new("/v1/luck", question));
    Ok(card)
}

/// What a result came of, in canonical words; nothing where its names are not known.
fn described(names: Option<&PackIndex>, entry: &Json) -> Option<String> {
    if let Some(inner) = entry.matchup().said() {
        return matchup::described(names?, inner).ok();
    }
    if let Some(inner) = entry.check().said() {
        return check::described(inner).ok();
    }
    if let Some(inner) = entry.repair().said() {
        let turns = inner.turns().unwrap_or(repair::USUAL);
        return repair::described(inner, usize::try_from(turns).ok()).ok();
    }
    let inner = entry.chain().said()?;
    odds::described(&odds::who(inner), inner, odds::is_named(inner)).ok()
}

/// What happened, as the service can be told; several where a word fits soldiers and crawlers alike.
fn results(asked: &Asked<'_>, key: &str, inner: &Json) -> Result<Vec<Json>, Halt> {
    let nothing = asked.read.has("nothing").then_some(0);
    let of = |option: &str| asked.read.number(option).or(nothing);
    let before = asked.before.as_ref().and_then(|question| question.result().said()).cloned();
    let told = match key {
        "check" => {
            let tries = inner.tries().unwrap_or(1);
            let failed = asked.read.number("failed").map(|failed| tries.saturating_sub(failed));
            failed.or(of("passed")).map(|passes| vec![json!({"passes": passes})])
        }
        "repair" => of("mended").or(of("lost")).map(|points| vec![json!({"restored": points})]),
        _ => of("lost").map(|lost| vec![json!({"models": lost}), json!({"structure": lost})]),
    };
    told.or(before.map(|before| vec![before])).ok_or_else(|| {
        let option = match key {
            "check" => "passed",
            "repair" => "mended",
            _ => "lost",
        };
        Halt::missing(option, "What happened? Say it like passed 3, failed 2 or lost 4.")
    })
}

/// The answer for the first result that the question knows.
async fn first_answer(asked: &Asked<'_>, question: Json, results: &[Json]) -> Result<(LuckOutcome, Json), Halt> {
    let mut last = Halt::Say("What happened?".into());
    for result in results {
        let mut question = question.clone();
        set(&mut question, "/result", result.clone());
        match asked.api.ask("/v1/luck", &question).await {
            Ok(answer) => return Ok((answer, question)),
            Err(Trouble::Refused(problem)) if problem.is_at("/result") => last = Trouble::Refused(problem).into(),
            Err(trouble) => return Err(trouble.into()),
        }
    }
    Err(last)
}
