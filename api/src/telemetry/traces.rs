//! Traces: the steps of a request and how long each took, for a collector where one is named (OTLP over HTTP).
//!
//! Spans are made here and nowhere else, so that what goes out is what stands here: method, route, status, tier, kind of
//! question, price. Paths and queries do not: people type into them. Nobody waits for the collector: finished spans go
//! into a bounded queue that a thread of its own empties, and what does not fit is lost.
use crate::{config::Secret, middleware::trace::Trace};
use axum::http::StatusCode;
use opentelemetry::{
    Context, KeyValue, Value,
    trace::{
        FutureExt, Span as _, SpanContext, SpanKind, Status, TraceContextExt, TraceFlags, TraceState, Tracer,
        TracerProvider,
    },
};
use opentelemetry_otlp::{ExporterBuildError, SpanExporter, WithExportConfig, WithHttpConfig};
use opentelemetry_sdk::{
    Resource,
    trace::{BatchConfigBuilder, BatchSpanProcessor, SdkTracer, SdkTracerProvider, Span},
};
use std::{future::Future, sync::Arc, time::Duration};
use tokio::{task::spawn_blocking, time::timeout};
use tracing::Instrument;

mod collector;

/// How often finished spans are sent; sooner, where many wait.
const EVERY: Duration = Duration::from_secs(1);
/// How long the collector may take for one sending.
const EXPORT_TIMEOUT: Duration = Duration::from_secs(5);
/// How long the service waits for the last sending when it stops.
const LAST: Duration = Duration::from_secs(2);
/// What the standard (OTLP 1, "OTLP/HTTP Request") puts behind the collector's address.
const PATH: &str = "/v1/traces";

/// Why there can be no traces. The address is not shown: there may be a password in it.
#[derive(Debug, thiserror::Error)]
pub enum TracesError {
    /// It is none that can be asked.
    #[error("the address is not one of http:// or https://")]
    Address,
    /// The sending could not be set up.
    #[error("{0}")]
    Client(#[from] std::io::Error),
}

/// Where spans go: to a collector, or nowhere.
pub struct Traces(Option<Sending>);

struct Sending {
    provider: SdkTracerProvider,
    tracer: SdkTracer,
}

impl Traces {
    /// To the collector at this address, or nowhere.
    ///
    /// # Errors
    /// [`TracesError`]: an address that is none.
    pub fn new(collector: Option<&Secret>) -> Result<Self, TracesError> {
        collector.map(Sending::new).transpose().map(Self)
    }

    /// The span of a request, in the trace that the caller named or in a new one.
    pub fn request(&self, caller: Option<Trace>, method: &'static str, route: Option<&Arc<str>>) -> Asked {
        let Some(sending) = &self.0 else { return Asked(None) };
        // All names as the semantic conventions for HTTP spans have them (OpenTelemetry, stable since 1.23).
        let (method, short) = if method == "other" { ("_OTHER", "HTTP") } else { (method, method) };
        let mut attributes = vec![KeyValue::new("http.request.method", method)];
        attributes.extend(route.map(|route| KeyValue::new("http.route", Arc::clone(route))));
        let name = route.map_or_else(|| short.to_owned(), |route| format!("{short} {route}"));
        let parent = caller.and_then(|trace| Some(Context::new().with_remote_span_context(remote(trace)?)));
        let span = sending.tracer.span_builder(name).with_kind(SpanKind::Server).with_attributes(attributes);
        let parent = parent.unwrap_or_default();
        let span = span.start_with_context(&sending.tracer, &parent);
        Asked(Some(parent.with_span(span)))
    }

    /// A step in the work on a request; outside of one, nothing.
    pub fn step(&self, name: &'static str, question: &'static str) -> Step {
        let Some(sending) = self.0.as_ref().filter(|_| Context::map_current(Context::has_active_span)) else {
            return Step(None);
        };
        let attributes = [KeyValue::new("pipwright.question", question)];
        Step(Some(sending.tracer.span_builder(name).with_attributes(attributes).start(&sending.tracer)))
    }

