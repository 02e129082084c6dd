//! The league: made-up unit books whose right prices are known.
use super::close;
use pipwright_shared::report::{csv::csv, markdown::markdown, page::html};
use pipwright_shared::wire::worth::{Verdict, WorthAnswer, WorthRow, sheet};
use pipwright_tests::ask::{ask, refused};
use serde_json::{Value, json};
use std::fmt::Write as _;

/// A made-up unit of soldiers.
#[derive(Clone, Copy)]
struct Made {
    models: u32,
    shots: u32,
    drill: u32,
    vigour: u32,
    grit: u32,
}

impl Made {
    fn random(rng: &mut fastrand::Rng) -> Self {
        let (models, shots, drill) = (rng.u32(2..=6), rng.u32(1..=4), rng.u32(3..=5));
        Self { models, shots, drill, vigour: rng.u32(1..=3), grit: rng.u32(4..=7) }
    }

    /// The price that somebody gives it who plays it out: hits in a turn to the power of 0.6, times the turns that it
    /// lasts under some attackers to the power of 0.45.
    fn price(self, attackers: &[Self], turns: u32) -> f64 {
        60.0 * self.hits().powf(0.6) * self.lasts(attackers, turns).powf(0.45)
    }

    fn hits(self) -> f64 {
        f64::from(self.models * self.shots * (7 - self.drill)) / 6.0
    }

    /// One by what it loses of itself in a turn in which it is attacked, on average over the attackers: point by point,
    /// each shot takes one that finds its mark (Drill), is not stayed up against (Force 4 on Bulk 3: 5+) and gets past Grit.
    /// With Nerve 20 nobody runs.
    fn lasts(self, attackers: &[Self], turns: u32) -> f64 {
        let health = (self.models * self.vigour) as usize;
        let loses = attackers.iter().map(|by| {
            let takes = f64::from((7 - by.drill) * 4 * (self.grit - 1)) / 216.0;
            let mut left = vec![0.0; health + 1];
            left[health] = 1.0;
            let mut attacked = 0.0;
            for _ in 0..turns {
                attacked += 1.0 - left[0];
                for _ in 0..by.models * by.shots {
                    for points in 1..=health {
                        let taken = left[points] * takes;
                        left[points] -= taken;
                        left[points - 1] += taken;
                    }
                }
            }
            let remains: f64 = left.iter().enumerate().map(|(points, chance)| points as f64 * chance).sum();
            (1.0 - remains / health as f64) / attacked
        });
        attackers.len() as f64 / loses.sum::<f64>()
    }

    fn write(self, book: &mut String, id: &str, points: u32) {
        let Self { models, shots, drill, vigour, grit } = self;
        let grit = if grit > 6 { "never".to_owned() } else { format!("{grit}+") };
        write!(
            book,
            "\n[[weapon]]\nid = \"gun-of-{id}\"\nstats = {{ shots = {shots}, force = 4, bore = \"pin\" }}\nreach = 24\n\
             \n[[unit]]\nid = \"{id}\"\nlabel = \"Made {id}\"\nkind = \"foot\"\nrole = \"foot-bands\"\npoints = {points}\n\
             models = {{ least = {models}, most = {models} }}\n\
             stats = {{ drill = \"{drill}+\", nerve = 20, pace = 0, bulk = 3, vigour = {vigour}, grit = \"{grit}\" }}\n\
             weapons = [\"gun-of-{id}\"]\n"
        )
        .expect("written");
    }
}

fn league(book: &str, units: usize, more: Value) -> WorthAnswer {
    let names: Vec<Value> = (0..units).map(|at| json!({"unit": format!("made-{at}")})).collect();
    let mut request = json!({"pack": "canal-guild", "book": book, "units": names});
    more.as_object().expect("fields").iter().for_each(|(field, value)| request[field] = value.clone());
    serde_json::from_value(ask("worth", request)).expect("a league")
}

fn row<'a>(answer: &'a WorthAnswer, unit: &str) -> &'a WorthRow {
    answer.rows.iter().find(|row| row.unit == unit).unwrap_or_else(|| panic!("no {unit}: {:?}", answer.left_out))
}

const START: &str = "format = 1\npack = \"canal-guild\"\n";

