//! What may come next while a message is typed.
use super::scan::folded;
use crate::client::index::{NameKind, PackIndex, name_words};
use crate::commands::{self, Command, Kind};

/// Not more than fit a small screen.
const MOST: usize = 12;

/// The words that may stand where `at` is: where they begin, and the words.
pub fn complete(line: &str, at: usize, index: Option<&PackIndex>) -> (usize, Vec<String>) {
    let line = line.get(..at).unwrap_or(line);
    let start = line.rfind(char::is_whitespace).map_or(0, |blank| blank + 1);
    let begun = folded(&line[start..]);
    if let Some(name) = begun.strip_prefix('/').filter(|_| line[..start].trim().is_empty()) {
        let names = commands::ALL.iter().filter(|command| command.name.starts_with(name));
        return (start, names.map(|command| format!("/{} ", command.name)).collect());
    }
    if begun.is_empty() {
        return (start, Vec::new());
    }
    let command = line.trim_start().strip_prefix('/').and_then(|rest| commands::named(rest.split(' ').next()?));
    let mut words: Vec<String> = Vec::new();
    if let Some(index) = index {
        for kind in kinds(command) {
            let fits = |name: &&str| name_words(name).iter().any(|word| word.starts_with(&begun));
            words.extend(index.names(kind).into_iter().map(|(_, name)| name).filter(fits).map(str::to_owned));
        }
    }
    if let Some(command) = command {
        let phrases = command.options.iter().flat_map(|option| option.phrases()).map(|(_, phrase)| phrase);
        words.extend(phrases.filter(|phrase| phrase.starts_with(&begun)).map(str::to_owned));
    }
    words.dedup();
    words.truncate(MOST);
    (start, words)
}

/// The kinds of names that a command takes; units where no command is known.
fn kinds(command: Option<&Command>) -> Vec<NameKind> {
    let Some(command) = command else { return vec![NameKind::Unit] };
    let mut kinds = Vec::new();
    for option in command.options {
        match option.kind {
            Kind::Side => kinds.extend([NameKind::Unit, NameKind::Extra]),
            Kind::Name(kind) => kinds.push(kind),
            _ => {}
        }
    }
    kinds.dedup();
    kinds
}
