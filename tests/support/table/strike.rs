//! All attacks of one weapon in one turn, in every way that they can go.
use super::Company;
use super::body::{Body, Frame};
use super::chances::{Chances, merged, summed};
use super::exchange::Exchange;
use super::lay::Lay;
use super::weapon::{Against, Success};
use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

/// A step whose successes are counted, up to so many.
pub type Watch = Option<(usize, usize)>;

/// In the middle of a weapon's attacks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Moment {
    pub body: Body,
    /// The rest of this weapon's attacks is lost.
    pub wasted: bool,
    /// Successes past the step that is watched.
    pub passed: usize,
    /// Backfires from which nothing saved the user.
    pub bursts: usize,
}

type Key = (usize, Success, Body, bool);
/// Where one attack leads from a moment.
type Row = Rc<Vec<(usize, f64)>>;

/// A weapon in use against a unit, whichever of its figures is in front.
pub struct Used<'a> {
    faces: Vec<Against<'a>>,
    frame: &'a Frame,
    lay: &'a Lay,
    watch: Watch,
    parts: RefCell<HashMap<Key, Rc<Chances<Moment>>>>,
    moments: RefCell<(Vec<Moment>, HashMap<Moment, usize>)>,
    rows: RefCell<HashMap<usize, Row>>,
}

impl<'a> Used<'a> {
    /// Nothing where the weapon is not used here. `faces` is the other side with each of its sorts in front.
    pub fn new(exchange: Exchange<'a>, faces: &'a [Company<'a>], lay: &'a Lay, watch: Watch) -> Option<Self> {
        let faces: Option<Vec<_>> = faces.iter().map(|target| Against::new(Exchange { target, ..exchange })).collect();
        Some(Self {
            faces: faces?,
            frame: &exchange.target.frame,
            lay,
            watch,
            parts: RefCell::default(),
            moments: RefCell::default(),
            rows: RefCell::default(),
        })
    }

    /// What each backfire costs.
    pub fn harm(&self) -> Chances<i64> {
        self.faces[0].harm()
    }

    /// The number of attacks of so many of the weapon, while so many of the target stand.
    pub fn attacks(&self, guns: usize, standing: usize) -> Chances<i64> {
        summed(&self.faces[self.frame.sort(standing)].attacks(standing, self.lay), guns)
    }

    /// All attacks of so many of the weapon. `standing` of the target stood when the turn's attack began.
    pub fn volley(&self, guns: usize, standing: usize, body: Body) -> Chances<Moment> {
        let attacks = self.attacks(guns, standing);
        let most = attacks.last().map_or(0, |(count, _)| *count);
        let mut so_far: Vec<f64> = Vec::new();
        let mut found: Vec<f64> = Vec::new();
        put(&mut so_far, self.id(Moment { body, ..Moment::default() }), 1.0);
        for count in 0..=most {
            let share = attacks.iter().find(|(other, _)| *other == count).map_or(0.0, |(_, chance)| *chance);
            let mut next = Vec::new();
            for (id, chance) in so_far.iter().enumerate().filter(|(_, chance)| **chance > 0.0) {
                put(&mut found, id, chance * share);
                if count < most {
                    self.row(id).iter().for_each(|(to, part)| put(&mut next, *to, chance * part));
                }
            }
            so_far = next;
        }
        let moments = &self.moments.borrow().0;
        found
            .iter()
            .enumerate()
            .filter(|(_, chance)| **chance > 0.0)
            .map(|(id, chance)| (moments[id], *chance))
            .collect()
    }

    fn id(&self, moment: Moment) -> usize {
        let mut moments = self.moments.borrow_mut();
        let (all, known) = &mut *moments;
        *known.entry(moment).or_insert_with(|| {
            all.push(moment);
            all.len() - 1
        })
    }

    /// One attack more.
    fn row(&self, id: usize) -> Row {
        if let Some(known) = self.rows.borrow().get(&id) {
            return Rc::clone(known);
        }
        let from = self.moments.borrow().0[id];
        let to = self.go_on(from, 0, &Success::default());
        let row: Row = Rc::new(to.into_iter().map(|(moment, chance)| (self.id(moment), chance)).collect());
        self.rows.borrow_mut().insert(id, Rc::clone(&row));
        row
    }

    /// A success before a step, at a moment.
    fn go_on(&self, from: Moment, at: usize, success: &Success) -> Chances<Moment> {
        let key = (at, success.clone(), from.body, from.wasted);
        let known = self.parts.borrow().get(&key).cloned();
        let part = known.unwrap_or_else(|| {
            let part =
                Rc::new(self.attack(Moment { body: from.body, wasted: from.wasted, ..Moment::default() }, at, success));
            self.parts.borrow_mut().insert(key, Rc::clone(&part));
            part
        });
        let cap = self.watch.map_or(0, |(_, cap)| cap);
        let added =
            |to: &Moment| Moment { passed: (from.passed + to.passed).min(cap), bursts: from.bursts + to.bursts, ..*to };
        part.iter().map(|(to, chance)| (added(to), *chance)).collect()
    }

    /// It is rolled, and what comes of it goes on.
    fn attack(&self, from: Moment, at: usize, success: &Success) -> Chances<Moment> {
        let front = &self.faces[self.frame.sort(from.body.standing)];
        let Some(step) = front.procedure.steps.get(at) else {
            if from.wasted {
                return vec![(from, 1.0)];
            }
            let landed = front.lands(success, self.frame, from.body).into_iter();
            return landed.map(|((body, wasted), chance)| (Moment { body, wasted, ..from }, chance)).collect();
        };
        let mut all = Vec::new();
        for (face, chance) in front.step(at, success) {
            let start = Moment { bursts: usize::from(face.burst), ..from };
            let Some((special, extra)) = face.on else {
                all.push((start, chance));
                continue;
            };
            let mut moments = vec![(start, chance)];
            for one in 0..=extra {
                let success = if one == 0 { &special } else { success };
                let pass = |moment: Moment| match self.watch {
                    Some((watched, cap)) if watched == *step => {
                        Moment { passed: (moment.passed + 1).min(cap), ..moment }
                    }
                    _ => moment,
                };
                moments = merged(moments.into_iter().flat_map(|(moment, chance)| {
                    let to = self.go_on(pass(moment), at + 1, success).into_iter();
                    to.map(move |(to, part)| (to, chance * part)).collect::<Vec<_>>()
                }));
            }
            all.extend(moments);
        }
        merged(all)
    }
}

fn put(into: &mut Vec<f64>, at: usize, chance: f64) {
    if at >= into.len() {
        into.resize(at + 1, 0.0);
    }
    into[at] += chance;
}
