//! What of a question speaks for a rule, and how much each of it counts.
//!
//! The weights were fitted, not chosen: a choice among all rules of the pack and none of them (a multinomial logit), with three
//! quarters of the questions about rules and of the chatter of `tests/understand` whose authors said what was meant. Weights
//! keep their sign, so that more of what speaks for a rule never counts against it.
use super::super::model::Pack;
use super::super::model::change::{Change, RollId, Rule, RuleScope};
use super::super::model::condition::Trait;
use super::super::names::plain;
use super::super::search::same;
use super::form::Form;
use super::idle::is_idle;
use super::lexicon::{self, is_in};
use super::said::Reading;
use super::spots::{Sort, Spot};
use super::topics::{What, meets, touched};
use super::which::{Asks, doubles, sign};

/// What speaks for a rule, or against it.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Evidence {
    /// Its name was said in full, and is nothing else's.
    pub named: bool,
    /// Its name was said, and is something else's too.
    shared_name: bool,
    /// A weapon that was named has it.
    weapon: bool,
    /// The one unit that was named has it.
    unit: bool,
    /// Of all units that the words allow one has it.
    some_unit: bool,
    /// Units were named, and only others have it.
    other_units: bool,
    /// How many sorts of what was said of the table its conditions ask for, up to two.
    table: f64,
    /// All of it hangs on what was said.
    hangs: bool,
    /// Somebody near by brings it.
    brought: bool,
    /// Its conditions ask for a unit or a weapon that was named.
    asked_for: bool,
    /// It changes a roll that was spoken of.
    roll: bool,
    /// Another roll was spoken of.
    other_roll: bool,
    /// The question speaks of mending, and so does it.
    mends: bool,
    /// Whoever was named mends by it.
    mender: bool,
    /// The question speaks of what goes wrong, and it lets that happen.
    backfires: bool,
    /// The question speaks of twice, and it doubles.
    doubles: bool,
    /// The question names the face of a die, and it acts on one.
    faces: bool,
    /// The question speaks of what is left over, and it carries that on: up to 2.5.
    spills: f64,
    /// Better or worse, as the question has it (1), or the other way round (-1).
    sense: f64,
    /// The question speaks of what is cancelled, and it cancels.
    cancels: bool,
    /// It sits on weapons, and those that were named do not have it.
    other_weapons: bool,
    /// It does nothing by itself.
    idle: bool,
    /// The share of the question's meaning that its text tells.
    told: f64,
    /// The share of its text's meaning that the question has, and how much that is.
    text_share: f64,
    text_sum: f64,
    /// How many words in a row stand in both, less one, up to four.
    row: f64,
}

impl Evidence {
    /// The logarithm of how much likelier the rule is meant than no rule at all.
    pub(super) fn score(&self) -> f64 {
        let so = |is: bool, weight: f64| if is { weight } else { 0.0 };
        so(self.named, 3.37)
            + so(self.shared_name, 0.36)
            + so(self.weapon, 4.34)
            + so(self.unit, 0.95)
            + so(self.some_unit, 0.79)
            + so(self.other_units, -0.84)
            + 4.74 * self.table
            + so(self.hangs, 0.92)
            + so(self.brought, 0.48)
            + so(self.asked_for, 2.76)
            + so(self.roll, 2.31)
            + so(self.other_roll, -0.29)
            + so(self.mends, 0.72)
            + so(self.mender, 0.17)
            + so(self.backfires, 0.53)
            + so(self.doubles, 0.13)
            + so(self.faces, 0.94)
            + 2.54 * self.spills
            + 1.24 * self.sense
            + so(self.cancels, 0.51)
            + so(self.other_weapons, -0.67)
            + so(self.idle, -0.64)
            + 2.78 * self.told
            + 0.97 * self.text_share
            + 0.62 * self.text_sum
            + 0.22 * self.row
            - 7.13
    }
}

