//! What is read, what is refused, and how a refusal points at its field.
use pipwright_tests::{
    ask::{affordable, ask},
    compare::exact_rows,
    play::number::fraction,
    random::{self, Size},
    service::Service,
};
use serde_json::{Value, json};

/// A chain with a bit of everything.
fn chain() -> Value {
    json!({
        "attackers": 2, "attacks": "1d3",
        "steps": [
            {"name": "hit", "needs": "3+", "critical": {"on": 6, "extra": 1, "then": {"wound": {"needs": "2+"}}}, "backfire": {"on": 1}},
            {"name": "wound", "needs": "4+", "margin": [{"at_least": 1, "damage": 1}]},
            {"name": "save", "by": "defender", "needs": "5+"}],
        "damage": "1d2",
        "target": {"models": 3, "health": 2, "ignore": {"needs": "6+"}},
        "aftermath": [{"when": {"models": true, "at_least": 2}, "dice": "2d6", "needs": "9+", "effect": "rout"}]})
}

fn tank() -> Value {
    json!({
        "steps": [{"name": "penetrate", "kind": "penetrate", "dice": "1d6", "add": 4, "against": 8, "graze": {"structure": 1},
            "breach": {"structure": 2, "chart": {"dice": "1d6", "rows": [
                {"at_least": 2, "status": "stuck", "repeated": {"wrecked": true}}, {"at_least": 6, "wrecked": true}]}}}],
        "target": {"structure": 3}})
}

/// A request with the field at the pointer put there or replaced.
fn with(mut request: Value, pointer: &str, value: Value) -> Value {
    let (parent, name) = pointer.rsplit_once('/').expect("a pointer");
    match request.pointer_mut(parent).expect("a parent") {
        Value::Array(list) => list[name.parse::<usize>().expect("a place")] = value,
        other => other[name] = value,
    }
    request
}

/// Mistakes as the service names them.
struct Refusals(Service);

impl Refusals {
    async fn start() -> Self {
        Self(Service::plain().await)
    }

    /// All pointers of a refusal, each of which has words.
    async fn pointers(&self, path: &str, request: &Value) -> Vec<String> {
        let (status, problem) = self.0.ask(&format!("/v1/{path}"), request).await;
        assert_eq!(status, 422, "{path} {request}: {problem}");
        let alone = vec![problem.clone()];
        let errors = problem["errors"].as_array().unwrap_or(&alone);
        assert!(errors.iter().all(|error| error["detail"].as_str().is_some_and(|words| words.len() > 5)), "{problem}");
        errors.iter().map(|error| error["pointer"].as_str().unwrap_or_default().to_string()).collect()
    }

    async fn point_at(&self, path: &str, request: Value, pointer: &str) {
        let pointers = self.pointers(path, &request).await;
        assert!(pointers.iter().any(|p| p == pointer), "{path} {request}: {pointer} is not among {pointers:?}");
    }
}

#[test]
fn an_answer_can_be_put_back() {
    let mut put_back = 0;
    for seed in 0..70 {
        let mut request = random::odds(&mut fastrand::Rng::with_seed(seed), Size::Small);
        request["exact"] = json!(true);
        let Some(answer) = affordable("odds", &request) else { continue };
        put_back += 1;
        let again = ask("odds", json!({"attacks": answer["through"], "target": {"models": 1}, "exact": true}));
        assert_eq!(again["attacks"], answer["through"], "seed {seed}");
        assert_eq!(again["through"], answer["through"], "seed {seed}");
    }
    assert!(put_back >= 60, "only {put_back} are answered");
}

#[test]
fn decimals_are_read_as_decimals() {
    let odd = json!({"distribution": [{"value": 0, "chance": 0.1}, {"value": 3, "chance": 0.9}]});
    let answer = ask("odds", json!({"attacks": odd, "target": {"models": 9}, "exact": true}));
    assert_eq!(answer["attacks"]["distribution"][0]["fraction"], "1/10");
    assert_eq!(answer["attacks"]["distribution"][1]["fraction"], "0");
    // A fraction wins over the decimal beside it, and what the sum misses of 1 is divided out.
    let odd =
        json!({"distribution": [{"value": 1, "fraction": "1/3", "chance": 0.9}, {"value": 2, "chance": 0.6666666667}]});
    let answer = ask("odds", json!({"attacks": odd, "target": {"models": 9}, "exact": true}));
    let rows = exact_rows(&answer["attacks"]);
    let (third, other) = (fraction("1/3"), fraction("6666666667/10000000000"));
    assert_eq!(rows[&1], &third / (&third + other));
}

#[test]
fn notes_change_nothing() {
    let plain = ask("odds", chain());
    let because = json!([{"rule": "cover", "text": "any", "effect": "4+ becomes 5+"}]);
    let mut noted = chain();
    for pointer in ["/because", "/steps/0/because", "/target/because"] {
        noted = with(noted, pointer, because.clone());
    }
    for pointer in ["/label", "/steps/1/label", "/target/label"] {
        noted = with(noted, pointer, json!("a note"));
    }
    assert_eq!(ask("odds", noted), plain);
}

#[tokio::test]
async fn null_is_absent() {
    let service = Refusals::start().await;
    let mut request = chain();
    for pointer in [
        "/exact",
        "/passed",
        "/steps/0/modifier",
        "/steps/0/reroll",
        "/steps/1/critical",
        "/steps/2/versus",
        "/target/spill",
        "/target/hurt",
    ] {
        request = with(request, pointer, Value::Null);
    }
    let (with_nulls, without) = (service.0.ask("/v1/odds", &request).await, service.0.ask("/v1/odds", &chain()).await);
    assert_eq!(with_nulls, without);
    assert_eq!(without.0, 200);
}

