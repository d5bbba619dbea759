"""The job file as fields to fill in: read off its JSON Schema, so that a key added to the file appears on the page."""

import json
import re
import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any

from slabwright.errors import Finding, InputError
from slabwright.files.jobfile.paths import path_of
from slabwright.files.jobfile.written import toml
from slabwright.files.schema import shipped_schema
from slabwright.units import Family
from slabwright.web.views import EntryView, FieldView, SectionView

SECTION_OF = {"family": "job", "codes": "job"}
"""Sections of the model that stand in another table of the file."""
_TITLES = {"job": "Job and codes", "base": "Base course", "mix": "Concrete mix", "embeds": "Bolts and embeds", "edge": "Thickened edge"}
_LABELS = {
    "bars.only": "Only at", "base.shrink_factor": "Loose for one compacted", "building.electrode": "Earth electrode in the footing",
    "building.radon": "Soil-gas layer asked for", "building.stories": "Stories carried", "building.wash_down": "Washed down",
    "crew.curing": "Curing begins at", "crew.start": "First load at", "decisions.by": "Decided by", "decisions.on": "On the day",
    "embeds.max_spacing": "Largest spacing", "embeds.wet_set": "Set into wet concrete", "floor.base_parallel": "Base follows the falls",
    "floor.block_outs": "Block-outs", "forms.hold_down": "Hold-down", "insulation.place": "Where it lies",
    "joints.allow_tees": "May end against another", "joints.forbidden": "Lines forbidden", "joints.max_aspect": "Long side over short side",
    "joints.max_spacing": "Largest spacing", "joints.pinned": "Lines kept", "joints.spacing_thicknesses": "Spacing in floor thicknesses",
    "joints.min_corner": "Least corner of a panel", "joints.min_width_share": "Narrowest panel over the spacing",
    "joints.wider_by_steel": "Steel may set them further apart", "mix.shrinkage": "Drying shrinkage as tested",
    "mesh.cut_out": "Cut out over pads", "mix.aggregate": "Stone and sand", "mix.aggregate_moisture": "Moisture of stone and sand",
    "mix.aggregate_size": "Largest stone", "mix.aggregate_temp": "Temperature of stone and sand",
    "mix.cement_temp": "Temperature of the cement",
    "mix.placing_temp": "Temperature as placed", "mix.w_cm": "Water to cement, at most", "mix.water_temp": "Temperature of the water",
    "pads.at": "Centres", "pads.grid": "Grid lines", "pipes.riser": "Comes up through the floor", "place.ground_snow": "Snow on the ground",
    "plant.min_load": "Least load without a fee", "plant.truck": "One truck carries", "posts.at": "Centres", "posts.grid": "Grid lines",
    "posts.isolated": "Parted from the floor", "posts.on": "On pads", "signatures.by": "Signed by", "signatures.on": "On the day",
    "signatures.point": "Hold point", "soil.cbr": "Bearing ratio (CBR)", "soil.spt_blows": "Blows of the penetration test",
    "strips.line": "Centre line", "tolerances.square": "Difference of diagonals",
    "tolerances.thickness_minus_mean": "Mean below drawn thickness",
    "tolerances.thickness_minus_single": "One sample below drawn thickness", "tolerances.unsupported_length": "Soft spot the edge bridges",
    "walls.line": "Centre line",
}  # fmt: skip
"""Where the key of the file, read aloud, would not say it."""
_NUMBERS = re.compile(r"\[[^\]]*\]")


@cache
def schema() -> dict[str, Any]:
    """The schema that came with the package."""
    found: dict[str, Any] = json.loads(shipped_schema())
    return found


def _whole(node: Mapping[str, Any]) -> dict[str, Any]:
    """A node of the schema with what it refers to."""
    if "$ref" not in node:
        return dict(node)
    name = str(node["$ref"]).rpartition("/")[2]
    return {**_whole(schema()["$defs"][name]), "$named": name, **{key: one for key, one in node.items() if key != "$ref"}}


def _is_table(node: Mapping[str, Any]) -> bool:
    return node.get("type") == "object" and "properties" in node and "grid lines" not in str(node.get("description", ""))


