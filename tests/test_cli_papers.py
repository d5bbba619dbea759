"""The commands that print, run on an example as a person would."""

import contextlib
import io
import re

import pypdf
import pytest

from slabwright.cli import main
from slabwright.files.examples import write_example
from slabwright.studies.hold_points.papers import Receiver


def run(*arguments):
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(io.StringIO()):
        code = main([str(argument) for argument in arguments])
    return code, out.getvalue().splitlines()


@pytest.mark.long
def test_papers_are_written_for_everyone_with_the_day_that_is_named(tmp_path):
    job = write_example(tmp_path, "store")
    code, written = run("papers", job, "--date", "2026-04-14", "--paper", "A4", "-o", tmp_path / "out")
    owner = pypdf.PdfReader(tmp_path / "out" / "owner.pdf").pages[0]

    assert 0 == code
    assert len(Receiver) == len(written)
    assert "April 14, 2026" in re.sub(r"\s+", " ", owner.extract_text())
    assert 595 == round(owner.mediabox.width)


def test_a_day_that_is_none_is_refused():
    with pytest.raises(SystemExit), contextlib.redirect_stderr(io.StringIO()) as told:
        main(["plan", "job.toml", "--date", "14/4/2026"])

    assert '"14/4/2026" is no day; write it as 2026-04-14' in told.getvalue()
