//! The questions beside the numbers of an appraisal: posted by themselves they give the same numbers.
use super::super::batch::BatchQuestion;
use super::super::check::CheckRequest;
use super::super::duel::DuelRequest;
use super::super::list_points::{LineForm, LineParts, ListRequest};
use super::super::matchup::{MatchupRequest, RangeForm, SideForm, SituationForm};
use super::super::question::Question;
use super::super::repair::RepairRequest;
use super::PreparedAppraisal;
use crate::odds::check::Check;
use crate::odds::duel::Duel;
use crate::odds::repair::Repair;
use crate::rules::matchup::{Matchup, UnitInstance};
use crate::rules::model::Pack;
use serde::Serialize;

fn question<Q: Question + Serialize>(request: &Q) -> Option<BatchQuestion> {
    serde_json::to_value(request).ok().map(|request| BatchQuestion { path: Q::PATH.to_owned(), request })
}

/// A unit as a request names it.
fn side(pack: &Pack, instance: &UnitInstance) -> SideForm {
    let unit = &pack.units[instance.unit];
    let list = |all: Vec<String>| (!all.is_empty()).then_some(all);
    let option = |(option, times): &(usize, u32)| {
        let id = &unit.options[*option].named.id;
        if *times == 1 { id.clone() } else { format!("{times} {id}") }
    };
    SideForm {
        unit: unit.named.id.clone(),
        models: Some(instance.models),
        weapons: list(instance.weapons.iter().map(|at| pack.weapons[*at].named.id.clone()).collect()),
        options: list(instance.options.iter().map(option).collect()),
        near: list(instance.near.iter().map(|near| near.id(pack)).collect()),
        ..SideForm::default()
    }
}

/// The question of one attack; nothing where the pack came with the request.
pub(super) fn matchup(of: &PreparedAppraisal, matchup: &Matchup) -> Option<BatchQuestion> {
    let pack = &of.pack;
    let words = &pack.situations;
    let situation = &matchup.situation;
    question(&MatchupRequest {
        pack: Some(of.named.clone()?),
        attacker: side(pack, &matchup.attacker),
        target: SideForm { weapons: None, ..side(pack, &matchup.target) },
        situation: Some(SituationForm {
            arc: Some(words.arcs[situation.arc].named.id.clone()),
            range: Some(RangeForm::Band(words.ranges[situation.range].word.named.id.clone())),
            cover: Some(words.covers[situation.cover].named.id.clone()),
            ..SituationForm::default()
        }),
        ..MatchupRequest::default()
    })
}

/// The question of a game without an answer.
pub(super) fn duel(duel: &Duel) -> Option<BatchQuestion> {
    question(&DuelRequest::of(duel))
}

/// The question of a check.
pub(super) fn check(check: &Check) -> Option<BatchQuestion> {
    question(&CheckRequest { exact: None, ..CheckRequest::of(check, false) })
}

/// The question of a repair.
pub(super) fn repair(repair: &Repair) -> Option<BatchQuestion> {
    question(&RepairRequest::of(repair))
}

/// The question of a unit's points.
pub(super) fn points(of: &PreparedAppraisal) -> Option<BatchQuestion> {
    let SideForm { unit, models, options, .. } = side(&of.pack, &of.subject.unit);
    let line = LineForm::Apart(LineParts { unit, models, count: None, options });
    let pack = Some(of.named.clone()?);
    question(&ListRequest { pack, lines: Some(vec![line]), ..ListRequest::default() })
}
