//! Yes-or-no questions about rules: does it act, as far as the words of the question say?
//!
//! The words are looked up among the pack's names; what they leave open stays open. Which rule is meant is said by its
//! name, or by what the question speaks of. Its conditions are then held against all that can still be, in
//! three-valued logic: they hold, they cannot hold, or it depends.
mod allowed;
mod axes;
mod because;
mod covers;
mod evidence;
mod form;
mod idle;
mod lexicon;
mod numbers;
mod options;
mod places;
mod possibilities;
mod rolls;
mod said;
mod sides;
mod spots;
mod synonyms;
mod topics;
mod verdict;
mod which;
mod words;

pub use super::conditions::Ternary;
pub use form::Form;
pub use said::{Mention, Reading, Said};
pub use spots::{Sort, statuses};
pub use topics::{Topic, What, choices, meets, topics, touched};

use super::model::Pack;
use super::model::change::{RollId, RuleScope};
use super::model::condition::{Condition, Than};
use super::model::sum::Source;
use super::search::asked_by;
use super::term::{self, Term};
use allowed::allowed;
use because::because;
use verdict::{Verdict, relevant, speaks, verdict};
use which::{Found, clear, found, sign, unexplained};

/// What was asked, and the answer.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    /// The rule that decides, by index.
    pub rule: usize,
    /// Yes, no, or it depends.
    pub answer: Ternary,
    /// Why, in a sentence without its beginning: `it applies when …`.
    pub because: String,
    /// Weapons of which the opposite is so.
    pub except: Vec<usize>,
    /// What was understood of the question.
    pub said: Said,
}

/// What a question about rules comes to.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// A rule, the answer where a yes or a no was asked for, and other rules that the words fit.
    Rule(usize, Option<Box<Asked>>, Vec<usize>),
    /// A word of the pack and what it means, with a yes or a no and why where that was asked for.
    Term(Box<Term>, Option<(Ternary, String)>, Box<Said>),
    /// Several rules fit equally well.
    Several(Vec<usize>),
    /// No rule speaks of it; the nearest.
    Nothing(Vec<usize>),
}

/// The answer to a question about rules; about this one where it is known which.
pub fn answer(pack: &Pack, text: &str, known: Option<usize>) -> Answer {
    let reading = Reading::of(pack, text);
    let form = Form::of(&reading);
    if let Some(rule) = known {
        let asked =
            (form.yes_or_no || reading.said != bare(pack)).then(|| Box::new(decide(pack, rule, true, &reading, &form)));
        return Answer::Rule(rule, asked, Vec::new());
    }
    let found = found(pack, &reading, &form);
    let others = |rule: usize| {
        let told = found.iter().filter(|found| found.rule != rule && found.is_likely());
        told.take(5).map(|found| found.rule).collect::<Vec<_>>()
    };
    if form.yes_or_no
        && let Some(asked) = stacks(pack, text, &reading)
    {
        return Answer::Rule(asked.rule, Some(Box::new(asked)), Vec::new());
    }
    if form.yes_or_no
        && let Some((term, truth, why)) = options::may_take(pack, &reading)
    {
        return Answer::Term(Box::new(term), Some((truth, why)), Box::new(reading.said));
    }
    if form.yes_or_no
        && let Some((term, truth, why)) = covers::helps(pack, &reading)
    {
        return Answer::Term(Box::new(term), Some((truth, why)), Box::new(reading.said));
    }
    let named = is_named(pack, &reading);
    if !form.yes_or_no
        && !named
        && let Some(rule) = which::of_flag(pack, &reading)
    {
        return Answer::Rule(rule, None, others(rule));
    }
    if !form.yes_or_no
        && !named
        && form.meaning
        && let Some(term) = term::asked(pack, &reading)
    {
        return Answer::Term(Box::new(term), None, Box::new(reading.said));
    }
    let by_name = found.first().is_some_and(|found| found.by_name);
    if form.yes_or_no
        && !named
        && let Some(asked) = use_of(pack, &reading, &form)
    {
        let others = others(asked.rule);
        return Answer::Rule(asked.rule, Some(Box::new(asked)), others);
    }
    let denies = |found: &Found| pack.rules[found.rule].changes.iter().any(|change| change.effects.deny);
    let of_roll = clear(&found, &form) != Ternary::Yes
        || is_of_aftermath(&reading)
        || (is_subject(&reading) && !found.first().is_some_and(denies));
    if form.yes_or_no
        && !named
        && of_roll
        && let Some((what, truth, why)) = rolls::about(pack, &reading, &form)
    {
        return Answer::Term(Box::new(term::topic(pack, what)), Some((truth, why)), Box::new(reading.said));
    }
    let nearest: Vec<usize> = found.iter().take(2).map(|found| found.rule).collect();
    if form.yes_or_no && !by_name && unexplained(pack, &reading) >= 0.5 {
        return Answer::Nothing(nearest);
    }
    let first = match clear(&found, &form) {
        Ternary::No => return Answer::Nothing(nearest),
        Ternary::Open => return Answer::Several(nearest),
        Ternary::Yes => found[0],
    };
    let first = if form.yes_or_no { marker(pack, first, &found) } else { first };
    // A claim of `twice` about a rule that doubles nothing gets the rule's words, and no verdict.
    let asks = form.yes_or_no && (!form.twice || which::doubles(&pack.rules[first.rule]));
    let asked = asks.then(|| Box::new(decide(pack, first.rule, first.by_name, &reading, &form)));
    Answer::Rule(first.rule, asked, others(first.rule))
}

