//! A unit with its options, on one line or on those that go on with it.
use super::super::{Code, Line, option_cost};
use super::amount::{self, Amount, Named, Of};
use super::claims::{self, Claim};
use super::parts::{self, Group, Part};
use super::{Reader, lines, shortened, suggest};
use crate::report::counting::Counted;
use crate::rules::model::unit::Unit;
use crate::rules::names::{Names, NotFound};

/// How many pieces a name may have that has separators in itself.
const PIECES: usize = 4;
/// How deep brackets within brackets are read.
const DEPTH: u32 = 3;
/// The most of anything on a line.
const MOST: u32 = 1_000;

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
        let heads = found.named.is_err() || lines::is_role(pack, parts[0].whole);
        if heads && parts[0].colon && rest.first().is_some_and(|part| self.is_unit(&part.text)) {
            self.heading(number, parts[0].whole);
            let Some(second) = first(&pack.find.units, text, rest) else { return };
            rest = &rest[second.pieces..];
            found = second;
        }
        let named = match found.named {
            Ok(named) => named,
            Err(error) => {
                let name = shortened(&amount::bare(&found.text));
                let text = format!("no unit is called “{name}”, so the line was left out");
                self.wrong(Code::UnknownUnit, number, text, suggest(&error));
                self.lost = Some(number);
                return;
            }
        };
        // `Name: 6` and `Name, 6` say as much as `Name (6)`: a size that the unit may have, else points.
        if let Some(head) = rest.first()
            && let Some(alone) = amount::digits(head.whole)
        {
            found.groups.push(Group::Number(alone));
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
                self.options(number, text, 0);
            }
        }
        self.option_parts(number, text, rest, 0);
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
        let mut parts = parts;
        while let Some(head) = parts.first() {
            // Points alone: `Heron Carriage: 265`.
            if let Some(points) = head.claim.filter(|_| head.text.is_empty() && head.groups.is_empty()) {
                self.claims.push(Claim { line: number, of: claims::Of::Line(at), points });
                parts = &parts[1..];
                continue;
            }
            let Some(found) = first(&unit.find, line, parts) else { return };
            parts = &parts[found.pieces..];
            match &found.named {
                Ok(named) => self.take(number, at, named, &found),
                // `signal mast (included)`
                Err(_) if ["included", "incl", "full unit", "full"].contains(&found.text.to_lowercase().as_str()) => {}
                // Nothing but brackets: `Heron Carriage + (signal mast)`.
                Err(_) if found.text.is_empty() && !found.groups.is_empty() => {}
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

/// How many units of how many models, and points that are claimed for them.
#[derive(Debug, PartialEq, Eq)]
struct Size {
    count: u32,
    models: u32,
    claims: Vec<u32>,
}

type Refused = (String, &'static str);

/// What the numbers around a unit's name mean.
fn size(unit: &Unit, named: &Named, groups: &[Group<'_>]) -> Result<Size, Refused> {
    let (least, most) = unit.models;
    let (mut count, mut models, mut claims) = (Vec::new(), Vec::new(), Vec::new());
    // Bare numbers and factors before the name wait until it is known what stands behind it.
    let mut open: Vec<Amount> = Vec::new();
    for amount in &named.before {
        match amount.of {
            Of::Models => models.push(amount.number),
            Of::Units => count.push(amount.number),
            Of::Bare | Of::Times => open.push(*amount),
        }
    }
    let mut factor = None;
    match named.behind {
        Some(Amount { number, of: Of::Models }) => models.push(number),
        Some(Amount { number, of: Of::Units }) => count.push(number),
        Some(Amount { number, of: Of::Times }) => factor = Some(number),
        Some(Amount { number, of: Of::Bare }) if most > 1 && least == most && number != most && number <= 12 => {
            count.push(number);
        }
        Some(Amount { number, of: Of::Bare }) if most > 1 && number <= most => models.push(number),
        // What all of it costs, or nothing that can be told: seen when the size is known.
        Some(Amount { of: Of::Bare, .. }) | None => {}
    }
    let costs = named.behind.filter(|amount| {
        amount.of == Of::Bare && !(most > 1 && amount.number <= most.max(if least == most { 12 } else { 0 }))
    });
    for group in groups {
        match group {
            Group::Number(number) if models.is_empty() && most > 1 && (least..=most).contains(number) => {
                models.push(*number);
            }
            Group::Number(number) if models.first() == Some(number) => {}
            // `Ram Barge (1)`: a unit that is one model, and costs more than one point.
            Group::Number(1) if most == 1 && unit.cost(1) != 1 => {}
            Group::Number(points) | Group::Points(points) => claims.push(*points),
            Group::Models(number) => models.push(*number),
            Group::Times(number) => factor = factor.or(Some(*number)),
            Group::Text(_) => {}
        }
    }
    let twice =
        || Err(("its numbers can be read in two ways".to_owned(), "write 2x 10 for two units of ten models each"));
    match (open.as_slice(), factor) {
        ([], None) => {}
        // `3 Dyke Hands x10`: ten units of three.
        ([Amount { number, of: Of::Bare }], Some(factor)) if models.is_empty() && count.is_empty() => {
            models.push(*number);
            count.push(factor);
        }
        ([units, each], None) if models.is_empty() && count.is_empty() => {
            count.push(units.number);
            models.push(each.number);
        }
        ([one], None) => alone(unit, *one, &mut count, &mut models),
        ([], Some(factor)) => alone(unit, Amount { number: factor, of: Of::Times }, &mut count, &mut models),
        _ => return twice(),
    }
    // `10 Dyke Hands (12)`: ten units, or ten models and twelve of something?
    if let ([Amount { number, of: Of::Bare }], [_]) = (open.as_slice(), models.as_slice())
        && count.first() == Some(number)
        && unit.counted == Counted::Models
        && most > 1
        && (least..=most).contains(number)
    {
        return twice();
    }
    let ([] | [_], [] | [_]) = (count.as_slice(), models.as_slice()) else { return twice() };
    let count = count.first().copied().unwrap_or(1);
    let models = models.first().copied().unwrap_or(least);
    if !(1..=MOST).contains(&count) || !(1..=MOST).contains(&models) {
        return Err((
            format!("a line has 1 to {MOST} units of 1 to {MOST} models"),
            "leave the line out, or say how many",
        ));
    }
    if let Some(Amount { number, .. }) = costs {
        let one = unit.cost(models);
        if ![one, one.saturating_mul(u64::from(count))].contains(&u64::from(number)) {
            return Err((
                format!("{number} behind a name may be a number or points"),
                "write the number before the name, or “points” behind it",
            ));
        }
        claims.push(number);
    }
    Ok(Size { count, models, claims })
}

/// One number beside a unit: models where models are counted and one unit may have so many, else units.
fn alone(unit: &Unit, amount: Amount, count: &mut Vec<u32>, models: &mut Vec<u32>) {
    let (least, most) = unit.models;
    let of_models = unit.counted == Counted::Models && most > 1 && amount.number >= least;
    if models.is_empty() && (of_models || !count.is_empty()) {
        models.push(amount.number);
    } else {
        count.push(amount.number);
    }
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
