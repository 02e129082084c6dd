//! Which command stands behind a slash, and how well a message fits one.
use super::{Read, Tokens, spelling::closeness};
use crate::client::index::NameKind;
use crate::commands::{self, Command, Kind, Opt};

fn lacking(command: &Command, read: &Read) -> usize {
    let options = || command.options.iter().chain(read.about.iter().flat_map(|about| about.options));
    // A check that the pack names says by itself what it needs.
    let is_check = |option: &Opt| option.kind == Kind::Name(NameKind::Check);
    let named = options().any(|option| is_check(option) && read.has(option.name));
    let asked = options().filter(|option| !(named && option.kind == Kind::Needs));
    let given = |option: &&Opt| read.has(option.name) || matches!(option.kind, Kind::About(_));
    asked.filter(|option| option.required.is_some() && !given(option)).count()
}

/// How badly a message fits; the less the better.
pub(super) fn misfit(said: &Tokens, command: &Command, read: &Read) -> i64 {
    let words = said.tokens.iter().filter_map(super::Token::word);
    let chosen = words.filter(|word| read.about.is_some_and(|about| about.words.contains(word))).count();
    -score(said, command, read) - i64::try_from(chosen.min(2)).unwrap_or_default()
}

/// What stands behind a slash.
#[derive(Debug)]
pub enum Slash<'a> {
    /// No slash: the words choose.
    None,
    /// A command, the text behind it, and whether its name was misspelt.
    Command(&'static Command, &'a str, bool),
    /// No command: the name, and the closest that there are.
    Unknown(&'a str, Vec<&'static str>),
}

/// Parts the command from the rest of a message.
pub fn slash(text: &str) -> Slash<'_> {
    let text = text.trim_start();
    // `versus: two barges v ten rifles`: words that are nothing but the names of commands.
    let first = text.split(|c: char| !c.is_alphanumeric()).next().unwrap_or_default();
    let spoken = [commands::assign::ASSIGN.name, commands::versus::VERSUS.name];
    let spoken = spoken.iter().any(|name| first.eq_ignore_ascii_case(name)).then_some(text);
    let Some(rest) = text.strip_prefix('/').or(spoken) else { return Slash::None };
    let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(rest.len());
    let (name, rest) = rest.split_at(end);
    let folded = super::scan::folded(name);
    if let Some(command) = commands::named(&folded) {
        // Two whole lists below `/compare` are compared as lists.
        let lists = command.name == commands::compare::COMPARE.name && rest.trim_start_matches(' ').starts_with('\n');
        let lists = lists && commands::versus::two_lists(rest).is_some();
        let command = if lists { &commands::versus::VERSUS } else { command };
        let rest = rest.strip_prefix(':').filter(|_| spoken.is_some()).unwrap_or(rest);
        return Slash::Command(command, rest, false);
    }
    let mut close: Vec<(usize, &'static Command)> = Vec::new();
    for command in commands::ALL {
        let begins = folded.len() >= 2 && command.name.starts_with(&folded);
        let slip = strsim::osa_distance(&folded, command.name) == 1 && folded.len() > 2;
        let distance = if begins { Some(0) } else { closeness(&folded, command.name).or(slip.then_some(1)) };
        close.extend(distance.map(|distance| (distance, *command)));
    }
    close.sort_by_key(|(distance, _)| *distance);
    match close.as_slice() {
        [(_, command)] => Slash::Command(command, rest, true),
        [(first, command), (second, _), ..] if first < second => Slash::Command(command, rest, true),
        several => Slash::Unknown(name, several.iter().map(|(_, command)| command.name).collect()),
    }
}

/// How well a command fits: what it understands speaks for it, what it does not against it.
fn score(said: &Tokens, command: &Command, read: &Read) -> i64 {
    let words: Vec<&str> = said.tokens.iter().map(|token| token.word().unwrap_or_default()).collect();
    let single = words.iter().filter(|word| command.words.contains(word)).count();
    let pairs = words.windows(2).filter(|pair| command.words.contains(&pair.join(" ").as_str())).count();
    let chosen = (single + pairs).min(2);
    let whole = |number: usize| i64::try_from(number).unwrap_or(i64::MAX / 100);
    let free = read.args.iter().filter(|arg| matches!(arg.value, super::Value::Text(_))).count();
    3 * whole(chosen) + 2 * whole(read.args.len() - free)
        - 2 * whole(read.unread.len())
        - 2 * whole(lacking(command, read))
        - whole(read.guessed)
}
