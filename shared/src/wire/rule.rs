//! `rule`: a rule or another word of the pack found by a question, what it says and changes, an example in numbers, and yes
//! or no.
use super::bytes;
use super::lookup;
use super::mistake::{Mistake, Mistakes};
use super::packs::{NameForm, RuleForm, rule_form};
use super::question::{PreparedQuery, Question};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::report::saying::agreeing;
use crate::rules::PackCatalog;
use crate::rules::example::example;
use crate::rules::model::Pack;
use crate::rules::question::{self, Answer, Asked, Ternary};
use crate::rules::term::Term;
use serde::{Deserialize, Serialize};
use serde_json::json;
use std::sync::Arc;
use utoipa::ToSchema;

mod example;
use example::Pending;
pub use example::{RuleExample, RuleNumbers};

/// Which rule, or what is to be known.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct RuleRequest {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// The rule's name.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rule: Option<String>,
    /// A question, or words of the rule's text; read for the rule where `rule` is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "does the screen work from behind", max_length = 500)]
    pub ask: Option<String>,
}

/// A rule: its text, what it changes, and who carries it. Where the question asks for another word of the pack, that.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RuleAnswer {
    /// The rule, or the other word of the pack.
    #[serde(flatten)]
    pub rule: RuleForm,
    /// What it is: `rule`; or `stat`, `step`, `roll`, `chart`, `check`, `aftermath`, `mark`, `arc`, `range`, `cover`, `flag`,
    /// `kind`, or `term` for a word that every pack has.
    #[schema(example = "rule")]
    pub sort: String,
    /// The table of a chart.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub table: Option<TermTable>,
    /// Yes or no, where that was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<AskedForm>,
    /// What it changes in numbers; nothing where it changes none by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub example: Option<RuleExample>,
    /// Rules that do not act while it does.
    pub replaces: Vec<NameForm>,
    /// Rules that ask whether somebody carries it.
    pub asked_by: Vec<NameForm>,
    /// Units that carry it.
    pub units: Vec<NameForm>,
    /// Weapons that carry it.
    pub weapons: Vec<NameForm>,
    /// Units that may take it as an option.
    pub options: Vec<NameForm>,
    /// Other rules that the words fit.
    pub others: Vec<NameForm>,
    /// The pack's id.
    pub pack: String,
    /// The pack's content hash.
    pub hash: String,
}

/// A chart as a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct TermTable {
    /// The head of each column.
    pub head: Vec<String>,
    /// The rows, each as wide as the head.
    pub rows: Vec<Vec<String>>,
}

/// The answer to a yes-or-no question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct AskedForm {
    /// `yes`, `no`, or `depends` where the words leave it open.
    pub answer: AskedAnswer,
    /// The whole answer as a sentence, which says what is so: `No: Lantern screen acts only when …`.
    pub sentence: String,
    /// Why, or what it depends on, without a beginning: `it acts only when …`.
    pub because: String,
    /// Weapons of which the opposite is so.
    pub except: Vec<NameForm>,
    /// What of the question was understood as the table's.
    pub understood: Vec<String>,
}

/// Yes, no, or it depends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum AskedAnswer {
    /// Yes.
    Yes,
    /// No.
    No,
    /// It depends.
    Depends,
}

/// What was found.
#[derive(Clone, Debug)]
pub struct PreparedRule {
    pack: Arc<Pack>,
    found: Found,
    asked: Option<AskedForm>,
    others: Vec<usize>,
    example: Option<Pending>,
    text: Option<String>,
    /// Whether the rule was named, and not looked for in the question.
    named: bool,
}

/// A rule, by its index, or another word of the pack.
#[derive(Clone, Debug)]
enum Found {
    Rule(usize),
    Term(Box<Term>),
}

/// A question has not more letters.
const LONGEST: usize = 500;

impl Question for RuleRequest {
    const PATH: &'static str = "rule";
    type Prepared = PreparedRule;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedRule, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        if self.ask.as_ref().is_some_and(|ask| ask.chars().count() > LONGEST) {
            mistakes.push(Mistake::value("/ask", format!("a question of at most {LONGEST} letters, please")));
            return Err(mistakes.0);
        }
        let prepared = pack.and_then(|pack| self.found(&pack, &mut mistakes));
        mistakes.or(prepared)
    }
}

