//! The trade's words with their classes, read once from `lexicon.txt`.
use std::collections::HashMap;
use std::sync::LazyLock;

const TEXT: &str = include_str!("lexicon.txt");

macro_rules! classes {
    ($($name:ident = $word:literal: $about:literal,)*) => {
        /// What a word of the trade is for.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum Class {
            $(#[doc = $about] $name,)*
        }

        impl Class {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$name,)*];

            /// As the lexicon calls it.
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)* }
            }
        }
    };
}

classes! {
    Small = "small": "Carries nothing by itself.",
    Attack = "attack": "One side acts on the other.",
    Kill = "kill": "An attack that is to leave nothing.",
    Suffer = "suffer": "Whoever does this is attacked.",
    Contact = "contact": "Happens in contact.",
    Charged = "charged": "Happens in contact, after a move.",
    Through = "through": "Stands before the attacker where the target was named first.",
    Vs = "vs": "Stands before the target.",
    ArcFront = "arc-front": "The front of the target.",
    ArcSide = "arc-side": "The side of the target.",
    ArcRear = "arc-rear": "The rear of the target.",
    NearBand = "near-band": "The near band.",
    MidBand = "mid-band": "The middle band.",
    FarBand = "far-band": "The far band.",
    ContactBand = "contact-band": "The band of contact.",
    CoverSome = "cover-some": "The usual cover.",
    CoverHard = "cover-hard": "The better cover.",
    CoverSoft = "cover-soft": "The lesser cover.",
    CoverNone = "cover-none": "No cover.",
    Moved = "moved": "The attacker moved.",
    Still = "still": "The attacker did not move.",
    Uphill = "uphill": "The attacker stands lower.",
    Fog = "fogword": "It is hard to see.",
    Lost = "lostword": "A number beside it is lost.",
    Left = "leftword": "A number beside it is left.",
    DownTo = "downto": "A number behind it is left.",
    Structure = "structure-word": "What is lost or left.",
    Turn = "turnword": "Turns of a game.",
    Only = "onlyword": "Nothing besides.",
    Neg = "neg": "Denies.",
    Without = "without": "What follows does not act, or is not there.",
    With = "withword": "What follows is carried.",
    Near = "nearword": "What follows, or goes before, stands by.",
    Cond = "cond": "Begins a condition.",
    Wh = "question": "A word that asks.",
    YesNo = "yesno": "Asks for yes or no where it begins a sentence.",
    Luck = "luck": "How unusual a result was.",
    Happened = "happened": "A result is told.",
    Needed = "needed": "How many it takes.",
    Compare = "compare": "Several are held against each other.",
    Duel = "duel": "Both fight.",
    Repair = "repair": "Something is mended.",
    Check = "check": "A test is taken.",
    CheckMove = "check-move": "A charge that may fall short.",
    CheckHazard = "check-hazard": "Bad ground.",
    CheckMorale = "check-morale": "Fear.",
    CheckArrival = "check-arrival": "Reserves.",
    CheckFirst = "check-first": "Who begins.",
    CheckWatch = "check-watch": "Staying awake.",
    Run = "run": "The target runs.",
    Odds = "odds": "An attack in plain numbers.",
    Blast = "blast": "A template.",
    Draw = "draw": "Something is drawn from a bag.",
    Points = "points": "What a list costs.",
    Unit = "unit": "A unit's sheet.",
    UnitList = "unit-list": "All units.",
    Rule = "rule": "A rule.",
    RuleAsk = "rule-ask": "Surely a rule.",
    Arc = "arc": "Which side is hit.",
    Appraise = "appraise": "What a unit is worth.",
    Pack = "pack": "Which rules are played.",
    Help = "help": "What can be asked.",
    Forget = "forget": "The question before is dropped.",
    GoBack = "goback": "Back to the answer before.",
    Outside = "outside": "Belongs to no game on a table.",
    Why = "why": "The reasons of an answer.",
    Again = "again": "The question before is changed.",
    Swap = "swap": "The sides change places.",
    Half = "half": "Half as many.",
    Double = "double": "Twice as many.",
    MoreOne = "more-one": "One more.",
    LessOne = "less-one": "One less.",
}

