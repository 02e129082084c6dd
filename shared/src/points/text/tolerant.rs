//! A line that is not written as it should be: read loosely, as one field of what is written one below the other, or taken
//! as a remark.
use super::super::{List, total};
use super::amount::digits;
use super::claims::{self, Claim};
use super::loose::Found;
use super::{Leniency, Reader, checksum, lines, loose, remark, small};

/// Words about a limit that is kept to.
const WITHIN: &[&str] = &["under", "within", "below", "limit", "max", "cap", "stays", "fits"];

/// Words that take the unit before once more.
const AGAIN: &[&str] = &["same", "again", "ditto", "another", "one", "and", "as", "above", "the", "more", "a", "of"];

/// What stands before the last sentence, and that sentence.
fn last_sentence(text: &str) -> Option<(&str, &str)> {
    let at = text.rfind(['.', '!', '?'])?;
    Some((&text[..at], text[at + 1..].trim()))
}

impl Reader<'_> {
    /// Reads a line as it should be written, and where that fails loosely: units in any order with their numbers, options
    /// of the unit before, a remark.
    pub(super) fn tolerant(&mut self, number: u32, text: &str, (indent, deeper): (usize, bool)) {
        if self.again(number, text) || self.field(number, text) {
            return;
        }
        let before = (self.pasted.lines.len(), self.pasted.problems.len(), self.claims.len());
        let (lost, headings) = (self.lost, self.pasted.headings.len());
        self.entry(number, text);
        let trouble = self.pasted.problems.len() > before.1;
        // `70 Wharf Captain` may be what it costs.
        let odd = |line: &super::Line| {
            let (least, most) = self.pack.units[line.unit].models;
            // `| 3 | Tar Gang | | 45 |`: three of them, or three units of three.
            let of_models = line.count > 1 && line.models == least && (least..=most).contains(&line.count);
            line.count > 12 || of_models && least < most || !(least..=most).contains(&line.models)
        };
        let many = self.pasted.lines[before.0..].iter().any(odd);
        let list = List { limit: 0, lines: std::mem::take(&mut self.pasted.lines) };
        let differs = self.claims[before.2..].iter().any(|claim| claim.check(self.pack, &list).is_some());
        self.pasted.lines = list.lines;
        if !(trouble || many || differs) {
            return;
        }
        if trouble && self.sums_up(number, text, before, headings) {
            return;
        }
        let spent = total(self.pack, &List { limit: 0, lines: self.pasted.lines[..before.0].to_vec() });
        let found =
            self.loosely((number, Some(spent)), text).filter(|found| trouble || found.units.iter().any(|one| one.fits));
        let options = match (&found, self.pasted.lines[..before.0].last(), lost) {
            (None, Some(line), None)
                if trouble && (deeper || !loose::names_a_unit(self.pack, text, &mut self.effort)) =>
            {
                loose::options(&self.pack.units[line.unit], text, &mut self.effort)
            }
            _ => None,
        };
        let first = self.said == 1;
        let without = if first { self.without_pack(text) } else { text.to_owned() };
        // `700 cap, no haulers as agreed`
        let without = without.split_once(", no ").filter(|_| before.0 == 0).map_or(without.as_str(), |(own, _)| own);
        let said = match (&found, &options) {
            (None, None) if trouble && first && (remark::is_title(text) || remark::is_pack(self.pack, text)) => {
                Some(remark::Remark::default())
            }
            (None, None) if trouble && before.0 == 0 && remark::is_sentence(text) => Some(remark::Remark::default()),
            (None, None) if trouble && remark::is_negated(text) => Some(remark::Remark::default()),
            // A list that says what it comes to holds nothing more behind that; one in which all else comes to it, nothing else.
            (None, None)
                if trouble && (self.summed || self.lenient == Leniency::Remarks) && !remark::is_priced(text) =>
            {
                Some(remark::Remark::default())
            }
            (None, None) if trouble && !loose::names_a_unit(self.pack, without, &mut self.effort) => {
                // What is remarked of a unit says nothing of whether there is one.
                let own = text.split("//").next().unwrap_or(text);
                let said = remark::remark(self.pack, own, first, self.left);
                // What the rest of the list comes to decides whether this was one.
                said.or((self.lenient != Leniency::None && !remark::is_priced(text)).then(remark::Remark::default))
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
        if let Some(found) = found {
            self.take_found(number, found);
        }
        if let Some(options) = options {
            self.indent = indent;
            self.take_options(options);
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

    /// Whether a line that can't be read otherwise says what all lines before it come to; the rest of it is a remark.
    fn sums_up(&mut self, number: u32, text: &str, before: (usize, usize, usize), headings: usize) -> bool {
        const FEWEST: usize = 3;
        let list = List { limit: 0, lines: self.pasted.lines[..before.0].to_vec() };
        let cost = total(self.pack, &list);
        let words = remark::words(text);
        let says = |sum: u64| {
            let number = |word: &String| digits(word.trim_end_matches(char::is_alphabetic));
            words.iter().filter_map(number).any(|points| u64::from(points) == sum)
        };
        let sums = says(cost);
        // `stays under the 550`: the limit once more, in words for it.
        let keeps = words.iter().any(|word| WITHIN.contains(&word.as_str()))
            && self.pasted.limit.is_some_and(|limit| u64::from(limit) > cost && says(u64::from(limit)));
        if before.0 < FEWEST || cost < 100 || !(sums || keeps) {
            return false;
        }
        // `255 | Whaleback | 1 | Oil thrower`
        let told = words.iter().any(|word| small::TOTALS.contains(&word.as_str()) || word.starts_with("that"));
        if !told && loose::names_a_unit(self.pack, text, &mut self.effort) {
            return false;
        }
        self.pasted.lines.truncate(before.0);
        self.pasted.problems.truncate(before.1);
        self.claims.truncate(before.2);
        self.pasted.headings.truncate(headings);
        let pasted = super::Pasted { lines: list.lines, ..super::Pasted::default() };
        let limit = checksum::limit(self.pack, text, &pasted);
        self.pasted.limit = self.pasted.limit.or(limit);
        self.heading(number, text);
        // What comes after a sum is no unit; after a word about the limit it may be.
        (self.summed, self.lost) = (self.summed || sums, None);
        true
    }

    /// What a line says when it is read loosely, without the heading that it may begin with.
    fn loosely(&mut self, place: loose::Place, text: &str) -> Option<Found> {
        let (pack, lenient) = (self.pack, self.lenient == Leniency::Words);
        // `here is mine: …`, `Hands: 9 Grapnel Gangers, 10 Drift Rifles`: what stands before the colon is a heading.
        let head = text.split_once(": ").filter(|(head, _)| {
            lines::is_role(pack, head)
                || remark::may_head(pack, head)
                || !loose::names_a_unit(pack, head, &mut self.effort) && !head.contains(',')
        });
        // `HANDS 3/5 .... Deck Hands (10)`.
        let head = head.or_else(|| lines::role_before(pack, text));
        let mut found = match head {
            Some((_, rest)) => loose::read(pack, place, rest, lenient, &mut self.effort),
            None => None,
        };
        // The name of a role before a colon is no part of a unit's name.
        let role = head.is_some_and(|(head, _)| lines::is_role(pack, head) || remark::may_head(pack, head));
        if found.is_none() && !role {
            found = loose::read(pack, place, text, lenient, &mut self.effort);
        }
        // `…, a coot punt and 3 oxen. thoughts?`
        if let (None, Some((own, asked))) = (&found, text.trim_end().strip_suffix('?').and_then(last_sentence))
            && !asked.contains(|c: char| c.is_ascii_digit())
            && !loose::names_a_unit(pack, asked, &mut self.effort)
        {
            found = loose::read(pack, place, own, lenient, &mut self.effort);
            if let Some(found) = &mut found {
                found.left_over.push(asked.to_owned());
            }
        }
        // `Lamp Skiff - still needs paint`: what is said of it behind a dash.
        if let (None, Some((own, said)), false) = (&found, text.split_once(" - "), lenient) {
            found = loose::read(pack, place, own, false, &mut self.effort).filter(|_| remark::is_talk(said));
            if let Some(found) = &mut found {
                found.left_over.push(said.to_owned());
            }
        }
        found
    }

    /// More options of the unit before, each so many times.
    pub(super) fn take_options(&mut self, options: Vec<(usize, u32)>) {
        let Some(line) = self.pasted.lines.last_mut() else { return };
        for (option, times) in options {
            match line.options.iter_mut().find(|(known, _)| *known == option) {
                Some((_, sum)) => *sum = sum.saturating_add(times),
                None => line.options.push((option, times)),
            }
        }
    }

    fn take_found(&mut self, number: u32, found: Found) {
        for one in found.units {
            self.lost = None;
            self.pasted.lines.push(one.line);
            let at = self.pasted.lines.len() - 1;
            let line = one.points.map(|points| Claim { line: number, of: claims::Of::Line(at), points });
            self.claims.extend(line);
        }
        self.claims.extend(found.total.map(|points| Claim { line: number, of: claims::Of::All, points }));
        if !found.left_over.is_empty() {
            self.remarks.push((number, found.left_over.join(" ")));
        }
    }

    /// `same again 77`: the unit before once more, with its options.
    fn again(&mut self, number: u32, text: &str) -> bool {
        let words: Vec<String> = remark::words(text);
        let (numbers, said): (Vec<&String>, Vec<&String>) =
            words.iter().partition(|word| word.starts_with(|c: char| c.is_ascii_digit()));
        let takes = said.iter().any(|word| ["same", "ditto", "another"].contains(&word.as_str()));
        let only = said.iter().all(|word| AGAIN.contains(&word.as_str()) || ["pts", "points"].contains(&word.as_str()));
        let points = numbers.first().and_then(|word| digits(word.trim_end_matches(char::is_alphabetic)));
        if !takes || !only || numbers.len() > 1 || numbers.len() != points.iter().count() || self.lost.is_some() {
            return false;
        }
        let Some(last) = self.pasted.lines.last().cloned() else { return false };
        self.pasted.lines.push(super::Line { number, ..last });
        let at = self.pasted.lines.len() - 1;
        self.claims.extend(points.map(|points| Claim { line: number, of: claims::Of::Line(at), points }));
        true
    }

    /// `Size: 7`, `Extras: Swivel team`, `Points: 104`: one field of the unit before.
    pub(super) fn field(&mut self, number: u32, text: &str) -> bool {
        let Some((name, value)) = text.split_once(':') else { return false };
        let (name, value) = (name.trim().to_lowercase(), value.trim());
        let number_of = || digits(value.trim_start_matches(['x', '×']).trim_end_matches(char::is_alphabetic).trim());
        if ["unit", "name", "what"].contains(&name.as_str()) && !value.is_empty() {
            self.entry(number, value);
            return true;
        }
        let (None, Some(at)) = (self.lost, self.pasted.lines.len().checked_sub(1)) else { return false };
        let unit = &self.pack.units[self.pasted.lines[at].unit];
        match name.as_str() {
            "number" | "count" | "qty" | "quantity" | "how many" => {
                let Some(count @ 1..=1_000) = number_of() else { return false };
                let models = unit.models.1 > 1 && count >= unit.models.0 && count <= unit.models.1;
                if models && unit.counted == crate::report::counting::Counted::Models {
                    self.pasted.lines[at].models = count;
                } else {
                    self.pasted.lines[at].count = count;
                }
            }
            "size" | "models" | "strength" => {
                let Some(models @ 1..=1_000) = number_of() else { return false };
                self.pasted.lines[at].models = models;
            }
            "extras" | "options" | "option" | "upgrades" | "extra" | "upgrade" | "with" | "kit" => {
                if !["", "-", "–", "none", "nothing"].contains(&value.to_lowercase().as_str()) {
                    self.more(number, value);
                }
            }
            "points" | "pts" | "cost" | "price" => {
                let Some(points) = number_of() else { return false };
                // Below all the rest it is what the list comes to.
                let own = Claim { line: number, of: claims::Of::Line(at), points };
                let all = at > 0 && (self.cost() == u64::from(points) || self.differs(&own));
                self.claims.push(Claim { of: if all { claims::Of::All } else { own.of }, ..own });
            }
            _ => return false,
        }
        true
    }
}
