//! A question of the contract, asked within this process: what stands behind the service's paths, without its HTTP.
use pipwright_shared::{
    odds::{cancellation::CancellationToken, price::BUDGET},
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
        mistake::{Mistake, MistakeKind},
        needed::NeededRequest,
        odds::OddsRequest,
        pack_check::PackCheckRequest,
        question::{PreparedQuery, Question},
        read,
        repair::RepairRequest,
        rule::RuleRequest,
        side_by_side::SideBySideRequest,
        size,
        worth::WorthRequest,
    },
};
use serde_json::Value;

/// The answer.
#[track_caller]
pub fn ask(path: &str, request: Value) -> Value {
    match try_ask(path, request.clone()) {
        Ok(answer) => answer,
        Err(mistakes) => panic!("{path} refused {request}: {mistakes:?}"),
    }
}

/// The answer; nothing where the question is refused as too much work, which is no defect.
#[track_caller]
pub fn affordable(path: &str, request: &Value) -> Option<Value> {
    match try_ask(path, request.clone()) {
        Ok(answer) => Some(answer),
        Err(mistakes) if mistakes.iter().all(|mistake| mistake.kind == MistakeKind::TooMuchWork) => None,
        Err(mistakes) => panic!("{path} refused {request}: {mistakes:?}"),
    }
}

/// The mistakes that are found.
#[track_caller]
pub fn refused(path: &str, request: Value) -> Vec<Mistake> {
    match try_ask(path, request.clone()) {
        Ok(answer) => panic!("{path} answered {request}: {answer}"),
        Err(mistakes) => mistakes,
    }
}

/// The answer, or all mistakes.
pub fn try_ask(path: &str, request: Value) -> Result<Value, Vec<Mistake>> {
    match path {
        "appraisal" => run::<AppraisalRequest>(request),
        "arc" => run::<ArcRequest>(request),
        "compare-lists" => run::<CompareListsRequest>(request),
        "assign" => run::<AssignRequest>(request),
        "batch" => run::<BatchRequest>(request),
        "blast" => run::<BlastRequest>(request),
        "build" => run::<BuildRequest>(request),
        "check" => run::<CheckRequest>(request),
        "compare" => run::<CompareRequest>(request),
        "draw" => run::<DrawRequest>(request),
        "duel" => run::<DuelRequest>(request),
        "fair" => run::<FairRequest>(request),
        "list-points" => run::<ListRequest>(request),
        "matchup" => run::<MatchupRequest>(request),
        "luck" => run::<LuckRequest>(request),
        "needed" => run::<NeededRequest>(request),
        "odds" => run::<OddsRequest>(request),
        "packs/check" => run::<PackCheckRequest>(request),
        "repair" => run::<RepairRequest>(request),
        "side-by-side" => run::<SideBySideRequest>(request),
        "worth" => run::<WorthRequest>(request),
        "rule" => run::<RuleRequest>(request),
        _ => panic!("no such question: {path}"),
    }
}

fn run<Q: Question>(request: Value) -> Result<Value, Vec<Mistake>> {
    let prepared = read::body::<Q>(request.to_string().as_bytes())?.resolve(&PackCatalog::demo())?;
    size::within(&prepared, BUDGET.saturating_mul(Q::BUDGET_FACTOR), || Some(request))
        .map_err(|mistake| vec![mistake])?;
    let answer = prepared.answer(&CancellationToken::default()).expect("nobody cancels it");
    Ok(serde_json::to_value(answer).expect("an answer is JSON"))
}
