//! Whether an answer is one of those wanted. The second reading of the format beside the messages.
use pipwright_bot::client::Api;
use pipwright_bot::link::Link;
use pipwright_bot::places::terminal::Chat;
use pipwright_tests::service::Service;
use serde_json::Value;
use std::collections::{BTreeMap, HashMap};
use std::time::Duration;

/// A message with its meaning.
#[derive(Clone, Debug)]
pub struct Case {
    pub id: String,
    pub pack: String,
    pub kind: String,
    pub before: Vec<String>,
    pub say: String,
    pub want: Vec<Value>,
}

/// The messages of a file.
pub fn cases(text: &str) -> Vec<Case> {
    let case = |line: &str| {
        let value: Value = serde_json::from_str(line).expect("a line of JSON");
        let text = |key: &str| value[key].as_str().unwrap_or_else(|| panic!("{key} in {line}")).to_owned();
        let before =
            value["before"].as_array().expect("before").iter().map(|line| line.as_str().expect("text").to_owned());
        Case {
            id: text("id"),
            pack: text("pack"),
            kind: text("kind"),
            before: before.collect(),
            say: text("say"),
            want: value["want"].as_array().expect("want").clone(),
        }
    };
    text.lines().filter(|line| !line.trim().is_empty()).map(case).collect()
}

/// FNV-1a over the id: a quarter of the messages is only looked at to report.
pub fn is_kept_apart(id: &str) -> bool {
    let hash = id
        .bytes()
        .fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3));
    hash % 4 == 0
}

/// How well a message was understood.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    Right,
    Partly,
    Offered,
    Asked,
    Refused,
    Wrong,
}

impl Verdict {
    pub fn name(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Partly => "partly",
            Self::Offered => "offered",
            Self::Asked => "asked",
            Self::Refused => "refused",
            Self::Wrong => "wrong",
        }
    }
}

/// What is typed into a chat, and what comes back.
pub struct Judge {
    api: Api,
    labels: HashMap<(String, String), String>,
    _service: Service,
    _packs: tempfile::TempDir,
}

impl Judge {
    pub async fn start() -> Self {
        // The starter is a pack of a folder, as `new-pack` writes it.
        let packs = tempfile::tempdir().expect("a folder");
        let starter = packs.path().join("our-club");
        std::fs::create_dir(&starter).expect("a folder");
        for (name, text) in [
            ("rules.toml", include_str!("../../shared/src/packs/starter/rules.toml")),
            ("units.toml", include_str!("../../shared/src/packs/starter/units.toml")),
        ] {
            std::fs::write(starter.join(name), text).expect("a file");
        }
        let config =
            pipwright_api::Config { packs: Some(packs.path().to_owned()), ..pipwright_tests::service::config() };
        let service = Service::start(config).await;
        let api = Api::new(&service.address, Duration::from_secs(60)).expect("an address");
        let mut labels = HashMap::new();
        for pack in ["canal-guild", "sedge-moot", "floe-run", "our-club"] {
            let index = api.index(Some(pack)).await.expect("a pack");
            labels
                .extend(index.rules.iter().map(|rule| ((pack.to_owned(), rule.id.clone()), rule.name.to_lowercase())));
        }
        Self { api, labels, _service: service, _packs: packs }
    }

    /// The names of a pack.
    pub async fn index(&self, pack: &str) -> std::sync::Arc<pipwright_bot::client::index::PackIndex> {
        self.api.index(Some(pack)).await.expect("a pack")
    }

    /// Types a message behind those before it: what is printed after the last.
    pub async fn typed(&self, pack: &str, before: &[String], say: &[&str]) -> String {
        let mut chat = Chat::new(Some(pack.to_owned()));
        for line in before {
            chat.line(&self.api, &line.replace('\n', "; "), 100).await;
        }
        let mut text = String::new();
        for line in say {
            text = chat.line(&self.api, &line.replace('\n', "; "), 100).await;
        }
        text
    }

    pub async fn judge(&self, case: &Case) -> (Verdict, String) {
        let text = self.typed(&case.pack, &case.before, &[&case.say]).await;
        let link = link(&text);
        let said =
            link.as_ref().map_or_else(|| text.lines().take(2).collect::<Vec<_>>().join(" "), ToString::to_string);
        if case.want.iter().any(|want| self.matches(want, &text, link.as_ref(), &case.pack)) {
            return (Verdict::Right, said);
        }
        let ruled = |want: &&Value| {
            want.get("rule").is_some()
                && link.as_ref().is_some_and(|link| link.path == "/v1/rule")
                && self.names_rule(want, &text, &case.pack)
        };
        if link.is_some() {
            let partly = case.want.iter().find(ruled).is_some()
                && !["yes", "no", "it depends"].iter().any(|word| text.to_lowercase().starts_with(word));
            return (if partly { Verdict::Partly } else { Verdict::Wrong }, said);
        }
        if !text.contains('?') {
            return (Verdict::Refused, said);
        }
        for offer in offers(&text).iter().take(4) {
            let then = self.typed(&case.pack, &case.before, &[&case.say, offer]).await;
            let link = super::judge::link(&then);
            let meant = |want: &&Value| want.get("back").is_none() && want.get("decline").is_none();
            if case.want.iter().filter(meant).any(|want| self.matches(want, &then, link.as_ref(), &case.pack)) {
                return (Verdict::Offered, said);
            }
        }
        (Verdict::Asked, said)
    }

