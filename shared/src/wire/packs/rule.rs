//! Rules: their texts, who carries them, and what they do.
use super::super::lookup;
use super::super::mistake::Mistake;
use super::NameForm;
use super::unit::names;
use crate::rules::describe;
use crate::rules::model::Pack;
use serde::Serialize;
use utoipa::ToSchema;

/// Rules found.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct RulesAnswer {
    /// The rules, best first.
    pub rules: Vec<RuleForm>,
}

/// A rule as a search finds it.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct RuleForm {
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// What it says.
    pub text: String,
    /// What it does, from the file, in plain words.
    pub does: Vec<String>,
}

/// A rule with those who carry it.
#[derive(Clone, Debug, PartialEq, Serialize, ToSchema)]
pub struct RuleAnswer {
    /// The rule.
    #[serde(flatten)]
    pub rule: RuleForm,
    /// Rules that do not act while it does.
    pub replaces: Vec<NameForm>,
    /// Units that carry it.
    pub units: Vec<NameForm>,
    /// Weapons that carry it.
    pub weapons: Vec<NameForm>,
    /// Units that may take it as an option.
    pub options: Vec<NameForm>,
    /// The pack's content hash.
    pub hash: String,
}

/// The rules that a text finds, by name or by words of their texts; all of them for an empty text.
pub fn rules(pack: &Pack, text: &str) -> RulesAnswer {
    RulesAnswer { rules: describe::search(pack, text).into_iter().map(|at| form(pack, at)).collect() }
}

/// A rule.
///
/// # Errors
/// The mistake with the closest names.
pub fn rule(pack: &Pack, name: &str) -> Result<RuleAnswer, Mistake> {
    let at = pack.find.rules.find(name);
    let at = at.map_err(|error| {
        lookup::unknown("", &format!("no rule of the {} is called {name:?}", pack.named.label), error)
    })?;
    let units = pack.units.iter().filter(|unit| unit.rules.contains(&at)).map(|unit| &unit.named);
    let weapons = pack.weapons.iter().filter(|weapon| weapon.rules.contains(&at)).map(|weapon| &weapon.named);
    let takes = |unit: &&crate::rules::model::unit::Unit| unit.options.iter().any(|option| option.rules.contains(&at));
    Ok(RuleAnswer {
        rule: form(pack, at),
        replaces: names(pack.rules[at].replaces.iter().map(|rule| &pack.rules[*rule].named)),
        units: names(units),
        weapons: names(weapons),
        options: names(pack.units.iter().filter(takes).map(|unit| &unit.named)),
        hash: pack.hash.clone(),
    })
}

fn form(pack: &Pack, at: usize) -> RuleForm {
    let named = &pack.rules[at].named;
    RuleForm {
        id: named.id.clone(),
        name: named.label.clone(),
        text: named.text.clone(),
        does: describe::rule(pack, at),
    }
}
