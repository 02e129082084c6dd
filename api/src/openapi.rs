//! The contract: OpenAPI 3.1 made from the code, with what all operations share put in at one place.
use crate::problem::{Kind, Shown};
use serde_json::{Value, json};
use std::collections::BTreeMap;
use utoipa::{
    IntoResponses, OpenApi, ToSchema,
    openapi::{self, Content, Ref, RefOr, Response, ResponseBuilder},
};

mod shared;
mod short;
mod sides;
pub(crate) use sides::without_null;

/// What was renamed and added, for those who read an older contract.
const CHANGES: &str = include_str!("openapi/changes.md");

/// What stands at the head of the contract.
#[derive(OpenApi)]
#[openapi(
    info(
        title = "Pipwright",
        description = "Exact odds and checked list points for tabletop miniature battles.\n\n\
            Every calculation takes `POST` with a JSON body. The same fields go into the query string of a `GET`: \
            dots lead into a field's own fields (`target.models=5`) and numbers into a list \
            (`steps.0.needs=4%2B`); a value that reads as JSON is that JSON, everything else is text; `+` is written \
            `%2B`. Equal questions have byte-for-byte equal answers.\n\n\
            What is wrong with a request is said as `application/problem+json`. Only what is no HTTP request, or has too \
            long a link or head, is refused with a bare 400, 414 or 431."
    ),
    servers((url = "/", description = "this service")),
    components(schemas(Shown)),
    tags(
        (name = "odds", description = "Calculations from plain numbers."),
        (name = "books", description = "Packs, units, rules and lists."),
        (name = "service", description = "Health, metrics and documentation.")
    )
)]
pub struct Contract;

/// The problems that any calculation can answer with.
pub struct Refused;

impl IntoResponses for Refused {
    fn responses() -> BTreeMap<String, RefOr<Response>> {
        responses(&[400, 401, 404, 408, 413, 415, 422, 429, 500, 503])
    }
}

/// The problems that looking something up can answer with.
pub struct NotFound;

impl IntoResponses for NotFound {
    fn responses() -> BTreeMap<String, RefOr<Response>> {
        responses(&[401, 404, 412, 422, 429, 500, 503])
    }
}

fn responses(statuses: &[u16]) -> BTreeMap<String, RefOr<Response>> {
    statuses.iter().map(|status| (status.to_string(), problem(*status).into())).collect()
}

fn problem(status: u16) -> Response {
    let content = Content::new(Some(Ref::from_schema_name(Shown::name())));
    ResponseBuilder::new().description(titles(status)).content("application/problem+json", content).build()
}

fn titles(status: u16) -> String {
    let kinds = Kind::ALL.iter().filter(|kind| kind.status().as_u16() == status);
    kinds.map(|kind| kind.title()).collect::<Vec<_>>().join("; ")
}

/// The contract as it is served. What utoipa cannot say is put in here, in the finished document.
pub fn document(contract: &openapi::OpenApi) -> String {
    let mut document = serde_json::to_value(contract).unwrap_or_default();
    if let Some(Value::String(description)) = document.pointer_mut("/info/description") {
        description.push_str(CHANGES.trim_end());
    }
    short::add(&mut document);
    shared::add(&mut document);
    sides::tell_apart(&mut document);
    serde_json::to_string_pretty(&document).unwrap_or_default()
}

/// Every operation, with its path and method.
fn operations(document: &mut Value) -> impl Iterator<Item = (&str, &str, &mut Value)> {
    let paths = document["paths"].as_object_mut().into_iter().flatten();
    paths.flat_map(|(path, item)| {
        let methods = item.as_object_mut().into_iter().flatten();
        methods.map(move |(method, operation)| (path.as_str(), method.as_str(), operation))
    })
}

/// What a schema refers to, as far as it leads.
fn followed<'a>(document: &'a Value, mut schema: &'a Value) -> &'a Value {
    while let Some(target) = schema["$ref"].as_str().and_then(|at| document.pointer(at.strip_prefix('#')?)) {
        schema = target;
    }
    schema
}

/// A problem as a response of the finished document.
fn refused(status: u16) -> Value {
    json!({
        "description": titles(status),
        "content": {"application/problem+json": {"schema": {"$ref": "#/components/schemas/Problem"}}}
    })
}