/// `can the crew rout`: a roll afterwards and who makes it, and no rule.
fn is_of_aftermath(reading: &Reading) -> bool {
    matches!(reading.said.topics.first(), Some((What::Aftermath(_), _)))
}

/// `do boards work …`: a roll is what the question is about.
fn is_subject(reading: &Reading) -> bool {
    let asked = |spot: &&spots::Spot| spot.from > 0 && lexicon::is_in(lexicon::ASKING, reading.word(spot.from - 1));
    reading.spots.iter().filter(asked).any(|spot| spot.sort == Sort::Topic)
}

/// Whether a rule that does something is named, by a name that is nothing else's.
fn is_named(pack: &Pack, reading: &Reading) -> bool {
    let does = |rule: usize| !pack.rules[rule].changes.is_empty() || pack.rules[rule].repair.is_some();
    let shared = |spot: &spots::Spot| {
        let other = |other: &spots::Spot| {
            !matches!(other.sort, Sort::Rule | Sort::Option) && (other.from, other.to) == (spot.from, spot.to)
        };
        reading.spots.iter().any(other)
    };
    reading.spots.iter().any(|spot| spot.sort == Sort::Rule && !shared(spot) && does(spot.at))
}

/// What a question says that says nothing.
fn bare(pack: &Pack) -> Said {
    Reading::of(pack, "").said
}

/// A mere word that others ask for decides nothing by itself: those others do.
fn marker(pack: &Pack, first: Found, found: &[Found]) -> Found {
    let plan = &pack.rules[first.rule];
    if !plan.changes.is_empty() || plan.repair.is_some() {
        return first;
    }
    let asking = asked_by(pack, first.rule);
    let spoken = found.iter().copied().find(|other| asking.contains(&other.rule));
    let other = asking.first().map(|rule| Found { rule: *rule, by_name: false, ..first });
    spoken.or(other).unwrap_or(first)
}

/// `does it stack with that one`: of two rules one may stand in the other's place.
fn stacks(pack: &Pack, text: &str, reading: &Reading) -> Option<Asked> {
    let text = text.to_lowercase();
    let asks = ["stack", "combine", "add up", "together", "both"].iter().any(|word| text.contains(word));
    let [first, second, ..] = reading.said.rules.as_slice() else { return None };
    let of = |rule: usize, other: usize| pack.rules[rule].replaces.contains(&other);
    let (rule, other) = match (of(*first, *second), of(*second, *first)) {
        (true, _) => (*first, *second),
        (_, true) => (*second, *first),
        _ => return None,
    };
    asks.then(|| Asked {
        rule,
        answer: Ternary::No,
        because: format!("{} replaces {}", pack.rules[rule].named.label, pack.rules[other].named.label),
        except: Vec::new(),
        said: reading.said.clone(),
    })
}

/// How the answer ends where a rule that forbids something does not forbid this.
pub const NOT_FORBIDDEN: &str = "does not forbid it";

/// Whether a weapon may be used as the question says.
fn use_of(pack: &Pack, reading: &Reading, form: &Form) -> Option<Asked> {
    let found = allowed(pack, reading, form)?;
    let label = &pack.rules[found.rule].named.label;
    let opposite = |truth: &Ternary| *truth == !found.truth && found.truth != Ternary::Open;
    let except: Vec<usize> =
        found.each.iter().filter(|(_, truth)| opposite(truth)).map(|(weapon, _)| *weapon).collect();
    let because = match found.truth {
        Ternary::Yes => format!("{label} {NOT_FORBIDDEN}"),
        Ternary::No if found.reach => reach(pack, found.each.first().map(|(weapon, _)| *weapon)),
        Ternary::No => format!("{label} forbids it"),
        Ternary::Open => format!("{label} may forbid it"),
    };
    Some(Asked { rule: found.rule, answer: found.truth, because, except, said: reading.said.clone() })
}

