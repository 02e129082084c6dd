//! What the words of a question say of the table: an arc, a range, a weapon …, each by the pack's own names.
use super::super::matchup::UnitInstance;
use super::super::model::attack::Body;
use super::super::model::change::RollId;
use super::super::model::{Named, Pack};
use super::super::names::plain;
use super::axes;
use super::lexicon::{self, is_in};
use super::spots::{Lexicon, Sort, Spot, options, statuses};
use super::topics::{What, topics};
use super::words::{Word, words};

/// What was said. An axis of which nothing was said has all its words.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Said {
    /// Arcs that it can be, by index.
    pub arcs: Vec<usize>,
    /// Range bands that it can be.
    pub ranges: Vec<usize>,
    /// The distance in inches, where it was said.
    pub distance: Option<u32>,
    /// Covers that it can be.
    pub covers: Vec<usize>,
    /// Whether the attacker moved.
    pub moved: Option<bool>,
    /// Each flag, where it was spoken of.
    pub flags: Vec<Option<bool>>,
    /// Weapons that were named, alone or by a word that several share.
    pub weapons: Vec<usize>,
    /// Units that were named, in their order, each as often as it was.
    pub mentions: Vec<Mention>,
    /// Rules that were named.
    pub rules: Vec<usize>,
    /// Options that were named, by unit and option.
    pub options: Vec<(usize, usize)>,
    /// Marks that were named.
    pub statuses: Vec<String>,
    /// Rolls and what goes into them.
    pub topics: Vec<(What, Vec<RollId>)>,
    /// Numbers that count models.
    pub counts: Vec<u32>,
    /// Numbers that a die shows.
    pub faces: Vec<u32>,
    /// Needs: `4+`.
    pub needs: Vec<u32>,
    /// Numbers of which nothing says what they are.
    pub numbers: Vec<u32>,
    /// Whether the roll that is asked about failed: `on a miss`.
    pub missed: bool,
    /// Both sides as they stand, where all of the table is known.
    pub cast: Option<Box<(UnitInstance, UnitInstance)>>,
    /// What was understood, in the pack's own words.
    pub understood: Vec<String>,
    /// Which axes were spoken of.
    pub spoken: Spoken,
}

/// Which axes were spoken of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spoken {
    /// An arc.
    pub arc: bool,
    /// A range band or a distance.
    pub range: bool,
    /// A cover.
    pub cover: bool,
}

/// Units that were spoken of by one name: one unit, or all of a kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mention {
    /// Which, by index.
    pub units: Vec<usize>,
    /// As the other side: `against rifles`.
    pub opposed: bool,
    /// As one that stands near: `next to the launch`.
    pub near: bool,
    /// As one for whom the rule is to work: `does it work on barges`, `is the lighter low on the water`.
    pub on_whom: bool,
}

/// A question as it was read: its words, the names in them, and what these say.
#[derive(Clone, Debug)]
pub struct Reading {
    /// The words.
    pub words: Vec<Word>,
    /// The names, in their order.
    pub spots: Vec<Spot>,
    /// Which words names take.
    pub taken: Vec<bool>,
    /// What they say.
    pub said: Said,
}

impl Said {
    /// Reads a question.
    pub fn of(pack: &Pack, text: &str) -> Self {
        Reading::of(pack, text).said
    }
}

impl Reading {
    /// Reads a question.
    pub fn of(pack: &Pack, text: &str) -> Self {
        let mut words = words(text);
        let (spots, taken) = Lexicon::of(pack).spots(&mut words);
        let said = Said { flags: vec![None; pack.situations.flags.len()], ..Said::default() };
        let mut reading = Self { words, spots, taken, said };
        axes::read(pack, &mut reading);
        reading.names(pack);
        reading.groups(pack);
        super::numbers::read(&mut reading);
        reading
    }

    /// The plain word at a place; empty beyond the ends.
    pub fn word(&self, at: usize) -> &str {
        self.words.get(at).map_or("", |word| word.plain.as_str())
    }

