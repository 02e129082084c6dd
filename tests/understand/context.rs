//! One chat and one question: what is dropped, gone back to, corrected; and look-ups.
use super::judge::{Judge, link};

/// What is asked after these messages: the path and the query, or nothing.
async fn asked(judge: &Judge, pack: &str, says: &[&str]) -> (Option<String>, String) {
    let text = judge.typed(pack, &[], says).await;
    (link(&text).map(|link| link.to_string()), text)
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_question_is_dropped_where_people_say_so() {
    let judge = Judge::start().await;
    for say in ["never mind", "cancel", "forget it", "scrap that", "new question", "nvm", "oh forget that please"] {
        for before in ["3 barges v heron rear", "how many barges do i need"] {
            let (link, text) = asked(&judge, "canal-guild", &[before, say]).await;
            assert_eq!(link, None, "{say}: {text}");
            // What is asked then stands by itself.
            let (fresh, _) = asked(&judge, "canal-guild", &["8 rifles v 10 dyke hands"]).await;
            let (then, text) = asked(&judge, "canal-guild", &[before, say, "8 rifles v 10 dyke hands"]).await;
            assert_eq!(then, fresh, "{say}: {text}");
        }
    }
    let (one, _) = asked(&judge, "canal-guild", &["6 stilts v heron"]).await;
    let (other, text) = asked(&judge, "canal-guild", &["heron v bittern", "new question: 6 stilts v heron"]).await;
    assert_eq!(one, other, "{text}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_answer_before_comes_back() {
    let judge = Judge::start().await;
    let (first, _) = asked(&judge, "canal-guild", &["3 barges v heron rear"]).await;
    let (back, text) = asked(&judge, "canal-guild", &["3 barges v heron rear", "go back"]).await;
    assert_eq!(first, back, "{text}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_complete_question_takes_nothing_from_the_one_before() {
    let judge = Judge::start().await;
    let whole =
        ["8 rifles v 10 dyke hands", "heron v bittern over 4 turns, who wins", "/check 2d6 7+", "how tough is a crab"];
    let before = [
        "3 barges v heron rear, hard cover, moved",
        "how many culverins do i need",
        "12 shots 4s 3s 5s",
        "heron lost 2 frame",
    ];
    for say in whole {
        let (alone, _) = asked(&judge, "canal-guild", &[say]).await;
        for before in before {
            let (then, text) = asked(&judge, "canal-guild", &[before, say]).await;
            assert_eq!(alone, then, "{before} / {say}: {text}");
        }
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn corrections_change_what_they_name() {
    let judge = Judge::start().await;
    for (says, wanted) in [
        (["3 barges v heron rear", "nah he says its the side"], "3 barges v heron side"),
        (["8 wardens v 10 dyke hands", "not the wardens, the rifles"], "rifles v 10 dyke hands"),
        (["8 rifles v 10 dyke hands", "sorry, i meant 6 of them"], "6 rifles v 10 dyke hands"),
        (["8 rifles v 10 dyke hands", "no they're in the reeds"], "8 rifles v 10 dyke hands in the reeds"),
        (["8 rifles v 10 dyke hands", "and the other way round"], "10 dyke hands v 8 rifles"),
        (["3 barges v heron rear", "what about one more"], "4 barges v heron rear"),
        (["3 barges v heron rear", "what about one fewer"], "2 barges v heron rear"),
        (["8 rifles v 10 dyke hands", "can a swivel gun hurt a heron"], "swivel crew v heron"),
        (
            ["4 barges v heron", "I rolled three 1s on four dice, how unlucky is that?"],
            "passed 1 of 4 on 2+ on d6, lucky?",
        ),
    ] {
        let (got, text) = asked(&judge, "canal-guild", &says).await;
        let (wanted, _) = asked(&judge, "canal-guild", &[wanted]).await;
        assert_eq!(got, wanted, "{says:?}: {text}");
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_a_pack_has_can_be_looked_up() {
    let judge = Judge::start().await;
    for (pack, say, holds) in [
        ("canal-guild", "which units are there", &["Heron Carriage", "Dyke Hands"][..]),
        ("canal-guild", "list the units", &["Heron Carriage", "Dyke Hands"]),
        ("canal-guild", "how fast is the heron", &["Pace", "2"]),
        ("canal-guild", "hull on the walker?", &["21", "20", "19"]),
        ("canal-guild", "what is grit", &["Grit"]),
        ("sedge-moot", "whats salt", &["Salt"]),
        ("sedge-moot", "which units are chosen", &["Eel Spears", "Fowlers"]),
        ("floe-run", "which guns are there", &["Pivot Gun Crew", "Oil Crew"]),
        ("canal-guild", "what can i stick on a heron", &["mast", "skirts", "mortar"]),
        ("canal-guild", "what is a breach", &["breach"]),
    ] {
        let text = judge.typed(pack, &[], &[say]).await;
        let missing: Vec<&&str> =
            holds.iter().filter(|word| !text.to_lowercase().contains(&word.to_lowercase())).collect();
        assert!(missing.is_empty(), "{say}: {missing:?} not in {text}");
    }
    // Why: the reasons of the last answer.
    let text = judge.typed("canal-guild", &[], &["8 rifles v 10 dyke hands far, wharf", "why is it 5+"]).await;
    assert!(text.contains("because"), "{text}");
}
