//! Every limit that a list breaks, with what would mend it.
use super::tally::Tally;
use super::{List, is_of_line, limits, mends};
use crate::rules::model::Pack;

/// What sort of problem it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Code {
    /// A line that says nothing that can be read.
    Unreadable,
    /// Points written behind a name that are not what it costs.
    PointsDiffer,
    /// More lines than a list may have.
    TooLong,
    /// A unit that the pack does not have.
    UnknownUnit,
    /// An option that the unit does not have.
    UnknownOption,
    /// Too few or too many models.
    Models,
    /// An option taken too often.
    OptionTimes,
    /// An option without another that it needs.
    OptionRequires,
    /// Two options that exclude each other.
    OptionExcludes,
    /// An option that replaces a weapon which is not there.
    OptionReplaces,
    /// More of a unit than a list may hold.
    UnitMost,
    /// A unit without another that it needs.
    UnitRequires,
    /// Two units that exclude each other.
    UnitExcludes,
    /// A unit that costs too large a share.
    UnitShare,
    /// Too few of a role.
    RoleLeast,
    /// Too many of a role.
    RoleMost,
    /// Too large a share of a role.
    RoleShareMost,
    /// Too small a share of a role.
    RoleShareLeast,
    /// Too few units.
    UnitsLeast,
    /// Too many units.
    UnitsMost,
    /// More points than the limit.
    OverPoints,
}

impl Code {
    /// The word for it in answers.
    pub fn word(self) -> &'static str {
        match self {
            Self::Unreadable => "unreadable",
            Self::PointsDiffer => "points-differ",
            Self::TooLong => "too-long",
            Self::UnknownUnit => "unknown-unit",
            Self::UnknownOption => "unknown-option",
            Self::Models => "models",
            Self::OptionTimes => "option-times",
            Self::OptionRequires => "option-requires",
            Self::OptionExcludes => "option-excludes",
            Self::OptionReplaces => "option-replaces",
            Self::UnitMost => "unit-most",
            Self::UnitRequires => "unit-requires",
            Self::UnitExcludes => "unit-excludes",
            Self::UnitShare => "unit-share",
            Self::RoleLeast => "role-least",
            Self::RoleMost => "role-most",
            Self::RoleShareMost => "role-share-most",
            Self::RoleShareLeast => "role-share-least",
            Self::UnitsLeast => "units-least",
            Self::UnitsMost => "units-most",
            Self::OverPoints => "over-points",
        }
    }
}

/// A limit that is broken, or a line that can't be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// What sort of problem.
    pub code: Code,
    /// The line at fault; nothing where the whole list is.
    pub line: Option<u32>,
    /// What is wrong.
    pub text: String,
    /// What would mend it.
    pub mend: String,
    /// What breaks the limit: a line, a unit or a role, by index, and the option of that line or the other unit.
    pub(super) at: (usize, usize),
    /// By how much the limit is broken.
    pub(super) by: u64,
}

impl Problem {
    pub(crate) fn new(code: Code, line: Option<u32>, text: impl Into<String>, mend: impl Into<String>) -> Self {
        Self { code, line, text: text.into(), mend: mend.into(), at: (0, 0), by: 1 }
    }

    /// Whether both are about one limit.
    pub(super) fn is_same(&self, other: &Self) -> bool {
        (self.code, self.at) == (other.code, other.at)
    }

    /// Whether this limit held before, or was broken by less.
    pub(super) fn is_worse_than(&self, before: &[Self]) -> bool {
        before.iter().find(|other| self.is_same(other)).is_none_or(|other| self.by > other.by)
    }
}

/// All limits that the list breaks: those of its lines first, then those of its units, its roles and the whole list.
/// What is said to mend one mends it, and breaks no other limit unless it says so.
pub fn problems(pack: &Pack, list: &List) -> Vec<Problem> {
    mended(pack, list).into_iter().map(|(problem, _)| problem).collect()
}

/// All limits that the list breaks, each with the list as it would be once it is mended as is said; nothing where no
/// single change mends it.
pub fn mended(pack: &Pack, list: &List) -> Vec<(Problem, Option<List>)> {
    let found = broken(pack, list);
    let mut tries = mends::Tries::default();
    let mend = |problem: &Problem| mends::find(pack, list, &found, problem, &mut tries);
    let mut mends: Vec<(String, Option<List>)> = found.iter().map(mend).collect();
    after_units(pack, &found, &mut mends, &mut tries);
    said_once(pack, &found, &mut mends);
    let with = |(problem, (mend, mended)): (Problem, (String, Option<List>))| (Problem { mend, ..problem }, mended);
    found.into_iter().zip(mends).map(with).collect()
}

