"""Answers kept from one run to the next."""

import os
import time
from dataclasses import replace
from pathlib import Path

import pytest

from slabwright.app import load_job, plan_job
from slabwright.errors import MissingInput
from slabwright.files import answers
from slabwright.files.answers import KeptAnswers, kept_answers
from slabwright.files.examples import write_example
from slabwright.model.concrete import Edge, Floor
from slabwright.model.job import Job
from slabwright.outputs.book import book_data
from slabwright.outputs.results_json import write_results
from slabwright.study import Done, Inputs, Result, Stage, Study, Waiting, run_studies

JOB = Job(
    name="shed",
    floor=Floor(outline=((0.0, 0.0), (6.0, 0.0), (6.0, 4.0), (0.0, 4.0)), thickness_m=0.1),
    edge=Edge(depth_m=0.5, width_m=0.3),
)


class Worker:
    """A study that takes its time and counts how often it was asked to work."""

    def __init__(self, seconds: float = 0.05, *, misses: bool = False) -> None:
        self.seconds, self.misses, self.runs = seconds, misses, 0
        self.study: Study = Study(key="depth", question="How deep?", stage=Stage.DESIGN, run=self.run, reads=frozenset({"floor"}))

    def run(self, inputs: Inputs, _done: Done) -> Result:
        self.runs += 1
        time.sleep(self.seconds)
        if self.misses:
            raise MissingInput("waits for soil")
        return Result(answer=f"*{inputs.job.floor.thickness_m} m* deep.")

    def planned(self, folder: Path, job: Job = JOB) -> Result | Waiting:
        kept = KeptAnswers(folder)
        return run_studies((self.study,), Inputs(job=job), find=kept.find, on_done=kept.keep).outcomes["depth"].result


def test_what_is_unchanged_is_not_worked_again(tmp_path):
    worker = Worker()
    first, second = worker.planned(tmp_path / "a"), worker.planned(tmp_path / "a")

    assert first == second
    assert worker.runs == 1


def test_an_edit_is_worked_and_going_back_on_it_is_not(tmp_path):
    worker = Worker()
    thick = replace(JOB, floor=replace(JOB.floor, thickness_m=0.2))
    answers = [worker.planned(tmp_path / "a", job).answer for job in (JOB, thick, JOB)]

    assert ["*0.1 m* deep.", "*0.2 m* deep.", "*0.1 m* deep."] == answers
    assert worker.runs == 2


def test_a_damaged_answer_is_worked_anew(tmp_path):
    worker = Worker()
    first = worker.planned(tmp_path / "a")
    for path in (tmp_path / "a").iterdir():
        path.write_bytes(path.read_bytes()[:20])

    assert first == worker.planned(tmp_path / "a")
    assert worker.runs == 2


def test_what_waits_or_takes_no_time_is_not_kept(tmp_path):
    Worker(misses=True).planned(tmp_path / "a")
    Worker(seconds=0.0).planned(tmp_path / "a")

    assert not (tmp_path / "a").exists()


def test_a_folder_that_cannot_be_made_keeps_nothing_and_breaks_nothing(tmp_path):
    (tmp_path / "file").write_text("")

    assert Worker().planned(tmp_path / "file" / "a").answer == "*0.1 m* deep."


def test_another_state_of_the_program_has_a_folder_of_its_own(tmp_path):
    worker = Worker()
    worker.planned(tmp_path / "old")
    worker.planned(tmp_path / "new")

    assert worker.runs == 2
    assert worker.planned(tmp_path / "old") == worker.planned(tmp_path / "new")
    assert worker.runs == 2


def test_the_oldest_answers_of_all_states_go_first(tmp_path, monkeypatch):
    monkeypatch.setattr(answers, "_MOST_KEPT_BYTES", 700)
    (tmp_path / "old").mkdir()
    for age, name in enumerate(("youngest", "elder", "eldest")):
        (tmp_path / "old" / name).write_bytes(bytes(400))
        os.utime(tmp_path / "old" / name, (1e9 - age, 1e9 - age))
    Worker().planned(tmp_path / "new")

    assert ["youngest"] == [path.name for path in (tmp_path / "old").iterdir()]
    assert len(list((tmp_path / "new").iterdir())) == 1


def test_what_is_drawn_of_an_answer_is_drawn_once_until_the_answer_changes(tmp_path):
    worker, drawings = Worker(seconds=0.0), []

    def drawn(job: Job) -> str:
        outcome = run_studies((worker.study,), Inputs(job=job)).outcomes["depth"]

        def draw() -> str:
            drawings.append(outcome.result)
            return f"<svg>{outcome.result.answer}</svg>"

        return KeptAnswers(tmp_path / "a").drawn(f"{outcome.digest} picture", draw)

    thick = replace(JOB, floor=replace(JOB.floor, thickness_m=0.2))
    assert drawn(JOB) == drawn(JOB) == "<svg>*0.1 m* deep.</svg>"
    assert len(drawings) == 1
    assert drawn(thick) == "<svg>*0.2 m* deep.</svg>"
    assert len(drawings) == 2


def test_nothing_is_kept_where_the_variable_says_so(monkeypatch):
    monkeypatch.setenv("SLABWRIGHT_CACHE", "")

    assert kept_answers() is None


@pytest.mark.long
def test_a_plan_from_kept_answers_is_the_same_plan(tmp_path, monkeypatch):
    """To the byte of what is written for machines, and of what the book prints."""
    monkeypatch.setenv("SLABWRIGHT_CACHE", str(tmp_path / "cache"))
    inputs, _ = load_job(write_example(tmp_path / "job", "store"))
    plans = [plan_job(inputs, anew=anew) for anew in (True, False, False)]
    written = [write_results(plan, tmp_path / f"{number}.json").read_bytes() for number, plan in enumerate(plans)]
    kept = kept_answers()
    books = [book_data(plans[0]), *(book_data(plan, drawn=kept.drawn) for plan in plans[1:])]

    assert list((tmp_path / "cache").rglob("*"))
    assert written[0] == written[1] == written[2]
    assert books[0] == books[1] == books[2]
