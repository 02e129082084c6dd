"""The TypeScript client: types, the class, and what the class is declared as."""

import re

from .contract import camel, ref
from .words import LONG, WIDTH, example_call, json_text, paragraphs, value_docs, wrapped

PLAIN = {"integer": "number", "number": "number", "string": "string", "boolean": "boolean", "null": "null"}


def union(parts):
    parts = list(dict.fromkeys(parts))
    return "unknown" if "unknown" in parts or not parts else " | ".join(parts)


def kind(schema):
    """The type that a schema describes."""
    if not isinstance(schema, dict):
        return "unknown"
    if "$ref" in schema:
        return ref(schema)
    if "const" in schema or "enum" in schema:
        return union(json_text(value) for value in schema.get("enum", [schema.get("const")]))
    for key in ("oneOf", "anyOf"):
        if key in schema:
            return union(kind(of) for of in schema[key])
    types = schema.get("type", [])
    return union(of_type(one, schema) for one in ([types] if isinstance(types, str) else types))


def of_type(one, schema):
    if one == "array" and "prefixItems" in schema:
        return "[" + ", ".join(map(kind, schema["prefixItems"])) + "]"
    if one == "array":
        item = kind(schema.get("items"))
        return f"({item})[]" if " | " in item else f"{item}[]"
    return f"Record<string, {kind(schema.get('additionalProperties'))}>" if one == "object" else PLAIN[one]


def comment(lines, indent=""):
    lines = [line.replace("*/", "*\\/") for line in lines]
    if len(lines) <= 1:
        return [f"{indent}/** {line} */" for line in lines]
    return [f"{indent}/**", *(f"{indent} * {line}".rstrip() for line in lines), f"{indent} */"]


def declaration(name, schema):
    docs = comment(value_docs(schema, WIDTH))
    if "properties" not in schema:
        return [*docs, f"export type {name} = {kind(schema)};", ""]
    extends = " extends " + ", ".join(schema["extends"]) if schema.get("extends") else ""
    out = [*docs, f"export interface {name}{extends} {{"]
    for key, of in schema["properties"].items():
        mark = "" if key in schema.get("required", []) else "?"
        out += comment(value_docs(of, WIDTH - 2), "  ")
        out.append(f"  {key if key.isidentifier() else json_text(key)}{mark}: {kind(of)};")
    others = schema.get("additionalProperties")
    if isinstance(others, dict):
        # What stands beside the named fields must be a type that takes those in, too.
        all_kinds = [part for of in [others, *schema["properties"].values()] for part in kind(of).split(" | ")]
        out += comment(value_docs(others, WIDTH - 2), "  ")
        out.append(f"  [name: string]: {union([*all_kinds, 'undefined'])};")
    return [*out, "}", ""]


def method(operation):
    """Its lines in the class, and in what the class is declared as."""
    name = camel(operation["id"])
    given = [(camel(key), "string") for key, _ in operation["parts"]]
    sent = ["...options"]
    if operation["body"]:
        given.append(("request", operation["body"]))
        sent.append("body: request")
    if operation["query"]:
        given.append(("query" if operation["query_required"] else "query?", operation["query"]))
        sent.append("query")
    if operation["as_json"]:
        sent.append(f"asJson: {json_text(operation['as_json'])}")
    if operation["accept"] != "application/json":
        sent.append(f"accept: {json_text(operation['accept'])}")
    path = re.sub(r"\{(.+?)\}", lambda found: "${part(" + camel(found[1]) + ")}", operation["path"])
    path = f"`{path}`" if "${" in path else json_text(path)
    names = ", ".join([*(key.rstrip("?") for key, _ in given), "options"])
    call = f"this._{operation['gives']}({json_text(operation['method'])}, {path}, {{ {', '.join(sent)} }})"
    answer = {
        "json": f"Promise<{operation['answer'] or 'unknown'}>",
        "text": "Promise<string>",
        "bytes": "Promise<Uint8Array>",
        "events": "AsyncGenerator<ServerEvent, void, undefined>",
    }[operation["gives"]]
    docs = paragraphs(operation["docs"], WIDTH - 2)
    for key, said in operation["parts"]:
        docs += wrapped(f"@param {camel(key)} {said}", WIDTH - 2) if said else []
    if example := example_call(operation, name, json_text):
        docs += ["@example", example]
    typed = ", ".join([*(f"{key}: {of}" for key, of in given), "options?: CallOptions"])
    code = [f"  {name}({names}) {{", f"    return {call};", "  }", ""]
    return code, [*comment(docs, "  "), f"  {name}({typed}): {answer};"]


def files(types, operations):
    methods = [method(operation) for operation in operations]
    used = sorted({operation[key] for operation in operations for key in ("query", "body", "answer")} - {None})
    code = [
        f"// {LONG}",
        'import { Core, part } from "./core.js";',
        "",
        'export { ProblemError } from "./core.js";',
        "",
        "export class Pipwright extends Core {",
        *[line for lines, _ in methods for line in lines][:-1],
        "}",
    ]
    declared = [
        f"// {LONG}",
        'import { Core, type CallOptions, type ServerEvent } from "./core.js";',
        "import type {",
        *(f"  {line}" for line in wrapped(", ".join(used) + ",", WIDTH)),
        '} from "./types.js";',
        "",
        'export { ProblemError, type CallOptions, type Options, type ServerEvent } from "./core.js";',
        'export type * from "./types.js";',
        "",
        "/** The service, one method for each operation of its contract. */",
        "export declare class Pipwright extends Core {",
        *[line for _, lines in methods for line in lines],
        "}",
    ]
    all_types = [line for name, schema in types.items() for line in declaration(name, schema)]
    return {
        "typescript/client.js": code,
        "typescript/client.d.ts": declared,
        "typescript/types.d.ts": [f"// {LONG}", "", *all_types],
    }
