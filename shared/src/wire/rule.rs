//! `rule`: a rule found by words, what it says and changes, an example in numbers, and yes or no to a question about it.
use super::bytes;
use super::lookup;
use super::mistake::{Mistake, Mistakes};
use super::packs::{NameForm, RuleForm, rule_form};
use super::question::{Question, Ready};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::Books;
use crate::rules::example::example;
use crate::rules::model::Pack;
use crate::rules::question::{self, Asked, Said, Truth};
use crate::rules::search::find;
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
    /// The pack's name, or the text of a pack file; the first pack where it is left out.
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

/// A rule: its text, what it changes, and who carries it.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct RuleAnswer {
    /// The rule.
    #[serde(flatten)]
    pub rule: RuleForm,
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

/// The answer to a yes-or-no question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct AskedForm {
    /// `yes`, `no`, or `depends` where the words leave it open.
    pub answer: AskedAnswer,
    /// Why, or what it depends on.
    pub because: String,
    /// Weapons of which the opposite is so.
    pub except: Vec<NameForm>,
    /// What of the question was understood as the table's.
    pub understood: Vec<String>,
}

/// Yes, no, or it depends.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, ToSchema)]
#[serde(rename_all = "lowercase")]
pub enum AskedAnswer {
    /// Yes.
    Yes,
    /// No.
    No,
    /// It depends.
    Depends,
}

/// A rule found.
#[derive(Clone, Debug)]
pub struct RuleReady {
    pack: Arc<Pack>,
    rule: usize,
    asked: Option<Asked>,
    others: Vec<usize>,
    example: Option<Pending>,
    text: Option<String>,
    /// Whether the rule was named, and not looked for in the question.
    named: bool,
}

/// A question has not more letters.
const LONGEST: usize = 500;

impl Question for RuleRequest {
    const PATH: &'static str = "rule";
    type Ready = RuleReady;

    fn settle(self, books: &Books) -> Result<RuleReady, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(books, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        if self.ask.as_ref().is_some_and(|ask| ask.chars().count() > LONGEST) {
            mistakes.push(Mistake::value("/ask", format!("a question of at most {LONGEST} letters, please")));
            return Err(mistakes.0);
        }
        let ready = pack.and_then(|pack| self.found(&pack, &mut mistakes));
        mistakes.or(ready)
    }
}

impl RuleRequest {
    fn found(&self, pack: &Arc<Pack>, mistakes: &mut Mistakes) -> Option<RuleReady> {
        let asks = self.ask.as_deref().filter(|ask| question::is_yes_or_no(ask));
        let (rule, asked, others) = match (&self.rule, &self.ask) {
            (Some(name), _) => {
                let rule = *lookup::rules(pack, Some(std::slice::from_ref(name)), "", mistakes).first()?;
                let asked = asks.map(|text| question::decide(pack, rule, true, Said::of(pack, text)));
                (rule, asked, Vec::new())
            }
            (None, Some(text)) => {
                let found: Vec<usize> = find(pack, text).into_iter().map(|found| found.rule).collect();
                let Some(first) = found.first() else {
                    mistakes.push(nothing(pack, text));
                    return None;
                };
                let asked = asks.and_then(|text| question::ask(pack, text));
                (asked.as_ref().map_or(*first, |asked| asked.rule), asked, found)
            }
            (None, None) => {
                mistakes.push(Mistake::missing("/ask", "say the rule's name, or ask about it"));
                return None;
            }
        };
        let said = asked.as_ref().filter(|asked| asked.answer != Truth::No).map(|asked| &asked.said);
        let example = example(pack, rule, said).and_then(|example| Pending::of(pack, rule, example));
        let others = others.into_iter().filter(|other| *other != rule).take(5).collect();
        Some(RuleReady {
            pack: Arc::clone(pack),
            rule,
            asked,
            others,
            example,
            text: self.ask.clone(),
            named: self.rule.is_some(),
        })
    }
}

/// No rule speaks of it; some names that look like it, else some that there are.
fn nothing(pack: &Pack, text: &str) -> Mistake {
    let close = pack.find.rules.find(text).map_or_else(|error| error.closest, |_| Vec::new());
    let labels = |ids: Vec<String>| -> Vec<String> {
        let label = |id: &String| pack.rules.iter().find(|rule| rule.named.id == *id).map(|rule| &rule.named.label);
        ids.iter().map(|id| label(id).unwrap_or(id).clone()).collect()
    };
    let detail = format!("no rule of the {} speaks of {text:?}", pack.named.label);
    Mistake::name("/ask", detail, labels(close))
}

impl Ready for RuleReady {
    type Answer = RuleAnswer;

    fn canonical(&self) -> impl Serialize {
        json!({ "rule": [self.pack.hash, self.rule], "named": self.named, "ask": self.text })
    }

    fn price(&self) -> Work {
        self.example.as_ref().map_or(Work::NONE, Pending::price) + 20_000
    }

    fn bytes(&self) -> Work {
        let carried = Work::from(self.pack.units.len()) * 2 + Work::from(self.pack.weapons.len());
        bytes::few((carried + Work::from(self.pack.rules.len())) * 400)
    }

    fn answer(&self, token: &CancellationToken) -> Result<RuleAnswer, Cancelled> {
        let example = self.example.as_ref().map(|example| example.answer(self.rule, token)).transpose()?.flatten();
        let (pack, at) = (&*self.pack, self.rule);
        let rules = |list: &[usize]| list.iter().map(|rule| NameForm::from(&pack.rules[*rule].named)).collect();
        let units = |carries: &dyn Fn(&crate::rules::model::unit::Unit) -> bool| {
            pack.units.iter().filter(|unit| carries(unit)).map(|unit| NameForm::from(&unit.named)).collect()
        };
        let armed = pack.weapons.iter().filter(|weapon| weapon.rules.contains(&at));
        Ok(RuleAnswer {
            rule: rule_form(pack, at),
            asked: self.asked.as_ref().map(|asked| asked_form(pack, asked)),
            example,
            replaces: rules(&pack.rules[at].replaces),
            asked_by: rules(&crate::rules::search::asked_by(pack, at)),
            units: units(&|unit| unit.rules.contains(&at)),
            weapons: armed.map(|weapon| NameForm::from(&weapon.named)).collect(),
            options: units(&|unit| unit.options.iter().any(|option| option.rules.contains(&at))),
            others: rules(&self.others),
            pack: pack.named.id.clone(),
            hash: pack.hash.clone(),
        })
    }
}

fn asked_form(pack: &Pack, asked: &Asked) -> AskedForm {
    AskedForm {
        answer: match asked.answer {
            Truth::Yes => AskedAnswer::Yes,
            Truth::No => AskedAnswer::No,
            Truth::Open => AskedAnswer::Depends,
        },
        because: asked.because.clone(),
        except: asked.except.iter().map(|at| NameForm::from(&pack.weapons[*at].named)).collect(),
        understood: asked.said.understood.clone(),
    }
}
