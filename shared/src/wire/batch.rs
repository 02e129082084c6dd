//! `batch`: many questions at once, each answered or refused by itself.
use super::assign::AssignRequest;
use super::blast::BlastRequest;
use super::bytes;
use super::check::CheckRequest;
use super::compare::CompareRequest;
use super::draw::DrawRequest;
use super::duel::DuelRequest;
use super::fair::FairRequest;
use super::list_points::ListRequest;
use super::luck::LuckRequest;
use super::matchup::MatchupRequest;
use super::mistake::{Mistake, Mistakes};
use super::needed::NeededRequest;
use super::odds::OddsRequest;
use super::question::{PreparedQuery, Question};
use super::read;
use super::repair::RepairRequest;
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use crate::rules::names::close_word;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use utoipa::ToSchema;

/// The most questions of one batch.
const MOST: usize = 100;

/// Questions, answered in their order.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"questions": [{"path": "check", "request": {"dice": "2d6", "needs": "7+"}}]}))]
pub struct BatchRequest {
    /// The questions.
    #[schema(min_items = 1, max_items = 100)]
    pub questions: Vec<BatchQuestion>,
}

/// One question.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct BatchQuestion {
    /// Where it would be posted by itself, without the `/v1/` before it: `odds`, `check`, `repair`, `blast`, `duel`, `needed`,
    /// `luck`, `draw`, `fair`, `compare`, `matchup`, `list-points` or `assign`.
    #[schema(example = "check")]
    pub path: String,
    /// What would be posted there.
    #[schema(example = json!({"dice": "2d6", "needs": "7+"}))]
    pub request: Value,
}

/// The answers, in the order of the questions.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct BatchAnswer {
    /// One for each question.
    pub answers: Vec<BatchItem>,
}

/// What comes of one question: its answer, or what is wrong with it.
#[derive(Clone, Debug, Default, PartialEq, Serialize, ToSchema)]
pub struct BatchItem {
    /// The answer that the question would have by itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub answer: Option<Value>,
    /// All its mistakes, their pointers into its own request.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub problem: Option<Vec<Mistake>>,
}

/// Questions of all sorts, resolved.
pub struct PreparedBatch {
    items: Vec<Result<Box<dyn ResolvedQuery>, Vec<Mistake>>>,
}

/// A resolved question of whatever sort.
trait ResolvedQuery: Send + Sync {
    fn canonical(&self) -> Value;
    fn price(&self) -> Work;
    fn bytes(&self) -> Work;
    fn answer(&self, token: &CancellationToken) -> Result<Value, Cancelled>;
}

impl<R: PreparedQuery> ResolvedQuery for R {
    fn canonical(&self) -> Value {
        serde_json::json!(PreparedQuery::canonical(self))
    }

    fn price(&self) -> Work {
        PreparedQuery::price(self)
    }

    fn bytes(&self) -> Work {
        PreparedQuery::bytes(self)
    }

    fn answer(&self, token: &CancellationToken) -> Result<Value, Cancelled> {
        let answer = PreparedQuery::answer(self, token)?;
        // Fails only for maps with keys that are no text, which no answer has.
        #[expect(clippy::expect_used, reason = "see above")]
        Ok(serde_json::to_value(answer).expect("an answer is JSON"))
    }
}

type Resolve = fn(Value, &PackCatalog) -> Result<Box<dyn ResolvedQuery>, Vec<Mistake>>;

/// Every question that may stand in a batch.
const SORTS: [(&str, Resolve); 13] = [
    sort::<OddsRequest>(),
    sort::<CheckRequest>(),
    sort::<RepairRequest>(),
    sort::<BlastRequest>(),
    sort::<DuelRequest>(),
    sort::<NeededRequest>(),
    sort::<LuckRequest>(),
    sort::<DrawRequest>(),
    sort::<FairRequest>(),
    sort::<CompareRequest>(),
    sort::<MatchupRequest>(),
    sort::<ListRequest>(),
    sort::<AssignRequest>(),
];

const fn sort<Q: Question>() -> (&'static str, Resolve) {
    (Q::PATH, |request, catalog| {
        let prepared = read::value::<Q>(request)?.resolve(catalog)?;
        Ok(Box::new(prepared))
    })
}

impl Question for BatchRequest {
    const PATH: &'static str = "batch";
    type Prepared = PreparedBatch;

    fn parts(&self) -> usize {
        self.questions.len()
    }

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedBatch, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        if !(1..=MOST).contains(&self.questions.len()) {
            mistakes.push(Mistake::value("/questions", "1 to 100 questions"));
            return Err(mistakes.0);
        }
        let catalog = &catalog.for_many_parts();
        let resolve = |question: BatchQuestion| match SORTS.iter().find(|(path, _)| *path == question.path) {
            Some((_, resolve)) => resolve(question.request, catalog),
            None => Err(vec![unknown(&question.path)]),
        };
        Ok(PreparedBatch { items: self.questions.into_iter().map(resolve).collect() })
    }
}

fn unknown(path: &str) -> Mistake {
    let close = close_word(path, SORTS.iter().map(|(known, _)| *known)).map(str::to_owned).into_iter();
    let all: Vec<_> = SORTS.iter().map(|(known, _)| *known).collect();
    Mistake::name("", format!("no question is called {path:?}; there are {}", all.join(", ")), close.collect())
}

impl PreparedQuery for PreparedBatch {
    type Answer = BatchAnswer;

    fn canonical(&self) -> impl Serialize {
        let item = |item: &Result<Box<dyn ResolvedQuery>, Vec<Mistake>>| match item {
            Ok(prepared) => prepared.canonical(),
            Err(mistakes) => serde_json::json!({ "problem": mistakes }),
        };
        serde_json::json!({ "batch": self.items.iter().map(item).collect::<Vec<_>>() })
    }

    fn price(&self) -> Work {
        self.items.iter().flatten().map(|prepared| prepared.price()).sum::<Work>() + 200
    }

    fn bytes(&self) -> Work {
        let item = |item: &Result<Box<dyn ResolvedQuery>, Vec<Mistake>>| match item {
            Ok(prepared) => prepared.bytes(),
            Err(mistakes) => bytes::mistakes(mistakes),
        };
        self.items.iter().map(item).sum::<Work>() + 200
    }

    fn answer(&self, token: &CancellationToken) -> Result<BatchAnswer, Cancelled> {
        let item = |item: &Result<Box<dyn ResolvedQuery>, Vec<Mistake>>| {
            token.check()?;
            Ok(match item {
                Ok(prepared) => BatchItem { answer: Some(prepared.answer(token)?), problem: None },
                Err(mistakes) => BatchItem { answer: None, problem: Some(mistakes.clone()) },
            })
        };
        Ok(BatchAnswer { answers: self.items.iter().map(item).collect::<Result<_, _>>()? })
    }
}
