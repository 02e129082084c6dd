//! Questions about a rule: what it says, or yes or no.
use super::lexicon::Class;
use super::names::{Fit, Sort};
use super::reading::{Reading, Told, arg};
use crate::commands::rule::RULE;
use crate::typing::Value;
use crate::typing::token::TokenKind;

mod terms;
pub use terms::names_afterwards;
use terms::{EFFECTS, afterwards, may_take, of_text, without_asides};

/// What a statement ends with that asks for a yes.
const TAGS: &[&str] = &[
    "yes", "yeah", "yea", "yep", "right", "correct", "innit", "true", "dunnit", "doesnt", "isnt", "dont", "wont",
    "aye", "eh", "huh", "surely", "agreed", "init",
];

/// A rule: what it says, or yes or no to a question about it.
pub fn rule(told: &Told<'_>) -> Option<Reading> {
    let message = told.message;
    let count = message.tokens.len();
    let mention = message
        .named(Sort::Rule)
        .filter(|one| one.ids.len() == 1 && told.battle.used[one.at..one.at + one.len].iter().any(|used| !used));
    let mention = mention.max_by_key(|one| (one.len, one.fit)).cloned();
    // `ignore the screen` of a fight takes the rule out of it, and asks for no rule.
    let ask = message.spans(Class::RuleAsk).any(|(at, _)| !(message.is(at, Class::Without) && told.battle.used[at]));
    // What belongs to no game at all.
    if message.has(Class::Outside) {
        return None;
    }
    let term = term(told);
    let word = message.has(Class::Rule);
    // `tar goes through doors, yeah?`
    let last = (0..count).rev().find(|at| !message.word(*at).is_empty());
    let tag = count > 3 && last.is_some_and(|at| TAGS.iter().any(|tag| message.any(at, &[tag])));
    // `tar sticks, doesn't it`
    let pronoun = last.is_some_and(|at| {
        count > 4
            && message.any(at, &["it", "they", "he", "she", "we", "i", "you", "there"])
            && message.is(at.wrapping_sub(1), Class::YesNo)
            && (message.is(at.wrapping_sub(1), Class::Neg) || at >= 2 && message.is_end(at - 2))
    });
    let yes = told.begins(Class::YesNo)
        || tag
        || pronoun
        || (0..count).any(|at| message.any(at, &["surely"]) && (at < 2 || message.is_end(at - 1)));
    let wh = told.begins(Class::Wh);
    let which = (0..count)
        .any(|at| message.any(at, &["which", "what", "name"]) && (at + 1..at + 4).any(|at| message.any(at, &["rule"])));
    let happens = (0..count).any(|at| message.any(at, &["what"]) && message.any(at + 1, &["happens", "happen"]))
        && (message.named(Sort::Flag).next().is_some()
            || told.fighters() <= 1 && message.named(Sort::Weapon).any(|one| one.fit != Fit::Part));
    let effect = (0..count).any(|at| message.any(at, EFFECTS));
    let stem = stem(told);
    let arms = (0..count).any(|at| message.any(at, &["guns", "gun", "weapons", "weapon", "blades", "bows"]));
    let numbered = told.battle.fighters().any(|side| side.count.is_some_and(|count| count > 1));
    let chance = (0..count)
        .any(|at| message.any(at, &["chance", "chances", "odds", "likely", "likelihood", "probability", "percent"]));
    let other = [Sort::Stat, Sort::Weapon, Sort::Flag, Sort::Cover, Sort::Option, Sort::Range]
        .iter()
        .any(|sort| message.named(*sort).any(|one| one.fit != Fit::Part));
    let facts = message.tokens.iter().any(|token| {
        !matches!(
            token.kind,
            TokenKind::Word(_) | TokenKind::Break | TokenKind::Line | TokenKind::Colon | TokenKind::Plus
        )
    });
    // `how many go down`, `how probable is it`, `what comes of his shot`: numbers are asked for, unless of inches.
    let quantity = (0..count).any(|at| {
        message.any(at, &["how"])
            && message.any(at + 1, &["many", "probable", "likely"])
            && !message.any(at + 2, &["inches", "inch", "cm"])
            || message.any(at, &["what"]) && message.any(at + 1, &["comes", "come"]) && message.any(at + 2, &["of"])
            || message.any(at, &["result"]) && message.any(at + 1, &["be"])
    });
    let mut score = 0.0;
    if let Some(mention) = &mention {
        score += if mention.len > 1 || mention.fit == Fit::Whole { 1.9 } else { 1.2 };
    }
    score += if stem { 1.5 } else { 0.0 };
    score += if term { 2.4 } else { 0.0 };
    // A name that is a roll afterwards asks what that is; and what may be taken is a rule of the book.
    let aftermath = afterwards(told);
    score += if aftermath {
        3.6
    } else if may_take(told) {
        2.4
    } else {
        0.0
    };
    // `great gun still shoots, right?`: whether it may, where nobody is attacked.
    let able = able(told) && (yes || message.asks());
    score += if able { 2.2 } else { 0.0 };
    // `do fowlers frighten oxen`: a word of what a rule says.
    let said = yes
        && !numbered
        && !chance
        && told.turns().is_none()
        && told.battle.amounts.is_empty()
        && !facts
        && of_text(told);
    score += if said { 1.6 } else { 0.0 };
    // `can guns be used in contact`
    if arms && yes && told.fighters() == 0 {
        score += 1.6;
    }
    // `can they make their Salt rolls against it`
    let rolled = yes
        && message
            .named(Sort::Stat)
            .any(|one| message.any(one.at + one.len, &["roll", "rolls", "save", "saves", "test", "tests"]));
    score += if rolled { 1.0 } else { 0.0 };
    score += 1.1 * f64::from(u8::from(ask))
        + 0.4 * f64::from(u8::from(word))
        + 0.7 * f64::from(u8::from(yes))
        + 0.3 * f64::from(u8::from(wh && mention.is_some()))
        + 0.3 * f64::from(u8::from(message.asks()));
    if mention.is_none() && !stem && !term && !able && !said && !aftermath {
        if !(other || arms || told.fighters() >= 1 || which)
            || !(yes || ask || word || which || happens || other && message.asks())
        {
            let nothing =
                ask && (0..count).any(|at| message.any(at, &["that", "this"]) && message.any(at + 1, &["rule"]));
            return nothing.then(|| {
                Reading::lacks(
                    &RULE,
                    Some("about"),
                    "Which rule? Say its name, or some of its words.",
                    2.0,
                    vec![true; count],
                    &[],
                )
            });
        }
        score += if other { 0.6 } else { 0.0 };
        // `do sappers still get grit against a culverin`
        if yes && message.named(Sort::Stat).next().is_some() && message.named(Sort::Check).next().is_none() {
            score += 1.5;
        }
    }
    let weapon = told.battle.fighters().count() <= 1
        && message.named(Sort::Weapon).any(|one| one.fit != Fit::Part)
        && (yes || ask)
        && (0..count).any(|at| {
            message.any(at, &["i", "we", "you", "u", "they", "one", "contact", "allowed"])
                || message.named(Sort::Range).any(|one| (one.at..one.at + one.len).contains(&at))
                || message.is(at, Class::ContactBand)
        });
    if weapon {
        score += 1.2;
    }
    // `can eel spears waver`, `can the heron mend twice`: whether it may be, and no chance of it.
    if may_be(told) {
        score += 2.6;
    }
    if message.has(Class::UnitList) && message.named(Sort::Role).next().is_some() {
        score -= 2.5;
    }
    // `could you work out what these do to those` asks for no yes or no.
    if told.is_courteous() && told.battle.roles.attackers.len() == 1 && told.battle.roles.targets.len() == 1 {
        score -= 1.4;
    }
    if message.spans(Class::Appraise).any(|(_, len)| len > 1) && !ask {
        score -= 1.5;
    }
    if which || happens {
        score += 2.2;
    }
    if effect
        && yes
        && told.battle.roles.targets.len() + told.battle.roles.attackers.len() <= 2
        && !numbered
        && told.turns().is_none()
    {
        score += if told.fighters() <= 1 { 1.3 } else { 0.9 };
    }
    if other && told.fighters() == 0 && message.asks() {
        score += 0.7;
    }
    if numbered {
        score -= 0.9;
    }
    // What tells of a fight, or of points lost over turns, asks for numbers and not for a rule.
    let pair = told.battle.roles.attackers.len() == 1 && told.battle.roles.targets.len() == 1;
    if pair && (numbered || !told.battle.table.without.is_empty() || !told.battle.table.with.is_empty()) && !ask {
        score -= 1.6;
    }
    if told.turns().is_some() || !told.battle.amounts.is_empty() && (told.fighters() > 0 || message.has(Class::Kill)) {
        score -= 1.8;
    }
    if facts && !yes && !ask && !message.has(Class::Rule) {
        score -= 1.2;
    }
    if quantity && !ask && !yes {
        score -= 1.6;
    }
    if chance {
        score -= 1.6;
        // `cold watch with the bell near, how big is the chance`: a roll, and no rule.
        if message.named(Sort::Check).next().is_some() && !ask {
            score -= 1.4;
        }
    }
    if told.fighters() >= 2 && mention.is_none() && !ask {
        score -= 0.6;
    }
    (score > 0.9).then(|| {
        let args = vec![arg("about", Value::Text(without_asides(message.text.trim())))];
        Reading::args(&RULE, args, score, vec![true; count], &[])
    })
}