/// Whether a rule acts as far as was said, and whether that is what the question asks.
pub fn decide(pack: &Pack, rule: usize, by_name: bool, reading: &Reading, form: &Form) -> Asked {
    let said = &reading.said;
    let plan = &pack.rules[rule];
    if let Some((answer, because)) = had(pack, rule, reading, form).or_else(|| threshold_asked(pack, rule, said, form))
    {
        return Asked { rule, answer, because, except: Vec::new(), said: said.clone() };
    }
    if let Some(because) = lacking(pack, rule, reading) {
        return Asked { rule, answer: Ternary::No, because, except: Vec::new(), said: said.clone() };
    }
    let mut found = verdict(pack, rule, said, form, &said.weapons);
    let mut except = Vec::new();
    if found.truth == Ternary::Open && said.weapons.len() > 1 {
        // `guns`: each by itself; most of them answer, the others are the exception.
        let each: Vec<(usize, Verdict)> =
            said.weapons.iter().map(|at| (*at, verdict(pack, rule, said, form, &[*at]))).collect();
        let count = |truth: Ternary| each.iter().filter(|(_, one)| one.truth == truth).count();
        let most = if count(Ternary::Yes) >= count(Ternary::No) { Ternary::Yes } else { Ternary::No };
        if count(Ternary::Open) == 0 {
            except = each.iter().filter(|(_, one)| one.truth != most).map(|(at, _)| *at).collect();
            found = each.into_iter().map(|(_, one)| one).find(|one| one.truth == most).unwrap_or(found);
        }
    }
    let label = &plan.named.label;
    if form.always && found.truth == Ternary::Open {
        // `every time` is not so where it depends.
        let because =
            because(pack, rule, &found).replacen("it applies when", "it does not always apply, but only when", 1);
        return Asked { rule, answer: Ternary::No, because, except, said: said.clone() };
    }
    let why = because(pack, rule, &found);
    if form.taken_away && !plan.changes.iter().any(|change| change.effects.deny) {
        return Asked { rule, answer: !found.truth, because: why, except, said: said.clone() };
    }
    let turned = turns(pack, rule, by_name, reading, form);
    let answer = match turned {
        Turned::Not => found.truth,
        Turned::Denied => !found.truth,
        Turned::Opposite if found.truth == Ternary::Yes => Ternary::No,
        Turned::Opposite => found.truth,
    };
    let because = match (turned, found.truth) {
        (Turned::Not, _) => why,
        (Turned::Denied, Ternary::Yes) => format!(
            "{label} cancels it{}",
            why.strip_prefix("it acts").filter(|rest| rest.starts_with(" when")).unwrap_or("")
        ),
        (Turned::Denied, Ternary::No) => {
            format!("{label} does not touch it: {}", why.replacen("it ", &format!("{label} "), 1))
        }
        (Turned::Denied, Ternary::Open) => {
            format!("{label} cancels it{}", why.strip_prefix("it acts").unwrap_or(&why))
        }
        (Turned::Opposite, Ternary::Yes) if form.worse => "it makes the roll better, not worse".to_owned(),
        (Turned::Opposite, Ternary::Yes) => "it is a drawback that makes the roll worse".to_owned(),
        (Turned::Opposite, _) => why,
    };
    Asked { rule, answer, because, except, said: said.clone() }
}

/// `can it help someone without salt`: who lacks the roll that a rule changes gets nothing from it.
fn lacking(pack: &Pack, rule: usize, reading: &Reading) -> Option<String> {
    let denied = |spot: &&spots::Spot| {
        let before = reading.words.get(spot.from.wrapping_sub(1)).map_or("", |word| word.plain.as_str());
        spot.sort == Sort::Topic && ["without", "lacking"].contains(&before)
    };
    reading.spots.iter().find(denied)?;
    let [(_, rolls)] = reading.said.topics.as_slice() else { return None };
    let plan = &pack.rules[rule];
    let only = !plan.changes.is_empty() && plan.changes.iter().all(|change| speaks(change, &reading.said));
    let roll = rolls.first().filter(|_| only)?;
    Some(format!("it changes {}, which is not rolled there", because::the_roll(pack, *roll)))
}

/// How far a weapon reaches.
fn reach(pack: &Pack, weapon: Option<usize>) -> String {
    let Some(weapon) = weapon.map(|at| &pack.weapons[at]) else { return "that is out of reach".to_owned() };
    let label = &weapon.named.label;
    match weapon.reach {
        (0, Some(most)) => format!("the {label} reaches {most} inches"),
        (least, Some(most)) => format!("the {label} reaches from {least} to {most} inches"),
        (least, None) => format!("the {label} reaches from {least} inches on"),
    }
}

