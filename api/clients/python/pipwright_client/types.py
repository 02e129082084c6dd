"""What requests and answers hold. Long because it is made from the contract by api/clients/make."""

from __future__ import annotations

from typing import Any, Literal, NotRequired, TypeAlias, TypedDict


class AftermathForm(TypedDict):
    """A roll made after the volleys while something of the target is left; its success brings the effect."""

    attack: NotRequired[ChainForm | None]
    """An attack on a target of its own, such as passengers, that comes with the effect: its whole answer stands under
    the effect, by itself and given that it happens. It happens once, however many were wrecked.
    """
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    dice: NotRequired[DiceForm | None]
    """The dice; default 1d6."""
    effect: str
    """Its name in the answer."""
    ends: NotRequired[bool | None]
    """Read in duels: the effect takes all that is left of the target out of the fight; default false."""
    even_destroyed: NotRequired[bool | None]
    """It happens even where nothing of the target is left; default false, and true where wrecks are counted."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    modifier: NotRequired[int | None]
    """Added to the dice. From -1000 to 1000."""
    needs: NotRequired[NeedsForm | None]
    """What brings the effect; where it is left out the effect follows for certain."""
    per_point: NotRequired[int | None]
    """Added to the modifier for each one counted. From -1000 to 1000."""
    turns: NotRequired[list[int] | None]
    """In a duel: the first and the last turn in which it is rolled; default every turn."""
    when: WhenForm
    """What is counted, and how much of it makes them roll."""


AgainstForm: TypeAlias = "str | list[LineForm] | AgainstList"
"""A list to face.

- As pasted.
- Its lines.
- As `list-points` takes it.
"""


class AgainstList(TypedDict):
    """A list to face, as `list-points` takes it."""

    lines: NotRequired[list[LineForm] | None]
    """Its lines. At most 500 of them."""
    text: NotRequired[str | None]
    """The whole list as pasted."""


AimForm: TypeAlias = "PointForm | AimName"
"""Where the template is aimed.

- At a point.
- At the best base.
"""


AimName: TypeAlias = Literal["best"]
"""An aim by name."""


class AloneCell(TypedDict):
    """One attacker on one target, alone."""

    destroyed: float
    """The chance that nothing is left. From 0 to 1."""
    points: float
    """The mean of the points destroyed."""


AmountForm: TypeAlias = "int | str | AmountFormDistribution"
"""- From 0 to 10000.
- 1 to 100 dice of 2 to 100 sides, and up to 1000 added or taken off.
- A distribution as input.
"""


class AmountFormDistribution(TypedDict):
    """A distribution as input."""

    deviation: NotRequired[float | None]
    """For the notes of whoever sends it: nothing is worked out from it."""
    distribution: list[GivenRow]
    """Whole values from 0, each once; their chances add up to 1 within 1e-9 and the sum is divided out."""
    expected: NotRequired[float | None]
    """Not read: so that an answer can be put back."""


class AppraisalAnswer(TypedDict):
    """A unit's appraisal. Every number of `attacks`, `damage`, `survival`, `repair` and `checks` is that of the
    question in its `ask`, which can be posted to its path or into a batch; the rest is made from them.
    """

    advice: list[VerdictRow]
    """When to use it and when not, each sentence from one number held against another."""
    approach: list[ApproachRow]
    """A whole game of each attacker of the board against it, unanswered, while the attacker comes on. Where the pack
    does not say how, the attacker stays at its best range on the usual side.
    """
    approach_turns: list[ApproachTurns]
    """Where attackers stand turn by turn as they come on, by the pack's board; empty where it does not say."""
    at_ranges: NotRequired[dict[str, str]]
    """How a sentence says that something happens at a range: `in contact` for `contact`."""
    attacks: list[AttackRow]
    """One turn of it against each target of the board, from each arc that makes a difference, at each range."""
    checks: list[CheckRow]
    """The tests that it takes."""
    comparators: list[ComparatorRow]
    """Other units for the same points."""
    cost: CostForm
    """What it costs."""
    counted: str
    """The unit as people count it: `10 Dyke Hands`, `Bolt-gun Crew`."""
    damage: list[DamageRow]
    """A whole game of it against each target that does not answer, at the range that removes most in a turn."""
    hash: str
    """Its content hash."""
    helped: list[TogetherRow]
    """Units that its presence changes, those that gain most for its points first: of the book's first twelve such."""
    helpers: list[TogetherRow]
    """Units whose presence changes it, those that give most for their points first."""
    hull: list[HullSide]
    """Its numbers by the side that is hit, where it has any."""
    method: str
    """How it was worked out, and what it does not see."""
    models: int
    """Models of the unit."""
    name: str
    """Its name."""
    options: list[OptionRow]
    """What each option that it may still take is worth."""
    pack: str
    """The pack that was used."""
    profile: list[StatForm]
    """Its stats, options worked in."""
    protections: list[ProtectionRow]
    """What each of its protections and its repair is worth where it does most, the best first."""
    ranges: list[MeanRow]
    """One turn of it at each range, the mean over the board from the usual arc."""
    repair: NotRequired[MendRow]
    """Its repair, if it has one."""
    rules: list[RuleHead]
    """The rules that it carries, options worked in."""
    sensitivities: list[SensitivityRow]
    """Changes of the unit and of the table, those that move its worth most first."""
    sides: list[MeanRow]
    """One turn of it from each side, the mean over those targets on which the side makes a difference, each at its
    best range.
    """
    survival: list[SurvivalRow]
    """A whole game of each attacker of the board against it, unanswered, from each arc that makes a difference."""
    taken: NotRequired[list[str]]
    """The options that it has taken, with their number where it is several: `Signal mast`, `2 Long rifles`."""
    text: str
    """What it is."""
    turns: int
    """Turns of a game."""
    unit: str
    """The unit's id."""
    verdict: list[VerdictRow]
    """The same in three sentences, each from one number held against another."""
    weapons: list[WeaponForm]
    """Its weapons, options worked in."""
    worth: Worth
    """What it comes to."""


class AppraisalCsvLinkQuery(TypedDict):
    """What `/v1/appraisal.csv` takes in its query."""

    unit: str
    """The unit's name; every other field as in the short form of `/v1/appraisal`."""


class AppraisalHtmlLinkQuery(TypedDict):
    """What `/v1/appraisal.html` takes in its query."""

    unit: str
    """The unit's name; every other field as in the short form of `/v1/appraisal`."""


class AppraisalLinkQuery(TypedDict):
    """What `/v1/appraisal` takes in its query."""

    against: NotRequired[list[StandingForm]]
    """Units to hold it against, as targets and as attackers, in place of the pack's own board. At most 12 of them."""
    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    models: NotRequired[int]
    """How many models; the unit's fewest where it is left out. From 1 to 60."""
    near: NotRequired[list[str]]
    """Units of its side that stand near it. At most 20 of them."""
    options: NotRequired[list[str]]
    """Its options, such as `signal mast` or `2 long rifles`. At most 40 of them."""
    pack: NotRequired[str]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    turns: NotRequired[int]
    """Turns of a game; the pack's own number where it is left out. From 1 to 20."""
    unit: str
    """The unit's name."""
    weapons: NotRequired[list[str]]
    """The weapons that it uses; all that can be used where it is left out. At most 12 of them."""


class AppraisalMdLinkQuery(TypedDict):
    """What `/v1/appraisal.md` takes in its query."""

    unit: str
    """The unit's name; every other field as in the short form of `/v1/appraisal`."""


class AppraisalPicturesPictureQuery(TypedDict):
    """What `/v1/appraisal/pictures/{picture}` takes in its query."""

    unit: str
    """The unit's name; every other field as in the short form of `/v1/appraisal`."""


class AppraisalRequest(TypedDict):
    """A unit to appraise."""

    against: NotRequired[list[StandingForm] | None]
    """Units to hold it against, as targets and as attackers, in place of the pack's own board. At most 12 of them."""
    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    models: NotRequired[int | None]
    """How many models; the unit's fewest where it is left out. From 1 to 60."""
    near: NotRequired[list[str] | None]
    """Units of its side that stand near it. At most 20 of them."""
    options: NotRequired[list[str] | None]
    """Its options, such as `signal mast` or `2 long rifles`. At most 40 of them."""
    pack: NotRequired[str | None]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    turns: NotRequired[int | None]
    """Turns of a game; the pack's own number where it is left out. From 1 to 20."""
    unit: str
    """The unit's name."""
    weapons: NotRequired[list[str] | None]
    """The weapons that it uses; all that can be used where it is left out. At most 12 of them."""


class ApproachRow(TypedDict):
    """A game under an attacker that comes on."""

    ask: NotRequired[BatchQuestion]
    """The question."""
    attacker: str
    """The attacker's name."""
    attacker_counted: str
    """The attacker as people count it."""
    attacker_models: int
    """Its models."""
    standing: list[float]
    """The chance of still standing at the end of each turn."""
    stood: float
    """At the end of how many turns it still stands, on average: the sum of `standing`."""
    without: NotRequired[str]
    """A protection of the unit that does not act, or its repair that is not rolled."""


class ApproachTurns(TypedDict):
    """Where attackers stand in one turn."""

    arc: str
    """The arc that is hit."""
    range: str
    """The range band."""
    turn: int
    """The turn, from 1."""


class ArcAnswer(TypedDict):
    """The arc that is hit."""

    arc: NameForm
    """The arc."""
    bearing: float
    """The bearing, from beyond -180 up to 180."""
    border: NotRequired[BorderForm]
    """The nearest border; nothing where there is only one arc."""
    borders: list[BorderLine]
    """All borders."""
    distance: NotRequired[float]
    """From middle to middle, where places were given."""
    hash: NotRequired[str]
    """Its content hash."""
    how: str
    """How the borders were found."""
    near: bool
    """Whether that is so near (5 degrees or less) that players may see it differently."""
    pack: NotRequired[str]
    """The pack's id, where one was named."""


class ArcLinkQuery(TypedDict):
    """What `/v1/arc` takes in its query."""

    attacker: NotRequired[TablePlace]
    """A place on the table, in any unit of length: x to the right, y up the table."""
    bearing: NotRequired[float]
    """Degrees clockwise from straight ahead of the hull, seen from its middle: 90 is its right, -90 or 270 its left.
    From -360 to 360.
    """
    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    hull: NotRequired[HullForm]
    """A rectangular hull about 0,0."""
    pack: NotRequired[str]
    """The pack's name, or the text of a pack file."""
    quarters: NotRequired[bool]
    """Equal quarters, whatever the hull's size."""
    target: NotRequired[HullPlace]
    """Where a hull stands and where it looks."""
    unit: NotRequired[str]
    """The unit that is hit, for the size of its hull."""


class ArcRequest(TypedDict):
    """Where a shot comes from: a bearing, or where both stand. Without a pack the arcs are front, side and rear."""

    attacker: NotRequired[TablePlace | None]
    """With `target`: where the shot comes from."""
    bearing: NotRequired[float | None]
    """Degrees clockwise from straight ahead of the hull, seen from its middle: 90 is its right, -90 or 270 its left.
    From -360 to 360.
    """
    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    hull: NotRequired[HullForm | None]
    """The hull's size; its corners are where the arcs meet."""
    pack: NotRequired[str | None]
    """The pack's name, or the text of a pack file."""
    quarters: NotRequired[bool | None]
    """Equal quarters, whatever the hull's size."""
    target: NotRequired[HullPlace | None]
    """In place of a bearing: where the hull stands."""
    unit: NotRequired[str | None]
    """The unit that is hit, for the size of its hull."""


AskedAnswer: TypeAlias = Literal["yes", "no", "depends"]
"""Yes, no, or it depends."""


AskedForm = TypedDict(
    "AskedForm",
    {
        # `yes`, `no`, or `depends` where the words leave it open.
        "answer": "AskedAnswer",
        # Why, or what it depends on, without a beginning: `it acts only when …`.
        "because": "str",
        # Weapons of which the opposite is so.
        "except": "list[NameForm]",
        # The whole answer as a sentence, which says what is so: `No: Lantern screen acts only when …`.
        "sentence": "str",
        # What of the question was understood as the table's.
        "understood": "list[str]",
    },
)
"""The answer to a yes-or-no question."""


class AssignAnswer(TypedDict):
    """Who attacks whom."""

    alone: list[list[AloneCell]]
    """For each attacker, what it does to each target where nobody else attacks it."""
    defaults: list[Stated]
    """What the request left open, and how it was taken."""
    each_on_its_own: OtherPlan
    """The plan in which each takes the target where it alone gives most, with what comes of that together."""
    expected: float
    """Its value: points destroyed on average, or targets destroyed on average."""
    gain: float
    """What the best plan gives above that."""
    hash: str
    """Its content hash."""
    idle: list[IdleRow]
    """Attackers that are sent nowhere."""
    must_chance: NotRequired[Chance]
    """With `must`: the chance that all of these are destroyed."""
    must_left_out: NotRequired[bool]
    """No plan can destroy all that must be, so that `must` does not count."""
    not_reached: NotRequired[bool]
    """No plan reaches the chance of `must`: this is the one that comes nearest."""
    objective: AssignObjective
    """What `expected` counts."""
    others: list[OtherPlan]
    """The next two plans that differ in a target's attackers; who adds nothing is left out of them."""
    pack: str
    """The pack that was used."""
    plan: list[PlanRow]
    """The best plan: a row for each attacker."""
    sentence: str
    """The plan in a sentence."""
    targets: list[TargetRow]
    """What becomes of each target."""


class AssignLinkQuery(TypedDict):
    """What `/v1/assign` takes in its query."""

    attackers: list[StandingForm]
    """Those who attack, in the order in which they act on one target; each goes to one target, with all that it can
    use. At most 12 of them.
    """
    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    must: NotRequired[list[AssignMust]]
    """Targets that must be destroyed, all of them together with at least this chance (the highest, where they differ).
    At most 8 of them.
    """
    objective: NotRequired[AssignObjective]
    """What is looked for."""
    pack: NotRequired[str]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    pairs: NotRequired[list[AssignPair]]
    """What is otherwise for single pairs. At most 96 of them."""
    situation: NotRequired[SituationForm]
    """What the table adds; the pack's own flags stand beside these by their ids."""
    targets: list[StandingForm]
    """Those who may be attacked. At most 8 of them."""


class AssignMust(TypedDict):
    """A target that must be destroyed."""

    chance: NotRequired[float | None]
    """The least chance; default 0.9. From 0 to 1."""
    target: int
    """Its place in the list, from 0. From 0 to 7."""


AssignObjective: TypeAlias = Literal["points", "destroyed"]
"""What is looked for."""


class AssignPair(TypedDict):
    """One attacker and one target."""

    attacker: int
    """The attacker's place in the list, from 0. From 0 to 11."""
    cannot: NotRequired[bool | None]
    """It cannot attack this target."""
    situation: NotRequired[SituationForm | None]
    """What the table adds to this attack, laid over the request's."""
    target: int
    """The target's place in the list, from 0. From 0 to 7."""


class AssignRequest(TypedDict):
    """Attackers and targets, to be sent at each other in the best way."""

    attackers: list[StandingForm]
    """Those who attack, in the order in which they act on one target; each goes to one target, with all that it can
    use. At most 12 of them.
    """
    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    must: NotRequired[list[AssignMust] | None]
    """Targets that must be destroyed, all of them together with at least this chance (the highest, where they differ).
    At most 8 of them.
    """
    objective: NotRequired[AssignObjective | None]
    """What is looked for: `points`, the most points destroyed on average, or `destroyed`, the most targets destroyed
    on average; default `points`.
    """
    pack: NotRequired[str | None]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    pairs: NotRequired[list[AssignPair] | None]
    """What is otherwise for single pairs. At most 96 of them."""
    situation: NotRequired[SituationForm | None]
    """What the table adds to every attack."""
    targets: list[StandingForm]
    """Those who may be attacked. At most 8 of them."""


class AttackForm(TypedDict):
    """A chain without a target; its attackers are for each model or unit that stands."""

    aftermath: NotRequired[list[AftermathForm] | None]
    """What the other side rolls after this attack; with `ends`, its effect takes all that is left out of the fight. At
    most 10 of them.
    """
    attackers: NotRequired[int | None]
    """Attackers for each model or unit that stands; default 1. From 0 to 10000."""
    attacks: NotRequired[AttacksForm | None]
    """Attacks of each; default 1."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    by_counter: NotRequired[list[ByCounterForm] | None]
    """Numbers of the steps that change with counters. At most 40 of them."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the other side's counters, each by its name, for each success past all steps while something is left,
    even one that does nothing.
    """
    damage: NotRequired[AmountForm | None]
    """Damage of each success; default 1."""
    gate: NotRequired[GateForm | None]
    """What lets the attacks be made: rolled by each attacker, or once for all of them."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    order: NotRequired[int | None]
    """Read where `first` is `order`: what has a higher order is made first; default 0. Of `volleys` it is that of
    those that say none. From -1000 to 1000.
    """
    steps: NotRequired[list[StepForm] | None]
    """The rolls of each attack, in order. At most 12 of them."""
    uses: NotRequired[int | None]
    """In how many turns, the first ones, it is made; default every turn. From 1 to 1000."""
    volleys: NotRequired[list[VolleyForm] | None]
    """Several weapons, each with the turns in which it fires, in place of all above but `order`. At most 12 of them."""


