//! The workshop: its page and parts over HTTP, the files of packs that it begins with, and the whole of it in a browser.
use pipwright_shared::packs;
use pipwright_tests::browser::{folder, missing, modules};
use pipwright_tests::program::{Program, built};
use pipwright_tests::service::{Service, config};
use reqwest::header;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::Command;

type Texts = BTreeMap<String, String>;

/// What is typed at the ends of the starter's files: a weapon, a rule, and a unit that has it, with a slip in its name.
const WEAPON: &str =
    "\n[[weapon]]\nid = \"plum-pole\"\nlabel = \"plum pole\"\nstats = { lobs = 2, heft = 5 }\nreach = 6\n";
const RULE: &str = "\n[[rule]]\nid = \"running-start\"\nlabel = \"Running start\"\ntext = \"Who comes running throws once more.\"\n\
    side = \"attacker\"\nwhen = { moved = true }\n[[rule.change]]\nstep = \"attack\"\nattacks = 1\n";
const UNIT: &str = "\n[[unit]]\nid = \"goat-riders\"\nlabel = \"Goat Riders\"\nkind = \"folk\"\nrole = \"helpers\"\n\
    models = { least = 3, most = 6 }\npoints = 55\neach_more = 16\nstats = { eye = \"4+\", girth = 4, calm = 6 }\n\
    weapons = [\"plum-pole\"]\nrules = [\"runing-start\"]\n";

fn starter() -> Texts {
    packs::starter("our-club").into_iter().map(|file| (file.name, file.text)).collect()
}

/// The starter with all that is typed, the slip mended, and the apple sling's Heft raised in the form.
fn written() -> Texts {
    let mut texts = starter();
    let rules = texts.get_mut("rules.toml").expect("rules");
    rules.push_str(RULE);
    let units = texts.get_mut("units.toml").expect("units");
    assert_eq!(units.matches("stats = { heft = 3 }").count(), 1);
    *units = units.replace("stats = { heft = 3 }", "stats = { heft = 4 }") + WEAPON;
    units.push_str(&UNIT.replace("runing", "running"));
    texts
}

async fn send(service: &Service, texts: &Texts) -> String {
    let files: Vec<Value> = texts.iter().map(|(name, text)| json!({ "name": name, "text": text })).collect();
    let (status, answer) = service.ask("/v1/packs", &json!({ "files": files })).await;
    assert_eq!(status, 200, "{answer}");
    answer["address"].as_str().expect("an address").to_owned()
}

fn figures(answer: &Value) -> Value {
    json!({
        "destroyed": answer["destroyed"]["chance"],
        "removed": answer["points"]["removed"],
        "cost": answer["points"]["cost"],
        "models": answer["models"]["expected"],
        "through": answer["through"]["expected"],
    })
}

