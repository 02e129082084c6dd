"""The Python client: types and the class."""

import keyword
import re

from .contract import ref, snake, stop
from .words import LONG, WIDTH, example_call, json_text, paragraphs, value_docs, wrapped

PLAIN = {"integer": "int", "number": "float", "string": "str", "boolean": "bool", "null": "None"}


def union(parts):
    parts = list(dict.fromkeys(parts))
    return "Any" if "Any" in parts or not parts else " | ".join(parts)


def written(value):
    """The value as Python writes it, in double quotes."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json_text(key)}: {written(of)}" for key, of in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(written, value)) + "]"
    return json_text(value) if isinstance(value, str) else repr(value)


def kind(schema):
    """The type that a schema describes."""
    if not isinstance(schema, dict):
        return "Any"
    if "$ref" in schema:
        return ref(schema)
    if "const" in schema or "enum" in schema:
        return "Literal[" + ", ".join(map(written, schema.get("enum", [schema.get("const")]))) + "]"
    for key in ("oneOf", "anyOf"):
        if key in schema:
            return union(kind(of) for of in schema[key])
    types = schema.get("type", [])
    return union(of_type(one, schema) for one in ([types] if isinstance(types, str) else types))


def of_type(one, schema):
    if one == "array":
        # JSON knows no tuples: what is read is a list.
        items = schema["prefixItems"] if "prefixItems" in schema else [schema.get("items")]
        return f"list[{union(map(kind, items))}]"
    return f"dict[str, {kind(schema.get('additionalProperties'))}]" if one == "object" else PLAIN[one]


def docstring(lines, indent):
    lines = [line.replace("\\", "\\\\").replace('"""', "'''") for line in lines]
    if len(lines) > 1 or any(line.endswith('"') for line in lines):
        return [f'{indent}"""{lines[0]}', *(f"{indent}{line}".rstrip() for line in lines[1:]), f'{indent}"""']
    return [f'{indent}"""{line}"""' for line in lines]


def definition(name, schema):
    if "properties" not in schema:
        # In quotes, since it may name what stands below.
        of = kind(schema) if "enum" in schema else quoted(kind(schema))
        return [f"{name}: TypeAlias = {of}", *docstring(value_docs(schema, WIDTH), ""), "", ""]
    others = schema.get("additionalProperties")
    own = name + "Fields" if isinstance(others, dict) else name
    out = fields(own, schema)
    if own != name:
        # A dictionary of named fields takes no others, so either those or all in one dictionary of any names.
        all_kinds = [part for of in [others, *schema["properties"].values()] for part in kind(of).split(" | ")]
        docs = [*value_docs(schema, WIDTH), "", "Other keys:", *value_docs(others, WIDTH)]
        out += [f"{name}: TypeAlias = {quoted(f'{own} | dict[str, {union(all_kinds)}]')}", *docstring(docs, ""), "", ""]
    return out


def fields(name, schema):
    wanted = schema.get("required", [])
    properties = schema["properties"]
    kinds = {key: kind(of) if key in wanted else f"NotRequired[{kind(of)}]" for key, of in properties.items()}
    docs = value_docs(schema, WIDTH - 4)
    if all(key.isidentifier() and not keyword.iskeyword(key) for key in kinds):
        out = [f"class {name}({', '.join([*schema.get('extends', []), 'TypedDict'])}):", *docstring(docs, "    "), *[""] * bool(docs)]
        for key, of in kinds.items():
            out += [f"    {key}: {of}", *docstring(value_docs(properties[key], WIDTH - 4), "    ")]
        return [*out, "", ""]
    # A key such as `with` or `units.0.unit` can be no name in a class.
    if schema.get("extends"):
        stop(f"{name} extends another type and has a key that cannot be a name in Python")
    out = [f"{name} = TypedDict(", f'    "{name}",', "    {"]
    for key, of in kinds.items():
        out += [f"        # {line}".rstrip() for line in value_docs(properties[key], WIDTH - 10)]
        out.append(f"        {json_text(key)}: {quoted(of)},")
    return [*out, "    },", ")", *docstring(docs, ""), "", ""]


def quoted(of):
    return f"'{of}'" if '"' in of else f'"{of}"'


def bases_first(types):
    placed = {}

    def place(name):
        for base in types[name].get("extends", []):
            place(base)
        placed.setdefault(name, types[name])

    for name in types:
        place(name)
    return placed


def method(operation):
    name = snake(operation["id"])
    given = ["self", *(f"{snake(key)}: str" for key, _ in operation["parts"])]
    path = re.sub(r"\{(.+?)\}", lambda found: "{part(" + snake(found[1]) + ")}", operation["path"])
    sent = [json_text(operation["method"]), ("f" if "{" in path else "") + json_text(path)]
    if operation["body"]:
        given.append(f"request: {operation['body']}")
        sent.append("body=request")
    if operation["query"]:
        given.append(f"query: {operation['query']}" + ("" if operation["query_required"] else " | None = None"))
        sent.append("query=query")
    if operation["as_json"]:
        sent.append(f"as_json={written(operation['as_json'])}")
    if operation["accept"] != "application/json":
        sent.append(f"accept={json_text(operation['accept'])}")
    plain = {"json": "Any", "text": "str", "bytes": "bytes", "events": "Iterator[ServerEvent]"}
    answer = operation["answer"] or plain[operation["gives"]]
    call = f"self._{operation['gives']}({', '.join(sent)})"
    call = f"cast({answer}, {call})" if operation["answer"] else call
    docs = paragraphs(operation["docs"], WIDTH - 8)
    told = [line for key, said in operation["parts"] if said for line in wrapped(f"{snake(key)}: {said}", WIDTH - 8)]
    docs += [""] * bool(told) + told
    if example := example_call(operation, name, written):
        docs += ["", "Example:", f"    {example}"]
    head = f"    def {name}({', '.join(given)}) -> {answer}:"
    return [head, *docstring(docs, "        "), f"        return {call}", ""]


def files(types, operations):
    used = sorted({operation[key] for operation in operations for key in ("query", "body", "answer")} - {None})
    client = [
        f'"""The service, one method for each operation of its contract. {LONG}"""',
        "",
        "from collections.abc import Iterator",
        "from typing import Any, cast",
        "",
        "from .core import Core, ServerEvent, part",
        "from .types import (",
        *(f"    {line}" for line in wrapped(", ".join(used) + ",", WIDTH - 4)),
        ")",
        "",
        "",
        "class Pipwright(Core):",
        '    """The service, one method for each operation of its contract."""',
        "",
        *(line for operation in operations for line in method(operation)),
    ]
    head = [
        f'"""What requests and answers hold. {LONG}"""',
        "",
        "from __future__ import annotations",
        "",
        "from typing import Any, Literal, NotRequired, TypeAlias, TypedDict",
        "",
        "",
    ]
    all_types = [line for name, schema in bases_first(types).items() for line in definition(name, schema)]
    return {
        "python/pipwright_client/client.py": client,
        "python/pipwright_client/types.py": [*head, *all_types],
    }
