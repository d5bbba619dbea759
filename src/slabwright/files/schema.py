"""The JSON Schema of the job file, read off the tables that read it, so that an editor completes and checks it."""

import json
import re
from importlib.resources import files
from typing import Any

from pydantic.json_schema import GenerateJsonSchema
from pydantic_core import core_schema

from slabwright.files.jobfile.document import JobFile
from slabwright.files.jobfile.shapes import SHARED_SCHEMAS
from slabwright.files.jobfile.values import pattern
from slabwright.files.jobfile.written import KIND
from slabwright.units import DIMENSIONS, NUMBER

DIALECT = "https://json-schema.org/draft/2020-12/schema"
FILE = "job.schema.json"


class _WithoutNull(GenerateJsonSchema):
    """TOML has no null: a key that may be left out is simply not required. Keys stay in their written order."""

    def sort(self, value: dict[str, Any], parent_key: str | None = None) -> dict[str, Any]:  # noqa: ARG002
        return value

    def nullable_schema(self, schema: core_schema.NullableSchema) -> dict[str, Any]:
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> dict[str, Any]:
        return self.generate_inner(schema["schema"])


def job_schema() -> dict[str, Any]:
    """The schema, fresh."""
    schema = JobFile.model_json_schema(by_alias=True, schema_generator=_WithoutNull)
    tables = {name: _plain(table) for name, table in schema.pop("$defs").items()}
    shared = {_def(kind.suffix): {"type": "string", "pattern": pattern(kind)} for kind in DIMENSIONS.values() if kind is not NUMBER}
    shared |= {name: _plain(shape) for name, shape in SHARED_SCHEMAS.items()}
    whole = {"$schema": DIALECT, **_plain(schema), "title": "slabwright job file"}
    used = set(re.findall(r'"#/\$defs/([^"]+)"', json.dumps([whole, tables, *(shared[name] for name in SHARED_SCHEMAS)])))
    return {**whole, "$defs": tables | {name: one for name, one in shared.items() if name in used}}


def _def(kind: str) -> str:
    """Name of a shared definition: of a shape its own, of a quantity the trade word for its kind."""
    if kind in SHARED_SCHEMAS:
        return kind
    name = DIMENSIONS[kind].name
    alone = sum(one.name == name for one in DIMENSIONS.values()) == 1
    return (name if alone else f"{name} in {kind}").replace(" ", "-")


def _plain(schema: Any) -> Any:
    """Without the titles that only repeat a key, and with shared kinds as references."""
    if isinstance(schema, list):
        return [_plain(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    return {
        "$ref" if key == KIND else key: f"#/$defs/{_def(one)}" if key == KIND else _plain(one)
        for key, one in schema.items()
        if not (key in ("title", "description") and isinstance(one, str) and (key == "title" or not one))
    }


def schema_text() -> str:
    """The schema as it is committed."""
    return json.dumps(job_schema(), indent=1, ensure_ascii=False) + "\n"


def shipped_schema() -> str:
    """The schema that came with the package."""
    return (files("slabwright.files") / FILE).read_text(encoding="utf-8")