class AttackRow(TypedDict):
    """One turn against one target."""

    arc: NotRequired[str]
    """The arc that is hit, where it makes a difference."""
    armoured: bool
    """Whether `expected` is in points of structure, not in models."""
    ask: NotRequired[BatchQuestion]
    """The question."""
    destroyed: float
    """The chance that nothing is left."""
    expected: float
    """Models, or points of structure, removed on average."""
    models: int
    """Models of the unit that attack."""
    per_point: NotRequired[float]
    """That for each point that the unit costs; nothing where it is free."""
    points: float
    """Points removed on average."""
    range: str
    """The range band."""
    target: str
    """The target's name."""
    target_counted: str
    """The target as people count it."""
    target_models: int
    """Its models."""


AttacksForm: TypeAlias = "int | str | AttacksFormDistribution | AttacksFormBlast"
"""- From 0 to 10000.
- 1 to 100 dice of 2 to 100 sides, and up to 1000 added or taken off.
- A distribution as input.
"""


class AttacksFormBlast(TypedDict):
    blast: BlastRequest


class AttacksFormDistribution(TypedDict):
    """A distribution as input."""

    deviation: NotRequired[float | None]
    """For the notes of whoever sends it: nothing is worked out from it."""
    distribution: list[GivenRow]
    """Whole values from 0, each once; their chances add up to 1 within 1e-9 and the sum is divided out."""
    expected: NotRequired[float | None]
    """Not read: so that an answer can be put back."""


class BackfireForm(TypedDict):
    """What a low natural face costs the attacker."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    harm: NotRequired[AmountForm | None]
    """Damage to the attacker's own side; read in duels."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    needs: NotRequired[NeedsForm | None]
    """What saves the attacker, on the step's die without modifier; default `never`."""
    on: NotRequired[int | None]
    """This natural face or worse; default 1 (of a low roll the highest). From 0 to 10000."""


class BaseForm(TypedDict):
    """A round base."""

    diameter_mm: float
    """Its diameter in millimetres. From 0 to 10000."""
    x_mm: float
    """Its middle, in millimetres. From -100000 to 100000."""
    y_mm: float
    """Its middle, in millimetres. From -100000 to 100000."""


class BatchAnswer(TypedDict):
    """The answers, in the order of the questions."""

    answers: list[BatchItem]
    """One for each question."""


class BatchItem(TypedDict):
    """What comes of one question: its answer, or what is wrong with it."""

    answer: NotRequired[Any]
    """The answer that the question would have by itself."""
    problem: NotRequired[list[Mistake]]
    """All its mistakes, their pointers into its own request."""


class BatchLinkQuery(TypedDict):
    """What `/v1/batch` takes in its query."""

    questions: list[BatchQuestion]
    """The questions. At most 100 of them."""


class BatchQuestion(TypedDict):
    """One question."""

    path: str
    """Where it would be posted by itself, without the `/v1/` before it: `odds`, `check`, `repair`, `blast`, `duel`,
    `needed`, `luck`, `draw`, `fair`, `compare`, `matchup`, `list-points` or `assign`.
    """
    request: Any
    """What would be posted there."""


class BatchRequest(TypedDict):
    """Questions, answered in their order."""

    questions: list[BatchQuestion]
    """The questions. At most 100 of them."""


class Because(TypedDict):
    """One change of a number by a rule."""

    effect: str
    """What it did, from the value before to the value after."""
    rule: str
    """The rule's id in its pack."""
    text: str
    """What the rule says."""


class Beside(TypedDict):
    """One of them."""

    armoured: bool
    """Whether it is armour: its capacity is structure."""
    capacity: int
    """Structure, or the health of all its models."""
    damage: list[float | None]
    """Points destroyed in a game, for each target; nothing where it can use no weapon on it."""
    label: str
    """It as people count it, with its options: `Heron Carriage + Stern mortar`."""
    points: int
    """What it costs."""
    profile: list[StatForm]
    """Its stats, options worked in."""
    survival: list[float | None]
    """Turns survived under each attacker as it comes on; nothing where that can use no weapon."""
    unit: str
    """Its id."""
    worth: Worth
    """What it comes to."""


class BlastLinkQuery(TypedDict):
    """What `/v1/blast` takes in its query."""

    aim: NotRequired[AimForm]
    """Where the template is aimed."""
    bases: NotRequired[list[BaseForm]]
    """Round bases. At most 400 of them."""
    because: NotRequired[Notes]
    """Reasons in an answer; whatever stands in their place in a request is not read."""
    counts: NotRequired[CountsForm]
    """When a base counts as caught."""
    formation: NotRequired[FormationForm]
    """Bases in ranks: the first at 0,0, x along a rank, y to the next."""
    hull: NotRequired[HullForm]
    """A rectangular hull about 0,0."""
    label: NotRequired[Label]
    """A name for readers in an answer; whatever stands in its place in a request is not read."""
    scatter: NotRequired[ScatterForm]
    """How the template drifts: `max(0, dice - reduce)` units in any direction."""
    template: TemplateForm
    """The template."""


class BlastOutcome(TypedDict):
    """What comes of a blast."""

    aim: PointForm
    """The aim as used."""
    centre_inside: NotRequired[Chance]
    """Of a hull: the template's middle lies over it."""
    covered: NotRequired[Summary]
    """How many bases are caught."""
    distances: list[DistanceRow]
    """For each distance of drift, ascending."""
    overlapping_pairs: NotRequired[int]
    """How many pairs of bases overlap, where any do: they are counted as they lie."""
    touched: NotRequired[Chance]
    """Of a hull: the template touches it."""


class BlastRequest(TypedDict):
    """A round template, what lies under it, where it is aimed and how it drifts."""

    aim: NotRequired[AimForm | None]
    """A point, or `"best"` (default): the middle of the base that promises most, the first of equals; of a hull its
    middle.
    """
    bases: NotRequired[list[BaseForm] | None]
    """Round bases. At most 400 of them."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    counts: NotRequired[CountsForm | None]
    """When a base counts as caught; default `touched`. Where an edge is met exactly a slack of 1e-9 mm decides: such a
    base is caught.
    """
    formation: NotRequired[FormationForm | None]
    """Bases in ranks, in place of `bases`."""
    hull: NotRequired[HullForm | None]
    """One rectangular hull about 0,0, in place of `bases`."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    scatter: NotRequired[ScatterForm | None]
    """How the template drifts."""
    template: TemplateForm
    """The template."""


class BoardTarget(TypedDict):
    """A target of the board: plain numbers for chains, or a unit for matchups."""

    label: NotRequired[str | None]
    """What it is called in the table; default its unit, or `target 1`, `target 2` …."""
    situation: NotRequired[SituationForm | None]
    """Beside a unit: what the table adds, in place of what the variant says."""
    target: NotRequired[TargetForm | None]
    """From plain numbers."""
    unit: NotRequired[StandingForm | None]
    """A unit."""


class BorderForm(TypedDict):
    """The border that is nearest."""

    across: NotRequired[float]
    """How far across, in the unit of the places."""
    bearing: float
    """Where it lies."""
    off_degrees: float
    """How many degrees away."""
    other: NameForm
    """The arc on its other side."""


class BorderLine(TypedDict):
    """A border."""

    bearing: float
    """Where it lies."""
    between: list[str]
    """The arcs on its two sides, the one in front first. At most 2 of them."""


class BreachForm(TypedDict):
    """What a breach does."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    chart: NotRequired[ChartForm | None]
    """One roll on a table of effects."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the target's counters, each by its name, where it takes effect."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    structure: NotRequired[AmountForm | None]
    """Structure lost; default 0."""


class BuildAnswer(TypedDict):
    """The best legal lists."""

    candidates: int
    """How many candidates there were: units at some sizes with up to two options."""
    hash: str
    """Its content hash."""
    limit: int
    """The points limit."""
    method: str
    """How it was measured."""
    objective: BuildObjective
    """What was looked for."""
    pack: str
    """The pack that was used."""
    plans: list[BuildPlan]
    """The plans, the best first; none where no list is legal."""
    problems: list[ListProblem]
    """Where there is no plan: why, as the smallest set of limits that no list keeps to all at once."""
    targets: list[BuildTarget]
    """Whom it is built against."""


class BuildLinkQuery(TypedDict):
    """What `/v1/build` takes in its query."""

    against: NotRequired[AgainstForm]
    """A list to face."""
    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    exclude: NotRequired[list[str]]
    """Units that are not to be added. At most 200 of them."""
    keep: NotRequired[list[LineForm]]
    """Lines that are in the list whatever else is. At most 100 of them."""
    limit: NotRequired[int]
    """The points limit; the pack's usual one where it is left out. From 0 to 1000000."""
    objective: NotRequired[BuildObjective]
    """What is looked for."""
    pack: NotRequired[str]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    plans: NotRequired[int]
    """How many different plans; default 3. From 1 to 5."""


BuildObjective: TypeAlias = Literal["balanced", "total"]
"""What is looked for."""


class BuildPlan(TypedDict):
    """One list."""

    bound: float
    """The most that any legal list could reach, given the plans before."""
    left: int
    """Points that are left."""
    lines: list[LineSum]
    """Its lines, with their sums: those kept first."""
    proven: bool
    """Whether no list is better."""
    sentence: str
    """What it is good at and what most of that comes from; where it is not proven best, by how much it may fall short."""
    text: str
    """The list as text, to be pasted anywhere a list is read."""
    total: int
    """What it costs."""
    value: BuildValue
    """What it is worth."""
    values: list[BuildValue]
    """What each of these lines is worth, in their order."""


class BuildRequest(TypedDict):
    """What to build."""

    against: NotRequired[AgainstForm | None]
    """The list that it is to face, as lines or as text; the pack's reference board where it is left out."""
    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    exclude: NotRequired[list[str] | None]
    """Units that are not to be added. At most 200 of them."""
    keep: NotRequired[list[LineForm] | None]
    """Lines that are in the list whatever else is. At most 100 of them."""
    limit: NotRequired[int | None]
    """The points limit; the pack's usual one where it is left out. From 0 to 1000000."""
    objective: NotRequired[BuildObjective | None]
    """What is looked for: `balanced`, the most against whichever it does least against, soldiers or armour; or
    `total`, the most over all targets; default `balanced`.
    """
    pack: NotRequired[str | None]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    plans: NotRequired[int | None]
    """How many different plans; default 3. From 1 to 5."""


class BuildTarget(TypedDict):
    """Whom it is built against."""

    name: str
    """The unit as people count it."""
    points: int
    """Its points."""
    weight: float
    """How much it counts."""


class BuildValue(TypedDict):
    """What a list or a line is worth: points taken in the turns that its units survive."""

    armour: NotRequired[float]
    """Over armour, where there is any."""
    soldiers: NotRequired[float]
    """Over soldiers, where there are any."""
    total: float
    """The weighted mean over all targets."""


class BuyForm(TypedDict):
    """Something that the points left could buy."""

    line: NotRequired[int]
    """The line that it goes to; nothing for a new unit."""
    points: int
    """What it costs."""
    text: str
    """What it is and what it costs, in words."""


class ByCounterForm(TypedDict):
    """Numbers that change with a counter. Of the rows of one counter the highest that is reached acts; rows of
    different counters all act, in the order listed.
    """

    at_least: int
    """From this value on. From 0 to 1000."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    name: str
    """The counter."""
    of: NotRequired[Whose | None]
    """Whose counter: of the `target` (default), read when an attack starts; or in a duel the `own` side's, read when
    the volley starts.
    """
    then: dict[str, ChangeForm | None]
    """Changed numbers of the steps, by name; by a counter of the own side also of the `gate`, its `needs` or
    `modifier`.
    """


ByForm: TypeAlias = Literal["attacker", "defender"]
"""Who rolls a step."""


class ChainForm(TypedDict):
    """A chain: one volley written flat, or `volleys`, on one target."""

    aftermath: NotRequired[list[AftermathForm] | None]
    """What is rolled afterwards. At most 10 of them."""
    attackers: NotRequired[int | None]
    """How many attack; default 1. From 0 to 10000."""
    attacks: NotRequired[AttacksForm | None]
    """Attacks of each; default 1."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    by_counter: NotRequired[list[ByCounterForm] | None]
    """Numbers of the steps that change with counters. At most 40 of them."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the target's counters, each by its name, for each success past all steps while something is left, even
    one that does nothing.
    """
    damage: NotRequired[AmountForm | None]
    """Damage of each success; default 1."""
    gate: NotRequired[GateForm | None]
    """What lets the attacks be made: rolled by each attacker, or once for all of them."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    steps: NotRequired[list[StepForm] | None]
    """The rolls of each attack, in order. At most 12 of them."""
    target: TargetForm
    """What is attacked."""
    volleys: NotRequired[list[VolleyForm] | None]
    """Several weapons, in order, in place of the seven above. At most 12 of them."""


class Chance(TypedDict):
    """A chance on its own."""

    chance: float
    """From 0 to 1. From 0 to 1."""
    fraction: NotRequired[str]
    """The exact value in lowest terms, where it was worked out."""


ChanceForm: TypeAlias = "float | str"
"""A chance as a number or as a fraction.

- A decimal.
- A fraction.
"""


class ChangeForm(TypedDict):
    """Changed numbers of one step."""

    add: NotRequired[ChangedNumber | None]
    """Penetrate: in place of what is added, or added to that."""
    against: NotRequired[ChangedNumber | None]
    """Penetrate: in place of the armour, or added to it."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    modifier: NotRequired[ChangedNumber | None]
    """In place of its modifier, or added to it."""
    needs: NotRequired[ChangedNeeds | None]
    """In place of what it needs, or added to its number; not of a roll that both sides make."""


ChangedNeeds: TypeAlias = "NeedsForm | PlusForm"
"""Another need, or so much more.

- In place of its own.
- Added to its number.
"""


ChangedNumber: TypeAlias = "int | PlusForm"
"""Another number, or so much more.

- In place of its own.
- Added to it.
"""


class ChartForm(TypedDict):
    """A table of effects: the last row that the roll reaches counts."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    dice: DiceForm
    """The dice."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    modifier: NotRequired[int | None]
    """Added to them. From -1000 to 1000."""
    rows: list[ChartRowForm]
    """Ascending. At most 100 of them."""


