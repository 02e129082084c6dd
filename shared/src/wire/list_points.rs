//! `list-points`: what a list costs, what breaks which limit, and what the points left could buy.
use super::bytes;
use super::lookup;
use super::mistake::{Mistake, Mistakes};
use super::named::object;
use super::question::{PreparedQuery, Question};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::points::text::{Heading, Reader};
use crate::points::{self, Line, List, Problem, text};
use crate::rules::PackCatalog;
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use std::sync::Arc;
use utoipa::ToSchema;

/// A list of units.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ListRequest {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// The points limit; the pack's usual one where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1000000)]
    pub limit: Option<u32>,
    /// Its lines: as people write them, or taken apart.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 500)]
    pub lines: Option<Vec<LineForm>>,
    /// The whole list as pasted, in place of `lines`; a line `1500 points` is its limit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// One line of a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged, expecting = "a line is text such as \"3x name + option\", or {unit, models?, count?, options?}")]
pub enum LineForm {
    /// As people write it: `3x Heron Carriage + signal mast`.
    Text(String),
    /// Taken apart.
    Apart(#[serde(deserialize_with = "object")] LineParts),
}

/// A line taken apart.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct LineParts {
    /// The unit's name.
    pub unit: String,
    /// Models of each; the unit's fewest where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub models: Option<u32>,
    /// How many such units; default 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub count: Option<u32>,
    /// The options of each, such as `signal mast` or `2 long rifles`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub options: Option<Vec<String>>,
}

/// What a list comes to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ListAnswer {
    /// All of it.
    pub total: u64,
    /// The points limit.
    pub limit: u32,
    /// What is left of it; below 0 where the list is over it.
    pub left: i64,
    /// Whether no limit is broken, every line was understood, and points written behind a name are what it costs.
    pub legal: bool,
    /// Each line that was understood, with its sum.
    pub lines: Vec<LineSum>,
    /// What the list holds of each role.
    pub roles: Vec<RoleSum>,
    /// Every broken limit, and everything that was not understood.
    pub problems: Vec<ListProblem>,
    /// Lines that were taken as headings, titles or remarks: they cost nothing.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub headings: Vec<HeadingForm>,
    /// Single additions that the points left pay for and that break no limit that holds now, dearest first; 30 at most.
    pub buys: Vec<BuyForm>,
    /// In how many ways units at their fewest models add up to exactly the points left, limits aside.
    pub ways: u64,
    /// The pack that was used.
    pub pack: String,
    /// Its content hash.
    pub hash: String,
}

/// A line with its sum.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct LineSum {
    /// Its number: in a text that of its line, else its place in `lines`, from 1.
    pub line: u32,
    /// The unit's id.
    pub unit: String,
    /// Its name.
    pub name: String,
    /// How many such units.
    pub count: u32,
    /// Models of each.
    pub models: u32,
    /// One unit without options.
    pub base: u64,
    /// The options of one unit.
    pub options: Vec<OptionSum>,
    /// All of the line.
    pub points: u64,
}

/// An option of a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct OptionSum {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// How often it was taken.
    pub times: u32,
    /// What that costs one unit.
    pub points: u64,
}

/// What a list holds of a role.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct RoleSum {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Slots filled; units that share a slot fill it together.
    pub slots: u32,
    /// The fewest slots that a list fills.
    pub least: u32,
    /// The most slots.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub most: Option<u32>,
    /// Units.
    pub units: u32,
    /// Points.
    pub points: u64,
}

/// A line that was taken as a heading.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct HeadingForm {
    /// Its number.
    pub line: u32,
    /// What it says.
    pub text: String,
}

/// A broken limit, or a line that was not understood.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ListProblem {
    /// What sort of problem.
    #[schema(example = "role-most")]
    pub code: String,
    /// The line at fault, numbered as in `lines`; nothing where the whole list is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
    /// What is wrong.
    pub text: String,
    /// What would mend it.
    pub mend: String,
}

