"""The command line: reads what is typed, calls :mod:`slabwright.app`, prints. Every heavy import waits for its command."""

import argparse
import os
import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from slabwright.errors import Finding, InputError, MissingInput, SlabwrightError
from slabwright.version import __version__

if TYPE_CHECKING:
    from slabwright.study import Inputs, Outcome, Plan, Study
    from slabwright.units import Family


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command.

    Returns
    -------
    int
        0 when done, 1 when the input could not be taken, 2 when the command was misspelt.
    """
    command_line = parser()
    options = command_line.parse_args(arguments)
    if not hasattr(options, "command"):
        command_line.print_help()
        return 2
    # matrices are small and work is shared out by threads of the house: more of them under each would wait for one another
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        code = int(options.command(options))
        sys.stdout.flush()
        return code
    except InputError as error:
        for finding in error.findings:
            print(f"{error.source}: {finding}", file=sys.stderr)
        return 1
    except SlabwrightError as error:
        print(f"slabwright: {error}", file=sys.stderr)
        return 1
    except BrokenPipeError:  # whoever read has seen enough; what is left to print goes nowhere, at exit too
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    except OSError as error:
        print(f"slabwright: {error.filename or ''}: {error.strerror or error}.", file=sys.stderr)
        return 1


def parser() -> argparse.ArgumentParser:
    """The whole command line; documentation is generated from it."""
    whole = argparse.ArgumentParser(prog="slabwright", description="Plan, check and prove a monolithic concrete slab on the ground.")
    whole.add_argument("--version", action="version", version=f"slabwright {__version__}")
    commands = whole.add_subparsers(title="commands", metavar="COMMAND")

    plan = commands.add_parser("plan", help="answer every question of a job and write the pour book")
    plan.add_argument("job", type=Path, metavar="JOB.toml")
    plan.add_argument("-o", "--out", type=Path, metavar="DIR", help="where to write; the job file's folder if not given")
    plan.add_argument("--date", type=_day, metavar="DAY", help="such as 2026-04-14, printed on every page; today if not given")
    plan.add_argument("--anew", action="store_true", help="work every answer anew, also those that an earlier run kept")
    plan.add_argument("--fetch", action="store_true", help="first ask an open service for the forecast and keep it as weather.json")
    plan.set_defaults(command=_plan)

    papers = commands.add_parser("papers", help="print one sheet for each person who needs one")
    papers.add_argument("job", type=Path, metavar="JOB.toml")
    papers.add_argument("-o", "--out", type=Path, metavar="DIR", help="where to write; papers beside the job file if not given")
    papers.add_argument("--paper", choices=("letter", "A4"), help="letter for US units and A4 for SI if not given")
    papers.add_argument("--date", type=_day, metavar="DAY", help="such as 2026-04-14, printed on every sheet; today if not given")
    papers.set_defaults(command=_papers)

    new = commands.add_parser("new", help="start a job from an example")
    new.add_argument("folder", type=Path, nargs="?", metavar="DIR", help="where it is to lie; made where there is none")
    new.add_argument("--example", default="store", metavar="NAME", help="which example: see slabwright new --list")
    new.add_argument("--list", action="store_true", help="list the examples")
    new.set_defaults(command=_new)

    serve = commands.add_parser("serve", help="open the desk: the whole job in the browser")
    serve.add_argument("folder", type=Path, nargs="?", default=Path(), metavar="FOLDER", help="a job's folder, or a folder of jobs")
    serve.add_argument("--port", type=int, default=8037, help="the next free one is taken where it is in use")
    serve.add_argument(
        "--store", default="", metavar="URL", help="keep histories in a database of the office, such as postgresql+psycopg://…"
    )
    serve.add_argument("--no-browser", action="store_true", help="leave the browser alone")
    serve.set_defaults(command=_serve)

    explain = commands.add_parser("explain", help="write out how a check was worked, step by step")
    explain.add_argument("job", type=Path, metavar="JOB.toml")
    explain.add_argument(
        "check", nargs="?", default="", metavar="STUDY.CHECK", help="such as bearing.P3.punching; all checks are listed if not given"
    )
    explain.set_defaults(command=_explain)

    placement = commands.add_parser("placement", help="while it goes: what the tickets say, what is left, when to call the next truck")
    placement.add_argument("job", type=Path, metavar="JOB.toml")
    placement.add_argument(
        "--tickets",
        type=Path,
        metavar="FILE.csv",
        help="ticket, volume, batched, arrived, started, ended; tickets.csv beside the job if not given",
    )
    placement.add_argument("--now", metavar="TIME", help="such as 09:40 or a full date and time; the last stamp on a ticket if not given")
    placement.add_argument("--filled", metavar="VOLUME", help="drawn volume of what is filled so far, such as '12 yd3'")
    placement.set_defaults(command=_placement)

    lines = commands.add_parser("lines", help="set the building out, prove it square: are the lines right, and which stake moves where")
    lines.add_argument("job", nargs="+", metavar="[forms] JOB.toml", help="with forms before it: what the form tops did overnight")
    lines.add_argument("--stakes", type=Path, metavar="FILE.csv", help="tape, angles, coordinates; stakes.csv beside the job if not given")
    lines.add_argument("--forms", type=Path, metavar="FILE.csv", help="form tops before and after; forms.csv beside the job if not given")
    lines.add_argument("--levels", type=Path, metavar="FILE.csv", help="level book; levels.csv beside the job if not given")
    lines.add_argument("--list", type=Path, metavar="FILE", help="write the stake-out list: .csv, .xml (LandXML) or .geojson")
    lines.add_argument("--turn", default="0 deg", metavar="ANGLE", help="turn the plan onto the site grid, counter-clockwise")
    lines.add_argument("--shift", default="", metavar="EAST,NORTH", help="and shift it, such as '1000 m,2000 m'")
    lines.add_argument("-o", "--out", type=Path, metavar="DIR", help="write the drawings there")
    lines.set_defaults(command=_lines)

    grade = commands.add_parser("grade", help="the base against the drawing: thin places, what to shave, how much to order")
    grade.add_argument("job", type=Path, metavar="JOB.toml")
    grade.add_argument("--shots", type=Path, metavar="FILE.csv", help="levels of the base; base_survey.csv beside the job if not given")
    grade.add_argument("--scan", type=Path, metavar="FILE", help="a scan of the base: .las, .laz, .ply or .xyz")
    grade.add_argument("--control", type=Path, metavar="FILE.csv", help="corners in the axes of the scan")
    grade.add_argument("--trench", type=Path, metavar="FILE.csv", help="the dug edge and pads; trench.csv beside the job if not given")
    grade.add_argument("-o", "--out", type=Path, metavar="DIR", help="write the maps there")
    grade.set_defaults(command=_grade)

    reckon = commands.add_parser("reckon", help="work one published formula or table")
    reckon.add_argument("name", nargs="?", metavar="NAME", help="all are listed if not given")
    reckon.add_argument("values", nargs="*", metavar="key=value")
    reckon.add_argument("--find", metavar="WORD", help="list the formulas that speak of a word")
    reckon.add_argument("--json", action="store_true", help="for machines, in SI")
    reckon.set_defaults(command=_reckon)
    return whole


def _day(written: str) -> date:
    try:
        return date.fromisoformat(written)
    except ValueError:
        raise argparse.ArgumentTypeError(f'"{written}" is no day; write it as 2026-04-14') from None


def _plan(options: argparse.Namespace) -> int:
    from slabwright.app import fetch_weather, load_job, plan_job, write_plan
    from slabwright.outputs.marks import mark_text

    if options.fetch:
        print(fetch_weather(options.job))
    inputs, warnings = load_job(options.job, today=options.date or date.today())
    _print_findings(str(options.job), warnings)
    plan = plan_job(inputs, on_start=_progress, anew=options.anew)
    _clear_progress()
    for outcome in plan.outcomes.values():
        print(f"{mark_text(outcome.state)} {outcome.study.question}")
        print(f"  {_sentence(outcome.result)}")
    written = write_plan(plan, options.out or options.job.parent, anew=options.anew)
    print()
    for path in written.values():
        print(path)
    return 0


def _papers(options: argparse.Namespace) -> int:
    from slabwright.app import load_job, plan_job, write_papers

    inputs, warnings = load_job(options.job, today=options.date or date.today())
    _print_findings(str(options.job), warnings)
    plan = plan_job(inputs, on_start=_progress, anew=False)
    _clear_progress()
    for path in write_papers(plan, options.out or options.job.parent / "papers", paper=options.paper, anew=False).values():
        print(path)
    return 0


def _sentence(result: Any) -> str:
    return str(getattr(result, "answer", "") or getattr(result, "reason", "")).replace("*", "")


def _serve(options: argparse.Namespace) -> int:
    from slabwright.web.server import free_address, run

    listening, address = free_address(options.port)
    print(f"The desk of {options.folder.resolve().name} is at {address} (Ctrl+C closes it).", flush=True)
    run(options.folder, listening, address, store=options.store, browser=not options.no_browser)
    return 0


def _new(options: argparse.Namespace) -> int:
    from slabwright.files.examples import example_names, write_example

    if options.list:
        print("\n".join(example_names()))
        return 0
    if options.folder is None:
        raise InputError("new", [Finding(where="DIR", message="is missing; name a folder for the job, such as slabwright new my-job.")])
    print(write_example(options.folder, options.example))
    return 0


def _explain(options: argparse.Namespace) -> int:
    from slabwright.app import find_check, load_job, plan_job
    from slabwright.outputs.marks import mark_text
    from slabwright.outputs.words import check_text

    inputs, warnings = load_job(options.job)
    _print_findings(str(options.job), warnings)
    plan = plan_job(inputs, on_start=_progress, anew=False)
    _clear_progress()
    if not options.check:
        _list_checks(plan)
        return 0
    study, check = find_check(plan, options.check)
    words = check_text(check, inputs.job.family)
    print(study.question)
    figures = f"{words.demand} against {words.limit}, ratio {words.ratio}, {words.state.value}"
    print(f"{mark_text(check.state)} {words.name}, {words.where}: {figures}")
    for step in check.steps:
        if step.note:
            print(f"\n  {step.note}")
        print(f"  {step.symbols}")
        print(f"    = {step.substituted}")
        print(f"    = {step.result}")
    print(f"\n  limit: {check.clause}")
    if check.method is not None:
        print(f"  method: {check.method}")
    if check.governing:
        print(f"  governs: {check.governing}")
    if check.remedy:
        print(f"  remedy: {check.remedy}")
    return 0


def _list_checks(plan: "Plan") -> None:
    from slabwright.outputs.marks import mark_text

    for study, result in plan.results():
        for check in result.checks:
            print(f"{mark_text(check.state)} {study.key}.{check.key}  {check.ratio:.2f}  {check.name}, {check.where}")


def _placement(options: argparse.Namespace) -> int:
    from slabwright.app import replan_pour

    told, lines = replan_pour(options.job, options.tickets, now=options.now, filled=options.filled)
    _print_findings(str(options.tickets or options.job), told)
    print("\n".join(lines))
    return 0


def _lines(options: argparse.Namespace) -> int:
    from slabwright.app import ask_study, load_job, with_surveys, write_stakes
    from slabwright.units import ANGLE, LENGTH, parse_quantity

    forms = options.job[0] == "forms" and len(options.job) == 2
    if len(options.job) != 1 + forms:
        raise InputError("lines", [Finding(where="job", message="name one job file, with forms before it or not.")])
    path = Path(options.job[-1])
    inputs, warnings = load_job(path)
    files = {name: getattr(options, name) for name in ("stakes", "forms", "levels") if getattr(options, name) is not None}
    inputs, more = with_surveys(inputs, files)
    _print_findings(str(path), warnings + more)
    outcome = ask_study(inputs, "lines")
    if forms and not getattr(outcome.result, "forms_answer", ""):
        raise MissingInput("the form tops were not shot twice; write forms.csv beside the job, or name it with --forms.")
    _print_answer(outcome, inputs.job.family, forms=forms)
    if options.list is not None:
        shift = tuple(parse_quantity(part, LENGTH) for part in options.shift.split(",")) if options.shift else (0.0, 0.0)
        if len(shift) != 2:
            raise InputError("lines", [Finding(where="--shift", message="write east and north, such as '1000 m,2000 m'.")])
        turn = parse_quantity(options.turn, ANGLE)
        print(write_stakes(outcome, inputs.job, options.list, turn_rad=turn, shift_m=(shift[0], shift[1])))
    return _draw(outcome, inputs, options.out)


def _grade(options: argparse.Namespace) -> int:
    from slabwright.app import ask_study, load_job, with_surveys

    inputs, warnings = load_job(options.job)
    names = ("shots", "scan", "control", "trench")
    inputs, more = with_surveys(inputs, {name: getattr(options, name) for name in names if getattr(options, name) is not None})
    _print_findings(str(options.job), warnings + more)
    outcome = ask_study(inputs, "grade")
    _print_answer(outcome, inputs.job.family)
    return _draw(outcome, inputs, options.out)


def _print_answer(outcome: Any, family: "Family", *, forms: bool = False) -> None:
    """One study's answer with its checks, tasks and cautions; of the lines, what concerns the forms alone where asked."""
    from slabwright.outputs.marks import mark_text
    from slabwright.outputs.words import check_text
    from slabwright.study import Waiting

    print(f"{mark_text(outcome.state)} {outcome.study.question}")
    print(f"  {outcome.result.forms_answer.replace('*', '') if forms else _sentence(outcome.result)}")
    if isinstance(outcome.result, Waiting):
        return
    for check in outcome.result.checks:
        if check.key.startswith("form.") or not forms:
            print(f"{mark_text(check.state)} {check_text(check, family).line}")
    for task in outcome.result.tasks:
        if task.where.startswith("station") or not forms:
            print(
                f"do: {task.what}, {task.where} ({task.who}, {task.when})" if task.where else f"do: {task.what} ({task.who}, {task.when})"
            )
    for caution in outcome.result.cautions if not forms else ():
        print(f"mind: {caution.text}")