class ChartRowForm(TypedDict):
    """One row of a table of effects."""

    at_least: int
    """The result from which it counts. From -1000 to 20000."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the target's counters, each by its name."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    repeated: NotRequired[RepeatedForm | None]
    """In place of all this, where the unit has the status already."""
    status: NotRequired[str | None]
    """A lasting mark on the unit."""
    structure: NotRequired[AmountForm | None]
    """More structure lost."""
    wrecked: NotRequired[bool | None]
    """The unit is wrecked."""


class CheckForm(TypedDict):
    """A check of a unit."""

    asked: NotRequired[int]
    """The number that it was asked with."""
    asks: NotRequired[str]
    """What is asked of the person, such as a distance."""
    because: list[Because]
    """Why its numbers are what they are."""
    id: str
    """Its id."""
    name: str
    """Its name."""
    request: CheckRequest
    """A request for `check`."""
    text: str
    """What it says."""


class CheckLinkQuery(TypedDict):
    """What `/v1/check` takes in its query."""

    because: NotRequired[Notes]
    """Reasons in an answer; whatever stands in their place in a request is not read."""
    dice: AmountForm
    """The dice."""
    exact: NotRequired[bool]
    """Show fractions in every row."""
    high_succeeds: NotRequired[bool]
    """The best natural total always succeeds."""
    keep: NotRequired[KeepForm]
    """Which of several dice are summed: one of the two."""
    label: NotRequired[Label]
    """A name for readers in an answer; whatever stands in its place in a request is not read."""
    low_fails: NotRequired[bool]
    """The worst natural total always fails."""
    modifier: NotRequired[int]
    """Added to the total. From -1000 to 1000."""
    needs: NotRequired[NeedsList]
    """One need for all tries, or a list with one for each."""
    reroll: NotRequired[RerollForm]
    """Which natural faces are rolled again, once: `worst`, the worst face, of several dice each die that shows it;
    `failures`; `natural_failures`, what fails before the modifier; `successes`, as the opponent makes you;
    `not_critical`, all that is no critical. All but `worst` go by the total and roll all the dice again.
    `failures_and_grazes` is for a penetrate step only: totals not above the armour.
    """
    rerolls: NotRequired[int]
    """A budget of re-rolled failures over all tries, in place of `reroll`. From 0 to 10000."""
    ties: NotRequired[CheckTies]
    """What a tie of an opposed check is worth."""
    tries: NotRequired[int]
    """How many tries; default 1. From 1 to 10000."""
    versus: NotRequired[VersusForm]
    """The other side of an opposed roll."""


class CheckOutcome(TypedDict):
    """What comes of a check."""

    all: Chance
    """All of them pass."""
    any: Chance
    """At least one does."""
    chance: float
    """The chance that one try passes (the first, where they differ), without the budget of re-rolls. From 0 to 1."""
    each: NotRequired[list[TryChance]]
    """The same for each try, where they differ."""
    first_pass: list[FirstPass]
    """When the first pass comes."""
    fraction: str
    """The same exactly."""
    none: Chance
    """None of them does."""
    passes: Summary
    """How many tries pass."""
    total: Summary
    """The final total, modifier included."""


CheckPair = TypedDict(
    "CheckPair",
    {
        # The number that it was asked with.
        "asked": "NotRequired[int]",
        # Its name.
        "check": "str",
        # With the other near.
        "with": "float",
        # The chance that it passes alone.
        "without": "float",
    },
)
"""A test alone and with another near."""


class CheckRequest(TypedDict):
    """One roll, or several tries of it."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    dice: AmountForm
    """The dice."""
    exact: NotRequired[bool | None]
    """Show fractions in every row."""
    high_succeeds: NotRequired[bool | None]
    """The best natural total always succeeds."""
    keep: NotRequired[KeepForm | None]
    """Which of the dice are summed."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    low_fails: NotRequired[bool | None]
    """The worst natural total always fails."""
    modifier: NotRequired[int | None]
    """Added to the total. From -1000 to 1000."""
    needs: NotRequired[NeedsList | None]
    """What a try needs; a list has one for each try."""
    reroll: NotRequired[RerollForm | None]
    """What is rolled again."""
    rerolls: NotRequired[int | None]
    """A budget of re-rolled failures over all tries, in place of `reroll`. From 0 to 10000."""
    ties: NotRequired[CheckTies | None]
    """What a tie is worth; default `lose`."""
    tries: NotRequired[int | None]
    """How many tries; default 1. From 1 to 10000."""
    versus: NotRequired[VersusForm | None]
    """The other side of an opposed roll, in place of `needs`."""


class CheckRow(TypedDict):
    """A test of a unit."""

    ask: NotRequired[BatchQuestion]
    """The question."""
    asked: NotRequired[int]
    """The number that it was asked with."""
    asks: NotRequired[str]
    """What it is asked with."""
    check: str
    """Its name."""
    fails_once: float
    """The chance that at least one fails of one in each turn of a game."""
    passes: float
    """The chance that it passes."""


CheckTies: TypeAlias = Literal["win", "lose", "again"]
"""What a tie of an opposed check is worth."""


class ColourOdds(TypedDict):
    """What comes of one colour."""

    any: Chance
    """At least one is."""
    drawn: Summary
    """How many of it are drawn."""
    first: Chance
    """The first token of all is of this colour."""


class ComparatorRow(TypedDict):
    """Another unit for the same points."""

    counted: str
    """As people count it."""
    models: int
    """Its models."""
    points: int
    """What it costs."""
    unit: str
    """Its name."""
    unit_id: str
    """Its id."""
    worth: Worth
    """What it comes to."""


class CompareAnswer(TypedDict):
    """The table, variant by variant and in each target by target."""

    defaults: NotRequired[list[Stated]]
    """Of matchups: what was left open, each thing once, and how it was taken."""
    left_out: NotRequired[list[LeftOut]]
    """Of `every`: units that cannot attack these targets, and why."""
    rows: list[CompareRow]
    """The rows."""


class CompareLinkQuery(TypedDict):
    """What `/v1/compare` takes in its query."""

    every: NotRequired[EveryUnit]
    """All units of a pack, each by itself, at its fewest models and without options."""
    exact: NotRequired[bool]
    """Work in exact fractions and show them."""
    most: NotRequired[int]
    """Beside `want`: the largest number to look at; default 60. From 1 to 10000."""
    points: NotRequired[int]
    """At equal points, of matchups: of each unit as many models as these buy, in as many units as they make up. From 1
    to 1000000.
    """
    targets: NotRequired[list[BoardTarget]]
    """The board: every variant attacks each of these in place of a target of its own. At most 24 of them."""
    variants: NotRequired[list[Variant]]
    """The attacks, each a chain or a matchup. At most 12 of them."""
    want: NotRequired[WantForm]
    """`destroyed` with its chance, or one of the others with `chance` beside it."""


class CompareListsAnswer(TypedDict):
    """How two lists do against each other."""

    a: ListShowing
    """The first list against the second."""
    b: ListShowing
    """The second against the first."""
    hash: str
    """Its content hash."""
    method: str
    """How it was measured."""
    pack: str
    """The pack that was used."""
    sentence: str
    """What comes of it in a sentence."""
    turns: int
    """Turns of a game."""


class CompareListsLinkQuery(TypedDict):
    """What `/v1/compare-lists` takes in its query."""

    a: ListForm
    """One list."""
    b: ListForm
    """The other."""
    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """


class CompareListsRequest(TypedDict):
    """Two lists of one pack."""

    a: ListForm
    """One list."""
    b: ListForm
    """The other."""
    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str | None]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """


class CompareRequest(TypedDict):
    """Attacks to compare, on targets of their own or each on every target of a board: as many of each as it says, as
    many as so many points buy, or as many as a wanted chance takes.
    """

    every: NotRequired[EveryUnit | None]
    """In their place: every unit of a pack."""
    exact: NotRequired[bool | None]
    """Work in exact fractions and show them."""
    most: NotRequired[int | None]
    """Beside `want`: the largest number to look at; default 60. From 1 to 10000."""
    points: NotRequired[int | None]
    """At equal points, of matchups: of each unit as many models as these buy, in as many units as they make up. From 1
    to 1000000.
    """
    targets: NotRequired[list[BoardTarget] | None]
    """The board: every variant attacks each of these in place of a target of its own. At most 24 of them."""
    variants: NotRequired[list[Variant] | None]
    """The attacks, each a chain or a matchup. At most 12 of them."""
    want: NotRequired[WantForm | None]
    """Of each attack as many attackers (of a matchup: models) as this takes, and what they cost."""


class CompareRow(TypedDict):
    """One attack on one target."""

    attackers: NotRequired[int | None]
    """With `points` or `want`: how many attackers, of a matchup models. `null` where no number up to `most` reaches
    what is wanted; the row then shows `most` of them.
    """
    chance: NotRequired[float]
    """With `want`: the chance of that with so many. From 0 to 1."""
    destroyed: Chance
    """Nothing is left."""
    health_lost: NotRequired[float]
    """Of soldiers: points of health lost, on average."""
    models: NotRequired[float]
    """Of soldiers: models removed, on average."""
    points: NotRequired[int]
    """What the variant costs, where it is known."""
    points_each: NotRequired[float]
    """Its points for each model, or each point of structure, that it removes on average; less is better."""
    structure: NotRequired[float]
    """Of armour: points of structure lost, on average."""
    target: str
    """The label of the target."""
    variant: str
    """The label of the variant."""
    wrecked: NotRequired[float]
    """Of armour: units wrecked, on average."""


class CostForm(TypedDict):
    """What a unit costs."""

    armoured: bool
    """Whether it is armour: its capacity is structure."""
    ask: NotRequired[BatchQuestion]
    """The question for `points`."""
    capacity: int
    """Structure, or the health of all its models."""
    least_models: NotRequired[int]
    """The fewest models that it may have."""
    median: float
    """The median cost of its book, each unit at its fewest models: of an even count the mean of the two in the middle."""
    middle: int
    """The cost in the middle of its book, each unit at its fewest models: of two in the middle the higher."""
    most: NotRequired[int]
    """How many of this unit a list may hold."""
    most_models: int
    """The most models that it may have."""
    most_points: int
    """Points with that many."""
    options: list[OptionCost]
    """What its options cost."""
    per_slot: int
    """How many such units share a slot of the role."""
    points: int
    """Points, options included."""
    points_each: float
    """Points for each point of structure or health."""
    role: str
    """Its role."""
    slots: NotRequired[int]
    """The most slots of the role that a list may fill."""


CountedForm: TypeAlias = Literal["models", "units"]
"""What people count of a unit."""


class CounterForm(TypedDict):
    """A number that hits leave on a target, such as pins or fires. It belongs to the whole target and outlives a
    wreck; while nothing of the target is left it does not change.
    """

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    most: NotRequired[int | None]
    """It goes no higher; default 20. From 1 to 1000."""
    name: str
    """What players call it; unique on its target."""
    start: NotRequired[int | None]
    """At the start; default 0. From 0 to 1000."""


CountsForm: TypeAlias = Literal["touched", "centre", "whole"]
"""When a base counts as caught."""


class CriticalForm(TypedDict):
    """What a high natural face gives."""

    add: NotRequired[AmountForm | None]
    """Penetrate: added to the total, once."""
    always: NotRequired[bool | None]
    """Succeeds whatever the total; default true."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    damage: NotRequired[AmountForm | None]
    """Added to the damage of this success."""
    extra: NotRequired[AmountForm | None]
    """Further, ordinary successes: up to 10, dice allowed."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    on: int
    """This natural face or better. Of a penetrate step: on any of its dice. From 0 to 10000."""
    then: NotRequired[dict[str, ChangeForm | None] | None]
    """Changed numbers of later steps, by name, for this success only."""


class DamageRow(TypedDict):
    """A game against one target."""

    ask: NotRequired[BatchQuestion]
    """The question."""
    destroyed: float
    """The chance that nothing is left."""
    left: float
    """Models or units left at the end on average."""
    per_point: NotRequired[float]
    """That for each point that the unit costs; nothing where it is free."""
    points: float
    """Points off the table at the end on average: the target's cost by the share of its models or units that are gone."""
    range: str
    """The range band."""
    target: str
    """The target's name."""
    target_counted: str
    """The target as people count it."""
    target_models: int
    """Its models."""
    target_points: int
    """What the target costs."""


DiceForm: TypeAlias = "int | str"
"""- From 0 to 10000.
- 1 to 100 dice of 2 to 100 sides, and up to 1000 added or taken off.
"""


class DistanceRow(TypedDict):
    """One distance of drift."""

    chance: float
    """The chance of this distance."""
    distance_mm: float
    """How far the template drifts."""
    expected: float
    """How many are caught on average then (of a hull: the chance that it is touched)."""


class DrawLinkQuery(TypedDict):
    """What `/v1/draw` takes in its query."""

    contents: dict[str, int | None]
    """How many tokens of each colour; 1 to 1000 in all, of at most 50 colours."""
    draws: NotRequired[int]
    """How many are drawn, unless the drawing ends before; all of them where it is left out. From 1 to 1000."""
    ends_on: NotRequired[dict[str, int | None]]
    """The drawing ends with the token that brings any of these colours to its number."""
    exact: NotRequired[bool]
    """Work in exact fractions and show them in every row."""
    wanted: NotRequired[dict[str, int | None]]
    """What is hoped for: the chance that all of these come together is answered."""


class DrawOutcome(TypedDict):
    """What comes out of the bag."""

    colours: dict[str, ColourOdds]
    """For each colour, what comes of it."""
    drawn: Summary
    """How many tokens are drawn, the one that ends the drawing counted in."""
    ended: NotRequired[Chance]
    """With `ends_on`: the drawing was ended by a colour, not by the number of draws."""
    ends: NotRequired[list[EndRow]]
    """With `ends_on`: when."""
    wanted: NotRequired[WantedOdds]
    """With `wanted`: the chance of it."""


class DrawRequest(TypedDict):
    """A bag, and how it is drawn from."""

    contents: dict[str, int | None]
    """How many tokens of each colour; 1 to 1000 in all, of at most 50 colours."""
    draws: NotRequired[int | None]
    """How many are drawn, unless the drawing ends before; all of them where it is left out. From 1 to 1000."""
    ends_on: NotRequired[dict[str, int | None] | None]
    """The drawing ends with the token that brings any of these colours to its number."""
    exact: NotRequired[bool | None]
    """Work in exact fractions and show them in every row."""
    wanted: NotRequired[dict[str, int | None] | None]
    """What is hoped for: the chance that all of these come together is answered."""


DuelLinkQuery = TypedDict(
    "DuelLinkQuery",
    {
        # One side.
        "a": "DuelSide",
        # The other side.
        "b": "DuelSide",
        # Reasons in an answer; whatever stands in their place in a request is not read.
        "because": "NotRequired[Notes]",
        # Units: the text of a unit book to use beside the pack's own.
        "book": "NotRequired[str]",
        # Show fractions.
        "exact": "NotRequired[bool]",
        # Who goes first in every turn: side a, side b, both together, whoever wins a roll-off before the first
        # turn, or volleys by their order.
        "first": "NotRequired[FirstForm]",
        # A name for readers in an answer; whatever stands in its place in a request is not read.
        "label": "NotRequired[Label]",
        # Units: the pack's name, or the text of a pack file; the first pack where it is left out.
        "pack": "NotRequired[str]",
        # A situation over several turns; the pack's own flags stand beside these by their ids.
        "situation": "NotRequired[TurnsForm]",
        # How many turns; default 6. From 1 to 20.
        "turns": "NotRequired[int]",
        # Units: rules that act as if they were carried. At most 20 of them.
        "with": "NotRequired[list[str]]",
        # Units: rules that do not act. At most 20 of them.
        "without": "NotRequired[list[str]]",
    },
)
"""What `/v1/duel` takes in its query."""


class DuelOutcome(TypedDict):
    """What comes of a duel."""

    a: SideOutcome
    """Side a in the end."""
    b: SideOutcome
    """Side b in the end."""
    better_spent: NotRequired[OneSide]
    """Of units: whose points take more from the other for each of them; nothing where they are even."""
    defaults: NotRequired[list[Stated]]
    """Of units: what the request left open, and how it was taken."""
    duel: NotRequired[DuelRequest]
    """Of units: the plain duel that they come down to; posted to `duel` it gives the same numbers."""
    harmless: NotRequired[bool]
    """Neither side can hurt the other at all."""
    hash: NotRequired[str]
    """Of units: its content hash."""
    never_settled: Chance
    """Both are still standing after the last turn."""
    pack: NotRequired[str]
    """Of units: the pack that was used."""
    turns: list[DuelTurnRow]
    """The chances by the end of each turn."""


class DuelPoints(TypedDict):
    """Cost and effect in points."""

    cost: int
    """What the unit costs."""
    per_point: NotRequired[float]
    """That for each point of its own; nothing where it costs none."""
    removed: float
    """The mean of what is gone of the other side in the end: its cost, by the share of its models or units."""


DuelRequest = TypedDict(
    "DuelRequest",
    {
        # One side.
        "a": "DuelSide",
        # The other side.
        "b": "DuelSide",
        # For the notes of whoever sends it: nothing is worked out from it.
        "because": "NotRequired[Notes]",
        # Units: the text of a unit book to use beside the pack's own.
        "book": "NotRequired[str | None]",
        # Show fractions.
        "exact": "NotRequired[bool | None]",
        # Who goes first; default `a`.
        "first": "NotRequired[FirstForm | None]",
        # For the notes of whoever sends it: nothing is worked out from it.
        "label": "NotRequired[Label]",
        # Units: the pack's name, or the text of a pack file; the first pack where it is left out.
        "pack": "NotRequired[str | None]",
        # Units: what the table adds, for both sides; each of it once for all turns, or in a list turn by turn.
        "situation": "NotRequired[TurnsForm | None]",
        # How many turns; default 6. From 1 to 20.
        "turns": "NotRequired[int | None]",
        # Units: rules that act as if they were carried. At most 20 of them.
        "with": "NotRequired[list[str] | None]",
        # Units: rules that do not act. At most 20 of them.
        "without": "NotRequired[list[str] | None]",
    },
)
"""Two sides that attack each other turn by turn: two units of a book, or plain numbers."""


class DuelSide(TypedDict):
    """One side of a duel: a unit of a book, or a target of plain numbers with its attack and its repair."""

    attack: NotRequired[AttackForm | None]
    """Plain: its attack; a side without one just stands there."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    hurt: NotRequired[int | None]
    """Unit: points of structure or health that its first model misses. From 0 to 1000."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    left: NotRequired[int | None]
    """Unit: what is left of it, in place of `hurt`: models of a unit of several soldiers, else points. From 1 to 1000."""
    models: NotRequired[int | None]
    """Unit: how many models; its fewest where it is left out. From 1 to 1000."""
    near: NotRequired[list[str] | None]
    """Unit: units of its side that stand near it. At most 20 of them."""
    options: NotRequired[list[str] | None]
    """Unit: its options, such as `signal mast` or `2 long rifles`. At most 40 of them."""
    repair: NotRequired[MendForm | None]
    """Plain: what mends its hurt model or unit at the start of its turn."""
    sheds: NotRequired[ShedsForm | None]
    """Plain: what it takes off its counters at the start of its turn; one, or a list in order."""
    situation: NotRequired[TurnsForm | None]
    """Unit: how this side stands, laid over the situation of both: the arc that it shows, the cover that it is behind,
    whether it moves, and the pack's flags for its own attack.
    """
    statuses: NotRequired[list[str] | None]
    """Unit: marks that it bears. At most 20 of them."""
    target: NotRequired[TargetForm | None]
    """Plain: what the other side attacks."""
    unit: NotRequired[str | None]
    """The unit's name."""
    weapons: NotRequired[list[str] | None]
    """Unit: the weapons that it uses; in each turn all that can be used where it is left out. At most 12 of them."""


class DuelTurnRow(TypedDict):
    """The end of a turn."""

    a_destroyed: float
    """The chance that nothing is left of side a."""
    b_destroyed: float
    """The chance that nothing is left of side b."""
    both_standing: float
    """The chance that something is left of both."""
    turn: int
    """Which turn, from 1."""


EachTurn_RangeForm: TypeAlias = "int | str | list[int | str]"
"""The same in all turns, or a list: one for each turn, the last one going on.

- A distance.
- A band.
- Turn by turn.
"""


EachTurn_String: TypeAlias = "str | list[str]"
"""The same in all turns, or a list: one for each turn, the last one going on.

- Turn by turn.
"""


EachTurn_bool: TypeAlias = "bool | list[bool]"
"""The same in all turns, or a list: one for each turn, the last one going on.

- Turn by turn.
"""


class EffectOdds(TypedDict):
    """What comes of one effect afterwards."""

    answer: NotRequired[OddsAnswer]
    """What comes of the attack that comes with it: by itself, given that the effect happens."""
    chance: float
    """From 0 to 1. From 0 to 1."""
    fraction: NotRequired[str]
    """The exact value in lowest terms, where it was worked out."""


class EndRow(TypedDict):
    """Whether a colour ends the drawing with one draw."""

    by: float
    """With this draw or before."""
    chance: float
    """With this draw."""
    draw: int
    """Which draw, from 1."""


