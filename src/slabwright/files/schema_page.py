"""The page of the documentation about the job file, read off its schema."""

from typing import Any

from slabwright.files.jobfile.trade import IF_SILENT
from slabwright.files.jobfile.written import toml
from slabwright.files.schema import job_schema

_HEAD = """# The job file

A job file says what the builder knows about one slab; nothing is computed in it. It is TOML: plain text of `[tables]`,
`key = value` lines and `# notes`. Start from an example, `slabwright new DIR --example store`, and change what differs.

- **Quantities** stand between quotation marks with their unit, US or SI, mixed as you like: `"4 in"`, `"16'-6 1/2\\""`,
  `"100 mm"`, `"3500 psi"`, `"25 MPa"`, `"10 mil"`, `"150 pci"`, `"4.2 kip"`, `"85 degF"`. A number alone is an error; only
  nought needs no unit: `0` or `"0"`.
- **Points** are `["east", "north"]` of an origin you choose. A closed shape is its corners in order, or a rectangle
  `{ from = ["0", "0"], to = ["30 ft", "36 ft"] }`.
- **Several alike** need one entry: `at` takes a list of points, `grid` the crossings of grid lines
  `{ x = { from = "2 ft", step = "12 ft", count = 11 }, y = ["2 ft", "62 ft"] }`, counted along x first, then row by row.
- **Slopes** of sides are `"45 deg"` from the level, `"1:1"` out before down, or `"vertical"`; **falls** are
  `"1/8 in per ft"`, `"1:80"` or `"1 %"`.
- **Loads** press down as positive numbers; `wind_uplift` counts upwards, positive too.
- **What is left out** takes the value in the last column, if the trade has one, and is listed in the plan as an assumption
  to confirm. Where there is none, the questions that need it wait and say so. A flag left out means no.
- Messages name keys like `pads[2].depth`: entries are counted from 1, as on paper.
- The smallest job is a floor with outline and thickness, an edge and its pads.

`job.schema.json`, in the package beside this reader, lets an editor complete and check the file.
"""


def job_file_page() -> str:
    """Every table of the job file and every key in it, as Markdown."""
    schema = job_schema()
    lines = [_HEAD]
    for name, entry in schema["properties"].items():
        lines += _section(name, entry, schema)
    return "\n".join(lines).rstrip() + "\n"


def _section(name: str, entry: dict[str, Any], schema: dict[str, Any]) -> list[str]:
    several = entry.get("type") == "array"
    table = _resolved(entry["items"] if several else entry, schema)
    if "properties" not in table:
        return [f"`{name}`: {entry['description']}", ""]
    heading = f"## `[[{name}]]`" if several else f"## `[{name}]`"
    lines = [heading, "", table["description"], "", "| key | what | write | if silent |", "|---|---|---|---|"]
    inner = []
    for key, value in table["properties"].items():
        below = _resolved(value["items"] if value.get("type") == "array" else value, schema)
        if "properties" in below and "examples" not in below:
            inner.append((f"{name}.{key}", value))
            lines.append(f"| `{key}` | {value.get('description', '')} | {'tables' if 'items' in value else 'a table'}, see below | |")
        else:
            lines.append(_row(key, value, key in table.get("required", ())))
    lines.append("")
    for path, value in inner:
        lines += _section(path, value, schema)
    return lines


def _row(key: str, value: dict[str, Any], required: bool) -> str:
    examples = value.get("enum") or value.get("examples") or []
    write = ", ".join(f"`{toml(one)}`" for one in examples)
    silent = "must be there" if required else "; ".join(" or ".join(f"`{toml(one)}`" for one in pair) for pair in value.get(IF_SILENT, ()))
    return f"| `{key}` | {value.get('description', '')} | {write} | {silent} |".replace("\n", " ")


def _resolved(entry: dict[str, Any], schema: dict[str, Any]) -> dict[str, Any]:
    if "$ref" not in entry:
        return entry
    name = entry["$ref"].rpartition("/")[2]
    return {**schema["$defs"][name], **{key: one for key, one in entry.items() if key != "$ref"}}
