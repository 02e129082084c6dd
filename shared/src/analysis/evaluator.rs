//! One unit under the attacks of another that nothing ever happens to: duels in which only one side attacks.
use super::known::Known;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::duel::{Duel, DuelAnswer};
use crate::rules::compile::{compile_unanswered, compile_unanswered_turn_ranges};
use crate::rules::duel_matchup::TurnRange;
use crate::rules::matchup::{Matchup, Situation, UnitInstance};
use crate::rules::model::Pack;
use crate::rules::model::limits::Place;
use std::sync::Arc;

/// A pack, and how long a game is.
#[derive(Clone, Copy)]
pub struct Evaluator<'a> {
    /// The pack of all units.
    pub pack: &'a Arc<Pack>,
    /// Turns of a game.
    pub turns: u32,
    /// Who may stop the work.
    pub token: &'a CancellationToken,
    /// What was worked out already.
    pub known: &'a Known,
}

/// Two units: who attacks, who is attacked, and the rules that do not act.
#[derive(Clone, Copy, Debug)]
pub struct Pair<'a> {
    /// Who attacks.
    pub attacker: &'a UnitInstance,
    /// Who is attacked.
    pub target: &'a UnitInstance,
    /// Rules, by index, that do not act.
    pub without: &'a [usize],
}

/// What a game comes to for the unit that is attacked.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// The chance of still standing at the end of each turn.
    pub standing: Vec<f64>,
    /// Models or units left at the end, on average.
    pub left: f64,
    /// Points of health or structure gone at the end, on average; fewer than 0 where more was mended.
    pub lost: f64,
}

impl Outcome {
    /// At the end of how many turns it stands, on average.
    pub fn survival(&self) -> f64 {
        self.standing.iter().sum()
    }

    /// The chance that nothing is left at the end.
    pub fn destroyed(&self) -> f64 {
        self.standing.last().map_or(0.0, |standing| 1.0 - standing)
    }

    /// At the start of how many turns it stands, on average: the turns in which it is attacked.
    pub fn turns_attacked(&self) -> f64 {
        let (_, before_the_last) = self.standing.split_last().unwrap_or((&0.0, &[]));
        1.0 + before_the_last.iter().sum::<f64>()
    }
}

