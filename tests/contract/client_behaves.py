"""What the Python client does when the service refuses, delays or repeats: told by a small server that answers as each case
says and writes down what it was sent. The last cases ask the running service.
usage: client_behaves.py BASE
"""

import contextlib
import http.server
import json
import sys
import threading
import time
import traceback
import urllib.request
from collections.abc import Callable, Iterator
from typing import Any, cast

from pipwright_client import Pipwright, ProblemError
from pipwright_client.types import CheckRequest, MatchupLinkQuery, OddsRequest, SituationForm, StandingForm

Answer = tuple[int, dict[str, str], str] | None
answers: list[Answer] = []
heard: list[tuple[str, dict[str, str], str]] = []
over = threading.Event()


class Fake(http.server.BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def do_GET(self) -> None:
        body = self.rfile.read(int(self.headers.get("Content-Length", 0))).decode()
        headers = {name.lower(): value for name, value in self.headers.items()}
        heard.append((f"{self.command} {self.path}", headers, body))
        answer = answers.pop(0) if answers else (500, {}, "one request too many")
        if answer is None:
            over.wait()
            return
        status, headers, text = answer
        self.send_response(status)
        for name, value in ({"Content-Type": "application/json", "Content-Length": str(len(text))} | headers).items():
            self.send_header(name, value)
        self.end_headers()
        # In two pieces, so that nothing depends on where they are cut.
        middle = len(text) // 2
        self.wfile.write(text[:middle].encode())
        time.sleep(0.02)
        self.wfile.write(text[middle:].encode())

    do_POST = do_GET

    def log_message(self, format: str, *args: Any) -> None:
        pass


server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Fake)
threading.Thread(target=server.serve_forever, daemon=True).start()
fake = f"http://127.0.0.1:{server.server_address[1]}"
cases: list[tuple[str, list[Answer], dict[str, Any], Callable[[Pipwright], None]]] = []


def shows(what: str, *given: Answer, **options: Any) -> Callable[[Callable[[Pipwright], None]], None]:
    return lambda test: cases.append((what, list(given), options, test))


def problem(ask: Callable[[], Any]) -> ProblemError:
    try:
        ask()
    except ProblemError as error:
        return error
    raise AssertionError("there was no problem")


@contextlib.contextmanager
def takes(least: float, most: float) -> Iterator[None]:
    began = time.monotonic()
    yield
    took = time.monotonic() - began
    assert least <= took < most, f"took {took} s"


def sent(header: str) -> list[str | None]:
    return [headers.get(header) for _, headers, _ in heard]


question: CheckRequest = {"dice": "2d6", "needs": "7+"}
busy = {"type": "/docs/problems/too-busy", "title": "The service is too busy", "detail": "Ask again."}


def later(status: int, **headers: str) -> Answer:
    text = json.dumps({**busy, "status": status})
    return status, {"Content-Type": "application/problem+json"} | {k.replace("_", "-"): v for k, v in headers.items()}, text


def ok(text: str, etag: str = "") -> Answer:
    return 200, {"ETag": etag} if etag else {}, text


@shows("429 is asked again after Retry-After", later(429, retry_after="0"), later(429, retry_after="1"), ok('{"chance":0.25}'))
def _(client: Pipwright) -> None:
    with takes(0.99, 5):
        assert client.check(question)["chance"] == 0.25
    assert [line for line, _, _ in heard] == ["POST /v1/check"] * 3
    assert json.loads(heard[2][2]) == question


@shows("503 without Retry-After is asked again after a while that doubles", later(503), later(503), ok("{}"))
def _(client: Pipwright) -> None:
    with takes(0.74, 5):
        client.check(question)


@shows("503 three times is enough where two retries are", *[later(503, retry_after="0")] * 3, retries=2)
def _(client: Pipwright) -> None:
    error = problem(lambda: client.check(question))
    assert (error.status, error.type, error.title, error.detail) == (503, busy["type"], busy["title"], busy["detail"])
    assert len(heard) == 3


@shows("a wait that is too long is not begun", later(429, retry_after="31"))
def _(client: Pipwright) -> None:
    assert problem(lambda: client.check(question)).status == 429


@shows("a date is a Retry-After, too", later(503, retry_after="Wed, 21 Oct 2099 07:28:00 GMT"))
def _(client: Pipwright) -> None:
    assert problem(lambda: client.check(question)).status == 503


@shows("a date that is past is no wait", *[later(503, retry_after="Wed, 21 Oct 2015 07:28:00 GMT")] * 3, ok("{}"))
def _(client: Pipwright) -> None:
    # Less than the waits without it.
    with takes(0, 1.5):
        client.check(question)


WRONG = (
    '{"type":"/docs/problems/bad-value","title":"A bad value","status":422,"detail":"No.","pointer":"/needs","errors":'
    '[{"type":"t","detail":"No.","pointer":"/needs"},{"type":"t","detail":"Nor this.","pointer":"/dice"}]}'
)


@shows(
    "what is wrong is said in all its fields and not asked again",
    (422, {"Content-Type": "application/problem+json", "X-Request-Id": "abc"}, WRONG),
)
def _(client: Pipwright) -> None:
    error = problem(lambda: client.check(question))
    assert error.type == "/docs/problems/bad-value"
    assert error.title == "A bad value"
    assert error.status == 422
    assert error.detail == "No."
    assert error.pointer == "/needs"
    assert [entry["pointer"] for entry in error.errors] == ["/needs", "/dice"]
    assert error.request_id == "abc"
    assert str(error) == "422 A bad value: No."


