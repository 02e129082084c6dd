//! A duel of two units of a book: resolved to plain numbers, and explained.
use super::super::bytes;
use super::super::lookup;
use super::super::matchup::{self, RuleNotes, Stated};
use super::super::mistake::{Mistake, Mistakes, pointer};
use super::super::notes::{Because, Label};
use super::answer::{DuelOutcome, DuelPoints, OneSide, UnitOutcome, UnusedTurns};
use super::turns::{OneTurn, Said};
use super::{DuelRequest, DuelSide, TurnsForm};
use crate::odds::duel::{Duel, TimedVolley};
use crate::odds::price::Work;
use crate::points::instance_cost;
use crate::rules::PackCatalog;
use crate::rules::compile::{CompiledSide, compile_duel};
use crate::rules::duel_matchup::{DuelMatchup, TurnRange};
use crate::rules::losses::reads_losses;
use crate::rules::matchup::{Situation, UnitInstance};
use crate::rules::model::Pack;
use crate::rules::reason::Spot;

/// Where each side stands in a request.
const SIDES: [&str; 2] = ["a", "b"];
const OWN: [&str; 2] = ["/a/situation", "/b/situation"];

/// Two units that came down to a duel.
#[derive(Clone, Debug)]
pub(super) struct PreparedUnits {
    duel_matchup: DuelMatchup,
    compiled: [CompiledSide; 2],
    defaults: Vec<Stated>,
}

/// The duel of two units in plain numbers.
pub(super) fn resolve(
    request: DuelRequest,
    catalog: &PackCatalog,
    mistakes: &mut Mistakes,
) -> Option<(Duel, Option<PreparedUnits>)> {
    for (side, at) in [(&request.a, "/a"), (&request.b, "/b")] {
        has_no_numbers(side, at, mistakes);
    }
    let turns = request.turns.unwrap_or(6);
    if !(1..=20).contains(&turns) {
        mistakes.push(Mistake::value("/turns", "1 to 20 turns"));
        return None;
    }
    let pack = lookup::pack(catalog, request.pack.as_deref(), request.book.as_deref(), mistakes)?;
    let mut defaults = Vec::new();
    if request.pack.is_none() {
        let text = format!("pack: {}", pack.named.label);
        defaults.push(Stated::new("/pack", pack.named.id.as_str(), &text));
    }
    let mut side = |form: &DuelSide, name: &str| {
        form.as_unit().and_then(|form| matchup::resolve_dueller(&form, &pack, name, &mut defaults, mistakes))
    };
    let (a, b) = (side(&request.a, "a"), side(&request.b, "b"));
    let turn_ranges = turn_ranges(&request, &pack, turns, &mut defaults, mistakes);
    let with = lookup::rules(&pack, request.with.as_deref(), "/with", mistakes);
    let without = lookup::rules(&pack, request.without.as_deref(), "/without", mistakes);
    if request.first.is_none() {
        defaults.push(Stated::new("/first", "a", "a goes first"));
    }
    if request.turns.is_none() {
        defaults.push(Stated::new("/turns", turns, "6 turns"));
    }
    let duel_matchup = DuelMatchup { sides: [a?, b?], turn_ranges: turn_ranges?, with, without, pack };
    if !mistakes.0.is_empty() {
        return None;
    }
    let compiled = match compile_duel(&duel_matchup) {
        Ok(compiled) => compiled,
        Err((side, error)) => {
            mistakes.push(Mistake::value(format!("/{}/weapons", SIDES[side]), error.to_string()));
            return None;
        }
    };
    let [one, other] = compiled.each_ref().map(|side| side.side.clone());
    match Duel::new(one, other, request.first(), turns) {
        Ok(duel) => {
            state_standing(&duel_matchup, &duel, &mut defaults);
            Some((duel, Some(PreparedUnits { duel_matchup, compiled, defaults })))
        }
        Err(errors) => {
            for error in errors {
                let at = format!("/{}", SIDES[usize::from(error.of_b)]);
                mistakes.push(Mistake::value(at, error.to_string()));
            }
            None
        }
    }
}

