//! What a unit has lost: who stands, what the one in front misses, which marks it bears.
use pipwright_shared::rules::model::Pack;
use pipwright_shared::rules::model::stat::Profile;

/// A unit as it stands at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Body {
    pub standing: usize,
    /// Points missing from the figure in front.
    pub missing: i64,
    /// Marks of the figure in front, a bit for each.
    pub marks: u32,
    /// Marks that any has borne.
    pub seen: u32,
}

/// What does not change while it falls.
#[derive(Clone, Debug, Default)]
pub struct Frame {
    pub armoured: bool,
    /// What is too much for one goes on to the next, whatever hits.
    pub spill: bool,
    /// Once one is wrecked the rest of a weapon's attacks are lost.
    pub wasted: bool,
    /// Names of all marks.
    pub names: Vec<String>,
    /// While up to so many stand, one with so many points is in front; those that fall last first.
    sorts: Vec<(usize, i64)>,
}

impl Frame {
    pub fn new(
        pack: &Pack,
        armoured: bool,
        sorts: &[(usize, Profile)],
        capacities: Vec<i64>,
        spill: bool,
        wasted: bool,
    ) -> Self {
        let rows = pack.breaches.iter().flat_map(|breach| &breach.rows);
        let mut names: Vec<String> = rows.filter_map(|row| row.status.clone()).collect();
        names.sort();
        names.dedup();
        let sorts = sorts.iter().map(|(most, _)| *most).zip(capacities).collect();
        Self { armoured, spill, wasted, names, sorts }
    }

    pub fn mark(&self, name: &str) -> usize {
        self.names.iter().position(|other| other == name).expect("a mark of the pack")
    }

    /// Which sort of figures is in front while so many stand.
    pub fn sort(&self, standing: usize) -> usize {
        self.sorts.iter().position(|(most, _)| standing <= *most).expect("the last has no end")
    }

    /// Points of the figure in front when it is whole.
    pub fn capacity(&self, standing: usize) -> i64 {
        self.sorts[self.sort(standing)].1
    }

    /// Points that are left: health of all who stand, or structure.
    pub fn points(&self, body: Body) -> i64 {
        (1..=body.standing).map(|standing| self.capacity(standing)).sum::<i64>() - body.missing
    }

    fn falls(body: &mut Body) {
        *body = Body { standing: body.standing - 1, missing: 0, marks: 0, ..*body };
    }

    /// One packet of damage.
    pub fn lose_health(&self, body: &mut Body, mut points: i64, spill: bool) {
        while points > 0 && body.standing > 0 {
            let left = self.capacity(body.standing) - body.missing;
            if points < left {
                body.missing += points;
                return;
            }
            Self::falls(body);
            points = if spill { points - left } else { 0 };
        }
    }

    /// Structure lost at once, or a wreck.
    pub fn lose_structure(&self, body: &mut Body, points: i64, wrecked: bool) {
        if body.standing == 0 {
            return;
        }
        body.missing += points;
        if wrecked || body.missing >= self.capacity(body.standing) {
            Self::falls(body);
        }
    }
}