impl Evidence {
    /// What of the question speaks for a rule.
    pub(super) fn of(pack: &Pack, at: usize, reading: &Reading, form: &Form, texts: &[Vec<String>]) -> Self {
        let (rule, said) = (&pack.rules[at], &reading.said);
        let mut found = Self::default();
        if let Some(spot) = reading.spots.iter().find(|spot| spot.sort == Sort::Rule && spot.at == at) {
            let place = |spot: &Spot| (spot.from, spot.to);
            let shared = |other: &Spot| !matches!(other.sort, Sort::Rule | Sort::Option) && place(other) == place(spot);
            found.shared_name = reading.spots.iter().any(shared);
            found.named = !found.shared_name;
        }
        found.told = told(at, reading, texts);
        (found.text_sum, found.text_share) = of_text(at, reading, texts);
        found.row = row(rule, reading);
        found.idle = rule.changes.is_empty() && rule.repair.is_none();
        found.carried(pack, at, reading);
        found.conditions(pack, rule, reading);
        let topics =
            said.topics.iter().filter(|(what, _)| !matches!(what, What::Stat(_, _)) || !rule.changes.is_empty());
        let spoken: Vec<RollId> = topics.flat_map(|(_, rolls)| rolls.iter().copied()).collect();
        found.roll = rule.changes.iter().flat_map(touched).any(|own| spoken.iter().any(|roll| meets(own, *roll)));
        found.other_roll = !found.roll && !spoken.is_empty();
        found.verbs(rule, reading, form);
        // Whoever is named mends by a rule of its own.
        found.mender = rule.repair.is_some() && speaks_of(reading, lexicon::MENDS) && found.some_unit;
        found
    }

    /// Who has the rule, of those who were named.
    fn carried(&mut self, pack: &Pack, at: usize, reading: &Reading) {
        let said = &reading.said;
        let rule = &pack.rules[at];
        let has = |weapon: &usize| pack.weapons[*weapon].rules.contains(&at);
        self.weapon = said.weapons.iter().any(has);
        let on_weapons = rule.changes.iter().any(|change| change.side == RuleScope::Weapon);
        self.other_weapons = on_weapons && !said.weapons.is_empty() && !self.weapon;
        let carries = |unit: &usize| pack.units[*unit].rules.contains(&at);
        self.unit = said.mentions.iter().any(|one| one.units.len() == 1 && one.units.iter().any(carries));
        self.some_unit = said.mentions.iter().flat_map(|one| &one.units).any(carries);
        let carried = pack.units.iter().any(|unit| unit.rules.contains(&at));
        self.other_units = carried && !self.some_unit && !said.mentions.is_empty();
        // Whoever stands near brings what works near by.
        let near = matches!(rule.side, RuleScope::NearAttacker | RuleScope::NearTarget);
        self.brought = near && said.mentions.iter().any(|one| one.near && one.units.iter().any(carries));
    }

    /// What the rule's conditions ask for, of what was said.
    fn conditions(&mut self, pack: &Pack, rule: &Rule, reading: &Reading) {
        let said = &reading.said;
        let flag = |flag: &usize| said.flags.get(*flag).copied().flatten().is_some();
        let asks = Asks::by(rule);
        let table = [
            asks.arc && said.spoken.arc,
            asks.range && said.spoken.range,
            asks.cover && said.spoken.cover,
            asks.moved && said.moved.is_some(),
            asks.flags.iter().any(flag),
            asks.models && !said.counts.is_empty(),
            asks.status && !said.statuses.is_empty(),
        ];
        self.table = table.into_iter().filter(|hit| *hit).count().min(2) as f64;
        let mut whole = Asks::default();
        whole.of(&rule.when);
        self.hangs =
            whole.flags.iter().any(flag) || (whole.moved && said.moved.is_some()) || (whole.cover && said.spoken.cover);
        let weapon = |weapon: &usize| {
            asks.traits.iter().any(|word| {
                *word == Trait::Weapon(*weapon)
                    || pack.weapons[*weapon].rules.iter().any(|rule| *word == Trait::Rule(*rule))
            })
        };
        let unit = |unit: &usize| {
            asks.traits.iter().any(|word| {
                matches!(word, Trait::Unit(other) if other == unit)
                    || matches!(word, Trait::Rule(rule) if pack.units[*unit].rules.contains(rule))
            })
        };
        self.asked_for = said.weapons.iter().any(weapon) || said.mentions.iter().flat_map(|one| &one.units).any(unit);
    }