impl RuleRequest {
    fn found(&self, pack: &Arc<Pack>, mistakes: &mut Mistakes) -> Option<PreparedRule> {
        let known = match &self.rule {
            Some(name) => Some(*lookup::rules(pack, Some(std::slice::from_ref(name)), "", mistakes).first()?),
            None => None,
        };
        let (rule, asked, others) = match (known, &self.ask) {
            (Some(rule), None) => (rule, None, Vec::new()),
            (None, None) => {
                mistakes.push(Mistake::missing("/ask", "say the rule's name, or ask about it"));
                return None;
            }
            (known, Some(text)) => match question::answer(pack, text, known) {
                Answer::Rule(rule, asked, others) => (rule, asked, others),
                Answer::Term(term, asked, said) => {
                    let asked = asked.map(|(truth, because)| {
                        asked_form(
                            pack,
                            &term.name,
                            &Asked { rule: 0, answer: truth, because, except: Vec::new(), said: *said },
                        )
                    });
                    let (pack, text) = (Arc::clone(pack), self.ask.clone());
                    let found = Found::Term(term);
                    let named = known.is_some();
                    return Some(PreparedRule { pack, found, asked, others: Vec::new(), example: None, text, named });
                }
                Answer::Several(rules) => {
                    mistakes.push(several(pack, text, &rules));
                    return None;
                }
                Answer::Nothing(nearest) => {
                    mistakes.push(nothing(pack, text, &nearest));
                    return None;
                }
            },
        };
        let said = asked.as_ref().filter(|asked| asked.answer != Ternary::No).map(|asked| &asked.said);
        // What is allowed by way of exception is no example of what the rule forbids.
        let allowed = asked.as_ref().is_some_and(|asked| asked.because.ends_with(question::NOT_FORBIDDEN));
        let example = if allowed { None } else { example(pack, rule, said) };
        let example = example.and_then(|example| Pending::of(pack, rule, example));
        let asked = asked.map(|asked| asked_form(pack, &pack.rules[rule].named.label, &asked));
        let found = Found::Rule(rule);
        let (text, named) = (self.ask.clone(), known.is_some());
        Some(PreparedRule { pack: Arc::clone(pack), found, asked, others, example, text, named })
    }
}

/// Several rules fit: which one is meant, as complete questions.
fn several(pack: &Pack, text: &str, rules: &[usize]) -> Mistake {
    let names: Vec<&str> = rules.iter().map(|rule| pack.rules[*rule].named.label.as_str()).collect();
    let detail = format!("{text:?} may be about {}: name the rule that you mean", names.join(" or "));
    Mistake::name("/ask", detail, questions(pack, rules))
}

/// What would surely be about these rules.
fn questions(pack: &Pack, rules: &[usize]) -> Vec<String> {
    rules.iter().map(|rule| format!("when does {} work", pack.rules[*rule].named.label)).collect()
}

/// No rule speaks of it; the nearest as complete questions.
fn nothing(pack: &Pack, text: &str, nearest: &[usize]) -> Mistake {
    let detail = format!("no rule of {} mentions {text:?}", crate::report::saying::the(&pack.named.label));
    let close = || pack.find.rules.find(text).map_or_else(|error| error.closest, |_| Vec::new());
    let at = |id: &String| pack.rules.iter().position(|rule| rule.named.id == *id);
    let nearest = if nearest.is_empty() { close().iter().filter_map(at).take(2).collect() } else { nearest.to_vec() };
    Mistake::name("/ask", detail, questions(pack, &nearest))
}

impl PreparedQuery for PreparedRule {
    type Answer = RuleAnswer;

    fn canonical(&self) -> impl Serialize {
        let found = match &self.found {
            Found::Rule(rule) => json!(rule),
            Found::Term(term) => json!([term.sort, term.id]),
        };
        json!({ "rule": [self.pack.hash, found], "named": self.named, "ask": self.text })
    }

    fn price(&self) -> Work {
        self.example.as_ref().map_or(Work::NONE, Pending::price) + 20_000
    }