    /// The last word before a place that is more than a small one, and where; none beyond the clause.
    pub fn before(&self, at: usize) -> Option<(usize, &str)> {
        let mut at = at;
        while at > 0 && !self.words[at].breaks {
            at -= 1;
            let word = self.word(at);
            if !lexicon::SMALL.contains(&word) && self.words[at].number.is_none() {
                return Some((at, word));
            }
        }
        None
    }

    /// Whether a place is denied: `not in fog`, `without the screen`.
    pub fn is_denied(&self, at: usize) -> bool {
        // `surely not` denies the whole sentence.
        let of_all = |at: usize| at > 0 && matches!(self.word(at - 1), "surely" | "or" | "why" | "if");
        self.before(at).is_some_and(|(at, word)| is_in(lexicon::NOT, word) && !of_all(at))
            || (at > 0 && !self.words[at].breaks && self.word(at - 1) == "no")
    }

    fn names(&mut self, pack: &Pack) {
        let (options, statuses, topics) = (options(pack), statuses(pack), topics(pack));
        for spot in self.spots.clone() {
            let label = |named: &Named| named.label.clone();
            let (list, said) = match spot.sort {
                Sort::Unit => {
                    self.mention(vec![spot.at], spot);
                    self.note(label(&pack.units[spot.at].named));
                    continue;
                }
                Sort::Kind => {
                    let named = &pack.kinds[spot.at].named;
                    let of = (0..pack.units.len()).filter(|unit| pack.units[*unit].kind == spot.at).collect();
                    self.mention(of, spot);
                    self.note(label(named));
                    continue;
                }
                Sort::Option => {
                    self.said
                        .options
                        .extend((!self.said.options.contains(&options[spot.at])).then_some(options[spot.at]));
                    continue;
                }
                Sort::Status => {
                    self.said.statuses.push(statuses[spot.at].to_owned());
                    self.note(statuses[spot.at].to_owned());
                    continue;
                }
                Sort::Topic => {
                    let topic = &topics[spot.at];
                    // A number and the roll that is made on it have one name.
                    let same = self.said.topics.iter().any(|(_, rolls)| !rolls.is_empty() && *rolls == topic.rolls);
                    if !same && self.is_topic(&spot, topic.what) {
                        self.said.topics.push((topic.what, topic.rolls.clone()));
                    }
                    continue;
                }
                Sort::Weapon => (&mut self.said.weapons, Some(label(&pack.weapons[spot.at].named))),
                // Which rule it is about stands beside the answer anyway.
                Sort::Rule => (&mut self.said.rules, None),
                Sort::Arc | Sort::Range | Sort::Cover | Sort::Flag => continue,
            };
            if !list.contains(&spot.at) {
                list.push(spot.at);
                said.into_iter().for_each(|label| self.said.understood.push(label));
            }
        }
        // An option that was named with its unit brings its weapons.
        let units: Vec<usize> = self.said.mentions.iter().flat_map(|mention| mention.units.clone()).collect();
        self.said.options.retain(|(unit, _)| units.is_empty() || units.contains(unit));
    }

    fn note(&mut self, label: String) {
        if !self.said.understood.contains(&label) {
            self.said.understood.push(label);
        }
    }

    /// Whether a word that is a step's name and a verb of the trade names the roll: `the save`, `to hit`, `hit roll`.
    fn is_topic(&self, spot: &Spot, what: What) -> bool {
        let one = spot.to == spot.from + 1;
        let step = matches!(what, What::Step(_) | What::Ignore) || (matches!(what, What::Check(_)) && one);
        // `a shot` is no number of shots.
        let ordinary = one && lexicon::is_ordinary(self.word(spot.from));
        if !step && !ordinary {
            return true;
        }
        let after = self.word(spot.to);
        let roll = matches!(after, "roll" | "test" | "die" | "dice" | "step" | "check");
        let before = if spot.from > 0 { self.word(spot.from - 1) } else { "" };
        roll || (step
            && matches!(
                before,
                "to" | "the" | "a" | "their" | "it" | "his" | "my" | "that" | "which" | "against" | "with"
            ))
    }

