//! The contract against the service, and what others write against the service's metrics.
use jsonschema::Validator;
use pipwright_api::telemetry::metrics::NAMES;
use pipwright_tests::{program::Program, service::Service};
use serde_json::{Value, json};
use std::{collections::BTreeSet, fs, path::Path, process::Command};

async fn contract(service: &Service) -> Value {
    service.get("/openapi.json").await.json().await.expect("JSON")
}

fn validator(contract: &Value, schema: &Value) -> Validator {
    let mut whole = schema.clone();
    whole["components"] = contract["components"].clone();
    jsonschema::validator_for(&whole).expect("a schema")
}

#[tokio::test]
async fn every_calculation_has_an_example_that_is_answered_as_the_contract_says() {
    let service = Service::plain().await;
    let contract = contract(&service).await;
    let mut asked = 0;
    for (path, item) in contract["paths"].as_object().expect("paths") {
        let request = &item["post"]["requestBody"]["content"]["application/json"];
        if request.is_null() || path == "/v1/sum" {
            continue;
        }
        let example = &request["example"];
        assert!(validator(&contract, &request["schema"]).is_valid(example), "{path}: {example}");
        let (status, answer) = service.ask(path, example).await;
        assert_eq!(status, 200, "{path}: {answer}");
        let given = &item["post"]["responses"]["200"]["content"]["application/json"]["schema"];
        let faults: Vec<String> =
            validator(&contract, given).iter_errors(&answer).map(|fault| fault.to_string()).collect();
        assert!(faults.is_empty(), "{path}: {faults:?}");
        asked += 1;
    }
    assert!(asked >= 13, "{asked}");
}

/// A list in place of an object, its values in the order of their names or none at all, is refused wherever the contract
/// says so, in each place of each example.
#[tokio::test]
async fn a_list_is_no_object() {
    let service = Service::plain().await;
    let contract = contract(&service).await;
    let mut asked = 0;
    for (path, item) in contract["paths"].as_object().expect("paths") {
        let request = &item["post"]["requestBody"]["content"]["application/json"];
        if request.is_null() || path == "/v1/sum" {
            continue;
        }
        let valid = validator(&contract, &request["schema"]);
        for pointer in objects(&request["example"], "") {
            for emptied in [false, true] {
                let mut body = request["example"].clone();
                let at = body.pointer_mut(&pointer).expect("it is there");
                let values = at.as_object().expect("an object").values().cloned();
                *at = if emptied { json!([]) } else { values.collect() };
                if valid.is_valid(&body) {
                    continue;
                }
                let (status, answer) = service.ask(path, &body).await;
                assert_eq!(status, 422, "{path}: {body} {answer}");
                asked += 1;
            }
        }
    }
    assert!(asked >= 100, "{asked}");
}

/// Where the objects of a value are.
fn objects(value: &Value, at: &str) -> Vec<String> {
    match value {
        Value::Object(members) => {
            let inside = members.iter().flat_map(|(name, member)| objects(member, &format!("{at}/{name}")));
            inside.chain([at.to_owned()]).collect()
        }
        Value::Array(items) => {
            items.iter().enumerate().flat_map(|(index, item)| objects(item, &format!("{at}/{index}"))).collect()
        }
        _ => Vec::new(),
    }
}

#[tokio::test]
async fn every_operation_has_an_id_of_its_own_and_headers() {
    let service = Service::plain().await;
    let contract = contract(&service).await;
    let mut ids = BTreeSet::new();
    for operation in contract["paths"]
        .as_object()
        .expect("paths")
        .values()
        .flat_map(|item| item.as_object().expect("methods").values())
    {
        let id = operation["operationId"].as_str().expect("an id");
        assert!(ids.insert(id.to_owned()), "{id} twice");
        for (status, response) in operation["responses"].as_object().expect("responses") {
            // These two come from the HTTP library, before there is a request.
            let bare = ["414", "431"].contains(&status.as_str());
            assert_eq!(response["headers"]["X-Request-Id"].is_null(), bare, "{id} {status}");
            assert_eq!(response["content"].is_null(), bare || status == "304", "{id} {status}");
            assert_eq!(
                response["headers"]["Retry-After"].is_null(),
                !["429", "503"].contains(&status.as_str()),
                "{id} {status}"
            );
        }
    }
    assert!(ids.contains("list_points") && ids.contains("list_points_link"), "{ids:?}");
}

