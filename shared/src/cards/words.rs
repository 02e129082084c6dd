//! The steps of a chain in words: `hit 3+, re-rolling ones`.
use crate::report::saying::{needed, reroll};
use crate::wire::amount::AmountForm;
use crate::wire::change::{ChangeForm, ChangedNeeds, ChangedNumber};
use crate::wire::roll::KeepForm;
use crate::wire::step::{KindForm, StepForm};
use std::collections::BTreeMap;

/// The amounts of a step as a person wrote them: `d6` was no `1d6` to whoever wrote it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Written<'a> {
    /// The dice.
    pub dice: Option<&'a str>,
    /// The further successes of a critical.
    pub extra: Option<&'a str>,
    /// The damage of a critical.
    pub damage: Option<&'a str>,
}

/// Whether a step is a roll against armour.
pub fn is_penetration(step: &StepForm) -> bool {
    step.kind == Some(KindForm::Penetrate)
}

/// A step in words: `hit 3+, re-rolling ones`; `written` is the step as a person wrote it, where one did.
pub fn step_words(step: &StepForm, written: Written<'_>) -> String {
    format!("{} {}", step.name, need_words(step, written))
}

/// An amount as it was written, else as it is told.
fn amount(form: &AmountForm, written: Option<&str>) -> String {
    written.map_or_else(|| form.to_string(), str::to_owned)
}

/// What a step needs, and what helps: `3+, re-rolling ones`.
pub(super) fn need_words(step: &StepForm, written: Written<'_>) -> String {
    let mut words = if is_penetration(step) {
        let dice = step.dice.as_ref().map_or_else(|| "1d6".to_owned(), |dice| amount(dice, written.dice));
        let add = step.add.filter(|add| *add != 0).map_or_else(String::new, |add| format!("{add:+}"));
        let bonus = step.critical.as_ref().and_then(|critical| Some((critical.add.as_ref()?, critical.on)));
        let bonus = bonus.map_or_else(String::new, |(bonus, on)| format!(", +{bonus} on a {on}"));
        format!("{dice}{add} against {}{bonus}", step.against.unwrap_or_default())
    } else if let Some(versus) = &step.versus {
        let own = pool_words((step.dice.as_ref(), step.die), step.modifier, step.keep);
        format!("{own} against {}", pool_words((Some(&versus.dice), None), versus.modifier, versus.keep))
    } else {
        step.needs.map_or_else(String::new, |needs| needed(&needs.to_string()))
    };
    let apart = step.versus.is_none() && step.needs.is_none_or(|needs| needs.is_rolled());
    if let Some(modifier) = step.modifier.filter(|modifier| *modifier != 0 && apart) {
        words.push_str(&format!(" at {modifier:+}"));
    }
    let needs = step.needs.map(|needs| needs.to_string());
    if let Some(what) = step.reroll.map(|what| what.word()).filter(|what| *what != "none") {
        words.push_str(", ");
        words.push_str(reroll(what, needs.as_deref()));
    }
    if let Some(critical) = step.critical.as_ref().filter(|_| !is_penetration(step)) {
        let gain = (critical.extra.as_ref(), critical.damage.as_ref(), critical.then.as_ref());
        words.push_str(&format!(", critical on {}{}", critical.on, gain_words(gain, written)));
    }
    for (at, row) in step.margin.iter().flatten().enumerate() {
        let win = if at == 0 { "win by" } else { "by" };
        let gain = (row.extra.as_ref(), row.damage.as_ref(), row.then.as_ref());
        words.push_str(&format!(", {win} {}{}", row.at_least, gain_words(gain, Written::default())));
    }
    words
}

/// The dice of one side of an opposed roll: `the highest of 2d10+3`.
fn pool_words(
    (dice, die): (Option<&AmountForm>, Option<u32>),
    modifier: Option<i32>,
    keep: Option<KeepForm>,
) -> String {
    let dice = dice.map_or_else(|| format!("1d{}", die.unwrap_or(6)), AmountForm::to_string);
    let add = modifier.filter(|add| *add != 0).map_or_else(String::new, |add| format!("{add:+}"));
    let keeps = |which: &str, count: Option<u32>| match count? {
        1 => Some(format!("the {which} of ")),
        count => Some(format!("the {which} {count} of ")),
    };
    let keep = keep.and_then(|keep| keeps("highest", keep.highest).or_else(|| keeps("lowest", keep.lowest)));
    format!("{}{dice}{add}", keep.unwrap_or_default())
}

/// What a success may give: further successes, damage, and changed numbers of later steps.
type Gain<'a> = (Option<&'a AmountForm>, Option<&'a AmountForm>, Option<&'a BTreeMap<String, ChangeForm>>);

/// What a critical or a margin gives: ` (1 more)`, ` (+2 damage and -2 to save)`.
fn gain_words((extra, damage, then): Gain<'_>, written: Written<'_>) -> String {
    let extra = extra.map(|extra| format!("{} more", amount(extra, written.extra)));
    let damage = damage.map(|damage| format!("+{} damage", amount(damage, written.damage)));
    let then = then.into_iter().flatten().flat_map(|(step, change)| changed(step, change));
    let gains: Vec<String> = extra.into_iter().chain(damage).chain(then).collect();
    if gains.is_empty() { String::new() } else { format!(" ({})", gains.join(" and ")) }
}

/// What changes of a later step.
fn changed(step: &str, change: &ChangeForm) -> impl Iterator<Item = String> {
    let set = |number: Option<ChangedNumber>| match number {
        Some(ChangedNumber::Number(number)) => Some(number),
        _ => None,
    };
    let plus = |number: Option<ChangedNumber>| match number {
        Some(ChangedNumber::Plus(plus)) => Some(plus.plus).filter(|plus| *plus != 0),
        _ => None,
    };
    let (needs, harder) = match change.needs {
        Some(ChangedNeeds::Needs(needs)) => (Some(format!("{step} {}", needed(&needs.to_string()))), None),
        Some(ChangedNeeds::Plus(plus)) => (None, Some(plus.plus).filter(|plus| *plus != 0)),
        None => (None, None),
    };
    let more_or_less = |by: i32| format!("{} {}", by.abs(), if by > 0 { "more" } else { "less" });
    let harder = harder.map(|by| format!("{step} needs {}", more_or_less(by)));
    let own = set(change.modifier).map(|by| format!("{step} at {by:+}"));
    let own = own.or_else(|| set(change.add).map(|by| format!("{step} with {by:+}")));
    let more = plus(change.modifier).or(plus(change.add)).map(|by| format!("{by:+} to {step}"));
    let against = set(change.against).map(|against| format!("{step} against {against}"));
    let armour = plus(change.against).map(|by| format!("{step} against {}", more_or_less(by)));
    [needs, harder, own, more, against, armour].into_iter().flatten()
}
