//! The attacks of a weapon that lays a template: as many as it catches.
use super::super::model::attack::Body;
use super::super::model::unit::{Catch, ScatterPlan, TemplatePlan};
use super::base;
use super::context::RuleContext;
use super::log::Log;
use crate::odds::blast::{AimAt, Base, Blast, Counts, Point};
use crate::odds::blast::{Hull, Scatter, Under};
use crate::odds::chain::Attacks;
use crate::odds::number::{Exact, Number};
use crate::report::saying::length;
use crate::rules::reason::Spot;

/// More bases than this are not laid out.
const MOST_BASES: u32 = 400;

/// What the template catches of the target as it stands, aimed where it promises most.
///
/// # Errors
/// Why the template is not laid.
pub(super) fn caught(context: &RuleContext<'_>, plan: &TemplatePlan, log: &mut Log) -> Result<Attacks, String> {
    let formation = &context.target.unit.formation;
    let (under, stands) = match &context.pack.kinds[context.target.unit.kind].body {
        Body::Soldiers { .. } => {
            let models = context.target.models.max(1);
            if models > MOST_BASES {
                return Err(format!("a template is laid on {MOST_BASES} bases at most, these are {models}"));
            }
            let files = formation.files.max(1);
            let step = f64::from(formation.base_mm + formation.gap_mm);
            let place = |at: u32| Point { x: f64::from(at % files) * step, y: f64::from(at / files) * step };
            let base = |at: u32| Base { centre: place(at), radius: f64::from(formation.base_mm) / 2.0 };
            let counts = match plan.counts {
                Catch::Touched => Counts::Touched,
                Catch::Centre => Counts::Centre,
                Catch::Whole => Counts::Whole,
            };
            let stands = match models {
                1 => format!("one base of {} mm", formation.base_mm),
                _ => format!(
                    "{models} bases of {} mm, {} mm apart, {files} to a rank",
                    formation.base_mm, formation.gap_mm
                ),
            };
            (Under::Bases((0..models).map(base).collect(), counts), stands)
        }
        Body::Armoured { .. } => {
            let (length, width) = formation.hull_mm;
            let stands = format!("a hull of {length} by {width} mm");
            (Under::Hull(Hull { length: f64::from(length), width: f64::from(width) }), stands)
        }
    };
    let scatter = plan.scatter.as_ref().map(|plan| scatter(context, plan));
    let drift =
        plan.scatter.as_ref().zip(scatter.as_ref()).map_or_else(String::new, |(plan, drift)| drifts(plan, drift));
    let effect = format!("a {} mm template on {stands}{drift}", plan.diameter_mm);
    let weapon = context.weapon.map_or("weapon", |weapon| weapon.named.id.as_str());
    log.from(Spot::Volley(log.volley), base(weapon, "It lays a template: one attack for each that is caught.", effect));
    let radius = f64::from(plan.diameter_mm) / 2.0;
    Ok(Attacks::Blast(Box::new(Blast { radius, under, aim: AimAt::Best, scatter })))
}

/// `; it drifts 2d10 less 7, 15 mm for each, and stays put 1 time in 5`: how far, and how often not at all.
fn drifts(plan: &ScatterPlan, scatter: &Scatter) -> String {
    let less = if scatter.reduce == 0 { String::new() } else { format!(" less {}", scatter.reduce) };
    let each = length(f64::from(plan.unit_tenths_mm) / 10.0);
    let stays = match plan.on_target {
        (0, _) => String::new(),
        (part, whole) => format!(", and stays put {}", often_in(part, whole)),
    };
    format!("; it drifts {}{less}, {each} for each{stays}", plan.dice)
}

/// `1 time in 5`, with the fraction as the pack has it.
fn often_in(part: u32, whole: u32) -> String {
    let of = crate::report::saying::often(f64::from(part) / f64::from(whole.max(1)));
    of.split(" (").next().unwrap_or_default().to_owned()
}

fn scatter(context: &RuleContext<'_>, plan: &ScatterPlan) -> Scatter {
    let (part, whole) = plan.on_target;
    Scatter {
        dice: plan.dice.into(),
        reduce: context.number(&plan.reduce).clamp(0, 10_000).unsigned_abs(),
        unit: f64::from(plan.unit_tenths_mm) / 10.0,
        on_target: Exact::ratio(u64::from(part), u64::from(whole.max(1))),
    }
}
