"""What the contract says, with a name for every object in it and for what each operation takes in its query."""

import re
import sys

from .words import sentence


def stop(what):
    sys.exit(f"make: {what}")


def words(name):
    return re.findall(r"[A-Za-z0-9]+", name)


def pascal(name):
    return "".join(word[0].upper() + word[1:] for word in words(name))


def camel(name):
    return pascal(name)[0].lower() + pascal(name)[1:]


def snake(name):
    return "_".join(words(name)).lower()


def ref(schema):
    """The name of the type that a schema refers to."""
    return schema["$ref"].rsplit("/", 1)[1] if "$ref" in schema else None


def add(types, name, schema):
    if name in types:
        stop(f"two types would be called {name}")
    types[name] = schema


def lift(schema, name, types):
    """The same schema, in which each object that stands inside it is a type of its own, named after where it stands."""
    if not isinstance(schema, dict):
        return schema
    schema = dict(schema)
    if "allOf" in schema:
        schema = joined(schema, name)
    if "properties" in schema:
        schema["properties"] = {key: apart(of, name + pascal(key), types) for key, of in schema["properties"].items()}
    for key in ("oneOf", "anyOf"):
        if key in schema:
            schema[key] = [apart(of, name + branch_name(of), types) for of in schema[key]]
    for key in ("items", "additionalProperties"):
        if key in schema:
            schema[key] = apart(schema[key], name + "Item", types)
    if "prefixItems" in schema:
        schema["prefixItems"] = [apart(of, f"{name}{n}", types) for n, of in enumerate(schema["prefixItems"], 1)]
    return schema


def apart(schema, name, types):
    """A reference to a new type where the schema is an object with fields; else the schema, lifted."""
    schema = lift(schema, name, types)
    if not isinstance(schema, dict) or "properties" not in schema:
        return schema
    add(types, name, schema)
    reference = {"$ref": f"#/components/schemas/{name}", "description": schema.get("description")}
    return {"oneOf": [reference, {"type": "null"}]} if "null" in schema.get("type", "") else reference


def branch_name(schema):
    """What tells an object from the others of a union: the one value of a field, else its first required field."""
    if not isinstance(schema, dict):
        return ""
    fields = schema.get("properties", {})
    values = [[of["const"]] if "const" in of else of.get("enum", []) for of in fields.values()]
    single = [only[0] for only in values if len(only) == 1]
    return pascal(str((single or schema.get("required") or list(fields) or [""])[0]))


def joined(schema, name):
    """`allOf` of references and fields as an object that extends others."""
    whole = {"description": schema.get("description"), "properties": {}, "required": [], "extends": []}
    for part in schema["allOf"]:
        if "$ref" in part:
            whole["extends"].append(ref(part))
        elif "properties" in part:
            whole["properties"] |= part["properties"]
            whole["required"] += part.get("required", [])
        else:
            stop(f"{name}: an allOf of something that is neither a reference nor an object")
    return whole


def read_parameters(operation, said, types):
    parts, query = [], []
    for parameter in said.get("parameters", []):
        plain = parameter.get("style", "form") in ("form", "simple") and parameter.get("explode", True)
        if parameter["in"] not in ("path", "query") or not plain:
            stop(f"{operation['id']}: {parameter['name']} is written in a way that this script does not know")
        (parts if parameter["in"] == "path" else query).append(parameter)
    operation["parts"] = [(one["name"], " ".join(one.get("description", "").split())) for one in parts]
    operation["as_json"] = [one["name"] for one in query if "content" in one]
    if query:
        form = {"description": f"What `{operation['path']}` takes in its query.", "properties": {}}
        for one in query:
            schema = one["content"]["application/json"]["schema"] if "content" in one else one["schema"]
            form["properties"][one["name"]] = {**schema, "description": one.get("description")}
        form["required"] = [one["name"] for one in query if one.get("required")]
        operation["query"] = pascal(operation["id"]) + "Query"
        operation["query_required"] = bool(form["required"])
        add(types, operation["query"], lift(form, operation["query"], types))


def read_answer(operation, answers):
    """What a success is given back as, and what is asked for by `Accept`."""
    kinds = {kind.split(";")[0].strip(): content for kind, content in answers.items()}
    operation["accept"] = ", ".join(kinds)
    as_json = [kind for kind in kinds if kind.endswith("json")]
    if as_json:
        operation["gives"], operation["accept"] = "json", as_json[0]
        operation["answer"] = ref(kinds[as_json[0]].get("schema", {}))
    elif list(kinds) == ["text/event-stream"]:
        operation["gives"] = "events"
    elif kinds and all(kind.startswith("text/") or kind == "image/svg+xml" for kind in kinds):
        operation["gives"] = "text"
    else:
        operation["gives"] = "bytes"


def read_operation(path, method, said, types):
    """What both languages need of an operation."""
    operation = {"id": said["operationId"], "method": method.upper(), "path": path}
    operation |= {"query": None, "body": None, "answer": None}
    operation["docs"] = [sentence(said.get("summary")), said.get("description")]
    read_parameters(operation, said, types)
    if "requestBody" in said:
        content = said["requestBody"]["content"]["application/json"]
        operation["body"] = ref(content["schema"]) or stop(f"{operation['id']}: its body's type has no name")
        operation["example"] = content.get("example")
    read_answer(operation, said["responses"]["200"].get("content", {}))
    return operation


def read(contract):
    """All types by their names, and all operations in the contract's order."""
    types = {}
    for name, schema in contract["components"]["schemas"].items():
        add(types, name, lift(schema, name, types))
    paths = contract["paths"].items()
    operations = [read_operation(path, method, said, types) for path, item in paths for method, said in item.items()]
    for case in (camel, snake):
        if len({case(operation["id"]) for operation in operations}) < len(operations):
            stop("two operations would have one name")
    return dict(sorted(types.items())), operations