class Place(TypedDict):
    """A place in a file of a pack."""

    cell: NotRequired[str]
    """In a spreadsheet, the cell; line and column are its row and column."""
    column: NotRequired[int]
    """The character in that line, from 1."""
    file: NotRequired[str]
    """The file, as it was called in the request."""
    line: NotRequired[int]
    """The line, from 1."""
    suggestion: NotRequired[str]
    """What would mend it, where that is known."""


class Entry(Place, TypedDict):
    """One of several mistakes."""

    detail: str
    """What is wrong and what to do about it."""
    did_you_mean: NotRequired[list[str]]
    """The closest names, best first, where a name was not found."""
    pointer: str
    """RFC 6901 pointer to the field at fault; empty for the whole request."""
    type: str
    """Path of the page about this kind of problem."""


EqualForm: TypeAlias = Literal["graze", "breach"]
"""What a total equal to the armour is."""


class EveryUnit(TypedDict):
    """All units of a pack, each by itself, at its fewest models and without options."""

    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str | None]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    situation: NotRequired[SituationForm | None]
    """What the table adds."""


class FairFace(TypedDict):
    """One face by itself."""

    chance: float
    """The chance that this face comes up a number of times that is at most as likely. It is the least of as many as
    the die has sides, so some face often looks like this. From 0 to 1.
    """
    expected: float
    """How often it was to be expected."""
    face: int
    """Which face."""
    seen: int
    """How often it came up."""


class FairLinkQuery(TypedDict):
    """What `/v1/fair` takes in its query."""

    exact: NotRequired[bool]
    """Changes nothing: the answer is as exact as it gets."""
    faces: dict[str, int | None]
    """How often each face came up, by its number; a face that is not named did not. At most 1000000 throws in all."""
    sides: NotRequired[int]
    """Sides of the die; default 6. From 2 to 100."""
    weights: NotRequired[dict[str, int | None]]
    """How much each face weighs, where they are not meant to come alike: a whole number from 1 for every face."""


FairMethod: TypeAlias = Literal["exact", "chi_square"]
"""How the chance was found."""


class FairOutcome(TypedDict):
    """What the counts say about the die."""

    chance: Chance
    """The chance that a fair die brings counts at most as likely as these. The fraction stands beside it where it was
    worked out, and is short enough.
    """
    chi_square: float
    """Pearson's statistic: the squares of what each face is off, each over what was expected of it."""
    degrees: int
    """One less than the sides."""
    face: FairFace
    """The face whose number is the most surprising of all."""
    method: FairMethod
    """How the chance was found."""
    sentence: str
    """The same in words."""
    sides: int
    """Sides of the die."""
    throws: int
    """All the throws."""
    throws_needed: NotRequired[int | None]
    """The fewest throws at which a chi-square test at 5% finds a die of these shares, less what chance adds to them,
    in 95% of series. `null` where chance alone makes such shares. At least 1.
    """


class FairRequest(TypedDict):
    """A die, and how often each of its faces came up."""

    exact: NotRequired[bool | None]
    """Changes nothing: the answer is as exact as it gets."""
    faces: dict[str, int | None]
    """How often each face came up, by its number; a face that is not named did not. At most 1000000 throws in all."""
    sides: NotRequired[int | None]
    """Sides of the die; default 6. From 2 to 100."""
    weights: NotRequired[dict[str, int | None] | None]
    """How much each face weighs, where they are not meant to come alike: a whole number from 1 for every face."""


class FaultForm(TypedDict):
    """One thing that is wrong."""

    cell: NotRequired[str]
    """In a spreadsheet, the cell, such as `Weapons!D7`; line and column are its row and column."""
    column: int
    """The character in that line, from 1."""
    file: str
    """The file."""
    line: int
    """The line, from 1."""
    message: str
    """What is wrong."""
    suggestion: NotRequired[str]
    """What would mend it, where that is known."""
    warning: bool
    """Whether the file can be used all the same."""
    words: str
    """The words at fault."""


FirstForm: TypeAlias = Literal["a", "b", "roll", "together", "order"]
"""Who goes first in every turn: side a, side b, both together, whoever wins a roll-off before the first turn, or
volleys by their order.
"""


FirstPass = TypedDict(
    "FirstPass",
    {
        # On this try or before.
        "by": "float",
        # On this try.
        "chance": "float",
        # Which try, from 1.
        "try": "int",
    },
)
"""The chance that the first pass comes on one try."""


ForWhat = TypedDict(
    "ForWhat",
    {
        # The target or the attacker as people count it.
        "whom": "str",
        # With.
        "with": "float",
        # Points destroyed in a game, or turns survived, without.
        "without": "float",
    },
)
"""Against whom, without and with."""


class FormationForm(TypedDict):
    """Bases in ranks: the first at 0,0, x along a rank, y to the next."""

    base_mm: float
    """Diameter of each base in millimetres. From 0 to 10000."""
    files: int
    """How many to a rank. From 1 to 400."""
    gap_mm: float
    """From edge to edge in millimetres. From 0 to 10000."""
    models: int
    """How many. From 1 to 400."""


class FormationHead(TypedDict):
    """How models stand side by side."""

    base_mm: int
    """The diameter of a base, in millimetres."""
    files: int
    """How many stand side by side."""
    gap_mm: int
    """The gap from edge to edge, in millimetres."""


class GateForm(TypedDict):
    """What lets the attacks be made: a roll like that of a check. Attackers that fail it make no attacks."""

    backfire: NotRequired[BackfireForm | None]
    """What a low natural total costs the attacker, whether it passes or not; saved with the gate's own dice."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    dice: NotRequired[AmountForm | None]
    """The dice; default 1d6."""
    high_succeeds: NotRequired[bool | None]
    """The best natural total always succeeds."""
    keep: NotRequired[KeepForm | None]
    """Which of the dice are summed."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    low_fails: NotRequired[bool | None]
    """The worst natural total always fails."""
    modifier: NotRequired[int | None]
    """Added to the total. From -1000 to 1000."""
    needs: NotRequired[NeedsForm | None]
    """What it needs."""
    per: NotRequired[GatePer | None]
    """Rolled by each `attacker` (default) or once for the whole `volley`."""
    reroll: NotRequired[RerollForm | None]
    """What is rolled again."""
    ties: NotRequired[StepTies | None]
    """Who wins a tie; default `defender`."""
    versus: NotRequired[VersusForm | None]
    """The other side of an opposed roll, in place of `needs`."""


GatePer: TypeAlias = Literal["attacker", "volley"]
"""Who rolls a gate."""


class GivenRow(TypedDict):
    at_least: NotRequired[float | None]
    """For the notes of whoever sends it: nothing is worked out from it."""
    chance: NotRequired[float | None]
    """A decimal, read as that decimal. From 0 to 1."""
    fraction: NotRequired[str | None]
    """The exact chance; wins over `chance`."""
    value: int
    """From 0 to 10000."""


class GrazeForm(TypedDict):
    """What a graze does."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the target's counters, each by its name, where it takes effect."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    structure: NotRequired[AmountForm | None]
    """Structure lost; default 0."""


class GroupForm(TypedDict):
    """Models that are alike."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    health: NotRequired[int | None]
    """Health of each; default 1. From 1 to 1000."""
    ignore: NotRequired[IgnoreForm | None]
    """A last roll against damage."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    models: int
    """How many. From 1 to 1000."""
    then: NotRequired[dict[str, ChangeForm | None] | None]
    """Replaced numbers of the steps while this group is hit."""


class HeadingForm(TypedDict):
    """A line that was taken as a heading."""

    line: int
    """Its number."""
    text: str
    """What it says."""


class HullForm(TypedDict):
    """A rectangular hull about 0,0."""

    length_mm: float
    """Along x, in millimetres. From 0 to 10000."""
    width_mm: float
    """Along y, in millimetres. From 0 to 10000."""


class HullPlace(TypedDict):
    """Where a hull stands and where it looks."""

    heading: NotRequired[float | None]
    """Degrees clockwise from up the table. From -360 to 360."""
    x: float
    """To the right. From -100000 to 100000."""
    y: float
    """Up the table. From -100000 to 100000."""


HullSide = TypedDict(
    "HullSide",
    {
        # The arc.
        "arc": "str",
        # Where it begins: degrees clockwise from straight ahead.
        "from": "float",
        # Where it ends; beyond 180 where it goes round the back.
        "to": "float",
        # The stats that differ by side: name and value.
        "values": "list[list[str]]",
    },
)
"""The numbers of one side of a hull, seen from above."""


class IdleRow(TypedDict):
    """An attacker that is sent nowhere."""

    attacker: int
    """Its place in the list, from 0."""
    reason: str
    """Why."""


class IgnoreForm(TypedDict):
    """A last roll against damage."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    die: NotRequired[int | None]
    """Sides of its die; default 6. From 2 to 100."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    modifier: NotRequired[int | None]
    """Added to it. From -1000 to 1000."""
    needs: NeedsForm
    """What it needs."""
    per: NotRequired[Per | None]
    """Once for each `point` (default) or once for the whole `packet`."""


class KeepForm(TypedDict):
    """Which of several dice are summed: one of the two."""

    highest: NotRequired[int | None]
    """The highest so many. From 1 to 100."""
    lowest: NotRequired[int | None]
    """The lowest so many. From 1 to 100."""


KindForm: TypeAlias = Literal["roll", "penetrate", "table"]
"""The kind of a step."""


Label: TypeAlias = "Any"
"""A name for readers in an answer; whatever stands in its place in a request is not read."""


class LayerForm(TypedDict):
    """A pack that another is built on."""

    id: str
    """Its id."""
    name: str
    """Its name."""


class LeftOut(TypedDict):
    """A unit that cannot be compared."""

    name: str
    """Its name."""
    unit: str
    """Its id."""
    why: str
    """Why."""


LineForm: TypeAlias = "str | LineParts"
"""One line of a list.

- As people write it: `3x Heron Carriage + signal mast`.
- Taken apart.
"""


class LineParts(TypedDict):
    """A line taken apart."""

    count: NotRequired[int | None]
    """How many such units; default 1. From 1 to 1000."""
    models: NotRequired[int | None]
    """Models of each; the unit's fewest where it is left out. From 1 to 1000."""
    options: NotRequired[list[str] | None]
    """The options of each, such as `signal mast` or `2 long rifles`. At most 40 of them."""
    unit: str
    """The unit's name."""


class LineSum(TypedDict):
    """A line with its sum."""

    base: int
    """One unit without options."""
    count: int
    """How many such units."""
    line: int
    """Its number: in a text that of its line, else its place in `lines`, from 1."""
    models: int
    """Models of each."""
    name: str
    """Its name."""
    options: list[OptionSum]
    """The options of one unit."""
    points: int
    """All of the line."""
    unit: str
    """The unit's id."""


class ListAnswer(TypedDict):
    """What a list comes to."""

    buys: list[BuyForm]
    """Single additions that the points left pay for and that break no limit that holds now, dearest first; 30 at most."""
    hash: str
    """Its content hash."""
    headings: NotRequired[list[HeadingForm]]
    """Lines that were taken as headings, titles or remarks: they cost nothing."""
    left: int
    """What is left of it; below 0 where the list is over it."""
    legal: bool
    """Whether no limit is broken, every line was understood, and points written behind a name are what it costs."""
    limit: int
    """The points limit."""
    lines: list[LineSum]
    """Each line that was understood, with its sum."""
    pack: str
    """The pack that was used."""
    problems: list[ListProblem]
    """Every broken limit, and everything that was not understood."""
    roles: list[RoleSum]
    """What the list holds of each role."""
    total: int
    """All of it."""
    ways: int
    """In how many ways units at their fewest models add up to exactly the points left, limits aside."""


class ListForm(TypedDict):
    """A list: its lines, or the whole of it as pasted."""

    label: NotRequired[str | None]
    """What it is called in the answer."""
    lines: NotRequired[list[LineForm] | None]
    """Its lines: as people write them, or taken apart. At most 60 of them."""
    text: NotRequired[str | None]
    """The whole list as pasted, in place of `lines`."""


class ListPointsLinkQuery(TypedDict):
    """What `/v1/list-points` takes in its query."""

    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    limit: NotRequired[int]
    """The points limit; the pack's usual one where it is left out. From 0 to 1000000."""
    lines: NotRequired[list[LineForm]]
    """Its lines: as people write them, or taken apart. At most 500 of them."""
    pack: NotRequired[str]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    text: NotRequired[str]
    """The whole list as pasted, in place of `lines`; a line `1500 points` is its limit."""


class ListProblem(TypedDict):
    """A broken limit, or a line that was not understood."""

    code: str
    """What sort of problem."""
    line: NotRequired[int]
    """The line at fault, numbered as in `lines`; nothing where the whole list is."""
    mend: str
    """What would mend it."""
    text: str
    """What is wrong."""


class ListRequest(TypedDict):
    """A list of units."""

    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    limit: NotRequired[int | None]
    """The points limit; the pack's usual one where it is left out. From 0 to 1000000."""
    lines: NotRequired[list[LineForm] | None]
    """Its lines: as people write them, or taken apart. At most 500 of them."""
    pack: NotRequired[str | None]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    text: NotRequired[str | None]
    """The whole list as pasted, in place of `lines`; a line `1500 points` is its limit."""


ListRow = TypedDict(
    "ListRow",
    {
        # Of each row of the other list, the points that they would take from such units alone in a game.
        "from": "list[float]",
        # As a line of a list.
        "name": "str",
        # What all of them cost.
        "points": "int",
        # Turns that one of them survives, on average; at most those of a game.
        "survives": "float",
        # Points that all of them take in a game.
        "takes": "float",
    },
)
"""Equal units of a list."""


class ListShowing(TypedDict):
    """How a list does against the other one."""

    label: str
    """What it is called."""
    no_answer: list[NoAnswer]
    """Units of the other list that all of this one, attacking nothing else for the whole game, would not destroy on
    average.
    """
    points: int
    """What it costs."""
    rows: list[ListRow]
    """Its rows, equal units in one."""
    share: float
    """These as a share of what the other list costs."""
    takes: float
    """Points that it takes in a game where there is always more to hit: they may be more than the other list costs."""


LuckAnswer: TypeAlias = "LuckOutcome | LuckLog"
"""How unusual a result was; of a log, each result by itself and all of them together.

- Of one result.
- Of a log.
"""


class LuckEntry(TypedDict):
    """One result of an evening: one of `chain`, `matchup`, `check`, `repair` and `duel`, and what came of it."""

    chain: NotRequired[ChainForm | None]
    """An attack from plain numbers."""
    check: NotRequired[CheckRequest | None]
    """One roll or several."""
    duel: NotRequired[DuelRequest | None]
    """Two sides turn by turn; what is left is counted after the last turn."""
    matchup: NotRequired[MatchupRequest | None]
    """An attack of one unit on another."""
    repair: NotRequired[RepairRequest | None]
    """A repair; what is counted is counted at the end of its last turn."""
    result: ResultForm
    """What came of it: one quantity of the answer that it would have."""
    side: NotRequired[SideForm | None]
    """Whose dice they were; default `us`."""


class LuckLinkQuery(TypedDict):
    """What `/v1/luck` takes in its query."""

    chain: NotRequired[ChainForm]
    """A chain: one volley written flat, or `volleys`, on one target."""
    check: NotRequired[CheckRequest]
    """One roll, or several tries of it."""
    duel: NotRequired[DuelRequest]
    """Two sides that attack each other turn by turn: two units of a book, or plain numbers."""
    exact: NotRequired[bool]
    """Work in exact fractions and show them."""
    log: NotRequired[list[LuckEntry]]
    """In place of all these: a whole evening, one entry after the other. At most 200 of them."""
    matchup: NotRequired[MatchupRequest]
    """This unit, so many, against that one, from that arc, at that range."""
    repair: NotRequired[RepairRequest]
    """A unit that is damaged and repaired, turn by turn."""
    result: NotRequired[ResultForm]
    """One quantity and its value."""
    side: NotRequired[SideForm]
    """Whose dice they were."""


class LuckLog(TypedDict):
    """An evening."""

    entries: list[LuckOutcome]
    """Each entry by itself, in the order of the log."""
    sums: list[LuckSum]
    """For each quantity and each side all results of it together, in the order in which they first come up. `total`
    and `missing` are no counts and are not added up.
    """


class LuckOutcome(TypedDict):
    """How unusual it was."""

    at_least: Chance
    """Of this or more."""
    at_most: Chance
    """Of this or less."""
    defaults: NotRequired[list[Stated]]
    """Of a matchup: what was left open, and how it was taken."""
    exactly: Chance
    """The chance of exactly this."""
    expected: float
    """What was to be expected, in the mean."""
    sentence: str
    """The same in words."""


class LuckRequest(TypedDict):
    """One of `chain`, `matchup`, `check`, `repair` and `duel`, and what came of it on the table; or a `log` of these."""

    chain: NotRequired[ChainForm | None]
    """An attack from plain numbers."""
    check: NotRequired[CheckRequest | None]
    """One roll or several."""
    duel: NotRequired[DuelRequest | None]
    """Two sides turn by turn; what is left is counted after the last turn."""
    exact: NotRequired[bool | None]
    """Work in exact fractions and show them."""
    log: NotRequired[list[LuckEntry] | None]
    """In place of all these: a whole evening, one entry after the other. At most 200 of them."""
    matchup: NotRequired[MatchupRequest | None]
    """An attack of one unit on another."""
    repair: NotRequired[RepairRequest | None]
    """A repair; what is counted is counted at the end of its last turn."""
    result: NotRequired[ResultForm | None]
    """What came of it: one quantity of the answer that it would have."""
    side: NotRequired[SideForm | None]
    """Whose dice they were, for the words of the answer; default `us`."""


