//! What is attacked and never answers: games of an appraisal and of a league, each figure worked out another way, from the
//! pack's own prose and numbers by hand or by a few lines of counting, never by way of a chain.
use super::{close, number};
use pipwright_tests::ask::ask;
use serde_json::{Value, json};

fn rows<'a>(answer: &'a Value, name: &str) -> &'a Vec<Value> {
    answer[name].as_array().unwrap_or_else(|| panic!("no {name}"))
}

/// The game of an attacker against the unit from an arc, with everything that the unit has.
fn life<'a>(answer: &'a Value, arc: &str) -> &'a Value {
    let found = rows(answer, "survival").iter().find(|row| row["without"].is_null() && row["arc"] == *arc);
    found.unwrap_or_else(|| panic!("nothing from {arc}: {}", answer["survival"]))
}

fn standing(row: &Value) -> Vec<f64> {
    row["standing"].as_array().expect("chances").iter().map(number).collect()
}

#[track_caller]
fn all_close(ours: &[f64], theirs: &[f64]) {
    assert_eq!(ours.len(), theirs.len());
    ours.iter().zip(theirs).for_each(|(ours, theirs)| close(*ours, *theirs));
}

/// A Heron Carriage under a Dredge Walker in contact, by the rules of the Canal Guild read aloud: chances by what is
/// missing of its frame of four; the last is wrecked.
struct Heron {
    chances: [f64; 5],
}

impl Heron {
    fn new() -> Self {
        Self { chances: [1.0, 0.0, 0.0, 0.0, 0.0] }
    }

    /// One attack that pierces with some chance: a point of frame, and two dice on the breach chart, where a 7 is a hole
    /// below the line and an 11 or a 12 a cracked boiler: a point more.
    fn attacked(&mut self, pierces: f64) {
        let mut after = [0.0; 5];
        after[4] = self.chances[4];
        for missing in 0..4 {
            let chance = self.chances[missing];
            after[missing] += chance * (1.0 - pierces);
            for (one, other) in (1..=6).flat_map(|one| (1..=6).map(move |other| (one, other))) {
                let more = usize::from(matches!(one + other, 7 | 11 | 12));
                after[(missing + 1 + more).min(4)] += chance * pierces / 36.0;
            }
        }
        self.chances = after;
    }

    /// A turn of the Dredge Walker, then the roll of the bilge gang, which mends on a 6.
    fn turn(&mut self, hull: i32) {
        let reaches = |add: i32| (1..=6).filter(|die| die + add >= hull).count() as f64 / 6.0;
        // Three blows of the claw: Brawl 3+, a ram in contact 16 and Drive 2.
        (0..3).for_each(|_| self.attacked(4.0 / 6.0 * reaches(18)));
        // A die of shots from the steam pipe: Drill 5+, a ball in contact 12 and Drive 2. It scalds its own crew, which is
        // nothing to anybody here.
        let mut sum = [0.0; 5];
        for _ in 1..=6 {
            self.attacked(2.0 / 6.0 * reaches(14));
            for (sum, chance) in sum.iter_mut().zip(self.chances) {
                *sum += chance / 6.0;
            }
        }
        self.chances = sum;
        for missing in 1..4 {
            let mended = self.chances[missing] / 6.0;
            self.chances[missing] -= mended;
            self.chances[missing - 1] += mended;
        }
    }

    fn standing(&self) -> f64 {
        self.chances[..4].iter().sum()
    }

    fn missing(&self) -> f64 {
        self.chances.iter().zip([0.0, 1.0, 2.0, 3.0, 4.0]).map(|(chance, missing)| missing * chance).sum()
    }
}

/// An attacker whose weapon backfires goes on attacking: 2.89, 1.23 and 0.70 turns from front, side and rear, and still
/// standing after six from the front in 11%.
#[test]
fn the_heron_under_the_dredge_walker() {
    let answer = ask("appraisal", json!({"unit": "heron-carriage", "against": [{"unit": "dredge-walker"}]}));
    for (arc, hull, turns) in [("front", 22, "2.89"), ("side", 20, "1.23"), ("rear", 18, "0.70")] {
        let mut heron = Heron::new();
        let expected: Vec<f64> = (0..6)
            .map(|_| {
                heron.turn(hull);
                heron.standing()
            })
            .collect();
        let row = life(&answer, arc);
        all_close(&standing(row), &expected);
        close(number(&row["stood"]), expected.iter().sum());
        assert_eq!(format!("{:.2}", number(&row["stood"])), turns);
    }
    assert_eq!(format!("{:.2}", standing(life(&answer, "front"))[5]), "0.11");
}

