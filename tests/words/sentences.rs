//! What is wrong with the sentences of one card: found by reading them as text, beside the numbers that they are about.
use super::numbers;
use pipwright_bot::card::Card;
use pipwright_shared::report::counting::Counted;
use pipwright_shared::rules::model::Pack;
use serde_json::Value;

/// Nouns that are counted: one, and several.
const NOUNS: &[(&str, &str)] = &[
    ("model", "models"),
    ("body", "bodies"),
    ("point", "points"),
    ("turn", "turns"),
    ("try", "tries"),
    ("attack", "attacks"),
    ("attacker", "attackers"),
    ("unit", "units"),
    ("slot", "slots"),
    ("thing", "things"),
    ("draw", "draws"),
    ("backfire", "backfires"),
    ("time", "times"),
    ("re-roll", "re-rolls"),
    ("game", "games"),
    ("die", "dice"),
];

/// Verbs of headlines: of several, and of one.
const VERBS: &[(&str, &str)] = &[
    ("take", "takes"),
    ("wreck", "wrecks"),
    ("get", "gets"),
    ("finish", "finishes"),
    ("wipe", "wipes"),
    ("destroy", "destroys"),
    ("survive", "survives"),
    ("give", "gives"),
    ("do", "does"),
];

const SMALL: [&str; 11] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/// Idioms that are nobody's English.
const IDIOMS: &[&str] = &[
    "points off",
    "stands at",
    "to be had",
    "asked back",
    "in the mean",
    "more often than not",
    "Taken as",
    "rolled once",
    "times on average",
    "does not apply: it works",
    "the question does not say",
    "the worst face",
    "none \u{2192}",
    "0.0 ",
    " 0.00 ",
    "NaN",
    "  ",
    "100.0%",
];

/// Words that claim something of all cases.
const UNIVERSAL: &[&str] =
    &["never", "always", "none", "nobody", "nothing", "certain", "certainly", "can't", "cannot", "impossible"];

/// An answer as it is read.
pub struct Read<'a> {
    pub pack: &'a Pack,
    pub path: &'a str,
    pub question: &'a Value,
    /// The service's answer, exact where it can be; nothing where the card has no link.
    pub answer: &'a Value,
    pub card: &'a Card,
}

