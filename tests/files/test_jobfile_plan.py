"""A job that can be read can be planned: whatever its numbers, every study answers, waits, or asks."""

import re

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from slabwright.errors import InputError
from slabwright.files.examples import example_text
from slabwright.files.jobfile import parse_job
from slabwright.studies import STUDIES
from slabwright.study import Inputs, Waiting, run_studies
from tests.files.jobs import FULL, MINIMAL

TEXTS = [MINIMAL, FULL, example_text("store"), example_text("dairy")]
QUANTITY = re.compile(r'"(\d+(?:\.\d+)?) ')


@pytest.mark.long
def test_the_job_that_states_everything_is_planned():
    """One of its wheels has no place where the floor can be read, and that is asked about; only what hangs on the weather waits."""
    plan = run_studies(STUDIES, Inputs(job=parse_job(FULL).job))

    assert {"pour_window", "set_and_saw", "curing", "moisture"} == {
        key for key, one in plan.outcomes.items() if isinstance(one.result, Waiting)
    }
    assert any("What does the floor bear under a?" in one.question for one in plan.outcomes["floor"].result.referrals)


@pytest.mark.long
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(data=st.data())
def test_a_job_with_lines_missing_and_numbers_changed_is_planned(data):
    """Tables and lines dropped, quantities a thousandth to twenty times as large, soils of every class."""
    lines = data.draw(st.sampled_from(TEXTS)).split("\n")
    for _ in range(data.draw(st.integers(0, 4))):
        del lines[data.draw(st.integers(0, len(lines) - 1))]
    written = [number for number, line in enumerate(lines) if "=" in line and QUANTITY.search(line)]
    for number in data.draw(st.lists(st.sampled_from(written), unique=True, max_size=3)):
        factor = data.draw(st.sampled_from([0.0, 0.001, 0.1, 0.5, 2.0, 5.0, 20.0]))
        lines[number] = QUANTITY.sub(lambda one, factor=factor: f'"{float(one[1]) * factor:.6g} ', lines[number])
    soil = data.draw(st.sampled_from(["SM", "CH", "fill", "crystalline bedrock"]))
    try:
        job = parse_job("\n".join(lines).replace('class = "SM"', f'class = "{soil}"')).job
    except InputError:
        return
    outcomes = run_studies(STUDIES, Inputs(job=job)).outcomes

    assert {study.key for study in STUDIES} == set(outcomes)
    for outcome in outcomes.values():
        assert outcome.result.reason if isinstance(outcome.result, Waiting) else outcome.result.answer, outcome.study.key
        outcome.presentation()
