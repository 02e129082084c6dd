//! Packs that are sent once and named by their content: one copy, several, kept on, gone, pinned, and addresses that are none.
use super::packs::{pack_of, write};
use pipwright_api::{Config, config::Secret, pack_store};
use pipwright_tests::{
    redis::Redis,
    service::{Service, config},
};
use serde_json::{Value, json};
use std::time::Duration;
use tokio::time::sleep;

/// The files of a club's own pack, as they are sent.
fn files(id: &str) -> Value {
    let [rules, units] = pack_of(id);
    json!({"files": [{"name": rules.0, "text": rules.1}, {"name": units.0, "text": units.1}]})
}

async fn send(service: &Service, id: &str) -> Value {
    let (status, sent) = service.ask("/v1/packs", &files(id)).await;
    assert_eq!(status, 200, "{sent}");
    sent
}

fn matchup(pack: &str) -> Value {
    json!({"pack": pack, "attacker": {"unit": "Ram Barge", "models": 3}, "target": {"unit": "Heron Carriage"}})
}

/// A string with what a link does not take as it is written out.
fn escaped(text: &str) -> String {
    text.replace(':', "%3A").replace('@', "%40")
}

fn text<'a>(answer: &'a Value, field: &str) -> &'a str {
    answer[field].as_str().unwrap_or_else(|| panic!("no {field} in {answer}"))
}

/// All the questions about units that an answer names.
fn gather(answer: &Value, into: &mut Vec<Value>) {
    match answer {
        Value::Object(members) => {
            into.extend(members.get("ask").filter(|ask| !ask["request"]["pack"].is_null()).cloned());
            members.values().for_each(|member| gather(member, into));
        }
        Value::Array(items) => items.iter().for_each(|item| gather(item, into)),
        _ => {}
    }
}

fn is_gone((status, problem): &(u16, Value)) {
    assert_eq!((*status, problem["type"].as_str()), (404, Some("/docs/problems/pack-gone")), "{problem}");
    assert!(text(problem, "detail").contains("/v1/packs"), "says what to do: {problem}");
}

async fn copy(redis: &Redis, more: impl FnOnce(Config) -> Config) -> Service {
    Service::start(more(Config { redis: Some(Secret::new(redis.url())), ..config() })).await
}

#[tokio::test(flavor = "multi_thread")]
async fn the_address_stands_wherever_a_pack_is_named() {
    let service = Service::plain().await;
    let sent = send(&service, "our-club").await;
    let (address, pinned) = (text(&sent, "address"), text(&sent, "pinned"));
    assert_eq!(text(&sent["pack"], "hash"), address.strip_prefix("sha256:").expect("an address"));
    assert_eq!((text(&sent["pack"], "name"), sent["pack"]["unit_count"].as_u64()), ("Our Club", Some(20)));
    assert_eq!((sent["kept_s"].as_u64(), sent["shared"].as_bool()), (Some(30 * 24 * 3600), Some(false)));
    assert_eq!(send(&service, "our-club").await, sent, "sent again it is the same");

    // The same rules and units under another name: the numbers are those of the pack that is built in.
    let (_, built_in) = service.ask("/v1/matchup", &matchup("canal-guild")).await;
    for name in [address, pinned, &format!("Our Club@{}", &address[7..15])] {
        let (status, answer) = service.ask("/v1/matchup", &matchup(name)).await;
        assert_eq!(status, 200, "{name}: {answer}");
        assert_eq!((&answer["chain"], &answer["points"]), (&built_in["chain"], &built_in["points"]));
        assert_eq!((text(&answer, "pack"), text(&answer, "hash")), ("our-club", &address[7..]));
        let name = escaped(name);
        let link =
            format!("/v1/matchup?pack={name}&attacker.unit=ram-barge&attacker.models=3&target.unit=heron-carriage");
        let got: Value = service.get(&link).await.json().await.expect("JSON");
        assert_eq!(got["chain"], answer["chain"], "{link}");
        for (path, kind) in [
            (format!("/v1/appraisal.html?pack={name}&unit=heron-carriage"), "text/html"),
            (format!("/v1/appraisal/pictures/1.svg?pack={name}&unit=heron-carriage"), "image/svg+xml"),
            (format!("/v1/packs/{name}"), "application/json"),
            (format!("/v1/packs/{name}/units/ram-barge"), "application/json"),
            (format!("/v1/packs/{name}/rules/crushing-blow"), "application/json"),
        ] {
            let response = service.get(&path).await;
            assert_eq!(response.status(), 200, "{path}");
            let given = response.headers()["content-type"].to_str().expect("text").to_owned();
            assert!(given.starts_with(kind), "{path}: {given}");
        }
    }
    let question = |pack: &str| json!({"path": "matchup", "request": matchup(pack)});
    let (_, batch) = service.ask("/v1/batch", &json!({"questions": [question(address), question(pinned)]})).await;
    assert_eq!(batch["answers"][0]["answer"]["chain"], built_in["chain"]);
    assert_eq!(batch["answers"][0], batch["answers"][1]);
    // What an answer asks in turn names the pack by its content, too.
    let (_, appraisal) = service.ask("/v1/appraisal", &json!({"pack": address, "unit": "Heron Carriage"})).await;
    let mut asks = Vec::new();
    gather(&appraisal, &mut asks);
    assert!(asks.len() > 3, "{appraisal}");
    for ask in &asks {
        assert_eq!(text(&ask["request"], "pack"), address, "{ask}");
    }
    let path = format!("/v1/{}", text(&asks[0], "path"));
    assert_eq!(service.ask(&path, &asks[0]["request"]).await.0, 200);
    // A book may be laid over it, and the whole be sent in turn.
    let book = "format = 1\npack = \"our-club\"\n\n[[unit]]\nid = \"toll-keeper\"\nlabel = \"Toll Keeper\"\nkind = \"foot\"\nrole = \"foot-bands\"\npoints = 15\nstats = { drill = \"4+\", nerve = 7, pace = 0, bulk = 3 }\n";
    let (status, larger) = service.ask("/v1/packs", &json!({"pack": address, "book": book})).await;
    assert_eq!((status, larger["pack"]["unit_count"].as_u64()), (200, Some(21)), "{larger}");
    assert_ne!(larger["address"], sent["address"]);
}