/// The message as a question about whatever rule it is, where its words only sound like one.
pub fn any(message: &super::message::ParsedMessage<'_>) -> Reading {
    let args = vec![arg("about", Value::Text(without_asides(message.text.trim())))];
    Reading::args(&RULE, args, 1.0, vec![true; message.tokens.len()], &[])
}

/// `what is gnaw`, `leaks chart pls`, `where is the knockdown chart`: a word of the pack is to be explained.
fn term(told: &Told<'_>) -> bool {
    let message = told.message;
    let Some(mention) = message.named(Sort::Term).filter(|one| one.fit == Fit::Whole).max_by_key(|one| one.len) else {
        return false;
    };
    let words = 0..message.tokens.len();
    let chart = words.clone().any(|at| message.any(at, &["chart", "table", "charts", "step", "roll"]));
    let what = words.clone().any(|at| {
        message.any(at, &["whats", "mean", "means", "explain", "define", "meaning"])
            || message.any(at, &["what", "wot", "wat"])
                && message.any(at + 1, &["is", "are", "does", "do", "was", "s", "happens"])
            || message.any(at, &["what"]) && (at + 2..at + 5).any(|at| message.any(at, &["is", "means", "does", "do"]))
    });
    let alone = words.clone().all(|at| {
        message.is_end(at)
            || message.is(at, Class::Small)
            || (mention.at..mention.at + mention.len).contains(&at)
            || chart
    });
    let told_of = told.fighters() > 0
        || message
            .tokens
            .iter()
            .any(|token| !matches!(token.kind, TokenKind::Word(_) | TokenKind::Break | TokenKind::Line));
    !told_of && (chart || what && words.len() <= 9 || alone && words.len() <= 4)
}

