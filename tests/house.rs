//! The house's rules of layout, checked on the source itself. Long because it lists the words that packs and code share.
use std::{
    collections::{BTreeSet, HashMap},
    fs,
    path::{Path, PathBuf},
};

/// A source file: its path from the root, with `/`, and its lines.
struct Source {
    path: String,
    lines: Vec<String>,
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

fn walk(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let path = entry.path();
        if path.is_dir() {
            walk(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            into.push(path);
        }
    }
}

fn sources() -> Vec<Source> {
    let mut paths = Vec::new();
    for package in ["shared", "api", "bot", "tests"] {
        walk(&root().join(package), &mut paths);
    }
    assert!(paths.len() > 20, "the sources are not where they should be");
    let read = |path: PathBuf| Source {
        path: path.strip_prefix(root()).expect("below the root").to_string_lossy().replace('\\', "/"),
        lines: fs::read_to_string(&path).expect("a readable source").lines().map(String::from).collect(),
    };
    let mut sources: Vec<_> = paths.into_iter().map(read).collect();
    sources.sort_by(|a, b| a.path.cmp(&b.path));
    sources
}

impl Source {
    fn is_below(&self, folder: &str) -> bool {
        self.path == format!("{folder}.rs") || self.path.starts_with(&format!("{folder}/"))
    }

    /// Lines that are neither blank nor comment, with their numbers, as far as the tests inside the file.
    fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        let own = self.lines.iter().take_while(|line| line.trim() != "#[cfg(test)]");
        own.enumerate()
            .map(|(n, line)| (n + 1, line.trim()))
            .filter(|(_, line)| !line.is_empty() && !line.starts_with("//"))
    }

    /// Every line of code that has one of these in it, named.
    fn with<'a>(&'a self, words: &'a [&str]) -> impl Iterator<Item = String> + 'a {
        let hits = self.code().filter(|(_, line)| words.iter().any(|word| holds(line, word)));
        hits.map(|(n, line)| format!("{}:{n}: {line}", self.path))
    }
}

/// Whether the line has the words with no letter before or behind.
fn holds(line: &str, words: &str) -> bool {
    let part_of_word = |c: char| c.is_alphanumeric() || c == '_';
    line.match_indices(words).any(|(at, _)| {
        let before = line[..at].chars().next_back();
        let behind = line[at + words.len()..].chars().next();
        let goes_on_before = words.starts_with(part_of_word) && before.is_some_and(part_of_word);
        let goes_on_behind = words.ends_with(part_of_word) && behind.is_some_and(part_of_word);
        !goes_on_before && !goes_on_behind
    })
}

#[track_caller]
fn none(found: Vec<String>, rule: &str) {
    assert!(found.is_empty(), "{rule}:\n{}", found.join("\n"));
}

fn found(sources: &[Source], folder: &str, words: &[&str]) -> Vec<String> {
    sources.iter().filter(|source| source.is_below(folder)).flat_map(|source| source.with(words)).collect()
}

#[test]
fn every_file_opens_by_saying_what_it_is() {
    let silent = sources().into_iter().filter(|s| !s.lines.first().is_some_and(|line| line.starts_with("//! ")));
    none(silent.map(|s| s.path).collect(), "every file opens with //!");
}

#[test]
fn files_are_short_or_say_why_not() {
    let sources = sources();
    let says_why = |s: &Source| s.lines.iter().take_while(|l| l.starts_with("//!")).any(|l| l.contains("Long because"));
    let long = sources.iter().filter(|s| s.lines.len() > 400 && !says_why(s));
    none(
        long.map(|s| format!("{}: {} lines", s.path, s.lines.len())).collect(),
        "a file past 400 lines says in its opening: Long because …",
    );
    let mut sizes: Vec<usize> = sources.iter().map(|s| s.code().count()).collect();
    sizes.sort_unstable();
    let (median, ninth) = (sizes[sizes.len() / 2], sizes[sizes.len() * 9 / 10]);
    assert!(median <= 120 && ninth < 300, "lines of code: {median} at the median, {ninth} at nine tenths");
}

