"""Tests of the mix from a small table: cylinder breaks, times of setting, a heat curve.

::

    test,age,value,temperature
    break,1 d,1150 psi,68 degF
    initial set,5.2 h,,70 degF
    final set,7.1 h,,70 degF
    heat,12 h,95 kJ/kg,73 degF
"""

import csv
from io import StringIO
from pathlib import Path

from slabwright.errors import Finding, InputError, OutOfRange
from slabwright.model.mix_tests import Break, HeatReading, MixTests, SetTime
from slabwright.units import PRESSURE, SPECIFIC_ENERGY, TEMPERATURE, TIME, Dimension, parse_quantity

HEADINGS = ("test", "age", "value", "temperature")
KINDS = ("break", "initial set", "final set", "heat")


def read_mix_tests(path: Path | str) -> MixTests:
    """Read tests of the mix.

    Raises
    ------
    InputError
        With everything wrong in the file at once.
    """
    path = Path(path)
    return parse_mix_tests(path.name, path.read_text(encoding="utf-8-sig"))


def parse_mix_tests(source: str, text: str) -> MixTests:
    """Tests from the text of a file; see :func:`read_mix_tests`."""
    findings: list[Finding] = []
    rows = [(number, [cell.strip() for cell in row]) for number, row in enumerate(csv.reader(StringIO(text)), start=1) if any(row)]
    rows = [(number, row) for number, row in rows if not row[0].startswith("#")]
    if not rows or tuple(cell.lower() for cell in rows[0][1]) != HEADINGS:
        raise InputError(source, [Finding(where="headings", message=f"must read {','.join(HEADINGS)}.", line=1)])
    breaks: list[Break] = []
    heat: list[HeatReading] = []
    sets: dict[str, SetTime] = {}
    for number, row in rows[1:]:
        cells = dict(zip(HEADINGS, [*row, "", "", ""], strict=False))
        kind = cells["test"].lower()
        if kind not in KINDS:
            findings.append(Finding(where="test", message=f'"{cells["test"]}" is none of {", ".join(KINDS)}.', line=number))
            continue
        age, temp = (
            _taken(findings, name, cells[name], kind_of, number) for name, kind_of in (("age", TIME), ("temperature", TEMPERATURE))
        )
        if kind.endswith("set"):
            sets[kind] = SetTime(age_s=age, temp_c=temp)
        elif kind == "break":
            breaks.append(Break(age_s=age, strength_pa=_taken(findings, "value", cells["value"], PRESSURE, number), temp_c=temp))
        else:
            heat.append(HeatReading(age_s=age, heat_j_kg=_taken(findings, "value", cells["value"], SPECIFIC_ENERGY, number), temp_c=temp))
    first, last = sets.get("initial set"), sets.get("final set")
    if first is not None and last is not None and first.age_s >= last.age_s:
        findings.append(Finding(where="final set", message="comes before initial set; check the two."))
    if findings:
        raise InputError(source, findings)
    return MixTests(
        breaks=tuple(sorted(breaks, key=lambda one: one.age_s)),
        initial_set=first,
        final_set=last,
        heat=tuple(sorted(heat, key=lambda one: one.age_s)),
    )


def _taken(findings: list[Finding], name: str, text: str, kind: Dimension, line: int) -> float:
    try:
        value = parse_quantity(text, kind)
    except OutOfRange as error:
        findings.append(Finding(where=name, message=str(error), line=line))
        return 1.0
    if kind is not TEMPERATURE and value <= 0:
        findings.append(Finding(where=name, message=f'"{text}" must be above nought.', line=line))
    return value
