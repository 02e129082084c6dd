//! Sums that people write out with what they are made of.
use super::amount::digits;
use super::loose::{Effort, Found, Place, of_tokens};
use super::parts::points;
use super::tokens::{Kind, Token, tokens};
use crate::rules::model::Pack;

/// A number that stands alone, with a word for points or without.
pub(super) fn points_alone(text: &str) -> Option<u32> {
    let text = text.trim().trim_end_matches('.');
    digits(text).or_else(|| points(text))
}

/// Whether each unit costs what is said beside it.
pub(super) fn fits(found: &Found) -> bool {
    found.units.iter().all(|one| one.fits)
}

/// `14 Peat Cutters, 26 plus 36, two stake mauls 8 = 70`: a sum with what it is made of, taken out one part after another.
pub(super) fn added_up(pack: &Pack, place: Place, head: &str, total: u32, effort: &mut Effort) -> Option<Found> {
    const MOST: usize = 7;
    let tokens = tokens(head)?;
    let numbers: Vec<(usize, u32)> = tokens
        .iter()
        .enumerate()
        .filter_map(|(at, token)| if let Token::Number { value, .. } = token { Some((at, *value)) } else { None })
        .collect();
    if numbers.len() > MOST {
        return None;
    }
    (1..1_usize << numbers.len()).find_map(|set| {
        let parts: Vec<(usize, u32)> =
            (0..numbers.len()).filter(|at| set >> at & 1 == 1).map(|at| numbers[at]).collect();
        let sum = parts.iter().fold(0_u32, |sum, (_, value)| sum.saturating_add(*value));
        if parts.len() < 2 || sum != total {
            return None;
        }
        let mut kept: Vec<Token> = Vec::new();
        for (at, token) in tokens.iter().enumerate() {
            if !parts.iter().any(|(part, _)| *part == at) {
                kept.push(token.clone());
            }
        }
        kept.push(Token::Number { value: total, kind: Kind::Points, padded: false });
        of_tokens(pack, place, &kept, None, effort).filter(|found| found.units.len() == 1 && fits(found))
    })
}
