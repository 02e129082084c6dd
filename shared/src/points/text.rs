//! Lists as people paste them: `3x Heron Carriage + signal mast`.
//!
//! Nothing of a line is dropped without a word: what is no unit, no option, no number and no heading is a problem.
use super::{Code, Line, List, Problem, total};
use crate::rules::model::Pack;
use crate::rules::names::{Names, NotFound, plain};

pub(crate) mod amount;
mod claims;
mod entry;
mod lines;
mod loose;
mod parts;
mod remark;
mod tokens;

use claims::Claim;
use lines::Sort;

/// What a pasted text says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pasted {
    /// The lines that were understood.
    pub lines: Vec<Line>,
    /// What was not.
    pub problems: Vec<Problem>,
    /// Lines that were taken as headings.
    pub headings: Vec<Heading>,
    /// A points limit that stands on a line of its own.
    pub limit: Option<u32>,
}

/// A line that was taken as a heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heading {
    /// Its number, from 1.
    pub line: u32,
    /// What it says.
    pub text: String,
}

/// The most lines of a list, those that say nothing not counted.
pub const MOST_LINES: usize = 500;

/// Reads a pasted list.
///
/// Each line is a unit with its options behind `+`, commas, `with`, a colon or in brackets; a line that begins with `+`,
/// or is set in more than its unit, goes on with the options of the line before. Empty lines and those that begin with
/// `#` say nothing. One number beside a unit of several models means models, unless it is below what one such unit has
/// or the unit is counted in units; `3 Dyke Hands x10` is ten units of three. Points behind a name are held against what
/// it costs.
///
/// # Cost
/// Linear in the text: names are compared with words no longer than names are.
pub fn read(pack: &Pack, text: &str) -> Pasted {
    let mut reader = Reader::new(pack);
    let mut lines = text.lines().enumerate().peekable();
    while let Some((index, raw)) = lines.next() {
        let number = u32::try_from(index).unwrap_or(u32::MAX).saturating_add(1);
        let next = lines.peek().map_or("", |(_, next)| next);
        // A title with a stroke below it, or a role with units set in below it.
        let titled = lines::is_stroke(next) && !reader.is_unit_first(raw.trim());
        let set_in = lines::indent(next) > lines::indent(raw) && reader.is_unit_first(next.trim());
        // `HANDS` above `Drift Rifles`.
        let loud = lines::is_loud(raw) && !next.trim().is_empty() && !lines::is_loud(next);
        if !raw.trim().is_empty() && (titled || ((set_in || loud) && lines::is_role(pack, raw.trim()))) {
            reader.said += 1;
            reader.heading(number, raw.trim());
        } else {
            reader.line(number, raw);
        }
    }
    reader.finish()
}

/// A line as people write it, and as it is read back: `2x Quay Rifles (10) + Marksman`.
pub fn written(pack: &Pack, line: &Line) -> String {
    let unit = &pack.units[line.unit];
    let count = if line.count > 1 { format!("{}x ", line.count) } else { String::new() };
    let models = if unit.models.0 == unit.models.1 { String::new() } else { format!(" ({})", line.models) };
    let options = line.options.iter().map(|(option, times)| {
        let times = if *times > 1 { format!("{times} ") } else { String::new() };
        format!(" + {times}{}", unit.options[*option].named.label)
    });
    format!("{count}{}{models}{}", unit.named.label, options.collect::<String>())
}

/// Reads lines one after another.
#[derive(Debug)]
pub struct Reader<'a> {
    pack: &'a Pack,
    pasted: Pasted,
    claims: Vec<Claim>,
    /// How far the last unit is set in.
    indent: usize,
    /// The number that a numbered list goes on with.
    next: u32,
    /// Lines that said something.
    said: usize,
    /// The last unit was not understood: its options belong to nothing.
    lost: Option<u32>,
    /// How much may still be looked up for lines that are read loosely.
    effort: loose::Effort,
    /// Somebody took leave.
    left: bool,
    /// Lines that were taken as remarks, with the limit that they tell.
    titles: Vec<(u32, Option<u32>)>,
}

