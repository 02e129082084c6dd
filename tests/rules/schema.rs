//! The JSON Schema of pack files: it takes what the reader takes, and refuses what a schema can refuse.
use jsonschema::Validator;
use pipwright_shared::packs::{self, SCHEMA};
use pipwright_shared::rules::{fault::Source, read::read};
use pipwright_tests::laid::cases;
use serde_json::Value;
use std::collections::BTreeSet;

fn schema() -> Value {
    serde_json::from_str(SCHEMA).expect("the schema is JSON")
}

fn validator() -> Validator {
    let schema = schema();
    assert_eq!(schema["$schema"], "https://json-schema.org/draft/2020-12/schema");
    jsonschema::draft202012::meta::validate(&schema).expect("a good schema");
    jsonschema::draft202012::new(&schema).expect("a schema")
}

fn json(text: &str) -> Option<Value> {
    let table: toml::Table = toml::from_str(text).ok()?;
    Some(serde_json::to_value(table).expect("TOML is JSON"))
}

#[test]
fn it_accepts_every_sound_pack() {
    let validator = validator();
    for file in packs::demo().into_iter().flatten().chain(packs::starter("our-club")) {
        let file_as_json = json(&file.text).expect("TOML");
        let wrong = validator.iter_errors(&file_as_json).map(|error| format!("{}: {error}", error.instance_path()));
        let wrong: Vec<String> = wrong.collect();
        assert!(wrong.is_empty(), "{}:\n{}", file.name, wrong.join("\n"));
    }
}

#[test]
fn it_refuses_the_broken_files_that_a_schema_can_refuse() {
    let validator = validator();
    let (mut refused, mut beyond) = (0, 0);
    for case in cases(include_str!("broken.txt")) {
        let file = case.files.iter().find(|file| file.name == case.file).expect("the changed file");
        // Where the TOML itself is broken an editor says so without a schema.
        let Some(file) = json(&file.text) else { continue };
        assert_eq!(validator.is_valid(&file), case.beyond, "{}", case.title);
        *(if case.beyond { &mut beyond } else { &mut refused }) += 1;
    }
    assert!(refused >= 20 && beyond >= 10, "{refused} refused, {beyond} beyond");
}

