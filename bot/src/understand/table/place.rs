//! Which side is hit, and from how far.
use super::super::lexicon::Class;
use super::super::message::{Mention, ParsedMessage};
use super::super::names::Sort;
use super::{PREPOSITIONS, Range, Reader};
use crate::typing::token::TokenKind;

impl Reader<'_, '_> {
    /// Whether a word before a place denies it.
    pub(super) fn denied(&mut self, at: usize) -> bool {
        const DENIALS: &[&str] = &[
            "not",
            "no",
            "without",
            "never",
            "isnt",
            "arent",
            "werent",
            "wasnt",
            "aint",
            "forget",
            "quit",
            "quitted",
            "abandoned",
            "leaving",
            "vacated",
        ];
        let before = self.before(at).filter(|before| self.message.any(*before, DENIALS));
        if let Some(before) = before {
            self.used[before] = true;
        }
        before.is_some()
    }

    pub(super) fn arcs(&mut self) {
        let mut found: Vec<(usize, usize, String)> = Vec::new();
        for mention in self.message.named(Sort::Arc).filter(|mention| mention.ids.len() == 1) {
            found.push((mention.at, mention.len, mention.ids[0].0.clone()));
        }
        for class in [Class::ArcFront, Class::ArcSide, Class::ArcRear] {
            if let Some(id) = arc_of(self.message, class) {
                found.extend(self.message.spans(class).map(|(at, len)| (at, len, id.clone())));
            }
        }
        found.sort_by_key(|(at, len, _)| (std::cmp::Reverse(*len), *at));
        for (at, len, id) in found {
            // `swap sides` names no arc.
            let swapped = self.message.spans(Class::Swap).any(|(from, words)| from < at && at + len <= from + words);
            // `dice with ten sides`
            let of_dice = at > 0
                && self.message.any(at, &["sides", "sided"])
                && self.message.number(at - 1).is_some()
                && (0..self.message.tokens.len()).any(|at| self.message.any(at, &["dice", "die", "dices"]));
            // `my side: a crew and a barge`: who plays there.
            let players = len == 1
                && self.message.any(at, &["side", "sides"])
                && self.message.any(at.wrapping_sub(1), &["my", "his", "her", "our", "their", "your"])
                && (self.message.is_end(at + 1) && at <= 2
                    || self.message.is_end(at + 1) && self.message.is_end(at.wrapping_sub(2))
                    || self.message.any(at + 1, &["of"]) && self.message.any(at + 2, &["the"]) && at <= 2);
            if of_dice || swapped || players || !self.is_free(at, len) || !self.is_arc(at, len) || self.is_name(at, len)
            {
                continue;
            }
            let lead = self.before(at).filter(|&before| self.message.any(before, PREPOSITIONS) && !self.used[before]);
            let start = lead.filter(|lead| !self.message.any(*lead, &["or", "and", "is", "are"])).unwrap_or(at);
            let denied = self.denied(start);
            self.take(start, at + len - start);
            if self.message.any(at + len, &["arc", "arcs", "armour", "armor"]) {
                self.take(at + len, 1);
            }
            if denied {
                if let Some(before) = self.before(start) {
                    self.take(before, 1);
                }
            } else if !self.table.arcs.contains(&id) {
                self.table.arcs.push(id);
            }
        }
    }

    /// Whether a longer name stands here, such as a weapon's.
    pub(super) fn is_name(&self, at: usize, len: usize) -> bool {
        let other = |one: &&Mention| {
            matches!(one.sort, Sort::Unit | Sort::Weapon | Sort::Option | Sort::Rule | Sort::Check)
                && one.at <= at
                && one.at + one.len >= at + len
                && one.len > 1
        };
        self.message.mentions.iter().any(|one| other(&one))
    }

