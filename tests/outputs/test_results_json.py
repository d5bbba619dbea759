"""plan.json against its shipped schema, and against the plan it was made from."""

import json
from dataclasses import dataclass, field
from pathlib import Path

import jsonschema
import numpy as np
import pytest

from slabwright.outputs.results_json import SCHEMA, results_data, results_schema, write_results
from slabwright.results.check import State
from slabwright.results.table import Column, Table
from slabwright.study import Done, Inputs, Presentation, Result, Stage, Study
from slabwright.units import PSF_PA, Family
from tests.outputs.plans import ALL, EMPTY, RULE, SHAPE, WAITS, plan


@pytest.mark.parametrize("family", Family)
@pytest.mark.parametrize("studies", [ALL, (EMPTY,), (WAITS,), (SHAPE,)], ids=["all", "empty", "waiting", "shape"])
def test_results_follow_their_schema(studies: tuple[Study, ...], family: Family) -> None:
    schema = results_schema()
    jsonschema.Draft202012Validator.check_schema(schema)

    jsonschema.Draft202012Validator(schema).validate(json.loads(json.dumps(results_data(plan(*studies, family=family)), allow_nan=False)))


def test_the_schema_refuses_what_it_does_not_know() -> None:
    data = results_data(plan(SHAPE))
    data["studies"][0]["checks"][0]["verdict"] = "fine"

    with pytest.raises(jsonschema.ValidationError):
        jsonschema.Draft202012Validator(results_schema()).validate(data)


def test_the_schema_carries_its_version() -> None:
    assert SCHEMA == results_schema()["properties"]["schema"]["const"] == results_data(plan(EMPTY))["schema"]


def test_numbers_are_si_beside_the_text_people_read() -> None:
    first = results_data(plan(SHAPE))["studies"][0]["checks"][0]

    assert pytest.approx(1536 * PSF_PA) == first["demand"]
    assert ("1,536 psf", "2,000 psf", "0.77") == (first["shown"]["demand"], first["shown"]["limit"], first["shown"]["ratio"])
    assert {
        "source": "Invented Code 7",
        "title": "Invented Code for Slabs, seventh edition, 2031",
        "locator": "table 4.2",
        "basis": "text seen",
    } == first["clause"]
    assert "q_gross = P/A = (9,600 lb)/(6.25 ft²) = 1,536 psf" in first["steps"][0]["shown"]


def test_states_are_counted() -> None:
    assert {"does not hold": 3, "ask": 1, "waiting": 2, "near its limit": 1, "holds": 3} == results_data(plan())["states"]


def test_a_waiting_study_says_for_what() -> None:
    (one,) = results_data(plan(WAITS))["studies"]

    assert ("waiting", None) == (one["state"], one["answer"])
    assert "forecast.csv" in one["waits_for"]


def test_plain_fields_of_a_study_are_written_and_geometry_is_not() -> None:
    figures = results_data(plan(SHAPE))["studies"][0]["figures"]

    assert {"area_m2": 100.3, "volumes_m3": {"floor": 12.74, "edge": 7.2, "pads": 0.46}, "states": ["holds", "ask"]} == figures


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    name: str
    depth_m: float
    mesh: object = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WideResult(Result):
    parts: tuple[Part, ...] = (Part(name="edge", depth_m=0.5, mesh=object()),)
    by_state: dict[State, int] = field(default_factory=lambda: {State.HOLDS: 2})
    share: float = float("nan")
    field_m: object = field(default_factory=lambda: np.zeros((4, 4)))
    many: tuple[float, ...] = tuple(float(n) for n in range(2000))
    single_m: object = np.float64(1.5)
    rule: object = RULE


def _run(inputs: Inputs, done: Done) -> WideResult:
    return WideResult(answer="*1*")


def _show(inputs: Inputs, done: Done, result: Result) -> Presentation:
    return Presentation(tables=(Table.of("T", ["a", Column("x", "m")], [("n", float("inf")), (None, 3), (np.int64(4), np.float64(2.5))]),))  # type: ignore[list-item]


WIDE = Study(key="wide", question="What?", stage=Stage.DESIGN, run=_run, present=_show)


def test_nested_results_numbers_without_value_and_large_arrays() -> None:
    (one,) = results_data(plan(WIDE))["studies"]
    figures = one["figures"]

    assert [{"name": "edge", "depth_m": 0.5}] == figures["parts"]
    assert ({"holds": 2}, None, 1.5) == (figures["by_state"], figures["share"], figures["single_m"])
    assert "from memory" == figures["rule"]["basis"]
    assert not {"field_m", "many"} & set(figures)
    assert [["n", None], [None, 3], [4, 2.5]] == one["tables"][0]["rows"]
    assert json.dumps(one, allow_nan=False)
    jsonschema.Draft202012Validator(results_schema()).validate(results_data(plan(WIDE)))


def test_the_file_is_written_whole_and_reads_back(tmp_path: Path) -> None:
    path = write_results(plan(), tmp_path / "plan.json")

    assert results_data(plan()) == json.loads(path.read_text(encoding="utf-8"))
