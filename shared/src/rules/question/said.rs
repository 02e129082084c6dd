//! What the words of a question say of the table: an arc, a range, a weapon …, each by the pack's own names.
use super::super::model::attack::Body;
use super::super::model::{Named, Pack};
use super::super::names::{is_slip, plain};
use super::super::search::is_idle;

/// What was said. An axis of which nothing was said has all its words.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    /// Arcs that it can be, by index.
    pub arcs: Vec<usize>,
    /// Range bands that it can be.
    pub ranges: Vec<usize>,
    /// Covers that it can be.
    pub covers: Vec<usize>,
    /// Whether the attacker moved.
    pub moved: Option<bool>,
    /// Each flag, where it was spoken of.
    pub flags: Vec<Option<bool>>,
    /// Weapons that were named, alone or by a word that several share.
    pub weapons: Vec<usize>,
    /// Units that were named.
    pub units: Vec<usize>,
    /// Kinds that were named.
    pub kinds: Vec<usize>,
    /// Rules that were named.
    pub rules: Vec<usize>,
    /// Checks that were named.
    pub checks: Vec<usize>,
    /// What was understood, in the pack's own words.
    pub understood: Vec<String>,
}

/// What a name is the name of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    Arc,
    Range,
    Cover,
    Flag,
    Rule,
    Unit,
    Weapon,
    Kind,
    Check,
}

/// One name of one thing, word by word.
struct Entry {
    sort: Sort,
    at: usize,
    words: Vec<String>,
}

/// A name that stands in the question.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Spot {
    sort: Sort,
    at: usize,
    from: usize,
    to: usize,
}

/// Words that may stand between a `not` and what it denies, or before a name.
const SMALL: &[&str] =
    &["a", "an", "any", "the", "from", "at", "in", "is", "it", "its", "behind", "being", "have", "ha"];
const NOT: &[&str] =
    &["not", "no", "without", "isnt", "arent", "hasnt", "havent", "didnt", "dont", "doesnt", "never", "wasnt"];
const MOVED: &[&str] = &["moved", "moving", "move", "movement"];
const STILL: &[&str] = &["still", "stationary", "stood", "standing"];
const BEYOND: &[&str] = &["beyond", "outside", "past"];
const SOLDIERS: &[&str] = &["soldier", "men", "infantry", "people", "troop"];
const ARMOUR: &[&str] = &["armour", "armoured", "armor", "vehicle"];

impl Said {
    /// Reads a question.
    pub fn of(pack: &Pack, text: &str) -> Self {
        let entries = entries(pack);
        let text = plain(text);
        let words: Vec<String> = text.split(' ').map(|word| mended(word, &entries)).collect();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let (spots, taken) = spots(&entries, &words);
        let mut said = Self { flags: vec![None; pack.situations.flags.len()], ..Self::default() };
        said.axes(pack, &words, &spots);
        for spot in &spots {
            let (list, named) = match spot.sort {
                Sort::Unit => (&mut said.units, &pack.units[spot.at].named),
                Sort::Weapon => (&mut said.weapons, &pack.weapons[spot.at].named),
                Sort::Kind => (&mut said.kinds, &pack.kinds[spot.at].named),
                Sort::Rule => (&mut said.rules, &pack.rules[spot.at].named),
                Sort::Check => (&mut said.checks, &pack.checks[spot.at].named),
                _ => continue,
            };
            if !list.contains(&spot.at) {
                list.push(spot.at);
                // Which rule it is about stands beside the answer anyway.
                said.understood.extend((spot.sort != Sort::Rule).then(|| named.label.clone()));
            }
        }
        said.groups(pack, &words, &taken);
        said
    }

