//! Two sides turn by turn: the joint chances of what is left of both.
//!
//! The state is what both have lost. A side's turn is its repair, then its attack with what stands at that moment; what
//! backfires falls on its own side after the attack. A side that is gone does nothing more (absorbing).
use super::cancellation::{CancellationToken, Cancelled};
use super::chain::gate::Attempts;
use super::chain::state_space::StateSpace;
use super::chain::{Aftermath, Target, Volley, When};
use super::distribution::Distribution;
use super::number::Number;
use super::repair::Mend;

mod changed;
mod check;
mod class;
mod followed;
mod hurt;
mod joint;
mod ordered;
mod shed;
mod side;
mod told;
pub use check::{DuelError, DuelFault};
pub(crate) use followed::{read, unread};
use joint::{Joint, Moment};
pub use shed::Shed;
use side::{Fired, PreparedSide};

/// One side of a duel.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// What the other side attacks.
    pub target: Target,
    /// Its attack: the number of attackers of a volley is for each model or unit that stands.
    pub attack: Vec<TimedVolley>,
    /// What the other side rolls after this side's attack.
    pub aftermath: Vec<TimedAftermath>,
    /// What mends the hurt model or unit at the start of each of its turns.
    pub repair: Option<Mend>,
    /// What it takes off its counters at the start of each of its turns.
    pub sheds: Vec<Shed>,
}

/// A volley and the turns in which it is fired.
#[derive(Clone, Debug, PartialEq)]
pub struct TimedVolley {
    /// The volley.
    pub volley: Volley,
    /// The first and the last turn, counted from 1; nothing: every turn.
    pub turns: Option<(u32, u32)>,
    /// The attackers while 1, 2, … of the side stand, the last number going on; where it is empty, the volley's
    /// attackers for each that stands.
    pub attackers_by_survivors: Vec<u32>,
    /// A blast is laid on as many of its bases, the first ones, as the other side has standing before the attack.
    pub bases_follow_survivors: bool,
    /// Where all volleys are made in their order: those with a higher one first.
    pub order: i32,
}

/// A roll afterwards and the turns in which it is made.
#[derive(Clone, Debug, PartialEq)]
pub struct TimedAftermath {
    /// The roll.
    pub aftermath: Aftermath,
    /// The first and the last turn, counted from 1; nothing: every turn.
    pub turns: Option<(u32, u32)>,
}

impl TimedVolley {
    /// A volley of every turn, by each that stands.
    pub fn always(volley: Volley) -> Self {
        Self { volley, turns: None, attackers_by_survivors: Vec::new(), bases_follow_survivors: false, order: 0 }
    }

    /// Whether it ever comes to an attack.
    fn can_be_made(&self) -> bool {
        let attackers = self.attackers_by_survivors.iter().copied().max().unwrap_or(self.volley.attackers);
        let open = |gate: &super::chain::Gate| !gate.chance::<f64>().is_zero();
        // A counter of the own side may open a gate that is never passed otherwise.
        let changes = self.volley.by_counter.iter().any(|row| row.gate.is_some());
        attackers > 0 && self.volley.attacks.highest() > 0 && (changes || self.volley.gate.as_ref().is_none_or(open))
    }

    /// The attackers while so many stand.
    pub fn attackers(&self, standing: u32) -> u32 {
        match (standing.checked_sub(1), self.attackers_by_survivors.last()) {
            (None, _) => 0,
            (_, None) => self.volley.attackers.saturating_mul(standing),
            (Some(at), Some(last)) => *self.attackers_by_survivors.get(at as usize).unwrap_or(last),
        }
    }
}

/// Whether a turn lies within a window.
fn within(turns: Option<(u32, u32)>, turn: u32) -> bool {
    turns.is_none_or(|(first, last)| (first..=last).contains(&turn))
}

/// Who goes first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum First {
    /// Side a.
    #[default]
    A,
    /// Side b.
    B,
    /// An even chance, once.
    Roll,
    /// Both attack with what stood at the start of the turn.
    Together,
    /// All volleys of both sides from the highest order down.
    Order,
}

