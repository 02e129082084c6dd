//! The names of a pack, indexed once: each by its first word, with plurals, nicknames and head words.
use crate::client::index::{PackIndex, name_words};
use crate::typing::fillers::singular;
use std::collections::{BTreeSet, HashMap};

/// What a name is the name of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sort {
    /// A unit.
    Unit,
    /// Something that a unit may take.
    Option,
    /// A weapon.
    Weapon,
    /// A rule.
    Rule,
    /// A check.
    Check,
    /// An arc.
    Arc,
    /// A range band.
    Range,
    /// A kind of cover.
    Cover,
    /// Something that is so on the table.
    Flag,
    /// A mark that a target bears.
    Status,
    /// A number of a unit.
    Stat,
    /// What units count as.
    Role,
    /// Another word of the pack: a chart, a step, a number of a weapon.
    Term,
}

/// How well words fit a name; the greater the better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fit {
    /// One word of several, or all but one.
    Part,
    /// What people call it besides.
    Called,
    /// The name itself.
    Whole,
}

/// One way to say a name.
#[derive(Clone, Debug)]
pub struct Said {
    /// Its words, in the singular.
    pub words: Vec<String>,
    /// What it is the name of.
    pub sort: Sort,
    /// As requests have it.
    pub id: String,
    /// The unit that may take it, for options.
    pub owner: Option<String>,
    /// How well the words fit.
    pub fit: Fit,
}

/// All ways to say all names of a pack.
#[derive(Clone, Debug, Default)]
pub struct Names {
    said: Vec<Said>,
    first: HashMap<String, Vec<usize>>,
    /// Each word once, with the letters in it.
    words: Vec<(u32, String)>,
    known: BTreeSet<String>,
    /// Names of two words written as one: `steampipe`.
    joined: HashMap<String, (String, String)>,
}

impl Names {
    /// Indexes the names of a pack.
    pub fn of(index: &PackIndex) -> Self {
        let mut names = Self::default();
        for unit in &index.units {
            names.all(Sort::Unit, &unit.id, None, &unit.name, &unit.also);
            for form in [&unit.singular, &unit.plural].into_iter().filter(|form| !form.is_empty()) {
                let words = name_words(form);
                names.add(Sort::Unit, &unit.id, None, &words, Fit::Whole);
                if words.len() > 1
                    && let Some(last) = words.last().filter(|last| last.len() >= 4)
                {
                    names.add(Sort::Unit, &unit.id, None, std::slice::from_ref(last), Fit::Part);
                }
            }
            for option in &unit.options {
                names.all(Sort::Option, &option.id, Some(&unit.id), &option.name, &option.also);
            }
        }
        let owned = index.units.iter().any(|unit| !unit.options.is_empty());
        let options = if owned { &[] } else { index.options.as_slice() };
        let lists = [
            (Sort::Option, options),
            (Sort::Weapon, index.weapons.as_slice()),
            (Sort::Rule, &index.rules),
            (Sort::Check, &index.checks),
            (Sort::Arc, &index.arcs),
            (Sort::Range, &index.ranges),
            (Sort::Cover, &index.cover),
            (Sort::Stat, &index.stats),
            (Sort::Role, &index.roles),
        ];
        for (sort, list) in lists {
            for named in list {
                names.all(sort, &named.id, None, &named.name, &named.also);
            }
        }
        for flag in index.situation.iter().filter(|flag| flag.id != "moved") {
            names.all(Sort::Flag, &flag.id, None, &flag.name, &flag.also);
        }
        for term in
            index.terms.iter().filter(|term| ["chart", "breach", "step", "roll", "stat"].contains(&term.sort.as_str()))
        {
            if !index.stats.iter().any(|stat| stat.id == term.id) {
                names.all(Sort::Term, &term.id, None, &term.name, &[]);
            }
        }
        for status in &index.statuses {
            names.all(Sort::Status, status, None, status, &[]);
        }
        for said in &names.said {
            if let [first, second] = said.words.as_slice() {
                let pair = (first.clone(), second.clone());
                names.joined.entry(format!("{first}{second}")).or_insert(pair);
            }
        }
        let known = std::mem::take(&mut names.known);
        names.words = known.iter().map(|word| (letters(word), word.clone())).collect();
        names.known = known;
        names
    }

    /// The ways to say names that begin with a word in the singular.
    pub fn beginning(&self, word: &str) -> impl Iterator<Item = &Said> {
        self.first.get(word).into_iter().flatten().map(|at| &self.said[*at])
    }

    /// The two words of a name that are written as one.
    pub fn parted(&self, word: &str) -> Option<&(String, String)> {
        self.joined.get(word).or_else(|| self.joined.get(singular(word)))
    }

    /// Whether some name has the word.
    pub fn has_word(&self, word: &str) -> bool {
        self.known.contains(word) || self.known.contains(singular(word))
    }

    /// Each word of a name, with the letters in it.
    pub fn words(&self) -> &[(u32, String)] {
        &self.words
    }

    fn all(&mut self, sort: Sort, id: &str, owner: Option<&str>, name: &str, also: &[String]) {
        let whole = name_words(name);
        self.add(sort, id, owner, &whole, Fit::Whole);
        let own: Vec<String> = name_words(&id.replace('-', " "));
        if own != whole {
            self.add(sort, id, owner, &own, if sort == Sort::Option { Fit::Called } else { Fit::Whole });
        }
        for other in also {
            self.add(sort, id, owner, &name_words(other), Fit::Called);
        }
        let articles = |words: &[String]| words.iter().position(|word| !is_article(word)).unwrap_or(0);
        let bare = articles(&whole);
        if bare > 0 {
            self.add(sort, id, owner, &whole[bare..], Fit::Whole);
        }
        if matches!(sort, Sort::Unit | Sort::Weapon | Sort::Option) && whole.len() >= 3 {
            for left_out in 0..whole.len() {
                let mut words = whole.clone();
                words.remove(left_out);
                self.add(sort, id, owner, &words, Fit::Part);
            }
        }
        if sort == Sort::Unit && whole.len() >= 2 {
            for word in whole.iter().filter(|word| word.len() >= 3) {
                self.add(sort, id, owner, std::slice::from_ref(word), Fit::Part);
            }
        }
    }

    fn add(&mut self, sort: Sort, id: &str, owner: Option<&str>, words: &[String], fit: Fit) {
        let words: Vec<String> = words.iter().map(|word| singular(word).to_owned()).collect();
        let Some(first) = words.first().cloned() else { return };
        for word in words.iter().filter(|word| word.len() >= 4 && word.chars().all(char::is_alphabetic)) {
            self.known.insert(word.clone());
        }
        self.first.entry(first).or_default().push(self.said.len());
        let (id, owner) = (id.to_owned(), owner.map(str::to_owned));
        self.said.push(Said { words, sort, id, owner, fit });
    }
}

fn is_article(word: &str) -> bool {
    matches!(word, "a" | "an" | "the")
}

/// The letters of a word as bits: words that differ in few letters differ in few bits.
pub fn letters(word: &str) -> u32 {
    word.bytes().filter(u8::is_ascii_lowercase).fold(0, |bits, letter| bits | 1 << (letter - b'a'))
}