#[test]
fn three_wrong_prices_of_thirty_are_found_and_nobody_else() {
    let all: Vec<usize> = (0..30).collect();
    let boards: [&[usize]; 3] = [&all, &[0, 7, 19], &[12, 28]];
    for seed in 0..3 {
        let mut rng = fastrand::Rng::with_seed(seed);
        let made: Vec<Made> = (0..30).map(|_| Made::random(&mut rng)).collect();
        for board in boards {
            let attackers: Vec<Made> = board.iter().map(|at| made[*at]).collect();
            for turns in [2, 5, 8] {
                let mut book = String::from(START);
                for (at, one) in made.iter().enumerate() {
                    let wrong = match at {
                        4 | 11 => 1.15,
                        23 => 0.85,
                        _ => 1.0,
                    };
                    one.write(&mut book, &format!("made-{at}"), (one.price(&attackers, turns) * wrong).round() as u32);
                }
                let mut more = json!({"turns": turns});
                if board.len() < made.len() {
                    more["board"] = board.iter().map(|at| json!({"unit": format!("made-{at}")})).collect();
                }
                let answer = league(&book, 30, more);
                for row in &answer.rows {
                    let at: usize = row.unit["made-".len()..].parse().expect("a number");
                    close(1.0 / row.survival, 1.0 / made[at].lasts(&attackers, turns));
                }
                let marked: Vec<(&str, Verdict)> = answer
                    .rows
                    .iter()
                    .filter(|row| row.verdict != Verdict::Fair)
                    .map(|row| (row.unit.as_str(), row.verdict))
                    .collect();
                let mut sorted = marked.clone();
                sorted.sort_by_key(|(unit, _)| (*unit).to_owned());
                let expected = [("made-11", Verdict::Dear), ("made-23", Verdict::Cheap), ("made-4", Verdict::Dear)];
                assert_eq!(sorted, expected, "seed {seed}, {board:?}, {turns} turns: {:#?}", answer.rows);
            }
        }
    }
}

#[test]
fn a_copy_at_a_wrong_price_is_found_with_the_size_of_the_mistake() {
    let mut rng = fastrand::Rng::with_seed(7);
    let made: Vec<Made> = (0..12).map(|_| Made::random(&mut rng)).collect();
    let everybody: Vec<Made> = made.iter().chain([&made[3]]).copied().collect();
    for wrong in [-12_i64, 0, 15] {
        let mut book = String::from(START);
        let price = |made: &Made| made.price(&everybody, 6).round() as i64;
        for (at, made) in made.iter().enumerate() {
            made.write(&mut book, &format!("made-{at}"), u32::try_from(price(made)).expect("a price"));
        }
        made[3].write(&mut book, "made-12", u32::try_from(price(&made[3]) + wrong).expect("a price"));
        let answer = league(&book, 13, json!({}));
        let (first, copy) = (row(&answer, "made-3"), row(&answer, "made-12"));
        let measures = |row: &WorthRow| (row.damage_rate, row.survival, row.fair_price);
        assert_eq!(measures(first), measures(copy));
        assert!((copy.off - wrong as f64).abs() <= 2.0, "{wrong}: {copy:?}");
        if wrong == 0 {
            assert_eq!((first.rank, first.worth), (copy.rank, copy.worth));
        }
    }
}

#[test]
fn the_book_of_every_pack_makes_a_league() {
    for pack in pipwright_shared::rules::PackCatalog::demo().packs() {
        let answer: WorthAnswer =
            serde_json::from_value(ask("worth", json!({"pack": pack.named.id}))).expect("a league");
        assert_eq!(answer.rows.len(), pack.units.len());
        let compared: Vec<&WorthRow> = answer.rows.iter().filter(|row| row.compared.is_none()).collect();
        assert_eq!(compared.len() + answer.left_out.len(), pack.units.len());
        assert!(compared.windows(2).all(|pair| pair[0].worth >= pair[1].worth && pair[0].rank <= pair[1].rank));
        let mut places: Vec<usize> = answer.rows.iter().map(|row| row.index).collect();
        places.sort_unstable();
        assert!(places.into_iter().eq(0..pack.units.len()), "every unit has its row");
        for row in &answer.rows {
            let value = row.damage_rate * row.survival.min(f64::from(answer.turns));
            assert!((row.value - value).abs() <= 1e-9 * value.max(1.0), "{row:?}");
        }
        for row in compared {
            assert!((row.off - (row.points as f64 - row.fair_price)).abs() < 1e-9 && row.fair_price > 0.0, "{row:?}");
        }
        let sheet = sheet(&answer);
        for text in [html(&sheet), markdown(&sheet), csv(&sheet)] {
            assert!(!text.contains("NaN") && !text.contains("inf,"), "{text}");
        }
    }
}

#[test]
fn what_is_wrong_is_said_where() {
    let mistakes =
        refused("worth", json!({"units": [{"unit": "heron-carriage"}, {"unit": "nobody at all"}], "board": []}));
    let pointers: Vec<&str> = mistakes.iter().map(|mistake| mistake.pointer.as_str()).collect();
    assert!(pointers.contains(&"/units/1/unit") && pointers.contains(&"/board"), "{pointers:?}");
}

/// A book with nobody to compare: nothing is divided by nothing.
#[test]
fn units_that_cannot_be_compared_are_left_out_with_a_reason() {
    let book = format!(
        "{START}\n[[unit]]\nid = \"made-0\"\nlabel = \"Bare\"\nkind = \"foot\"\nrole = \"foot-bands\"\npoints = 40\n\
         models = {{ least = 1, most = 1 }}\nstats = {{ drill = \"4+\", nerve = 7, pace = 0, bulk = 3 }}\n"
    );
    let answer = league(&book, 1, json!({}));
    assert_eq!((answer.rows[0].compared, answer.rows[0].value), (Some(false), 0.0));
    assert_eq!(answer.left_out[0].unit, "made-0");
    assert!(html(&sheet(&answer)).contains("Bare is left out: "));
}