#[test]
fn the_mathematics_know_nothing_else() {
    let sources = sources();
    let other_rooms = ["rules", "points", "analysis", "report", "wire", "packs"].map(|room| format!("crate::{room}"));
    let mut words: Vec<&str> = other_rooms.iter().map(String::as_str).collect();
    words.extend(["serde", "serde_json", "utoipa", "tokio", "async", "axum", "tracing", "log::", "rand", "fastrand"]);
    words.extend(["std::fs", "std::net", "std::time", "std::io", "std::env", "std::thread", "std::process"]);
    words.extend(["static mut", "thread_local!", "LazyLock", "OnceLock", "OnceCell"]);
    none(found(&sources, "shared/src/odds", &words), "odds is pure mathematics");
}

#[test]
fn the_rules_know_no_probability_and_no_json() {
    let words = [
        "crate::wire",
        "crate::analysis",
        "serde_json",
        "odds::distribution",
        "Distribution",
        ".evaluate(",
        "axum",
        "tokio",
    ];
    let sources = sources();
    none(found(&sources, "shared/src/rules", &words), "rules compile; they work nothing out");
    none(found(&sources, "shared/src/points", &words), "points are counted, not worked out");
}

/// What is worked out is plain: only the border turns it into JSON.
#[test]
fn what_is_worked_out_knows_nothing_of_json() {
    let sources = sources();
    for room in ["odds", "rules", "points", "analysis"] {
        let words = ["serde", "serde_json", "utoipa", "Serialize", "Deserialize", "ToSchema"];
        none(found(&sources, &format!("shared/src/{room}"), &words), "only wire knows JSON");
    }
    none(
        found(&sources, "shared/src/analysis", &["crate::wire", "crate::report", "axum", "tokio"]),
        "use cases are plain",
    );
}

/// A card is made of requests and answers as they are sent, by plain functions.
#[test]
fn cards_are_made_of_answers() {
    let sources = sources();
    assert!(sources.iter().filter(|source| source.is_below("shared/src/cards")).count() > 8, "the cards moved");
    let words = ["crate::odds", "crate::rules", "crate::points", "crate::analysis", "async", "tracing"];
    none(found(&sources, "shared/src/cards", &words), "a card knows the contract and words");
    for room in ["wire", "report", "analysis", "points", "rules", "odds"] {
        none(found(&sources, &format!("shared/src/{room}"), &["crate::cards"]), "nothing below knows of cards");
    }
}

/// Nobody has to climb: three floors of folders at most, and no name by way of its great-grandparent.
#[test]
fn no_file_lies_deep() {
    let sources = sources();
    let floors = |source: &Source| source.path.split_once("/src/").map_or(0, |(_, below)| below.split('/').count());
    let deep = sources.iter().filter(|source| floors(source) > 3);
    none(deep.map(|source| source.path.clone()).collect(), "at most three floors below src");
    for folder in ["shared", "api", "bot"] {
        none(found(&sources, folder, &["super::super::super"]), "no path by way of a great-grandparent");
    }
}

#[test]
fn the_border_knows_no_http() {
    let words = ["axum", "http::", "StatusCode", "hyper", "reqwest", "tokio", "pipwright_api", "pipwright_bot"];
    none(found(&sources(), "shared/src", &words), "shared knows no HTTP and none of its users");
}

#[test]
fn packages_lean_on_shared_only() {
    let sources = sources();
    none(found(&sources, "api/src", &["pipwright_bot", "serenity"]), "the service knows no chat");
    let maths = ["pipwright_shared::odds", "pipwright_shared::rules", "pipwright_shared::points"];
    none(found(&sources, "bot/src", &maths), "the bot reaches the mathematics only through HTTP");
    let mut embedding = found(&sources, "bot/src", &["pipwright_api"]);
    embedding.retain(|line| !line.starts_with("bot/src/main.rs") && !line.starts_with("bot/src/embedded"));
    none(embedding, "only the embedded mode starts the service");
}