/// Whether a question asks if a unit may act, and not what it does.
pub fn may_act(told: &Told<'_>) -> bool {
    able(told) && told.asks()
}

/// `can it shoot if it moved`, `it still fires, right`: whether a unit may act at all.
fn able(told: &Told<'_>) -> bool {
    let message = told.message;
    let acts = |at: usize| {
        message.any(
            at,
            &[
                "shoot",
                "shoots",
                "shot",
                "fire",
                "fires",
                "fired",
                "throw",
                "throws",
                "loose",
                "use",
                "used",
                "charge",
                "rush",
                "move",
                "moves",
                "run",
                "attack",
                "attacks",
                "discharged",
                "discharge",
            ],
        )
    };
    let may = (0..message.tokens.len()).any(|at| {
        message.any(at, &["can", "may", "still", "allowed", "able", "permitted", "also"])
            && (at + 1..at + 6).any(|at| {
                // `can I shoot the punt`: who is shot at.
                let object = message.named(Sort::Unit).any(|one| (at + 1..at + 4).contains(&one.at));
                acts(at) && !message.any(at + 1, &["at", "on"]) && !object
            })
    });
    let counted = told.battle.sides.iter().any(|side| side.count.is_some_and(|count| count > 1));
    let far = message
        .tokens
        .iter()
        .any(|token| matches!(token.kind, TokenKind::Inches(_) | TokenKind::Number(_) | TokenKind::Needs(_)));
    may && !counted
        && !far
        && told.fighters() <= 1
        && told.battle.amounts.is_empty()
        && (told.fighters() == 1 || message.named(Sort::Weapon).next().is_some() || message.has(Class::Rule))
        && !message.has(Class::Needed)
}