@shows(
    "a refusal that is no problem document is one error of the same class",
    (414, {"Content-Type": "text/plain"}, "too long"),
)
def _(client: Pipwright) -> None:
    error = problem(lambda: client.check_link({"dice": "2d6"}))
    assert (error.status, error.type, error.detail) == (414, "about:blank", "too long")


@shows(
    "an ETag is sent, a 304 gives the kept answer, untouched",
    ok('{"chance":0.25}', '"a"'),
    (304, {"ETag": '"a"'}, ""),
    ok('{"chance":0.5}', '"b"'),
    (304, {}, ""),
)
def _(client: Pipwright) -> None:
    first = client.check_link({"dice": "2d6"})
    first["chance"] = 7
    assert [client.check_link({"dice": "2d6"})["chance"] for _ in range(3)] == [0.25, 0.5, 0.5]
    assert sent("if-none-match") == [None, '"a"', '"a"', '"b"']


@shows("so many answers are kept, the last ones used", *[ok("{}", f'"{etag}"') for etag in "abacab"], keep=2)
def _(client: Pipwright) -> None:
    for dice in ["1d6", "2d6", "1d6", "3d6", "1d6", "2d6"]:
        client.check_link({"dice": dice})
    assert sent("if-none-match") == [None, None, '"a"', None, '"a"', None]


@shows("a POST is not kept", ok("{}", '"a"'), ok("{}", '"a"'))
def _(client: Pipwright) -> None:
    client.send_pack({"files": []})
    client.packs()
    assert [line for line, _, _ in heard] == ["POST /v1/packs", "GET /v1/packs"]
    assert sent("if-none-match") == [None, None]


@shows("the query is written as the contract says, the key is sent", ok("{}"), key="secret")
def _(client: Pipwright) -> None:
    client.check_link({"dice": "2d6", "needs": ["7+", "8+"], "tries": 2, "exact": True})
    path = "/v1/check?dice=%222d6%22&needs=%5B%227%2B%22%2C%20%228%2B%22%5D&tries=2&exact=true"
    assert heard[0][0] == f"GET {path}", heard[0][0]
    assert sent("x-api-key") == ["secret"]
    assert sent("accept") == ["application/json"]


@shows("a part of a path is one part", ok("{}"))
def _(client: Pipwright) -> None:
    client.packs_pack_units_unit("sha256:a/b", "Ä b?", {"options": "mast, 2 rifles"})
    path = "/v1/packs/sha256%3Aa%2Fb/units/%C3%84%20b%3F?options=mast%2C%202%20rifles"
    assert heard[0][0] == f"GET {path}", heard[0][0]


@shows(
    "events come one by one",
    ok(
        ': hello\n\nevent: progress\ndata: {"done":1,\ndata: "of":2}\n\n'
        'event: answer\r\ndata: {"turns":6}\r\n\r\nevent: cut\ndata: {'
    ),
)
def _(client: Pipwright) -> None:
    events = list(client.worth_events_link())
    assert events == [{"event": "progress", "data": {"done": 1, "of": 2}}, {"event": "answer", "data": {"turns": 6}}]


@shows("an attempt ends in time", None, timeout=0.2)
def _(client: Pipwright) -> None:
    with takes(0.19, 5):
        try:
            client.check(question)
        except TimeoutError:
            return
        raise AssertionError("it did not end")


@shows("GET and POST give the same numbers")
def _(_: Pipwright) -> None:
    client = Pipwright(sys.argv[1])
    posted = client.check({"dice": "2d6", "needs": "7+", "tries": 3})
    assert client.check_link({"dice": "2d6", "needs": "7+", "tries": 3}) == posted
    assert posted["fraction"] == "7/12"
    assert abs(posted["all"]["chance"] - (7 / 12) ** 3) < 1e-12
    attacker: StandingForm = {"unit": "Ram Barge", "models": 3}
    target: StandingForm = {"unit": "Heron Carriage"}
    situation: SituationForm = {"arc": "rear", "moved": True}
    answer = client.matchup({"attacker": attacker, "target": target, "situation": situation, "without": []})
    link: MatchupLinkQuery = {"attacker": attacker, "target": target, "situation": situation, "without": []}
    assert client.matchup_link(link) == answer
    # What a matchup says of its chain is a question by itself.
    assert client.odds(cast(OddsRequest, answer["chain"]))["destroyed"] == answer["destroyed"]


@shows("the service's own ETag is good for a 304")
def _(_: Pipwright) -> None:
    client = Pipwright(sys.argv[1])
    statuses: list[int] = []

    class Watch(urllib.request.BaseHandler):
        def http_response(self, request: urllib.request.Request, response: Any) -> Any:
            statuses.append(response.status)
            return response

    urllib.request.install_opener(urllib.request.build_opener(Watch))
    assert client.check_link({"dice": "2d6", "needs": "7+"}) == client.check_link({"dice": "2d6", "needs": "7+"})
    urllib.request.install_opener(urllib.request.build_opener())
    assert statuses[-1] == 304


failed = False
for what, given, options, test in cases:
    answers[:], heard[:] = given, []
    try:
        test(Pipwright(fake, **options))
        assert not answers, "answers that were not asked for"
    except Exception:
        failed = True
        print(f"client_behaves.py: {what}:", file=sys.stderr)
        traceback.print_exc()
over.set()
if failed:
    sys.exit(1)
print(f"client_behaves.py: {len(cases)} cases passed")