/// Whether a rule acts where all of the table is known.
pub fn decide_known(pack: &Pack, rule: usize, said: &Said, form: &Form) -> Ternary {
    verdict(pack, rule, said, form, &said.weapons).truth
}

/// `are the rifles reed-wise`: who has a rule, where nothing is said of the table.
fn had(pack: &Pack, rule: usize, reading: &Reading, form: &Form) -> Option<(Ternary, String)> {
    let said = &reading.said;
    let table =
        said.spoken != said::Spoken::default() || said.moved.is_some() || said.flags.iter().any(Option::is_some);
    let on = said.mentions.iter().find(|mention| mention.on_whom && mention.units.len() == 1)?;
    if !form.has || table || !said.rules.contains(&rule) {
        return None;
    }
    let unit = &pack.units[on.units[0]];
    let label = &unit.named.label;
    if unit.rules.contains(&rule) {
        return Some((Ternary::Yes, format!("it is a rule of the {label}")));
    }
    let option = unit.options.iter().find(|option| option.rules.contains(&rule))?;
    Some((Ternary::Open, format!("it comes with an option of the {label}: {}", option.named.label)))
}

/// `does it need ten of them`: the number that a rule asks for, against the one that was said.
fn threshold_asked(pack: &Pack, rule: usize, said: &Said, form: &Form) -> Option<(Ternary, String)> {
    let asked = *said.counts.first().or(said.numbers.first()).filter(|_| form.just)?;
    let Condition::Compare(sum, Than::AtLeast, number) = &pack.rules[rule].when else { return None };
    let models = sum.0.iter().any(|term| matches!(term.source, Source::Models(_)));
    let needed = u32::try_from(*number).ok().filter(|_| models)?;
    Some((Ternary::from(needed == asked), format!("it needs {needed} models or more")))
}

/// How the answer to the question stands to whether the rule acts.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Turned {
    /// They are the same.
    Not,
    /// The question is whether what the rule takes away is there.
    Denied,
    /// The question is whether it makes something worse, and the rule makes it better; or the other way round.
    Opposite,
}

fn turns(pack: &Pack, rule: usize, by_name: bool, reading: &Reading, form: &Form) -> Turned {
    let (plan, said) = (&pack.rules[rule], &reading.said);
    let changes: Vec<_> = relevant(plan, said).into_iter().map(|at| &plan.changes[at]).collect();
    let denies = !changes.is_empty() && changes.iter().all(|change| change.effects.deny);
    let topic = changes.iter().any(|change| speaks(change, said)) || !said.topics.is_empty();
    if denies || (!by_name && plan.changes.iter().any(|change| change.effects.deny) && changes.is_empty()) {
        let spoken = topic && reading.said.rules.iter().all(|other| *other != rule || against(reading, rule));
        // `may it still be fired`: what forbids it answers no.
        let may = form.may && denies && changes.iter().all(|change| change.rolls.contains(&RollId::Attack));
        return if may || !form.defeats && (!by_name || spoken) { Turned::Denied } else { Turned::Not };
    }
    let own = |change: &&super::model::change::Change| {
        matches!(change.side, RuleScope::Attacker | RuleScope::Weapon | RuleScope::NearAttacker | RuleScope::Table)
            && change.rolls.iter().any(|roll| !matches!(roll, RollId::Aftermath(_)))
    };
    let signs: Vec<i32> = changes.iter().filter(|change| own(change)).map(|change| sign(change)).collect();
    let all = |wanted: i32| !signs.is_empty() && signs.iter().all(|sign| *sign == wanted);
    // Cover helps whoever stands behind it by making the attacker's roll worse.
    let shelters = of_cover(&plan.when);
    if (form.worse && !form.better && all(1)) || (form.better && !form.worse && !form.defeats && !shelters && all(-1)) {
        return Turned::Opposite;
    }
    Turned::Not
}

/// Whether a rule acts by the cover that the target has.
fn of_cover(condition: &Condition) -> bool {
    match condition {
        Condition::All(all) | Condition::Any(all) => all.iter().any(of_cover),
        Condition::Cover(covers) => !covers.is_empty(),
        _ => false,
    }
}

/// Whether the rule is named as what something stands against.
fn against(reading: &Reading, rule: usize) -> bool {
    let spot = reading.spots.iter().find(|spot| spot.sort == spots::Sort::Rule && spot.at == rule);
    spot.and_then(|spot| reading.before(spot.from)).is_some_and(|(_, word)| lexicon::is_in(lexicon::AGAINST, word))
}
