//! `side-by-side`: two to four units or loadouts, measured against the same board, in one picture and one table.
//!
//! Every number is the one that the unit's appraisal has.
use super::lookup;
use super::matchup::SideForm;
use super::mistake::{Mistake, Mistakes};
use super::packs::{self, StatForm};
use super::question::{PreparedQuery, Question};
use crate::analysis::appraisal::{Measured, Subject, measure, work_to_measure};
use crate::analysis::evaluator::Evaluator;
use crate::analysis::known::Known;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use crate::rules::matchup::UnitInstance;
use crate::rules::model::Pack;
use crate::rules::standing;
use crate::wire::appraisal::Worth;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;
use utoipa::openapi::schema::{Array, ArrayBuilder, KnownFormat, ObjectBuilder, SchemaFormat, SchemaType, Type};

mod sheet;
pub use sheet::sheet;

/// Units to lay side by side.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"pack": "canal-guild", "units": [{"unit": "Heron Carriage"}, {"unit": "Bittern Carriage"}]}))]
pub struct SideBySideRequest {
    /// The pack's name, or the text of a pack file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// Two to four units, or one unit with different options.
    #[schema(min_items = 2, max_items = 4)]
    pub units: Vec<SideForm>,
    /// Units to hold them against, as targets and as attackers, in place of the pack's own board.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(min_items = 1, max_items = 12)]
    pub against: Option<Vec<SideForm>>,
    /// Turns of a game; the pack's own number where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 20)]
    pub turns: Option<u32>,
}

/// Units side by side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SideBySideAnswer {
    /// The pack that was used.
    pub pack: String,
    /// Its content hash.
    pub hash: String,
    /// Turns of a game.
    pub turns: u32,
    /// The units, as they were asked about.
    pub units: Vec<Beside>,
    /// The targets of the board, as people count them.
    pub targets: Vec<String>,
    /// The attackers of the board.
    pub attackers: Vec<String>,
    /// What it comes to, in a sentence.
    pub verdict: String,
}

/// Numbers in a list, each of which may be nothing: the derived schema of a list knows none.
fn numbers_or_nothing(description: &str) -> Array {
    let number = ObjectBuilder::new()
        .schema_type(SchemaType::from_iter([Type::Number, Type::Null]))
        .description(Some("The number; `null` where no weapon can be used."))
        .format(Some(SchemaFormat::KnownFormat(KnownFormat::Double)));
    ArrayBuilder::new().items(number).description(Some(description)).build()
}

fn damage_schema() -> Array {
    numbers_or_nothing("Points destroyed in a game, for each target; nothing where it can use no weapon on it.")
}

fn survival_schema() -> Array {
    numbers_or_nothing("Turns survived under each attacker as it comes on; nothing where that can use no weapon.")
}

/// One of them.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Beside {
    /// Its id.
    pub unit: String,
    /// It as people count it, with its options: `Heron Carriage + Stern mortar`.
    pub label: String,
    /// What it costs.
    pub points: u64,
    /// Structure, or the health of all its models.
    pub capacity: u32,
    /// Whether it is armour: its capacity is structure.
    pub armoured: bool,
    /// Its stats, options worked in.
    pub profile: Vec<StatForm>,
    /// Points destroyed in a game, for each target; nothing where it can use no weapon on it.
    #[schema(schema_with = damage_schema)]
    pub damage: Vec<Option<f64>>,
    /// Turns survived under each attacker as it comes on; nothing where that can use no weapon.
    #[schema(schema_with = survival_schema)]
    pub survival: Vec<Option<f64>>,
    /// What it comes to.
    pub worth: Worth,
}

/// Units and their board, all names looked up.
#[derive(Clone, Debug)]
pub struct PreparedSideBySide {
    pack: Arc<Pack>,
    units: Vec<UnitInstance>,
    board: Subject,
    turns: u32,
    price: Work,
}