    fn is_arc(&self, at: usize, len: usize) -> bool {
        let message = self.message;
        let word = message.word(at);
        let before = self.before(at);
        let article = before.is_none_or(|before| before + 1 != at);
        let led = before.is_some_and(|before| message.any(before, PREPOSITIONS));
        let owned = at > 0 && (self.is_slot_end(at - 1) || message.tokens[at - 1].owns);
        let follows = message.any(at + len, &["arc", "armour", "armor", "of", "on", "shot", "side"]);
        if len > 1 {
            return true;
        }
        // `both sides fire at once`: whoever fights.
        if message.any(at, &["side", "sides"])
            && before.is_some_and(|before| message.any(before, &["both", "each", "either", "two"]))
        {
            return false;
        }
        let alone =
            before.is_none_or(|before| {
                message.is_end(before)
                    || self.used[before]
                    || message.any(before, &["nah", "about", "but", "or", "same", "not"])
            }) && (message.is_end(at + len) || self.is_slot(at + len) || message.any(at + len, &["not", "instead"]));
        match word {
            "left" | "right" => led && article && !message.any(at + 1, &["there", "next", "now"]),
            "back" | "backs" => {
                led && (article
                    || owned
                    || before.is_some_and(|b| message.any(b, &["its", "his", "their", "my", "from"])))
                    || owned && message.is_end(at + 1)
            }
            "behind" => {
                let cover = (at + 1..(at + 4).min(message.tokens.len())).any(|next| {
                    message.named_at(Sort::Cover, next).is_some()
                        || message.is(next, Class::CoverSome)
                        || message.is(next, Class::CoverHard)
                });
                !cover && (led || alone || owned || message.is_end(at + 1) || self.is_slot(at + 1))
            }
            "side" | "sides" | "flank" | "flanks" | "stern" | "rear" | "broadside" => {
                led || owned || follows || alone || !article || before.is_some_and(|before| before + 1 < at)
            }
            "face" | "facing" | "beam" | "tail" | "bow" | "nose" | "port" | "butt" | "front" | "ahead" | "port " => {
                led || owned || follows || alone || message.is_end(at + 1) || word == "facing"
            }
            _ => led || owned || follows || alone || message.is_end(at + 1),
        }
    }

    pub(super) fn ranges(&mut self) {
        self.distances();
        let mut found: Vec<(usize, usize, String, bool)> = Vec::new();
        for mention in self.message.named(Sort::Range).filter(|mention| mention.ids.len() == 1) {
            found.push((mention.at, mention.len, mention.ids[0].0.clone(), true));
        }
        for class in [Class::ContactBand, Class::NearBand, Class::MidBand, Class::FarBand] {
            if let Some(id) = band_of(self.message, class) {
                found.extend(self.message.spans(class).map(|(at, len)| (at, len, id.clone(), false)));
            }
        }
        found.sort_by_key(|(at, len, ..)| (std::cmp::Reverse(*len), *at));
        for (at, len, id, _) in found {
            if !self.is_free(at, len) || self.is_name(at, len) || !self.is_band(at, len) {
                continue;
            }
            let lead = self.before(at).filter(|&before| {
                self.message.any(before, &["at", "from", "in", "within", "to", "up", "off", "than"])
                    && !self.used[before]
            });
            let start = lead.unwrap_or(at);
            let denied = self.denied(start);
            self.take(start, at + len - start);
            if self.message.any(at + len, &["range", "away", "off", "distance", "band", "shot"]) {
                self.take(at + len, 1);
            }
            if denied {
                continue;
            }
            self.set_range(Range::Band(id));
        }
    }

    fn set_range(&mut self, range: Range) {
        match &self.table.range {
            Some(known) if *known != range => self.table.other_range = true,
            _ => self.table.range = Some(range),
        }
    }

    fn is_band(&self, at: usize, len: usize) -> bool {
        let message = self.message;
        let before = self.before(at);
        if len > 1 || message.any(at + 1, &["range", "away", "shot", "shots", "distance"]) {
            return true;
        }
        let how = before.is_some_and(|before| {
            message.any(
                before,
                &["how", "as", "so", "too", "very", "that", "no", "this", "really", "get", "got", "getting"],
            )
        });
        let led = before.is_some_and(|before| {
            message.any(
                before,
                &[
                    "at", "from", "range", "within", "but", "about", "if", "now", "a", "on", "in", "into", "distance",
                    "nah", "and", "it", "not",
                ],
            )
        });
        // `the range is sight`
        let told = at > 1
            && message.any(at - 1, &["is", "was", "of", "be"])
            && message.any(at - 2, &["range", "distance", "band"]);
        let led = led || told;
        let beside = before.is_none_or(|before| {
            message.is_end(before)
                || self.used[before]
                || self.is_slot_end(before)
                || message.any(before, &["nah", "and"])
        });
        let goes_on = !(message.is_end(at + 1)
            || self.is_slot(at + 1)
            || message.any(at + 1, &["with", "w", "do", "does", "chance", "what", "how"]));
        match message.word(at) {
            "near" | "close" | "short" | "long" | "far" | "distant" => !how && !goes_on && (led || beside),
            "touching" | "contact" | "melee" | "mid" | "medium" => !how,
            _ => !how && (led || beside || before.is_some_and(|before| message.any(before, &["the", "of", "off"]))),
        }
    }

