//! What hits do to armoured units: the effects that one may have, and where they lead.
use super::super::number::Number;
use smallvec::SmallVec;
use std::collections::HashMap;

/// Where each state may go, and how likely; what leads to one end stands there once.
#[derive(Debug)]
pub(crate) struct Moves<N>(Vec<Move<N>>);

#[derive(Debug)]
pub(super) struct Move<N> {
    pub(super) from: usize,
    pub(super) to: usize,
    /// The auxiliary number whose status comes up on the way; the first, where none does.
    pub(super) brings: usize,
    /// What is added to counters on the way; the first, where nothing is.
    pub(super) adds: usize,
    pub(super) chance: N,
}

/// What one hit does to a unit.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub(super) struct Effect {
    pub(super) loss: usize,
    /// The auxiliary number of its status, where that is followed.
    pub(super) brings: usize,
    /// The bit of its status, where it has one.
    pub(super) mark: Option<usize>,
    /// What it adds to counters, and what in place of that where the mark is repeated.
    pub(super) adds: (usize, usize),
    /// In place of all this where the unit has the mark: what is lost, and whether all that is left.
    pub(super) repeated: Option<(usize, bool)>,
    /// It backfired on its own side: no attack of a volley, so nothing is wasted by it.
    pub(super) own: bool,
}

/// What one hit may do, each thing once, with its chance.
pub(super) struct Effects<N> {
    pub(super) all: SmallVec<[(Effect, N); 8]>,
    /// Where each stands, once there are many.
    places: HashMap<Effect, usize>,
}

impl<N: Number> Effects<N> {
    /// So many are looked through one by one.
    const FEW: usize = 32;

    pub(super) fn new() -> Self {
        Self { all: SmallVec::new(), places: HashMap::new() }
    }

    pub(super) fn add(&mut self, effect: Effect, chance: &N) {
        let known = if self.places.is_empty() {
            self.all.iter().position(|(known, _)| *known == effect)
        } else {
            self.places.get(&effect).copied()
        };
        if let Some(known) = known {
            self.all[known].1.add(chance);
            return;
        }
        self.all.push((effect, chance.clone()));
        if self.all.len() == Self::FEW {
            self.places = self.all.iter().enumerate().map(|(at, (effect, _))| (*effect, at)).collect();
        } else if self.all.len() > Self::FEW {
            self.places.insert(effect, self.all.len() - 1);
        }
    }
}

/// What a hit with such a place adds to the counters within one state's chances.
pub(crate) type Adding<'a, N> = dyn Fn(usize, &[N]) -> Vec<N> + 'a;

impl<N: Number> Moves<N> {
    pub(super) fn with_capacity(moves: usize) -> Self {
        Self(Vec::with_capacity(moves))
    }

    pub(super) fn len(&self) -> usize {
        self.0.len()
    }

    /// Adds to `onto` what becomes of `from`: so many numbers in all stand for the states themselves, so many for each of
    /// them, and within those so many for each of the values that counters have beside it. Behind the states stands what
    /// has left them, one number for each status that came up.
    pub(super) fn apply(
        &self,
        from: &[N],
        onto: &mut [N],
        (standings, aux_width, value_width): (usize, usize, usize),
        adding: Option<&Adding<'_, N>>,
    ) {
        if aux_width == 1 {
            for Move { from: state, to, chance, .. } in &self.0 {
                if !from[*state].is_zero() {
                    onto[*to].add_product(chance, &from[*state]);
                }
            }
            return;
        }
        let (onto, seen) = onto.split_at_mut(standings);
        for Move { from: state, to, brings, adds, chance } in &self.0 {
            let source = &from[state * aux_width..(state + 1) * aux_width];
            if source.iter().all(N::is_zero) {
                continue;
            }
            let added = adding.filter(|_| *adds > 0).map(|adding| adding(*adds, source));
            let source = added.as_deref().unwrap_or(source);
            let onto = &mut onto[to * aux_width..(to + 1) * aux_width];
            if *brings == 0 {
                N::add_scaled(onto, chance, source);
                continue;
            }
            let after = brings + 1;
            for (source, onto) in source.chunks(value_width).zip(onto.chunks_mut(value_width)) {
                N::add_scaled(&mut onto[..*brings], chance, &source[..*brings]);
                N::add_scaled(&mut onto[after..], chance, &source[after..]);
                seen[*brings].add_product(chance, &source[*brings]);
            }
        }
        N::add_scaled(seen, &N::one(), &from[standings..]);
    }

    pub(super) fn add(&mut self, first: usize, one: Move<N>) {
        match self.0[first..]
            .iter_mut()
            .find(|known| known.to == one.to && known.brings == one.brings && known.adds == one.adds)
        {
            Some(known) => known.chance.add(&one.chance),
            None => self.0.push(one),
        }
    }
}