    /// The word that says what part a unit plays, and where: the one before its articles and its number.
    fn role(&self, at: usize) -> Option<(usize, &str)> {
        let mut at = at;
        while at > 0 && !self.words[at].breaks {
            at -= 1;
            let word = self.word(at);
            if !is_in(lexicon::ARTICLES, word) && self.words[at].number.is_none() {
                return Some((at, word));
            }
        }
        None
    }

    fn mention(&mut self, units: Vec<usize>, spot: Spot) {
        let (at, word) = self.role(spot.from).unwrap_or((spot.from, ""));
        let earlier = if at > 0 { self.word(at - 1) } else { "" };
        let stands =
            is_in(lexicon::STOOD, earlier) || matches!(earlier, "place" | "placed" | "moored" | "close" | "next");
        let near = (is_in(lexicon::NEAR, word) && !matches!(word, "by" | "with" | "around"))
            || (word == "by" && stands)
            || (is_in(lexicon::NEAR, self.word(spot.to)) && !matches!(self.word(spot.to), "with" | "by"))
            || matches!(self.word(spot.to), "nearby");
        // `does sets alight burn people`: all of a kind, behind a rule and a verb, are whom it is done to.
        let done_to = units.len() > 1
            && at > 0
            && !self.words[spot.from].breaks
            && !is_in(lexicon::ASKING, word)
            && !is_in(lexicon::ON_WHOM, word)
            && !matches!(
                word,
                "have" | "ha" | "has" | "with" | "give" | "take" | "carry" | "when" | "if" | "and" | "or"
            )
            && self.spots.iter().any(|rule| rule.sort == Sort::Rule && rule.to == at);
        let opposed = done_to || !near && (is_in(lexicon::AGAINST, word) || is_in(lexicon::BY, word));
        // The subject of the question: `is the lighter …`, `do nine bows get …`.
        let subject = is_in(lexicon::ASKING, word) && !self.words[spot.from].breaks;
        let on_whom = !near && !opposed && (is_in(lexicon::ON_WHOM, word) || subject);
        self.said.mentions.push(Mention { units, opposed, near, on_whom });
    }

    /// A word that several names share stands for all of them: `mortars`; and what shoots at all: `guns`.
    fn groups(&mut self, pack: &Pack) {
        for at in 0..self.words.len() {
            let word = self.word(at).to_owned();
            if self.taken[at] || word.len() < 3 {
                continue;
            }
            let of = |named: &Named| {
                std::iter::once(&named.label).chain(&named.also).any(|name| plain(name).split(' ').any(|w| w == word))
            };
            let shoots = is_in(lexicon::GUNS, &word);
            // `a handy gun`: those with the rule that is said of them.
            let said_of: Vec<usize> =
                self.said.rules.iter().copied().filter(|rule| marks_weapons(pack, *rule)).collect();
            for (index, weapon) in pack.weapons.iter().enumerate() {
                let meant = if shoots {
                    weapon.reach.1.is_some() && said_of.iter().all(|rule| weapon.rules.contains(rule))
                } else {
                    !super::idle::is_idle(&word) && of(&weapon.named)
                };
                if meant && !self.said.weapons.contains(&index) {
                    self.said.weapons.push(index);
                    self.note(word.clone());
                }
            }
            let body = |armoured: bool| -> Vec<usize> {
                let is = |unit: &&usize| match &pack.kinds[pack.units[**unit].kind].body {
                    Body::Soldiers { .. } => !armoured,
                    Body::Armoured { .. } => armoured,
                };
                (0..pack.units.len()).collect::<Vec<_>>().iter().filter(is).copied().collect()
            };
            let armoured = is_in(lexicon::ARMOUR, &word)
                || pack.kinds.iter().any(|kind| kind.body.is_armoured() && of(&kind.named));
            let spot = Spot { sort: Sort::Kind, at: 0, from: at, to: at + 1 };
            if is_in(lexicon::SOLDIERS, &word) && !armoured {
                self.mention(body(false), spot);
            } else if armoured {
                self.mention(body(true), spot);
            }
        }
    }
}

/// Whether a rule is a mere word that weapons go by.
fn marks_weapons(pack: &Pack, rule: usize) -> bool {
    pack.rules[rule].changes.is_empty() && pack.weapons.iter().any(|weapon| weapon.rules.contains(&rule))
}