class LuckSum(TypedDict):
    """Results that count the same thing, added up."""

    at_least: Chance
    """Of this or more."""
    at_most: Chance
    """Of this or less."""
    deviation: float
    """The standard deviation."""
    entries: int
    """How many entries it is of."""
    exactly: Chance
    """The chance of exactly this."""
    expected: float
    """What was to be expected, in the mean."""
    result: str
    """What is counted, as `result` calls it."""
    sentence: str
    """The same in words."""
    side: SideForm
    """Whose dice they were."""
    value: int
    """What came of them all."""


class MarginForm(TypedDict):
    """What a winning difference gives."""

    at_least: int
    """The difference from which it counts. From 0 to 10000."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    damage: NotRequired[AmountForm | None]
    """Added to the damage of this success."""
    extra: NotRequired[AmountForm | None]
    """Further, ordinary successes."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    then: NotRequired[dict[str, ChangeForm | None] | None]
    """Changed numbers of later steps."""


class OddsAnswer(TypedDict):
    """What comes of a chain."""

    aftermath: NotRequired[dict[str, EffectOdds]]
    """The chance of each effect afterwards: that enough was lost, its roll succeeded, and something of the target is
    left (unless the effect says `even_destroyed`).
    """
    attacks: Summary
    """Attacks that are made: those behind a gate that was not passed are not."""
    backfires: NotRequired[Summary]
    """Backfires that were not saved, where a step or a gate can backfire."""
    counters: NotRequired[dict[str, Summary]]
    """The value of each counter of the target in the end."""
    destroyed: Chance
    """Nothing is left."""
    effects: NotRequired[dict[str, Chance]]
    """The chance that each effect of the target's thresholds holds in the end."""
    gate: NotRequired[Chance]
    """Of one volley that has a gate: the chance that one roll of it passes."""
    health_lost: NotRequired[Summary]
    """Soldiers: points of health removed."""
    models: NotRequired[Summary]
    """Soldiers: models removed."""
    statuses: NotRequired[dict[str, Chance]]
    """Armour: for each status, the chance that at least one unit bore it, from the start or after a hit, wrecked or
    not.
    """
    steps: list[StepOdds]
    """Each step of each volley."""
    structure: NotRequired[Summary]
    """Armour: points of structure lost; a wreck counts all it had."""
    through: Summary
    """Successes past all steps."""
    volleys: NotRequired[list[VolleyOdds]]
    """Where there is a gate: each volley, in order, with its own."""
    wrecked: NotRequired[Summary]
    """Armour: units wrecked."""


class MatchupAnswer(OddsAnswer, TypedDict):
    """What a matchup comes to: the answer of its chain, and why."""

    because: list[MatchupBecause]
    """All reasons in a row."""
    chain: ChainForm
    """The plain numbers, with the reasons beside them; posted to `odds` they give the same."""
    defaults: list[Stated]
    """What the request left open, and how it was taken."""
    hash: str
    """Its content hash."""
    pack: str
    """The pack that was used."""
    points: MatchupPoints
    """Cost and effect in points."""
    rules: RuleNotes
    """What became of the rules."""
    unused_weapons: list[UnusedWeapon]
    """Weapons that are not used, and why."""


class MatchupBecause(TypedDict):
    """Why one number of the chain is what it is."""

    effect: str
    """What it did, from the value before to the value after."""
    rule: str
    """The rule, chart or step that decided."""
    step: NotRequired[str]
    """The step, where it speaks of one."""
    text: str
    """What it says."""
    volley: NotRequired[int]
    """The volley, from 0, where it speaks of one."""


MatchupLinkQuery = TypedDict(
    "MatchupLinkQuery",
    {
        # Who attacks.
        "attacker": "StandingForm",
        # The text of a unit book to use beside the pack's own.
        "book": "NotRequired[str]",
        # Work in exact fractions and show them in every row.
        "exact": "NotRequired[bool]",
        # The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the
        # text of a pack file; the first pack where it is left out.
        "pack": "NotRequired[str]",
        # Show how many came past each step.
        "passed": "NotRequired[bool]",
        # What the table adds; the pack's own flags stand beside these by their ids.
        "situation": "NotRequired[SituationForm]",
        # Who is attacked.
        "target": "StandingForm",
        # Rules that act as if they were carried. At most 20 of them.
        "with": "NotRequired[list[str]]",
        # Rules that do not act. At most 20 of them.
        "without": "NotRequired[list[str]]",
    },
)
"""What `/v1/matchup` takes in its query."""


class MatchupPoints(TypedDict):
    """Cost and effect in points."""

    cost: int
    """What the attacker costs."""
    per_point: NotRequired[float]
    """That for each point of the attacker's; nothing where it costs none."""
    removed: float
    """The mean of what is destroyed: of the whole unit's points the share of its models or structure."""
    target: float
    """What stands of the target costs: of a unit's points the share of the models, or of the structure, that is left."""


MatchupRequest = TypedDict(
    "MatchupRequest",
    {
        # Who attacks.
        "attacker": "StandingForm",
        # The text of a unit book to use beside the pack's own.
        "book": "NotRequired[str | None]",
        # Work in exact fractions and show them in every row.
        "exact": "NotRequired[bool | None]",
        # The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the
        # text of a pack file; the first pack where it is left out.
        "pack": "NotRequired[str | None]",
        # Show how many came past each step.
        "passed": "NotRequired[bool | None]",
        # What the table adds.
        "situation": "NotRequired[SituationForm | None]",
        # Who is attacked.
        "target": "StandingForm",
        # Rules that act as if they were carried. At most 20 of them.
        "with": "NotRequired[list[str] | None]",
        # Rules that do not act. At most 20 of them.
        "without": "NotRequired[list[str] | None]",
    },
)
"""This unit, so many, against that one, from that arc, at that range."""


class MeanRow(TypedDict):
    """A mean over the board."""

    at: str
    """The range band or the arc."""
    points: float
    """Points destroyed in one turn on average; a target that it cannot attack counts as none."""


class MendForm(TypedDict):
    """What mends, as in a repair."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    die: NotRequired[int | None]
    """Sides of its die; default 6. From 2 to 100."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    modifier: NotRequired[int | None]
    """Added to it. From -1000 to 1000."""
    needs: NeedsForm
    """What a repair roll needs."""
    reroll: NotRequired[RerollForm | None]
    """What is rolled again."""
    restores: NotRequired[AmountForm | None]
    """What a success restores."""
    rolls: NotRequired[RollsForm | None]
    """How often a turn rolls."""


class MendPair(TypedDict):
    """A repair alone and with another near."""

    ask: NotRequired[BatchQuestion]
    """The question for what is near."""
    ask_without: NotRequired[BatchQuestion]
    """The question for what is alone."""
    chance_with: float
    """With the other near."""
    chance_without: float
    """The chance of one roll alone."""
    restored_with: float
    """With the other near."""
    restored_without: float
    """Points back over a game on average, alone."""


class MendRow(TypedDict):
    """A unit's repair."""

    any_restored: float
    """That at least one point is back at the end of a game without further harm."""
    ask: NotRequired[BatchQuestion]
    """The question."""
    capacity: int
    """Points when whole."""
    chance: float
    """The chance of one roll."""
    missing: int
    """Points missing at the start of what follows: half of them, at least one."""
    restored: float
    """Points back by then on average."""
    rule: str
    """The rule that grants it."""


class Mistake(TypedDict):
    """One mistake."""

    detail: str
    """What is wrong and what to do, in words."""
    did_you_mean: NotRequired[list[str]]
    """The closest names, best first, where a name was not found."""
    kind: MistakeKind
    """Its sort."""
    pointer: str
    """RFC 6901 pointer to the field at fault; empty for the whole request."""


MistakeKind: TypeAlias = Literal["broken-json", "bad-value", "unknown-field", "missing-field", "unknown-name", "pack-gone", "too-much-work"]
"""What sort of mistake it is; the service gives each its status and its documentation page."""


class ModelGroupForm(TypedDict):
    """Models of a unit that are unlike the others."""

    id: str
    """Their id."""
    models: int
    """How many there are."""
    name: str
    """Their name."""
    profile: list[StatForm]
    """The stats that they have of their own."""


class ModelsForm(TypedDict):
    """How few and how many models."""

    least: int
    """The fewest."""
    most: int
    """The most."""
    now: int
    """Those looked at."""


class NameForm(TypedDict):
    """A name."""

    also: NotRequired[list[str]]
    """Further words for it."""
    id: str
    """As requests have it."""
    name: str
    """As people read it."""
    usual: NotRequired[bool]
    """Whether it stands where nobody says."""


class NamesRequest(TypedDict):
    """A pack, as any other request names it or brings it."""

    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str | None]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """


class NeededAnswer(TypedDict):
    """The smallest number that reaches it, and its neighbourhood."""

    attackers: NotRequired[int | None]
    """How many attackers (of a matchup: models of the attacker, in whole units where people count whole units that
    always have the same models); `null` where no number up to `most` reaches it.
    """
    below: NotRequired[NeededRow]
    """One fewer, or one whole unit fewer, which does not reach it."""
    chance: NotRequired[float]
    """The chance with so many. From 0 to 1."""
    defaults: NotRequired[list[Stated]]
    """Of a matchup: what was left open, and how it was taken."""
    fraction: NotRequired[str]
    """The same exactly, on request."""
    harmless: NotRequired[bool]
    """No number of attackers can take anything from the target, however large."""
    limit: NotRequired[NeededRow]
    """Where no number up to `most` reaches it: the chance with the largest that was looked at."""
    list_most: NotRequired[int]
    """Of a matchup: the most models of the attacker that a list may hold, where the pack limits them; numbers above it
    are answered all the same.
    """
    no_fractions: NotRequired[str]
    """Why there are no fractions although they were asked for."""
    points: NotRequired[int]
    """What so many cost, where the costs are known."""
    table: list[NeededRow]
    """The numbers around it; where none up to `most` reaches it, numbers from small to large."""
    tries: NotRequired[int | None]
    """Of a check: how many tries; `null` where no number up to `most` reaches it."""


class NeededLinkQuery(TypedDict):
    """What `/v1/needed` takes in its query."""

    chain: NotRequired[ChainForm]
    """A chain: one volley written flat, or `volleys`, on one target."""
    check: NotRequired[CheckRequest]
    """One roll, or several tries of it."""
    exact: NotRequired[bool]
    """Show fractions, where the numbers that are needed leave them at a length that can be worked out in time."""
    matchup: NotRequired[MatchupRequest]
    """This unit, so many, against that one, from that arc, at that range."""
    most: NotRequired[int]
    """The largest number to look at; default 10000. A smaller one makes the question cheaper; where a search up to
    10000 would cost too much (several weapons, many states), the default is as many as can be looked at in time,
    and `limit` says how many that were. From 1 to 10000.
    """
    want: WantForm
    """What is wanted, and how likely."""


class NeededRequest(TypedDict):
    """One of `chain`, `matchup` and `check`, and what is wanted of it."""

    chain: NotRequired[ChainForm | None]
    """An attack from plain numbers; its `attackers` are not read, in no volley."""
    check: NotRequired[CheckRequest | None]
    """A roll; its `tries` are what is looked for."""
    exact: NotRequired[bool | None]
    """Show fractions, where the numbers that are needed leave them at a length that can be worked out in time."""
    matchup: NotRequired[MatchupRequest | None]
    """An attack of one unit on another; the attacker's `models` are what is looked for."""
    most: NotRequired[int | None]
    """The largest number to look at; default 10000. A smaller one makes the question cheaper; where a search up to
    10000 would cost too much (several weapons, many states), the default is as many as can be looked at in time,
    and `limit` says how many that were. From 1 to 10000.
    """
    want: WantForm
    """What is wanted, and how likely."""


class NeededRow(TypedDict):
    """A number and its chance."""

    attackers: NotRequired[int]
    """So many attackers."""
    chance: float
    """Their chance. From 0 to 1."""
    fraction: NotRequired[str]
    """The same exactly, on request."""
    points: NotRequired[int]
    """What so many cost, where the costs are known."""
    tries: NotRequired[int]
    """So many tries."""


NeedsForm: TypeAlias = "str"
"""`t+` (at least), `t-` (at most) with t from 1 to 10000, `auto` or `never`."""


NeedsList: TypeAlias = "NeedsForm | list[NeedsForm]"
"""One need for all tries, or a list with one for each.

- The same for all.
- One for each try.
"""


class NoAnswer(TypedDict):
    """Something that a list has no answer to."""

    name: str
    """The unit, as a line of a list."""
    removed: float
    """How much of one of them the whole list removes in a turn, on average; 0 where nobody can hurt it."""


Notes: TypeAlias = "Any"
"""Reasons in an answer; whatever stands in their place in a request is not read."""


class OddsLinkQuery(TypedDict):
    """What `/v1/odds` takes in its query."""

    aftermath: NotRequired[list[AftermathForm]]
    """What is rolled afterwards. At most 10 of them."""
    attackers: NotRequired[int]
    """How many attack; default 1. From 0 to 10000."""
    attacks: NotRequired[AttacksForm]
    because: NotRequired[Notes]
    """Reasons in an answer; whatever stands in their place in a request is not read."""
    by_counter: NotRequired[list[ByCounterForm]]
    """Numbers of the steps that change with counters. At most 40 of them."""
    counts: NotRequired[dict[str, AmountForm | None]]
    """Added to the target's counters, each by its name, for each success past all steps while something is left, even
    one that does nothing.
    """
    damage: NotRequired[AmountForm]
    exact: NotRequired[bool]
    """Work in exact fractions and show them in every row."""
    gate: NotRequired[GateForm]
    """What lets the attacks be made: a roll like that of a check. Attackers that fail it make no attacks."""
    label: NotRequired[Label]
    """A name for readers in an answer; whatever stands in its place in a request is not read."""
    passed: NotRequired[bool]
    """Show how many came past each step."""
    steps: NotRequired[list[StepForm]]
    """The rolls of each attack, in order. At most 12 of them."""
    target: TargetForm
    """What is attacked."""
    volleys: NotRequired[list[VolleyForm]]
    """Several weapons, in order, in place of the seven above. At most 12 of them."""


class OddsRequest(TypedDict):
    """What an attack does to a target, from plain numbers."""

    aftermath: NotRequired[list[AftermathForm] | None]
    """What is rolled afterwards. At most 10 of them."""
    attackers: NotRequired[int | None]
    """How many attack; default 1. From 0 to 10000."""
    attacks: NotRequired[AttacksForm | None]
    """Attacks of each; default 1."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    by_counter: NotRequired[list[ByCounterForm] | None]
    """Numbers of the steps that change with counters. At most 40 of them."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the target's counters, each by its name, for each success past all steps while something is left, even
    one that does nothing.
    """
    damage: NotRequired[AmountForm | None]
    """Damage of each success; default 1."""
    exact: NotRequired[bool | None]
    """Work in exact fractions and show them in every row."""
    gate: NotRequired[GateForm | None]
    """What lets the attacks be made: rolled by each attacker, or once for all of them."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    passed: NotRequired[bool | None]
    """Show how many came past each step."""
    steps: NotRequired[list[StepForm] | None]
    """The rolls of each attack, in order. At most 12 of them."""
    target: TargetForm
    """What is attacked."""
    volleys: NotRequired[list[VolleyForm] | None]
    """Several weapons, in order, in place of the seven above. At most 12 of them."""


OneSide: TypeAlias = Literal["a", "b"]
"""One of the two sides."""


class OptionCost(TypedDict):
    """What an option costs."""

    option: str
    """Its name."""
    points: int
    """What taking it once adds to this unit."""


class OptionForm(TypedDict):
    """An option of a unit."""

    excludes: NotRequired[list[str]]
    """Options that can't be taken with it."""
    id: str
    """Its id."""
    inside: NotRequired[str]
    """The option that it is part of."""
    most: int
    """How often it may be taken by the models looked at."""
    name: str
    """Its name."""
    per: str
    """What that is paid for: the unit, each model or each weapon."""
    points: int
    """What it costs."""
    replaces: NotRequired[list[str]]
    """Weapons that go for it."""
    requires: NotRequired[list[str]]
    """Options that must be taken with it."""
    rules: NotRequired[list[str]]
    """Rules that it brings."""
    weapons: NotRequired[list[str]]
    """Weapons that it brings."""


class OptionHead(TypedDict):
    """What a unit may take, in short."""

    also: NotRequired[list[str]]
    """Further words for it."""
    counted: NotRequired[bool]
    """Whether each of its weapons is paid for, so that it is taken in numbers."""
    id: str
    """As requests have it."""
    name: str
    """As people read it."""
    weapons: NotRequired[list[str]]
    """The weapons that it brings, as requests have them."""


OptionRow = TypedDict(
    "OptionRow",
    {
        # The attacker under which it adds most turns.
        "best_attacker": "NotRequired[ForWhat]",
        # The target against which it adds most points destroyed in a game.
        "best_target": "NotRequired[ForWhat]",
        # By how much of itself its worth for its points changes: 0.1 is a tenth more; nothing where it was none
        # before.
        "moved": "NotRequired[float]",
        # Options that it needs, which stand on both sides of what follows.
        "needs": "NotRequired[list[str]]",
        # Its name.
        "option": "str",
        # What taking it once adds to this unit.
        "points": "int",
        # Weapons that go for it.
        "replaces": "NotRequired[list[str]]",
        # The verdict: whether it is worth it, and for what.
        "text": "str",
        # What it comes to with it.
        "with": "Worth",
        # What the unit comes to without it.
        "without": "Worth",
    },
)
"""What an option is worth."""


