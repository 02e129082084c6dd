//! The door for assistants: JSON-RPC over plain HTTP, and lines on standard input and output.
use pipwright_api::{Config, config::ApiKey};
use pipwright_tests::{
    program::command,
    service::{Service, config},
};
use reqwest::Response;
use serde_json::{Value, json};
use std::{
    io::{BufRead, BufReader, Write},
    process::Stdio,
};

/// SHA-256 of `sesame`, computed with `sha256sum`.
const OF_SESAME: &str = "d0c04f4b1951e4aeaaec8223ed2039e542f3aae805a6fa7f6d794e5afff5d272";
const TOOLS: [&str; 13] = [
    "matchup",
    "odds",
    "check",
    "repair",
    "needed",
    "duel",
    "luck",
    "list_points",
    "build",
    "assign",
    "rule",
    "units",
    "packs",
];

fn message(method: &str, params: Value) -> Value {
    json!({"jsonrpc": "2.0", "id": 7, "method": method, "params": params})
}

fn hello() -> Value {
    let client = json!({"name": "a test", "version": "1"});
    message("initialize", json!({"protocolVersion": "2025-06-18", "capabilities": {}, "clientInfo": client}))
}

async fn send(service: &Service, headers: &[(&str, &str)], message: &Value) -> Response {
    let mut request = service.client.post(service.url("/mcp")).header("accept", "application/json, text/event-stream");
    for (name, value) in headers {
        request = request.header(*name, *value);
    }
    request.json(message).send().await.expect("a response")
}

async fn ask(service: &Service, method: &str, params: Value) -> Value {
    let response = send(service, &[], &message(method, params)).await;
    assert_eq!(
        (response.status().as_u16(), &response.headers()["content-type"]),
        (200, &"application/json".parse().expect("a header"))
    );
    let answer: Value = response.json().await.expect("JSON");
    assert_eq!((&answer["jsonrpc"], &answer["id"]), (&json!("2.0"), &json!(7)));
    answer
}

async fn call(service: &Service, tool: &str, arguments: Value) -> Value {
    ask(service, "tools/call", json!({"name": tool, "arguments": arguments})).await
}

fn text(answer: &Value) -> &str {
    answer["result"]["content"][0]["text"].as_str().expect("a text")
}

#[tokio::test]
async fn it_says_who_it_is_and_keeps_nothing() {
    let service = Service::plain().await;
    let response = send(&service, &[], &hello()).await;
    assert!(!response.headers().contains_key("mcp-session-id"));
    assert_eq!(response.headers()["access-control-allow-origin"], "*");
    let answer: Value = response.json().await.expect("JSON");
    assert_eq!(answer["result"]["protocolVersion"], "2025-06-18");
    assert_eq!(answer["result"]["serverInfo"]["name"], "pipwright");
    assert!(answer["result"]["capabilities"]["tools"].is_object());
    let known = send(&service, &[], &json!({"jsonrpc": "2.0", "method": "notifications/initialized"})).await;
    assert_eq!(known.status(), 202);
    assert_eq!(service.get("/mcp").await.status(), 405);
}

#[tokio::test]
async fn tools_are_those_of_the_contract() {
    let service = Service::plain().await;
    let contract: Value = service.get("/openapi.json").await.json().await.expect("JSON");
    let answer = ask(&service, "tools/list", json!({})).await;
    let tools = answer["result"]["tools"].as_array().expect("tools");
    assert_eq!(tools.iter().map(|tool| tool["name"].as_str().expect("a name")).collect::<Vec<_>>(), TOOLS);
    for tool in tools {
        let schema = &tool["inputSchema"];
        assert_eq!(schema["type"], "object");
        assert!(!schema.to_string().contains("#/components"), "{} refers outside", tool["name"]);
        let compiled = jsonschema::draft202012::new(schema).expect("a schema that stands by itself");
        assert_eq!(tool["annotations"]["readOnlyHint"], true);
        let name = tool["name"].as_str().expect("a name");
        if ["units", "packs"].contains(&name) {
            // They look something up and have no body.
            continue;
        }
        let path = format!("/v1/{}", name.replace('_', "-"));
        let post = &contract["paths"][&path]["post"];
        let body = post.pointer("/requestBody/content/application~1json").expect("a body");
        let summary = post["summary"].as_str().expect("a summary");
        assert!(tool["description"].as_str().expect("a text").starts_with(summary), "{tool}");
        assert!(compiled.is_valid(&body["example"]), "{path}: the contract's own example");
        assert!(!compiled.is_valid(&json!({"no_such_field": 1})), "{path}");
        let own = contract.pointer(&body["schema"]["$ref"].as_str().expect("a name")[1..]).expect("a schema");
        let names =
            |schema: &Value| schema["properties"].as_object().expect("fields").keys().cloned().collect::<Vec<_>>();
        assert_eq!(names(schema), names(own), "{path}");
    }
}

