//! States of a side in which its volleys are made alike.
use super::side::PreparedSide;
use crate::odds::number::Number;

/// States of a side in which its volleys are made alike.
pub(super) struct Class {
    /// How many stand.
    pub(super) standing: u32,
    /// How each volley reads the own counters.
    pub(super) readings: Vec<usize>,
    pub(super) states: Vec<usize>,
}

/// The states of a side by how many stand in them and how its volleys read its counters.
pub(super) fn classes<N: Number>(side: &PreparedSide<'_, N>, states: usize) -> Vec<Class> {
    let mut classes: Vec<Class> = Vec::new();
    for state in 0..states {
        let (standing, readings) = (side.own.standing(state), side.own_readings(state));
        match classes.iter_mut().find(|class| class.standing == standing && class.readings == readings) {
            Some(class) => class.states.push(state),
            None => classes.push(Class { standing, readings, states: vec![state] }),
        }
    }
    classes
}

/// States with the same number together.
pub(super) fn by_number(states: &[usize], number: impl Fn(usize) -> u32) -> Vec<Vec<usize>> {
    let mut classes: Vec<(u32, Vec<usize>)> = Vec::new();
    for state in states {
        let number = number(*state);
        match classes.iter_mut().find(|(known, _)| *known == number) {
            Some((_, states)) => states.push(*state),
            None => classes.push((number, vec![*state])),
        }
    }
    classes.into_iter().map(|(_, states)| states).collect()
}
