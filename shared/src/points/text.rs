//! Lists as people paste them: `3x Heron Carriage + signal mast`.
//!
//! Nothing of a line is dropped without a word: what is no unit, no option, no number and no heading is a problem.
use super::{Line, List, Problem, total};
use crate::report::counting::Forms;
use crate::report::saying::either;
use crate::rules::model::Pack;
use crate::rules::names::{Names, NotFound};

mod added;
pub(crate) mod amount;
mod checksum;
mod claims;
mod clean;
mod entry;
mod lines;
mod loose;
mod parts;
mod reader;
mod remark;
mod segment;
mod size;
mod small;
mod tokens;
mod tolerant;

use reader::Leniency;
pub use reader::Reader;

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

/// The longest list that is read again by what it comes to.
const MOST_LOOSE_LINES: usize = 60;
/// The same in bytes.
const MOST_LOOSE_BYTES: usize = 3_000;

/// The most lines of a text that is read as whole sentences.
const MOST_LINES_OF_PROSE: usize = 4;

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
    let lines = clean::lines(text);
    let strict = lines_read(pack, &lines, Leniency::None);
    if strict.problems.is_empty() {
        let told = checksum::told(pack, text, &strict);
        return Pasted { limit: told, ..strict };
    }
    // What people paste is shorter: the rest of the reading has a bound of its own.
    if lines.len() > MOST_LOOSE_LINES || text.len() > MOST_LOOSE_BYTES || !checksum::says_any(text) {
        return strict;
    }
    // Lines that can't be made out are remarks where the list says itself what it comes to, and what was read comes to that.
    for leniency in [Leniency::Remarks, Leniency::Words] {
        let lenient = lines_read(pack, &lines, leniency);
        if lenient.problems.is_empty() && checksum::holds(pack, text, &lenient) {
            return Pasted { limit: checksum::limit(pack, text, &lenient).or(lenient.limit), ..lenient };
        }
    }
    // Whole sentences, broken wherever the line was full.
    prose(pack, text, &lines).unwrap_or(strict)
}

/// A text read as one sentence, where a number in it is what its units come to.
fn prose(pack: &Pack, text: &str, lines: &[String]) -> Option<Pasted> {
    // More lines are a list, and the words of its title no units.
    if lines.iter().filter(|line| !line.trim().is_empty()).count() > MOST_LINES_OF_PROSE {
        return None;
    }
    let mut effort = loose::Effort::AGAIN;
    let of_role = |head: &str| lines::is_role(pack, head) || remark::may_head(pack, head);
    let without_role = |line: &String| match line.split_once(':') {
        Some((head, rest)) if of_role(head) => rest.to_owned(),
        _ => line.clone(),
    };
    let whole = lines.iter().map(without_role).collect::<Vec<_>>().join(" ");
    let cost = |lines: &[Line]| total(pack, &List { limit: 0, lines: lines.to_vec() });
    checksum::candidates(text).into_iter().find_map(|sum| {
        let found = loose::sentence(pack, &whole, sum, &mut effort)?;
        let lines: Vec<Line> = found.units.iter().map(|one| one.line.clone()).collect();
        let fits = lines.len() > 2
            && cost(&lines) == u64::from(sum)
            && found.units.iter().all(|one| one.points.is_none() || one.fits);
        let headings = vec![Heading { line: 1, text: shortened(&found.left_over.join(" ")) }];
        let pasted = Pasted { lines, headings, ..Pasted::default() };
        fits.then(|| Pasted { limit: checksum::limit(pack, text, &pasted), ..pasted })
    })
}

fn lines_read(pack: &Pack, lines: &[String], lenient: Leniency) -> Pasted {
    let mut reader = Reader::new(pack);
    reader.lenient = lenient;
    if lenient != Leniency::None {
        reader.effort = loose::Effort::AGAIN;
    }
    for (index, raw) in lines.iter().enumerate() {
        let number = u32::try_from(index).unwrap_or(u32::MAX).saturating_add(1);
        let next = lines.get(index + 1).map_or("", String::as_str);
        // A title with a stroke below it, or a role with units set in below it.
        let titled = lines::is_stroke(next) && !reader.is_unit_first(raw.trim());
        let set_in = lines::indent(next) > lines::indent(raw) && reader.is_unit_first(next.trim());
        // `HANDS` above `Drift Rifles`.
        let loud = lines::is_loud(raw) && !next.trim().is_empty() && !lines::is_loud(next);
        let columns = reader.said == 0 && (remark::is_columns(raw) || reader.is_head_of_columns(raw, next));
        let role = (set_in || loud) && lines::is_role(pack, raw.trim());
        let below = || lines[index + 1..].iter().find(|line| !line.trim().is_empty());
        let heads = || remark::may_head(pack, raw) && below().is_some_and(|next| reader.heads(raw, next));
        if !raw.trim().is_empty() && (titled || columns || role || heads()) {
            reader.said += 1;
            let first = reader.pasted.lines.is_empty();
            let limit = remark::remark(pack, raw, first, false).filter(|_| first).and_then(|said| said.limit);
            reader.pasted.limit = reader.pasted.limit.or(limit);
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
        let label = &unit.options[*option].named.label;
        if *times > 1 { format!(" + {times} {}", several(label)) } else { format!(" + {label}") }
    });
    format!("{count}{}{models}{}", unit.named.label, options.collect::<String>())
}

/// Several of an option; the label itself where English does not form its plural regularly.
fn several(label: &str) -> String {
    Forms::of(label, None, None).plural.unwrap_or_else(|| label.to_owned())
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
    match error.closest.as_slice() {
        [] => "check the name, or the pack that the list is for".to_owned(),
        closest if error.ambiguous => format!("say which: {}", either(closest)),
        closest => format!("did you mean {}?", either(closest)),
    }
}
