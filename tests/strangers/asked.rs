//! A request as the service takes it, from bytes to bytes, within this process: as a body or as a link, and what it costs.
use pipwright_shared::{
    odds::cancellation::CancellationToken,
    rules::PackCatalog,
    wire::{
        appraisal::AppraisalRequest,
        arc::ArcRequest,
        assign::AssignRequest,
        batch::BatchRequest,
        blast::BlastRequest,
        build::BuildRequest,
        check::CheckRequest,
        compare::CompareRequest,
        compare_lists::CompareListsRequest,
        draw::DrawRequest,
        duel::DuelRequest,
        fair::FairRequest,
        list_points::ListRequest,
        luck::LuckRequest,
        matchup::MatchupRequest,
        needed::NeededRequest,
        odds::OddsRequest,
        pack_check::PackCheckRequest,
        packs::NamesRequest,
        question::{PreparedQuery, Question},
        read,
        repair::RepairRequest,
        rule::RuleRequest,
        side_by_side::SideBySideRequest,
        size,
        worth::WorthRequest,
    },
};
use pipwright_tests::spent::{Spent, spent};
use serde_json::Value;

/// What became of a request.
#[derive(Clone, Copy, Debug, Default)]
pub struct Outcome {
    /// Its price, where it was accepted.
    pub price: Option<u64>,
    /// The bytes of its answer, and the most that it was said to have.
    pub written: (u64, u64),
    /// Everything that it took: reading, pricing, working out, writing.
    pub spent: Spent,
    /// How many times the budget, and the deadline, of a usual question it has.
    pub budget_factor: u64,
}

/// What can be done with a question of one sort.
pub struct Sort {
    /// Its path behind `/v1/`.
    pub path: &'static str,
    /// Its fields in which numbers are names.
    pub numbered: &'static [&'static str],
    /// Asks it, with so large a budget.
    pub ask: fn(Value, u64) -> Outcome,
    /// Whether it is a right one within so large a budget; nothing is worked out.
    pub fits: fn(Value, u64) -> bool,
    /// The bytes that its key is made of, where it is a right one.
    pub key: fn(Value) -> Option<Vec<u8>>,
    /// Its answer.
    pub answer: fn(Value, u64) -> Option<Vec<u8>>,
}

/// All of them.
pub const SORTS: [Sort; 23] = [
    sort::<AppraisalRequest>(),
    sort::<ArcRequest>(),
    sort::<AssignRequest>(),
    sort::<BatchRequest>(),
    sort::<BlastRequest>(),
    sort::<BuildRequest>(),
    sort::<CheckRequest>(),
    sort::<CompareRequest>(),
    sort::<CompareListsRequest>(),
    sort::<DrawRequest>(),
    sort::<DuelRequest>(),
    sort::<FairRequest>(),
    sort::<ListRequest>(),
    sort::<LuckRequest>(),
    sort::<MatchupRequest>(),
    sort::<NamesRequest>(),
    sort::<NeededRequest>(),
    sort::<OddsRequest>(),
    sort::<PackCheckRequest>(),
    sort::<RepairRequest>(),
    sort::<RuleRequest>(),
    sort::<SideBySideRequest>(),
    sort::<WorthRequest>(),
];

/// The sort of a path.
pub fn of(path: &str) -> &'static Sort {
    SORTS.iter().find(|sort| sort.path == path).expect("a sort for each path")
}

const fn sort<Q: Question>() -> Sort {
    Sort { path: Q::PATH, numbered: Q::NUMBERED, ask: ask::<Q>, fits: fits::<Q>, key: key::<Q>, answer: answer::<Q> }
}

fn prepared<Q: Question>(request: Value) -> Option<Q::Prepared> {
    read::value::<Q>(request).ok()?.resolve(&PackCatalog::demo()).ok()
}

fn ask<Q: Question>(request: Value, budget: u64) -> Outcome {
    let body = request.to_string();
    drop(request);
    let (done, spent) = spent(|| {
        let prepared = read::body::<Q>(body.as_bytes()).ok()?.resolve(&PackCatalog::demo()).ok()?;
        let price = size::within(&prepared, budget.saturating_mul(Q::BUDGET_FACTOR), || None).ok()?;
        let answer = prepared.answer(&CancellationToken::default()).expect("nobody cancels it");
        let written = serde_json::to_vec(&answer).expect("an answer is JSON");
        Some((price, written.len() as u64, prepared.bytes()))
    });
    let Some((price, written, said)) = done else {
        return Outcome { spent, budget_factor: Q::BUDGET_FACTOR, ..Outcome::default() };
    };
    Outcome { price: Some(price.units()), written: (written, said.units()), spent, budget_factor: Q::BUDGET_FACTOR }
}

fn fits<Q: Question>(request: Value, budget: u64) -> bool {
    let prepared = prepared::<Q>(request);
    prepared.is_some_and(|prepared| size::within(&prepared, budget.saturating_mul(Q::BUDGET_FACTOR), || None).is_ok())
}

fn key<Q: Question>(request: Value) -> Option<Vec<u8>> {
    Some(prepared::<Q>(request)?.canonical_bytes())
}

fn answer<Q: Question>(request: Value, budget: u64) -> Option<Vec<u8>> {
    let prepared = prepared::<Q>(request)?;
    size::within(&prepared, budget.saturating_mul(Q::BUDGET_FACTOR), || None).ok()?;
    let answer = prepared.answer(&CancellationToken::default()).expect("nobody cancels it");
    serde_json::to_vec(&answer).ok()
}

/// The request as it comes out of a link that holds it; nothing where it is too long for one.
pub fn through_link(path: &str, request: &Value) -> Option<Value> {
    let mut url = reqwest::Url::parse("http://here.invalid/").expect("a place");
    {
        let mut pairs = url.query_pairs_mut();
        flat(request, String::new(), &mut |name, text| {
            pairs.append_pair(name, text);
        });
    }
    let query = url.query().unwrap_or_default();
    // What hyper takes as the head of a request.
    if query.len() > 60_000 {
        return None;
    }
    pipwright_api::ask::query::value(query, of(path).numbered).ok()
}

fn flat(value: &Value, name: String, put: &mut impl FnMut(&str, &str)) {
    let below = |step: &str| if name.is_empty() { step.to_owned() } else { format!("{name}.{step}") };
    match value {
        Value::Object(fields) if !fields.is_empty() && fields.keys().all(|key| !key.contains('.')) => {
            fields.iter().for_each(|(key, field)| flat(field, below(key), put));
        }
        Value::Array(items) if !items.is_empty() => {
            items.iter().enumerate().for_each(|(at, item)| flat(item, below(&at.to_string()), put));
        }
        // Text that reads as JSON goes in quotes.
        Value::String(text) if serde_json::from_str::<Value>(text).is_err() => put(&name, text),
        other => put(&name, &other.to_string()),
    }
}
