//! `matchup`: two units and a situation, compiled to a chain and answered.
use super::bytes;
use super::chain::ChainForm;
use super::lookup;
use super::mistake::{Mistake, Mistakes, pointer};
use super::notes::Label;
use super::odds::{OddsAnswer, has_blast};
use super::question::{PreparedQuery, Question};
use crate::odds::cancellation::{CancellationToken, Cancelled};
use crate::odds::price::{self, Work};
use crate::points::instance_cost;
use crate::rules::PackCatalog;
use crate::rules::compile::{CompileError, Compiled, compile};
use crate::rules::matchup::{Matchup, Situation, UnitInstance};
use crate::rules::model::Pack;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use utoipa::ToSchema;

mod answer;
mod side;
mod situation;
pub(super) use answer::because;
pub use answer::{MatchupBecause, MatchupPoints, RuleNoteForm, RuleNotes, Stated, UnusedWeapon};
use answer::{points, step_name, unused_weapons};
use side::Part;
pub(super) use side::{side_value, unit_instance};

/// This unit, so many, against that one, from that arc, at that range.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct MatchupRequest {
    /// The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a pack
    /// file; the first pack where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(example = "canal-guild")]
    pub pack: Option<String>,
    /// The text of a unit book to use beside the pack's own.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub book: Option<String>,
    /// Who attacks.
    pub attacker: SideForm,
    /// Who is attacked.
    pub target: SideForm,
    /// What the table adds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub situation: Option<SituationForm>,
    /// Rules that act as if they were carried.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub with: Option<Vec<String>>,
    /// Rules that do not act.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub without: Option<Vec<String>>,
    /// Work in exact fractions and show them in every row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub exact: Option<bool>,
    /// Show how many came past each step.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub passed: Option<bool>,
}

/// A unit as it stands on the table.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = StandingForm)]
pub struct SideForm {
    /// Its name.
    #[schema(example = "Heron Carriage")]
    pub unit: String,
    /// How many models; the unit's fewest where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub models: Option<u32>,
    /// Of an attacker: the weapons that it uses; all that can be used where it is left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 12)]
    pub weapons: Option<Vec<String>>,
    /// Its options, such as `signal mast` or `2 long rifles`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 40)]
    pub options: Option<Vec<String>>,
    /// Units of its side that stand near it, with the options that they have: `wharf captain + signal mast`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub near: Option<Vec<String>>,
    /// Of a target: points of structure or health that its first model misses.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1000)]
    pub hurt: Option<u32>,
    /// Of a target: what is left of it, in place of `hurt`: models of a unit of several soldiers, else points.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub left: Option<u32>,
    /// Of a target: marks that it bears.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub statuses: Option<Vec<String>>,
}

/// What the table adds; the pack's own flags stand beside these by their ids.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct SituationForm {
    /// The arc that is hit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arc: Option<String>,
    /// A range band by its name, or a distance.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub range: Option<RangeForm>,
    /// What the target stands behind.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cover: Option<String>,
    /// Whether the attacker moved.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub moved: Option<bool>,
    /// The pack's own flags: whether each is so.
    #[serde(flatten)]
    #[schema(value_type = BTreeMap<String, bool>)]
    pub flags: BTreeMap<String, serde_json::Value>,
}

/// A range band by its name, or a distance.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(untagged, expecting = "range is the name of a band or a distance")]
pub enum RangeForm {
    /// A distance.
    Distance(u32),
    /// A band.
    Band(String),
}

/// What a matchup comes to: the answer of its chain, and why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct MatchupAnswer {
    /// The answer of the chain.
    #[serde(flatten)]
    pub odds: OddsAnswer,
    /// The plain numbers, with the reasons beside them; posted to `odds` they give the same.
    pub chain: ChainForm,
    /// All reasons in a row.
    pub because: Vec<MatchupBecause>,
    /// What became of the rules.
    pub rules: RuleNotes,
    /// Weapons that are not used, and why.
    pub unused_weapons: Vec<UnusedWeapon>,
    /// Cost and effect in points.
    pub points: MatchupPoints,
    /// What the request left open, and how it was taken.
    pub defaults: Vec<Stated>,
    /// The pack that was used.
    pub pack: String,
    /// Its content hash.
    pub hash: String,
}

/// A matchup with its chain.
#[derive(Clone, Debug)]
pub struct PreparedMatchup {
    matchup: Matchup,
    compiled: Compiled,
    defaults: Vec<Stated>,
    exact: bool,
    passed: bool,
}

impl PreparedMatchup {
    /// A matchup whose names were looked up elsewhere.
    pub(super) fn of(matchup: Matchup) -> Result<Self, CompileError> {
        let compiled = compile(&matchup)?;
        Ok(Self { matchup, compiled, defaults: Vec::new(), exact: false, passed: false })
    }

