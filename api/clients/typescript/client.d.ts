// Long because it is made from the contract by api/clients/make.
import { Core, type CallOptions, type ServerEvent } from "./core.js";
import type {
  AppraisalAnswer, AppraisalCsvLinkQuery, AppraisalHtmlLinkQuery, AppraisalLinkQuery, AppraisalMdLinkQuery,
  AppraisalPicturesPictureQuery, AppraisalRequest, ArcAnswer, ArcLinkQuery, ArcRequest, AssignAnswer, AssignLinkQuery,
  AssignRequest, BatchAnswer, BatchLinkQuery, BatchRequest, BlastLinkQuery, BlastOutcome, BlastRequest, BuildAnswer,
  BuildLinkQuery, BuildRequest, CheckLinkQuery, CheckOutcome, CheckRequest, CompareAnswer, CompareLinkQuery,
  CompareListsAnswer, CompareListsLinkQuery, CompareListsRequest, CompareRequest, DrawLinkQuery, DrawOutcome,
  DrawRequest, DuelLinkQuery, DuelOutcome, DuelRequest, FairLinkQuery, FairOutcome, FairRequest, ListAnswer,
  ListPointsLinkQuery, ListRequest, LuckAnswer, LuckLinkQuery, LuckRequest, MatchupAnswer, MatchupLinkQuery,
  MatchupRequest, NamesRequest, NeededAnswer, NeededLinkQuery, NeededRequest, OddsAnswer, OddsLinkQuery, OddsRequest,
  PackAnswer, PackCheckAnswer, PackCheckRequest, PackFilesAnswer, PackSent, PacksAnswer, PacksCheckLinkQuery,
  PacksNamesLinkQuery, PacksPackRulesQuery, PacksPackUnitsQuery, PacksPackUnitsUnitQuery, RepairLinkQuery,
  RepairOutcome, RepairRequest, RuleAnswer, RuleLinkQuery, RuleRequest, RulesAnswer, SendRequest, SideBySideAnswer,
  SideBySideHtmlLinkQuery, SideBySideLinkQuery, SideBySideMdLinkQuery, SideBySideRequest, UnitAnswer, UnitsAnswer,
  WorthAnswer, WorthCsvLinkQuery, WorthEventsLinkQuery, WorthHtmlLinkQuery, WorthLinkQuery, WorthMdLinkQuery,
  WorthRequest,
} from "./types.js";

export { ProblemError, type CallOptions, type Options, type ServerEvent } from "./core.js";
export type * from "./types.js";

