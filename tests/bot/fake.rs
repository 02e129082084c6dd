//! A stand-in for the service, on loopback: it keeps the last question and gives a written answer of the contract's shape.
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use pipwright_bot::card::Card;
use pipwright_bot::client::Api;
use pipwright_bot::hear::{Message, hear};
use pipwright_bot::link::Link;
use serde_json::{Value, json};
use std::sync::{Arc, Mutex};
use std::time::Duration;

/// The stand-in and a client of it.
pub struct Fake {
    pub api: Api,
    pub base: String,
    last: Last,
}

type Last = Arc<Mutex<Option<(String, Value)>>>;

impl Fake {
    pub async fn start() -> Self {
        let last = Last::default();
        let router = Router::new()
            .route("/v1/packs", get(|| async { Json(json!({"packs": [pack()]})) }))
            .route("/v1/packs/{pack}", get(|| async { Json(pack()) }))
            .route("/v1/packs/{pack}/units/{unit}", get(unit_asked))
            .route("/v1/{question}", post(question))
            .with_state(last.clone());
        let listener = tokio::net::TcpListener::bind(("127.0.0.1", 0)).await.expect("a free port");
        let base = format!("http://{}", listener.local_addr().expect("an address"));
        tokio::spawn(async move { axum::serve(listener, router).await });
        let api = Api::new(&base, Duration::from_secs(5)).expect("an address");
        Self { api, base, last }
    }

    pub async fn hear(&self, text: &str, before: Option<&Link>) -> Card {
        *self.last.lock().expect("no panic") = None;
        hear(&self.api, Message { text, before, ..Message::default() }).await
    }

    /// The question that the last message made: its path and body; none where the bot asked nothing.
    pub fn last(&self) -> Option<(String, Value)> {
        self.last.lock().expect("no panic").clone()
    }
}

async fn question(State(last): State<Last>, Path(path): Path<String>, Json(body): Json<Value>) -> Response {
    let answer = answer(&path, &body);
    // The service itself finds the rule in the words: what counts is that they come with their telling one.
    let telling = |body: &Value| body["ask"].as_str().is_some_and(|ask| ask.to_lowercase().contains("screen"));
    let refused = path == "rule" && !telling(&body);
    let body = if path == "rule" && telling(&body) { json!({"ask": "screen"}) } else { body };
    *last.lock().expect("no panic") = Some((path, body));
    if refused {
        let detail = "no rule of the Canal Guild speaks of it";
        let problem =
            json!({"title": "Bad request", "detail": detail, "errors": [{"pointer": "/ask", "detail": detail}]});
        return (StatusCode::UNPROCESSABLE_ENTITY, Json(problem)).into_response();
    }
    Json(answer).into_response()
}

async fn unit_asked(State(last): State<Last>, Path((_, id)): Path<(String, String)>) -> Json<Value> {
    *last.lock().expect("no panic") = Some(("unit".into(), json!({"unit": id})));
    Json(unit(&id))
}

fn named(id: &str, name: &str) -> Value {
    json!({"id": id, "name": name})
}

/// A pack of invented names.
pub fn pack() -> Value {
    let unit = |id: &str, name: &str, role: &str, points: u32| {
        let plural = pipwright_shared::report::saying::plural(name);
        let singular = if plural == name { name.trim_end_matches('s') } else { name };
        json!({"id": id, "name": name, "role": role, "points": points, "singular": singular, "plural": plural,
            "counted": "models", "least": 1, "most": 1, "armoured": role.ends_with("crawler")})
    };
    json!({
        "id": "canal-guild", "name": "Canal Guild", "hash": "0a1b", "about": "land crawlers of the canal guilds", "die": 6, "unit_count": 5,
        "limit": 1000, "turns": 6, "weapons": [], "statuses": [], "roles": [], "labels": {}, "stats": [], "terms": [],
        "formation": {"base_mm": 25, "gap_mm": 25, "files": 5},
        "units": [
            unit("heron-carriage", "Heron Carriage", "heavy crawler", 240),
            unit("reed-barge", "Reed Barge", "light crawler", 95),
            unit("otter-skiff", "Otter Skiff", "rider", 60),
            unit("lock-keepers", "Lock Keepers", "foot", 80),
            unit("sluice-crew", "Sluice Crew", "crew", 70),
        ],
        "rules": [json!({"id": "steam-screen", "name": "Steam Screen", "also": ["screen"]}), named("patient-crew", "Patient Crew"), named("hull-hooks", "Hull Hooks")],
        "checks": [named("hazard", "Hazard"), named("charge", "Charge"), named("morale", "Morale")],
        "arcs": [named("front", "Front"), named("side", "Side"), named("rear", "Rear")],
        "ranges": [named("near", "Near"), named("middle", "Middle"), named("far", "Far")],
        "cover": [named("open", "Open"), named("cover", "Cover")],
        "situation": [named("moved", "Moved"), named("dug-in", "Dug in")],
        "options": [named("signal-mast", "Signal Mast"), named("spare-winch", "Spare Winch")],
    })
}