#[test]
fn one_chat_platform_in_one_place() {
    let mut outside = found(&sources(), "bot/src", &["serenity"]);
    outside.retain(|line| !line.starts_with("bot/src/places/discord"));
    none(outside, "serenity stays in places/discord");
}

#[test]
fn only_the_terminal_prints() {
    let printing = ["println!", "print!", "eprintln!", "eprint!", "stdout()", "stderr()", "dbg!"];
    let mut lines = found(&sources(), "shared", &printing);
    lines.extend(found(&sources(), "api/src", &printing));
    lines.extend(found(&sources(), "bot/src", &printing));
    let may = ["bot/src/places/terminal", "bot/src/main.rs", "api/src/main.rs", "shared/benches"];
    lines.retain(|line| !may.iter().any(|place| line.starts_with(place)));
    none(lines, "only the terminal and the programs' own start print");
}

#[test]
fn the_service_speaks_no_dice() {
    let words = ["dice", "die", "d6", "d8", "d10", "reroll", "graze", "breach"];
    let mut spoken = found(&sources(), "api/src", &words);
    // The documentation shows people questions.
    spoken.retain(|line| !line.starts_with("api/src/routes/docs") && !line.contains(": example = json!("));
    none(spoken, "the service carries questions and does not read them");
}

/// Words of the packs that the code has its own use for: words of the contract, of the trade, or of ordinary English.
const ORDINARY: &[&str] = &[
    "arrival",
    "bare",
    "bead",
    "beads",
    "bearing",
    "board",
    "bow",
    "bows",
    "braced",
    "broadside",
    "charge",
    "chosen",
    "clash",
    "command",
    "contact",
    "crew",
    "crews",
    "dash",
    "drift",
    "drive",
    "driving",
    "far",
    "first turn",
    "flank",
    "flood",
    "fog",
    "folk",
    "foot",
    "frame",
    "front",
    "guns",
    "hands",
    "harm",
    "hazard",
    "hides",
    "hit",
    "hull",
    "hurt",
    "hurting",
    "launch",
    "light",
    "loose",
    "lot",
    "master",
    "mid",
    "mist",
    "near",
    "nerve",
    "on the move",
    "open",
    "ox",
    "oxen",
    "pace",
    "pierce",
    "pump",
    "rear",
    "reckon",
    "rout",
    "throws",
    "throws",
    "runners",
    "rush",
    "save",
    "settled",
    "short",
    "shots",
    "side",
    "stern",
    "stride",
    "strike",
    "tally",
    "teams",
    "the open",
    "wreck",
];

/// A pack is its files: none of its words stands in code, except where a page shows people an example.
#[test]
fn no_words_of_a_pack_in_code() {
    let words = words_of_packs();
    assert!(words.len() > 500, "the packs are not where they should be: {} words", words.len());
    let mut by_first: HashMap<&str, Vec<&String>> = HashMap::new();
    for word in &words {
        by_first.entry(tokens(word).next().unwrap_or_default()).or_default().push(word);
    }
    let sources = sources();
    let code = sources.iter().filter(|s| ["shared/src", "api/src", "bot/src"].iter().any(|folder| s.is_below(folder)));
    let mut hits: Vec<(String, String)> = Vec::new();
    for source in code.filter(|source| source.path != "shared/src/packs.rs") {
        for (at, line) in source.code().filter(|(_, line)| !is_example(line)) {
            let low = line.to_lowercase();
            let begun = tokens(&low).flat_map(|token| by_first.get(token).into_iter().flatten());
            let found: BTreeSet<&String> = begun.copied().filter(|word| holds(&low, word)).collect();
            hits.extend(found.into_iter().map(|word| (word.clone(), format!("{}:{at}: {word}: {line}", source.path))));
        }
    }
    hits.retain(|(word, _)| !ORDINARY.contains(&word.as_str()));
    none(hits.into_iter().map(|(_, line)| line).collect(), "a pack's own words stand in the pack only");
}

