//! A line read loosely: units, numbers and options in any order and between any signs. It is taken only where every word
//! and every number of it has a meaning, and where there is one meaning only.
use super::super::{Line, line_cost};
use super::tokens::{Kind, Token, tokens};
use crate::report::counting::Counted;
use crate::rules::model::Pack;
use crate::rules::model::unit::Unit;
use crate::rules::names::Names;

/// A unit of such a line, with the points that stand beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Loose {
    pub(super) line: Line,
    pub(super) points: Option<u32>,
    /// Whether these points are what it costs.
    pub(super) fits: bool,
}

/// Words that may stand between names and numbers.
const SMALL: &[&str] = &[
    "with",
    "w",
    "and",
    "each",
    "both",
    "of",
    "them",
    "the",
    "a",
    "an",
    "incl",
    "including",
    "included",
    "on",
    "plus",
    "also",
    "my",
    "x",
    "at",
    "for",
    "one",
    "all",
    "having",
    "i",
    "i'd",
    "i'll",
    "i'm",
    "im",
    "play",
    "take",
    "taking",
    "bring",
    "so",
    "oh",
    "that's",
    "thats",
    "it",
    "then",
    "course",
    "included",
    "full",
    "painted",
];
/// The most words of a name.
const MOST_OF_A_NAME: usize = 4;
/// The most numbers that are weighed for one unit.
const MOST_NUMBERS: usize = 4;

/// The units of a line; nothing where anything of it is left over or may mean two things.
pub(super) fn read(pack: &Pack, number: u32, text: &str, effort: &mut Effort) -> Option<Vec<Loose>> {
    let tokens = tokens(text)?;
    let mut found: Vec<Segment> = Vec::new();
    // Numbers that stand before what they belong to.
    let mut waiting: Vec<(u32, Kind, bool)> = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        if let Token::Number { value, kind, padded } = tokens[at] {
            waiting.push((value, kind, at == 0 || padded));
            at += 1;
            continue;
        }
        if matches!(tokens[at], Token::Mark) {
            if let Some(segment) = found.last_mut() {
                segment.numbers.append(&mut waiting);
            }
            at += 1;
            continue;
        }
        let own = found.last().map(|segment: &Segment| &pack.units[segment.unit]);
        match named(pack, own, !waiting.is_empty(), &tokens[at..], effort) {
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
                match segment.options.iter_mut().find(|(known, _)| *known == option) {
                    Some((_, sum)) => *sum = sum.saturating_add(times.unwrap_or(1)),
                    None => segment.options.push((option, times.unwrap_or(1))),
                }
            }
            Some((What::Unit(unit), words)) => {
                let mut own = std::mem::take(&mut waiting);
                // Between two units the first number belongs to the first, unless it stands right before the second.
                if let Some(segment) = found.last_mut()
                    && own.len() > 1
                {
                    let last = own.split_off(own.len() - 1);
                    segment.numbers.extend(std::mem::replace(&mut own, last));
                }
                found.push(Segment { unit, before: own.len(), numbers: own, options: Vec::new() });
                at += words;
            }
            None => {
                let Token::Word(word) = &tokens[at] else { return None };
                if !SMALL.contains(&word.as_str()) {
                    return None;
                }
                at += 1;
            }
        }
    }
    found.last_mut()?.numbers.append(&mut waiting);
    found.iter().map(|segment| segment.settled(pack, number)).collect()
}

/// Whether a text names a unit anywhere.
pub(super) fn names_a_unit(pack: &Pack, text: &str, effort: &mut Effort) -> bool {
    let Some(tokens) = tokens(text) else { return true };
    (0..tokens.len()).any(|at| matches!(named(pack, None, true, &tokens[at..], effort), Some((What::Unit(_), _))))
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
        let option = unit.find.exact(&text).or_else(|| unit.find.find(&text).ok().filter(|_| text.len() > 2))?;
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
    pub(super) const ALL: Self = Self(120_000);

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
        let found = long.then(|| names.find(text).ok().or_else(|| names.shortened(text))).flatten();
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
            let unit = || find(&pack.find.units, &text).filter(|_| units).map(What::Unit);
            Some((option.or_else(unit)?, length))
        })
    };
    // Behind a number a whole name is a unit, else rather something that the unit before may carry.
    if counted {
        all(exact, true, true).or_else(|| all(loose, true, true))
    } else {
        all(exact, true, false)
            .or_else(|| {
                all(loose, true, false).filter(|_| !all(exact, false, true).is_some_and(|(_, length)| length > 1))
            })
            .or_else(|| all(exact, false, true))
            .or_else(|| all(loose, false, true))
    }
}

fn may_be_times(unit: &Unit, option: usize, (value, kind, _): (u32, Kind, bool)) -> bool {
    let most = unit.options[option].most.of(unit.models.1);
    matches!(kind, Kind::Bare | Kind::Times) && (1..=most.max(1)).contains(&value)
}