impl<'a> Reader<'a> {
    /// Reads a list of this pack.
    pub fn new(pack: &'a Pack) -> Self {
        let pasted = Pasted::default();
        let effort = loose::Effort::ALL;
        Self {
            pack,
            pasted,
            claims: Vec::new(),
            indent: 0,
            next: 1,
            said: 0,
            lost: None,
            effort,
            left: false,
            titles: Vec::new(),
        }
    }

    /// Adds a line that needs no reading.
    pub fn add(&mut self, line: Line) {
        (self.indent, self.lost) = (0, None);
        self.said += 1;
        self.pasted.lines.push(line);
    }

    /// Reads a line that people find by this number.
    pub fn line(&mut self, number: u32, raw: &str) {
        // Signs of bold and slanted letters, unless the whole line stands between them.
        let bold = raw.matches("**").count() > 2 || raw.contains("**") && !raw.trim_end().ends_with("**");
        let plain = if bold { raw.replace("**", "") } else { String::new() };
        let raw = if bold { plain.as_str() } else { raw };
        let sort = lines::sort(self.pack, raw, &mut self.next);
        if sort == Sort::Nothing {
            return;
        }
        self.said += 1;
        if self.said > MOST_LINES {
            if self.said == MOST_LINES + 1 {
                let text = format!("a list has at most {MOST_LINES} lines: the rest was not read");
                self.wrong(Code::TooLong, number, text, format!("leave out what comes from line {number} on"));
            }
            return;
        }
        match sort {
            Sort::Nothing => {}
            Sort::Heading => {
                let limit =
                    remark::remark(self.pack, raw, self.pasted.lines.is_empty(), false).and_then(|said| said.limit);
                self.pasted.limit = self.pasted.limit.or(limit);
                self.heading(number, raw.trim());
            }
            Sort::Limit(limit) => self.pasted.limit = Some(limit),
            Sort::Total(total, limit) => {
                self.pasted.limit = self.pasted.limit.or(limit);
                self.claims.push(Claim { line: number, of: claims::Of::All, points: total });
            }
            Sort::Both => {
                let name = shortened(raw.trim());
                let text = format!("“{name}” names a role and a unit, so the line was not read");
                let mend = format!("write “{name}:” for a heading, or the unit's full name");
                self.wrong(Code::Unreadable, number, text, mend);
                self.lost = Some(number);
            }
            Sort::Negative => {
                let text = format!("“{}” begins with a number below 0", shortened(raw.trim()));
                self.wrong(Code::Unreadable, number, text, "say how many, or put a blank behind the bullet");
                self.lost = Some(number);
            }
            Sort::More(text) => self.more(number, text),
            Sort::Entry(text) => {
                let indent = lines::indent(raw);
                let pieces = self.several(text);
                let deeper = indent > self.indent || raw.trim_start().starts_with("--");
                if deeper && self.is_option(text) {
                    self.more(number, text);
                } else if let (1, Some(limit)) = (self.said, self.title(text)) {
                    self.heading(number, text);
                    self.titles.push((number, Some(limit)));
                    self.pasted.limit = Some(limit);
                } else if pieces.len() > 1 {
                    self.indent = indent;
                    pieces.into_iter().for_each(|piece| self.entry(number, piece));
                } else if let (Some(total), true) = (lines::alone(text), self.pasted.lines.len() > 1) {
                    self.claims.push(Claim { line: number, of: claims::Of::All, points: total });
                } else {
                    let before = self.indent;
                    self.indent = indent;
                    self.tolerant(number, text, (before, deeper));
                }
            }
        }
    }

