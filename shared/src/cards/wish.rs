//! One number of an attack that was asked for: `how likely to kill at least 4`.
use super::{Card, Who};
use crate::report::saying::{often, sentence, small, unproven, verb};
use crate::wire::matchup::{MatchupAnswer, MatchupRequest};
use crate::wire::packs::PackAnswer;

/// The chance of the number that was asked for, in a sentence: `at least four of ten Dyke Hands`.
pub fn wished(names: &PackAnswer, request: &MatchupRequest, answer: &MatchupAnswer, wish: u64) -> Option<String> {
    let (who, whom) = Who::of(names, &request.attacker).against(Who::of(names, &request.target));
    let units = answer.chain.target.units.unwrap_or(1);
    let (does, what, of) = match (&answer.odds.wrecked, &answer.odds.structure, &answer.odds.models) {
        (Some(wrecked), _, _) if units > 1 => ("wreck", small(wish), wrecked),
        (_, Some(structure), _) => ("knock", format!("{wish} structure"), structure),
        (_, _, Some(models)) => ("take", small(wish), models),
        _ => return None,
    };
    let joined = format!("{what} {}", if does == "knock" { "off" } else { "of" });
    let out = if does == "take" { " out" } else { "" };
    let chance = of.at_least(wish);
    let often = if chance >= 1.0 { "always".to_owned() } else { often(unproven(chance)) };
    let verb = verb(does, who.many);
    Some(format!("{} {verb}{out} at least {joined} {} {often}.", sentence(&who.name), whom.name))
}

/// Puts what was asked for before the rest.
pub fn tell_wish(card: &mut Card, wish: Option<String>, names: &PackAnswer) {
    let Some(wish) = wish else { return };
    let mut said = Card { headline: wish, ..Card::default() };
    said.in_words_of(&names.labels);
    card.headline = format!("{} {}", said.headline, card.headline);
}