class OptionSum(TypedDict):
    """An option of a line."""

    id: str
    """Its id."""
    name: str
    """Its name."""
    points: int
    """What that costs one unit."""
    times: int
    """How often it was taken."""


Order: TypeAlias = Literal["damage_first", "repair_first"]
"""What comes first in a turn."""


class OriginForm(TypedDict):
    """Where something of a pack that is built on another comes from."""

    changed_by: NotRequired[str]
    """The name of the pack that has changed it last, where one has."""
    name: str
    """The name of that pack."""
    pack: str
    """The id of the pack that made it."""


class OtherPlan(TypedDict):
    """Another plan."""

    expected: float
    """Its value."""
    plan: list[OtherRow]
    """For each attacker its target."""


class OtherRow(TypedDict):
    """Where an attacker goes in another plan."""

    attacker: int
    """Its place in the list, from 0."""
    target: NotRequired[int | None]
    """The target's; `null` for none."""


Overflow: TypeAlias = Literal["next", "wasted"]
"""Where the attacks of a volley go after a wreck."""


class PackAnswer(TypedDict):
    """All names of a pack."""

    about: str
    """What it is about."""
    arcs: list[NameForm]
    """Its arcs."""
    checks: list[NameForm]
    """Its checks."""
    cover: list[NameForm]
    """Its covers."""
    die: int
    """The die that most of its steps roll."""
    extends: NotRequired[list[LayerForm]]
    """The packs that it is built on, the lowest first."""
    formation: FormationHead
    """How its soldiers stand where their unit does not say otherwise."""
    hash: str
    """Its content hash."""
    id: str
    """Its id."""
    labels: dict[str, str]
    """The club's own words for ordinary ones."""
    limit: int
    """The points limit of a list where nobody says."""
    name: str
    """Its name."""
    options: list[NameForm]
    """Options of its units, each name once."""
    ranges: list[NameForm]
    """Its range bands, the nearest first."""
    roles: list[NameForm]
    """Its roles."""
    rules: list[NameForm]
    """Its rules."""
    situation: list[NameForm]
    """What else a situation may say, `moved` first."""
    stats: list[NameForm]
    """The stats of its units."""
    statuses: list[str]
    """Marks that a target may bear."""
    terms: list[TermForm]
    """Words of the pack that can be asked about."""
    turns: int
    """How many turns a game has."""
    units: list[UnitHead]
    """Its units."""
    weapons: list[NameForm]
    """Weapons."""


class PackCheckAnswer(TypedDict):
    """What was found."""

    faults: list[FaultForm]
    """Everything that is wrong, in the order of its place; where the files can be used, all warnings."""
    good: bool
    """Whether the files can be used."""
    pack: NotRequired[PackHead]
    """The pack that they make, where they can."""


class PackCheckRequest(TypedDict):
    """Files that make a pack together, or unit books for a pack that is there."""

    files: list[PackFile]
    """The files. At most 20 of them."""


class PackFile(TypedDict):
    """A file."""

    base64: NotRequired[str | None]
    """In place of the text, the bytes of a spreadsheet, in Base64 (RFC 4648, section 4); its name ends with `.xlsx` or
    `.ods`.
    """
    name: NotRequired[str | None]
    """What it is called in the mistakes."""
    text: NotRequired[str | None]
    """All of it. A name that ends with `.csv` makes it a sheet of a unit book."""


class PackFilesAnswer(TypedDict):
    """A pack as it was written."""

    files: list[PackText]
    """Its files, and those of the packs that it is built on. Sent to `POST /v1/packs` they have the same hash."""
    hash: str
    """Its content hash."""
    id: str
    """The pack's id."""
    name: str
    """Its name."""


class PackHead(TypedDict):
    """A pack in short."""

    about: str
    """What it is about."""
    also: NotRequired[list[str]]
    """Further words for it."""
    extends: NotRequired[list[LayerForm]]
    """The packs that it is built on, the lowest first."""
    hash: str
    """Its content hash."""
    id: str
    """Its id."""
    name: str
    """Its name."""
    unit_count: int
    """How many units it has."""


class PackSent(TypedDict):
    """What a pack is called from now on."""

    address: str
    """The pack by its content: `sha256:` and the hash. It may stand wherever a pack is named. The same files always
    get the same address; what they are called makes no difference.
    """
    kept_s: int
    """For how many seconds after its last use it is kept."""
    pack: PackHead
    """The pack in short."""
    pinned: str
    """The same in short: the pack's id, `@` and the beginning of the hash."""
    shared: bool
    """Whether all copies of the service have it. Where not, only the copy that answered keeps it, and only as long as
    it has room and is not started anew.
    """


class PackText(TypedDict):
    """A file of a pack."""

    name: str
    """What it is called."""
    text: str
    """All of it, comments too. What was read from a spreadsheet is the text of the unit book that it made."""


class PacksAnswer(TypedDict):
    """All packs."""

    packs: list[PackHead]
    """The packs, the usual one first."""


class PacksCheckLinkQuery(TypedDict):
    """What `/v1/packs/check` takes in its query."""

    files: list[PackFile]
    """The files. At most 20 of them."""


class PacksNamesLinkQuery(TypedDict):
    """What `/v1/packs/names` takes in its query."""

    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """


class PacksPackRulesQuery(TypedDict):
    """What `/v1/packs/{pack}/rules` takes in its query."""

    q: NotRequired[str]
    """A name or a part of it, forgiving of spelling; all where it is left out."""


class PacksPackUnitsQuery(TypedDict):
    """What `/v1/packs/{pack}/units` takes in its query."""

    q: NotRequired[str]
    """A name or a part of it, forgiving of spelling; all where it is left out."""


class PacksPackUnitsUnitQuery(TypedDict):
    """What `/v1/packs/{pack}/units/{unit}` takes in its query."""

    models: NotRequired[int]
    """How many models; the unit's fewest where it is left out. From 1 to 1000."""
    options: NotRequired[str]
    """Its options, with commas between them."""
    near: NotRequired[str]
    """Units near it, with commas between them, each with the options that it has: `wharf captain + signal mast`."""
    asked: NotRequired[int]
    """The number that a check asks for, such as a charge's distance. From -1000 to 1000."""


class PassedForm(TypedDict):
    """Successes past a step."""

    step: str
    """The step's name."""


Per: TypeAlias = Literal["point", "packet"]
"""How often an ignore roll is made."""


class PlanRow(TypedDict):
    """Where one attacker goes."""

    adds: float
    """What it adds to the value of the plan, the others acting as they do."""
    attacker: int
    """Its place in the list, from 0."""
    name: str
    """What it is called, with a number where several are called so."""
    sentence: str
    """Where it goes, and why."""
    target: NotRequired[int | None]
    """The target's place in the list; `null` where it is sent nowhere."""


class PlusForm(TypedDict):
    """Something added: `{"plus": 2}`. All that is added adds up, in whatever order."""

    plus: int
    """How much, below 0 to take off. From -10000 to 10000."""


class PointForm(TypedDict):
    """A point in millimetres."""

    x_mm: float
    """Along a rank. From -100000 to 100000."""
    y_mm: float
    """To the next rank. From -100000 to 100000."""


class Problem(TypedDict):
    """What a client gets in place of an answer (`application/problem+json`)."""

    detail: str
    """What is wrong and what to do about it."""
    did_you_mean: NotRequired[list[str]]
    """The closest names, best first, where a name was not found."""
    errors: NotRequired[list[Entry]]
    """All the mistakes, where there are several; the fields above speak of the first."""
    pointer: NotRequired[str]
    """RFC 6901 pointer to the field at fault."""
    status: int
    """The HTTP status. From 400 to 599."""
    title: str
    """The kind of problem in a few words; the same for all of the kind."""
    type: str
    """Path of the page about this kind of problem, on this service."""


ProtectedRow = TypedDict(
    "ProtectedRow",
    {
        # The arc that is hit.
        "arc": "str",
        # The question for `with`.
        "ask": "NotRequired[BatchQuestion]",
        # The question for `without`.
        "ask_without": "NotRequired[BatchQuestion]",
        # The attacker's name.
        "attacker": "str",
        # The attacker as people count it.
        "attacker_counted": "str",
        # Its models.
        "attacker_models": "int",
        # The range band.
        "range": "str",
        # Turns survived with it.
        "with": "float",
        # Without it.
        "without": "float",
    },
)
"""A protection under one attacker, where it does most."""


ProtectionRow = TypedDict(
    "ProtectionRow",
    {
        # Which row of `under` that is.
        "best": "int",
        # The difference.
        "gained": "float",
        # The rule's name, or that of the rule that grants the repair.
        "rule": "str",
        # What it says.
        "text": "str",
        # Under each attacker of the board on whose attacks it acts, from the side and at the range where it does
        # most.
        "under": "list[ProtectedRow]",
        # Turns survived with it, where it does most.
        "with": "float",
        # Without it.
        "without": "float",
    },
)
"""What a protection is worth."""


RangeForm: TypeAlias = "int | str"
"""A range band by its name, or a distance.

- A distance.
- A band.
"""


class RepairForm(TypedDict):
    """How a unit mends: the fields of a request for `repair`."""

    because: list[Because]
    """Why its numbers are what they are."""
    capacity: int
    """Points when whole."""
    die: int
    """Sides of its die."""
    label: str
    """The rule that grants it."""
    missing: int
    """Points missing: one, for a start."""
    modifier: NotRequired[int]
    """Added to it."""
    needs: NeedsForm
    """What a roll needs."""
    reroll: NotRequired[RerollForm]
    """What is rolled again."""
    restores: AmountForm
    """What a success restores."""
    rolls: RollsForm
    """How often a turn."""


class RepairLinkQuery(TypedDict):
    """What `/v1/repair` takes in its query."""

    because: NotRequired[Notes]
    """Reasons in an answer; whatever stands in their place in a request is not read."""
    capacity: int
    """Points when whole. From 1 to 1000."""
    compare: NotRequired[list[RepairPatch]]
    """Partial requests laid over this one, each answered beside it. At most 12 of them."""
    die: NotRequired[int]
    """Sides of its die; default 6. From 2 to 100."""
    exact: NotRequired[bool]
    """Show fractions in every row."""
    incoming: NotRequired[AmountForm]
    label: NotRequired[Label]
    """A name for readers in an answer; whatever stands in its place in a request is not read."""
    missing: int
    """Points missing at the start. From 0 to 1000."""
    modifier: NotRequired[int]
    """Added to it. From -1000 to 1000."""
    needs: NeedsForm
    """What a repair roll needs."""
    order: NotRequired[Order]
    """What comes first in a turn."""
    reroll: NotRequired[RerollForm]
    """Which natural faces are rolled again, once: `worst`, the worst face, of several dice each die that shows it;
    `failures`; `natural_failures`, what fails before the modifier; `successes`, as the opponent makes you;
    `not_critical`, all that is no critical. All but `worst` go by the total and roll all the dice again.
    `failures_and_grazes` is for a penetrate step only: totals not above the armour.
    """
    restores: NotRequired[AmountForm]
    rolls: NotRequired[RollsForm]
    """How often a turn's repair rolls."""
    turns: NotRequired[int]
    """Turns followed; default 6. From 1 to 1000."""


class RepairOutcome(TypedDict):
    """What comes of it."""

    chance: float
    """The chance of one repair roll. From 0 to 1."""
    compared: NotRequired[list[RepairOutcome]]
    """The answers to `compare`, in order."""
    destroyed: Chance
    """Destroyed by the last turn."""
    fraction: str
    """The same exactly."""
    restored: Summary
    """Points restored over all turns."""
    turns: list[RepairTurnRow]
    """The end of each turn."""


class RepairPatch(TypedDict):
    """What differs from the request that it is laid over."""

    capacity: NotRequired[int | None]
    """Points when whole. From 1 to 1000."""
    die: NotRequired[int | None]
    """Sides of its die. From 2 to 100."""
    incoming: NotRequired[AmountForm | None]
    """Points lost each turn."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    missing: NotRequired[int | None]
    """Points missing at the start. From 0 to 1000."""
    modifier: NotRequired[int | None]
    """Added to it. From -1000 to 1000."""
    needs: NotRequired[NeedsForm | None]
    """What a repair roll needs."""
    order: NotRequired[Order | None]
    """What comes first in a turn."""
    reroll: NotRequired[RerollForm | None]
    """What is rolled again."""
    restores: NotRequired[AmountForm | None]
    """What a success restores."""
    rolls: NotRequired[RollsForm | None]
    """How often a turn rolls."""
    turns: NotRequired[int | None]
    """Turns followed. From 1 to 1000."""


class RepairRequest(TypedDict):
    """A unit that is damaged and repaired, turn by turn."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    capacity: int
    """Points when whole. From 1 to 1000."""
    compare: NotRequired[list[RepairPatch] | None]
    """Partial requests laid over this one, each answered beside it. At most 12 of them."""
    die: NotRequired[int | None]
    """Sides of its die; default 6. From 2 to 100."""
    exact: NotRequired[bool | None]
    """Show fractions in every row."""
    incoming: NotRequired[AmountForm | None]
    """Points lost each turn; default none."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    missing: int
    """Points missing at the start. From 0 to 1000."""
    modifier: NotRequired[int | None]
    """Added to it. From -1000 to 1000."""
    needs: NeedsForm
    """What a repair roll needs."""
    order: NotRequired[Order | None]
    """What comes first in a turn; default `damage_first`."""
    reroll: NotRequired[RerollForm | None]
    """What is rolled again."""
    restores: NotRequired[AmountForm | None]
    """What a success restores; default 1. Not used with `each_missing`."""
    rolls: NotRequired[RollsForm | None]
    """How often a turn rolls: `one` (default), `each_missing`, or a number of rolls."""
    turns: NotRequired[int | None]
    """Turns followed; default 6. From 1 to 1000."""


class RepairTurnRow(TypedDict):
    """The end of a turn."""

    alive: float
    """The chance of not being destroyed."""
    any_restored: float
    """The chance that at least one point has come back so far."""
    missing: Summary
    """Points missing; destroyed counts as all."""
    restored: Summary
    """Points that have come back so far."""
    turn: int
    """Which turn, from 1."""


class RepeatedForm(TypedDict):
    """What a status does that is there already."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    structure: NotRequired[AmountForm | None]
    """Structure lost."""
    wrecked: NotRequired[bool | None]
    """The unit is wrecked."""


RerollForm: TypeAlias = Literal["none", "worst", "failures", "natural_failures", "successes", "not_critical", "failures_and_grazes"]
"""Which natural faces are rolled again, once: `worst`, the worst face, of several dice each die that shows it;
`failures`; `natural_failures`, what fails before the modifier; `successes`, as the opponent makes you;
`not_critical`, all that is no critical. All but `worst` go by the total and roll all the dice again.
`failures_and_grazes` is for a penetrate step only: totals not above the armour.
"""


class ResultForm(TypedDict):
    """One quantity and its value."""

    a_left: NotRequired[int | None]
    """Of a duel: models or units of side a that are left."""
    attacks: NotRequired[int | None]
    """Of an attack: attacks rolled."""
    b_left: NotRequired[int | None]
    """Of a duel: models or units of side b that are left."""
    backfires: NotRequired[int | None]
    """Of an attack: backfires that were not saved."""
    health_lost: NotRequired[int | None]
    """Of an attack on soldiers: points of health removed."""
    missing: NotRequired[int | None]
    """Of a repair: points missing at the end."""
    models: NotRequired[int | None]
    """Of an attack on soldiers: models removed."""
    passes: NotRequired[int | None]
    """Of a check: tries that passed."""
    restored: NotRequired[int | None]
    """Of a repair: points that came back over all turns."""
    structure: NotRequired[int | None]
    """Of an attack on armour: points of structure lost."""
    through: NotRequired[int | None]
    """Of an attack: successes past all steps."""
    total: NotRequired[int | None]
    """Of a check: the total of one roll, modifier included."""
    wrecked: NotRequired[int | None]
    """Of an attack on armour: units wrecked."""


class RoleSum(TypedDict):
    """What a list holds of a role."""

    id: str
    """Its id."""
    least: int
    """The fewest slots that a list fills."""
    most: NotRequired[int]
    """The most slots."""
    name: str
    """Its name."""
    points: int
    """Points."""
    slots: int
    """Slots filled; units that share a slot fill it together."""
    units: int
    """Units."""


RollsForm: TypeAlias = "RollsName | int"
"""How often a turn's repair rolls.

- By name.
- So many.
"""


RollsName: TypeAlias = Literal["one", "each_missing"]
"""How often a turn's repair rolls, by name."""


class Row(TypedDict):
    """One value of a distribution."""

    at_least: float
    """The chance of this value or more. From 0 to 1."""
    chance: float
    """The chance of exactly this value. From 0 to 1."""
    fraction: NotRequired[str]
    """The exact chance, on request."""
    value: int
    """The value."""


RuleForm = TypedDict(
    "RuleForm",
    {
        # What it does, from the file, in plain words.
        "does": "list[str]",
        # In a pack that is built on another: which of them it is from.
        "from": "NotRequired[OriginForm]",
        # Its id.
        "id": "str",
        # Its name.
        "name": "str",
        # What it says.
        "text": "str",
    },
)
"""A rule as a search finds it."""


