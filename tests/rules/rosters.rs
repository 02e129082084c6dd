//! Rosters in the manner of different people (the files of `rosters`), each held against what a reader wrote down beside it.
use pipwright_shared::points::List;
use pipwright_shared::points::text::{Pasted, read};
use pipwright_shared::points::{Line, total};
use pipwright_shared::rules::PackCatalog;
use pipwright_shared::rules::model::Pack;

/// Seven times sixty and fifty-four, by different authors who had seen the unit books and not the program: how many there
/// are, and how many are read to the point today, and no fewer; each of the others says which line it does not read.
const ROSTERS: [(&str, usize, usize); 8] = [
    (include_str!("rosters/first.txt"), 60, 59),
    (include_str!("rosters/second.txt"), 60, 59),
    (include_str!("rosters/third.txt"), 60, 55),
    (include_str!("rosters/fourth.txt"), 60, 54),
    (include_str!("rosters/fifth.txt"), 60, 60),
    (include_str!("rosters/sixth.txt"), 60, 53),
    (include_str!("rosters/seventh.txt"), 60, 59),
    (include_str!("rosters/eighth.txt"), 54, 52),
];

struct Roster {
    pack: String,
    text: String,
    /// What it says.
    says: Vec<String>,
}

fn rosters(text: &str) -> Vec<Roster> {
    let mut all: Vec<Roster> = Vec::new();
    for line in text.lines().skip_while(|line| !line.starts_with("=== ")) {
        if let Some(pack) = line.strip_prefix("=== ") {
            all.push(Roster { pack: pack.to_owned(), text: String::new(), says: Vec::new() });
        } else if let Some(says) = line.strip_prefix("-> ") {
            let last = all.last_mut().expect("a roster");
            last.says = says.split("; ").map(str::to_owned).collect();
        } else {
            let last = all.last_mut().expect("a roster");
            last.text.push_str(&format!("{line}\n"));
        }
    }
    all
}

fn said(pack: &Pack, pasted: &Pasted) -> Vec<String> {
    let line = |line: &Line| {
        let unit = &pack.units[line.unit];
        let options = line.options.iter().map(|(at, times)| {
            let id = &unit.options[*at].named.id;
            if *times == 1 { format!(" + {id}") } else { format!(" + {id}*{times}") }
        });
        format!("{}*{} {}{}", line.count, line.models, unit.named.id, options.collect::<String>())
    };
    pasted.limit.map(|limit| format!("limit {limit}")).into_iter().chain(pasted.lines.iter().map(line)).collect()
}

/// Units with their options in the order of the alphabet: in which order options are written says nothing.
fn sorted(says: &[String]) -> Vec<String> {
    let one = |one: &String| {
        let mut parts: Vec<&str> = one.split(" + ").collect();
        parts[1..].sort_unstable();
        parts.join(" + ")
    };
    says.iter().map(one).collect()
}

#[test]
fn most_of_sixty_rosters_are_read_to_the_point() {
    let books = PackCatalog::demo();
    for (text, count, least) in ROSTERS {
        let all = rosters(text);
        assert_eq!(all.len(), count);
        let mut not = Vec::new();
        for roster in &all {
            let pack = books.pack(Some(&roster.pack)).expect("a pack");
            let pasted = read(&pack, &roster.text);
            let said = sorted(&said(&pack, &pasted));
            let says = sorted(&roster.says);
            if said == says && pasted.problems.is_empty() {
                continue;
            }
            // A unit that is not read to the point is said, and where.
            let units =
                |says: &[String]| says.iter().filter(|one| !one.starts_with("limit")).cloned().collect::<Vec<_>>();
            let told = pasted.problems.iter().any(|problem| problem.line.is_some());
            assert!(told || units(&said) == units(&says), "{}\n{said:?}", roster.text);
            let problems: Vec<String> =
                pasted.problems.iter().map(|one| format!("line {:?}: {}", one.line, one.text)).collect();
            not.push(format!("{}read {said:?}\nnot  {:?}\n{}", roster.text, roster.says, problems.join("\n")));
        }
        println!("{} of {} are read; the others:\n{}", all.len() - not.len(), all.len(), not.join("\n"));
        assert!(all.len() - not.len() >= least, "{} of {} are read", all.len() - not.len(), all.len());
    }
}