#[tokio::test]
async fn a_call_has_the_numbers_of_the_endpoint_and_a_link_to_all_of_them() {
    let service = Service::plain().await;
    let contract: Value = service.get("/openapi.json").await.json().await.expect("JSON");
    for tool in &TOOLS[..11] {
        let path = format!("/v1/{}", tool.replace('_', "-"));
        let at = format!("/paths/{}/post/requestBody/content/application~1json/example", path.replace('/', "~1"));
        let question = contract.pointer(&at).expect("an example").clone();
        let (status, whole) = service.ask(&path, &question).await;
        assert_eq!(status, 200, "{path}");
        let answer = call(&service, tool, question).await;
        assert_eq!(answer["result"]["isError"], false);
        let mut short = answer["result"]["structuredContent"].as_object().expect("an answer").clone();
        let link = short.remove("link").expect("a link");
        let link = link.as_str().expect("text");
        let left_out = short.remove("left_out").unwrap_or_default();
        for (name, value) in &short {
            let is_whole = left_out
                .as_array()
                .is_none_or(|all| all.iter().all(|at| !at.to_string().contains(&format!("\"/{name}"))));
            assert!(!is_whole || *value == whole[name], "{path}: {name}");
        }
        assert!(left_out.is_array() || short.len() == whole.as_object().expect("fields").len(), "{path}");
        assert!(text(&answer).ends_with(&format!("The whole answer: {link}")), "{path}");
        let linked: Value = service.get(link).await.json().await.expect("JSON");
        assert_eq!(linked, whole, "{link}");
    }
}

#[tokio::test]
async fn the_headline_is_said_in_words() {
    let service = Service::plain().await;
    let said = async |tool, arguments| text(&call(&service, tool, arguments).await).to_owned();
    // 21 of the 36 ways that two such throws can fall make seven or more.
    let check = said("check", json!({"dice": "2d6", "needs": "7+"})).await;
    assert!(check.contains("7 times in 12 (58.3%)"), "{check}");
    let units = said("units", json!({"pack": "canal guild", "q": "heron"})).await;
    assert!(units.contains("Heron Carriage") && units.ends_with("/v1/packs/canal%20guild/units?q=heron"), "{units}");
    let list = said("list_points", json!({"lines": ["2x Ram Barge"], "limit": 100})).await;
    assert!(list.contains("130 of 100 points. It is not legal"), "{list}");
    let packs = said("packs", json!({})).await;
    assert!(packs.starts_with("3 packs: Canal Guild, "), "{packs}");
    let public = Service::start(Config { public_address: Some("https://odds.example/".into()), ..config() }).await;
    let answer = call(&public, "check", json!({"dice": "1d6", "needs": "4+"})).await;
    assert!(text(&answer).ends_with(" https://odds.example/v1/check?dice=1d6&needs=4%2B"), "{answer}");
}

