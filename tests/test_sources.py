"""How a clause and a finding read in print."""

import pytest

from slabwright.errors import Finding, InputError, SlabwrightError
from slabwright.results.check import Check, State
from slabwright.sources import Basis, Clause, Source, arithmetic, practice

CODE = Source("ACI 318-19", "Building Code Requirements for Structural Concrete (ACI 318-19)")


@pytest.mark.parametrize(
    ("clause", "text"),
    [
        (Clause(CODE, "Table 20.5.1.3.1", Basis.TEXT_SEEN), "ACI 318-19 Table 20.5.1.3.1"),
        (Clause(CODE, "22.6.5", Basis.MEMORY), "ACI 318-19 22.6.5 [from memory]"),
        (Clause(CODE, "", Basis.QUOTED), "ACI 318-19 [quoted elsewhere]"),
        (practice("two-inch lumber"), "common practice, no source: two-inch lumber"),
        (arithmetic("shoelace"), "derived: shoelace"),
    ],
)
def test_a_clause_says_where_it_stands_and_how_it_was_seen(clause: Clause, text: str):
    """What was read in the document itself needs no word beside it."""
    assert text == str(clause)


@pytest.mark.parametrize(
    ("finding", "text"),
    [
        (Finding(where="floor.thickness", message="is missing."), "floor.thickness: is missing."),
        (Finding(where="floor.thickness", message="is missing.", line=12), "floor.thickness: is missing (line 12)."),
        (Finding(where="floor", message="is missing", line=1), "floor: is missing (line 1)."),
    ],
)
def test_a_finding_is_one_sentence_with_its_line(finding: Finding, text: str):
    assert text == str(finding)


def test_an_input_error_tells_all_its_findings_and_their_file():
    error = InputError("job.toml", [Finding(where="a", message="x."), Finding(where="b", message="y.", line=2)])

    assert "job.toml: a: x.\njob.toml: b: y (line 2)." == str(error)
    assert isinstance(error, SlabwrightError)
    assert isinstance(error, ValueError)


@pytest.mark.parametrize(
    ("demand", "spread", "state"),
    [
        (0.0, 0.0, State.HOLDS), (1.0, 0.0, State.HOLDS), (1.0 + 1e-12, 0.0, State.HOLDS), (1.001, 0.0, State.FAILS),
        (0.9, 0.1, State.HOLDS), (0.95, 0.1, State.NEAR), (1.2, 0.5, State.FAILS),
    ],
)  # fmt: skip
def test_a_ratio_of_one_holds_and_scatter_makes_it_near(demand: float, spread: float, state: State):
    check = Check(key="k", name="n", where="w", demand=demand, capacity=1.0, suffix="", clause=arithmetic("a"), spread=spread)

    assert state is check.state
    assert demand == check.ratio
