// Long because it is made from the contract by api/clients/make.

/** A roll made after the volleys while something of the target is left; its success brings the effect. */
export interface AftermathForm {
  /**
   * An attack on a target of its own, such as passengers, that comes with the effect: its whole answer stands under
   * the effect, by itself and given that it happens. It happens once, however many were wrecked.
   */
  attack?: ChainForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** The dice; default 1d6. */
  dice?: DiceForm | null;
  /** Its name in the answer. */
  effect: string;
  /** Read in duels: the effect takes all that is left of the target out of the fight; default false. */
  ends?: boolean | null;
  /** It happens even where nothing of the target is left; default false, and true where wrecks are counted. */
  even_destroyed?: boolean | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Added to the dice. From -1000 to 1000. */
  modifier?: number | null;
  /** What brings the effect; where it is left out the effect follows for certain. */
  needs?: NeedsForm | null;
  /** Added to the modifier for each one counted. From -1000 to 1000. */
  per_point?: number | null;
  /** In a duel: the first and the last turn in which it is rolled; default every turn. */
  turns?: number[] | null;
  /** What is counted, and how much of it makes them roll. */
  when: WhenForm;
}

/**
 * A list to face.
 *
 * - As pasted.
 * - Its lines.
 * - As `list-points` takes it.
 */
export type AgainstForm = string | LineForm[] | AgainstList;

/** A list to face, as `list-points` takes it. */
export interface AgainstList {
  /** Its lines. At most 500 of them. */
  lines?: LineForm[] | null;
  /** The whole list as pasted. */
  text?: string | null;
}

/**
 * Where the template is aimed.
 *
 * - At a point.
 * - At the best base.
 */
export type AimForm = PointForm | AimName;

/** An aim by name. */
export type AimName = "best";

/** One attacker on one target, alone. */
export interface AloneCell {
  /** The chance that nothing is left. From 0 to 1. */
  destroyed: number;
  /** The mean of the points destroyed. */
  points: number;
}

/**
 * - From 0 to 10000.
 * - 1 to 100 dice of 2 to 100 sides, and up to 1000 added or taken off.
 * - A distribution as input.
 */
export type AmountForm = number | string | AmountFormDistribution;

/** A distribution as input. */
export interface AmountFormDistribution {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  deviation?: number | null;
  /** Whole values from 0, each once; their chances add up to 1 within 1e-9 and the sum is divided out. */
  distribution: GivenRow[];
  /** Not read: so that an answer can be put back. */
  expected?: number | null;
}

/**
 * A unit's appraisal. Every number of `attacks`, `damage`, `survival`, `repair` and `checks` is that of the question
 * in its `ask`, which can be posted to its path or into a batch; the rest is made from them.
 */
export interface AppraisalAnswer {
  /** When to use it and when not, each sentence from one number held against another. */
  advice: VerdictRow[];
  /**
   * A whole game of each attacker of the board against it, unanswered, while the attacker comes on. Where the pack
   * does not say how, the attacker stays at its best range on the usual side.
   */
  approach: ApproachRow[];
  /** Where attackers stand turn by turn as they come on, by the pack's board; empty where it does not say. */
  approach_turns: ApproachTurns[];
  /** How a sentence says that something happens at a range: `in contact` for `contact`. */
  at_ranges?: Record<string, string>;
  /** One turn of it against each target of the board, from each arc that makes a difference, at each range. */
  attacks: AttackRow[];
  /** The tests that it takes. */
  checks: CheckRow[];
  /** Other units for the same points. */
  comparators: ComparatorRow[];
  /** What it costs. */
  cost: CostForm;
  /** The unit as people count it: `10 Dyke Hands`, `Bolt-gun Crew`. */
  counted: string;
  /** A whole game of it against each target that does not answer, at the range that removes most in a turn. */
  damage: DamageRow[];
  /** Its content hash. */
  hash: string;
  /** Units that its presence changes, those that gain most for its points first: of the book's first twelve such. */
  helped: TogetherRow[];
  /** Units whose presence changes it, those that give most for their points first. */
  helpers: TogetherRow[];
  /** Its numbers by the side that is hit, where it has any. */
  hull: HullSide[];
  /** How it was worked out, and what it does not see. */
  method: string;
  /** Models of the unit. */
  models: number;
  /** Its name. */
  name: string;
  /** What each option that it may still take is worth. */
  options: OptionRow[];
  /** The pack that was used. */
  pack: string;
  /** Its stats, options worked in. */
  profile: StatForm[];
  /** What each of its protections and its repair is worth where it does most, the best first. */
  protections: ProtectionRow[];
  /** One turn of it at each range, the mean over the board from the usual arc. */
  ranges: MeanRow[];
  /** Its repair, if it has one. */
  repair?: MendRow;
  /** The rules that it carries, options worked in. */
  rules: RuleHead[];
  /** Changes of the unit and of the table, those that move its worth most first. */
  sensitivities: SensitivityRow[];
  /**
   * One turn of it from each side, the mean over those targets on which the side makes a difference, each at its best
   * range.
   */
  sides: MeanRow[];
  /** A whole game of each attacker of the board against it, unanswered, from each arc that makes a difference. */
  survival: SurvivalRow[];
  /** The options that it has taken, with their number where it is several: `Signal mast`, `2 Long rifles`. */
  taken?: string[];
  /** What it is. */
  text: string;
  /** Turns of a game. */
  turns: number;
  /** The unit's id. */
  unit: string;
  /** The same in three sentences, each from one number held against another. */
  verdict: VerdictRow[];
  /** Its weapons, options worked in. */
  weapons: WeaponForm[];
  /** What it comes to. */
  worth: Worth;
}

/** What `/v1/appraisal.csv` takes in its query. */
export interface AppraisalCsvLinkQuery {
  /** The unit's name; every other field as in the short form of `/v1/appraisal`. */
  unit: string;
}

/** What `/v1/appraisal.html` takes in its query. */
export interface AppraisalHtmlLinkQuery {
  /** The unit's name; every other field as in the short form of `/v1/appraisal`. */
  unit: string;
}

/** What `/v1/appraisal` takes in its query. */
export interface AppraisalLinkQuery {
  /** Units to hold it against, as targets and as attackers, in place of the pack's own board. At most 12 of them. */
  against?: StandingForm[];
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /** How many models; the unit's fewest where it is left out. From 1 to 60. */
  models?: number;
  /** Units of its side that stand near it. At most 20 of them. */
  near?: string[];
  /** Its options, such as `signal mast` or `2 long rifles`. At most 40 of them. */
  options?: string[];
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string;
  /** Turns of a game; the pack's own number where it is left out. From 1 to 20. */
  turns?: number;
  /** The unit's name. */
  unit: string;
  /** The weapons that it uses; all that can be used where it is left out. At most 12 of them. */
  weapons?: string[];
}

/** What `/v1/appraisal.md` takes in its query. */
export interface AppraisalMdLinkQuery {
  /** The unit's name; every other field as in the short form of `/v1/appraisal`. */
  unit: string;
}

/** What `/v1/appraisal/pictures/{picture}` takes in its query. */
export interface AppraisalPicturesPictureQuery {
  /** The unit's name; every other field as in the short form of `/v1/appraisal`. */
  unit: string;
}

/** A unit to appraise. */
export interface AppraisalRequest {
  /** Units to hold it against, as targets and as attackers, in place of the pack's own board. At most 12 of them. */
  against?: StandingForm[] | null;
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /** How many models; the unit's fewest where it is left out. From 1 to 60. */
  models?: number | null;
  /** Units of its side that stand near it. At most 20 of them. */
  near?: string[] | null;
  /** Its options, such as `signal mast` or `2 long rifles`. At most 40 of them. */
  options?: string[] | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
  /** Turns of a game; the pack's own number where it is left out. From 1 to 20. */
  turns?: number | null;
  /** The unit's name. */
  unit: string;
  /** The weapons that it uses; all that can be used where it is left out. At most 12 of them. */
  weapons?: string[] | null;
}

/** A game under an attacker that comes on. */
export interface ApproachRow {
  /** The question. */
  ask?: BatchQuestion;
  /** The attacker's name. */
  attacker: string;
  /** The attacker as people count it. */
  attacker_counted: string;
  /** Its models. */
  attacker_models: number;
  /** The chance of still standing at the end of each turn. */
  standing: number[];
  /** At the end of how many turns it still stands, on average: the sum of `standing`. */
  stood: number;
  /** A protection of the unit that does not act, or its repair that is not rolled. */
  without?: string;
}

/** Where attackers stand in one turn. */
export interface ApproachTurns {
  /** The arc that is hit. */
  arc: string;
  /** The range band. */
  range: string;
  /** The turn, from 1. */
  turn: number;
}

/** The arc that is hit. */
export interface ArcAnswer {
  /** The arc. */
  arc: NameForm;
  /** The bearing, from beyond -180 up to 180. */
  bearing: number;
  /** The nearest border; nothing where there is only one arc. */
  border?: BorderForm;
  /** All borders. */
  borders: BorderLine[];
  /** From middle to middle, where places were given. */
  distance?: number;
  /** Its content hash. */
  hash?: string;
  /** How the borders were found. */
  how: string;
  /** Whether that is so near (5 degrees or less) that players may see it differently. */
  near: boolean;
  /** The pack's id, where one was named. */
  pack?: string;
}

/** What `/v1/arc` takes in its query. */
export interface ArcLinkQuery {
  /** A place on the table, in any unit of length: x to the right, y up the table. */
  attacker?: TablePlace;
  /**
   * Degrees clockwise from straight ahead of the hull, seen from its middle: 90 is its right, -90 or 270 its left.
   * From -360 to 360.
   */
  bearing?: number;
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /** A rectangular hull about 0,0. */
  hull?: HullForm;
  /** The pack's name, or the text of a pack file. */
  pack?: string;
  /** Equal quarters, whatever the hull's size. */
  quarters?: boolean;
  /** Where a hull stands and where it looks. */
  target?: HullPlace;
  /** The unit that is hit, for the size of its hull. */
  unit?: string;
}

/** Where a shot comes from: a bearing, or where both stand. Without a pack the arcs are front, side and rear. */
export interface ArcRequest {
  /** With `target`: where the shot comes from. */
  attacker?: TablePlace | null;
  /**
   * Degrees clockwise from straight ahead of the hull, seen from its middle: 90 is its right, -90 or 270 its left.
   * From -360 to 360.
   */
  bearing?: number | null;
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /** The hull's size; its corners are where the arcs meet. */
  hull?: HullForm | null;
  /** The pack's name, or the text of a pack file. */
  pack?: string | null;
  /** Equal quarters, whatever the hull's size. */
  quarters?: boolean | null;
  /** In place of a bearing: where the hull stands. */
  target?: HullPlace | null;
  /** The unit that is hit, for the size of its hull. */
  unit?: string | null;
}

/** Yes, no, or it depends. */
export type AskedAnswer = "yes" | "no" | "depends";

/** The answer to a yes-or-no question. */
export interface AskedForm {
  /** `yes`, `no`, or `depends` where the words leave it open. */
  answer: AskedAnswer;
  /** Why, or what it depends on, without a beginning: `it acts only when …`. */
  because: string;
  /** Weapons of which the opposite is so. */
  except: NameForm[];
  /** The whole answer as a sentence, which says what is so: `No: Lantern screen acts only when …`. */
  sentence: string;
  /** What of the question was understood as the table's. */
  understood: string[];
}

/** Who attacks whom. */
export interface AssignAnswer {
  /** For each attacker, what it does to each target where nobody else attacks it. */
  alone: AloneCell[][];
  /** What the request left open, and how it was taken. */
  defaults: Stated[];
  /** The plan in which each takes the target where it alone gives most, with what comes of that together. */
  each_on_its_own: OtherPlan;
  /** Its value: points destroyed on average, or targets destroyed on average. */
  expected: number;
  /** What the best plan gives above that. */
  gain: number;
  /** Its content hash. */
  hash: string;
  /** Attackers that are sent nowhere. */
  idle: IdleRow[];
  /** With `must`: the chance that all of these are destroyed. */
  must_chance?: Chance;
  /** No plan can destroy all that must be, so that `must` does not count. */
  must_left_out?: boolean;
  /** No plan reaches the chance of `must`: this is the one that comes nearest. */
  not_reached?: boolean;
  /** What `expected` counts. */
  objective: AssignObjective;
  /** The next two plans that differ in a target's attackers; who adds nothing is left out of them. */
  others: OtherPlan[];
  /** The pack that was used. */
  pack: string;
  /** The best plan: a row for each attacker. */
  plan: PlanRow[];
  /** The plan in a sentence. */
  sentence: string;
  /** What becomes of each target. */
  targets: TargetRow[];
}

/** What `/v1/assign` takes in its query. */
export interface AssignLinkQuery {
  /**
   * Those who attack, in the order in which they act on one target; each goes to one target, with all that it can use.
   * At most 12 of them.
   */
  attackers: StandingForm[];
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /**
   * Targets that must be destroyed, all of them together with at least this chance (the highest, where they differ).
   * At most 8 of them.
   */
  must?: AssignMust[];
  /** What is looked for. */
  objective?: AssignObjective;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string;
  /** What is otherwise for single pairs. At most 96 of them. */
  pairs?: AssignPair[];
  /** What the table adds; the pack's own flags stand beside these by their ids. */
  situation?: SituationForm;
  /** Those who may be attacked. At most 8 of them. */
  targets: StandingForm[];
}

/** A target that must be destroyed. */
export interface AssignMust {
  /** The least chance; default 0.9. From 0 to 1. */
  chance?: number | null;
  /** Its place in the list, from 0. From 0 to 7. */
  target: number;
}

/** What is looked for. */
export type AssignObjective = "points" | "destroyed";

/** One attacker and one target. */
export interface AssignPair {
  /** The attacker's place in the list, from 0. From 0 to 11. */
  attacker: number;
  /** It cannot attack this target. */
  cannot?: boolean | null;
  /** What the table adds to this attack, laid over the request's. */
  situation?: SituationForm | null;
  /** The target's place in the list, from 0. From 0 to 7. */
  target: number;
}

/** Attackers and targets, to be sent at each other in the best way. */
export interface AssignRequest {
  /**
   * Those who attack, in the order in which they act on one target; each goes to one target, with all that it can use.
   * At most 12 of them.
   */
  attackers: StandingForm[];
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /**
   * Targets that must be destroyed, all of them together with at least this chance (the highest, where they differ).
   * At most 8 of them.
   */
  must?: AssignMust[] | null;
  /**
   * What is looked for: `points`, the most points destroyed on average, or `destroyed`, the most targets destroyed on
   * average; default `points`.
   */
  objective?: AssignObjective | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
  /** What is otherwise for single pairs. At most 96 of them. */
  pairs?: AssignPair[] | null;
  /** What the table adds to every attack. */
  situation?: SituationForm | null;
  /** Those who may be attacked. At most 8 of them. */
  targets: StandingForm[];
}

/** A chain without a target; its attackers are for each model or unit that stands. */
export interface AttackForm {
  /**
   * What the other side rolls after this attack; with `ends`, its effect takes all that is left out of the fight. At
   * most 10 of them.
   */
  aftermath?: AftermathForm[] | null;
  /** Attackers for each model or unit that stands; default 1. From 0 to 10000. */
  attackers?: number | null;
  /** Attacks of each; default 1. */
  attacks?: AttacksForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Numbers of the steps that change with counters. At most 40 of them. */
  by_counter?: ByCounterForm[] | null;
  /**
   * Added to the other side's counters, each by its name, for each success past all steps while something is left,
   * even one that does nothing.
   */
  counts?: Record<string, AmountForm | null> | null;
  /** Damage of each success; default 1. */
  damage?: AmountForm | null;
  /** What lets the attacks be made: rolled by each attacker, or once for all of them. */
  gate?: GateForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /**
   * Read where `first` is `order`: what has a higher order is made first; default 0. Of `volleys` it is that of those
   * that say none. From -1000 to 1000.
   */
  order?: number | null;
  /** The rolls of each attack, in order. At most 12 of them. */
  steps?: StepForm[] | null;
  /** In how many turns, the first ones, it is made; default every turn. From 1 to 1000. */
  uses?: number | null;
  /** Several weapons, each with the turns in which it fires, in place of all above but `order`. At most 12 of them. */
  volleys?: VolleyForm[] | null;
}

