"""The commands of the lines and the grade, run on the example as a person would."""

import contextlib
import io

import pytest

from slabwright.cli import main
from slabwright.files.examples import example_text


def run(*arguments):
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([str(argument) for argument in arguments])
    return code, out.getvalue(), err.getvalue()


@pytest.fixture
def job(tmp_path):
    path = tmp_path / "job.toml"
    path.write_text(example_text("store"), encoding="utf-8")
    return path


def test_lines_gives_the_diagonal_of_the_drawing(job):
    """30 ft by 36 ft: the square root of 2196 ft2 is 46 ft 10 3/8 in."""
    code, out, _ = run("lines", job)
    assert 0 == code
    assert "46'-10 3/8\"" in out


def test_the_stake_list_is_written_where_named(job, tmp_path):
    code, out, _ = run("lines", job, "--list", tmp_path / "stakes.csv")
    assert 0 == code
    assert "stakes.csv" in out
    assert len((tmp_path / "stakes.csv").read_text(encoding="utf-8").splitlines()) > 4


def test_lines_of_the_forms_asks_for_the_second_shots(job):
    code, out, err = run("lines", "forms", job)
    assert (1, "") == (code, out)
    assert "write forms.csv beside the job" in err


def test_grade_without_a_survey_says_what_to_order(job):
    code, out, _ = run("grade", job)
    assert 0 == code
    assert "yd³" in out


def test_pictures_of_the_grade_are_drawn(job, tmp_path):
    code, out, _ = run("grade", job, "-o", tmp_path / "drawn")
    assert 0 == code
    assert list((tmp_path / "drawn").glob("*.svg"))
    assert "drawn" in out
