"""Writes a program for each client that calls every operation with the contract's own examples, as literals in the code, so
that the compiler holds them against the client's types; when it runs, each answer is held against what the contract says
that it has. Names of methods are worked out anew here and not taken from the clients.
usage: client_calls.py CONTRACT FOLDER
"""

import json
import pathlib
import re
import sys

contract = json.loads(pathlib.Path(sys.argv[1]).read_text())
folder = pathlib.Path(sys.argv[2])
TYPESCRIPT = """\
import { Pipwright, type ServerEvent } from "pipwright-client";

const client = new Pipwright(process.argv[2] ?? "");
const called = new Set<string>();
function check(name: string, holds: boolean, what: string): void {
  called.add(name);
  if (holds) return;
  console.error(`${name}: ${what}`);
  process.exitCode = 1;
}
function json(name: string, answer: unknown, required: string[], known: string[]): void {
  const keys = Object.keys(answer as object);
  const missing = required.filter((key) => !keys.includes(key));
  const strange = known.length ? keys.filter((key) => !known.includes(key)) : [];
  check(name, keys.length > 0 && !missing.length && !strange.length, `missing: ${missing}; not in the contract: ${strange}`);
}
const text = (name: string, answer: string, begins: string) =>
  check(name, answer.trim() !== "" && answer.startsWith(begins), `begins with ${answer.slice(0, 20)}`);
const picture = (name: string, answer: Uint8Array) =>
  check(name, [0x89, 0x50, 0x4e, 0x47].every((byte, at) => answer[at] === byte), "is no PNG");
async function events(name: string, stream: AsyncIterable<ServerEvent>): Promise<void> {
  const names: string[] = [];
  for await (const { event, data } of stream) if (data) names.push(event);
  // What is known already has nothing to tell before its answer.
  check(name, names.at(-1) === "answer" && names.slice(0, -1).every((one) => one === "progress"), `had the events ${names}`);
}

"""
TYPESCRIPT_END = """
const methods = Object.getOwnPropertyNames(Pipwright.prototype).filter((name) => name !== "constructor");
const left = methods.filter((name) => !called.has(name));
if (left.length || called.size !== COUNT) throw new Error(`${called.size} of COUNT operations called, not ${left}`);
console.log(`calls.ts: ${called.size} operations called, all answered as the contract says`);
"""
PYTHON = """\
import sys
from collections.abc import Iterable
from typing import Any

from pipwright_client import Pipwright, ServerEvent

client = Pipwright(sys.argv[1])
called: set[str] = set()
wrong: list[str] = []


def check(name: str, holds: bool, what: str) -> None:
    called.add(name)
    if not holds:
        wrong.append(f"{name}: {what}")


def json(name: str, answer: Any, required: set[str], known: set[str]) -> None:
    missing, strange = required - set(answer), set(answer) - known if known else set()
    check(name, bool(answer) and not missing and not strange, f"missing: {missing}; not in the contract: {strange}")


def text(name: str, answer: str, begins: str) -> None:
    check(name, bool(answer.strip()) and answer.startswith(begins), f"begins with {answer[:20]}")


def picture(name: str, answer: bytes) -> None:
    check(name, answer.startswith(b"\\x89PNG"), "is no PNG")


def events(name: str, stream: Iterable[ServerEvent]) -> None:
    names = [event["event"] for event in stream if event["data"]]
    # What is known already has nothing to tell before its answer.
    check(name, names[-1:] == ["answer"] and set(names[:-1]) <= {"progress"}, f"had the events {names}")


"""
PYTHON_END = """
left = {name for name in vars(Pipwright) if not name.startswith("_")} - called
if wrong or left or len(called) != COUNT:
    sys.exit("\\n".join([*wrong, f"{len(called)} of COUNT operations called, not {left}"]))
print(f"calls.py: {len(called)} operations called, all answered as the contract says")
"""


def resolve(schema):
    while "$ref" in schema:
        schema = contract["components"]["schemas"][schema["$ref"].rsplit("/", 1)[1]]
    return schema


def keys(schema):
    """What the answer must have, and what it may."""
    schema = resolve(schema)
    parts = [keys(part) for part in schema.get("allOf", [])]
    required = set(schema.get("required", [])).union(*(part[0] for part in parts))
    return required, set(schema.get("properties", {})).union(*(part[1] for part in parts))


def example(operation, parameter):
    content = parameter.get("content", {}).get("application/json", {})
    value = parameter.get("example", content.get("example"))
    if value is None and parameter.get("required"):
        sys.exit(f"client_calls: {operation}: the contract has no example of its {parameter['name']}")
    return value


def call(operation, written):
    """The arguments of a call, and how its answer is looked at."""
    arguments, query = [], {}
    for parameter in operation.get("parameters", []):
        value = example(operation["operationId"], parameter)
        if parameter["in"] == "path":
            arguments.append(written(value))
        elif value is not None:
            query[parameter["name"]] = value
    if "requestBody" in operation:
        arguments.append(written(operation["requestBody"]["content"]["application/json"]["example"]))
    elif any(parameter["in"] == "query" for parameter in operation.get("parameters", [])):
        arguments.append(written(query))
    kinds = operation["responses"]["200"]["content"]
    first = next(iter(kinds))
    if first.endswith("json"):
        return arguments, "json", keys(kinds[first].get("schema", {}))
    if first == "text/event-stream":
        return arguments, "events", None
    begins = {"text/html": "<!doctype html>", "text/markdown": "# ", "image/svg+xml": "<svg"}.get(first, "")
    return arguments, *(("text", begins) if first.startswith("text/") or list(kinds) == ["image/svg+xml"] else ("picture", None))


operations = [operation for item in contract["paths"].values() for operation in item.values()]
typescript, python = [], []
for operation in operations:
    name = re.sub(r"[^A-Za-z0-9]+(.)", lambda found: found[1].upper(), operation["operationId"])
    arguments, looked, expected = call(operation, lambda value: json.dumps(value, ensure_ascii=False))
    wait = "" if looked == "events" else "await "
    more = {"json": lambda: ", ".join(json.dumps(sorted(names)) for names in expected), "text": lambda: json.dumps(expected)}
    rest = f", {more[looked]()}" if looked in more else ""
    line = f'{looked}("{name}", {wait}client.{name}({", ".join(arguments)}){rest});'
    typescript.append(f"await {line}" if looked == "events" else line)

    name = re.sub(r"[^A-Za-z0-9]+", "_", operation["operationId"])
    arguments, looked, expected = call(operation, repr)
    more = {"json": lambda: ", ".join(repr(names or set()) for names in expected), "text": lambda: repr(expected)}
    rest = f", {more[looked]()}" if looked in more else ""
    python.append(f'{looked}("{name}", client.{name}({", ".join(arguments)}){rest})')

count = str(len(operations))
(folder / "calls.ts").write_text(TYPESCRIPT + "\n".join(typescript) + "\n" + TYPESCRIPT_END.replace("COUNT", count))
(folder / "calls.py").write_text(PYTHON + "\n".join(python) + "\n" + PYTHON_END.replace("COUNT", count))
