//! Duels that were worked out already: many pairs of units come down to the same numbers.
use super::evaluator::Outcome;
use crate::odds::duel::Duel;
use std::cell::RefCell;
use std::collections::HashMap;
use std::fmt::{self, Write};
use std::hash::{DefaultHasher, Hasher};

/// Outcomes by their duels, and figures of pairs of units of one pack by what names them.
#[derive(Debug, Default)]
pub struct Known(RefCell<HashMap<(u64, u64), Outcome>>, RefCell<HashMap<String, Option<f64>>>);

/// Two hashes of what is written into it. Of the few hundred thousand duels of a question two different ones share both
/// with a chance below 1e-27.
struct Fingerprint(DefaultHasher, DefaultHasher);

impl Write for Fingerprint {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0.write(text.as_bytes());
        self.1.write(text.as_bytes());
        Ok(())
    }
}

fn fingerprint(duel: &Duel) -> Option<(u64, u64)> {
    let mut print = Fingerprint(DefaultHasher::new(), DefaultHasher::new());
    print.1.write_u8(1);
    write!(print, "{duel:?}").ok()?;
    Some((print.0.finish(), print.1.finish()))
}

impl Known {
    /// The outcome of a duel, worked out where it is met for the first time.
    ///
    /// # Errors
    /// What `work` says.
    pub fn outcome<E>(&self, duel: &Duel, work: impl FnOnce() -> Result<Outcome, E>) -> Result<Outcome, E> {
        let key = fingerprint(duel);
        if let Some(known) = key.and_then(|key| self.0.borrow().get(&key).cloned()) {
            return Ok(known);
        }
        let outcome = work()?;
        if let Some(key) = key {
            self.0.borrow_mut().insert(key, outcome.clone());
        }
        Ok(outcome)
    }

    /// A figure of a pair of units, worked out where its name is met for the first time; all names are of one pack.
    ///
    /// # Errors
    /// What `work` says.
    pub fn figure<E>(&self, name: String, work: impl FnOnce() -> Result<Option<f64>, E>) -> Result<Option<f64>, E> {
        if let Some(known) = self.1.borrow().get(&name) {
            return Ok(*known);
        }
        let figure = work()?;
        self.1.borrow_mut().insert(name, figure);
        Ok(figure)
    }
}