    fn axes(&mut self, pack: &Pack, words: &[&str], spots: &[Spot]) {
        let table = &pack.situations;
        let is_not = |at: usize| NOT.contains(&before(words, at));
        let mut axis = |sort: Sort, count: usize, labels: &dyn Fn(usize) -> String| {
            let mut can: Vec<usize> = Vec::new();
            let all = 0..count;
            for spot in spots.iter().filter(|spot| spot.sort == sort) {
                // `behind the reeds` is a cover and no arc.
                let cover = |other: &Spot| {
                    other.sort == Sort::Cover
                        && words[spot.to..other.from.max(spot.to)].iter().all(|w| SMALL.contains(w))
                };
                if sort == Sort::Arc && spots.iter().any(|other| other.from >= spot.to && cover(other)) {
                    continue;
                }
                let beyond = sort == Sort::Range && BEYOND.contains(&before(words, spot.from));
                let meant = |at: usize| match (beyond, is_not(spot.from)) {
                    (true, _) => at > spot.at,
                    (false, not) => (at == spot.at) != not,
                };
                can.extend(all.clone().filter(|at| meant(*at) && !can.contains(at)).collect::<Vec<_>>());
            }
            can.sort_unstable();
            if !can.is_empty() {
                let names: Vec<String> = can.iter().map(|at| labels(*at)).collect();
                self.understood.push(names.join(" or "));
            }
            can
        };
        let (arcs, ranges, covers) = (table.arcs.len(), table.ranges.len(), table.covers.len());
        let arc = axis(Sort::Arc, arcs, &|at| table.arcs[at].named.label.clone());
        let mut range = axis(Sort::Range, ranges, &|at| table.ranges[at].word.named.label.clone());
        let cover = axis(Sort::Cover, covers, &|at| table.covers[at].named.label.clone());
        if range.is_empty() {
            range = distance(pack, words);
            let names: Vec<&str> = range.iter().map(|at| table.ranges[*at].word.named.label.as_str()).collect();
            self.understood.extend((!names.is_empty()).then(|| names.join(" or ")));
        }
        let or_all = |can: Vec<usize>, count: usize| if can.is_empty() { (0..count).collect() } else { can };
        (self.arcs, self.ranges, self.covers) = (or_all(arc, arcs), or_all(range, ranges), or_all(cover, covers));
        for spot in spots.iter().filter(|spot| spot.sort == Sort::Flag) {
            let set = !is_not(spot.from);
            self.flags[spot.at] = Some(set);
            let label = &table.flags[spot.at].label;
            self.understood.push(if set { label.clone() } else { format!("no {label}") });
        }
        let named = |at: usize| spots.iter().any(|spot| spot.sort == Sort::Rule && (spot.from..spot.to).contains(&at));
        self.moved = words.iter().enumerate().filter(|(at, _)| !named(*at)).find_map(|(at, word)| match *word {
            word if MOVED.contains(&word) => Some(!is_not(at)),
            // `is it still` asks something else.
            word if STILL.contains(&word) && (word != "still" || before(words, at) == "stood") => Some(false),
            _ => None,
        });
        self.understood.extend(self.moved.map(|moved| if moved { "moved" } else { "not moved" }.to_owned()));
    }

    /// A word that several names share stands for all of them: `guns`.
    fn groups(&mut self, pack: &Pack, words: &[&str], taken: &[bool]) {
        let free = words.iter().zip(taken).filter(|(word, taken)| !**taken && word.len() > 2);
        for (word, _) in free {
            let of = |named: &Named| {
                std::iter::once(&named.label).chain(&named.also).any(|name| plain(name).split(' ').any(|w| w == *word))
            };
            let weapons = (0..pack.weapons.len()).filter(|at| of(&pack.weapons[*at].named));
            let weapons: Vec<usize> = weapons.filter(|at| !self.weapons.contains(at)).collect();
            let kind = |at: &usize| {
                let kind = &pack.kinds[*at];
                match &kind.body {
                    _ if of(&kind.named) => true,
                    Body::Soldiers { .. } => SOLDIERS.contains(word),
                    Body::Armoured { .. } => ARMOUR.contains(word),
                }
            };
            let kinds: Vec<usize> = (0..pack.kinds.len()).filter(kind).filter(|at| !self.kinds.contains(at)).collect();
            if !weapons.is_empty() || !kinds.is_empty() {
                self.understood.push((*word).to_owned());
            }
            self.weapons.extend(weapons);
            self.kinds.extend(kinds);
        }
    }
}

