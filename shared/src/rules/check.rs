//! What a club should know about its files: mistakes with their places, and warnings about what can be read but
//! hardly does what was meant.
//!
//! Warnings are looked for once a pack reads without a mistake. They speak of what can never happen with the units and
//! weapons of the books: a rule that nobody carries, a chart's row that nobody comes to, a limit that nobody reaches.
mod costs;
mod counting;
mod may;
mod never;
mod places;
mod prose;
mod reach;
mod unused;
mod values;

use super::PackCatalog;
use super::fault::{Fault, MOST, Source};
use super::files;
use super::model::Pack;
use crate::odds::cancellation::CancellationToken;
use places::Places;
use std::sync::Arc;

/// What came of the files of one pack.
#[derive(Debug)]
pub struct Checked {
    /// The pack, where it can be used.
    pub pack: Option<Arc<Pack>>,
    /// All mistakes, or all warnings, in the order of their places.
    pub faults: Vec<Fault>,
}

/// Checks the files of one pack; without rules of their own they are unit books for a pack of `catalog`. Where the token is
/// cancelled, what was found by then is told.
pub fn check(catalog: &PackCatalog, files: Vec<Source>, token: &CancellationToken) -> Checked {
    let ours: Vec<String> = files.iter().map(|file| file.name.clone()).collect();
    let only_books = !files.iter().any(files::has_rules) || files.iter().any(|file| files::extends(file).is_some());
    let remarks: Vec<Fault> = files.iter().flat_map(|file| file.remarks().to_vec()).collect();
    match catalog.until(token.clone()).check(files) {
        Ok(pack) => {
            let mut faults = warnings(&pack, token);
            // What the rules beneath a unit book, or beneath a pack that is built on them, leave unused is none of its business.
            faults.retain(|fault| !only_books || ours.contains(&fault.file));
            faults.extend(remarks);
            Checked { pack: Some(pack), faults }
        }
        Err(faults) => Checked { pack: None, faults },
    }
}

/// Everything in a pack that can be read but never comes to anything, in the order of its place.
pub fn warnings(pack: &Pack, token: &CancellationToken) -> Vec<Fault> {
    let tables = places::parse(&pack.files);
    let places = Places::new(&tables);
    let mut faults = Vec::new();
    if pack.units.is_empty() {
        let hint = "add a [[unit]], or check the files of the pack together";
        return vec![places.top().warning("there is no unit: what units leave unused is not told", hint)];
    }
    unused::find(pack, &places, &mut faults);
    never::find(pack, &places, &mut faults, token);
    reach::find(pack, &places, &mut faults);
    costs::find(pack, &places, &mut faults);
    counting::find(pack, &places, &mut faults);
    prose::find(pack, &places, &mut faults);
    faults.sort();
    faults.dedup();
    faults.truncate(MOST);
    faults
}
