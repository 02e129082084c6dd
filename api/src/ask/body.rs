//! Taking a request body: as JSON, not too large, not too slow.
use crate::{
    config::Config,
    problem::{Kind, Problem},
};
use axum::{
    body::{Body, Bytes, to_bytes},
    http::{HeaderMap, header},
};
use std::{error::Error, time::Duration};
use tokio::time::timeout;

/// Refuses a body that says it is something else.
///
/// # Errors
/// A problem that says what to send.
pub fn is_json(headers: &HeaderMap) -> Result<(), Problem> {
    if headers.get(header::CONTENT_ENCODING).is_some_and(|coding| !coding.as_bytes().eq_ignore_ascii_case(b"identity"))
    {
        return Err(Problem::new(Kind::WrongType, "Send the body as it is, without Content-Encoding."));
    }
    let Some(given) = headers.get(header::CONTENT_TYPE) else { return Ok(()) };
    let essence = given.to_str().unwrap_or_default().split(';').next().unwrap_or_default().trim().to_ascii_lowercase();
    if essence == "application/json" || (essence.starts_with("application/") && essence.ends_with("+json")) {
        return Ok(());
    }
    Err(Problem::new(Kind::WrongType, "Send the body with the header content-type: application/json."))
}

/// The whole body.
///
/// # Errors
/// A problem where it is too large, too slow or breaks off.
pub async fn read(config: &Config, headers: &HeaderMap, body: Body) -> Result<Bytes, Problem> {
    read_most(config, config.body_bytes, headers, body).await
}

/// The whole body, which may have so many bytes.
///
/// # Errors
/// As [`read`].
pub async fn read_most(config: &Config, most: usize, headers: &HeaderMap, body: Body) -> Result<Bytes, Problem> {
    let announced = headers.get(header::CONTENT_LENGTH).and_then(|length| length.to_str().ok()?.parse::<usize>().ok());
    if announced.is_some_and(|length| length > most) {
        return Err(too_large(most));
    }
    match timeout(Duration::from_millis(config.body_wait_ms), to_bytes(body, most)).await {
        Ok(Ok(body)) => Ok(body),
        Ok(Err(error)) if error.source().is_some_and(|source| source.is::<http_body_util::LengthLimitError>()) => {
            Err(too_large(most))
        }
        Ok(Err(_)) => Err(Problem::new(Kind::BrokenJson, "The body broke off.")),
        Err(_) => {
            let what = format!("The body must arrive within {} ms.", config.body_wait_ms);
            Err(Problem::new(Kind::SlowBody, what))
        }
    }
}

fn too_large(most: usize) -> Problem {
    Problem::new(Kind::TooLarge, format!("A body may have {most} bytes."))
}