    /// `20"`, `20 inches`, `50 cm`, `20 away`, `at 20`.
    fn distances(&mut self) {
        let message = self.message;
        for at in 0..message.tokens.len() {
            if !self.is_free(at, 1) {
                continue;
            }
            let number = match message.tokens[at].kind {
                TokenKind::Number(number) => Some(number),
                _ => None,
            };
            let unit = |word: &str| match word {
                "in" | "inch" | "inches" | "ins" => Some(1.0),
                "cm" | "cms" | "centimetre" | "centimetres" | "centimeters" => Some(1.0 / 2.54),
                "mm" | "millimetres" | "millimeters" => Some(1.0 / 25.4),
                "foot" | "feet" | "ft" => Some(12.0),
                "paces" => Some(1.0),
                _ => None,
            };
            let (inches, mut len) = match (&message.tokens[at].kind, number, unit(message.word(at + 1))) {
                (TokenKind::Inches(inches), ..) => (float(*inches), 1),
                (TokenKind::Millimetres(mm), ..) => (mm / 25.4, 1),
                (_, Some(number), Some(factor))
                    if message.word(at + 1) != "in" || message.is_end(at + 2) || self.is_slot(at + 2) =>
                {
                    (number * factor, 2)
                }
                (_, Some(number), None)
                    if message.any(at + 1, &["away"])
                        || message.any(at + 1, &["off"])
                            && !(at.saturating_sub(4)..at).any(|at| {
                                message.any(at, &["took", "takes", "take", "knock", "knocked", "lost", "taking", "got"])
                            })
                        || self.is_range_number(at) =>
                {
                    (number, 1)
                }
                _ => continue,
            };
            // `legal at 1000`: no table is as long.
            if inches > LONGEST {
                continue;
            }
            if message.any(at + len, &["away", "off", "out", "range", "apart", "distance", "far", "distant"])
                && !message.any(at + len, &["apart"])
            {
                len += 1;
            }
            let start = self
                .before(at)
                .filter(|&before| message.any(before, &["at", "from", "range", "distance", "of", "is"]))
                .unwrap_or(at);
            self.take(start, at + len - start);
            self.set_range(Range::Inches(inches.round().max(1.0)));
        }
    }

    /// `at 20` at the end of a thought, `range 20`.
    fn is_range_number(&self, at: usize) -> bool {
        let Some(before) = self.before(at) else { return false };
        let ends = self.message.is_end(at + 1) || self.is_slot(at + 1) && self.message.word(at + 1) != "or";
        (self.message.any(before, &["at"]) && before + 1 == at && ends && !self.message.is(at + 1, Class::Turn))
            || (self.message.any(before, &["range", "distance"]) && ends)
    }
}

/// The pack's arc for one of the usual three.
pub fn arc_of(message: &ParsedMessage<'_>, class: Class) -> Option<String> {
    let words: &[&str] = match class {
        Class::ArcFront => &["front", "ahead", "bow"],
        Class::ArcSide => &["side", "flank", "broadside"],
        _ => &["rear", "behind", "back", "stern"],
    };
    let arc = words.iter().find_map(|word| {
        message.index.arcs.iter().find(|arc| {
            arc.id == *word || arc.name.eq_ignore_ascii_case(word) || arc.also.iter().any(|also| also == word)
        })
    });
    arc.map(|arc| arc.id.clone())
}

/// The pack's band for one of the usual four.
pub fn band_of(message: &ParsedMessage<'_>, class: Class) -> Option<String> {
    let words: &[&str] = match class {
        Class::ContactBand => &["contact", "touching", "hand to hand"],
        Class::NearBand => &["near", "short", "close"],
        Class::MidBand => &["mid", "middle", "medium"],
        _ => &["far", "long", "distant"],
    };
    let band = words.iter().find_map(|word| {
        message.index.ranges.iter().find(|band| {
            band.id == *word || band.name.eq_ignore_ascii_case(word) || band.also.iter().any(|also| also == word)
        })
    });
    band.map(|band| band.id.clone())
}

fn float(number: u64) -> f64 {
    u32::try_from(number).map_or(f64::MAX, f64::from)
}

/// No range is longer, in inches.
const LONGEST: f64 = 240.0;
