//! What a page can offer for tapping: the names of the room's pack, and questions that it answers.
use crate::client::index::PackIndex;
use crate::places::plain::line;
use pipwright_shared::wire::packs::{NameForm, PacksAnswer, UnitHead};
use serde::Serialize;

/// More units, or more rules, than this are found by typing.
const MOST: usize = 1_000;
/// More models than this are not offered one by one.
const MOST_MODELS: u32 = 60;

/// The names of a pack.
#[derive(Clone, Debug, Serialize)]
pub struct Names {
    /// The pack's id.
    pack: String,
    /// Its name.
    name: String,
    /// What it is about.
    about: String,
    /// All packs.
    packs: Vec<Choice>,
    units: Vec<Unit>,
    arcs: Vec<Choice>,
    ranges: Vec<Choice>,
    covers: Vec<Choice>,
    flags: Vec<Choice>,
    rules: Vec<Choice>,
    /// Six questions to tap, all of which this pack answers.
    examples: Vec<String>,
}

/// A name and what a request calls it.
#[derive(Clone, Debug, Serialize)]
struct Choice {
    id: String,
    name: String,
}

#[derive(Clone, Debug, Serialize)]
struct Unit {
    id: String,
    name: String,
    role: String,
    points: u32,
    least: u32,
    most: u32,
    armoured: bool,
    /// Whether it has anything to attack with.
    armed: bool,
}

impl Names {
    /// The names of a pack, made harmless.
    pub fn of(index: &PackIndex, packs: Option<&PacksAnswer>) -> Self {
        let choice = |id: &str, name: &str| Choice { id: id.to_owned(), name: line(name) };
        let named = |all: &[NameForm]| all.iter().take(MOST).map(|one| choice(&one.id, &one.name)).collect::<Vec<_>>();
        let unit = |unit: &UnitHead| Unit {
            id: unit.id.clone(),
            name: line(&unit.name),
            role: line(&unit.role),
            points: unit.points,
            least: unit.least.max(1),
            most: unit.most.max(unit.least).clamp(1, MOST_MODELS),
            armoured: unit.armoured,
            armed: !unit.weapons.is_empty(),
        };
        Self {
            pack: index.id.clone(),
            name: line(&index.name),
            about: line(&index.about),
            packs: packs
                .map_or_else(Vec::new, |packs| packs.packs.iter().map(|pack| choice(&pack.id, &pack.name)).collect()),
            units: index.units.iter().take(MOST).map(unit).collect(),
            arcs: named(&index.arcs),
            ranges: named(&index.ranges),
            covers: named(&index.cover),
            flags: named(&index.situation),
            rules: named(&index.rules),
            examples: examples(index),
        }
    }
}

/// Six questions: a matchup, a number that is needed, a duel, a review, a rule, and plain dice.
fn examples(index: &PackIndex) -> Vec<String> {
    let armed: Vec<&UnitHead> = index.units.iter().filter(|unit| !unit.weapons.is_empty()).collect();
    // The dearest is most likely what people ask about; those who attack it come from the middle of the book.
    let target = index.units.iter().max_by_key(|unit| unit.points);
    let attacker = armed.iter().rev().find(|unit| target.is_none_or(|target| target.id != unit.id));
    let mut said = Vec::new();
    if let (Some(attacker), Some(target)) = (attacker, target) {
        let several = index.counting(attacker).digits(attacker.least.max(2));
        let arc = index.arcs.get(1).map_or_else(String::new, |arc| format!(" from the {}", arc.name.to_lowercase()));
        said.push(format!("{several} v {}{}", target.name, if target.armoured { arc } else { String::new() }));
        said.push(format!("how many {} to kill {}", attacker.plural, target.name));
        said.push(format!("{} duel {}", attacker.name, target.name));
        said.push(format!("/appraise {}", target.name));
    }
    said.extend(index.rules.first().map(|rule| format!("/rule {}", rule.name)));
    said.push(format!("/check 2d{} {}+", index.die(), index.die() + 1));
    said.iter().map(|text| line(text)).collect()
}
