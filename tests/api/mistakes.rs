//! Everything that can be wrong with a request, and what the client is told.
use pipwright_tests::service::{Service, config};
use reqwest::{Method, header::CONTENT_TYPE};
use serde_json::{Value, json};

const PROBLEM: &str = "application/problem+json";

async fn refused(body: &str) -> (u16, Value) {
    let service = Service::plain().await;
    let response = service.post("/v1/sum", body).await;
    assert_eq!(response.headers()[CONTENT_TYPE], PROBLEM, "{body}");
    assert_eq!(response.headers()["access-control-allow-origin"], "*", "{body}");
    (response.status().as_u16(), response.json().await.expect("JSON"))
}

async fn check(body: &str, status: u16, kind: &str, pointer: Option<&str>) {
    let (given, problem) = refused(body).await;
    assert_eq!(given, status, "{body}: {problem}");
    assert_eq!(problem["status"], status, "{body}");
    assert_eq!(problem["type"], format!("/docs/problems/{kind}"), "{body}: {problem}");
    assert_eq!(problem["pointer"].as_str(), pointer, "{body}: {problem}");
    let detail = problem["detail"].as_str().expect("a detail");
    assert!(detail.len() > 5, "{detail}");
}

#[tokio::test]
async fn one_mistake_is_named_with_its_pointer() {
    check("{", 400, "broken-json", None).await;
    check("", 400, "broken-json", None).await;
    check("{}", 422, "missing-field", Some("/numbers")).await;
    check(r#"{"numbers":[1],"colour":"red"}"#, 422, "unknown-field", Some("/colour")).await;
    check(r#"{"numbers":[1],"more":{"plus":1,"a/b~c":2}}"#, 422, "unknown-field", Some("/more/a~1b~0c")).await;
    check(r#"{"numbers":"many"}"#, 422, "bad-value", Some("/numbers")).await;
    check(r#"{"numbers":[1,-2]}"#, 422, "bad-value", Some("/numbers/1")).await;
    check(r#"{"numbers":[1,2000]}"#, 422, "bad-value", Some("/numbers/1")).await;
    check(r#"{"numbers":[1],"numbers":[2]}"#, 400, "broken-json", None).await;
    check(r#"{"numbers":[1],"unit":"heroon"}"#, 404, "unknown-name", Some("/unit")).await;
    check(" [1]", 422, "bad-value", None).await;
    check(r#"{"numbers":[1],"price":1000000000000}"#, 422, "too-much-work", None).await;
    let deep = "[".repeat(100_000);
    check(&deep, 400, "broken-json", None).await;
}

#[tokio::test]
async fn several_mistakes_come_together() {
    let body = r#"{"numbers":[-1, 5, "six", 7, 8.5],"times":"twice","more":{"plus":{},"minus":1},"colour":1}"#;
    let (status, problem) = refused(body).await;
    let errors = problem["errors"].as_array().expect("several");
    let mut pointers: Vec<_> = errors.iter().map(|error| error["pointer"].as_str().expect("a pointer")).collect();
    pointers.sort_unstable();
    let all = ["/colour", "/more/minus", "/more/plus", "/numbers/0", "/numbers/2", "/numbers/4", "/times"];
    assert_eq!((status, pointers), (422, all.to_vec()), "{problem}");
    assert_eq!(problem["pointer"], errors[0]["pointer"], "the first is on top");

    let (status, problem) = refused(r#"{"numbers":[2000,5,3000],"unit":"x"}"#).await;
    assert_eq!(status, 422, "a name alone would be 404");
    assert_eq!(problem["errors"].as_array().map(Vec::len), Some(3), "{problem}");
    assert_eq!(problem["errors"][2]["did_you_mean"], json!(["heron"]));
}

#[tokio::test]
async fn null_counts_as_absent() {
    let service = Service::plain().await;
    let body = json!({"numbers": [1, 2], "times": null, "more": null, "price": null});
    assert_eq!(service.ask("/v1/sum", &body).await, (200, json!({"sum": 3})));
    let (status, problem) = service.ask("/v1/sum", &json!({"numbers": null})).await;
    assert_eq!((status, problem["pointer"].as_str()), (422, Some("/numbers")));
    let (status, problem) = service.ask("/v1/sum", &json!({"numbers": [1, null]})).await;
    assert_eq!((status, problem["pointer"].as_str()), (422, Some("/numbers/1")), "in a list it is a value");
    let body = json!({"numbers": [1], "times": null, "tims": null, "more": {"plus": 2, "": null}});
    let (status, problem) = service.ask("/v1/sum", &body).await;
    let pointers: Vec<_> = problem["errors"].as_array().expect("several").iter().map(|one| &one["pointer"]).collect();
    assert_eq!(
        (status, pointers),
        (422, vec![&json!("/more/"), &json!("/tims")]),
        "a name that there is not: {problem}"
    );
}

#[tokio::test]
async fn the_frameworks_own_errors_are_problems_too() {
    let service = Service::start(pipwright_api::Config { body_bytes: 1_000, ..config() }).await;
    let request = |method: Method, path: &str| service.client.request(method, service.url(path));
    let long = format!(r#"{{"numbers":[{}1]}}"#, "1,".repeat(1_000));
    let json =
        |body: &str| request(Method::POST, "/v1/sum").header(CONTENT_TYPE, "application/json").body(body.to_owned());
    let streamed = {
        let parts: Vec<Result<Vec<u8>, std::io::Error>> = (0..200).map(|_| Ok(vec![b' '; 10])).collect();
        let body = reqwest::Body::wrap_stream(futures::stream::iter(parts));
        request(Method::POST, "/v1/sum").header(CONTENT_TYPE, "application/json").body(body)
    };
    let cases = [
        (404, "unknown-path", request(Method::GET, "/v1/nothing")),
        (404, "unknown-path", request(Method::POST, "/nowhere")),
        (404, "unknown-path", request(Method::GET, "/docs/problems/none")),
        (405, "wrong-method", request(Method::DELETE, "/v1/sum")),
        (405, "wrong-method", request(Method::PUT, "/livez")),
        (413, "too-large", json(&long)),
        (413, "too-large", streamed),
        (415, "wrong-type", request(Method::POST, "/v1/sum").header(CONTENT_TYPE, "text/plain").body("{}")),
        (415, "wrong-type", request(Method::POST, "/v1/sum").form(&[("numbers", "1")])),
        (
            400,
            "broken-json",
            request(Method::POST, "/v1/sum").header(CONTENT_TYPE, "application/json").body(vec![0xff]),
        ),
        (401, "unknown-key", request(Method::GET, "/v1/sum?numbers=[1]").bearer_auth("not-a-key")),
    ];
    for (status, kind, request) in cases {
        let response = request.send().await.expect("a response");
        assert_eq!(response.status().as_u16(), status, "{kind}");
        assert_eq!(response.headers()[CONTENT_TYPE], PROBLEM, "{kind}");
        assert_eq!(response.headers()["access-control-allow-origin"], "*", "{kind}");
        assert!(response.headers().contains_key("x-request-id"), "{kind}");
        assert_eq!(response.headers().contains_key("allow"), status == 405, "{kind}");
        let problem: Value = response.json().await.expect("JSON");
        assert_eq!(problem["type"], format!("/docs/problems/{kind}"));
    }
}

#[tokio::test]
async fn every_kind_of_problem_has_its_page() {
    let service = Service::plain().await;
    for kind in pipwright_api::problem::Kind::ALL {
        let page = service.get(&kind.about()).await;
        assert_eq!(page.status(), 200);
        assert!(page.text().await.expect("text").contains(kind.title()));
    }
}

#[tokio::test]
async fn a_panic_ends_one_request_and_nothing_else() {
    let service = Service::plain().await;
    assert_eq!(service.get("/v1/panic").await.status(), 500);
    let cheap = json!({"numbers": [1], "panics": true});
    let dear = json!({"numbers": [1], "panics": true, "price": 10_000_000});
    for body in [&cheap, &dear, &cheap, &dear] {
        let (status, problem) = service.ask("/v1/sum", body).await;
        assert_eq!((status, problem["type"].as_str()), (500, Some("/docs/problems/internal")));
    }
    assert_eq!(service.ask("/v1/sum", &json!({"numbers": [1]})).await.0, 200);
    assert_eq!(service.metric("pipwright_panics_total").await, 5.0);
}

/// What the router refuses by itself is a problem like all others, with an id and readable from a web page.
#[tokio::test]
async fn links_that_are_no_text() {
    let service = Service::plain().await;
    for (path, status) in [
        ("/v1/packs/%FF", 400),
        ("/v1/packs/canal-guild/units/%FF", 400),
        ("/v1/appraisal/pictures/%FF?unit=heron", 400),
        ("/docs/try/nothing.js", 404),
        ("/v1/packs/canal-guild/units/ram-barge?models=x", 422),
        ("/v1/packs/canal-guild/units/ram-barge?foo=1", 422),
    ] {
        let response = service.get(path).await;
        assert_eq!(response.status(), status, "{path}");
        assert_eq!(response.headers()["content-type"], "application/problem+json", "{path}");
        assert!(response.headers().contains_key("access-control-allow-origin"), "{path}");
        let problem: Value = response.json().await.expect("JSON");
        assert_eq!(problem["status"], status, "{problem}");
        if status == 422 {
            let field = path.split(['?', '=']).nth(1).expect("a field");
            assert_eq!(problem["pointer"], format!("/{field}"), "{problem}");
        }
    }
}

#[tokio::test]
async fn a_body_is_sent_as_it_is() {
    let service = Service::plain().await;
    let post = |coding: &'static str| {
        let post = service.client.post(service.url("/v1/check")).header("content-type", "application/json");
        post.header("content-encoding", coding).body(r#"{"dice":"2d6","needs":"7+"}"#).send()
    };
    assert_eq!(post("br").await.expect("a response").status(), 415);
    assert_eq!(post("identity").await.expect("a response").status(), 200);
}

/// A number is whole however it is written, and is said to be one in words that need no programmer.
#[tokio::test]
async fn whole_numbers() {
    let service = Service::plain().await;
    let service = &service;
    let ask = |tries: Value| async move {
        service.ask("/v1/check", &json!({"dice": "2d6", "needs": "7+", "tries": tries})).await
    };
    assert_eq!(ask(json!(3.0)).await, ask(json!(3)).await);
    let (status, problem) = ask(json!("x")).await;
    let detail = problem["detail"].as_str().expect("text");
    assert_eq!(status, 422);
    assert!(detail.contains("whole number") && !detail.contains("u32"), "{detail}");
    assert_eq!(ask(json!(2.5)).await.0, 422);
}

/// What is too much work is said with the size that makes it so.
#[tokio::test]
async fn too_much_names_what_to_lower() {
    let service = Service::plain().await;
    let steps = json!([{"name": "hit", "needs": "3+"}]);
    let target = json!({"models": 900, "health": 1000});
    let question = json!({"attackers": 5000, "attacks": 2, "steps": steps, "damage": "1d3", "target": target});
    let (status, problem) = service.ask("/v1/odds", &question).await;
    assert_eq!((status, &problem["pointer"]), (422, &json!("/attackers")), "{problem}");
    assert!(problem["detail"].as_str().expect("text").contains("attackers (5000)"), "{problem}");
    let link =
        "/v1/odds?attackers=500&attacks=90d100&steps.0.name=hit&steps.0.needs=3%2B&target.models=900&target.health=900";
    let problem: Value = service.get(link).await.json().await.expect("JSON");
    assert_eq!(problem["pointer"], "/attacks", "{problem}");
}