/// What a roster comes to does not change when it is written out and read again.
#[test]
fn a_roster_written_out_is_read_the_same() {
    let books = PackCatalog::demo();
    for roster in ROSTERS.iter().flat_map(|(text, ..)| rosters(text)) {
        let pack = books.pack(Some(&roster.pack)).expect("a pack");
        let first = read(&pack, &roster.text);
        let written: Vec<String> =
            first.lines.iter().map(|line| pipwright_shared::points::text::written(&pack, line)).collect();
        let again = read(&pack, &written.join("\n"));
        assert_eq!(again.problems, [], "{written:?}");
        let cost = |lines: &[Line]| total(&pack, &List { limit: 0, lines: lines.to_vec() });
        assert_eq!(cost(&again.lines), cost(&first.lines), "{written:?}");
        let plain = |lines: &[Line]| {
            lines.iter().map(|line| (line.count, line.models, line.unit, line.options.clone())).collect::<Vec<_>>()
        };
        assert_eq!(plain(&again.lines), plain(&first.lines), "{written:?}");
    }
}

/// A unit that the book does not have is never dropped, nor taken for another: in each roster one line that is read as one
/// unit has its name changed to one that nobody bears. Where the rest of the line still names the unit (its role, the name
/// that the author gave it), it may be read as before.
#[test]
fn a_stranger_among_the_units_is_said() {
    let books = PackCatalog::demo();
    let mut tried = 0;
    for roster in ROSTERS.iter().flat_map(|(text, ..)| rosters(text)) {
        let pack = books.pack(Some(&roster.pack)).expect("a pack");
        let lines: Vec<&str> = roster.text.lines().collect();
        for (at, line) in lines.iter().enumerate() {
            let low = line.to_lowercase();
            let names = pack.units.iter().flat_map(|unit| [unit.named.label.to_lowercase()]);
            let mut held: Vec<String> = names.filter(|name| !name.is_empty() && low.contains(name.as_str())).collect();
            held.sort_by_key(|name| std::cmp::Reverse(name.len()));
            let Some(name) = held.first() else { continue };
            let changed = low.replacen(name.as_str(), "brass pelicans", 1);
            let mut all: Vec<&str> = lines.clone();
            all[at] = &changed;
            let pasted = read(&pack, &all.join("\n"));
            let number = u32::try_from(at + 1).expect("few lines");
            let said = pasted.problems.iter().any(|problem| problem.line.is_some_and(|line| line >= number));
            let of_line = |pasted: &Pasted| -> Vec<usize> {
                pasted.lines.iter().filter(|line| line.number == number).map(|line| line.unit).collect()
            };
            let (was, is) = (of_line(&read(&pack, &roster.text)), of_line(&pasted));
            // A title or a remark that names a unit is no unit.
            if was.is_empty() {
                continue;
            }
            let stays = was.iter().all(|unit| is.contains(unit));
            assert!(said || stays, "{changed}\nin\n{}\n{pasted:?}", roster.text);
            tried += usize::from(!stays);
        }
    }
    assert!(tried > 400, "{tried} lines");
}

/// A word about the limit ends no list: a unit that nobody has is said, below it and with the limit for its price.
#[test]
fn a_stranger_below_a_word_about_the_limit_is_said() {
    let pack = PackCatalog::demo().pack(Some("canal-guild")).expect("the pack");
    let units = "550 points\nWharf Captain 70\n10 Dyke Hands 60\nRam Barge 65\n";
    for (rest, line) in
        [("stays under the 550\nbrass pelicans 140", 6), ("brass pelicans 550", 5), ("195\nbrass pelicans (140)", 6)]
    {
        let pasted = read(&pack, &format!("{units}{rest}"));
        let said = pasted.problems.iter().any(|problem| problem.line == Some(line));
        assert!(said && pasted.lines.len() == 3, "{rest}: {pasted:?}");
    }
    let kept = read(&pack, &format!("{units}stays under the 550"));
    assert!(kept.problems.is_empty() && kept.limit == Some(550), "{kept:?}");
}
