//! How well messages are understood whose meaning is written beside them, by people who had not seen what the program understands.
//!
//! `messages.jsonl` comes with its format from the owner of the project; `voice*.jsonl` are further voices. Three quarters are for
//! tuning; the last quarter, those whose id hashes to a multiple of four, is only looked at to report.
mod aloud;
mod bad;
mod context;
mod fitted;
mod judge;
mod known;
mod shaken;
mod speed;

use judge::{Case, Judge, Verdict, cases};
use std::collections::{BTreeMap, BTreeSet};

/// All files of messages, by name.
const FILES: &[(&str, &str)] = &[
    ("messages", include_str!("messages.jsonl")),
    ("voice A", include_str!("voiceA.jsonl")),
    ("voice B", include_str!("voiceB.jsonl")),
    ("voice C", include_str!("voiceC.jsonl")),
    ("voice D", include_str!("voiceD.jsonl")),
    ("voice E", include_str!("voiceE.jsonl")),
    ("voice F", include_str!("voiceF.jsonl")),
    ("voice G", include_str!("voiceG.jsonl")),
    ("voice H", include_str!("voiceH.jsonl")),
    ("voice I", include_str!("voiceI.jsonl")),
    ("voice J", include_str!("voiceJ.jsonl")),
    ("voice K", include_str!("voiceK.jsonl")),
    ("voice L", include_str!("voiceL.jsonl")),
    ("voice M", include_str!("voiceM.jsonl")),
    ("voice N", include_str!("voiceN.jsonl")),
    ("voice O", include_str!("voiceO.jsonl")),
    ("voice P", include_str!("voiceP.jsonl")),
    ("voice Q", include_str!("voiceQ.jsonl")),
    ("voice R", include_str!("voiceR.jsonl")),
    ("voice S", include_str!("voiceS.jsonl")),
];

fn all() -> Vec<Case> {
    FILES.iter().flat_map(|(_, text)| cases(text)).collect()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn messages_mean_what_their_authors_meant() {
    let judge = Judge::start().await;
    let known: BTreeMap<&str, &str> = known::MISSES.lines().filter_map(|line| line.split_once(' ')).collect();
    let (mut table, mut lost, mut found) = (Table::default(), Vec::new(), Vec::new());
    let ids: BTreeSet<String> = all().iter().map(|case| case.id.clone()).collect();
    for case in all() {
        let (verdict, said) = judge.judge(&case).await;
        table.add(&case, verdict);
        let name = verdict.name();
        // What is kept apart shows no more than its name.
        if verdict != Verdict::Right {
            let shown = if judge::is_kept_apart(&case.id) {
                String::new()
            } else {
                format!(" [{}] {:?} {:?}: {said}", case.pack, case.before, case.say)
            };
            println!("{name} {}{shown}", case.id);
        }
        match (verdict, known.get(case.id.as_str())) {
            (Verdict::Right, Some(_)) => found.push(case.id.clone()),
            (Verdict::Right, None) => {}
            // What was asked back, or refused, may not become wrong.
            (_, Some(before)) if *before == "wrong" || verdict != Verdict::Wrong => {}
            _ if judge::is_kept_apart(&case.id) => lost.push(format!("{name} {}", case.id)),
            _ => lost.push(format!("{name} {} {:?}: {said}", case.id, case.say)),
        }
    }
    println!("{table}");
    println!("understood now, to be taken from the list of misses: {}", found.join(" "));
    let stray: Vec<&&str> = known.keys().filter(|id| !ids.contains(**id)).collect();
    assert!(stray.is_empty(), "no such messages: {stray:?}");
    assert!(lost.is_empty(), "{} messages are no longer understood:\n{}", lost.len(), lost.join("\n"));
}

/// How many of each kind were how well understood.
#[derive(Default)]
struct Table(BTreeMap<String, BTreeMap<&'static str, usize>>);

impl Table {
    fn add(&mut self, case: &Case, verdict: Verdict) {
        let part = if judge::is_kept_apart(&case.id) { "last quarter" } else { "three quarters" };
        let voice = match case.id.chars().next() {
            Some(letter @ 'A'..='Z') => format!("voice {letter}"),
            _ => "messages".to_owned(),
        };
        let rows = [
            case.kind.clone(),
            format!("~ {voice}, {part}"),
            format!("~ {part}"),
            format!("~ {voice}"),
            "~~ all".to_owned(),
        ];
        for row in rows {
            *self.0.entry(row).or_default().entry(verdict.name()).or_default() += 1;
        }
    }
}

impl std::fmt::Display for Table {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for (row, counts) in &self.0 {
            let all: usize = counts.values().sum();
            write!(out, "{row:26} {all:4}")?;
            for name in ["right", "partly", "offered", "asked", "refused", "wrong"] {
                let count = counts.get(name).copied().unwrap_or_default();
                write!(out, "  {name} {count:3} ({:3.0}%)", 100.0 * count as f64 / all as f64)?;
            }
            writeln!(out)?;
        }
        Ok(())
    }
}