    fn names_rule(&self, want: &Value, text: &str, pack: &str) -> bool {
        let id = want["rule"].as_str().expect("a rule");
        let label = self.labels.get(&(pack.to_owned(), id.to_owned())).cloned().unwrap_or_else(|| id.replace('-', " "));
        flat(&head(text)).contains(&flat(&label))
    }

    fn matches(&self, want: &Value, text: &str, link: Option<&Link>, pack: &str) -> bool {
        let lower = text.to_lowercase();
        let holds = |word: &Value| flat(&lower).contains(&flat(&word.as_str().expect("text").to_lowercase()));
        if want.get("decline").is_some() {
            return link.is_none();
        }
        if let Some(back) = want["back"].as_array() {
            return link.is_none() && text.contains('?') && back.iter().any(holds);
        }
        if let Some(words) = want["text"].as_array() {
            return words.iter().all(holds);
        }
        let Some(link) = link.filter(|link| link.path == want["ask"].as_str().expect("a path")) else { return false };
        if want.get("rule").is_some() {
            let begins = |word: &str| lower.trim_start().starts_with(word);
            let answered = match want["answer"].as_str() {
                Some("yes") => begins("yes"),
                Some("no") => begins("no"),
                Some(_) => begins("it depends"),
                None => true,
            };
            return answered && self.names_rule(want, text, pack);
        }
        let got = fields(link);
        let with: BTreeMap<String, String> = want["with"]
            .as_object()
            .into_iter()
            .flatten()
            .filter(|(key, _)| !is_ignored(key))
            .map(|(key, value)| (key.clone(), plain(value.as_str().expect("text"))))
            .collect();
        let may: Vec<&str> = want["may"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
        let allowed = |key: &String| {
            with.contains_key(key) || may.iter().any(|may| key == may || key.starts_with(&format!("{may}.")))
        };
        with.iter().all(|(key, value)| got.get(key) == Some(value)) && got.keys().all(allowed)
    }
}

/// The link of an answer.
pub fn link(text: &str) -> Option<Link> {
    text.lines().rev().find_map(|line| line.strip_prefix("link: ")).and_then(pipwright_bot::link::parse)
}

/// What is offered to tap.
fn offers(text: &str) -> Vec<String> {
    let mut lines = text.lines().skip_while(|line| !line.starts_with("ask on:"));
    let mut said = lines.next().unwrap_or_default().trim_start_matches("ask on:").to_owned();
    for line in lines.take_while(|line| line.starts_with(' ')) {
        said.push(' ');
        said.push_str(line.trim());
    }
    said.split('|')
        .map(|offer| offer.split_whitespace().collect::<Vec<_>>().join(" "))
        .filter(|offer| !offer.is_empty())
        .collect()
}

fn head(text: &str) -> String {
    text.trim().lines().take(3).collect::<Vec<_>>().join(" ").to_lowercase()
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn is_ignored(key: &str) -> bool {
    ["pack", "label", "most", "low_fails", "high_succeeds"].contains(&key.rsplit('.').next().unwrap_or_default())
}

/// The fields of a question as a link has them.
fn fields(link: &Link) -> BTreeMap<String, String> {
    let text = link.to_string();
    let Some((_, query)) = text.split_once('?') else { return BTreeMap::new() };
    let url = reqwest::Url::parse(&format!("http://here.invalid/?{query}")).expect("a query");
    url.query_pairs()
        .filter(|(key, _)| !is_ignored(key))
        .map(|(key, value)| (key.into_owned(), plain(&value)))
        .collect()
}

/// A value in a form in which two spellings of one are alike.
fn plain(value: &str) -> String {
    let value = value.trim();
    if let Ok(Value::Array(items)) = serde_json::from_str(value) {
        let mut items: Vec<String> =
            items.iter().map(|item| item.as_str().map_or_else(|| item.to_string(), slug)).collect();
        items.sort();
        return items.join(";");
    }
    let value = if value.starts_with("1d") { &value[1..] } else { value };
    if let Ok(number) = value.parse::<f64>() {
        return number.to_string();
    }
    let needs = value.ends_with(['+', '-']) && value[..value.len() - 1].chars().all(|c| c.is_ascii_digit());
    if needs { value.to_owned() } else { slug(value) }
}

fn slug(text: &str) -> String {
    let words: Vec<String> = text
        .to_lowercase()
        .split(|c: char| !c.is_ascii_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect();
    let slug = words.join("-");
    match slug.strip_suffix('s') {
        Some(single) if !single.ends_with('s') => single.to_owned(),
        _ => slug,
    }
}
