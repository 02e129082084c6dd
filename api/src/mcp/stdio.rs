//! The door on standard input and output, for an assistant on the same machine: one message a line.
use super::Door;
use rmcp::{
    RoleServer,
    service::{ServerInitializeError, serve_server},
    transport::{async_rw::AsyncRwTransport, stdio_pipes},
};
use std::io;

/// Serves until the input ends.
///
/// # Errors
/// What keeps the conversation from beginning.
pub async fn serve(door: Door) -> io::Result<()> {
    let most = door.0.app.config.body_bytes;
    let (read, write) = stdio_pipes();
    let lines = AsyncRwTransport::<RoleServer, _, _>::new(read, write).with_max_line_length(most);
    match serve_server(door, lines).await {
        Ok(conversation) => conversation.waiting().await.map(drop).map_err(io::Error::other),
        // It ended before it began.
        Err(ServerInitializeError::ConnectionClosed(_)) => Ok(()),
        Err(error) => Err(io::Error::other(error)),
    }
}