/// In a league too, with the marks that stay and the blows that are more than enough: what is gone at the end, for each
/// turn in which it still stood.
#[test]
fn survival_in_a_league_goes_turn_by_turn() {
    let answer = ask("worth", json!({"units": [{"unit": "heron-carriage"}], "board": [{"unit": "dredge-walker"}]}));
    let mut heron = Heron::new();
    let mut attacked = 0.0;
    for _ in 0..6 {
        attacked += heron.standing();
        heron.turn(22);
    }
    close(number(&answer["rows"][0]["survival"]), attacked / (heron.missing() / 4.0));
}

/// Units of a made-up book for the Canal Guild: a gun and what is shot at.
fn book(gun: &str, of_gunner: &str, target: &str) -> String {
    format!(
        "format = 1\npack = \"canal-guild\"\n\n[[weapon]]\nid = \"test-gun\"\n{gun}\n\n\
         [[unit]]\nid = \"test-gunner\"\nlabel = \"Test Gunner\"\nkind = \"foot\"\nrole = \"foot-bands\"\npoints = 50\nmodels = 1\n\
         stats = {{ drill = \"2+\", nerve = 7, pace = 0, bulk = 3{of_gunner} }}\nweapons = [\"test-gun\"]\n\n\
         [[unit]]\nid = \"test-mark\"\nlabel = \"Test Mark\"\nkind = \"foot\"\nrole = \"foot-bands\"\n{target}\nweapons = [\"test-gun\"]\n"
    )
}

/// A template that covers whoever stands is one attack for each of them: every one of four lives through a turn with
/// 1 in 2 (Force 3 on Bulk 4, no coat: stays up on 4+), and nobody with Nerve 20 runs.
#[test]
fn templates_thin_as_models_fall() {
    let gun = "stats = { force = 3, bore = \"pin\" }\nreach = 48\ntemplate = { diameter_mm = 900 }";
    let mark = "points = 40\nmodels = 4\nstats = { drill = \"5+\", nerve = 20, pace = 0, bulk = 4 }";
    let book = book(gun, "", mark);
    let of_gunner =
        ask("appraisal", json!({"book": book, "unit": "test-gunner", "against": [{"unit": "test-mark"}], "turns": 6}));
    let lives = 0.5_f64;
    close(number(&of_gunner["damage"][0]["left"]), 4.0 * lives.powi(6));
    let of_mark =
        ask("appraisal", json!({"book": book, "unit": "test-mark", "against": [{"unit": "test-gunner"}], "turns": 6}));
    let expected: Vec<f64> = (1..=6).map(|turn| 1.0 - (1.0 - lives.powi(turn)).powi(4)).collect();
    all_close(&standing(&of_mark["survival"][0]), &expected);
}

/// Three shots, each fells one of five with 5/6 (Drill 2+) times 5/6 (Force 7 on Bulk 4, no coat: stays up on 6+). Three at once are
/// what a rout counts: two dice and three against Nerve 7, so 5 or more of 36 throws 30.
#[test]
fn who_runs_is_gone() {
    let gun = "stats = { shots = 3, force = 7, bore = \"pin\" }\nreach = 48";
    let mark = "points = 40\nmodels = 5\nstats = { drill = \"5+\", nerve = 7, pace = 0, bulk = 4 }";
    let book = book(gun, "", mark);
    let answer =
        ask("appraisal", json!({"book": book, "unit": "test-gunner", "against": [{"unit": "test-mark"}], "turns": 1}));
    let fells = 25.0_f64 / 36.0;
    let runs = fells.powi(3) * 30.0 / 36.0;
    close(number(&answer["damage"][0]["destroyed"]), runs);
    close(number(&answer["damage"][0]["left"]), 5.0 - 3.0 * fells - 2.0 * runs);
    let league =
        json!({"book": book, "units": [{"unit": "test-mark"}], "board": [{"unit": "test-gunner"}], "turns": 1});
    close(number(&ask("worth", league)["rows"][0]["survival"]), 5.0 / (3.0 * fells + 2.0 * runs));
}

