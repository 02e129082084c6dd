//! Many questions at once: each answer is the one it has alone, each refusal stays its own.
use super::pointers;
use pipwright_tests::ask::{ask, refused};
use serde_json::json;

#[test]
fn each_answer_is_its_own() {
    let questions = [
        ("check", json!({"dice": "2d6", "needs": "7+"})),
        ("odds", json!({"attackers": 3, "target": {"models": 2}, "label": null})),
        ("repair", json!({"capacity": 3, "missing": 1, "needs": "5+"})),
        ("draw", json!({"contents": {"red": 2, "blue": 1}, "draws": 2})),
        ("matchup", json!({"attacker": {"unit": "barges"}, "target": {"unit": "heron"}})),
        ("needed", json!({"check": {"dice": "d6", "needs": "6+"}, "want": {"passes": 1, "chance": 0.5}})),
        ("luck", json!({"check": {"dice": "d6", "needs": "6+"}, "result": {"passes": 1}})),
        ("compare", json!({"variants": [{"chain": {"target": {"models": 1}}}]})),
    ];
    let items: Vec<_> = questions.iter().map(|(path, request)| json!({"path": path, "request": request})).collect();
    let answer = ask("batch", json!({"questions": items}));
    let answers = answer["answers"].as_array().unwrap();
    assert_eq!(answers.len(), questions.len());
    for ((path, request), item) in questions.iter().zip(answers) {
        assert_eq!(item["answer"], ask(path, request.clone()), "{path}");
        assert!(item.get("problem").is_none());
    }
}

#[test]
fn a_mistake_spoils_only_its_own_question() {
    let answer = ask(
        "batch",
        json!({"questions": [
            {"path": "check", "request": {"dice": "0d6", "needs": "0+", "pies": 1}},
            {"path": "check", "request": {"dice": "d6", "needs": "4+"}},
            {"path": "chekc", "request": {}},
            {"path": "batch", "request": {"questions": []}},
            {"path": "odds", "request": {"target": {"models": 0}}},
        ]}),
    );
    let answers = answer["answers"].as_array().unwrap();
    let mut wrong: Vec<_> =
        answers[0]["problem"].as_array().unwrap().iter().map(|mistake| mistake["pointer"].as_str().unwrap()).collect();
    wrong.sort_unstable();
    assert_eq!(wrong, ["/dice", "/needs", "/pies"]);
    assert_eq!(answers[1]["answer"]["fraction"], "1/2");
    assert_eq!(answers[2]["problem"][0]["did_you_mean"][0], "check");
    assert_eq!(answers[3]["problem"][0]["kind"], "unknown-name");
    assert_eq!(answers[4]["problem"][0]["pointer"], "/target/models");
}

#[test]
fn its_price_is_the_sum() {
    assert_eq!(pointers("batch", json!({"questions": []})), ["/questions"]);
    let question = json!({"path": "check", "request": {"dice": "d6", "needs": "4+", "tries": 9_000}});
    ask("batch", json!({"questions": [question]}));
    let many: Vec<_> = (0..100).map(|_| question.clone()).collect();
    let mistakes = refused("batch", json!({"questions": many}));
    assert!(mistakes[0].detail.contains("times the work"), "{mistakes:?}");
    let many: Vec<_> = (0..101).map(|_| question.clone()).collect();
    assert_eq!(pointers("batch", json!({"questions": many})), ["/questions"]);
}
