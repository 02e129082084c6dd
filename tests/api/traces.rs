//! Spans for a collector: whose they are, what they say and never say, and that nobody waits for it.
use futures::future::join_all;
use opentelemetry_proto::tonic::trace::v1::{Span, span::SpanKind, status::StatusCode};
use pipwright_api::{
    Config,
    config::{ApiKey, Secret},
};
use pipwright_tests::{
    collector::{Collector, Manner, attribute},
    program::Program,
    redis::free_port,
    service::{Service, config},
};
use serde_json::{Value, json};
use std::{
    fs,
    process::Command,
    time::{Duration, Instant},
};

/// W3C Trace Context, "Examples of HTTP traceparent Headers".
const TRACE: u128 = 0x4bf9_2f35_77b3_4da6_a3ce_929d_0e0e_4736;
const CALLER: u64 = 0x00f0_67aa_0ba9_02b7;
const TRACEPARENT: &str = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01";
/// SHA-256 of `sesame`, computed with `sha256sum`.
const OF_SESAME: &str = "d0c04f4b1951e4aeaaec8223ed2039e542f3aae805a6fa7f6d794e5afff5d272";

async fn traced(collector: &str) -> Service {
    let key = ApiKey { name: "table".to_owned(), sha256: OF_SESAME.to_owned(), per_second: 0, burst: 1 };
    Service::start(Config { otlp: Some(Secret::new(collector)), keys: vec![key], ..config() }).await
}

fn kinds(span: &Span) -> (String, SpanKind) {
    (span.name.clone(), SpanKind::try_from(span.kind).expect("a kind"))
}

/// The only span of this name.
fn named<'a>(spans: &'a [Span], name: &str) -> &'a Span {
    let mut found = spans.iter().filter(|span| span.name == name);
    let first =
        found.next().unwrap_or_else(|| panic!("{name} among {:?}", spans.iter().map(kinds).collect::<Vec<_>>()));
    assert!(found.next().is_none(), "{name} once");
    first
}

#[tokio::test(flavor = "multi_thread")]
async fn a_question_with_traceparent_is_a_part_of_that_trace() {
    let collector = Collector::start(Manner::Well).await;
    let service = traced(&collector.address).await;
    let ask = || {
        let request = service.client.post(service.url("/v1/check")).json(&json!({"dice": "2d6", "needs": "7+"}));
        request.header("traceparent", TRACEPARENT).send()
    };
    assert_eq!(ask().await.expect("a response").status(), 200);
    service.stop().await;
    let spans = collector.spans();
    for span in &spans {
        assert_eq!(span.trace_id, TRACE.to_be_bytes(), "{span:?}");
        assert!(span.end_time_unix_nano >= span.start_time_unix_nano && span.start_time_unix_nano > 0, "{span:?}");
    }
    let request = named(&spans, "POST /v1/check");
    assert_eq!(request.parent_span_id, CALLER.to_be_bytes());
    assert_eq!(request.kind(), SpanKind::Server);
    for (name, value) in
        [("http.request.method", "POST"), ("http.route", "/v1/check"), ("http.response.status_code", "200")]
    {
        assert_eq!(attribute(request, name).as_deref(), Some(value), "{request:?}");
    }
    let look_up = named(&spans, "cache look-up");
    assert_eq!(look_up.parent_span_id, request.span_id);
    assert_eq!(attribute(look_up, "pipwright.cache.tier").as_deref(), Some("none"));
    let computation = named(&spans, "computation");
    assert_eq!(computation.parent_span_id, request.span_id);
    assert_eq!(attribute(computation, "pipwright.question").as_deref(), Some("check"));
    assert!(look_up.end_time_unix_nano <= computation.start_time_unix_nano, "one after the other");
    assert_eq!(spans.len(), 3);
}