def _draw(outcome: "Outcome", inputs: "Inputs", folder: Path | None) -> int:
    from slabwright.app import write_pictures

    for path in write_pictures(outcome, inputs.job, folder) if folder is not None else ():
        print(path)
    return 0


def _reckon(options: argparse.Namespace) -> int:
    from slabwright.errors import UnknownName
    from slabwright.outputs.reckonings import entry_text, reckoning_json, reckoning_text, register_text
    from slabwright.standards import find, register

    if options.name is None:
        found = register_text(register().values(), options.find or "")
        print(found or f'no formula speaks of "{options.find}"; slabwright reckon lists them all.')
        return 0
    entry = find(options.name)
    if entry is None:
        from difflib import get_close_matches

        near = get_close_matches(options.name, list(register()), n=4, cutoff=0.4)
        raise UnknownName(
            f'no formula is called "{options.name}"' + (f"; near it: {', '.join(near)}." if near else "; slabwright reckon lists them.")
        )
    if not options.values and any(parameter.required for parameter in entry.parameters):
        print(entry_text(entry))
        return 0
    from slabwright.reckon import reckon

    pairs = dict(value.partition("=")[::2] for value in options.values)
    worked = reckon(entry, pairs)
    print(reckoning_json(worked) if options.json else reckoning_text(worked))
    return 0


def _print_findings(source: str, findings: Sequence[Finding]) -> None:
    for finding in findings:
        print(f"{source}: {finding}", file=sys.stderr)


def _progress(study: "Study[Any]", number: int, total: int) -> None:
    if sys.stderr.isatty():
        filled = round(24 * (number - 1) / total)
        print(f"\r\033[K{'█' * filled}{'·' * (24 - filled)} {number}/{total} {study.question}", end="", file=sys.stderr, flush=True)


def _clear_progress() -> None:
    if sys.stderr.isatty():
        print("\r\033[K", end="", file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main())
