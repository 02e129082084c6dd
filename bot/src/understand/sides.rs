//! One grammar for a side: its number and its unit. What it carries and who stands by is read in `carried`.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::{Fit, Sort};
use crate::client::index::{PackIndex, name_words};
use crate::typing::fillers::singular;
use crate::typing::token::TokenKind;
use pipwright_shared::wire::packs::UnitHead;

mod behind;
use behind::count_behind;

/// Something that a side carries, and how many of it where that was said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Extra {
    /// As requests have it.
    pub id: String,
    /// How many.
    pub times: Option<u64>,
}

/// Whose a side is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Whose {
    /// The speaker's.
    Mine,
    /// The opponent's.
    Theirs,
}

/// A unit that was named, with all that was said of it.
#[derive(Clone, Debug)]
pub struct Side {
    /// The unit; several where the words fit several.
    pub ids: Vec<String>,
    /// Where its name stands.
    pub at: usize,
    /// How many words the name has.
    pub len: usize,
    /// Where all that stands before it begins: its number, its article.
    pub start: usize,
    /// How many there are.
    pub count: Option<u64>,
    /// Whether that number counts whole units that are several models each: three gangs, not a gang of three.
    pub whole: bool,
    /// What it carries.
    pub options: Vec<Extra>,
    /// The only weapons that it uses.
    pub weapons: Vec<String>,
    /// Units that it stands near.
    pub near: Vec<String>,
    /// Marks that it bears.
    pub statuses: Vec<String>,
    /// What is left of it.
    pub left: Option<u64>,
    /// What it has lost.
    pub lost: Option<u64>,
    /// Whose it is.
    pub whose: Option<Whose>,
    /// How well the words fit.
    pub fit: Fit,
    /// Whether it only stands by another.
    pub helper: bool,
}

impl Side {
    /// The unit, where it is clear which.
    pub fn unit(&self) -> Option<&str> {
        match self.ids.as_slice() {
            [one] => Some(one),
            _ => None,
        }
    }

    /// Where its name ends.
    pub fn end(&self) -> usize {
        self.at + self.len
    }

    /// How many models its number is.
    pub fn models(&self, index: &PackIndex) -> Option<u64> {
        let id = self.ids.first()?;
        match (self.count?, index.unit(id)) {
            (count, Some(unit)) if self.whole => Some(count * u64::from(unit.least)),
            (count, _) => Some(super::battle::models(index, id, count)),
        }
    }
}

/// Words between a number and its unit.
const BETWEEN: &[&str] = &[
    "of", "my", "his", "her", "their", "our", "your", "the", "these", "those", "man", "men", "model", "models", "more",
    "full", "strong", "em", "them", "brave", "little", "big", "other", "fresh", "lone", "single", "good", "old",
    "poor", "such", "a",
];

const MINE: &[&str] = &["my", "mine", "our", "ours", "we", "i"];
const THEIRS: &[&str] = &["his", "her", "their", "your", "theirs"];

