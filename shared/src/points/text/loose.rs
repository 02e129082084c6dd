//! A line read loosely: units, numbers and options in any order and between any signs. It is taken only where every word
//! and every number of it has a meaning, and where there is one meaning only.
use super::super::{Line, line_cost};
use super::added::{added_up, fits, points_alone};
use super::segment::Segment;
use super::small::{JOINS, NOT, SMALL, TOTALS};
use super::tokens::{Kind, Token, tokens};
use crate::rules::model::Pack;
use crate::rules::model::unit::Unit;
use crate::rules::names::{Names, plain};

/// A unit of such a line, with the points that stand beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Loose {
    pub(super) line: Line,
    pub(super) points: Option<u32>,
    /// Whether these points are what it costs.
    pub(super) fits: bool,
}

/// What was found on a line, and the words that mean nothing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Found {
    pub(super) units: Vec<Loose>,
    pub(super) left_over: Vec<String>,
    /// Whether some of them stand before all units: they may be the name of another.
    pub(super) early: bool,
    /// A number behind all units: what the list comes to.
    pub(super) total: Option<u32>,
}

/// The most words of a line that may mean nothing.
const MOST_LEFT_OVER: usize = 8;
/// Which line it is, and what all before it come to where that is known.
pub(super) type Place = (u32, Option<u64>);

/// The most words of a name.
const MOST_OF_A_NAME: usize = 4;

/// The units of a line; nothing where it names none or a number of it may mean two things. Words that mean nothing are left
/// over: with `lenient` any, else only where all units cost just what stands beside them.
pub(super) fn read(pack: &Pack, place: Place, text: &str, lenient: bool, effort: &mut Effort) -> Option<Found> {
    // `… | 5 hands 35 | = 322`: what all of it comes to.
    let tail = text.rsplit_once('=').and_then(|(head, tail)| Some((head, points_alone(tail)?)));
    let with_tail = tail.and_then(|(head, total)| {
        let found = units(pack, place, head, None, effort)?;
        (found.units.len() > 1).then_some(Found { total: Some(total), ..found })
    });
    let found = match (with_tail, tail) {
        (Some(found), _) => found,
        (None, None) => units(pack, place, text, None, effort)?,
        (None, Some((head, total))) => {
            let plain = units(pack, place, text, None, effort);
            let fitting = plain.clone().filter(fits);
            fitting.or_else(|| added_up(pack, place, head, total, effort)).or(plain)?
        }
    };
    // `Convoy for the Pale Mile` is no Convoy Master.
    let numbered = text.contains(|c: char| c.is_ascii_digit());
    let in_full = |one: &Loose| plain(text).contains(&plain(&pack.units[one.line.unit].named.label));
    let all_fit = !found.early && found.left_over.len() <= MOST_LEFT_OVER && fits(&found);
    (lenient && !found.early && (numbered || found.units.iter().all(in_full)) || found.left_over.is_empty() || all_fit)
        .then_some(found)
}

/// The units of whole sentences that come to `sum`; larger numbers are limits.
pub(super) fn sentence(pack: &Pack, text: &str, sum: u32, effort: &mut Effort) -> Option<Found> {
    units(pack, (1, None), text, Some(sum), effort)
}

fn units(pack: &Pack, place: Place, text: &str, sum: Option<u32>, effort: &mut Effort) -> Option<Found> {
    of_tokens(pack, place, &tokens(text)?, sum, effort)
}

