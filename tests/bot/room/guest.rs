//! A guest with a real WebSocket client.
use futures::{SinkExt, StreamExt};
use serde_json::{Value, json};
use std::net::SocketAddr;
use std::time::Duration;
use tokio::net::TcpStream;
use tokio::time::timeout;
use tokio_tungstenite::tungstenite::Message;
use tokio_tungstenite::tungstenite::client::IntoClientRequest;
use tokio_tungstenite::{MaybeTlsStream, WebSocketStream, connect_async};

pub struct Guest {
    socket: WebSocketStream<MaybeTlsStream<TcpStream>>,
    key: u64,
    pub session: u64,
    /// Lines that came, the oldest first.
    pub lines: Vec<Value>,
}

impl Guest {
    pub async fn connect(address: SocketAddr) -> Self {
        let (socket, _) = connect_async(format!("ws://{address}/seat")).await.expect("a socket");
        Self { socket, key: 0, session: 0, lines: Vec::new() }
    }

    /// The status of a refused opening, for a page from this origin.
    pub async fn from(address: SocketAddr, origin: &str) -> Option<u16> {
        let mut request = format!("ws://{address}/seat").into_client_request().expect("a request");
        request.headers_mut().insert("origin", origin.parse().expect("an origin"));
        match connect_async(request).await {
            Ok(_) => None,
            Err(tokio_tungstenite::tungstenite::Error::Http(answer)) => Some(answer.status().as_u16()),
            Err(other) => panic!("{other}"),
        }
    }

    pub async fn join(address: SocketAddr, name: &str) -> Self {
        let (mut guest, told) = Self::join_with(address, json!({"name": name})).await;
        assert_eq!(told["kind"], "welcome", "{told}");
        guest.session = told["sitting"].as_u64().expect("a number");
        guest
    }

    /// Joins with these fields beside the usual ones, and says what came back.
    pub async fn join_with(address: SocketAddr, fields: Value) -> (Self, Value) {
        let mut guest = Self::connect(address).await;
        let mut join = json!({"kind": "join", "seat": format!("{:-<32}", fields["name"].as_str().unwrap_or_default())});
        for (name, value) in fields.as_object().expect("fields") {
            join[name] = value.clone();
        }
        guest.send(&join).await;
        let told = guest.next().await.expect("an answer");
        guest.session = told["sitting"].as_u64().unwrap_or(0);
        (guest, told)
    }

    pub async fn send(&mut self, frame: &Value) {
        self.socket.send(Message::text(frame.to_string())).await.expect("a line that holds");
    }

    /// Says something; the key that it was said with.
    pub async fn say(&mut self, text: &str) -> u64 {
        self.say_about(text, None).await
    }

    pub async fn say_about(&mut self, text: &str, about: Option<u64>) -> u64 {
        self.key += 1;
        let mut frame = json!({"kind": "say", "key": self.key, "text": text});
        if let Some(about) = about {
            frame["about"] = about.into();
        }
        self.send(&frame).await;
        self.key
    }

    /// The next frame; lines are kept. None where the line has ended.
    pub async fn next(&mut self) -> Option<Value> {
        loop {
            let frame = timeout(Duration::from_secs(10), self.socket.next()).await.expect("something within 10 s");
            match frame {
                Some(Ok(Message::Text(text))) => {
                    let frame: Value = serde_json::from_str(&text).expect("JSON");
                    self.lines.extend(frame["lines"].as_array().into_iter().flatten().cloned());
                    return Some(frame);
                }
                Some(Ok(Message::Close(_)) | Err(_)) | None => return None,
                Some(Ok(_)) => {}
            }
        }
    }

    /// The next frame of a kind.
    pub async fn told(&mut self, kind: &str) -> Value {
        loop {
            let frame = self.next().await.unwrap_or_else(|| panic!("the line ended before a {kind}"));
            if frame["kind"] == kind {
                return frame;
            }
        }
    }

    /// Waits for a line of this number.
    pub async fn line(&mut self, number: u64) -> Value {
        loop {
            if let Some(line) = self.lines.iter().find(|line| line["number"] == number) {
                return line.clone();
            }
            self.next().await.expect("a line that holds");
        }
    }

    pub async fn leave(mut self) {
        self.socket.close(None).await.expect("a line that holds");
    }
}