impl Question for SideBySideRequest {
    const PATH: &'static str = "side-by-side";
    const BUDGET_FACTOR: u64 = 8;
    type Prepared = PreparedSideBySide;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedSideBySide, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        if self.turns.is_some_and(|turns| !(1..=20).contains(&turns)) {
            mistakes.push(Mistake::value("/turns", "1 to 20 turns"));
        }
        if !(2..=4).contains(&self.units.len()) {
            mistakes.push(Mistake::value("/units", format!("2 to 4 units side by side, not {}", self.units.len())));
        }
        if self.against.as_ref().is_some_and(|against| !(1..=12).contains(&against.len())) {
            mistakes.push(Mistake::value("/against", "1 to 12 units to hold them against"));
        }
        let resolved = pack.and_then(|pack| {
            let mut all = |sides: &[SideForm], at: &str| -> Vec<UnitInstance> {
                let named = sides.iter().take(12).enumerate();
                named
                    .filter_map(|(index, side)| {
                        mistakes.keep_all(super::matchup::unit_instance(side, &pack, &format!("{at}/{index}")))
                    })
                    .collect()
            };
            let units = all(&self.units, "/units");
            let (targets, attackers) = match &self.against {
                Some(against) => {
                    let all = all(against, "/against");
                    (all.clone(), all)
                }
                None => super::appraisal::usual_board(&pack),
            };
            let turns = self.turns.unwrap_or(pack.board.turns).clamp(1, 20);
            let first = units.first()?.clone();
            let board = Subject { unit: first, targets, attackers };
            Some(PreparedSideBySide { pack, units, board, turns, price: Work::NONE })
        });
        let prepared = mistakes.or(resolved)?;
        let (token, known) = (CancellationToken::default(), Known::default());
        let evaluator = Evaluator { pack: &prepared.pack, turns: prepared.turns, token: &token, known: &known };
        let each = prepared.subjects().map(|subject| work_to_measure(&evaluator, &subject));
        let price = each.fold(Work::new(10_000), |sum, one| sum + one);
        Ok(PreparedSideBySide { price, ..prepared })
    }
}

impl PreparedSideBySide {
    fn subjects(&self) -> impl Iterator<Item = Subject> {
        self.units.iter().map(|unit| Subject { unit: unit.clone(), ..self.board.clone() })
    }

    fn counted(&self, unit: &UnitInstance) -> String {
        self.pack.units[unit.unit].counting(&self.pack).named(unit.models)
    }

    fn beside(&self, unit: &UnitInstance, measured: Measured) -> Beside {
        let book = &self.pack.units[unit.unit];
        let options = unit.options.iter().map(|(option, times)| match times {
            1 => format!(" + {}", book.options[*option].named.label),
            times => format!(" + {times} {}", book.options[*option].named.label),
        });
        let near = unit.near.iter().map(|near| format!(" near {}", near.label(&self.pack)));
        let (profile, _) = standing::profile(&self.pack, unit);
        Beside {
            unit: book.named.id.clone(),
            label: format!("{}{}", self.counted(unit), options.chain(near).collect::<String>()),
            points: measured.points,
            capacity: standing::capacity(&self.pack, unit),
            armoured: self.pack.kinds[book.kind].body.is_armoured(),
            profile: packs::stats(&self.pack, &self.pack.stats.unit, &profile),
            damage: measured.damage,
            survival: measured.turns,
            worth: super::appraisal::worth_form(&measured.worth),
        }
    }
}

impl PreparedQuery for PreparedSideBySide {
    type Answer = SideBySideAnswer;

    fn canonical(&self) -> impl Serialize {
        let side = |side| super::matchup::side_value(&self.pack, side);
        serde_json::json!({ "side-by-side": {
            "pack": self.pack.hash,
            "units": self.units.iter().map(side).collect::<Vec<_>>(),
            "targets": self.board.targets.iter().map(side).collect::<Vec<_>>(),
            "attackers": self.board.attackers.iter().map(side).collect::<Vec<_>>(),
            "turns": self.turns,
        }})
    }

    fn price(&self) -> Work {
        self.price
    }

    fn answer(&self, token: &CancellationToken) -> Result<SideBySideAnswer, Cancelled> {
        let known = Known::default();
        let evaluator = Evaluator { pack: &self.pack, turns: self.turns, token, known: &known };
        let mut units = Vec::with_capacity(self.units.len());
        for subject in self.subjects() {
            units.push(self.beside(&subject.unit, measure(&evaluator, &subject)?));
        }
        let counted = |all: &[UnitInstance]| all.iter().map(|unit| self.counted(unit)).collect();
        Ok(SideBySideAnswer {
            pack: self.pack.named.id.clone(),
            hash: self.pack.hash.clone(),
            turns: self.turns,
            verdict: sheet::verdict(&units),
            units,
            targets: counted(&self.board.targets),
            attackers: counted(&self.board.attackers),
        })
    }
}
