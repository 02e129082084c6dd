//! The service with one path more, which ends the process at once: no release has it, and no panic layer could catch it.
use pipwright_api::{App, Config, routes::with, serve};
use std::error::Error;
use tokio::net::TcpListener;
use utoipa_axum::{router::OpenApiRouter, routes};

#[tokio::main]
async fn main() -> Result<(), Box<dyn Error>> {
    let config = Config::load(None)?;
    let listener = TcpListener::bind(config.listen).await?;
    println!("listening on http://{}", listener.local_addr()?);
    let app = App::new(config)?;
    let router = with(app.clone(), OpenApiRouter::new().routes(routes!(end)));
    Ok(serve::run(listener, app, router, std::future::pending()).await?)
}

/// Ends the process
#[utoipa::path(get, path = "/v1/end", responses((status = 200)))]
async fn end() {
    std::process::abort()
}
