//! The form of a command's definition. From it come the text parser, help, completion and registrations.
use super::asked::{Asked, Halt};
use crate::card::Card;
use crate::client::index::NameKind;
use std::pin::Pin;

/// A command.
#[derive(Debug)]
pub struct Command {
    /// Its name, without the slash.
    pub name: &'static str,
    /// The question that it settles, in at most 100 characters.
    pub about: &'static str,
    /// Words that choose it where a message names no command.
    pub words: &'static [&'static str],
    /// What it can be told, the required first.
    pub options: &'static [Opt],
    /// What `2 of 5` tells it.
    pub shares: &'static [Share],
    /// Messages that work as they stand.
    pub examples: &'static [&'static str],
    /// The path of its question, where an answer can be asked again with one thing changed.
    pub path: Option<&'static str>,
    /// Asks and answers.
    pub answer: Answer,
}

/// What answers a command.
pub type Answer = for<'a> fn(Asked<'a>) -> Answering<'a>;

/// An answer on its way.
pub type Answering<'a> = Pin<Box<dyn Future<Output = Result<Card, Halt>> + Send + 'a>>;

/// One thing that a command can be told.
#[derive(Debug)]
pub struct Opt {
    /// Its name.
    pub name: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// What it is, in at most 100 characters.
    pub about: &'static str,
    /// Words beside a value that say it belongs here.
    pub cues: &'static [&'static str],
    /// The question to ask where it is missing.
    pub required: Option<&'static str>,
    /// Whether it takes a fitting value that nothing was said of.
    pub bare: bool,
    /// Whether it takes several.
    pub many: bool,
}

/// What an option takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A whole number.
    Number,
    /// How often: `x12`, `12 times`.
    Times,
    /// A whole number that may also be rolled.
    Amount,
    /// `+1`.
    Modifier,
    /// A chance: `90%`, `90`, `0.9`.
    Chance,
    /// A distance: `20"`, `20 inches`; a plain number beside a word that says so.
    Distance,
    /// Degrees.
    Angle,
    /// The name of a command.
    Command,
    /// A place on the table: `12,20`.
    Place,
    /// A length: `3"`, `25mm`.
    Length,
    /// `7+`.
    Needs,
    /// `2d6`.
    Dice,
    /// What is rolled again.
    Reroll,
    /// How many may be rolled again.
    Budget,
    /// Which dice count.
    Keep,
    /// A unit, how many models of it, and what it carries.
    Side,
    /// A name of the pack.
    Name(NameKind),
    /// One of these, each with the phrases that say it.
    Choice(&'static [(&'static str, &'static [&'static str])]),
    /// Said or not, by one of these phrases.
    Flag(&'static [&'static str]),
    /// Another question, of one of these commands, as it would be asked alone: its options are read beside one's own.
    About(&'static [&'static str]),
    /// All the words that nothing else took.
    Text,
    /// The rest of the message as it stands, lines and all.
    Lines,
}

/// What `2 of 5` tells, where one of the words stands behind it.
#[derive(Debug)]
pub struct Share {
    /// The words; none where it is so without any.
    pub cues: &'static [&'static str],
    /// The option that the first number goes to.
    pub part: &'static str,
    /// The option that the second number goes to.
    pub whole: &'static str,
}

impl Opt {
    /// An option that takes one value, with a word beside it.
    pub const fn new(name: &'static str, kind: Kind, about: &'static str) -> Self {
        // These say by themselves what they are.
        let bare = matches!(kind, Kind::Reroll | Kind::Budget | Kind::Keep);
        Self { name, kind, about, cues: &[], required: None, bare, many: false }
    }

    /// Words beside a value that say it belongs here; the option's name always does.
    #[must_use]
    pub const fn cues(mut self, cues: &'static [&'static str]) -> Self {
        self.cues = cues;
        self
    }

    /// The command cannot do without, and asks this.
    #[must_use]
    pub const fn required(mut self, question: &'static str) -> Self {
        self.required = Some(question);
        self
    }

    /// It takes a fitting value that nothing was said of.
    #[must_use]
    pub const fn bare(mut self) -> Self {
        self.bare = true;
        self
    }

    /// It takes several.
    #[must_use]
    pub const fn many(mut self) -> Self {
        self.many = true;
        self
    }

    /// Whether a word beside a value says that it belongs here.
    pub fn is_cue(&self, word: &str) -> bool {
        let single = crate::typing::fillers::singular(word);
        word == self.name || single == self.name || self.cues.iter().any(|cue| *cue == word || *cue == single)
    }

    /// The phrases by which it is said, where it is said by phrases.
    pub fn phrases(&self) -> Vec<(Option<&'static str>, &'static str)> {
        match self.kind {
            Kind::Flag(phrases) => phrases.iter().map(|phrase| (None, *phrase)).collect(),
            Kind::Choice(choices) => choices
                .iter()
                .flat_map(|(choice, phrases)| phrases.iter().map(move |phrase| (Some(*choice), *phrase)))
                .collect(),
            _ => Vec::new(),
        }
    }
}

impl Command {
    /// Whether values stand behind the names of their options, as in `template: 3", models: 10`.
    pub fn is_labelled(&self, text: &str) -> bool {
        let text = text.to_lowercase();
        self.options.iter().any(|option| {
            let name = option.name.replace('_', " ");
            text.match_indices(&name).any(|(at, _)| {
                let (before, behind) = (&text[..at], &text[at + name.len()..]);
                !before.ends_with(char::is_alphanumeric) && behind.trim_start().starts_with([':', '='])
            })
        })
    }

    /// An option by its name.
    pub fn option(&self, name: &str) -> Option<&'static Opt> {
        self.options.iter().find(|option| option.name == name)
    }

    /// What requests call its question where another question is about it.
    pub fn request(&self) -> &'static str {
        if self.name == "odds" { "chain" } else { self.name }
    }

    /// Whether its question takes a club's own pack or unit book.
    pub fn takes_book(&self) -> bool {
        const TAKING: [&str; 5] = ["/v1/appraisal", "/v1/matchup", "/v1/needed", "/v1/luck", "/v1/arc"];
        self.path.is_some_and(|path| TAKING.contains(&path)) || self.name == super::rule::RULE.name
    }

    /// The commands that it asks another question about.
    pub fn about(&self) -> impl Iterator<Item = &'static Command> + use<> {
        let names = self.options.iter().find_map(|option| match option.kind {
            Kind::About(names) => Some(names),
            _ => None,
        });
        names.into_iter().flatten().filter_map(|name| super::named(name))
    }

    /// Whether the word means something to this command by itself.
    pub fn knows(&self, word: &str) -> bool {
        self.knows_where(word, |_| true)
    }

    /// Whether the word means something to this command besides an option that takes names of this kind: `cover` may be
    /// the option and a name of a cover, but `left` is not the arc of that name.
    pub fn knows_but(&self, word: &str, kind: NameKind) -> bool {
        self.knows_where(word, |option| option.kind != Kind::Name(kind))
    }

    fn knows_where(&self, word: &str, counts: impl Fn(&Opt) -> bool) -> bool {
        let says = |phrase: &str| phrase.split(' ').any(|part| part == word);
        self.words.contains(&word)
            || self.name == word
            || self.shares.iter().any(|share| share.cues.contains(&word))
            || self.options.iter().any(|option| {
                counts(option) && (option.is_cue(word) || option.phrases().iter().any(|(_, phrase)| says(phrase)))
            })
    }
}
