//! One grammar for the situation: arc, range, cover, movement, flags, rules put in and left out.
use super::lexicon::Class;
use super::message::ParsedMessage;
use super::names::Sort;

mod place;
pub use place::{arc_of, band_of};

/// How far it is.
#[derive(Clone, Debug, PartialEq)]
pub enum Range {
    /// A band of the pack.
    Band(String),
    /// So many inches.
    Inches(f64),
}

/// What is said of the table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// The side of the target that is hit; several are compared.
    pub arcs: Vec<String>,

    /// How far it is.
    pub range: Option<Range>,
    /// A second range that was said and is not the same.
    pub other_range: bool,
    /// What the target stands behind.
    pub cover: Option<String>,
    /// Whether what it stood behind is to be forgotten.
    pub no_cover: bool,
    /// A second cover.
    pub other_cover: bool,
    /// Whether the attacker moved.
    pub moved: Option<bool>,
    /// What else is so.
    pub flags: Vec<String>,
    /// What is not so.
    pub no_flags: Vec<String>,
    /// Rules that are to act.
    pub with: Vec<String>,
    /// Rules that are not to act.
    pub without: Vec<String>,
}

impl Table {
    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// Reads the situation; what is used of the message is marked.
pub fn table(message: &ParsedMessage<'_>, used: &mut [bool]) -> Table {
    let mut table = Table::default();
    let mut reader = Reader { message, used, table: &mut table };
    reader.rules();
    reader.moved();
    reader.covers();
    reader.arcs();
    reader.ranges();
    reader.flags();
    reader.contact();
    table
}

struct Reader<'a, 's> {
    message: &'a ParsedMessage<'s>,
    used: &'a mut [bool],
    table: &'a mut Table,
}

/// Before a place on the table.
const PREPOSITIONS: &[&str] = &[
    "from", "frm", "on", "in", "into", "up", "at", "to", "through", "thru", "of", "off", "against", "onto", "towards",
    "with", "its", "his", "their", "her", "my", "is", "are", "or", "and", "hit", "by",
];

/// Between a preposition and what it stands before.
const ARTICLES: &[&str] =
    &["a", "an", "the", "its", "his", "her", "their", "my", "our", "your", "that", "this", "some", "those", "these"];

impl Reader<'_, '_> {
    fn take(&mut self, at: usize, len: usize) {
        let end = (at + len).min(self.used.len());
        self.used[at..end].fill(true);
    }

    fn is_free(&self, at: usize, len: usize) -> bool {
        self.used.get(at..at + len).is_some_and(|used| used.iter().all(|used| !used))
    }

    /// The place before, over articles.
    fn before(&self, at: usize) -> Option<usize> {
        (0..at).rev().find(|&at| !self.message.any(at, ARTICLES))
    }

    /// `without lantern screen`, `with the screen`, `no screen`.
    fn rules(&mut self) {
        let rules: Vec<(usize, usize, String)> = self
            .message
            .named(Sort::Rule)
            .filter(|mention| mention.ids.len() == 1)
            .map(|mention| (mention.at, mention.len, mention.ids[0].0.clone()))
            .collect();
        for (at, len, id) in rules {
            let Some(mut before) = self.before(at) else { continue };
            if self.message.any(before, &["rule"]) && before > 0 {
                before -= 1;
            }
            // `he forgot his lantern screen. without it?`
            let it = (at + len..self.message.tokens.len())
                .find(|at| self.message.any(*at, &["without"]) && self.message.any(*at + 1, &["it", "them"]));
            if let Some(it) = it {
                self.table.without.push(id);
                self.take(at, len);
                self.take(it, 2);
                continue;
            }
            let lead = (0..=before)
                .rev()
                .find(|&at| self.message.begins(Class::Without, at).is_some_and(|n| at + n == before + 1));
            if let Some(lead) = lead {
                self.table.without.push(id);
                self.take(lead, at + len - lead);
                if self.message.any(at + len, &["rule", "rules"]) {
                    self.take(at + len, 1);
                }
            } else if self.message.any(before, &["with", "had", "have", "has", "were", "counting", "got"])
                && !self.is_option(at)
                && (self.message.any(at + len, &["rule", "acting", "active", "working", "up", "on", "too", "as"])
                    || (0..before).any(|at| {
                        self.message.any(at, &["though", "if"]) && self.message.any(at.wrapping_sub(1), &["as"])
                    }))
            {
                self.table.with.push(id);
                self.take(before, at + len + 1 - before);
            }
        }
    }