def _is_list_of_tables(node: Mapping[str, Any]) -> bool:
    return node.get("type") == "array" and _is_table(_whole(node.get("items") or {})) and "$ref" in (node.get("items") or {})


def sections(document: Mapping[str, Any], names: Mapping[str, list[str]], family: Family) -> list[SectionView]:
    """Every section of the file, stated or not.

    Parameters
    ----------
    document : Mapping
        The job file as read by a TOML reader.
    names : Mapping
        Key path of an entry to the names of the things it makes, for its title.
    family : Family
        Units of what goes without saying.
    """
    return [
        _section(key, _whole(node), document.get(key), names, family) for key, node in schema()["properties"].items() if key != "schema"
    ]


def _section(key: str, node: dict[str, Any], value: Any, names: Mapping[str, list[str]], family: Family) -> SectionView:
    title, listed = section_title(key), node.get("type") == "array"
    if not listed:
        stated = isinstance(value, dict)
        entry = EntryView(
            path=key, title=title, stated=stated, fields=list(_fields(key, node, value if isinstance(value, dict) else {}, family))
        )
        return SectionView(key=key, title=title, help=str(node.get("description", "")), listed=False, entries=[entry])
    inner = _whole(node["items"])
    entries = []
    for number, one in enumerate(value if isinstance(value, list) else (), start=1):
        path = f"{key}[{number}]"
        called = names.get(path) or [f"{title} {number}"]
        entries.append(
            EntryView(
                path=path,
                title=_called(called),
                stated=True,
                fields=list(_fields(path, inner, one if isinstance(one, dict) else {}, family)),
            )
        )
    blank = EntryView(path=f"{key}[+]", title=f"Add to {title.lower()}", stated=False, fields=list(_fields(f"{key}[+]", inner, {}, family)))
    return SectionView(key=key, title=title, help=str(inner.get("description", "")), listed=True, entries=entries, blank=blank)


def section_title(key: str) -> str:
    """What a section of the file is called on the page.

    >>> section_title("mix"), section_title("frost_depth")
    ('Concrete mix', 'Frost depth')
    """
    return _TITLES.get(key, _label(key))


def path_in_words(path: str) -> str:
    """A value of the file as the page names it.

    >>> path_in_words("floor.thickness"), path_in_words("posts[2].loads.dead")
    ('Floor: thickness', 'Posts 2: loads, dead')
    """
    section, *keys = path.split(".")
    key, _, number = section.partition("[")
    title = f"{section_title(key)} {number.rstrip(']')}".rstrip()
    label = _LABELS.get(_NUMBERS.sub("", path)) or ", ".join(
        _label(one).replace("[", " ").replace("]", "").replace('"', "") for one in keys
    )
    return f"{title}: {label.lower() if label[1:2].islower() else label}" if keys else title


def _called(names: list[str]) -> str:
    return ", ".join(names) if len(names) <= 4 else f"{names[0]} to {names[-1]}"


def _label(key: str) -> str:
    text = key.replace("_", " ")
    return text[:1].upper() + text[1:]


def _fields(path: str, node: Mapping[str, Any], value: Mapping[str, Any], family: Family, heading: str = "") -> Iterator[FieldView]:
    needed = set(node.get("required", ()))
    for key, inner in node.get("properties", {}).items():
        here, kind = f"{path}.{key}", _whole(inner)
        found = value.get(key)
        label = _LABELS.get(_NUMBERS.sub("", here)) or (f"{heading}{_label(key).lower()}" if heading else _label(key))
        if _is_table(kind):
            yield from _fields(here, kind, found if isinstance(found, dict) else {}, family, f"{label}: ")
        elif _is_list_of_tables(kind):
            for number, one in enumerate(found if isinstance(found, list) else (), start=1):
                entry = one if isinstance(one, dict) else {}
                yield from _fields(f"{here}[{number}]", _whole(kind["items"]), entry, family, f"{label} {number}: ")
        else:
            yield _field(here, label, kind, found, family, required=key in needed)
    extra = node.get("additionalProperties")
    if isinstance(extra, dict):
        for key, found in value.items():
            if key not in node.get("properties", {}):
                yield _field(f'{path}."{key}"', f"{heading}{_label(key)}", _whole(extra), found, family, required=False)