/// The units of a message with their numbers.
pub fn sides(message: &ParsedMessage<'_>, used: &mut [bool]) -> Vec<Side> {
    let mut sides: Vec<Side> = Vec::new();
    for mention in message.named(Sort::Unit) {
        let (at, len) = (mention.at, mention.len);
        if used[at..at + len].iter().any(|used| *used) || sides.last().is_some_and(|side| side.end() > at) {
            continue;
        }
        let unit = mention.ids.first().and_then(|(id, _)| message.index.unit(id));
        let (count, start) = count_before(message, used, at, unit);
        let money = count.is_some_and(|(_, _, count)| count >= 100) && message.has(Class::Points);
        let count = count.filter(|_| !money);
        let owned = start < at;
        // `with a bolt gun`, `stakes only`: a word of a crew's name that is a weapon here.
        let armed = message
            .mentions
            .iter()
            .any(|one| one.at == at && one.len == len && matches!(one.sort, Sort::Option | Sort::Weapon));
        let given = at >= 2
            && message.any(at - 1, &["a", "an", "the", "some", "their", "its"])
            && sides.last().is_some_and(|side| {
                side.end() == at - 1
                    && (side.start.saturating_sub(2)..side.start)
                        .any(|at| message.any(at, &["give", "gives", "gave", "giving", "hand", "handing"]))
            });
        let led = given
            || (at.saturating_sub(2)..at).any(|at| message.any(at, &["with", "w", "carrying", "has", "have", "got"]));
        if mention.fit == Fit::Part && !sides.is_empty() && (armed && led || message.any(at + len, &["only"])) {
            continue;
        }
        // `three bolt-gun crews … the crews did not move`: who was named before, by a word that others share.
        let repeated = sides.iter().any(|side| {
            side.unit().is_some_and(|unit| mention.ids.len() > 1 && mention.ids.iter().any(|(id, _)| id == unit))
        });
        if repeated && count.is_none() {
            used[at..at + len].fill(true);
            continue;
        }
        if mention.ids.len() > 1 && !owned && !message.any(at.wrapping_sub(1), &["a", "an"]) {
            continue;
        }
        // `a crab that's lost its gun already`: a part of the unit before.
        let part = mention.fit == Fit::Part
            && at >= 2
            && message.any(at - 1, &["its", "his", "their", "the", "her", "a"])
            && message.any(at - 2, &["lost", "losing", "without", "damaged"])
            && !sides.is_empty();
        if part {
            continue;
        }
        // `five walkers with their bows`: a weapon of the unit before is no unit.
        let owned_arm = mention.fit != Fit::Whole
            && (message.any(at.wrapping_sub(1), &["their", "his", "her", "its"])
                || message.any(at.wrapping_sub(1), &["the"])
                    && message
                        .any(at.wrapping_sub(2), &["shoots", "fires", "shooting", "firing", "uses", "using", "with"]))
            && sides.last().and_then(Side::unit).and_then(|id| message.index.unit(id)).is_some_and(|unit| {
                let word = crate::typing::fillers::singular(message.word(at));
                unit.weapons.iter().any(|weapon| weapon.rsplit('-').next() == Some(word))
            });
        if owned_arm {
            continue;
        }
        // `wardens, six of em, bolt guns`: what the unit before may take.
        let taken = mention.fit == Fit::Part
            && message.mentions.iter().any(|one| {
                one.sort == Sort::Option
                    && one.at == at
                    && one.len >= len
                    && one.ids.iter().any(|(_, owner)| {
                        owner.as_ref().is_some_and(|owner| sides.iter().any(|side| side.ids.contains(owner)))
                    })
            });
        if taken {
            continue;
        }
        // A word of several that also means something else is a name only where it stands as one.
        let stands_by = (at + len..at + len + 3).any(|at| {
            message
                .begins(Class::Near, at)
                .is_some_and(|words| words > 1 || message.any(at, &["beside", "alongside", "nearby"]))
        });
        if mention.fit == Fit::Part
            && mention.len == 1
            && !owned
            && !stands_by
            && is_modifier(message, mention.ids.first().map(|one| &one.0), at)
            && message.mentions.iter().any(|one| one.at <= at && at < one.at + one.len && one.sort != Sort::Unit)
        {
            continue;
        }
        // `crosses a lock`: ground that happens to be a word of a name.
        let crossed = mention.fit == Fit::Part
            && (at.saturating_sub(3)..at).any(|at| {
                message.any(at, &["cross", "crosses", "crossing", "crossed", "over", "through", "across"])
                    && message.any(at + 1, &["a", "the", "an"])
            });
        if crossed {
            continue;
        }
        // `dike hands`: an ordinary word that is nearly the one that the name has there.
        let nearly = at > 0
            && mention.fit == Fit::Part
            && mention.ids.len() == 1
            && !used[at - 1]
            && mention.ids.first().and_then(|(id, _)| message.index.unit(id)).is_some_and(|unit| {
                let said = crate::typing::fillers::singular(message.word(at - 1));
                let near = |word: &String| word.len() >= 4 && said.len() >= 4 && strsim::osa_distance(word, said) == 1;
                crate::client::index::name_words(&unit.name).iter().any(near)
            });
        let (count, start) =
            if nearly && count.is_none() { count_before(message, used, at - 1, unit) } else { (count, start) };
        if nearly {
            used[at - 1] = true;
        }
        used[at..at + len].fill(true);
        let count = count.map(|place| {
            used[place.0..=place.1].fill(true);
            place.2
        });
        // `three Tar Gangs` are three of them; `a Tar Gang of three` is one.
        let last = message.word(at + len - 1);
        let whole = count.is_some_and(|count| count > 1)
            && unit.is_some_and(UnitHead::is_counted_whole)
            && singular(last) != last;
        let most = unit.filter(|unit| !unit.armoured && unit.most > 1).map_or(u64::MAX, |unit| unit.most.into());
        let count = count.or_else(|| count_behind(message, used, at + len, most));
        // `8 tallies, half strength now`
        let half =
            (at + len..at + len + 3).find(|at| message.any(*at, &["half"]) && message.any(*at + 1, &["strength"]));
        if let Some(half) = half {
            used[half..half + 2].fill(true);
        }
        let count = count.map(|count| if half.is_some() { count.div_ceil(2) } else { count });
        let whose = (start..at).find_map(|at| {
            if message.any(at, MINE) {
                Some(Whose::Mine)
            } else if message.any(at, THEIRS) {
                Some(Whose::Theirs)
            } else {
                None
            }
        });
        sides.push(Side {
            ids: mention.ids.iter().map(|(id, _)| id.clone()).collect(),
            at,
            len,
            start,
            count,
            whole,
            options: Vec::new(),
            weapons: Vec::new(),
            near: Vec::new(),
            statuses: Vec::new(),
            left: None,
            lost: None,
            whose,
            fit: mention.fit,
            helper: false,
        });
    }
    sides
}