    /// `a carriage with reed skirts on`: what a unit that was named may take under the same name.
    fn is_option(&self, at: usize) -> bool {
        let named = |unit: &str| self.message.named(Sort::Unit).any(|one| one.ids.iter().any(|(id, _)| id == unit));
        let option = self.message.named_at(Sort::Option, at);
        option.is_some_and(|one| one.ids.iter().any(|(_, unit)| unit.as_deref().is_some_and(named)))
    }

    fn moved(&mut self) {
        let spans = |class: Class| {
            let mut spans: Vec<(usize, usize)> = self.message.spans(class).collect();
            spans.sort_by_key(|(_, len)| std::cmp::Reverse(*len));
            spans
        };
        let all: Vec<(bool, usize, usize)> = spans(Class::Still)
            .into_iter()
            .map(|(at, len)| (false, at, len))
            .chain(spans(Class::Moved).into_iter().map(|(at, len)| (true, at, len)))
            .collect();
        for (moved, at, len) in all {
            if !self.is_free(at, len)
                || self.message.mentions.iter().any(|one| one.at <= at && one.at + one.len > at && one.len > len)
            {
                continue;
            }
            let moved = moved && !(at > 0 && self.message.is(at - 1, Class::Neg));
            self.table.moved = Some(moved);
            self.take(at, len);
            if at > 0 && self.message.is(at - 1, Class::Neg) {
                self.take(at - 1, 1);
            }
        }
    }

    fn covers(&mut self) {
        let mut found: Vec<(usize, usize, String)> = Vec::new();
        for mention in self.message.named(Sort::Cover).filter(|mention| mention.ids.len() == 1) {
            found.push((mention.at, mention.len, mention.ids[0].0.clone()));
        }
        let classes = [
            (Class::CoverNone, "no cover"),
            (Class::CoverSome, "cover"),
            (Class::CoverHard, "hard cover"),
            (Class::CoverSoft, "soft cover"),
        ];
        for (class, word) in classes {
            let id = self.message.index.cover.iter().find(|cover| {
                cover.name.eq_ignore_ascii_case(word) || cover.id == word || cover.also.iter().any(|also| also == word)
            });
            if let Some(id) = id.map(|cover| cover.id.clone()) {
                found.extend(self.message.spans(class).map(|(at, len)| (at, len, id.clone())));
            }
        }
        found.sort_by_key(|(at, len, _)| (std::cmp::Reverse(*len), *at));
        for (at, len, id) in found {
            // `cover: reeds` names the field first.
            let label = self
                .message
                .tokens
                .get(at + len)
                .is_some_and(|token| matches!(token.kind, crate::typing::token::TokenKind::Colon))
                && self.message.any(at + len - 1, &["cover", "behind", "range", "arc"]);
            if label || !self.is_free(at, len) || !self.is_place(at, len) {
                continue;
            }
            let lead = self.before(at).filter(|&before| {
                self.message.any(
                    before,
                    &["behind", "in", "among", "amongst", "inside", "under", "cover", "out", "within", "at"],
                )
            });
            // `behind of timber`
            let of = self
                .before(at)
                .filter(|&before| self.message.any(before, &["of"]))
                .and_then(|of| of.checked_sub(1))
                .filter(|&behind| self.message.any(behind, &["behind", "inside"]));
            let start = lead.or(of).unwrap_or(at);
            let denied = self.denied(start) && !self.message.is(at, Class::CoverNone);
            self.take(start, at + len - start);
            if denied {
                self.table.no_cover = true;
                continue;
            }
            match &self.table.cover {
                Some(known) if *known != id => self.table.other_cover = true,
                _ => self.table.cover = Some(id),
            }
        }
    }

    /// Whether a word stands where a place is said: behind a preposition, beside a mark, a unit or another place.
    fn is_place(&self, at: usize, len: usize) -> bool {
        let message = self.message;
        let Some(before) = self.before(at) else {
            return message.is_end(at + len)
                || self.is_slot(at + len)
                || message.any(at + len, &["instead", "arc", "range"]);
        };
        let verb =
            len == 1 && [Class::Attack, Class::Charged, Class::Contact].iter().any(|class| message.is(at, *class));
        let led = message.any(before, PREPOSITIONS) && !(verb && !message.any(before, &["in", "behind"]))
            || message.any(
                before,
                &[
                    "behind",
                    "among",
                    "inside",
                    "under",
                    "at",
                    "range",
                    "arc",
                    "cover",
                    "nah",
                    "about",
                    "if",
                    "but",
                    "same",
                    "now",
                    "bare",
                    "forget",
                    "no",
                    "not",
                    "give",
                    "him",
                    "them",
                    "got",
                    "actually",
                    "then",
                    "say",
                    "was",
                    "were",
                    "had",
                    "has",
                    "have",
                    "with",
                    "being",
                    "really",
                    "still",
                    "quit",
                    "quitted",
                    "abandoned",
                    "leaving",
                    "vacated",
                ],
            )
            || !message.is(at, Class::Attack) && message.tokens[before].unknown;
        let beside = message.is_end(before) || self.used[before] || self.is_slot_end(before);
        led || beside
            && (message.is_end(at + len)
                || self.is_slot(at + len)
                || !message.is(at, Class::Attack) && before + 1 == at)
    }