class RuleAnswer(RuleForm, TypedDict):
    """A rule: its text, what it changes, and who carries it. Where the question asks for another word of the pack,
    that.
    """

    asked: NotRequired[AskedForm]
    """Yes or no, where that was asked."""
    asked_by: list[NameForm]
    """Rules that ask whether somebody carries it."""
    example: NotRequired[RuleExample]
    """What it changes in numbers; nothing where it changes none by itself."""
    hash: str
    """The pack's content hash."""
    options: list[NameForm]
    """Units that may take it as an option."""
    others: list[NameForm]
    """Other rules that the words fit."""
    pack: str
    """The pack's id."""
    replaces: list[NameForm]
    """Rules that do not act while it does."""
    sort: str
    """What it is: `rule`; or `stat`, `step`, `roll`, `chart`, `check`, `aftermath`, `mark`, `arc`, `range`, `cover`,
    `flag`, `kind`, or `term` for a word that every pack has.
    """
    table: NotRequired[TermTable]
    """The table of a chart."""
    units: list[NameForm]
    """Units that carry it."""
    weapons: list[NameForm]
    """Weapons that carry it."""


RuleExample = TypedDict(
    "RuleExample",
    {
        # What the rule did, from the value before to the value after.
        "because": "list[str]",
        # Where the two requests are asked: `matchup`, `check` or `repair`.
        "path": "str",
        # The question.
        "request": "dict[str, Any]",
        # The same question without the rule; nothing where there is none left.
        "request_without": "NotRequired[dict[str, Any]]",
        # The question in words.
        "text": "str",
        # What it comes to.
        "with": "RuleNumbers",
        # What that comes to.
        "without": "RuleNumbers",
    },
)
"""A question of the pack in which the rule acts, and what it comes to with the rule and without."""


class RuleHead(TypedDict):
    """A rule in short."""

    id: str
    """Its id."""
    name: str
    """Its name."""
    text: str
    """What it says."""


class RuleLinkQuery(TypedDict):
    """What `/v1/rule` takes in its query."""

    ask: NotRequired[str]
    """A question, or words of the rule's text; read for the rule where `rule` is left out."""
    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    rule: NotRequired[str]
    """The rule's name."""


RuleNoteForm = TypedDict(
    "RuleNoteForm",
    {
        # In a pack that is built on another: which of them it is from.
        "from": "NotRequired[OriginForm]",
        # Its id.
        "id": "str",
        # Its name.
        "rule": "str",
        # What it says.
        "text": "str",
        # What it did, or why it did nothing.
        "why": "str",
    },
)
"""What became of a rule."""


class RuleNotes(TypedDict):
    """Rules that acted, and rules that a side carries and that did not."""

    acted: list[RuleNoteForm]
    """Those that changed something."""
    did_not: list[RuleNoteForm]
    """Those that could have been expected to and did not."""


class RuleNumbers(TypedDict):
    """The numbers that are held against each other."""

    aftermath: NotRequired[dict[str, Chance]]
    """Of a matchup: the chance of each effect afterwards."""
    backfires: NotRequired[float]
    """Of a matchup: backfires, in the mean."""
    chance: NotRequired[Chance]
    """Of a check or a repair: the chance of one roll."""
    destroyed: NotRequired[Chance]
    """Of a matchup: nothing is left."""
    models: NotRequired[float]
    """Of a matchup against soldiers: models removed, in the mean."""
    structure: NotRequired[float]
    """Of a matchup against armour: structure lost, in the mean."""


class RuleRequest(TypedDict):
    """Which rule, or what is to be known."""

    ask: NotRequired[str | None]
    """A question, or words of the rule's text; read for the rule where `rule` is left out."""
    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str | None]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    rule: NotRequired[str | None]
    """The rule's name."""


class RulesAnswer(TypedDict):
    """Rules found."""

    rules: list[RuleForm]
    """The rules, best first."""


class ScatterForm(TypedDict):
    """How the template drifts: `max(0, dice - reduce)` units in any direction."""

    dice: AmountForm
    """How far, in units."""
    on_target: NotRequired[ChanceForm | None]
    """The chance that it does not drift; default 0."""
    reduce: NotRequired[int | None]
    """Taken off the dice; default 0. From 0 to 10000."""
    unit_mm: NotRequired[float | None]
    """Millimetres to a unit; default 25.4. From 0 to 1000."""


class SendRequest(TypedDict):
    """A pack: its files, or what any other request can bring in `pack` and `book`."""

    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack."""
    files: NotRequired[list[PackFile] | None]
    """The files of a pack, or unit books for a pack that is there: texts, and spreadsheets beside them. With a `pack`
    named, unit books for that one. At most 20 of them.
    """
    pack: NotRequired[str | None]
    """In place of the files: the text of a pack in one file; with a `book`, also a pack's name or address."""


class SensitivityRow(TypedDict):
    """A change and what comes of it."""

    change: str
    """What is changed."""
    moved: float
    """By how much of itself the worth changes: 0.1 is a tenth more."""
    per_point: NotRequired[float]
    """`per_point` with it."""
    points: int
    """What the unit costs with it."""
    stands: float
    """`stands` with it."""
    takes: float
    """`takes` with it."""


ShedAll: TypeAlias = Literal["all"]
"""The word for all of a counter."""


ShedAmount: TypeAlias = "ShedAll | AmountForm"
"""How much is taken off.

- All of it.
- So much.
"""


class ShedForm(TypedDict):
    """What a side takes off one of its counters at the start of each of its turns (with `together` and `order` of the
    turn), while something of it is left, whether or not anything is left of the other side.
    """

    amount: ShedAmount
    """How much, never below 0; or `all`."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    die: NotRequired[int | None]
    """Sides of its die; default 6. From 2 to 100."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    modifier: NotRequired[int | None]
    """Added to it. From -1000 to 1000."""
    name: str
    """The counter of its own target."""
    needs: NotRequired[NeedsForm | None]
    """The roll that does it; default `auto`."""


ShedsForm: TypeAlias = "ShedForm | list[ShedForm]"
"""One, or several, in order.

- One.
- Several, in order.
"""


class SideBySideAnswer(TypedDict):
    """Units side by side."""

    attackers: list[str]
    """The attackers of the board."""
    hash: str
    """Its content hash."""
    pack: str
    """The pack that was used."""
    targets: list[str]
    """The targets of the board, as people count them."""
    turns: int
    """Turns of a game."""
    units: list[Beside]
    """The units, as they were asked about."""
    verdict: str
    """What it comes to, in a sentence."""


SideBySideHtmlLinkQuery = TypedDict(
    "SideBySideHtmlLinkQuery",
    {
        # The first unit; every other field as in the short form of `/v1/side-by-side`.
        "units.0.unit": "str",
        # The second unit.
        "units.1.unit": "str",
    },
)
"""What `/v1/side-by-side.html` takes in its query."""


class SideBySideLinkQuery(TypedDict):
    """What `/v1/side-by-side` takes in its query."""

    against: NotRequired[list[StandingForm]]
    """Units to hold them against, as targets and as attackers, in place of the pack's own board. At most 12 of them."""
    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str]
    """The pack's name, or the text of a pack file; the first pack where it is left out."""
    turns: NotRequired[int]
    """Turns of a game; the pack's own number where it is left out. From 1 to 20."""
    units: list[StandingForm]
    """Two to four units, or one unit with different options. At most 4 of them."""


SideBySideMdLinkQuery = TypedDict(
    "SideBySideMdLinkQuery",
    {
        # The first unit; every other field as in the short form of `/v1/side-by-side`.
        "units.0.unit": "str",
        # The second unit.
        "units.1.unit": "str",
    },
)
"""What `/v1/side-by-side.md` takes in its query."""


class SideBySideRequest(TypedDict):
    """Units to lay side by side."""

    against: NotRequired[list[StandingForm] | None]
    """Units to hold them against, as targets and as attackers, in place of the pack's own board. At most 12 of them."""
    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str | None]
    """The pack's name, or the text of a pack file; the first pack where it is left out."""
    turns: NotRequired[int | None]
    """Turns of a game; the pack's own number where it is left out. From 1 to 20."""
    units: list[StandingForm]
    """Two to four units, or one unit with different options. At most 4 of them."""


SideForm: TypeAlias = Literal["us", "them"]
"""Whose dice they were."""


class SideOutcome(TypedDict):
    """What is left of a side, and of a unit what its attacks came to."""

    counters: NotRequired[dict[str, Summary]]
    """The value of each of its counters in the end."""
    destroyed_without_own_harm: NotRequired[Chance]
    """Where its own attack can harm it: the chance that nothing is left of it in the end if what backfires did it no
    harm.
    """
    left: Summary
    """Models or units that are left."""
    unit: NotRequired[UnitOutcome]
    """Of units: what its own attacks came to."""


class SituationFormFields(TypedDict):
    """What the table adds; the pack's own flags stand beside these by their ids."""

    arc: NotRequired[str | None]
    """The arc that is hit."""
    cover: NotRequired[str | None]
    """What the target stands behind."""
    moved: NotRequired[bool | None]
    """Whether the attacker moved."""
    range: NotRequired[RangeForm | None]
    """A range band by its name, or a distance."""


SituationForm: TypeAlias = "SituationFormFields | dict[str, bool | None | str | RangeForm]"
"""What the table adds; the pack's own flags stand beside these by their ids.

Other keys:
The pack's own flags: whether each is so.
"""


class StandingForm(TypedDict):
    """A unit as it stands on the table."""

    hurt: NotRequired[int | None]
    """Of a target: points of structure or health that its first model misses. From 0 to 1000."""
    left: NotRequired[int | None]
    """Of a target: what is left of it, in place of `hurt`: models of a unit of several soldiers, else points. From 1
    to 1000.
    """
    models: NotRequired[int | None]
    """How many models; the unit's fewest where it is left out. From 1 to 1000."""
    near: NotRequired[list[str] | None]
    """Units of its side that stand near it, with the options that they have: `wharf captain + signal mast`. At most 20
    of them.
    """
    options: NotRequired[list[str] | None]
    """Its options, such as `signal mast` or `2 long rifles`. At most 40 of them."""
    statuses: NotRequired[list[str] | None]
    """Of a target: marks that it bears. At most 20 of them."""
    unit: str
    """Its name."""
    weapons: NotRequired[list[str] | None]
    """Of an attacker: the weapons that it uses; all that can be used where it is left out. At most 12 of them."""


class StatForm(TypedDict):
    """A stat with its value."""

    each: NotRequired[dict[str, str]]
    """Its value by arc, range or cover, where it differs."""
    id: str
    """Its id."""
    name: str
    """Its name."""
    value: str
    """Its value as players write it: `4+`, `2d6`, or `front 14, side 12, rear 10`."""


class Stated(TypedDict):
    """Something that the request left open."""

    pointer: str
    """Where it could be said."""
    text: str
    """The same in words."""
    value: Any
    """What was taken."""


class StepForm(TypedDict):
    """One roll of a chain. An ordinary step has `needs` or `versus`; a penetrate step has `against`; a table has
    `rows`.
    """

    add: NotRequired[int | None]
    """Penetrate: added to the dice. From -1000 to 1000."""
    against: NotRequired[int | None]
    """Penetrate: the armour. From 0 to 10000."""
    backfire: NotRequired[BackfireForm | None]
    """What a low natural face costs the attacker."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    breach: NotRequired[BreachForm | None]
    """Penetrate: what a total above the armour does."""
    by: NotRequired[ByForm | None]
    """`attacker` (default) or `defender`."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the target's counters, each by its name, for each success that goes past this step."""
    critical: NotRequired[CriticalForm | None]
    """What a high natural face gives."""
    dice: NotRequired[AmountForm | None]
    """Several dice; their kept natural total is the natural face."""
    die: NotRequired[int | None]
    """Sides of the one die; default 6. In place of `dice`. From 2 to 100."""
    equal: NotRequired[EqualForm | None]
    """Penetrate: what a total equal to the armour is; default `graze`. Where it is a breach there are no grazes, and
    `failures_and_grazes` re-rolls failures.
    """
    graze: NotRequired[GrazeForm | None]
    """Penetrate: what a graze does: a total equal to the armour."""
    high_succeeds: NotRequired[bool | None]
    """The best natural face always succeeds."""
    keep: NotRequired[KeepForm | None]
    """Which of the dice are summed."""
    kind: NotRequired[KindForm | None]
    """`roll` (default), `penetrate` or `table`."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    low_fails: NotRequired[bool | None]
    """The worst natural face always fails."""
    margin: NotRequired[list[MarginForm] | None]
    """What a winning difference gives: the best row reached. At most 100 of them."""
    modifier: NotRequired[int | None]
    """Added to the total. From -1000 to 1000."""
    name: str
    """What players call it; unique in its chain."""
    needs: NotRequired[NeedsForm | None]
    """What it needs."""
    reroll: NotRequired[RerollForm | None]
    """What is rolled again."""
    rows: NotRequired[list[TableRowForm] | None]
    """Table: what its total gives; the row with the highest `at_least` not above it acts. At most 100 of them."""
    ties: NotRequired[StepTies | None]
    """Who wins a tie; default `defender`."""
    versus: NotRequired[VersusForm | None]
    """The other side of an opposed roll, in place of `needs`."""


class StepOdds(TypedDict):
    """What comes of one step."""

    chance: float
    """The chance that one ordinary roll is in the attacker's favour. From 0 to 1."""
    equals: NotRequired[Chance]
    """Of a penetration roll of which an equal total is no breach: how much of that is an equal total."""
    fraction: str
    """The same exactly."""
    name: str
    """Its name."""
    passed: NotRequired[Summary]
    """How many came past it, on request."""
    reached: float
    """The mean number of times that it is rolled, re-rolls not counted."""
    volley: NotRequired[int]
    """Of several volleys, which; the first is 0."""


StepTies: TypeAlias = Literal["attacker", "defender", "again"]
"""Who wins a tie of an opposed step."""


class Summary(TypedDict):
    """A distribution: its mean, its standard deviation, and a row for each value."""

    deviation: float
    """The standard deviation."""
    distribution: list[Row]
    """From the lowest value that can happen to the highest, without gaps."""
    expected: float
    """The mean."""


class SurvivalRow(TypedDict):
    """A game under one attacker."""

    arc: NotRequired[str]
    """The arc that it attacks, where it makes a difference."""
    ask: NotRequired[BatchQuestion]
    """The question."""
    attacker: str
    """The attacker's name."""
    attacker_counted: str
    """The attacker as people count it."""
    attacker_models: int
    """Its models."""
    range: str
    """The range band: the one that takes most in a turn."""
    standing: list[float]
    """The chance of still standing at the end of each turn."""
    stood: float
    """At the end of how many turns it still stands, on average: the sum of `standing`."""
    without: NotRequired[str]
    """A protection of the unit that does not act, or its repair that is not rolled."""


class TablePlace(TypedDict):
    """A place on the table, in any unit of length: x to the right, y up the table."""

    x: float
    """To the right. From -100000 to 100000."""
    y: float
    """Up the table. From -100000 to 100000."""


class TableRowForm(TypedDict):
    """What a total of a table gives."""

    at_least: int
    """The total from which it counts. From -1000 to 20000."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the target's counters, each by its name."""
    damage: NotRequired[AmountForm | None]
    """Added to the damage of this success."""
    ends: NotRequired[bool | None]
    """The attack ends here; default false."""
    extra: NotRequired[AmountForm | None]
    """Further, ordinary successes that go on with nothing of the row."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    then: NotRequired[dict[str, ChangeForm | None] | None]
    """Changed numbers of later steps."""


class TargetForm(TypedDict):
    """What is attacked: soldiers (with `models` or `groups`) or armour (with `structure`)."""

    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    counters: NotRequired[list[CounterForm] | None]
    """Numbers that hits leave on it, such as pins or fires: added to by `counts`, read by `thresholds` and
    `by_counter`. At most 4 of them.
    """
    groups: NotRequired[list[GroupForm] | None]
    """Soldiers: unlike models in place of `models`, lost in the order listed. At most 20 of them."""
    health: NotRequired[int | None]
    """Soldiers: health of each; default 1. From 1 to 1000."""
    hurt: NotRequired[int | None]
    """Points that the first model or unit misses at the start. From 0 to 999."""
    ignore: NotRequired[IgnoreForm | None]
    """Soldiers: a last roll against damage."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    models: NotRequired[int | None]
    """Soldiers: how many models. From 1 to 1000."""
    overflow: NotRequired[Overflow | None]
    """Armour: where attacks go after a wreck; default `next`."""
    spill: NotRequired[bool | None]
    """Soldiers: what is left of a packet goes on to the next model."""
    statuses: NotRequired[list[str] | None]
    """Armour: marks that the first unit has at the start. At most 20 of them."""
    structure: NotRequired[int | None]
    """Armour: structure of each unit. From 1 to 1000."""
    thresholds: NotRequired[list[ThresholdForm] | None]
    """What its counters bring. At most 40 of them."""
    units: NotRequired[int | None]
    """Armour: how many units; default 1. From 1 to 100."""


class TargetPoints(TypedDict):
    """The points of a target."""

    cost: int
    """What it cost before anything of it was lost."""
    removed: float
    """The mean of the points destroyed."""


class TargetRow(TypedDict):
    """What becomes of one target."""

    attackers: list[int]
    """Who attacks it, by their places in the list, in the order in which they act."""
    destroyed: Chance
    """Nothing is left."""
    models: NotRequired[Summary]
    """Of soldiers: models removed."""
    name: str
    """What it is called, with a number where several are called so."""
    points: TargetPoints
    """Its points."""
    structure: NotRequired[Summary]
    """Of armour: points of structure lost."""
    target: int
    """Its place in the list, from 0."""


