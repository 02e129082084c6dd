//! Where the numbers of an appraisal come from: matchups, and duels in which only one side attacks.
use super::super::matchup::MatchupReady;
use super::super::question::Ready;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::chain::{Armoured, Target, Volley};
use crate::odds::duel::{Duel, DuelAnswer, First, Side, TimedVolley};
use crate::odds::repair::Mend;
use crate::rules::matchup::{Fielded, Matchup, Situation};
use crate::rules::model::Pack;
use crate::rules::standing;
use std::sync::Arc;

/// A pack, and how long a game is.
pub(in super::super) struct Bench<'a> {
    pub(in super::super) pack: &'a Arc<Pack>,
    /// The pack's name where it has one that a question can use.
    pub(in super::super) named: Option<&'a str>,
    pub(in super::super) turns: u32,
    pub(in super::super) token: &'a CancellationToken,
}

/// What a game without an answer comes to.
#[derive(Clone, Debug)]
pub(in super::super) struct Outcome {
    /// The chance of still standing at the end of each turn.
    pub(in super::super) standing: Vec<f64>,
    /// Models or units left at the end.
    pub(in super::super) left: f64,
}

impl Outcome {
    /// At the end of how many turns it stands.
    pub(in super::super) fn stood(&self) -> f64 {
        self.standing.iter().sum()
    }
}

impl Bench<'_> {
    /// One attack; nothing where no weapon can be used.
    pub(in super::super) fn matchup(
        &self,
        attacker: &Fielded,
        target: &Fielded,
        situation: &Situation,
    ) -> Option<MatchupReady> {
        self.matchup_without(attacker, target, situation, &[])
    }

    /// The same where some rules do not act.
    pub(in super::super) fn matchup_without(
        &self,
        attacker: &Fielded,
        target: &Fielded,
        situation: &Situation,
        without: &[usize],
    ) -> Option<MatchupReady> {
        let matchup = Matchup {
            pack: self.pack.clone(),
            attacker: attacker.clone(),
            target: target.clone(),
            situation: situation.clone(),
            with: Vec::new(),
            without: without.to_vec(),
        };
        let ready = MatchupReady::of(matchup).ok()?;
        (!ready.compiled().volleys.is_empty()).then_some(ready)
    }

    /// A game in which the attacker attacks each turn and is not attacked.
    pub(in super::super) fn unanswered(
        &self,
        attacker: &Fielded,
        target: &Fielded,
        situation: &Situation,
    ) -> Option<Duel> {
        self.game(&self.matchup(attacker, target, situation)?, true)
    }

    /// The game of a matchup; the target mends itself if it is let.
    pub(in super::super) fn game(&self, matchup: &MatchupReady, mends: bool) -> Option<Duel> {
        let (target, without) = (&matchup.matchup().target, &matchup.matchup().without);
        let own = if mends { standing::repair(self.pack, target, &[], without) } else { None };
        self.game_with(matchup, own.map(|own| own.mend))
    }

    /// The same with a repair from elsewhere.
    pub(in super::super) fn game_with(&self, matchup: &MatchupReady, repair: Option<Mend>) -> Option<Duel> {
        self.duel(matchup, matchup.compiled().chain.target().clone(), repair)
    }

    /// The game of a matchup on another number of targets, which mend themselves if they are let.
    pub(in super::super) fn game_on(&self, matchup: &MatchupReady, target: Target, mends: bool) -> Option<Duel> {
        let own = if mends { standing::repair(self.pack, &matchup.matchup().target, &[], &[]) } else { None };
        self.duel(matchup, target, own.map(|own| own.mend))
    }

    fn duel(&self, matchup: &MatchupReady, target: Target, repair: Option<Mend>) -> Option<Duel> {
        let chain = &matchup.compiled().chain;
        let hit = Side { target, attack: Vec::new(), aftermath: Vec::new(), repair };
        // The attackers stand as one, since none of them falls.
        let one = Armoured { structure: 1, units: 1, overflow_wasted: false, hurt: 0, statuses: Vec::new() };
        let timed = |volley: &Volley| TimedVolley::always(volley.clone());
        let attack = chain.volleys().iter().map(timed).collect();
        let hits = Side { target: Target::Armoured(one), attack, aftermath: Vec::new(), repair: None };
        Duel::new(hit, hits, First::B, self.turns).ok()
    }

    /// What a game comes to for the side that is attacked.
    pub(in super::super) fn outcome(&self, duel: &Duel) -> Result<Outcome, Cancelled> {
        let answer: DuelAnswer<f64> = duel.evaluate(self.token)?;
        let standing = answer.turns.iter().map(|turn| (1.0 - turn.a_destroyed).clamp(0.0, 1.0)).collect();
        Ok(Outcome { standing, left: answer.a_left.expected() })
    }

    /// The usual situation with another arc, range or cover.
    pub(in super::super) fn situation(
        &self,
        arc: Option<usize>,
        range: Option<usize>,
        cover: Option<usize>,
    ) -> Situation {
        let usual = Situation::usual(self.pack);
        Situation {
            arc: arc.unwrap_or(usual.arc),
            range: range.unwrap_or(usual.range),
            cover: cover.unwrap_or(usual.cover),
            ..usual
        }
    }

    /// The arcs whose numbers differ from those of the ones before, the usual one first.
    pub(in super::super) fn arcs(&self, attacker: &Fielded, target: &Fielded, without: &[usize]) -> Vec<usize> {
        let words = &self.pack.situations;
        let usual = words.usual.0;
        let others = (0..words.arcs.len()).filter(|arc| *arc != usual);
        let chains = |arc: usize| -> Vec<_> {
            let at =
                |range| self.matchup_without(attacker, target, &self.situation(Some(arc), Some(range), None), without);
            (0..words.ranges.len()).map(|range| at(range).map(|ready| ready.compiled().chain.clone())).collect()
        };
        let mut kept = vec![(usual, chains(usual))];
        for arc in others {
            let own = chains(arc);
            if !kept.iter().any(|(_, known)| *known == own) {
                kept.push((arc, own));
            }
        }
        kept.into_iter().map(|(arc, _)| arc).collect()
    }

    /// The range at which an attack removes most points in one turn: the usual one of equals.
    pub(in super::super) fn best_range(
        &self,
        attacker: &Fielded,
        target: &Fielded,
    ) -> Result<Option<usize>, Cancelled> {
        let mut best: Option<(usize, f64)> = None;
        let words = &self.pack.situations;
        let usual = words.usual.1;
        for range in std::iter::once(usual).chain((0..words.ranges.len()).filter(|range| *range != usual)) {
            let Some(ready) = self.matchup(attacker, target, &self.situation(None, Some(range), None)) else {
                continue;
            };
            let removed = ready.answer(self.token)?.points.removed;
            if best.is_none_or(|(_, most)| removed > most + 1e-12) {
                best = Some((range, removed));
            }
        }
        Ok(best.map(|(range, _)| range))
    }

    pub(in super::super) fn label(&self, unit: &Fielded) -> String {
        self.pack.units[unit.unit].named.label.clone()
    }

    pub(in super::super) fn range(&self, range: usize) -> String {
        self.pack.situations.ranges[range].word.named.label.clone()
    }

    pub(in super::super) fn arc(&self, arc: usize) -> String {
        self.pack.situations.arcs[arc].named.label.clone()
    }
}