/// `can eel spears waver`: whether something can happen to a unit at all, with no number that a chance would need.
pub fn may_be(told: &Told<'_>) -> bool {
    let message = told.message;
    let numbers = message.tokens.iter().any(|token| {
        !matches!(
            token.kind,
            TokenKind::Word(_)
                | TokenKind::Break
                | TokenKind::Line
                | TokenKind::Colon
                | TokenKind::Plus
                | TokenKind::Times(_)
        )
    });
    let can = (0..2).any(|at| message.any(at, &["can"])) && message.tokens.len() <= 9;
    // `surely the oxen don't have to test`: whether they must, and not how it goes.
    let must = must(told) && message.tokens.len() <= 14;
    let what = message.has(Class::CheckMorale) || message.has(Class::Run) || message.has(Class::Repair);
    let tried = must && (message.has(Class::Check) || message.named(Sort::Check).next().is_some());
    (can && what || tried) && !numbers && told.fighters() == 1 && told.battle.amounts.is_empty()
}

/// `do they have to`, `must they ever`: asks for a duty, and for no chance.
pub fn must(told: &Told<'_>) -> bool {
    let message = told.message;
    let words = 0..message.tokens.len();
    let duty = words.clone().any(|at| {
        message.any(at, &["have", "has", "need", "needs", "got"]) && message.any(at + 1, &["to"])
            || message.any(at, &["ever"])
            || at < 2 && message.any(at, &["must"])
    });
    let chance = words.clone().any(|at| {
        message.any(at, &["chance", "chances", "odds", "likely", "likelihood", "probability", "percent", "what", "how"])
    });
    let yes = told.begins(Class::YesNo) || words.clone().any(|at| message.any(at, &["surely", "dont", "doesnt"]));
    duty && yes && !chance
}

/// Whether a word is of the stem of a rule's name: `do oxen trample other oxen`.
fn stem(told: &Told<'_>) -> bool {
    let long: Vec<&str> =
        told.message.tokens.iter().map(|token| token.word.as_str()).filter(|word| word.len() >= 6).collect();
    // A unit that fights is named for itself and not for a rule that is called after it.
    let unit = |word: &str| {
        told.battle
            .fighters()
            .any(|side| side.count.is_some() && (side.at..side.end()).any(|at| told.message.word(at) == word))
    };
    let long: Vec<&str> = long.into_iter().filter(|word| !unit(word)).collect();
    told.index().rules.iter().any(|rule| {
        let words = crate::client::index::name_words(&rule.name);
        words
            .iter()
            .filter(|word| word.len() >= 6)
            .any(|word| long.iter().any(|said| said[..6] == word[..6] && said.is_char_boundary(6)))
    })
}
