"""Writes the types of the page from the API's own description, so that both sides speak of the same shapes."""

import argparse
import re
import sys
import tempfile
from pathlib import Path
from typing import Any

TARGET = Path(__file__).parent.parent / "frontend" / "src" / "api.ts"


def described() -> dict[str, Any]:
    """The OpenAPI document of the desk."""
    from slabwright.web.server import application

    with tempfile.TemporaryDirectory() as folder:
        found: dict[str, Any] = application(Path(folder)).openapi()
    return found


def types_text() -> str:
    """The module of types."""
    document = described()
    lines = ["// Written by tools/api_types.py from the API's description; not to be edited.", ""]
    for name, schema in sorted(document["components"]["schemas"].items()):
        if not name.startswith(("HTTPValidationError", "ValidationError", "Body_")):
            lines += _interface(name, schema)
    lines += ["export const paths = {"]
    for path, methods in document["paths"].items():
        for method, operation in methods.items():
            lines.append(f'  {_camel(operation["operationId"], path, method)}: "{path}",')
    return "\n".join([*lines, "} as const;", ""])


def _camel(operation: str, path: str, method: str) -> str:
    plain = operation.removesuffix(f"_{method}").removesuffix(re.sub(r"\W", "_", path)) or operation
    first, *others = plain.strip("_").split("_")
    return first + "".join(one.capitalize() for one in others)


def _interface(name: str, schema: dict[str, Any]) -> list[str]:
    lines = [f"/** {schema['description'].splitlines()[0]} */"] if schema.get("description") else []
    lines.append(f"export interface {name} {{")
    needed = set(schema.get("required", ()))
    for key, inner in schema.get("properties", {}).items():
        if inner.get("description"):
            lines.append(f"  /** {inner['description']} */")
        optional = "" if key in needed or _is_sent(name) else "?"
        lines.append(f"  {key}{optional}: {_type(inner)};")
    return [*lines, "}", ""]


def _is_sent(name: str) -> bool:
    """What the server sends always holds every key."""
    from slabwright.web import plan_views, views

    kind = getattr(views, name, None) or getattr(plan_views, name, None)
    return kind is not None and issubclass(kind, views.View)


def _type(schema: dict[str, Any]) -> str:
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    if "enum" in schema:
        return " | ".join(f'"{one}"' for one in schema["enum"])
    if "const" in schema:
        return f'"{schema["const"]}"'
    if "anyOf" in schema:
        return " | ".join(dict.fromkeys(_type(one) for one in schema["anyOf"]))
    kind = schema.get("type")
    if kind == "array":
        if "prefixItems" in schema:
            return "[" + ", ".join(_type(one) for one in schema["prefixItems"]) + "]"
        inner = _type(schema.get("items", {}))
        return f"({inner})[]" if "|" in inner else f"{inner}[]"
    if kind == "object":
        more = schema.get("additionalProperties")
        return f"Record<string, {_type(more) if isinstance(more, dict) else 'unknown'}>"
    return {"string": "string", "integer": "number", "number": "number", "boolean": "boolean", "null": "null"}.get(str(kind), "unknown")


def main() -> int:
    """Write the types, or say with ``--check`` whether they are those of the API."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--check", action="store_true")
    text = types_text()
    if options.parse_args().check:
        return int(TARGET.read_text(encoding="utf-8") != text)
    TARGET.write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
