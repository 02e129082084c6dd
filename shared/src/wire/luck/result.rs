//! What came of it on the table: one quantity and its value.
use super::super::mistake::{Mistake, Mistakes};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// No value is larger than this on either side of 0.
const LARGEST: i64 = 1_000_000_000;

/// One quantity and its value.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ResultForm {
    /// Of an attack on soldiers: models removed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub models: Option<i64>,
    /// Of an attack on soldiers: points of health removed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub health_lost: Option<i64>,
    /// Of an attack on armour: points of structure lost.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub structure: Option<i64>,
    /// Of an attack on armour: units wrecked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub wrecked: Option<i64>,
    /// Of an attack: attacks rolled.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub attacks: Option<i64>,
    /// Of an attack: successes past all steps.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub through: Option<i64>,
    /// Of an attack: backfires that were not saved.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub backfires: Option<i64>,
    /// Of a check: tries that passed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub passes: Option<i64>,
    /// Of a check: the total of one roll, modifier included.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub total: Option<i64>,
    /// Of a repair: points that came back over all turns.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub restored: Option<i64>,
    /// Of a repair: points missing at the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub missing: Option<i64>,
    /// Of a duel: models or units of side a that are left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub a_left: Option<i64>,
    /// Of a duel: models or units of side b that are left.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub b_left: Option<i64>,
}

/// A quantity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Counted {
    Models,
    HealthLost,
    Structure,
    Wrecked,
    Attacks,
    Through,
    Backfires,
    Passes,
    Total,
    Restored,
    Missing,
    ALeft,
    BLeft,
}

/// A quantity with the value that it came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Happened {
    pub(super) of: Counted,
    pub(super) value: i64,
}

impl Counted {
    /// Its key in requests and answers.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Models => "models",
            Self::HealthLost => "health_lost",
            Self::Structure => "structure",
            Self::Wrecked => "wrecked",
            Self::Attacks => "attacks",
            Self::Through => "through",
            Self::Backfires => "backfires",
            Self::Passes => "passes",
            Self::Total => "total",
            Self::Restored => "restored",
            Self::Missing => "missing",
            Self::ALeft => "a_left",
            Self::BLeft => "b_left",
        }
    }

    /// Whether results of several entries are added up: a total and what is missing are no counts of what happened.
    pub(super) fn is_count(self) -> bool {
        !matches!(self, Self::Total | Self::Missing)
    }

    /// The quantity in words: one, and several.
    pub(super) fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Models => ("model lost", "models lost"),
            Self::HealthLost => ("point of health lost", "points of health lost"),
            Self::Structure => ("point of structure lost", "points of structure lost"),
            Self::Wrecked => ("unit wrecked", "units wrecked"),
            Self::Attacks => ("attack", "attacks"),
            Self::Through => ("attack through", "attacks through"),
            Self::Backfires => ("backfire", "backfires"),
            Self::Passes => ("pass", "passes"),
            Self::Total => ("in total", "in total"),
            Self::Restored => ("point back", "points back"),
            Self::Missing => ("point missing", "points missing"),
            Self::ALeft => ("left of side a", "left of side a"),
            Self::BLeft => ("left of side b", "left of side b"),
        }
    }
}

impl ResultForm {
    pub(super) fn resolve(&self, at: &str, mistakes: &mut Mistakes) -> Option<Happened> {
        let all = [
            (Counted::Models, self.models),
            (Counted::HealthLost, self.health_lost),
            (Counted::Structure, self.structure),
            (Counted::Wrecked, self.wrecked),
            (Counted::Attacks, self.attacks),
            (Counted::Through, self.through),
            (Counted::Backfires, self.backfires),
            (Counted::Passes, self.passes),
            (Counted::Total, self.total),
            (Counted::Restored, self.restored),
            (Counted::Missing, self.missing),
            (Counted::ALeft, self.a_left),
            (Counted::BLeft, self.b_left),
        ];
        let mut given = all.into_iter().filter_map(|(of, value)| Some(Happened { of, value: value? }));
        let Some(first) = given.next() else {
            mistakes.push(Mistake::missing(format!("{at}/result"), "say what came of it, such as {\"models\": 1}"));
            return None;
        };
        if let Some(second) = given.next() {
            mistakes.push(Mistake::value(format!("{at}/result/{}", second.of.name()), "a result has one quantity"));
            return None;
        }
        if !(-LARGEST..=LARGEST).contains(&first.value) {
            mistakes.push(Mistake::value(format!("{at}/result/{}", first.of.name()), "up to 1000000000"));
            return None;
        }
        Some(first)
    }
}