class TemplateForm(TypedDict):
    """The template."""

    diameter_mm: float
    """Its diameter in millimetres. From 0 to 10000."""


class TermForm(TypedDict):
    """A word of the pack with what it means."""

    id: str
    """As the pack's files have it."""
    name: str
    """As people read it."""
    sort: str
    """What it is a word for: `stat`, `step`, `chart`, `breach`, `arc`, `range`, `cover`, `flag`, `check` or
    `aftermath`.
    """
    text: str
    """What the pack says of it."""


class TermTable(TypedDict):
    """A chart as a table."""

    head: list[str]
    """The head of each column."""
    rows: list[list[str]]
    """The rows, each as wide as the head."""


class ThresholdForm(TypedDict):
    """What holds while a counter has come so far. An effect holds where any of its rows does."""

    at_least: int
    """From this value on. From 0 to 1000."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    effect: str
    """Its name in the answer."""
    even_destroyed: NotRequired[bool | None]
    """It holds even where nothing of the target is left; default false."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    name: str
    """The counter."""


TogetherRow = TypedDict(
    "TogetherRow",
    {
        # Its tests that differ.
        "checks": "NotRequired[list[CheckPair]]",
        # Points more that it destroys in the part of a game that it survives: `takes` times `stands`, with less
        # without.
        "gained": "float",
        # Who is near, with the options that make the difference.
        "near": "str",
        # The same as a request names it.
        "near_id": "str",
        # What that costs at its fewest models.
        "near_points": "int",
        # That for each point that the other costs; nothing where it is free.
        "per_point": "NotRequired[float]",
        # Its repair, where that differs.
        "repair": "NotRequired[MendPair]",
        # What it comes to, in a sentence.
        "text": "str",
        # Whom it changes, as people count it.
        "unit": "str",
        # Its id.
        "unit_id": "str",
        # Its models.
        "unit_models": "int",
        # What it comes to with the other near.
        "with": "Worth",
        # What that unit comes to alone.
        "without": "Worth",
    },
)
"""Two units, one of which is better for the other's presence."""


class TryChance(TypedDict):
    """The chance of one try among unlike ones."""

    chance: float
    """Its chance."""
    fraction: str
    """The same exactly."""
    needs: NeedsForm
    """What it needs."""


class TurnsFormFields(TypedDict):
    """A situation over several turns; the pack's own flags stand beside these by their ids."""

    arc: NotRequired[EachTurn_String | None]
    """The arc that is shown to the other side."""
    cover: NotRequired[EachTurn_String | None]
    """What is stood behind."""
    moved: NotRequired[EachTurn_bool | None]
    """Whether who attacks has moved."""
    range: NotRequired[EachTurn_RangeForm | None]
    """A range band by its name, or a distance."""


TurnsForm: TypeAlias = "TurnsFormFields | dict[str, EachTurn_bool | None | EachTurn_String | EachTurn_RangeForm]"
"""A situation over several turns; the pack's own flags stand beside these by their ids.

Other keys:
The pack's own flags: whether each is so.
"""


class UnitAnswer(TypedDict):
    """A unit."""

    armoured: bool
    """Whether it is armour: loses structure, and has arcs."""
    capacity: int
    """Points that it can lose: structure, or health of all models."""
    checks: list[CheckForm]
    """The checks that it takes: requests for `check`."""
    each_more: int
    """What one more model costs."""
    groups: NotRequired[list[ModelGroupForm]]
    """Models unlike the others, in the order in which they are lost: after all others."""
    hash: str
    """The pack's content hash."""
    id: str
    """Its id."""
    kind: str
    """Its kind."""
    models: ModelsForm
    """How few and how many models it may have, and how many are looked at."""
    most: NotRequired[int]
    """How many of them a list may hold."""
    name: str
    """Its name."""
    options: list[OptionForm]
    """Its options."""
    per_slot: int
    """How many such units share a slot."""
    points: int
    """What it costs as it is looked at, options included."""
    profile: list[StatForm]
    """Its stats."""
    repair: NotRequired[RepairForm]
    """How it mends: a request for `repair`."""
    role: str
    """What it counts as."""
    rules: list[RuleHead]
    """Its rules, options worked in."""
    text: str
    """What it is, in words."""
    weapons: list[WeaponForm]
    """Its weapons, options worked in."""


class UnitHead(TypedDict):
    """A unit in short."""

    also: NotRequired[list[str]]
    """Further words for it."""
    armoured: bool
    """Whether it is armour: loses structure, and has arcs."""
    counted: CountedForm
    """What people count of it."""
    id: str
    """As requests have it."""
    least: int
    """Its fewest models."""
    list_most: NotRequired[int]
    """The most models of it that a list may hold, over all its units."""
    most: int
    """Its most models."""
    name: str
    """As people read it."""
    options: NotRequired[list[OptionHead]]
    """What it may take."""
    plural: str
    """The name of several."""
    points: int
    """What it costs with its fewest models."""
    role: str
    """What it counts as."""
    singular: str
    """The name of one of what is counted."""
    weapons: NotRequired[list[str]]
    """Its weapons, as requests have them."""


class UnitOutcome(TypedDict):
    """What a unit of a book did."""

    because: list[MatchupBecause]
    """Why the numbers of its attack are what they are; `volley` counts the volleys of its side in `duel`."""
    mends: list[Because]
    """How it mends, if it does: the rule, and why its numbers are what they are."""
    name: str
    """Its name."""
    points: DuelPoints
    """Cost and effect in points."""
    rules: RuleNotes
    """What became of the rules while it attacked."""
    unused_weapons: list[UnusedTurns]
    """Weapons that are not used, in which turns, and why."""


class UnitsAnswer(TypedDict):
    """Units found."""

    units: list[UnitHead]
    """The units, best first."""


class UnusedTurns(TypedDict):
    """A weapon that is not used in some turns."""

    turns: list[int]
    """The first and the last of these turns."""
    weapon: str
    """Its name."""
    why: str
    """Why."""


class UnusedWeapon(TypedDict):
    """A weapon that is not used."""

    weapon: str
    """Its name."""
    why: str
    """Why."""


class Variant(TypedDict):
    """One attack: a chain or a matchup."""

    chain: NotRequired[VariantChain | None]
    """An attack from plain numbers."""
    label: NotRequired[str | None]
    """What it is called in the table; default its unit, or `variant 1`, `variant 2` …."""
    matchup: NotRequired[VariantMatchup | None]
    """An attack by a unit."""
    points: NotRequired[int | None]
    """Of a chain: what the attackers cost. Of a matchup, the pack knows. From 0 to 1000000."""


class VariantChain(TypedDict):
    """A chain; its target may be left to the board."""

    aftermath: NotRequired[list[AftermathForm] | None]
    """What is rolled afterwards; checked, and not in the table. At most 10 of them."""
    attackers: NotRequired[int | None]
    """How many attack; default 1. From 0 to 10000."""
    attacks: NotRequired[AttacksForm | None]
    """Attacks of each; default 1."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    by_counter: NotRequired[list[ByCounterForm] | None]
    """Numbers of the steps that change with counters. At most 40 of them."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the target's counters, each by its name, for each success past all steps while something is left, even
    one that does nothing.
    """
    damage: NotRequired[AmountForm | None]
    """Damage of each success; default 1."""
    gate: NotRequired[GateForm | None]
    """What lets the attacks be made: rolled by each attacker, or once for all of them."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    steps: NotRequired[list[StepForm] | None]
    """The rolls of each attack, in order. At most 12 of them."""
    target: NotRequired[TargetForm | None]
    """What is attacked, where there is no board."""
    volleys: NotRequired[list[VolleyForm] | None]
    """Several weapons, in order, in place of the seven above. At most 12 of them."""


VariantMatchup = TypedDict(
    "VariantMatchup",
    {
        # Who attacks.
        "attacker": "StandingForm",
        # The text of a unit book to use beside the pack's own.
        "book": "NotRequired[str | None]",
        # The pack's name, or the text of a pack file.
        "pack": "NotRequired[str | None]",
        # What the table adds.
        "situation": "NotRequired[SituationForm | None]",
        # Who is attacked, where there is no board.
        "target": "NotRequired[StandingForm | None]",
        # Rules that act as if they were carried. At most 20 of them.
        "with": "NotRequired[list[str] | None]",
        # Rules that do not act. At most 20 of them.
        "without": "NotRequired[list[str] | None]",
    },
)
"""A matchup; its target may be left to the board."""


Verdict: TypeAlias = Literal["fair", "dear", "cheap"]
"""Whether a price is off."""


class VerdictRow(TypedDict):
    """A sentence of the verdict."""

    against: float
    """What the number is held against; the sentence turns round where it crosses it."""
    number: float
    """The number that it is made from."""
    of: str
    """Where that number stands in this answer."""
    speaks_for: NotRequired[bool]
    """Whether it speaks for the unit, or says when to use it."""
    text: str
    """The sentence."""


class VersusForm(TypedDict):
    """The other side of an opposed roll."""

    dice: AmountForm
    """Its dice."""
    keep: NotRequired[KeepForm | None]
    """Which of its dice are summed."""
    modifier: NotRequired[int | None]
    """Added to its total. From -1000 to 1000."""


class VolleyForm(TypedDict):
    """One weapon's attacks."""

    attackers: NotRequired[int | None]
    """How many attack; default 1. From 0 to 10000."""
    attacks: NotRequired[AttacksForm | None]
    """Attacks of each; default 1."""
    because: NotRequired[Notes]
    """For the notes of whoever sends it: nothing is worked out from it."""
    by_counter: NotRequired[list[ByCounterForm] | None]
    """Numbers of the steps that change with counters. At most 40 of them."""
    counts: NotRequired[dict[str, AmountForm | None] | None]
    """Added to the target's counters, each by its name, for each success past all steps while something is left, even
    one that does nothing.
    """
    damage: NotRequired[AmountForm | None]
    """Damage of each success; default 1."""
    gate: NotRequired[GateForm | None]
    """What lets the attacks be made: rolled by each attacker, or once for all of them."""
    ignore: NotRequired[IgnoreForm | None]
    """The last roll against its damage, in place of the target's own; `{"needs": "never"}` for none."""
    label: NotRequired[Label]
    """For the notes of whoever sends it: nothing is worked out from it."""
    order: NotRequired[int | None]
    """In a duel with `first: "order"`: volleys with a higher order are made first; default 0. From -1000 to 1000."""
    served: NotRequired[list[int] | None]
    """In a duel: the attackers while 1, 2, … of the side stand, the last number going on, in place of `attackers` for
    each. At most 1000 of them.
    """
    spill: NotRequired[bool | None]
    """Whether what is left of its packets goes on to the next model, in place of the target's `spill`."""
    steps: NotRequired[list[StepForm] | None]
    """The rolls of each attack, in order. At most 12 of them."""
    thinned: NotRequired[bool | None]
    """In a duel: a blast is laid on as many of its bases, the first ones, as the other side has standing; default
    false.
    """
    turns: NotRequired[list[int] | None]
    """In a duel: the first and the last turn in which it is fired; default every turn."""
    uses: NotRequired[int | None]
    """In a duel: in how many turns, the first ones of `turns`, it is fired. From 1 to 1000."""


class VolleyOdds(TypedDict):
    """What comes of one volley by itself."""

    gate: NotRequired[Chance]
    """The chance that one roll of its gate passes."""


class WantForm(TypedDict):
    """`destroyed` with its chance, or one of the others with `chance` beside it."""

    chance: NotRequired[float | None]
    """The wanted chance; beside all but `destroyed`. From 0 to 1."""
    destroyed: NotRequired[float | None]
    """The wanted chance that nothing is left. From 0 to 1."""
    health_lost: NotRequired[int | None]
    """At least so many points of health lost. At least 1."""
    models: NotRequired[int | None]
    """At least so many models removed. At least 1."""
    passes: NotRequired[int | None]
    """Of a check: at least so many tries that pass. From 1 to 10000."""
    structure: NotRequired[int | None]
    """At least so many points of structure lost. At least 1."""
    wrecked: NotRequired[int | None]
    """At least so many units wrecked. At least 1."""


class WantedOdds(TypedDict):
    """The chance of all that is wanted together."""

    at_least: Chance
    """So many or more of each colour that was named."""
    exactly: Chance
    """Exactly so many of each of them."""


class WeaponForm(TypedDict):
    """A weapon of a unit."""

    count: int
    """How many of it the unit has."""
    id: str
    """Its id."""
    least_reach: int
    """How near it can be used."""
    name: str
    """Its name."""
    profile: list[StatForm]
    """Its stats."""
    reach: NotRequired[int]
    """How far it reaches; nothing where that has no limit."""
    rules: list[RuleHead]
    """Its rules."""
    template_mm: NotRequired[int]
    """The diameter of the template that it lays."""


class WhenForm(TypedDict):
    """What makes an aftermath roll: one of the four counts, and how much of it."""

    at_least: NotRequired[int | None]
    """The smallest count that makes them roll; default 1."""
    health_lost: NotRequired[bool | None]
    """`true`: points of health lost."""
    models: NotRequired[bool | None]
    """`true`: models removed."""
    passed: NotRequired[PassedForm | None]
    """Successes past a step, saved or not."""
    wrecked: NotRequired[bool | None]
    """`true`: units of armour wrecked."""


Whose: TypeAlias = Literal["target", "own"]
"""Whose counter is read."""


class Worth(TypedDict):
    """What a unit comes to."""

    per_point: NotRequired[float]
    """`takes` times `stands`, for each point that it costs; nothing where it is free."""
    stands: float
    """The mean share of a game's turns that it survives, over the rows of `approach` with everything that it has; an
    attacker that cannot attack it counts as a whole game.
    """
    takes: float
    """The mean of the points of `damage`; a target that it cannot attack counts as none."""


class WorthAnswer(TypedDict):
    """The league."""

    board: list[str]
    """Whom the units were measured against."""
    hash: str
    """Its content hash."""
    left_out: list[LeftOut]
    """Units that cannot be compared, and why: their prices count as fair."""
    marked_from: float
    """Marked are prices that are above the fair one by more than this share of it, and those that the fair price is
    above by more than this share of the price: a quarter more and a fifth less are as far off.
    """
    method: str
    """How it was measured, and what it does not see."""
    pack: str
    """The pack that was used."""
    rows: list[WorthRow]
    """The units, those that give most for their points first; equals share a rank. Those that cannot be compared come
    last.
    """
    spread: float
    """How far a price of this book lies from the fair one, as a share of it: the middle distance, as a standard
    deviation.
    """
    turns: int
    """Turns of a game."""


class WorthCsvLinkQuery(TypedDict):
    """What `/v1/worth.csv` takes in its query."""

    pack: NotRequired[str]
    """The pack's name; every other field as in the short form of `/v1/worth`."""


class WorthEventsLinkQuery(TypedDict):
    """What `/v1/worth/events` takes in its query."""

    pack: NotRequired[str]
    """The pack's name; every other field as in the short form of `/v1/worth`."""


class WorthHtmlLinkQuery(TypedDict):
    """What `/v1/worth.html` takes in its query."""

    pack: NotRequired[str]
    """The pack's name; every other field as in the short form of `/v1/worth`."""


class WorthLinkQuery(TypedDict):
    """What `/v1/worth` takes in its query."""

    board: NotRequired[list[StandingForm]]
    """Whom they are measured against; each other where it is left out. At most 200 of them."""
    book: NotRequired[str]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    turns: NotRequired[int]
    """Turns of a game; the pack's own number where it is left out. From 1 to 20."""
    units: NotRequired[list[StandingForm]]
    """The units to rank; all units at their fewest models where it is left out. At most 200 of them."""


class WorthMdLinkQuery(TypedDict):
    """What `/v1/worth.md` takes in its query."""

    pack: NotRequired[str]
    """The pack's name; every other field as in the short form of `/v1/worth`."""


class WorthRequest(TypedDict):
    """A unit book to rank."""

    board: NotRequired[list[StandingForm] | None]
    """Whom they are measured against; each other where it is left out. At most 200 of them."""
    book: NotRequired[str | None]
    """The text of a unit book to use beside the pack's own."""
    pack: NotRequired[str | None]
    """The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
    pack file; the first pack where it is left out.
    """
    turns: NotRequired[int | None]
    """Turns of a game; the pack's own number where it is left out. From 1 to 20."""
    units: NotRequired[list[StandingForm] | None]
    """The units to rank; all units at their fewest models where it is left out. At most 200 of them."""


class WorthRow(TypedDict):
    """A unit of the league."""

    compared: NotRequired[bool]
    """Said where it cannot be compared: its price counts as fair, and its survival as that of the game at most."""
    counted: str
    """The unit as people count it: `5 Dyke Hands`, `Bolt-gun Crew`."""
    damage_rate: float
    """Points that it takes in a turn, the mean of the board, where there is always more to hit."""
    fair_price: float
    """What it would cost on a par with the others."""
    index: NotRequired[int]
    """Its place in `units`, from 0."""
    models: int
    """Its models."""
    name: str
    """Its name."""
    off: float
    """What it costs above its fair price; below 0 it is cheap."""
    points: int
    """What it costs."""
    rank: int
    """Its place, from 1."""
    survival: float
    """Turns in which the mean of the board wears it down: one by the mean share of it that is gone at the end of a
    game, for each turn of the game in which it is attacked.
    """
    unit: str
    """Its id."""
    value: NotRequired[float]
    """Points that it takes in the turns that it survives, at most those of the game; 0 where it takes nothing."""
    verdict: Verdict
    """Whether its price is off."""
    worth: float
    """The fair price for each point that it costs: what it gives for its points, 1 being the middle."""