    /// Sends what is left, without waiting long.
    pub async fn stop(&self) {
        let Some(provider) = self.0.as_ref().map(|sending| sending.provider.clone()) else { return };
        let last = spawn_blocking(move || provider.shutdown_with_timeout(LAST));
        if !matches!(timeout(LAST, last).await, Ok(Ok(Ok(())))) {
            tracing::debug!("the last spans could not be sent");
        }
    }
}

impl Sending {
    fn new(collector: &Secret) -> Result<Self, TracesError> {
        let base = collector.plain();
        if !base.starts_with("http://") && !base.starts_with("https://") {
            return Err(TracesError::Address);
        }
        let exporter = SpanExporter::builder()
            .with_http()
            .with_http_client(collector::Collector::new(EXPORT_TIMEOUT)?)
            .with_endpoint(format!("{}{PATH}", base.trim_end_matches('/')))
            .with_timeout(EXPORT_TIMEOUT)
            .build()
            .map_err(|error| match error {
                ExporterBuildError::InternalFailure(what) => std::io::Error::other(what).into(),
                _ => TracesError::Address,
            })?;
        let often = BatchConfigBuilder::default().with_scheduled_delay(EVERY).build();
        let provider = SdkTracerProvider::builder()
            .with_span_processor(BatchSpanProcessor::builder(exporter).with_batch_config(often).build())
            .with_resource(
                Resource::builder()
                    .with_service_name("pipwright-api")
                    .with_attribute(KeyValue::new("service.version", env!("CARGO_PKG_VERSION")))
                    .build(),
            )
            .build();
        Ok(Self { tracer: provider.tracer("pipwright"), provider })
    }
}

/// The caller's span, as its header names it.
fn remote(trace: Trace) -> Option<SpanContext> {
    let caller = trace.caller()?;
    let flags = TraceFlags::default().with_sampled(caller.sampled);
    Some(SpanContext::new(trace.id().into(), caller.span.into(), flags, true, TraceState::default()))
}

/// A request that is being traced, or not.
#[derive(Default)]
pub struct Asked(Option<Context>);

impl Asked {
    /// Its trace, where there is one.
    pub fn trace(&self) -> Option<Trace> {
        let context = self.0.as_ref()?.span().span_context().clone();
        context.is_valid().then(|| Trace::new(u128::from_be_bytes(context.trace_id().to_bytes())))?
    }

    /// Does the work on it, whose steps are then found under it.
    pub async fn during<F: Future>(&self, work: F) -> F::Output {
        match &self.0 {
            Some(context) => work.with_context(context.clone()).await,
            None => work.await,
        }
    }

    /// It was answered.
    pub fn answered(self, status: StatusCode) {
        let Some(context) = self.0 else { return };
        let span = context.span();
        span.set_attribute(KeyValue::new("http.response.status_code", i64::from(status.as_u16())));
        if status.is_server_error() {
            span.set_attribute(KeyValue::new("error.type", status.as_str().to_owned()));
            span.set_status(Status::error(""));
        }
        span.end();
    }
}

/// A step that is being traced, or not. It is over when this goes.
pub struct Step(Option<Span>);

impl Step {
    /// Says more about it.
    pub fn note(&mut self, name: &'static str, value: impl Into<Value>) {
        if let Some(span) = &mut self.0 {
            span.set_attribute(KeyValue::new(name, value));
        }
    }
}

/// The request that is in work here, for work on it that another task does.
#[derive(Clone)]
pub struct Carrier(Context, tracing::Span);

impl Carrier {
    /// The request in work now.
    pub fn now() -> Self {
        Self(Context::current(), tracing::Span::current())
    }

    /// Does the work, whose log lines and steps are those of the request.
    pub async fn during<F: Future>(&self, work: F) -> F::Output {
        work.with_context(self.0.clone()).instrument(self.1.clone()).await
    }
}

/// Work that others may go on with, or later: its log lines and its steps are those of the request that began it.
pub fn carried<F: Future>(work: F) -> impl Future<Output = F::Output> {
    work.with_current_context().in_current_span()
}