impl Evaluator<'_> {
    /// One attack of a pair at one place.
    pub fn matchup(&self, pair: &Pair<'_>, situation: &Situation) -> Matchup {
        Matchup {
            pack: self.pack.clone(),
            attacker: pair.attacker.clone(),
            target: pair.target.clone(),
            situation: situation.clone(),
            with: Vec::new(),
            without: pair.without.to_vec(),
        }
    }

    /// The whole game of a pair at one place, the target being side a; nothing where no weapon can be used there.
    pub fn game(&self, pair: &Pair<'_>, situation: &Situation) -> Option<Duel> {
        compile_unanswered(&self.matchup(pair, situation), self.turns).ok()?
    }

    /// How an attacker comes on: as the pack says, or where it does not say, from the usual arc at the range at which one
    /// turn removes most. A place for each turn; nothing where no weapon can be used.
    ///
    /// # Errors
    /// [`Cancelled`] where the token was called meanwhile.
    pub fn approach(&self, pair: &Pair<'_>) -> Result<Option<Vec<Place>>, Cancelled> {
        if self.pack.board.approach.is_empty() {
            let range = self.best_range(pair, None)?;
            let place = |range| Place { range, arc: self.pack.situations.usual.0 };
            return Ok(range.map(|range| vec![place(range); self.turns as usize]));
        }
        Ok(Some(self.stated_approach()))
    }

    /// How attackers come on by the pack's board, a place for each turn; nothing where it does not say.
    pub fn stated_approach(&self) -> Vec<Place> {
        let stated = &self.pack.board.approach;
        stated.iter().chain(stated.last().into_iter().cycle()).take(self.turns as usize).copied().collect()
    }

    /// The whole game of a pair whose attacker comes on through these places, one a turn, the target being side a; nothing
    /// where it can use no weapon on all of it.
    pub fn game_along(&self, pair: &Pair<'_>, places: &[Place], cover: Option<usize>) -> Option<Duel> {
        let mut turn_ranges: Vec<TurnRange> = Vec::new();
        for (place, turn) in places.iter().zip(1..) {
            let situation = self.situation(Some(place.arc), Some(place.range), cover);
            match turn_ranges.last_mut().filter(|turn_range| turn_range.situation == situation) {
                Some(turn_range) => turn_range.turns.1 = turn,
                None => turn_ranges.push(TurnRange { situation, turns: (turn, turn) }),
            }
        }
        let first = turn_ranges.first()?.situation.clone();
        compile_unanswered_turn_ranges(&self.matchup(pair, &first), turn_ranges).ok()?
    }

    /// What a duel comes to for the side that is attacked.
    ///
    /// # Errors
    /// [`Cancelled`] where the token was called meanwhile.
    pub fn outcome(&self, duel: &Duel) -> Result<Outcome, Cancelled> {
        self.known.outcome(duel, || {
            let answer: DuelAnswer<f64> = duel.evaluate(self.token)?;
            // The attacker is never harmed: where both stand, this side does. A small chance keeps its digits so.
            let standing = answer.turns.iter().map(|turn| turn.both_standing.clamp(0.0, 1.0)).collect();
            let lost = answer.a_missing - f64::from(duel.a().target.hurt());
            Ok(Outcome { standing, left: answer.a_left.expected(), lost })
        })
    }

    /// Points of health or structure that one turn of a game removes on average, before anything is mended or rolled
    /// afterwards.
    ///
    /// # Errors
    /// [`Cancelled`] where the token was called meanwhile.
    pub fn removed(&self, game: &Duel) -> Result<f64, Cancelled> {
        Ok(self.outcome(&game.one_attack_of_b())?.lost)
    }

    /// The range at which one turn removes most points of health or structure, from the side of this arc: the usual
    /// range of equals, else the nearest. Nothing where no weapon can be used at any.
    ///
    /// # Errors
    /// [`Cancelled`] where the token was called meanwhile.
    pub fn best_range(&self, pair: &Pair<'_>, arc: Option<usize>) -> Result<Option<usize>, Cancelled> {
        Ok(self.worst_game(pair, arc)?.map(|(range, _)| range))
    }

    /// The game at that range.
    ///
    /// # Errors
    /// [`Cancelled`] where the token was called meanwhile.
    pub fn worst_game(&self, pair: &Pair<'_>, arc: Option<usize>) -> Result<Option<(usize, Duel)>, Cancelled> {
        let mut games: Vec<(usize, Duel)> = Vec::new();
        for range in self.ranges() {
            let game = self.game(pair, &self.situation(arc, Some(range), None));
            games.extend(game.filter(|game| games.iter().all(|(_, known)| known != game)).map(|game| (range, game)));
        }
        if games.len() < 2 {
            return Ok(games.pop());
        }
        let mut best: Option<(f64, usize, Duel)> = None;
        for (range, game) in games {
            let removed = self.removed(&game)?;
            if best.as_ref().is_none_or(|(most, ..)| removed > most + 1e-12) {
                best = Some((removed, range, game));
            }
        }
        Ok(best.map(|(_, range, game)| (range, game)))
    }

    /// All ranges, the usual one first.
    pub fn ranges(&self) -> impl Iterator<Item = usize> + use<> {
        let usual = self.pack.situations.usual.1;
        std::iter::once(usual).chain((0..self.pack.situations.ranges.len()).filter(move |range| *range != usual))
    }

    /// The usual situation with another arc, range or cover.
    pub fn situation(&self, arc: Option<usize>, range: Option<usize>, cover: Option<usize>) -> Situation {
        let usual = Situation::usual(self.pack);
        Situation {
            arc: arc.unwrap_or(usual.arc),
            range: range.unwrap_or(usual.range),
            cover: cover.unwrap_or(usual.cover),
            ..usual
        }
    }

    /// The arcs whose numbers differ from those of the ones before, the usual one first.
    pub fn arcs(&self, pair: &Pair<'_>) -> Vec<usize> {
        let words = &self.pack.situations;
        let usual = words.usual.0;
        let others = (0..words.arcs.len()).filter(|arc| *arc != usual);
        let at_all_ranges = |arc: usize| -> Vec<_> {
            let at = |range| self.game(pair, &self.situation(Some(arc), Some(range), None));
            (0..words.ranges.len()).map(at).collect()
        };
        let mut kept = vec![(usual, at_all_ranges(usual))];
        for arc in others {
            let own = at_all_ranges(arc);
            if !kept.iter().any(|(_, known)| *known == own) {
                kept.push((arc, own));
            }
        }
        kept.into_iter().map(|(arc, _)| arc).collect()
    }
}
