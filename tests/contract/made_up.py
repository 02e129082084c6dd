"""Requests made up from the contract by Schemathesis, with all its checks, and what came of them.

Large schemas are combined in tens of thousands of ways, so each operation gets its share of the time, several at once.
usage: made_up.py SCHEMATHESIS BASE SECONDS FOLDER
"""

import collections
import concurrent.futures
import json
import pathlib
import subprocess
import sys

program, base, seconds, folder = sys.argv[1], sys.argv[2], float(sys.argv[3]), pathlib.Path(sys.argv[4])
# As many as the processors that the project is built on.
ATONCE = 2
contract = json.loads((folder / "contract.json").read_text())
operations = [(path, method) for path, item in contract["paths"].items() for method in item]
share = max(4, int(seconds * ATONCE / len(operations)))


def ask(operation):
    """Asks one operation for its share of the time; cases by status, and the failures."""
    path, method = operation
    report = folder / f"made_up-{method}{path.replace('/', '-').strip('{}')}.ndjson"
    report.unlink(missing_ok=True)
    command = [
        program, "--config-file", str(pathlib.Path(__file__).parent / "schemathesis.toml"), "run", f"{base}/openapi.json",
        "--include-path", path, "--include-method", method.upper(), "--checks", "all",
        "--phases", "examples,coverage,fuzzing", "--max-time", str(share), "--continue-on-failure", "--no-shrink",
        "--suppress-health-check", "all", "--report", "ndjson", "--report-ndjson-path", str(report),
    ]  # fmt: skip
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=share * 3 + 60, cwd=folder)
        tail = done.stdout[-6000:] if done.returncode else ""
    except subprocess.TimeoutExpired:
        # The phases before the last one end when they end; what was asked until here counts.
        tail = ""
    statuses, failures = collections.Counter(), collections.Counter()
    for line in report.open() if report.exists() else []:
        try:
            event = json.loads(line).get("ScenarioFinished")
        except json.JSONDecodeError:
            continue
        if not event:
            continue
        recorder = event["recorder"]
        for interaction in recorder["interactions"].values():
            response = interaction.get("response")
            statuses[response["status_code"] if response else "none"] += 1
        for checks in recorder["checks"].values():
            for check in checks:
                if check.get("failure_info"):
                    failures[check["name"]] += 1
    report.unlink(missing_ok=True)
    return operation, statuses, failures, tail


total, failed = collections.Counter(), False
with concurrent.futures.ThreadPoolExecutor(ATONCE) as pool:
    for (path, method), statuses, failures, tail in pool.map(ask, operations):
        total += statuses
        if failures or not statuses:
            failed = True
            print(f"{method.upper()} {path}: {sum(statuses.values())} requests, failures {dict(failures)}\n{tail}")
asked = sum(total.values())
errors = sum(count for status, count in total.items() if str(status).startswith("5"))
statuses = ", ".join(f"{status}: {count}" for status, count in sorted(total.items(), key=str))
print(f"{asked} requests to {len(operations)} operations ({statuses}); server errors: {errors}")
sys.exit(failed or errors > 0)
