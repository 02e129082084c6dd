//! What a result came of: an attack, a check, a repair or a duel; and what can be counted of it.
use super::super::bytes;
use super::super::chain::ChainForm;
use super::super::check::CheckRequest;
use super::super::duel::{DuelRequest, PreparedDuel};
use super::super::matchup::{MatchupRequest, Stated};
use super::super::mistake::{Mistake, Mistakes};
use super::super::question::{PreparedQuery, Question};
use super::super::repair::RepairRequest;
use super::super::subject::{AttackQuery, one_of};
use super::Counted;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::{Lost, Target};
use crate::odds::check::Check;
use crate::odds::distribution::Distribution;
use crate::odds::number::Number;
use crate::odds::price::{self, Work};
use crate::odds::repair::Repair;
use crate::rules::PackCatalog;

/// What a request says of it: one of these.
#[derive(Debug, Default)]
pub(super) struct SubjectForm {
    pub(super) chain: Option<ChainForm>,
    pub(super) matchup: Option<MatchupRequest>,
    pub(super) check: Option<CheckRequest>,
    pub(super) repair: Option<RepairRequest>,
    pub(super) duel: Option<DuelRequest>,
}

/// What a result came of.
#[derive(Clone, Debug)]
pub(super) enum Subject {
    AttackQuery(AttackQuery),
    Check(Box<Check>),
    Repair(Box<Repair>),
    Duel(Box<PreparedDuel>),
}

impl SubjectForm {
    fn all(&self) -> [(&'static str, bool); 5] {
        [
            ("chain", self.chain.is_some()),
            ("matchup", self.matchup.is_some()),
            ("check", self.check.is_some()),
            ("repair", self.repair.is_some()),
            ("duel", self.duel.is_some()),
        ]
    }

    /// The names of those that are there.
    pub(super) fn there(&self) -> impl Iterator<Item = &'static str> + use<> {
        self.all().into_iter().filter(|(_, there)| *there).map(|(name, _)| name)
    }

    /// The one that is there, with every mistake below `at`; and whether it asks for fractions itself.
    pub(super) fn resolve(self, catalog: &PackCatalog, at: &str, mistakes: &mut Mistakes) -> Option<(Subject, bool)> {
        let mut found = Mistakes::default();
        if !one_of(&self.all(), &mut found) {
            found.0.into_iter().for_each(|mistake| mistakes.push(mistake.below(at)));
            return None;
        }
        if let Some(chain) = self.chain {
            return Some((Subject::AttackQuery(AttackQuery::plain(chain, &format!("{at}/chain"), mistakes)?), false));
        }
        if let Some(matchup) = self.matchup {
            let exact = matchup.exact == Some(true);
            let query = AttackQuery::units(matchup, catalog, &format!("{at}/matchup"), mistakes)?;
            return Some((Subject::AttackQuery(query), exact));
        }
        if let Some(check) = self.check {
            let exact = check.exact == Some(true);
            return Some((Subject::Check(Box::new(check.check(&format!("{at}/check"), mistakes)?)), exact));
        }
        if let Some(repair) = self.repair {
            let exact = repair.exact == Some(true);
            if repair.compare.is_some() {
                let at = format!("{at}/repair/compare");
                mistakes.push(Mistake::value(at, "a result comes of one repair: ask about each"));
            }
            return Some((Subject::Repair(Box::new(repair.repair(&format!("{at}/repair"), mistakes)?)), exact));
        }
        let duel = self.duel?;
        let exact = duel.exact == Some(true);
        let below = format!("{at}/duel");
        let resolved = duel.resolve(catalog);
        let resolved = resolved.map_err(|found| found.into_iter().map(|mistake| mistake.below(&below)).collect());
        mistakes.keep_all(resolved).map(|prepared| (Subject::Duel(Box::new(prepared)), exact))
    }
}

