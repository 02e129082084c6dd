//! Two sides turn by turn: the joint chances of what is left of both.
//!
//! The state is what both have lost. A side's turn is its repair, then its attack with what stands at that moment; what
//! backfires falls on its own side after the attack. A side that is gone does nothing more (absorbing).
use super::chain::field::Field;
use super::chain::{Aftermath, Target, Volley, When};
use super::distribution::Distribution;
use super::halt::{Halt, Halted};
use super::number::Number;
use super::repair::Mend;

mod check;
mod joint;
mod side;
pub use check::{DuelError, DuelFault};
use joint::Joint;
use side::Ready;

/// One side of a duel.
#[derive(Clone, Debug, PartialEq)]
pub struct Side {
    /// What the other side attacks.
    pub target: Target,
    /// Its attack: the number of attackers of a volley is for each model or unit that stands.
    pub attack: Vec<TimedVolley>,
    /// What the other side rolls after this side's attack.
    pub aftermath: Vec<Aftermath>,
    /// What mends the hurt model or unit at the start of each of its turns.
    pub repair: Option<Mend>,
}

/// A volley and the turns in which it is fired.
#[derive(Clone, Debug, PartialEq)]
pub struct TimedVolley {
    /// The volley.
    pub volley: Volley,
    /// The first and the last turn, counted from 1; nothing: every turn.
    pub turns: Option<(u32, u32)>,
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

    /// Whether neither side can take anything from the other, in any turn.
    ///
    /// # Errors
    /// [`Halted`] where the halt was called meanwhile.
    pub fn is_harmless(&self, halt: &Halt) -> Result<bool, Halted> {
        let volleys_of = |side: &Side| side.attack.iter().map(|timed| timed.volley.clone()).collect::<Vec<_>>();
        for (side, other) in [(&self.a, &self.b), (&self.b, &self.a)] {
            let (own, others) = (volleys_of(side), volleys_of(other));
            let ready = Ready::<f64>::new(side, &own, other, &others);
            for (volley, run) in (1..=self.turns).flat_map(|turn| ready.runs(turn)) {
                let field = run.field();
                let start = Field::<f64>::start(field);
                let mut from = vec![0.0; Field::<f64>::states(field)];
                from[start] = 1.0;
                if ready.attacks(volley, 1).highest() > 0
                    && run.strike(from, &Distribution::certain(1), halt)?[start] < 1.0
                {
                    return Ok(false);
                }
            }
        }
        Ok(true)
    }

    /// The rows of all turns and what is left.
    ///
    /// # Errors
    /// [`Halted`] where the halt was called meanwhile.
    ///
    /// # Cost
    /// For each turn and side: for each number of attackers that may stand, its attacks times the states of both sides.
    pub fn evaluate<N: Number>(&self, halt: &Halt) -> Result<DuelAnswer<N>, Halted> {
        let volleys_of = |side: &Side| side.attack.iter().map(|timed| timed.volley.clone()).collect::<Vec<_>>();
        let (of_a, of_b) = (volleys_of(&self.a), volleys_of(&self.b));
        let a = Ready::<N>::new(&self.a, &of_a, &self.b, &of_b);
        let b = Ready::<N>::new(&self.b, &of_b, &self.a, &of_a);
        match self.first {
            First::Roll => {
                let one = self.play(&a, &b, First::A, halt)?;
                let other = self.play(&a, &b, First::B, halt)?;
                Ok(mixed(&one, &other))
            }
            first => self.play(&a, &b, first, halt),
        }
    }

    fn play<N: Number>(
        &self,
        a: &Ready<'_, N>,
        b: &Ready<'_, N>,
        first: First,
        halt: &Halt,
    ) -> Result<DuelAnswer<N>, Halted> {
        let mut joint = Joint::start(a, b);
        let mut rows = Vec::with_capacity(self.turns as usize);
        for turn in 1..=self.turns {
            match first {
                First::Together => {
                    joint = joint.mended(a).turned().mended(b).turned();
                    joint = joint.together(a, b, turn, halt)?;
                }
                First::B => {
                    joint = joint.turned().mended(b).attacked(b, turn, halt)?.turned();
                    joint = joint.mended(a).attacked(a, turn, halt)?;
                }
                First::A | First::Roll => {
                    joint = joint.mended(a).attacked(a, turn, halt)?;
                    joint = joint.turned().mended(b).attacked(b, turn, halt)?.turned();
                }
            }
            rows.push(joint.row(a, b));
        }
        let (a_left, b_left) = joint.left(a, b);
        Ok(DuelAnswer { turns: rows, a_left, b_left })
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
    let rows = one.turns.iter().zip(&other.turns).map(|(a, b)| DuelTurn {
        a_destroyed: middle(&a.a_destroyed, &b.a_destroyed),
        b_destroyed: middle(&a.b_destroyed, &b.b_destroyed),
        both_standing: middle(&a.both_standing, &b.both_standing),
    });
    DuelAnswer {
        turns: rows.collect(),
        a_left: mix(&one.a_left, &other.a_left),
        b_left: mix(&one.b_left, &other.b_left),
    }
}

impl Side {
    /// Whether something may be rolled after its attack that ends the other side.
    fn ends(&self) -> bool {
        self.aftermath.iter().any(|after| after.ends)
    }

    /// Whether its own attack can hurt it.
    pub(crate) fn can_harm_itself(&self) -> bool {
        use super::chain::Kind;
        let harms = |volley: &Volley| {
            volley.steps.iter().any(|step| match &step.kind {
                Kind::Roll(roll) => roll.roll.backfire.is_some() && roll.backfire.harm.highest() > 0,
                Kind::Penetrate(_) => false,
            })
        };
        self.attack.iter().any(|timed| harms(&timed.volley))
    }
}

/// Whether an aftermath can be followed in a duel: what is counted must be seen in the state.
fn is_seen(after: &Aftermath) -> bool {
    !after.ends || !matches!(after.when, When::Passed(_))
}