#[tokio::test]
async fn every_part_of_the_page_comes_from_here() {
    let service = Service::plain().await;
    let html = service.get("/workshop").await.text().await.expect("text");
    let mut parts = vec!["/workshop".to_owned()];
    for name in
        fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../api/src/routes/workshop")).expect("a folder")
    {
        let name = name.expect("a file").file_name().into_string().expect("a name");
        if name.ends_with(".js") || name.ends_with(".css") {
            parts.push(format!("/workshop/{name}"));
        }
    }
    assert!(parts.len() >= 11, "{parts:?}");
    for part in &parts {
        let response = service.get(part).await;
        assert_eq!(response.status(), 200, "{part}");
        if part == "/workshop" {
            let policy = response.headers()[header::CONTENT_SECURITY_POLICY].to_str().expect("text").to_owned();
            assert!(policy.starts_with("default-src 'none'; script-src 'self'; style-src 'self'"), "{policy}");
            assert!(!policy.contains("unsafe") && !policy.contains('*') && !policy.contains("http"), "{policy}");
        }
        let tag = response.headers()[header::ETAG].clone();
        // The name of the drawing's own language is an address that nobody visits.
        let text = response.text().await.expect("text").replace("http://www.w3.org/2000/svg", "");
        assert!(!text.contains("http://") && !text.contains("https://"), "{part} names another place");
        assert!(!text.contains("innerHTML") && !text.contains("eval("), "{part}");
        let again =
            service.client.get(service.url(part)).header(header::IF_NONE_MATCH, tag).send().await.expect("sent");
        assert_eq!(again.status(), 304, "{part}");
    }
    let inline = [" style=", " onclick=", " onload=", "javascript:", "<script>", "<style"];
    assert!(!inline.iter().any(|inline| html.contains(inline)), "nothing inline");
    let vendor = service.get("/workshop/vendor.js").await.text().await.expect("text");
    assert!(!vendor.contains("eval(") && !vendor.contains("new Function"), "the libraries make no code out of text");
    let licences = service.get("/workshop/LICENCES.txt").await.text().await.expect("text");
    let pinned: Value =
        serde_json::from_str(include_str!("../../api/src/routes/workshop/vendor/package.json")).expect("JSON");
    for (name, version) in pinned["dependencies"].as_object().expect("libraries") {
        let head = format!("\n{name} {} (", version.as_str().expect("a version"));
        assert!(licences.contains(&head), "the licence of {name}");
    }
    let start: Value = service.get("/workshop/start.json").await.json().await.expect("JSON");
    assert_eq!((&start["check_bytes"], &start["pack_bytes"]), (&json!(256 << 10), &json!(4 << 20)));
    let files = start["files"].as_array().expect("files").iter();
    let texts: Texts = files
        .map(|file| (file["name"].as_str().expect("a name").into(), file["text"].as_str().expect("a text").into()))
        .collect();
    assert_eq!(texts, starter());
}

/// What comes out goes in again as the very same pack: of the service's own packs, of one that was sent, and of one from a
/// spreadsheet.
#[tokio::test]
async fn the_files_of_a_pack_make_the_same_pack() {
    let service = Service::plain().await;
    let sent = send(&service, &written()).await;
    let sheet =
        "Name,Kind,Role,Models,Points,Eye,Girth,Calm,Weapons\nReed Cutters,folk,helpers,3,30,4+,3,7,Apple sling\n";
    let mut with_sheet: Vec<Value> =
        starter().iter().map(|(name, text)| json!({ "name": name, "text": text })).collect();
    with_sheet.push(json!({ "name": "units.csv", "text": sheet }));
    let (status, answer) = service.ask("/v1/packs", &json!({ "files": with_sheet })).await;
    assert_eq!(status, 200, "{answer}");
    let from_sheet = answer["address"].as_str().expect("an address").to_owned();
    for pack in ["canal-guild", "sedge-moot", "floe-run", &sent, &from_sheet] {
        let answer: Value = service.get(&format!("/v1/packs/{pack}/files")).await.json().await.expect("JSON");
        let (status, again) = service.ask("/v1/packs", &json!({ "files": answer["files"] })).await;
        assert_eq!(status, 200, "{pack}: {again}");
        assert_eq!(again["address"], format!("sha256:{}", answer["hash"].as_str().expect("a hash")), "{pack}");
    }
    let answer: Value = service.get(&format!("/v1/packs/{sent}/files")).await.json().await.expect("JSON");
    let texts: Texts = answer["files"]
        .as_array()
        .expect("files")
        .iter()
        .map(|file| (file["name"].as_str().expect("a name").into(), file["text"].as_str().expect("a text").into()))
        .collect();
    assert_eq!(texts, written(), "comments and all");
    let gone = service.get(&format!("/v1/packs/sha256:{}/files", "0".repeat(64))).await;
    assert_eq!(gone.status(), 404);
    assert!(gone.text().await.expect("text").contains("pack-gone"));
}

