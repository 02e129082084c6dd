//! A collector of traces for tests: takes what a real one takes (OTLP 1, over HTTP with protobuf), or is made not to.
use axum::{Router, body::Bytes, extract::State, http::HeaderMap, http::StatusCode, routing::post};
use opentelemetry_proto::tonic::{
    collector::trace::v1::{ExportTraceServiceRequest, ExportTraceServiceResponse},
    common::v1::any_value,
    trace::v1::Span,
};
use prost::Message;
use std::{
    sync::{Arc, Mutex, PoisonError},
    time::Duration,
};
use tokio::{net::TcpListener, time::sleep};

/// How it behaves.
#[derive(Clone, Copy, Debug)]
pub enum Manner {
    /// Takes everything.
    Well,
    /// Refuses everything.
    Refusing,
    /// Listens and never answers.
    Hung,
}

/// A running collector; it ends with the test's runtime.
#[derive(Clone)]
pub struct Collector {
    /// Where it listens, as `http://…`.
    pub address: String,
    manner: Manner,
    sent: Arc<Mutex<Vec<Bytes>>>,
}

impl Collector {
    /// Starts it.
    pub async fn start(manner: Manner) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.expect("a free port");
        let address = format!("http://{}", listener.local_addr().expect("bound"));
        let collector = Self { address, manner, sent: Arc::default() };
        let router = Router::new().route("/v1/traces", post(take)).with_state(collector.clone());
        tokio::spawn(async move { axum::serve(listener, router).await });
        collector
    }

    /// What was sent so far, as it came.
    pub fn sent(&self) -> Vec<Bytes> {
        self.sent.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// The spans that were sent so far.
    pub fn spans(&self) -> Vec<Span> {
        let read = |body: Bytes| ExportTraceServiceRequest::decode(body).expect("what the standard says");
        let resources = self.sent().into_iter().map(read).flat_map(|sent| sent.resource_spans);
        resources.flat_map(|resource| resource.scope_spans).flat_map(|scope| scope.spans).collect()
    }
}

async fn take(State(collector): State<Collector>, headers: HeaderMap, body: Bytes) -> (StatusCode, Vec<u8>) {
    assert_eq!(headers["content-type"], "application/x-protobuf");
    collector.sent.lock().unwrap_or_else(PoisonError::into_inner).push(body);
    match collector.manner {
        Manner::Well => (StatusCode::OK, ExportTraceServiceResponse::default().encode_to_vec()),
        Manner::Refusing => (StatusCode::SERVICE_UNAVAILABLE, Vec::new()),
        Manner::Hung => {
            sleep(Duration::from_secs(3600)).await;
            (StatusCode::OK, Vec::new())
        }
    }
}

/// An attribute of a span as text, where it has it.
pub fn attribute(span: &Span, name: &str) -> Option<String> {
    let found = span.attributes.iter().find(|attribute| attribute.key == name)?;
    match found.value.as_ref()?.value.as_ref()? {
        any_value::Value::StringValue(text) => Some(text.clone()),
        any_value::Value::IntValue(number) => Some(number.to_string()),
        other => panic!("{name} is neither text nor a number: {other:?}"),
    }
}
