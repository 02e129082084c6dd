//! Files that people attach: small texts, read from the platform's own hosts and nowhere else.
use super::action::File;
use std::time::Duration;

/// Larger files are no lists.
const LARGEST: u64 = 256 * 1024;
const FETCH_TIMEOUT: Duration = Duration::from_secs(8);

/// Where the platform keeps what people attach.
pub const HOSTS: [&str; 2] = ["https://cdn.discordapp.com/", "https://media.discordapp.net/"];

/// The text of a file.
///
/// # Errors
/// Why there is none, in a sentence.
pub async fn read(file: &File, hosts: &[String]) -> Result<String, String> {
    if file.size > LARGEST {
        return Err(format!("That file has {} KB; up to {} are read.", file.size / 1024, LARGEST / 1024));
    }
    if !hosts.iter().any(|host| file.url.starts_with(host.as_str())) {
        return Err("That file does not lie where the platform keeps attached files.".into());
    }
    let away = || "That file could not be fetched. Try again, or paste the text.".to_owned();
    let http = reqwest::Client::builder()
        .timeout(FETCH_TIMEOUT)
        .redirect(reqwest::redirect::Policy::none())
        .build()
        .map_err(|_| away())?;
    let mut answer =
        http.get(&file.url).send().await.and_then(reqwest::Response::error_for_status).map_err(|_| away())?;
    let mut bytes = Vec::new();
    while let Some(chunk) = answer.chunk().await.map_err(|_| away())? {
        bytes.extend_from_slice(&chunk);
        // What was said of the size need not be true.
        if bytes.len() as u64 > LARGEST {
            return Err(format!("That file is too large; up to {} KB are read.", LARGEST / 1024));
        }
    }
    let text = String::from_utf8(bytes).map_err(|_| "That file is no plain text.".to_owned())?;
    Ok(text.trim_start_matches('\u{feff}').to_owned())
}
