//! A request as a query string.
use pipwright_tests::service::Service;
use serde_json::{Value, json};

async fn check(query: &str, sum: u64) {
    let service = Service::plain().await;
    let response = service.get(&format!("/v1/sum?{query}")).await;
    let (status, body) = (response.status(), response.json::<Value>().await.expect("JSON"));
    assert_eq!((status.as_u16(), &body), (200, &json!({"sum": sum})), "{query}");
}

async fn refused(query: &str, pointer: &str) -> String {
    let service = Service::plain().await;
    let response = service.get(&format!("/v1/sum?{query}")).await;
    let (status, body) = (response.status(), response.json::<Value>().await.expect("JSON"));
    assert_eq!((status.as_u16(), body["pointer"].as_str().unwrap_or_default()), (422, pointer), "{query}: {body}");
    body["detail"].as_str().expect("a detail").to_owned()
}

#[tokio::test]
async fn lists_and_nested_fields_in_either_spelling() {
    check("numbers=[1,2,3]", 6).await;
    check("numbers=%5B1%2C2%2C3%5D&times=2", 12).await;
    check("numbers.0=1&numbers.1=2&more.plus=4", 7).await;
    check("numbers.1=2&numbers.0=1&more={\"plus\":5}", 8).await;
    check("numbers=[1]&unit=heron", 1).await;
    check("numbers=[1]&unit=\"heron\"", 1).await;
}

#[tokio::test]
async fn mistakes_are_named_as_in_a_body() {
    refused("", "/numbers").await;
    refused("numbers=[1]&numbers=[2]", "/numbers").await;
    refused("numbers=[1]&times=null", "/times").await;
    refused("numbers=[1]&more=2&more.plus=3", "/more/plus").await;
    refused("numbers=[1]&colour=red", "/colour").await;
    refused("numbers.0=1&numbers.2=3", "/numbers/1").await;
    refused("numbers.9999999=1", "/numbers/9999999").await;
    refused("numbers=[1]&a.b.c.d.e.f.g.h.i.j.k.l.m=1", "/a/b/c/d/e/f/g/h/i/j/k/l").await;
    let detail = refused("numbers=[1]&times=7+x", "/times").await;
    assert!(detail.contains("%2B"), "{detail}");
}

#[tokio::test]
async fn a_field_whose_names_are_numbers() {
    let service = Service::plain().await;
    let faces = json!({"faces": {"1": 2, "6": 5}, "weights": {"1": 1, "2": 2}, "sides": 2});
    let (status, _) = service.ask("/v1/fair", &faces).await;
    assert_eq!(status, 422, "there is no sixth face");
    let body = json!({"faces": {"1": 2, "2": 5}, "weights": {"1": 1, "2": 2}, "sides": 2});
    let (status, answer) = service.ask("/v1/fair", &body).await;
    assert_eq!(status, 200, "{answer}");
    for query in [
        "faces.1=2&faces.2=5&weights.1=1&weights.2=2&sides=2",
        "faces={%221%22:2,%222%22:5}&weights={%221%22:1,%222%22:2}&sides=2",
    ] {
        let linked: Value = service.get(&format!("/v1/fair?{query}")).await.json().await.expect("JSON");
        assert_eq!(linked, answer, "{query}");
    }
}

#[tokio::test]
async fn the_contract_has_them() {
    let service = Service::plain().await;
    let contract: Value = service.get("/openapi.json").await.json().await.expect("JSON");
    assert_eq!(contract["openapi"].as_str().map(|version| &version[..3]), Some("3.1"));
    let get = &contract["paths"]["/v1/sum"]["get"];
    let names: Vec<_> = get["parameters"].as_array().expect("a list").iter().map(|p| p["name"].clone()).collect();
    assert!(names.contains(&json!("numbers")) && names.contains(&json!("more")), "{names:?}");
    let post = &contract["paths"]["/v1/sum"]["post"];
    for status in ["200", "400", "413", "415", "422", "429", "503"] {
        assert!(post["responses"][status].is_object(), "{status}");
    }
    assert!(get["responses"]["304"].is_object());
}