/// Letters and digits that stand together.
fn tokens(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric()).filter(|token| !token.is_empty())
}

/// Questions that the documentation shows.
fn is_example(line: &str) -> bool {
    ["example = ", "examples: &["].iter().any(|mark| line.contains(mark))
}

/// Ids, labels, marks and stats of all packs, and what else their units are called; each as words and as an id.
fn words_of_packs() -> BTreeSet<String> {
    let mut words = BTreeSet::new();
    for folder in fs::read_dir(root().join("shared/src/packs")).into_iter().flatten().flatten() {
        // The file that people begin with says everything in plain words.
        if folder.file_name() == "starter" {
            continue;
        }
        for file in fs::read_dir(folder.path()).into_iter().flatten().flatten() {
            let text = fs::read_to_string(file.path()).expect("a readable pack");
            let table: toml::Table = toml::from_str(&text).expect("a pack in TOML");
            let mut add = |word: &str| {
                let word = word.to_lowercase();
                words.extend([word.replace('-', " "), word.replace(' ', "-"), word]);
            };
            ["pack", "name"].iter().filter_map(|key| table.get(*key)?.as_str()).for_each(&mut add);
            let stats = table.get("stats").and_then(toml::Value::as_table).into_iter().flatten();
            stats.filter_map(|(_, of)| of.as_table()).flatten().for_each(|(id, _)| add(id));
            let units = table.get("unit").and_then(toml::Value::as_array).into_iter().flatten();
            let also = units.filter_map(|unit| unit.get("also")?.as_array()).flatten();
            also.filter_map(toml::Value::as_str).for_each(&mut add);
            collect(&toml::Value::Table(table), &mut add);
        }
    }
    words
}

fn collect(value: &toml::Value, add: &mut impl FnMut(&str)) {
    match value {
        toml::Value::Table(table) => {
            let named = ["id", "label", "status"].iter().filter_map(|key| table.get(*key)?.as_str());
            named.for_each(&mut *add);
            table.values().for_each(|value| collect(value, add));
        }
        toml::Value::Array(list) => list.iter().for_each(|value| collect(value, add)),
        _ => {}
    }
}

/// Prices and sizes are `Work`, which saturates: what is counted in plain numbers may wrap, and has. Clippy holds the room
/// itself to that (`deny` at the top of `odds/price.rs`); this looks at how work is made elsewhere.
#[test]
fn prices_are_counted_in_work_alone() {
    let sources = sources();
    let room = |source: &&Source| source.is_below("shared/src/odds/price") && !source.path.ends_with("/work.rs");
    let room: Vec<&Source> = sources.iter().filter(room).collect();
    assert!(room.len() > 3, "the price room is not where it should be");
    let plain = [" as u64", " as usize", " as u32", "sum::<u64>", "wrapping_add", "wrapping_mul", "usize::from"];
    none(room.iter().flat_map(|source| source.with(&plain)).collect(), "plain numbers in the price room");
    let denies = "#![deny(clippy::arithmetic_side_effects, clippy::as_conversions)]";
    let top = sources.iter().find(|source| source.path == "shared/src/odds/price.rs").expect("the room's door");
    assert!(top.lines.iter().any(|line| line == denies), "the price room no longer denies plain arithmetic");
    let (mut prices, mut otherwise) = (0, Vec::new());
    for source in sources.iter().filter(|source| source.is_below("shared/src/wire")) {
        for (number, line) in
            source.code().filter(|(_, line)| line.contains("fn price(&") || line.contains("fn bytes(&"))
        {
            prices += 1;
            if !line.contains("-> Work") {
                otherwise.push(format!("{}:{number}: {line}", source.path));
            }
        }
    }
    assert!(prices > 20, "only {prices} prices");
    none(otherwise, "prices and sizes that are not counted in Work");
    // What is added or multiplied before it becomes work may have wrapped by then.
    let made = sources.iter().filter(|source| source.is_below("shared")).flat_map(|source| {
        let before = |line: &str| {
            let inside = line.split("Work::from(").skip(1).chain(line.split("Work::new(").skip(1));
            inside.map(inside_brackets).any(|inside| inside.contains(" + ") || inside.contains(" * "))
        };
        let lines = source.code().filter(move |(_, line)| before(line));
        lines.map(|(number, line)| format!("{}:{number}: {line}", source.path))
    });
    none(made.collect(), "plain sums that become work");
}