    /// Whether a place, a range or a unit begins here.
    fn is_slot(&self, at: usize) -> bool {
        let sorts = [Sort::Arc, Sort::Range, Sort::Cover, Sort::Flag];
        self.used.get(at).is_some_and(|used| *used)
            || self.message.mentions.iter().any(|one| one.at == at && sorts.contains(&one.sort))
            || self.message.any(
                at,
                &[
                    "range", "in", "from", "at", "with", "w", "n", "and", "or", "instead", "again", "then", "please",
                    "v", "vs", "chance", "tho", "though",
                ],
            )
    }

    /// Whether one ends here.
    fn is_slot_end(&self, at: usize) -> bool {
        let sorts = [Sort::Arc, Sort::Range, Sort::Cover, Sort::Flag, Sort::Unit];
        self.message.mentions.iter().any(|one| one.at + one.len == at + 1 && sorts.contains(&one.sort))
    }

    fn flags(&mut self) {
        let mut found: Vec<(usize, usize, String)> = self
            .message
            .named(Sort::Flag)
            .filter(|mention| mention.ids.len() == 1)
            .map(|mention| (mention.at, mention.len, mention.ids[0].0.clone()))
            .collect();
        let words = ["fog", "mist", "blizzard", "snowstorm"];
        let foggy = self
            .message
            .index
            .situation
            .iter()
            .find(|flag| words.iter().any(|word| flag.id == *word || flag.also.iter().any(|also| also == word)));
        if let Some(flag) = foggy {
            found.extend(self.message.spans(Class::Fog).map(|(at, len)| (at, len, flag.id.clone())));
        }
        if let Some(flag) = self
            .message
            .index
            .situation
            .iter()
            .find(|flag| flag.id == "uphill" || flag.also.iter().any(|also| also == "uphill"))
        {
            found.extend(self.message.spans(Class::Uphill).map(|(at, len)| (at, len, flag.id.clone())));
        }
        found.sort_by_key(|(at, len, _)| (std::cmp::Reverse(*len), *at));
        for (at, len, id) in found {
            if !self.is_free(at, len) || self.is_name(at, len) {
                continue;
            }
            let denied = self.denied(at);
            self.take(at, len);
            if let Some(before) =
                self.before(at).filter(|&before| self.message.any(before, &["in", "not", "no", "without"]))
            {
                self.take(before, 1);
            }
            if denied {
                self.table.no_flags.push(id);
            } else if !self.table.flags.contains(&id) {
                self.table.flags.push(id);
            }
        }
    }

    /// Verbs that happen in contact: `charge`, `ram`, `board`.
    fn contact(&mut self) {
        let message = self.message;
        let named = |at: usize, len: usize| {
            message.mentions.iter().any(|one| {
                matches!(one.sort, Sort::Weapon | Sort::Option | Sort::Unit)
                    && one.at <= at
                    && one.at + one.len > at
                    && one.len > len
            })
        };
        // `a 9 inch charge` is a distance to be reached, and `the charge` may be a weapon.
        let noun = |at: usize| at > 0 && (message.any(at - 1, ARTICLES) || self.used[at - 1]);
        let verbs = |class: Class| -> Vec<(usize, usize)> {
            message
                .spans(class)
                .filter(|(at, len)| !named(*at, *len) && !(*len == 1 && noun(*at) && message.word(*at).len() <= 6))
                .collect()
        };
        let (charged, contact) = (verbs(Class::Charged), verbs(Class::Contact));
        if charged.is_empty() && contact.is_empty() {
            return;
        }
        let Some(band) = band_of(message, Class::ContactBand) else { return };
        let denied = charged.iter().chain(&contact).any(|(at, _)| *at > 0 && message.is(at - 1, Class::Neg));
        if denied || self.table.range.is_some() && self.table.range != Some(Range::Band(band.clone())) {
            return;
        }
        self.table.range = Some(Range::Band(band));
        if !charged.is_empty() && self.table.moved.is_none() {
            self.table.moved = Some(true);
        }
        for (at, len) in charged.into_iter().chain(contact) {
            self.take(at, len);
        }
    }
}