#[tokio::test]
async fn unknown_fields_are_pointed_at() {
    let service = Refusals::start().await;
    for pointer in [
        "/colour",
        "/steps/0/colour",
        "/steps/0/critical/colour",
        "/target/colour",
        "/target/ignore/colour",
        "/aftermath/0/colour",
    ] {
        service.point_at("odds", with(chain(), pointer, json!(1)), pointer).await;
    }
    service
        .point_at(
            "odds",
            with(tank(), "/steps/0/breach/chart/rows/1/colour", json!(1)),
            "/steps/0/breach/chart/rows/1/colour",
        )
        .await;
    service.point_at("check", json!({"dice": "2d6", "needs": "7+", "colour": 1}), "/colour").await;
    service.point_at("repair", json!({"capacity": 2, "missing": 1, "needs": "5+", "colour": 1}), "/colour").await;
}

#[tokio::test]
async fn values_out_of_range_are_pointed_at() {
    let service = Refusals::start().await;
    let wrong = [
        ("/attackers", json!(1_000_000_000)),
        ("/attackers", json!(-1)),
        ("/attacks", json!("0d6")),
        ("/attacks", json!("101d6")),
        ("/attacks", json!("2d6 + 1")),
        ("/attacks", json!("1d101")),
        ("/attacks", json!("1d1")),
        ("/attacks", json!("2d6+1001")),
        ("/steps/0/die", json!(1)),
        ("/steps/0/needs", json!("0+")),
        ("/steps/0/needs", json!("10001+")),
        ("/steps/0/needs", json!("3")),
        ("/steps/0/modifier", json!(1001)),
        ("/steps/0/reroll", json!("everything")),
        ("/steps/0/critical/on", json!(1)),
        ("/steps/0/critical/on", json!(7)),
        ("/steps/0/critical/extra", json!(11)),
        ("/steps/0/critical/then/save", json!({"needs": "x"})),
        ("/steps/0/by", json!("nobody")),
        ("/target/health", json!(0)),
        ("/target/hurt", json!(2)),
        ("/target/ignore/needs", json!("often")),
        ("/target/ignore/die", json!(1)),
        ("/target/ignore/per", json!("model")),
        ("/aftermath/0/needs", json!("")),
    ];
    for (pointer, value) in wrong {
        let at = if pointer == "/steps/0/critical/then/save" { "/steps/0/critical/then/save/needs" } else { pointer };
        service.point_at("odds", with(chain(), pointer, value), at).await;
    }
    service.point_at("odds", with(tank(), "/steps/0/breach/chart/rows", json!([])), "/steps/0/breach/chart/rows").await;
    service.point_at("odds", with(tank(), "/target/structure", json!(0)), "/target/structure").await;
    service.point_at("odds", with(tank(), "/target/overflow", json!("back")), "/target/overflow").await;
    service.point_at("repair", json!({"capacity": 2, "missing": 3, "needs": "5+"}), "/missing").await;
    service.point_at("check", json!({"dice": "0d6", "needs": "5+"}), "/dice").await;
    service.point_at("check", json!({"dice": "d6", "needs": "5+", "tries": 0}), "/tries").await;
}

#[tokio::test]
async fn parts_that_do_not_fit_are_pointed_at() {
    let service = Refusals::start().await;
    // A `then` that names no later step.
    service
        .point_at(
            "odds",
            with(chain(), "/steps/0/critical/then", json!({"hit": {"modifier": 1}})),
            "/steps/0/critical/then/hit",
        )
        .await;
    service
        .point_at(
            "odds",
            with(chain(), "/steps/0/critical/then", json!({"nowhere": {"modifier": 1}})),
            "/steps/0/critical/then/nowhere",
        )
        .await;
    service.point_at("odds", with(chain(), "/steps/1/name", json!("hit")), "/steps/1/name").await;
    service
        .point_at("odds", with(chain(), "/steps/2/critical", json!({"on": 6, "extra": 1})), "/steps/2/critical/extra")
        .await;
    let two = json!({"distribution": [{"value": 1, "chance": 0.5}, {"value": 1, "chance": 0.5}]});
    service.point_at("odds", with(chain(), "/attacks", two), "/attacks").await;
    let short = json!({"distribution": [{"value": 1, "chance": 0.5}, {"value": 2, "chance": 0.4}]});
    service.point_at("odds", with(chain(), "/attacks", short), "/attacks").await;
    // A chart's rows ascend.
    let rows = json!([{"at_least": 6, "wrecked": true}, {"at_least": 2, "status": "stuck"}]);
    let pointers = service.pointers("odds", &with(tank(), "/steps/0/breach/chart/rows", rows)).await;
    assert!(pointers.iter().all(|pointer| pointer.starts_with("/steps/0/breach/chart/rows")), "{pointers:?}");
}

/// Fields that can't be read come together, and so do fields that can't be right once they are read.
#[tokio::test]
async fn all_mistakes_come_together() {
    let service = Refusals::start().await;
    let unreadable = [("/steps/0/needs", json!("0+")), ("/damage", json!("3d")), ("/target/colour", json!(1))];
    let wrong = [("/steps/0/die", json!(1)), ("/target/health", json!(0)), ("/steps/1/name", json!("hit"))];
    for mistakes in [unreadable, wrong] {
        let request = mistakes.iter().fold(chain(), |so_far, (pointer, value)| with(so_far, pointer, value.clone()));
        let pointers = service.pointers("odds", &request).await;
        for (pointer, _) in mistakes {
            assert!(pointers.iter().any(|p| p == pointer), "{pointer} is not among {pointers:?}");
        }
    }
}