/// Bounds, not sizes of machine words; and no null in an answer that its description does not speak of.
#[tokio::test]
async fn answers_have_no_null_that_is_not_spoken_of() {
    let service = Service::plain().await;
    let contract = contract(&service).await;
    let answer = &contract["components"]["schemas"]["BuyForm"];
    assert_eq!(answer["properties"]["line"]["type"], "integer", "{answer}");
    let needed = &contract["components"]["schemas"]["NeededAnswer"]["properties"]["tries"]["type"];
    assert_eq!(*needed, json!(["integer", "null"]));
    let asked = &contract["components"]["schemas"]["OddsRequest"]["properties"]["attackers"]["type"];
    assert_eq!(*asked, json!(["integer", "null"]), "null counts as absent");
    assert!(!contract.to_string().contains("int32"));
}

#[test]
fn dashboards_and_alerts_ask_for_metrics_that_there_are() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../deploy/monitoring");
    let mut used = BTreeSet::new();
    for file in ["alerts.yml", "grafana.json"] {
        let text = fs::read_to_string(folder.join(file)).expect("a file");
        let words = text.split(|c: char| !c.is_ascii_alphanumeric() && c != '_');
        used.extend(
            words.filter(|word| word.starts_with("http_") || word.starts_with("pipwright_")).map(str::to_owned),
        );
    }
    let known = |name: &str| NAMES.iter().any(|known| *known == name || name.strip_suffix("_bucket") == Some(known));
    let unknown: Vec<&String> = used.iter().filter(|name| !known(name)).collect();
    assert!(unknown.is_empty(), "{unknown:?}");
    assert!(used.len() > 10, "{used:?}");
}

#[tokio::test]
async fn the_metrics_are_as_prometheus_wants_them() {
    if Command::new("promtool").arg("--version").output().is_err() {
        eprintln!(
            "NOT TESTED: promtool is not on this machine (tests/run installs it); without it: the form of the metrics"
        );
        return;
    }
    let service = Service::plain().await;
    service.ask("/v1/sum", &json!({"numbers": [1], "price": 5_000_000})).await;
    service.post("/v1/sum", "{").await;
    let file = tempfile::NamedTempFile::new().expect("a file");
    fs::write(file.path(), service.get("/metrics").await.text().await.expect("text")).expect("written");
    let input = fs::File::open(file.path()).expect("written before");
    let checked = Command::new("promtool").args(["check", "metrics"]).stdin(input).output().expect("it runs");
    let said = String::from_utf8_lossy(&checked.stdout).into_owned() + &String::from_utf8_lossy(&checked.stderr);
    assert!(checked.status.success() && said.trim().is_empty(), "{said}");
}

/// What others build on: a change of it is seen here first, and written down on purpose.
#[tokio::test(flavor = "multi_thread")]
async fn the_contract_is_the_one_written_down() {
    let program = Program::start(&[]);
    let now = reqwest::get(format!("{}/openapi.json", program.address))
        .await
        .expect("a response")
        .text()
        .await
        .expect("text");
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("contract/openapi.json");
    if crate::bot::accepts() {
        fs::write(&file, &now).expect("written");
    }
    let written = fs::read_to_string(&file).unwrap_or_default();
    let differs = now.lines().zip(written.lines()).position(|(now, then)| now != then);
    let line = differs.unwrap_or_else(|| now.lines().count().min(written.lines().count()));
    let around = |text: &str| text.lines().skip(line.saturating_sub(3)).take(8).collect::<Vec<_>>().join("\n");
    assert!(
        now == written,
        "the contract has changed at line {}; where that is meant, PIPWRIGHT_ACCEPT=1 writes it down\nnow:\n{}\nbefore:\n{}",
        line + 1,
        around(&now),
        around(&written)
    );
}
