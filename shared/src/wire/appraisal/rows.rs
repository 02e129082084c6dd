//! An appraisal as its answer: names in place of indices, and the question that gives each number beside it.
use super::super::packs;
use super::answer::*;
use super::verdict::verdict;
use super::voice::Voice;
use super::{PreparedAppraisal, advice::advice, asks, reviewed};
use crate::analysis::appraisal::{self, Appraisal, Change, METHOD};
use crate::points::instance_cost;
use crate::report::counting::Counted;
use crate::report::saying::{listed, place, plural};
use crate::rules::matchup::UnitInstance;
use crate::rules::model::stat::{Holds, Stat};
use crate::rules::model::unit::{Per, UnitOption};
use crate::rules::standing::{self, carried};

/// The answer of an appraisal.
pub(super) fn answer(of: &PreparedAppraisal, found: &Appraisal) -> AppraisalAnswer {
    let rows = Rows { of };
    let unit = &of.pack.units[of.subject.unit.unit];
    let (profile, rules) = standing::profile(&of.pack, &of.subject.unit);
    let attacks: Vec<AttackRow> = found.attacks.iter().map(|attack| rows.attack(attack)).collect();
    let mut answer = AppraisalAnswer {
        unit: unit.named.id.clone(),
        name: unit.named.label.clone(),
        text: unit.named.text.clone(),
        pack: of.pack.named.id.clone(),
        hash: of.pack.hash.clone(),
        models: of.subject.unit.models,
        counted: rows.counted(&of.subject.unit),
        taken: rows.taken(),
        turns: of.turns,
        profile: packs::stats(&of.pack, &of.pack.stats.unit, &profile),
        weapons: (carried(&of.pack, &of.subject.unit).iter())
            .map(|(weapon, count)| packs::weapon(&of.pack, *weapon, *count))
            .collect(),
        rules: rules.iter().map(|rule| packs::rule_head(&of.pack, *rule)).collect(),
        hull: rows.hull(),
        cost: rows.cost(&found.cost),
        ranges: reviewed::ranges(&attacks, of.subject.unit.models, of.subject.targets.len()),
        sides: reviewed::sides(&attacks, of.subject.unit.models),
        attacks,
        damage: found.damage.iter().map(|game| rows.damage(game)).collect(),
        survival: found.survival.iter().map(|game| rows.survival(game)).collect(),
        approach_turns: rows.approach_turns(),
        approach: found.approach.iter().map(|game| rows.approach(game)).collect(),
        protections: found.protections.iter().map(|protection| rows.protection(protection)).collect(),
        repair: found.repair.as_ref().map(|mending| reviewed::mending(rows.rule(mending.rule), mending)),
        checks: found.checks.iter().map(|test| rows.check(test)).collect(),
        options: found.options.iter().map(|row| rows.option(row)).collect(),
        helpers: found.helpers.iter().map(|row| rows.together(row)).collect(),
        helped: found.helped.iter().map(|row| rows.together(row)).collect(),
        comparators: found.comparators.iter().map(|row| rows.comparator(row)).collect(),
        worth: worth(&found.worth),
        sensitivities: found.sensitivities.iter().map(|row| rows.sensitivity(row)).collect(),
        verdict: Vec::new(),
        advice: Vec::new(),
        at_ranges: of.pack.situations.ranges.iter().map(|band| (band.word.named.label.clone(), band.said())).collect(),
        method: METHOD.to_owned(),
    };
    answer.verdict = verdict(&answer);
    answer.advice = advice(&answer);
    answer
}

pub(in super::super) fn worth(worth: &appraisal::Worth) -> Worth {
    Worth { takes: worth.takes, stands: worth.stands, per_point: worth.per_point }
}

/// What names the rows of an appraisal.
pub(super) struct Rows<'a> {
    pub(super) of: &'a PreparedAppraisal,
}