/// One of one falls to three such shots with 1 - (11/36)^3 in each turn: it survives one turn by that, however much of
/// the three was more than enough; and takes nothing twice.
#[test]
fn what_is_more_than_enough_is_lost() {
    let gun = "stats = { shots = 3, force = 7, bore = \"pin\" }\nreach = 48";
    let mark = "points = 40\nmodels = 1\nstats = { drill = \"5+\", nerve = 7, pace = 0, bulk = 4 }";
    let league = |turns: u32| {
        let units = json!([{"unit": "test-mark"}]);
        ask(
            "worth",
            json!({"book": book(gun, "", mark), "units": units, "board": [{"unit": "test-gunner"}], "turns": turns}),
        )
    };
    for turns in [1, 6] {
        close(number(&league(turns)["rows"][0]["survival"]), 1.0 / (1.0 - (11.0_f64 / 36.0).powi(3)));
    }
}

/// The damage of a turn is counted where there is always more to hit: of three shots each fells one.
#[test]
fn damage_in_a_league_never_runs_out_of_targets() {
    let gun = "stats = { shots = 3, force = 7, bore = \"pin\" }\nreach = 48";
    let mark = "points = 40\nmodels = 1\nstats = { drill = \"5+\", nerve = 7, pace = 0, bulk = 3 }";
    let units = json!([{"unit": "test-gunner"}]);
    let answer = ask("worth", json!({"book": book(gun, "", mark), "units": units, "board": [{"unit": "test-mark"}]}));
    close(number(&answer["rows"][0]["damage_rate"]), 40.0 * 3.0 * 25.0 / 36.0);
}

/// A Coot Punt on two Wallow Oxen of five breaths, of whom none falls in a turn. At grips the log beak comes to 2d6+2
/// against 10 (15 of 36), no ward stands against Gnaw 4, and of three points Salt 6+ leaves 2.5: 1.04 points in all. At a
/// stone's throw three slings come to 2d6+1 against 7 (26 of 36), a ward of 4+ and Salt: 0.90.
#[test]
fn the_best_range_counts_points_of_health() {
    let answer = ask("appraisal", json!({"pack": "sedge-moot", "unit": "coot-punt"}));
    let game = rows(&answer, "damage").iter().find(|row| row["target"] == "Wallow Oxen").expect("oxen");
    assert_eq!(game["range"], "grips");
}

/// Six Door Bearers under a Stake Crew. Shot at from the front they fall at a stone's throw: the stake (26 of 36, no ward
/// against Gnaw 4) fells 0.72 in a turn and three spades at grips only 3 x 15/36 x 1/3. From the flank there is no door:
/// the spades fell 3 x 15/36 x 2/3, which is more than the stake does, so they are attacked at grips: 4.68 turns of five.
#[test]
fn each_arc_has_the_range_that_is_best_for_it() {
    let answer =
        ask("appraisal", json!({"pack": "sedge-moot", "unit": "door-bearers", "against": [{"unit": "stake-crew"}]}));
    let (front, flank) = (life(&answer, "front"), life(&answer, "flank"));
    assert_eq!((&front["range"], &flank["range"]), (&json!("a stone's throw"), &json!("grips")));
    // Fewer than six fall of so many attacks.
    let fewer_than_six = |attacks: u32, fells: f64| -> f64 {
        let ways = |k: u32| (0..k).map(|i| f64::from(attacks - i) / f64::from(i + 1)).product::<f64>();
        let exactly = |k: u32| ways(k) * fells.powi(k as i32) * (1.0 - fells).powi((attacks - k) as i32);
        (0..=attacks.min(5)).map(exactly).sum()
    };
    let expected: Vec<f64> = (1..=5).map(|turn| fewer_than_six(3 * turn, 15.0 / 36.0 * 2.0 / 3.0)).collect();
    all_close(&standing(flank), &expected);
    assert_eq!(format!("{:.2}", number(&flank["stood"])), "4.68");
}

/// The Great rack comes in place of the rocket rack, and whoever carried that falls last.
#[test]
fn what_comes_in_place_of_the_only_rack_is_served_to_the_last() {
    let great = json!({"unit": "rack-crew", "options": ["great rack"]});
    let answer = ask("duel", json!({"pack": "floe-run", "a": great, "b": {"unit": "deck-hands"}}));
    let volleys = answer["duel"]["a"]["attack"]["volleys"].as_array().expect("volleys");
    let rack = volleys.iter().find(|volley| volley["label"] == "great rack").expect("a great rack");
    assert_eq!(rack["served"], json!([1]));
}
