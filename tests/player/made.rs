//! Requests about units, made up at random.
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::unit::{Per, Unit};
use pipwright_tests::table::{Company, asked};
use serde_json::{Value, json};

/// Options that go together, as a request says them.
fn options(unit: &Unit, models: u32, rng: &mut fastrand::Rng) -> Vec<String> {
    let mut taken: Vec<(usize, u32)> = Vec::new();
    for (at, option) in unit.options.iter().enumerate() {
        let inside = option.inside.is_none_or(|inside| taken.iter().any(|(other, _)| *other == inside));
        let required = option.requires.iter().all(|other| taken.iter().any(|(at, _)| at == other));
        let excluded = taken
            .iter()
            .any(|(other, _)| option.excludes.contains(other) || unit.options[*other].excludes.contains(&at));
        let most = if option.per == Per::Weapon { option.most.of(models) } else { 1 };
        if inside && required && !excluded && most > 0 && rng.u8(0..3) == 0 {
            taken.push((at, rng.u32(1..=most)));
        }
    }
    let said = |(at, times): (usize, u32)| match (&unit.options[at].named.id, times) {
        (id, 1) => id.clone(),
        (id, times) => format!("{times} {id}"),
    };
    taken.into_iter().map(said).collect()
}

/// A unit with so many models at most; a target may have lost something.
pub fn side(pack: &Pack, most: u32, worn: bool, rng: &mut fastrand::Rng) -> Value {
    let unit = rng.choice(&pack.units).expect("units");
    let (least, highest) = unit.models;
    // Of machines, which are bought one by one, there may be several.
    let highest = if highest == 1 && rng.u8(0..4) == 0 { 3 } else { highest };
    let models = rng.u32(least..=highest.min(most).max(least));
    let mut side = json!({"unit": unit.named.id, "models": models});
    let some = |list: Vec<String>| if list.is_empty() { Value::Null } else { json!(list) };
    side["options"] = some(options(unit, models, rng));
    if rng.u8(0..2) == 0 {
        let near = (0..rng.usize(1..=2)).map(|_| {
            let unit = rng.choice(&pack.units).expect("units");
            let options = options(unit, unit.models.0, rng).into_iter().filter(|option| !option.contains(' '));
            std::iter::once(unit.named.id.clone()).chain(options).collect::<Vec<_>>().join(" + ")
        });
        side["near"] = some(near.collect());
    }
    if worn && rng.u8(0..2) == 0 {
        wear(pack, &mut side, rng);
    }
    side
}

/// It is hurt, or not all of it is left, and a machine may bear marks.
fn wear(pack: &Pack, side: &mut Value, rng: &mut fastrand::Rng) {
    let muster = asked::side(pack, side).expect("a side");
    let company = Company::muster(pack, &muster);
    let capacity = u32::try_from(company.frame.capacity(muster.models as usize)).expect("few");
    if rng.bool() && capacity > 1 {
        side["hurt"] = json!(rng.u32(1..capacity));
    } else if company.frame.armoured || muster.models == 1 {
        side["left"] = json!(rng.u32(1..=capacity));
    } else {
        side["left"] = json!(rng.u32(1..=muster.models));
    }
    if company.frame.armoured && rng.bool() {
        side["statuses"] = json!([rng.choice(&company.frame.names).expect("marks")]);
    }
}

/// Where a unit stands, whether it moved, and the flags of its attack.
pub fn stand(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let words = &pack.situations;
    let mut said = json!({
        "arc": rng.choice(&words.arcs).expect("arcs").named.id,
        "cover": rng.choice(&words.covers).expect("covers").named.id,
        "moved": rng.bool(),
    });
    for flag in &words.flags {
        said[&flag.id] = json!(rng.u8(0..3) == 0);
    }
    said
}

/// A band of range, or a distance.
pub fn range(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    if rng.u8(0..4) == 0 {
        return json!(rng.u32(0..=50));
    }
    json!(rng.choice(&pack.situations.ranges).expect("ranges").word.named.id)
}

/// A line of a list; now and then with something wrong about it.
pub fn line(pack: &Pack, rng: &mut fastrand::Rng) -> Value {
    let unit = rng.choice(&pack.units).expect("units");
    let (least, most) = unit.models;
    let models = if rng.u8(0..12) == 0 { rng.u32(1..=most + 2) } else { rng.u32(least..=most) };
    let mut taken = options(unit, models, rng);
    if let Some(option) = rng.choice(&unit.options).filter(|_| rng.u8(0..6) == 0) {
        taken.retain(|other| !other.ends_with(&option.named.id));
        taken.push(format!("{} {}", rng.u32(1..=3), option.named.id));
    }
    json!({"unit": unit.named.id, "models": models, "count": rng.u32(1..=2), "options": taken})
}
