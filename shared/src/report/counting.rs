//! Units counted as people count them: `five Dyke Hands`, `7 Bolt-gun Crews (20 models)`, `one Lock Warden`.
use super::saying::{plural, small};

/// What people count of a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Default)]
pub enum Counted {
    /// Its models: five Dyke Hands are five people.
    #[default]
    Models,
    /// Whole units: two Bolt-gun Crews are two crews, whatever number of people that is.
    Units,
}

/// How a unit is counted aloud.
///
/// # Example
/// ```
/// use pipwright_shared::report::counting::{Counted, Counting};
///
/// let hands = Counting {
///     singular: "Dyke Hand",
///     plural: "Dyke Hands",
///     counted: Counted::Models,
///     models: (5, 20),
///     words: ("model", "models"),
/// };
/// assert_eq!(hands.say(5), "five Dyke Hands");
/// assert_eq!(hands.say(1), "one Dyke Hand");
/// let crews = Counting { singular: "Crew", plural: "Crews", counted: Counted::Units, models: (3, 3), ..hands };
/// assert_eq!(crews.say(3), "one Crew");
/// assert_eq!(crews.say(20), "7 Crews (20 models)");
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counting<'a> {
    /// The name of one of what is counted.
    pub singular: &'a str,
    /// The name of several.
    pub plural: &'a str,
    /// What is counted.
    pub counted: Counted,
    /// The fewest and the most models of one unit.
    pub models: (u32, u32),
    /// The club's words for one model and for several.
    pub words: (&'a str, &'a str),
}

impl<'a> Counting<'a> {
    /// How many units so many models are, each as large as it may be.
    pub fn units(&self, models: u32) -> u32 {
        models.div_ceil(self.models.1.max(1))
    }

    /// The models of so many of what is counted; units are taken with their fewest.
    pub fn models_of(&self, number: u32) -> u32 {
        match self.counted {
            Counted::Models => number,
            Counted::Units => number.saturating_mul(self.models.0),
        }
    }

    /// What is counted, named for so many of it: `Lock Warden` for one, `Lock Wardens` for none or several.
    pub fn name(&self, number: u32) -> &'a str {
        if number == 1 { self.singular } else { self.plural }
    }

    /// So many models as people say them, small numbers in words: `five Dyke Hands`.
    pub fn say(&self, models: u32) -> String {
        self.write(models, |number| small(u64::from(number)))
    }

    /// The same with the number in digits, as lists and tables have it: `5 Dyke Hands`.
    pub fn digits(&self, models: u32) -> String {
        self.write(models, |number| number.to_string())
    }

    /// The same with the models of whole units, as a question has them: `20 Bolt-gun Crews (60 models)`.
    pub fn in_full(&self, models: u32) -> String {
        let counted = self.digits(models);
        if self.counted == Counted::Models || self.models.1 <= 1 || counted.ends_with(')') {
            return counted;
        }
        format!("{counted} ({models} {})", if models == 1 { self.words.0 } else { self.words.1 })
    }

    /// As a table names it: `10 Dyke Hands`, and what is one by itself without a number: `Bolt-gun Crew`, `Ram Barge`.
    pub fn named(&self, models: u32) -> String {
        let one = models == self.models.1 && (self.counted == Counted::Units || models == 1);
        if one { self.singular.to_owned() } else { self.digits(models) }
    }

    /// Whether so many models are several of what is counted.
    pub fn is_several(&self, models: u32) -> bool {
        match self.counted {
            Counted::Models => models != 1,
            Counted::Units => self.units(models) != 1,
        }
    }

    fn write(&self, models: u32, number: impl Fn(u32) -> String) -> String {
        if self.counted == Counted::Models {
            return format!("{} {}", number(models), self.name(models));
        }
        let (units, (least, most)) = (self.units(models), self.models);
        // Where every unit has the same models and all of them are there, their number says nothing new.
        if models == 0 || (least == most && u64::from(models) == u64::from(units) * u64::from(most)) {
            return format!("{} {}", number(units), self.name(units));
        }
        let units = if units == 1 { format!("{} {}", number(1), self.singular) } else { self.several(units) };
        format!("{units} ({models} {})", if models == 1 { self.words.0 } else { self.words.1 })
    }

    fn several(&self, units: u32) -> String {
        format!("{units} {}", self.plural)
    }
}

/// The names of one and of several, as far as a label and what a file says besides tell them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Forms {
    /// The name of one; none where it can't be formed.
    pub singular: Option<String>,
    /// The name of several; none where it can't be formed.
    pub plural: Option<String>,
}

impl Forms {
    /// What is said wins; what is not said is the label, or is formed from it where English forms it regularly.
    pub fn of(label: &str, singular: Option<&str>, plural: Option<&str>) -> Self {
        let formed = formed(label);
        let several = formed.as_ref().is_some_and(|(one, _)| one != label);
        let label = || Some(label.to_owned());
        let (one, many) = match (singular, plural) {
            (Some(_), Some(_)) => (None, None),
            (None, Some(plural)) if Some(plural) != label().as_deref() => (label(), None),
            (Some(singular), None) if Some(singular) != label().as_deref() => (None, label()),
            (None, Some(_)) => (formed.filter(|_| several).map(|(one, _)| one), None),
            (Some(_), None) => (None, formed.filter(|_| !several).map(|(_, many)| many)),
            (None, None) => formed.map_or((None, None), |(one, many)| (Some(one), Some(many))),
        };
        Self { singular: singular.map(str::to_owned).or(one), plural: plural.map(str::to_owned).or(many) }
    }
}

/// Words that are several already, or have a plural of their own.
const IRREGULAR: [&str; 28] = [
    "oxen",
    "ox",
    "geese",
    "goose",
    "sheep",
    "deer",
    "fish",
    "wife",
    "wives",
    "knife",
    "knives",
    "wolf",
    "wolves",
    "child",
    "children",
    "mice",
    "mouse",
    "foot",
    "feet",
    "teeth",
    "tooth",
    "folk",
    "people",
    "cattle",
    "cavalry",
    "infantry",
    "artillery",
    "staff",
];

/// The label for one and for several; none where English does not form them regularly.
fn formed(label: &str) -> Option<(String, String)> {
    let lower = label.to_lowercase();
    let last = lower.rsplit([' ', '-']).next()?;
    let letters = last.chars().next_back().is_some_and(char::is_alphabetic);
    // In `Keeper of the Lock` it is the first word that is counted.
    let joined = [" of ", " with ", " and ", " in ", " on "].iter().any(|word| lower.contains(word));
    let own = IRREGULAR.contains(&last) || last.ends_with("men") || last.ends_with("man");
    let unsure = ["us", "is", "o", "fe", "lf", "af"].iter().any(|end| last.ends_with(end));
    if !letters || joined || own || unsure {
        return None;
    }
    if !last.ends_with('s') || last.ends_with("ss") {
        return Some((label.to_owned(), plural(label)));
    }
    let stem = |end: &str, with: &str| label.strip_suffix(end).map(|stem| format!("{stem}{with}"));
    let hisses = ["sses", "xes", "ches", "shes", "zes"].iter().any(|end| last.ends_with(end));
    let one = stem("ies", "y").or_else(|| if hisses { stem("es", "") } else { stem("s", "") })?;
    (!one.is_empty()).then(|| (one, label.to_owned()))
}