/** One turn against one target. */
export interface AttackRow {
  /** The arc that is hit, where it makes a difference. */
  arc?: string;
  /** Whether `expected` is in points of structure, not in models. */
  armoured: boolean;
  /** The question. */
  ask?: BatchQuestion;
  /** The chance that nothing is left. */
  destroyed: number;
  /** Models, or points of structure, removed on average. */
  expected: number;
  /** Models of the unit that attack. */
  models: number;
  /** That for each point that the unit costs; nothing where it is free. */
  per_point?: number;
  /** Points removed on average. */
  points: number;
  /** The range band. */
  range: string;
  /** The target's name. */
  target: string;
  /** The target as people count it. */
  target_counted: string;
  /** Its models. */
  target_models: number;
}

/**
 * - From 0 to 10000.
 * - 1 to 100 dice of 2 to 100 sides, and up to 1000 added or taken off.
 * - A distribution as input.
 */
export type AttacksForm = number | string | AttacksFormDistribution | AttacksFormBlast;

export interface AttacksFormBlast {
  blast: BlastRequest;
}

/** A distribution as input. */
export interface AttacksFormDistribution {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  deviation?: number | null;
  /** Whole values from 0, each once; their chances add up to 1 within 1e-9 and the sum is divided out. */
  distribution: GivenRow[];
  /** Not read: so that an answer can be put back. */
  expected?: number | null;
}

/** What a low natural face costs the attacker. */
export interface BackfireForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Damage to the attacker's own side; read in duels. */
  harm?: AmountForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** What saves the attacker, on the step's die without modifier; default `never`. */
  needs?: NeedsForm | null;
  /** This natural face or worse; default 1 (of a low roll the highest). From 0 to 10000. */
  on?: number | null;
}

/** A round base. */
export interface BaseForm {
  /** Its diameter in millimetres. From 0 to 10000. */
  diameter_mm: number;
  /** Its middle, in millimetres. From -100000 to 100000. */
  x_mm: number;
  /** Its middle, in millimetres. From -100000 to 100000. */
  y_mm: number;
}

/** The answers, in the order of the questions. */
export interface BatchAnswer {
  /** One for each question. */
  answers: BatchItem[];
}

/** What comes of one question: its answer, or what is wrong with it. */
export interface BatchItem {
  /** The answer that the question would have by itself. */
  answer?: unknown;
  /** All its mistakes, their pointers into its own request. */
  problem?: Mistake[];
}

/** What `/v1/batch` takes in its query. */
export interface BatchLinkQuery {
  /** The questions. At most 100 of them. */
  questions: BatchQuestion[];
}

/** One question. */
export interface BatchQuestion {
  /**
   * Where it would be posted by itself, without the `/v1/` before it: `odds`, `check`, `repair`, `blast`, `duel`,
   * `needed`, `luck`, `draw`, `fair`, `compare`, `matchup`, `list-points` or `assign`.
   */
  path: string;
  /** What would be posted there. */
  request: unknown;
}

/** Questions, answered in their order. */
export interface BatchRequest {
  /** The questions. At most 100 of them. */
  questions: BatchQuestion[];
}

/** One change of a number by a rule. */
export interface Because {
  /** What it did, from the value before to the value after. */
  effect: string;
  /** The rule's id in its pack. */
  rule: string;
  /** What the rule says. */
  text: string;
}

/** One of them. */
export interface Beside {
  /** Whether it is armour: its capacity is structure. */
  armoured: boolean;
  /** Structure, or the health of all its models. */
  capacity: number;
  /** Points destroyed in a game, for each target; nothing where it can use no weapon on it. */
  damage: (number | null)[];
  /** It as people count it, with its options: `Heron Carriage + Stern mortar`. */
  label: string;
  /** What it costs. */
  points: number;
  /** Its stats, options worked in. */
  profile: StatForm[];
  /** Turns survived under each attacker as it comes on; nothing where that can use no weapon. */
  survival: (number | null)[];
  /** Its id. */
  unit: string;
  /** What it comes to. */
  worth: Worth;
}

/** What `/v1/blast` takes in its query. */
export interface BlastLinkQuery {
  /** Where the template is aimed. */
  aim?: AimForm;
  /** Round bases. At most 400 of them. */
  bases?: BaseForm[];
  /** Reasons in an answer; whatever stands in their place in a request is not read. */
  because?: Notes;
  /** When a base counts as caught. */
  counts?: CountsForm;
  /** Bases in ranks: the first at 0,0, x along a rank, y to the next. */
  formation?: FormationForm;
  /** A rectangular hull about 0,0. */
  hull?: HullForm;
  /** A name for readers in an answer; whatever stands in its place in a request is not read. */
  label?: Label;
  /** How the template drifts: `max(0, dice - reduce)` units in any direction. */
  scatter?: ScatterForm;
  /** The template. */
  template: TemplateForm;
}

/** What comes of a blast. */
export interface BlastOutcome {
  /** The aim as used. */
  aim: PointForm;
  /** Of a hull: the template's middle lies over it. */
  centre_inside?: Chance;
  /** How many bases are caught. */
  covered?: Summary;
  /** For each distance of drift, ascending. */
  distances: DistanceRow[];
  /** How many pairs of bases overlap, where any do: they are counted as they lie. */
  overlapping_pairs?: number;
  /** Of a hull: the template touches it. */
  touched?: Chance;
}

/** A round template, what lies under it, where it is aimed and how it drifts. */
export interface BlastRequest {
  /**
   * A point, or `"best"` (default): the middle of the base that promises most, the first of equals; of a hull its
   * middle.
   */
  aim?: AimForm | null;
  /** Round bases. At most 400 of them. */
  bases?: BaseForm[] | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /**
   * When a base counts as caught; default `touched`. Where an edge is met exactly a slack of 1e-9 mm decides: such a
   * base is caught.
   */
  counts?: CountsForm | null;
  /** Bases in ranks, in place of `bases`. */
  formation?: FormationForm | null;
  /** One rectangular hull about 0,0, in place of `bases`. */
  hull?: HullForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** How the template drifts. */
  scatter?: ScatterForm | null;
  /** The template. */
  template: TemplateForm;
}

/** A target of the board: plain numbers for chains, or a unit for matchups. */
export interface BoardTarget {
  /** What it is called in the table; default its unit, or `target 1`, `target 2` …. */
  label?: string | null;
  /** Beside a unit: what the table adds, in place of what the variant says. */
  situation?: SituationForm | null;
  /** From plain numbers. */
  target?: TargetForm | null;
  /** A unit. */
  unit?: StandingForm | null;
}

/** The border that is nearest. */
export interface BorderForm {
  /** How far across, in the unit of the places. */
  across?: number;
  /** Where it lies. */
  bearing: number;
  /** How many degrees away. */
  off_degrees: number;
  /** The arc on its other side. */
  other: NameForm;
}

/** A border. */
export interface BorderLine {
  /** Where it lies. */
  bearing: number;
  /** The arcs on its two sides, the one in front first. At most 2 of them. */
  between: string[];
}

/** What a breach does. */
export interface BreachForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** One roll on a table of effects. */
  chart?: ChartForm | null;
  /** Added to the target's counters, each by its name, where it takes effect. */
  counts?: Record<string, AmountForm | null> | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Structure lost; default 0. */
  structure?: AmountForm | null;
}

/** The best legal lists. */
export interface BuildAnswer {
  /** How many candidates there were: units at some sizes with up to two options. */
  candidates: number;
  /** Its content hash. */
  hash: string;
  /** The points limit. */
  limit: number;
  /** How it was measured. */
  method: string;
  /** What was looked for. */
  objective: BuildObjective;
  /** The pack that was used. */
  pack: string;
  /** The plans, the best first; none where no list is legal. */
  plans: BuildPlan[];
  /** Where there is no plan: why, as the smallest set of limits that no list keeps to all at once. */
  problems: ListProblem[];
  /** Whom it is built against. */
  targets: BuildTarget[];
}

/** What `/v1/build` takes in its query. */
export interface BuildLinkQuery {
  /** A list to face. */
  against?: AgainstForm;
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /** Units that are not to be added. At most 200 of them. */
  exclude?: string[];
  /** Lines that are in the list whatever else is. At most 100 of them. */
  keep?: LineForm[];
  /** The points limit; the pack's usual one where it is left out. From 0 to 1000000. */
  limit?: number;
  /** What is looked for. */
  objective?: BuildObjective;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string;
  /** How many different plans; default 3. From 1 to 5. */
  plans?: number;
}

/** What is looked for. */
export type BuildObjective = "balanced" | "total";

/** One list. */
export interface BuildPlan {
  /** The most that any legal list could reach, given the plans before. */
  bound: number;
  /** Points that are left. */
  left: number;
  /** Its lines, with their sums: those kept first. */
  lines: LineSum[];
  /** Whether no list is better. */
  proven: boolean;
  /** What it is good at and what most of that comes from; where it is not proven best, by how much it may fall short. */
  sentence: string;
  /** The list as text, to be pasted anywhere a list is read. */
  text: string;
  /** What it costs. */
  total: number;
  /** What it is worth. */
  value: BuildValue;
  /** What each of these lines is worth, in their order. */
  values: BuildValue[];
}

/** What to build. */
export interface BuildRequest {
  /** The list that it is to face, as lines or as text; the pack's reference board where it is left out. */
  against?: AgainstForm | null;
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /** Units that are not to be added. At most 200 of them. */
  exclude?: string[] | null;
  /** Lines that are in the list whatever else is. At most 100 of them. */
  keep?: LineForm[] | null;
  /** The points limit; the pack's usual one where it is left out. From 0 to 1000000. */
  limit?: number | null;
  /**
   * What is looked for: `balanced`, the most against whichever it does least against, soldiers or armour; or `total`,
   * the most over all targets; default `balanced`.
   */
  objective?: BuildObjective | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
  /** How many different plans; default 3. From 1 to 5. */
  plans?: number | null;
}

/** Whom it is built against. */
export interface BuildTarget {
  /** The unit as people count it. */
  name: string;
  /** Its points. */
  points: number;
  /** How much it counts. */
  weight: number;
}

/** What a list or a line is worth: points taken in the turns that its units survive. */
export interface BuildValue {
  /** Over armour, where there is any. */
  armour?: number;
  /** Over soldiers, where there are any. */
  soldiers?: number;
  /** The weighted mean over all targets. */
  total: number;
}

/** Something that the points left could buy. */
export interface BuyForm {
  /** The line that it goes to; nothing for a new unit. */
  line?: number;
  /** What it costs. */
  points: number;
  /** What it is and what it costs, in words. */
  text: string;
}

/**
 * Numbers that change with a counter. Of the rows of one counter the highest that is reached acts; rows of different
 * counters all act, in the order listed.
 */
export interface ByCounterForm {
  /** From this value on. From 0 to 1000. */
  at_least: number;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** The counter. */
  name: string;
  /**
   * Whose counter: of the `target` (default), read when an attack starts; or in a duel the `own` side's, read when the
   * volley starts.
   */
  of?: Whose | null;
  /** Changed numbers of the steps, by name; by a counter of the own side also of the `gate`, its `needs` or `modifier`. */
  then: Record<string, ChangeForm | null>;
}

/** Who rolls a step. */
export type ByForm = "attacker" | "defender";

/** A chain: one volley written flat, or `volleys`, on one target. */
export interface ChainForm {
  /** What is rolled afterwards. At most 10 of them. */
  aftermath?: AftermathForm[] | null;
  /** How many attack; default 1. From 0 to 10000. */
  attackers?: number | null;
  /** Attacks of each; default 1. */
  attacks?: AttacksForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Numbers of the steps that change with counters. At most 40 of them. */
  by_counter?: ByCounterForm[] | null;
  /**
   * Added to the target's counters, each by its name, for each success past all steps while something is left, even
   * one that does nothing.
   */
  counts?: Record<string, AmountForm | null> | null;
  /** Damage of each success; default 1. */
  damage?: AmountForm | null;
  /** What lets the attacks be made: rolled by each attacker, or once for all of them. */
  gate?: GateForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** The rolls of each attack, in order. At most 12 of them. */
  steps?: StepForm[] | null;
  /** What is attacked. */
  target: TargetForm;
  /** Several weapons, in order, in place of the seven above. At most 12 of them. */
  volleys?: VolleyForm[] | null;
}

/** A chance on its own. */
export interface Chance {
  /** From 0 to 1. From 0 to 1. */
  chance: number;
  /** The exact value in lowest terms, where it was worked out. */
  fraction?: string;
}

/**
 * A chance as a number or as a fraction.
 *
 * - A decimal.
 * - A fraction.
 */
export type ChanceForm = number | string;

/** Changed numbers of one step. */
export interface ChangeForm {
  /** Penetrate: in place of what is added, or added to that. */
  add?: ChangedNumber | null;
  /** Penetrate: in place of the armour, or added to it. */
  against?: ChangedNumber | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** In place of its modifier, or added to it. */
  modifier?: ChangedNumber | null;
  /** In place of what it needs, or added to its number; not of a roll that both sides make. */
  needs?: ChangedNeeds | null;
}

/**
 * Another need, or so much more.
 *
 * - In place of its own.
 * - Added to its number.
 */
export type ChangedNeeds = NeedsForm | PlusForm;

/**
 * Another number, or so much more.
 *
 * - In place of its own.
 * - Added to it.
 */
export type ChangedNumber = number | PlusForm;

/** A table of effects: the last row that the roll reaches counts. */
export interface ChartForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** The dice. */
  dice: DiceForm;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Added to them. From -1000 to 1000. */
  modifier?: number | null;
  /** Ascending. At most 100 of them. */
  rows: ChartRowForm[];
}

/** One row of a table of effects. */
export interface ChartRowForm {
  /** The result from which it counts. From -1000 to 20000. */
  at_least: number;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Added to the target's counters, each by its name. */
  counts?: Record<string, AmountForm | null> | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** In place of all this, where the unit has the status already. */
  repeated?: RepeatedForm | null;
  /** A lasting mark on the unit. */
  status?: string | null;
  /** More structure lost. */
  structure?: AmountForm | null;
  /** The unit is wrecked. */
  wrecked?: boolean | null;
}

/** A check of a unit. */
export interface CheckForm {
  /** The number that it was asked with. */
  asked?: number;
  /** What is asked of the person, such as a distance. */
  asks?: string;
  /** Why its numbers are what they are. */
  because: Because[];
  /** Its id. */
  id: string;
  /** Its name. */
  name: string;
  /** A request for `check`. */
  request: CheckRequest;
  /** What it says. */
  text: string;
}

/** What `/v1/check` takes in its query. */
export interface CheckLinkQuery {
  /** Reasons in an answer; whatever stands in their place in a request is not read. */
  because?: Notes;
  /** The dice. */
  dice: AmountForm;
  /** Show fractions in every row. */
  exact?: boolean;
  /** The best natural total always succeeds. */
  high_succeeds?: boolean;
  /** Which of several dice are summed: one of the two. */
  keep?: KeepForm;
  /** A name for readers in an answer; whatever stands in its place in a request is not read. */
  label?: Label;
  /** The worst natural total always fails. */
  low_fails?: boolean;
  /** Added to the total. From -1000 to 1000. */
  modifier?: number;
  /** One need for all tries, or a list with one for each. */
  needs?: NeedsList;
  /**
   * Which natural faces are rolled again, once: `worst`, the worst face, of several dice each die that shows it;
   * `failures`; `natural_failures`, what fails before the modifier; `successes`, as the opponent makes you;
   * `not_critical`, all that is no critical. All but `worst` go by the total and roll all the dice again.
   * `failures_and_grazes` is for a penetrate step only: totals not above the armour.
   */
  reroll?: RerollForm;
  /** A budget of re-rolled failures over all tries, in place of `reroll`. From 0 to 10000. */
  rerolls?: number;
  /** What a tie of an opposed check is worth. */
  ties?: CheckTies;
  /** How many tries; default 1. From 1 to 10000. */
  tries?: number;
  /** The other side of an opposed roll. */
  versus?: VersusForm;
}

/** What comes of a check. */
export interface CheckOutcome {
  /** All of them pass. */
  all: Chance;
  /** At least one does. */
  any: Chance;
  /** The chance that one try passes (the first, where they differ), without the budget of re-rolls. From 0 to 1. */
  chance: number;
  /** The same for each try, where they differ. */
  each?: TryChance[];
  /** When the first pass comes. */
  first_pass: FirstPass[];
  /** The same exactly. */
  fraction: string;
  /** None of them does. */
  none: Chance;
  /** How many tries pass. */
  passes: Summary;
  /** The final total, modifier included. */
  total: Summary;
}

/** A test alone and with another near. */
export interface CheckPair {
  /** The number that it was asked with. */
  asked?: number;
  /** Its name. */
  check: string;
  /** With the other near. */
  with: number;
  /** The chance that it passes alone. */
  without: number;
}

