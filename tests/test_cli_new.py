"""Starting a job from the command line."""

import contextlib
import io

from slabwright.cli import main
from slabwright.files.examples import example_names, example_text


def run(*arguments):
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        code = main([str(argument) for argument in arguments])
    return code, out.getvalue(), err.getvalue()


def test_the_examples_are_listed_without_a_folder():
    code, out, _ = run("new", "--list")

    assert 0 == code
    assert list(example_names()) == out.split()


def test_an_example_is_written_where_named_and_a_missing_folder_is_asked_for(tmp_path):
    code, _, _ = run("new", tmp_path / "mine", "--example", "dairy")
    refused, _, said = run("new")

    assert 0 == code
    assert example_text("dairy") == (tmp_path / "mine" / "job.toml").read_text(encoding="utf-8")
    assert 0 != refused
    assert "name a folder for the job" in said