/// A side that is a unit says nothing in plain numbers; and one unit fights another.
fn has_no_numbers(side: &DuelSide, at: &str, mistakes: &mut Mistakes) {
    if side.unit.is_none() {
        mistakes.push(Mistake::missing(pointer(at, "unit"), "the other side is a unit of a book: name one here too"));
    }
    let there = [
        ("target", side.target.is_some()),
        ("attack", side.attack.is_some()),
        ("repair", side.repair.is_some()),
        ("sheds", side.sheds.is_some()),
    ];
    for (field, _) in there.iter().filter(|(_, there)| *there && side.unit.is_some()) {
        mistakes.push(Mistake::value(pointer(at, field), "a unit of a book has these numbers from its book"));
    }
}

/// For each side the situations of its attacks, equal turns together.
fn turn_ranges(
    request: &DuelRequest,
    pack: &Pack,
    turns: u32,
    defaults: &mut Vec<Stated>,
    mistakes: &mut Mistakes,
) -> Option<[Vec<TurnRange>; 2]> {
    let own = [request.a.situation.as_ref(), request.b.situation.as_ref()];
    let shared = request.situation.as_ref();
    for (form, at) in own.into_iter().zip(OWN).chain([(shared, "/situation")]) {
        let Some(form) = form else { continue };
        form.check(turns, at, mistakes);
        if at != "/situation" && form.range.is_some() {
            let detail = "both are at the same range: say it in the situation of the duel";
            mistakes.push(Mistake::value(pointer(at, "range"), detail));
        }
    }
    state_situation(own, shared, pack, defaults);
    let mut turn_ranges = [Vec::new(), Vec::new()];
    let mut found = Mistakes::default();
    for side in [0, 1] {
        let said = |form, at| Said { form, at };
        let shown = [said(own[1 - side], OWN[1 - side]), said(shared, "/situation")];
        let attacking = [said(own[side], OWN[side]), said(shared, "/situation")];
        for turn in 1..=turns {
            let one = OneTurn::of(turn, &shown, &attacking, &said(shared, "/situation"));
            let Some(situation) = situation(&one, pack, &mut found) else { continue };
            push(&mut turn_ranges[side], situation, turn);
        }
    }
    for mistake in found.0 {
        if !mistakes.0.contains(&mistake) {
            mistakes.push(mistake);
        }
    }
    turn_ranges.iter().all(|turn_ranges| !turn_ranges.is_empty()).then_some(turn_ranges)
}

fn push(turn_ranges: &mut Vec<TurnRange>, situation: Situation, turn: u32) {
    match turn_ranges.last_mut() {
        Some(turn_range) if turn_range.situation == situation => turn_range.turns.1 = turn,
        _ => turn_ranges.push(TurnRange { situation, turns: (turn, turn) }),
    }
}

/// The situation of one attack; its mistakes where the request says what is wrong.
fn situation(one: &OneTurn, pack: &Pack, mistakes: &mut Mistakes) -> Option<Situation> {
    let mut found = Mistakes::default();
    let situation = matchup::resolve_situation(&one.form, pack, &mut found);
    for mut mistake in found.0 {
        let field = mistake.pointer.strip_prefix("/situation/").unwrap_or_default();
        if let Some(place) = one.places.get(field) {
            mistake.pointer.clone_from(place);
        }
        mistakes.push(mistake);
    }
    situation
}

/// What of the situation nobody said.
fn state_situation(own: [Option<&TurnsForm>; 2], shared: Option<&TurnsForm>, pack: &Pack, defaults: &mut Vec<Stated>) {
    let words = &pack.situations;
    let (arc, range, cover) = words.usual;
    let says = |side: usize, what: fn(&TurnsForm) -> bool| own[side].is_some_and(what) || shared.is_some_and(what);
    for side in [0, 1] {
        let (name, at) = (SIDES[side], |field: &str| pointer(OWN[side], field));
        if words.arcs.len() > 1 && !says(side, |form| form.arc.is_some()) {
            let arc = &words.arcs[arc].named;
            defaults.push(Stated::new(&at("arc"), arc.id.as_str(), &format!("{name} shows its {}", arc.label)));
        }
        if words.covers.len() > 1 && !says(side, |form| form.cover.is_some()) {
            let cover = &words.covers[cover].named;
            defaults.push(Stated::new(&at("cover"), cover.id.as_str(), &format!("cover of {name}: {}", cover.label)));
        }
        if !says(side, |form| form.moved.is_some()) {
            defaults.push(Stated::new(&at("moved"), false, &format!("{name} does not move")));
        }
    }
    if words.ranges.len() > 1 && shared.is_none_or(|form| form.range.is_none()) {
        let band = &words.ranges[range].word.named;
        let text = format!("range in every turn: {}", band.label);
        defaults.push(Stated::new("/situation/range", band.id.as_str(), &text));
    }
}