/** One roll, or several tries of it. */
export interface CheckRequest {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** The dice. */
  dice: AmountForm;
  /** Show fractions in every row. */
  exact?: boolean | null;
  /** The best natural total always succeeds. */
  high_succeeds?: boolean | null;
  /** Which of the dice are summed. */
  keep?: KeepForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** The worst natural total always fails. */
  low_fails?: boolean | null;
  /** Added to the total. From -1000 to 1000. */
  modifier?: number | null;
  /** What a try needs; a list has one for each try. */
  needs?: NeedsList | null;
  /** What is rolled again. */
  reroll?: RerollForm | null;
  /** A budget of re-rolled failures over all tries, in place of `reroll`. From 0 to 10000. */
  rerolls?: number | null;
  /** What a tie is worth; default `lose`. */
  ties?: CheckTies | null;
  /** How many tries; default 1. From 1 to 10000. */
  tries?: number | null;
  /** The other side of an opposed roll, in place of `needs`. */
  versus?: VersusForm | null;
}

/** A test of a unit. */
export interface CheckRow {
  /** The question. */
  ask?: BatchQuestion;
  /** The number that it was asked with. */
  asked?: number;
  /** What it is asked with. */
  asks?: string;
  /** Its name. */
  check: string;
  /** The chance that at least one fails of one in each turn of a game. */
  fails_once: number;
  /** The chance that it passes. */
  passes: number;
}

/** What a tie of an opposed check is worth. */
export type CheckTies = "win" | "lose" | "again";

/** What comes of one colour. */
export interface ColourOdds {
  /** At least one is. */
  any: Chance;
  /** How many of it are drawn. */
  drawn: Summary;
  /** The first token of all is of this colour. */
  first: Chance;
}

/** Another unit for the same points. */
export interface ComparatorRow {
  /** As people count it. */
  counted: string;
  /** Its models. */
  models: number;
  /** What it costs. */
  points: number;
  /** Its name. */
  unit: string;
  /** Its id. */
  unit_id: string;
  /** What it comes to. */
  worth: Worth;
}

/** The table, variant by variant and in each target by target. */
export interface CompareAnswer {
  /** Of matchups: what was left open, each thing once, and how it was taken. */
  defaults?: Stated[];
  /** Of `every`: units that cannot attack these targets, and why. */
  left_out?: LeftOut[];
  /** The rows. */
  rows: CompareRow[];
}

/** What `/v1/compare` takes in its query. */
export interface CompareLinkQuery {
  /** All units of a pack, each by itself, at its fewest models and without options. */
  every?: EveryUnit;
  /** Work in exact fractions and show them. */
  exact?: boolean;
  /** Beside `want`: the largest number to look at; default 60. From 1 to 10000. */
  most?: number;
  /**
   * At equal points, of matchups: of each unit as many models as these buy, in as many units as they make up. From 1
   * to 1000000.
   */
  points?: number;
  /** The board: every variant attacks each of these in place of a target of its own. At most 24 of them. */
  targets?: BoardTarget[];
  /** The attacks, each a chain or a matchup. At most 12 of them. */
  variants?: Variant[];
  /** `destroyed` with its chance, or one of the others with `chance` beside it. */
  want?: WantForm;
}

/** How two lists do against each other. */
export interface CompareListsAnswer {
  /** The first list against the second. */
  a: ListShowing;
  /** The second against the first. */
  b: ListShowing;
  /** Its content hash. */
  hash: string;
  /** How it was measured. */
  method: string;
  /** The pack that was used. */
  pack: string;
  /** What comes of it in a sentence. */
  sentence: string;
  /** Turns of a game. */
  turns: number;
}

/** What `/v1/compare-lists` takes in its query. */
export interface CompareListsLinkQuery {
  /** One list. */
  a: ListForm;
  /** The other. */
  b: ListForm;
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string;
}

/** Two lists of one pack. */
export interface CompareListsRequest {
  /** One list. */
  a: ListForm;
  /** The other. */
  b: ListForm;
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
}

/**
 * Attacks to compare, on targets of their own or each on every target of a board: as many of each as it says, as many
 * as so many points buy, or as many as a wanted chance takes.
 */
export interface CompareRequest {
  /** In their place: every unit of a pack. */
  every?: EveryUnit | null;
  /** Work in exact fractions and show them. */
  exact?: boolean | null;
  /** Beside `want`: the largest number to look at; default 60. From 1 to 10000. */
  most?: number | null;
  /**
   * At equal points, of matchups: of each unit as many models as these buy, in as many units as they make up. From 1
   * to 1000000.
   */
  points?: number | null;
  /** The board: every variant attacks each of these in place of a target of its own. At most 24 of them. */
  targets?: BoardTarget[] | null;
  /** The attacks, each a chain or a matchup. At most 12 of them. */
  variants?: Variant[] | null;
  /** Of each attack as many attackers (of a matchup: models) as this takes, and what they cost. */
  want?: WantForm | null;
}

/** One attack on one target. */
export interface CompareRow {
  /**
   * With `points` or `want`: how many attackers, of a matchup models. `null` where no number up to `most` reaches what
   * is wanted; the row then shows `most` of them.
   */
  attackers?: number | null;
  /** With `want`: the chance of that with so many. From 0 to 1. */
  chance?: number;
  /** Nothing is left. */
  destroyed: Chance;
  /** Of soldiers: points of health lost, on average. */
  health_lost?: number;
  /** Of soldiers: models removed, on average. */
  models?: number;
  /** What the variant costs, where it is known. */
  points?: number;
  /** Its points for each model, or each point of structure, that it removes on average; less is better. */
  points_each?: number;
  /** Of armour: points of structure lost, on average. */
  structure?: number;
  /** The label of the target. */
  target: string;
  /** The label of the variant. */
  variant: string;
  /** Of armour: units wrecked, on average. */
  wrecked?: number;
}

/** What a unit costs. */
export interface CostForm {
  /** Whether it is armour: its capacity is structure. */
  armoured: boolean;
  /** The question for `points`. */
  ask?: BatchQuestion;
  /** Structure, or the health of all its models. */
  capacity: number;
  /** The fewest models that it may have. */
  least_models?: number;
  /** The median cost of its book, each unit at its fewest models: of an even count the mean of the two in the middle. */
  median: number;
  /** The cost in the middle of its book, each unit at its fewest models: of two in the middle the higher. */
  middle: number;
  /** How many of this unit a list may hold. */
  most?: number;
  /** The most models that it may have. */
  most_models: number;
  /** Points with that many. */
  most_points: number;
  /** What its options cost. */
  options: OptionCost[];
  /** How many such units share a slot of the role. */
  per_slot: number;
  /** Points, options included. */
  points: number;
  /** Points for each point of structure or health. */
  points_each: number;
  /** Its role. */
  role: string;
  /** The most slots of the role that a list may fill. */
  slots?: number;
}

/** What people count of a unit. */
export type CountedForm = "models" | "units";

/**
 * A number that hits leave on a target, such as pins or fires. It belongs to the whole target and outlives a wreck;
 * while nothing of the target is left it does not change.
 */
export interface CounterForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** It goes no higher; default 20. From 1 to 1000. */
  most?: number | null;
  /** What players call it; unique on its target. */
  name: string;
  /** At the start; default 0. From 0 to 1000. */
  start?: number | null;
}

/** When a base counts as caught. */
export type CountsForm = "touched" | "centre" | "whole";

/** What a high natural face gives. */
export interface CriticalForm {
  /** Penetrate: added to the total, once. */
  add?: AmountForm | null;
  /** Succeeds whatever the total; default true. */
  always?: boolean | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Added to the damage of this success. */
  damage?: AmountForm | null;
  /** Further, ordinary successes: up to 10, dice allowed. */
  extra?: AmountForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** This natural face or better. Of a penetrate step: on any of its dice. From 0 to 10000. */
  on: number;
  /** Changed numbers of later steps, by name, for this success only. */
  then?: Record<string, ChangeForm | null> | null;
}

/** A game against one target. */
export interface DamageRow {
  /** The question. */
  ask?: BatchQuestion;
  /** The chance that nothing is left. */
  destroyed: number;
  /** Models or units left at the end on average. */
  left: number;
  /** That for each point that the unit costs; nothing where it is free. */
  per_point?: number;
  /** Points off the table at the end on average: the target's cost by the share of its models or units that are gone. */
  points: number;
  /** The range band. */
  range: string;
  /** The target's name. */
  target: string;
  /** The target as people count it. */
  target_counted: string;
  /** Its models. */
  target_models: number;
  /** What the target costs. */
  target_points: number;
}

/**
 * - From 0 to 10000.
 * - 1 to 100 dice of 2 to 100 sides, and up to 1000 added or taken off.
 */
export type DiceForm = number | string;

/** One distance of drift. */
export interface DistanceRow {
  /** The chance of this distance. */
  chance: number;
  /** How far the template drifts. */
  distance_mm: number;
  /** How many are caught on average then (of a hull: the chance that it is touched). */
  expected: number;
}

/** What `/v1/draw` takes in its query. */
export interface DrawLinkQuery {
  /** How many tokens of each colour; 1 to 1000 in all, of at most 50 colours. */
  contents: Record<string, number | null>;
  /** How many are drawn, unless the drawing ends before; all of them where it is left out. From 1 to 1000. */
  draws?: number;
  /** The drawing ends with the token that brings any of these colours to its number. */
  ends_on?: Record<string, number | null>;
  /** Work in exact fractions and show them in every row. */
  exact?: boolean;
  /** What is hoped for: the chance that all of these come together is answered. */
  wanted?: Record<string, number | null>;
}

/** What comes out of the bag. */
export interface DrawOutcome {
  /** For each colour, what comes of it. */
  colours: Record<string, ColourOdds>;
  /** How many tokens are drawn, the one that ends the drawing counted in. */
  drawn: Summary;
  /** With `ends_on`: the drawing was ended by a colour, not by the number of draws. */
  ended?: Chance;
  /** With `ends_on`: when. */
  ends?: EndRow[];
  /** With `wanted`: the chance of it. */
  wanted?: WantedOdds;
}

/** A bag, and how it is drawn from. */
export interface DrawRequest {
  /** How many tokens of each colour; 1 to 1000 in all, of at most 50 colours. */
  contents: Record<string, number | null>;
  /** How many are drawn, unless the drawing ends before; all of them where it is left out. From 1 to 1000. */
  draws?: number | null;
  /** The drawing ends with the token that brings any of these colours to its number. */
  ends_on?: Record<string, number | null> | null;
  /** Work in exact fractions and show them in every row. */
  exact?: boolean | null;
  /** What is hoped for: the chance that all of these come together is answered. */
  wanted?: Record<string, number | null> | null;
}

/** What `/v1/duel` takes in its query. */
export interface DuelLinkQuery {
  /** One side. */
  a: DuelSide;
  /** The other side. */
  b: DuelSide;
  /** Reasons in an answer; whatever stands in their place in a request is not read. */
  because?: Notes;
  /** Units: the text of a unit book to use beside the pack's own. */
  book?: string;
  /** Show fractions. */
  exact?: boolean;
  /**
   * Who goes first in every turn: side a, side b, both together, whoever wins a roll-off before the first turn, or
   * volleys by their order.
   */
  first?: FirstForm;
  /** A name for readers in an answer; whatever stands in its place in a request is not read. */
  label?: Label;
  /** Units: the pack's name, or the text of a pack file; the first pack where it is left out. */
  pack?: string;
  /** A situation over several turns; the pack's own flags stand beside these by their ids. */
  situation?: TurnsForm;
  /** How many turns; default 6. From 1 to 20. */
  turns?: number;
  /** Units: rules that act as if they were carried. At most 20 of them. */
  with?: string[];
  /** Units: rules that do not act. At most 20 of them. */
  without?: string[];
}

/** What comes of a duel. */
export interface DuelOutcome {
  /** Side a in the end. */
  a: SideOutcome;
  /** Side b in the end. */
  b: SideOutcome;
  /** Of units: whose points take more from the other for each of them; nothing where they are even. */
  better_spent?: OneSide;
  /** Of units: what the request left open, and how it was taken. */
  defaults?: Stated[];
  /** Of units: the plain duel that they come down to; posted to `duel` it gives the same numbers. */
  duel?: DuelRequest;
  /** Neither side can hurt the other at all. */
  harmless?: boolean;
  /** Of units: its content hash. */
  hash?: string;
  /** Both are still standing after the last turn. */
  never_settled: Chance;
  /** Of units: the pack that was used. */
  pack?: string;
  /** The chances by the end of each turn. */
  turns: DuelTurnRow[];
}

/** Cost and effect in points. */
export interface DuelPoints {
  /** What the unit costs. */
  cost: number;
  /** That for each point of its own; nothing where it costs none. */
  per_point?: number;
  /** The mean of what is gone of the other side in the end: its cost, by the share of its models or units. */
  removed: number;
}

/** Two sides that attack each other turn by turn: two units of a book, or plain numbers. */
export interface DuelRequest {
  /** One side. */
  a: DuelSide;
  /** The other side. */
  b: DuelSide;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Units: the text of a unit book to use beside the pack's own. */
  book?: string | null;
  /** Show fractions. */
  exact?: boolean | null;
  /** Who goes first; default `a`. */
  first?: FirstForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Units: the pack's name, or the text of a pack file; the first pack where it is left out. */
  pack?: string | null;
  /** Units: what the table adds, for both sides; each of it once for all turns, or in a list turn by turn. */
  situation?: TurnsForm | null;
  /** How many turns; default 6. From 1 to 20. */
  turns?: number | null;
  /** Units: rules that act as if they were carried. At most 20 of them. */
  with?: string[] | null;
  /** Units: rules that do not act. At most 20 of them. */
  without?: string[] | null;
}

/** One side of a duel: a unit of a book, or a target of plain numbers with its attack and its repair. */
export interface DuelSide {
  /** Plain: its attack; a side without one just stands there. */
  attack?: AttackForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Unit: points of structure or health that its first model misses. From 0 to 1000. */
  hurt?: number | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Unit: what is left of it, in place of `hurt`: models of a unit of several soldiers, else points. From 1 to 1000. */
  left?: number | null;
  /** Unit: how many models; its fewest where it is left out. From 1 to 1000. */
  models?: number | null;
  /** Unit: units of its side that stand near it. At most 20 of them. */
  near?: string[] | null;
  /** Unit: its options, such as `signal mast` or `2 long rifles`. At most 40 of them. */
  options?: string[] | null;
  /** Plain: what mends its hurt model or unit at the start of its turn. */
  repair?: MendForm | null;
  /** Plain: what it takes off its counters at the start of its turn; one, or a list in order. */
  sheds?: ShedsForm | null;
  /**
   * Unit: how this side stands, laid over the situation of both: the arc that it shows, the cover that it is behind,
   * whether it moves, and the pack's flags for its own attack.
   */
  situation?: TurnsForm | null;
  /** Unit: marks that it bears. At most 20 of them. */
  statuses?: string[] | null;
  /** Plain: what the other side attacks. */
  target?: TargetForm | null;
  /** The unit's name. */
  unit?: string | null;
  /** Unit: the weapons that it uses; in each turn all that can be used where it is left out. At most 12 of them. */
  weapons?: string[] | null;
}

/** The end of a turn. */
export interface DuelTurnRow {
  /** The chance that nothing is left of side a. */
  a_destroyed: number;
  /** The chance that nothing is left of side b. */
  b_destroyed: number;
  /** The chance that something is left of both. */
  both_standing: number;
  /** Which turn, from 1. */
  turn: number;
}

/**
 * The same in all turns, or a list: one for each turn, the last one going on.
 *
 * - A distance.
 * - A band.
 * - Turn by turn.
 */
export type EachTurn_RangeForm = number | string | (number | string)[];

/**
 * The same in all turns, or a list: one for each turn, the last one going on.
 *
 * - Turn by turn.
 */
export type EachTurn_String = string | string[];

/**
 * The same in all turns, or a list: one for each turn, the last one going on.
 *
 * - Turn by turn.
 */
export type EachTurn_bool = boolean | boolean[];

/** What comes of one effect afterwards. */
export interface EffectOdds {
  /** What comes of the attack that comes with it: by itself, given that the effect happens. */
  answer?: OddsAnswer;
  /** From 0 to 1. From 0 to 1. */
  chance: number;
  /** The exact value in lowest terms, where it was worked out. */
  fraction?: string;
}

/** Whether a colour ends the drawing with one draw. */
export interface EndRow {
  /** With this draw or before. */
  by: number;
  /** With this draw. */
  chance: number;
  /** Which draw, from 1. */
  draw: number;
}

