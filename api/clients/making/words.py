"""Words of the contract as people read them in comments."""

import json
import re
import textwrap

LONG = "Long because it is made from the contract by api/clients/make."
WIDTH = 116


def paragraphs(texts, width):
    """Lines of text, a blank line between paragraphs; what the contract breaks within one is put together again."""
    lines = []
    for text in texts:
        for part in re.split(r"\n\s*\n", text or ""):
            if part.strip():
                lines += [""] * bool(lines) + wrapped(" ".join(part.split()), width)
    return lines


def wrapped(text, width):
    return textwrap.wrap(text, width, break_long_words=False, break_on_hyphens=False)


def sentence(text):
    text = " ".join((text or "").split())
    return text + "." * (text != "" and text[-1] not in ".!?:")


def value_docs(schema, width):
    """What the contract says of a value and of each way in which it may be written, with the bounds that no type shows."""
    if not isinstance(schema, dict):
        return []
    ways = branches(schema)
    if not schema.get("description") and len(ways) == 1:
        return value_docs(ways[0], width)
    lines = wrapped(" ".join(filter(None, [sentence(schema.get("description")), bounds(schema)])), width)
    said = [" ".join(filter(None, [sentence(way.get("description")), bounds(way)])) for way in ways]
    if len(ways) > 1 and any(said):
        lines += [""] * bool(lines)
        lines += [line for text in said if text for line in textwrap.wrap(f"- {text}", width, subsequent_indent="  ")]
    return lines


def branches(schema):
    """All alternatives to `null` of a union, those of unions within it too."""
    inner = [of for key in ("oneOf", "anyOf") for of in schema.get(key, []) if of.get("type") != "null"]
    return [deepest for of in inner for deepest in (branches(of) or [of])]


def bounds(schema):
    low, high, most = schema.get("minimum"), schema.get("maximum"), schema.get("maxItems")
    said = ""
    if low is not None and high is not None:
        said = f"From {low} to {high}."
    elif low:
        said = f"At least {low}."
    elif high is not None:
        said = f"At most {high}."
    if most is not None and most < 10_000:
        said = f"{said} At most {most} of them.".strip()
    return said


def example_call(operation, name, written):
    """A call with the contract's own example, where that fits into a line or two."""
    line = f"client.{name}({written(operation['example'])})" if operation.get("example") is not None else ""
    return line if len(line) <= 2 * WIDTH else ""


def json_text(value):
    return json.dumps(value, ensure_ascii=False)
