"""Use cases: load a job, plan it, write the plan, explain a check, reckon a formula. The one place where rooms meet."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slabwright.errors import Finding, MissingInput, UnknownName
from slabwright.model.ground import Place
from slabwright.model.job import Job
from slabwright.results.check import Check
from slabwright.study import Inputs, Outcome, Plan, Study, Waiting, run_studies

if TYPE_CHECKING:
    from slabwright.files.answers import KeptAnswers
    from slabwright.studies.placement import PlacementResult

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


def fetch_weather(path: Path | str, *, ask: Callable[[Place], str] | None = None) -> Path:
    """Ask an open service for the forecast of a job's place and keep it beside the job file as ``weather.json``.

    Nothing else in the program goes to the network, and this only when asked.

    Parameters
    ----------
    path : Path or str
        The job file.
    ask : callable, optional
        In place of the service: takes the place and gives the text of its answer.

    Raises
    ------
    InputError
        If the job file cannot be taken, or the answer is no forecast.
    MissingInput
        If the job states no coordinates or the service does not answer.
    """
    from slabwright.files.jobfile import read_job
    from slabwright.files.weatherfile import parse_weather
    from slabwright.files.weatherfile.fetch import fetch_forecast

    place = read_job(Path(path)).job.place
    text = (ask or fetch_forecast)(place)
    parse_weather("weather.json", text, place)
    kept = Path(path).parent / "weather.json"
    kept.write_text(text, encoding="utf-8")
    return kept


def plan_job(inputs: Inputs, *, earlier: Plan | None = None, on_start: Progress | None = None, anew: bool = True) -> Plan:
    """Run every study of the house over the inputs.

    Parameters
    ----------
    inputs : Inputs
    earlier : Plan, optional
        A plan whose outcomes are reused where their inputs have not changed.
    on_start : callable, optional
        Called before each study with the study, its number from 1 and the total.
    anew : bool
        False to take answers that an earlier run kept where nothing that they rest on has changed, and to keep these.
    """
    from slabwright.studies import STUDIES

    calls: dict[str, Any] = {} if on_start is None else {"on_start": on_start}
    return run_studies(STUDIES, inputs, earlier=earlier, **calls, **({} if anew else _answering()))


def _kept() -> "KeptAnswers | None":
    from slabwright.files.answers import kept_answers

    return kept_answers()


def _answering() -> dict[str, Any]:
    """How a run takes and keeps answers of other runs."""
    kept = _kept()
    return {} if kept is None else {"find": kept.find, "on_done": kept.keep}


def write_plan(plan: Plan, folder: Path | str, *, anew: bool = True) -> dict[str, Path]:
    """Write the results, the pour book, the order list and the plan sheet into a folder.

    Each file is written under a temporary name and renamed, so that a killed run leaves the earlier one whole.

    Parameters
    ----------
    plan : Plan
    folder : Path or str
    anew : bool
        False to take drawings that an earlier run kept where their answers are the same, and to keep these.

    Returns
    -------
    dict of str to Path
        ``plan.json``, ``book.pdf``, ``quantities.xlsx`` and ``plan.svg``.
    """
    from concurrent.futures import ThreadPoolExecutor

    from slabwright.outputs.book import book_data, typeset_book
    from slabwright.outputs.plan_sheet import write_plan_sheet
    from slabwright.outputs.results_json import write_results
    from slabwright.outputs.workbook import write_workbook

    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    writers: dict[str, Callable[[Plan, Path], object]] = {
        "plan.json": write_results,
        "quantities.xlsx": write_workbook,
        "plan.svg": write_plan_sheet,
    }
    with ThreadPoolExecutor(1) as typesetter:
        drawing = _drawing(anew)
        book = typesetter.submit(typeset_book, book_data(plan, **drawing), folder / "book.pdf", **drawing)
        for name, write in writers.items():
            write(plan, folder / name)
        book.result()
    return {name: folder / name for name in ("plan.json", "book.pdf", "quantities.xlsx", "plan.svg")}


def _drawing(anew: bool) -> dict[str, Any]:
    """How a run takes and keeps drawings of other runs."""
    kept = None if anew else _kept()
    return {} if kept is None else {"drawn": kept.drawn}


def write_papers(plan: Plan, folder: Path | str, *, paper: str | None = None, anew: bool = True) -> dict[str, Path]:
    """Write one sheet for each person who needs one into a folder.

    Parameters
    ----------
    plan : Plan
    folder : Path or str
    paper : str, optional
        ``letter`` or ``A4``; by the units of the job where not given.
    anew : bool
        False to take drawings that an earlier run kept where their answers are the same, and to keep these.

    Returns
    -------
    dict of str to Path
        By receiver.
    """
    from slabwright.outputs.papers import write_papers as write
    from slabwright.outputs.sheet import Paper

    return write(plan, folder, paper=Paper[paper.upper()] if paper else None, **_drawing(anew))


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
    job: Path | str, tickets: Path | str | None = None, *, now: str | None = None, filled: str | None = None
) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
    """Plan the rest of a pour from the tickets so far.

    Parameters
    ----------
    job : Path or str
        Job file.
    tickets : Path or str, optional
        Ticket file; the one kept with the job if not given.
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

    Raises
    ------
    MissingInput
        If no tickets are kept with the job and none are named.
    """
    from slabwright.files.ticketfile import TICKETS_NAME
    from slabwright.studies import placement

    path = Path(tickets) if tickets is not None else Path(job).parent / TICKETS_NAME
    if tickets is None and not path.is_file():
        raise MissingInput(f"the tickets: put {TICKETS_NAME} beside the job file, drop it on the desk, or name it with --tickets.")
    inputs, doubts = load_job(job)
    told, said = follow_pour(_plan_up_to(placement.STUDY.key, inputs, anew=False)[placement.STUDY], inputs, path, now=now, filled=filled)
    return (*doubts, *told), said


def follow_pour(
    planned: "PlacementResult", inputs: Inputs, tickets: Path | str, *, now: str | None = None, filled: str | None = None
) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
    """The same for a pour day that is planned already: what was sorted out in the tickets, and sentences to read on site."""
    from slabwright.files.ticketfile import moment_on, read_tickets
    from slabwright.studies.placement.live import live_sentences, load_sentences, replan
    from slabwright.units import VOLUME, parse_quantity

    loads, told = read_tickets(tickets, inputs.job.place.time_zone, inputs.site.today or date.today())
    moment = moment_on(now, loads) if now else loads.last_stamp
    live = replan(planned, loads, moment, filled_m3=parse_quantity(filled, VOLUME) if filled else None)
    job = inputs.job
    return told, (*live_sentences(live, job.family), *load_sentences(loads, job.mix, planned.limit_h, job.family))


def ask_study(inputs: Inputs, key: str) -> Outcome:
    """Answer one question, with what it needs and nothing else.

    Raises
    ------
    UnknownName
        If no study has that key.
    """
    return _plan_up_to(key, inputs).outcomes[key]


def _plan_up_to(key: str, inputs: Inputs, *, anew: bool = True) -> Plan:
    from slabwright.studies import STUDIES

    by_key = {study.key: study for study in STUDIES}
    if key not in by_key:
        raise UnknownName(f'no study is called "{key}"; there are {", ".join(by_key)}.')
    wanted, open_ones = {key}, [by_key[key]]
    while open_ones:
        for need in open_ones.pop().after:
            if need.key not in wanted:
                wanted.add(need.key)
                open_ones.append(need)
    return run_studies([study for study in STUDIES if study.key in wanted], inputs, **({} if anew else _answering()))


def with_surveys(inputs: Inputs, files: Mapping[str, Path]) -> tuple[Inputs, tuple[Finding, ...]]:
    """Inputs with surveys from named files in place of those beside the job.

    Parameters
    ----------
    inputs : Inputs
    files : Mapping[str, Path]
        ``shots``, ``scan`` (placed by ``control``), ``trench``, ``stakes``, ``forms``, ``levels``; each may be missing.

    Raises
    ------
    InputError
        With everything wrong in a file at once.
    """
    from slabwright.files import surveyfile

    job, site, findings = inputs.job, inputs.site, tuple[Finding, ...]()
    readers: dict[str, tuple[str, Callable[[Path], tuple[Any, tuple[Finding, ...]]]]] = {
        "shots": ("shots", lambda path: surveyfile.read_shots(path, job)),
        "scan": ("shots", lambda path: surveyfile.read_scan(path, job, control=files.get("control"))),
        "trench": ("trench", surveyfile.read_trench),
        "stakes": ("measurements", surveyfile.read_stakes),
        "forms": ("form_levels", lambda path: surveyfile.read_forms(path, job)),
        "levels": ("level_book", surveyfile.read_level_book),
    }
    for name, (field, read) in readers.items():
        if name in files:
            survey, told = read(files[name])
            site, findings = replace(site, **{field: survey}), findings + told
    return replace(inputs, site=site), findings


def write_stakes(outcome: Outcome, job: Job, path: Path, *, turn_rad: float = 0.0, shift_m: tuple[float, float] = (0.0, 0.0)) -> Path:
    """Write the stake-out list of the lines: CSV, LandXML (.xml) or GeoJSON by the ending.

    Parameters
    ----------
    outcome : Outcome
        Of the study of the lines.
    job : Job
    path : Path
    turn_rad, shift_m : float, (float, float)
        From the plan's axes to those of the site: turned counter-clockwise, then shifted. [rad, m]
    """
    from slabwright.files.stakeoutfile import write_stakeout
    from slabwright.solvers.rigid_fit import PlaneFit

    result: Any = outcome.result
    return write_stakeout(path, result.setting_out, job, PlaneFit.stated(turn_rad, shift_m))


def write_pictures(outcome: Outcome, job: Job, folder: Path) -> list[Path]:
    """Write every picture of an answer as SVG into a folder."""
    from slabwright.outputs.look import Mode
    from slabwright.outputs.svg import picture_svg

    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for picture in outcome.presentation().pictures:
        path = folder / f"{outcome.study.key}-{picture.key}.svg"
        path.write_text(picture_svg(picture, job.family, mode=Mode.PAPER), encoding="utf-8")
        written.append(path)
    return written
