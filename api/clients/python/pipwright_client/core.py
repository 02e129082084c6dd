"""Sends the requests: the query, the key, retries, kept answers, problems. Written by hand."""

from __future__ import annotations

import email.utils
import http.client
import json
import random
import threading
import time
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, TypeAlias, TypedDict

from .types import Entry, Problem

LARGEST_KEPT = 1024 * 1024
# `urllib` takes a 304 for an error.
_Response: TypeAlias = http.client.HTTPResponse | urllib.error.HTTPError


class ServerEvent(TypedDict):
    """One event of a stream: its name, and its data read as JSON."""

    event: str
    data: Any


class ProblemError(Exception):
    """Any answer of the service that is not a success. Where none comes, `urllib` raises its own errors."""

    def __init__(self, problem: Problem, request_id: str | None) -> None:
        super().__init__(f"{problem['status']} {problem['title']}: {problem['detail']}")
        self.problem = problem
        """The whole problem as the service sent it."""
        self.type: str = problem["type"]
        """The kind of problem: the path of its page; `about:blank` where the answer was no problem document."""
        self.title: str = problem["title"]
        self.status: int = problem["status"]
        self.detail: str = problem["detail"]
        self.pointer: str | None = problem.get("pointer")
        """Where in the request the mistake is, as an RFC 6901 pointer."""
        self.errors: list[Entry] = problem.get("errors", [])
        """All mistakes, where there are several."""
        self.request_id = request_id
        """The id under which the service logs the request."""


class Core:
    """What the class made from the contract is built on. Several threads may use one."""

    def __init__(
        self,
        base: str,
        *,
        key: str | None = None,
        timeout: float = 30,
        retries: int = 3,
        longest_wait: float = 30,
        keep: int = 64,
    ) -> None:
        """
        base: the address of the service, such as `http://127.0.0.1:8640`.
        key: an API key, where the service has given you one; sent as `X-Api-Key`.
        timeout: how many seconds the service may take to connect, and to send anything more.
        retries: how often a 429 or 503 is asked again.
        longest_wait: the longest wait before asking again, in seconds; where the service wants more, the problem is
            raised at once.
        keep: how many answers are kept for asking with their `ETag`, of at most 1 MiB each.
        """
        if not base.startswith(("http://", "https://")):
            raise ValueError(f"the address of the service begins with http:// or https://, not {base!r}")
        self._base = base.rstrip("/")
        self._key = key
        self._timeout = timeout
        self._retries = retries
        self._longest_wait = longest_wait
        self._keep = keep
        self._kept: dict[str, tuple[str, bytes]] = {}
        self._lock = threading.Lock()

    def _json(self, method: str, path: str, *, accept: str = "application/json", **call: Any) -> Any:
        return json.loads(self._bytes(method, path, accept=accept, **call))

    def _text(self, method: str, path: str, **call: Any) -> str:
        return self._bytes(method, path, **call).decode()

    def _bytes(
        self,
        method: str,
        path: str,
        *,
        accept: str,
        query: Mapping[str, Any] | None = None,
        as_json: Sequence[str] = (),
        body: Any = None,
    ) -> bytes:
        url = self._base + path + _written(query or {}, as_json)
        name = f"{accept} {url}"
        kept = self._kept.get(name) if method == "GET" else None
        with self._ask(method, url, accept, body, kept[0] if kept else None) as response:
            etag, content = response.headers["ETag"], response.read()
        if kept and response.status == 304:
            etag, content = kept
        with self._lock:
            self._kept.pop(name, None)
            if method == "GET" and etag and len(content) <= LARGEST_KEPT:
                # The newest stands last, so the first is the one that was not used for longest.
                self._kept[name] = (etag, content)
                if len(self._kept) > self._keep:
                    del self._kept[next(iter(self._kept))]
        return content

    def _events(
        self,
        method: str,
        path: str,
        *,
        accept: str,
        query: Mapping[str, Any] | None = None,
        as_json: Sequence[str] = (),
    ) -> Iterator[ServerEvent]:
        url = self._base + path + _written(query or {}, as_json)
        with self._ask(method, url, accept, None, None) as response:
            event, data = "message", list[str]()
            for line in response:
                field, _, value = line.decode().rstrip("\r\n").partition(":")
                value = value.removeprefix(" ")
                if field == "event":
                    event = value
                elif field == "data":
                    data.append(value)
                elif not field and not value and data:
                    yield {"event": event, "data": json.loads("\n".join(data))}
                    event, data = "message", []

    def _ask(self, method: str, url: str, accept: str, body: Any, etag: str | None) -> _Response:
        """Sends the request until it is answered by something other than "later", or there was enough of that."""
        headers = {"Accept": accept}
        if self._key:
            headers["X-Api-Key"] = self._key
        if etag:
            headers["If-None-Match"] = etag
        if body is not None:
            headers["Content-Type"] = "application/json"
        sent = None if body is None else json.dumps(body).encode()
        tried = 0
        while True:
            request = urllib.request.Request(url, sent, headers, method=method)
            try:
                answer: http.client.HTTPResponse = urllib.request.urlopen(request, timeout=self._timeout)
                return answer
            except urllib.error.HTTPError as refused:
                if refused.status == 304 and etag:
                    return refused
                with refused:
                    problem = _problem(refused)
                    wait = _wait(refused.headers["Retry-After"], tried)
            if problem.status not in (429, 503) or tried >= self._retries or wait > self._longest_wait:
                raise problem
            time.sleep(wait)
            tried += 1


def part(text: str) -> str:
    """One part of a path."""
    return urllib.parse.quote(text, safe="")


def _written(query: Mapping[str, Any], as_json: Sequence[str]) -> str:
    """The query as the contract says: some fields as JSON, the others plainly."""
    pairs = []
    for name, value in query.items():
        if name in as_json:
            texts = [json.dumps(value)]
        else:
            # Plain text is what it is; of numbers and booleans JSON is the plain form.
            values = value if isinstance(value, list) else [value]
            texts = [one if isinstance(one, str) else json.dumps(one) for one in values]
        pairs += [(name, text) for text in texts]
    return "?" + urllib.parse.urlencode(pairs, quote_via=urllib.parse.quote, safe="") if pairs else ""


def _wait(retry_after: str | None, tried: int) -> float:
    """How many seconds to wait: what `Retry-After` says, in seconds or as a date; else half a second, twice that, and
    so on, less up to half of it, so that many clients do not come back together.
    """
    if retry_after is not None and retry_after.strip().isdigit():
        return float(retry_after)
    try:
        return max(0.0, email.utils.parsedate_to_datetime(retry_after or "").timestamp() - time.time())
    except ValueError:
        return 0.5 * 2.0**tried * (1 - random.random() / 2)


def _problem(refused: urllib.error.HTTPError) -> ProblemError:
    text = refused.read().decode(errors="replace")
    title = refused.reason or "no success"
    problem: Problem = {"type": "about:blank", "title": title, "status": refused.code, "detail": text}
    if refused.headers.get_content_type() == "application/problem+json":
        problem.update(json.loads(text))
    return ProblemError(problem, refused.headers["X-Request-Id"])
