//! The contract: OpenAPI 3.1 made from the code, with what all operations share put in at one place.
use crate::problem::{Kind, Shown};
use std::collections::BTreeMap;
use utoipa::{
    IntoResponses, OpenApi, ToSchema,
    openapi::{
        self, Content, Ref, RefOr, Required, Response, ResponseBuilder, Schema,
        header::Header,
        path::{Operation, OperationBuilder, Parameter, ParameterBuilder, ParameterIn, ParameterStyle},
        schema::{ObjectBuilder, SchemaType, Type},
    },
};

/// What stands at the head of the contract.
#[derive(OpenApi)]
#[openapi(
    info(
        title = "Pipwright",
        description = "Exact odds and checked list points for tabletop miniature battles.\n\n\
            Every calculation takes `POST` with a JSON body. The same fields go into the query string of a `GET`: \
            dots lead into a field's own fields (`target.models=5`) and numbers into a list \
            (`steps.0.needs=4%2B`); a value that reads as JSON is that JSON, everything else is text; `+` is written \
            `%2B`. Equal questions have byte-for-byte equal answers."
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
    let kinds = Kind::ALL.iter().filter(|kind| kind.status().as_u16() == status);
    let titles: Vec<&str> = kinds.map(|kind| kind.title()).collect();
    let content = Content::new(Some(Ref::from_schema_name(Shown::name())));
    let mut response =
        ResponseBuilder::new().description(titles.join("; ")).content("application/problem+json", content);
    if matches!(status, 429 | 503) {
        response = response.header("Retry-After", header("Seconds to wait.", Type::Integer));
    }
    response.build()
}

fn header(description: &str, kind: Type) -> Header {
    let mut header = Header::new(ObjectBuilder::new().schema_type(SchemaType::Type(kind)).build());
    header.description = Some(description.to_owned());
    header
}

/// Adds to every calculation its short form: the same request as the query string of a `GET`.
pub fn with_short_forms(mut contract: openapi::OpenApi) -> openapi::OpenApi {
    let schemas = contract.components.as_ref().map(|parts| parts.schemas.clone()).unwrap_or_default();
    for item in contract.paths.paths.values_mut() {
        let Some(post) = item.post.clone() else { continue };
        let Some(fields) = fields(&post, &schemas) else { continue };
        item.get = Some(short_form(&post, fields));
    }
    contract
}

type Fields = Vec<(String, RefOr<Schema>, bool)>;

/// The fields of a request's schema and whether they must be there; none where the request is no object.
fn fields(post: &Operation, schemas: &BTreeMap<String, RefOr<Schema>>) -> Option<Fields> {
    let RefOr::T(body) = post.request_body.as_ref()? else { return None };
    let RefOr::T(content) = body.content.get("application/json")? else { return None };
    let mut schema = content.schema.as_ref()?;
    while let RefOr::Ref(reference) = schema {
        schema = schemas.get(reference.ref_location.rsplit('/').next()?)?;
    }
    let RefOr::T(Schema::Object(object)) = schema else { return None };
    let field =
        |(name, schema): (&String, &RefOr<Schema>)| (name.clone(), schema.clone(), object.required.contains(name));
    Some(object.properties.iter().map(field).collect())
}

fn short_form(post: &Operation, fields: Fields) -> Operation {
    let mut get = OperationBuilder::new()
        .operation_id(post.operation_id.as_ref().map(|id| format!("{id}_link")))
        .summary(post.summary.as_ref().map(|summary| format!("{summary} (short form)")))
        .description(Some("The same as the `POST`, as a link. Lists and nested fields may be given as JSON."))
        .tags(post.tags.clone());
    for (name, schema, required) in fields {
        get = get.parameter(parameter(name, schema, required));
    }
    let mut get = get.build();
    get.responses = post.responses.clone();
    let without_body = ["408", "413", "415"];
    get.responses.responses.retain(|status, _| !without_body.contains(&status.as_str()));
    get.responses.responses.insert("304".into(), Response::new("The answer has not changed.").into());
    get.responses.responses.insert("412".into(), problem(412).into());
    get
}

fn parameter(name: String, schema: RefOr<Schema>, required: bool) -> Parameter {
    let required = if required { Required::True } else { Required::False };
    let parameter = ParameterBuilder::new().name(name).parameter_in(ParameterIn::Query).required(required);
    parameter.style(Some(ParameterStyle::Form)).schema(Some(schema)).build()
}

/// The contract as it is served.
pub fn document(contract: openapi::OpenApi) -> String {
    contract.to_pretty_json().unwrap_or_default()
}