    /// The same with what another one left open.
    pub(super) fn with_defaults_of(self, other: &Self) -> Self {
        Self { defaults: other.defaults.clone(), ..self }
    }

    /// The chain and its reasons.
    pub fn compiled(&self) -> &Compiled {
        &self.compiled
    }

    /// The matchup, all names looked up.
    pub fn matchup(&self) -> &Matchup {
        &self.matchup
    }

    /// What the request left open, and how it was taken.
    pub fn defaults(&self) -> &[Stated] {
        &self.defaults
    }

    /// What the attacker costs.
    pub fn cost(&self) -> u64 {
        instance_cost(&self.matchup.pack, &self.matchup.attacker)
    }
}

impl MatchupRequest {
    /// The request that resolves to this matchup; what is usual is left open.
    pub(super) fn of(matchup: &Matchup) -> Self {
        let pack = &matchup.pack;
        let rules = |list: &[usize]| -> Option<Vec<String>> {
            (!list.is_empty()).then(|| list.iter().map(|rule| pack.rules[*rule].named.id.clone()).collect())
        };
        Self {
            pack: Some(pack.reference.clone()),
            book: None,
            attacker: side::form(pack, &matchup.attacker),
            target: side::form(pack, &matchup.target),
            situation: situation::form(pack, &matchup.situation),
            with: rules(&matchup.with),
            without: rules(&matchup.without),
            exact: None,
            passed: None,
        }
    }

    /// The matchup with every name looked up, and what was left open.
    pub(super) fn matchup(
        &self,
        catalog: &PackCatalog,
        at: &str,
        mistakes: &mut Mistakes,
    ) -> Option<(Matchup, Vec<Stated>)> {
        let mut found = Mistakes::default();
        let pack = lookup::pack(catalog, self.pack.as_deref(), self.book.as_deref(), &mut found);
        let result = pack.and_then(|pack| {
            let mut stated = Vec::new();
            if self.pack.is_none() {
                stated.push(Stated::new("/pack", pack.named.id.as_str(), &format!("pack: {}", pack.named.label)));
            }
            let attacker = side::resolve(&self.attacker, &pack, "attacker", Part::Attacks, &mut stated, &mut found);
            let target = side::resolve(&self.target, &pack, "target", Part::IsAttacked, &mut stated, &mut found);
            let situation = situation::resolve(self.situation.as_ref(), &pack, &mut stated, &mut found);
            let with = lookup::rules(&pack, self.with.as_deref(), "/with", &mut found);
            let without = lookup::rules(&pack, self.without.as_deref(), "/without", &mut found);
            let matchup = Matchup { attacker: attacker?, target: target?, situation: situation?, with, without, pack };
            // A side that nothing goes by is not one that was taken for granted.
            stated.retain(|stated: &Stated| stated.pointer != "/situation/arc" || matchup.arc_matters());
            Some((matchup, stated))
        });
        let good = found.0.is_empty();
        found.0.into_iter().for_each(|mistake| mistakes.push(mistake.below(at)));
        result.filter(|_| good)
    }
}

impl Question for MatchupRequest {
    const PATH: &'static str = "matchup";
    type Prepared = PreparedMatchup;

    fn resolve(self, catalog: &PackCatalog) -> Result<PreparedMatchup, Vec<Mistake>> {
        let mut mistakes = Mistakes::default();
        let found = self.matchup(catalog, "", &mut mistakes);
        let (exact, passed) = (self.exact.unwrap_or(false), self.passed.unwrap_or(false));
        let prepared = found.and_then(|(matchup, defaults)| {
            let compiled = compile(&matchup).map_err(|error| Mistake::value("/attacker", error.to_string()));
            let compiled = mistakes.keep(compiled)?;
            if exact && has_blast(&compiled.chain) {
                let detail = "this weapon lays a template, and blasts have no fractions: directions are real numbers";
                mistakes.push(Mistake::value("/exact", detail));
            }
            Some(PreparedMatchup { matchup, compiled, defaults, exact, passed })
        });
        mistakes.or(prepared)
    }
}

impl PreparedQuery for PreparedMatchup {
    type Answer = MatchupAnswer;

    fn canonical(&self) -> impl Serialize {
        #[derive(Serialize)]
        struct Canonical<T> {
            matchup: T,
        }
        #[derive(Serialize)]
        struct Parts<'a, S> {
            attacker: S,
            defaults: Vec<&'a str>,
            exact: bool,
            pack: &'a str,
            passed: bool,
            situation: (usize, usize, Option<u32>, usize, bool, &'a [bool]),
            target: S,
            with: Vec<&'a str>,
            without: Vec<&'a str>,
        }
        let matchup = &self.matchup;
        let pack = &*matchup.pack;
        let rules = |list: &[usize]| list.iter().map(|rule| pack.rules[*rule].named.id.as_str()).collect();
        let Situation { arc, range, distance, cover, moved, flags } = &matchup.situation;
        Canonical {
            matchup: Parts {
                pack: &pack.hash,
                attacker: side_value(pack, &matchup.attacker),
                target: side_value(pack, &matchup.target),
                situation: (*arc, *range, *distance, *cover, *moved, flags),
                with: rules(&matchup.with),
                without: rules(&matchup.without),
                defaults: self.defaults.iter().map(|stated| stated.pointer.as_str()).collect(),
                exact: self.exact,
                passed: self.passed,
            },
        }
    }