/// What the book leaves open about units that dwindle.
fn state_standing(duel_matchup: &DuelMatchup, duel: &Duel, defaults: &mut Vec<Stated>) {
    for (side, name) in [duel.a(), duel.b()].into_iter().zip(SIDES) {
        if side.attack.iter().any(|timed| !timed.attackers_by_survivors.is_empty()) {
            let text = format!("the models of {name} with special weapons fall last");
            defaults.push(Stated::new(&format!("/{name}/weapons"), "last", &text));
        }
        if side.attack.iter().any(|timed| timed.bases_follow_survivors) {
            let text = format!("templates of {name} are laid on those who stand then, in ranks as at the start");
            defaults.push(Stated::new(&format!("/{name}/weapons"), "standing", &text));
        }
    }
    if reads_losses(&duel_matchup.pack) {
        let text = "rules that go by how many stand, by points missing or by marks are read as at the start";
        defaults.push(Stated::new("", "start", text));
    }
}

impl PreparedUnits {
    /// What beside the plain numbers makes the answer what it is.
    pub(super) fn canonical(&self) -> serde_json::Value {
        let duel_matchup = &self.duel_matchup;
        let pack = &duel_matchup.pack;
        let rules = |list: &[usize]| list.iter().map(|rule| pack.rules[*rule].named.id.clone()).collect::<Vec<_>>();
        let turn_range = |turn_range: &TurnRange| {
            let at = &turn_range.situation;
            serde_json::json!([at.arc, at.range, at.distance, at.cover, at.moved, at.flags, turn_range.turns])
        };
        let defaults: Vec<&str> = self.defaults.iter().map(|stated| stated.pointer.as_str()).collect();
        serde_json::json!({
            "pack": pack.hash,
            "sides": duel_matchup.sides.each_ref().map(|side| matchup::side_value(pack, side)),
            "stages": duel_matchup.turn_ranges.each_ref().map(|turn_ranges| turn_ranges.iter().map(turn_range).collect::<Vec<_>>()),
            "with": rules(&duel_matchup.with),
            "without": rules(&duel_matchup.without),
            "defaults": defaults,
        })
    }

    /// Puts the reasons beside the numbers.
    /// The most bytes of what an explanation adds.
    pub(super) fn bytes(&self) -> Work {
        let pack = &self.duel_matchup.pack;
        let side = |side: &CompiledSide| {
            let steps = |timed: &TimedVolley| Work::from(timed.volley.steps.len()) * 2_000 + 2_000;
            let unused_weapons = side.unused_weapons.iter().map(|(_, _, why)| bytes::text(why) + 600).sum::<Work>();
            let mends = side.mends.iter().map(|why| bytes::text(&why.text) + bytes::text(&why.effect) + 600);
            let rules = bytes::rules(pack, &side.acted) + bytes::rules(pack, &side.idle);
            let form = side.side.attack.iter().map(steps).sum::<Work>();
            form + bytes::reasons(&side.reasons) + rules + unused_weapons + mends.sum::<Work>()
        };
        bytes::few(self.compiled.iter().map(side).sum())
    }