/// A duel.
#[derive(Clone, Debug, PartialEq)]
pub struct Duel {
    a: Side,
    b: Side,
    first: First,
    turns: u32,
}

/// What comes of a duel.
#[derive(Clone, Debug, PartialEq)]
pub struct DuelAnswer<N> {
    /// The end of each turn.
    pub turns: Vec<DuelTurn<N>>,
    /// Models or units of side a that are left in the end.
    pub a_left: Distribution<N>,
    /// Of side b.
    pub b_left: Distribution<N>,
    /// Points of health or structure that side a misses in the end on average, what it missed at the start counted in.
    pub a_missing: N,
    /// Of side b.
    pub b_missing: N,
    /// The values of side a's counters in the end.
    pub a_counters: Vec<(String, Distribution<N>)>,
    /// Of side b.
    pub b_counters: Vec<(String, Distribution<N>)>,
}

/// The end of a turn.
#[derive(Clone, Debug, PartialEq)]
pub struct DuelTurn<N> {
    /// Nothing is left of side a.
    pub a_destroyed: N,
    /// Nothing is left of side b.
    pub b_destroyed: N,
    /// Something is left of both.
    pub both_standing: N,
}

impl Duel {
    /// Holds the parts against each other.
    ///
    /// # Errors
    /// Every mistake found.
    pub fn new(a: Side, b: Side, first: First, turns: u32) -> Result<Self, Vec<DuelError>> {
        let errors = check::errors(&a, &b, turns);
        if errors.is_empty() { Ok(Self { a, b, first, turns }) } else { Err(errors) }
    }

    /// Side a.
    pub fn a(&self) -> &Side {
        &self.a
    }

    /// Side b.
    pub fn b(&self) -> &Side {
        &self.b
    }

    /// Who goes first.
    pub fn first(&self) -> First {
        self.first
    }

    /// How many turns.
    pub fn turns(&self) -> u32 {
        self.turns
    }

    /// Whether it is plain from the numbers alone, without playing, that nobody can lose anything.
    pub fn is_idle(&self) -> bool {
        let counted = |side: &Side| !side.target.counters().all.is_empty();
        !counted(&self.a) && !counted(&self.b) && self.hurts_nobody()
    }

    /// The same, whatever may become of counters that no volley reads.
    fn hurts_nobody(&self) -> bool {
        let idle = |side: &Side, other: &Side| {
            side.attack.iter().all(|timed| !hurt::can_hurt(timed, &other.target, self.turns))
        };
        idle(&self.a, &self.b)
            && idle(&self.b, &self.a)
            && ![&self.a, &self.b].iter().any(|side| side.can_harm_itself())
    }