/** One of several mistakes. */
export interface Entry extends Place {
  /** What is wrong and what to do about it. */
  detail: string;
  /** The closest names, best first, where a name was not found. */
  did_you_mean?: string[];
  /** RFC 6901 pointer to the field at fault; empty for the whole request. */
  pointer: string;
  /** Path of the page about this kind of problem. */
  type: string;
}

/** What a total equal to the armour is. */
export type EqualForm = "graze" | "breach";

/** All units of a pack, each by itself, at its fewest models and without options. */
export interface EveryUnit {
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
  /** What the table adds. */
  situation?: SituationForm | null;
}

/** One face by itself. */
export interface FairFace {
  /**
   * The chance that this face comes up a number of times that is at most as likely. It is the least of as many as the
   * die has sides, so some face often looks like this. From 0 to 1.
   */
  chance: number;
  /** How often it was to be expected. */
  expected: number;
  /** Which face. */
  face: number;
  /** How often it came up. */
  seen: number;
}

/** What `/v1/fair` takes in its query. */
export interface FairLinkQuery {
  /** Changes nothing: the answer is as exact as it gets. */
  exact?: boolean;
  /** How often each face came up, by its number; a face that is not named did not. At most 1000000 throws in all. */
  faces: Record<string, number | null>;
  /** Sides of the die; default 6. From 2 to 100. */
  sides?: number;
  /** How much each face weighs, where they are not meant to come alike: a whole number from 1 for every face. */
  weights?: Record<string, number | null>;
}

/** How the chance was found. */
export type FairMethod = "exact" | "chi_square";

/** What the counts say about the die. */
export interface FairOutcome {
  /**
   * The chance that a fair die brings counts at most as likely as these. The fraction stands beside it where it was
   * worked out, and is short enough.
   */
  chance: Chance;
  /** Pearson's statistic: the squares of what each face is off, each over what was expected of it. */
  chi_square: number;
  /** One less than the sides. */
  degrees: number;
  /** The face whose number is the most surprising of all. */
  face: FairFace;
  /** How the chance was found. */
  method: FairMethod;
  /** The same in words. */
  sentence: string;
  /** Sides of the die. */
  sides: number;
  /** All the throws. */
  throws: number;
  /**
   * The fewest throws at which a chi-square test at 5% finds a die of these shares, less what chance adds to them, in
   * 95% of series. `null` where chance alone makes such shares. At least 1.
   */
  throws_needed?: number | null;
}

/** A die, and how often each of its faces came up. */
export interface FairRequest {
  /** Changes nothing: the answer is as exact as it gets. */
  exact?: boolean | null;
  /** How often each face came up, by its number; a face that is not named did not. At most 1000000 throws in all. */
  faces: Record<string, number | null>;
  /** Sides of the die; default 6. From 2 to 100. */
  sides?: number | null;
  /** How much each face weighs, where they are not meant to come alike: a whole number from 1 for every face. */
  weights?: Record<string, number | null> | null;
}

/** One thing that is wrong. */
export interface FaultForm {
  /** In a spreadsheet, the cell, such as `Weapons!D7`; line and column are its row and column. */
  cell?: string;
  /** The character in that line, from 1. */
  column: number;
  /** The file. */
  file: string;
  /** The line, from 1. */
  line: number;
  /** What is wrong. */
  message: string;
  /** What would mend it, where that is known. */
  suggestion?: string;
  /** Whether the file can be used all the same. */
  warning: boolean;
  /** The words at fault. */
  words: string;
}

/**
 * Who goes first in every turn: side a, side b, both together, whoever wins a roll-off before the first turn, or
 * volleys by their order.
 */
export type FirstForm = "a" | "b" | "roll" | "together" | "order";

/** The chance that the first pass comes on one try. */
export interface FirstPass {
  /** On this try or before. */
  by: number;
  /** On this try. */
  chance: number;
  /** Which try, from 1. */
  try: number;
}

/** Against whom, without and with. */
export interface ForWhat {
  /** The target or the attacker as people count it. */
  whom: string;
  /** With. */
  with: number;
  /** Points destroyed in a game, or turns survived, without. */
  without: number;
}

/** Bases in ranks: the first at 0,0, x along a rank, y to the next. */
export interface FormationForm {
  /** Diameter of each base in millimetres. From 0 to 10000. */
  base_mm: number;
  /** How many to a rank. From 1 to 400. */
  files: number;
  /** From edge to edge in millimetres. From 0 to 10000. */
  gap_mm: number;
  /** How many. From 1 to 400. */
  models: number;
}

/** How models stand side by side. */
export interface FormationHead {
  /** The diameter of a base, in millimetres. */
  base_mm: number;
  /** How many stand side by side. */
  files: number;
  /** The gap from edge to edge, in millimetres. */
  gap_mm: number;
}

/** What lets the attacks be made: a roll like that of a check. Attackers that fail it make no attacks. */
export interface GateForm {
  /** What a low natural total costs the attacker, whether it passes or not; saved with the gate's own dice. */
  backfire?: BackfireForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** The dice; default 1d6. */
  dice?: AmountForm | null;
  /** The best natural total always succeeds. */
  high_succeeds?: boolean | null;
  /** Which of the dice are summed. */
  keep?: KeepForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** The worst natural total always fails. */
  low_fails?: boolean | null;
  /** Added to the total. From -1000 to 1000. */
  modifier?: number | null;
  /** What it needs. */
  needs?: NeedsForm | null;
  /** Rolled by each `attacker` (default) or once for the whole `volley`. */
  per?: GatePer | null;
  /** What is rolled again. */
  reroll?: RerollForm | null;
  /** Who wins a tie; default `defender`. */
  ties?: StepTies | null;
  /** The other side of an opposed roll, in place of `needs`. */
  versus?: VersusForm | null;
}

/** Who rolls a gate. */
export type GatePer = "attacker" | "volley";

export interface GivenRow {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  at_least?: number | null;
  /** A decimal, read as that decimal. From 0 to 1. */
  chance?: number | null;
  /** The exact chance; wins over `chance`. */
  fraction?: string | null;
  /** From 0 to 10000. */
  value: number;
}

/** What a graze does. */
export interface GrazeForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Added to the target's counters, each by its name, where it takes effect. */
  counts?: Record<string, AmountForm | null> | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Structure lost; default 0. */
  structure?: AmountForm | null;
}

/** Models that are alike. */
export interface GroupForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Health of each; default 1. From 1 to 1000. */
  health?: number | null;
  /** A last roll against damage. */
  ignore?: IgnoreForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** How many. From 1 to 1000. */
  models: number;
  /** Replaced numbers of the steps while this group is hit. */
  then?: Record<string, ChangeForm | null> | null;
}

/** A line that was taken as a heading. */
export interface HeadingForm {
  /** Its number. */
  line: number;
  /** What it says. */
  text: string;
}

/** A rectangular hull about 0,0. */
export interface HullForm {
  /** Along x, in millimetres. From 0 to 10000. */
  length_mm: number;
  /** Along y, in millimetres. From 0 to 10000. */
  width_mm: number;
}

/** Where a hull stands and where it looks. */
export interface HullPlace {
  /** Degrees clockwise from up the table. From -360 to 360. */
  heading?: number | null;
  /** To the right. From -100000 to 100000. */
  x: number;
  /** Up the table. From -100000 to 100000. */
  y: number;
}

/** The numbers of one side of a hull, seen from above. */
export interface HullSide {
  /** The arc. */
  arc: string;
  /** Where it begins: degrees clockwise from straight ahead. */
  from: number;
  /** Where it ends; beyond 180 where it goes round the back. */
  to: number;
  /** The stats that differ by side: name and value. */
  values: string[][];
}

/** An attacker that is sent nowhere. */
export interface IdleRow {
  /** Its place in the list, from 0. */
  attacker: number;
  /** Why. */
  reason: string;
}

/** A last roll against damage. */
export interface IgnoreForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Sides of its die; default 6. From 2 to 100. */
  die?: number | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Added to it. From -1000 to 1000. */
  modifier?: number | null;
  /** What it needs. */
  needs: NeedsForm;
  /** Once for each `point` (default) or once for the whole `packet`. */
  per?: Per | null;
}

/** Which of several dice are summed: one of the two. */
export interface KeepForm {
  /** The highest so many. From 1 to 100. */
  highest?: number | null;
  /** The lowest so many. From 1 to 100. */
  lowest?: number | null;
}

/** The kind of a step. */
export type KindForm = "roll" | "penetrate" | "table";

/** A name for readers in an answer; whatever stands in its place in a request is not read. */
export type Label = unknown;

/** A pack that another is built on. */
export interface LayerForm {
  /** Its id. */
  id: string;
  /** Its name. */
  name: string;
}

/** A unit that cannot be compared. */
export interface LeftOut {
  /** Its name. */
  name: string;
  /** Its id. */
  unit: string;
  /** Why. */
  why: string;
}

/**
 * One line of a list.
 *
 * - As people write it: `3x Heron Carriage + signal mast`.
 * - Taken apart.
 */
export type LineForm = string | LineParts;

/** A line taken apart. */
export interface LineParts {
  /** How many such units; default 1. From 1 to 1000. */
  count?: number | null;
  /** Models of each; the unit's fewest where it is left out. From 1 to 1000. */
  models?: number | null;
  /** The options of each, such as `signal mast` or `2 long rifles`. At most 40 of them. */
  options?: string[] | null;
  /** The unit's name. */
  unit: string;
}

/** A line with its sum. */
export interface LineSum {
  /** One unit without options. */
  base: number;
  /** How many such units. */
  count: number;
  /** Its number: in a text that of its line, else its place in `lines`, from 1. */
  line: number;
  /** Models of each. */
  models: number;
  /** Its name. */
  name: string;
  /** The options of one unit. */
  options: OptionSum[];
  /** All of the line. */
  points: number;
  /** The unit's id. */
  unit: string;
}

/** What a list comes to. */
export interface ListAnswer {
  /** Single additions that the points left pay for and that break no limit that holds now, dearest first; 30 at most. */
  buys: BuyForm[];
  /** Its content hash. */
  hash: string;
  /** Lines that were taken as headings, titles or remarks: they cost nothing. */
  headings?: HeadingForm[];
  /** What is left of it; below 0 where the list is over it. */
  left: number;
  /** Whether no limit is broken, every line was understood, and points written behind a name are what it costs. */
  legal: boolean;
  /** The points limit. */
  limit: number;
  /** Each line that was understood, with its sum. */
  lines: LineSum[];
  /** The pack that was used. */
  pack: string;
  /** Every broken limit, and everything that was not understood. */
  problems: ListProblem[];
  /** What the list holds of each role. */
  roles: RoleSum[];
  /** All of it. */
  total: number;
  /** In how many ways units at their fewest models add up to exactly the points left, limits aside. */
  ways: number;
}

/** A list: its lines, or the whole of it as pasted. */
export interface ListForm {
  /** What it is called in the answer. */
  label?: string | null;
  /** Its lines: as people write them, or taken apart. At most 60 of them. */
  lines?: LineForm[] | null;
  /** The whole list as pasted, in place of `lines`. */
  text?: string | null;
}

/** What `/v1/list-points` takes in its query. */
export interface ListPointsLinkQuery {
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /** The points limit; the pack's usual one where it is left out. From 0 to 1000000. */
  limit?: number;
  /** Its lines: as people write them, or taken apart. At most 500 of them. */
  lines?: LineForm[];
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string;
  /** The whole list as pasted, in place of `lines`; a line `1500 points` is its limit. */
  text?: string;
}

/** A broken limit, or a line that was not understood. */
export interface ListProblem {
  /** What sort of problem. */
  code: string;
  /** The line at fault, numbered as in `lines`; nothing where the whole list is. */
  line?: number;
  /** What would mend it. */
  mend: string;
  /** What is wrong. */
  text: string;
}

/** A list of units. */
export interface ListRequest {
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /** The points limit; the pack's usual one where it is left out. From 0 to 1000000. */
  limit?: number | null;
  /** Its lines: as people write them, or taken apart. At most 500 of them. */
  lines?: LineForm[] | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
  /** The whole list as pasted, in place of `lines`; a line `1500 points` is its limit. */
  text?: string | null;
}

/** Equal units of a list. */
export interface ListRow {
  /** Of each row of the other list, the points that they would take from such units alone in a game. */
  from: number[];
  /** As a line of a list. */
  name: string;
  /** What all of them cost. */
  points: number;
  /** Turns that one of them survives, on average; at most those of a game. */
  survives: number;
  /** Points that all of them take in a game. */
  takes: number;
}

/** How a list does against the other one. */
export interface ListShowing {
  /** What it is called. */
  label: string;
  /**
   * Units of the other list that all of this one, attacking nothing else for the whole game, would not destroy on
   * average.
   */
  no_answer: NoAnswer[];
  /** What it costs. */
  points: number;
  /** Its rows, equal units in one. */
  rows: ListRow[];
  /** These as a share of what the other list costs. */
  share: number;
  /** Points that it takes in a game where there is always more to hit: they may be more than the other list costs. */
  takes: number;
}

/**
 * How unusual a result was; of a log, each result by itself and all of them together.
 *
 * - Of one result.
 * - Of a log.
 */
export type LuckAnswer = LuckOutcome | LuckLog;

/** One result of an evening: one of `chain`, `matchup`, `check`, `repair` and `duel`, and what came of it. */
export interface LuckEntry {
  /** An attack from plain numbers. */
  chain?: ChainForm | null;
  /** One roll or several. */
  check?: CheckRequest | null;
  /** Two sides turn by turn; what is left is counted after the last turn. */
  duel?: DuelRequest | null;
  /** An attack of one unit on another. */
  matchup?: MatchupRequest | null;
  /** A repair; what is counted is counted at the end of its last turn. */
  repair?: RepairRequest | null;
  /** What came of it: one quantity of the answer that it would have. */
  result: ResultForm;
  /** Whose dice they were; default `us`. */
  side?: SideForm | null;
}

/** What `/v1/luck` takes in its query. */
export interface LuckLinkQuery {
  /** A chain: one volley written flat, or `volleys`, on one target. */
  chain?: ChainForm;
  /** One roll, or several tries of it. */
  check?: CheckRequest;
  /** Two sides that attack each other turn by turn: two units of a book, or plain numbers. */
  duel?: DuelRequest;
  /** Work in exact fractions and show them. */
  exact?: boolean;
  /** In place of all these: a whole evening, one entry after the other. At most 200 of them. */
  log?: LuckEntry[];
  /** This unit, so many, against that one, from that arc, at that range. */
  matchup?: MatchupRequest;
  /** A unit that is damaged and repaired, turn by turn. */
  repair?: RepairRequest;
  /** One quantity and its value. */
  result?: ResultForm;
  /** Whose dice they were. */
  side?: SideForm;
}

/** An evening. */
export interface LuckLog {
  /** Each entry by itself, in the order of the log. */
  entries: LuckOutcome[];
  /**
   * For each quantity and each side all results of it together, in the order in which they first come up. `total` and
   * `missing` are no counts and are not added up.
   */
  sums: LuckSum[];
}

/** How unusual it was. */
export interface LuckOutcome {
  /** Of this or more. */
  at_least: Chance;
  /** Of this or less. */
  at_most: Chance;
  /** Of a matchup: what was left open, and how it was taken. */
  defaults?: Stated[];
  /** The chance of exactly this. */
  exactly: Chance;
  /** What was to be expected, in the mean. */
  expected: number;
  /** The same in words. */
  sentence: string;
}

/** One of `chain`, `matchup`, `check`, `repair` and `duel`, and what came of it on the table; or a `log` of these. */
export interface LuckRequest {
  /** An attack from plain numbers. */
  chain?: ChainForm | null;
  /** One roll or several. */
  check?: CheckRequest | null;
  /** Two sides turn by turn; what is left is counted after the last turn. */
  duel?: DuelRequest | null;
  /** Work in exact fractions and show them. */
  exact?: boolean | null;
  /** In place of all these: a whole evening, one entry after the other. At most 200 of them. */
  log?: LuckEntry[] | null;
  /** An attack of one unit on another. */
  matchup?: MatchupRequest | null;
  /** A repair; what is counted is counted at the end of its last turn. */
  repair?: RepairRequest | null;
  /** What came of it: one quantity of the answer that it would have. */
  result?: ResultForm | null;
  /** Whose dice they were, for the words of the answer; default `us`. */
  side?: SideForm | null;
}