#[tokio::test(flavor = "multi_thread")]
async fn all_copies_have_what_one_was_sent() {
    let Some(redis) = Redis::start(&[]) else { return };
    let (one, two) = (copy(&redis, |config| config).await, copy(&redis, |config| config).await);
    let sent = send(&one, "our-club").await;
    assert_eq!(sent["shared"], true, "{sent}");
    let key = format!("pipwright:pack:{}", text(&sent["pack"], "hash"));
    let ttl = || redis.cli(&["ttl", &key]).parse::<i64>().expect("seconds");
    let month = 30 * 24 * 3600;
    assert!((month - 60..=month).contains(&ttl()), "{}", ttl());
    for name in ["address", "pinned"] {
        two.app.kept.clear();
        two.app.memory.clear();
        let (status, answer) = two.ask("/v1/matchup", &matchup(text(&sent, name))).await;
        assert_eq!(status, 200, "{name}: {answer}");
        let units = two.get(&format!("/v1/packs/{}/units", escaped(text(&sent, name)))).await;
        assert_eq!(units.status(), 200);
    }
    // A use keeps it as long again; here one that the memory answers without reading anything.
    redis.cli(&["expire", &key, "100"]);
    two.app.kept.clear();
    assert_eq!(two.ask("/v1/matchup", &matchup(text(&sent, "pinned"))).await.0, 200);
    for _ in 0..100 {
        sleep(Duration::from_millis(20)).await;
        if ttl() > 100 {
            break;
        }
    }
    assert!((month - 60..=month).contains(&ttl()), "{}", ttl());
    // Lost in Redis, it is written there again from the memory of whoever has it.
    assert_eq!(one.ask("/v1/matchup", &matchup(text(&sent, "address"))).await.0, 200);
    redis.cli(&["flushall"]);
    one.app.kept.touch(&one.app, &std::sync::Arc::from([text(&sent["pack"], "hash").to_owned()]));
    assert_eq!(ttl(), -2, "noted a moment ago: nothing is written for each use");
}

#[tokio::test(flavor = "multi_thread")]
async fn what_nobody_uses_is_gone_and_can_be_sent_again() {
    let Some(redis) = Redis::start(&[]) else { return };
    let short = |config: Config| Config { pack_keep_s: 1, ..config };
    let (one, two) = (copy(&redis, short).await, copy(&redis, short).await);
    let sent = sent_and_known(&one, &two).await;
    assert_eq!(sent["kept_s"], 1);
    let question = matchup(text(&sent, "address"));
    // A second on the clock of Redis and of both memories.
    sleep(Duration::from_millis(2_500)).await;
    for service in [&one, &two] {
        service.app.memory.clear();
        is_gone(&service.ask("/v1/matchup", &question).await);
        is_gone(&service.ask("/v1/matchup", &matchup(text(&sent, "pinned"))).await);
    }
    let problem = one.get(&format!("/v1/packs/{}", escaped(text(&sent, "address")))).await;
    assert_eq!(problem.status(), 404);
    sent_and_known(&two, &one).await;
}

