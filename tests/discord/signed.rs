//! The signed endpoint: only what the platform signed is read, and only when it is fresh.
use super::made::{command, form, ping, somebody};
use super::platform::{Platform, Sent};
use super::{limits, published, started};
use ed25519_dalek::{Signer, SigningKey};
use pipwright_bot::client::Api;
use pipwright_bot::places::discord::{Place, Settings, gateway, signed};
use pipwright_tests::service::Service;
use serde_json::{Value, json};
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

struct Endpoint {
    url: String,
    key: SigningKey,
    platform: Platform,
    _service: Option<Service>,
}

impl Endpoint {
    async fn start(service: &str) -> Self {
        let platform = Platform::start().await;
        let key = SigningKey::from_bytes(&[7; 32]);
        let api = Api::new(service, Duration::from_secs(20)).expect("an address");
        let settings = Settings { proxy: Some(platform.base.clone()), ..Settings::new("token") };
        let place = Place::new(api, settings);
        let http = gateway::http(&place).await.expect("the platform is there");
        let verifier = signed::verifier(&hex(key.verifying_key().as_bytes())).expect("a key");
        let base = started::serve(signed::router(place, http, verifier)).await;
        Self { url: format!("{base}/interactions"), key, platform, _service: None }
    }

    async fn real() -> Self {
        let service = Service::plain().await;
        let address = service.address.clone();
        Self { _service: Some(service), ..Self::start(&address).await }
    }

    async fn send(&self, body: &str, stamp: &str, signature: &str) -> (u16, String) {
        let request = reqwest::Client::new().post(&self.url).body(body.to_owned());
        let request = request.header("x-signature-ed25519", signature).header("x-signature-timestamp", stamp);
        let response = request.send().await.expect("a response");
        (response.status().as_u16(), response.text().await.expect("text"))
    }

    fn sign(&self, stamp: &str, body: &str) -> String {
        hex(&self.key.sign(format!("{stamp}{body}").as_bytes()).to_bytes())
    }

    async fn does(&self, interaction: &Value) -> Value {
        let (body, stamp) = (interaction.to_string(), now(0));
        // What the platform brought, it knows to be answered.
        self.platform.shared().answered.insert(interaction["token"].as_str().expect("a token").to_owned());
        let (status, text) = self.send(&body, &stamp, &self.sign(&stamp, &body)).await;
        assert_eq!(status, 200, "{text}");
        let body: Value = serde_json::from_str(&text).expect("JSON");
        let sent = Sent {
            method: "POST".into(),
            path: "/interactions/1/key/callback".into(),
            body: body.clone(),
            files: Vec::new(),
            at: Instant::now(),
        };
        let faults = [published::faults(&sent), limits::faults(&sent)].concat();
        assert!(faults.is_empty(), "{faults:?}\n{body:#}");
        body
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn bytes<const N: usize>(hex: &str) -> [u8; N] {
    std::array::from_fn(|at| u8::from_str_radix(&hex[at * 2..at * 2 + 2], 16).expect("hex"))
}

fn now(shift: i64) -> String {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).expect("after 1970").as_secs();
    now.saturating_add_signed(shift).to_string()
}

/// Secret key, public key, message and signature.
///
/// Source: RFC 8032, section 7.1, TEST 1, TEST 2 and TEST 3.
const VECTORS: [(&str, &str, &str, &str); 3] = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
    ),
];

