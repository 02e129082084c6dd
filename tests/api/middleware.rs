//! What holds for every response: ids, CORS, validators, compression.
use pipwright_api::Config;
use pipwright_tests::service::{Service, config};
use reqwest::{
    Method,
    header::{ACCEPT_ENCODING, CACHE_CONTROL, CONTENT_ENCODING, ETAG, IF_MATCH, IF_NONE_MATCH, ORIGIN, VARY},
};
use serde_json::json;
use tokio::{
    io::{AsyncReadExt, AsyncWriteExt},
    net::TcpStream,
};

const LINK: &str = "/v1/sum?numbers=[1,2]";

#[tokio::test]
async fn a_get_has_a_strong_tag_and_304_for_who_has_it() {
    let service = Service::plain().await;
    let first = service.get(LINK).await;
    let tag = first.headers()[ETAG].to_str().expect("text").to_owned();
    assert!(tag.starts_with('"') && tag.ends_with('"') && tag.len() == 66, "{tag}");
    assert_eq!(first.headers()[CACHE_CONTROL], "public, max-age=300");
    assert_eq!(first.text().await.expect("text"), r#"{"sum":3}"#);

    let get = |name, value: &str| service.client.get(service.url(LINK)).header(name, value).send();
    for known in [tag.clone(), format!("W/{tag}"), format!("\"x\", {tag}"), "*".to_owned()] {
        let response = get(IF_NONE_MATCH, &known).await.expect("a response");
        assert_eq!(response.status(), 304, "{known}");
        assert_eq!(response.headers()[ETAG], tag.as_str());
        assert!(response.headers().contains_key(CACHE_CONTROL));
        assert!(response.bytes().await.expect("a body").is_empty());
    }
    assert_eq!(get(IF_NONE_MATCH, "\"other\"").await.expect("a response").status(), 200);
    assert_eq!(get(IF_MATCH, &tag).await.expect("a response").status(), 200);
    assert_eq!(get(IF_MATCH, "\"other\"").await.expect("a response").status(), 412);
    assert_eq!(get(IF_MATCH, &format!("W/{tag}")).await.expect("a response").status(), 412, "strong comparison");
    let both = service.client.get(service.url(LINK)).header(IF_MATCH, "\"other\"").header(IF_NONE_MATCH, &tag);
    assert_eq!(both.send().await.expect("a response").status(), 412, "If-Match first (RFC 9110, 13.2.2)");

    let spelt_otherwise = service.get("/v1/sum?times=1&numbers=[1,%202]").await;
    assert_eq!(spelt_otherwise.headers()[ETAG], tag.as_str(), "two spellings of one question");
    assert_ne!(service.get("/v1/sum?numbers=[2,1]").await.headers()[ETAG], tag.as_str());
}

#[tokio::test]
async fn a_304_needs_no_computation() {
    let service = Service::plain().await;
    let tag = service.get(LINK).await.headers()[ETAG].clone();
    service.app.memory.clear();
    let again = service.client.get(service.url(LINK)).header(IF_NONE_MATCH, tag).send().await.expect("a response");
    assert_eq!(again.status(), 304);
    assert_eq!(service.metric("pipwright_computations_total").await, 1.0);
}

#[tokio::test]
async fn a_compressed_answer_has_a_tag_of_its_own() {
    let service = Service::plain().await;
    // Longer than what is not worth compressing.
    let link = format!("/v1/sum?numbers=[{}1]&unit=%22x", "0,".repeat(200));
    let get = || reqwest::Client::builder().no_gzip().build().expect("a client").get(service.url("/openapi.json"));
    let packed = get().header(ACCEPT_ENCODING, "gzip").send().await.expect("a response");
    assert_eq!(packed.headers()[CONTENT_ENCODING], "gzip");
    assert!(packed.headers()[VARY].to_str().expect("text").contains("accept-encoding"));
    let plain = get().send().await.expect("a response");
    assert!(!plain.headers().contains_key(CONTENT_ENCODING));
    assert!(
        service
            .client
            .get(service.url(&link))
            .send()
            .await
            .expect("a response")
            .json::<serde_json::Value>()
            .await
            .is_ok()
    );
}

#[tokio::test]
async fn head_is_get_without_the_body() {
    let service = Service::plain().await;
    let (get, head) =
        (service.get(LINK).await, service.client.head(service.url(LINK)).send().await.expect("a response"));
    assert_eq!(head.status(), 200);
    for name in ["etag", "content-type", "content-length", "cache-control"] {
        assert_eq!(head.headers().get(name), get.headers().get(name), "{name}");
    }
    assert!(head.bytes().await.expect("a body").is_empty());
}

#[tokio::test]
async fn options_says_what_may_be_sent() {
    let service = Service::plain().await;
    let ask =
        |path: &str| service.client.request(Method::OPTIONS, service.url(path)).header(ORIGIN, "https://a.example");
    let response = ask("/v1/sum").header("access-control-request-method", "POST").send().await.expect("a response");
    assert_eq!(response.status(), 204);
    let allowed = response.headers()["allow"].to_str().expect("text");
    assert!(["GET", "HEAD", "POST"].iter().all(|method| allowed.contains(method)), "{allowed}");
    assert!(response.headers()["access-control-allow-methods"].to_str().expect("text").contains("POST"));
    assert!(response.headers()["access-control-allow-headers"].to_str().expect("text").contains("Content-Type"));
    assert_eq!(response.headers()["access-control-allow-origin"], "*");
    assert_eq!(ask("/v1/none").send().await.expect("a response").status(), 404);
}

#[tokio::test]
async fn only_listed_pages_may_read_where_there_is_a_list() {
    let service = Service::start(Config { origins: vec!["https://a.example".to_owned()], ..config() }).await;
    let from = |origin: &'static str| service.client.get(service.url(LINK)).header(ORIGIN, origin).send();
    let listed = from("https://a.example").await.expect("a response");
    assert_eq!(listed.headers()["access-control-allow-origin"], "https://a.example");
    assert!(listed.headers().get_all(VARY).iter().any(|vary| vary == "origin"));
    let other = from("https://b.example").await.expect("a response");
    assert!(!other.headers().contains_key("access-control-allow-origin"));
    assert!(other.headers().get_all(VARY).iter().any(|vary| vary == "origin"), "a shared cache must tell them apart");
}

#[tokio::test]
async fn ids_go_through() {
    let service = Service::plain().await;
    let get = |name, value: &'static str| service.client.get(service.url("/livez")).header(name, value).send();
    let response = get("x-request-id", "table-7.a_b").await.expect("a response");
    assert_eq!(response.headers()["x-request-id"], "table-7.a_b");
    let response = get("x-request-id", "a b\tc").await.expect("a response");
    assert_ne!(response.headers()["x-request-id"], "a b\tc", "nothing that could break a line of the log");
    let response = get("traceparent", "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01").await;
    assert_eq!(response.expect("a response").headers()["x-request-id"], "4bf92f3577b34da6a3ce929d0e0e4736");
}

#[tokio::test]
async fn the_timing_says_where_the_answer_came_from() {
    let service = Service::plain().await;
    let timing = async || {
        let response = service.post("/v1/sum", &json!({"numbers": [4]}).to_string()).await;
        response.headers()["server-timing"].to_str().expect("text").to_owned()
    };
    let (first, second) = (timing().await, timing().await);
    for part in ["parse;dur=", "cache;dur=", "engine;dur="] {
        assert!(first.contains(part) && second.contains(part), "{first} / {second}");
    }
    assert!(first.contains("desc=\"none\"") && second.contains("desc=\"memory\""), "{first} / {second}");
}

/// What the HTTP library refuses by itself, before there is a request: the status that the contract names, and nothing more.
#[tokio::test]
async fn what_is_no_request_is_refused_with_a_bare_status() {
    let service = Service::plain().await;
    let address = service.address.trim_start_matches("http://").to_owned();
    let long_link = format!("GET /v1/check?dice={} HTTP/1.1\r\nhost: x\r\n\r\n", "1".repeat(70_000));
    let long_head = format!("GET /livez HTTP/1.1\r\nhost: x\r\nx-more: {}\r\n\r\n", "1".repeat(500_000));
    let many = format!("GET /livez HTTP/1.1\r\nhost: x\r\n{}\r\n", "x-one: 1\r\n".repeat(150));
    let broken = "GET /livez HTTP/1.1\r\nno colon here\r\n\r\n".to_owned();
    let other = "\u{16}\u{3}\u{1}hello\r\n\r\n".to_owned();
    let refused = [(long_link, 414), (long_head, 431), (many, 431), (broken, 400), (other, 400)];
    for (request, status) in refused {
        let mut stream = TcpStream::connect(&address).await.expect("a connection");
        // The service may refuse before all of it was sent, and read no more.
        let _ = stream.write_all(request.as_bytes()).await;
        let mut said = Vec::new();
        let _ = stream.read_to_end(&mut said).await;
        let said = String::from_utf8(said).expect("text");
        let (head, body) = said.split_once("\r\n\r\n").unwrap_or_else(|| panic!("{status}: {said:?}"));
        assert!(head.starts_with(&format!("HTTP/1.1 {status} ")), "{head}");
        assert!(body.is_empty(), "{body}");
    }
    assert_eq!(service.get("/livez").await.status(), 200);
    let longest = format!("/v1/check?dice=2d6&needs=7%2B&x={}", "1".repeat(60_000));
    assert_eq!(service.get(&longest).await.status(), 422, "a long link is read as far as a link may go");
}

/// A refusal of the service's own goes out as it is, and the connection goes on.
#[tokio::test]
async fn a_connection_goes_on_after_a_refusal_of_our_own() {
    let service = Service::plain().await;
    let address = service.address.trim_start_matches("http://").to_owned();
    let mut stream = TcpStream::connect(&address).await.expect("a connection");
    let twice = "HEAD /nowhere HTTP/1.1\r\nhost: x\r\n\r\nGET /livez HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\r\n";
    stream.write_all(twice.as_bytes()).await.expect("sent");
    let mut said = String::new();
    stream.read_to_string(&mut said).await.expect("two answers");
    assert!(said.starts_with("HTTP/1.1 404 ") && said.contains("HTTP/1.1 200 "), "{said}");
    assert_eq!(said.to_ascii_lowercase().matches("x-request-id:").count(), 2, "{said}");
}

/// RFC 9110, 15.4.5: 304 has the tag that the answer had, and says what the answer varies with.
#[tokio::test]
async fn unchanged_is_said_of_what_the_client_has() {
    let service = Service::plain().await;
    let client = reqwest::Client::builder().no_gzip().build().expect("a client");
    let get = || client.get(service.url("/v1/check?dice=2d6&needs=7%2B")).header(ACCEPT_ENCODING, "gzip, br");
    let packed = get().send().await.expect("a response");
    assert_eq!(packed.headers()[CONTENT_ENCODING], "gzip");
    let tag = packed.headers()[ETAG].clone();
    let known = get().header(IF_NONE_MATCH, &tag).send().await.expect("a response");
    assert_eq!((known.status().as_u16(), &known.headers()[ETAG]), (304, &tag));
    let varies: Vec<_> = known.headers().get_all(VARY).iter().map(|vary| vary.to_str().expect("text")).collect();
    assert!(varies.contains(&"accept-encoding"), "{varies:?}");
}

/// Who takes neither gzip nor the plain answer gets the plain one (RFC 9110, 12.5.3, lets a server do so).
#[tokio::test]
async fn no_coding_is_no_reason_for_no_answer() {
    let service = Service::plain().await;
    let client = reqwest::Client::builder().no_gzip().build().expect("a client");
    for codings in ["identity;q=0", "*;q=0", "br", "gzip;q=0", "deflate, gzip;q=0, *;q=0.5"] {
        let response = client.get(service.url("/v1/check?dice=2d6&needs=7%2B")).header(ACCEPT_ENCODING, codings);
        let response = response.send().await.expect("a response");
        assert_eq!(response.status(), 200, "{codings}");
        assert!(!response.headers().contains_key(CONTENT_ENCODING), "{codings}");
    }
}

#[tokio::test]
async fn a_head_without_one_host_is_no_request() {
    let service = Service::plain().await;
    let address = service.address.trim_start_matches("http://").to_owned();
    for (hosts, version, status) in [("", "1.1", 400), ("host: a\r\nhost: b\r\n", "1.1", 400), ("", "1.0", 200)] {
        let mut stream = TcpStream::connect(&address).await.expect("a connection");
        let request = format!("GET /livez HTTP/{version}\r\n{hosts}connection: close\r\n\r\n");
        stream.write_all(request.as_bytes()).await.expect("sent");
        let mut said = String::new();
        stream.read_to_string(&mut said).await.expect("an answer");
        assert!(said.starts_with(&format!("HTTP/{version} {status} ")), "{said}");
    }
}