impl Read<'_> {
    /// All that is wrong.
    pub fn faults(&self) -> Vec<String> {
        let mut found = Vec::new();
        for text in self.all() {
            found.extend(about(&text));
            found.extend(self.agreement(&text));
            let idioms = IDIOMS.iter().filter(|idiom| text.contains(**idiom));
            found.extend(idioms.map(|idiom| format!("{idiom:?} in {text:?}")));
        }
        if self.card.read_as.contains(" x ") {
            found.push(format!("an x for a number in {:?}", self.card.read_as));
        }
        found.extend(self.subject());
        found.extend(self.counted());
        for text in self.claims() {
            found.extend(self.universal(&text));
        }
        found.extend(numbers::sure(self));
        found.extend(numbers::alike(self));
        found
    }

    /// Every text of the card but those of the pack's own rules.
    fn all(&self) -> Vec<String> {
        let card = self.card;
        let mut all = vec![card.headline.clone(), card.read_as.clone()];
        all.extend(card.lines.iter().flat_map(|line| [line.label.clone(), line.value.clone()]));
        all.extend(card.notes.iter().cloned());
        all.extend(card.text.iter().cloned());
        all.extend(card.steps.iter().map(|step| step.text.clone()));
        all.extend(card.chart.iter().flat_map(|chart| [chart.title.clone(), chart.alt.clone()]));
        all.extend(card.follow_ups.iter().map(|follow| follow.label.clone()));
        all
    }

    /// The texts that state what comes out.
    fn claims(&self) -> Vec<String> {
        if self.path.is_empty() || self.path == "/v1/rule" || self.path == "/v1/list-points" {
            return Vec::new();
        }
        let lines = self.card.lines.iter().map(|line| line.value.clone());
        std::iter::once(self.card.headline.clone()).chain(lines).collect()
    }

    /// `1 models`, `5 Dyke Hand`.
    fn agreement(&self, text: &str) -> Vec<String> {
        let words: Vec<&str> = text.split(' ').map(|word| word.trim_matches([',', '.', ';', ':', '(', ')'])).collect();
        let mut found = Vec::new();
        for pair in words.windows(2) {
            let Some(number) = whole(pair[0]) else { continue };
            for (one, several) in NOUNS {
                if (number == 1 && pair[1] == *several) || (number != 1 && pair[1] == *one) {
                    found.push(format!("{:?} in {text:?}", pair.join(" ")));
                }
            }
        }
        for unit in &self.pack.units {
            let (one, several) = &unit.forms;
            if one == several {
                continue;
            }
            for (form, wants_one) in [(one, true), (several, false)] {
                for (at, _) in text.match_indices(form.as_str()) {
                    let goes_on = text[at + form.len()..].starts_with(|c: char| c.is_alphanumeric());
                    let before = text[..at].trim_end().rsplit(' ').next().unwrap_or_default().trim_start_matches('(');
                    let number = whole(before).filter(|_| text[..at].ends_with(' ') && !goes_on);
                    if number.is_some_and(|number| (number == 1) != wants_one) {
                        found.push(format!("\"{before} {form}\" in {text:?}"));
                    }
                }
            }
        }
        found
    }

    /// `5 Dyke Hands takes`, `the Heron Carriage wreck`.
    fn subject(&self) -> Option<String> {
        let first = self.card.headline.split(' ').next()?.to_lowercase();
        let one = match whole(&first) {
            Some(number) => number == 1,
            None if first == "the" || first == "both" => first == "the",
            None => return None,
        };
        let words = self.card.headline.split(' ').map(|word| word.trim_matches([',', '.', ';']));
        let verb = words
            .skip(1)
            .find_map(|word| VERBS.iter().find(|(many, one)| word == *many || word == *one).map(|pair| (word, pair)))?;
        let right = if one { verb.1.1 } else { verb.1.0 };
        // `can't take` is said of one and of several.
        let can = self.card.headline.contains(&format!("can't {}", verb.0));
        (verb.0 != right && !can).then(|| format!("{:?} beside its subject in {:?}", verb.0, self.card.headline))
    }

    /// Crews are counted as crews, people as people; what is counted is worked out here from the book alone.
    fn counted(&self) -> Vec<String> {
        let sides: &[&str] = match self.path {
            "/v1/matchup" => &["attacker", "target"],
            "/v1/duel" => &["a", "b"],
            _ => return Vec::new(),
        };
        let text = self.card.headline.to_lowercase();
        let mut found = Vec::new();
        for side in sides.iter().map(|side| &self.question[*side]) {
            let unit = self.pack.units.iter().find(|unit| side["unit"] == unit.named.id.as_str()).expect("a unit");
            let Some(models) = side["models"].as_u64() else { continue };
            let (least, most) = (u64::from(unit.models.0), u64::from(unit.models.1));
            let (number, rest) = match unit.counted {
                Counted::Models => (models, None),
                Counted::Units => {
                    let units = models.div_ceil(most);
                    let full = least == most && models == units * most;
                    (units, (!full).then_some(models))
                }
            };
            let name = if number == 1 { &unit.forms.0 } else { &unit.forms.1 }.to_lowercase();
            let said = usize::try_from(number).ok().and_then(|number| SMALL.get(number));
            let ways = [format!("{number} {name}"), format!("{} {name}", said.copied().unwrap_or("?"))];
            if !ways.iter().any(|way| text.contains(way)) {
                found.push(format!("{models} models are {:?}, and the headline is {:?}", ways[1], self.card.headline));
            }
            if let Some(models) = rest
                && !text.contains(&format!("({models} "))
            {
                found.push(format!(
                    "{models} models are not all of the units, and the headline is {:?}",
                    self.card.headline
                ));
            }
        }
        found
    }

    fn universal(&self, text: &str) -> Option<String> {
        let words = text.split([' ', ',', '.', ';', ':']);
        let claim = words.into_iter().find(|word| UNIVERSAL.contains(&word.to_lowercase().as_str()))?;
        let answer = self.answer;
        let zero = |pointer: &str| answer.pointer(pointer).and_then(Value::as_f64) == Some(0.0);
        let none_lost = || zero("/structure/expected") || (zero("/health_lost/expected") && zero("/models/expected"));
        let rows = || answer["rows"].as_array().into_iter().flatten();
        let proved = match self.path {
            "/v1/matchup" | "/v1/odds" => {
                if text.contains("can't hurt") {
                    none_lost()
                } else if text.contains("even one") {
                    zero("/models/expected")
                } else if text.contains("anything through") {
                    zero("/through/expected")
                } else {
                    // With a template there are no fractions; nothing is then 0 that is not.
                    match answer.pointer("/destroyed/fraction") {
                        Some(fraction) => fraction == "0",
                        None => zero("/destroyed/chance"),
                    }
                }
            }
            "/v1/duel" => {
                answer["harmless"] == true
                    || answer["turns"]
                        .as_array()
                        .and_then(|turns| turns.last())
                        .is_some_and(|last| last["a_destroyed"] == 0.0 || last["b_destroyed"] == 0.0)
            }
            "/v1/needed" => zero("/limit/chance"),
            "/v1/assign" => {
                let nowhere = |target: &Value| target["attackers"].as_array().is_some_and(Vec::is_empty);
                let targets = || answer["targets"].as_array().into_iter().flatten();
                if text.starts_with("Nobody here") { targets().all(nowhere) } else { targets().any(nowhere) }
            }
            "/v1/luck" => {
                // `one pass, or none`: less than it can come.
                let less = answer.pointer("/at_most/chance").and_then(Value::as_f64)
                    > answer.pointer("/exactly/chance").and_then(Value::as_f64);
                (claim == "none" && text.contains(", or none,") && less)
                    || zero("/exactly/chance")
                    || text.contains("nothing else could happen")
                    || text.starts_with("Nothing unusual")
            }
            // The test's own chance is what is said of it.
            "/v1/fair" => text.starts_with("Nothing unusual") || answer["throws"] == 0,
            "/v1/check" => {
                let of = |fraction: &str| answer["fraction"] == fraction || numbers::sure_number(&answer["passes"]);
                if claim == "never" { zero("/chance") || zero("/all/chance") } else { of("1") }
            }
            "/v1/repair" => claim != "always" || numbers::sure_number(&answer["restored"]),
            "/v1/compare" => {
                let nothing = |row: &Value| row["models"].as_f64().or(row["structure"].as_f64()) == Some(0.0);
                rows().all(nothing) || rows().all(|row| row["attackers"].is_null())
            }
            "/v1/blast" => claim != "always" || numbers::sure_number(&answer["covered"]),
            "/v1/draw" => {
                zero("/ended/chance")
                    || answer.pointer("/ended/fraction").is_some_and(|one| one == "1")
                    || answer["colours"]
                        .as_object()
                        .into_iter()
                        .flatten()
                        .any(|(_, colour)| colour["first"]["fraction"] == "1")
            }
            _ => false,
        };
        (!proved).then(|| format!("{claim:?} without proof in {text:?}"))
    }
}

