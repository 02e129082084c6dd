//! Arcs, range bands, covers and flags.
use super::super::model::situation::{Band, Border, Hand, Sector, Situations, Word};
use super::super::model::stat::Stats;
use super::ids::{Section, named};
use super::stat::read_profile;

/// Words that a situation uses itself, so that a flag can't.
const TAKEN: [&str; 16] = [
    "arc",
    "range",
    "cover",
    "moved",
    "template",
    "weapon",
    "attacker",
    "target",
    "near-attacker",
    "near-target",
    "status",
    "sum",
    "any",
    "all",
    "not",
    "distance",
];

/// First the words alone: stats that differ by them need to know them.
pub(super) fn read_words(
    arcs: &Section<'_>,
    ranges: &Section<'_>,
    covers: &Section<'_>,
    flags: &Section<'_>,
) -> Situations {
    let word = |fields| Word { named: named(fields), profile: Vec::new() };
    let mut words = Situations {
        arcs: arcs.tables.iter().map(word).collect(),
        sectors: sectors(arcs),
        ranges: Vec::new(),
        covers: covers.tables.iter().map(word).collect(),
        flags: flags.tables.iter().map(named).collect(),
        flags_said: Vec::new(),
        usual: (usual(arcs), usual(ranges), usual(covers)),
    };
    let mut before = 0;
    for (at, fields) in ranges.tables.iter().enumerate() {
        let to = fields.get("to").and_then(|node| {
            let to = node.count(0..=10_000)?;
            if at > 0 && to <= before {
                node.wrong("range bands go outwards: each ends farther away than the one before");
            }
            before = to;
            Some(to)
        });
        if to.is_none() && at + 1 < ranges.tables.len() {
            fields.wrong("only the last range band may have no end: say where this one ends (to = …)");
        }
        let said = fields.get("at").and_then(|node| {
            let said = node.text()?;
            if said.trim().is_empty() || said.chars().count() > 64 {
                node.wrong("this takes 1 to 64 characters, such as \"in contact\"");
            }
            Some(said.to_owned())
        });
        words.ranges.push(Band { word: word(fields), to, at: said });
    }
    for fields in &flags.tables {
        if let Some(node) = fields.get("id").filter(|node| node.as_text().is_some_and(|id| TAKEN.contains(&id))) {
            node.wrong("this word has a meaning of its own in a situation: choose another");
        }
        let phrase = |key: &'static str| {
            fields.get(key).and_then(|node| {
                let said = node.text()?;
                if said.trim().is_empty() || said.chars().count() > 64 {
                    node.wrong("this takes 1 to 64 characters, such as \"there is mist\"");
                }
                Some(said.to_owned())
            })
        };
        let said = match (phrase("so"), phrase("not")) {
            (Some(so), Some(not)) => Some((so, not)),
            (None, None) => None,
            (Some(_), None) => {
                fields.wrong("a flag that says `so` also says how a sentence denies it: not = \"there is no mist\"");
                None
            }
            (None, Some(_)) => {
                fields.wrong("a flag that says `not` also says how a sentence affirms it: so = \"there is mist\"");
                None
            }
        };
        words.flags_said.push(said);
        fields.finish();
    }
    // A pack without arcs, bands or covers plays on one of each.
    let plain = |id: &str| Word {
        named: super::super::model::Named { id: id.to_owned(), label: id.to_owned(), ..Default::default() },
        profile: Vec::new(),
    };
    if words.arcs.is_empty() {
        words.arcs.push(plain("front"));
        words.sectors.push(Sector::default());
    }
    if words.ranges.is_empty() {
        words.ranges.push(Band { word: plain("any"), to: None, at: None });
    }
    if words.covers.is_empty() {
        words.covers.push(plain("none"));
    }
    words
}

/// Where arcs lie around a hull: none of them says, or all but the last say where they end.
fn sectors(arcs: &Section<'_>) -> Vec<Sector> {
    let mut found: Vec<Sector> = Vec::new();
    for fields in &arcs.tables {
        let to = fields.get("to").and_then(|node| {
            if node.as_number().is_some() {
                return node.count(1..=180).map(Border::Degrees);
            }
            let corner = node.word_of(&["front-corner", "rear-corner"])?;
            Some(if corner == 0 { Border::FrontCorner } else { Border::RearCorner })
        });
        let hand = fields.get("hand").and_then(|node| node.word_of(&["left", "right"]));
        let hand = hand.map(|hand| if hand == 0 { Hand::Left } else { Hand::Right });
        if let (Some(Border::Degrees(to)), Some(Border::Degrees(before))) = (
            to,
            found
                .iter()
                .rev()
                .find(|other| hand.is_none() || other.hand.is_none() || other.hand == hand)
                .and_then(|other| other.to),
        ) && to <= before
        {
            fields.wrong("arcs go from front to rear: each ends farther round than the one before on its hand");
        }
        found.push(Sector { to, hand });
    }
    let stated = found.iter().any(|sector| sector.to.is_some() || sector.hand.is_some());
    if stated {
        let open =
            arcs.tables.iter().zip(&found).take(found.len().saturating_sub(1)).find(|(_, sector)| sector.to.is_none());
        if let Some((fields, _)) = open {
            fields.wrong("only the last arc may have no end: say where this one ends (to = …)");
        }
        if let (Some(fields), Some(last)) = (arcs.tables.last(), found.last())
            && (last.to.is_some_and(|to| to != Border::Degrees(180)) || last.hand.is_some())
        {
            fields.wrong("the last arc closes the ring: it has no `to` and no `hand`");
        }
    }
    found
}

/// The word that stands where nobody says: the one marked so, or the first.
fn usual(section: &Section<'_>) -> usize {
    let mut found = None;
    for (at, fields) in section.tables.iter().enumerate() {
        if fields.truth("usual") == Some(true) && found.replace(at).is_some() {
            fields.wrong("only one of them can be the usual one");
        }
    }
    found.unwrap_or_default()
}

/// Then the numbers of the words.
pub(super) fn read_numbers(
    arcs: &Section<'_>,
    ranges: &Section<'_>,
    covers: &Section<'_>,
    stats: &Stats,
    words: &mut Situations,
) {
    let empty = Situations::default();
    for (fields, word) in arcs.tables.iter().zip(&mut words.arcs) {
        word.profile = read_profile(fields, &stats.arc, &empty, None);
        fields.finish();
    }
    for (fields, band) in ranges.tables.iter().zip(&mut words.ranges) {
        band.word.profile = read_profile(fields, &stats.range, &empty, None);
        fields.finish();
    }
    for (fields, word) in covers.tables.iter().zip(&mut words.covers) {
        word.profile = read_profile(fields, &stats.cover, &empty, None);
        fields.finish();
    }
}