/** Results that count the same thing, added up. */
export interface LuckSum {
  /** Of this or more. */
  at_least: Chance;
  /** Of this or less. */
  at_most: Chance;
  /** The standard deviation. */
  deviation: number;
  /** How many entries it is of. */
  entries: number;
  /** The chance of exactly this. */
  exactly: Chance;
  /** What was to be expected, in the mean. */
  expected: number;
  /** What is counted, as `result` calls it. */
  result: string;
  /** The same in words. */
  sentence: string;
  /** Whose dice they were. */
  side: SideForm;
  /** What came of them all. */
  value: number;
}

/** What a winning difference gives. */
export interface MarginForm {
  /** The difference from which it counts. From 0 to 10000. */
  at_least: number;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Added to the damage of this success. */
  damage?: AmountForm | null;
  /** Further, ordinary successes. */
  extra?: AmountForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Changed numbers of later steps. */
  then?: Record<string, ChangeForm | null> | null;
}

/** What a matchup comes to: the answer of its chain, and why. */
export interface MatchupAnswer extends OddsAnswer {
  /** All reasons in a row. */
  because: MatchupBecause[];
  /** The plain numbers, with the reasons beside them; posted to `odds` they give the same. */
  chain: ChainForm;
  /** What the request left open, and how it was taken. */
  defaults: Stated[];
  /** Its content hash. */
  hash: string;
  /** The pack that was used. */
  pack: string;
  /** Cost and effect in points. */
  points: MatchupPoints;
  /** What became of the rules. */
  rules: RuleNotes;
  /** Weapons that are not used, and why. */
  unused_weapons: UnusedWeapon[];
}

/** Why one number of the chain is what it is. */
export interface MatchupBecause {
  /** What it did, from the value before to the value after. */
  effect: string;
  /** The rule, chart or step that decided. */
  rule: string;
  /** The step, where it speaks of one. */
  step?: string;
  /** What it says. */
  text: string;
  /** The volley, from 0, where it speaks of one. */
  volley?: number;
}

/** What `/v1/matchup` takes in its query. */
export interface MatchupLinkQuery {
  /** Who attacks. */
  attacker: StandingForm;
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /** Work in exact fractions and show them in every row. */
  exact?: boolean;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string;
  /** Show how many came past each step. */
  passed?: boolean;
  /** What the table adds; the pack's own flags stand beside these by their ids. */
  situation?: SituationForm;
  /** Who is attacked. */
  target: StandingForm;
  /** Rules that act as if they were carried. At most 20 of them. */
  with?: string[];
  /** Rules that do not act. At most 20 of them. */
  without?: string[];
}

/** Cost and effect in points. */
export interface MatchupPoints {
  /** What the attacker costs. */
  cost: number;
  /** That for each point of the attacker's; nothing where it costs none. */
  per_point?: number;
  /** The mean of what is destroyed: of the whole unit's points the share of its models or structure. */
  removed: number;
  /** What stands of the target costs: of a unit's points the share of the models, or of the structure, that is left. */
  target: number;
}

/** This unit, so many, against that one, from that arc, at that range. */
export interface MatchupRequest {
  /** Who attacks. */
  attacker: StandingForm;
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /** Work in exact fractions and show them in every row. */
  exact?: boolean | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
  /** Show how many came past each step. */
  passed?: boolean | null;
  /** What the table adds. */
  situation?: SituationForm | null;
  /** Who is attacked. */
  target: StandingForm;
  /** Rules that act as if they were carried. At most 20 of them. */
  with?: string[] | null;
  /** Rules that do not act. At most 20 of them. */
  without?: string[] | null;
}

/** A mean over the board. */
export interface MeanRow {
  /** The range band or the arc. */
  at: string;
  /** Points destroyed in one turn on average; a target that it cannot attack counts as none. */
  points: number;
}

/** What mends, as in a repair. */
export interface MendForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Sides of its die; default 6. From 2 to 100. */
  die?: number | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Added to it. From -1000 to 1000. */
  modifier?: number | null;
  /** What a repair roll needs. */
  needs: NeedsForm;
  /** What is rolled again. */
  reroll?: RerollForm | null;
  /** What a success restores. */
  restores?: AmountForm | null;
  /** How often a turn rolls. */
  rolls?: RollsForm | null;
}

/** A repair alone and with another near. */
export interface MendPair {
  /** The question for what is near. */
  ask?: BatchQuestion;
  /** The question for what is alone. */
  ask_without?: BatchQuestion;
  /** With the other near. */
  chance_with: number;
  /** The chance of one roll alone. */
  chance_without: number;
  /** With the other near. */
  restored_with: number;
  /** Points back over a game on average, alone. */
  restored_without: number;
}

/** A unit's repair. */
export interface MendRow {
  /** That at least one point is back at the end of a game without further harm. */
  any_restored: number;
  /** The question. */
  ask?: BatchQuestion;
  /** Points when whole. */
  capacity: number;
  /** The chance of one roll. */
  chance: number;
  /** Points missing at the start of what follows: half of them, at least one. */
  missing: number;
  /** Points back by then on average. */
  restored: number;
  /** The rule that grants it. */
  rule: string;
}

/** One mistake. */
export interface Mistake {
  /** What is wrong and what to do, in words. */
  detail: string;
  /** The closest names, best first, where a name was not found. */
  did_you_mean?: string[];
  /** Its sort. */
  kind: MistakeKind;
  /** RFC 6901 pointer to the field at fault; empty for the whole request. */
  pointer: string;
}

/** What sort of mistake it is; the service gives each its status and its documentation page. */
export type MistakeKind = "broken-json" | "bad-value" | "unknown-field" | "missing-field" | "unknown-name" | "pack-gone" | "too-much-work";

/** Models of a unit that are unlike the others. */
export interface ModelGroupForm {
  /** Their id. */
  id: string;
  /** How many there are. */
  models: number;
  /** Their name. */
  name: string;
  /** The stats that they have of their own. */
  profile: StatForm[];
}

/** How few and how many models. */
export interface ModelsForm {
  /** The fewest. */
  least: number;
  /** The most. */
  most: number;
  /** Those looked at. */
  now: number;
}

/** A name. */
export interface NameForm {
  /** Further words for it. */
  also?: string[];
  /** As requests have it. */
  id: string;
  /** As people read it. */
  name: string;
  /** Whether it stands where nobody says. */
  usual?: boolean;
}

/** A pack, as any other request names it or brings it. */
export interface NamesRequest {
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
}

/** The smallest number that reaches it, and its neighbourhood. */
export interface NeededAnswer {
  /**
   * How many attackers (of a matchup: models of the attacker, in whole units where people count whole units that
   * always have the same models); `null` where no number up to `most` reaches it.
   */
  attackers?: number | null;
  /** One fewer, or one whole unit fewer, which does not reach it. */
  below?: NeededRow;
  /** The chance with so many. From 0 to 1. */
  chance?: number;
  /** Of a matchup: what was left open, and how it was taken. */
  defaults?: Stated[];
  /** The same exactly, on request. */
  fraction?: string;
  /** No number of attackers can take anything from the target, however large. */
  harmless?: boolean;
  /** Where no number up to `most` reaches it: the chance with the largest that was looked at. */
  limit?: NeededRow;
  /**
   * Of a matchup: the most models of the attacker that a list may hold, where the pack limits them; numbers above it
   * are answered all the same.
   */
  list_most?: number;
  /** Why there are no fractions although they were asked for. */
  no_fractions?: string;
  /** What so many cost, where the costs are known. */
  points?: number;
  /** The numbers around it; where none up to `most` reaches it, numbers from small to large. */
  table: NeededRow[];
  /** Of a check: how many tries; `null` where no number up to `most` reaches it. */
  tries?: number | null;
}

/** What `/v1/needed` takes in its query. */
export interface NeededLinkQuery {
  /** A chain: one volley written flat, or `volleys`, on one target. */
  chain?: ChainForm;
  /** One roll, or several tries of it. */
  check?: CheckRequest;
  /** Show fractions, where the numbers that are needed leave them at a length that can be worked out in time. */
  exact?: boolean;
  /** This unit, so many, against that one, from that arc, at that range. */
  matchup?: MatchupRequest;
  /**
   * The largest number to look at; default 10000. A smaller one makes the question cheaper; where a search up to 10000
   * would cost too much (several weapons, many states), the default is as many as can be looked at in time, and
   * `limit` says how many that were. From 1 to 10000.
   */
  most?: number;
  /** What is wanted, and how likely. */
  want: WantForm;
}

/** One of `chain`, `matchup` and `check`, and what is wanted of it. */
export interface NeededRequest {
  /** An attack from plain numbers; its `attackers` are not read, in no volley. */
  chain?: ChainForm | null;
  /** A roll; its `tries` are what is looked for. */
  check?: CheckRequest | null;
  /** Show fractions, where the numbers that are needed leave them at a length that can be worked out in time. */
  exact?: boolean | null;
  /** An attack of one unit on another; the attacker's `models` are what is looked for. */
  matchup?: MatchupRequest | null;
  /**
   * The largest number to look at; default 10000. A smaller one makes the question cheaper; where a search up to 10000
   * would cost too much (several weapons, many states), the default is as many as can be looked at in time, and
   * `limit` says how many that were. From 1 to 10000.
   */
  most?: number | null;
  /** What is wanted, and how likely. */
  want: WantForm;
}

/** A number and its chance. */
export interface NeededRow {
  /** So many attackers. */
  attackers?: number;
  /** Their chance. From 0 to 1. */
  chance: number;
  /** The same exactly, on request. */
  fraction?: string;
  /** What so many cost, where the costs are known. */
  points?: number;
  /** So many tries. */
  tries?: number;
}

/** `t+` (at least), `t-` (at most) with t from 1 to 10000, `auto` or `never`. */
export type NeedsForm = string;

/**
 * One need for all tries, or a list with one for each.
 *
 * - The same for all.
 * - One for each try.
 */
export type NeedsList = NeedsForm | NeedsForm[];

/** Something that a list has no answer to. */
export interface NoAnswer {
  /** The unit, as a line of a list. */
  name: string;
  /** How much of one of them the whole list removes in a turn, on average; 0 where nobody can hurt it. */
  removed: number;
}

/** Reasons in an answer; whatever stands in their place in a request is not read. */
export type Notes = unknown;

/** What comes of a chain. */
export interface OddsAnswer {
  /**
   * The chance of each effect afterwards: that enough was lost, its roll succeeded, and something of the target is
   * left (unless the effect says `even_destroyed`).
   */
  aftermath?: Record<string, EffectOdds>;
  /** Attacks that are made: those behind a gate that was not passed are not. */
  attacks: Summary;
  /** Backfires that were not saved, where a step or a gate can backfire. */
  backfires?: Summary;
  /** The value of each counter of the target in the end. */
  counters?: Record<string, Summary>;
  /** Nothing is left. */
  destroyed: Chance;
  /** The chance that each effect of the target's thresholds holds in the end. */
  effects?: Record<string, Chance>;
  /** Of one volley that has a gate: the chance that one roll of it passes. */
  gate?: Chance;
  /** Soldiers: points of health removed. */
  health_lost?: Summary;
  /** Soldiers: models removed. */
  models?: Summary;
  /** Armour: for each status, the chance that at least one unit bore it, from the start or after a hit, wrecked or not. */
  statuses?: Record<string, Chance>;
  /** Each step of each volley. */
  steps: StepOdds[];
  /** Armour: points of structure lost; a wreck counts all it had. */
  structure?: Summary;
  /** Successes past all steps. */
  through: Summary;
  /** Where there is a gate: each volley, in order, with its own. */
  volleys?: VolleyOdds[];
  /** Armour: units wrecked. */
  wrecked?: Summary;
}

/** What `/v1/odds` takes in its query. */
export interface OddsLinkQuery {
  /** What is rolled afterwards. At most 10 of them. */
  aftermath?: AftermathForm[];
  /** How many attack; default 1. From 0 to 10000. */
  attackers?: number;
  attacks?: AttacksForm;
  /** Reasons in an answer; whatever stands in their place in a request is not read. */
  because?: Notes;
  /** Numbers of the steps that change with counters. At most 40 of them. */
  by_counter?: ByCounterForm[];
  /**
   * Added to the target's counters, each by its name, for each success past all steps while something is left, even
   * one that does nothing.
   */
  counts?: Record<string, AmountForm | null>;
  damage?: AmountForm;
  /** Work in exact fractions and show them in every row. */
  exact?: boolean;
  /** What lets the attacks be made: a roll like that of a check. Attackers that fail it make no attacks. */
  gate?: GateForm;
  /** A name for readers in an answer; whatever stands in its place in a request is not read. */
  label?: Label;
  /** Show how many came past each step. */
  passed?: boolean;
  /** The rolls of each attack, in order. At most 12 of them. */
  steps?: StepForm[];
  /** What is attacked. */
  target: TargetForm;
  /** Several weapons, in order, in place of the seven above. At most 12 of them. */
  volleys?: VolleyForm[];
}

/** What an attack does to a target, from plain numbers. */
export interface OddsRequest {
  /** What is rolled afterwards. At most 10 of them. */
  aftermath?: AftermathForm[] | null;
  /** How many attack; default 1. From 0 to 10000. */
  attackers?: number | null;
  /** Attacks of each; default 1. */
  attacks?: AttacksForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Numbers of the steps that change with counters. At most 40 of them. */
  by_counter?: ByCounterForm[] | null;
  /**
   * Added to the target's counters, each by its name, for each success past all steps while something is left, even
   * one that does nothing.
   */
  counts?: Record<string, AmountForm | null> | null;
  /** Damage of each success; default 1. */
  damage?: AmountForm | null;
  /** Work in exact fractions and show them in every row. */
  exact?: boolean | null;
  /** What lets the attacks be made: rolled by each attacker, or once for all of them. */
  gate?: GateForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Show how many came past each step. */
  passed?: boolean | null;
  /** The rolls of each attack, in order. At most 12 of them. */
  steps?: StepForm[] | null;
  /** What is attacked. */
  target: TargetForm;
  /** Several weapons, in order, in place of the seven above. At most 12 of them. */
  volleys?: VolleyForm[] | null;
}

/** One of the two sides. */
export type OneSide = "a" | "b";

/** What an option costs. */
export interface OptionCost {
  /** Its name. */
  option: string;
  /** What taking it once adds to this unit. */
  points: number;
}

/** An option of a unit. */
export interface OptionForm {
  /** Options that can't be taken with it. */
  excludes?: string[];
  /** Its id. */
  id: string;
  /** The option that it is part of. */
  inside?: string;
  /** How often it may be taken by the models looked at. */
  most: number;
  /** Its name. */
  name: string;
  /** What that is paid for: the unit, each model or each weapon. */
  per: string;
  /** What it costs. */
  points: number;
  /** Weapons that go for it. */
  replaces?: string[];
  /** Options that must be taken with it. */
  requires?: string[];
  /** Rules that it brings. */
  rules?: string[];
  /** Weapons that it brings. */
  weapons?: string[];
}

/** What a unit may take, in short. */
export interface OptionHead {
  /** Further words for it. */
  also?: string[];
  /** Whether each of its weapons is paid for, so that it is taken in numbers. */
  counted?: boolean;
  /** As requests have it. */
  id: string;
  /** As people read it. */
  name: string;
  /** The weapons that it brings, as requests have them. */
  weapons?: string[];
}

/** What an option is worth. */
export interface OptionRow {
  /** The attacker under which it adds most turns. */
  best_attacker?: ForWhat;
  /** The target against which it adds most points destroyed in a game. */
  best_target?: ForWhat;
  /** By how much of itself its worth for its points changes: 0.1 is a tenth more; nothing where it was none before. */
  moved?: number;
  /** Options that it needs, which stand on both sides of what follows. */
  needs?: string[];
  /** Its name. */
  option: string;
  /** What taking it once adds to this unit. */
  points: number;
  /** Weapons that go for it. */
  replaces?: string[];
  /** The verdict: whether it is worth it, and for what. */
  text: string;
  /** What it comes to with it. */
  with: Worth;
  /** What the unit comes to without it. */
  without: Worth;
}

/** An option of a line. */
export interface OptionSum {
  /** Its id. */
  id: string;
  /** Its name. */
  name: string;
  /** What that costs one unit. */
  points: number;
  /** How often it was taken. */
  times: number;
}

/** What comes first in a turn. */
export type Order = "damage_first" | "repair_first";

/** Where something of a pack that is built on another comes from. */
export interface OriginForm {
  /** The name of the pack that has changed it last, where one has. */
  changed_by?: string;
  /** The name of that pack. */
  name: string;
  /** The id of the pack that made it. */
  pack: string;
}