impl Subject {
    /// What can be counted of it.
    pub(super) fn counted(&self) -> &'static [Counted] {
        use Counted::{
            ALeft, Attacks, BLeft, Backfires, HealthLost, Missing, Models, Passes, Restored, Structure, Through, Total,
            Wrecked,
        };
        match self {
            Self::Check(_) => &[Passes, Total],
            Self::Repair(_) => &[Restored, Missing],
            Self::Duel(_) => &[ALeft, BLeft],
            Self::AttackQuery(query) => match query.chain().target() {
                Target::Soldiers(_) => &[Models, HealthLost, Attacks, Through, Backfires],
                Target::Armoured(_) => &[Structure, Wrecked, Attacks, Through, Backfires],
            },
        }
    }

    /// Fractions are refused where something comes of a template.
    pub(super) fn has_fractions(&self, exact: bool, mistakes: &mut Mistakes) {
        match self {
            Self::AttackQuery(query) => query.has_fractions(exact, mistakes),
            Self::Duel(duel) if exact && duel.has_blast() => {
                mistakes.push(Mistake::value("/exact", "blasts have no fractions: directions are real numbers"));
            }
            Self::Check(_) | Self::Repair(_) | Self::Duel(_) => {}
        }
    }

    /// Who made the attack of a matchup: `the Withy Bows`.
    pub(super) fn roller(&self) -> Option<String> {
        match self {
            Self::AttackQuery(AttackQuery::Units(prepared)) => {
                let matchup = prepared.matchup();
                let counting = matchup.pack.units[matchup.attacker.unit].counting(&matchup.pack);
                let several = counting.is_several(matchup.attacker.models);
                Some(format!("the {}", if several { counting.plural } else { counting.singular }))
            }
            _ => None,
        }
    }

    /// What a matchup left open.
    pub(super) fn defaults(&self) -> Option<Vec<Stated>> {
        match self {
            Self::AttackQuery(query) => query.defaults(),
            Self::Check(_) | Self::Repair(_) | Self::Duel(_) => None,
        }
    }

    pub(super) fn distribution<N: Number>(
        &self,
        counted: Counted,
        token: &CancellationToken,
    ) -> Result<Distribution<N>, Cancelled> {
        Ok(match self {
            Self::Check(check) => {
                let answer = check.evaluate();
                if counted == Counted::Total { answer.total } else { answer.passes }
            }
            Self::Repair(repair) => {
                let mut answer = repair.evaluate(token)?;
                match answer.turns.pop() {
                    Some(last) if counted == Counted::Missing => last.missing,
                    _ => answer.restored,
                }
            }
            Self::Duel(duel) => {
                let answer = duel.duel().evaluate(token)?;
                if counted == Counted::ALeft { answer.a_left } else { answer.b_left }
            }
            Self::AttackQuery(query) => {
                let answer = query.chain().evaluate(false, token)?;
                match (counted, answer.lost) {
                    (Counted::Attacks, _) => answer.attacks,
                    (Counted::Through, _) => answer.through,
                    (Counted::Backfires, _) => answer.backfires.unwrap_or_else(|| Distribution::certain(0)),
                    (Counted::HealthLost, Lost::Soldiers { health, .. }) => health,
                    (_, Lost::Soldiers { models, .. }) => models,
                    (Counted::Wrecked, Lost::Armoured { wrecked, .. }) => wrecked,
                    (_, Lost::Armoured { structure, .. }) => structure,
                }
            }
        })
    }

    /// The form for the cache's key.
    pub(super) fn canonical(&self) -> serde_json::Value {
        match self {
            Self::AttackQuery(query) => query.canonical(),
            Self::Check(check) => serde_json::json!({ "check": CheckRequest::of(check, false) }),
            Self::Repair(repair) => serde_json::json!({ "repair": RepairRequest::of(repair) }),
            Self::Duel(duel) => serde_json::json!(PreparedQuery::canonical(&**duel)),
        }
    }

    pub(super) fn price(&self, exact: bool) -> Work {
        match self {
            Self::AttackQuery(query) => price::chain(query.chain(), exact, false) + 2_000,
            Self::Check(check) => price::check(check, exact),
            Self::Repair(repair) => price::repair(repair, exact),
            Self::Duel(duel) => price::duel(duel.duel(), exact) + 5_000,
        }
    }

    /// The most values that a quantity of it takes.
    pub(super) fn values(&self, counted: Counted) -> Work {
        match self {
            Self::Check(check) => Work::from(check.tries()) + 1,
            Self::Repair(repair) => price::most_restored(repair, repair.turns),
            Self::Duel(duel) => {
                let (a, b) = (duel.duel().a(), duel.duel().b());
                Work::from(a.target.count()) + Work::from(b.target.count()) + 2
            }
            Self::AttackQuery(query) => price::values(query.chain(), matches!(counted, Counted::Backfires)),
        }
    }

    /// How long the denominators of its chances are.
    pub(super) fn bits(&self) -> Work {
        match self {
            Self::AttackQuery(query) => price::chain_bits(query.chain()),
            Self::Check(check) => price::check_bits(check),
            Self::Repair(repair) => price::repair_bits(repair) * Work::from(repair.turns),
            Self::Duel(duel) => price::duel_bits(duel.duel()),
        }
    }

    /// How long one of its fractions is.
    pub(super) fn fraction_bytes(&self) -> Work {
        bytes::fraction(self.bits())
    }
}