/// Rooms of the bot that read what the service answers as the types of the contract, and a question that is put together
/// by the names of its fields.
const TYPED: [&str; 11] =
    ["client", "commands", "embedded", "hear", "inline", "lib", "link", "main", "places", "typing", "understand"];

/// Whether a line looks something up by a key that is written there: `answer["steps"]`, `.get("steps")`, `.pointer(…)`.
/// A list of words (`&["steps"]`) is no look-up.
fn looks_up(line: &str) -> bool {
    let before = |at: usize| line[..at].chars().next_back();
    let indexed = line
        .match_indices("[\"")
        .any(|(at, _)| before(at).is_some_and(|c| c.is_alphanumeric() || matches!(c, '_' | ')' | ']' | '?')));
    indexed || [".get(\"", ".get_mut(\"", ".pointer(", ".pointer_mut("].iter().any(|call| line.contains(call))
}

#[test]
fn nothing_is_looked_up_by_a_key_in_text() {
    for line in [
        "let steps = answer[\"steps\"].as_array();",
        "side(&question)[\"unit\"].take()",
        "list[0][\"name\"] = json!(name);",
        "question.get(\"pack\").is_none()",
        "question.get_mut(\"with\")",
        "question.pointer(\"/target/unit\")",
        "question.pointer_mut(place)",
    ] {
        assert!(looks_up(line), "this check would let pass: {line}");
    }
    for line in
        ["message.any(at, &[\"how\"])", "for state in [\"left\", \"hurt\"] {", "words.get(word)", "([\"a\"], 1)"]
    {
        assert!(!looks_up(line), "this check would refuse: {line}");
    }
    let sources = sources();
    let mut rooms: Vec<String> = TYPED.iter().map(|room| format!("bot/src/{room}")).collect();
    rooms.push("shared/src/cards".to_owned());
    for room in &rooms {
        assert!(sources.iter().any(|source| source.is_below(room)), "{room} is not where it should be");
    }
    let typed = sources.iter().filter(|source| rooms.iter().any(|room| source.is_below(room)));
    let found = typed.flat_map(|source| {
        let lines = source.code().filter(|(_, line)| looks_up(line));
        lines.map(|(number, line)| format!("{}:{number}: {line}", source.path))
    });
    none(found.collect(), "answers are typed, and the fields of a question have their names in bot/src/draft.rs");
    // Every room is in the list, but the one that knows the names.
    let of_bot = sources.iter().filter(|source| source.path.starts_with("bot/src/"));
    let other =
        of_bot.filter(|source| !rooms.iter().any(|room| source.is_below(room))).map(|source| source.path.clone());
    assert_eq!(other.collect::<Vec<_>>(), ["bot/src/draft.rs"], "a room of the bot that nobody looks at");
}

/// What stands before the bracket that closes the one before it.
fn inside_brackets(rest: &str) -> &str {
    let mut depth = 1;
    let end = rest.char_indices().find(|(_, c)| {
        depth += i32::from(*c == '(') - i32::from(*c == ')');
        depth == 0
    });
    &rest[..end.map_or(rest.len(), |(at, _)| at)]
}