/** Another plan. */
export interface OtherPlan {
  /** Its value. */
  expected: number;
  /** For each attacker its target. */
  plan: OtherRow[];
}

/** Where an attacker goes in another plan. */
export interface OtherRow {
  /** Its place in the list, from 0. */
  attacker: number;
  /** The target's; `null` for none. */
  target?: number | null;
}

/** Where the attacks of a volley go after a wreck. */
export type Overflow = "next" | "wasted";

/** All names of a pack. */
export interface PackAnswer {
  /** What it is about. */
  about: string;
  /** Its arcs. */
  arcs: NameForm[];
  /** Its checks. */
  checks: NameForm[];
  /** Its covers. */
  cover: NameForm[];
  /** The die that most of its steps roll. */
  die: number;
  /** The packs that it is built on, the lowest first. */
  extends?: LayerForm[];
  /** How its soldiers stand where their unit does not say otherwise. */
  formation: FormationHead;
  /** Its content hash. */
  hash: string;
  /** Its id. */
  id: string;
  /** The club's own words for ordinary ones. */
  labels: Record<string, string>;
  /** The points limit of a list where nobody says. */
  limit: number;
  /** Its name. */
  name: string;
  /** Options of its units, each name once. */
  options: NameForm[];
  /** Its range bands, the nearest first. */
  ranges: NameForm[];
  /** Its roles. */
  roles: NameForm[];
  /** Its rules. */
  rules: NameForm[];
  /** What else a situation may say, `moved` first. */
  situation: NameForm[];
  /** The stats of its units. */
  stats: NameForm[];
  /** Marks that a target may bear. */
  statuses: string[];
  /** Words of the pack that can be asked about. */
  terms: TermForm[];
  /** How many turns a game has. */
  turns: number;
  /** Its units. */
  units: UnitHead[];
  /** Weapons. */
  weapons: NameForm[];
}

/** What was found. */
export interface PackCheckAnswer {
  /** Everything that is wrong, in the order of its place; where the files can be used, all warnings. */
  faults: FaultForm[];
  /** Whether the files can be used. */
  good: boolean;
  /** The pack that they make, where they can. */
  pack?: PackHead;
}

/** Files that make a pack together, or unit books for a pack that is there. */
export interface PackCheckRequest {
  /** The files. At most 20 of them. */
  files: PackFile[];
}

/** A file. */
export interface PackFile {
  /**
   * In place of the text, the bytes of a spreadsheet, in Base64 (RFC 4648, section 4); its name ends with `.xlsx` or
   * `.ods`.
   */
  base64?: string | null;
  /** What it is called in the mistakes. */
  name?: string | null;
  /** All of it. A name that ends with `.csv` makes it a sheet of a unit book. */
  text?: string | null;
}

/** A pack as it was written. */
export interface PackFilesAnswer {
  /** Its files, and those of the packs that it is built on. Sent to `POST /v1/packs` they have the same hash. */
  files: PackText[];
  /** Its content hash. */
  hash: string;
  /** The pack's id. */
  id: string;
  /** Its name. */
  name: string;
}

/** A pack in short. */
export interface PackHead {
  /** What it is about. */
  about: string;
  /** Further words for it. */
  also?: string[];
  /** The packs that it is built on, the lowest first. */
  extends?: LayerForm[];
  /** Its content hash. */
  hash: string;
  /** Its id. */
  id: string;
  /** Its name. */
  name: string;
  /** How many units it has. */
  unit_count: number;
}

/** What a pack is called from now on. */
export interface PackSent {
  /**
   * The pack by its content: `sha256:` and the hash. It may stand wherever a pack is named. The same files always get
   * the same address; what they are called makes no difference.
   */
  address: string;
  /** For how many seconds after its last use it is kept. */
  kept_s: number;
  /** The pack in short. */
  pack: PackHead;
  /** The same in short: the pack's id, `@` and the beginning of the hash. */
  pinned: string;
  /**
   * Whether all copies of the service have it. Where not, only the copy that answered keeps it, and only as long as it
   * has room and is not started anew.
   */
  shared: boolean;
}

/** A file of a pack. */
export interface PackText {
  /** What it is called. */
  name: string;
  /** All of it, comments too. What was read from a spreadsheet is the text of the unit book that it made. */
  text: string;
}

/** All packs. */
export interface PacksAnswer {
  /** The packs, the usual one first. */
  packs: PackHead[];
}

/** What `/v1/packs/check` takes in its query. */
export interface PacksCheckLinkQuery {
  /** The files. At most 20 of them. */
  files: PackFile[];
}

/** What `/v1/packs/names` takes in its query. */
export interface PacksNamesLinkQuery {
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string;
}

/** What `/v1/packs/{pack}/rules` takes in its query. */
export interface PacksPackRulesQuery {
  /** A name or a part of it, forgiving of spelling; all where it is left out. */
  q?: string;
}

/** What `/v1/packs/{pack}/units` takes in its query. */
export interface PacksPackUnitsQuery {
  /** A name or a part of it, forgiving of spelling; all where it is left out. */
  q?: string;
}

/** What `/v1/packs/{pack}/units/{unit}` takes in its query. */
export interface PacksPackUnitsUnitQuery {
  /** How many models; the unit's fewest where it is left out. From 1 to 1000. */
  models?: number;
  /** Its options, with commas between them. */
  options?: string;
  /** Units near it, with commas between them, each with the options that it has: `wharf captain + signal mast`. */
  near?: string;
  /** The number that a check asks for, such as a charge's distance. From -1000 to 1000. */
  asked?: number;
}

/** Successes past a step. */
export interface PassedForm {
  /** The step's name. */
  step: string;
}

/** How often an ignore roll is made. */
export type Per = "point" | "packet";

/** A place in a file of a pack. */
export interface Place {
  /** In a spreadsheet, the cell; line and column are its row and column. */
  cell?: string;
  /** The character in that line, from 1. */
  column?: number;
  /** The file, as it was called in the request. */
  file?: string;
  /** The line, from 1. */
  line?: number;
  /** What would mend it, where that is known. */
  suggestion?: string;
}

/** Where one attacker goes. */
export interface PlanRow {
  /** What it adds to the value of the plan, the others acting as they do. */
  adds: number;
  /** Its place in the list, from 0. */
  attacker: number;
  /** What it is called, with a number where several are called so. */
  name: string;
  /** Where it goes, and why. */
  sentence: string;
  /** The target's place in the list; `null` where it is sent nowhere. */
  target?: number | null;
}

/** Something added: `{"plus": 2}`. All that is added adds up, in whatever order. */
export interface PlusForm {
  /** How much, below 0 to take off. From -10000 to 10000. */
  plus: number;
}

/** A point in millimetres. */
export interface PointForm {
  /** Along a rank. From -100000 to 100000. */
  x_mm: number;
  /** To the next rank. From -100000 to 100000. */
  y_mm: number;
}

/** What a client gets in place of an answer (`application/problem+json`). */
export interface Problem {
  /** What is wrong and what to do about it. */
  detail: string;
  /** The closest names, best first, where a name was not found. */
  did_you_mean?: string[];
  /** All the mistakes, where there are several; the fields above speak of the first. */
  errors?: Entry[];
  /** RFC 6901 pointer to the field at fault. */
  pointer?: string;
  /** The HTTP status. From 400 to 599. */
  status: number;
  /** The kind of problem in a few words; the same for all of the kind. */
  title: string;
  /** Path of the page about this kind of problem, on this service. */
  type: string;
}

/** A protection under one attacker, where it does most. */
export interface ProtectedRow {
  /** The arc that is hit. */
  arc: string;
  /** The question for `with`. */
  ask?: BatchQuestion;
  /** The question for `without`. */
  ask_without?: BatchQuestion;
  /** The attacker's name. */
  attacker: string;
  /** The attacker as people count it. */
  attacker_counted: string;
  /** Its models. */
  attacker_models: number;
  /** The range band. */
  range: string;
  /** Turns survived with it. */
  with: number;
  /** Without it. */
  without: number;
}

/** What a protection is worth. */
export interface ProtectionRow {
  /** Which row of `under` that is. */
  best: number;
  /** The difference. */
  gained: number;
  /** The rule's name, or that of the rule that grants the repair. */
  rule: string;
  /** What it says. */
  text: string;
  /** Under each attacker of the board on whose attacks it acts, from the side and at the range where it does most. */
  under: ProtectedRow[];
  /** Turns survived with it, where it does most. */
  with: number;
  /** Without it. */
  without: number;
}

/**
 * A range band by its name, or a distance.
 *
 * - A distance.
 * - A band.
 */
export type RangeForm = number | string;

/** How a unit mends: the fields of a request for `repair`. */
export interface RepairForm {
  /** Why its numbers are what they are. */
  because: Because[];
  /** Points when whole. */
  capacity: number;
  /** Sides of its die. */
  die: number;
  /** The rule that grants it. */
  label: string;
  /** Points missing: one, for a start. */
  missing: number;
  /** Added to it. */
  modifier?: number;
  /** What a roll needs. */
  needs: NeedsForm;
  /** What is rolled again. */
  reroll?: RerollForm;
  /** What a success restores. */
  restores: AmountForm;
  /** How often a turn. */
  rolls: RollsForm;
}

/** What `/v1/repair` takes in its query. */
export interface RepairLinkQuery {
  /** Reasons in an answer; whatever stands in their place in a request is not read. */
  because?: Notes;
  /** Points when whole. From 1 to 1000. */
  capacity: number;
  /** Partial requests laid over this one, each answered beside it. At most 12 of them. */
  compare?: RepairPatch[];
  /** Sides of its die; default 6. From 2 to 100. */
  die?: number;
  /** Show fractions in every row. */
  exact?: boolean;
  incoming?: AmountForm;
  /** A name for readers in an answer; whatever stands in its place in a request is not read. */
  label?: Label;
  /** Points missing at the start. From 0 to 1000. */
  missing: number;
  /** Added to it. From -1000 to 1000. */
  modifier?: number;
  /** What a repair roll needs. */
  needs: NeedsForm;
  /** What comes first in a turn. */
  order?: Order;
  /**
   * Which natural faces are rolled again, once: `worst`, the worst face, of several dice each die that shows it;
   * `failures`; `natural_failures`, what fails before the modifier; `successes`, as the opponent makes you;
   * `not_critical`, all that is no critical. All but `worst` go by the total and roll all the dice again.
   * `failures_and_grazes` is for a penetrate step only: totals not above the armour.
   */
  reroll?: RerollForm;
  restores?: AmountForm;
  /** How often a turn's repair rolls. */
  rolls?: RollsForm;
  /** Turns followed; default 6. From 1 to 1000. */
  turns?: number;
}

/** What comes of it. */
export interface RepairOutcome {
  /** The chance of one repair roll. From 0 to 1. */
  chance: number;
  /** The answers to `compare`, in order. */
  compared?: RepairOutcome[];
  /** Destroyed by the last turn. */
  destroyed: Chance;
  /** The same exactly. */
  fraction: string;
  /** Points restored over all turns. */
  restored: Summary;
  /** The end of each turn. */
  turns: RepairTurnRow[];
}

/** What differs from the request that it is laid over. */
export interface RepairPatch {
  /** Points when whole. From 1 to 1000. */
  capacity?: number | null;
  /** Sides of its die. From 2 to 100. */
  die?: number | null;
  /** Points lost each turn. */
  incoming?: AmountForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Points missing at the start. From 0 to 1000. */
  missing?: number | null;
  /** Added to it. From -1000 to 1000. */
  modifier?: number | null;
  /** What a repair roll needs. */
  needs?: NeedsForm | null;
  /** What comes first in a turn. */
  order?: Order | null;
  /** What is rolled again. */
  reroll?: RerollForm | null;
  /** What a success restores. */
  restores?: AmountForm | null;
  /** How often a turn rolls. */
  rolls?: RollsForm | null;
  /** Turns followed. From 1 to 1000. */
  turns?: number | null;
}

/** A unit that is damaged and repaired, turn by turn. */
export interface RepairRequest {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Points when whole. From 1 to 1000. */
  capacity: number;
  /** Partial requests laid over this one, each answered beside it. At most 12 of them. */
  compare?: RepairPatch[] | null;
  /** Sides of its die; default 6. From 2 to 100. */
  die?: number | null;
  /** Show fractions in every row. */
  exact?: boolean | null;
  /** Points lost each turn; default none. */
  incoming?: AmountForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Points missing at the start. From 0 to 1000. */
  missing: number;
  /** Added to it. From -1000 to 1000. */
  modifier?: number | null;
  /** What a repair roll needs. */
  needs: NeedsForm;
  /** What comes first in a turn; default `damage_first`. */
  order?: Order | null;
  /** What is rolled again. */
  reroll?: RerollForm | null;
  /** What a success restores; default 1. Not used with `each_missing`. */
  restores?: AmountForm | null;
  /** How often a turn rolls: `one` (default), `each_missing`, or a number of rolls. */
  rolls?: RollsForm | null;
  /** Turns followed; default 6. From 1 to 1000. */
  turns?: number | null;
}

/** The end of a turn. */
export interface RepairTurnRow {
  /** The chance of not being destroyed. */
  alive: number;
  /** The chance that at least one point has come back so far. */
  any_restored: number;
  /** Points missing; destroyed counts as all. */
  missing: Summary;
  /** Points that have come back so far. */
  restored: Summary;
  /** Which turn, from 1. */
  turn: number;
}

/** What a status does that is there already. */
export interface RepeatedForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Structure lost. */
  structure?: AmountForm | null;
  /** The unit is wrecked. */
  wrecked?: boolean | null;
}

/**
 * Which natural faces are rolled again, once: `worst`, the worst face, of several dice each die that shows it;
 * `failures`; `natural_failures`, what fails before the modifier; `successes`, as the opponent makes you;
 * `not_critical`, all that is no critical. All but `worst` go by the total and roll all the dice again.
 * `failures_and_grazes` is for a penetrate step only: totals not above the armour.
 */
export type RerollForm = "none" | "worst" | "failures" | "natural_failures" | "successes" | "not_critical" | "failures_and_grazes";

/** One quantity and its value. */
export interface ResultForm {
  /** Of a duel: models or units of side a that are left. */
  a_left?: number | null;
  /** Of an attack: attacks rolled. */
  attacks?: number | null;
  /** Of a duel: models or units of side b that are left. */
  b_left?: number | null;
  /** Of an attack: backfires that were not saved. */
  backfires?: number | null;
  /** Of an attack on soldiers: points of health removed. */
  health_lost?: number | null;
  /** Of a repair: points missing at the end. */
  missing?: number | null;
  /** Of an attack on soldiers: models removed. */
  models?: number | null;
  /** Of a check: tries that passed. */
  passes?: number | null;
  /** Of a repair: points that came back over all turns. */
  restored?: number | null;
  /** Of an attack on armour: points of structure lost. */
  structure?: number | null;
  /** Of an attack: successes past all steps. */
  through?: number | null;
  /** Of a check: the total of one roll, modifier included. */
  total?: number | null;
  /** Of an attack on armour: units wrecked. */
  wrecked?: number | null;
}

/** What a list holds of a role. */
export interface RoleSum {
  /** Its id. */
  id: string;
  /** The fewest slots that a list fills. */
  least: number;
  /** The most slots. */
  most?: number;
  /** Its name. */
  name: string;
  /** Points. */
  points: number;
  /** Slots filled; units that share a slot fill it together. */
  slots: number;
  /** Units. */
  units: number;
}

/**
 * How often a turn's repair rolls.
 *
 * - By name.
 * - So many.
 */
export type RollsForm = RollsName | number;

/** How often a turn's repair rolls, by name. */
export type RollsName = "one" | "each_missing";

/** One value of a distribution. */
export interface Row {
  /** The chance of this value or more. From 0 to 1. */
  at_least: number;
  /** The chance of exactly this value. From 0 to 1. */
  chance: number;
  /** The exact chance, on request. */
  fraction?: string;
  /** The value. */
  value: number;
}

/** A rule: its text, what it changes, and who carries it. Where the question asks for another word of the pack, that. */
export interface RuleAnswer extends RuleForm {
  /** Yes or no, where that was asked. */
  asked?: AskedForm;
  /** Rules that ask whether somebody carries it. */
  asked_by: NameForm[];
  /** What it changes in numbers; nothing where it changes none by itself. */
  example?: RuleExample;
  /** The pack's content hash. */
  hash: string;
  /** Units that may take it as an option. */
  options: NameForm[];
  /** Other rules that the words fit. */
  others: NameForm[];
  /** The pack's id. */
  pack: string;
  /** Rules that do not act while it does. */
  replaces: NameForm[];
  /**
   * What it is: `rule`; or `stat`, `step`, `roll`, `chart`, `check`, `aftermath`, `mark`, `arc`, `range`, `cover`,
   * `flag`, `kind`, or `term` for a word that every pack has.
   */
  sort: string;
  /** The table of a chart. */
  table?: TermTable;
  /** Units that carry it. */
  units: NameForm[];
  /** Weapons that carry it. */
  weapons: NameForm[];
}

