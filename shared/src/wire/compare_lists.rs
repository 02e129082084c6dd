//! `compare-lists`: two lists against each other.
use super::bytes;
use super::list_points::LineForm;
use super::lookup;
use super::mistake::{Mistake, Mistakes};
use super::question::{PreparedQuery, Question};
use crate::analysis::evaluator::{Evaluator, Pair};
use crate::analysis::known::Known;
use crate::analysis::lists::{self, Row};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::{self, Work};
use crate::points::{Line, line_cost};
use crate::rules::PackCatalog;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

mod answer;

/// The most rows of a list.
const MOST_ROWS: usize = 60;

/// Two lists of one pack.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"pack": "canal-guild", "a": {"text": "2 Ram Barges\nHeron Carriage"}, "b": {"text": "10 Quay Rifles\nCulverin Crew"}}))]
pub struct CompareListsRequest {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// One list.
    pub a: ListForm,
    /// The other.
    pub b: ListForm,
}

/// A list: its lines, or the whole of it as pasted.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ListForm {
    /// What it is called in the answer.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_length = 64)]
    pub label: Option<String>,
    /// Its lines: as people write them, or taken apart.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 60)]
    pub lines: Option<Vec<LineForm>>,
    /// The whole list as pasted, in place of `lines`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// How two lists do against each other.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct CompareListsAnswer {
    /// The first list against the second.
    pub a: ListShowing,
    /// The second against the first.
    pub b: ListShowing,
    /// What comes of it in a sentence.
    pub sentence: String,
    /// How it was measured.
    pub method: String,
    /// Turns of a game.
    pub turns: u32,
    /// The pack that was used.
    pub pack: String,
    /// Its content hash.
    pub hash: String,
}

/// How a list does against the other one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ListShowing {
    /// What it is called.
    pub label: String,
    /// What it costs.
    pub points: u64,
    /// Points that it takes in a game where there is always more to hit: they may be more than the other list costs.
    pub takes: f64,
    /// These as a share of what the other list costs.
    pub share: f64,
    /// Its rows, equal units in one.
    pub rows: Vec<ListRow>,
    /// Units of the other list that all of this one, attacking nothing else for the whole game, would not destroy on
    /// average.
    pub no_answer: Vec<NoAnswer>,
}

/// Equal units of a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ListRow {
    /// As a line of a list.
    #[schema(example = "2x Ram Barge")]
    pub name: String,
    /// What all of them cost.
    pub points: u64,
    /// Points that all of them take in a game.
    pub takes: f64,
    /// Turns that one of them survives, on average; at most those of a game.
    pub survives: f64,
    /// Of each row of the other list, the points that they would take from such units alone in a game.
    pub from: Vec<f64>,
}

/// Something that a list has no answer to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct NoAnswer {
    /// The unit, as a line of a list.
    pub name: String,
    /// How much of one of them the whole list removes in a turn, on average; 0 where nobody can hurt it.
    pub removed: f64,
}

/// Two lists with all names looked up.
#[derive(Clone, Debug)]
pub struct PreparedCompareLists {
    pack: Arc<Pack>,
    lists: [List; 2],
    price: Work,
}

#[derive(Clone, Debug)]
struct List {
    label: String,
    rows: Vec<Row>,
}

impl Question for CompareListsRequest {
    const PATH: &'static str = "compare-lists";
    const BUDGET_FACTOR: u64 = 40;
    type Prepared = PreparedCompareLists;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedCompareLists, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        let prepared = pack.map(|pack| {
            let a = list(&pack, self.a, "/a", "the first list", &mut mistakes);
            let b = list(&pack, self.b, "/b", "the second list", &mut mistakes);
            if a.label == b.label {
                mistakes.push(Mistake::value("/b/label", "the lists need different labels"));
            }
            PreparedCompareLists { pack, lists: [a, b], price: Work::NONE }
        });
        let prepared = mistakes.or(prepared)?;
        let price = prepared.worked_out_price();
        Ok(PreparedCompareLists { price, ..prepared })
    }
}

