//! Sentences of an appraisal by example: what each says of numbers that are put there.
use pipwright_shared::wire::appraisal::{AppraisalAnswer, advice, verdict};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

fn appraised(request: Value) -> AppraisalAnswer {
    serde_json::from_value(ask("appraisal", request)).expect("an appraisal")
}

/// The sentence that is made from this number; nothing where there is none.
fn said(of: &AppraisalAnswer, pointer: &str) -> Option<String> {
    let mut rows = verdict(of).into_iter().chain(advice(of));
    rows.find(|row| row.of.starts_with(pointer)).map(|row| row.text)
}

fn heron() -> AppraisalAnswer {
    appraised(json!({"unit": "heron-carriage", "turns": 4}))
}

#[test]
fn whether_it_earns_its_points_back_is_said_of_the_best_target_and_of_the_average() {
    let mut of = heron();
    of.helped.clear();
    of.damage.truncate(2);
    for (at, (earned, points)) in [(1.94, 0.0), (0.02, 0.0)].into_iter().enumerate() {
        (of.damage[at].per_point, of.damage[at].points) = (Some(earned), points);
    }
    let best = "Left alone for 4 turns, it earns its points back against 10 Dyke Hands (1.94 points destroyed for each \
                point it costs)";
    assert_eq!(said(&of, "/damage"), Some(format!("{best}, but not on average over its targets (0.98).")));
    of.damage[1].per_point = Some(0.1);
    assert_eq!(said(&of, "/damage"), Some(format!("{best}, and on average over its targets (1.02).")));
    of.damage.truncate(1);
    assert_eq!(said(&of, "/damage"), Some(format!("{best}.")));
    of.damage[0].per_point = Some(0.57);
    assert_eq!(
        said(&of, "/damage").unwrap(),
        "Left alone for 4 turns, it doesn't earn its points back: at best it destroys 0.57 points for each point it costs \
         (against 10 Dyke Hands)."
    );
    of.damage[0].per_point = Some(0.999_99);
    assert!(
        said(&of, "/damage")
            .unwrap()
            .contains("it all but earns its points back: at best it destroys just under 1 point ")
    );
}

/// What a signal mast would do for those nearby is no matter of a unit that has none.
#[test]
fn what_it_does_for_others_is_spoken_of_where_it_does_it() {
    let nearby = "What it does for units near it is not counted in that.";
    let without = heron();
    let with = appraised(json!({"unit": "heron-carriage", "options": ["signal-mast"], "turns": 4}));
    assert!(!said(&without, "/damage").unwrap().contains(nearby));
    assert!(said(&with, "/damage").unwrap().contains(nearby));
    assert!(said(&without, "/helped").unwrap().starts_with("With a Signal mast, keep it near "));
    assert!(said(&with, "/helped").unwrap().starts_with("Keep it near "));
    assert_eq!((without.taken.as_slice(), with.taken), ([].as_slice(), vec!["Signal mast".to_owned()]));
}

#[test]
fn comparators_stand_on_their_sides() {
    let mut of = heron();
    of.worth.per_point = Some(0.29);
    let mut beside = |first: f64, second: f64| {
        of.comparators.truncate(2);
        for (row, worth) in of.comparators.iter_mut().zip([first, second]) {
            row.worth.per_point = Some(worth);
        }
        let said = said(&of, "/worth/per_point").unwrap();
        said.split_once(": its own worth is 0.29, ").expect("its own worth").0.to_owned()
    };
    assert_eq!(
        beside(0.39, 0.28),
        "Point for point it does worse than the Sluice Tower (0.39) but better than the Dredge Walker (0.28)"
    );
    assert_eq!(
        beside(0.15, 0.22),
        "Point for point it does better than both the Dredge Walker (0.22) and the Sluice Tower (0.15)"
    );
    assert_eq!(
        beside(0.29, 0.22),
        "Point for point it does as well as the Sluice Tower (0.29) but better than the Dredge Walker (0.22)"
    );
}

#[test]
fn nobody_survives_a_part_of_a_turn() {
    let mut of = heron();
    of.approach.truncate(1);
    of.approach[0].without = None;
    let mut lives = |stood: f64, standing: [f64; 4]| {
        (of.approach[0].stood, of.approach[0].standing) = (stood, standing.to_vec());
        said(&of, "/approach").unwrap()
    };
    assert!(
        lives(0.2, [0.2, 0.0, 0.0, 0.0]).ends_with(" it is usually gone in the first turn (20% to live through it).")
    );
    assert!(lives(0.9, [0.6, 0.2, 0.1, 0.0]).ends_with(" it survives less than one of 4 turns on average."));
    assert!(lives(1.7, [0.9, 0.6, 0.2, 0.0]).ends_with(" it survives 1.7 of 4 turns."));
    assert!(lives(3.999, [1.0, 1.0, 1.0, 0.999]).ends_with(" it survives over 3.99 of 4 turns."));
    assert!(lives(4.0, [1.0, 1.0, 1.0, 1.0]).ends_with(" it survives 4 of 4 turns."));
    assert!(lives(0.0, [0.0, 0.0, 0.0, 0.0]).ends_with(" it is gone in the first turn."));
}

