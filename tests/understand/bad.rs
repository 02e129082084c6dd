//! What people paste and mistype: never numbers for another question.
use super::judge::{Judge, link};

/// Words of other talk, as one message.
fn chatter() -> String {
    const TALK: [&str; 10] = [
        "well the weather was awful on the way over and the bus did not come",
        "so we walked along the river and had soup at the corner place",
        "my brother says the paint takes two days to dry if you put it on thick",
        "and then somebody sat on the box and that was the end of that",
        "which is why nobody lends him anything any more",
        "the hall wants its key back before nine or we pay for another hour",
        "did anyone see the film about the lighthouse keeper and his goat",
        "I thought the ending was silly but my sister cried",
        "we ought to have tea first and talk about the summer outing",
        "the minutes of the last meeting are still not written up",
    ];
    let words: Vec<&str> = TALK.iter().cycle().flat_map(|line| line.split(' ')).take(1_000).collect();
    words.join(" ")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_is_no_question_gets_no_numbers() {
    let judge = Judge::start().await;
    let long = chatter();
    let says = [
        long.as_str(),
        "wann kommt der Bus denn endlich, mir ist kalt",
        "on mange quoi ce soir, j'ai faim",
        "mañana no puedo, tengo que trabajar todo el día",
        "\u{1f602}\u{1f602}\u{1f602}\u{1f44d}",
        "\u{1f3b2} \u{1f3b2} \u{1f525}",
        "> he said he would bring the cake\nand did he",
        "https://example.org/pictures?id=12 look at that",
        "...",
        "?????",
        "12",
        "asdfgh jklqwe",
    ];
    for pack in ["canal-guild", "sedge-moot", "floe-run", "our-club"] {
        for say in says {
            let text = judge.typed(pack, &[], &[say]).await;
            assert!(link(&text).is_none(), "{pack} {say:.60}: {text}");
        }
        // Nor do they change the answer before.
        if pack == "canal-guild" {
            for say in says {
                let before = ["3 barges v heron rear".to_owned()];
                let text = judge.typed(pack, &before, &[say]).await;
                // A bare number may be a number of barges.
                if say != "12" {
                    assert!(link(&text).is_none(), "after an answer {say:.60}: {text}");
                }
            }
        }
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn an_ordinary_word_is_never_taken_for_a_name() {
    let judge = Judge::start().await;
    for (pack, say) in [
        ("canal-guild", "3 badges v heron rear"),
        ("canal-guild", "8 trifles v 10 dyke hands"),
        ("canal-guild", "3 barges v heroin"),
        ("sedge-moot", "8 fouls v 10 peat cutters"),
        ("floe-run", "rack crew v whalebone"),
        ("floe-run", "6 dots v 8 deck hands"),
    ] {
        let text = judge.typed(pack, &[], &[say]).await;
        assert!(link(&text).is_none(), "{say}: {text}");
    }
    // A slip that is no word is corrected, and the answer says so.
    let text = judge.typed("canal-guild", &[], &["3 bargs v hreon rear"]).await;
    assert!(link(&text).is_some() && text.contains("bargs") && text.contains("hreon"), "{text}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn two_questions_at_once_are_not_made_one() {
    let judge = Judge::start().await;
    for (say, paths) in [
        ("3 barges v heron rear? and does the lantern screen work from behind?", ["/v1/matchup", "/v1/rule"]),
        ("how fast is the heron? and what do 8 rifles do to 10 dyke hands?", ["/v1/unit", "/v1/matchup"]),
        ("2d6 7+? and heron v bittern over 5 turns, who wins?", ["/v1/check", "/v1/duel"]),
    ] {
        let text = judge.typed("canal-guild", &[], &[say]).await;
        // Answered is one of them as it stands alone, or the choice is offered.
        if let Some(link) = link(&text) {
            assert!(paths.contains(&link.path.as_str()), "{say}: {text}");
            let alone: Vec<String> =
                say.split("? and ").map(|part| format!("{}?", part.trim_end_matches('?'))).collect();
            let mut known = Vec::new();
            for part in &alone {
                known.push(super::judge::link(&judge.typed("canal-guild", &[], &[part]).await));
            }
            assert!(known.contains(&Some(link)), "{say}: neither of the two: {text}");
        } else {
            assert!(text.contains('?') || text.contains("read as"), "{say}: {text}");
        }
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_pasted_roster_is_costed_as_a_list() {
    let judge = Judge::start().await;
    let roster = "My canal list\nHQ\nWharf Captain (70)\nTroops\n10 Dyke Hands\n8 Quay Rifles\nHeavy\nHeron Carriage + signal mast";
    let text = judge.typed("canal-guild", &[], &[roster]).await;
    let link = link(&text).unwrap_or_else(|| panic!("{text}"));
    assert_eq!(link.path, "/v1/list-points", "{text}");
    assert!(!text.contains("70 Wharf Captain") && !text.contains("70 x Wharf Captain"), "{text}");
}
