"""The documentation is a reading of the program and may not fall behind it."""

import os
import runpy
from pathlib import Path

import pytest
from docs.generate import PAGES

from slabwright.standards import register
from slabwright.studies import STUDIES

DOCS = Path(__file__).parent.parent / "docs"


@pytest.mark.parametrize("name", PAGES)
def test_a_generated_page_is_up_to_date(name, monkeypatch):
    """``make docs`` was run."""
    monkeypatch.setitem(os.environ, "COLUMNS", "100")

    assert PAGES[name]() == (DOCS / name).read_text(encoding="utf-8"), "run make docs"


@pytest.mark.parametrize("path", sorted((DOCS / "examples").glob("*.py")), ids=lambda path: path.stem)
def test_every_example_runs(path):
    """An example asserts one number against its source."""
    assert "assert " in path.read_text(encoding="utf-8")
    runpy.run_path(str(path), run_name="__main__")


def test_every_formula_says_what_it_gives():
    """A summary, a parameter section and references, for who reads the register."""
    for entry in register().values():
        doc = entry.function.__doc__ or ""

        assert entry.summary.endswith("."), entry.name
        assert "Parameters" in doc or not entry.parameters, entry.name


def test_the_readme_names_every_question():
    readme = (DOCS.parent / "README.md").read_text(encoding="utf-8")

    assert [study.question for study in STUDIES if study.question not in readme] == []


def test_every_question_is_one_sentence():
    """A question ends with its mark and no two are alike."""
    questions = [study.question for study in STUDIES]

    assert len(questions) == len(set(questions))
    assert all(question.endswith("?") for question in questions)