    pub(super) fn explain(&self, duel: &Duel, exact: bool, mut answer: DuelOutcome) -> DuelOutcome {
        let pack = &self.duel_matchup.pack;
        let means = [answer.a.left.expected, answer.b.left.expected];
        let units = [0, 1].map(|side| self.unit(duel, side, means));
        answer.better_spent = match (units[0].points.per_point, units[1].points.per_point) {
            (Some(a), Some(b)) if a > b => Some(OneSide::A),
            (Some(a), Some(b)) if b > a => Some(OneSide::B),
            _ => None,
        };
        let [a, b] = units;
        (answer.a.unit, answer.b.unit) = (Some(a), Some(b));
        let mut plain = DuelRequest { exact: exact.then_some(true), ..DuelRequest::of(duel) };
        label(&mut plain, &self.duel_matchup, &self.compiled);
        answer.duel = Some(Box::new(plain));
        answer.defaults = Some(self.defaults.clone());
        answer.pack = Some(pack.named.id.clone());
        answer.hash = Some(pack.hash.clone());
        answer
    }

    fn unit(&self, duel: &Duel, side: usize, means: [f64; 2]) -> UnitOutcome {
        let pack = &self.duel_matchup.pack;
        let (own, compiled) = (&self.duel_matchup.sides[side], &self.compiled[side]);
        let plain = [duel.a(), duel.b()];
        let name = |volley: usize, step: usize| {
            let step = plain[side].attack.get(volley).and_then(|timed| timed.volley.steps.get(step));
            step.map(|step| step.name.clone())
        };
        let unused_weapons = compiled.unused_weapons.iter().map(|(weapon, turns, why)| UnusedTurns {
            weapon: pack.weapons[*weapon].named.label.clone(),
            turns: [turns.0, turns.1],
            why: why.clone(),
        });
        let cost = instance_cost(pack, own);
        let enemy = &self.duel_matchup.sides[1 - side];
        let share = 1.0 - means[1 - side] / f64::from(enemy.models.max(1));
        let removed = instance_cost(pack, enemy) as f64 * share.max(0.0);
        let points = DuelPoints { cost, removed, per_point: (cost > 0).then(|| removed / cost as f64) };
        UnitOutcome {
            name: pack.units[own.unit].named.label.clone(),
            because: matchup::because(&compiled.reasons, &name),
            rules: RuleNotes::of(pack, &compiled.acted, &compiled.idle),
            unused_weapons: unused_weapons.collect(),
            mends: compiled.mends.iter().map(Because::from).collect(),
            points,
        }
    }
}

/// Each volley says whose weapon it is, each side what unit, each number why.
fn label(plain: &mut DuelRequest, duel_matchup: &DuelMatchup, compiled: &[CompiledSide; 2]) {
    let pack = &duel_matchup.pack;
    let named = |unit: &UnitInstance| Some(Label(pack.units[unit.unit].named.label.clone()));
    let sides = [&mut plain.a, &mut plain.b];
    for side in [0, 1] {
        sides[side].label = named(&duel_matchup.sides[side]);
        for (spot, reason) in &compiled[side].reasons {
            let note = Because::from(reason);
            let volleys = sides[side].attack.as_mut().and_then(|attack| attack.volleys.as_mut());
            let place = match *spot {
                Spot::Volley(volley) => {
                    volleys.and_then(|volleys| volleys.get_mut(volley)).map(|volley| &mut volley.because)
                }
                Spot::Step(volley, step) => volleys
                    .and_then(|volleys| volleys.get_mut(volley))
                    .and_then(|volley| volley.steps.as_mut()?.get_mut(step))
                    .map(|step| &mut step.because),
                Spot::Target | Spot::Ignore(_) => {
                    sides[1 - side].target.as_mut().map(|target| match target.ignore.as_mut() {
                        Some(ignore) if matches!(spot, Spot::Ignore(_)) => &mut ignore.because,
                        _ => &mut target.because,
                    })
                }
            };
            if let Some(place) = place {
                place.get_or_insert_default().0.push(note);
            }
        }
        let volleys = sides[side].attack.iter_mut().filter_map(|attack| attack.volleys.as_mut()).flatten();
        for (volley, weapon) in volleys.zip(&compiled[side].weapons) {
            volley.label = Some(Label(pack.weapons[*weapon].named.label.clone()));
        }
    }
}