/// A whole number in digits or words.
fn whole(word: &str) -> Option<u64> {
    let word = word.to_lowercase();
    let digits = word.replace(',', "");
    digits.parse().ok().or_else(|| SMALL.iter().position(|small| *small == word).map(|number| number as u64))
}

/// `about 1 time in 28 (3.5%)`: the two are at most 3% apart, and without `about` the fraction is the chance.
fn about(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for (at, middle) in text.match_indices(" in ") {
        let before = &text[..at];
        let Some(before) = before.strip_suffix("times").or(before.strip_suffix("time")) else { continue };
        let mut words = before.trim_end().rsplit(' ');
        let (Some(part), word) = (words.next().and_then(whole), words.next().unwrap_or_default()) else { continue };
        let behind = &text[at + middle.len()..];
        let mut words = behind.split(' ');
        let whole_of = words.next().and_then(|word| whole(word.trim_end_matches([';', '.', ','])));
        let (Some(whole_of), Some(percent)) = (whole_of, words.next()) else { continue };
        let Some(said) = percent.strip_prefix('(').and_then(|rest| rest.split("%)").next()) else { continue };
        let Ok(chance) = said.parse::<f64>() else { continue };
        let unit = said.split_once('.').map_or(1.0, |(_, places)| 0.1_f64.powi(places.len() as i32));
        let share = 100.0 * part as f64 / whole_of as f64;
        let rest = chance.min(100.0 - chance);
        let slack = if word == "about" { 0.03 * rest + unit / 2.0 } else { unit / 2.0 + 1e-9 };
        if (share - chance).abs() > slack {
            found.push(format!("{part} in {whole_of} is not {said}% in {text:?}"));
        }
    }
    found
}

/// What these findings find and what they let pass, so that a finder that finds nothing is noticed.
#[test]
fn what_is_wrong_is_found() {
    assert!(about("It hits about 1 time in 9 (10%).").len() == 1);
    assert!(about("It hits 1 time in 10 (10%).").is_empty());
    assert!(about("It hits 1 time in 10 (10.4%).").len() == 1);
    assert!(about("It hits about 1 time in 28 (3.5%).").is_empty());
    assert!(about("It hits about 309 times in 310 (99.68%).").is_empty());
    assert!(about("It hits about 99 times in 100 (98.0%).").len() == 1);
    assert_eq!((whole("three"), whole("1,500"), whole("1.5")), (Some(3), Some(1500), None));
}