#[tokio::test]
async fn what_is_refused_says_what_and_where() {
    let service = Service::plain().await;
    let dear = json!({"attackers": 3000, "attacks": "8d20", "damage": "6d20", "steps": [{"name": "hit", "needs": "4+"}],
        "target": {"health": 90, "models": 900}});
    for (tool, arguments, kind, said) in [
        ("check", json!({"dice": "2d6", "needs": "7+", "tries": "three"}), "bad-value", "At /tries: "),
        ("check", json!({"dice": "2d6", "needs": "7+", "tries": "three"}), "bad-value", "in digits"),
        ("check", json!({"needs": "7+"}), "missing-field", "At /dice: "),
        ("check", json!({"dice": "2d6", "nedes": "7+", "tries": "x"}), "unknown-field", "\n- At /tries: "),
        (
            "matchup",
            json!({"attacker": {"unit": "Zeppelin"}, "target": {"unit": "Heron"}}),
            "unknown-name",
            "At /attacker/unit: ",
        ),
        ("units", json!({"pack": "canal-gild"}), "unknown-name", "canal-guild"),
        ("units", json!({}), "missing-field", "At /pack: "),
        ("units", json!({"pack": "canal-guild", "page": 2}), "unknown-field", "At /page: "),
        ("odds", dear, "too-much-work", "At /"),
    ] {
        let answer = call(&service, tool, arguments).await;
        assert_eq!(answer["result"]["isError"], true, "{answer}");
        assert_eq!(answer["result"]["structuredContent"]["type"], format!("/docs/problems/{kind}"), "{answer}");
        assert!(text(&answer).contains(said), "{answer}");
    }
    let unknown = call(&service, "Matchup", json!({})).await;
    assert_eq!(unknown["error"]["code"], -32602);
    let said = unknown["error"]["message"].as_str().expect("a text");
    assert!(said.contains("Did you mean matchup?") && said.contains("list_points"), "{said}");
    let formless = ask(&service, "tools/call", json!({"name": "check", "arguments": "three"})).await;
    assert!(formless["error"]["message"].as_str().expect("a text").contains("arguments, an object"), "{formless}");
    assert_eq!(ask(&service, "tools/nothing", json!({})).await["error"]["code"], -32601);
}

#[tokio::test]
async fn what_is_no_message_is_refused() {
    let service = Service::start(Config { body_bytes: 2_000, ..config() }).await;
    for (body, status, code) in [("{", 400, -32700), ("[]", 400, -32600), ("7", 400, -32600), ("{}", 400, -32600)] {
        let response = service.post("/mcp", body).await;
        assert_eq!(response.status(), status, "{body}");
        let answer: Value = response.json().await.expect("JSON");
        assert_eq!((&answer["error"]["code"], &answer["id"]), (&json!(code), &Value::Null), "{answer}");
    }
    let large = message("tools/call", json!({"name": "check", "arguments": {"dice": "2".repeat(3_000)}}));
    assert_eq!(send(&service, &[], &large).await.status(), 413);
    assert_eq!(
        send(&service, &[("mcp-protocol-version", "1999-01-01")], &message("tools/list", json!({}))).await.status(),
        400
    );
    let plain = service.client.post(service.url("/mcp")).header("content-type", "text/plain").body("{}");
    assert_eq!(plain.send().await.expect("a response").status(), 415);
}

#[tokio::test]
async fn pages_of_another_host_are_refused() {
    let service = Service::start(Config { origins: vec!["*".into(), "https://club.example".into()], ..config() }).await;
    for (origin, status) in [
        ("https://evil.example", 403),
        ("null", 403),
        ("http://localhost.evil.example:8640", 403),
        ("https://club.example", 200),
        ("http://localhost:6274", 200),
    ] {
        let response = send(&service, &[("origin", origin)], &hello()).await;
        assert_eq!(response.status(), status, "{origin}");
        assert_eq!(response.headers()["access-control-allow-origin"], "*", "the page may read why");
    }
    // A name that leads here all of a sudden: the page's own host is the one that it calls.
    let host = service.address.trim_start_matches("http://");
    let rebound = host.replace("127.0.0.1", "evil.example");
    let response = send(&service, &[("origin", &format!("http://{rebound}")), ("host", &rebound)], &hello()).await;
    assert_eq!(response.status(), 403);
    let refused: Value = response.json().await.expect("JSON");
    assert_eq!(refused["type"], "/docs/problems/wrong-origin");
    let asked = service.client.request(reqwest::Method::OPTIONS, service.url("/mcp")).send().await.expect("a response");
    let may = asked.headers()["access-control-allow-headers"].to_str().expect("text");
    assert!(asked.status() == 204 && may.contains("Mcp-Protocol-Version"), "{may}");
}

