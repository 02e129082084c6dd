//! Rolls: dice, needs, choices, opposed rolls, and what natural faces and margins do.
use super::super::model::roll::{
    AimPlan, BackfirePlan, Choice, CriticalPlan, GainPlan, RollPlan, ThenPlan, VersusPlan,
};
use super::super::model::sum::{NeedsFrom, Sum};
use super::ids::{Index, named};
use super::node::{Fields, Node};
use super::stat::read_dice;
use super::sum::Terms;
use crate::odds::dice::Dice;
use crate::odds::roll::{Keep, Needs, Reroll, Ties};

/// What rolls can name.
#[derive(Debug)]
pub(super) struct Rolls<'a> {
    pub(super) terms: &'a Terms<'a>,
    pub(super) steps: &'a Index,
}

const REROLLS: [&str; 6] = ["none", "worst", "failures", "natural_failures", "successes", "not_critical"];

impl Rolls<'_> {
    /// A roll with all that a step may have.
    pub(super) fn roll(&self, fields: &Fields<'_>) -> Option<RollPlan> {
        let (needs, choose, versus) = (fields.get("needs"), fields.get("choose"), fields.get("versus"));
        let needs = needs.map(|node| self.terms.needs(node));
        let choose = choose.map(|node| self.choices(node));
        let versus = versus.map(|node| self.versus(node, fields));
        let aim = match (needs, choose, versus) {
            (Some(needs), None, None) => needs.map(AimPlan::Needs),
            (None, Some(choices), None) => Some(AimPlan::Choose(choices)),
            (None, None, Some(versus)) => versus.map(AimPlan::Versus),
            _ => {
                fields.wrong("say what decides the roll: one of needs, choose or versus");
                None
            }
        };
        let dice = self.dice(fields);
        let keep = fields.get("keep").and_then(read_keep).unwrap_or_default();
        let modifier = self.modifier(fields);
        let reroll = fields.get("reroll").and_then(read_reroll).unwrap_or_default();
        let critical = fields.get("critical").and_then(|node| self.critical(node));
        let backfire = fields.get("backfire").and_then(|node| self.backfire(node));
        let margins = fields.get("margin").map_or_else(Vec::new, |node| self.margins(node));
        let fixed = |key| fields.get(key).and_then(read_needs);
        let (best, worst) = (fixed("best"), fixed("worst"));
        let truth = |key| fields.truth(key).unwrap_or(false);
        let (low_fails, high_succeeds) = (truth("low_fails"), truth("high_succeeds"));
        // Read even where nothing is versus anything: it is known here.
        fields.get("ties");
        Some(RollPlan {
            dice: dice?,
            keep,
            aim: aim?,
            modifier,
            reroll,
            low_fails,
            high_succeeds,
            best,
            worst,
            critical,
            margins,
            backfire,
        })
    }

    /// A roll that is not made: what hangs on it follows for certain. Its dice may stand there.
    pub(super) fn certain(&self, fields: &Fields<'_>) -> Option<RollPlan> {
        Some(RollPlan {
            dice: self.dice(fields)?,
            keep: fields.get("keep").and_then(read_keep).unwrap_or_default(),
            aim: AimPlan::Needs(NeedsFrom::Fixed(Needs::Auto)),
            modifier: self.modifier(fields),
            reroll: Reroll::None,
            low_fails: false,
            high_succeeds: false,
            best: None,
            worst: None,
            critical: None,
            margins: Vec::new(),
            backfire: None,
        })
    }

    /// `die = 8`, `dice = "2d6"`, or one six-sided die.
    fn dice(&self, fields: &Fields<'_>) -> Option<Dice> {
        match (fields.get("die"), fields.get("dice")) {
            (None, None) => Dice::one(6).ok(),
            (Some(die), None) => Dice::one(die.count(2..=100)?).ok(),
            (None, Some(dice)) => {
                let read = read_dice(dice)?;
                if read.count() == 0 {
                    dice.wrong("at least one die is rolled");
                }
                Some(read)
            }
            (Some(die), Some(_)) => {
                die.wrong("either die or dice, not both");
                None
            }
        }
    }

    pub(super) fn modifier(&self, fields: &Fields<'_>) -> Sum {
        fields.get("modifier").and_then(|node| self.terms.number(node)).unwrap_or_default()
    }

    fn choices(&self, node: Node<'_>) -> Vec<Choice> {
        let mut choices = Vec::new();
        for part in node.list(10) {
            let Some(fields) = part.fields() else { continue };
            let needs = fields.need("needs").and_then(|node| self.terms.needs(node));
            let (named, modifier) = (named(&fields), self.modifier(&fields));
            fields.need("id");
            fields.finish();
            // One that could not be read keeps its place, for the sake of the others' indices.
            choices.push(Choice { named, needs: needs.unwrap_or(NeedsFrom::Fixed(Needs::Never)), modifier });
        }
        if choices.is_empty() {
            node.wrong("at least one choice, please");
        }
        choices
    }

    fn versus(&self, node: Node<'_>, roll: &Fields<'_>) -> Option<VersusPlan> {
        let fields = node.fields()?;
        let dice = self.dice(&fields);
        let keep = fields.get("keep").and_then(read_keep).unwrap_or_default();
        let modifier = self.modifier(&fields);
        fields.finish();
        let ties = roll.get("ties").and_then(|node| node.word_of(&["roller", "other", "again"]));
        let ties = ties.map_or(Ties::Lose, |index| [Ties::Win, Ties::Lose, Ties::Again][index]);
        Some(VersusPlan { dice: dice?, keep, modifier, ties })
    }

    /// `{ on = 6, extra = 1, damage = "1d3", add = "1d3", then = { save = { harder = 1 } } }`.
    pub(super) fn critical(&self, node: Node<'_>) -> Option<CriticalPlan> {
        let fields = node.fields()?;
        let plan = CriticalPlan {
            on: fields.count("on", 1..=10_000),
            always: fields.truth("always"),
            add: fields.get("add").and_then(|node| self.terms.dice(node)),
            gain: self.gain(&fields),
        };
        fields.finish();
        Some(plan)
    }

    fn gain(&self, fields: &Fields<'_>) -> GainPlan {
        let extra = fields.get("extra").and_then(|node| self.terms.dice(node));
        let damage = fields.get("damage").and_then(|node| self.terms.dice(node));
        let mut then = Vec::new();
        if let Some(table) = fields.get("then").and_then(|node| node.fields()) {
            for (key, span, node) in table.entries() {
                match self.steps.get(key) {
                    Some(step) => then.extend(self.then(node).map(|plan| (step, plan))),
                    None => table.wrong_key(span, format!("no step is called {key:?}"), self.steps.suggest(key)),
                }
            }
        }
        GainPlan { extra, damage, then }
    }

    fn then(&self, node: Node<'_>) -> Option<ThenPlan> {
        let fields = node.fields()?;
        let sum = |key| fields.get(key).and_then(|node| self.terms.number(node));
        let plan = ThenPlan {
            needs: fields.get("needs").and_then(|node| self.terms.needs(node)),
            harder: self.harder(&fields),
            modifier: sum("modifier"),
            add: sum("add"),
            against: sum("against"),
        };
        fields.finish();
        if plan == ThenPlan::default() {
            node.wrong("say what changes: needs, harder, easier or modifier (of a penetrate step add or against)");
        }
        Some(plan)
    }

    /// `harder = 1`, or `easier = 1` for the opposite.
    pub(super) fn harder(&self, fields: &Fields<'_>) -> Option<Sum> {
        let harder = fields.get("harder").and_then(|node| self.terms.number(node));
        let easier = fields.get("easier").and_then(|node| self.terms.number(node));
        let easier = easier.map(|mut sum| {
            sum.0.iter_mut().for_each(|term| term.minus = !term.minus);
            sum
        });
        match (harder, easier) {
            (Some(mut harder), Some(easier)) => {
                harder.0.extend(easier.0);
                Some(harder)
            }
            (harder, easier) => harder.or(easier),
        }
    }

    pub(super) fn backfire(&self, node: Node<'_>) -> Option<BackfirePlan> {
        let fields = node.fields()?;
        let needs = fields.get("needs").map(|node| self.terms.needs(node));
        let harm = fields.get("harm").and_then(|node| self.terms.dice(node)).unwrap_or_default();
        let on = fields.count("on", 1..=10_000).unwrap_or(1);
        fields.finish();
        Some(BackfirePlan { on, needs: needs.unwrap_or(Some(NeedsFrom::Fixed(Needs::Never)))?, harm })
    }

    fn margins(&self, node: Node<'_>) -> Vec<(u32, GainPlan)> {
        let mut rows: Vec<(u32, GainPlan)> = Vec::new();
        for part in node.list(100) {
            let Some(fields) = part.fields() else { continue };
            let at_least = fields.need("at_least").and_then(|node| node.count(0..=10_000));
            let gain = self.gain(&fields);
            fields.finish();
            let Some(at_least) = at_least else { continue };
            if rows.last().is_some_and(|(before, _)| *before >= at_least) {
                part.wrong("rows go up in at_least, each value once");
            }
            rows.push((at_least, gain));
        }
        rows
    }
}

/// A need that is written there.
pub(super) fn read_needs(node: Node<'_>) -> Option<Needs> {
    node.text()?.parse().map_err(|error| node.wrong(format!("{error}"))).ok()
}

pub(super) fn read_reroll(node: Node<'_>) -> Option<Reroll> {
    let all = [
        Reroll::None,
        Reroll::Worst,
        Reroll::Failures,
        Reroll::NaturalFailures,
        Reroll::Successes,
        Reroll::NotCritical,
    ];
    node.word_of(&REROLLS).map(|index| all[index])
}

/// `{ highest = 2 }` or `{ lowest = 1 }`.
pub(super) fn read_keep(node: Node<'_>) -> Option<Keep> {
    let fields = node.fields()?;
    let (highest, lowest) = (fields.count("highest", 1..=100), fields.count("lowest", 1..=100));
    fields.finish();
    match (highest, lowest) {
        (Some(n), None) => Some(Keep::Highest(n)),
        (None, Some(n)) => Some(Keep::Lowest(n)),
        _ => {
            node.wrong("say either highest or lowest");
            None
        }
    }
}