/** A question of the pack in which the rule acts, and what it comes to with the rule and without. */
export interface RuleExample {
  /** What the rule did, from the value before to the value after. */
  because: string[];
  /** Where the two requests are asked: `matchup`, `check` or `repair`. */
  path: string;
  /** The question. */
  request: Record<string, unknown>;
  /** The same question without the rule; nothing where there is none left. */
  request_without?: Record<string, unknown>;
  /** The question in words. */
  text: string;
  /** What it comes to. */
  with: RuleNumbers;
  /** What that comes to. */
  without: RuleNumbers;
}

/** A rule as a search finds it. */
export interface RuleForm {
  /** What it does, from the file, in plain words. */
  does: string[];
  /** In a pack that is built on another: which of them it is from. */
  from?: OriginForm;
  /** Its id. */
  id: string;
  /** Its name. */
  name: string;
  /** What it says. */
  text: string;
}

/** A rule in short. */
export interface RuleHead {
  /** Its id. */
  id: string;
  /** Its name. */
  name: string;
  /** What it says. */
  text: string;
}

/** What `/v1/rule` takes in its query. */
export interface RuleLinkQuery {
  /** A question, or words of the rule's text; read for the rule where `rule` is left out. */
  ask?: string;
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string;
  /** The rule's name. */
  rule?: string;
}

/** What became of a rule. */
export interface RuleNoteForm {
  /** In a pack that is built on another: which of them it is from. */
  from?: OriginForm;
  /** Its id. */
  id: string;
  /** Its name. */
  rule: string;
  /** What it says. */
  text: string;
  /** What it did, or why it did nothing. */
  why: string;
}

/** Rules that acted, and rules that a side carries and that did not. */
export interface RuleNotes {
  /** Those that changed something. */
  acted: RuleNoteForm[];
  /** Those that could have been expected to and did not. */
  did_not: RuleNoteForm[];
}

/** The numbers that are held against each other. */
export interface RuleNumbers {
  /** Of a matchup: the chance of each effect afterwards. */
  aftermath?: Record<string, Chance>;
  /** Of a matchup: backfires, in the mean. */
  backfires?: number;
  /** Of a check or a repair: the chance of one roll. */
  chance?: Chance;
  /** Of a matchup: nothing is left. */
  destroyed?: Chance;
  /** Of a matchup against soldiers: models removed, in the mean. */
  models?: number;
  /** Of a matchup against armour: structure lost, in the mean. */
  structure?: number;
}

/** Which rule, or what is to be known. */
export interface RuleRequest {
  /** A question, or words of the rule's text; read for the rule where `rule` is left out. */
  ask?: string | null;
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
  /** The rule's name. */
  rule?: string | null;
}

/** Rules found. */
export interface RulesAnswer {
  /** The rules, best first. */
  rules: RuleForm[];
}

/** How the template drifts: `max(0, dice - reduce)` units in any direction. */
export interface ScatterForm {
  /** How far, in units. */
  dice: AmountForm;
  /** The chance that it does not drift; default 0. */
  on_target?: ChanceForm | null;
  /** Taken off the dice; default 0. From 0 to 10000. */
  reduce?: number | null;
  /** Millimetres to a unit; default 25.4. From 0 to 1000. */
  unit_mm?: number | null;
}

/** A pack: its files, or what any other request can bring in `pack` and `book`. */
export interface SendRequest {
  /** The text of a unit book to use beside the pack. */
  book?: string | null;
  /**
   * The files of a pack, or unit books for a pack that is there: texts, and spreadsheets beside them. With a `pack`
   * named, unit books for that one. At most 20 of them.
   */
  files?: PackFile[] | null;
  /** In place of the files: the text of a pack in one file; with a `book`, also a pack's name or address. */
  pack?: string | null;
}

/** A change and what comes of it. */
export interface SensitivityRow {
  /** What is changed. */
  change: string;
  /** By how much of itself the worth changes: 0.1 is a tenth more. */
  moved: number;
  /** `per_point` with it. */
  per_point?: number;
  /** What the unit costs with it. */
  points: number;
  /** `stands` with it. */
  stands: number;
  /** `takes` with it. */
  takes: number;
}

/** The word for all of a counter. */
export type ShedAll = "all";

/**
 * How much is taken off.
 *
 * - All of it.
 * - So much.
 */
export type ShedAmount = ShedAll | AmountForm;

/**
 * What a side takes off one of its counters at the start of each of its turns (with `together` and `order` of the
 * turn), while something of it is left, whether or not anything is left of the other side.
 */
export interface ShedForm {
  /** How much, never below 0; or `all`. */
  amount: ShedAmount;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Sides of its die; default 6. From 2 to 100. */
  die?: number | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Added to it. From -1000 to 1000. */
  modifier?: number | null;
  /** The counter of its own target. */
  name: string;
  /** The roll that does it; default `auto`. */
  needs?: NeedsForm | null;
}

/**
 * One, or several, in order.
 *
 * - One.
 * - Several, in order.
 */
export type ShedsForm = ShedForm | ShedForm[];

/** Units side by side. */
export interface SideBySideAnswer {
  /** The attackers of the board. */
  attackers: string[];
  /** Its content hash. */
  hash: string;
  /** The pack that was used. */
  pack: string;
  /** The targets of the board, as people count them. */
  targets: string[];
  /** Turns of a game. */
  turns: number;
  /** The units, as they were asked about. */
  units: Beside[];
  /** What it comes to, in a sentence. */
  verdict: string;
}

/** What `/v1/side-by-side.html` takes in its query. */
export interface SideBySideHtmlLinkQuery {
  /** The first unit; every other field as in the short form of `/v1/side-by-side`. */
  "units.0.unit": string;
  /** The second unit. */
  "units.1.unit": string;
}

/** What `/v1/side-by-side` takes in its query. */
export interface SideBySideLinkQuery {
  /** Units to hold them against, as targets and as attackers, in place of the pack's own board. At most 12 of them. */
  against?: StandingForm[];
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /** The pack's name, or the text of a pack file; the first pack where it is left out. */
  pack?: string;
  /** Turns of a game; the pack's own number where it is left out. From 1 to 20. */
  turns?: number;
  /** Two to four units, or one unit with different options. At most 4 of them. */
  units: StandingForm[];
}

/** What `/v1/side-by-side.md` takes in its query. */
export interface SideBySideMdLinkQuery {
  /** The first unit; every other field as in the short form of `/v1/side-by-side`. */
  "units.0.unit": string;
  /** The second unit. */
  "units.1.unit": string;
}

/** Units to lay side by side. */
export interface SideBySideRequest {
  /** Units to hold them against, as targets and as attackers, in place of the pack's own board. At most 12 of them. */
  against?: StandingForm[] | null;
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /** The pack's name, or the text of a pack file; the first pack where it is left out. */
  pack?: string | null;
  /** Turns of a game; the pack's own number where it is left out. From 1 to 20. */
  turns?: number | null;
  /** Two to four units, or one unit with different options. At most 4 of them. */
  units: StandingForm[];
}

/** Whose dice they were. */
export type SideForm = "us" | "them";

/** What is left of a side, and of a unit what its attacks came to. */
export interface SideOutcome {
  /** The value of each of its counters in the end. */
  counters?: Record<string, Summary>;
  /**
   * Where its own attack can harm it: the chance that nothing is left of it in the end if what backfires did it no
   * harm.
   */
  destroyed_without_own_harm?: Chance;
  /** Models or units that are left. */
  left: Summary;
  /** Of units: what its own attacks came to. */
  unit?: UnitOutcome;
}

/** What the table adds; the pack's own flags stand beside these by their ids. */
export interface SituationForm {
  /** The arc that is hit. */
  arc?: string | null;
  /** What the target stands behind. */
  cover?: string | null;
  /** Whether the attacker moved. */
  moved?: boolean | null;
  /** A range band by its name, or a distance. */
  range?: RangeForm | null;
  /** The pack's own flags: whether each is so. */
  [name: string]: boolean | null | string | RangeForm | undefined;
}

/** A unit as it stands on the table. */
export interface StandingForm {
  /** Of a target: points of structure or health that its first model misses. From 0 to 1000. */
  hurt?: number | null;
  /**
   * Of a target: what is left of it, in place of `hurt`: models of a unit of several soldiers, else points. From 1 to
   * 1000.
   */
  left?: number | null;
  /** How many models; the unit's fewest where it is left out. From 1 to 1000. */
  models?: number | null;
  /**
   * Units of its side that stand near it, with the options that they have: `wharf captain + signal mast`. At most 20
   * of them.
   */
  near?: string[] | null;
  /** Its options, such as `signal mast` or `2 long rifles`. At most 40 of them. */
  options?: string[] | null;
  /** Of a target: marks that it bears. At most 20 of them. */
  statuses?: string[] | null;
  /** Its name. */
  unit: string;
  /** Of an attacker: the weapons that it uses; all that can be used where it is left out. At most 12 of them. */
  weapons?: string[] | null;
}

/** A stat with its value. */
export interface StatForm {
  /** Its value by arc, range or cover, where it differs. */
  each?: Record<string, string>;
  /** Its id. */
  id: string;
  /** Its name. */
  name: string;
  /** Its value as players write it: `4+`, `2d6`, or `front 14, side 12, rear 10`. */
  value: string;
}

/** Something that the request left open. */
export interface Stated {
  /** Where it could be said. */
  pointer: string;
  /** The same in words. */
  text: string;
  /** What was taken. */
  value: unknown;
}

/** One roll of a chain. An ordinary step has `needs` or `versus`; a penetrate step has `against`; a table has `rows`. */
export interface StepForm {
  /** Penetrate: added to the dice. From -1000 to 1000. */
  add?: number | null;
  /** Penetrate: the armour. From 0 to 10000. */
  against?: number | null;
  /** What a low natural face costs the attacker. */
  backfire?: BackfireForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Penetrate: what a total above the armour does. */
  breach?: BreachForm | null;
  /** `attacker` (default) or `defender`. */
  by?: ByForm | null;
  /** Added to the target's counters, each by its name, for each success that goes past this step. */
  counts?: Record<string, AmountForm | null> | null;
  /** What a high natural face gives. */
  critical?: CriticalForm | null;
  /** Several dice; their kept natural total is the natural face. */
  dice?: AmountForm | null;
  /** Sides of the one die; default 6. In place of `dice`. From 2 to 100. */
  die?: number | null;
  /**
   * Penetrate: what a total equal to the armour is; default `graze`. Where it is a breach there are no grazes, and
   * `failures_and_grazes` re-rolls failures.
   */
  equal?: EqualForm | null;
  /** Penetrate: what a graze does: a total equal to the armour. */
  graze?: GrazeForm | null;
  /** The best natural face always succeeds. */
  high_succeeds?: boolean | null;
  /** Which of the dice are summed. */
  keep?: KeepForm | null;
  /** `roll` (default), `penetrate` or `table`. */
  kind?: KindForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** The worst natural face always fails. */
  low_fails?: boolean | null;
  /** What a winning difference gives: the best row reached. At most 100 of them. */
  margin?: MarginForm[] | null;
  /** Added to the total. From -1000 to 1000. */
  modifier?: number | null;
  /** What players call it; unique in its chain. */
  name: string;
  /** What it needs. */
  needs?: NeedsForm | null;
  /** What is rolled again. */
  reroll?: RerollForm | null;
  /** Table: what its total gives; the row with the highest `at_least` not above it acts. At most 100 of them. */
  rows?: TableRowForm[] | null;
  /** Who wins a tie; default `defender`. */
  ties?: StepTies | null;
  /** The other side of an opposed roll, in place of `needs`. */
  versus?: VersusForm | null;
}

/** What comes of one step. */
export interface StepOdds {
  /** The chance that one ordinary roll is in the attacker's favour. From 0 to 1. */
  chance: number;
  /** Of a penetration roll of which an equal total is no breach: how much of that is an equal total. */
  equals?: Chance;
  /** The same exactly. */
  fraction: string;
  /** Its name. */
  name: string;
  /** How many came past it, on request. */
  passed?: Summary;
  /** The mean number of times that it is rolled, re-rolls not counted. */
  reached: number;
  /** Of several volleys, which; the first is 0. */
  volley?: number;
}

/** Who wins a tie of an opposed step. */
export type StepTies = "attacker" | "defender" | "again";

/** A distribution: its mean, its standard deviation, and a row for each value. */
export interface Summary {
  /** The standard deviation. */
  deviation: number;
  /** From the lowest value that can happen to the highest, without gaps. */
  distribution: Row[];
  /** The mean. */
  expected: number;
}

/** A game under one attacker. */
export interface SurvivalRow {
  /** The arc that it attacks, where it makes a difference. */
  arc?: string;
  /** The question. */
  ask?: BatchQuestion;
  /** The attacker's name. */
  attacker: string;
  /** The attacker as people count it. */
  attacker_counted: string;
  /** Its models. */
  attacker_models: number;
  /** The range band: the one that takes most in a turn. */
  range: string;
  /** The chance of still standing at the end of each turn. */
  standing: number[];
  /** At the end of how many turns it still stands, on average: the sum of `standing`. */
  stood: number;
  /** A protection of the unit that does not act, or its repair that is not rolled. */
  without?: string;
}

/** A place on the table, in any unit of length: x to the right, y up the table. */
export interface TablePlace {
  /** To the right. From -100000 to 100000. */
  x: number;
  /** Up the table. From -100000 to 100000. */
  y: number;
}

/** What a total of a table gives. */
export interface TableRowForm {
  /** The total from which it counts. From -1000 to 20000. */
  at_least: number;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Added to the target's counters, each by its name. */
  counts?: Record<string, AmountForm | null> | null;
  /** Added to the damage of this success. */
  damage?: AmountForm | null;
  /** The attack ends here; default false. */
  ends?: boolean | null;
  /** Further, ordinary successes that go on with nothing of the row. */
  extra?: AmountForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Changed numbers of later steps. */
  then?: Record<string, ChangeForm | null> | null;
}

/** What is attacked: soldiers (with `models` or `groups`) or armour (with `structure`). */
export interface TargetForm {
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /**
   * Numbers that hits leave on it, such as pins or fires: added to by `counts`, read by `thresholds` and `by_counter`.
   * At most 4 of them.
   */
  counters?: CounterForm[] | null;
  /** Soldiers: unlike models in place of `models`, lost in the order listed. At most 20 of them. */
  groups?: GroupForm[] | null;
  /** Soldiers: health of each; default 1. From 1 to 1000. */
  health?: number | null;
  /** Points that the first model or unit misses at the start. From 0 to 999. */
  hurt?: number | null;
  /** Soldiers: a last roll against damage. */
  ignore?: IgnoreForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** Soldiers: how many models. From 1 to 1000. */
  models?: number | null;
  /** Armour: where attacks go after a wreck; default `next`. */
  overflow?: Overflow | null;
  /** Soldiers: what is left of a packet goes on to the next model. */
  spill?: boolean | null;
  /** Armour: marks that the first unit has at the start. At most 20 of them. */
  statuses?: string[] | null;
  /** Armour: structure of each unit. From 1 to 1000. */
  structure?: number | null;
  /** What its counters bring. At most 40 of them. */
  thresholds?: ThresholdForm[] | null;
  /** Armour: how many units; default 1. From 1 to 100. */
  units?: number | null;
}

/** The points of a target. */
export interface TargetPoints {
  /** What it cost before anything of it was lost. */
  cost: number;
  /** The mean of the points destroyed. */
  removed: number;
}

/** What becomes of one target. */
export interface TargetRow {
  /** Who attacks it, by their places in the list, in the order in which they act. */
  attackers: number[];
  /** Nothing is left. */
  destroyed: Chance;
  /** Of soldiers: models removed. */
  models?: Summary;
  /** What it is called, with a number where several are called so. */
  name: string;
  /** Its points. */
  points: TargetPoints;
  /** Of armour: points of structure lost. */
  structure?: Summary;
  /** Its place in the list, from 0. */
  target: number;
}

/** The template. */
export interface TemplateForm {
  /** Its diameter in millimetres. From 0 to 10000. */
  diameter_mm: number;
}

