"""Formulas by name: units read off suffixes, every mistake at once, warnings outside the source's range."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slabwright.errors import InputError, OutOfRange
from slabwright.reckon import Entry, entries_of, published, reckon, work
from slabwright.results.working import Working
from slabwright.sources import arithmetic
from slabwright.standards import MODULES, register
from slabwright.units import Family, format_quantity

CLAUSE = arithmetic("a test")


class Shape(Enum):
    ROUND = "round"
    SQUARE_EDGED = "square-edged"


@dataclass(frozen=True, slots=True)
class Load:
    force_n: float
    share: float


@published("load-on-area", CLAUSE, validity="Small areas.", limits={"width_m": (0.1, 2.0), "levels_m": (0.0, 5.0)})
def load_on_area(
    *,
    pressure_pa: float,
    width_m: float,
    shape: Shape = Shape.ROUND,
    factor: float | None = None,
    count: int = 1,
    doubled: bool = False,
    levels_m: Sequence[float] = (),
    points_m: Sequence[tuple[float, float]] = (),
    span_m: tuple[float, float] = (0.0, 0.0),
    note: str = "",
    working: Working | None = None,
) -> Load:
    """Force on an area.

    Second line, not shown.
    """
    working = working or Working()
    area_m2 = width_m**2 * (math.pi / 4 if shape is Shape.ROUND else 1.0)
    force_n = working.line("F = p*A", "N", p=(pressure_pa, "Pa"), A=(area_m2, "m²")) * (factor or 1.0) * count * (2 if doubled else 1)
    return Load(force_n=force_n + 0.0 * (sum(levels_m) + sum(x for x, _ in points_m) + sum(span_m) + len(note)), share=0.5)


ENTRY: Entry = load_on_area.__reckon_entry__[0]


def test_arguments_are_typed_with_their_units_and_without_suffixes():
    """2 kPa on a square of 0.5 m is 500 N; hyphens and underscores, capitals and the name with its suffix are the same."""
    for width in ("width", "WIDTH", "width_m", "width-m"):
        worked = reckon(ENTRY, {"pressure": "2 kPa", width: "500 mm", "shape": "square-edged"})

        assert {"force_n": 500.0, "share": 0.5} == dict(worked.results())
        assert () == worked.warnings


def test_a_worked_formula_carries_its_steps_and_its_source():
    worked = reckon(ENTRY, {"pressure": "2 kPa", "width": "1 m", "shape": "SQUARE-EDGED"})

    assert ["F = p · A = (2,000 Pa) · (1 m²) = 2,000 N"] == [str(step) for step in worked.steps]
    assert (CLAUSE, "Small areas.", "Force on an area.") == (worked.entry.clause, worked.entry.validity, worked.entry.summary)


def test_every_kind_of_argument_is_read():
    """Numbers that may be left out, counts, yes and no, lists, points, pairs, words."""
    texts = {
        "pressure": "1 Pa", "width": "1 m", "shape": "square-edged", "factor": "50 %", "count": "1,000", "doubled": "yes",
        "levels": "1 m, 2 ft", "points": "1 m, 2 m; 3 ft, 4 ft", "span": "1 m, 2 m", "note": " as drawn ",
    }  # fmt: skip
    worked = reckon(ENTRY, texts)

    assert 1000.0 == dict(worked.results())["force_n"]
    assert (0.5, 1000, True, "as drawn") == tuple(worked.arguments[key] for key in ("factor", "count", "doubled", "note"))
    assert ((1.0, 0.6096), ((1.0, 2.0), (0.9144, 1.2192)), (1.0, 2.0)) == tuple(
        worked.arguments[key] for key in ("levels_m", "points_m", "span_m")
    )


@pytest.mark.parametrize(
    ("texts", "messages"),
    [
        ({}, ['pressure: is missing; write pressure="3500 psi".', 'width: is missing; write width="4 in".']),
        ({"pressure": "2", "width": "1 m"}, ['pressure: "2" has no unit; write "3500 psi" or "25 MPa".']),
        ({"pressure": "2 kPa", "width": "2 kip"}, ['width: "2 kip": "kip" is no unit of length; write "4 in" or "100 mm".']),
        ({"pressure": "2 kPa", "width": "1 m", "shape": "oval"}, ['shape: "oval" is not one of round, square-edged.']),
        ({"pressure": "2 kPa", "width": "1 m", "doubled": "perhaps"}, ['doubled: "perhaps" should be yes or no.']),
        ({"pressure": "2 kPa", "width": "1 m", "count": "1.5"}, ['count: "1.5" should be a whole number.']),
        ({"pressure": "2 kPa", "width": "1 m", "span": "1 m"}, ['span: "1 m" should hold 2 values with commas between.']),
        (
            {"pressure": "2 kPa", "widht": "1 m"},
            [
                "widht: is no input of load-on-area; it takes pressure, width, shape, factor, count, doubled, levels, points, span, note.",
                'width: is missing; write width="4 in".',
            ],
        ),
        ({"pressure": "x", "width": "y"}, ['pressure: "x" is no pressure', 'width: "y" is no length']),
        ({"pressure": "1 Pa", "width": "1 m", "width_m": "2 m"}, ["width_m: is given twice; keep one."]),
    ],
)
def test_every_mistake_is_told_at_once(texts: dict[str, str], messages: list[str]):
    with pytest.raises(InputError) as caught:
        reckon(ENTRY, texts)
    found = [str(finding) for finding in caught.value.findings]

    assert len(messages) == len(found)
    assert all(one.startswith(message) for message, one in zip(messages, found, strict=True))
    assert "reckon load-on-area" == caught.value.source


def test_a_value_outside_the_range_of_the_source_is_warned_about_and_worked():
    """Never clipped, never silent; lists are looked at one by one."""
    worked = reckon(ENTRY, {"pressure": "1 Pa", "width": "3 m", "shape": "square-edged", "levels": "1 m, 6 m"})

    assert 9.0 == dict(worked.results())["force_n"]
    assert (
        "width 9'-10 1/8\" (3 m) is outside the range of the source, 3 7/8 in (100 mm) to 6'-6 3/4\" (2 m).",
        "levels 19'-8 1/4\" (6 m) is outside the range of the source, 0 in (0 mm) to 16'-4 7/8\" (5 m).",
    ) == worked.warnings


def test_a_range_open_at_one_end_says_so():
    @published("open", CLAUSE, limits={"x": (1.0, math.inf)})
    def open_ended(*, x: float) -> float:
        """X."""
        return x

    (entry,) = open_ended.__reckon_entry__
    assert ("x 0.5 is outside the range of the source, 1 to no limit.",) == work(entry, {"x": 0.5}).warnings
    assert () == work(entry, {"x": 5.0}).warnings


def test_a_single_number_carries_the_name_of_its_formula():
    @published("depth", CLAUSE)
    def depth_m(*, x_m: float) -> float:
        """Depth."""
        return 2 * x_m

    assert (("depth_m", 2.0),) == work(depth_m.__reckon_entry__[0], {"x_m": 1.0}).results()


def test_one_function_may_have_two_names_and_a_module_lists_its_own():
    """In the order they are written; what is imported into a module is not its own."""
    import slabwright.standards.ibc as ibc

    assert all(entry.function.__module__ == ibc.__name__ for entry in entries_of(ibc))
    assert entries_of(ibc)


REGISTER = register()


@pytest.mark.parametrize("entry", REGISTER.values(), ids=list(REGISTER))
def test_every_entry_can_be_asked_for(entry: Entry):
    """A name of lower-case words, a summary, arguments by keyword whose types the reader knows, limits on arguments that exist."""
    assert entry.name == entry.name.lower().replace("_", "-").replace(" ", "-")
    assert entry.summary
    names = {parameter.name for parameter in entry.parameters}
    assert set(entry.limits) <= names
    assert all(low < high for low, high in entry.limits.values())
    assert len({parameter.written for parameter in entry.parameters}) == len(names), "two arguments are typed alike"
    with pytest.raises((InputError, OutOfRange)) if any(one.required for one in entry.parameters) else _nothing():
        reckon(entry, {})


def _nothing():
    from contextlib import nullcontext

    return nullcontext()


@pytest.mark.parametrize("entry", REGISTER.values(), ids=list(REGISTER))
def test_any_text_is_read_or_refused(entry: Entry):
    """Words that no argument takes end in a list of findings, whatever the formula."""
    texts = {parameter.written: "⅔ furlongs" for parameter in entry.parameters if parameter.type is float}
    if texts:
        with pytest.raises(InputError):
            reckon(entry, texts)


def test_the_register_is_in_alphabetical_order_and_every_module_adds_to_it():
    assert sorted(REGISTER) == list(REGISTER)
    assert sorted(MODULES) == list(MODULES)


@given(value=st.floats(0.001, 1000.0))
def test_what_a_person_types_is_what_the_formula_gets(value: float):
    """A length printed to many digits in either family comes back as itself."""
    for family, unit in ((Family.US, "ft"), (Family.SI, "m")):
        from slabwright.units import LENGTH

        text = format_quantity(value, LENGTH, family, unit=unit, digits=12)
        worked = reckon(ENTRY, {"pressure": "1 Pa", "width": text})
        assert pytest.approx(value, rel=1e-9) == worked.arguments["width_m"]
