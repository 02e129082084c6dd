//! A unit with its options, on one line or on those that go on with it.
use super::super::{Code, Line, option_cost};
use super::amount::{self, Amount, Named, Of};
use super::claims::{self, Claim};
use super::parts::{self, Group, Part};
use super::size::{MOST, size};
use super::{Reader, lines, loose, remark, shortened, suggest};
use crate::rules::model::unit::Unit;
use crate::rules::names::{Names, NotFound, plain};

/// How many pieces a name may have that has separators in itself.
const PIECES: usize = 4;
/// How deep brackets within brackets are read.
const DEPTH: u32 = 3;

/// A name with all that stands around it.
struct Found<'a> {
    named: Result<Named, NotFound>,
    /// How many pieces of the line it took.
    pieces: usize,
    text: String,
    groups: Vec<Group<'a>>,
    claim: Option<u32>,
}

/// The name that the first pieces are. In full it may take several pieces, brackets too; else it is the first one.
fn first<'a>(names: &Names, line: &'a str, parts: &[Part<'a>]) -> Option<Found<'a>> {
    let head = parts.first()?;
    // Points behind a sign are no number of the name's: `2x Culverin Crew = 190`.
    if let Some(named) = head.claim.and_then(|_| amount::exact(names, &head.text)) {
        return Some(Found {
            named: Ok(named),
            pieces: 1,
            text: head.text.clone(),
            groups: head.groups.clone(),
            claim: head.claim,
        });
    }
    for pieces in (1..=parts.len().min(PIECES)).rev() {
        let last = &parts[pieces - 1];
        let whole = line[head.span.0..last.span.1].trim();
        if let Some(named) = amount::exact(names, whole) {
            return Some(Found { named: Ok(named), pieces, text: whole.to_owned(), groups: Vec::new(), claim: None });
        }
    }
    let (text, groups) = (head.text.clone(), head.groups.clone());
    let mut found = Found { named: amount::find(names, &text), pieces: 1, text, groups, claim: head.claim };
    // A second number behind the name is what it costs: `Peat Cutters x10 46`.
    if let (Err(_), None, Some((before, last))) = (&found.named, found.claim, found.text.rsplit_once(' '))
        && let Some(points) = amount::digits(last)
        && let Ok(named) = amount::find(names, before)
        && named.behind.is_some()
    {
        (found.named, found.claim) = (Ok(named), Some(points));
    }
    Some(found)
}

impl Reader<'_> {
    pub(super) fn entry(&mut self, number: u32, text: &str) {
        let pack = self.pack;
        let parts = parts::split(text);
        let Some(mut found) = first(&pack.find.units, text, &parts) else { return };
        let mut rest = &parts[found.pieces..];
        // `HQ: Wharf Captain` is a heading with the first unit below it.
        let next = rest.first().and_then(|part| amount::find(&pack.find.units, &part.text).ok());
        let of_role = next.is_some_and(|next| remark::heads(pack, parts[0].whole, pack.units[next.index].role));
        let heads = found.named.is_err() || lines::is_role(pack, parts[0].whole) || of_role;
        if heads && parts[0].colon && rest.first().is_some_and(|part| self.is_unit(&part.text)) {
            self.heading(number, parts[0].whole);
            let Some(second) = first(&pack.find.units, text, rest) else { return };
            rest = &rest[second.pieces..];
            found = second;
        }
        let named = match found.named {
            Ok(named) => named,
            Err(error) => {
                // `Captain Odda Brill (Wharf Captain)`: a name of somebody's own before the unit.
                let inner = found.groups.iter().find_map(|group| match group {
                    Group::Text(inner) if amount::exact(&pack.find.units, inner).is_some() => Some(*inner),
                    _ => None,
                });
                if let Some(inner) = inner.filter(|inner| inner.len() < text.len()) {
                    self.remarks.push((number, found.text.clone()));
                    return self.entry(number, inner);
                }
                let name = shortened(&amount::bare(&found.text));
                let text = format!("no unit is called “{name}”, so the line was left out");
                self.wrong(Code::UnknownUnit, number, text, suggest(&error));
                self.lost = Some(number);
                return;
            }
        };
        // `Stilts (5 Stilt Riders)`: the same unit, named in full.
        if let (true, [Group::Text(inner)], None) =
            (named.before.is_empty() && named.behind.is_none(), found.groups.as_slice(), found.claim)
            && let Some(full) = amount::exact(&pack.find.units, inner)
            && full.index == named.index
            && rest.is_empty()
        {
            self.remarks.push((number, found.text.clone()));
            return self.entry(number, inner);
        }
        // `Name: 6` and `Name, 6` say as much as `Name (6)`: a size that the unit may have, else points.
        if let Some(head) = rest.first()
            && let Some(alone) = amount::digits(&head.text).or_else(|| amount::digits(head.whole))
        {
            found.groups.push(Group::Number(alone));
            found.groups.extend(head.groups.iter().cloned());
            found.claim = found.claim.or(head.claim);
            rest = &rest[1..];
        }
        let unit = &pack.units[named.index];
        let size = match size(unit, &named, &found.groups) {
            Ok(size) => size,
            Err((text, mend)) => {
                let text = format!("“{}”: {text}, so the line was left out", shortened(&found.text));
                self.wrong(Code::Unreadable, number, text, mend);
                self.lost = Some(number);
                return;
            }
        };
        self.lost = None;
        let line = Line { number, unit: named.index, count: size.count, models: size.models, options: Vec::new() };
        self.pasted.lines.push(line);
        let at = self.pasted.lines.len() - 1;
        for points in size.claims.into_iter().chain(found.claim) {
            self.claims.push(Claim { line: number, of: claims::Of::Line(at), points });
        }
        for group in &found.groups {
            if let Group::Text(text) = group {
                self.options(number, text, 1);
            }
        }
        self.option_parts(number, text, rest, 0);
    }

    /// Whether a text names a weapon that the unit of a line carries anyway.
    fn carries(&self, at: usize, text: &str) -> bool {
        let carried = &self.pack.units[self.pasted.lines[at].unit].weapons;
        // `three swivel guns`
        let numbered = text.split_once(' ').filter(|(word, _)| super::tokens::number_word(word).is_some());
        let named = amount::find(&self.pack.find.weapons, numbered.map_or(text, |(_, name)| name));
        named.is_ok_and(|named| carried.iter().any(|carried| carried.weapon == named.index))
    }

    fn is_unit(&self, text: &str) -> bool {
        amount::exact(&self.pack.find.units, text).is_some()
    }

    /// Options on a line of their own.
    pub(super) fn more(&mut self, number: u32, text: &str) {
        if let Some(line) = self.lost {
            let text = format!("these options belong to line {line}, which was left out");
            self.wrong(Code::Unreadable, number, text, format!("mend line {line} first"));
        } else if self.pasted.lines.is_empty() {
            let text = "these options have no unit before them";
            self.wrong(Code::Unreadable, number, text, "write the unit on the line before");
        } else {
            self.options(number, text, 0);
        }
    }

    /// Options of the unit before, or one more unit where a list is joined by plus signs: `+ 10 cutters 76`.
    pub(super) fn more_or_unit(&mut self, number: u32, text: &str) {
        let (problems, claims) = (self.pasted.problems.len(), self.claims.len());
        let (before, lost) = (self.pasted.lines.last().cloned(), self.lost);
        self.more(number, text);
        // `with Boat hooks and 2 Scatter guns`
        if let (true, None, Some(last)) = (self.pasted.problems.len() > problems, lost, &before)
            && let Some(options) = loose::options(&self.pack.units[last.unit], text, &mut self.effort)
        {
            self.pasted.problems.truncate(problems);
            self.claims.truncate(claims);
            if let Some(line) = self.pasted.lines.last_mut() {
                *line = last.clone();
            }
            self.take_options(options);
            return;
        }
        if self.pasted.problems.len() == problems || !loose::names_a_unit(self.pack, text, &mut self.effort) {
            return;
        }
        let told = self.pasted.problems.split_off(problems);
        let after = self.lost.take();
        let known = self.pasted.lines.len();
        self.claims.truncate(claims);
        if let (Some(last), Some(before)) = (self.pasted.lines.last_mut(), before) {
            *last = before;
        }
        self.tolerant(number, text, (self.indent, false));
        if self.pasted.lines.len() == known || self.pasted.problems.len() > problems {
            self.pasted.problems.truncate(problems);
            self.pasted.problems.extend(told);
            self.pasted.lines.truncate(known);
            self.lost = after.or(lost);
        }
    }

    /// Options of the last unit.
    fn options(&mut self, number: u32, text: &str, depth: u32) {
        if depth > DEPTH {
            self.wrong(
                Code::Unreadable,
                number,
                "there are too many brackets within brackets",
                "part options by commas",
            );
            return;
        }
        self.option_parts(number, text, &parts::split(text), depth);
    }

    fn option_parts(&mut self, number: u32, line: &str, parts: &[Part<'_>], depth: u32) {
        let pack = self.pack;
        let Some(at) = self.pasted.lines.len().checked_sub(1) else { return };
        let unit = &pack.units[self.pasted.lines[at].unit];
        let (mut parts, mut last) = (parts, None);
        while let Some(head) = parts.first() {
            // Points alone: `Heron Carriage: 265`.
            if let Some(points) = head.claim.filter(|_| head.text.is_empty() && head.groups.is_empty()) {
                // `Leadsman aboard +10`: what the option before adds.
                let option =
                    last.filter(|_| self.pasted.lines[at].options.iter().any(|(known, _)| Some(*known) == last));
                let of = option.map_or(claims::Of::Line(at), |option| {
                    let times = self.pasted.lines[at].options.iter().find(|(known, _)| *known == option);
                    claims::Of::Option { at, option, times: times.map_or(1, |(_, times)| *times) }
                });
                self.claims.push(Claim { line: number, of, points });
                parts = &parts[1..];
                continue;
            }
            // `no swivel`: what is not taken.
            if let Some(what) = remark::negated(&head.text).filter(|_| unit.find.exact(&head.text).is_none())
                && let Ok(named) = amount::find(&unit.find, what)
            {
                let points = named.behind.map(|amount| amount.number).into_iter().chain(head.claim);
                self.claims.extend(points.map(|points| Claim { line: number, of: claims::Of::Line(at), points }));
                parts = &parts[1..];
                continue;
            }
            let Some(found) = first(&unit.find, line, parts) else { return };
            parts = &parts[found.pieces..];
            match &found.named {
                Ok(named) => {
                    last = Some(named.index);
                    self.take(number, at, named, &found);
                }
                // `sword cane`, which it has.
                Err(_) if self.carries(at, &found.text) => {}
                // `pear cutters 12 54 (peat!! PEAT)`
                Err(_) if depth > 0 && repeats(unit, &found.text) => {}
                // `signal mast (included)`
                Err(_) if ["included", "incl", "full unit", "full"].contains(&found.text.to_lowercase().as_str()) => {}
                // Nothing but brackets: `Heron Carriage + (signal mast)`.
                Err(_) if found.text.is_empty() && found.groups.iter().all(|group| matches!(group, Group::Text(_))) => {
                }
                Err(error) => {
                    let name = shortened(&amount::bare(&found.text));
                    let text = format!("{} has no option “{name}”", unit.named.label);
                    let mend = if error.closest.is_empty() { all_options(unit) } else { suggest(error) };
                    self.wrong(Code::UnknownOption, number, text, mend);
                }
            }
            for group in &found.groups {
                if let Group::Text(text) = group {
                    self.options(number, text, depth + 1);
                }
            }
        }
    }

    /// Takes an option, once or as often as is said.
    fn take(&mut self, number: u32, at: usize, named: &Named, found: &Found<'_>) {
        let unit = &self.pack.units[self.pasted.lines[at].unit];
        let models = self.pasted.lines[at].models;
        let most = unit.options[named.index].most.of(models);
        let (mut times, mut claimed) = (Vec::new(), Vec::new());
        times.extend(named.before.iter().map(|amount| amount.number));
        match named.behind {
            Some(Amount { number, of: Of::Bare }) if number > most => claimed.push(number),
            Some(amount) => times.push(amount.number),
            None => {}
        }
        for group in &found.groups {
            match group {
                Group::Number(number) if times.is_empty() && (1..=most).contains(number) => times.push(*number),
                Group::Number(points) | Group::Points(points) => claimed.push(*points),
                Group::Times(number) | Group::Models(number) => times.push(*number),
                Group::Text(_) => {}
            }
        }
        claimed.extend(found.claim);
        let name = &unit.options[named.index].named.label;
        let ([] | [_]) = times.as_slice() else {
            let text = format!("“{}” says two numbers of {name}", shortened(&found.text));
            self.wrong(Code::Unreadable, number, text, "say once how many");
            return;
        };
        let times = times.first().copied().unwrap_or(1);
        if !(1..=MOST).contains(&times) {
            let text = format!("“{}”: an option is taken 1 to {MOST} times", shortened(&found.text));
            self.wrong(Code::Unreadable, number, text, "leave it out, or say how often");
            return;
        }
        let line = &mut self.pasted.lines[at];
        match line.options.iter_mut().find(|(known, _)| *known == named.index) {
            Some((_, sum)) => *sum = sum.saturating_add(times),
            None => line.options.push((named.index, times)),
        }
        let of = claims::Of::Option { at, option: named.index, times };
        self.claims.extend(claimed.into_iter().map(|points| Claim { line: number, of, points }));
    }
}

/// Whether a text says nothing but words of the unit's own name once more.
fn repeats(unit: &Unit, text: &str) -> bool {
    let name = plain(&unit.named.label);
    let words = remark::words(text);
    let part =
        words.len() < name.split(' ').count() || words.iter().enumerate().any(|(at, word)| words[..at].contains(word));
    !words.is_empty() && part && words.iter().all(|word| name.split(' ').any(|own| own == plain(word)))
}

fn all_options(unit: &Unit) -> String {
    let labels: Vec<&str> = unit.options.iter().take(20).map(|option| option.named.label.as_str()).collect();
    match labels.as_slice() {
        [] => "it has no options".to_owned(),
        [one] => format!("its only option is {one}"),
        several => format!("its options are {}", several.join(", ")),
    }
}

/// What an option may be claimed to cost: one of it, all that one unit takes, all of the line.
pub(super) fn option_prices(unit: &Unit, option: usize, times: u32, models: u32, count: u32) -> [u64; 3] {
    let all = option_cost(unit, option, times, models);
    [u64::from(unit.options[option].points), all, all.saturating_mul(u64::from(count))]
}