pub(super) fn of_tokens(
    pack: &Pack,
    (number, spent): Place,
    tokens: &[Token],
    sum: Option<u32>,
    effort: &mut Effort,
) -> Option<Found> {
    let mut found: Vec<Segment> = Vec::new();
    // Numbers that stand before what they belong to.
    let mut waiting: Vec<(u32, Kind, bool)> = Vec::new();
    let (mut left_over, mut early, mut total, mut parted) = (Vec::new(), false, None, false);
    let mut at = 0;
    while at < tokens.len() {
        let own = found.last().map(|segment: &Segment| &pack.units[segment.unit]);
        match &tokens[at] {
            // What all comes to, and what it may.
            Token::Number { value, .. } if sum.is_some_and(|sum| *value >= sum) => {
                total = sum;
                at += 1;
                continue;
            }
            Token::Number { value, kind, padded } => {
                let mut kind = *kind;
                // `a Tar Gang of 4`, `(4 dogs each)`: how many models the unit before has.
                let behind_of = matches!(at.checked_sub(1).map(|at| &tokens[at]), Some(Token::Word(of)) if of == "of");
                let open =
                    !parted || waiting.is_empty() && found.last().is_some_and(|segment| segment.numbers.is_empty());
                let counts = open && own.is_some_and(|unit| counts_models(unit, tokens.get(at + 1)));
                let next = |effort: &mut Effort| named(pack, own, true, parted, &tokens[at + 1..], effort);
                if let (Some(unit), Kind::Bare) = (own, kind)
                    && unit.models.1 > 1
                    && (counts || !parted && behind_of && !matches!(next(effort), Some((What::Unit(_), _))))
                {
                    kind = Kind::Models;
                    at += usize::from(counts);
                }
                waiting.push((*value, kind, at == 0 || *padded));
                at += 1;
                continue;
            }
            Token::Mark => {
                parted = true;
                if let Some(segment) = found.last_mut() {
                    segment.numbers.append(&mut waiting);
                }
                at += 1;
                continue;
            }
            Token::Word(word) => {
                // `culverin crew without`
                if NOT.contains(&word.as_str()) && own.is_some() && at + 1 == tokens.len() {
                    break;
                }
                // `no swivel`, `without horses`: an option that is not taken.
                if let (true, Some(unit)) = (NOT.contains(&word.as_str()), own)
                    && let Some((_, words)) = option(unit, &tokens[at + 1..], effort)
                {
                    at += 1 + words;
                    continue;
                }
                // `… TOTAL 967` at the end.
                if let (true, Some(Token::Number { value, .. }), None) =
                    (TOTALS.contains(&word.as_str()), tokens.get(at + 1), tokens.get(at + 2))
                {
                    total = Some(*value);
                    at += 2;
                    continue;
                }
            }
        }
        match named(pack, own, !waiting.is_empty(), parted, &tokens[at..], effort) {
            Some((What::Option(option), words)) => {
                let segment = found.last_mut()?;
                let unit = &pack.units[segment.unit];
                at += words;
                // `2 long rifles`, else `long rifles x2`: a number right beside it, the last one before it.
                let mut times = None;
                if waiting.last().is_some_and(|last| may_be_times(unit, option, *last)) && !segment.fresh_end(&waiting)
                {
                    times = waiting.pop().map(|(value, ..)| value);
                }
                segment.numbers.append(&mut waiting);
                if let (None, Some(Token::Number { value, kind, .. })) = (times, tokens.get(at))
                    && may_be_times(unit, option, (*value, *kind, false))
                {
                    times = Some(*value);
                    at += 1;
                }
                // `torches on three of them`
                if let (None, [Token::Word(on), Token::Number { value, kind, .. }, ..]) = (times, &tokens[at..])
                    && matches!(on.as_str(), "on" | "for")
                    && may_be_times(unit, option, (*value, *kind, false))
                {
                    times = Some(*value);
                    at += 2;
                }
                let times = times.unwrap_or(1);
                // `drummer 12`: what it costs.
                if let Some(Token::Number { value, kind: Kind::Bare | Kind::Points, .. }) = tokens.get(at)
                    && segment.is_price(unit, option, times, *value)
                {
                    at += 1;
                }
                match segment.options.iter_mut().find(|(known, _)| *known == option) {
                    Some((_, sum)) => *sum = sum.saturating_add(times),
                    None => segment.options.push((option, times)),
                }
            }
            Some((What::Unit(unit), words)) => {
                let mut own = std::mem::take(&mut waiting);
                // Between two units the first number belongs to the first, unless it stands right before the second.
                let of_units = own.first().is_some_and(|(_, kind, _)| *kind == Kind::Units);
                if let Some(segment) = found.last_mut()
                    && own.len() > 1
                    && !(own.len() == 2 && (of_units || parted && matches!(own[1], (_, Kind::Times, _))))
                {
                    let last = own.split_off(own.len() - 1);
                    segment.numbers.extend(std::mem::replace(&mut own, last));
                }
                // `skate runnets`: the same unit twice with nothing between is one name with a slip.
                if own.is_empty()
                    && !parted
                    && found.last().is_some_and(|last| last.unit == unit && last.options.is_empty())
                {
                    return None;
                }
                found.push(Segment { unit, before: own.len(), numbers: own, options: Vec::new() });
                (parted, at) = (false, at + words);
            }
            None => {
                let Token::Word(word) = &tokens[at] else { return None };
                if !SMALL.contains(&word.as_str()) {
                    // `two boats of brass pelicans`: what stands behind `of` is the name.
                    let behind_of =
                        matches!(at.checked_sub(1).map(|at| &tokens[at]), Some(Token::Word(of)) if of == "of");
                    early |= found.is_empty() || behind_of;
                    left_over.push(word.clone());
                }
                // `(55) and a Tread Hauler`: the number was the last unit's.
                if let (true, Some(segment)) = (JOINS.contains(&word.as_str()), found.last_mut()) {
                    segment.numbers.append(&mut waiting);
                }
                at += 1;
            }
        }
    }
    found.last_mut()?.numbers.append(&mut waiting);
    let mut units: Vec<Loose> = Vec::new();
    for segment in &found {
        let before =
            |spent: u64| units.iter().fold(spent, |sum, one| sum.saturating_add(line_cost(pack, &one.line).total));
        units.push(segment.meant(pack, number, spent.map(before))?);
    }
    Some(Found { units, left_over, early, total })
}