def _field(path: str, label: str, node: Mapping[str, Any], found: Any, family: Family, *, required: bool) -> FieldView:
    examples = node.get("examples") or [""]
    return FieldView(
        path=path,
        label=label,
        kind=_kind(node),
        text=None if found is None else shown(found),
        silent=_silent(node, family),
        choices=[str(one) for one in node.get("enum", ())],
        help=str(node.get("description", "")),
        example=shown(examples[-1] if family is Family.SI and len(examples) == 2 else examples[0]),
        required=required,
    )


def _silent(node: Mapping[str, Any], family: Family) -> str:
    values = (node.get("ifSilent") or [[None]])[0]
    value = values[-1] if family is Family.SI else values[0]
    return "" if value is None else shown(value)


def _kind(node: Mapping[str, Any]) -> Any:
    if node.get("type") == "boolean":
        return "flag"
    if "enum" in node:
        return "choice"
    if node.get("type") in ("integer", "number"):
        return "number"
    kinds = [node, *(_whole(one) for one in node.get("anyOf", ()))]
    if any(one.get("type") in ("array", "object") for one in kinds):
        return "shape"
    return "quantity" if any("pattern" in one for one in kinds) else "text"


def shown(value: Any) -> str:
    """A value of the file as it stands in a field: points as ``15 ft, 9 ft; 15 ft, 27 ft``, flags as yes and no.

    >>> shown([["15 ft", "9 ft"], ["15 ft", "27 ft"]])
    '15 ft, 9 ft; 15 ft, 27 ft'
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value
    if isinstance(value, list) and value:
        if all(_plain(one) for one in value):
            return ", ".join(map(str, value))
        if all(isinstance(one, list) and one and all(_plain(part) for part in one) for one in value):
            return "; ".join(", ".join(map(str, one)) for one in value)
    if isinstance(value, (list, dict)):
        return toml(value)
    return str(value)


def _plain(value: Any) -> bool:
    return (isinstance(value, str) and not set(value) & set(",;[]{}")) or (isinstance(value, (int, float)) and not isinstance(value, bool))


def typed(path: str, text: Any) -> Any:
    """What a person typed into a field as a value of the file; None for an empty field.

    Parameters
    ----------
    path : str
        Key path.
    text : Any
        What was typed; anything but text is taken as it is.

    Raises
    ------
    InputError
        If a list cannot be read.
    """
    if not isinstance(text, str):
        return text
    kind, text = kind_at(path), text.strip()
    if not text:
        return None
    if kind == "flag" and text.lower() in ("yes", "no", "true", "false"):
        return text.lower() in ("yes", "true")
    if kind == "number":
        return _number(text)
    if kind == "shape":
        return _list(path, text)
    return text


def _number(text: str) -> Any:
    try:
        return int(text)
    except ValueError:
        pass
    try:
        return float(text)
    except ValueError:
        return text


def _list(path: str, text: str) -> Any:
    if text[0] in "[{":
        try:
            return tomllib.loads(f"value = {text}")["value"]
        except (tomllib.TOMLDecodeError, RecursionError, ValueError):
            message = "cannot be read; close every bracket and put text between quotation marks."
            raise InputError("edit", [Finding(where=path, message=message)]) from None
    groups = [[part.strip() for part in group.split(",")] for group in text.split(";") if group.strip()]
    if len(groups) == 1:
        return groups[0]
    return groups


def kind_at(path: str) -> str:
    """The kind of field at a key path; text where the schema knows none.

    Raises
    ------
    InputError
        If the text is no key path.
    """
    node: dict[str, Any] = schema()
    for step in path_of(path):
        if isinstance(step, int):
            inner = node.get("items")
            if not isinstance(inner, dict):
                return "shape"
            node = _whole(inner)
        else:
            found = node.get("properties", {}).get(step, node.get("additionalProperties"))
            if not isinstance(found, dict):
                return "text"
            node = _whole(found)
    return str(_kind(node))
