//! The terminal through a pseudo-terminal, and as a script uses it.
use super::{fake::Fake, program::bot};
use rexpect::session::{PtySession, spawn_command};
use std::process::{Command, Output};

fn command(fake: &Fake) -> Command {
    let mut command = Command::new(bot());
    command.env_clear().env("TERM", "xterm").env("COLUMNS", "80").env("PIPWRIGHT_API", &fake.base);
    command
}

fn ask(fake: &Fake, arguments: &[&str]) -> Output {
    command(fake).arg("ask").args(arguments).output().expect("the bot runs")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_script_gets_the_answer_or_the_error() {
    let fake = Fake::start().await;
    let answer = ask(&fake, &["/check 2d6 7+"]);
    let text = String::from_utf8(answer.stdout).expect("text");
    assert_eq!(answer.status.code(), Some(0), "{text}");
    assert!(text.starts_with("7+ on 2d6 passes 7 times in 12 (58.3%)."), "{text}");
    assert!(text.contains("= 7/12") && text.contains("link: /v1/check?dice=2d6&needs=7%2B"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");

    let error = ask(&fake, &["/roll", "2d6"]);
    assert_eq!(error.status.code(), Some(2));
    assert_eq!(String::from_utf8(error.stdout).expect("text"), "");
    assert!(String::from_utf8(error.stderr).expect("text").starts_with("I give odds, I don't roll dice."));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn nobody_at_the_address() {
    let output = Command::new(bot())
        .env_clear()
        .args(["--api", "http://127.0.0.1:9", "ask", "/check 2d6 7+"])
        .output()
        .expect("the bot runs");
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(
        String::from_utf8(output.stderr).expect("text"),
        "The odds service can't be reached just now. Try again in a minute.\n"
    );
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_person_at_the_prompt() {
    let fake = Fake::start().await;
    let command = command(&fake);
    tokio::task::spawn_blocking(move || sitting(command).expect("the prompt answers")).await.expect("no panic");
}

fn sitting(command: Command) -> Result<(), rexpect::error::Error> {
    let mut prompt: PtySession = spawn_command(command, Some(10_000))?;
    prompt.exp_string("Ask in plain words")?;
    prompt.exp_string("pipwright> ")?;
    prompt.send_line("3 barges v heron front")?;
    prompt.exp_string("Three Reed Barges wreck the Heron Carriage 1 time in 4 (25%).")?;
    prompt.exp_string("what about from the side")?;
    prompt.send_line("what about from the side")?;
    prompt.exp_string("read as: 3 Reed Barges v Heron Carriage, side")?;
    // A half-typed question is asked back, and the answer to that completes it.
    prompt.send_line("/matchup heron rear, 2 left")?;
    prompt.exp_string("Who attacks?")?;
    prompt.send_line("3 barges")?;
    prompt.exp_string("read as: 3 Reed Barges v Heron Carriage, rear, 2 left")?;
    // The line before, fetched from the history and edited: arrow up, then two characters more.
    prompt.send_line("/check 2d6 7")?;
    prompt.exp_string("read as: 7+ on 2d6")?;
    prompt.exp_string("pipwright> ")?;
    prompt.send("\x1b[A-")?;
    prompt.send_line("")?;
    prompt.exp_string("read as: 7 or less on 2d6")?;
    // The tabulator completes a command and a unit.
    prompt.send("/matc\t3 otter skiffs v her\t")?;
    prompt.flush()?;
    prompt.exp_string("/matchup")?;
    prompt.exp_string("Heron Carriage")?;
    prompt.send_line("")?;
    prompt.exp_string("read as: 3 Otter Skiffs v Heron Carriage")?;
    // A list of several lines ends with an empty one.
    prompt.send_line("/points 500")?;
    prompt.send_line("2x Heron Carriage")?;
    prompt.send_line("")?;
    prompt.exp_string("480 points of 500, 20 left: legal.")?;
    prompt.send_control('d')?;
    prompt.exp_eof()?;
    Ok(())
}

/// The league shows how far it is on a terminal, and is a table for a script.
#[test]
fn the_league_of_a_pack() {
    let league = |more: &[&str]| {
        let mut command = Command::new(bot());
        command
            .env_clear()
            .env("TERM", "xterm")
            .env("COLUMNS", "80")
            .args(["--pack", "canal-guild", "league"])
            .args(more);
        command
    };
    let output = league(&["--turns", "4"]).output().expect("the bot runs");
    assert_eq!(output.status.code(), Some(0));
    assert!(output.stderr.is_empty(), "no bar where nobody looks: {:?}", String::from_utf8_lossy(&output.stderr));
    let text = String::from_utf8(output.stdout).expect("text");
    let rows: Vec<&str> = text
        .lines()
        .filter(|line| line.split_once(". ").is_some_and(|(rank, _)| rank.parse::<u32>().is_ok()))
        .collect();
    assert_eq!(rows.len(), 20, "{text}");
    assert!(rows[0].starts_with("1. ") && text.contains("A fair price is what a unit would cost"), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    let output = league(&["--turns", "99"]).output().expect("the bot runs");
    assert_eq!((output.status.code(), output.stdout.len()), (Some(2), 0));
    assert!(String::from_utf8(output.stderr).expect("text").contains("1 to 20 turns"));
    // On a terminal a bar counts the pairs, where a league takes long enough to be watched.
    let mut watched = spawn_command(league(&["--turns", "20"]), Some(60_000)).expect("a terminal");
    watched.exp_string(" pairs").expect("a bar");
    watched.exp_string("Dyke Hands").expect("the table");
    watched.exp_eof().expect("an end");
}
