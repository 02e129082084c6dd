"""The door for assistants, by the protocol's own Python client: every tool over HTTP and over standard input and output,
questions whose numbers are held against the endpoint's, and wrong input.
usage: assistants.py BASE CONTRACT PROGRAM
"""

import asyncio
import json
import os
import sys
import urllib.request

from mcp import Client, MCPError, StdioServerParameters, stdio_client

base, contract, program = sys.argv[1:]
contract = json.load(open(contract, encoding="utf-8"))
POSTED = ["matchup", "odds", "check", "repair", "needed", "duel", "luck", "list_points", "build", "assign", "rule"]
failed = []


def expect(holds: bool, what: str) -> None:
    if not holds:
        failed.append(what)
        print(f"assistants.py: {what}", file=sys.stderr)


def fetch(path: str, question: dict | None = None) -> dict:
    body = None if question is None else json.dumps(question).encode()
    request = urllib.request.Request(base + path, body, {"content-type": "application/json"})
    return json.load(urllib.request.urlopen(request))


def example(tool: str) -> dict:
    post = contract["paths"]["/v1/" + tool.replace("_", "-")]["post"]
    return post["requestBody"]["content"]["application/json"]["example"]


def held(at: str, short: object, whole: object, left_out: list[str]) -> int:
    """Holds what was sent against the whole answer; how many numbers were the same."""
    if isinstance(short, dict):
        expect(isinstance(whole, dict) and set(short) <= set(whole), f"{at}: other fields")
        unnamed = [name for name in set(whole) - set(short) if not any(said.endswith(f"/{name}") for said in left_out)]
        expect(not unnamed, f"{at}: {unnamed} is missing and not named")
        return sum(held(f"{at}/{name}", value, whole[name], left_out) for name, value in short.items())
    if isinstance(short, list):
        cut = f"/{at.rsplit('/', 1)[-1]} after the first {len(short)} of {len(whole)}"
        expect(len(short) == len(whole) or cut in left_out, f"{at}: another length")
        return sum(held(f"{at}/{n}", one, other, left_out) for n, (one, other) in enumerate(zip(short, whole)))
    expect(short == whole, f"{at}: {short!r} in place of {whole!r}")
    return int(isinstance(short, (int, float)) and not isinstance(short, bool))


def questions() -> list[tuple[str, str, dict]]:
    """Tool, path and arguments: sixty questions, a few of each kind."""
    asked = [(tool, "/v1/" + tool.replace("_", "-"), example(tool)) for tool in POSTED]
    for sides, needs, tries in [(6, 4, 1), (6, 5, 3), (8, 3, 10), (10, 9, 5), (12, 7, 2), (20, 18, 40)]:
        one = {"dice": f"1d{sides}", "needs": f"{needs}+"}
        asked.append(("check", "/v1/check", {**one, "tries": tries}))
        asked.append(("check", "/v1/check", {"dice": f"2d{sides}", "needs": f"{needs + 2}+", "exact": True}))
        asked.append(("needed", "/v1/needed", {"check": one, "want": {"passes": 2, "chance": 0.75}}))
        asked.append(("luck", "/v1/luck", {"check": {**one, "tries": tries}, "result": {"passes": tries}}))
        attack = {"attackers": tries, "steps": [{"name": "hit", "needs": f"{min(needs, 6)}+"}], "target": {"models": 5}}
        asked.append(("odds", "/v1/odds", attack))
    pack = "canal-guild"
    units = [unit["name"] for unit in fetch(f"/v1/packs/{pack}/units")["units"]]
    for attacker, target in zip(units[:9], units[9:18]):
        asked.append(("matchup", "/v1/matchup", {"pack": pack, "attacker": {"unit": attacker}, "target": {"unit": target}}))
    for unit in units[:8]:
        asked.append(("list_points", "/v1/list-points", {"pack": pack, "limit": 500, "lines": [f"2x {unit}"]}))
    asked.append(("units", f"/v1/packs/{pack}/units", {"pack": pack}))
    asked.append(("packs", "/v1/packs", {}))
    return asked


async def ask_all(client: Client, where: str) -> None:
    listed = (await client.list_tools()).tools
    names = [tool.name for tool in listed]
    expect(names == [*POSTED, "units", "packs"], f"{where}: the tools are {names}")
    expect(all(tool.description and tool.input_schema["type"] == "object" for tool in listed), f"{where}: a tool without a form")
    asked = questions()
    expect(len(asked) == 60, f"there are {len(asked)} questions")
    numbers = 0
    for tool, path, arguments in asked:
        result = await client.call_tool(tool, arguments)
        expect(not result.is_error, f"{where}: {tool} refused {arguments}: {result.content}")
        if result.is_error:
            continue
        whole = fetch(path, arguments if tool in POSTED else None)
        short = dict(result.structured_content)
        link, left_out = short.pop("link"), short.pop("left_out", [])
        numbers += held(f"{where} {tool}", short, whole, left_out)
        expect(result.content[0].text.endswith(link), f"{where}: {tool} does not end with its link")
        expect(fetch(link) == whole, f"{where}: {link} answers something else")
    expect(numbers > 1000, f"{where}: only {numbers} numbers were compared")
    for tool, arguments, said in [
        ("check", {"dice": "2d6", "needs": "7+", "tries": "three"}, "/tries"),
        ("check", {"needs": "7+"}, "/dice"),
        ("matchup", {"attacker": {"unit": "Zeppelin"}, "target": {"unit": "Heron"}}, "/attacker/unit"),
        ("units", {"pack": "canal-gild"}, "canal-guild"),
    ]:
        result = await client.call_tool(tool, arguments)
        expect(result.is_error and said in result.content[0].text, f"{where}: {tool} {arguments}: {result.content}")
    try:
        await client.call_tool("nothing", {})
        expect(False, f"{where}: an unknown tool was called")
    except MCPError as error:
        expect("list_points" in str(error), f"{where}: an unknown tool: {error}")
    print(f"assistants.py: {where}: {len(names)} tools, {len(asked)} questions, {numbers} numbers alike")


async def main() -> None:
    async with Client(f"{base}/mcp") as client:
        await ask_all(client, "HTTP")
    async with Client(f"{base}/mcp", mode="legacy") as client:
        await ask_all(client, "HTTP, begun with initialize")
    settings = {name: value for name, value in os.environ.items() if not name.startswith("PIPWRIGHT_")}
    server = StdioServerParameters(command=program, args=["mcp"], env={**settings, "PIPWRIGHT_LOG": "warn"})
    async with Client(stdio_client(server)) as client:
        await ask_all(client, "standard input and output")


asyncio.run(main())
sys.exit(bool(failed))
