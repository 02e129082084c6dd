//! The room as the program opens it: a server without a terminal.
use super::{Fake, guest::Guest};
use crate::bot::program::bot;
use std::io::{BufRead, BufReader, Read};
use std::process::{Child, Command, Stdio};

fn start(fake: &Fake, room: &str, phrase: Option<&str>) -> Child {
    let mut command = Command::new(bot());
    command.env_clear().env("PIPWRIGHT_API", &fake.base).env("PIPWRIGHT_ROOM", room);
    if let Some(phrase) = phrase {
        command.env("PIPWRIGHT_ROOM_PHRASE", phrase);
    }
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().expect("the bot starts")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_room_without_a_terminal_stays_open_until_it_is_told_to_close() {
    let fake = Fake::start().await;
    let mut program = start(&fake, "127.0.0.1:0", None);
    let mut line = String::new();
    BufReader::new(program.stderr.take().expect("piped")).read_line(&mut line).expect("a line");
    let address = line.trim().strip_prefix("The club room is at http://").expect("the line that says where");
    let mut ada = Guest::join(address.parse().expect("an address"), "Ada").await;
    ada.say("/check 2d6 7+").await;
    ada.line(2).await;
    let told = Command::new("kill").args(["-TERM", &program.id().to_string()]).status().expect("kill");
    assert!(told.success());
    while ada.next().await.is_some() {}
    assert_eq!(program.wait().expect("an end").code(), Some(0));
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_room_for_all_without_a_phrase_does_not_open() {
    let fake = Fake::start().await;
    let mut program = start(&fake, "0.0.0.0:0", None);
    let mut said = String::new();
    program.stderr.take().expect("piped").read_to_string(&mut said).expect("text");
    assert_eq!(program.wait().expect("an end").code(), Some(2));
    assert!(said.contains("set PIPWRIGHT_ROOM_PHRASE"), "{said}");
}
