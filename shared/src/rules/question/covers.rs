//! `Does the hedge help ladder hands?`: what a cover does for whoever stands in it, by its own numbers.
use super::super::conditions::Ternary;
use super::super::model::Pack;
use super::super::model::stat::{Scope, StatValue, Value};
use super::super::term::{self, Term};
use super::because::the_roll;
use super::lexicon::{ARTICLES, ASKING, is_in};
use super::said::Reading;
use super::sides::plain;
use super::spots::{Sort, Spot};
use super::topics::{What, topics};

/// What is asked of a cover.
const HELPS: &[&str] =
    &["help", "protect", "matter", "count", "save", "good", "use", "better", "work", "benefit", "do", "safer"];

/// The answer; nothing where the question is not about a cover alone, or where its numbers do nothing there.
pub(super) fn helps(pack: &Pack, reading: &Reading) -> Option<(Term, Ternary, String)> {
    let said = &reading.said;
    let is_rule = |spot: &Spot| matches!(spot.sort, Sort::Rule | Sort::Weapon | Sort::Topic | Sort::Arc | Sort::Range);
    let subject = |spot: &Spot| {
        let mut at = spot.from;
        while at > 0 && !reading.words[at].breaks && is_in(ARTICLES, reading.word(at - 1)) {
            at -= 1;
        }
        at > 0 && !reading.words[at].breaks && is_in(ASKING, reading.word(at - 1))
    };
    let spot = reading.spots.iter().find(|spot| spot.sort == Sort::Cover && subject(spot))?;
    let other = |other: &&Spot| is_rule(other) && (other.from, other.to) != (spot.from, spot.to);
    if reading.spots.iter().any(|spot| other(&spot)) || said.mentions.iter().any(|mention| mention.opposed) {
        return None;
    }
    (spot.to..reading.words.len()).find(|at| !reading.taken[*at] && is_in(HELPS, reading.word(*at)))?;
    let table = plain(pack, said, true);
    let cover = &pack.situations.covers[spot.at];
    let mut told: Vec<(Ternary, String)> = Vec::new();
    for topic in topics(pack) {
        let What::Stat(Scope::Cover, at) = topic.what else { continue };
        let Some(StatValue::One(value @ Value::Number(number))) = cover.profile.get(at).and_then(Option::as_ref) else {
            continue;
        };
        let label = &pack.stats.of(Scope::Cover)[at];
        for roll in topic.rolls.iter().filter(|_| *number != 0) {
            let why = format!("{} {} goes into {}", label.label, label.write(*value), the_roll(pack, *roll));
            told.push((table.made(*roll), why));
        }
    }
    let truth = Ternary::any(told.iter().map(|(truth, _)| *truth));
    if truth == Ternary::No {
        return None;
    }
    let mut why: Vec<String> = told.into_iter().filter(|(one, _)| *one == truth).map(|(_, why)| why).collect();
    why.dedup();
    // Where it is only open which of its attacks comes, the cover helps against those that are rolled so.
    Some((term::cover(pack, spot.at), Ternary::Yes, why.join(", ")))
}
