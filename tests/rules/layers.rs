//! Packs that are built on others: what changes, what stays, which rule comes from which, and what is wrong with one.
use pipwright_shared::odds::cancellation::CancellationToken;
use pipwright_shared::rules::fault::{Fault, Source};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::unit::Unit;
use pipwright_shared::rules::names::Names;
use pipwright_shared::rules::{PackCatalog, check};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};
use std::fs;

use std::sync::Arc;

/// A campaign over the first demo pack: a dearer unit, another chance, a rule more, one less, a new unit.
const WINTER: &str = r#"
format = 1
pack = "winter-canal"
name = "Winter Canal"
extends = "canal-guild"
remove = { unit = ["mud-sappers"] }

[limits]
most_units = 7

[[rule]]
id = "ice-on-the-water"
label = "Ice on the water"
text = "Everyone shoots once less far from shelter."
side = "attacker"
when = { moved = true }
[[rule.change]]
step = "attack"
attacks = 1

[[unit]]
id = "ram-barge"
points = 70
stats = { drill = "5+" }

[[unit]]
id = "sledge-hands"
label = "Sledge Hands"
kind = "foot"
role = "foot-bands"
models = { least = 5, most = 10 }
points = 40
each_more = 8
stats = { drill = "4+", nerve = 7, pace = 3, bulk = 3 }
rules = ["ice-on-the-water"]
weapons = ["bank-pistol"]
"#;

fn source(text: &str) -> Source {
    Source::new("winter.toml", text)
}

fn read(text: &str) -> Result<Arc<Pack>, Vec<Fault>> {
    PackCatalog::demo().read(vec![source(text)])
}

fn unit<'a>(pack: &'a Pack, id: &str) -> &'a Unit {
    pack.units.iter().find(|unit| unit.named.id == id).unwrap_or_else(|| panic!("{id}"))
}

#[test]
fn what_it_says_is_changed_and_all_else_stays() {
    let (base, winter) = (PackCatalog::demo().pack(Some("canal-guild")).expect("there"), read(WINTER).expect("good"));
    assert_eq!((winter.named.id.as_str(), winter.named.label.as_str()), ("winter-canal", "Winter Canal"));
    assert_ne!(winter.hash, base.hash);
    let (before, after) = (unit(&base, "ram-barge"), unit(&winter, "ram-barge"));
    assert_eq!((before.points, after.points), (65, 70));
    let at = base.stats.unit.iter().position(|stat| stat.id == "drill").expect("there");
    assert_ne!(before.profile[at], after.profile[at], "one stat of its table is another");
    let others = |unit: &Unit| {
        let mut profile = unit.profile.clone();
        profile.remove(at);
        format!("{profile:?} {:?} {:?} {:?} {:?}", unit.named, unit.weapons, unit.rules, unit.options)
    };
    assert_eq!(others(before), others(after), "and nothing else");
    assert_eq!((winter.limits.most_units, base.limits.most_alike), (Some(7), winter.limits.most_alike));
    assert!(!winter.units.iter().any(|unit| unit.named.id == "mud-sappers"), "taken away");
    assert_eq!(winter.units.len(), base.units.len(), "one less and one more");
    // Every other unit is what it was.
    for unit in base.units.iter().filter(|unit| !["ram-barge", "mud-sappers"].contains(&unit.named.id.as_str())) {
        let shown = |unit: &Unit| {
            format!(
                "{:?}",
                Unit { find: Names::default(), needs_unit: Vec::new(), bars_unit: Vec::new(), ..unit.clone() }
            )
        };
        assert_eq!(shown(unit), shown(self::unit(&winter, &unit.named.id)));
    }
}

#[test]
fn answers_say_which_rule_comes_from_which() {
    let pack = format!("{WINTER}\n[[rule]]\nid = \"auger-head\"\ntext = \"Changed for the winter.\"\n");
    let request = json!({
        "pack": pack, "attacker": {"unit": "Sledge Hands"}, "target": {"unit": "Quay Rifles"},
        "situation": {"moved": true, "range": "near"}
    });
    let answer = ask("matchup", request);
    let all: Vec<Value> = [&answer["rules"]["acted"], &answer["rules"]["did_not"]]
        .into_iter()
        .flat_map(|notes| notes.as_array().expect("a list").clone())
        .collect();
    let from =
        |id: &str| all.iter().find(|note| note["id"] == id).unwrap_or_else(|| panic!("{id}: {all:?}"))["from"].clone();
    assert_eq!(from("ice-on-the-water"), json!({"pack": "winter-canal", "name": "Winter Canal"}));
    let rule = ask("rule", json!({"pack": pack, "rule": "auger-head"}));
    assert_eq!(rule["text"], "Changed for the winter.");
    let from = json!({"pack": "canal-guild", "name": "Canal Guild", "changed_by": "Winter Canal"});
    assert_eq!(rule["from"], from);
    let plain = ask("rule", json!({"pack": "canal-guild", "rule": "auger-head"}));
    assert!(plain.get("from").is_none(), "{plain}");
}

