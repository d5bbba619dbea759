"""One published formula in words: what there is, what it asks for, what it gave and by which steps."""

import json
from collections.abc import Iterable
from typing import Any

from slabwright.reckon import Entry, Reckoning
from slabwright.units import NUMBER, Family, bare_name, dimension_of, format_number, format_quantity


def register_text(entries: Iterable[Entry], word: str) -> str:
    """A line for each formula that speaks of a word; all of them for none."""
    word = word.lower()
    found = [entry for entry in entries if word in f"{entry.name} {entry.summary} {entry.clause}".lower()]
    return "\n".join(f"{entry.name:34} {entry.summary}" for entry in found)


def entry_text(entry: Entry) -> str:
    """What a formula asks for, its source and where it is valid."""
    lines = [f"{entry.name}: {entry.summary}"]
    for parameter in entry.parameters:
        kind = parameter.dimension.name if parameter.dimension.suffix else getattr(parameter.type, "__name__", str(parameter.type))
        needed = "" if parameter.required else f" (default {parameter.default})"
        lines.append(f"  {parameter.written}=…  {kind}{needed}")
    lines.append(f"source: {entry.clause}")
    if entry.validity:
        lines.append(f"validity: {entry.validity}")
    return "\n".join(lines)


def reckoning_text(worked: Reckoning) -> str:
    """What came out in US and SI units, the steps, the source and every warning."""
    lines = [f"{bare_name(name).replace('_', ' ')}: {_shown(name, value)}" for name, value in worked.results()]
    lines += [f"  {step.symbols} = {step.substituted} = {step.result}" for step in worked.steps]
    lines.append(f"source: {worked.entry.clause}")
    if worked.entry.validity:
        lines.append(f"validity: {worked.entry.validity}")
    lines += [f"warning: {warning}" for warning in worked.warnings]
    return "\n".join(lines)


def reckoning_json(worked: Reckoning) -> str:
    """The same for machines: figures in SI, and as they are shown."""
    return json.dumps(
        {
            "name": worked.entry.name,
            "arguments": dict(worked.arguments),
            "results": dict(worked.results()),
            "source": str(worked.entry.clause),
            "validity": worked.entry.validity,
            "warnings": list(worked.warnings),
            "shown": {name: _shown(name, value) for name, value in worked.results()},
            "steps": [str(step) for step in worked.steps],
        },
        default=lambda value: getattr(value, "value", str(value)),
        ensure_ascii=False,
    )


def _shown(name: str, value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float):
        if isinstance(value, tuple | list):
            return ", ".join(_shown(name, one) for one in value)
        return str(getattr(value, "value", value))
    dimension = dimension_of(name)
    if dimension is NUMBER:
        return format_number(value)
    us, si = (format_quantity(value, dimension, family, digits=5) for family in (Family.US, Family.SI))
    return us if us == si else f"{us}  ({si})"
