//! The prompt: line editing, history of this session, completion.
use super::{Chat, width};
use crate::client::Api;
use crate::client::index::PackIndex;
use crate::typing::complete::complete;
use rustyline::completion::{Completer, Pair};
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::history::DefaultHistory;
use rustyline::validate::{ValidationContext, ValidationResult, Validator};
use rustyline::{Config, Context, Editor, Helper};
use std::io::{self, Write};
use std::sync::{Arc, Mutex, PoisonError};
use tokio::runtime::Handle;

/// Runs the prompt until the person leaves it.
///
/// # Errors
/// Where the terminal can't be read or written.
pub fn run(runtime: &Handle, api: &Api, pack: Option<String>) -> io::Result<()> {
    let names = Arc::new(Mutex::new(runtime.block_on(api.index(pack.as_deref())).ok()));
    let config = Config::builder().auto_add_history(true).build();
    let mut editor: Editor<Assistant, DefaultHistory> = Editor::with_config(config).map_err(io::Error::other)?;
    editor.set_helper(Some(Assistant { names: Arc::clone(&names) }));
    let mut chat = Chat::new(pack);
    let mut out = io::stdout();
    writeln!(out, "Ask in plain words, or /help. Ctrl-D leaves.")?;
    loop {
        match editor.readline("pipwright> ") {
            Ok(line) if matches!(line.trim(), "quit" | "exit" | "/quit" | "/exit") => return Ok(()),
            Ok(line) if line.trim().is_empty() => {}
            Ok(line) => {
                let drawn = runtime.block_on(chat.line(api, &line, width()));
                out.write_all(drawn.as_bytes())?;
                out.flush()?;
                let index = runtime.block_on(api.index(chat.pack.as_deref())).ok();
                *names.lock().unwrap_or_else(PoisonError::into_inner) = index;
            }
            Err(ReadlineError::Eof) => return Ok(()),
            Err(ReadlineError::Interrupted) => writeln!(out, "Ctrl-D leaves.")?,
            Err(error) => return Err(io::Error::other(error)),
        }
    }
}

/// What helps while a line is typed.
struct Assistant {
    names: Arc<Mutex<Option<Arc<PackIndex>>>>,
}

impl Helper for Assistant {}
impl Highlighter for Assistant {}
impl Hinter for Assistant {
    type Hint = String;
}

impl Validator for Assistant {
    /// A list of many lines ends with an empty one.
    fn validate(&self, context: &mut ValidationContext<'_>) -> rustyline::Result<ValidationResult> {
        let text = context.input();
        let begins_list = text.trim_start().starts_with("/points");
        let alone = begins_list && text.split_whitespace().nth(1).is_none_or(|word| word.parse::<u64>().is_ok());
        let open = (alone && !text.contains('\n') && text.split_whitespace().count() <= 2)
            || (begins_list && text.contains('\n') && !text.ends_with('\n'));
        Ok(if open { ValidationResult::Incomplete } else { ValidationResult::Valid(None) })
    }
}

impl Completer for Assistant {
    type Candidate = Pair;

    fn complete(&self, line: &str, at: usize, _: &Context<'_>) -> rustyline::Result<(usize, Vec<Pair>)> {
        let names = self.names.lock().unwrap_or_else(PoisonError::into_inner).clone();
        let (start, words) = complete(line, at, names.as_deref());
        let pairs = words.into_iter().map(|word| Pair { display: word.clone(), replacement: word }).collect();
        Ok((start, pairs))
    }
}