/// A set of classes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Classes(u128);

impl Classes {
    /// Whether the class is one of them.
    pub fn has(self, class: Class) -> bool {
        self.0 & (1 << class as u128) != 0
    }

    /// Adds a class.
    pub fn add(&mut self, class: Class) {
        self.0 |= 1 << class as u128;
    }

    /// Whether there is none.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }
}

/// An entry of several words, or of one: its words and class.
#[derive(Clone, Debug)]
pub struct Entry {
    /// Its words.
    pub words: Vec<String>,
    /// What it is for.
    pub class: Class,
}

/// All entries, by their first words.
#[derive(Debug, Default)]
pub struct Lexicon(HashMap<String, Vec<Entry>>);

static LEXICON: LazyLock<Lexicon> = LazyLock::new(|| {
    let mut lexicon = Lexicon::default();
    for line in TEXT.lines().filter(|line| !line.starts_with('#')) {
        let Some((name, entries)) = line.split_once(':') else { continue };
        let Some(class) = Class::ALL.iter().copied().find(|class| class.word() == name.trim()) else { continue };
        for entry in entries.split(',').map(str::trim).filter(|entry| !entry.is_empty()) {
            lexicon.add(entry, class);
        }
    }
    lexicon
});

impl Lexicon {
    /// The trade's words.
    pub fn get() -> &'static Self {
        &LEXICON
    }

    /// The entries that begin with a word.
    pub fn beginning(&self, word: &str) -> &[Entry] {
        self.0.get(word).map_or(&[], Vec::as_slice)
    }

    /// All words of all entries.
    pub fn words(&self) -> impl Iterator<Item = &str> {
        self.0.values().flatten().flat_map(|entry| entry.words.iter().map(String::as_str))
    }

    fn add(&mut self, entry: &str, class: Class) {
        let (regular, entry) = entry.strip_prefix('~').map_or((false, entry), |entry| (true, entry));
        let words: Vec<String> = entry.replace('-', " ").split(' ').map(str::to_owned).collect();
        let Some(first) = words.first().cloned() else { return };
        let forms = if regular { forms(&first) } else { vec![first] };
        for form in forms {
            let mut words = words.clone();
            words[0].clone_from(&form);
            self.0.entry(form).or_default().push(Entry { words, class });
        }
    }
}

/// The forms of a regular verb, with the ending that is spoken short.
pub fn forms(verb: &str) -> Vec<String> {
    const VOWELS: &str = "aeiou";
    let ends = |ending: &str| verb.ends_with(ending);
    let vowel = |back: usize| verb.chars().rev().nth(back).is_some_and(|c| VOWELS.contains(c));
    let stem = verb.strip_suffix('e').filter(|_| !ends("ee")).unwrap_or(verb);
    // `ram` doubles its last letter, `board` and `fix` do not.
    let short = !vowel(0) && vowel(1) && !vowel(2) && !ends("w") && !ends("x") && !ends("y");
    let single = verb.chars().filter(|c| VOWELS.contains(*c)).count() == 1;
    let doubled = if short && single { verb.chars().next_back() } else { None };
    let long = |ending: &str| match doubled {
        Some(last) => format!("{verb}{last}{ending}"),
        None => format!("{stem}{ending}"),
    };
    let plural = if ["s", "sh", "ch", "x", "z"].iter().any(|end| ends(end)) {
        format!("{verb}es")
    } else if ends("y") && !vowel(1) {
        format!("{}ies", &verb[..verb.len() - 1])
    } else {
        format!("{verb}s")
    };
    let past = if ends("y") && !vowel(1) { format!("{}ied", &verb[..verb.len() - 1]) } else { long("ed") };
    vec![verb.to_owned(), plural, past, long("ing"), long("in")]
}