    fn bytes(&self) -> Work {
        let carried = Work::from(self.pack.units.len()) * 2 + Work::from(self.pack.weapons.len());
        bytes::few((carried + Work::from(self.pack.rules.len())) * 400)
    }

    fn answer(&self, token: &CancellationToken) -> Result<RuleAnswer, Cancelled> {
        let pack = &*self.pack;
        let names = |list: &[usize]| list.iter().map(|rule| NameForm::from(&pack.rules[*rule].named)).collect();
        let at = match &self.found {
            Found::Rule(at) => *at,
            Found::Term(term) => return Ok(term_answer(pack, term, self.asked.clone())),
        };
        let example = self.example.as_ref().map(|example| example.answer(at, token)).transpose()?.flatten();
        let units = |carries: &dyn Fn(&crate::rules::model::unit::Unit) -> bool| {
            pack.units.iter().filter(|unit| carries(unit)).map(|unit| NameForm::from(&unit.named)).collect()
        };
        let armed = pack.weapons.iter().filter(|weapon| weapon.rules.contains(&at));
        Ok(RuleAnswer {
            rule: rule_form(pack, at),
            sort: "rule".to_owned(),
            table: None,
            asked: self.asked.clone(),
            example,
            replaces: names(&pack.rules[at].replaces),
            asked_by: names(&crate::rules::search::asked_by(pack, at)),
            units: units(&|unit| unit.rules.contains(&at)),
            weapons: armed.map(|weapon| NameForm::from(&weapon.named)).collect(),
            options: units(&|unit| unit.options.iter().any(|option| option.rules.contains(&at))),
            others: names(&self.others),
            pack: pack.named.id.clone(),
            hash: pack.hash.clone(),
        })
    }
}

/// Another word of the pack; the rules that speak of it are in `others`, and their texts among what it does.
fn term_answer(pack: &Pack, term: &Term, asked: Option<AskedForm>) -> RuleAnswer {
    let told = term.rules.iter().take(6).map(|rule| {
        let named = &pack.rules[*rule].named;
        format!("{}: {}", named.label, named.text)
    });
    let rows = term.table.iter().flat_map(|table| &table.rows).map(|row| match row.split_first() {
        Some((first, rest)) => format!("{first}: {}", rest.join(", ")),
        None => String::new(),
    });
    let does = term.lines.iter().cloned().chain(rows).chain(told).collect();
    RuleAnswer {
        rule: RuleForm { id: term.id.clone(), name: term.name.clone(), text: term.text.clone(), does, from: None },
        sort: term.sort.to_owned(),
        table: term.table.clone().map(|table| TermTable { head: table.head, rows: table.rows }),
        asked,
        example: None,
        replaces: Vec::new(),
        asked_by: Vec::new(),
        units: Vec::new(),
        weapons: Vec::new(),
        options: Vec::new(),
        others: term.rules.iter().map(|rule| NameForm::from(&pack.rules[*rule].named)).collect(),
        pack: pack.named.id.clone(),
        hash: pack.hash.clone(),
    }
}

/// The answer in a form; the sentence names what it is about once.
fn asked_form(pack: &Pack, label: &str, asked: &Asked) -> AskedForm {
    let (answer, word) = match asked.answer {
        Ternary::Yes => (AskedAnswer::Yes, "Yes"),
        Ternary::No => (AskedAnswer::No, "No"),
        Ternary::Open => (AskedAnswer::Depends, "It depends"),
    };
    let except: Vec<NameForm> = asked.except.iter().map(|at| NameForm::from(&pack.weapons[*at].named)).collect();
    let names: Vec<&str> = except.iter().map(|name| name.name.as_str()).collect();
    let but = match names.as_slice() {
        [] => String::new(),
        [one] => format!(", except the {one}"),
        [first @ .., last] => format!(", except the {} and the {last}", first.join(", the ")),
    };
    let because = asked.because.strip_prefix("it ").map_or_else(|| asked.because.clone(), |rest| agreeing(label, rest));
    AskedForm {
        answer,
        sentence: format!("{word}{but}: {because}."),
        because: asked.because.clone(),
        except,
        understood: asked.said.understood.clone(),
    }
}