    /// Reads a line as it should be written, and where that fails loosely: units in any order with their numbers, options
    /// of the unit before, a remark.
    fn tolerant(&mut self, number: u32, text: &str, (indent, deeper): (usize, bool)) {
        let before = (self.pasted.lines.len(), self.pasted.problems.len(), self.claims.len());
        let (lost, headings) = (self.lost, self.pasted.headings.len());
        self.entry(number, text);
        let trouble = self.pasted.problems.len() > before.1;
        // `70 Wharf Captain` may be what it costs.
        let many = self.pasted.lines[before.0..].iter().any(|line| line.count > 12);
        let list = List { limit: 0, lines: std::mem::take(&mut self.pasted.lines) };
        let differs = self.claims[before.2..].iter().any(|claim| claim.check(self.pack, &list).is_some());
        self.pasted.lines = list.lines;
        if !(trouble || many || differs) {
            return;
        }
        // `here is mine: …`, `Hands: 9 Grapnel Gangers, 10 Drift Rifles`: what stands before the colon is a heading.
        let head = text.split_once(": ").filter(|(head, _)| {
            lines::is_role(self.pack, head)
                || !loose::names_a_unit(self.pack, head, &mut self.effort) && !head.contains(',')
        });
        let whole = loose::read(self.pack, number, head.map_or(text, |(_, rest)| rest), &mut self.effort);
        let found = whole.or_else(|| head.and_then(|_| loose::read(self.pack, number, text, &mut self.effort)));
        let found = found.filter(|found| trouble || found.iter().any(|one| one.fits));
        let options = match (&found, self.pasted.lines[..before.0].last(), lost) {
            (None, Some(line), None)
                if trouble && (deeper || !loose::names_a_unit(self.pack, text, &mut self.effort)) =>
            {
                loose::options(&self.pack.units[line.unit], text, &mut self.effort)
            }
            _ => None,
        };
        let without = if self.said == 1 { self.without_pack(text) } else { text.to_owned() };
        let said = match (&found, &options) {
            (None, None) if trouble && !loose::names_a_unit(self.pack, &without, &mut self.effort) => {
                // What is remarked of a unit says nothing of whether there is one.
                let own = text.split("//").next().unwrap_or(text);
                remark::remark(self.pack, own, self.said == 1, self.left)
            }
            _ => None,
        };
        if found.is_none() && options.is_none() && said.is_none() {
            return;
        }
        // What was read of it before does not count.
        self.pasted.lines.truncate(before.0);
        self.pasted.problems.truncate(before.1);
        self.claims.truncate(before.2);
        self.pasted.headings.truncate(headings);
        self.lost = lost;
        for one in found.into_iter().flatten() {
            self.lost = None;
            self.pasted.lines.push(one.line);
            let at = self.pasted.lines.len() - 1;
            let claim = one.points.map(|points| Claim { line: number, of: claims::Of::Line(at), points });
            self.claims.extend(claim);
        }
        if let (Some(options), Some(line)) = (options, self.pasted.lines.last_mut()) {
            self.indent = indent;
            for (option, times) in options {
                match line.options.iter_mut().find(|(known, _)| *known == option) {
                    Some((_, sum)) => *sum = sum.saturating_add(times),
                    None => line.options.push((option, times)),
                }
            }
        }
        if let Some(said) = said {
            self.heading(number, text);
            self.titles.push((number, said.limit));
            let total = said.total.map(|points| Claim { line: number, of: claims::Of::All, points });
            self.claims.extend(total);
            self.left |= said.leaves;
            self.pasted.limit = self.pasted.limit.or(said.limit);
        }
    }

    /// What all lines say, points that were claimed held against what things cost.
    pub fn finish(mut self) -> Pasted {
        // Where nothing was a unit, what was taken for a title may have been meant for one; and what tells fewer points than
        // all the rest costs tells no limit.
        let list = List { limit: 0, lines: std::mem::take(&mut self.pasted.lines) };
        let cost = total(self.pack, &list);
        for (number, limit) in std::mem::take(&mut self.titles) {
            if !list.lines.is_empty() && limit.is_none_or(|limit| u64::from(limit) >= cost) {
                continue;
            }
            let at = self.pasted.headings.iter().position(|heading| heading.line == number);
            let Some(name) = at.map(|at| self.pasted.headings.remove(at).text) else { continue };
            if limit.is_some() && self.pasted.limit == limit {
                self.pasted.limit = None;
            }
            let text = format!("no unit is called “{name}”, so the line was left out");
            self.wrong(Code::UnknownUnit, number, text, "check the name, or the pack that the list is for");
        }
        self.pasted.lines = list.lines;
        let list = List { limit: 0, lines: std::mem::take(&mut self.pasted.lines) };
        let wrong = self.claims.iter().filter_map(|claim| claim.check(self.pack, &list));
        self.pasted.problems.extend(wrong);
        self.pasted.problems.sort_by_key(|problem| problem.line);
        Pasted { lines: list.lines, ..self.pasted }
    }