impl Rows<'_> {
    pub(super) fn unit(&self, unit: &UnitInstance) -> String {
        self.of.pack.units[unit.unit].named.label.clone()
    }

    pub(super) fn counted(&self, unit: &UnitInstance) -> String {
        self.of.pack.units[unit.unit].counting(&self.of.pack).named(unit.models)
    }

    fn taken(&self) -> Vec<String> {
        let unit = &self.of.pack.units[self.of.subject.unit.unit];
        let named = |(option, times): &(usize, u32)| {
            let label = &unit.options[*option].named.label;
            if *times == 1 { label.clone() } else { format!("{times} {}", plural(label)) }
        };
        self.of.subject.unit.options.iter().map(named).collect()
    }

    pub(super) fn range(&self, range: usize) -> String {
        self.of.pack.situations.ranges[range].word.named.label.clone()
    }

    pub(super) fn arc(&self, arc: usize) -> String {
        self.of.pack.situations.arcs[arc].named.label.clone()
    }

    pub(super) fn rule(&self, rule: usize) -> String {
        self.of.pack.rules[rule].named.label.clone()
    }

    fn cost(&self, cost: &appraisal::Cost) -> CostForm {
        let unit = &self.of.pack.units[self.of.subject.unit.unit];
        let options = unit.options.iter().zip(&cost.options);
        CostForm {
            points: cost.points,
            middle: cost.middle,
            median: cost.median,
            role: self.of.pack.roles[unit.role].named.label.clone(),
            per_slot: unit.per_slot,
            slots: self.of.pack.roles[unit.role].most,
            most: unit.most.or(self.of.pack.limits.most_alike),
            capacity: cost.capacity,
            armoured: cost.armoured,
            points_each: cost.points as f64 / f64::from(cost.capacity.max(1)),
            least_models: unit.models.0,
            most_models: cost.most_models,
            most_points: cost.most_points,
            options: options
                .map(|(option, points)| OptionCost { option: option.named.label.clone(), points: *points })
                .collect(),
            ask: asks::points(self.of),
        }
    }

    fn attack(&self, attack: &appraisal::Attack) -> AttackRow {
        let target = &self.of.subject.targets[attack.target];
        AttackRow {
            target: self.unit(target),
            target_models: target.models,
            target_counted: self.counted(target),
            models: attack.matchup.attacker.models,
            arc: attack.arc.map(|arc| self.arc(arc)),
            range: self.range(attack.matchup.situation.range),
            armoured: attack.armoured,
            expected: attack.expected,
            destroyed: attack.destroyed,
            points: attack.points,
            per_point: attack.per_point,
            ask: asks::matchup(self.of, &attack.matchup),
        }
    }

    fn damage(&self, game: &appraisal::Damage) -> DamageRow {
        let target = &self.of.subject.targets[game.target];
        DamageRow {
            target: self.unit(target),
            target_models: target.models,
            target_counted: self.counted(target),
            range: self.range(game.range),
            left: game.left,
            destroyed: game.destroyed,
            target_points: instance_cost(&self.of.pack, target),
            points: game.points,
            per_point: game.per_point,
            ask: asks::duel(&game.game),
        }
    }

    fn survival(&self, game: &appraisal::Survival) -> SurvivalRow {
        let attacker = &self.of.subject.attackers[game.attacker];
        SurvivalRow {
            attacker: self.unit(attacker),
            attacker_models: attacker.models,
            attacker_counted: self.counted(attacker),
            arc: game.arc.map(|arc| self.arc(arc)),
            range: self.range(game.range),
            without: game.without.map(|rule| self.rule(rule)),
            standing: game.standing.clone(),
            stood: game.turns,
            ask: asks::duel(&game.game),
        }
    }

    fn protection(&self, protection: &appraisal::Protection) -> ProtectionRow {
        ProtectionRow {
            rule: self.rule(protection.rule),
            text: self.of.pack.rules[protection.rule].named.text.clone(),
            with: protection.at_best().with.1,
            without: protection.at_best().without.1,
            gained: protection.gained(),
            best: protection.best,
            under: protection.under.iter().map(|under| self.protected(under)).collect(),
        }
    }

    fn check(&self, test: &appraisal::Test) -> CheckRow {
        let plan = &self.of.pack.checks[test.check];
        CheckRow {
            check: plan.named.label.clone(),
            asks: plan.asks.as_ref().map(|(what, _)| what.clone()),
            asked: test.asked,
            passes: test.passes,
            fails_once: test.fails_once,
            ask: asks::check(&test.tries),
        }
    }

    fn sensitivity(&self, row: &appraisal::Sensitivity) -> SensitivityRow {
        SensitivityRow {
            change: self.change(&row.change),
            points: row.points,
            takes: row.worth.takes,
            stands: row.worth.stands,
            per_point: row.worth.per_point,
            moved: row.moved,
        }
    }

    /// The weapons that go for an option: where each one of it takes the place of one of them, one, else as many as there are.
    pub(super) fn gone_for(&self, option: &UnitOption) -> Vec<String> {
        let pack = &self.of.pack;
        let carried = carried(pack, &self.of.subject.unit);
        let named = |weapon: &usize| {
            let label = &pack.weapons[*weapon].named.label;
            let several = carried.iter().any(|(known, count)| known == weapon && *count > 1);
            if several && option.per != Per::Weapon { plural(label) } else { label.clone() }
        };
        option.replaces.iter().map(named).collect()
    }

    /// `taking the Stern mortar instead of its swivel guns`, `taking one Line gun instead of one of its flare pistols`.
    fn taking(&self, option: &UnitOption) -> String {
        let pack = &self.of.pack;
        let its = Voice::counted(&self.counted(&self.of.subject.unit)).their;
        let carried = carried(pack, &self.of.subject.unit);
        let one_of = option.per == Per::Weapon;
        let gone = |weapon: &usize| {
            let label = &pack.weapons[*weapon].named.label;
            match carried.iter().find(|(known, _)| known == weapon) {
                Some((_, count)) if *count > 1 && one_of => format!("one of {its} {}", plural(label)),
                Some((_, count)) if *count > 1 => format!("{its} {}", plural(label)),
                _ => format!("{its} {label}"),
            }
        };
        let gone: Vec<String> = option.replaces.iter().map(gone).collect();
        let instead = if gone.is_empty() { String::new() } else { format!(" instead of {}", listed(&gone)) };
        let number = if one_of && option.most.of(self.of.subject.unit.models) > 1 { "one" } else { "the" };
        format!("taking {number} {}{instead}", option.named.label)
    }

    fn change(&self, change: &Change) -> String {
        let pack = &self.of.pack;
        match change {
            Change::UnitStat(stat) => one_better(&pack.stats.unit[*stat]),
            Change::WeaponStat(stat) => one_better(&pack.stats.weapon[*stat]),
            Change::Option(option) => self.taking(&pack.units[self.of.subject.unit.unit].options[*option]),
            Change::Models(models) => {
                let counting = pack.units[self.of.subject.unit.unit].counting(pack);
                let (name, own) = match counting.counted {
                    Counted::Models => (counting.name(*models), self.of.subject.unit.models),
                    Counted::Units => (counting.words.1, self.of.subject.unit.models),
                };
                format!("fielding {models} {name} instead of {own}")
            }
            Change::Cover(cover) => format!("standing {}", place(&pack.situations.covers[*cover].named.label)),
            Change::Arc(arc) => format!("being attacked from the {}", self.arc(*arc)),
            Change::Without(rule) => format!("losing {}", self.rule(*rule)),
            Change::Repair => "a repair roll one better".to_owned(),
            Change::Cheaper => "costing one point less".to_owned(),
        }
    }
}

fn one_better(stat: &Stat) -> String {
    match stat.holds {
        Holds::Needs => format!("{} one better", stat.label),
        Holds::Number | Holds::Dice | Holds::Word(_) => format!("+1 {}", stat.label),
    }
}
