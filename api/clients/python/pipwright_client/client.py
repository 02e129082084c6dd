"""The service, one method for each operation of its contract. Long because it is made from the contract by api/clients/make."""

from collections.abc import Iterator
from typing import Any, cast

from .core import Core, ServerEvent, part
from .types import (
    AppraisalAnswer, AppraisalCsvLinkQuery, AppraisalHtmlLinkQuery, AppraisalLinkQuery, AppraisalMdLinkQuery,
    AppraisalPicturesPictureQuery, AppraisalRequest, ArcAnswer, ArcLinkQuery, ArcRequest, AssignAnswer,
    AssignLinkQuery, AssignRequest, BatchAnswer, BatchLinkQuery, BatchRequest, BlastLinkQuery, BlastOutcome,
    BlastRequest, BuildAnswer, BuildLinkQuery, BuildRequest, CheckLinkQuery, CheckOutcome, CheckRequest,
    CompareAnswer, CompareLinkQuery, CompareListsAnswer, CompareListsLinkQuery, CompareListsRequest, CompareRequest,
    DrawLinkQuery, DrawOutcome, DrawRequest, DuelLinkQuery, DuelOutcome, DuelRequest, FairLinkQuery, FairOutcome,
    FairRequest, ListAnswer, ListPointsLinkQuery, ListRequest, LuckAnswer, LuckLinkQuery, LuckRequest,
    MatchupAnswer, MatchupLinkQuery, MatchupRequest, NamesRequest, NeededAnswer, NeededLinkQuery, NeededRequest,
    OddsAnswer, OddsLinkQuery, OddsRequest, PackAnswer, PackCheckAnswer, PackCheckRequest, PackFilesAnswer,
    PackSent, PacksAnswer, PacksCheckLinkQuery, PacksNamesLinkQuery, PacksPackRulesQuery, PacksPackUnitsQuery,
    PacksPackUnitsUnitQuery, RepairLinkQuery, RepairOutcome, RepairRequest, RuleAnswer, RuleLinkQuery, RuleRequest,
    RulesAnswer, SendRequest, SideBySideAnswer, SideBySideHtmlLinkQuery, SideBySideLinkQuery, SideBySideMdLinkQuery,
    SideBySideRequest, UnitAnswer, UnitsAnswer, WorthAnswer, WorthCsvLinkQuery, WorthEventsLinkQuery,
    WorthHtmlLinkQuery, WorthLinkQuery, WorthMdLinkQuery, WorthRequest,
)