/// The texts in a ZIP file, and the folder that it unpacks to.
fn unpacked(zip: &Path, into: &Path) -> Texts {
    let mut archive = zip::ZipArchive::new(fs::File::open(zip).expect("a file")).expect("a ZIP file");
    archive.extract(into).expect("unpacked");
    let names: Vec<String> = archive.file_names().map(|name| name.expect("a name").into_owned()).collect();
    let text = |name: String| {
        let text = fs::read_to_string(into.join(&name)).expect("text");
        (name.strip_prefix("our-club/").expect("all in one folder").to_owned(), text)
    };
    names.into_iter().map(text).collect()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_pack_is_written_in_a_browser() {
    if let Some(missing) = missing() {
        println!("NOT TESTED: the workshop in a browser: {missing}");
        return;
    }
    let service = Service::start(config()).await;
    let (before, now) = (send(&service, &starter()).await, send(&service, &written()).await);
    let ask = async |pack: &str, attacker: &str, models: Option<u32>, moved: bool| {
        let mut side = json!({ "unit": attacker });
        if let Some(models) = models {
            side["models"] = models.into();
        }
        let body = json!({ "pack": pack, "attacker": side, "target": { "unit": "terrace-wardens" }, "situation": { "moved": moved } });
        let (status, answer) = service.ask("/v1/matchup", &body).await;
        assert_eq!(status, 200, "{answer}");
        answer
    };
    let (was, is) =
        (ask(&before, "ladder-hands", Some(6), false).await, ask(&now, "ladder-hands", Some(6), false).await);
    let added = ask(&now, "goat-riders", Some(6), true).await;
    let league = async |pack: &str| service.ask("/v1/worth", &json!({ "pack": pack })).await.1["rows"].clone();
    let (old, new) = (league(&before).await, league(&now).await);
    let worth = |rows: &Value, unit: &Value| {
        rows.as_array().expect("rows").iter().find(|row| row["unit"] == *unit).map(|row| row["worth"].clone())
    };
    let worths: serde_json::Map<String, Value> = new
        .as_array()
        .expect("rows")
        .iter()
        .map(|row| {
            let value = json!({ "before": worth(&old, &row["unit"]), "now": row["worth"] });
            (row["unit"].as_str().expect("an id").to_owned(), value)
        })
        .collect();
    let typed = starter()["units.toml"].clone() + WEAPON + UNIT;
    let at = typed.lines().position(|line| line.contains("runing")).expect("the slip") + 1;
    let told = json!({
        "start": starter(),
        "written": written(),
        "typed": { "weapon": WEAPON, "rule": RULE, "unit": UNIT },
        "mistake": { "words": "\"runing-start\"", "line": "rules = [\"runing-start\"]", "at": at },
        "matchup": { "attacker": "ladder-hands", "target": "terrace-wardens", "models": 6 },
        "figures": { "before": figures(&was), "now": figures(&is), "added": figures(&added) },
        "league": worths,
        "address": now,
    });
    let home = tempfile::tempdir().expect("a folder");
    let file = home.path().join("told.json");
    fs::write(&file, told.to_string()).expect("written");
    let script = tokio::process::Command::new("node")
        .arg(folder().join("workshop.mjs"))
        .arg(service.url(""))
        .arg(modules())
        .arg(modules().join("../pictures"))
        .arg(&file)
        .arg(home.path())
        .kill_on_drop(true)
        .output();
    let output = script.await.expect("node runs");
    let (said, complaints) = (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    println!("{said}");
    assert!(output.status.success() && said.trim_end().ends_with("all seen"), "{said}\n{complaints}");

    // What was downloaded is what was written, and is played by as the page says.
    let texts = unpacked(&home.path().join("our-club.zip"), home.path());
    assert_eq!(texts, written());
    let pack = home.path().join("our-club");
    let program = Program::start(&[("PIPWRIGHT_PACKS", pack.to_str().expect("a path"))]);
    let url = format!(
        "{}/v1/matchup?pack=our-club&attacker.unit=ladder-hands&attacker.models=6&target.unit=terrace-wardens&situation.moved=false",
        program.address
    );
    let answer: Value = reqwest::get(url).await.expect("sent").json().await.expect("JSON");
    assert_eq!(figures(&answer), figures(&is));
    assert_eq!(answer["hash"], is["hash"], "the very same pack");
    let mut bot = Command::new(built("pipwright-bot"));
    bot.env_clear().current_dir(home.path()).envs([("PIPWRIGHT_PACKS", "our-club"), ("PIPWRIGHT_PACK", "our-club")]);
    let output = bot.args(["ask", "3 goat riders v terrace wardens, moved"]).output().expect("the bot runs");
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success() && said.contains("3 Goat Riders v") && said.contains("Running start"), "{said}");
}
