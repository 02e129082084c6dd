//! Answers in other forms than JSON, and answers that tell how far they have come.
use crate::calc::odd_pages::odd_pack;
use pipwright_tests::browser::{folder, missing, modules};
use pipwright_tests::service::{Service, config};
use reqwest::{StatusCode, header};
use serde_json::{Value, json};
use std::time::Duration;

#[tokio::test(flavor = "multi_thread")]
async fn an_appraisal_as_page_text_and_table() {
    let service = Service::plain().await;
    let forms = [
        ("html", "text/html; charset=utf-8", "<h1 dir=\"auto\">Heron Carriage</h1>"),
        ("md", "text/markdown; charset=utf-8", "# Heron Carriage"),
        ("csv", "text/csv; charset=utf-8; header=present", "part,table,row,column,value\r\n"),
    ];
    for (form, kind, begins) in forms {
        let path = format!("/v1/appraisal.{form}?unit=heron-carriage");
        let response = service.get(&path).await;
        assert_eq!(response.status(), StatusCode::OK);
        assert_eq!(response.headers()[header::CONTENT_TYPE], kind);
        if form == "html" {
            let policy = response.headers()[header::CONTENT_SECURITY_POLICY].to_str().expect("text");
            assert!(policy.contains("default-src 'none'") && !policy.contains("script"), "{policy}");
        }
        let tag = response.headers()[header::ETAG].clone();
        let text = response.text().await.expect("text");
        assert!(text.contains(begins), "{text}");
        assert!(!text.contains("<script") && !text.contains("http://") || form == "html", "{text}");
        let again =
            service.client.get(service.url(&path)).header(header::IF_NONE_MATCH, tag).send().await.expect("sent");
        assert_eq!(again.status(), StatusCode::NOT_MODIFIED, "{form}");
    }
    let wrong = service.get("/v1/appraisal.html?unit=nobody").await;
    assert_eq!(wrong.status(), StatusCode::NOT_FOUND);
    assert_eq!(wrong.headers()[header::CONTENT_TYPE], "application/problem+json");
}

/// Nothing on a page comes from elsewhere: the only address in it is the name of the drawing's own language.
#[tokio::test(flavor = "multi_thread")]
async fn a_page_needs_nothing_from_outside() {
    let service = Service::plain().await;
    for path in ["/v1/appraisal.html?unit=lamp-skiff", "/v1/worth.html?pack=canal-guild"] {
        let page = service.get(path).await.text().await.expect("text");
        let page = page.replace("http://www.w3.org/2000/svg", "");
        for outside in ["http://", "https://", "src=", "<link", "@import", "url("] {
            assert!(!page.contains(outside), "{path} has {outside}");
        }
    }
}

/// The events of a stream: their names and their data.
fn events(text: &str) -> Vec<(String, Value)> {
    let parse = |event: &str| {
        let field = |name: &str| event.lines().find_map(|line| line.strip_prefix(&format!("{name}: ")));
        Some((field("event")?.to_owned(), serde_json::from_str(field("data")?).expect("JSON")))
    };
    text.split("\n\n").filter_map(parse).collect()
}

#[tokio::test(flavor = "multi_thread")]
async fn a_league_tells_how_far_it_is_and_comes_from_the_cache_at_last() {
    let service = Service::start(config()).await;
    let text = service.get("/v1/worth/events?pack=canal-guild&turns=7").await.text().await.expect("text");
    let all = events(&text);
    let (name, answer) = all.last().expect("an event");
    assert_eq!(name, "answer");
    for (name, progress) in &all[..all.len() - 1] {
        assert_eq!(name, "progress");
        assert!(progress["done"].as_u64() <= progress["of"].as_u64(), "{progress}");
    }
    let plain: Value = service.get("/v1/worth?pack=canal-guild&turns=7").await.json().await.expect("JSON");
    assert_eq!(plain, *answer);
    let again = events(&service.get("/v1/worth/events?pack=canal-guild&turns=7").await.text().await.expect("text"));
    assert_eq!(again.len(), 1, "it is there already");
}

