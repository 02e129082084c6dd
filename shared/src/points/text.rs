//! Lists as people paste them: `3x Heron Carriage + signal mast`.
//!
//! Nothing of a line is dropped without a word: what is no unit, no option, no number and no heading is a problem.
use super::{Code, Line, List, Problem};
use crate::rules::model::Pack;
use crate::rules::names::{Names, NotFound};

pub(crate) mod amount;
mod claims;
mod entry;
mod lines;
mod parts;

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
        if !raw.trim().is_empty() && (titled || (set_in && lines::is_role(pack, raw.trim()))) {
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
}

impl<'a> Reader<'a> {
    /// Reads a list of this pack.
    pub fn new(pack: &'a Pack) -> Self {
        let pasted = Pasted::default();
        Self { pack, pasted, claims: Vec::new(), indent: 0, next: 1, said: 0, lost: None }
    }

    /// Adds a line that needs no reading.
    pub fn add(&mut self, line: Line) {
        (self.indent, self.lost) = (0, None);
        self.said += 1;
        self.pasted.lines.push(line);
    }

    /// Reads a line that people find by this number.
    pub fn line(&mut self, number: u32, raw: &str) {
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
            Sort::Heading => self.heading(number, raw.trim()),
            Sort::Limit(limit) => self.pasted.limit = Some(limit),
            Sort::Total(total) => {
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
                if indent > self.indent && self.is_option(text) {
                    self.more(number, text);
                } else if let (1, Some(limit)) = (self.said, self.title(text)) {
                    self.heading(number, text);
                    self.pasted.limit = Some(limit);
                } else if pieces.len() > 1 {
                    self.indent = indent;
                    pieces.into_iter().for_each(|piece| self.entry(number, piece));
                } else {
                    self.indent = indent;
                    self.entry(number, text);
                }
            }
        }
    }

    /// What all lines say, points that were claimed held against what things cost.
    pub fn finish(mut self) -> Pasted {
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

    /// Whether a line begins with a unit, as far as can be made out.
    fn is_unit_first(&self, text: &str) -> bool {
        parts::split(text).first().is_some_and(|part| amount::find(&self.pack.find.units, &part.text).is_ok())
    }

    /// The limit that the first line's title ends with, where it names no unit.
    fn title(&self, text: &str) -> Option<u32> {
        lines::title_limit(text).filter(|_| !self.is_unit_first(text))
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
