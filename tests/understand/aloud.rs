//! Messages that a reader found answered wrongly, read aloud: what each means, and what its answer must not say.
use super::judge::{Case, Judge, Verdict, link};
use serde_json::Value;

const ALOUD: &str = include_str!("aloud.txt");

#[derive(Default)]
struct Said {
    pack: String,
    before: Vec<String>,
    say: String,
    want: Vec<Value>,
    holds: Vec<String>,
    lacks: Vec<String>,
}

/// The messages of the file.
fn said() -> Vec<Said> {
    let (mut all, mut pack, mut before): (Vec<Said>, _, _) = (Vec::new(), String::new(), Vec::new());
    for line in ALOUD.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
        let words = |rest: &str| rest.split('|').map(|part| part.trim().to_owned()).collect::<Vec<_>>();
        match line.split_once(' ') {
            Some(("@", name)) => pack = name.to_owned(),
            Some(("<", text)) => before.push(text.to_owned()),
            Some(("=", json)) => {
                let want = serde_json::from_str(json).unwrap_or_else(|error| panic!("{line}: {error}"));
                all.last_mut().expect("a message").want.push(want);
            }
            Some(("!", rest)) => all.last_mut().expect("a message").holds.extend(words(rest)),
            Some(("-", rest)) => all.last_mut().expect("a message").lacks.extend(words(rest)),
            _ => all.push(Said {
                pack: pack.clone(),
                before: std::mem::take(&mut before),
                say: line.to_owned(),
                ..Said::default()
            }),
        }
    }
    all
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_was_read_aloud_is_answered_as_it_was_meant() {
    let judge = Judge::start().await;
    let all = said();
    assert!(all.len() >= 55, "{} messages", all.len());
    let mut wrong = Vec::new();
    for (at, said) in all.iter().enumerate() {
        assert!(
            !(said.want.is_empty() && said.holds.is_empty() && said.lacks.is_empty()),
            "{:?} says nothing of what it means",
            said.say
        );
        let text = judge.typed(&said.pack, &said.before, &[&said.say]).await;
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let mut why: Vec<String> = Vec::new();
        why.extend(said.holds.iter().filter(|words| !flat.contains(*words)).map(|words| format!("lacks {words:?}")));
        why.extend(said.lacks.iter().filter(|words| flat.contains(*words)).map(|words| format!("holds {words:?}")));
        if !said.want.is_empty() {
            let case = Case {
                id: at.to_string(),
                pack: said.pack.clone(),
                kind: "aloud".to_owned(),
                before: said.before.clone(),
                say: said.say.clone(),
                want: said.want.clone(),
            };
            let (verdict, got) = judge.judge(&case).await;
            if verdict != Verdict::Right {
                why.push(format!("{}: {got}", verdict.name()));
            }
        } else if link(&text).is_none() && said.holds.is_empty() && text.trim().is_empty() {
            why.push("nothing was said".to_owned());
        }
        if !why.is_empty() {
            wrong.push(format!("{:?} {:?}: {}\n{text}", said.before, said.say, why.join("; ")));
        }
    }
    assert!(wrong.is_empty(), "{} of {} messages:\n{}", wrong.len(), all.len(), wrong.join("\n"));
}
