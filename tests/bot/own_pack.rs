//! A club's own pack in the bot: the lines of the guide to packs typed as they stand, and the settings of the service that
//! the bot starts inside.
use super::program::bot;
use pipwright_api::Config;
use pipwright_tests::program::command;
use rexpect::session::spawn_command;
use std::fs;
use std::path::Path;
use std::process::{Command, Output};

/// What stands in the guide to packs between the heading of the guide and the next one.
fn guide() -> String {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("../api/PACKS.md");
    let page = fs::read_to_string(page).expect("a guide");
    let (_, rest) = page.split_once("\n## Write your own rules\n").expect("the guide");
    rest.split_once("\n## ").expect("something behind it").0.to_owned()
}

/// Follows the guide in this folder up to where the pack is played by; the name of the pack.
fn followed(guide: &str, home: &Path) -> String {
    let begin = "cargo run --release -p pipwright-api -- new-pack ";
    let name = guide.lines().find_map(|line| line.trim().strip_prefix(begin)).expect("a line that begins a pack");
    let made = command().current_dir(home).args(["new-pack", name]).output().expect("it runs");
    assert!(made.status.success(), "{}", String::from_utf8_lossy(&made.stderr));
    let blocks = guide.split("```toml\n").skip(1).map(|rest| rest.split_once("```").expect("the end of a block").0);
    for (file, block) in ["rules.toml", "units.toml"].into_iter().zip(blocks) {
        let path = home.join(name).join(file);
        let text = fs::read_to_string(&path).expect("text");
        fs::write(path, format!("{text}\n{block}")).expect("written");
    }
    name.to_owned()
}

/// The bot as the guide's line starts it: with the settings before `cargo run --release`, in this folder.
fn started(guide: &str, home: &Path) -> Command {
    let line = guide
        .lines()
        .map(str::trim)
        .find(|line| line.starts_with("PIPWRIGHT_") && line.ends_with("cargo run --release"));
    let line = line.expect("a line that starts the bot with the pack");
    let mut command = Command::new(bot());
    command.env_clear().env("TERM", "xterm").env("COLUMNS", "80").current_dir(home);
    for setting in line.trim_end_matches("cargo run --release").split_whitespace() {
        let (name, value) = setting.split_once('=').expect("a setting");
        command.env(name, value);
    }
    command
}

fn told(output: &Output) -> (Option<i32>, String) {
    let text = [&output.stdout, &output.stderr].map(|bytes| String::from_utf8_lossy(bytes).into_owned());
    (output.status.code(), text.concat())
}

#[test]
fn the_guide_typed_as_it_stands_gives_a_pack_to_play_by() {
    let (guide, home) = (guide(), tempfile::tempdir().expect("a folder"));
    followed(&guide, home.path());
    let (_, said) = guide.split_once("and say `").expect("a message to say");
    let message = said.split_once('`').expect("its end").0;
    let mut prompt = spawn_command(started(&guide, home.path()), Some(20_000)).expect("a prompt");
    prompt.exp_string("pipwright> ").expect("ready");
    prompt.send_line(message).expect("typed");
    prompt.exp_string("read as: 3 Goat Riders v").expect("an answer about the pack's own units");
    prompt.exp_string("Running start").expect("the rule that the guide adds");
    prompt.send_control('d').expect("typed");
    prompt.exp_eof().expect("an end");
}

#[test]
fn a_name_that_is_almost_a_pack_is_none() {
    let (guide, home) = (guide(), tempfile::tempdir().expect("a folder"));
    let name = followed(&guide, home.path());
    for wrong in ["hill-fok", "canal-gild"] {
        let asked = started(&guide, home.path()).env("PIPWRIGHT_PACK", wrong).args(["ask", "/pack"]).output();
        let (status, text) = told(&asked.expect("it runs"));
        assert_eq!(status, Some(2), "{wrong}: {text}");
        assert!(
            text.contains("These packs are here: ") && text.contains(&name) && text.contains("canal-guild"),
            "{text}"
        );
    }
    for wrong in ["/pack hil-fok", "/pack canel gild"] {
        let (status, text) = told(&started(&guide, home.path()).args(["ask", wrong]).output().expect("it runs"));
        assert_eq!(status, Some(2), "{wrong}: {text}");
        assert!(text.contains("Which pack?") && !text.contains("Read "), "{text}");
    }
    let (status, text) =
        told(&started(&guide, home.path()).args(["ask", "/pack hill folk"]).output().expect("it runs"));
    assert_eq!((status, text.contains("This chat now plays by")), (Some(0), true), "{text}");
}

#[test]
fn a_pack_that_cannot_be_read_is_said_at_the_prompt() {
    let (guide, home) = (guide(), tempfile::tempdir().expect("a folder"));
    let name = followed(&guide, home.path());
    let units = home.path().join(name).join("units.toml");
    let sound = fs::read_to_string(&units).expect("text");
    fs::write(&units, sound.replace("points = 45", "points = -45")).expect("written");
    let mut broken = started(&guide, home.path());
    broken.env_remove("PIPWRIGHT_PACK");
    let mut prompt = spawn_command(broken, Some(20_000)).expect("a prompt");
    prompt.exp_string("This pack file can't be used: ").expect("the file is named");
    prompt.exp_string("units.toml:45:10").expect("with its place");
    prompt.exp_string("pipwright> ").expect("the other packs can be played by");
    prompt.send_control('d').expect("typed");
    prompt.exp_eof().expect("an end");
    // Whoever asks for that very pack is not given another.
    let (status, text) = told(&started(&guide, home.path()).args(["ask", "/pack"]).output().expect("it runs"));
    assert_eq!(status, Some(2), "{text}");
    assert!(text.contains("This pack file can't be used: ") && text.contains("These packs are here: "), "{text}");
}

#[test]
fn every_setting_of_the_service_counts_in_the_bot_too() {
    let all = serde_json::to_value(Config::default()).expect("settings");
    let ask = |name: &str, value: &str| {
        let mut command = Command::new(bot());
        let output = command.env_clear().env(name, value).args(["ask", "/check 2d6 7+"]).output();
        told(&output.expect("the bot runs"))
    };
    let (mut refused, mut taken) = (0, 0);
    for (name, usual) in all.as_object().expect("an object") {
        let setting = format!("PIPWRIGHT_{}", name.to_uppercase());
        // What takes any text takes this too; numbers and lists do not.
        if usual.is_number() || usual.is_array() {
            let (status, text) = ask(&setting, "heron");
            assert_eq!(status, Some(2), "{setting}: {text}");
            assert!(text.to_lowercase().contains(name.as_str()), "{setting}: {text}");
            refused += 1;
        } else {
            taken += 1;
        }
    }
    assert!(refused >= 25 && taken <= 10, "{refused} {taken}");
    // And a value that is right changes what the bot answers.
    let (status, text) = ask("PIPWRIGHT_BUDGET", "10");
    assert_eq!(status, Some(2), "{text}");
    assert!(text.contains("work"), "{text}");
}