/// Where each definition of the schema is read: a file in which that table has a key that nobody knows.
const TABLES: &[(&str, &[&str])] = &[
    ("", &["QQ"]),
    ("arc", &["arc = [{ id = 'a', QQ }]"]),
    ("range", &["range = [{ id = 'a', QQ }]"]),
    ("cover", &["cover = [{ id = 'a', QQ }]"]),
    ("flag", &["flag = [{ id = 'a', QQ }]"]),
    ("words", &["words = { QQ }"]),
    ("stats", &["stats = { QQ }"]),
    ("stat", &["stats = { unit = { a = { holds = 'number', QQ } } }"]),
    ("kind", &["kind = [{ id = 'a', target = 'soldiers', QQ }]", "kind = [{ id = 'a', target = 'armoured', QQ }]"]),
    ("roll", &["kind = [{ id = 'a', target = 'soldiers', ignore = { needs = '4+', QQ } }]"]),
    (
        "step",
        &["step = [{ id = 'a', needs = '4+', QQ }]", "step = [{ id = 'a', kind = 'penetrate', against = 1, QQ }]"],
    ),
    ("choice", &["step = [{ id = 'a', choose = [{ id = 'b', QQ }] }]"]),
    ("versus", &["step = [{ id = 'a', versus = { QQ } }]"]),
    ("critical", &["step = [{ id = 'a', needs = '4+', critical = { QQ } }]"]),
    ("backfire", &["step = [{ id = 'a', needs = '4+', backfire = { QQ } }]"]),
    ("margin", &["step = [{ id = 'a', needs = '4+', margin = [{ at_least = 1, QQ }] }]"]),
    ("then", &["step = [{ id = 'a', needs = '4+', critical = { then = { a = { QQ } } } }]"]),
    ("chart", &["chart = [{ id = 'a', QQ }]"]),
    ("chart_row", &["chart = [{ id = 'a', holds = 'number', difference = 1, rows = [{ gives = 1, QQ }] }]"]),
    ("breach", &["breach = [{ id = 'a', QQ }]"]),
    ("breach_row", &["breach = [{ id = 'a', dice = 'd6', rows = [{ at_least = 1, QQ }] }]"]),
    ("procedure", &["procedure = [{ id = 'a', QQ }]"]),
    ("condition", &["rule = [{ id = 'a', when = { QQ } }]"]),
    ("rule", &["rule = [{ id = 'a', QQ }]"]),
    ("change", &["rule = [{ id = 'a', side = 'table', change = [{ step = 'attack', QQ }] }]"]),
    ("repair", &["rule = [{ id = 'a', side = 'target', repair = { needs = '4+', QQ } }]"]),
    ("check", &["check = [{ id = 'a', needs = '4+', QQ }]"]),
    ("aftermath", &["aftermath = [{ id = 'a', needs = '4+', QQ }]"]),
    ("role", &["role = [{ id = 'a', QQ }]"]),
    ("limits", &["limits = { QQ }"]),
    ("formation", &["formation = { QQ }"]),
    ("board", &["board = { QQ }"]),
    ("board_place", &["board = { approach = [{ range = 'a', QQ }] }"]),
    ("board_unit_table", &["unit = [{ id = 'a' }]\nboard = { targets = [{ unit = 'a', QQ }] }"]),
    ("weapon", &["weapon = [{ id = 'a', QQ }]"]),
    ("template", &["weapon = [{ id = 'a', template = { diameter_mm = 1, QQ } }]"]),
    ("scatter", &["weapon = [{ id = 'a', template = { diameter_mm = 1, scatter = { dice = 'd6', QQ } } }]"]),
    ("unit", &["unit = [{ id = 'a', QQ }]"]),
    ("models", &["unit = [{ id = 'a', models = { least = 1, most = 2, QQ } }]"]),
    ("carried_table", &["weapon = [{ id = 'b' }]\nunit = [{ id = 'a', weapons = [{ weapon = 'b', QQ }] }]"]),
    ("option", &["unit = [{ id = 'a', option = [{ id = 'b', QQ }] }]"]),
    ("group", &["unit = [{ id = 'a', group = [{ id = 'b', sets = { }, QQ }] }]"]),
    ("most", &["unit = [{ id = 'a', option = [{ id = 'b', most = { per_models = 1, QQ } }] }]"]),
];

/// The keys that the reader knows in a table: it lists them where one is like none of them.
fn known(text: &str) -> BTreeSet<String> {
    let text = format!("format = 1\npack = 'a'\n{}\n", text.replace("QQ", "xqzkjw = 1"));
    let faults = read(&[Source::new("a", &*text)]).expect_err("an unknown key");
    let told = faults.iter().find(|fault| fault.words == "xqzkjw").unwrap_or_else(|| panic!("{text}: {faults:?}"));
    let list = told.suggestion.as_deref().and_then(|hint| hint.strip_prefix("known here: "));
    list.unwrap_or_else(|| panic!("{text}: {told:?}")).split(", ").map(str::to_owned).collect()
}

#[test]
fn it_has_the_keys_that_the_reader_knows_and_no_others() {
    let schema = schema();
    for (name, texts) in TABLES {
        let table = if name.is_empty() { &schema } else { &schema["$defs"][name] };
        let properties = table["properties"].as_object().unwrap_or_else(|| panic!("no table {name}"));
        let listed: BTreeSet<String> = properties.keys().cloned().collect();
        let read: BTreeSet<String> = texts.iter().flat_map(|text| known(text)).collect();
        let only = |a: &BTreeSet<String>, b: &BTreeSet<String>| a.difference(b).cloned().collect::<Vec<_>>();
        let (missing, extra) = (only(&read, &listed), only(&listed, &read));
        assert!(
            missing.is_empty() && extra.is_empty(),
            "{name}: the schema lacks {missing:?}, and has besides {extra:?}"
        );
    }
    // Every definition with properties of its own is held against the reader.
    let tables: BTreeSet<&str> = TABLES.iter().map(|(name, _)| *name).collect();
    for (name, definition) in schema["$defs"].as_object().expect("definitions") {
        assert!(definition.get("properties").is_none() || tables.contains(name.as_str()), "{name} is not looked at");
    }
}
