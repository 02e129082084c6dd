"""Requests made up from the contract by Schemathesis, with all its checks, and what came of them.

Large schemas are combined in tens of thousands of ways, so each operation gets a share of the time that grows with its
schema, several at once. Where the share is too short for all the phases of a large one, only the last is run, which asks
at random and is never done. Slow operations, the leagues of whole packs, get no more time for that, so they are asked
less often. The same requests are made up each time, as far as the time goes; with --full of tests/run always others.
usage: made_up.py SCHEMATHESIS BASE SECONDS FOLDER
"""

import collections
import concurrent.futures
import json
import os
import pathlib
import random
import subprocess
import sys

program, base, seconds, folder = sys.argv[1], sys.argv[2], float(sys.argv[3]), pathlib.Path(sys.argv[4])
seed = random.randrange(1 << 32) if os.environ.get("PIPWRIGHT_TESTS_FULL") else 1
# As many as the processors that the project is built on.
ATONCE = 2
contract = json.loads((folder / "contract.json").read_text())
operations = [(path, method) for path, item in contract["paths"].items() for method in item]
# Bytes of schema that take as long as getting started.
LARGE = 8_000
# So much more of it than usual, and all phases need so many seconds.
HUGE, ALL_PHASES = 2 * LARGE, 60


def schema_bytes(part, seen):
    """The size of all that this part of the contract leads to."""
    if isinstance(part, list):
        return sum(schema_bytes(item, seen) for item in part)
    if not isinstance(part, dict):
        return 0
    size, target = 0, part.get("$ref")
    if target and target not in seen:
        seen.add(target)
        schema = contract
        for step in target.removeprefix("#/").split("/"):
            schema = schema[step]
        size = len(json.dumps(schema)) + schema_bytes(schema, seen)
    return size + sum(schema_bytes(item, seen) for item in part.values())


def sizes():
    for path, method in operations:
        asked = contract["paths"][path][method]
        yield (path, method), schema_bytes([asked.get("parameters"), asked.get("requestBody")], set())


size = dict(sizes())
weights = {operation: 1 + bytes / LARGE for operation, bytes in size.items()}
second = seconds * ATONCE / sum(weights.values())


def ask(operation):
    """Asks one operation for its share of the time; where not one request came of it, once more for longer."""
    share = max(2, round(second * weights[operation]))
    answer = ask_for(operation, share)
    return answer if answer[1] else ask_for(operation, 5 * share)


def ask_for(operation, share):
    """Cases by status, the failures, the phases that sent nothing, and the end of what was said where one failed."""
    path, method = operation
    report = folder / f"made_up-{method}{path.replace('/', '-').strip('{}')}.ndjson"
    report.unlink(missing_ok=True)
    random_only = size[operation] > HUGE and share < ALL_PHASES
    command = [
        program, "--config-file", str(pathlib.Path(__file__).parent / "schemathesis.toml"), "run", f"{base}/openapi.json",
        "--include-name", f"{method.upper()} {path}", "--checks", "all",
        "--phases", "fuzzing" if random_only else "examples,coverage,fuzzing",
        "--seed", str(seed), "--max-time", str(share), "--continue-on-failure", "--no-shrink",
        "--suppress-health-check", "all", "--report", "ndjson", "--report-ndjson-path", str(report),
    ]  # fmt: skip
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=share * 3 + 60, cwd=folder)
        tail = done.stdout[-6000:] if done.returncode else ""
    except subprocess.TimeoutExpired:
        # The phases before the last one end when they end; what was asked until here counts.
        tail = ""
    statuses, failures, silent = collections.Counter(), collections.Counter(), []
    for line in report.open() if report.exists() else []:
        try:
            event = json.loads(line).get("ScenarioFinished")
        except json.JSONDecodeError:
            continue
        if not event:
            continue
        recorder = event["recorder"]
        # A phase that sent nothing says why, and has neither.
        if not recorder.get("interactions"):
            silent.append(f"{event['phase']}: {event.get('skip_reason') or 'no reason given'}")
        for interaction in recorder.get("interactions", {}).values():
            response = interaction.get("response")
            statuses[response["status_code"] if response else "none"] += 1
        for checks in recorder.get("checks", {}).values():
            for check in checks:
                if check.get("failure_info"):
                    failures[check["name"]] += 1
    report.unlink(missing_ok=True)
    return operation, statuses, failures, silent, tail


total, failed, silences, counts = collections.Counter(), False, collections.Counter(), {}
with concurrent.futures.ThreadPoolExecutor(ATONCE) as pool:
    for (path, method), statuses, failures, silent, tail in pool.map(ask, operations):
        total += statuses
        silences.update(silent)
        counts[f"{method.upper()} {path}"] = sum(statuses.values())
        if failures or not statuses:
            failed = True
            what = f"failures {dict(failures)}" if failures else f"NEVER ASKED ({', '.join(silent)})"
            print(f"{method.upper()} {path}: {sum(statuses.values())} requests, seed {seed}, {what}\n{tail}")
asked = sum(total.values())
errors = sum(count for status, count in total.items() if str(status).startswith("5"))
statuses = ", ".join(f"{status}: {count}" for status, count in sorted(total.items(), key=str))
print(f"{asked} requests to {len(operations)} operations ({statuses}); server errors: {errors}")
print("asked least:", ", ".join(f"{name} {count}" for name, count in sorted(counts.items(), key=lambda one: one[1])[:8]))
for what, count in sorted(silences.items()):
    print(f"nothing sent, {what}: {count} operations")
sys.exit(failed or errors > 0)