#[tokio::test(flavor = "multi_thread")]
async fn whoever_hangs_up_stops_the_work() {
    let service = Service::start(config()).await;
    let request = service.client.get(service.url("/v1/worth/events?pack=canal-guild&turns=9"));
    let mut response = request.send().await.expect("sent");
    assert_eq!(response.status(), StatusCode::OK);
    // The first event is there, so the work has begun.
    let first = response.chunk().await.expect("a chunk").expect("an event");
    let first = String::from_utf8_lossy(&first).into_owned();
    drop(response);
    if first.contains("event: answer") {
        println!("NOT TESTED: the league was done before anybody could hang up");
        return;
    }
    for _ in 0..200 {
        if service.app.flights.count() == 0 {
            return;
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    panic!("the work goes on with nobody waiting");
}

/// A made-up book of 150 units beside a pack's own: its units under other names, with other numbers and prices.
fn large_book(pack: &str, seed: u64) -> String {
    let mut rng = fastrand::Rng::with_seed(seed);
    let file = format!("{}/../shared/src/packs/{pack}/units.toml", env!("CARGO_MANIFEST_DIR"));
    let table: toml::Table = std::fs::read_to_string(file).expect("units").parse().expect("TOML");
    let units = table["unit"].as_array().expect("units");
    let mut names = |least: usize| {
        let syllables = ["bar", "len", "tor", "mi", "sa", "quen", "do", "wick", "ar", "holm"];
        let mut one = || (0..rng.usize(least..4)).map(|_| syllables[rng.usize(..syllables.len())]).collect::<String>();
        let (first, second) = (one(), one());
        format!("{}{} {second}", first[..1].to_uppercase(), &first[1..])
    };
    let mut dice = fastrand::Rng::with_seed(seed + 1);
    let made = (0..150).map(|at| {
        let mut unit = units[at % units.len()].clone();
        let fields = unit.as_table_mut().expect("a table");
        for key in ["also", "singular", "plural", "phrases"] {
            fields.remove(key);
        }
        fields.insert("id".to_owned(), format!("made-{at}").into());
        fields.insert("label".to_owned(), format!("{} {at}", names(2)).into());
        if let Some(points) = fields.get("points").and_then(toml::Value::as_integer) {
            fields.insert("points".to_owned(), (points + dice.i64(-5..30)).max(5).into());
        }
        unit
    });
    let mut book = toml::Table::new();
    book.insert("format".to_owned(), 1.into());
    book.insert("pack".to_owned(), pack.into());
    book.insert("unit".to_owned(), toml::Value::Array(made.collect()));
    book.to_string()
}

/// Every page of every unit: nothing cut off, overlapping or unreadable, and at most three sheets of paper.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_pages_in_a_browser() {
    if let Some(missing) = missing() {
        println!("NOT TESTED: the pages of appraisals in a browser: {missing}");
        return;
    }
    let service = Service::plain().await;
    let packs = [
        ("odd", json!({"pack": odd_pack()})),
        ("large-canal", json!({"pack": "canal-guild", "book": large_book("canal-guild", 11)})),
        ("large-floe", json!({"pack": "floe-run", "book": large_book("floe-run", 12)})),
    ];
    let folder_of_packs = tempfile::tempdir().expect("a folder");
    let files = packs.map(|(name, body)| {
        let file = folder_of_packs.path().join(format!("{name}.json"));
        std::fs::write(&file, body.to_string()).expect("written");
        file
    });
    let script = tokio::process::Command::new("node")
        .arg(folder().join("pages.mjs"))
        .arg(service.url(""))
        .arg(modules())
        .arg(modules().join("../pictures"))
        .args(files)
        .kill_on_drop(true)
        .output();
    let output = script.await.expect("node runs");
    let said = String::from_utf8_lossy(&output.stdout);
    println!("{said}");
    let complaints = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success() && said.trim_end().ends_with("all seen"), "{said}\n{complaints}");
}

/// A page's pictures by themselves, as drawings and painted; each says what it shows.
#[tokio::test(flavor = "multi_thread")]
async fn pictures_by_themselves() {
    let service = Service::plain().await;
    let path = |name: &str| format!("/v1/appraisal/pictures/{name}?unit=heron-carriage");
    let page = service.get("/v1/appraisal.html?unit=heron-carriage").await.text().await.expect("text");
    let count = page.matches("<svg ").count();
    assert!(count >= 2, "{count} pictures");
    for number in 1..=count {
        let drawn = service.get(&path(&format!("{number}.svg"))).await;
        assert_eq!(drawn.headers()[header::CONTENT_TYPE], "image/svg+xml");
        let drawing = drawn.text().await.expect("text");
        assert!(page.contains(&drawing), "the drawing of the page");
        let painted = service.get(&path(&format!("{number}.png"))).await;
        assert_eq!(painted.headers()[header::CONTENT_TYPE], "image/png");
        let tag = painted.headers()[header::ETAG].clone();
        let bytes = painted.bytes().await.expect("bytes");
        assert!(bytes.starts_with(&[137, 80, 78, 71, 13, 10, 26, 10]), "PNG specification (W3C), 5.2");
        let alt = drawing.split("<desc>").nth(1).and_then(|rest| rest.split("</desc>").next()).expect("words");
        let alt = alt.replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
        assert!(bytes.windows(alt.len()).any(|window| window == alt.as_bytes()), "{alt}");
        let kept = service.get(&path(&format!("{number}.png"))).await;
        assert_eq!(kept.headers()[header::ETAG], tag);
        assert_eq!(kept.bytes().await.expect("bytes"), bytes, "painted once, kept, the same");
        let again = service.client.get(service.url(&path(&format!("{number}.png"))));
        let again = again.header(header::IF_NONE_MATCH, tag).send().await.expect("sent");
        assert_eq!(again.status(), StatusCode::NOT_MODIFIED);
    }
    for wrong in ["0.svg", "99.png", "1.gif", "one.svg", "1"] {
        assert_eq!(service.get(&path(wrong)).await.status(), StatusCode::NOT_FOUND, "{wrong}");
    }
}
