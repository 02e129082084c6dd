//! Sentences about options and about units that stand near each other, each from its row alone.
use super::review::{ForWhat, OptionRow, TogetherRow};
use crate::report::saying::{
    count, is_several as several, listed, mean, means_apart, one, percent, plural, share, the_unit as the,
};

/// What is less than this is rounding.
pub(super) const ROUNDED: f64 = 1e-9;

fn points_and_name(row: &OptionRow) -> String {
    // One of several weapons may go for it, or all of them.
    let gone = |label: &String| if plural(label) == *label { format!("its {label}") } else { one(label) };
    let instead = match row.replaces.as_slice() {
        [] => String::new(),
        gone_for => format!(" instead of {}", listed(&gone_for.iter().map(gone).collect::<Vec<_>>())),
    };
    let needs = if row.needs.is_empty() { String::new() } else { format!(", which needs {},", listed(&row.needs)) };
    format!("{}{needs} for {}{instead}", row.option, count(row.points, "point", "points"))
}

fn destroyed(of: &ForWhat) -> String {
    let said = means_apart(&[of.with, of.without]);
    format!("it destroys {} points of {} in a game instead of {}", said[0], the(&of.whom), said[1])
}

fn survived(of: &ForWhat) -> String {
    let said = means_apart(&[of.with, of.without]);
    format!("under {} it survives {} turns instead of {}", the(&of.whom), said[0], said[1])
}

/// Whether an option is worth it, and for what; it turns round where `moved` crosses 0.
pub fn option(row: &OptionRow) -> String {
    let what = points_and_name(row);
    let gains: Vec<String> =
        row.best_target.iter().map(destroyed).chain(row.best_attacker.iter().map(survived)).collect();
    let most = if gains.is_empty() { String::new() } else { format!(" Most of all {}.", listed(&gains)) };
    let still = if gains.is_empty() { String::new() } else { format!(" What it does: {}.", listed(&gains)) };
    match row.moved {
        Some(moved) if moved > ROUNDED => {
            format!("Worth it: {what}. The unit gives {} more for its points.{most}", share(moved))
        }
        Some(moved) if moved < -ROUNDED => {
            format!("Not worth it here: {what}. The unit gives {} less for its points.{still}", share(-moved))
        }
        Some(_) => format!("Makes no difference here: {what}."),
        None if row.with.takes * row.with.stands > ROUNDED => {
            format!("Worth it: {what}. Without it the unit destroys nothing.{most}")
        }
        None => format!("Can't be weighed here: {what}. With it and without it the unit destroys nothing."),
    }
}

/// What the presence of one unit is to another; it turns round where `gained` crosses 0.
pub fn together(row: &TogetherRow) -> String {
    let beside = row.near_id.strip_prefix(&row.unit_id);
    let own = beside.is_some_and(|options| options.is_empty() || options.starts_with([' ', '+']));
    let near = if own { format!("another {}", row.near) } else { format!("the {}", row.near) };
    let unit = the(&row.unit);
    let several = several(&row.unit);
    let (is, gives) = if several { ("are", "give") } else { ("is", "gives") };
    let cost = count(row.near_points, "point", "points");
    let each = row
        .per_point
        .map_or_else(String::new, |each| format!(", {} for each of the {cost} that {near} costs", mean(each.abs())));
    let mut text = match row.gained {
        gained if gained > ROUNDED => {
            format!("Better together: near {near}, {unit} {gives} {} more points in a game{each}.", mean(gained))
        }
        gained if gained < -ROUNDED => {
            format!("Worse together: near {near}, {unit} {gives} {} fewer points in a game{each}.", mean(-gained))
        }
        _ => format!("In a game {unit} {is} worth as much near {near} ({cost}) as alone."),
    };
    if let Some(mend) = &row.repair {
        text.push_str(&format!(
            " A repair roll succeeds {} of the time instead of {}.",
            percent(mend.chance_with),
            percent(mend.chance_without)
        ));
    }
    let tests: Vec<String> = row
        .checks
        .iter()
        .map(|check| {
            let asked = check.asked.map_or_else(String::new, |asked| format!(" ({asked})"));
            let name = one(&check.check.to_lowercase());
            format!("{name}{asked} {} of the time instead of {}", percent(check.with), percent(check.without))
        })
        .collect();
    if let Some(first) = tests.first() {
        // A test that takes a number is asked with several: one of them says it.
        let pass = if several { "They pass" } else { "It passes" };
        text.push_str(&format!(" {pass} {first}."));
    }
    text
}
