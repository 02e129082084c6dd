//! `packs/check`: what is wrong in the files of a pack, each mistake with its line and column.
use super::bytes;
use super::mistake::{Mistake, Mistakes, pointer};
use super::packs::PackHead;
use super::question::{PreparedQuery, Question};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::Work;
use crate::rules::PackCatalog;
use crate::rules::check::{self, Checked};
use crate::rules::fault::{Fault, Source, Weight};
use crate::rules::files;
use crate::rules::model::Pack;
use crate::rules::sheets::{FileKind, kind_of};
use base64::prelude::{BASE64_STANDARD as STANDARD, Engine as _};
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
    /// All of it. A name that ends with `.csv` makes it a sheet of a unit book.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub text: String,
    /// In place of the text, the bytes of a spreadsheet, in Base64 (RFC 4648, section 4); its name ends with `.xlsx` or `.ods`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schema(content_encoding = "base64")]
    pub base64: Option<String>,
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
    /// In a spreadsheet, the cell, such as `Weapons!D7`; line and column are its row and column.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(nullable = false)]
    pub cell: Option<String>,
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
pub struct PreparedPackCheck {
    files: Vec<PackFile>,
    catalog: PackCatalog,
}

impl Question for PackCheckRequest {
    const PATH: &'static str = "packs/check";
    type Prepared = PreparedPackCheck;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedPackCheck, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        check_files(&self.files, &mut mistakes);
        check_kinds(&self.files, &mut mistakes);
        mistakes.or(Some(PreparedPackCheck { files: self.files, catalog: catalog.clone() }))
    }
}

/// How many files there are, and what they are called.
fn check_files(files: &[PackFile], mistakes: &mut Mistakes) {
    if !(1..=MOST).contains(&files.len()) {
        mistakes.push(Mistake::value("/files", format!("1 to {MOST} files")));
    }
    for (index, file) in files.iter().enumerate() {
        if file.name.chars().count() > 100 {
            let at = pointer(pointer("/files", index), "name");
            mistakes.push(Mistake::value(at, "a name has up to 100 letters"));
        }
    }
}

/// Which files are spreadsheets, and that each is sent as what it is.
fn check_kinds(files: &[PackFile], mistakes: &mut Mistakes) {
    for (index, file) in files.iter().enumerate() {
        let at = pointer("/files", index);
        match (&file.base64, kind_of(&file.name)) {
            (Some(_), _) if !file.text.is_empty() => {
                mistakes.push(Mistake::value(pointer(&at, "base64"), "give text or base64, not both"));
            }
            (Some(_), None) => {
                let detail = "base64 is for spreadsheets: let the name end with .xlsx or .ods, or send text";
                mistakes.push(Mistake::value(pointer(&at, "name"), detail));
            }
            (None, Some(kind)) if kind != FileKind::Csv => {
                mistakes.push(Mistake::value(pointer(&at, "text"), "a spreadsheet of this kind is sent as base64"));
            }
            _ => {}
        }
    }
}

/// The work of reading the files: a spreadsheet unpacks to more than it has.
pub(super) fn work(files: &[PackFile]) -> Work {
    let unpacked =
        |file: &PackFile| file.base64.as_ref().map_or(Work::NONE, |bytes| Work::from(bytes.len()) * 600 + 10_000_000);
    // Reading a character takes about as long as so many multiplications, where nearly each line is a mistake.
    files.iter().map(|file| Work::from(file.text.len()) * 400 + unpacked(file)).sum()
}

/// The files as they are read; spreadsheets among them become a unit book, of `base` where they are for a pack that is there.
///
/// # Errors
/// Every mistake of spreadsheets.
pub(super) fn sources(
    files: &[PackFile],
    catalog: &PackCatalog,
    base: Option<&Pack>,
    mistakes: &mut Mistakes,
) -> Result<Vec<Source>, Vec<Fault>> {
    check_files(files, mistakes);
    check_kinds(files, mistakes);
    let (mut texts, mut sheets): (Vec<Source>, Vec<files::Sheets>) = (Vec::new(), Vec::new());
    for (index, file) in files.iter().enumerate() {
        match (&file.base64, kind_of(&file.name)) {
            (Some(bytes), _) => match STANDARD.decode(bytes) {
                Ok(bytes) => sheets.push((file.name.clone(), bytes)),
                Err(error) => {
                    let at = pointer(pointer("/files", index), "base64");
                    mistakes.push(Mistake::value(at, format!("this is not Base64: {error}")));
                }
            },
            (None, Some(_)) => sheets.push((file.name.clone(), file.text.clone().into_bytes())),
            (None, None) => texts.push(Source::new(file.name.as_str(), file.text.as_str())),
        }
    }
    if !sheets.is_empty() && mistakes.0.is_empty() {
        let imported = files::book_of(catalog, &texts, &texts, &sheets, base)?;
        texts.push(imported.book);
    }
    Ok(texts)
}

impl PreparedQuery for PreparedPackCheck {
    type Answer = PackCheckAnswer;

    fn canonical(&self) -> impl Serialize {
        let hashes: Vec<_> = self.catalog.packs().iter().map(|pack| pack.hash.as_str()).collect();
        json!({ "files": self.files, "packs": hashes })
    }

    fn price(&self) -> Work {
        work(&self.files)
    }

    fn bytes(&self) -> Work {
        // Each mistake is a few lines, and no more of them are told than a reader mends at once.
        bytes::few(Work::from(crate::rules::fault::MOST) * 5_500)
    }

    fn answer(&self, token: &CancellationToken) -> Result<PackCheckAnswer, Cancelled> {
        let found = sources(&self.files, &self.catalog, None, &mut Mistakes::default());
        let files = match found {
            Ok(files) => files,
            Err(faults) => return Ok(Checked { pack: None, faults }.into()),
        };
        let checked = check::check(&self.catalog, files, token);
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
            cell: fault.cell,
            warning: fault.weight == Weight::Warning,
            words: fault.words,
            message: fault.message,
            suggestion: fault.suggestion,
        }
    }
}