/// Something that the points left could buy.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct BuyForm {
    /// The line that it goes to; nothing for a new unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
    /// What it is and what it costs, in words.
    pub text: String,
    /// What it costs.
    pub points: u64,
}

/// A list with all names looked up.
#[derive(Clone, Debug)]
pub struct PreparedList {
    pack: Arc<Pack>,
    list: List,
    unread: Vec<Problem>,
    headings: Vec<Heading>,
}

impl Question for ListRequest {
    const PATH: &'static str = "list-points";
    type Prepared = PreparedList;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedList, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut mistakes);
        let mut prepared = None;
        if let Some(pack) = pack {
            let pasted = match (self.lines, self.text) {
                (Some(lines), None) => read_lines(&pack, lines, &mut mistakes),
                (None, Some(text)) => text::read(&pack, &text),
                (lines, _) => {
                    mistakes.push(match lines {
                        Some(_) => Mistake::value("/text", "give either lines or text, not both"),
                        None => Mistake::missing("/lines", "say the lines of the list, or its text"),
                    });
                    text::Pasted::default()
                }
            };
            let limit = self.limit.or(pasted.limit).unwrap_or(pack.limits.points);
            if limit > 1_000_000 {
                mistakes.push(Mistake::value("/limit", "at most 1000000 points"));
            }
            let list = List { limit, lines: pasted.lines };
            prepared = Some(PreparedList { pack, list, unread: pasted.problems, headings: pasted.headings });
        }
        mistakes.or(prepared)
    }
}

/// Lines of a request, numbered by their place.
pub(super) fn read_lines(pack: &Pack, lines: Vec<LineForm>, mistakes: &mut Mistakes) -> text::Pasted {
    if lines.len() > text::MOST_LINES {
        mistakes.push(Mistake::value("/lines", format!("at most {} lines", text::MOST_LINES)));
        return text::Pasted::default();
    }
    // Lines as people write them are read as one text, so that headings are seen by what stands below them.
    let written = |form: &LineForm| matches!(form, LineForm::Text(text) if !text.contains(['\n', '\r']));
    if lines.iter().all(written) {
        let all = lines.iter().map(|form| if let LineForm::Text(text) = form { text.as_str() } else { "" });
        return text::read(pack, &all.collect::<Vec<_>>().join("\n"));
    }
    let mut reader = Reader::new(pack);
    for (index, form) in lines.into_iter().enumerate() {
        let (at, number) = (format!("/lines/{index}"), index as u32 + 1);
        match form {
            LineForm::Text(text) => text.lines().for_each(|line| reader.line(number, line)),
            LineForm::Apart(parts) => {
                let Some(unit) = mistakes.keep(lookup::unit(pack, &parts.unit, format_args!("{at}/unit"))) else {
                    continue;
                };
                let book = &pack.units[unit];
                let options = lookup::options(book, parts.options.as_deref(), format_args!("{at}/options"), mistakes);
                let models = parts.models.unwrap_or(book.models.0);
                let count = parts.count.unwrap_or(1);
                for (field, number) in [("models", models), ("count", count)] {
                    if !(1..=1_000).contains(&number) {
                        mistakes.push(Mistake::value(format!("{at}/{field}"), "1 to 1000, please"));
                    }
                }
                reader.add(Line { number, unit, count: count.max(1), models, options });
            }
        }
    }
    reader.finish()
}

impl PreparedQuery for PreparedList {
    type Answer = ListAnswer;

    fn canonical(&self) -> impl Serialize {
        let lines: Vec<_> = (self.list.lines.iter())
            .map(|line| serde_json::json!([line.number, line.unit, line.count, line.models, line.options]))
            .collect();
        let unread: Vec<_> = self.unread.iter().map(|problem| (problem.line, &problem.text, &problem.mend)).collect();
        let headings: Vec<_> = self.headings.iter().map(|heading| (heading.line, &heading.text)).collect();
        serde_json::json!({ "list": {
            "pack": self.pack.hash, "limit": self.list.limit, "lines": lines, "unread": unread, "headings": headings
        }})
    }

