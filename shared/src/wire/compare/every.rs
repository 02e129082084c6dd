//! Every unit of a pack as a variant.
use super::super::lookup;
use super::super::matchup::{SideForm, SituationForm};
use super::super::mistake::{Mistake, Mistakes};
use super::super::worth::LeftOut;
use super::variant::{Variant, VariantMatchup};
use super::{BoardTarget, Pair, pair};
use crate::rules::PackCatalog;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// The most units.
const MOST: usize = 100;

/// All units of a pack, each by itself, at its fewest models and without options.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct EveryUnit {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// What the table adds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub situation: Option<SituationForm>,
}

impl EveryUnit {
    /// A pair of each unit with each target; those that cannot attack are left out, and it is said why.
    pub(super) fn pairs(
        &self,
        board: &[BoardTarget],
        catalog: &PackCatalog,
        mistakes: &mut Mistakes,
        (pairs, left_out): (&mut Vec<Pair>, &mut Vec<LeftOut>),
    ) {
        let mut found = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut found);
        found.0.into_iter().for_each(|mistake| mistakes.push(mistake.below("/every")));
        let Some(pack) = pack else { return };
        if board.is_empty() {
            mistakes.push(Mistake::missing("/targets", "say whom every unit attacks"));
            return;
        }
        if pack.units.len() > MOST {
            let detail = format!("{} has {} units; name up to 12 as variants", pack.named.label, pack.units.len());
            mistakes.push(Mistake::value("/every", detail));
            return;
        }
        // Read once, however many units there are.
        let own = PackCatalog::of(vec![pack.clone()]);
        for (index, unit) in pack.units.iter().enumerate() {
            let attacker = SideForm { unit: unit.named.id.clone(), ..SideForm::default() };
            let matchup = VariantMatchup { attacker, situation: self.situation.clone(), ..VariantMatchup::default() };
            let variant = Variant { matchup: Some(matchup), ..Variant::default() };
            for target in board.iter().enumerate() {
                let mut found = Mistakes::default();
                let pair = pair::pair(&variant, index, Some(target), &own, &mut found);
                pairs.extend(pair);
                // What is wrong with a target, or with the table, is wrong for every unit.
                let at = format!("/variants/{index}");
                let (mine, others): (Vec<Mistake>, Vec<Mistake>) = found
                    .0
                    .into_iter()
                    .partition(|mistake| mistake.pointer.starts_with(&format!("{at}/matchup/attacker")));
                for mut mistake in others {
                    if let Some(rest) = mistake.pointer.strip_prefix(&format!("{at}/matchup")) {
                        mistake.pointer = format!("/every{rest}");
                    }
                    mistakes.push(mistake);
                }
                let name = &unit.named;
                if let Some(why) = mine.first().filter(|_| left_out.iter().all(|one| one.unit != name.id)) {
                    let why = why.detail.clone();
                    left_out.push(LeftOut { unit: name.id.clone(), name: name.label.clone(), why });
                }
            }
        }
    }
}