/// Sends a pack to one copy and asks another one about it. A machine that has much to do may need longer for both than the
/// second that the pack is kept: then it is sent again.
async fn sent_and_known(one: &Service, other: &Service) -> Value {
    for _ in 0..20 {
        let sent = send(one, "our-club").await;
        if other.ask("/v1/matchup", &matchup(text(&sent, "address"))).await.0 == 200 {
            return sent;
        }
    }
    panic!("a pack that was sent to one copy is not known to the other one")
}

#[tokio::test(flavor = "multi_thread")]
async fn what_is_damaged_in_redis_is_gone() {
    let Some(redis) = Redis::start(&[]) else { return };
    let service = copy(&redis, |config| config).await;
    let sent = send(&service, "our-club").await;
    let other = send(&service, "their-club").await;
    let key = |sent: &Value| format!("pipwright:pack:{}", text(&sent["pack"], "hash"));
    // A whole pack, and not the one that is asked for.
    redis.cli(&["copy", &key(&other), &key(&sent), "replace"]);
    service.app.kept.clear();
    is_gone(&service.ask("/v1/matchup", &matchup(text(&sent, "address"))).await);
    redis.cli(&["set", &key(&other), "no pack"]);
    is_gone(&service.ask("/v1/matchup", &matchup(text(&other, "address"))).await);
}

#[tokio::test(flavor = "multi_thread")]
async fn without_redis_it_is_kept_here_alone() {
    let Some(mut redis) = Redis::start(&[]) else { return };
    let (one, two) = (copy(&redis, |config| config).await, copy(&redis, |config| config).await);
    redis.kill();
    let sent = send(&one, "our-club").await;
    assert_eq!(sent["shared"], false, "{sent}");
    assert_eq!(one.ask("/v1/matchup", &matchup(text(&sent, "pinned"))).await.0, 200);
    is_gone(&two.ask("/v1/matchup", &matchup(text(&sent, "address"))).await);
}

#[tokio::test(flavor = "multi_thread")]
async fn addresses_that_are_none() {
    let service = Service::plain().await;
    let packs: Value = service.get("/v1/packs").await.json().await.expect("JSON");
    let hash = |at: usize| text(&packs["packs"][at], "hash").to_owned();
    // What is built in can be named and pinned by its content.
    for good in [format!("sha256:{}", hash(0)), format!("canal-guild@{}", &hash(0)[..8])] {
        assert_eq!(service.ask("/v1/matchup", &matchup(&good)).await.0, 200, "{good}");
    }
    let cases = [
        (format!("sha256:{}", &hash(0)[1..]), 422, "64 hexadecimal digits"),
        ("sha256:".to_owned(), 422, "64 hexadecimal digits"),
        ("canal-guild@abc".to_owned(), 422, "first 8 to 64"),
        ("canal-guild@winter".to_owned(), 422, "first 8 to 64"),
        (format!("@{}", &hash(0)[..8]), 422, "the pack's name"),
        (format!("canal-guild@{}", &hash(1)[..12]), 404, "the hash is that of Sedge Moot"),
        (format!("sha256:{}", "0123456789abcdef".repeat(4)), 404, "send the pack again"),
        ("canal-guild@0123456789".to_owned(), 404, "another content now"),
    ];
    for (pack, status, said) in cases {
        let (given, problem) = service.ask("/v1/matchup", &matchup(&pack)).await;
        assert_eq!(given, status, "{pack}: {problem}");
        assert_eq!(text(&problem, "pointer"), "/pack");
        assert!(text(&problem, "detail").contains(said), "{pack}: {problem}");
        let question = json!({"path": "matchup", "request": matchup(&pack)});
        let (_, batch) = service.ask("/v1/batch", &json!({"questions": [question]})).await;
        assert!(batch["answers"][0]["problem"][0]["detail"].as_str().expect("text").contains(said), "{batch}");
    }
    let many: Vec<Value> = (0..12)
        .map(|n| json!({"path": "matchup", "request": matchup(&format!("sha256:{}", format!("{n:02x}").repeat(32)))}))
        .collect();
    let (_, batch) = service.ask("/v1/batch", &json!({ "questions": many })).await;
    let said = batch["answers"][11]["problem"][0]["detail"].as_str().expect("text");
    assert!(said.contains("at most 8 packs"), "{said}");
}

