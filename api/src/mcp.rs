//! The door for assistants: the Model Context Protocol, over HTTP at `/mcp` and on standard input and output.
//!
//! A call of a tool goes to the same endpoint as anybody's request, past the layer that has counted its caller already:
//! it is read, priced, cached and refused there. Nothing is kept between two messages.
use crate::state::App;
use axum::{
    Router,
    body::Bytes,
    extract::Request,
    http::request::Parts,
    response::Response,
    routing::{MethodRouter, post},
};
use rmcp::{
    RoleServer, ServerHandler,
    model::{
        CallToolRequestParams, CallToolResponse, CustomRequest, CustomResult, ErrorCode, ErrorData, Implementation,
        ListToolsResult, PaginatedRequestParams, ServerCapabilities, ServerConfig, Tool as Shown,
    },
    service::RequestContext,
};
use std::sync::{Arc, OnceLock};

mod call;
mod http;
mod said;
mod schema;
mod small;
pub mod stdio;
mod tools;

use tools::Tool;

/// What whoever calls the tools should know of all of them.
const INSTRUCTIONS: &str = "Exact odds for tabletop miniature battles, worked out and never estimated. Numbers are \
    written in digits; a unit, a rule or a pack is called by its name, forgiving of spelling. `packs` lists the packs and \
    `units` their units. Quote the numbers of an answer as they are: `link` leads to the whole of it, and `left_out` \
    names what was too large to be sent here. What is refused says which field is at fault.";

/// The tools and the way to what answers them.
#[derive(Clone)]
pub struct Door(Arc<Inside>);

struct Inside {
    app: App,
    endpoints: Router,
    contract: Bytes,
    /// Made from the contract when somebody first asks.
    tools: OnceLock<Vec<Tool>>,
}

impl Door {
    /// A door to these endpoints, which the contract describes.
    pub fn new(app: &App, endpoints: Router, contract: Bytes) -> Self {
        Self(Arc::new(Inside { app: app.clone(), endpoints, contract, tools: OnceLock::new() }))
    }

    fn tools(&self) -> &[Tool] {
        self.0.tools.get_or_init(|| tools::of(&serde_json::from_slice(&self.0.contract).unwrap_or_default()))
    }

    /// No tool is called so: which there are.
    fn unknown(&self, name: &str) -> ErrorData {
        let names: Vec<&str> = self.tools().iter().map(Tool::name).collect();
        let all = names.join(", ");
        let plain = |text: &str| text.to_lowercase().replace(['-', ' '], "_");
        let near = names.iter().find(|known| plain(name).contains(*known) || known.contains(&plain(name)));
        let near = near.filter(|_| !name.is_empty()).map_or_else(String::new, |near| format!(" Did you mean {near}?"));
        ErrorData::invalid_params(format!("There is no tool called {name:?}.{near} The tools are {all}."), None)
    }
}

/// The door's place on the service.
pub fn router(door: Door) -> Router<App> {
    let served: MethodRouter<App> = post(move |request: Request| {
        let door = door.clone();
        async move { http::answer(door, request).await as Result<Response, _> }
    });
    Router::new().route("/mcp", served)
}

impl ServerHandler for Door {
    fn get_info(&self) -> ServerConfig {
        let who = Implementation::new("pipwright", env!("CARGO_PKG_VERSION")).with_title("Pipwright");
        ServerConfig::new(ServerCapabilities::builder().enable_tools().build())
            .with_server_info(who)
            .with_instructions(INSTRUCTIONS)
    }

    async fn list_tools(
        &self,
        _: Option<PaginatedRequestParams>,
        _: RequestContext<RoleServer>,
    ) -> Result<ListToolsResult, ErrorData> {
        Ok(ListToolsResult::with_all_items(self.tools().iter().map(Tool::shown).collect()))
    }

    fn get_tool(&self, name: &str) -> Option<Shown> {
        self.tools().iter().find(|tool| tool.name() == name).map(Tool::shown)
    }

    async fn call_tool(
        &self,
        request: CallToolRequestParams,
        context: RequestContext<RoleServer>,
    ) -> Result<CallToolResponse, ErrorData> {
        let tool = self.tools().iter().find(|tool| tool.name() == request.name);
        let tool = tool.ok_or_else(|| self.unknown(&request.name))?;
        let parts = context.extensions.get::<Parts>();
        Ok(call::call(self, tool, request.arguments.unwrap_or_default(), parts).await.into())
    }

    async fn on_custom_request(
        &self,
        request: CustomRequest,
        _: RequestContext<RoleServer>,
    ) -> Result<CustomResult, ErrorData> {
        // A call that does not have the form of one arrives here.
        if request.method == "tools/call" {
            let form =
                "The params of tools/call are name, the name of a tool, and arguments, an object with its fields.";
            return Err(ErrorData::invalid_params(form, None));
        }
        let what = format!("There is no method {:?} here.", request.method);
        Err(ErrorData::new(ErrorCode::METHOD_NOT_FOUND, what, None))
    }
}