#[test]
fn the_published_vectors() {
    for (secret, public, message, signature) in VECTORS {
        let verifier = signed::verifier(public).expect("a key");
        let message: Vec<u8> = (0..message.len() / 2).map(|at| bytes::<1>(&message[at * 2..])[0]).collect();
        // The verifier takes the signed bytes in two parts, time stamp and body: together they are the message.
        assert!(verifier.verify(signature, "", &message).is_ok(), "{public}");
        let key = SigningKey::from_bytes(&bytes::<32>(secret));
        assert_eq!(hex(&key.sign(&message).to_bytes()), signature, "the signer of these tests");
        for at in 0..64 {
            let mut altered = bytes::<64>(signature);
            altered[at] ^= 1;
            assert!(verifier.verify(&hex(&altered), "", &message).is_err(), "byte {at} of the signature");
        }
        let longer = [message.as_slice(), b"x"].concat();
        assert!(verifier.verify(signature, "", &longer).is_err(), "another message");
    }
    for wrong in ["", "d75a", &"z".repeat(64), &"é".repeat(32), &VECTORS[0].1[..63]] {
        assert!(signed::verifier(wrong).is_none(), "{wrong}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn only_what_is_signed_and_fresh() {
    let endpoint = Endpoint::real().await;
    assert_eq!(endpoint.does(&ping()).await, json!({"type": 1}));
    let body = ping().to_string();
    let stamp = now(0);
    let good = endpoint.sign(&stamp, &body);
    let other = SigningKey::from_bytes(&[8; 32]);
    let strange = hex(&other.sign(format!("{stamp}{body}").as_bytes()).to_bytes());
    let old = now(-3600);
    let ahead = now(3600);
    for (what, body, stamp, signature) in [
        ("an altered body", body.replace("\"version\":1", "\"version\":2"), stamp.clone(), good.clone()),
        ("a blank more", format!("{body} "), stamp.clone(), good.clone()),
        ("another time", body.clone(), now(1), good.clone()),
        ("another key", body.clone(), stamp.clone(), strange),
        ("no signature", body.clone(), stamp.clone(), String::new()),
        ("half of it", body.clone(), stamp.clone(), good[..64].to_owned()),
        ("no hex", body.clone(), stamp.clone(), "zz".repeat(64)),
        ("signs", body.clone(), stamp.clone(), "+1".repeat(64)),
        ("an old one again", body.clone(), old.clone(), endpoint.sign(&old, &body)),
        ("one of tomorrow", body.clone(), ahead.clone(), endpoint.sign(&ahead, &body)),
        ("no time", body.clone(), "soon".into(), endpoint.sign("soon", &body)),
    ] {
        let (status, text) = endpoint.send(&body, &stamp, &signature).await;
        assert_eq!(status, 401, "{what}");
        assert_eq!(text, "the signature is not the platform's", "{what}: no more is said");
    }
    let bare = reqwest::Client::new().post(&endpoint.url).body(body).send().await.expect("a response");
    assert_eq!(bare.status().as_u16(), 401, "no headers at all");
    for body in ["{", "[]", "{\"type\": 99}", "\u{0}"] {
        let stamp = now(0);
        let (status, _) = endpoint.send(body, &stamp, &endpoint.sign(&stamp, body)).await;
        assert_eq!(status, 400, "signed, but no interaction: {body}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn commands_by_http() {
    let endpoint = Endpoint::real().await;
    let who = somebody();
    let help = endpoint.does(&command(who, "help", &[])).await;
    assert_eq!(help["type"], 4, "an answer without a picture goes at once");
    let form_asked = endpoint.does(&command(who, "points", &[])).await;
    assert_eq!(form_asked["type"], 9);
    let id = form_asked["data"]["custom_id"].as_str().expect("an id");
    let refused = endpoint.does(&form(who, id, "no such thing at all")).await;
    assert!(refused["data"]["content"].as_str().is_some_and(|text| !text.is_empty()), "{refused:#}");
    // A picture follows.
    let asked = command(who, "check", &[("needs", json!("7+")), ("dice", json!("2d6"))]);
    assert_eq!(endpoint.does(&asked).await, json!({"type": 5}));
    let edit = endpoint.platform.edit(&asked).await;
    assert!(edit.body["content"].as_str().is_some_and(|text| text.contains("58.3%")), "{:#}", edit.body);
    assert_eq!(edit.files.len(), 1);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn slow_answers_follow() {
    let service = started::slow(Duration::from_millis(1300)).await;
    let endpoint = Endpoint::start(&service).await;
    let asked = command(somebody(), "check", &[("needs", json!("4+")), ("private", json!(true))]);
    assert_eq!(endpoint.does(&asked).await, json!({"type": 5, "data": {"flags": 64}}));
    assert!(endpoint.platform.edit(&asked).await.body["content"].is_string());
}