#[tokio::test(flavor = "multi_thread")]
async fn a_pinned_version_stays_when_the_pack_is_edited() {
    let folder = tempfile::tempdir().expect("a folder");
    let files = pack_of("our-club");
    write(folder.path(), &files);
    let service = Service::start(Config { packs: Some(folder.path().to_owned()), ..config() }).await;
    let points = async |pack: &str| {
        let question = json!({"pack": pack, "limit": 2_000, "lines": ["Ram Barge"]});
        service.ask("/v1/list-points", &question).await
    };
    let (_, before) = points("our-club").await;
    let old = format!("our-club@{}", &text(&before, "hash")[..12]);
    let edited = files[1].1.replacen("points = 65", "points = 66", 1);
    assert_ne!(edited, files[1].1, "the barge's price is where it was");
    write(folder.path(), &[("units.toml", edited)]);
    pack_store::reread(&service.app).await;
    let (_, after) = points("our-club").await;
    assert_ne!(after["total"], before["total"]);
    let (status, pinned) = points(&old).await;
    assert_eq!((status, &pinned["total"]), (200, &before["total"]), "{pinned}");
    let new = format!("our-club@{}", &text(&after, "hash")[..12]);
    assert_eq!(points(&new).await.1["total"], after["total"]);
    service.app.kept.clear();
    service.app.memory.clear();
    let gone = points(&old).await;
    is_gone(&gone);
    assert!(text(&gone.1, "detail").contains(&text(&after, "hash")[..12]), "it says what the pack is now: {}", gone.1);
}

#[tokio::test(flavor = "multi_thread")]
async fn a_pack_with_mistakes_is_refused_with_all_of_them() {
    let service = Service::plain().await;
    let [rules, units] = pack_of("our-club");
    let units =
        units.1.replacen("points = 65", "points = \"many\"", 1).replacen("role = \"light\"", "role = \"lihgt\"", 1);
    let line = |word: &str| 1 + units.lines().position(|line| line.contains(word)).expect("there") as u64;
    let lines = [line("\"many\""), line("\"lihgt\"")];
    let files = json!({"files": [{"name": "rules.toml", "text": rules.1}, {"name": "units.toml", "text": units}]});
    let (status, problem) = service.ask("/v1/packs", &files).await;
    assert_eq!((status, text(&problem, "type")), (422, "/docs/problems/bad-pack"), "{problem}");
    let errors = problem["errors"].as_array().expect("all of them");
    for line in lines {
        let found =
            errors.iter().find(|error| error["line"] == line).unwrap_or_else(|| panic!("line {line}: {problem}"));
        assert_eq!(text(found, "file"), "units.toml");
        assert!(found["column"].as_u64().expect("a column") > 1 && !text(found, "detail").is_empty());
    }
    for (request, pointer) in [
        (json!({}), ""),
        (json!({"pack": "canal-guild"}), "/pack"),
        (json!({"files": []}), "/files"),
        (json!({"files": [[]]}), "/files/0"),
        (json!({"files": [], "pack": "a\nb"}), "/files"),
        (json!({"pack": "canal-gild", "book": "format = 1\n"}), "/pack"),
    ] {
        let (status, problem) = service.ask("/v1/packs", &request).await;
        assert!([404, 422].contains(&status), "{problem}");
        assert_eq!(problem["pointer"].as_str().unwrap_or_default(), pointer, "{request}: {problem}");
    }
    let large = "#".repeat((4 << 20) + 1);
    let large = json!({ "pack": large }).to_string();
    // It is refused before it has come whole, and whoever is still sending it gets to see why.
    for _ in 0..20 {
        assert_eq!(service.post("/v1/packs", &large).await.status(), 413);
    }
    // Larger than what any other request may have, and taken here.
    let [rules, units] = pack_of("our-club");
    let large = format!("{}\n{}", "#".repeat(400_000), rules.1);
    let files = json!({"files": [{"name": "rules.toml", "text": large}, {"name": "units.toml", "text": units.1}]});
    assert_eq!(service.post("/v1/packs/check", &files.to_string()).await.status(), 413);
    assert_eq!(service.ask("/v1/packs", &files).await.0, 200);
}

/// A large pack costs its sender more than one request.
#[tokio::test(flavor = "multi_thread")]
async fn each_part_of_a_large_pack_counts() {
    let service = Service::start(Config { per_second: 1, burst: 10, ..config() }).await;
    let large = json!({"pack": "#".repeat(300_000)}).to_string();
    assert_eq!(service.post("/v1/packs", &large).await.status(), 422, "ten requests of its size, and no pack");
    assert_eq!(service.post("/v1/packs", &large).await.status(), 429);
}