fn list(pack: &Pack, form: ListForm, at: &str, otherwise: &str, mistakes: &mut Mistakes) -> List {
    if form.label.as_ref().is_some_and(|label| label.chars().count() > 64) {
        mistakes.push(Mistake::value(format!("{at}/label"), "up to 64 letters"));
    }
    if form.lines.is_some() && form.text.is_some() {
        mistakes.push(Mistake::value(format!("{at}/text"), "give either lines or text, not both"));
    }
    let before = mistakes.0.len();
    let lines = super::build::read(pack, form.lines, form.text, at, mistakes);
    let mut rows: Vec<Row> = Vec::new();
    for line in &lines {
        let row = row(pack, line);
        match rows.iter_mut().find(|known| known.unit == row.unit) {
            Some(known) => known.count = known.count.saturating_add(row.count),
            None => rows.push(row),
        }
    }
    if rows.is_empty() && mistakes.0.len() == before {
        mistakes.push(Mistake::missing(at, "name at least one unit of this list"));
    }
    if rows.len() > MOST_ROWS {
        let text = format!("up to {MOST_ROWS} different units with their options, not {}", rows.len());
        mistakes.push(Mistake::value(at, text));
        rows.clear();
    }
    let label = form.label.filter(|label| !label.trim().is_empty());
    List { label: label.unwrap_or_else(|| otherwise.to_owned()), rows }
}

fn row(pack: &Pack, line: &Line) -> Row {
    let unit =
        UnitInstance { unit: line.unit, models: line.models, options: line.options.clone(), ..UnitInstance::default() };
    Row { unit, count: line.count, points: line_cost(pack, &Line { count: 1, ..line.clone() }).total }
}

impl PreparedCompareLists {
    fn evaluator<'a>(&'a self, token: &'a CancellationToken, known: &'a Known) -> Evaluator<'a> {
        Evaluator { pack: &self.pack, turns: self.pack.board.turns.clamp(1, 20), token, known }
    }

    /// From some of the pairs, spread over all of them.
    fn worked_out_price(&self) -> Work {
        const SEEN: usize = 16;
        let (token, known) = (CancellationToken::default(), Known::default());
        let evaluator = self.evaluator(&token, &known);
        let [a, b] = &self.lists;
        let pairs = a.rows.len() * b.rows.len();
        let seen = pairs.min(SEEN);
        let sum = (0..seen).map(|index| {
            let at = index * pairs / seen.max(1);
            let (one, other) = (&a.rows[at / b.rows.len()].unit, &b.rows[at % b.rows.len()].unit);
            let ways = [(one, other), (other, one)].map(|(attacker, target)| Pair { attacker, target, without: &[] });
            ways.iter().map(|pair| price_of(&evaluator, pair)).sum::<Work>()
        });
        sum.sum::<Work>() / seen.max(1) as u64 * Work::from(pairs) + 1_000
    }
}

/// What the effect of one unit on another costs.
pub(super) fn price_of(evaluator: &Evaluator<'_>, pair: &Pair<'_>) -> Work {
    let usual = evaluator.situation(None, None, None);
    let Some(game) = evaluator.game(pair, &usual) else { return Work::NONE };
    let once = game.one_attack_of_b();
    let attacks = price::duel(&once, false) + price::duel(&once.with_more_of_a(3), false) + 20_000;
    attacks * Work::from(evaluator.pack.situations.ranges.len()) + price::duel(&game, false)
}

impl PreparedQuery for PreparedCompareLists {
    type Answer = CompareListsAnswer;

    fn canonical(&self) -> impl Serialize {
        let row = |row: &Row| serde_json::json!([super::matchup::side_value(&self.pack, &row.unit), row.count]);
        let list = |list: &List| serde_json::json!([list.label, list.rows.iter().map(row).collect::<Vec<_>>()]);
        serde_json::json!({ "compare_lists": {
            "pack": self.pack.hash,
            "lists": self.lists.iter().map(list).collect::<Vec<_>>(),
        }})
    }

    fn price(&self) -> Work {
        self.price
    }

    fn bytes(&self) -> Work {
        let [a, b] = &self.lists;
        let cells = Work::from(a.rows.len()) * Work::from(b.rows.len()) * 60;
        bytes::few(cells + (Work::from(a.rows.len()) + Work::from(b.rows.len())) * 3_000)
    }

    fn answer(&self, token: &CancellationToken) -> Result<CompareListsAnswer, Cancelled> {
        let known = Known::default();
        let evaluator = self.evaluator(token, &known);
        let [a, b] = &self.lists;
        let found = lists::compare(&evaluator, [&a.rows, &b.rows])?;
        Ok(answer::answer(self, &found, evaluator.turns))
    }
}
