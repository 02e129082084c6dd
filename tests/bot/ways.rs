//! Ten questions in a hundred and fifty ways: at least 140 are understood, or asked back for the one thing they lack.
use super::fake::Fake;
use pipwright_bot::card::Sort;
use serde_json::Value;

const WAYS: &str = include_str!("ways.txt");

#[derive(Default)]
struct Meant {
    before: Option<String>,
    question: Option<(String, Value)>,
    back: Option<String>,
}

#[tokio::test]
async fn people_type_as_they_like() {
    let fake = Fake::start().await;
    let (mut ways, mut misses) = (0, Vec::new());
    let mut meant = Meant::default();
    for line in WAYS.lines().filter(|line| !line.starts_with('#')) {
        match line.split_once(' ') {
            _ if line.is_empty() => meant = Meant::default(),
            Some(("<", before)) => meant.before = Some(before.to_owned()),
            Some(("?", back)) => meant.back = Some(back.to_owned()),
            Some(("=", wanted)) => {
                let (path, json) = wanted.split_once(' ').expect("a path and a question");
                meant.question = Some((path.to_owned(), serde_json::from_str(json).expect("JSON")));
            }
            _ => {
                ways += 1;
                if let Some(miss) = miss(&fake, &meant, line).await {
                    misses.push(format!("{line}\n    {miss}"));
                }
            }
        }
    }
    println!("{ways} ways, {} misses:\n{}", misses.len(), misses.join("\n"));
    assert_eq!(ways, 150);
    assert!(ways - misses.len() >= 140, "{} of {ways} missed:\n{}", misses.len(), misses.join("\n"));
}

async fn miss(fake: &Fake, meant: &Meant, text: &str) -> Option<String> {
    let link = match &meant.before {
        Some(before) => fake.hear(before, None).await.link,
        None => None,
    };
    let card = fake.hear(text, link.as_ref()).await;
    let asked = fake.last();
    let right = match &meant.back {
        Some(back) => card.sort == Sort::Question && card.headline.starts_with(back) && is_understood(&card.text),
        None => asked == meant.question,
    };
    (!right).then(|| format!("{} {:?} {:?}", card.headline, card.notes, asked))
}

/// The question back says all that was understood.
fn is_understood(text: &[String]) -> bool {
    let text = text.join(" ");
    ["target Heron Carriage", "arc Rear", "left 2"].iter().all(|part| text.contains(part))
}