#[tokio::test]
async fn a_call_counts_once_for_its_address_or_its_key() {
    let key = ApiKey { name: "table".to_owned(), sha256: OF_SESAME.to_owned(), per_second: 1, burst: 50 };
    let service = Service::start(Config { per_second: 1, burst: 20, keys: vec![key], ..config() }).await;
    let asked = message("tools/call", json!({"name": "check", "arguments": {"dice": "1d6", "needs": "4+"}}));
    let left = |response: &Response| -> u64 {
        let told = response.headers()["ratelimit"].to_str().expect("text");
        let left = told.split("r=").nth(1).and_then(|rest| rest.split(';').next());
        left.and_then(|left| left.parse().ok()).expect("a number")
    };
    let by_address = send(&service, &[], &asked).await;
    assert_eq!((by_address.status().as_u16(), left(&by_address)), (200, 19));
    let by_key = send(&service, &[("authorization", "Bearer sesame")], &asked).await;
    assert_eq!((by_key.status().as_u16(), left(&by_key)), (200, 49));
    assert_eq!(send(&service, &[("x-api-key", "wrong")], &asked).await.status(), 401);
    let entry = json!({"check": {"dice": "1d6", "needs": "4+"}, "result": {"passes": 1}});
    let evening = json!({"log": vec![entry; 30]});
    let evening = message("tools/call", json!({"name": "luck", "arguments": evening}));
    // An evening is as many questions as at the endpoint: one, whatever is in it.
    let counted = send(&service, &[("authorization", "Bearer sesame")], &evening).await;
    assert_eq!(counted.status(), 200);
    let mut refused = None;
    for _ in 0..100 {
        let response = send(&service, &[], &asked).await;
        if response.status() == 429 {
            refused = Some(response);
            break;
        }
    }
    let refused = refused.expect("too often, at last");
    assert_eq!(refused.headers()["retry-after"], "1");
    assert_eq!(refused.json::<Value>().await.expect("JSON")["type"], "/docs/problems/too-many-requests");
}

#[tokio::test]
async fn calls_and_requests_share_the_answers_in_memory() {
    let service = Service::plain().await;
    let question = json!({"dice": "3d6", "needs": "11+"});
    service.ask("/v1/check", &question).await;
    let before = service.metric("pipwright_cache_hits_total").await;
    call(&service, "check", question).await;
    assert!(service.metric("pipwright_cache_hits_total").await > before);
}

#[test]
fn lines_on_standard_input_are_answered_on_standard_output() {
    let mut program = command();
    program.arg("mcp").env("PIPWRIGHT_LOG", "debug").stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::null());
    let mut program = program.spawn().expect("the program starts");
    let mut input = program.stdin.take().expect("piped");
    let mut lines = BufReader::new(program.stdout.take().expect("piped")).lines();
    let mut ask = |message: &Value| -> Value {
        writeln!(input, "{message}").expect("written");
        let line = lines.next().expect("a line").expect("text");
        serde_json::from_str(&line).expect("nothing but messages on standard output")
    };
    assert_eq!(ask(&hello())["result"]["serverInfo"]["name"], "pipwright");
    let listed = ask(&message("tools/list", json!({})));
    assert_eq!(listed["result"]["tools"].as_array().map(Vec::len), Some(TOOLS.len()));
    let answer = ask(&message("tools/call", json!({"name": "check", "arguments": {"dice": "2d6", "needs": "7+"}})));
    assert_eq!(answer["result"]["structuredContent"]["fraction"], "7/12");
    let refused = ask(&message("tools/call", json!({"name": "check", "arguments": {"dice": "2d6"}})));
    assert_eq!(refused["result"]["isError"], true);
    drop(input);
    assert!(program.wait().expect("an end").success(), "the end of the input is the end");
}