    fn heading(&mut self, line: u32, text: &str) {
        self.indent = 0;
        self.pasted.headings.push(Heading { line, text: shortened(text) });
    }

    fn wrong(&mut self, code: Code, line: u32, text: impl Into<String>, mend: impl Into<String>) {
        self.pasted.problems.push(Problem::new(code, Some(line), text, mend));
    }

    /// A line without the words of the rules' own name: `Canal Guild 1k` names no Guild Launch.
    fn without_pack(&self, text: &str) -> String {
        let name = plain(&self.pack.named.label);
        let of_name = |word: &&str| name.split(' ').any(|known| known == plain(word));
        let whole = text.split_whitespace().filter(|word| of_name(word)).count();
        let kept = |word: &&str| whole == 0 || !of_name(word);
        text.split_whitespace().filter(kept).collect::<Vec<_>>().join(" ")
    }

    /// Whether a line begins with a unit, as far as can be made out.
    fn is_unit_first(&self, text: &str) -> bool {
        parts::split(text).first().is_some_and(|part| amount::find(&self.pack.find.units, &part.text).is_ok())
    }

    /// The limit that the first line's title ends with, where it names no unit.
    fn title(&self, text: &str) -> Option<u32> {
        let limit = || remark::remark(self.pack, text, true, false).and_then(|said| said.limit);
        let without = self.without_pack(text);
        lines::title_limit(text).or_else(limit).filter(|_| !self.is_unit_first(&without))
    }

    /// Several units on one line, parted by semicolons; each is named in full, or it is one unit with its options.
    fn several<'t>(&self, text: &'t str) -> Vec<&'t str> {
        let pieces: Vec<&str> = text.split(';').map(str::trim).filter(|piece| !piece.is_empty()).collect();
        let is_unit = |piece: &&str| {
            let first = parts::split(piece).into_iter().next();
            first.is_some_and(|part| amount::exact(&self.pack.find.units, &part.text).is_some())
        };
        if pieces.len() > 1 && pieces.iter().all(is_unit) { pieces } else { Vec::new() }
    }

    /// Whether a line that is set in names an option of the unit before, and no unit.
    fn is_option(&self, text: &str) -> bool {
        let Some(line) = self.pasted.lines.last().filter(|_| self.lost.is_none()) else { return false };
        let Some(part) = parts::split(text).into_iter().next() else { return false };
        let options = &self.pack.units[line.unit].find;
        let units = &self.pack.find.units;
        amount::exact(options, &part.text).is_some()
            || (amount::find(units, &part.text).is_err() && amount::find(options, &part.text).is_ok())
    }
}

/// A text as it is repeated in a sentence.
pub(super) fn shortened(text: &str) -> String {
    const MOST: usize = 60;
    match text.char_indices().nth(MOST) {
        Some((at, _)) => format!("{}…", &text[..at]),
        None => text.to_owned(),
    }
}

/// The option that a text names and how often it is taken: `signal mast`, `2 long rifles`, `scatter gun x2`.
///
/// # Errors
/// [`NotFound`] where no option bears the name, or several may be meant; nothing where two numbers are said.
pub(crate) fn option(find: &Names, text: &str) -> Result<(usize, u32), Option<NotFound>> {
    let named = amount::find(find, text).map_err(Some)?;
    let numbers: Vec<u32> = named.before.iter().chain(&named.behind).map(|amount| amount.number).collect();
    match numbers.as_slice() {
        [] => Ok((named.index, 1)),
        [times] => Ok((named.index, *times)),
        _ => Err(None),
    }
}

/// What would mend a name that was not found.
fn suggest(error: &NotFound) -> String {
    let or = |names: &[String]| match names {
        [first @ .., last] if !first.is_empty() => format!("{} or {last}", first.join(", ")),
        names => names.join(""),
    };
    match error.closest.as_slice() {
        [] => "check the name, or the pack that the list is for".to_owned(),
        closest if error.ambiguous => format!("say which: {}", or(closest)),
        closest => format!("did you mean {}?", or(closest)),
    }
}
