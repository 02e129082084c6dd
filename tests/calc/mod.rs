//! The calculations that stand on the engine: needed, luck, fair, draw, compare, batch.
mod appraisal;
mod appraisal_said;
mod batch;
mod build;
mod compare;
mod draw;
mod evening;
mod fair;
mod luck;
mod needed;
pub mod odd_pages;
mod side_by_side;
mod spill;
mod unanswered;
mod worth;

use serde_json::Value;

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[track_caller]
fn close(ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() <= 1e-12, "{ours} is not {theirs}");
}

/// The pointers of all the mistakes that are found.
#[track_caller]
fn pointers(path: &str, request: Value) -> Vec<String> {
    pipwright_tests::ask::refused(path, request).into_iter().map(|mistake| mistake.pointer).collect()
}
