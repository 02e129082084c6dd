//! The rolls when an attack is over.
use super::body::{Body, Frame};
use super::exchange::Exchange;
use super::mend::chance;
use super::prepare::prepare;
use pipwright_shared::rules::model::change::RollId;
use pipwright_shared::rules::model::roll::{AftermathPlan, Counts};
use std::cell::RefCell;
use std::collections::HashMap;

/// One such roll between two units.
pub struct After<'a> {
    exchange: Exchange<'a>,
    pub plan: &'a AftermathPlan,
    at: usize,
    /// The smallest count that brings it on.
    pub at_least: i64,
    /// Chances by what was counted.
    known: RefCell<HashMap<i64, f64>>,
}

impl<'a> After<'a> {
    /// All that may come about; the exchange is without a weapon.
    pub fn all(exchange: Exchange<'a>) -> Vec<Self> {
        let rows = exchange.pack.aftermath.iter().enumerate();
        let armoured = exchange.target.frame.armoured;
        let fits = |plan: &AftermathPlan| {
            exchange.holds(&plan.when)
                && match plan.counts {
                    Counts::Passed(_) => true,
                    Counts::Models | Counts::HealthLost => !armoured,
                    Counts::Wrecked => armoured,
                }
        };
        rows.filter(|(_, plan)| fits(plan))
            .map(|(at, plan)| {
                let at_least = i64::from(exchange.number(&plan.at_least).max(1));
                Self { exchange, plan, at, at_least, known: RefCell::default() }
            })
            .collect()
    }

    /// The chance of its effect, after an attack that left so much of so much. Nothing happens to those who are gone, unless
    /// the pack says that it does.
    pub fn chance(&self, frame: &Frame, before: Body, left: Body, passed: usize) -> f64 {
        let count = match self.plan.counts {
            Counts::Models | Counts::Wrecked => i64::try_from(before.standing - left.standing).expect("few"),
            Counts::HealthLost => frame.points(before) - frame.points(left),
            Counts::Passed(_) => i64::try_from(passed).expect("few"),
        };
        if count < self.at_least || (left.standing == 0 && !self.plan.even_destroyed) {
            return 0.0;
        }
        *self.known.borrow_mut().entry(count).or_insert_with(|| {
            let changes = self.exchange.changes();
            let mut roll = prepare(&self.exchange, &self.plan.roll, RollId::Aftermath(self.at), &changes).roll;
            roll.modifier += i64::from(self.plan.per_point) * count;
            chance(&roll)
        })
    }
}