/** The service, one method for each operation of its contract. */
export declare class Pipwright extends Core {
  /**
   * Whether the process lives.
   *
   * Checks nothing: a process that answers is alive.
   */
  livez(options?: CallOptions): Promise<string>;
  /**
   * Metrics in Prometheus's text format.
   *
   * Where the service gives them on a listener of their own (`metrics_listen`), they are not here.
   */
  metrics(options?: CallOptions): Promise<string>;
  /**
   * The JSON Schema of pack files.
   *
   * Draft 2020-12, of rules and unit books alike. An editor that knows TOML completes and checks by it where a file's
   * first line is `#:schema http://…/packs.schema.json`.
   */
  packsSchemaJsonLink(options?: CallOptions): Promise<unknown>;
  /**
   * Whether to send it requests.
   *
   * Not while it is stopping. Redis has no say: without it the service computes. Nor have bad pack files: the packs
   * stay as they were, and the lines behind the first say what is wrong, and where.
   */
  readyz(options?: CallOptions): Promise<string>;
  /**
   * What a unit is worth: its cost, what it does to a board of targets, how long it lives, and what drives that (short
   * form).
   *
   * The same as the `POST`, as a link.
   */
  appraisalLink(query: AppraisalLinkQuery, options?: CallOptions): Promise<AppraisalAnswer>;
  /**
   * What a unit is worth: its cost, what it does to a board of targets, how long it lives, and what drives that.
   *
   * The board is the pack's own, or the units of `against`. Whoever attacks is not attacked back, and chooses the
   * range at which one turn removes most; the arc is the usual one where none is named. Worth is the average number of
   * points destroyed in a game, times the average share of a game's turns that the unit survives, for each point that
   * it costs. A target that it cannot attack counts as no points destroyed, an attacker that cannot attack it as a
   * whole game survived. Each row carries the question that gives its numbers in `ask`.
   * @example
   * client.appraisal({"pack": "canal-guild", "unit": "Heron Carriage"})
   */
  appraisal(request: AppraisalRequest, options?: CallOptions): Promise<AppraisalAnswer>;
  /** The tables of the appraisal as CSV, a line for each number. */
  appraisalCsvLink(query: AppraisalCsvLinkQuery, options?: CallOptions): Promise<string>;
  /** The appraisal as one page with its charts, which needs nothing from outside. */
  appraisalHtmlLink(query: AppraisalHtmlLinkQuery, options?: CallOptions): Promise<string>;
  /** The appraisal as Markdown. */
  appraisalMdLink(query: AppraisalMdLinkQuery, options?: CallOptions): Promise<string>;
  /**
   * One of the page's pictures, such as `1.svg` or `2.png`; its words for those who can't see it are inside.
   * @param picture Its place on the page, from 1, with `.svg` or `.png`
   */
  appraisalPicturesPicture(picture: string, query: AppraisalPicturesPictureQuery, options?: CallOptions): Promise<Uint8Array>;
  /**
   * Which side of a hull is hit, from a bearing or from where both stand (short form).
   *
   * The same as the `POST`, as a link.
   */
  arcLink(query?: ArcLinkQuery, options?: CallOptions): Promise<ArcAnswer>;
  /**
   * Which side of a hull is hit, from a bearing or from where both stand.
   * @example
   * client.arc({"attacker": {"x": 10, "y": 10}, "hull": {"length_mm": 130, "width_mm": 75}, "target": {"heading": 90, "x": 0, "y": 0}})
   */
  arc(request: ArcRequest, options?: CallOptions): Promise<ArcAnswer>;
  /**
   * Who attacks whom, so that most is destroyed (short form).
   *
   * The same as the `POST`, as a link.
   */
  assignLink(query: AssignLinkQuery, options?: CallOptions): Promise<AssignAnswer>;
  /**
   * Who attacks whom, so that most is destroyed.
   *
   * The best of all ways to send attackers to targets. Those on one target act in the order listed, each on what
   * stands when it acts. The answer says what everybody's own best target would have given, the next best plans, and
   * why each goes where it goes.
   * @example
   * client.assign({"attackers": [{"unit": "Heron Carriage"}, {"unit": "Culverin Crew"}], "pack": "canal-guild", "targets": [{"models": 10, "unit": "Quay Rifles"}, {"unit": "Heron Carriage"}]})
   */
  assign(request: AssignRequest, options?: CallOptions): Promise<AssignAnswer>;
  /**
   * Up to 100 questions in one request (short form).
   *
   * The same as the `POST`, as a link.
   */
  batchLink(query: BatchLinkQuery, options?: CallOptions): Promise<BatchAnswer>;
  /**
   * Up to 100 questions in one request.
   * @example
   * client.batch({"questions": [{"path": "check", "request": {"dice": "2d6", "needs": "7+"}}]})
   */
  batch(request: BatchRequest, options?: CallOptions): Promise<BatchAnswer>;
  /**
   * How many bases a round template catches (short form).
   *
   * The same as the `POST`, as a link.
   */
  blastLink(query: BlastLinkQuery, options?: CallOptions): Promise<BlastOutcome>;
  /**
   * How many bases a round template catches.
   * @example
   * client.blast({"formation": {"base_mm": 25, "files": 5, "gap_mm": 10, "models": 10}, "scatter": {"dice": "2d6", "on_target": "1/3", "reduce": 4}, "template": {"diameter_mm": 75}})
   */
  blast(request: BlastRequest, options?: CallOptions): Promise<BlastOutcome>;
  /**
   * The best legal lists for so many points, against the pack's board or another list (short form).
   *
   * The same as the `POST`, as a link.
   */
  buildLink(query?: BuildLinkQuery, options?: CallOptions): Promise<BuildAnswer>;
  /**
   * The best legal lists for so many points, against the pack's board or another list.
   *
   * Each list is legal at `list-points` with the same total, and proven best or given with the most that another could
   * reach. Where no list is legal, `problems` names the smallest set of limits that clash.
   * @example
   * client.build({"limit": 1000, "pack": "canal-guild"})
   */
  build(request: BuildRequest, options?: CallOptions): Promise<BuildAnswer>;
  /**
   * One roll, or several: how many pass, and which is the first to pass (short form).
   *
   * The same as the `POST`, as a link.
   */
  checkLink(query: CheckLinkQuery, options?: CallOptions): Promise<CheckOutcome>;
  /**
   * One roll, or several: how many pass, and which is the first to pass.
   * @example
   * client.check({"dice": "2d6", "needs": "7+", "tries": 3})
   */
  check(request: CheckRequest, options?: CallOptions): Promise<CheckOutcome>;
  /**
   * Several attacks against several targets in one table (short form).
   *
   * The same as the `POST`, as a link.
   */
  compareLink(query?: CompareLinkQuery, options?: CallOptions): Promise<CompareAnswer>;
  /** Several attacks against several targets in one table. */
  compare(request: CompareRequest, options?: CallOptions): Promise<CompareAnswer>;
  /**
   * Two lists against each other: the points that each takes in a game, row by row, and what each has no answer to
   * (short form).
   *
   * The same as the `POST`, as a link.
   */
  compareListsLink(query: CompareListsLinkQuery, options?: CallOptions): Promise<CompareListsAnswer>;
  /**
   * Two lists against each other: the points that each takes in a game, row by row, and what each has no answer to.
   *
   * This says how well two lists are matched unit against unit; it plays no game between them.
   * @example
   * client.compareLists({"a": {"text": "2 Ram Barges\nHeron Carriage"}, "b": {"text": "10 Quay Rifles\nCulverin Crew"}, "pack": "canal-guild"})
   */
  compareLists(request: CompareListsRequest, options?: CallOptions): Promise<CompareListsAnswer>;
  /**
   * Tokens or cards drawn without replacement (short form).
   *
   * The same as the `POST`, as a link.
   */
  drawLink(query: DrawLinkQuery, options?: CallOptions): Promise<DrawOutcome>;
  /**
   * Tokens or cards drawn without replacement.
   * @example
   * client.draw({"contents": {"blue": 3, "end": 1, "red": 4}, "draws": 3, "ends_on": {"end": 1}})
   */
  draw(request: DrawRequest, options?: CallOptions): Promise<DrawOutcome>;
  /**
   * Two sides fight turn by turn: who is left, and when (short form).
   *
   * The same as the `POST`, as a link.
   */
  duelLink(query: DuelLinkQuery, options?: CallOptions): Promise<DuelOutcome>;
  /**
   * Two sides fight turn by turn: who is left, and when.
   * @example
   * client.duel({"a": {"attack": {"steps": [{"name": "hit", "needs": "4+"}]}, "target": {"models": 5}}, "b": {"attack": {"attacks": 2, "steps": [{"name": "hit", "needs": "3+"}]}, "target": {"health": 2, "models": 3}}, "first": "roll"})
   */
  duel(request: DuelRequest, options?: CallOptions): Promise<DuelOutcome>;
  /**
   * Is this die fair? How often each face came up, held against how often it should (short form).
   *
   * The same as the `POST`, as a link.
   */
  fairLink(query: FairLinkQuery, options?: CallOptions): Promise<FairOutcome>;
  /**
   * Is this die fair? How often each face came up, held against how often it should.
   * @example
   * client.fair({"faces": {"1": 12, "2": 9, "3": 14, "4": 8, "5": 11, "6": 26}})
   */
  fair(request: FairRequest, options?: CallOptions): Promise<FairOutcome>;
  /**
   * What a list costs, every limit that it breaks, and what the points left could buy (short form).
   *
   * The same as the `POST`, as a link.
   */
  listPointsLink(query?: ListPointsLinkQuery, options?: CallOptions): Promise<ListAnswer>;
  /**
   * What a list costs, every limit that it breaks, and what the points left could buy.
   * @example
   * client.listPoints({"limit": 500, "lines": ["2x Ram Barge", "Heron Carriage + signal mast"]})
   */
  listPoints(request: ListRequest, options?: CallOptions): Promise<ListAnswer>;
  /**
   * A result that happened, or a whole evening of them: how unusual was it? (short form).
   *
   * The same as the `POST`, as a link.
   */
  luckLink(query?: LuckLinkQuery, options?: CallOptions): Promise<LuckAnswer>;
  /**
   * A result that happened, or a whole evening of them: how unusual was it?
   * @example
   * client.luck({"check": {"dice": "1d6", "needs": "2+", "tries": 6}, "result": {"passes": 1}})
   */
  luck(request: LuckRequest, options?: CallOptions): Promise<LuckAnswer>;
  /**
   * One unit attacks another: what happens, and why (short form).
   *
   * The same as the `POST`, as a link.
   */
  matchupLink(query: MatchupLinkQuery, options?: CallOptions): Promise<MatchupAnswer>;
  /**
   * One unit attacks another: what happens, and why.
   * @example
   * client.matchup({"attacker": {"models": 3, "unit": "Ram Barge"}, "situation": {"arc": "rear"}, "target": {"unit": "Heron Carriage"}})
   */
  matchup(request: MatchupRequest, options?: CallOptions): Promise<MatchupAnswer>;
  /**
   * How many attackers, or tries, for a wanted chance (short form).
   *
   * The same as the `POST`, as a link.
   */
  neededLink(query: NeededLinkQuery, options?: CallOptions): Promise<NeededAnswer>;
  /**
   * How many attackers, or tries, for a wanted chance.
   * @example
   * client.needed({"check": {"dice": "1d6", "needs": "6+"}, "want": {"chance": 0.9, "passes": 1}})
   */
  needed(request: NeededRequest, options?: CallOptions): Promise<NeededAnswer>;
  /**
   * What an attack does to a target, from plain numbers (short form).
   *
   * The same as the `POST`, as a link.
   */
  oddsLink(query: OddsLinkQuery, options?: CallOptions): Promise<OddsAnswer>;
  /** What an attack does to a target, from plain numbers. */
  odds(request: OddsRequest, options?: CallOptions): Promise<OddsAnswer>;
  /** All packs. */
  packs(options?: CallOptions): Promise<PacksAnswer>;
  /**
   * Takes a pack, checks it and keeps it under its content.
   *
   * The address that is answered stands wherever a pack is named: in requests, links, pages, pictures and batches,
   * until nobody has used it for `kept_s` seconds. `pinned` is the same in short: `name@hash`, the pack's name and at
   * least eight digits of its hash, also pins a version of a pack that the service itself has. What is not kept any
   * more is a 404 of the type `pack-gone`: send it again. A pack with mistakes is refused with all of them, each with
   * its file, line and column. The body may be larger than others (4 MiB, unless whoever runs the service has set it
   * otherwise); each 32 KiB of it count as one request for the caller's rate.
   */
  sendPack(request: SendRequest, options?: CallOptions): Promise<PackSent>;
  /**
   * What is wrong in a pack or unit-book file, each mistake with line and column (short form).
   *
   * The same as the `POST`, as a link.
   */
  packsCheckLink(query: PacksCheckLinkQuery, options?: CallOptions): Promise<PackCheckAnswer>;
  /**
   * What is wrong in a pack or unit-book file, each mistake with line and column.
   * @example
   * client.packsCheck({"files": [{"name": "ours.toml", "text": "format = 1\npack = \"canal-guild\"\n"}]})
   */
  packsCheck(request: PackCheckRequest, options?: CallOptions): Promise<PackCheckAnswer>;
  /**
   * All names of a pack, also of one that comes with the request (short form).
   *
   * The same as the `POST`, as a link.
   */
  packsNamesLink(query?: PacksNamesLinkQuery, options?: CallOptions): Promise<PackAnswer>;
  /**
   * All names of a pack, also of one that comes with the request.
   * @example
   * client.packsNames({"pack": "canal-guild"})
   */
  packsNames(request: NamesRequest, options?: CallOptions): Promise<PackAnswer>;
  /**
   * All names of a pack.
   * @param pack The pack
   */
  packsPack(pack: string, options?: CallOptions): Promise<PackAnswer>;
  /**
   * The files of a pack, as they were written.
   *
   * To begin a pack of one's own with: the page `/workshop` does. Comments are in them, so what nobody should read
   * does not belong into the files of a pack that a service has.
   * @param pack The pack
   */
  packsPackFiles(pack: string, options?: CallOptions): Promise<PackFilesAnswer>;
  /**
   * Rules of a pack.
   * @param pack The pack
   */
  packsPackRules(pack: string, query?: PacksPackRulesQuery, options?: CallOptions): Promise<RulesAnswer>;
  /**
   * A rule, with an example in numbers.
   * @param pack The pack
   * @param rule The rule
   */
  packsPackRulesRule(pack: string, rule: string, options?: CallOptions): Promise<RuleAnswer>;
  /**
   * Units of a pack.
   * @param pack The pack
   */
  packsPackUnits(pack: string, query?: PacksPackUnitsQuery, options?: CallOptions): Promise<UnitsAnswer>;
  /**
   * A unit.
   * @param pack The pack
   * @param unit The unit
   */
  packsPackUnitsUnit(pack: string, unit: string, query?: PacksPackUnitsUnitQuery, options?: CallOptions): Promise<UnitAnswer>;
  /**
   * What is repaired turn by turn, and whether the unit survives that long (short form).
   *
   * The same as the `POST`, as a link.
   */
  repairLink(query: RepairLinkQuery, options?: CallOptions): Promise<RepairOutcome>;
  /**
   * What is repaired turn by turn, and whether the unit survives that long.
   * @example
   * client.repair({"capacity": 5, "incoming": {"distribution": [{"fraction": "2/3", "value": 0}, {"fraction": "1/3", "value": 1}]}, "missing": 2, "needs": "5+"})
   */
  repair(request: RepairRequest, options?: CallOptions): Promise<RepairOutcome>;
  /**
   * What a rule says and changes, and yes or no to a question about it; what another word of the pack means (short
   * form).
   *
   * The same as the `POST`, as a link.
   */
  ruleLink(query?: RuleLinkQuery, options?: CallOptions): Promise<RuleAnswer>;
  /**
   * What a rule says and changes, and yes or no to a question about it; what another word of the pack means.
   * @example
   * client.rule({"ask": "does the screen work from behind"})
   */
  rule(request: RuleRequest, options?: CallOptions): Promise<RuleAnswer>;
  /**
   * Two to four units or loadouts side by side, measured against the same board (short form).
   *
   * The same as the `POST`, as a link.
   */
  sideBySideLink(query: SideBySideLinkQuery, options?: CallOptions): Promise<SideBySideAnswer>;
  /**
   * Two to four units or loadouts side by side, measured against the same board.
   *
   * Every number is the one that the unit's appraisal has.
   * @example
   * client.sideBySide({"pack": "canal-guild", "units": [{"unit": "Heron Carriage"}, {"unit": "Bittern Carriage"}]})
   */
  sideBySide(request: SideBySideRequest, options?: CallOptions): Promise<SideBySideAnswer>;
  /** The same as one page with its picture and its table, which needs nothing from outside. */
  sideBySideHtmlLink(query: SideBySideHtmlLinkQuery, options?: CallOptions): Promise<string>;
  /** The same as Markdown. */
  sideBySideMdLink(query: SideBySideMdLinkQuery, options?: CallOptions): Promise<string>;
  /**
   * A whole unit book ranked by what its units give for their points, all against all, with the prices that are off
   * (short form).
   *
   * The same as the `POST`, as a link.
   */
  worthLink(query?: WorthLinkQuery, options?: CallOptions): Promise<WorthAnswer>;
  /**
   * A whole unit book ranked by what its units give for their points, all against all, with the prices that are off.
   *
   * Every unit faces every unit of the board, itself too. The answer says how it was measured and what that does not
   * see. This may take some seconds; `/v1/worth/events` tells how far it has come.
   * @example
   * client.worth({"pack": "canal-guild"})
   */
  worth(request: WorthRequest, options?: CallOptions): Promise<WorthAnswer>;
  /** The league as CSV, a line for each number. */
  worthCsvLink(query?: WorthCsvLinkQuery, options?: CallOptions): Promise<string>;
  /** The league as one page with its chart, which needs nothing from outside. */
  worthHtmlLink(query?: WorthHtmlLinkQuery, options?: CallOptions): Promise<string>;
  /** The league as Markdown. */
  worthMdLink(query?: WorthMdLinkQuery, options?: CallOptions): Promise<string>;
  /**
   * The league as server-sent events: `progress` with the parts done and of how many, at last `answer` or `problem`.
   *
   * Hanging up stops the work, unless somebody else waits for the same.
   */
  worthEventsLink(query?: WorthEventsLinkQuery, options?: CallOptions): AsyncGenerator<ServerEvent, void, undefined>;
}
