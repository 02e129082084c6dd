//! Roles, limits of lists, and the board of reference units.
use super::super::model::limits::{Board, BoardUnit, Limits, Place, Role};
use super::super::model::situation::Situations;
use super::super::model::unit::Unit;
use super::ids::{Index, named};
use super::node::{Fields, Node};

pub(super) fn read_role(fields: &Fields<'_>) -> Role {
    let role = Role {
        named: named(fields),
        least: fields.count("least", 0..=1_000).unwrap_or(0),
        most: fields.count("most", 0..=1_000),
        most_share: fields.count("most_share", 0..=100),
        least_share: fields.count("least_share", 0..=100),
    };
    if role.most.is_some_and(|most| most < role.least) {
        fields.wrong("most is less than least");
    }
    if role.most_share.zip(role.least_share).is_some_and(|(most, least)| most < least) {
        fields.wrong("most_share is less than least_share");
    }
    fields.finish();
    role
}

pub(super) fn read_limits(node: Node<'_>) -> Limits {
    let Some(fields) = node.fields() else { return Limits::default() };
    let limits = Limits {
        points: fields.count("points", 0..=1_000_000).unwrap_or(0),
        least_units: fields.count("least_units", 0..=1_000).unwrap_or(0),
        most_units: fields.count("most_units", 1..=1_000),
        most_alike: fields.count("most_alike", 1..=1_000),
        most_share_of_unit: fields.count("most_share_of_unit", 1..=100),
    };
    fields.finish();
    limits
}

/// The arcs and the ranges of a pack: their ids and what stands where nobody says.
pub(super) struct Places<'a> {
    pub(super) arcs: &'a Index,
    pub(super) ranges: &'a Index,
    pub(super) words: &'a Situations,
}

pub(super) fn read_board(node: Node<'_>, ids: &Index, units: &[Unit], places: &Places<'_>) -> Board {
    let Some(fields) = node.fields() else { return Board::default() };
    let read = |key: &'static str| {
        fields.list(key, 24).into_iter().filter_map(|node| read_board_unit(node, ids, units)).collect()
    };
    let board = Board {
        targets: read("targets"),
        attackers: read("attackers"),
        turns: fields.count("turns", 1..=20).unwrap_or(6),
        approach: fields.list("approach", 20).into_iter().filter_map(|node| read_place(node, places)).collect(),
    };
    fields.finish();
    board
}

/// A turn of the approach: a range, and an arc where it is not the usual one.
fn read_place(node: Node<'_>, places: &Places<'_>) -> Option<Place> {
    let fields = node.fields()?;
    let range = fields.need("range").and_then(|node| places.ranges.find(node, "range"));
    let arc = fields.get("arc").map_or(Some(places.words.usual.0), |node| places.arcs.find(node, "arc"));
    fields.finish();
    Some(Place { range: range?, arc: arc? })
}

fn read_board_unit(node: Node<'_>, ids: &Index, units: &[Unit]) -> Option<BoardUnit> {
    if !node.is_table() {
        let unit = ids.find(node, "unit")?;
        return Some(BoardUnit { unit, models: units.get(unit)?.models.0, options: Vec::new() });
    }
    let fields = node.fields()?;
    let unit = fields.need("unit").and_then(|node| ids.find(node, "unit"))?;
    let book = units.get(unit)?;
    let models = fields.count("models", 1..=1_000).unwrap_or(book.models.0);
    let mut options = Vec::new();
    for node in fields.list("options", 20) {
        let Some(text) = node.text() else { continue };
        match book.options.iter().position(|option| option.named.id == text) {
            Some(at) => options.push(at),
            None => node.wrong(format!("{} has no option {text:?}", book.named.label)),
        }
    }
    fields.finish();
    Some(BoardUnit { unit, models, options })
}