/// Units that cost too much by themselves go in any case: what that mends besides needs no change of its own, and the rest
/// is mended in the list that is then left.
fn after_units(pack: &Pack, found: &[Problem], mends: &mut [(String, Option<List>)], tries: &mut mends::Tries) {
    let dear = |problem: &Problem| problem.code == Code::UnitShare;
    let Some(first) = found.iter().position(dear) else { return };
    let Some(mut left) = mends[first].1.clone() else { return };
    loop {
        let now = broken(pack, &left);
        let Some(next) = now.iter().find(|problem| dear(problem)) else { break };
        match mends::find(pack, &left, &now, next, tries).1 {
            Some(then) => left = then,
            None => return,
        }
    }
    let now = broken(pack, &left);
    for (problem, mend) in found.iter().zip(mends).filter(|(problem, _)| !is_of_line(problem.code)) {
        match now.iter().find(|other| problem.is_same(other)) {
            None => *mend = ("what mends the units that cost too much mends this too".to_owned(), Some(left.clone())),
            Some(still) => {
                let then = mends::find(pack, &left, &now, still, tries);
                if then.1.is_some() {
                    *mend = then;
                }
            }
        }
    }
}

/// What is to be added for one limit may mend another as well: then it is that, and not more units besides.
fn said_once(pack: &Pack, found: &[Problem], mends: &mut [(String, Option<List>)]) {
    let adds = |at: usize| matches!(found[at].code, Code::RoleLeast | Code::RoleShareLeast | Code::UnitsLeast);
    // What is more takes the place of what is less.
    for at in (1..found.len()).rev().filter(|at| adds(*at)) {
        let Some(then) = mends[at].1.clone() else { continue };
        let after = broken(pack, &then);
        for before in (0..at).filter(|before| adds(*before)) {
            let lacks = mends[before].1.as_ref().is_none_or(|other| broken(pack, other).len() > after.len());
            if lacks && !after.iter().any(|other| found[before].is_same(other)) {
                mends[before] = mends[at].clone();
            }
        }
    }
    for at in (1..found.len()).filter(|at| adds(*at)) {
        let mends_it = |before: &usize| {
            let then = mends[*before].1.as_ref().filter(|_| adds(*before));
            then.is_some_and(|then| !broken(pack, then).iter().any(|other| found[at].is_same(other)))
        };
        if let Some(before) = (0..at).find(mends_it) {
            let (text, then) = mends[before].clone();
            let text = text.trim_end_matches(", as above").to_owned();
            mends[at] = (format!("{text}, as above"), then);
        }
    }
}

/// The limits that are broken, without a word on what would mend them.
pub(super) fn broken(pack: &Pack, list: &List) -> Vec<Problem> {
    let lines = list.lines.iter().enumerate();
    let mut found: Vec<Problem> = lines.flat_map(|(at, line)| limits::of_line(pack, list.limit, at, line)).collect();
    let tally = Tally::new(pack, list);
    let view = tally.now();
    for at in tally.present() {
        for problem in limits::of_unit(&view, at) {
            let line = match problem.code {
                Code::UnitMost => beyond(list, |line| line.unit == at, |count| count > units_that_fit(&problem, &view)),
                _ => list.lines.iter().find(|line| line.unit == at).map(|line| line.number),
            };
            found.push(Problem { line, ..problem });
        }
    }
    for at in 0..pack.roles.len() {
        for problem in limits::of_role(&view, at) {
            let of_role = |line: &super::Line| pack.units[line.unit].role == at;
            let line = match problem.code {
                Code::RoleMost | Code::RoleShareMost => {
                    list.lines.iter().rev().find(|line| of_role(line)).map(|line| line.number)
                }
                _ => None,
            };
            found.push(Problem { line, ..problem });
        }
    }
    found.extend(limits::of_list(&view));
    found
}

fn units_that_fit(problem: &Problem, view: &super::tally::View<'_>) -> u64 {
    view.count(problem.at.0) - problem.by
}

/// The first of some lines with which their units are too many.
fn beyond(list: &List, of: impl Fn(&super::Line) -> bool, too_many: impl Fn(u64) -> bool) -> Option<u32> {
    let mut sum = 0;
    let mut lines = list.lines.iter().filter(|line| of(line));
    let line = lines.find(|line| {
        sum += u64::from(line.count);
        too_many(sum)
    });
    line.map(|line| line.number)
}
