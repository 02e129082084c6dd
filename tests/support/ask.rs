//! A question of the contract, asked within this process: what stands behind the service's paths, without its HTTP.
use pipwright_api::Config;
use pipwright_shared::{
    odds::halt::Halt,
    rules::Books,
    wire::{
        check::CheckRequest,
        mistake::{Mistake, MistakeKind},
        odds::OddsRequest,
        question::{Question, Ready},
        repair::RepairRequest,
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
        "check" => run::<CheckRequest>(request),
        "odds" => run::<OddsRequest>(request),
        "repair" => run::<RepairRequest>(request),
        _ => panic!("no such question: {path}"),
    }
}

fn run<Q: Question>(request: Value) -> Result<Value, Vec<Mistake>> {
    let read = serde_json::from_value::<Q>(request).map_err(|error| vec![Mistake::value("", error.to_string())])?;
    let ready = read.settle(&Books::default())?;
    let (price, budget) = (ready.price(), Config::default().budget);
    if price > budget {
        let mistake = Mistake::value("", format!("a price of {price}, over {budget}"));
        return Err(vec![Mistake { kind: MistakeKind::TooMuchWork, ..mistake }]);
    }
    let answer = ready.answer(&Halt::default()).expect("nobody calls a halt");
    Ok(serde_json::to_value(answer).expect("an answer is JSON"))
}