/** A word of the pack with what it means. */
export interface TermForm {
  /** As the pack's files have it. */
  id: string;
  /** As people read it. */
  name: string;
  /** What it is a word for: `stat`, `step`, `chart`, `breach`, `arc`, `range`, `cover`, `flag`, `check` or `aftermath`. */
  sort: string;
  /** What the pack says of it. */
  text: string;
}

/** A chart as a table. */
export interface TermTable {
  /** The head of each column. */
  head: string[];
  /** The rows, each as wide as the head. */
  rows: string[][];
}

/** What holds while a counter has come so far. An effect holds where any of its rows does. */
export interface ThresholdForm {
  /** From this value on. From 0 to 1000. */
  at_least: number;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Its name in the answer. */
  effect: string;
  /** It holds even where nothing of the target is left; default false. */
  even_destroyed?: boolean | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** The counter. */
  name: string;
}

/** Two units, one of which is better for the other's presence. */
export interface TogetherRow {
  /** Its tests that differ. */
  checks?: CheckPair[];
  /** Points more that it destroys in the part of a game that it survives: `takes` times `stands`, with less without. */
  gained: number;
  /** Who is near, with the options that make the difference. */
  near: string;
  /** The same as a request names it. */
  near_id: string;
  /** What that costs at its fewest models. */
  near_points: number;
  /** That for each point that the other costs; nothing where it is free. */
  per_point?: number;
  /** Its repair, where that differs. */
  repair?: MendPair;
  /** What it comes to, in a sentence. */
  text: string;
  /** Whom it changes, as people count it. */
  unit: string;
  /** Its id. */
  unit_id: string;
  /** Its models. */
  unit_models: number;
  /** What it comes to with the other near. */
  with: Worth;
  /** What that unit comes to alone. */
  without: Worth;
}

/** The chance of one try among unlike ones. */
export interface TryChance {
  /** Its chance. */
  chance: number;
  /** The same exactly. */
  fraction: string;
  /** What it needs. */
  needs: NeedsForm;
}

/** A situation over several turns; the pack's own flags stand beside these by their ids. */
export interface TurnsForm {
  /** The arc that is shown to the other side. */
  arc?: EachTurn_String | null;
  /** What is stood behind. */
  cover?: EachTurn_String | null;
  /** Whether who attacks has moved. */
  moved?: EachTurn_bool | null;
  /** A range band by its name, or a distance. */
  range?: EachTurn_RangeForm | null;
  /** The pack's own flags: whether each is so. */
  [name: string]: EachTurn_bool | null | EachTurn_String | EachTurn_RangeForm | undefined;
}

/** A unit. */
export interface UnitAnswer {
  /** Whether it is armour: loses structure, and has arcs. */
  armoured: boolean;
  /** Points that it can lose: structure, or health of all models. */
  capacity: number;
  /** The checks that it takes: requests for `check`. */
  checks: CheckForm[];
  /** What one more model costs. */
  each_more: number;
  /** Models unlike the others, in the order in which they are lost: after all others. */
  groups?: ModelGroupForm[];
  /** The pack's content hash. */
  hash: string;
  /** Its id. */
  id: string;
  /** Its kind. */
  kind: string;
  /** How few and how many models it may have, and how many are looked at. */
  models: ModelsForm;
  /** How many of them a list may hold. */
  most?: number;
  /** Its name. */
  name: string;
  /** Its options. */
  options: OptionForm[];
  /** How many such units share a slot. */
  per_slot: number;
  /** What it costs as it is looked at, options included. */
  points: number;
  /** Its stats. */
  profile: StatForm[];
  /** How it mends: a request for `repair`. */
  repair?: RepairForm;
  /** What it counts as. */
  role: string;
  /** Its rules, options worked in. */
  rules: RuleHead[];
  /** What it is, in words. */
  text: string;
  /** Its weapons, options worked in. */
  weapons: WeaponForm[];
}

/** A unit in short. */
export interface UnitHead {
  /** Further words for it. */
  also?: string[];
  /** Whether it is armour: loses structure, and has arcs. */
  armoured: boolean;
  /** What people count of it. */
  counted: CountedForm;
  /** As requests have it. */
  id: string;
  /** Its fewest models. */
  least: number;
  /** The most models of it that a list may hold, over all its units. */
  list_most?: number;
  /** Its most models. */
  most: number;
  /** As people read it. */
  name: string;
  /** What it may take. */
  options?: OptionHead[];
  /** The name of several. */
  plural: string;
  /** What it costs with its fewest models. */
  points: number;
  /** What it counts as. */
  role: string;
  /** The name of one of what is counted. */
  singular: string;
  /** Its weapons, as requests have them. */
  weapons?: string[];
}

/** What a unit of a book did. */
export interface UnitOutcome {
  /** Why the numbers of its attack are what they are; `volley` counts the volleys of its side in `duel`. */
  because: MatchupBecause[];
  /** How it mends, if it does: the rule, and why its numbers are what they are. */
  mends: Because[];
  /** Its name. */
  name: string;
  /** Cost and effect in points. */
  points: DuelPoints;
  /** What became of the rules while it attacked. */
  rules: RuleNotes;
  /** Weapons that are not used, in which turns, and why. */
  unused_weapons: UnusedTurns[];
}

/** Units found. */
export interface UnitsAnswer {
  /** The units, best first. */
  units: UnitHead[];
}

/** A weapon that is not used in some turns. */
export interface UnusedTurns {
  /** The first and the last of these turns. */
  turns: number[];
  /** Its name. */
  weapon: string;
  /** Why. */
  why: string;
}

/** A weapon that is not used. */
export interface UnusedWeapon {
  /** Its name. */
  weapon: string;
  /** Why. */
  why: string;
}

/** One attack: a chain or a matchup. */
export interface Variant {
  /** An attack from plain numbers. */
  chain?: VariantChain | null;
  /** What it is called in the table; default its unit, or `variant 1`, `variant 2` …. */
  label?: string | null;
  /** An attack by a unit. */
  matchup?: VariantMatchup | null;
  /** Of a chain: what the attackers cost. Of a matchup, the pack knows. From 0 to 1000000. */
  points?: number | null;
}

/** A chain; its target may be left to the board. */
export interface VariantChain {
  /** What is rolled afterwards; checked, and not in the table. At most 10 of them. */
  aftermath?: AftermathForm[] | null;
  /** How many attack; default 1. From 0 to 10000. */
  attackers?: number | null;
  /** Attacks of each; default 1. */
  attacks?: AttacksForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Numbers of the steps that change with counters. At most 40 of them. */
  by_counter?: ByCounterForm[] | null;
  /**
   * Added to the target's counters, each by its name, for each success past all steps while something is left, even
   * one that does nothing.
   */
  counts?: Record<string, AmountForm | null> | null;
  /** Damage of each success; default 1. */
  damage?: AmountForm | null;
  /** What lets the attacks be made: rolled by each attacker, or once for all of them. */
  gate?: GateForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** The rolls of each attack, in order. At most 12 of them. */
  steps?: StepForm[] | null;
  /** What is attacked, where there is no board. */
  target?: TargetForm | null;
  /** Several weapons, in order, in place of the seven above. At most 12 of them. */
  volleys?: VolleyForm[] | null;
}

/** A matchup; its target may be left to the board. */
export interface VariantMatchup {
  /** Who attacks. */
  attacker: StandingForm;
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /** The pack's name, or the text of a pack file. */
  pack?: string | null;
  /** What the table adds. */
  situation?: SituationForm | null;
  /** Who is attacked, where there is no board. */
  target?: StandingForm | null;
  /** Rules that act as if they were carried. At most 20 of them. */
  with?: string[] | null;
  /** Rules that do not act. At most 20 of them. */
  without?: string[] | null;
}

/** Whether a price is off. */
export type Verdict = "fair" | "dear" | "cheap";

/** A sentence of the verdict. */
export interface VerdictRow {
  /** What the number is held against; the sentence turns round where it crosses it. */
  against: number;
  /** The number that it is made from. */
  number: number;
  /** Where that number stands in this answer. */
  of: string;
  /** Whether it speaks for the unit, or says when to use it. */
  speaks_for?: boolean;
  /** The sentence. */
  text: string;
}

/** The other side of an opposed roll. */
export interface VersusForm {
  /** Its dice. */
  dice: AmountForm;
  /** Which of its dice are summed. */
  keep?: KeepForm | null;
  /** Added to its total. From -1000 to 1000. */
  modifier?: number | null;
}

/** One weapon's attacks. */
export interface VolleyForm {
  /** How many attack; default 1. From 0 to 10000. */
  attackers?: number | null;
  /** Attacks of each; default 1. */
  attacks?: AttacksForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  because?: Notes;
  /** Numbers of the steps that change with counters. At most 40 of them. */
  by_counter?: ByCounterForm[] | null;
  /**
   * Added to the target's counters, each by its name, for each success past all steps while something is left, even
   * one that does nothing.
   */
  counts?: Record<string, AmountForm | null> | null;
  /** Damage of each success; default 1. */
  damage?: AmountForm | null;
  /** What lets the attacks be made: rolled by each attacker, or once for all of them. */
  gate?: GateForm | null;
  /** The last roll against its damage, in place of the target's own; `{"needs": "never"}` for none. */
  ignore?: IgnoreForm | null;
  /** For the notes of whoever sends it: nothing is worked out from it. */
  label?: Label;
  /** In a duel with `first: "order"`: volleys with a higher order are made first; default 0. From -1000 to 1000. */
  order?: number | null;
  /**
   * In a duel: the attackers while 1, 2, … of the side stand, the last number going on, in place of `attackers` for
   * each. At most 1000 of them.
   */
  served?: number[] | null;
  /** Whether what is left of its packets goes on to the next model, in place of the target's `spill`. */
  spill?: boolean | null;
  /** The rolls of each attack, in order. At most 12 of them. */
  steps?: StepForm[] | null;
  /** In a duel: a blast is laid on as many of its bases, the first ones, as the other side has standing; default false. */
  thinned?: boolean | null;
  /** In a duel: the first and the last turn in which it is fired; default every turn. */
  turns?: number[] | null;
  /** In a duel: in how many turns, the first ones of `turns`, it is fired. From 1 to 1000. */
  uses?: number | null;
}

/** What comes of one volley by itself. */
export interface VolleyOdds {
  /** The chance that one roll of its gate passes. */
  gate?: Chance;
}

/** `destroyed` with its chance, or one of the others with `chance` beside it. */
export interface WantForm {
  /** The wanted chance; beside all but `destroyed`. From 0 to 1. */
  chance?: number | null;
  /** The wanted chance that nothing is left. From 0 to 1. */
  destroyed?: number | null;
  /** At least so many points of health lost. At least 1. */
  health_lost?: number | null;
  /** At least so many models removed. At least 1. */
  models?: number | null;
  /** Of a check: at least so many tries that pass. From 1 to 10000. */
  passes?: number | null;
  /** At least so many points of structure lost. At least 1. */
  structure?: number | null;
  /** At least so many units wrecked. At least 1. */
  wrecked?: number | null;
}

/** The chance of all that is wanted together. */
export interface WantedOdds {
  /** So many or more of each colour that was named. */
  at_least: Chance;
  /** Exactly so many of each of them. */
  exactly: Chance;
}

/** A weapon of a unit. */
export interface WeaponForm {
  /** How many of it the unit has. */
  count: number;
  /** Its id. */
  id: string;
  /** How near it can be used. */
  least_reach: number;
  /** Its name. */
  name: string;
  /** Its stats. */
  profile: StatForm[];
  /** How far it reaches; nothing where that has no limit. */
  reach?: number;
  /** Its rules. */
  rules: RuleHead[];
  /** The diameter of the template that it lays. */
  template_mm?: number;
}

/** What makes an aftermath roll: one of the four counts, and how much of it. */
export interface WhenForm {
  /** The smallest count that makes them roll; default 1. */
  at_least?: number | null;
  /** `true`: points of health lost. */
  health_lost?: boolean | null;
  /** `true`: models removed. */
  models?: boolean | null;
  /** Successes past a step, saved or not. */
  passed?: PassedForm | null;
  /** `true`: units of armour wrecked. */
  wrecked?: boolean | null;
}

/** Whose counter is read. */
export type Whose = "target" | "own";

/** What a unit comes to. */
export interface Worth {
  /** `takes` times `stands`, for each point that it costs; nothing where it is free. */
  per_point?: number;
  /**
   * The mean share of a game's turns that it survives, over the rows of `approach` with everything that it has; an
   * attacker that cannot attack it counts as a whole game.
   */
  stands: number;
  /** The mean of the points of `damage`; a target that it cannot attack counts as none. */
  takes: number;
}

/** The league. */
export interface WorthAnswer {
  /** Whom the units were measured against. */
  board: string[];
  /** Its content hash. */
  hash: string;
  /** Units that cannot be compared, and why: their prices count as fair. */
  left_out: LeftOut[];
  /**
   * Marked are prices that are above the fair one by more than this share of it, and those that the fair price is
   * above by more than this share of the price: a quarter more and a fifth less are as far off.
   */
  marked_from: number;
  /** How it was measured, and what it does not see. */
  method: string;
  /** The pack that was used. */
  pack: string;
  /**
   * The units, those that give most for their points first; equals share a rank. Those that cannot be compared come
   * last.
   */
  rows: WorthRow[];
  /**
   * How far a price of this book lies from the fair one, as a share of it: the middle distance, as a standard
   * deviation.
   */
  spread: number;
  /** Turns of a game. */
  turns: number;
}

/** What `/v1/worth.csv` takes in its query. */
export interface WorthCsvLinkQuery {
  /** The pack's name; every other field as in the short form of `/v1/worth`. */
  pack?: string;
}

/** What `/v1/worth/events` takes in its query. */
export interface WorthEventsLinkQuery {
  /** The pack's name; every other field as in the short form of `/v1/worth`. */
  pack?: string;
}

/** What `/v1/worth.html` takes in its query. */
export interface WorthHtmlLinkQuery {
  /** The pack's name; every other field as in the short form of `/v1/worth`. */
  pack?: string;
}

/** What `/v1/worth` takes in its query. */
export interface WorthLinkQuery {
  /** Whom they are measured against; each other where it is left out. At most 200 of them. */
  board?: StandingForm[];
  /** The text of a unit book to use beside the pack's own. */
  book?: string;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string;
  /** Turns of a game; the pack's own number where it is left out. From 1 to 20. */
  turns?: number;
  /** The units to rank; all units at their fewest models where it is left out. At most 200 of them. */
  units?: StandingForm[];
}

/** What `/v1/worth.md` takes in its query. */
export interface WorthMdLinkQuery {
  /** The pack's name; every other field as in the short form of `/v1/worth`. */
  pack?: string;
}

/** A unit book to rank. */
export interface WorthRequest {
  /** Whom they are measured against; each other where it is left out. At most 200 of them. */
  board?: StandingForm[] | null;
  /** The text of a unit book to use beside the pack's own. */
  book?: string | null;
  /**
   * The pack: its name, its content (`sha256:…`, or `name@` and at least eight digits of its hash), or the text of a
   * pack file; the first pack where it is left out.
   */
  pack?: string | null;
  /** Turns of a game; the pack's own number where it is left out. From 1 to 20. */
  turns?: number | null;
  /** The units to rank; all units at their fewest models where it is left out. At most 200 of them. */
  units?: StandingForm[] | null;
}

/** A unit of the league. */
export interface WorthRow {
  /** Said where it cannot be compared: its price counts as fair, and its survival as that of the game at most. */
  compared?: boolean;
  /** The unit as people count it: `5 Dyke Hands`, `Bolt-gun Crew`. */
  counted: string;
  /** Points that it takes in a turn, the mean of the board, where there is always more to hit. */
  damage_rate: number;
  /** What it would cost on a par with the others. */
  fair_price: number;
  /** Its place in `units`, from 0. */
  index?: number;
  /** Its models. */
  models: number;
  /** Its name. */
  name: string;
  /** What it costs above its fair price; below 0 it is cheap. */
  off: number;
  /** What it costs. */
  points: number;
  /** Its place, from 1. */
  rank: number;
  /**
   * Turns in which the mean of the board wears it down: one by the mean share of it that is gone at the end of a game,
   * for each turn of the game in which it is attacked.
   */
  survival: number;
  /** Its id. */
  unit: string;
  /** Points that it takes in the turns that it survives, at most those of the game; 0 where it takes nothing. */
  value?: number;
  /** Whether its price is off. */
  verdict: Verdict;
  /** The fair price for each point that it costs: what it gives for its points, 1 being the middle. */
  worth: number;
}