    /// Names in order, no numbers but whole ones: what is written is canonical as it stands, several times as quickly.
    fn canonical_bytes(&self) -> Vec<u8> {
        // Fails only for maps with keys that are no text, and there are none.
        #[expect(clippy::expect_used, reason = "see above")]
        let bytes = serde_json::to_vec(&self.canonical()).expect("a question is JSON");
        debug_assert_eq!(serde_json_canonicalizer::to_vec(&self.canonical()).ok().as_deref(), Some(&*bytes));
        bytes
    }

    fn price(&self) -> Work {
        price::chain(&self.compiled.chain, self.exact, self.passed) + 2_000
    }

    fn bytes(&self) -> Work {
        let Compiled { chain, reasons, unused_weapons, acted, idle, .. } = &self.compiled;
        let pack = &self.matchup.pack;
        let rules = bytes::rules(pack, acted) + bytes::rules(pack, idle) + bytes::unused_weapons(unused_weapons);
        bytes::few(bytes::chain(chain, self.exact, self.passed) + bytes::form(chain) + bytes::reasons(reasons) + rules)
    }

    fn answer(&self, token: &CancellationToken) -> Result<MatchupAnswer, Cancelled> {
        let (matchup, compiled) = (&self.matchup, &self.compiled);
        let odds = super::odds::evaluate(&compiled.chain, self.exact, self.passed, token)?;
        let pack = &matchup.pack;
        let mut chain = ChainForm::of(&compiled.chain, &compiled.reasons);
        label(&mut chain, matchup, compiled);
        Ok(MatchupAnswer {
            points: points(matchup, &odds),
            odds,
            chain,
            because: because(&compiled.reasons, &|volley, step| step_name(compiled, volley, step)),
            rules: RuleNotes::of(pack, &compiled.acted, &compiled.idle),
            unused_weapons: unused_weapons(pack, compiled),
            defaults: self.defaults.clone(),
            pack: pack.named.id.clone(),
            hash: pack.hash.clone(),
        })
    }
}

/// Each volley says whose weapon it is.
fn label(chain: &mut ChainForm, matchup: &Matchup, compiled: &Compiled) {
    let pack = &matchup.pack;
    let label = |weapon: usize| Some(Label(pack.weapons[weapon].named.label.clone()));
    match &mut chain.volleys {
        Some(volleys) => {
            for (volley, (weapon, _)) in volleys.iter_mut().zip(&compiled.volleys) {
                volley.label = label(*weapon);
            }
        }
        None => chain.label = compiled.volleys.first().and_then(|(weapon, _)| label(*weapon)),
    }
    chain.target.label = Some(Label(pack.units[matchup.target.unit].named.label.clone()));
}

/// One of several units that are attacked; its mistakes lie below `at`, which opens with no stroke: `targets/0`.
pub(super) fn resolve_target(form: &SideForm, pack: &Pack, at: &str, mistakes: &mut Mistakes) -> Option<UnitInstance> {
    side::resolve(form, pack, at, Part::IsAttacked, &mut Vec::new(), mistakes)
}

/// What the table adds to several attacks, and what of it was left open.
pub(super) fn resolve_table(
    form: Option<&SituationForm>,
    pack: &Pack,
    stated: &mut Vec<Stated>,
    mistakes: &mut Mistakes,
) -> Option<Situation> {
    situation::resolve(form, pack, stated, mistakes)
}

/// A side of a duel, named `a` or `b` there: it attacks and is attacked.
pub(super) fn resolve_dueller(
    form: &SideForm,
    pack: &Pack,
    side: &str,
    stated: &mut Vec<Stated>,
    mistakes: &mut Mistakes,
) -> Option<UnitInstance> {
    side::resolve(form, pack, side, Part::Both, stated, mistakes)
}

/// What the table adds to one attack, all of it said or as usual; mistakes lie below `/situation`.
pub(super) fn resolve_situation(form: &SituationForm, pack: &Pack, mistakes: &mut Mistakes) -> Option<Situation> {
    situation::resolve(Some(form), pack, &mut Vec::new(), mistakes)
}

/// A pointer to a field of a side.
fn side_pointer(side: &str, field: &str) -> String {
    pointer(format_args!("/{side}"), field)
}