/// A pack on a pack on a pack, in a folder, whatever the order of their files.
#[test]
fn several_stand_on_each_other() {
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).expect("written");
    let third =
        "format = 1\npack = \"a-last\"\nextends = \"winter-canal\"\n\n[[unit]]\nid = \"ram-barge\"\npoints = 75\n";
    write("a.toml", third);
    write("winter.toml", WINTER);
    let (books, faults) = PackCatalog::load(folder.path(), &PackCatalog::demo());
    assert!(faults.is_empty(), "{faults:?}");
    let last = books.pack(Some("a-last")).expect("there");
    let ids: Vec<&str> = last.layers.iter().map(|layer| layer.id.as_str()).collect();
    assert_eq!(ids, ["canal-guild", "winter-canal", "a-last"]);
    assert_eq!(unit(&last, "ram-barge").points, 75);
    let stat = unit(&books.pack(Some("winter-canal")).expect("there"), "ram-barge").profile.clone();
    assert_eq!(unit(&last, "ram-barge").profile, stat, "from the one between");
    // Read from its files alone, as it is kept by its content, it is the same.
    let again = pipwright_shared::rules::read::read(&last.files).expect("good");
    assert_eq!((again.hash, again.units.len()), (last.hash.clone(), last.units.len()));
    // The one beneath is changed: so is what stands on it.
    write("winter.toml", &WINTER.replace("drill = \"5+\"", "drill = \"6+\""));
    let (books, faults) = PackCatalog::load(folder.path(), &books);
    assert!(faults.is_empty(), "{faults:?}");
    assert_ne!(unit(&books.pack(Some("a-last")).expect("there"), "ram-barge").profile, stat);
}

fn one(text: &str) -> Fault {
    let faults = read(text).expect_err("refused");
    assert_eq!(faults.len(), 1, "{faults:?}");
    faults.into_iter().next().expect("one")
}

fn line(text: &str, words: &str) -> u32 {
    1 + text.lines().position(|line| line.contains(words)).expect("there") as u32
}

#[test]
fn a_base_that_is_not_there_or_comes_to_no_end_is_told_at_its_place() {
    for (base, said, hint) in [
        ("canal-gild", "no pack called \"canal-gild\" is here", Some("canal-guild")),
        ("winter-canal", "can't be built on itself", None),
        ("canal-guild@0123456789", "is not kept here", None),
        ("sha256:12", "64 hexadecimal digits", None),
    ] {
        let text = WINTER.replace("extends = \"canal-guild\"", &format!("extends = \"{base}\""));
        let fault = one(&text);
        assert_eq!(
            (fault.file.as_str(), fault.line, fault.column),
            ("winter.toml", line(&text, "extends"), 11),
            "{fault}"
        );
        assert!(fault.message.contains(said), "{fault}");
        assert_eq!(fault.suggestion.is_some_and(|s| s.contains("canal-guild")), hint.is_some());
    }
    let folder = tempfile::tempdir().expect("a folder");
    for (own, base) in [("one", "two"), ("two", "three"), ("three", "one")] {
        let text = format!("format = 1\npack = \"{own}\"\nextends = \"{base}\"\n");
        fs::write(folder.path().join(format!("{own}.toml")), text).expect("written");
    }
    let (books, faults) = PackCatalog::load(folder.path(), &PackCatalog::demo());
    assert_eq!((books.packs().len(), faults.len()), (PackCatalog::demo().packs().len(), 3), "{faults:?}");
    for fault in faults {
        assert!(fault.message.contains("comes to no end") && (fault.line, fault.column) == (3, 11), "{fault}");
    }
    let alone = "format = 1\npack = \"b\"\n\n[[kind]]\nid = \"folk\"\ntarget = \"soldiers\"\n\nremove = 1\n";
    assert!(read(&alone.replace("\nremove = 1\n", "")).is_ok());
    let text =
        alone.replace("pack = \"b\"\n", "pack = \"b\"\nremove = { unit = [\"a\"] }\n").replace("\nremove = 1\n", "");
    assert!(one(&text).message.contains("only a pack that is built on another"));
}

#[test]
fn a_mistake_in_what_changes_is_told_there_and_one_beneath_there() {
    let text = WINTER.replace("points = 70", "points = \"many\"");
    let fault = one(&text);
    assert_eq!((fault.file.as_str(), fault.line), ("winter.toml", line(&text, "\"many\"")), "{fault}");
    // What is taken away is missed where it is named: in the file of the pack beneath.
    let text = WINTER.replace("unit = [\"mud-sappers\"]", "unit = [\"mud-sappers\"], weapon = [\"bank-pistol\"]");
    let faults = read(&text).expect_err("refused");
    let beneath: Vec<&Fault> = faults.iter().filter(|fault| fault.file == "canal-guild/units.toml").collect();
    assert!(beneath.len() > 1 && beneath.iter().all(|fault| fault.message.contains("bank-pistol")), "{faults:?}");
    assert!(faults.iter().any(|fault| fault.file == "winter.toml"), "and in its own: {faults:?}");
    for (from, to, said) in [
        ("unit = [\"mud-sappers\"]", "unit = [\"mud-flappers\"]", "has no unit called \"mud-flappers\""),
        ("unit = [\"mud-sappers\"]", "house = [\"a\"]", "\"house\" is none of"),
        ("{ unit = [\"mud-sappers\"] }", "\"mud-sappers\"", "this should be a table"),
    ] {
        let text = WINTER.replace(from, to);
        let fault = one(&text);
        assert!(fault.message.contains(said) && fault.line == line(&text, "remove ="), "{fault}");
    }
    // Twice in one pack is twice, whatever is beneath.
    let twice = format!("{WINTER}\n[[unit]]\nid = \"ram-barge\"\npoints = 71\n");
    assert!(read(&twice).expect_err("refused").iter().any(|fault| fault.message.contains("is here twice")));
}

#[test]
fn the_checker_warns_of_its_own_files_alone() {
    let text = WINTER.replace("rules = [\"ice-on-the-water\"]", "");
    let checked = check::check(&PackCatalog::demo(), vec![source(&text)], &CancellationToken::default());
    assert!(checked.pack.is_some());
    assert!(!checked.faults.is_empty(), "nobody carries the rule");
    for fault in &checked.faults {
        assert!(fault.file == "winter.toml" && fault.line > 1, "{fault}");
    }
}