class Pipwright(Core):
    """The service, one method for each operation of its contract."""

    def livez(self) -> str:
        """Whether the process lives.

        Checks nothing: a process that answers is alive.
        """
        return self._text("GET", "/livez", accept="text/plain")

    def metrics(self) -> str:
        """Metrics in Prometheus's text format.

        Where the service gives them on a listener of their own (`metrics_listen`), they are not here.
        """
        return self._text("GET", "/metrics", accept="text/plain")

    def packs_schema_json_link(self) -> Any:
        """The JSON Schema of pack files.

        Draft 2020-12, of rules and unit books alike. An editor that knows TOML completes and checks by it where a
        file's first line is `#:schema http://…/packs.schema.json`.
        """
        return self._json("GET", "/packs.schema.json", accept="application/schema+json")

    def readyz(self) -> str:
        """Whether to send it requests.

        Not while it is stopping. Redis has no say: without it the service computes. Nor have bad pack files: the
        packs stay as they were, and the lines behind the first say what is wrong, and where.
        """
        return self._text("GET", "/readyz", accept="text/plain")

    def appraisal_link(self, query: AppraisalLinkQuery) -> AppraisalAnswer:
        """What a unit is worth: its cost, what it does to a board of targets, how long it lives, and what drives that
        (short form).

        The same as the `POST`, as a link.
        """
        return cast(AppraisalAnswer, self._json("GET", "/v1/appraisal", query=query, as_json=["against", "book", "near", "options", "pack", "unit", "weapons"]))

    def appraisal(self, request: AppraisalRequest) -> AppraisalAnswer:
        """What a unit is worth: its cost, what it does to a board of targets, how long it lives, and what drives that.

        The board is the pack's own, or the units of `against`. Whoever attacks is not attacked back, and chooses
        the range at which one turn removes most; the arc is the usual one where none is named. Worth is the average
        number of points destroyed in a game, times the average share of a game's turns that the unit survives, for
        each point that it costs. A target that it cannot attack counts as no points destroyed, an attacker that
        cannot attack it as a whole game survived. Each row carries the question that gives its numbers in `ask`.

        Example:
            client.appraisal({"pack": "canal-guild", "unit": "Heron Carriage"})
        """
        return cast(AppraisalAnswer, self._json("POST", "/v1/appraisal", body=request))

    def appraisal_csv_link(self, query: AppraisalCsvLinkQuery) -> str:
        """The tables of the appraisal as CSV, a line for each number."""
        return self._text("GET", "/v1/appraisal.csv", query=query, accept="text/csv")

    def appraisal_html_link(self, query: AppraisalHtmlLinkQuery) -> str:
        """The appraisal as one page with its charts, which needs nothing from outside."""
        return self._text("GET", "/v1/appraisal.html", query=query, accept="text/html")

    def appraisal_md_link(self, query: AppraisalMdLinkQuery) -> str:
        """The appraisal as Markdown."""
        return self._text("GET", "/v1/appraisal.md", query=query, accept="text/markdown")

    def appraisal_pictures_picture(self, picture: str, query: AppraisalPicturesPictureQuery) -> bytes:
        """One of the page's pictures, such as `1.svg` or `2.png`; its words for those who can't see it are inside.

        picture: Its place on the page, from 1, with `.svg` or `.png`
        """
        return self._bytes("GET", f"/v1/appraisal/pictures/{part(picture)}", query=query, accept="image/png, image/svg+xml")

    def arc_link(self, query: ArcLinkQuery | None = None) -> ArcAnswer:
        """Which side of a hull is hit, from a bearing or from where both stand (short form).

        The same as the `POST`, as a link.
        """
        return cast(ArcAnswer, self._json("GET", "/v1/arc", query=query, as_json=["attacker", "book", "hull", "pack", "target", "unit"]))

    def arc(self, request: ArcRequest) -> ArcAnswer:
        """Which side of a hull is hit, from a bearing or from where both stand.

        Example:
            client.arc({"attacker": {"x": 10, "y": 10}, "hull": {"length_mm": 130, "width_mm": 75}, "target": {"heading": 90, "x": 0, "y": 0}})
        """
        return cast(ArcAnswer, self._json("POST", "/v1/arc", body=request))

    def assign_link(self, query: AssignLinkQuery) -> AssignAnswer:
        """Who attacks whom, so that most is destroyed (short form).

        The same as the `POST`, as a link.
        """
        return cast(AssignAnswer, self._json("GET", "/v1/assign", query=query, as_json=["attackers", "book", "must", "objective", "pack", "pairs", "situation", "targets"]))

    def assign(self, request: AssignRequest) -> AssignAnswer:
        """Who attacks whom, so that most is destroyed.

        The best of all ways to send attackers to targets. Those on one target act in the order listed, each on what
        stands when it acts. The answer says what everybody's own best target would have given, the next best plans,
        and why each goes where it goes.

        Example:
            client.assign({"attackers": [{"unit": "Heron Carriage"}, {"unit": "Culverin Crew"}], "pack": "canal-guild", "targets": [{"models": 10, "unit": "Quay Rifles"}, {"unit": "Heron Carriage"}]})
        """
        return cast(AssignAnswer, self._json("POST", "/v1/assign", body=request))

    def batch_link(self, query: BatchLinkQuery) -> BatchAnswer:
        """Up to 100 questions in one request (short form).

        The same as the `POST`, as a link.
        """
        return cast(BatchAnswer, self._json("GET", "/v1/batch", query=query, as_json=["questions"]))

    def batch(self, request: BatchRequest) -> BatchAnswer:
        """Up to 100 questions in one request.

        Example:
            client.batch({"questions": [{"path": "check", "request": {"dice": "2d6", "needs": "7+"}}]})
        """
        return cast(BatchAnswer, self._json("POST", "/v1/batch", body=request))

    def blast_link(self, query: BlastLinkQuery) -> BlastOutcome:
        """How many bases a round template catches (short form).

        The same as the `POST`, as a link.
        """
        return cast(BlastOutcome, self._json("GET", "/v1/blast", query=query, as_json=["aim", "bases", "because", "counts", "formation", "hull", "label", "scatter", "template"]))

    def blast(self, request: BlastRequest) -> BlastOutcome:
        """How many bases a round template catches.

        Example:
            client.blast({"formation": {"base_mm": 25, "files": 5, "gap_mm": 10, "models": 10}, "scatter": {"dice": "2d6", "on_target": "1/3", "reduce": 4}, "template": {"diameter_mm": 75}})
        """
        return cast(BlastOutcome, self._json("POST", "/v1/blast", body=request))

    def build_link(self, query: BuildLinkQuery | None = None) -> BuildAnswer:
        """The best legal lists for so many points, against the pack's board or another list (short form).

        The same as the `POST`, as a link.
        """
        return cast(BuildAnswer, self._json("GET", "/v1/build", query=query, as_json=["against", "book", "exclude", "keep", "objective", "pack"]))

    def build(self, request: BuildRequest) -> BuildAnswer:
        """The best legal lists for so many points, against the pack's board or another list.

        Each list is legal at `list-points` with the same total, and proven best or given with the most that another
        could reach. Where no list is legal, `problems` names the smallest set of limits that clash.

        Example:
            client.build({"limit": 1000, "pack": "canal-guild"})
        """
        return cast(BuildAnswer, self._json("POST", "/v1/build", body=request))

    def check_link(self, query: CheckLinkQuery) -> CheckOutcome:
        """One roll, or several: how many pass, and which is the first to pass (short form).

        The same as the `POST`, as a link.
        """
        return cast(CheckOutcome, self._json("GET", "/v1/check", query=query, as_json=["because", "dice", "keep", "label", "needs", "reroll", "ties", "versus"]))

    def check(self, request: CheckRequest) -> CheckOutcome:
        """One roll, or several: how many pass, and which is the first to pass.

        Example:
            client.check({"dice": "2d6", "needs": "7+", "tries": 3})
        """
        return cast(CheckOutcome, self._json("POST", "/v1/check", body=request))

    def compare_link(self, query: CompareLinkQuery | None = None) -> CompareAnswer:
        """Several attacks against several targets in one table (short form).

        The same as the `POST`, as a link.
        """
        return cast(CompareAnswer, self._json("GET", "/v1/compare", query=query, as_json=["every", "targets", "variants", "want"]))

    def compare(self, request: CompareRequest) -> CompareAnswer:
        """Several attacks against several targets in one table."""
        return cast(CompareAnswer, self._json("POST", "/v1/compare", body=request))

    def compare_lists_link(self, query: CompareListsLinkQuery) -> CompareListsAnswer:
        """Two lists against each other: the points that each takes in a game, row by row, and what each has no answer
        to (short form).

        The same as the `POST`, as a link.
        """
        return cast(CompareListsAnswer, self._json("GET", "/v1/compare-lists", query=query, as_json=["a", "b", "book", "pack"]))

    def compare_lists(self, request: CompareListsRequest) -> CompareListsAnswer:
        """Two lists against each other: the points that each takes in a game, row by row, and what each has no answer
        to.

        This says how well two lists are matched unit against unit; it plays no game between them.

        Example:
            client.compare_lists({"a": {"text": "2 Ram Barges\\nHeron Carriage"}, "b": {"text": "10 Quay Rifles\\nCulverin Crew"}, "pack": "canal-guild"})
        """
        return cast(CompareListsAnswer, self._json("POST", "/v1/compare-lists", body=request))

    def draw_link(self, query: DrawLinkQuery) -> DrawOutcome:
        """Tokens or cards drawn without replacement (short form).

        The same as the `POST`, as a link.
        """
        return cast(DrawOutcome, self._json("GET", "/v1/draw", query=query, as_json=["contents", "ends_on", "wanted"]))

    def draw(self, request: DrawRequest) -> DrawOutcome:
        """Tokens or cards drawn without replacement.

        Example:
            client.draw({"contents": {"blue": 3, "end": 1, "red": 4}, "draws": 3, "ends_on": {"end": 1}})
        """
        return cast(DrawOutcome, self._json("POST", "/v1/draw", body=request))

    def duel_link(self, query: DuelLinkQuery) -> DuelOutcome:
        """Two sides fight turn by turn: who is left, and when (short form).

        The same as the `POST`, as a link.
        """
        return cast(DuelOutcome, self._json("GET", "/v1/duel", query=query, as_json=["a", "b", "because", "book", "first", "label", "pack", "situation", "with", "without"]))

    def duel(self, request: DuelRequest) -> DuelOutcome:
        """Two sides fight turn by turn: who is left, and when.

        Example:
            client.duel({"a": {"attack": {"steps": [{"name": "hit", "needs": "4+"}]}, "target": {"models": 5}}, "b": {"attack": {"attacks": 2, "steps": [{"name": "hit", "needs": "3+"}]}, "target": {"health": 2, "models": 3}}, "first": "roll"})
        """
        return cast(DuelOutcome, self._json("POST", "/v1/duel", body=request))

    def fair_link(self, query: FairLinkQuery) -> FairOutcome:
        """Is this die fair? How often each face came up, held against how often it should (short form).

        The same as the `POST`, as a link.
        """
        return cast(FairOutcome, self._json("GET", "/v1/fair", query=query, as_json=["faces", "weights"]))

    def fair(self, request: FairRequest) -> FairOutcome:
        """Is this die fair? How often each face came up, held against how often it should.

        Example:
            client.fair({"faces": {"1": 12, "2": 9, "3": 14, "4": 8, "5": 11, "6": 26}})
        """
        return cast(FairOutcome, self._json("POST", "/v1/fair", body=request))

    def list_points_link(self, query: ListPointsLinkQuery | None = None) -> ListAnswer:
        """What a list costs, every limit that it breaks, and what the points left could buy (short form).

        The same as the `POST`, as a link.
        """
        return cast(ListAnswer, self._json("GET", "/v1/list-points", query=query, as_json=["book", "lines", "pack", "text"]))

    def list_points(self, request: ListRequest) -> ListAnswer:
        """What a list costs, every limit that it breaks, and what the points left could buy.

        Example:
            client.list_points({"limit": 500, "lines": ["2x Ram Barge", "Heron Carriage + signal mast"]})
        """
        return cast(ListAnswer, self._json("POST", "/v1/list-points", body=request))

    def luck_link(self, query: LuckLinkQuery | None = None) -> LuckAnswer:
        """A result that happened, or a whole evening of them: how unusual was it? (short form).

        The same as the `POST`, as a link.
        """
        return cast(LuckAnswer, self._json("GET", "/v1/luck", query=query, as_json=["chain", "check", "duel", "log", "matchup", "repair", "result", "side"]))

    def luck(self, request: LuckRequest) -> LuckAnswer:
        """A result that happened, or a whole evening of them: how unusual was it?

        Example:
            client.luck({"check": {"dice": "1d6", "needs": "2+", "tries": 6}, "result": {"passes": 1}})
        """
        return cast(LuckAnswer, self._json("POST", "/v1/luck", body=request))

    def matchup_link(self, query: MatchupLinkQuery) -> MatchupAnswer:
        """One unit attacks another: what happens, and why (short form).

        The same as the `POST`, as a link.
        """
        return cast(MatchupAnswer, self._json("GET", "/v1/matchup", query=query, as_json=["attacker", "book", "pack", "situation", "target", "with", "without"]))

    def matchup(self, request: MatchupRequest) -> MatchupAnswer:
        """One unit attacks another: what happens, and why.

        Example:
            client.matchup({"attacker": {"models": 3, "unit": "Ram Barge"}, "situation": {"arc": "rear"}, "target": {"unit": "Heron Carriage"}})
        """
        return cast(MatchupAnswer, self._json("POST", "/v1/matchup", body=request))

    def needed_link(self, query: NeededLinkQuery) -> NeededAnswer:
        """How many attackers, or tries, for a wanted chance (short form).

        The same as the `POST`, as a link.
        """
        return cast(NeededAnswer, self._json("GET", "/v1/needed", query=query, as_json=["chain", "check", "matchup", "want"]))

    def needed(self, request: NeededRequest) -> NeededAnswer:
        """How many attackers, or tries, for a wanted chance.

        Example:
            client.needed({"check": {"dice": "1d6", "needs": "6+"}, "want": {"chance": 0.9, "passes": 1}})
        """
        return cast(NeededAnswer, self._json("POST", "/v1/needed", body=request))

    def odds_link(self, query: OddsLinkQuery) -> OddsAnswer:
        """What an attack does to a target, from plain numbers (short form).

        The same as the `POST`, as a link.
        """
        return cast(OddsAnswer, self._json("GET", "/v1/odds", query=query, as_json=["aftermath", "attacks", "because", "by_counter", "counts", "damage", "gate", "label", "steps", "target", "volleys"]))

    def odds(self, request: OddsRequest) -> OddsAnswer:
        """What an attack does to a target, from plain numbers."""
        return cast(OddsAnswer, self._json("POST", "/v1/odds", body=request))

    def packs(self) -> PacksAnswer:
        """All packs."""
        return cast(PacksAnswer, self._json("GET", "/v1/packs"))

    def send_pack(self, request: SendRequest) -> PackSent:
        """Takes a pack, checks it and keeps it under its content.

        The address that is answered stands wherever a pack is named: in requests, links, pages, pictures and
        batches, until nobody has used it for `kept_s` seconds. `pinned` is the same in short: `name@hash`, the
        pack's name and at least eight digits of its hash, also pins a version of a pack that the service itself
        has. What is not kept any more is a 404 of the type `pack-gone`: send it again. A pack with mistakes is
        refused with all of them, each with its file, line and column. The body may be larger than others (4 MiB,
        unless whoever runs the service has set it otherwise); each 32 KiB of it count as one request for the
        caller's rate.
        """
        return cast(PackSent, self._json("POST", "/v1/packs", body=request))

    def packs_check_link(self, query: PacksCheckLinkQuery) -> PackCheckAnswer:
        """What is wrong in a pack or unit-book file, each mistake with line and column (short form).

        The same as the `POST`, as a link.
        """
        return cast(PackCheckAnswer, self._json("GET", "/v1/packs/check", query=query, as_json=["files"]))

    def packs_check(self, request: PackCheckRequest) -> PackCheckAnswer:
        """What is wrong in a pack or unit-book file, each mistake with line and column.

        Example:
            client.packs_check({"files": [{"name": "ours.toml", "text": "format = 1\\npack = \\"canal-guild\\"\\n"}]})
        """
        return cast(PackCheckAnswer, self._json("POST", "/v1/packs/check", body=request))

    def packs_names_link(self, query: PacksNamesLinkQuery | None = None) -> PackAnswer:
        """All names of a pack, also of one that comes with the request (short form).

        The same as the `POST`, as a link.
        """
        return cast(PackAnswer, self._json("GET", "/v1/packs/names", query=query, as_json=["book", "pack"]))

    def packs_names(self, request: NamesRequest) -> PackAnswer:
        """All names of a pack, also of one that comes with the request.

        Example:
            client.packs_names({"pack": "canal-guild"})
        """
        return cast(PackAnswer, self._json("POST", "/v1/packs/names", body=request))

    def packs_pack(self, pack: str) -> PackAnswer:
        """All names of a pack.

        pack: The pack
        """
        return cast(PackAnswer, self._json("GET", f"/v1/packs/{part(pack)}"))

    def packs_pack_files(self, pack: str) -> PackFilesAnswer:
        """The files of a pack, as they were written.

        To begin a pack of one's own with: the page `/workshop` does. Comments are in them, so what nobody should
        read does not belong into the files of a pack that a service has.

        pack: The pack
        """
        return cast(PackFilesAnswer, self._json("GET", f"/v1/packs/{part(pack)}/files"))

    def packs_pack_rules(self, pack: str, query: PacksPackRulesQuery | None = None) -> RulesAnswer:
        """Rules of a pack.

        pack: The pack
        """
        return cast(RulesAnswer, self._json("GET", f"/v1/packs/{part(pack)}/rules", query=query))

    def packs_pack_rules_rule(self, pack: str, rule: str) -> RuleAnswer:
        """A rule, with an example in numbers.

        pack: The pack
        rule: The rule
        """
        return cast(RuleAnswer, self._json("GET", f"/v1/packs/{part(pack)}/rules/{part(rule)}"))

    def packs_pack_units(self, pack: str, query: PacksPackUnitsQuery | None = None) -> UnitsAnswer:
        """Units of a pack.

        pack: The pack
        """
        return cast(UnitsAnswer, self._json("GET", f"/v1/packs/{part(pack)}/units", query=query))

    def packs_pack_units_unit(self, pack: str, unit: str, query: PacksPackUnitsUnitQuery | None = None) -> UnitAnswer:
        """A unit.

        pack: The pack
        unit: The unit
        """
        return cast(UnitAnswer, self._json("GET", f"/v1/packs/{part(pack)}/units/{part(unit)}", query=query))

    def repair_link(self, query: RepairLinkQuery) -> RepairOutcome:
        """What is repaired turn by turn, and whether the unit survives that long (short form).

        The same as the `POST`, as a link.
        """
        return cast(RepairOutcome, self._json("GET", "/v1/repair", query=query, as_json=["because", "compare", "incoming", "label", "needs", "order", "reroll", "restores", "rolls"]))

    def repair(self, request: RepairRequest) -> RepairOutcome:
        """What is repaired turn by turn, and whether the unit survives that long.

        Example:
            client.repair({"capacity": 5, "incoming": {"distribution": [{"fraction": "2/3", "value": 0}, {"fraction": "1/3", "value": 1}]}, "missing": 2, "needs": "5+"})
        """
        return cast(RepairOutcome, self._json("POST", "/v1/repair", body=request))

    def rule_link(self, query: RuleLinkQuery | None = None) -> RuleAnswer:
        """What a rule says and changes, and yes or no to a question about it; what another word of the pack means
        (short form).

        The same as the `POST`, as a link.
        """
        return cast(RuleAnswer, self._json("GET", "/v1/rule", query=query, as_json=["ask", "book", "pack", "rule"]))

    def rule(self, request: RuleRequest) -> RuleAnswer:
        """What a rule says and changes, and yes or no to a question about it; what another word of the pack means.

        Example:
            client.rule({"ask": "does the screen work from behind"})
        """
        return cast(RuleAnswer, self._json("POST", "/v1/rule", body=request))

    def side_by_side_link(self, query: SideBySideLinkQuery) -> SideBySideAnswer:
        """Two to four units or loadouts side by side, measured against the same board (short form).

        The same as the `POST`, as a link.
        """
        return cast(SideBySideAnswer, self._json("GET", "/v1/side-by-side", query=query, as_json=["against", "book", "pack", "units"]))

    def side_by_side(self, request: SideBySideRequest) -> SideBySideAnswer:
        """Two to four units or loadouts side by side, measured against the same board.

        Every number is the one that the unit's appraisal has.

        Example:
            client.side_by_side({"pack": "canal-guild", "units": [{"unit": "Heron Carriage"}, {"unit": "Bittern Carriage"}]})
        """
        return cast(SideBySideAnswer, self._json("POST", "/v1/side-by-side", body=request))

    def side_by_side_html_link(self, query: SideBySideHtmlLinkQuery) -> str:
        """The same as one page with its picture and its table, which needs nothing from outside."""
        return self._text("GET", "/v1/side-by-side.html", query=query, accept="text/html")

    def side_by_side_md_link(self, query: SideBySideMdLinkQuery) -> str:
        """The same as Markdown."""
        return self._text("GET", "/v1/side-by-side.md", query=query, accept="text/markdown")

    def worth_link(self, query: WorthLinkQuery | None = None) -> WorthAnswer:
        """A whole unit book ranked by what its units give for their points, all against all, with the prices that are
        off (short form).

        The same as the `POST`, as a link.
        """
        return cast(WorthAnswer, self._json("GET", "/v1/worth", query=query, as_json=["board", "book", "pack", "units"]))

    def worth(self, request: WorthRequest) -> WorthAnswer:
        """A whole unit book ranked by what its units give for their points, all against all, with the prices that are
        off.

        Every unit faces every unit of the board, itself too. The answer says how it was measured and what that does
        not see. This may take some seconds; `/v1/worth/events` tells how far it has come.

        Example:
            client.worth({"pack": "canal-guild"})
        """
        return cast(WorthAnswer, self._json("POST", "/v1/worth", body=request))

    def worth_csv_link(self, query: WorthCsvLinkQuery | None = None) -> str:
        """The league as CSV, a line for each number."""
        return self._text("GET", "/v1/worth.csv", query=query, accept="text/csv")

    def worth_html_link(self, query: WorthHtmlLinkQuery | None = None) -> str:
        """The league as one page with its chart, which needs nothing from outside."""
        return self._text("GET", "/v1/worth.html", query=query, accept="text/html")

    def worth_md_link(self, query: WorthMdLinkQuery | None = None) -> str:
        """The league as Markdown."""
        return self._text("GET", "/v1/worth.md", query=query, accept="text/markdown")

    def worth_events_link(self, query: WorthEventsLinkQuery | None = None) -> Iterator[ServerEvent]:
        """The league as server-sent events: `progress` with the parts done and of how many, at last `answer` or
        `problem`.

        Hanging up stops the work, unless somebody else waits for the same.
        """
        return self._events("GET", "/v1/worth/events", query=query, accept="text/event-stream")