/// A captain can't scratch a hull from the front; one of the three can be harmed from behind.
#[test]
fn targets_that_can_not_be_harmed_are_all_named() {
    let mut of = appraised(json!({"unit": "wharf-captain"}));
    assert_eq!(
        said(&of, "/damage/4").unwrap(),
        "Don't send it against the Lamp Skiff, the Bittern Carriage or the Heron Carriage: it does no harm there, except to \
         the Lamp Skiff from the rear in contact."
    );
    // Where one attack does harm and a game destroys nothing, it is no longer said to do none.
    for row in of.attacks.iter_mut().filter(|row| row.target != "Dyke Hands") {
        row.points = 1.0;
    }
    assert!(said(&of, "/damage/4").unwrap().ends_with(" against the Lamp Skiff: it does next to nothing there."));
    of.damage.truncate(4);
    assert!(
        said(&of, "/damage/2")
            .unwrap()
            .ends_with(" 5 Lock Wardens: only 0.28 points destroyed for each point it costs.")
    );
}

#[test]
fn prices_are_held_against_units_at_their_smallest() {
    let mut of = heron();
    let smallest = "at their smallest size and without options";
    (of.cost.median, of.cost.middle) = (77.5, 80);
    for (points, words) in [
        (265, format!("more than most units of the book (half of them cost 75 or less {smallest}).")),
        (70, format!("less than most units of the book (half of them cost 80 or more {smallest}).")),
        (
            78,
            format!(
                "about as much as other units of the book (half of them cost 75 or less, half of them 80 or more, {smallest})."
            ),
        ),
    ] {
        of.cost.points = points;
        assert_eq!(said(&of, "/cost/points"), Some(format!("At {points} points it costs {words}")));
    }
    // Of a larger unit it is not said.
    of.cost.least_models = 0;
    assert_eq!(said(&of, "/cost/points"), None);
}

#[test]
fn cover_is_spoken_of_once() {
    let mut of = appraised(json!({"unit": "culverin-crew", "turns": 3}));
    let at = of.sensitivities.iter().position(|row| row.change.starts_with("standing ")).expect("a cover");
    of.sensitivities.retain(|row| !row.change.starts_with("standing ") || row.change == "standing in brickwork");
    let cover = of.sensitivities.iter().position(|row| row.change == "standing in brickwork").expect("brickwork");
    assert!(at <= cover);
    let row = of.sensitivities.remove(cover);
    of.sensitivities.insert(0, row);
    let swing = |of: &AppraisalAnswer| {
        let rows = advice(of);
        rows.into_iter().find(|row| row.text.starts_with("Biggest swing")).expect("a swing").text
    };
    assert!(swing(&of).starts_with("Biggest swing apart from cover: "), "{}", swing(&of));
    assert!(!swing(&of).contains("standing"), "{}", swing(&of));
    for (moved, words) in [
        (0.449, "Put it in brickwork: that adds 44.9% to its worth."),
        (0.019, "Cover hardly helps it: at best it adds under 2% to its worth."),
        (-0.05, "No cover helps it: even in brickwork it loses 5% of its worth."),
    ] {
        of.sensitivities[0].moved = moved;
        assert_eq!(said(&of, "/sensitivities/0").unwrap(), words);
    }
}

/// Several are spoken of as several, with the last of them in place of all; ranges have the pack's own preposition.
#[test]
fn several_are_they() {
    let of =
        appraised(json!({"pack": "floe-run", "unit": "deck-hands", "models": 15, "options": ["hooks", "2 line-guns"]}));
    assert_eq!(of.taken, ["Flensing hooks", "2 Line guns"]);
    let all: Vec<String> = verdict(&of).into_iter().chain(advice(&of)).map(|row| row.text).collect();
    for text in &all {
        let words: Vec<&str> = text.split(|c: char| !c.is_alphanumeric()).collect();
        let it = words.iter().any(|word| ["it", "It", "its", "Its"].contains(word));
        assert!(!it, "{text}");
    }
    let all = all.join(" ");
    for part in ["they destroy ", "the last of them survives ", "Fight in the clinch: ", "Point for point they do "] {
        assert!(all.contains(part), "{part}: {all}");
    }
}

/// What is larger is said with both numbers, and in the words of the pack.
#[test]
fn another_size_is_said_beside_its_own() {
    let changes = |unit: &str| {
        let of = appraised(json!({"pack": "sedge-moot", "unit": unit, "turns": 2}));
        of.sensitivities.into_iter().map(|row| row.change).collect::<Vec<_>>()
    };
    assert!(changes("tar-gang").iter().any(|change| change == "fielding 6 bodies instead of 3"));
    assert!(changes("peat-cutters").iter().any(|change| change == "fielding 20 Peat Cutters instead of 5"));
}
