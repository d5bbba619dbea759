"""Use cases: load a job, plan it, write the plan, explain a check, reckon a formula. The one place where rooms meet."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from slabwright.errors import Finding, UnknownName
from slabwright.results.check import Check
from slabwright.study import Inputs, Plan, Study, Waiting, run_studies

Progress = Callable[[Study[Any], int, int], None]


def load_job(path: Path | str, *, today: date | None = None) -> tuple[Inputs, tuple[Finding, ...]]:
    """Read a job file, and the forecasts and records beside it, into the inputs of a plan.

    Parameters
    ----------
    path : Path or str
        The job file.
    today : date, optional
        The day the plan is read.

    Returns
    -------
    Inputs
    tuple of Finding
        Warnings: the file can be used all the same.

    Raises
    ------
    InputError
        With everything wrong in the file at once.
    """
    from slabwright.files.jobfile import read_job
    from slabwright.files.sitefile import read_site

    loaded = read_job(Path(path))
    site, findings = read_site(Path(path).parent, loaded.job.place, today=today, job=loaded.job)
    return Inputs(job=loaded.job, site=site), loaded.findings + findings


def plan_job(inputs: Inputs, *, earlier: Plan | None = None, on_start: Progress | None = None) -> Plan:
    """Run every study of the house over the inputs.

    Parameters
    ----------
    inputs : Inputs
    earlier : Plan, optional
        A plan whose outcomes are reused where their inputs have not changed.
    on_start : callable, optional
        Called before each study with the study, its number from 1 and the total.
    """
    from slabwright.studies import STUDIES

    if on_start is None:
        return run_studies(STUDIES, inputs, earlier=earlier)
    return run_studies(STUDIES, inputs, earlier=earlier, on_start=on_start)


def write_plan(plan: Plan, folder: Path | str) -> dict[str, Path]:
    """Write the results, the pour book, the order list and the plan sheet into a folder.

    Each file is written under a temporary name and renamed, so that a killed run leaves the earlier one whole.

    Returns
    -------
    dict of str to Path
        ``plan.json``, ``book.pdf``, ``quantities.xlsx`` and ``plan.svg``.
    """
    from slabwright.outputs.book import write_book
    from slabwright.outputs.plan_sheet import write_plan_sheet
    from slabwright.outputs.results_json import write_results
    from slabwright.outputs.workbook import write_workbook

    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    writers: dict[str, Callable[[Plan, Path], object]] = {
        "plan.json": write_results,
        "book.pdf": write_book,
        "quantities.xlsx": write_workbook,
        "plan.svg": write_plan_sheet,
    }
    for name, write in writers.items():
        write(plan, folder / name)
    return {name: folder / name for name in writers}


def find_check(plan: Plan, key: str) -> tuple[Study[Any], Check]:
    """The check that a dotted key names, such as ``bearing.P3.punching``.

    Raises
    ------
    UnknownName
        With the keys that come nearest.
    """
    study_key, _, check_key = key.partition(".")
    outcome = plan.outcomes.get(study_key)
    if outcome is None:
        raise UnknownName(f'no study is called "{study_key}"; there are {", ".join(plan.outcomes)}.')
    if isinstance(outcome.result, Waiting):
        raise UnknownName(f'"{outcome.study.question}" {outcome.result.reason}')
    for check in outcome.result.checks:
        if check.key == check_key:
            return outcome.study, check
    from difflib import get_close_matches

    keys = [check.key for check in outcome.result.checks]
    near = get_close_matches(check_key, keys, n=8, cutoff=0.3) or keys[:8]
    raise UnknownName(f'{study_key} has no check "{check_key}"; the nearest are {", ".join(f"{study_key}.{one}" for one in near)}.')


def replan_pour(
    job: Path | str, tickets: Path | str, *, now: str | None = None, filled: str | None = None
) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
    """Plan the rest of a pour from the tickets so far.

    Parameters
    ----------
    job, tickets : Path or str
        Job file and ticket file.
    now : str, optional
        Time such as ``09:40`` on the day of the tickets; their last stamp if not given.
    filled : str, optional
        Drawn volume of what is filled so far, with its unit.

    Returns
    -------
    tuple of Finding
        What was sorted out in the ticket file, and doubts about the job.
    tuple of str
        Sentences to read on site.
    """
    from slabwright.files.ticketfile import moment_on, read_tickets
    from slabwright.studies import placement, shape
    from slabwright.studies.placement.live import live_sentences, replan
    from slabwright.units import VOLUME, parse_quantity

    inputs, doubts = load_job(job)
    day = inputs.site.today or date.today()
    loads, told = read_tickets(tickets, inputs.job.place.time_zone, day)
    plan = run_studies((shape.STUDY, placement.STUDY), inputs)
    moment = moment_on(now, loads) if now else loads.last_stamp
    live = replan(plan[placement.STUDY], loads, moment, filled_m3=parse_quantity(filled, VOLUME) if filled else None)
    return (*doubts, *told), live_sentences(live, inputs.job.family)