#[tokio::test(flavor = "multi_thread")]
async fn the_second_time_it_was_found_in_memory() {
    let collector = Collector::start(Manner::Well).await;
    let service = traced(&collector.address).await;
    for _ in 0..2 {
        assert_eq!(service.ask("/v1/sum", &json!({"numbers": [1, 2]})).await.0, 200);
    }
    service.stop().await;
    let spans = collector.spans();
    let tiers: Vec<Option<String>> = spans
        .iter()
        .filter(|span| span.name == "cache look-up")
        .map(|span| attribute(span, "pipwright.cache.tier"))
        .collect();
    assert_eq!(tiers, [Some("none".to_owned()), Some("memory".to_owned())]);
    named(&spans, "computation");
    let traces: Vec<&[u8]> =
        spans.iter().filter(|span| span.kind() == SpanKind::Server).map(|span| &*span.trace_id).collect();
    assert!(traces.len() == 2 && traces[0] != traces[1], "a trace for each: {traces:?}");
}

/// Events are still being written when the response has long begun.
#[tokio::test(flavor = "multi_thread")]
async fn work_for_events_is_its_requests() {
    let collector = Collector::start(Manner::Well).await;
    let service = traced(&collector.address).await;
    let events = service.get("/v1/worth/events?pack=canal-guild").await.text().await.expect("text");
    assert!(events.contains("event: answer"), "{events}");
    service.stop().await;
    let spans = collector.spans();
    let request = named(&spans, "GET /v1/worth/events");
    let computation = named(&spans, "computation");
    assert_eq!((&computation.trace_id, &computation.parent_span_id), (&request.trace_id, &request.span_id));
}

#[tokio::test(flavor = "multi_thread")]
async fn what_the_caller_does_not_keep_is_not_sent_and_faults_are_marked() {
    let collector = Collector::start(Manner::Well).await;
    let service = traced(&collector.address).await;
    let unsampled = TRACEPARENT.replace("-01", "-00");
    let get = |path: &str| service.client.get(service.url(path));
    let asked = [
        get("/v1/sum?numbers=[1]").header("traceparent", unsampled),
        get("/v1/sum?numbers=[1]&panics=true"),
        get("/nowhere"),
        get("/readyz"),
    ];
    for request in asked {
        request.send().await.expect("a response");
    }
    service.stop().await;
    let spans = collector.spans();
    assert!(spans.iter().all(|span| span.trace_id != TRACE.to_be_bytes()), "{spans:?}");
    let panicked = named(&spans, "GET /v1/sum");
    assert_eq!(attribute(panicked, "http.response.status_code").as_deref(), Some("500"));
    assert_eq!(attribute(panicked, "error.type").as_deref(), Some("500"));
    assert_eq!(panicked.status.as_ref().map(|status| status.code()), Some(StatusCode::Error));
    let nowhere = named(&spans, "GET");
    assert_eq!(attribute(nowhere, "http.response.status_code").as_deref(), Some("404"));
    assert_eq!(attribute(nowhere, "http.route"), None);
    assert_eq!(nowhere.status.as_ref().map_or(0, |status| status.code), 0, "a mistake of the caller's is no fault");
    assert!(spans.iter().all(|span| !span.name.contains("readyz")), "probes leave none");
}

#[tokio::test(flavor = "multi_thread")]
async fn no_key_address_or_question_goes_out() {
    let collector = Collector::start(Manner::Well).await;
    let service = traced(&collector.address).await;
    let get = |path: &str| service.client.get(service.url(path)).header("x-forwarded-for", "198.51.100.77");
    for request in [
        get("/v1/check?dice=3d6&needs=11%2B").bearer_auth("sesame").header("x-request-id", "mackerel"),
        get("/v1/check?dice=marlin").header("x-api-key", "halibut"),
        get("/v1/packs/canal-guild/units/turbot"),
        get("/sturgeon"),
    ] {
        request.send().await.expect("a response");
    }
    service.stop().await;
    assert!(collector.spans().len() >= 4);
    let sent: String = collector.sent().iter().map(|body| String::from_utf8_lossy(body).into_owned()).collect();
    assert!(sent.contains("http.route"), "the words can be read: {sent}");
    let never = [
        "sesame",
        "halibut",
        OF_SESAME,
        "mackerel",
        "198.51.100.77",
        "127.0.0.1",
        "marlin",
        "turbot",
        "sturgeon",
        "3d6",
    ];
    for word in never {
        assert!(!sent.contains(word), "{word} was sent: {sent}");
    }
}

