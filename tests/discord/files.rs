//! Attached files: read where the platform keeps them, and nowhere else.
use super::made::{somebody, with_file};
use super::platform::Platform;
use super::started;
use axum::Router;
use axum::routing::get;
use serde_json::json;

async fn told(bot: &started::Started, url: &str, size: u64) -> String {
    let asked = with_file(somebody(), "points", &[("limit", json!(5000))], url, size);
    let sent = bot.platform.does(&asked).await;
    sent.body["data"]["content"].as_str().expect("content").to_owned()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_list_as_a_file() {
    let platform = Platform::start().await;
    let plain = started::with(Platform::start().await, |_| {}).await;
    let unit = plain.api.index(None).await.expect("names").units[0].clone();
    let list = format!("\u{feff}{}\r\n{}\r\n", unit.name, unit.name);
    let router = Router::new()
        .route("/list.txt", get(move || async move { list }))
        .route("/bytes.bin", get(|| async { vec![0xff_u8, 0xfe, 0x00] }))
        .route("/large.txt", get(|| async { "x".repeat(300 * 1024) }));
    let files = started::serve(router).await;
    let base = format!("{files}/");
    let bot = started::with(platform, |settings| settings.files = vec![base]).await;
    let content = told(&bot, &format!("{files}/list.txt"), 40).await;
    assert!(content.starts_with(&format!("{} points", 2 * unit.points)), "{content}");
    let content = told(&bot, &format!("{files}/bytes.bin"), 3).await;
    assert_eq!(content, "That file is no plain text.");
    let content = told(&bot, &format!("{files}/large.txt"), 10).await;
    assert!(content.starts_with("That file is too large"), "{content}");
    let content = told(&bot, &format!("{files}/list.txt"), 5_000_000).await;
    assert!(content.starts_with("That file has"), "{content}");
    let content = told(&bot, &format!("{files}/gone.txt"), 10).await;
    assert!(content.starts_with("That file could not be fetched"), "{content}");
}

/// A club's own units, which the service has never seen, in a question of the chat.
#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_unit_book_as_a_file() {
    let text = std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/src/packs/canal-guild/units.toml"),
    );
    let text = text.expect("the demo book");
    let from = text.find("[[unit]]\nid = \"ram-barge\"").expect("the barge");
    let unit = text[from..].split("\n\n").next().expect("a unit").to_owned();
    let head = "format = 1\npack = \"canal-guild\"\n\n";
    let unit = unit.replace("ram-barge", "moon-barge").replace("Ram Barge", "Moon Barge");
    let book = format!("{head}{}", unit.replace("also = [\"barge\"]\n", ""));
    let broken = format!("{head}[[unit]]\nid = \"x\"\n");
    let router = Router::new()
        .route("/book.toml", get(move || async move { book }))
        .route("/broken.toml", get(move || async move { broken }))
        .route("/list.txt", get(|| async { "ram barge" }));
    let files = started::serve(router).await;
    let base = format!("{files}/");
    let bot = started::with(Platform::start().await, |settings| settings.files = vec![base]).await;
    let matchup = async |name: &str| {
        let fields =
            [("attacker", json!("3 moon barges")), ("target", json!("heron carriage")), ("arc", json!("rear"))];
        let asked = with_file(somebody(), "matchup", &fields, &format!("{files}/{name}"), 400);
        let sent = bot.platform.does(&asked).await;
        sent.body["data"]["content"].as_str().expect("content").to_owned()
    };
    let content = matchup("book.toml").await;
    // By hand: a 4 or more to hit and 1d6 + 14 against 18 make one shot in four a breach, which takes a point, and one more
    // on a 7 or 11 and 12 of two dice (9 in 36). Four points: 9/64 x 1/16 + 1/64 x (1 - 27/64) = 73/4096.
    assert!(content.starts_with("Three Moon Barges wreck the Heron Carriage about 1 time in 56 (1.8%)."), "{content}");
    let content = matchup("broken.toml").await;
    assert!(content.starts_with("Line 5, column 6"), "the place of the mistake: {content}");
    let content = matchup("list.txt").await;
    assert!(!content.contains("3.5%"), "a list is no book, and nobody knows a moon barge: {content}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn other_hosts_are_not_asked() {
    let bot = started::started().await;
    for url in ["http://127.0.0.1:1/secret", "https://cdn.discordapp.com.evil.example/x", "file:///etc/hostname"] {
        let content = told(&bot, url, 10).await;
        assert!(content.starts_with("That file does not lie where"), "{url}: {content}");
    }
}
