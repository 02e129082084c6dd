//! The reader of a list, one line after another.
use super::super::{Code, Line, List, Problem, total};
use super::claims::{self, Claim};
use super::lines::{self, Sort};
use super::{Heading, MOST_LINES, Pasted, amount, loose, parts, remark, shortened};
use crate::rules::model::Pack;
use crate::rules::names::{Names, plain};

/// What may be left over of a list that says itself what it comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Leniency {
    /// Nothing.
    None,
    /// Lines that can't be made out are remarks.
    Remarks,
    /// Words beside units are, too.
    Words,
}

/// Reads lines one after another.
#[derive(Debug)]
pub struct Reader<'a> {
    pub(super) pack: &'a Pack,
    pub(super) pasted: Pasted,
    pub(super) claims: Vec<Claim>,
    /// How far the last unit is set in.
    pub(super) indent: usize,
    /// The number that a numbered list goes on with.
    pub(super) next: u32,
    /// Lines that said something.
    pub(super) said: usize,
    /// The last unit was not understood: its options belong to nothing.
    pub(super) lost: Option<u32>,
    /// How much may still be looked up for lines that are read loosely.
    pub(super) effort: loose::Effort,
    /// Somebody took leave.
    pub(super) left: bool,
    /// Lines that were taken as remarks, with the limit that they tell.
    pub(super) titles: Vec<(u32, Option<u32>)>,
    /// Words beside units that mean nothing, by line.
    pub(super) remarks: Vec<(u32, String)>,
    pub(super) lenient: Leniency,
    /// A line said what all before it come to, and that was right.
    pub(super) summed: bool,
    /// The first line that says something, where it is read.
    first: Option<(u32, String)>,
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
            remarks: Vec::new(),
            lenient: Leniency::None,
            summed: false,
            first: None,
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
        if self.said == 1 {
            self.first = Some((number, shortened(raw.trim())));
        }
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
            Sort::Limit(_) if self.field(number, raw.trim()) => {}
            // Below its units a bare `450 points` is what they come to.
            Sort::Limit(points) if self.pasted.lines.len() > 1 && !remark::says_limit(raw) => {
                let own = Claim { line: number, of: claims::Of::Line(self.pasted.lines.len() - 1), points };
                let all = self.cost() == u64::from(points) || self.differs(&own);
                self.claims.push(if all { Claim { of: claims::Of::All, ..own } } else { own });
            }
            // `80 pts` below the first unit is what it costs.
            Sort::Limit(points) if self.pasted.lines.len() == 1 && self.cost() == u64::from(points) => {
                self.claims.push(Claim { line: number, of: claims::Of::Line(0), points });
            }
            Sort::Limit(limit) => self.pasted.limit = Some(limit),
            Sort::Total(total, limit) => {
                self.pasted.limit = self.pasted.limit.or(limit);
                self.summed = self.pasted.lines.len() > 2 && self.cost() == u64::from(total);
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
            // `With a running count, because last time I was 30 over:`
            Sort::More(text)
                if self.said == 1 && text.ends_with(':') && !loose::names_a_unit(self.pack, text, &mut self.effort) =>
            {
                self.heading(number, text);
            }
            Sort::More(text) if self.pasted.lines.is_empty() && self.lost.is_none() => {
                let unit = self.lenient != Leniency::None || loose::names_a_unit(self.pack, text, &mut self.effort);
                if unit { self.tolerant(number, text, (0, false)) } else { self.more(number, text) }
            }
            Sort::More(text) => self.more_or_unit(number, text),
            Sort::Entry(text) => {
                let (text, indent) = (self.without_limit(number, text), lines::indent(raw));
                let pieces = self.several(text);
                let deeper = indent > self.indent || raw.trim_start().starts_with("--");
                if deeper && self.is_option(text) || self.is_just_option(text) {
                    self.more(number, text);
                } else if let (Some(models), Some(at)) = (lines::size(text), self.pasted.lines.len().checked_sub(1)) {
                    self.pasted.lines[at].models = models;
                } else if let (1, Some(limit)) = (self.said, self.title(text)) {
                    self.heading(number, text);
                    self.titles.push((number, Some(limit)));
                    self.pasted.limit = Some(limit);
                } else if pieces.len() > 1 {
                    self.indent = indent;
                    pieces.into_iter().for_each(|piece| self.entry(number, piece));
                } else if let (Some(points), Some(at)) = (lines::alone(text), self.pasted.lines.len().checked_sub(1)) {
                    // A sum below all, or what the unit before costs.
                    let own = Claim { line: number, of: claims::Of::Line(at), points };
                    let all = self.cost() == u64::from(points) || self.differs(&own);
                    let of = if all && at > 0 { claims::Of::All } else { own.of };
                    self.claims.push(Claim { of, ..own });
                } else {
                    let before = self.indent;
                    self.indent = indent;
                    self.tolerant(number, text, (before, deeper));
                }
            }
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
        self.titled(&list);
        let wrong = self.claims.iter().filter_map(|claim| claim.check(self.pack, &list));
        self.pasted.problems.extend(wrong);
        let remarks = self.remarks.into_iter().map(|(line, text)| Heading { line, text: shortened(&text) });
        self.pasted.headings.extend(remarks);
        self.pasted.headings.sort_by_key(|heading| heading.line);
        self.pasted.problems.sort_by_key(|problem| problem.line);
        Pasted { lines: list.lines, ..self.pasted }
    }

    /// Takes a first line for a title where that is all that was not read, it has no number, and each unit below it has what
    /// it costs beside it.
    fn titled(&mut self, list: &List) {
        const FEWEST: usize = 3;
        let [Problem { code: Code::UnknownUnit, line: Some(number), .. }] = self.pasted.problems.as_slice() else {
            return;
        };
        let number = *number;
        let priced = |at: usize| {
            let of_it = |of| match of {
                claims::Of::Line(line) | claims::Of::Option { at: line, .. } => line == at,
                claims::Of::All => false,
            };
            let is_own = |claim: &Claim| of_it(claim.of) && claim.check(self.pack, list).is_none();
            self.claims.iter().any(is_own)
        };
        let Some(text) = self.first.as_ref().filter(|(first, _)| *first == number).map(|(_, text)| text.clone()) else {
            return;
        };
        if list.lines.len() >= FEWEST && (0..list.lines.len()).all(priced) && !remark::is_numbered(&text) {
            self.pasted.problems.clear();
            self.heading(number, &text);
        }
    }

    /// What all that was read so far costs.
    pub(super) fn cost(&mut self) -> u64 {
        let list = List { limit: 0, lines: std::mem::take(&mut self.pasted.lines) };
        let cost = total(self.pack, &list);
        self.pasted.lines = list.lines;
        cost
    }

    /// Whether what somebody wrote is not what it costs.
    pub(super) fn differs(&mut self, claim: &Claim) -> bool {
        let list = List { limit: 0, lines: std::mem::take(&mut self.pasted.lines) };
        let differs = claim.check(self.pack, &list).is_some();
        self.pasted.lines = list.lines;
        differs
    }

    /// `1200pts: Launch 120 / …`: a list on one line with its limit before it.
    pub(super) fn without_limit<'t>(&mut self, number: u32, text: &'t str) -> &'t str {
        if let Some((head, rest)) = text.split_once(' ').filter(|_| self.said == 1)
            && let Some(limit) = amount::digits(head).filter(|limit| *limit >= 100 && limit % 50 == 0)
            && let Some(named) =
                parts::split(rest).first().and_then(|part| amount::exact(&self.pack.find.units, &part.text))
            && named.before.is_empty()
            && self.pack.units[named.index].cost(self.pack.units[named.index].models.0) != u64::from(limit)
        {
            // `500 reeve, herb wife`: so many of one unit nobody has.
            self.pasted.limit = Some(limit);
            self.pasted.headings.push(Heading { line: number, text: head.to_owned() });
            return rest.trim_start();
        }
        let Some((head, rest)) = text.split_once(": ").filter(|_| self.said == 1) else { return text };
        let several = rest.contains(|c: char| c.is_ascii_digit() || matches!(c, ',' | '/' | ';'));
        let Some(limit) = self.title(head).filter(|_| several && !self.is_unit_first(head)) else { return text };
        self.pasted.limit = Some(limit);
        self.pasted.headings.push(Heading { line: number, text: shortened(head) });
        rest.trim_start()
    }

    /// Whether a line that names a role, or a part of its name, stands above a unit of that role.
    pub(super) fn heads(&self, line: &str, next: &str) -> bool {
        let next = lines::unbulleted(next.trim().trim_start_matches(['+', ' ']), &mut self.next.clone());
        let parts = parts::split(next);
        let named = parts.first().and_then(|part| amount::find(&self.pack.find.units, &part.text).ok());
        // `Eel Spears x5 50`: two numbers say no amount, and it is that unit all the same.
        let first = parts.first().map_or(next, |part| part.text.as_str());
        let words = first.split_whitespace().filter(|word| !word.contains(|c: char| c.is_ascii_digit()));
        let text = words.collect::<Vec<_>>().join(" ");
        let units = &self.pack.find.units;
        let found = named
            .map(|named| named.index)
            .or_else(|| units.found(&text))
            .or_else(|| units.shortened(&amount::bare(next)));
        found.is_some_and(|unit| remark::heads(self.pack, line, self.pack.units[unit].role))
    }

    pub(super) fn heading(&mut self, line: u32, text: &str) {
        self.indent = 0;
        self.pasted.headings.push(Heading { line, text: shortened(text) });
    }

    pub(super) fn wrong(&mut self, code: Code, line: u32, text: impl Into<String>, mend: impl Into<String>) {
        self.pasted.problems.push(Problem::new(code, Some(line), text, mend));
    }

    /// A line without the words of the rules' own name: `Canal Guild 1k` names no Guild Launch.
    pub(super) fn without_pack(&self, text: &str) -> String {
        let name = plain(&self.pack.named.label);
        let of_name = |word: &&str| name.split(' ').any(|known| known == plain(word));
        let whole = text.split_whitespace().filter(|word| of_name(word)).count();
        let kept = |word: &&str| whole == 0 || !of_name(word);
        text.split_whitespace().filter(kept).collect::<Vec<_>>().join(" ")
    }

    /// Whether a line begins with a unit, as far as can be made out.
    pub(super) fn is_unit_first(&self, text: &str) -> bool {
        parts::split(text).first().is_some_and(|part| amount::find(&self.pack.find.units, &part.text).is_ok())
    }

    /// Whether a line stands above the columns of a table: as many signs between its words as in the row below, no number, no
    /// unit.
    pub(super) fn is_head_of_columns(&mut self, line: &str, next: &str) -> bool {
        let same =
            |sign: char| line.matches(sign).count() >= 2 && line.matches(sign).count() == next.matches(sign).count();
        ['\t', ';', '|', ','].into_iter().any(same)
            && !line.contains(|c: char| c.is_ascii_digit())
            && next.contains(|c: char| c.is_ascii_digit())
            && !loose::names_a_unit(self.pack, line, &mut self.effort)
    }

    /// The limit that the first line's title ends with, where it names no unit.
    pub(super) fn title(&mut self, text: &str) -> Option<u32> {
        let priced = text.starts_with(|c: char| c.is_ascii_digit());
        if priced && loose::names_a_unit(self.pack, &self.without_pack(text), &mut self.effort) {
            return None;
        }
        let limit = || remark::remark(self.pack, text, true, false).and_then(|said| said.limit);
        let without = self.without_pack(text);
        lines::title_limit(text).or_else(limit).filter(|_| !self.is_unit_first(&without))
    }

    /// Several units on one line, parted by semicolons; each is named in full, or it is one unit with its options.
    pub(super) fn several<'t>(&self, text: &'t str) -> Vec<&'t str> {
        let pieces: Vec<&str> = text.split(';').map(str::trim).filter(|piece| !piece.is_empty()).collect();
        let is_unit = |piece: &&str| {
            let first = parts::split(piece).into_iter().next();
            first.is_some_and(|part| amount::exact(&self.pack.find.units, &part.text).is_some())
        };
        if pieces.len() > 1 && pieces.iter().all(is_unit) { pieces } else { Vec::new() }
    }

    /// Whether a line is the name of an option of the unit before in full, and no unit's.
    pub(super) fn is_just_option(&self, text: &str) -> bool {
        let Some(line) = self.pasted.lines.last().filter(|_| self.lost.is_none()) else { return false };
        let exact = |names: &Names| amount::exact(names, text).is_some();
        exact(&self.pack.units[line.unit].find) && !exact(&self.pack.find.units)
    }

    /// Whether a line that is set in names an option of the unit before, and no unit.
    pub(super) fn is_option(&self, text: &str) -> bool {
        let Some(line) = self.pasted.lines.last().filter(|_| self.lost.is_none()) else { return false };
        let Some(part) = parts::split(text).into_iter().next() else { return false };
        let options = &self.pack.units[line.unit].find;
        let units = &self.pack.find.units;
        amount::exact(options, &part.text).is_some()
            || (amount::find(units, &part.text).is_err() && amount::find(options, &part.text).is_ok())
    }
}
