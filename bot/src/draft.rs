//! A question while it is put together: JSON whose fields have their names here, and nowhere else in the bot.
//!
//! What is asked in the end is a request of `wire`. Until then any field may be missing, and what a person wrote stands
//! there as it was written: `d10`, not `1d10`.
use serde_json::{Map, Value as Json};

/// What stands where nothing was said.
pub const NOTHING: &Json = &Json::Null;

/// Parts that have parts, or that may be said in more ways than one: nothing but `null` where none was said.
macro_rules! parts {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {
        $($(#[$doc])* fn $name(&self) -> &Json {
            self.part(stringify!($name))
        })*
    };
}

/// Parts that are plain numbers: nothing where none was said.
macro_rules! numbers {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {
        $($(#[$doc])* fn $name(&self) -> Option<u64> {
            self.part(stringify!($name)).as_u64()
        })*
    };
}

/// Parts that are words: nothing where none was said.
macro_rules! texts {
    ($($(#[$doc:meta])* $method:ident: $name:literal),* $(,)?) => {
        $($(#[$doc])* fn $method(&self) -> Option<&str> {
            self.part($name).as_str()
        })*
    };
}

/// Parts that are lists: empty where nothing was said.
macro_rules! lists {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {
        $($(#[$doc])* fn $name(&self) -> &[Json] {
            self.part(stringify!($name)).items()
        })*
    };
}

/// The parts of a question, by their names in requests. What is missing is `null`, a list that is missing is empty.
pub trait Draft {
    /// The question itself.
    fn json(&self) -> &Json;

    /// A part of which only the place is known, such as `/matchup/target`.
    fn at(&self, pointer: &str) -> &Json {
        self.json().pointer(pointer).unwrap_or(NOTHING)
    }

    /// A part of which the name is known when it is asked for.
    fn part(&self, name: &str) -> &Json {
        self.json().get(name).unwrap_or(NOTHING)
    }

    /// Whether anything was said.
    fn is_said(&self) -> bool {
        !self.json().is_null()
    }

    /// What was said, where anything was.
    fn said(&self) -> Option<&Json> {
        Some(self.json()).filter(|said| !said.is_null())
    }

    /// A list; empty where it is none.
    fn items(&self) -> &[Json] {
        self.json().as_array().map(Vec::as_slice).unwrap_or_default()
    }

    /// Fields with their values; none where it has no fields.
    fn fields(&self) -> impl Iterator<Item = (&String, &Json)> {
        self.json().as_object().into_iter().flatten()
    }

    /// The texts of a list.
    fn texts(&self) -> impl Iterator<Item = &str> {
        self.items().iter().filter_map(Json::as_str)
    }

    /// A text as it stands, or a number in digits.
    fn words(&self) -> String {
        self.json().as_str().map_or_else(|| self.json().to_string(), str::to_owned)
    }

    /// What is added to a total.
    fn modifier(&self) -> Option<i64> {
        self.part("modifier").as_i64()
    }

    parts! {
        /// Who attacks.
        attacker,
        /// Who is attacked.
        target,
        /// One side of a duel, or one of two lists.
        a,
        /// The other side.
        b,
        /// What the table adds.
        situation,
        /// The arc that is hit.
        arc,
        /// The range, or the range of each turn.
        range,
        /// What is stood behind.
        cover,
        /// An attack of two units.
        matchup,
        /// A check.
        check,
        /// An attack in plain numbers.
        chain,
        /// A repair.
        repair,
        /// What is wanted.
        want,
        /// How often it is to be destroyed.
        destroyed,
        /// How sure one wants to be.
        chance,
        /// Every unit, at this table.
        every,
        /// The pack.
        pack,
        /// How bases stand.
        formation,
        /// A hull's size.
        hull,
        /// A template.
        template,
        /// How it drifts.
        scatter,
        /// The other side of an opposed roll.
        versus,
        /// Which dice count; of a list, what stays.
        keep,
        /// The dice.
        dice,
        /// How many attacks.
        attacks,
        /// The damage of each.
        damage,
        /// The last roll against damage.
        ignore,
        /// What a high face gives.
        critical,
        /// Further successes.
        extra,
        /// What is lost each turn.
        incoming,
        /// What a success brings back.
        restores,
        /// What came of it.
        result,
        /// A bearing.
        bearing,
        /// A unit of a book, or a side in its place.
        unit,
        /// Against whom.
        against,
    }

    numbers! {
        /// How many models.
        models,
        /// Units alike.
        count,
        /// The health of each.
        health,
        /// The structure of a hull.
        structure,
        /// What is left.
        left,
        /// What is lost already.
        hurt,
        /// How many attack.
        attackers,
        /// How many rolls are tried.
        tries,
        /// How many must pass.
        passes,
        /// How many turns.
        turns,
        /// At how many points.
        points,
        /// How many points are missing.
        missing,
        /// How many there are when whole.
        capacity,
        /// The sides of the one die.
        die,
        /// The sides of a die that is looked at.
        sides,
        /// The points of a list.
        limit,
    }

    texts! {
        /// The unit of a side.
        unit_id: "unit",
        /// The name of a step.
        name: "name",
        /// What kind of step it is.
        kind: "kind",
        /// What is rolled again.
        reroll: "reroll",
        /// What one roll needs.
        need: "needs",
        /// Who goes first.
        first: "first",
        /// What a tie is.
        ties: "ties",
        /// When a base is caught.
        counts: "counts",
        /// Whose dice they were.
        side: "side",
        /// What is asked of a rule.
        ask: "ask",
    }

    lists! {
        /// The rolls of each attack.
        steps,
        /// What a unit has taken.
        options,
        /// Units that it stands near.
        near,
        /// The weapons that it uses.
        weapons,
        /// Marks that it bears.
        statuses,
        /// Attacks that are held against each other.
        variants,
        /// Whom they attack.
        targets,
        /// Rules that are put in.
        with,
        /// The lines of a list.
        lines,
    }
}

impl Draft for Json {
    fn json(&self) -> &Json {
        self
    }
}

/// Sets the value at a pointer, making the objects on the way.
pub fn set(question: &mut Json, pointer: &str, value: Json) {
    let mut here = question;
    for part in pointer.split('/').skip(1) {
        if !here.is_object() {
            *here = Json::Object(Map::new());
        }
        let Some(members) = here.as_object_mut() else { return };
        here = members.entry(part.to_owned()).or_insert(Json::Null);
    }
    *here = value;
}

/// Takes a field away, by its name or by the place where it stands.
pub fn unset(question: &mut Json, pointer: &str) {
    let (within, name) = pointer.rsplit_once('/').unwrap_or(("", pointer));
    if let Some(members) = question.pointer_mut(within).and_then(Json::as_object_mut) {
        members.remove(name);
    }
}

/// Puts each of two parts in the place of the other.
pub fn swap(question: &mut Json, one: &str, other: &str) {
    let (first, second) = (take(question, one), take(question, other));
    set(question, one, second);
    set(question, other, first);
}

/// Takes out what stands at a pointer, and leaves nothing there.
pub fn take(question: &mut Json, pointer: &str) -> Json {
    question.pointer_mut(pointer).map(Json::take).unwrap_or_default()
}

/// Keeps those items of a list that are to stay, where it is one.
pub fn retain(question: &mut Json, pointer: &str, stays: impl FnMut(&Json) -> bool) {
    if let Some(list) = question.pointer_mut(pointer).and_then(Json::as_array_mut) {
        list.retain(stays);
    }
}

/// The items of a list, to be changed; none where it is no list.
pub fn items_mut<'a>(question: &'a mut Json, pointer: &str) -> impl Iterator<Item = &'a mut Json> {
    question.pointer_mut(pointer).and_then(Json::as_array_mut).into_iter().flatten()
}
