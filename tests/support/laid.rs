//! Small changes laid over the pack that people begin with, and what should be said of each: read from a table of text.
use pipwright_shared::{packs, rules::fault::Source};

/// One change.
pub struct Case {
    /// What it is, in words.
    pub title: String,
    /// The files with the change in them.
    pub files: Vec<Source>,
    /// The file that was changed.
    pub file: String,
    /// Line and column of the first word at fault, from 1.
    pub place: (u32, u32),
    /// The words at fault.
    pub words: String,
    /// What is said.
    pub says: String,
    /// Part of what would mend it; may be empty.
    pub mend: String,
    /// Further mistakes that follow from it.
    pub more: usize,
    /// Whether it is beyond a schema.
    pub beyond: bool,
}

/// All cases of a table; what its first block says is for people.
pub fn cases(table: &str) -> Vec<Case> {
    table.trim_end().split("\n\n").skip(1).map(case).collect()
}

fn case(block: &str) -> Case {
    let mut lines = block.lines();
    let mut next = || lines.next().expect("a title and a file").to_owned();
    let (title, file) = (next(), next());
    let sound = packs::starter("our-club");
    let mut text = sound.iter().find(|source| source.name == file).expect("a file of the pack").text.clone();
    let (mut was, mut says, mut mend, mut more, mut beyond) = (String::new(), String::new(), String::new(), 0, false);
    for line in lines {
        let (tag, rest) = line.split_once(' ').unwrap_or((line, ""));
        let rest = rest.replace("\\n", "\n");
        match tag {
            "-" => was = rest,
            "+" => {
                assert!(text.contains(&was), "{title}: {was:?} is not in {file}");
                text = text.replacen(&was, &rest, 1);
            }
            "says" => says = rest,
            "mend" => mend = rest,
            "more" => more = rest.parse().expect("a number"),
            "beyond" => beyond = true,
            _ => panic!("{title}: {line:?} is none of -, +, says, mend, more and beyond"),
        }
    }
    let (before, rest) = text.split_once('«').unwrap_or_else(|| panic!("{title}: no words at fault"));
    let (words, after) = rest.split_once('»').unwrap_or_else(|| panic!("{title}: no end of the words at fault"));
    let line = before.matches('\n').count() as u32 + 1;
    let column = before.rsplit('\n').next().map_or(0, |line| line.chars().count()) as u32 + 1;
    let changed = format!("{before}{words}{after}");
    let laid = |source: &Source| if source.name == file { Source::new(&*file, &*changed) } else { source.clone() };
    let files = sound.iter().map(laid).collect();
    Case { title, files, place: (line, column), words: words.to_owned(), file, says, mend, more, beyond }
}