/// Whether the word behind a number is what this unit's models are called: `4 dogs` of a Dog Team.
fn counts_models(unit: &Unit, token: Option<&Token>) -> bool {
    let Some(Token::Word(word)) = token else { return false };
    let model = plain(&unit.forms.0);
    unit.models.1 > 1 && model.split(' ').next_back() == Some(plain(word).as_str())
}

/// Whether a text names a unit anywhere.
pub(super) fn names_a_unit(pack: &Pack, text: &str, effort: &mut Effort) -> bool {
    let Some(tokens) = tokens(text) else { return true };
    (0..tokens.len())
        .any(|at| matches!(named(pack, None, true, false, &tokens[at..], effort), Some((What::Unit(_), _))))
        || effort.is_spent()
}

/// The options of a unit that a line of its own names, each as often as it says.
pub(super) fn options(unit: &Unit, text: &str, effort: &mut Effort) -> Option<Vec<(usize, u32)>> {
    let tokens = tokens(text)?;
    let (mut found, mut waiting, mut at) = (Vec::new(), None, 0);
    while at < tokens.len() {
        match (&tokens[at], option(unit, &tokens[at..], effort)) {
            (Token::Mark, _) => at += 1,
            (_, Some((option, words))) => {
                at += words;
                let behind = tokens.get(at).and_then(|token| match token {
                    Token::Number { value, kind, .. } => Some((*value, *kind, false)),
                    Token::Word(_) | Token::Mark => None,
                });
                let times = [waiting.take(), behind].into_iter().flatten().find(|one| may_be_times(unit, option, *one));
                at += usize::from(times.is_some() && times == behind);
                found.push((option, times.map_or(1, |(value, ..)| value)));
            }
            (Token::Number { value, kind, .. }, None) if waiting.is_none() => {
                waiting = Some((*value, *kind, false));
                at += 1;
            }
            (Token::Word(word), None) if SMALL.contains(&word.as_str()) => at += 1,
            _ => return None,
        }
    }
    (waiting.is_none() && !found.is_empty()).then_some(found)
}

