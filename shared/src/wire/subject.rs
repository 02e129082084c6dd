//! What a question about a question speaks of: a chain, or a matchup that comes down to one.
use super::chain::ChainForm;
use super::matchup::{MatchupRequest, PreparedMatchup, Stated};
use super::mistake::{Mistake, Mistakes};
use super::odds::has_blast;
use super::question::{PreparedQuery, Question};
use crate::odds::chain::Chain;
use crate::rules::PackCatalog;

/// A chain, from plain numbers or from two units.
#[derive(Clone, Debug)]
pub(super) enum AttackQuery {
    /// From plain numbers.
    Plain(Box<Chain>),
    /// From two units.
    Units(Box<PreparedMatchup>),
}

impl AttackQuery {
    /// A chain with every mistake below `at`.
    pub(super) fn plain(form: ChainForm, at: &str, mistakes: &mut Mistakes) -> Option<Self> {
        form.resolve(at, mistakes).map(|chain| Self::Plain(Box::new(chain)))
    }

    /// A matchup with every mistake below `at`.
    pub(super) fn units(
        request: MatchupRequest,
        catalog: &PackCatalog,
        at: &str,
        mistakes: &mut Mistakes,
    ) -> Option<Self> {
        let resolved = request.resolve(catalog);
        let resolved = resolved.map_err(|found| found.into_iter().map(|mistake| mistake.below(at)).collect());
        mistakes.keep_all(resolved).map(|prepared| Self::Units(Box::new(prepared)))
    }

    /// The chain.
    pub(super) fn chain(&self) -> &Chain {
        match self {
            Self::Plain(chain) => chain,
            Self::Units(prepared) => &prepared.compiled().chain,
        }
    }

    /// What a matchup left open.
    pub(super) fn defaults(&self) -> Option<Vec<Stated>> {
        match self {
            Self::Plain(_) => None,
            Self::Units(prepared) => Some(prepared.defaults().to_vec()),
        }
    }

    /// The form for the cache's key.
    pub(super) fn canonical(&self) -> serde_json::Value {
        match self {
            Self::Plain(chain) => serde_json::json!({ "chain": ChainForm::of(chain, &Vec::new()) }),
            Self::Units(prepared) => serde_json::json!(prepared.canonical()),
        }
    }

    /// Fractions are refused where attacks come of a template.
    pub(super) fn has_fractions(&self, exact: bool, mistakes: &mut Mistakes) {
        if exact && has_blast(self.chain()) {
            mistakes.push(Mistake::value("/exact", "blasts have no fractions: directions are real numbers"));
        }
    }
}

/// Exactly one of several parts of a request, or a mistake that names them all.
pub(super) fn one_of(there: &[(&str, bool)], mistakes: &mut Mistakes) -> bool {
    let names: Vec<_> = there.iter().map(|(name, _)| *name).collect();
    let given: Vec<_> = there.iter().filter(|(_, there)| *there).collect();
    match given[..] {
        [_] => return true,
        [] => mistakes.push(Mistake::missing("", format!("say what it is about: one of {}", names.join(", ")))),
        [_, (second, _), ..] => {
            mistakes.push(Mistake::value(format!("/{second}"), format!("give one of {}", names.join(", "))));
        }
    }
    false
}