    /// Whether neither side can take anything from the other, in any turn.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    pub fn is_harmless(&self, token: &CancellationToken) -> Result<bool, Cancelled> {
        let volleys_of = |side: &Side| side.attack.iter().map(|timed| timed.volley.clone()).collect::<Vec<_>>();
        let reads = |side: &Side| side.attack.iter().any(|timed| !timed.volley.by_counter.is_empty());
        if !reads(&self.a) && !reads(&self.b) && self.hurts_nobody() {
            return Ok(true);
        }
        for (side, other) in [(&self.a, &self.b), (&self.b, &self.a)] {
            let (own, others) = (volleys_of(side), volleys_of(other));
            let followed = (read(side, other), read(other, side));
            let prepared = PreparedSide::<f64>::new((side, &own), (other, &others), (&followed.0, &followed.1));
            for Fired { index, runs } in (1..=self.turns).flat_map(|turn| prepared.fired(turn, None)) {
                // On the target as it starts, with each value of its counters, for each reading of the own ones.
                for run in runs.iter().filter(|_| side.attack[index].can_be_made()) {
                    let space = run.space();
                    let start = space.split(StateSpace::<f64>::start(space)).0;
                    let here = |state: usize| space.split(state).0 == start;
                    let from: Vec<f64> = (0..space.states()).map(|state| f64::from(u8::from(here(state)))).collect();
                    let one = Attempts::from(Distribution::certain(1));
                    let after = run.apply_attacks(from, &one, token)?;
                    let stays: f64 = after.iter().enumerate().filter(|(state, _)| here(*state)).map(|(_, c)| c).sum();
                    let all = space.width();
                    if stays < all as f64 - if all == 1 { 0.0 } else { 1e-9 } {
                        return Ok(false);
                    }
                }
            }
        }
        Ok(true)
    }

    /// The rows of all turns and what is left.
    ///
    /// # Errors
    /// [`Cancelled`] where it was cancelled meanwhile.
    ///
    /// # Cost
    /// For each turn and side: for each number of attackers that may stand, its attacks times the states of both sides.
    pub fn evaluate<N: Number>(&self, token: &CancellationToken) -> Result<DuelAnswer<N>, Cancelled> {
        if self.is_idle() {
            return Ok(self.untouched());
        }
        let (of_a, of_b) = (read(&self.a, &self.b), read(&self.b, &self.a));
        let mut answer = self.following::<N>(&of_a, &of_b, token)?;
        // A counter that nothing reads is followed by itself.
        let with = |read: &[usize], more: usize| -> Vec<usize> {
            let mut with: Vec<usize> = read.iter().copied().chain([more]).collect();
            with.sort_unstable();
            with
        };
        for more in unread(&self.a, &of_a) {
            answer.a_counters.extend(self.following::<N>(&with(&of_a, more), &of_b, token)?.a_counters);
        }
        for more in unread(&self.b, &of_b) {
            answer.b_counters.extend(self.following::<N>(&of_a, &with(&of_b, more), token)?.b_counters);
        }
        // Those that are read come with each of these.
        for counters in [&mut answer.a_counters, &mut answer.b_counters] {
            let mut names: Vec<String> = Vec::new();
            counters.retain(|(name, _)| {
                let fresh = !names.contains(name);
                names.push(name.clone());
                fresh
            });
        }
        Ok(answer)
    }

    /// The same with these counters of both sides followed.
    fn following<N: Number>(
        &self,
        of_a: &[usize],
        of_b: &[usize],
        token: &CancellationToken,
    ) -> Result<DuelAnswer<N>, Cancelled> {
        let volleys_of = |side: &Side| side.attack.iter().map(|timed| timed.volley.clone()).collect::<Vec<_>>();
        let (by_a, by_b) = (volleys_of(&self.a), volleys_of(&self.b));
        let a = PreparedSide::<N>::new((&self.a, &by_a), (&self.b, &by_b), (of_a, of_b));
        let b = PreparedSide::<N>::new((&self.b, &by_b), (&self.a, &by_a), (of_b, of_a));
        match self.first {
            First::Roll => {
                let one = self.play(&a, &b, First::A, token)?;
                let other = self.play(&a, &b, First::B, token)?;
                Ok(mixed(&one, &other))
            }
            first => self.play(&a, &b, first, token),
        }
    }

    /// Nobody loses anything.
    fn untouched<N: Number>(&self) -> DuelAnswer<N> {
        let row = DuelTurn { a_destroyed: N::zero(), b_destroyed: N::zero(), both_standing: N::one() };
        let all = |side: &Side| Distribution::certain(i64::from(side.target.count()));
        let missing = |side: &Side| N::ratio(u64::from(side.target.hurt()), 1);
        DuelAnswer {
            turns: vec![row; self.turns as usize],
            a_left: all(&self.a),
            b_left: all(&self.b),
            a_missing: missing(&self.a),
            b_missing: missing(&self.b),
            a_counters: Vec::new(),
            b_counters: Vec::new(),
        }
    }

    fn play<N: Number>(
        &self,
        a: &PreparedSide<'_, N>,
        b: &PreparedSide<'_, N>,
        first: First,
        token: &CancellationToken,
    ) -> Result<DuelAnswer<N>, Cancelled> {
        let mut joint = Joint::start(a, b);
        let mut rows = Vec::with_capacity(self.turns as usize);
        for turn in 1..=self.turns {
            let all = Moment { turn, order: None };
            match first {
                First::Together => {
                    joint = joint.mended(a).turned().mended(b).turned();
                    joint = joint.together(a, b, all, token)?;
                }
                First::Order => {
                    joint = joint.mended(a).turned().mended(b).turned();
                    joint = joint.ordered(a, b, turn, token)?;
                }
                First::B => {
                    joint = joint.turned().mended(b).attacked(b, all, token)?.turned();
                    joint = joint.mended(a).attacked(a, all, token)?;
                }
                First::A | First::Roll => {
                    joint = joint.mended(a).attacked(a, all, token)?;
                    joint = joint.turned().mended(b).attacked(b, all, token)?.turned();
                }
            }
            rows.push(joint.row(a, b));
        }
        let (a_left, b_left) = joint.left(a, b);
        let (a_missing, b_missing) = joint.missing(a, b);
        let counters = |joint: &Joint<N>, side: &PreparedSide<'_, N>| {
            let each = side.side.target.counters().all.iter().enumerate();
            each.filter_map(|(at, counter)| Some((counter.name.clone(), joint.counter(side, at)?))).collect()
        };
        let a_counters = counters(&joint, a);
        let b_counters = counters(&joint.turned(), b);
        Ok(DuelAnswer { turns: rows, a_left, b_left, a_missing, b_missing, a_counters, b_counters })
    }
}

