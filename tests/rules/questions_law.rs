//! A law: where all of the table is known, the verdict on a rule is what leaving the rule out changes.
use pipwright_shared::rules::PackCatalog;
use pipwright_shared::rules::compile::{Compiled, compile};
use pipwright_shared::rules::matchup::{Matchup, Situation, UnitInstance};
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::unit::Per;
use pipwright_shared::rules::question::{Form, Said, Ternary, decide_known};
use std::sync::Arc;

/// So many random tables for each pack.
const TABLES: usize = 1_500;

/// Options taken at random, without those that stand against each other or need another.
fn options(pack: &Pack, unit: usize, random: &mut fastrand::Rng) -> Vec<(usize, u32)> {
    let options = &pack.units[unit].options;
    let mut taken: Vec<(usize, u32)> = Vec::new();
    for (at, option) in options.iter().enumerate() {
        let alone = option.inside.is_none() && option.requires.is_empty() && option.replaces.is_empty();
        let clash =
            taken.iter().any(|(other, _)| option.excludes.contains(other) || options[*other].excludes.contains(&at));
        if alone && !clash && option.per == Per::Unit && random.bool() {
            taken.push((at, 1));
        }
    }
    taken
}

fn instance(pack: &Pack, random: &mut fastrand::Rng) -> UnitInstance {
    let unit = random.usize(..pack.units.len());
    let (least, most) = pack.units[unit].models;
    UnitInstance {
        unit,
        models: random.u32(least..=most),
        options: options(pack, unit, random),
        ..UnitInstance::default()
    }
}

fn matchup(pack: &Arc<Pack>, random: &mut fastrand::Rng) -> Matchup {
    let table = &pack.situations;
    let mut attacker = instance(pack, random);
    let carried: Vec<usize> = pack.units[attacker.unit].weapons.iter().map(|carried| carried.weapon).collect();
    attacker.weapons = vec![carried[random.usize(..carried.len())]];
    let distance = random.bool().then(|| random.u32(0..60));
    let range = distance.map_or_else(|| random.usize(..table.ranges.len()), |distance| table.band(distance));
    let situation = Situation {
        arc: random.usize(..table.arcs.len()),
        range,
        distance,
        cover: random.usize(..table.covers.len()),
        moved: random.bool(),
        flags: (0..table.flags.len()).map(|_| random.bool()).collect(),
    };
    Matchup {
        pack: Arc::clone(pack),
        attacker,
        target: instance(pack, random),
        situation,
        with: Vec::new(),
        without: Vec::new(),
    }
}

fn said(matchup: &Matchup) -> Said {
    let situation = &matchup.situation;
    Said {
        arcs: vec![situation.arc],
        ranges: vec![situation.range],
        distance: situation.distance,
        covers: vec![situation.cover],
        moved: Some(situation.moved),
        flags: situation.flags.iter().copied().map(Some).collect(),
        weapons: matchup.attacker.weapons.clone(),
        cast: Some(Box::new((matchup.attacker.clone(), matchup.target.clone()))),
        ..Said::default()
    }
}

fn told(matchup: &Matchup) -> String {
    let unit = |side: &UnitInstance| {
        let unit = &matchup.pack.units[side.unit];
        format!("{} {} {:?}", side.models, unit.named.label, side.options)
    };
    let weapon = &matchup.pack.weapons[matchup.attacker.weapons[0]].named.label;
    format!("{} with {weapon} v {}, {:?}", unit(&matchup.attacker), unit(&matchup.target), matchup.situation)
}

/// Whether a side or the weapon carries the rule: others are asked about nobody.
fn carries(matchup: &Matchup, rule: usize) -> bool {
    let pack = &matchup.pack;
    let of = |side: &UnitInstance| {
        let unit = &pack.units[side.unit];
        unit.rules.contains(&rule) || side.options.iter().any(|(option, _)| unit.options[*option].rules.contains(&rule))
    };
    of(&matchup.attacker)
        || of(&matchup.target)
        || matchup.attacker.weapons.iter().any(|at| pack.weapons[*at].rules.contains(&rule))
}

#[test]
fn the_verdict_is_what_the_rule_changes() {
    let mut random = fastrand::Rng::with_seed(15);
    let (mut acting, mut idle, mut covered) = (0, 0, 0);
    for pack in PackCatalog::demo().packs() {
        for _ in 0..TABLES {
            let matchup = matchup(pack, &mut random);
            let Ok(with) = compile(&matchup) else { continue };
            let said = said(&matchup);
            for rule in 0..pack.rules.len() {
                let attack =
                    pack.rules[rule].changes.iter().any(|change| change.rolls.iter().any(|roll| roll.is_of_attack()));
                let of_table = pack.rules[rule].side == pipwright_shared::rules::model::change::RuleScope::Table;
                if !attack || !(of_table || carries(&matchup, rule)) {
                    continue;
                }
                let without =
                    compile(&Matchup { without: vec![rule], ..matchup.clone() }).expect("it compiled with the rule");
                let differs = changes(&with, &without);
                let form = Form { exact: true, ..Form::default() };
                let verdict = decide_known(pack, rule, &said, &form);
                let label = &pack.rules[rule].named.label;
                match (verdict, differs) {
                    (Ternary::Yes, true) => acting += 1,
                    (Ternary::No, false) => idle += 1,
                    // It acts, and what it changes is held by a bound, or a better roll is chosen anyway.
                    (Ternary::Yes, false) => covered += 1,
                    (verdict, differs) => {
                        panic!("{label}: {verdict:?}, but leaving it out changes: {differs}; {}", told(&matchup))
                    }
                }
            }
        }
    }
    assert!(acting > 500 && idle > 5_000, "{acting} acted, {idle} did not, {covered} were held by bounds");
    assert!(covered * 4 < acting, "{acting} acted, {covered} were held by bounds");
}

/// Whether two compilations differ in what is rolled. A roll afterwards that no attack can bring on is none.
fn changes(with: &Compiled, without: &Compiled) -> bool {
    let attacks = |compiled: &Compiled| !compiled.volleys.is_empty();
    with.chain != without.chain && (attacks(with) || attacks(without))
}