/// More spans than the queue holds, to one that is not there, one that refuses and one that hangs.
#[tokio::test(flavor = "multi_thread")]
async fn nobody_waits_for_a_collector_that_does_not_take_them() {
    let closed = format!("http://127.0.0.1:{}", free_port());
    let (refusing, hung) = (Collector::start(Manner::Refusing).await, Collector::start(Manner::Hung).await);
    let plain = Service::plain().await;
    let (usual, _) = ask_many(&plain).await;
    for (what, address) in [("closed", &closed), ("refusing", &refusing.address), ("hung", &hung.address)] {
        let service = traced(address).await;
        let (whole, longest) = ask_many(&service).await;
        println!("{what}: {whole:?} (without traces: {usual:?}), longest {longest:?}");
        // A sending may take seconds, and there are some; nothing near that is seen by those who ask.
        assert!(whole < usual * 8, "{what}: {whole:?}, {usual:?} without");
        let begun = Instant::now();
        let stopped = tokio::time::timeout(Duration::from_secs(60), service.stop()).await;
        println!("{what}: stopping took {:?}", begun.elapsed());
        assert!(stopped.is_ok(), "{what}: it does not stop");
    }
    assert!(!refusing.sent().is_empty() && !hung.sent().is_empty(), "it was tried");
}

/// How long it took in all, and the longest of them.
async fn ask_many(service: &Service) -> (Duration, Duration) {
    let begun = Instant::now();
    let clients = (0..8).map(|client| async move {
        let mut longest = Duration::ZERO;
        for number in 0..200 {
            let asked = Instant::now();
            let (status, answer) = service.ask("/v1/sum", &json!({"numbers": [client, number]})).await;
            assert_eq!((status, &answer["sum"]), (200, &json!(client + number)));
            longest = longest.max(asked.elapsed());
        }
        longest
    });
    let longest = join_all(clients).await.into_iter().max().unwrap_or_default();
    (begun.elapsed(), longest)
}

/// Without a `traceparent` the log and the collector have one id, and the log does not say where the collector is.
#[tokio::test(flavor = "multi_thread")]
async fn the_log_has_the_same_id() {
    let collector = Collector::start(Manner::Well).await;
    let log = tempfile::NamedTempFile::new().expect("a file");
    let settings = [
        ("PIPWRIGHT_OTLP", &*collector.address.replace("http://", "http://user:open-sesame@")),
        ("PIPWRIGHT_LOG", "trace"),
        ("PIPWRIGHT_LOG_FORMAT", "json"),
        ("PIPWRIGHT_DRAIN_MS", "0"),
    ];
    let mut program = Program::start_with(&settings, fs::File::create(log.path()).expect("a file").into());
    let asked = reqwest::get(format!("{}/v1/check?dice=2d6&needs=7%2B", program.address)).await.expect("a response");
    assert_eq!(asked.status(), 200);
    program.signal("-TERM");
    assert!(tokio::task::spawn_blocking(move || program.wait()).await.expect("no panic"), "it ended well");
    let spans = collector.spans();
    let request = named(&spans, "GET /v1/check");
    let id: String = request.trace_id.iter().map(|byte| format!("{byte:02x}")).collect();
    assert!(request.parent_span_id.is_empty(), "nobody called");
    assert_eq!(asked.headers()["x-request-id"], id);
    let written = fs::read_to_string(log.path()).expect("the log");
    let mut lines = written.lines().filter_map(|line| serde_json::from_str::<Value>(line).ok());
    assert!(lines.any(|line| line["message"] == "responded" && line["span"]["trace_id"] == *id), "{written}");
    let port = format!(":{}", collector.address.rsplit(':').next().expect("a port"));
    for word in ["127.0.0.1", &*port, "sesame"] {
        let line = written.lines().find(|line| line.contains(word));
        assert!(line.is_none(), "{word} stands in the log: {line:?}");
    }
}

#[test]
fn an_address_that_is_none_is_refused_at_the_start() {
    let mut command: Command = pipwright_tests::program::command();
    let output = command.env("PIPWRIGHT_OTLP", "collector:4318").env("PIPWRIGHT_LISTEN", "127.0.0.1:0").output();
    let output = output.expect("it runs");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(!output.status.success() && said.contains("otlp"), "{said}");
    assert!(!said.contains("collector:4318"), "{said}");
}
