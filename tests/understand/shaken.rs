//! No message is recognised as a whole: other names, other numbers and another order are understood as well.
use super::judge::{Case, Judge, Verdict};
use pipwright_bot::client::index::PackIndex;
use pipwright_shared::wire::packs::UnitHead;
use serde_json::{Map, Value};

/// Numbers that are the same on each run.
struct Dice(u64);

impl Dice {
    fn up_to(&mut self, most: usize) -> usize {
        // Knuth's constants of a linear congruential generator, from memory.
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).expect("31 bits") % most.max(1)
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn names_numbers_and_order_may_change() {
    let judge = Judge::start().await;
    let mut dice = Dice(20_26);
    let (mut shaken, mut misses) = (0, Vec::new());
    for case in super::all() {
        let index = judge.index(&case.pack).await;
        let Some(other) = shake(&case, &index, &mut dice) else { continue };
        if judge.judge(&case).await.0 != Verdict::Right {
            continue;
        }
        shaken += 1;
        let (verdict, said) = judge.judge(&other).await;
        if verdict != Verdict::Right {
            misses.push(format!("{} {:?} for {:?}: {said}", verdict.name(), other.say, case.say));
        }
    }
    println!("{shaken} messages changed, {} not understood:\n{}", misses.len(), misses.join("\n"));
    assert!(shaken >= 60, "only {shaken} could be changed");
    assert!(misses.len() * 10 <= shaken, "{} of {shaken}", misses.len());
}

/// The message with other units and numbers, and its parts in another order; nothing where nothing can be changed so.
fn shake(case: &Case, index: &PackIndex, dice: &mut Dice) -> Option<Case> {
    let plain = |want: &Value| {
        let with = want["with"].as_object()?;
        let tied = ["options", "weapons", "near", "statuses", "without", "with", "left", "hurt"];
        let free = with.keys().all(|key| !tied.iter().any(|tied| key.ends_with(tied)));
        (free && with.keys().any(|key| key.ends_with(".unit"))).then(|| with.clone())
    };
    if !case.before.is_empty() || case.want.iter().any(|want| plain(want).is_none()) {
        return None;
    }
    let mut other = case.clone();
    let mut changed = false;
    let with = plain(&case.want[0])?;
    let mut taken: Vec<&str> = Vec::new();
    for (key, value) in &with {
        let value = value.as_str()?;
        if key.ends_with(".unit") {
            let unit = index.units.iter().find(|unit| unit.id == value)?;
            let like = |one: &&UnitHead| {
                one.id != unit.id
                    && one.armoured == unit.armoured
                    && one.least == unit.least
                    && one.most == unit.most
                    && !with.values().any(|known| known == one.id.as_str())
                    && !taken.contains(&one.id.as_str())
            };
            let likes: Vec<&UnitHead> = index.units.iter().filter(like).collect();
            if likes.is_empty() {
                continue;
            }
            let new = likes[dice.up_to(likes.len())];
            if let Some(mut say) = renamed(&other.say, unit, new) {
                // A unit that is named again, perhaps in other words, is the new one there too.
                for _ in 0..3 {
                    say = renamed(&say, unit, new).unwrap_or(say);
                }
                taken.push(&new.id);
                other.say = say;
                put(&mut other, value, &new.id);
                changed = true;
            }
        } else if key.ends_with(".models") {
            let number: u64 = value.parse().ok()?;
            let side = key.trim_end_matches(".models");
            let unit = with
                .get(&format!("{side}.unit"))
                .and_then(Value::as_str)
                .and_then(|id| index.units.iter().find(|unit| unit.id == id))?;
            let most = if unit.armoured { 6 } else { unit.most.into() };
            let new = number % most + 1;
            let count = other.say.split(|c: char| !c.is_ascii_digit()).filter(|part| *part == value).count();
            let free = new >= if unit.armoured { 2 } else { unit.least.into() }
                && new != number
                && !with.values().any(|known| known == new.to_string().as_str());
            if count == 1 && free && number > 1 {
                other.say = replaced(&other.say, value, &new.to_string())?;
                for want in &mut other.want {
                    if let Some(models) = want["with"].as_object_mut().and_then(|with| with.get_mut(key)) {
                        *models = Value::from(new.to_string());
                    }
                }
                changed = true;
            }
        }
    }
    let parts: Vec<&str> = other.say.split(", ").collect();
    if parts.len() >= 3 && !other.say.contains(['?', '.']) {
        let mut parts = parts.clone();
        let last = parts.len() - 1;
        parts.swap(last, last - 1);
        other.say = parts.join(", ");
        changed = true;
    }
    changed.then_some(other)
}

/// One unit's name in place of another's.
fn renamed(say: &str, old: &UnitHead, new: &UnitHead) -> Option<String> {
    let mut said: Vec<String> =
        std::iter::once(old.name.to_lowercase()).chain(old.also.iter().map(|also| also.to_lowercase())).collect();
    said.sort_by_key(|said| std::cmp::Reverse(said.len()));
    let lower = say.to_lowercase();
    let name = new.name.to_lowercase();
    said.iter().find_map(|said| {
        if lower.matches(said.as_str()).count() != 1 {
            return None;
        }
        let new = if said.ends_with('s') && !name.ends_with('s') { format!("{name}s") } else { name.clone() };
        replaced(&lower, said, &new)
    })
}

/// A text with one word or phrase replaced where it stands whole, or with an ending.
fn replaced(text: &str, old: &str, new: &str) -> Option<String> {
    let at = text.find(old)?;
    let before = text[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric());
    let end = at + old.len();
    let after = text[end..].chars().next().is_none_or(|c| !c.is_alphanumeric() || c == 's' && !new.ends_with('s'));
    (before && after).then(|| format!("{}{new}{}", &text[..at], &text[end..]))
}

fn put(case: &mut Case, old: &str, new: &str) {
    for want in &mut case.want {
        let with: &mut Map<String, Value> = want["with"].as_object_mut().expect("an object");
        for value in with.values_mut().filter(|value| value.as_str() == Some(old)) {
            *value = Value::from(new);
        }
    }
}