    /// What the question's verbs say is done.
    fn verbs(&mut self, rule: &Rule, reading: &Reading, form: &Form) {
        let any = |test: &dyn Fn(&Change) -> bool| rule.changes.iter().any(test);
        let mends = rule.repair.is_some() || any(&|change| change.rolls.contains(&RollId::Repair));
        self.mends = mends && speaks_of(reading, lexicon::MENDS);
        self.backfires = any(&|change| change.effects.backfire.is_some()) && speaks_of(reading, WRONG);
        self.doubles = form.twice && doubles(rule);
        self.faces = !reading.said.faces.is_empty() && any(&|change| change.effects.critical.is_some());
        let told = SPILLS.iter().filter(|word| speaks_of(reading, &[**word])).count();
        let spills = told > 0 && any(&|change| change.effects.spill == Some(true));
        self.spills = f64::from(u8::from(spills)) * if told > 2 { 2.5 } else { 1.0 };
        let turn = rule.changes.iter().map(sign).find(|sign| *sign != 0).unwrap_or(0);
        let wants = i32::from(form.better) - i32::from(form.worse);
        self.sense = f64::from(turn * wants.signum());
        self.cancels = form.defeats && any(&|change| change.effects.deny);
    }
}

/// What goes wrong.
const WRONG: &[&str] = &["explode", "blow", "backfire", "scald", "burn", "misfire"];
/// What is left over.
const SPILLS: &[&str] = &["leftover", "left", "excess", "spill", "surplus", "carry", "pass", "over", "next"];

fn speaks_of(reading: &Reading, list: &[&str]) -> bool {
    reading.words.iter().any(|word| is_in(list, &word.plain))
}

/// How much a word tells that stands in so many of all texts.
fn rarity(word: &str, texts: &[Vec<String>]) -> Option<f64> {
    let count = texts.iter().filter(|text| text.iter().any(|other| same(other, word))).count();
    (count > 0).then(|| (texts.len() as f64 / count as f64).ln())
}

/// The share of the question's meaning that the rule's text tells; rare words tell more.
fn told(at: usize, reading: &Reading, texts: &[Vec<String>]) -> f64 {
    let (mut all, mut told) = (0.0, 0.0);
    let words = reading.words.iter().filter(|word| word.inches.is_none() && word.number.is_none());
    for word in words.filter(|word| !is_idle(&word.plain)) {
        // What no rule speaks of may be chatter.
        let rare = rarity(&word.plain, texts).map_or(0.5, |rare| rare.max(0.1));
        all += rare;
        told += if texts[at].iter().any(|other| same(other, &word.plain)) { rare } else { 0.0 };
    }
    if all > 0.0 { told / all } else { 0.0 }
}

/// How much of the text's meaning the question has, and which share of it.
fn of_text(at: usize, reading: &Reading, texts: &[Vec<String>]) -> (f64, f64) {
    let (mut all, mut said) = (0.0, 0.0);
    for word in &texts[at] {
        let rare = rarity(word, texts).unwrap_or(0.0);
        all += rare;
        said += if reading.words.iter().any(|other| same(word, &other.plain)) { rare } else { 0.0 };
    }
    (said, if all > 0.0 { said / all } else { 0.0 })
}

/// How many words of meaning stand in a row in the question and in the rule, less one, up to four.
fn row(rule: &Rule, reading: &Reading) -> f64 {
    let text = plain(&format!("{} . {}", rule.named.label, rule.named.text));
    let text: Vec<&str> = text.split(' ').filter(|word| !is_idle(word)).collect();
    let words: Vec<&str> = reading.words.iter().map(|word| word.plain.as_str()).filter(|word| !is_idle(word)).collect();
    let from = |at: usize, of: usize| words[at..].iter().zip(&text[of..]).take_while(|(a, b)| same(a, b)).count();
    let longest =
        (0..words.len()).flat_map(|at| (0..text.len()).map(move |of| (at, of))).map(|(at, of)| from(at, of)).max();
    longest.unwrap_or(0).saturating_sub(1).min(4) as f64
}
