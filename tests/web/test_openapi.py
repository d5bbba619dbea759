"""The API keeps to its own description: types of the page are those of the desk, and fuzzing finds no fault."""

import re
import sys
from pathlib import Path

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import content_type_conformance, response_schema_conformance, status_code_conformance

from slabwright.files.examples import write_example
from slabwright.web.server import application

ROOT = Path(__file__).parents[2]


def test_the_page_s_types_are_those_of_the_api():
    """Run tools/api_types.py after a change of the API."""
    sys.path.insert(0, str(ROOT / "tools"))
    try:
        import api_types

        assert api_types.types_text() == (ROOT / "frontend" / "src" / "api.ts").read_text(encoding="utf-8")
    finally:
        sys.path.remove(str(ROOT / "tools"))


WORK = re.compile("/(plan|strips|cut|measure|mesh|papers|compare|events)")
_PATIENCE_S = 120.0
"""The worker starts with the first question, which takes its time on a busy machine. [s]"""
CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
OWN = {"X-Slabwright": "1", "Host": "localhost", "Origin": "http://localhost"}


@pytest.fixture(scope="module")
def described(tmp_path_factory):
    folder = tmp_path_factory.mktemp("desk")
    write_example(folder / "store", "store")
    app = application(folder)
    app.state.desk.replan = lambda job: None
    yield schemathesis.openapi.from_asgi("/api/openapi.json", app, headers={"Host": "localhost"})
    app.state.desk.close()


def test_whatever_is_sent_is_answered_in_words(described):
    """Every route that changes or reads a job: no fault, and every answer as described; the job file stays readable."""
    asked = set()
    for found in described.get_all_operations():
        operation = found.ok()
        if WORK.search(operation.path):
            continue
        asked.add(operation.label)

        @given(case=operation.as_strategy(), real=st.booleans())
        @settings(max_examples=10, deadline=None, database=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
        def fuzz(case, real):
            if real and "job" in (case.path_parameters or {}):
                case.path_parameters["job"] = "store"
            case.validate_response(case.call(headers=OWN, timeout=240), checks=CHECKS, headers=OWN)

        fuzz()

    assert "PATCH /api/jobs/{job}" in asked
    assert len(asked) > 20
