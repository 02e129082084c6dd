//! The league: what each unit takes in a turn where there is always more to hit, and in how many turns it is worn down.
use super::differences::Differences;
use super::{compare, made};
use pipwright_shared::rules::model::Pack;
use pipwright_tests::ask::affordable;
use pipwright_tests::table::chances::mean;
use pipwright_tests::table::fight::{Encounter, Engagement, First};
use pipwright_tests::table::lay::Lay;
use pipwright_tests::table::{Company, Muster, Setting, asked, price};
use serde_json::{Value, json};

fn made(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let mut some = || (0..2).map(|_| made::side(pack, 6, false, rng)).collect::<Vec<_>>();
    let (units, board) = (some(), some());
    json!({"pack": pack.named.id, "units": units, "board": board, "turns": 4})
}

/// More figures than any of these attacks can take.
const NO_END: u32 = 60;

pub(super) struct League<'a> {
    pub(super) pack: &'a Pack,
    pub(super) turns: usize,
    pub(super) lay: Lay,
}

impl<'a> League<'a> {
    /// Side a only stands there, and is attacked before it mends itself.
    fn encounter(&self, attacker: &Muster, target: &Muster, range: usize, laid_on: Option<usize>) -> Encounter<'a> {
        let settings = vec![Setting { range, ..Setting::usual(self.pack) }; self.turns];
        Encounter {
            pack: self.pack,
            sides: [target.clone(), attacker.clone()],
            settings: [settings.clone(), settings],
            first: First::B,
            unanswered: true,
            laid_on,
        }
    }

    fn ranges(&self) -> impl Iterator<Item = usize> {
        let usual = self.pack.situations.usual.1;
        std::iter::once(usual).chain((0..self.pack.situations.ranges.len()).filter(move |range| *range != usual))
    }

    /// Points that one turn takes from no end of such targets, at the range at which it removes most.
    pub(super) fn damage(&self, attacker: &Muster, target: &Muster) -> f64 {
        let one = Company::muster(self.pack, target);
        let whole = one.frame.points(one.began());
        let no_end = Muster { again: NO_END / target.models, ..target.clone() };
        let at = |range: usize| {
            let mut encounter = self.encounter(attacker, &no_end, range, Some(one.began().standing));
            encounter.sides.reverse();
            Engagement::new(&encounter, &self.lay).taken()
        };
        self.ranges().map(at).fold(0.0, f64::max) / whole as f64 * price::of(self.pack, target) as f64
    }

    /// The share of a unit that is gone at the end of a game, for each turn in which it is attacked.
    pub(super) fn loss(&self, attacker: &Muster, target: &Muster) -> f64 {
        let first_turn = |range: usize| {
            let mut encounter = self.encounter(attacker, target, range, None);
            encounter.sides.reverse();
            Engagement::new(&encounter, &self.lay).taken()
        };
        let mut best = (0, -1.0);
        for range in self.ranges() {
            let taken = first_turn(range);
            if taken > best.1 + 1e-9 {
                best = (range, taken);
            }
        }
        let encounter = self.encounter(attacker, target, best.0, None);
        let field = Engagement::new(&encounter, &self.lay);
        let ending = field.fight();
        let (frame, began) = (&field.sides[0].frame, field.sides[0].began());
        let gone = 1.0 - mean(&ending.left, |bodies| frame.points(bodies[0])) / frame.points(began) as f64;
        let attacked = 1.0 + ending.gone[..self.turns - 1].iter().map(|gone| 1.0 - gone[0]).sum::<f64>();
        gone / attacked
    }
}

fn differences(pack: &Pack, request: &Value) -> Option<Vec<String>> {
    let read =
        |name: &str| request[name].as_array()?.iter().map(|of| asked::side(pack, of)).collect::<Option<Vec<_>>>();
    let (units, board) = (read("units")?, read("board")?);
    let answer = affordable("worth", request)?;
    let turns = usize::try_from(request["turns"].as_u64()?).ok()?;
    let league = League { pack, turns, lay: Lay::default() };
    let mut found = Differences::default();
    let rows: Vec<&Value> = answer["rows"].as_array().into_iter().flatten().collect();
    for unit in &units {
        let named = &pack.units[unit.unit].named;
        let fits = |row: &&&Value| row["unit"] == named.id && row["models"] == unit.models;
        let (mut ours, alike) =
            (rows.iter().filter(fits), units.iter().filter(|other| other.unit == unit.unit).count());
        let Some(row) = ours.next().filter(|_| alike == 1) else { continue };
        let each = |of: &dyn Fn(&Muster) -> f64| board.iter().map(of).sum::<f64>() / board.len() as f64;
        let damage = each(&|other| league.damage(unit, other));
        let loss = each(&|other| league.loss(other, unit));
        found.number(&format!("{}: points in a turn", named.id), &row["damage_rate"], damage);
        let game = f64::from(answer["turns"].as_u64().and_then(|turns| u32::try_from(turns).ok())?);
        found.number(&format!("{}: value", named.id), &row["value"], damage * (1.0 / loss).min(game));
        if row["compared"] != false {
            found.number(&format!("{}: turns", named.id), &row["survival"], 1.0 / loss);
        }
    }
    Some(found.0)
}

#[test]
fn leagues_are_as_they_are_fought() {
    compare("worth", 8, made, differences);
}