fn unit(id: &str) -> Value {
    json!({
        "id": id, "name": "Heron Carriage", "role": "heavy crawler", "points": 240,
        "text": "", "kind": "crawler", "armoured": true, "each_more": 0, "models": {"least": 1, "most": 1, "now": 1},
        "per_slot": 1, "capacity": 5, "hash": "0a1b", "checks": [], "options": [],
        "profile": [{"id": "structure", "name": "structure", "value": "5"}],
        "weapons": [{"id": "pile-gun", "name": "Pile Gun", "count": 1, "least_reach": 0, "rules": [],
            "profile": [{"id": "attacks", "name": "attacks", "value": "1"}]}],
        "rules": [{"id": "steam-screen", "name": "Steam Screen", "text": ""}],
        "repair": {"capacity": 5, "missing": 0, "needs": "6+", "die": 6, "rolls": "one", "restores": 1, "label": "", "because": []},
    })
}

fn summary(rows: &[(u64, f64)]) -> Value {
    let mut at_least = 1.0;
    let mut expected = 0.0;
    let mut distribution = Vec::new();
    for &(value, chance) in rows {
        distribution.push(json!({"value": value, "chance": chance, "at_least": at_least}));
        at_least -= chance;
        expected += chance * value as f64;
    }
    json!({"expected": expected, "deviation": 1.0, "distribution": distribution})
}

/// Written by hand; only the shape is the contract's.
fn answer(path: &str, body: &Value) -> Value {
    let chance = |chance: f64| json!({"chance": chance});
    match path {
        "check" => json!({
            "chance": 0.583_333_333_333_333_3, "fraction": "7/12", "total": summary(&[(2, 0.25), (7, 0.5), (12, 0.25)]),
            "passes": summary(&[(0, 0.25), (1, 0.5), (2, 0.25)]), "all": chance(0.25), "none": chance(0.25), "any": chance(0.75),
            "first_pass": [],
        }),
        "repair" => {
            let turn = |turn: u64| {
                json!({"turn": turn, "alive": 1.0, "missing": summary(&[(1, 0.5), (2, 0.5)]), "any_restored": 0.5,
                "restored": summary(&[(0, 0.5), (1, 0.5)])})
            };
            let turns: Vec<Value> = (1..=body["turns"].as_u64().unwrap_or(6)).map(turn).collect();
            let one = json!({"chance": 1.0 / 3.0, "fraction": "1/3", "turns": turns, "restored": summary(&[(0, 0.5), (1, 0.5)]),
                "destroyed": chance(0.0)});
            let mut answer = one.clone();
            answer["compared"] =
                body["compare"].as_array().map_or(json!([]), |list| list.iter().map(|_| one.clone()).collect());
            answer
        }
        "rule" => json!({
            "id": "steam-screen", "name": "Steam Screen", "text": "Shots from the front lose 1 from their strength.", "does": [],
            "sort": "rule", "replaces": [], "asked_by": [], "units": [], "weapons": [], "options": [], "others": [],
            "pack": "canal-guild", "hash": "0a1b",
        }),
        "list-points" => {
            json!({"total": 480, "limit": 500, "left": 20, "legal": true, "lines": [], "roles": [], "problems": [], "buys": [],
                "ways": 1, "pack": "canal-guild", "hash": "0a1b"})
        }
        _ => json!({
            "steps": [], "attacks": summary(&[(3, 1.0)]), "through": summary(&[(0, 0.5), (1, 0.5)]),
            "structure": summary(&[(0, 0.5), (1, 0.25), (5, 0.25)]), "wrecked": summary(&[(0, 0.75), (1, 0.25)]),
            "statuses": {}, "destroyed": chance(0.25), "chain": {"steps": [], "target": {"structure": 5}}, "because": [],
            "rules": {"acted": [], "did_not": []}, "unused_weapons": [], "points": {"cost": 285, "target": 240.0, "removed": 60.0},
            "defaults": [], "pack": "canal-guild", "hash": "0a1b",
        }),
    }
}