/// A unit with the numbers around it.
struct Segment {
    unit: usize,
    /// How many of the numbers stand before it.
    before: usize,
    numbers: Vec<(u32, Kind, bool)>,
    options: Vec<(usize, u32)>,
}

/// What a number is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Role {
    Count,
    Models,
    Points,
    Place,
}

impl Segment {
    /// Whether the number that waits is the only one behind the unit's name, and may be its size.
    fn fresh_end(&self, waiting: &[(u32, Kind, bool)]) -> bool {
        matches!(waiting, [(_, Kind::Models | Kind::Units | Kind::Points, _)]) || self.numbers.len() > MOST_NUMBERS
    }

    /// The one way in which all numbers mean something.
    fn settled(&self, pack: &Pack, number: u32) -> Option<Loose> {
        let factors = self.numbers.iter().filter(|(_, kind, _)| *kind == Kind::Times).count();
        let none = self.numbers.iter().any(|(value, ..)| *value == 0);
        if self.numbers.len() > MOST_NUMBERS || factors > 1 || none {
            return None;
        }
        let unit = &pack.units[self.unit];
        let mut best: Option<(u32, Loose)> = None;
        let mut twice = false;
        let ways = 4_usize.pow(u32::try_from(self.numbers.len()).ok()?);
        for way in 0..ways {
            let roles: Vec<Role> = (0..self.numbers.len())
                .map(|at| [Role::Count, Role::Models, Role::Points, Role::Place][way / 4_usize.pow(at as u32) % 4])
                .collect();
            let Some((penalty, loose)) = self.way(pack, unit, number, &roles) else { continue };
            match &best {
                Some((least, known)) if *least == penalty => twice |= known.line != loose.line,
                Some((least, _)) if *least < penalty => {}
                _ => (best, twice) = (Some((penalty, loose)), false),
            }
        }
        best.filter(|_| !twice).map(|(_, loose)| loose)
    }

    /// What it is where each number has its role, and how much speaks against that.
    fn way(&self, pack: &Pack, unit: &Unit, number: u32, roles: &[Role]) -> Option<(u32, Loose)> {
        let (least, most) = unit.models;
        let (mut count, mut models, mut points, mut against) = (None, None, None, 0);
        // `45 each, 90`: what one costs and what all cost.
        let mut second = None;
        for (at, (role, (value, kind, first))) in roles.iter().zip(&self.numbers).enumerate() {
            let before = at < self.before;
            match (role, kind) {
                (Role::Count, Kind::Bare | Kind::Times | Kind::Units)
                    if count.is_none() && (1..=30).contains(value) =>
                {
                    count = Some(*value);
                    let usual = *kind == Kind::Units || most == 1 || unit.counted == Counted::Units;
                    against += if usual { 0 } else { 4 };
                }
                (Role::Models, Kind::Bare | Kind::Times | Kind::Models) if models.is_none() => {
                    let whole = least == most && (*value == least || *value == 1);
                    if !(least..=most).contains(value) && !whole {
                        return None;
                    }
                    models = Some(if whole { least } else { *value });
                    against += if *kind == Kind::Models || unit.counted == Counted::Models && most > 1 { 0 } else { 2 };
                }
                (Role::Points, Kind::Bare | Kind::Points) if points.is_none() => {
                    points = Some(*value);
                    against += u32::from(before && *kind == Kind::Bare);
                }
                (Role::Points, Kind::Bare | Kind::Points) if second.is_none() => second = Some(*value),
                // `2. Dyke Hands`, `02 Dyke Hands`: its place in the list.
                (Role::Place, Kind::Bare) if *first && before && at == 0 && *value <= 60 => against += 8,
                _ => return None,
            }
        }
        let line = Line {
            number,
            unit: self.unit,
            count: count.unwrap_or(1),
            models: models.unwrap_or(least),
            options: self.options.clone(),
        };
        let cost = line_cost(pack, &line);
        let one = cost.total / u64::from(line.count);
        let bare = unit.cost(line.models);
        if let Some(second) = second {
            let pair = [points.map(u64::from), Some(u64::from(second))];
            if pair != [Some(one), Some(cost.total)] && pair != [Some(bare), Some(bare * u64::from(line.count))] {
                return None;
            }
            points = Some(second);
        }
        let costs = [cost.total, one, bare, bare * u64::from(line.count)];
        // What stands there is rather what all of it costs.
        if line.count > 1 && points.is_some_and(|points| u64::from(points) != cost.total) {
            against += 3;
        }
        let fits = points.is_some_and(|points| costs.contains(&u64::from(points)));
        let behind = roles.iter().rposition(|role| *role == Role::Points).is_some_and(|at| at >= self.before);
        let said_so = self.numbers.iter().any(|(_, kind, _)| *kind == Kind::Points);
        match points {
            Some(_) if fits => {}
            // Options on lines of their own may make up for it; the sum is checked then.
            Some(points) if said_so || behind && (most.max(30) < points && points <= 100_000) => against += 20,
            Some(_) => return None,
            None => against += 10,
        }
        Some((against, Loose { line, points, fits }))
    }
}
