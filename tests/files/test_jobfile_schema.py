"""The shipped JSON Schema and the page of the documentation are readings of the tables that read a job file."""

import tomllib
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from slabwright.errors import InputError, OutOfRange
from slabwright.files.examples import example_names, example_text
from slabwright.files.jobfile import parse_job
from slabwright.files.jobfile.values import pattern
from slabwright.files.jobfile.written import toml
from slabwright.files.schema import job_schema, schema_text, shipped_schema
from slabwright.files.schema_page import job_file_page
from slabwright.units import DIMENSIONS, NUMBER, TEMPERATURE, parse_quantity
from tests.files.jobs import FULL, MINIMAL, minimal_with

SCHEMA = job_schema()
VALIDATOR = Draft202012Validator(SCHEMA)


def as_json(value: Any) -> Any:
    """A TOML document as JSON has it: dates are texts."""
    if isinstance(value, dict):
        return {key: as_json(one) for key, one in value.items()}
    if isinstance(value, list):
        return [as_json(one) for one in value]
    return value.isoformat() if isinstance(value, date) else value


def test_the_shipped_schema_is_fresh():
    assert schema_text() == shipped_schema(), "run make docs"


def test_it_is_a_schema_of_its_dialect():
    Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("text", [MINIMAL, FULL, *map(example_text, example_names())])
def test_it_takes_what_the_reader_takes(text: str):
    """The smallest job, the one with every key, and the examples."""
    assert [] == [error.json_path for error in VALIDATOR.iter_errors(as_json(tomllib.loads(text)))]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"5 in"', '"5"'), ('"5 in"', "5"), ('"5 in"', '"5 kip"'), ("width", "widht"), ('["30 ft", "0"]', '["30 ft"]'),
        ('depth = "14 in"', 'dept = "14 in"'), ("[edge]", "[[edge]]"), ('thickness = "5 in"\n', ""),
        ('size = "2.5 ft x 2.5 ft"', "size = 3"),
        ("[edge]", '[job]\nunits = "Metric"\n[edge]'), ("[edge]", "[building]\nvehicles = 1\n[edge]"),
    ],
)  # fmt: skip
def test_it_refuses_what_the_reader_refuses(old: str, new: str):
    text = minimal_with(old, new)

    with pytest.raises(InputError):
        parse_job(text)
    assert list(VALIDATOR.iter_errors(as_json(tomllib.loads(text))))


@pytest.mark.parametrize("kind", [kind for kind in DIMENSIONS.values() if kind is not NUMBER], ids=lambda kind: kind.name)
@settings(max_examples=15, deadline=None)
@given(data=st.data())
def test_the_pattern_of_a_kind_takes_every_text_that_its_reader_takes(kind, data):
    """Numbers whole, decimal, mixed, with any of its units."""
    number = data.draw(st.sampled_from(["4", "4.5", "0.25", ".5", "1,200", "1e3", "3/4", "1 1/2", "1-1/2", "4½", "¾", "-2", "16.", "0"]))
    unit = data.draw(st.sampled_from(sorted(kind.units)))
    gap = data.draw(st.sampled_from(["", " "]))
    text = f"{number}{gap}{data.draw(st.sampled_from([unit, unit.upper() if unit.islower() and unit.isascii() else unit]))}"
    try:
        parse_quantity(text, kind)
    except OutOfRange:
        return
    assert Draft202012Validator({"pattern": pattern(kind)}).is_valid(text)


@pytest.mark.parametrize("kind", [kind for kind in DIMENSIONS.values() if kind is not NUMBER], ids=lambda kind: kind.name)
def test_the_pattern_of_a_kind_refuses_a_number_without_a_unit(kind):
    validator = Draft202012Validator({"pattern": pattern(kind)})

    assert not any(map(validator.is_valid, ("4", "4.5", "1/2", "", "x", "4 parsecs", "in")))
    assert (kind is not TEMPERATURE) == validator.is_valid("0")


def test_lengths_in_feet_and_inches_fit_the_pattern_of_length():
    validator = Draft202012Validator({"pattern": pattern(DIMENSIONS["m"])})

    assert all(map(validator.is_valid, ("16'-6 1/2\"", "5'", "5'6", "5' 6\"", "5 ft 6 in", "-5'-6\"", "16′-6½″", "5 feet 6 inches")))


def every_entry(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for name, table in schema["$defs"].items():
        for key, entry in table.get("properties", {}).items():
            yield f"{name}.{key}", entry


def test_every_key_has_a_description_and_an_example():
    """What an editor shows while one writes."""
    for name, entry in every_entry(SCHEMA):
        assert entry.get("description", "").endswith("."), name
        assert "examples" in entry or "enum" in entry or "items" in entry or "$ref" in entry, name


def test_every_example_of_the_schema_is_valid():
    """Each against its own entry."""
    for name, entry in every_entry(SCHEMA):
        for example in entry.get("examples", ()):
            assert Draft202012Validator({**entry, "$defs": SCHEMA["$defs"]}).is_valid(example), (name, example)


def test_every_table_of_the_page_is_there_and_its_examples_can_be_read():
    """Headings in the order of the file, each example as TOML that the standard reader takes."""
    page = job_file_page()
    for name in SCHEMA["properties"]:
        assert name == "schema" or f"## `[{name}]`" in page or f"## `[[{name}]]`" in page
    for _, entry in every_entry(SCHEMA):
        for example in entry.get("examples", ()):
            assert {"x": example} == tomllib.loads(f"x = {toml(example)}")
