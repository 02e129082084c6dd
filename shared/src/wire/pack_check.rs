//! `packs/check`: what is wrong in the files of a pack, each mistake with its line and column.
use super::bytes;
use super::mistake::{Mistake, Mistakes, pointer};
use super::packs::PackHead;
use super::question::{Question, Ready};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::Books;
use crate::rules::check::{self, Checked};
use crate::rules::fault::{Fault, Source, Weight};
use serde::{Deserialize, Serialize};
use serde_json::json;
use utoipa::ToSchema;

/// The most files of one pack.
const MOST: usize = 20;

/// Files that make a pack together, or unit books for a pack that is there.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PackCheckRequest {
    /// The files.
    #[schema(min_items = 1, max_items = 20)]
    pub files: Vec<PackFile>,
}

/// A file.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PackFile {
    /// What it is called in the mistakes.
    #[serde(default = "file")]
    pub name: String,
    /// All of it.
    pub text: String,
}

fn file() -> String {
    "file".to_owned()
}

/// What was found.
#[derive(Clone, Debug, Default, PartialEq, Serialize, ToSchema)]
pub struct PackCheckAnswer {
    /// Whether the files can be used.
    pub good: bool,
    /// The pack that they make, where they can.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub pack: Option<PackHead>,
    /// Everything that is wrong, in the order of its place; where the files can be used, all warnings.
    pub faults: Vec<FaultForm>,
}

/// One thing that is wrong.
#[derive(Clone, Debug, Default, PartialEq, Serialize, ToSchema)]
pub struct FaultForm {
    /// The file.
    pub file: String,
    /// The line, from 1.
    pub line: u32,
    /// The character in that line, from 1.
    pub column: u32,
    /// Whether the file can be used all the same.
    pub warning: bool,
    /// The words at fault.
    pub words: String,
    /// What is wrong.
    pub message: String,
    /// What would mend it, where that is known.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub suggestion: Option<String>,
}

/// Files to be checked against the packs that there are.
pub struct PackCheckReady {
    files: Vec<PackFile>,
    books: Books,
}

impl Question for PackCheckRequest {
    const PATH: &'static str = "packs/check";
    type Ready = PackCheckReady;

    fn settle(self, books: &Books) -> Result<PackCheckReady, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        if !(1..=MOST).contains(&self.files.len()) {
            mistakes.push(Mistake::value("/files", format!("1 to {MOST} files")));
        }
        for (index, file) in self.files.iter().enumerate() {
            if file.name.chars().count() > 100 {
                let at = pointer(pointer("/files", index), "name");
                mistakes.push(Mistake::value(at, "a name has up to 100 letters"));
            }
        }
        mistakes.or(Some(PackCheckReady { files: self.files, books: books.clone() }))
    }
}

impl Ready for PackCheckReady {
    type Answer = PackCheckAnswer;

    fn canonical(&self) -> impl Serialize {
        let hashes: Vec<_> = self.books.packs().iter().map(|pack| pack.hash.as_str()).collect();
        json!({ "files": self.files, "packs": hashes })
    }

    fn price(&self) -> Work {
        // Reading a character takes about as long as so many multiplications, where nearly each line is a mistake.
        self.files.iter().map(|file| Work::from(file.text.len()) * 400).sum()
    }

    fn bytes(&self) -> Work {
        // Each mistake is a few lines, and no more of them are told than a reader mends at once.
        bytes::few(Work::from(crate::rules::fault::MOST) * 5_500)
    }

    fn answer(&self, token: &CancellationToken) -> Result<PackCheckAnswer, Cancelled> {
        let files = self.files.iter().map(|file| Source::new(file.name.as_str(), file.text.as_str()));
        let checked = check::check(&self.books, files.collect(), token);
        token.check()?;
        Ok(checked.into())
    }
}

impl From<Checked> for PackCheckAnswer {
    fn from(checked: Checked) -> Self {
        let pack = checked.pack.as_deref().map(PackHead::of);
        Self { good: pack.is_some(), pack, faults: checked.faults.into_iter().map(FaultForm::from).collect() }
    }
}

impl From<Fault> for FaultForm {
    fn from(fault: Fault) -> Self {
        Self {
            file: fault.file,
            line: fault.line,
            column: fault.column,
            warning: fault.weight == Weight::Warning,
            words: fault.words,
            message: fault.message,
            suggestion: fault.suggestion,
        }
    }
}
