//! Sending to the platform, with patience where it asks for some.
use super::action::PersonAction;
use super::answer::{First, late};
use super::draw::{Drawn, PICTURE};
use super::payload::Message;
use serde_json::{Value as Json, json};
use serenity::builder::CreateAttachment;
use serenity::http::Http;
use serenity::model::id::{ChannelId, InteractionId, MessageId};
use serenity::{Error, Result};
use std::time::Duration;

/// Waits between tries of a first answer: the platform gives up on it after three seconds.
const SOON: &[u64] = &[200, 500];
/// Waits between tries of what may come later.
const LATER: &[u64] = &[500, 2_000, 5_000, 10_000];

/// Sends the first answer and then what follows it.
pub async fn answer(http: &Http, action: &PersonAction, first: First) {
    let (id, token) = (InteractionId::new(action.id.max(1)), action.token.as_str());
    let body = first.body();
    let picture = if let First::Now(drawn) = &first { drawn.picture.clone() } else { None };
    let sent = tries(SOON, || http.create_interaction_response(id, token, &body, files(picture.as_ref()))).await;
    if let Err(error) = sent {
        tracing::warn!(%error, "a first answer did not arrive");
        return;
    }
    if let First::Later { rest, .. } = first {
        edit(http, token, late(rest).await).await;
    }
}

/// Fills in an answer that was put off.
pub async fn edit(http: &Http, token: &str, drawn: Drawn) {
    // Whether it is private was settled when it was put off.
    let drawn = Drawn { message: drawn.message.private(false), ..drawn };
    let sent =
        tries(LATER, || http.edit_original_interaction_response(token, &drawn.message, files(drawn.picture.as_ref())));
    let Err(error) = sent.await else { return };
    if matches!(error, Error::Json(_)) {
        // It arrived; only what the platform said to it was not read.
        return;
    }
    tracing::warn!(%error, "an answer did not arrive");
    let sorry = Message::saying("The answer is there, but the platform did not take it. Ask again in a minute.");
    if let Err(error) = http.edit_original_interaction_response(token, &sorry, Vec::new()).await {
        tracing::warn!(%error, "nor did the word that it did not");
    }
}

/// Answers a message with a message.
pub async fn reply(http: &Http, channel: ChannelId, to: MessageId, drawn: Drawn) {
    let mut body = json!(drawn.message.private(false));
    // Where the message is gone meanwhile, the answer still comes.
    if let Some(fields) = body.as_object_mut() {
        let answered = json!({"message_id": to.to_string(), "fail_if_not_exists": false});
        fields.insert("message_reference".into(), answered);
    }
    if let Err(error) = tries(LATER, || send(http, channel, &body, drawn.picture.as_ref())).await {
        tracing::warn!(%error, "a reply did not arrive");
    }
}

async fn send(http: &Http, channel: ChannelId, body: &Json, picture: Option<&Vec<u8>>) -> Result<()> {
    match http.send_message(channel, files(picture), body).await {
        // It arrived; only what the platform said to it was not read.
        Ok(_) | Err(Error::Json(_)) => Ok(()),
        Err(error) => Err(error),
    }
}

fn files(picture: Option<&Vec<u8>>) -> Vec<CreateAttachment> {
    picture.map(|bytes| CreateAttachment::bytes(bytes.clone(), PICTURE)).into_iter().collect()
}

/// Tries until it works, or until trying again is of no use.
async fn tries<T, Trying: Future<Output = Result<T>>>(waits: &[u64], mut send: impl FnMut() -> Trying) -> Result<T> {
    for wait in waits {
        match send().await {
            Err(error) if passes(&error) => tokio::time::sleep(Duration::from_millis(*wait)).await,
            done => return done,
        }
    }
    send().await
}

/// Whether waiting may help. Every refusal counts towards a ban of the address, so nothing else is tried twice.
fn passes(error: &Error) -> bool {
    let Error::Http(error) = error else { return false };
    match error.status_code() {
        Some(status) => status.as_u16() == 429 || status.is_server_error(),
        None => matches!(error, serenity::http::HttpError::Request(_)),
    }
}