/// The word before, over small ones.
fn before<'a>(words: &[&'a str], at: usize) -> &'a str {
    words[..at].iter().rev().find(|word| !SMALL.contains(word)).copied().unwrap_or_default()
}

/// `at 20 inches`; and `at range`, which is any but the nearest band.
fn distance(pack: &Pack, words: &[&str]) -> Vec<usize> {
    let table = &pack.situations;
    for (at, word) in words.iter().enumerate() {
        let next = words.get(at + 1).copied().unwrap_or_default();
        if let (Ok(distance), "inch" | "in" | "away") = (word.parse::<u32>(), next) {
            return vec![table.band(distance)];
        }
        let far = matches!(*word, "range" | "distance") && at > 0 && matches!(words[at - 1], "at" | "a" | "from");
        if far && table.ranges.len() > 1 {
            return (1..table.ranges.len()).collect();
        }
    }
    Vec::new()
}

fn entries(pack: &Pack) -> Vec<Entry> {
    let table = &pack.situations;
    let mut entries: Vec<Entry> = Vec::new();
    let mut add = |sort: Sort, at: usize, named: &Named| {
        for name in [&named.label, &named.id].into_iter().chain(&named.also) {
            let words: Vec<String> = plain(name).split(' ').map(str::to_owned).collect();
            if words.iter().all(|word| !word.is_empty()) {
                entries.push(Entry { sort, at, words });
            }
        }
    };
    table.arcs.iter().enumerate().for_each(|(at, word)| add(Sort::Arc, at, &word.named));
    table.ranges.iter().enumerate().for_each(|(at, band)| add(Sort::Range, at, &band.word.named));
    table.covers.iter().enumerate().for_each(|(at, word)| add(Sort::Cover, at, &word.named));
    table.flags.iter().enumerate().for_each(|(at, flag)| add(Sort::Flag, at, flag));
    pack.rules.iter().enumerate().for_each(|(at, rule)| add(Sort::Rule, at, &rule.named));
    pack.units.iter().enumerate().for_each(|(at, unit)| add(Sort::Unit, at, &unit.named));
    pack.weapons.iter().enumerate().for_each(|(at, weapon)| add(Sort::Weapon, at, &weapon.named));
    pack.kinds.iter().enumerate().for_each(|(at, kind)| add(Sort::Kind, at, &kind.named));
    pack.checks.iter().enumerate().for_each(|(at, check)| add(Sort::Check, at, &check.named));
    entries
}

/// The word, or the one of a name that it was meant to be.
fn mended(word: &str, entries: &[Entry]) -> String {
    let known = || entries.iter().flat_map(|entry| &entry.words);
    if word.len() < 5 || is_idle(word) || known().any(|other| other == word) {
        return word.to_owned();
    }
    let mut close: Vec<&String> = known().filter(|other| other.len() > 3 && is_slip(other, word)).collect();
    close.sort_unstable();
    close.dedup();
    if let [one] = close.as_slice() { (*one).clone() } else { word.to_owned() }
}

/// The names in the words, the longest first and none upon another; and which words they take.
fn spots(entries: &[Entry], words: &[&str]) -> (Vec<Spot>, Vec<bool>) {
    let mut spots: Vec<Spot> = Vec::new();
    for from in 0..words.len() {
        for entry in entries {
            let to = from + entry.words.len();
            if words.get(from..to).is_some_and(|here| here.iter().zip(&entry.words).all(|(word, other)| word == other))
            {
                let spot = Spot { sort: entry.sort, at: entry.at, from, to };
                if !spots.contains(&spot) {
                    spots.push(spot);
                }
            }
        }
    }
    spots.sort_by_key(|spot| std::cmp::Reverse(spot.to - spot.from));
    let mut taken = vec![false; words.len()];
    let mut kept: Vec<Spot> = Vec::new();
    for spot in spots {
        // One word may be the name of several things.
        let same = kept.iter().any(|other| (other.from, other.to) == (spot.from, spot.to));
        if same || taken[spot.from..spot.to].iter().all(|taken| !taken) {
            taken[spot.from..spot.to].fill(true);
            kept.push(spot);
        }
    }
    kept.sort_by_key(|spot| spot.from);
    (kept, taken)
}
