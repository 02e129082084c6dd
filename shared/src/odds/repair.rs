//! Repair turn by turn: damage comes in, a roll takes some of it away, and too much of it is the end.
use super::cancellation::{CancellationToken, Cancelled};
use super::check::pass_and_fail;
use super::dice::Amount;
use super::distribution::Distribution;
use super::number::Number;
use super::roll::Roll;

/// How often a turn's repair rolls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Rolls {
    /// A number of rolls, each of which restores the given amount.
    Number(u32),
    /// One roll for each missing point, each of which restores that point.
    EachMissing,
}

/// What mends.
#[derive(Clone, Debug, PartialEq)]
pub struct Mend {
    /// The roll.
    pub roll: Roll,
    /// How often.
    pub rolls: Rolls,
    /// What a success restores; not used with [`Rolls::EachMissing`].
    pub restores: Amount,
}

/// A unit that is damaged and repaired.
#[derive(Clone, Debug, PartialEq)]
pub struct Repair {
    /// Points when whole.
    pub capacity: u32,
    /// Points missing at the start.
    pub missing: u32,
    /// What mends.
    pub mend: Mend,
    /// Turns followed.
    pub turns: u32,
    /// Points lost each turn.
    pub incoming: Amount,
    /// Whether the repair comes before the damage of a turn.
    pub repair_first: bool,
}

/// What comes of it.
#[derive(Clone, Debug, PartialEq)]
pub struct RepairAnswer<N> {
    /// One roll.
    pub chance: N,
    /// The end of each turn.
    pub turns: Vec<RepairTurn<N>>,
    /// Points restored over all turns.
    pub restored: Distribution<N>,
    /// The chance of having been destroyed.
    pub destroyed: N,
}

/// The end of a turn.
#[derive(Clone, Debug, PartialEq)]
pub struct RepairTurn<N> {
    /// Not destroyed.
    pub alive: N,
    /// Points missing; destroyed counts as all.
    pub missing: Distribution<N>,
    /// At least one point has come back so far.
    pub any_restored: N,
    /// Points that have come back so far.
    pub restored: Distribution<N>,
}

impl Mend {
    /// For each number of missing points below `capacity`, the distribution of how many come back in one turn.
    pub(crate) fn restored_by_missing<N: Number>(&self, capacity: u32) -> Vec<Distribution<N>> {
        let (pass, fail) = pass_and_fail::<N>(&self.roll);
        let point = Distribution::new(0, vec![fail.clone(), pass.clone()]).unwrap_or_else(|| Distribution::certain(0));
        match self.rolls {
            Rolls::EachMissing => (0..capacity).map(|missing| point.repeated(missing)).collect(),
            Rolls::Number(times) => {
                let once = point.compound(&self.restores.distribution());
                let all = once.repeated(times);
                (0..capacity).map(|missing| all.map(|back| back.min(i64::from(missing)))).collect()
            }
        }
    }
}

impl Repair {
    /// The rows and totals of all turns.
    ///
    /// # Formula
    /// The state is the points missing and the points restored so far; a destroyed unit stays as it is (absorbing).
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    ///
    /// # Cost
    /// `turns * capacity^2 * restored`, where up to `turns * capacity` points may be restored.
    pub fn evaluate<N: Number>(&self, token: &CancellationToken) -> Result<RepairAnswer<N>, Cancelled> {
        let capacity = self.capacity as usize;
        let mends = self.mend.restored_by_missing::<N>(self.capacity);
        let incoming = self.incoming.distribution::<N>().map(|lost| lost.min(i64::from(self.capacity)));
        let mut state = Table { capacity, rows: vec![vec![N::zero()]; capacity + 1] };
        state.rows[self.missing as usize][0] = N::one();
        let mut turns = Vec::with_capacity(self.turns as usize);
        for _ in 0..self.turns {
            token.check()?;
            if self.repair_first {
                state = state.mended(&mends).damaged(&incoming);
            } else {
                state = state.damaged(&incoming).mended(&mends);
            }
            turns.push(state.row());
        }
        let last = state.row();
        Ok(RepairAnswer {
            chance: pass_and_fail(&self.mend.roll).0,
            turns,
            restored: last.restored,
            destroyed: state.weight(capacity),
        })
    }
}

/// Chances by points missing, and within by points restored so far.
struct Table<N> {
    capacity: usize,
    rows: Vec<Vec<N>>,
}

impl<N: Number> Table<N> {
    fn damaged(self, incoming: &Distribution<N>) -> Self {
        if incoming.lowest() == 0 && incoming.highest() == 0 {
            return self;
        }
        let width = self.rows.iter().map(Vec::len).max().unwrap_or(1);
        let mut rows = vec![vec![N::zero(); width]; self.capacity + 1];
        for (missing, row) in self.rows.iter().enumerate() {
            if missing == self.capacity {
                N::add_scaled(&mut rows[missing], &N::one(), row);
                continue;
            }
            for (lost, chance) in incoming.iter() {
                N::add_scaled(&mut rows[(missing + lost as usize).min(self.capacity)], chance, row);
            }
        }
        Self { capacity: self.capacity, rows }
    }

    fn mended(self, restored_by_missing: &[Distribution<N>]) -> Self {
        let width = self.rows.iter().map(Vec::len).max().unwrap_or(1);
        let most = restored_by_missing.iter().map(Distribution::highest).max().unwrap_or(0) as usize;
        let mut rows = vec![vec![N::zero(); width + most]; self.capacity + 1];
        for (missing, row) in self.rows.iter().enumerate() {
            let Some(restored) = restored_by_missing.get(missing) else {
                N::add_scaled(&mut rows[missing], &N::one(), row);
                continue;
            };
            for (back, chance) in restored.iter() {
                N::add_scaled(&mut rows[missing - back as usize][back as usize..], chance, row);
            }
        }
        // Columns that nobody can have reached are cut off again, so the table grows only as fast as repairs do.
        let used = rows.iter().filter_map(|row| row.iter().rposition(|chance| !chance.is_zero())).max().unwrap_or(0);
        rows.iter_mut().for_each(|row| row.truncate(used + 1));
        Self { capacity: self.capacity, rows }
    }

    fn weight(&self, missing: usize) -> N {
        let mut sum = N::zero();
        self.rows[missing].iter().for_each(|chance| sum.add(chance));
        sum
    }

    fn row(&self) -> RepairTurn<N> {
        let missing: Vec<N> = (0..=self.capacity).map(|missing| self.weight(missing)).collect();
        let mut alive = N::zero();
        missing[..self.capacity].iter().for_each(|chance| alive.add(chance));
        let width = self.rows.iter().map(Vec::len).max().unwrap_or(1);
        let mut restored = vec![N::zero(); width];
        self.rows.iter().for_each(|row| N::add_scaled(&mut restored, &N::one(), row));
        let whole =
            |chances: Vec<N>| Distribution::new(0, chances).unwrap_or_else(|| Distribution::certain(0)).normalised();
        let restored = whole(restored);
        RepairTurn { alive, missing: whole(missing), any_restored: restored.at_least(1), restored }
    }
}