fn mixed<N: Number>(one: &DuelAnswer<N>, other: &DuelAnswer<N>) -> DuelAnswer<N> {
    let half = N::ratio(1, 2);
    let middle = |a: &N, b: &N| {
        let mut sum = a.times(&half);
        sum.add_product(b, &half);
        sum
    };
    let mix = |a: &Distribution<N>, b: &Distribution<N>| {
        Distribution::mix([(half.clone(), a), (half.clone(), b)]).unwrap_or_else(|| a.clone())
    };
    let counters = |a: &[(String, Distribution<N>)], b: &[(String, Distribution<N>)]| {
        a.iter().zip(b).map(|((name, a), (_, b))| (name.clone(), mix(a, b))).collect()
    };
    let rows = one.turns.iter().zip(&other.turns).map(|(a, b)| DuelTurn {
        a_destroyed: middle(&a.a_destroyed, &b.a_destroyed),
        b_destroyed: middle(&a.b_destroyed, &b.b_destroyed),
        both_standing: middle(&a.both_standing, &b.both_standing),
    });
    DuelAnswer {
        turns: rows.collect(),
        a_left: mix(&one.a_left, &other.a_left),
        b_left: mix(&one.b_left, &other.b_left),
        a_missing: middle(&one.a_missing, &other.a_missing),
        b_missing: middle(&one.b_missing, &other.b_missing),
        a_counters: counters(&one.a_counters, &other.a_counters),
        b_counters: counters(&one.b_counters, &other.b_counters),
    }
}

impl Side {
    /// Whether its own attack can hurt it.
    pub(crate) fn can_harm_itself(&self) -> bool {
        use super::chain::Kind;
        let harms = |volley: &Volley| {
            volley.steps.iter().any(|step| match &step.kind {
                Kind::Roll(roll) => roll.roll.backfire.is_some() && roll.backfire.harm.highest() > 0,
                Kind::Penetrate(_) | Kind::Table(_) => false,
            })
        };
        let gate_harms = |volley: &Volley| volley.gate.as_ref().is_some_and(|gate| gate.can_harm());
        self.attack.iter().any(|timed| harms(&timed.volley) || gate_harms(&timed.volley))
    }
}

/// Whether an aftermath can be followed in a duel: what is counted must be seen in the state.
fn is_seen(after: &Aftermath) -> bool {
    !after.ends || !matches!(after.when, When::Passed(_))
}