    fn price(&self) -> Work {
        // Each thing that could be bought is held against the limits that it touches, which are those of its unit, of
        // its role and of the units beside it. Mends are tried on the whole list, some hundred times at most.
        let lines = &self.list.lines;
        let options = lines.iter().map(|line| Work::from(self.pack.units[line.unit].options.len()) + 1);
        let taken = lines.iter().map(|line| (Work::from(line.options.len()) + 2).power(2)).sum::<Work>();
        let mut units: Vec<usize> = lines.iter().map(|line| line.unit).collect();
        units.sort_unstable();
        units.dedup();
        let bought = Work::from(self.pack.units.len()) + options.sum::<Work>();
        let limit = Work::from(self.list.limit.min(10_000));
        bought * (Work::from(units.len()) + 20) * 2 + taken * 400 + limit + 2_000
    }

    fn bytes(&self) -> Work {
        let texts = self.unread.iter().map(|problem| bytes::text(&problem.text) + bytes::text(&problem.mend) + 200);
        let lines = self.list.lines.iter().map(|line| Work::from(line.options.len()) * 400 + 3_000);
        bytes::few(texts.sum::<Work>() + lines.sum::<Work>() + Work::from(self.pack.roles.len()) * 1_000)
    }

    fn answer(&self, _token: &CancellationToken) -> Result<ListAnswer, Cancelled> {
        let (pack, list) = (&*self.pack, &self.list);
        let total = points::total(pack, list);
        let left = i64::from(list.limit) - i64::try_from(total).unwrap_or(i64::MAX);
        let problems: Vec<ListProblem> =
            self.unread.iter().cloned().chain(points::problems(pack, list)).map(ListProblem::from).collect();
        let costs: Vec<u32> = pack.units.iter().map(|unit| unit.points).collect();
        let ways = u32::try_from(left).ok().filter(|left| (1..=10_000).contains(left));
        let buys = points::buys(pack, list).into_iter().map(|buy| BuyForm {
            line: buy.line,
            text: format!("{} at {}", buy.text, buy.points),
            points: buy.points,
        });
        Ok(ListAnswer {
            total,
            limit: list.limit,
            left,
            legal: problems.is_empty(),
            lines: list.lines.iter().map(|line| line_sum(pack, line)).collect(),
            roles: roles(pack, list),
            problems,
            headings: self.headings.iter().map(HeadingForm::from).collect(),
            buys: buys.collect(),
            ways: ways.map_or(0, |left| points::ways(&costs, left)),
            pack: pack.named.id.clone(),
            hash: pack.hash.clone(),
        })
    }
}

pub(super) fn line_sum(pack: &Pack, line: &Line) -> LineSum {
    let unit = &pack.units[line.unit];
    let cost = points::line_cost(pack, line);
    let options = line.options.iter().zip(&cost.options).map(|((option, times), points)| {
        let named = &unit.options[*option].named;
        OptionSum { id: named.id.clone(), name: named.label.clone(), times: *times, points: *points }
    });
    LineSum {
        line: line.number,
        unit: unit.named.id.clone(),
        name: unit.named.label.clone(),
        count: line.count,
        models: line.models,
        base: cost.unit,
        options: options.collect(),
        points: cost.total,
    }
}

fn roles(pack: &Pack, list: &List) -> Vec<RoleSum> {
    let used = points::roles(pack, list);
    let sum = |(role, used): (&crate::rules::model::limits::Role, points::RoleUse)| RoleSum {
        id: role.named.id.clone(),
        name: role.named.label.clone(),
        slots: small(used.slots),
        least: role.least,
        most: role.most,
        units: small(used.units),
        points: used.points,
    };
    pack.roles.iter().zip(used).map(sum).collect()
}

fn small(number: u64) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

impl From<&Heading> for HeadingForm {
    fn from(heading: &Heading) -> Self {
        Self { line: heading.line, text: heading.text.clone() }
    }
}

impl From<Problem> for ListProblem {
    fn from(problem: Problem) -> Self {
        Self { code: problem.code.word().to_owned(), line: problem.line, text: problem.text, mend: problem.mend }
    }
}
