//! What can be wrong with a chain, and where.

/// Where in the parts a mistake is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The volley, unless the mistake is in the target or the aftermath.
    pub volley: Option<usize>,
    /// The words that lead there, as a request writes them: `steps/1/critical/on`.
    pub path: String,
}

/// A mistake of a chain.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{fault}")]
pub struct ChainError {
    /// Where.
    pub place: Place,
    /// What.
    pub fault: ChainFault,
}

/// What can be wrong between parts that are each well formed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ChainFault {
    /// No volley, or too many.
    #[error("a chain has 1 to 12 volleys")]
    Volleys,
    /// Too many attackers.
    #[error("at most 10000 attackers")]
    Attackers,
    /// Too many steps.
    #[error("at most 12 steps to a volley")]
    Steps,
    /// An empty or overlong name.
    #[error("a name has 1 to 64 characters")]
    Name,
    /// Two steps of a volley with one name.
    #[error("another step of this chain has the same name")]
    SameName,
    /// A number on a roll out of range.
    #[error("a modifier is a number from -1000 to 1000")]
    Modifier,
    /// A face that the dice cannot show, or always show.
    #[error("on is a natural face from {0} to {1} here")]
    Face(i64, i64),
    /// More dice kept than rolled, or none.
    #[error("keep at least one die and no more than are rolled")]
    Keep,
    /// A tie that no roll can break.
    #[error("both sides always tie, so rolling again never decides it")]
    Undecidable,
    /// Extra successes beyond the limit.
    #[error("at most 10 extra successes")]
    Extra,
    /// A margin on a low roll.
    #[error("a margin goes with an opposed roll or one that needs t+")]
    MarginOnLow,
    /// Rows out of order.
    #[error("rows go up in at_least, each value once")]
    RowOrder,
    /// A list without rows.
    #[error("at least one row, please (and at most 100)")]
    Rows,
    /// An attack that ends and gets something.
    #[error("where a row ends the attack, the attack gets nothing")]
    EndsAndGains,
    /// Gains on the defender's side.
    #[error("a defender's step has no gains: of a critical it takes only `on`")]
    DefenderGains,
    /// A change of a step that does not come later.
    #[error("no later step is called {0:?}")]
    NoLaterStep(String),
    /// A change of nothing.
    #[error("say what changes: needs or modifier (of a penetrate step add or against)")]
    EmptyChange,
    /// A change of a number that the step does not have.
    #[error("the step {0:?} takes needs or modifier (a table only modifier), a penetrate step add or against")]
    WrongChange(String),
    /// A need of a roll that both sides make.
    #[error("both sides roll for {0:?}: only its modifier can change")]
    OpposedChange(String),
    /// A penetrate step without armour, or twice.
    #[error("one penetrate step, and only against an armoured target")]
    StrayPenetrate,
    /// Armour without a penetrate step.
    #[error("an armoured target needs a penetrate step among the steps")]
    NoPenetrate,
    /// An attacker's step behind the penetrate step.
    #[error("only a defender's steps may come after the penetrate step")]
    AfterPenetrate,
    /// Damage dice against structure.
    #[error("the penetrate step must be the attacker's")]
    DefenderPenetrates,
    /// Too many or too few models.
    #[error("a target has 1 to 1000 models in 1 to 20 groups")]
    Models,
    /// Health out of range.
    #[error("health is a number from 1 to 1000")]
    Health,
    /// Structure out of range.
    #[error("structure is a number from 1 to 1000")]
    Structure,
    /// Units out of range.
    #[error("1 to 100 units, please")]
    Units,
    /// More missing than there is.
    #[error("what is hurt must leave at least one point of the first model or unit")]
    Hurt,
    /// Too many names of statuses.
    #[error("at most 20 different statuses")]
    Statuses,
    /// Too many aftermaths.
    #[error("at most 10 aftermath rolls, each with its own effect")]
    Aftermaths,
    /// A count that makes no sense here.
    #[error("no step is called {0:?}")]
    NoStep(String),
    /// Models counted on armour.
    #[error("models and health are counted on soldiers only: count what was wrecked, or a step that was passed")]
    CountOnArmour,
    /// Wrecks counted on soldiers.
    #[error("only armour is wrecked: count models, health or a step that was passed")]
    WreckedSoldiers,
    /// What happens to packets of damage, on armour.
    #[error("spill and ignore belong to an attack on soldiers")]
    OnArmour,
    /// What a repeated status does, without a status.
    #[error("repeated says what a status does that is there already: name the status")]
    RepeatedWithoutStatus,
    /// Too many counters.
    #[error("at most 4 counters")]
    Counters,
    /// Two counters with one name.
    #[error("another counter has the same name")]
    SameCounter,
    /// A counter with a most out of range.
    #[error("a counter goes up to 1 to 1000")]
    CounterMost,
    /// A counter that starts too high.
    #[error("a counter starts no higher than its most")]
    CounterStart,
    /// Too many rows that read counters.
    #[error("at most 40 rows")]
    CounterRows,
    /// A value beyond what counters come to.
    #[error("counters go up to 1000 at most")]
    CounterValue,
    /// Two rows of one counter with one value.
    #[error("the rows of one counter each have a value of their own")]
    SameRow,
    /// A counter that is not there.
    #[error("the target has no counter called {0:?}")]
    NoCounter(String),
    /// Damage beyond the limit.
    #[error("at most 10000 in all")]
    Amount,
}

impl ChainFault {
    /// Whether it follows from the kinds of the steps alone.
    pub fn is_of_kinds(&self) -> bool {
        matches!(
            self,
            Self::WrongChange(_)
                | Self::OpposedChange(_)
                | Self::OnArmour
                | Self::StrayPenetrate
                | Self::NoPenetrate
                | Self::AfterPenetrate
        )
    }
}