fn option(unit: &Unit, tokens: &[Token], effort: &mut Effort) -> Option<(usize, usize)> {
    let words = words(tokens);
    (1..=words.len()).rev().find_map(|length| {
        let text = words[..length].join(" ");
        effort.spend(unit.options.len());
        let option = unit.find.exact(&text).or_else(|| unit.find.found(&text).filter(|_| text.len() > 2))?;
        (!SMALL.contains(&text.as_str()) && !effort.is_spent()).then_some((option, length))
    })
}

/// The words that come next, as many as a name may have.
fn words(tokens: &[Token]) -> Vec<&str> {
    let word = |token: &Token| matches!(token, Token::Word(_));
    let next = tokens.iter().take(MOST_OF_A_NAME).take_while(|token| word(token));
    next.filter_map(|token| if let Token::Word(word) = token { Some(word.as_str()) } else { None }).collect()
}

/// How many names may still be held against words: lists are read in bounded time, however large the book is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Effort(usize);

impl Effort {
    /// What one list may take.
    pub(super) const ALL: Self = Self(90_000);
    /// What each further reading of it may take.
    pub(super) const AGAIN: Self = Self(30_000);

    fn spend(&mut self, names: usize) {
        self.0 = self.0.saturating_sub(names.saturating_mul(3).saturating_add(1));
    }

    fn is_spent(&self) -> bool {
        self.0 == 0
    }
}

#[derive(Clone, Copy)]
enum What {
    Unit(usize),
    Option(usize),
}

/// The unit, or the option of the unit before, that the next words name; the longest in full first.
fn named(
    pack: &Pack,
    own: Option<&Unit>,
    counted: bool,
    parted: bool,
    tokens: &[Token],
    effort: &mut Effort,
) -> Option<(What, usize)> {
    let words = words(tokens);
    if words.first().is_none_or(|word| SMALL.contains(word)) {
        return None;
    }
    type Find = fn(&Names, &str) -> Option<usize>;
    let exact: Find = |names, text| names.exact(text);
    let loose: Find = |names, text| {
        let long = text.chars().count() >= 3;
        let found = long.then(|| names.found(text).or_else(|| names.shortened(text))).flatten();
        found.filter(|index| names.same_numbers(*index, text))
    };
    let mut all = |find: Find, options: bool, units: bool| {
        (1..=words.len()).rev().filter(|length| !SMALL.contains(&words[length - 1])).find_map(|length| {
            effort.spend(pack.units.len());
            if effort.is_spent() {
                return None;
            }
            let text = words[..length].join(" ");
            let option = own.filter(|_| options).and_then(|unit| find(&unit.find, &text)).map(What::Option);
            let unit = || {
                let unit = find(&pack.find.units, &text).filter(|_| units)?;
                // `wharf rifle` is an option of that unit, and not a part of its name with something behind.
                let option = |longer| pack.units[unit].find.exact(&words[..longer].join(" ")).is_some();
                (!(length + 1..=words.len()).any(option)).then_some(What::Unit(unit))
            };
            Some((option.or_else(unit)?, length))
        })
    };
    let is_own = |what: What| {
        own.is_some_and(|own| matches!(what, What::Unit(unit) if pack.units[unit].named.id == own.named.id))
    };
    // Behind a number a whole name is a unit, else rather something that the unit before may carry.
    if counted {
        all(exact, true, true).or_else(|| all(loose, true, true))
    } else {
        all(exact, true, false)
            .or_else(|| {
                all(loose, true, false).filter(|_| {
                    !all(exact, false, true).is_some_and(|(what, length)| length > 1 || parted && is_own(what))
                })
            })
            .or_else(|| {
                let (full, slip) = (all(exact, false, true), all(loose, false, true));
                // `skate runnets` is rather the Skate Runners with a slip than skates and something else.
                full.filter(|(_, length)| slip.is_none_or(|(_, longer)| *length >= longer)).or(slip)
            })
    }
}

fn may_be_times(unit: &Unit, option: usize, (value, kind, _): (u32, Kind, bool)) -> bool {
    let most = unit.options[option].most.of(unit.models.1);
    matches!(kind, Kind::Bare | Kind::Times) && (1..=most.max(1)).contains(&value)
}
