//! What the table adds to a matchup.
use super::super::lookup::unknown;
use super::super::mistake::{Mistake, Mistakes, pointer};
use super::{RangeForm, SituationForm, Stated};
use crate::rules::matchup::Situation;
use crate::rules::model::Pack;

pub(super) fn resolve(
    form: Option<&SituationForm>,
    pack: &Pack,
    stated: &mut Vec<Stated>,
    mistakes: &mut Mistakes,
) -> Option<Situation> {
    let mut situation = Situation::usual(pack);
    let words = &pack.situations;
    let empty = SituationForm::default();
    let form = form.unwrap_or(&empty);
    let name = &crate::report::saying::the(&pack.named.label);
    match &form.arc {
        Some(arc) => {
            let what = format!("no arc of {name} is called {arc:?}");
            let found = pack.find.arcs.find(arc).map_err(|error| {
                with_all(unknown("/situation/arc", &what, error), words.arcs.iter().map(|word| &word.named.label))
            });
            situation.arc = mistakes.keep(found)?;
        }
        None if words.arcs.len() > 1 => {
            let arc = &words.arcs[situation.arc].named;
            stated.push(Stated::new("/situation/arc", arc.id.as_str(), &format!("arc: {}", arc.label)));
        }
        None => {}
    }
    match &form.range {
        Some(RangeForm::Distance(distance)) => set_distance(*distance, pack, &mut situation),
        Some(RangeForm::Band(text)) => match text.trim().trim_end_matches('"').parse::<u32>() {
            Ok(distance) => set_distance(distance, pack, &mut situation),
            Err(_) => {
                let what = format!("no range of {name} is called {text:?}");
                let all = words.ranges.iter().map(|band| &band.word.named.label);
                let found = pack.find.ranges.find(text);
                let found = found.map_err(|error| with_all(unknown("/situation/range", &what, error), all));
                situation.range = mistakes.keep(found)?;
            }
        },
        None if words.ranges.len() > 1 => {
            let band = &words.ranges[situation.range].word.named;
            stated.push(Stated::new("/situation/range", band.id.as_str(), &format!("range: {}", band.label)));
        }
        None => {}
    }
    match &form.cover {
        Some(cover) => {
            let what = format!("no cover of {name} is called {cover:?}");
            let found = pack.find.covers.find(cover).map_err(|error| {
                with_all(unknown("/situation/cover", &what, error), words.covers.iter().map(|word| &word.named.label))
            });
            situation.cover = mistakes.keep(found)?;
        }
        None if words.covers.len() > 1 => {
            let cover = &words.covers[situation.cover].named;
            stated.push(Stated::new("/situation/cover", cover.id.as_str(), &format!("cover: {}", cover.label)));
        }
        None => {}
    }
    match form.moved {
        Some(moved) => situation.moved = moved,
        None => stated.push(Stated::new("/situation/moved", false, "the attacker has not moved")),
    }
    flags(form, pack, &mut situation, mistakes);
    Some(situation)
}

fn set_distance(distance: u32, pack: &Pack, situation: &mut Situation) {
    situation.range = pack.situations.band(distance);
    situation.distance = Some(distance);
}

/// So many words that there are not may be asked about at once.
const MOST_UNKNOWN: usize = 20;

fn flags(form: &SituationForm, pack: &Pack, situation: &mut Situation, mistakes: &mut Mistakes) {
    if form.flags.len() > pack.situations.flags.len() + MOST_UNKNOWN {
        mistakes.push(Mistake::value("/situation", "far more fields than the pack has flags"));
        return;
    }
    for (key, value) in &form.flags {
        let at = pointer("/situation", key);
        let found = pack.find.flags.find(key).map_err(|error| {
            let own = pack.situations.flags.iter().map(|flag| flag.id.as_str());
            let all: Vec<&str> = ["arc", "range", "cover", "moved"].into_iter().chain(own).collect();
            let what = format!(
                "{} has no flag {key:?}; a situation may say {}",
                crate::report::saying::sentence(&crate::report::saying::the(&pack.named.label)),
                all.join(", ")
            );
            unknown(&at, &what, error)
        });
        let Some(flag) = mistakes.keep(found) else { continue };
        match value {
            serde_json::Value::Bool(set) => situation.flags[flag] = *set,
            serde_json::Value::Null => {}
            _ => mistakes.push(Mistake::value(at, "true or false, please")),
        }
    }
}

/// The form that resolves to this situation; nothing where all of it is usual.
pub(super) fn form(pack: &Pack, situation: &Situation) -> Option<SituationForm> {
    let (words, usual) = (&pack.situations, Situation::usual(pack));
    if *situation == usual {
        return None;
    }
    let id = |differs: bool, named: &crate::rules::model::Named| differs.then(|| named.id.clone());
    let set = words.flags.iter().zip(&situation.flags).filter(|(_, set)| **set);
    let band = id(situation.range != usual.range, &words.ranges[situation.range].word.named).map(RangeForm::Band);
    Some(SituationForm {
        arc: id(situation.arc != usual.arc, &words.arcs[situation.arc].named),
        range: situation.distance.map(RangeForm::Distance).or(band),
        cover: id(situation.cover != usual.cover, &words.covers[situation.cover].named),
        moved: situation.moved.then_some(true),
        flags: set.map(|(flag, _)| (flag.id.clone(), true.into())).collect(),
    })
}

/// Where no name is close, all of a short list are.
fn with_all<'a>(mut mistake: Mistake, all: impl Iterator<Item = &'a String>) -> Mistake {
    if mistake.did_you_mean.is_empty() {
        mistake.did_you_mean = all.take(8).cloned().collect();
        mistake.detail = format!("{}; there are {}", mistake.detail, mistake.did_you_mean.join(", "));
    }
    mistake
}