/// Whether the word is the first of a name of several words and stands without the others in the singular, as an ordinary word.
fn is_modifier(message: &ParsedMessage<'_>, id: Option<&String>, at: usize) -> bool {
    let unit = id.and_then(|id| message.index.unit(id));
    let last = unit.and_then(|unit| unit.name.rsplit(' ').next()).map(str::to_lowercase).unwrap_or_default();
    let word = message.word(at);
    let head = crate::typing::fillers::singular(word) == crate::typing::fillers::singular(&last);
    !head && pipwright_shared::english::is_word(word) && !word.ends_with('s')
}

/// A number before a unit: where it begins and ends, and what it is; and where all that belongs to the unit begins.
fn count_before(
    message: &ParsedMessage<'_>,
    used: &[bool],
    unit: usize,
    named: Option<&UnitHead>,
) -> (Option<(usize, usize, u64)>, usize) {
    let mut start = unit;
    // `2 boats of Punt Gunners`: what people count of it stands before its name.
    let counted: Vec<String> = named
        .filter(|named| named.singular.contains(" of ") && named.singular.ends_with(&named.name))
        .map(|named| name_words(&named.singular[..named.singular.len() - named.name.len()]))
        .unwrap_or_default();
    let is_counted = |at: usize| {
        let word = message.word(at);
        !word.is_empty() && counted.iter().any(|known| known == singular(word))
    };
    // `ten pete cutters`: one word that nobody knows may stand between.
    let strange = unit > 1 && message.number(unit - 2).is_some() && !used[unit - 1] && is_adjective(message, unit - 1);
    for at in (unit.saturating_sub(4)..unit - usize::from(strange)).rev() {
        // `lost 1, tinkers right next to it`
        let lost = at > 0
            && message.any(at - 1, &["lost", "missing", "missin", "down"])
            && !message.any(at + 1, &["of"])
            && !(at > 1 && message.any(at - 1, &["down"]) && message.is(at - 2, Class::Attack));
        if lost {
            break;
        }
        // `next 2 my wardens`
        let to = at > 0 && message.number(at) == Some(2) && message.any(at - 1, &["next", "close", "adjacent", "near"]);
        if let Some(number) = number_at(message, at).filter(|_| !used[at] && !to) {
            return (Some((at, if strange { at } else { unit - 1 }, number)), at);
        }
        let between = message.any(at, BETWEEN)
            || is_counted(at)
            || message.any(at, &["remaining"])
            || used[at] && message.named_at(Sort::Flag, at).is_some();
        if !between {
            break;
        }
        start = at;
    }
    (None, start)
}

/// Whether a word before a name says nothing that anything here knows: `ten fine hands`.
fn is_adjective(message: &ParsedMessage<'_>, at: usize) -> bool {
    let token = &message.tokens[at];
    let named = message.mentions.iter().any(|one| one.at <= at && at < one.at + one.len);
    let ordinary = !token.word.is_empty() && !token.word.ends_with('s') && token.classes.is_empty();
    token.unknown || ordinary && !named && !token.owns
}

fn number_at(message: &ParsedMessage<'_>, at: usize) -> Option<u64> {
    match message.tokens.get(at)?.kind {
        TokenKind::Number(_) => message.number(at),
        TokenKind::Times(times) => Some(times),
        _ => None,
    }
}
